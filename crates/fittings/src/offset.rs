//! Offsets: a line that steps aside by two equal bends.

/// A single offset: two bends of one angle that shift a line aside.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Offset {
    /// How far the line is shifted, centre to centre, inches.
    pub set: f64,
    /// Centre to centre of the bends along the slanted pipe, inches.
    pub travel: f64,
    /// The same along the line, inches.
    pub run: f64,
}

impl Offset {
    /// The offset that two bends of `degrees` (more than 0, at most 90) make of a set.
    pub fn of(set: f64, degrees: f64) -> Self {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let travel = set / sin;
        Self {
            set,
            travel,
            run: travel * cos,
        }
    }

    /// The true set of a rolling offset: `rise` up and `roll` aside at once.
    pub fn rolling_set(rise: f64, roll: f64) -> f64 {
        rise.hypot(roll)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: f64, b: f64, within: f64) {
        assert!((a - b).abs() <= within, "{a} is not {b}");
    }

    #[test]
    fn published_offsets() {
        // WE03. Modern Plumbing (trade textbook), tangent figure, read.
        near(Offset::of(10.0, 45.0).run, 10.0, 0.005);
        // WE04, WE05. Teaching slides of that textbook, answer key, read.
        near(Offset::of(30.0, 45.0).travel, 42.42, 0.01);
        near(Offset::of(18.0, 45.0).travel, 25.45, 0.01);
        // WE07. The same key prints 22.21 for 15 in, a slip: 15 x 1.414 = 21.21.
        near(Offset::of(15.0, 45.0).travel, 21.21, 0.01);
        // WE08, WE09. Plumber's handbook page on angle measurement (public web copy), read.
        near(Offset::of(12.0, 60.0).travel, 13.8564, 0.002);
        near(Offset::of(12.0, 60.0).run, 6.9288, 0.002);
        // WE10. Modern Plumbing, table of sine ratios and constants, read.
        for (degrees, constant) in [(60.0, 1.155), (45.0, 1.414), (30.0, 2.0), (22.5, 2.613)] {
            near(Offset::of(1.0, degrees).travel, constant, 0.001);
        }
        // WE12, WE13. Chicago Plumbing Code, plumber's helper, single offsets, read.
        near(Offset::of(1.0, 67.5).travel, 1.0824, 0.0001);
        near(Offset::of(1.0, 67.5).run, 0.4142, 0.0001);
        near(Offset::of(10.0, 45.0).travel, 14.142, 0.001);
        // WE14. Home-repair reference article (64 + 144 = 208), read.
        near(Offset::rolling_set(8.0, 12.0), 14.42, 0.005);
    }
}
