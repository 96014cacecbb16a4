//! Published and computed cases about inverts along lines and trees. Sources stand beside the numbers.

use grades::{Lie, Problem, Run, solve};
use units::Grade;

use crate::build::{EIGHTH, QUARTER, cap, feet, flat, grade, problem, run, tail};

const INCH_PER_METRE: f64 = 1.0 / 0.0254;

#[track_caller]
fn within(found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "found {found}, expected {expected}"
    );
}

fn per_cent(percent: f64) -> Grade {
    grade(percent / 100.0 * 12.0)
}

/// One run whose invert is held to `level` at `at`, both inches.
fn held(mut line: Run, at: f64, level: f64) -> Problem {
    line.bounds = vec![cap(at, level, "told")];
    problem(vec![line], None)
}

#[test]
fn a_sewer_stakeout_plan() {
    // G001, NAVEDTRA 14070 Engineering Aid 1, sewer stakeout plan, fig. 10-19, read: 122.87 at 2.18 % over 50 ft is 121.78.
    let asked = held(
        run("line", feet(50.0), &[per_cent(2.18)]),
        feet(50.0),
        feet(122.87),
    );
    within(
        solve(&asked).expect("a level").exit.level / 12.0,
        121.78,
        0.005,
    );
}

#[test]
fn inverts_by_station_on_a_half_per_cent_sewer() {
    // G011, Ghilani and Wolf, Elementary Surveying, 0.50 per cent sewer; answers computed.
    let asked = held(run("line", feet(250.0), &[per_cent(0.5)]), 0.0, feet(83.64));
    let line = &solve(&asked).expect("a level").lines[0];
    for (station, invert) in [83.64, 83.89, 84.14, 84.39, 84.64, 84.89]
        .into_iter()
        .enumerate()
    {
        within(
            line.level_at(feet(50.0 * station as f64)) / 12.0,
            invert,
            0.005,
        );
    }
}

/// A line laid straight between two known inverts, feet; returns its grade in per cent and its inverts.
fn straight(start: f64, end: f64, stations: &[f64]) -> (f64, Vec<f64>) {
    let length = stations[stations.len() - 1];
    let stub = held(run("stub", 0.0, &[QUARTER]), 0.0, feet(start));
    let outside = tail(feet(length), Lie::Straight(grade(-1.0)), feet(end));
    let line = solve(&Problem {
        tail: Some(outside),
        ..stub
    })
    .expect("a level")
    .outside
    .expect("a level");
    let inverts = stations
        .iter()
        .map(|s| line.level_at(feet(*s)) / 12.0)
        .collect();
    (-line.in_per_ft / 12.0 * 100.0, inverts)
}

#[test]
fn pipelines_between_two_inverts() {
    // G012, Ghilani and Wolf, Elementary Surveying, problems 23.11 and 23.12, 15th ed.; answers computed.
    let stations = [0.0, 100.0, 200.0, 300.0, 400.0, 500.0, 564.0];
    let (percent, inverts) = straight(868.25, 862.05, &stations);
    within(percent, -1.0993, 0.0001);
    for (found, by_book) in inverts
        .iter()
        .zip([868.25, 867.15, 866.05, 864.95, 863.85, 862.75, 862.05])
    {
        within(*found, by_book, 0.011);
    }
    // G014, the same problems in an earlier edition, rising; answers computed.
    let stations = [0.0, 100.0, 200.0, 300.0, 400.0, 500.0, 600.0, 637.0];
    let (percent, inverts) = straight(843.95, 847.22, &stations);
    within(percent, 0.5133, 0.0001);
    for (found, by_book) in inverts.iter().zip([
        843.95, 844.46, 844.98, 845.49, 846.0, 846.52, 847.03, 847.22,
    ]) {
        within(*found, by_book, 0.011);
    }
}

#[test]
fn formation_levels_in_metres() {
    // G018, engineering surveying text exercise 3.5 with printed answer, read: 26.5 m falling 1 in 200, every 100 m.
    let asked = held(
        run("line", 400.0 * INCH_PER_METRE, &[per_cent(0.5)]),
        400.0 * INCH_PER_METRE,
        26.5 * INCH_PER_METRE,
    );
    let line = &solve(&asked).expect("a level").lines[0];
    for (peg, formation) in [24.5, 25.0, 25.5, 26.0, 26.5].into_iter().enumerate() {
        within(
            line.level_at(100.0 * peg as f64 * INCH_PER_METRE) / INCH_PER_METRE,
            formation,
            0.005,
        );
    }
    // G019, setting-out question; answers computed: 97.55 m falling 1 in 150 at 27.12 and 54.11 m.
    let length = 54.11 * INCH_PER_METRE;
    let asked = held(
        run("line", length, &[grade(12.0 / 150.0)]),
        length,
        97.55 * INCH_PER_METRE,
    );
    let line = &solve(&asked).expect("a level").lines[0];
    for (at, invert) in [(0.0, 97.55), (27.12, 97.369), (54.11, 97.189)] {
        within(
            line.level_at(length - at * INCH_PER_METRE) / INCH_PER_METRE,
            invert,
            0.002,
        );
    }
    // G026, site sewer construction guide extract: 18 m at 1 in 30 falls 0.6 m.
    let length = 18.0 * INCH_PER_METRE;
    let line = &solve(&held(run("line", length, &[grade(12.0 / 30.0)]), 0.0, 0.0))
        .expect("a level")
        .lines[0];
    within((line.inlet - line.outlet) / INCH_PER_METRE, 0.6, 0.005);
}

#[test]
fn a_two_per_cent_line_of_six_hundred_feet() {
    // G027, construction question with table, read: invert 5395.0 falls to 5383.0; tops 5395.917 to 5383.917.
    let asked = held(
        run("line", feet(600.0), &[per_cent(2.0)]),
        feet(600.0),
        feet(5395.0),
    );
    let line = &solve(&asked).expect("a level").lines[0];
    within(line.outlet / 12.0, 5383.0, 0.002);
    let tops = [
        5395.917, 5393.917, 5391.917, 5389.917, 5387.917, 5385.917, 5383.917,
    ];
    for (station, top) in tops.into_iter().enumerate() {
        let invert = line.level_at(feet(600.0 - 100.0 * station as f64)) / 12.0;
        within(invert + 11.0 / 12.0, top, 0.002);
    }
}

#[test]
fn grades_as_ratios_and_angles() {
    // G032 to G034 and G036: 1/4 and 1/8 read on a teaching page, the rest computed. In/ft, per cent, degrees;
    // within a thousandth, or half the last place printed where that is more.
    let table = [
        (0.0625, 0.5208, 0.298),
        (0.125, 1.0417, 0.597),
        (0.25, 2.0833, 1.193),
        (0.5, 4.1667, 2.386),
    ];
    for (in_per_ft, percent, degrees) in table {
        let line = &solve(&held(run("line", 1200.0, &[grade(in_per_ft)]), 0.0, 0.0))
            .expect("a level")
            .lines[0];
        let slope = (line.inlet - line.outlet) / line.length;
        within(slope * 100.0, percent, percent * 0.001);
        within(
            slope.atan().to_degrees(),
            degrees,
            (degrees * 0.001_f64).max(0.0005),
        );
    }
}

#[test]
fn falls_over_lengths() {
    // G041, fall notes, read: 1 ft in 48 ft at 1/4. G040, same notes: 1 ft in 50 ft is 2 per cent.
    for (length, slope) in [(48.0, QUARTER), (50.0, per_cent(2.0))] {
        let line = &solve(&held(run("line", feet(length), &[slope]), 0.0, 0.0))
            .expect("a level")
            .lines[0];
        within(line.inlet - line.outlet, 12.0, 1e-9);
    }
}

#[test]
fn a_tree_with_matching_inverts() {
    // G053, computed: outlet 96.0 ft, 1/4 in/ft, J1 20 ft up, J2 12 ft on, WC 6 ft on; KS 15 ft from J1.
    let mut runs = vec![
        run("out-J1", feet(20.0), &[QUARTER]),
        run("J1-J2", feet(12.0), &[QUARTER]),
        run("J2-WC", feet(6.0), &[QUARTER]),
        run("J1-KS", feet(15.0), &[QUARTER]),
    ];
    runs[0].bounds = vec![cap(0.0, feet(96.0), "told")];
    for (branch, parent, at) in [(1, 0, 20.0), (2, 1, 12.0), (3, 0, 20.0)] {
        runs[branch].join = Some(flat(parent, feet(at)));
    }
    let lines = solve(&problem(runs, None)).expect("a level").lines;
    for (line, inlet) in lines.iter().zip([96.4167, 96.6667, 96.7917, 96.7292]) {
        within(line.inlet / 12.0, inlet, 0.0001);
    }
}

#[test]
fn slope_lengths() {
    // G055, sqrt(1 + s²) of 100 ft.
    for (slope, length) in [
        (EIGHTH, 100.00543),
        (QUARTER, 100.0217),
        (grade(0.5), 100.08677),
    ] {
        let line = &solve(&held(run("line", feet(100.0), &[slope]), 0.0, 0.0))
            .expect("a level")
            .lines[0];
        within(
            line.length.hypot(line.inlet - line.outlet) / 12.0,
            length,
            0.00001,
        );
    }
}
