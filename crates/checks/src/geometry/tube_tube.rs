//! Tube to tube: closest points of the axes, less both radii.
//!
//! Contact of two capsules is not used: where the axes cross it has no direction to go by and tells 0.

use glam::DVec3;
use parry3d_f64::{
    math::Pose, query::details::closest_points_segment_segment_with_locations, shape::Segment,
};
use scene::Tube;

use super::{Gap, Unmeasured};

/// The gap between two tubes. Symmetric; a tube of no length is a ball.
///
/// # Errors
/// When a coordinate or radius is not finite.
pub fn tube_to_tube(a: &Tube, b: &Tube) -> Result<Gap, Unmeasured> {
    if !(is_finite(a) && is_finite(b)) {
        return Err(Unmeasured::NotFinite);
    }
    let between = nearest_on_axes((a.a, a.b), (b.a, b.b));
    let inches = between[0].distance(between[1]) - a.radius - b.radius;
    Ok(Gap { inches, between })
}

pub(crate) fn is_finite(tube: &Tube) -> bool {
    tube.a.is_finite() && tube.b.is_finite() && tube.radius.is_finite()
}

/// The nearest points of two segments, the first on the first.
pub(crate) fn nearest_on_axes(a: (DVec3, DVec3), b: (DVec3, DVec3)) -> [DVec3; 2] {
    let (a, b) = (Segment::new(a.0, a.1), Segment::new(b.0, b.1));
    let (on_a, on_b) = closest_points_segment_segment_with_locations(&Pose::IDENTITY, &a, &b);
    [a.point_at(&on_a), b.point_at(&on_b)]
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn tube(a: [f64; 3], b: [f64; 3], radius: f64) -> Tube {
        Tube {
            a: a.into(),
            b: b.into(),
            radius,
        }
    }

    fn distance(a: [f64; 3], b: [f64; 3], c: [f64; 3], d: [f64; 3]) -> f64 {
        tube_to_tube(&tube(a, b, 0.0), &tube(c, d, 0.0))
            .unwrap()
            .inches
    }

    fn same(got: f64, want: f64, tolerance: f64) {
        assert!((got - want).abs() <= tolerance, "{got}, not {want}");
    }

    #[test]
    fn axes_against_closed_forms() {
        let o = [0.0, 0.0, 0.0];
        // Cases Q002 to Q010, closed form, derived.
        same(
            distance(o, [2.0, 2.0, 0.0], [0.0, 2.0, 0.0], [2.0, 0.0, 0.0]),
            0.0,
            1e-6,
        );
        same(
            distance(o, [10.0, 0.0, 0.0], [3.0, 2.0, 1.0], [8.0, 2.0, 1.0]),
            2.236_067_977,
            1e-6,
        );
        same(
            distance(o, [2.0, 0.0, 0.0], [5.0, 4.0, 0.0], [9.0, 4.0, 0.0]),
            5.0,
            1e-6,
        );
        same(
            distance(o, [1.0, 0.0, 0.0], [4.0, 0.0, 0.0], [6.0, 0.0, 0.0]),
            3.0,
            1e-6,
        );
        same(
            distance([3.0, 4.0, 0.0], [3.0, 4.0, 0.0], o, [6.0, 0.0, 0.0]),
            4.0,
            1e-6,
        );
        same(distance(o, o, [1.0, 2.0, 2.0], [1.0, 2.0, 2.0]), 3.0, 1e-6);
        same(
            distance(o, [4.0, 0.0, 0.0], [1.0, -1.0, 1.0], [3.0, 1.0, 1.0]),
            1.0,
            1e-6,
        );
    }

    #[test]
    fn axes_all_but_parallel() {
        // Case Q013: coordinates from a forum thread on near-parallel failure, distance computed. Told there in
        // thousandths or so; here a thousand times larger, as pipes are.
        let scaled = |p: [f64; 3]| p.map(|x| x * 1000.0);
        let got = distance(
            scaled([0.012_712, -0.000_689, -0.001_095]),
            scaled([0.012_895, -0.000_687, -0.001_131]),
            scaled([0.012_676, -0.000_69, -0.000_996]),
            scaled([0.012_859, -0.000_688, -0.001_032]),
        );
        same(got, 9.019e-2, 5e-4);
    }

    #[test]
    fn gaps_are_signed() {
        // Cases Q015 and Q016, in feet there: axis distance less the two radii, derived.
        let a = tube([0.0, 0.0, 0.0], [10.0, 0.0, 0.0], 0.5);
        let b = tube([0.0, 1.0, 0.0], [10.0, 1.0, 0.0], 0.5);
        same(tube_to_tube(&a, &b).unwrap().inches, 0.0, 1e-9);
        let a = tube([0.0, 0.0, 0.0], [10.0, 0.0, 0.0], 0.1875);
        let b = tube([5.0, -2.0, 0.2], [5.0, 2.0, 0.2], 0.1875);
        same(tube_to_tube(&a, &b).unwrap().inches * 12.0, -2.1, 1e-4);
        // Axes that cross: as deep as both radii.
        let b = tube([5.0, -2.0, 0.0], [5.0, 2.0, 0.0], 0.1875);
        same(tube_to_tube(&a, &b).unwrap().inches, -0.375, 1e-9);
    }

    #[test]
    fn a_number_that_is_none_is_an_error() {
        let a = tube([f64::NAN, 0.0, 0.0], [1.0, 0.0, 0.0], 1.0);
        assert_eq!(tube_to_tube(&a, &a), Err(Unmeasured::NotFinite));
    }

    fn point() -> impl Strategy<Value = [f64; 3]> {
        [-50.0..50.0, -50.0..50.0, -20.0..0.0_f64]
    }

    proptest! {
        #[test]
        fn symmetric_and_no_wider_than_any_sample(
            a in point(), b in point(), c in point(), d in point(), s in 0.0..1.0, t in 0.0..1.0,
        ) {
            let (one, two) = (tube(a, b, 1.75), tube(c, d, 1.0));
            let gap = tube_to_tube(&one, &two).unwrap().inches;
            prop_assert!((gap - tube_to_tube(&two, &one).unwrap().inches).abs() < 1e-9);
            let sample = one.a.lerp(one.b, s).distance(two.a.lerp(two.b, t)) - 2.75;
            prop_assert!(gap <= sample + 1e-9);
        }
    }
}
