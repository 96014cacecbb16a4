//! Where services pass the foundation wall: each wants a sleeve before the pour, as a drain does.

use glam::DVec2;
use units::SAME_LENGTH;

use crate::model::Layout;

/// One service through one side of the foundation.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Passage {
    /// Index into [`Layout::services`].
    pub service: usize,
    /// The side of the slab's outline, by the corner it starts at.
    pub side: usize,
    /// Where it meets the outside face, in plan.
    pub at: DVec2,
    /// How much of it lies in the wall, inches: more than the wall's thickness where it passes aslant.
    pub long: f64,
}

/// Every place where a service passes the wall that stands on the footing (or the beam) at its own level, in the order of the
/// layout. Nothing where no foundation or no slab is told. The level is that of the service's centre.
pub fn passages(layout: &Layout) -> Vec<Passage> {
    let (Some(edge), Some(slab)) = (&layout.foundation.edge, &layout.slab) else {
        return Vec::new();
    };
    let sides = || {
        slab.outline
            .iter()
            .zip(slab.outline.iter().cycle().skip(1))
            .enumerate()
    };
    let mut found = Vec::new();
    for (service, told) in layout.services.iter().enumerate() {
        if told.level <= edge.bottom || told.level >= edge.top {
            continue;
        }
        for leg in told.path.windows(2) {
            for (side, (from, to)) in sides() {
                let Some(at) = crossing((leg[0], leg[1]), (*from, *to)) else {
                    continue;
                };
                let along = (*to - *from)
                    .normalize()
                    .perp_dot((leg[1] - leg[0]).normalize());
                let long = edge.thickness / along.abs();
                found.push(Passage {
                    service,
                    side,
                    at,
                    long,
                });
            }
        }
    }
    found.dedup_by(|a, b| a.service == b.service && a.at.distance(b.at) < SAME_LENGTH);
    found
}

/// Where a leg meets a side; a leg that begins or ends on it meets it too, one along it does not.
fn crossing((a, b): (DVec2, DVec2), (c, d): (DVec2, DVec2)) -> Option<DVec2> {
    let (leg, side) = (b - a, d - c);
    let turn = leg.perp_dot(side);
    if turn.abs() < 1e-6 * leg.length() * side.length() {
        return None;
    }
    let (t, u) = ((c - a).perp_dot(side) / turn, (c - a).perp_dot(leg) / turn);
    let slack = |length: f64| SAME_LENGTH / length;
    let within = |v: f64, slack: f64| v >= -slack && v <= 1.0 + slack;
    (within(t, slack(leg.length())) && within(u, slack(side.length()))).then(|| a + leg * t)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: ((f64, f64), (f64, f64)) = ((0.0, 240.0), (480.0, 240.0));

    fn met(a: (f64, f64), b: (f64, f64)) -> Option<(f64, f64)> {
        let side = (SQUARE.0.into(), SQUARE.1.into());
        crossing((a.into(), b.into()), side).map(Into::into)
    }

    #[test]
    fn a_leg_meets_a_side_it_crosses_or_ends_on() {
        assert_eq!(met((100.0, 300.0), (100.0, 200.0)), Some((100.0, 240.0)));
        assert_eq!(met((100.0, 240.0), (100.0, 200.0)), Some((100.0, 240.0)));
        assert_eq!(met((100.0, 230.0), (100.0, 200.0)), None);
        assert_eq!(met((100.0, 240.0), (200.0, 240.0)), None);
        assert_eq!(met((500.0, 300.0), (500.0, 200.0)), None);
    }
}
