//! What a town changes: each kind of local amendment changes a finding or a note, and is named in it.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use checks::{Finding, Verdict};
use codes::Amendment;
use flow::{Inputs, Outcome, run};

/// A closet on a 3 in trunk at 1/8; the wall cored; gravel under the concrete; a line outside with a foot of cover.
const HOUSE: &str = r#"(
    title: "amended",
    code: irc,
    slab: (outline: [("0", "0"), ("40'", "0"), ("40'", "30'"), ("0", "30'")], layers: [(concrete, "4 in"), (gravel, "6 in")], gap: "2 in"),
    foundation: (edge: (kind: stem_wall, thickness: "8 in", top: "0", bottom: "-30 in", footing: (width: "16 in", thickness: "8 in"))),
    outside: (ground: [("0", "-4 in")], frost: "0", cover: "2 in"),
    fixtures: {},
    drains: {
        "d": (exit: (at: ("20'", "30'"), size: "4 in", cored: yes), line: (length: "40'", size: "4 in", grades: ["1/4"]), receiver: (kind: sewer, invert: "-48 in", known: measured)),
    },
    runs: { "trunk": (from: ("20'", "4'"), to: "d", size: "3 in", grades: ["1/8"]) },
)"#;

fn with(rule: &str, of: Option<&str>, value: &str) -> Outcome {
    changed(HOUSE, rule, of, value)
}

fn changed(house: &str, rule: &str, of: Option<&str>, value: &str) -> Outcome {
    let amendment = Amendment {
        rule: rule.into(),
        of: of.map(Into::into),
        value: value.into(),
        said_by: "county checklist".into(),
    };
    let (_, misfits) = codes::rules(codes::Code::Irc, std::slice::from_ref(&amendment));
    assert_eq!(misfits, []);
    run(&Inputs {
        text: house.into(),
        name: "amended".into(),
        amendments: vec![amendment],
        ..Inputs::default()
    })
}

fn without() -> Outcome {
    run(&Inputs {
        text: HOUSE.into(),
        name: "amended".into(),
        ..Inputs::default()
    })
}

fn found<'a>(outcome: &'a Outcome, rule: &str) -> Option<&'a Finding> {
    assert_eq!(outcome.problems, []);
    outcome.findings.iter().find(|finding| finding.rule == rule)
}

fn named(finding: &Finding) {
    let says = &finding.source.says;
    assert!(says.starts_with("county checklist; published: "), "{says}");
}

#[test]
fn a_quarter_for_three_inch() {
    assert_eq!(found(&without(), "grade-too-flat"), None);
    let outcome = with("grade-least", Some("3 in"), "1/4 in/ft");
    let flat = found(&outcome, "grade-too-flat").unwrap();
    assert_eq!(flat.verdict, Verdict::Fails);
    named(flat);
    // IRC P3005.3 (about 2006, read): 1/8 from 3 in up.
    assert!(
        flat.source.says.contains("1/8 in/ft, IRC P3005.3"),
        "{}",
        flat.source.says
    );
}

#[test]
fn frost_at_forty_two_inches() {
    assert_eq!(found(&without(), "cover-outside"), None);
    let outcome = with("frost-depth", None, "42 in");
    let frost = found(&outcome, "cover-outside").unwrap();
    assert_eq!((frost.verdict, frost.limit), (Verdict::Ask, Some(42.0)));
    named(frost);
}

#[test]
fn sleeve_or_core() {
    let published = without();
    assert_eq!(
        found(&published, "wall-passage").unwrap().verdict,
        Verdict::Ask
    );
    let outcome = with("wall-crossing", None, "sleeve or core");
    let cored = found(&outcome, "wall-passage").unwrap();
    assert_eq!(cored.verdict, Verdict::Note);
    named(cored);
}

#[test]
fn pipe_may_or_may_not_lie_in_the_gravel() {
    assert_eq!(found(&without(), "crown-in-slab"), None);
    assert_eq!(
        found(&with("pipe-in-gravel", None, "yes"), "crown-in-slab"),
        None
    );
    let outcome = with("pipe-in-gravel", None, "no");
    let lies = found(&outcome, "crown-in-slab").unwrap();
    assert_eq!(lies.verdict, Verdict::Fails);
    named(lies);
    // Gravel from 4 to 10 in under the floor; the crown starts at 6 in.
    assert!((lies.measured.unwrap() + 4.0).abs() < 0.3, "{lies:?}");
}

#[test]
fn an_air_test_is_accepted_or_not() {
    let air = |outcome: &Outcome| {
        let notes = flow::before_cover(outcome, &outcome.rules);
        notes
            .into_iter()
            .find(|note| note.rule == "air-in-plastic")
            .unwrap()
    };
    assert!(air(&without()).says.starts_with("do not test with air"));
    let barred = air(&with("test-air-plastic", None, "no"));
    assert!(barred.says.starts_with("do not test with air"));
    named(&barred);
    let struck = air(&with("test-air-plastic", None, "yes"));
    assert!(
        struck.says.contains("can burst it"),
        "the caution stays: {}",
        struck.says
    );
    named(&struck);
}

#[test]
fn what_was_changed_is_no_figure_that_nobody_read() {
    let unread = |outcome: &Outcome| {
        let rows = flow::leans_on(outcome, &outcome.rules);
        rows.iter().filter(|row| !row.is_read()).count()
    };
    assert_eq!(
        unread(&with("test-vacuum", None, "-5 psi")) + 1,
        unread(&without())
    );
}

#[test]
fn a_wye_that_a_town_bars_on_the_level() {
    let sink = r#"walls: { "w": (from: ("10'", "4'"), to: ("10'", "24'"), framing: "2x6", board: "1/2 in") },
    fixtures: { "lav": (kind: lavatory, at: (in: "w", along: "8'"), landing: (wall: "w"), trap: in_wall, vent: riser) },"#;
    let house = HOUSE.replace("fixtures: {},", sink).replace(
        "grades: [\"1/8\"]) }",
        "grades: [\"1/4\"]), \"arm\": (from: \"lav\", to: \"trunk\", size: \"2 in\") }",
    );
    let plain = changed(&house, "frost-depth", None, "0 in");
    assert_eq!(found(&plain, "change-of-direction"), None);
    let outcome = changed(&house, "change-of-direction", Some("wye h-to-h"), "no");
    let barred = found(&outcome, "change-of-direction").unwrap();
    assert_eq!(barred.verdict, Verdict::Fails);
    assert!(barred.says.contains("a wye in"), "{}", barred.says);
    named(barred);
}

/// The house with a soil-gas riser, and a sheet over the foam over the gravel.
fn sheeted() -> String {
    let riser = r#"services: { "gas": (kind: soil_gas, path: [("30'", "10'"), ("30'", "14'")], level: "-9 in", od: "3 1/2 in", top: "18 in", landing: floor) },
    fixtures: {},"#;
    let layers = r#"(sheet, "0"), (foam, "2 in"), (gravel, "6 in")"#;
    HOUSE
        .replace("fixtures: {},", riser)
        .replace("(gravel, \"6 in\")", layers)
}

#[test]
fn the_sheet_under_the_foam_or_over_it() {
    let house = sheeted();
    let asked = changed(&house, "frost-depth", None, "0 in");
    let says = &found(&asked, "soil-gas-layer").unwrap().says;
    assert!(says.contains("ask which way"), "{says}");
    let under = changed(&house, "sheet-place", None, "under the foam");
    let order = found(&under, "soil-gas-layer").unwrap();
    assert!(order.says.contains("wanted under it"), "{}", order.says);
    named(order);
    let over = changed(&house, "sheet-place", None, "over the foam");
    assert_eq!(found(&over, "soil-gas-layer"), None);
}

#[test]
fn what_each_pipe_through_the_slab_gets() {
    let notes = |outcome: &Outcome| -> Vec<&'static str> {
        let notes = flow::before_cover(outcome, &outcome.rules);
        notes.iter().map(|note| note.rule).collect()
    };
    assert!(!notes(&without()).contains(&"pipes-through-the-sheet"));
    let silent = changed(&sheeted(), "termite-barrier", None, "no");
    assert!(notes(&silent).contains(&"pipes-through-the-sheet"));
    assert!(!notes(&silent).contains(&"termite-barrier"));
    let asked = changed(&sheeted(), "termite-barrier", None, "yes");
    let before = flow::before_cover(&asked, &asked.rules);
    let barrier = before.iter().find(|note| note.rule == "termite-barrier");
    let barrier = barrier.unwrap();
    assert!(
        barrier.says.contains("the pipe that comes up"),
        "{}",
        barrier.says
    );
    named(barrier);
}

#[test]
fn how_the_trench_is_filled() {
    let fill = |outcome: &Outcome| {
        let notes = flow::before_cover(outcome, &outcome.rules);
        let fill = notes.into_iter().find(|note| note.rule == "bed-and-fill");
        fill.unwrap().says
    };
    // IRC P2604.3 (2018, read): layers of 6 in, 12 in over the pipe.
    let says = fill(&without());
    assert!(
        says.contains("layers of at most 6 in until 12 in lie over it"),
        "{says}"
    );
    let says = fill(&with("bedding-overdig-lift", None, "4 in"));
    assert!(says.contains("in packed layers of at most 4 in"), "{says}");
}

#[test]
fn a_capped_end_is_asked_about_once() {
    let ends = |text: &str| {
        let outcome = run(&Inputs {
            text: text.into(),
            ..Inputs::default()
        });
        let told = outcome.to_tell.into_iter();
        told.filter(|tell| tell.what.contains("capped end"))
            .collect::<Vec<_>>()
    };
    // Nothing drains into it at all: that is another matter.
    assert_eq!(ends(HOUSE), []);
    let scene =
        include_str!("../../scenes/checks/cleanout-junction/passes-a-cleanout-at-the-wall.ron");
    let told = ends(scene);
    assert_eq!(told.len(), 1);
    // From 4'-0" to where the branch joins at 45 degrees, 10 ft over from 12'-0".
    assert!(
        told[0].what.contains("18'-0\" of it drain nothing"),
        "{}",
        told[0].what
    );
    assert!(told[0].what.contains("IPC 704.5"), "{}", told[0].what);
    let short = scene.replace("from: (\"20'\", \"4'\")", "from: (\"20'\", \"20'-6\")");
    assert_eq!(ends(&short), []);
}

/// A soil-gas riser of 2 in pipe in the gravel under a sheet, far from the drain.
fn with_soil_gas(boot: &str) -> String {
    let sheet = HOUSE.replace(r#"(gravel, "6 in")"#, r#"(sheet, "0"), (gravel, "6 in")"#);
    let service = format!(
        r#"services: {{ "gas": (kind: soil_gas, path: [("4'", "20'"), ("6'", "20'")], level: "-7 in", od: "2.375 in", top: "12 in", {boot}) }},
)"#
    );
    format!("{}{service}", sheet.trim_end().strip_suffix(')').unwrap())
}

#[test]
fn the_soil_gas_appendix_counts_where_it_is_adopted() {
    // 3 in or larger (AF103.4.3 as adopted in the District of Columbia, read).
    let house = with_soil_gas("");
    let open = run(&Inputs {
        text: house.clone(),
        name: "soil gas".into(),
        ..Inputs::default()
    });
    let asked = found(&open, "soil-gas-pipe").unwrap();
    assert_eq!(asked.verdict, Verdict::Ask);
    assert!(asked.says.ends_with("ask whether it is"), "{}", asked.says);
    let adopted = changed(&house, "radon-appendix", None, "yes");
    let fails = found(&adopted, "soil-gas-pipe").unwrap();
    assert_eq!(fails.verdict, Verdict::Fails);
    let not = changed(&house, "radon-appendix", None, "no");
    let note = found(&not, "soil-gas-pipe").unwrap();
    assert_eq!(note.verdict, Verdict::Note);
    named(note);
}

#[test]
fn a_riser_is_booted_as_told_of_it_or_as_the_town_does() {
    let booted = |outcome: &Outcome| {
        let stubs = outcome.assembly.stubs.iter();
        stubs.filter(|stub| stub.booted).count()
    };
    let told = |boot: &str| {
        run(&Inputs {
            text: with_soil_gas(boot),
            name: "boots".into(),
            ..Inputs::default()
        })
    };
    assert_eq!(booted(&told("")), 1);
    assert_eq!(booted(&told("boot: no")), 0);
    let taped = |boot: &str| changed(&with_soil_gas(boot), "riser-boot", None, "no");
    assert_eq!(booted(&taped("")), 0);
    assert_eq!(booted(&taped("boot: yes")), 1);
}
