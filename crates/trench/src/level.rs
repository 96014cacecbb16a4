//! Levels by rod: what to read for today's height of instrument, what a reading means, how sure a grade is, how deep to
//! dig. Elevations and rod readings are in one unit, inches on our pages; feet do as well.

/// Height of the instrument: the benchmark's elevation and the rod read on it (backsight).
pub fn instrument(benchmark: f64, backsight: f64) -> f64 {
    benchmark + backsight
}

/// What the rod must read on a point at `elevation`.
pub fn rod(instrument: f64, elevation: f64) -> f64 {
    instrument - elevation
}

/// The elevation of a point on which the rod reads `reading`.
pub fn elevation(instrument: f64, reading: f64) -> f64 {
    instrument - reading
}

/// Inches as feet and hundredths, as surveyors' rods are marked: `5.42`.
pub fn decimal_feet(inches: f64) -> String {
    let text = format!("{:.2}", inches / 12.0);
    if text == "-0.00" { "0.00".into() } else { text }
}

/// How much to dig (positive) or to fill (negative) where the rod reads `reading` and should read `wanted`.
pub fn more_cut(wanted: f64, reading: f64) -> f64 {
    wanted - reading
}

/// What a run of levels from a benchmark back to it (or to another known one) fails to close by: carried less known.
pub fn misclosure(benchmark: f64, legs: &[(f64, f64)], known_end: f64) -> f64 {
    carried(benchmark, legs) - known_end
}

/// The elevation carried from `benchmark` through legs of `(backsight, foresight)`.
pub fn carried(benchmark: f64, legs: &[(f64, f64)]) -> f64 {
    legs.iter().fold(benchmark, |at, (back, fore)| {
        elevation(instrument(at, *back), *fore)
    })
}

/// The height of a sight rail over its peg, for a traveller of the given length.
pub fn rail_above_peg(wanted: f64, traveller: f64, peg: f64) -> f64 {
    wanted + traveller - peg
}

/// A grade from two readings, with how sure it is.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct MeasuredGrade {
    /// Inches a foot, positive when it falls to the second point.
    pub in_per_ft: f64,
    /// One standard deviation, inches a foot.
    pub sure_to: f64,
}

/// The grade between two rod readings `apart` inches from each other along the pipe, each good to `reading_error`
/// inches (one standard deviation; independent). None where they stand on one spot.
pub fn grade(first: f64, second: f64, apart: f64, reading_error: f64) -> Option<MeasuredGrade> {
    if apart < units::SAME_LENGTH {
        return None;
    }
    let feet = apart / 12.0;
    Some(MeasuredGrade {
        in_per_ft: (second - first) / feet,
        sure_to: reading_error * std::f64::consts::SQRT_2 / feet,
    })
}

/// The bottom of the trench under a pipe: invert less wall less bedding, inches.
pub fn trench_bottom(invert: f64, wall: f64, bedding: f64) -> f64 {
    invert - wall - bedding
}

/// The five levels of a pipe by which people mean "its height".
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct PipeLevels {
    /// Outside bottom.
    pub bottom: f64,
    /// Inside bottom.
    pub invert: f64,
    /// Axis.
    pub centre: f64,
    /// Inside top.
    pub soffit: f64,
    /// Outside top.
    pub crown: f64,
}

/// The levels of a pipe from its invert, all in one unit.
pub fn pipe_levels(invert: f64, inside: f64, outside: f64) -> PipeLevels {
    let wall = (outside - inside) / 2.0;
    PipeLevels {
        bottom: invert - wall,
        invert,
        centre: invert + inside / 2.0,
        soffit: invert + inside,
        crown: invert + inside + wall,
    }
}

/// What a target on a pipe laser must show over the beam when the rod on the laser reads `rod_on_laser`; the beam runs
/// `beam_above_invert` over the invert. All in one unit.
pub fn laser_target(above_hub: f64, cut: f64, beam_above_invert: f64, rod_on_laser: f64) -> f64 {
    above_hub + cut - beam_above_invert - rod_on_laser
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got} is not {want}");
    }

    #[test]
    fn cut_from_hub_to_invert() {
        // NAVEDTRA 14070, sewer stakeout plan (case G002, read), feet.
        close(
            more_cut(rod(130.0, 122.87), rod(130.0, 126.94)),
            4.07,
            0.005,
        );
    }

    #[test]
    fn rod_checks_of_the_equipment_operator() {
        // NAVEDTRA 14081 (cases G006, G007, G009, read), feet: hub 5.0, cut 7.5, work reads 12.2.
        close(more_cut(5.0 + 7.5, 12.2), 0.3, 1e-9);
        close(more_cut(12.0 - 7.0, 5.5), -0.5, 1e-9);
        let hi = instrument(240.0 - 7.0, 4.0);
        close(hi, 237.0, 1e-9);
        close(239.0 - elevation(hi, 4.5), 6.5, 1e-9);
    }

    #[test]
    fn rod_readings_for_the_sewer_exercise() {
        // Ghilani and Wolf, construction surveys (case G014; answers computed), feet: readings for boards 6 ft over invert.
        let hi = instrument(853.63, 5.32);
        close(hi, 858.95, 1e-9);
        for (station, want) in [
            (0.0, 9.0),
            (100.0, 8.49),
            (300.0, 7.46),
            (600.0, 5.92),
            (637.0, 5.73),
        ] {
            let invert = 843.95 + (847.22 - 843.95) * station / 637.0;
            close(rod(hi, invert + 6.0), want, 0.011);
        }
        for (fore, ground) in [(5.36, 853.59), (6.47, 852.48), (9.12, 849.83)] {
            close(elevation(hi, fore), ground, 0.011);
        }
        close(misclosure(853.63, &[(5.32, 5.36)], 853.63), -0.04, 1e-9);
    }

    #[test]
    fn levels_carried_through_turning_points() {
        // Differential levelling notes (case G015, read) and Civil Engineering Survey Review table 8-1 (case G016, read).
        close(carried(820.0, &[(8.42, 1.2)]), 827.22, 0.005);
        close(
            carried(107.34, &[(7.25, 1.07), (9.66, 0.48), (8.09, 10.7)]),
            120.09,
            0.005,
        );
    }

    #[test]
    fn sight_rails_over_their_pegs() {
        // Engineering surveying exercise 3.5 (case G018, read), metres: traveller 3, falling 1 in 200 over 100 m.
        for (peg, wanted, above) in [
            (28.0, 26.5, 1.5),
            (27.34, 26.0, 1.66),
            (27.56, 25.5, 0.94),
            (26.2, 24.5, 1.3),
        ] {
            close(rail_above_peg(wanted, 3.0, peg), above, 0.005);
        }
        // Setting-out question 8(a) (cases G020 and G021, computed): the misprint moves the rod, not the rails.
        for (invert, traveller) in [(1066.48, 23.5), (1086.48, 3.5)] {
            for (back, peg, above) in [
                (0.0, 1088.46, 1.52),
                (75.0, 1088.92, 1.81),
                (225.0, 1090.03, 2.2),
            ] {
                close(
                    rail_above_peg(invert + back / 100.0, traveller, peg),
                    above,
                    0.005,
                );
            }
        }
        // Case G019 (computed): falling 1 in 150, traveller 2.5 m, uprights read 0.16 and 1.17.
        let hi = instrument(100.0, 0.39);
        close(
            rail_above_peg(elevation(hi, 2.84), 2.5, elevation(hi, 0.16)),
            -0.18,
            0.002,
        );
        close(
            rail_above_peg(97.55 - 54.11 / 150.0, 2.5, elevation(hi, 1.17)),
            0.469,
            0.002,
        );
    }

    #[test]
    fn a_pipe_laser_at_a_manhole() {
        // Pipe laser field guide (cases G028, G030, G031, read).
        close(6.48 + 4.51, 10.99, 1e-9);
        close(rod(6.48, -4.51), 10.99, 1e-9);
        close(laser_target(1.128, 0.805, 0.152, 1.635), 0.146, 1e-3);
        close(laser_target(3.7, 2.64, 0.5, 5.38), 0.46, 5e-3);
    }

    #[test]
    fn the_levels_of_a_pipe() {
        // Cases G048 to G050 (schedule 40 sizes from memory, derived), feet.
        for (inside, outside, want) in [
            (3.068, 3.5, [97.482, 97.6278, 97.7557, 97.7737]),
            (2.067, 2.375, [97.4872, 97.5861, 97.6723, 97.6851]),
            (6.065, 6.625, [97.4767, 97.7527, 98.0054, 98.0287]),
        ] {
            let got = pipe_levels(97.5, inside / 12.0, outside / 12.0);
            for (got, want) in [got.bottom, got.centre, got.soffit, got.crown]
                .iter()
                .zip(want)
            {
                close(*got, want, 5e-4);
            }
        }
    }

    #[test]
    fn a_short_grade_is_a_doubtful_grade() {
        // By hand: 1/16 in a reading over 4 ft is 0.0625 * 1.4142 / 4 = 0.0221 in/ft; over 20 ft a fifth of it.
        let short = grade(60.0, 61.0, 48.0, 0.0625).unwrap();
        close(short.in_per_ft, 0.25, 1e-9);
        close(short.sure_to, 0.0221, 1e-4);
        close(
            grade(60.0, 65.0, 240.0, 0.0625).unwrap().sure_to,
            0.00442,
            1e-5,
        );
        assert_eq!(grade(1.0, 2.0, 0.0, 0.1), None);
    }

    #[test]
    fn bottom_of_the_trench_and_feet_on_the_rod() {
        // 4 in schedule 40 (wall 0.237) at -16.36, 4 in of bedding: by hand -20.597.
        close(trench_bottom(-16.36, 0.237, 4.0), -20.597, 1e-9);
        assert_eq!(decimal_feet(65.0), "5.42");
        assert_eq!(decimal_feet(-0.01), "0.00");
        // Pole-building manual table 4-1 (case G046, read): 0.0833 ft is an inch, 0.0313 ft 3/8 in.
        for (feet, inches) in [
            (0.0833, "1\""),
            (0.4167, "5\""),
            (0.0781, "15/16\""),
            (0.0625, "3/4\""),
            (0.0313, "3/8\""),
        ] {
            assert_eq!(units::inches_text(feet * 12.0, 16), inches);
        }
    }
}
