//! Mends of invented houses, by hand: each sum stands beside its figure. Tolerance 0.03 in, as the hand work is rounded.

use codes::Code;
use flow::{Budget, Inputs, Outcome, Tried};
use layout::Edit;

fn run(text: &str, code: Code) -> (Outcome, Vec<Tried>) {
    let inputs = Inputs {
        text: text.into(),
        name: "house.ron".into(),
        code: Some(code),
        ..Inputs::default()
    };
    let outcome = flow::run(&inputs);
    assert!(outcome.problems.is_empty(), "{:?}", outcome.problems);
    let mends = flow::mends(&inputs, &outcome);
    (outcome, mends)
}

fn budget_of(outcome: &Outcome) -> Budget {
    flow::budget(outcome).pop().expect("one drain")
}

#[track_caller]
fn near(found: f64, by_hand: f64) {
    assert!(
        (found - by_hand).abs() <= 0.03,
        "found {found:.4}, by hand {by_hand}"
    );
}

/// The first mend with these words.
#[track_caller]
fn mend<'a>(mends: &'a [Tried], words: &str) -> &'a Tried {
    let says: Vec<&str> = mends.iter().map(|mend| mend.says.as_str()).collect();
    mends
        .iter()
        .find(|mend| mend.says.contains(words))
        .unwrap_or_else(|| panic!("no {words:?} in {says:#?}"))
}

/// 17.40 in between floor and tank; the trunk 25.456 ft on the diagonal, the line outside 85 ft.
const TANK_TOO_HIGH: &str = r#"(
    title: "A tank set first",
    floor_elevation: "101.25 ft",
    slab: (outline: [("0", "0"), ("50'", "0"), ("50'", "30'"), ("0", "30'")], layers: [(concrete, "4 in")], gap: "2 in"),
    drains: { "tank": (
        exit: (at: ("22'", "30'"), size: "4 in", sleeve: "6 in"),
        line: (length: "85'", size: "4 in", grades: ["1/4"]),
        receiver: (kind: tank, elevation: "99.80 ft", known: measured),
    ) },
    runs: { "trunk": (from: ("40'", "12'"), to: "tank", size: "3 in", grades: ["1/4"]) },
)"#;

#[test]
fn a_tank_too_high_wants_a_higher_floor_a_nearer_or_a_lower_tank() {
    let (outcome, mends) = run(TANK_TOO_HIGH, Code::Irc);
    // 9.284 + 6.364 + 0.479 + 21.250 = 37.38 against 17.40.
    near(budget_of(&outcome).short.expect("short"), 19.98);
    let figure = |words: &str| mend(&mends, words).figure.expect("a figure");
    // At 1/8 throughout: 9.284 + 3.182 + 0.479 + 10.625 = 23.57, less 17.40.
    near(figure("and raise the finished floor"), 6.17);
    let as_drawn = mends
        .iter()
        .find(|mend| mend.says.starts_with("raise the finished floor"))
        .expect("as drawn");
    near(as_drawn.figure.expect("a figure"), 19.98);
    near(figure("set the tank"), 6.17);
    // (17.40 - 9.284 - 3.182 - 0.479) / 0.125 = 35.6 ft.
    assert!((figure("line to the tank") / 12.0 - 35.6).abs() < 0.1);
    // Every one leaves something, however little.
    assert!(
        mends
            .iter()
            .all(|mend| mend.spare.is_none_or(|spare| spare >= -1e-6)),
        "{mends:#?}"
    );
    assert!(
        mends.last().is_some_and(|last| last.says.contains("pump")),
        "a pump is told last"
    );
    assert!(
        !mends
            .iter()
            .any(|mend| mend.says.starts_with("lay ") && mend.figure.is_none()),
        "no lawful grade is enough"
    );
}

/// Every mend but a pump, written into the text and run again: the drain then falls, as deep and with as much to spare as
/// was promised.
#[track_caller]
fn keeps_its_promises(text: &str, code: Code) {
    let (_, mends) = run(text, code);
    let drawn: Vec<&Tried> = mends.iter().filter(|mend| mend.edit.is_some()).collect();
    assert!(!drawn.is_empty(), "no mend for {text}");
    for mend in drawn {
        let edit = mend.edit.as_ref().expect("drawn");
        let applied = layout::apply(text, "house.ron", edit).expect("applies");
        assert!(applied.comments_kept, "{}", mend.says);
        let (outcome, again) = run(&applied.text, code);
        let budget = budget_of(&outcome);
        assert!(budget.feasible && again.is_empty(), "{}", mend.says);
        assert_eq!(budget.exit_invert, mend.exit_invert, "{}", mend.says);
        assert_eq!(outcome.grades[0].exit.spare(), mend.spare, "{}", mend.says);
    }
}

#[test]
fn every_mend_written_into_the_text_keeps_its_promise() {
    for code in Code::ALL {
        keeps_its_promises(TANK_TOO_HIGH, code);
        keeps_its_promises(WARM_FLOOR, code);
        keeps_its_promises(STEM_WALL, code);
    }
}

/// Foam, a recessed shower, a 3 in trunk of 42 ft of which the shower shares 28.
const WARM_FLOOR: &str = r#"(
    title: "Warm floor",
    floor_elevation: "100.00 ft",
    slab: (
        outline: [("0", "0"), ("40'", "0"), ("40'", "40'"), ("0", "40'")],
        layers: [(concrete, "4 in"), (foam, "2 in")], gap: "2 in",
        zones: { "shower floor": (outline: [("28'", "10'"), ("33'", "10'"), ("33'", "14'"), ("28'", "14'")], drop: "2 1/2 in") },
    ),
    fixtures: { "shower": (kind: shower, at: ("30'-8", "12'"), landing: floor, trap: (under_slab: "8 in")) },
    drains: { "tank": (
        exit: (at: ("20'", "40'"), size: "4 in", sleeve: "6 in"),
        line: (length: "60'", size: "4 in", grades: ["1/8"]),
        receiver: (kind: tank, elevation: "97.55 ft", known: measured),
    ) },
    runs: {
        "trunk": (from: ("6'", "12'"), via: [("20'", "12'")], to: "tank", size: "3 in"),
        "shower drain": (from: "shower", to: (run: "trunk", at: ("20'", "12'")), size: "2 in", joins: flat),
    },
)"#;

#[test]
fn a_recessed_shower_controls_and_the_trunk_may_lie_flatter() {
    let (outcome, mends) = run(WARM_FLOOR, Code::Irc);
    let budget = budget_of(&outcome);
    // -10.5 - 2.221 - 9.5 - 0.5005 - 0.479 = -23.20 against -29.40 + 7.50 = -21.90.
    near(budget.exit_invert, -23.20);
    near(budget.short.expect("short"), 1.30);
    assert_eq!(budget.start.as_str(), "shower drain");
    near(budget.start_invert, -12.721);
    // -12.721 - 2.5 - 0.5005 - 3.5 - 0.479 = -19.70.
    let flatter = &mends[0];
    assert_eq!(
        flatter.edit,
        Some(Edit::All(vec![Edit::run_grades(
            &"trunk".into(),
            &[units::Grade::EIGHTH]
        )]))
    );
    near(flatter.exit_invert, -19.70);
    near(flatter.spare.expect("spare"), 2.20);
    assert!(
        !mends.iter().any(|mend| mend.says.contains("pump")),
        "what can fall is not pumped"
    );
}

#[test]
fn where_three_inch_pipe_may_not_lie_flatter_the_floor_goes_up() {
    let (_, mends) = run(WARM_FLOOR, Code::Upc);
    assert!(
        !mends
            .iter()
            .any(|mend| mend.says.starts_with("lay trunk at 1/8")),
        "{mends:#?}"
    );
    near(
        mend(&mends, "raise the finished floor")
            .figure
            .expect("a figure"),
        1.30,
    );
}

/// 60 ft of 3 in trunk at 1/4, stem wall to -24, sewer at -58.
const STEM_WALL: &str = r#"(
    title: "Three baths on an L",
    slab: (outline: [("0", "0"), ("52'", "0"), ("52'", "26'"), ("26'", "26'"), ("26'", "46'"), ("0", "46'")], layers: [(concrete, "4 in")], gap: "2 in"),
    foundation: (edge: (kind: stem_wall, thickness: "8 in", top: "0", bottom: "-24 in", footing: (width: "16 in", thickness: "8 in"))),
    drains: { "city": (
        exit: (at: ("0", "20'"), way: through, size: "4 in", sleeve: "6 in"),
        line: (length: "30'", size: "4 in", grades: ["1/8"], straight: true),
        receiver: (kind: sewer, invert: "-58 in", known: measured),
    ) },
    runs: { "trunk": (from: ("46'", "6'"), via: [("46'", "20'")], to: "city", size: "3 in") },
)"#;

#[test]
fn a_quarter_misses_the_stem_wall_so_under_the_footing_or_larger_and_flatter_by_approval() {
    let (outcome, mends) = run(STEM_WALL, Code::Upc);
    // -9.284 - 15 - 0.479 = -24.76; the sleeve stands 2.06 in into the footing.
    near(budget_of(&outcome).short.expect("short"), 2.06);
    // -10.263 - 7.5 = -17.76.
    let larger = mend(&mends, "make trunk 4 in throughout");
    near(larger.exit_invert, -17.76);
    assert!(larger.says.contains("approval"), "{}", larger.says);
    // Sleeve top at the footing's underside: at most -37.33.
    let under = mend(&mends, "under the footing");
    assert!(under.exit_invert <= -37.33 + 0.03, "{under:?}");
    assert!(
        !mends.iter().any(|mend| mend.says.contains("tank")),
        "a city's sewer is not moved"
    );
}

#[test]
fn a_budget_sums_to_where_the_line_ends() {
    let (outcome, _) = run(WARM_FLOOR, Code::Irc);
    let budget = budget_of(&outcome);
    let sum: f64 = budget.spends.iter().map(|share| share.inches).sum();
    // Down to the exit at -23.20, then 60 ft at 1/8.
    near(sum, 23.20 + 7.50);
}
