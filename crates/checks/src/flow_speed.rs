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

const STILL: Flow = Flow {
    feet_per_second: 0.0,
    gallons_per_minute: 0.0,
};

/// A round pipe of inside diameter `bore_in` half full at `slope` (ft per ft) with roughness `n`.
///
/// Half full and full share the hydraulic radius D/4, so the velocity is that of the full pipe and the flow is half of its.
/// Zero for a bore, slope or roughness that is not positive.
pub fn half_full(bore_in: f64, slope: f64, n: f64) -> Flow {
    at_depth(bore_in, slope, n, 0.5)
}

/// The same pipe with water to `depth` of its diameter, from 0 to 1; n is taken not to change with the depth.
///
/// The water's section is a segment: θ = 2 acos(1 − 2 depth), A = D²/8 (θ − sin θ), P = D θ/2, R = A/P. More flows a little
/// below full than full: 1.076 times as much at 0.938. Zero for a depth outside its range as well.
pub fn at_depth(bore_in: f64, slope: f64, n: f64, depth: f64) -> Flow {
    let real = bore_in > 0.0 && slope > 0.0 && n > 0.0 && depth > 0.0 && depth <= 1.0;
    if !real {
        return STILL;
    }
    let bore = bore_in / 12.0;
    let angle = 2.0 * (1.0 - 2.0 * depth).acos();
    let area = bore * bore / 8.0 * (angle - angle.sin());
    let radius = area / (bore * angle / 2.0);
    let feet_per_second = K / n * radius.powf(2.0 / 3.0) * slope.sqrt();
    Flow {
        feet_per_second,
        gallons_per_minute: feet_per_second * area * GPM_PER_CFS,
    }
}

/// The slope (ft per ft) at which that pipe, half full or full, runs `feet_per_second`. `None` for what is not positive.
pub fn slope_for(bore_in: f64, feet_per_second: f64, n: f64) -> Option<f64> {
    let real = bore_in > 0.0 && feet_per_second > 0.0 && n > 0.0;
    real.then(|| (feet_per_second * n / (K * (bore_in / 48.0).powf(2.0 / 3.0))).powi(2))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_pipe_carries_nothing() {
        assert_eq!(half_full(0.0, 0.02, 0.012).feet_per_second, 0.0);
        assert_eq!(half_full(3.0, -0.02, 0.012).gallons_per_minute, 0.0);
        assert_eq!(at_depth(3.0, 0.02, 0.012, 1.1), STILL);
        assert_eq!(at_depth(3.0, 0.02, 0.012, f64::NAN), STILL);
        assert_eq!(slope_for(3.0, 2.0, 0.0), None);
    }

    #[test]
    fn units_and_constant() {
        // Cases H-K and H-UNITS: the cube root of the feet in a metre; 231 cubic inches to the gallon.
        assert!(((1.0_f64 / 0.3048).cbrt() - K).abs() < 1e-5);
        assert!((GPM_PER_CFS / 448.831 - 1.0).abs() < 1e-4);
        // Case H-DFU-DEF: a fixture unit began as one cubic foot drained in a minute, 7.48 gpm. A definition, not a peak flow.
        assert!((GPM_PER_CFS / 60.0 - 7.48).abs() < 0.02);
    }
}
