//! Where a branch meets the run it joins.

use glam::DVec2;
use units::SAME_LENGTH;

use crate::{Path, Side};

/// How far off its parent's line a told junction may lie and still be meant to lie on it: an inch, the tape's own play
/// over a house.
pub(crate) const ON_THE_LINE: f64 = 1.0;

/// The station on `parent` where a branch whose last corner is `last` joins it.
///
/// A told point is projected onto the line. Untold, the branch meets the parent under 45 degrees, as a wye does; where
/// no leg of the parent is long enough for that, at the nearest place.
///
/// # Errors
/// The distance by which a told point misses the line.
pub(crate) fn station(parent: &Path, last: DVec2, told: Option<DVec2>) -> Result<f64, f64> {
    let Some(point) = told else {
        return Ok(by_wye(parent, last));
    };
    let (station, off) = parent.nearest(point);
    if off <= ON_THE_LINE {
        Ok(station)
    } else {
        Err(off)
    }
}

fn by_wye(parent: &Path, last: DVec2) -> f64 {
    let (nearest, off) = parent.nearest(last);
    if off <= ON_THE_LINE {
        return nearest;
    }
    let reach = parent.legs().filter_map(|leg| on_leg(leg, last));
    reach
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map_or(nearest, |(station, _)| station)
}

/// Station where a 45-degree branch from `last` meets this leg, and how far `last` is from the leg's line.
fn on_leg((a, b, station): (DVec2, DVec2, f64), last: DVec2) -> Option<(f64, f64)> {
    let flow = (b - a).normalize_or_zero();
    let along = (last - a).dot(flow);
    let off = (last - a - along * flow).length();
    let meets = along + off;
    let on = meets >= -SAME_LENGTH && meets <= a.distance(b) + SAME_LENGTH && off > ON_THE_LINE;
    on.then_some((station - meets, off))
}

/// Plan angle between a branch's flow and its parent's, in degrees, and the side it comes from.
///
/// A branch of no length drops straight in: 90 degrees, from the left.
pub(crate) fn angle(parent: &Path, station: f64, branch: &Path) -> (f64, Side) {
    let (flow, inflow) = (parent.direction_at(station), branch.direction_at(0.0));
    if inflow == DVec2::ZERO || flow == DVec2::ZERO {
        return (90.0, Side::Left);
    }
    let angle = inflow.dot(flow).clamp(-1.0, 1.0).acos().to_degrees();
    // Coming from the left means flowing to the right.
    let side = if flow.perp_dot(inflow) <= 0.0 {
        Side::Left
    } else {
        Side::Right
    };
    (angle, side)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn north() -> Path {
        Path::new([DVec2::ZERO, DVec2::new(0.0, 100.0)])
    }

    #[test]
    fn an_untold_junction_is_where_a_wye_reaches() {
        // 30 in off the line at y = 20: meets it at y = 50, station 50.
        assert_eq!(station(&north(), DVec2::new(30.0, 20.0), None), Ok(50.0));
        // Too near the outlet for a wye: square in, at the nearest place.
        assert_eq!(station(&north(), DVec2::new(30.0, 90.0), None), Ok(10.0));
    }

    #[test]
    fn a_told_junction_must_lie_on_the_line() {
        assert_eq!(
            station(&north(), DVec2::ZERO, Some(DVec2::new(0.5, 60.0))),
            Ok(40.0)
        );
        assert_eq!(
            station(&north(), DVec2::ZERO, Some(DVec2::new(3.0, 60.0))),
            Err(3.0)
        );
    }

    #[test]
    fn angle_and_side_look_downstream() {
        let from_east = Path::new([DVec2::new(30.0, 20.0), DVec2::new(0.0, 50.0)]);
        let (angle_deg, side) = angle(&north(), 50.0, &from_east);
        assert!((angle_deg - 45.0).abs() < 1e-9);
        assert_eq!(side, Side::Right);
        let from_west = Path::new([DVec2::new(-30.0, 50.0), DVec2::new(0.0, 50.0)]);
        assert_eq!(angle(&north(), 50.0, &from_west), (90.0, Side::Left));
    }
}
