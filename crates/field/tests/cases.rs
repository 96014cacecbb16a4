//! Worked cases by others, through readings as a book has them; each with its source beside the number. The plain sums
//! have their cases in `trench`.
#![allow(clippy::unwrap_used)]

mod common;

use common::House;
use field::{Level, When};

/// A slab 40 ft by 24 ft with a floor drain: cases in feet from its corners.
fn slab(x_ft: f64, y_ft: f64) -> House {
    let text = format!(
        "(slab: (outline: [(\"0\", \"0\"), (\"40'\", \"0\"), (\"40'\", \"24'\"), (\"0\", \"24'\")], layers: [(concrete, \"4 in\")]), \
         fixtures: {{ \"drain\": (kind: floor_drain, at: (\"{x_ft} ft\", \"{y_ft} ft\"), landing: floor, trap: (under_slab: \"8 in\"), vent: admittance) }}, \
         drains: {{ \"main\": (exit: (at: (\"20'\", \"24'\"), size: \"3 in\", sleeve: \"4 in\"), line: (length: \"10'\"), receiver: (kind: tank, invert: \"-60 in\", known: told)) }}, \
         runs: {{ \"trunk\": (from: \"drain\", to: \"main\", size: \"3 in\") }})"
    );
    House::new(&text, "slab.ron")
}

#[test]
fn ties_rounded_to_the_sixteenth_come_back_as_the_cases_say() {
    // L036, L037, L038 (two-circle intersection; synthetic, derived): point, ties as texts, error in inches.
    for (x, y, a, b, error) in [
        (11.25, 8.5, "14'-1 3/16\"", "29'-11 3/4\"", 0.0289),
        (22.0, 15.75, "27'-0 11/16\"", "23'-11\"", 0.0147),
        (36.5, 3.25, "36'-7 3/4\"", "4'-9 5/16\"", 0.021),
    ] {
        let house = slab(x, y);
        let mut site = house.site();
        let (a, b) = (a.trim_end_matches('"'), b.trim_end_matches('"'));
        site.entry(&format!("of: \"drain\", what: stub, tapes: [(\"sw\", \"{a}\"), (\"se\", \"{b}\")], stage: dry_fit"));
        let judged = field::judge(&house.outcome, &site.book());
        let off = judged.stubs[0].off().length();
        assert!((off - error).abs() < 5e-4, "{off} for {error}");
        // L041 to L045 (worst corner of the error rhombus): the doubt told is never less than what happened.
        assert!(judged.stubs[0].doubt > off);
    }
}

#[test]
fn station_and_offset_from_a_string() {
    // L046 (dot and cross products; synthetic): string (2,3) to (26,10), point (13.2, 9.4): 12.544 along, 3.008 left, ft.
    let house = slab(13.2, 9.4);
    let mut site = house.site();
    site.string("s", common::at(24.0, 36.0), common::at(312.0, 120.0));
    site.entry("of: \"drain\", what: stub, string: \"s\", along: \"12.544 ft\", left: \"3.008 ft\", stage: dry_fit");
    let judged = field::judge(&house.outcome, &site.book());
    assert!(
        judged.stubs[0].off().length() < 0.02,
        "{:?}",
        judged.stubs[0]
    );
}

#[test]
fn diagonals_of_a_skewed_form() {
    // L013 (parallelogram diagonals): 40 by 24 ft, skewed 0.1 degrees: 46.6835 and 46.6117 ft, 0.862 in apart. True: 46.6476.
    let house = slab(10.0, 10.0);
    let mut site = house.site();
    site.entry("of: \"sw\", what: diagonal, to: \"ne\", length: \"46.6835 ft\", stage: strings");
    site.entry("of: \"se\", what: diagonal, to: \"nw\", length: \"46.6117 ft\", stage: strings");
    let judged = field::judge(&house.outcome, &site.book());
    assert!(judged.stops());
    // L010 (computed): 24 by 40 ft, 46'-7 3/4".
    assert_eq!(
        judged.said[0].says,
        "sw and ne are 46'-8 3/16\" apart and should be 46'-7 3/4\": 7/16 in long"
    );
    assert_eq!(
        judged.said[1].says,
        "se and nw are 46'-7 5/16\" apart and should be 46'-7 3/4\": 7/16 in short"
    );
    // L013: its far corners stand 0.503 in off.
    for said in &judged.said[..2] {
        assert_eq!(
            said.next,
            "rack the form: push its north side 1/2 in west, then pull both diagonals again"
        );
    }
}

#[test]
fn diagonals_that_are_off_alike_blame_the_sides() {
    let house = slab(10.0, 10.0);
    let mut site = house.site();
    // Both 1/2 in over L010's 46'-7 3/4".
    site.entry("of: \"sw\", what: diagonal, to: \"ne\", length: \"46'-8 1/4\", stage: strings");
    site.entry("of: \"nw\", what: diagonal, to: \"se\", length: \"46'-8 1/4\", stage: strings");
    let judged = field::judge(&house.outcome, &site.book());
    assert!(judged.stops());
    assert!(
        judged.said[0]
            .next
            .starts_with("both diagonals are off alike"),
        "{}",
        judged.said[0].next
    );
}

#[test]
fn levels_by_rod() {
    // G015 (levelling notes after Wolf and Ghilani): instrument at 828.42, foresight 1.20: 827.22, ft.
    let level = Level::Rod {
        rod: 1.20 * 12.0,
        instrument: 828.42 * 12.0,
    };
    assert!((level.z() / 12.0 - 827.22).abs() < 0.005);
    // G019 (setting-out question): instrument at 100.39, rod on the invert 2.84: 97.55, m.
    let level = Level::Rod {
        rod: 2.84,
        instrument: 100.39,
    };
    assert!((level.z() - 97.55).abs() < 0.002);
}

#[test]
fn a_run_read_at_both_ends_by_rod_has_the_grade_of_the_case() {
    // G041 (fall notes): 48 ft at 1/4 in/ft falls 12 in, here over the trunk of this slab, 14 ft: 3 1/2 in.
    let house = slab(20.0, 10.0);
    let length = house.outcome.network.trees[0].runs[0].path.length();
    let mut site = house.site();
    let line = &house.outcome.grades[0].lines[0];
    let rod = |z: f64| (60.0 - z) / 12.0;
    for (spot, z) in [
        ("lower", line.outlet),
        ("upper", line.outlet + length / 48.0),
    ] {
        site.entry(&format!(
            "of: \"trunk\", what: invert, at: {spot}, rod: \"{} ft\", instrument: \"5.00 ft\", stage: glued",
            rod(z)
        ));
    }
    let judged = field::judge(&house.outcome, &site.book());
    assert!(
        (judged.falls[0].grade() - 0.25).abs() < 1e-9,
        "{:?}",
        judged.falls
    );
    assert!((judged.falls[0].fall - 12.0 * length / 576.0).abs() < 1e-9);
}

#[test]
fn times_in_order() {
    let when = |text| When::parse(text).unwrap();
    assert!(when("2026-06-03 08:10").is_before(&when("2026-06-03 08:11")));
    assert!(when("2026-06-02").is_before(&when("2026-06-03 00:01")));
    assert!(!when("2026-06-03").is_before(&when("2026-06-03 08:11")));
    assert_eq!(when("2026-06-03T08:10").to_string(), "2026-06-03 08:10");
    for wrong in [
        "",
        "2026",
        "2026-13-01",
        "2026-06-03 24:00",
        "03/06/2026",
        "2026-06-03 8",
    ] {
        assert_eq!(When::parse(wrong), None, "{wrong}");
    }
}

/// Three tapes that miss each other a little, fitted by a general library (Levenberg and Marquardt).
struct Tapes(Vec<(glam::DVec2, f64)>);

impl rmpfit::MPFitter for Tapes {
    fn eval(&mut self, at: &[f64], off: &mut [f64]) -> rmpfit::MPResult<()> {
        for (off, (from, length)) in off.iter_mut().zip(&self.0) {
            *off = length - from.distance(common::at(at[0], at[1]));
        }
        Ok(())
    }

    fn number_of_points(&self) -> usize {
        self.0.len()
    }
}

#[test]
fn three_tapes_meet_where_a_library_puts_them() {
    use rmpfit::MPFitter;
    for (x, y, errors) in [
        (11.25, 8.5, [0.1, -0.08, 0.05]),
        (30.0, 20.0, [-0.1, 0.1, 0.1]),
        (20.0, 3.0, [0.12, 0.02, -0.11]),
    ] {
        let house = slab(x, y);
        let planned = house.stub("drain");
        let corners = [
            ("sw", (0.0, 0.0)),
            ("se", (480.0, 0.0)),
            ("nw", (0.0, 288.0)),
        ];
        let mut pulls = Vec::new();
        let mut written = Vec::new();
        for ((name, at), error) in corners.iter().zip(errors) {
            let from = common::at(at.0, at.1);
            let length = from.distance(planned) + error;
            pulls.push((from, length));
            written.push(format!("(\"{name}\", \"{length} in\")"));
        }
        let mut site = house.site();
        site.entry(&format!(
            "of: \"drain\", what: stub, tapes: [{}], stage: dry_fit",
            written.join(", ")
        ));
        let judged = field::judge(&house.outcome, &site.book());
        let mut by_library = [planned.x, planned.y];
        Tapes(pulls).mpfit(&mut by_library).unwrap();
        let apart = judged.stubs[0]
            .measured
            .distance(common::at(by_library[0], by_library[1]));
        assert!(apart < 1e-4, "{apart}");
    }
}
