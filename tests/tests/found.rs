//! What the fuzzer once found, kept so that it stays mended.

use flow::{Inputs, run};

/// A tree without levels is left out, and vents of the trees after it still find their own.
#[test]
fn a_vent_finds_its_tree_when_one_before_it_has_no_levels() {
    // Nothing holds the first drain up or down; the second starts where it is told.
    let text = r#"(
        fixtures: {
            "tub": (kind: tub, at: ("30'", "4'"), landing: floor, trap: (under_slab: "8 in"),
                vent: (take_off: (at: ("30'", "8'"), up: ("32'", "9'"), wall: "w"))),
        },
        walls: { "w": (from: ("32'", "2'"), to: ("32'", "20'")) },
        drains: { "a": (exit: (at: ("10'", "20'"))), "b": (exit: (at: ("30'", "20'"))) },
        runs: {
            "no levels": (from: ("10'", "4'"), to: "a", size: "3 in"),
            "tub drain": (from: "tub", to: "b", size: "2 in", start_invert: "-12 in"),
        },
    )"#;
    let outcome = run(&Inputs {
        text: text.into(),
        name: "house.ron".into(),
        ..Inputs::default()
    });
    assert!(outcome.problems.is_empty(), "{}", outcome.problems[0]);
    let trees: Vec<&str> = outcome
        .network
        .trees
        .iter()
        .map(|t| t.id.as_str())
        .collect();
    assert_eq!(trees, ["b"]);
    assert_eq!(outcome.network.problems[0].item.as_str(), "a");
    let vents: Vec<(usize, usize)> = outcome.network.vents.iter().map(|v| v.run).collect();
    assert_eq!(vents, [(0, 0)]);
}
