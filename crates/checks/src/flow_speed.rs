//! Velocity and flow of a round pipe by Manning's formula, a figure to read beside its n and nothing more.

/// A flow.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Flow {
    /// Mean velocity.
    pub feet_per_second: f64,
    /// Volume.
    pub gallons_per_minute: f64,
}

/// Manning's constant in feet and seconds: the cube root of the feet in a metre.
const K: f64 = 1.485_919;
/// Gallons a minute in a cubic foot a second: 1728 cubic inches, 231 to the gallon, 60 seconds.
const GPM_PER_CFS: f64 = 1728.0 / 231.0 * 60.0;

/// A round pipe of inside diameter `bore_in` half full at `slope` (ft per ft) with roughness `n`.
///
/// Half full and full share the hydraulic radius D/4, so the velocity is that of the full pipe and the flow is half of its.
/// Zero for a bore, slope or roughness that is not positive.
pub fn half_full(bore_in: f64, slope: f64, n: f64) -> Flow {
    if bore_in <= 0.0 || slope <= 0.0 || n <= 0.0 {
        return Flow {
            feet_per_second: 0.0,
            gallons_per_minute: 0.0,
        };
    }
    let bore = bore_in / 12.0;
    let feet_per_second = K / n * (bore / 4.0).powf(2.0 / 3.0) * slope.sqrt();
    let area = std::f64::consts::PI * bore * bore / 8.0;
    Flow {
        feet_per_second,
        gallons_per_minute: feet_per_second * area * GPM_PER_CFS,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worked_velocities() {
        // Cases H-M010 to H-M013: Manning in its metric form, worked with a public hydraulics library.
        // bore in, slope in/ft, n, ft/s, gpm half full.
        let cases = [
            (2.0, 1.0 / 16.0, 0.010, 1.289, 6.31),
            (2.0, 0.25, 0.010, 2.578, 12.62),
            (2.0, 0.5, 0.010, 3.645, 17.85),
            (3.0, 1.0 / 16.0, 0.010, 1.689, 18.60),
            (3.0, 0.125, 0.010, 2.388, 26.31),
            (4.0, 0.125, 0.010, 2.893, 56.66),
            (6.0, 0.25, 0.010, 5.362, 236.26),
            (2.0, 0.125, 0.012, 1.519, 7.44),
            (2.0, 0.25, 0.012, 2.148, 10.52),
            (3.0, 1.0 / 16.0, 0.012, 1.407, 15.50),
            (3.0, 0.125, 0.012, 1.990, 21.93),
            (3.0, 0.5, 0.012, 3.981, 43.85),
            (4.0, 0.5, 0.012, 4.822, 94.44),
            (6.0, 0.125, 0.012, 3.159, 139.22),
            (2.0, 0.125, 0.013, 1.402, 6.86),
            (2.0, 0.25, 0.013, 1.983, 9.71),
        ];
        for (bore, in_per_ft, n, velocity, flow) in cases {
            let got = half_full(bore, in_per_ft / 12.0, n);
            assert!(
                (got.feet_per_second / velocity - 1.0).abs() < 1e-3,
                "{bore} at {in_per_ft}: {got:?}"
            );
            assert!(
                (got.gallons_per_minute / flow - 1.0).abs() < 1e-3,
                "{bore} at {in_per_ft}: {got:?}"
            );
        }
    }

    #[test]
    fn what_is_no_pipe_carries_nothing() {
        assert_eq!(half_full(0.0, 0.02, 0.012).feet_per_second, 0.0);
        assert_eq!(half_full(3.0, -0.02, 0.012).gallons_per_minute, 0.0);
    }
}
