//! A trench beside a footing: does it cut the plane that falls at 45 degrees from the footing's bottom edge?
//!
//! Along a trench the room is `distance from the footing - half the trench's width - depth below the footing`. The
//! distance of a moving point from a convex outline is convex, the depth is linear, so the least room stands at an end,
//! where the nearest side or corner changes, or where the distance from a corner grows as fast as the depth. Those
//! places are few and known: no stepping along the line.

use glam::{DVec2, DVec3};
use units::SAME_LENGTH;

use super::plan::{distance_to_outline, sides};

/// A straight stretch of trench: the middle of its bottom, and half its width.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Trench {
    /// One end of the middle line of its bottom.
    pub a: DVec3,
    /// The other end.
    pub b: DVec3,
    /// Half its width.
    pub half_width: f64,
}

/// How a trench stands to a footing's plane where it is worst.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Bearing {
    /// Distance from the footing's edge to the trench's near edge, in plan.
    pub apart: f64,
    /// Depth of the trench's bottom below the footing's underside: the distance needed.
    pub needed: f64,
    /// The middle of the trench's bottom there.
    pub at: DVec3,
}

impl Bearing {
    /// Inches to spare; negative when the plane is cut.
    pub fn room(&self) -> f64 {
        self.apart - self.needed
    }

    /// The deepest the trench may go at that distance.
    pub fn deepest(&self) -> f64 {
        self.at.z + self.needed - self.apart
    }
}

/// Where a trench has the least room to the plane under a footing of this convex outline and underside; `None` when it
/// is nowhere deeper than the footing.
pub fn bearing(trench: &Trench, outline: &[DVec2], underside: f64) -> Option<Bearing> {
    let (from, to) = deeper(trench, underside)?;
    let there = |t: f64| {
        let at = trench.a.lerp(trench.b, t);
        let apart = distance_to_outline(outline, at.truncate()) - trench.half_width;
        Bearing {
            apart,
            needed: underside - at.z,
            at,
        }
    };
    let places = places(trench, outline)
        .into_iter()
        .map(|t| t.clamp(from, to));
    let all = places.chain([from, to]).map(there);
    all.min_by(|a, b| a.room().total_cmp(&b.room()))
}

/// The stretch, as fractions, where the bottom is below the footing's underside.
fn deeper(trench: &Trench, underside: f64) -> Option<(f64, f64)> {
    let (above_a, above_b) = (trench.a.z - underside, trench.b.z - underside);
    let meets = above_a / (above_a - above_b);
    match (above_a < 0.0, above_b < 0.0) {
        (true, true) => Some((0.0, 1.0)),
        (true, false) => Some((0.0, meets)),
        (false, true) => Some((meets, 1.0)),
        (false, false) => None,
    }
}

/// Fractions along the trench where the room may be least, beside its ends.
fn places(trench: &Trench, outline: &[DVec2]) -> Vec<f64> {
    let (a, b) = (trench.a.truncate(), trench.b.truncate());
    let length = a.distance(b);
    if length < SAME_LENGTH {
        return Vec::new();
    }
    let along = (b - a) / length;
    // Depth gained per inch of plan, going along.
    let sinks = (trench.a.z - trench.b.z) / length;
    let mut found = Vec::new();
    for (corner, next) in sides(outline) {
        let (s, off) = ((corner - a).dot(along), along.perp_dot(corner - a).abs());
        found.push(s);
        if sinks.abs() < 1.0 {
            // d/ds sqrt(off² + (s - s0)²) = sinks
            found.push(s + off * sinks / (1.0 - sinks * sinks).sqrt());
        }
        found.extend(squares(a, along, corner, next));
    }
    found.into_iter().map(|s| s / length).collect()
}

/// Where the line passes the squares off both ends of a side, and where it meets the side.
fn squares(a: DVec2, along: DVec2, corner: DVec2, next: DVec2) -> Vec<f64> {
    let side = (next - corner).normalize_or_zero();
    let mut found = Vec::new();
    let rate = along.dot(side);
    if rate.abs() > 1e-9 {
        found.extend([corner, next].map(|end| (end - a).dot(side) / rate));
    }
    let nears = side.perp_dot(along);
    if nears.abs() > 1e-9 {
        found.push(side.perp_dot(corner - a) / nears);
    }
    found
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn footing() -> [DVec2; 4] {
        let (x, y) = (240.0, 16.0);
        [DVec2::ZERO, DVec2::X * x, DVec2::new(x, y), DVec2::Y * y]
    }

    /// A level trench beside the footing, lengths in feet as in the cases.
    fn beside(apart_ft: f64, bottom_ft: f64, underside_ft: f64) -> Option<Bearing> {
        let half_width = 6.0;
        let y = -(apart_ft * 12.0 + half_width);
        let at = |x: f64| DVec3::new(x, y, bottom_ft * 12.0);
        bearing(
            &Trench {
                a: at(10.0),
                b: at(200.0),
                half_width,
            },
            &footing(),
            underside_ft * 12.0,
        )
    }

    #[test]
    fn the_worked_trenches() {
        // Cases Q038 to Q041: 45 degree rule, derived.
        let wide = beside(2.0, -3.0, -1.5).unwrap();
        assert!((wide.needed / 12.0 - 1.5).abs() < 1e-4 && wide.room() > 0.0);
        assert!((wide.deepest() / 12.0 + 3.5).abs() < 1e-4);
        let near = beside(1.2, -3.0, -1.5).unwrap();
        assert!((near.needed / 12.0 - 1.5).abs() < 1e-4 && near.room() < 0.0);
        assert!((near.deepest() / 12.0 + 2.7).abs() < 1e-4);
        assert_eq!(beside(0.2, -1.4, -1.5), None);
        let just = beside(2.25, -4.25, -2.0).unwrap();
        assert!(just.room().abs() < 1e-9 && (just.deepest() / 12.0 + 4.25).abs() < 1e-9);
    }

    fn end() -> impl Strategy<Value = [f64; 3]> {
        [-100.0..350.0, -150.0..150.0, -60.0..-10.0_f64]
    }

    proptest! {
        #[test]
        fn no_sample_along_the_line_has_less_room(a in end(), b in end(), t in 0.0..1.0) {
            let trench = Trench { a: a.into(), b: b.into(), half_width: 6.0 };
            let at = trench.a.lerp(trench.b, t);
            let underside = -24.0;
            if at.z < underside {
                let room = distance_to_outline(&footing(), at.truncate()) - 6.0 - (underside - at.z);
                let least = bearing(&trench, &footing(), underside).unwrap();
                prop_assert!(least.room() <= room + 1e-6, "{} {room}", least.room());
            }
        }
    }
}
