//! Pipe that wants to float: in a flooded trench, in wet concrete, and what holds it down. Pounds a foot of pipe.

use std::f64::consts::FRAC_PI_4;

/// Fresh water, lb a cubic foot (municipal pipe buoyancy sheet, read).
pub const WATER: f64 = 62.4;
/// Concrete, lb a cubic foot (municipal pipe buoyancy sheet, read).
pub const CONCRETE: f64 = 150.0;
/// PVC, lb a cubic foot (municipal pipe buoyancy sheet, read).
pub const PVC: f64 = 86.0;

/// What is in the pipe.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Inside {
    /// Air.
    Air,
    /// Water, full.
    Water,
}

/// The weight of plain plastic pipe from its diameters (inches) and its stuff (lb a cubic foot).
pub fn pipe_weight(outside: f64, inside: f64, density: f64) -> f64 {
    FRAC_PI_4 * (outside * outside - inside * inside) / 144.0 * density
}

/// The lift on a pipe wholly under a fluid of `density` lb a cubic foot: what it pushes aside, its own weight not taken off.
pub fn uplift(outside: f64, density: f64) -> f64 {
    FRAC_PI_4 * outside * outside / 144.0 * density
}

/// What is left of the lift once the pipe (`weight` lb a foot) and what is in it pull down; negative sinks.
pub fn net(outside: f64, inside: f64, weight: f64, content: Inside, density: f64) -> f64 {
    let content = match content {
        Inside::Air => 0.0,
        Inside::Water => uplift(inside, WATER),
    };
    uplift(outside, density) - weight - content
}

/// How far apart ties may stand, inches, when each holds `each` pounds and the pipe lifts `net` pounds a foot; at most
/// `most` inches, which is also the answer where nothing lifts.
pub fn tie_spacing(net: f64, each: f64, most: f64) -> f64 {
    if net <= 0.0 {
        most
    } else {
        (each / net * 12.0).min(most)
    }
}

/// What each of the ties must hold, pounds, when they stand `spacing` inches apart.
pub fn hold_down(net: f64, spacing: f64) -> f64 {
    (net * spacing / 12.0).max(0.0)
}

/// The cover, feet, that keeps an empty pipe down with water to the surface: a prism of earth as wide as the pipe
/// (`outside` in inches), `soil` lb a cubic foot under water, with a factor of safety on the lift.
pub fn least_cover(outside: f64, weight: f64, soil: f64, factor: f64) -> f64 {
    ((factor * uplift(outside, WATER) - weight) / (soil * outside / 12.0)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got} is not {want}");
    }

    #[test]
    fn published_lift() {
        // Public science article (case Q056, exact figure) and an engineers' forum (case Q057, exact figure).
        close(uplift(18.0, WATER), 110.27, 0.11);
        close(uplift(18.0, WATER) * 5.0, 551.35, 0.55);
        close(uplift(96.0, WATER), 3136.6, 3.2);
        // The article rounds pi/4 to 0.78 (case WE45, read): 547.55 lb.
        close(uplift(18.0, WATER) * 5.0 * 0.78 / FRAC_PI_4, 547.55, 0.5);
    }

    #[test]
    fn schedule_40_in_water_and_in_concrete() {
        // Cases Q059 to Q061 (weights from memory, derived): outside, weight, net in water, net in concrete.
        for (outside, weight, water, concrete) in [
            (3.5, 1.42, 2.749, 8.602),
            (4.5, 2.03, 4.862, 14.537),
            (6.625, 3.57, 11.368, 32.338),
        ] {
            close(
                net(outside, 0.0, weight, Inside::Air, WATER),
                water,
                0.002 * water,
            );
            close(
                net(outside, 0.0, weight, Inside::Air, CONCRETE),
                concrete,
                0.002 * concrete,
            );
        }
        // Cases WE46 and WE47 (computed, 2.006 lb/ft).
        close(net(4.5, 0.0, 2.006, Inside::Air, WATER), 4.89, 0.02);
        close(net(4.5, 0.0, 2.006, Inside::Air, CONCRETE), 14.56, 0.02);
    }

    #[test]
    fn the_pour_numbers_worked_by_hand() {
        // Hand-worked pour table, density 1.40 (87.36 lb a cubic foot): weight, empty in water, full in water, full in concrete.
        for (outside, inside, want) in [
            (2.375, 2.067, [0.65, 1.27, -0.19, 2.51]),
            (3.5, 3.068, [1.35, 2.82, -0.39, 5.47]),
            (4.5, 4.026, [1.93, 4.97, -0.55, 9.12]),
        ] {
            let weight = pipe_weight(outside, inside, 87.36);
            close(weight, want[0], 0.01);
            close(
                net(outside, inside, weight, Inside::Air, WATER),
                want[1],
                0.01,
            );
            close(
                net(outside, inside, weight, Inside::Water, WATER),
                want[2],
                0.011,
            );
            close(
                net(outside, inside, weight, Inside::Water, CONCRETE),
                want[3],
                0.01,
            );
        }
    }

    #[test]
    fn ties_of_fifty_pounds() {
        // Reference table (computed): empty pipe in wet concrete lifts 8.61 and 14.56 lb/ft for 3 and 4 in.
        close(tie_spacing(8.61, 50.0, 1e9) / 12.0, 5.8, 0.05);
        close(tie_spacing(14.56, 50.0, 1e9) / 12.0, 3.4, 0.05);
        close(tie_spacing(8.61, 50.0, 48.0), 48.0, 1e-9);
        close(tie_spacing(-1.0, 50.0, 48.0), 48.0, 1e-9);
        close(hold_down(8.61, 48.0), 34.44, 1e-9);
        close(hold_down(-1.0, 48.0), 0.0, 1e-9);
    }

    #[test]
    fn cover_that_holds_an_empty_pipe_down() {
        // Case Q062 (derived): 4.5 in, 2.03 lb/ft, soil 57.6 under water.
        close(least_cover(4.5, 2.03, 57.6, 1.0), 0.2251, 0.001);
    }
}
