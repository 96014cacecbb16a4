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
        for leg in told.path.windows(2) {
            for (side, (from, to)) in sides() {
                let in_wall = told.level > edge.bottom_along(side) && told.level < edge.top;
                let met = crossing((leg[0], leg[1]), (*from, *to));
                let Some(at) = met.filter(|_| in_wall) else {
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

    #[test]
    fn under_a_footing_that_steps_up_there_is_no_wall_to_pass() {
        let text = |level: &str| {
            format!(
                r#"(
                slab: (outline: [("0", "0"), ("40'", "0"), ("40'", "20'"), ("0", "20'")], layers: [(concrete, "4 in")]),
                foundation: (edge: (kind: stem_wall, thickness: "8 in", top: "0", bottom: "-32 in",
                    footing: (width: "16 in", thickness: "8 in", steps: [(side: 0, top: "-20 in")]))),
                services: {{ "water": (kind: water, path: [("10'", "-5'"), ("10'", "5'")], level: "{level}", od: "1 in",
                    top: "12 in", landing: floor) }},
            )"#
            )
        };
        let many = |level| {
            let read = crate::read(&text(level), "t").file.expect("a layout");
            passages(&crate::resolve(&read).0).len()
        };
        assert_eq!((many("-15 in"), many("-25 in")), (1, 0));
    }
}
