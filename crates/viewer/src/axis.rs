//! The one place where house axes become the picture's: z-up inches in `f64` to y-up feet in `f32`.
//!
//! House x (east) stays x, house z (up) becomes y, house y (north) becomes -z. Nothing else in this crate converts.
//! Heights below the finished floor can be exaggerated, so that a quarter inch a foot can be seen; what stands above
//! the floor keeps its height, and pipes stay round.

use bevy::math::Vec3;
use glam::DVec3;

/// Inches in a unit of the picture.
const INCHES: f64 = 12.0;

/// The way from house inches to the picture and back.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Axis {
    /// Factor on heights below the finished floor, 1 for true.
    pub exaggeration: f64,
}

impl Default for Axis {
    fn default() -> Self {
        Self { exaggeration: 1.0 }
    }
}

impl Axis {
    /// A house point in the picture.
    pub fn point(self, house: DVec3) -> Vec3 {
        let up = if house.z < 0.0 {
            house.z * self.exaggeration
        } else {
            house.z
        };
        Vec3::new(
            narrow(house.x / INCHES),
            narrow(up / INCHES),
            narrow(-house.y / INCHES),
        )
    }

    /// The house point that [`Self::point`] would put at `seen`.
    pub fn house(self, seen: Vec3) -> DVec3 {
        let up = f64::from(seen.y) * INCHES;
        let z = if up < 0.0 { up / self.exaggeration } else { up };
        DVec3::new(f64::from(seen.x) * INCHES, -f64::from(seen.z) * INCHES, z)
    }

    /// A length that is not exaggerated (a radius), in picture units.
    pub fn length(inches: f64) -> f32 {
        narrow(inches / INCHES)
    }

    /// A length in picture units, in inches.
    pub fn inches(length: f32) -> f64 {
        f64::from(length) * INCHES
    }
}

/// A finite `f64` as `f32`; what is not finite becomes zero, so that no NaN reaches a mesh.
#[allow(clippy::cast_possible_truncation)]
fn narrow(value: f64) -> f32 {
    if value.is_finite() {
        value.clamp(-1e7, 1e7) as f32
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn east_up_and_north_keep_their_hands() {
        let axis = Axis::default();
        assert_eq!(axis.point(DVec3::new(12.0, 0.0, 0.0)), Vec3::X);
        assert_eq!(axis.point(DVec3::new(0.0, 12.0, 0.0)), Vec3::NEG_Z);
        assert_eq!(axis.point(DVec3::new(0.0, 0.0, 12.0)), Vec3::Y);
        // Right-handed before and after: east x north = up.
        assert_eq!(Vec3::X.cross(Vec3::NEG_Z), Vec3::Y);
    }

    #[test]
    fn only_what_is_below_the_floor_is_exaggerated() {
        let axis = Axis { exaggeration: 4.0 };
        assert!((axis.point(DVec3::new(0.0, 0.0, -12.0)).y + 4.0).abs() < 1e-6);
        assert!((axis.point(DVec3::new(0.0, 0.0, 12.0)).y - 1.0).abs() < 1e-6);
    }

    #[test]
    fn there_and_back() {
        let axis = Axis { exaggeration: 8.0 };
        for at in [
            DVec3::new(100.5, -20.25, -17.125),
            DVec3::new(1.0, 2.0, 96.0),
        ] {
            assert!(axis.house(axis.point(at)).distance(at) < 1e-4);
        }
    }

    #[test]
    fn what_is_not_a_number_never_reaches_a_mesh() {
        assert_eq!(
            Axis::default().point(DVec3::new(f64::NAN, f64::INFINITY, 0.0)),
            Vec3::ZERO
        );
    }
}
