//! Tube to prism: depth or distance of the axis, less the radius.

use glam::{DVec2, DVec3};
use parry3d_f64::{
    bounding_volume::{Aabb, BoundingVolume},
    math::Pose,
    query,
    shape::{ConvexPolyhedron, Segment},
};
use scene::{Solid, Tube};

use super::{Gap, Unmeasured, tube_tube::is_finite};

/// A vertical convex prism.
#[derive(Clone, Debug)]
pub struct Prism {
    hull: ConvexPolyhedron,
    /// Its box.
    pub bounds: Aabb,
}

impl Prism {
    /// A prism over a convex outline, counter-clockwise, at least three corners, between two levels.
    ///
    /// # Errors
    /// When the outline is not convex or a number is not finite.
    pub fn new(outline: &[DVec2], bottom: f64, top: f64) -> Result<Self, Unmeasured> {
        let finite = outline.iter().all(|p| p.is_finite()) && bottom.is_finite() && top.is_finite();
        if !finite {
            return Err(Unmeasured::NotFinite);
        }
        if !is_convex(outline) || bottom >= top {
            return Err(Unmeasured::NotConvex);
        }
        let at = |level: f64| outline.iter().map(move |p| p.extend(level));
        let points: Vec<DVec3> = at(bottom).chain(at(top)).collect();
        let bounds = Aabb::from_points(points.iter().copied());
        let hull = ConvexPolyhedron::from_convex_mesh(points, &faces(outline.len()));
        hull.map(|hull| Self { hull, bounds })
            .ok_or(Unmeasured::NotConvex)
    }

    /// The prism of a solid without holes.
    ///
    /// # Errors
    /// As [`Prism::new`].
    pub fn of(solid: &Solid) -> Result<Self, Unmeasured> {
        if !solid.holes.is_empty() {
            return Err(Unmeasured::NotConvex);
        }
        Self::new(&solid.outline, solid.bottom, solid.top)
    }
}

/// Triangles of a prism with `n` corners below (first) and `n` above, seen counter-clockwise from outside.
fn faces(n: usize) -> Vec<[u32; 3]> {
    // Outlines have at most a thousand corners (`layout::limits`).
    let corner = |i: usize| u32::try_from(i).unwrap_or(u32::MAX);
    let fan = (1..n - 1).flat_map(|i| [[0, i + 1, i], [n, n + i, n + i + 1]]);
    let side = |i: usize| {
        let next = (i + 1) % n;
        [[i, next, n + next], [i, n + next, n + i]]
    };
    fan.chain((0..n).flat_map(side))
        .map(|face| face.map(corner))
        .collect()
}

fn is_convex(outline: &[DVec2]) -> bool {
    let n = outline.len();
    let turn = |i: usize| {
        let (a, b, c) = (outline[i], outline[(i + 1) % n], outline[(i + 2) % n]);
        (b - a).perp_dot(c - b)
    };
    n >= 3 && (0..n).all(|i| turn(i) > 0.0)
}

/// The gap between a tube and a prism; `None` when it is more than `want`.
///
/// # Errors
/// When a number is not finite, or the two overlap and no depth can be found.
pub fn tube_to_prism(tube: &Tube, prism: &Prism, want: f64) -> Result<Option<Gap>, Unmeasured> {
    if !is_finite(tube) {
        return Err(Unmeasured::NotFinite);
    }
    let reach = want + tube.radius;
    let segment = Segment::new(tube.a, tube.b);
    if !segment
        .local_aabb()
        .loosened(reach.max(0.0))
        .intersects(&prism.bounds)
    {
        return Ok(None);
    }
    let home = Pose::IDENTITY;
    let contact = query::contact(&home, &segment, &home, &prism.hull, reach);
    match contact.map_err(|_| Unmeasured::NoDepth)? {
        Some(contact) => Ok(Some(Gap {
            inches: contact.dist - tube.radius,
            between: [contact.point1, contact.point2],
        })),
        // No contact is told both for a wide gap and for a depth that was not found.
        None => match query::intersection_test(&home, &segment, &home, &prism.hull) {
            Ok(hit) if !hit.intersecting => Ok(None),
            Ok(_) | Err(_) => Err(Unmeasured::NoDepth),
        },
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn block(lo: [f64; 3], hi: [f64; 3]) -> Prism {
        let outline = [
            DVec2::new(lo[0], lo[1]),
            DVec2::new(hi[0], lo[1]),
            DVec2::new(hi[0], hi[1]),
            DVec2::new(lo[0], hi[1]),
        ];
        Prism::new(&outline, lo[2], hi[2]).unwrap()
    }

    fn gap(a: [f64; 3], b: [f64; 3], radius: f64, prism: &Prism) -> f64 {
        let tube = Tube {
            a: a.into(),
            b: b.into(),
            radius,
        };
        tube_to_prism(&tube, prism, 20.0).unwrap().unwrap().inches
    }

    #[test]
    fn beside_a_block_against_closed_forms() {
        // Cases Q018, Q020, Q023 and Q024 (feet there): clamp to the box, derived.
        let o = [0.0, 0.0, 0.0];
        let beside = block([2.0, 1.0, -1.0], [4.0, 3.0, 1.0]);
        assert!((gap(o, [10.0, 0.0, 0.0], 0.0, &beside) - 1.0).abs() < 1e-6);
        let corner = block([3.0, 3.0, 2.0], [5.0, 5.0, 5.0]);
        assert!((gap(o, [1.0, 0.0, 0.0], 0.0, &corner) - 4.123_106).abs() < 1e-6);
        let footing = block([0.0, -5.0, -2.0], [2.0, 5.0, -1.0]);
        assert!((gap([3.0, 0.0, -4.0], [3.0, 0.0, 0.0], 0.0, &footing) - 1.0).abs() < 1e-6);
        let footing = block([0.0, 0.0, -1.5], [20.0, 1.333_333, 0.0]);
        let got = gap([0.0, 2.0, -2.2], [20.0, 2.0, -2.6], 0.1875, &footing);
        assert!((got - 0.779_167).abs() < 1e-4, "{got}");
    }

    #[test]
    fn a_pipe_straight_through_is_as_deep_as_the_shorter_way_out() {
        let pier = block([0.0, 0.0, -48.0], [60.0, 60.0, -6.0]);
        // Axis 27 in above the underside and 15 in below the top, 30 in from the sides: 15 + 1.75 in deep.
        let got = gap([-100.0, 30.0, -21.0], [200.0, 30.0, -21.0], 1.75, &pier);
        assert!((got + 16.75).abs() < 1e-6, "{got}");
    }

    #[test]
    fn far_off_is_none_and_odd_outlines_are_errors() {
        let pier = block([0.0, 0.0, -48.0], [60.0, 60.0, -6.0]);
        let tube = Tube {
            a: DVec3::splat(200.0),
            b: DVec3::splat(300.0),
            radius: 1.0,
        };
        assert_eq!(tube_to_prism(&tube, &pier, 20.0), Ok(None));
        let ell = [
            (0.0, 0.0),
            (9.0, 0.0),
            (9.0, 3.0),
            (3.0, 3.0),
            (3.0, 9.0),
            (0.0, 9.0),
        ];
        let ell: Vec<DVec2> = ell.iter().map(|p| DVec2::new(p.0, p.1)).collect();
        assert_eq!(
            Prism::new(&ell, -3.0, 0.0).err(),
            Some(Unmeasured::NotConvex)
        );
        let tube = Tube {
            radius: f64::NAN,
            ..tube
        };
        assert_eq!(
            tube_to_prism(&tube, &pier, 20.0),
            Err(Unmeasured::NotFinite)
        );
    }

    /// Distance of an axis from a box by halving: the distance of a point to a box is convex along a segment.
    fn by_halving(a: DVec3, b: DVec3, lo: DVec3, hi: DVec3) -> f64 {
        let far = |t: f64| {
            let p = a.lerp(b, t);
            p.distance(p.clamp(lo, hi))
        };
        let (mut from, mut to) = (0.0, 1.0);
        for _ in 0..200 {
            let third = (to - from) / 3.0;
            if far(from + third) < far(to - third) {
                to -= third;
            } else {
                from += third;
            }
        }
        far(f64::midpoint(from, to))
    }

    fn point() -> impl Strategy<Value = [f64; 3]> {
        [-60.0..60.0, -60.0..60.0, -60.0..0.0_f64]
    }

    proptest! {
        #[test]
        fn outside_a_block_as_by_halving(a in point(), b in point()) {
            let (lo, hi) = (DVec3::new(-20.0, -10.0, -32.0), DVec3::new(20.0, 10.0, -24.0));
            let want = by_halving(a.into(), b.into(), lo, hi);
            let prism = block(lo.into(), hi.into());
            let tube = Tube { a: a.into(), b: b.into(), radius: 1.75 };
            let got = tube_to_prism(&tube, &prism, 500.0).unwrap().unwrap().inches;
            if want > 1e-6 {
                prop_assert!((got - (want - 1.75)).abs() < 1e-6, "{got} {want}");
            } else {
                prop_assert!(got <= -1.75 + 1e-6, "{got}");
            }
        }
    }
}
