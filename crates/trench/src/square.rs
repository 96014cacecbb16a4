//! Are the forms square? Diagonals, the 3-4-5, what a small misread does far away, and the corners of a turned box.

use glam::DVec2;

/// The diagonal of a rectangle with sides `a` and `b`, in their unit.
pub fn diagonal(a: f64, b: f64) -> f64 {
    a.hypot(b)
}

/// What two measured diagonals of a four-sided form say.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Square {
    /// How far the far side is pushed along, in the sides' unit; positive when the first diagonal is the longer.
    pub shift: f64,
    /// The lean of the corner, degrees.
    pub lean: f64,
    /// First diagonal less the second.
    pub difference: f64,
}

/// Reads two diagonals of a form `width` by `depth` (all one unit, above zero) whose opposite sides are equal.
///
/// From `d1² − d2² = 4 · width · shift`. None where a side is not above zero.
pub fn by_diagonals(width: f64, depth: f64, first: f64, second: f64) -> Option<Square> {
    if !(width > 0.0 && depth > 0.0) {
        return None;
    }
    let shift = (first * first - second * second) / (4.0 * width);
    let lean = (shift / depth).clamp(-1.0, 1.0).asin().to_degrees();
    Some(Square {
        shift,
        lean,
        difference: first - second,
    })
}

/// The greatest difference of the diagonals that keeps the far side within `tolerance` of square; one unit throughout.
pub fn allowed_difference(width: f64, depth: f64, tolerance: f64) -> f64 {
    let deep = (depth * depth - tolerance * tolerance).max(0.0).sqrt();
    (width + tolerance).hypot(deep) - (width - tolerance).hypot(deep)
}

/// The largest 3-4-5 triangle in whole feet whose longer leg fits in `leg_in` inches: legs and diagonal, feet. None
/// where not even 3-4-5 itself fits.
pub fn three_four_five(leg_in: f64) -> Option<[f64; 3]> {
    let times = (leg_in / 48.0 + 1e-9).floor();
    (times >= 1.0).then_some([3.0 * times, 4.0 * times, 5.0 * times])
}

/// The angle lost, degrees, when the long side of a right triangle with legs `a` and `b` is set `error` too long (all
/// one unit, above zero).
pub fn angle_error(a: f64, b: f64, error: f64) -> f64 {
    let long = a.hypot(b) + error;
    let cos = (a * a + b * b - long * long) / (2.0 * a * b);
    cos.clamp(-1.0, 1.0).acos().to_degrees() - 90.0
}

/// The corners of a box `size` turned by `degrees` against the clock about its first corner `at`, in order.
pub fn turned(at: DVec2, size: DVec2, degrees: f64) -> [DVec2; 4] {
    let east = DVec2::from_angle(degrees.to_radians());
    let north = east.perp();
    [
        at,
        at + east * size.x,
        at + east * size.x + north * size.y,
        at + north * size.y,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn diagonals_of_the_guides() {
        // Cases L003 (framing guide, read), L004 (forum post, read), L008 (pole-building manual, read), L009 and L010
        // (computed), in feet.
        for (a, b, d) in [
            (15.0, 20.0, 25.0),
            (21.0, 28.0, 35.0),
            (50.0, 84.0, 97.754_795),
            (20.0, 30.0, 36.055_51),
            (24.0, 40.0, 46.647_62),
        ] {
            assert!((diagonal(a, b) - d).abs() < 5e-5);
        }
        // The same manual prints 97'-9 1/16".
        assert_eq!(
            units::feet_inches(diagonal(600.0, 1008.0), 16),
            "97'-9 1/16\""
        );
        assert_eq!(
            units::feet_inches(diagonal(240.0, 360.0), 16),
            "36'-0 11/16\""
        );
        assert_eq!(
            units::feet_inches(diagonal(288.0, 480.0), 16),
            "46'-7 3/4\""
        );
    }

    #[test]
    fn a_lean_is_read_back_from_the_diagonals() {
        // Cases L013 and L015 (parallelogram diagonals, derived): 40 by 24 ft; long, short, shift of the far side in inches.
        for (long, short, shift_in, lean) in [
            (46.6835, 46.6117, 0.503, 0.1),
            (46.8269, 46.4677, 2.513, 0.5),
        ] {
            let got = by_diagonals(40.0, 24.0, long, short).unwrap();
            assert!((got.shift * 12.0 - shift_in).abs() < 2e-3, "{got:?}");
            assert!((got.lean - lean).abs() < 5e-4);
        }
        let got = by_diagonals(40.0, 24.0, 46.6835, 46.6117).unwrap();
        assert!((got.difference * 12.0 - 0.862).abs() < 1e-3);
        assert_eq!(by_diagonals(0.0, 24.0, 1.0, 1.0), None);
    }

    #[test]
    fn the_shear_of_the_house_on_a_brick_ledge() {
        // Hand-worked house on a brick ledge: 60 by 36 ft, 70'-0 3/8" and 69'-11 5/8" give 7/16 in.
        let got = by_diagonals(720.0, 432.0, 840.375, 839.625).unwrap();
        assert!((got.shift - 0.4375).abs() < 1e-3, "{got:?}");
    }

    #[test]
    fn what_is_allowed_gives_just_that_shift() {
        let allowed = allowed_difference(480.0, 288.0, 0.25);
        let mean = diagonal(480.0, 288.0);
        let got = by_diagonals(480.0, 288.0, mean + allowed / 2.0, mean - allowed / 2.0).unwrap();
        assert!((got.shift - 0.25).abs() < 1e-4, "{got:?}");
    }

    #[test]
    fn the_longest_three_four_five_that_fits() {
        assert_eq!(three_four_five(480.0), Some([30.0, 40.0, 50.0]));
        assert_eq!(three_four_five(100.0), Some([6.0, 8.0, 10.0]));
        assert_eq!(three_four_five(47.0), None);
    }

    #[test]
    fn long_triangles_forgive_more() {
        // Cases L049 and L050 (law of cosines, derived): 1/8 in on the long side; degrees, and inches at 40 ft.
        for (a, b, degrees, shift) in [(15.0, 20.0, 0.0497, 0.417), (30.0, 40.0, 0.0249, 0.208)] {
            let got = angle_error(a * 12.0, b * 12.0, 0.125);
            assert!((got - degrees).abs() < 1e-4, "{got}");
            assert!((got.to_radians().sin() * 480.0 - shift).abs() < 2e-3);
        }
    }

    #[test]
    fn turned_boxes_have_their_corners_where_the_cases_put_them() {
        // Cases L030 to L033 (rotation formula, derived): origin, size, degrees, third corner.
        for (at, size, degrees, third) in [
            ((10.0, 5.0), (3.0, 2.0), 15.0, (12.38014, 7.70831)),
            ((10.0, 5.0), (3.0, 2.0), 30.0, (11.59808, 8.23205)),
            ((10.0, 5.0), (3.0, 2.0), 45.0, (10.70711, 8.53553)),
            ((0.0, 0.0), (40.0, 24.0), 7.5, (36.52517, 29.01572)),
        ] {
            let corners = turned(DVec2::from(at), DVec2::from(size), degrees);
            assert!(
                corners[2].distance(DVec2::from(third)) < 1e-4,
                "{corners:?}"
            );
            // What a helper checks with a tape: the diagonal does not know of the turn.
            assert!((corners[0].distance(corners[2]) - DVec2::from(size).length()).abs() < 1e-9);
        }
        // Case L035: about the centre (10, 5) by 30 degrees; the first corner.
        let half = DVec2::from_angle(30.0_f64.to_radians()).rotate(DVec2::new(-1.5, -1.0));
        assert!((DVec2::new(10.0, 5.0) + half).distance(DVec2::new(9.20096, 3.38397)) < 1e-4);
    }
}
