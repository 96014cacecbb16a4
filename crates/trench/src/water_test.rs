//! The test before cover: how much water, what the gauge shows, what each cap must hold, and what the sun does to air.

use std::f64::consts::FRAC_PI_4;

/// Pounds a square inch for each foot of water (2015 state plumbing code, sizing appendix E103.2.2, read).
pub const PSI_PER_FOOT: f64 = 0.433;
/// Added to gauge pressure to make it absolute, psi (fuel gas code appendix A.6.5, read).
pub const ATMOSPHERE: f64 = 14.7;
/// Added to Fahrenheit to make it absolute, as printed (fuel gas code appendix A.6.5, read; 459.67 exactly).
pub const RANKINE: f64 = 459.0;
/// Cubic inches in a gallon, by definition.
pub const CUBIC_INCHES_A_GALLON: f64 = 231.0;

/// Gallons that fill `length` inches of pipe with the given inside diameter, inches.
pub fn gallons(inside: f64, length: f64) -> f64 {
    FRAC_PI_4 * inside * inside * length / CUBIC_INCHES_A_GALLON
}

/// The pressure, psi, under `head` inches of water. Nothing presses above the water.
pub fn psi(head: f64) -> f64 {
    head.max(0.0) / 12.0 * PSI_PER_FOOT
}

/// The push on a closed end, pounds, at `psi`; on the outside diameter (inches) for a cap, on the inside for a plug.
/// (Makers' test manual and plug makers' safety sheets, read.)
pub fn thrust(diameter: f64, psi: f64) -> f64 {
    FRAC_PI_4 * diameter * diameter * psi
}

/// What a gauge on closed air shows, psi, when it warms or cools from `then` to `now` degrees F with no leak.
/// `P2 = P1 · T2 / T1`, both absolute (fuel gas code appendix A.6.5, read).
pub fn gauge_at(gauge: f64, then: f64, now: f64) -> f64 {
    (gauge + ATMOSPHERE) * (now + RANKINE) / (then + RANKINE) - ATMOSPHERE
}

/// How much of a gauge's change is not the weather's, psi: what it shows less what [`gauge_at`] expects. Below zero leaks.
pub fn lost(shown: f64, gauge: f64, then: f64, now: f64) -> f64 {
    shown - gauge_at(gauge, then, now)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got} is not {want}");
    }

    #[test]
    fn ten_feet_of_water() {
        // A maker's plastics technical manual (case WE33, read).
        close(psi(120.0), 4.3, 0.05);
        close(psi(-5.0), 0.0, 0.0);
    }

    #[test]
    fn thrust_as_the_makers_tables_have_it() {
        // A maker's cast-iron manual (cases WE35 and WE36, read): areas 15.07 and 8.81 sq in at 10 ft.
        for (area, pounds) in [(15.07_f64, 65.0), (8.81, 38.0)] {
            close(thrust((area / FRAC_PI_4).sqrt(), 4.3), pounds, 1.0);
        }
        // Plug maker's tips sheet (case WE38, read): 8 in at 5 psi, pi taken as 3.14.
        close(thrust(8.0, 5.0), 251.2, 0.2);
        // Case WE41 (computed): a 4 in cap at 5 psi.
        close(thrust(4.5, 5.0), 79.5, 0.1);
        // Reference table (computed), caps at 10 ft by 4.33 psi: 2, 3, 4 in.
        for (outside, pounds) in [(2.375, 19.2), (3.5, 41.7), (4.5, 68.9)] {
            close(thrust(outside, psi(120.0)), pounds, 0.1);
        }
        // Hand-worked pour table (plugs, 4.34 psi): 14.5, 32.0, 55.2 lb.
        for (inside, pounds) in [(2.067, 14.5), (3.068, 32.0), (4.026, 55.2)] {
            close(thrust(inside, 4.34), pounds, 0.1);
        }
    }

    #[test]
    fn water_to_fill() {
        // Plumber's and Pipe Fitter's Calculations Manual (case WE48, read): a tank 18 by 60 in.
        close(gallons(18.0, 60.0), 66.1, 0.1);
        // Cases WE49 and WE50 (computed): 100 ft of 4 in; 40 ft of 3 in and a 10 ft stand pipe.
        close(gallons(3.998, 1200.0), 65.2, 0.1);
        close(gallons(3.042, 600.0), 18.9, 0.1);
        // Hand-worked pour table: a foot of 2, 3 and 4 in.
        for (inside, gal) in [(2.067, 0.174), (3.068, 0.384), (4.026, 0.661)] {
            close(gallons(inside, 12.0), gal, 5e-4);
        }
    }

    #[test]
    fn a_gauge_falls_with_the_evening() {
        // Fuel gas code appendix A.6.5 (case WE42, read): 20 psig at 70 F is 18 psig at 40 F.
        close(gauge_at(20.0, 70.0, 40.0), 18.0, 0.1);
        // Case WE44 (computed): 5 psig at 60 F in the morning, 95 F in the sun.
        close(gauge_at(5.0, 60.0, 95.0), 6.33, 0.01);
        close(lost(17.0, 20.0, 70.0, 40.0), -1.0, 0.1);
    }
}
