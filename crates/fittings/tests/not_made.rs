//! Sizes and fittings that nobody makes: what is told, in full.

mod laid;

use fittings::TroubleKind;
use laid::{House, house};

/// A branch square into a trunk, both capped. Invented.
fn sizes(trunk: &str, branch: &str) -> House {
    let text = format!(
        r#"(
        title: "sizes", code: irc,
        slab: (outline: [("0", "0"), ("20'", "0"), ("20'", "20'"), ("0", "20'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
        drains: {{ "d": (exit: (at: ("120 in", "20'"), way: through, size: "{trunk}")) }},
        runs: {{
            "trunk": (from: ("120 in", "20 in"), to: "d", size: "{trunk}"),
            "branch": (from: ("180 in", "100 in"), to: (run: "trunk", at: ("120 in", "100 in")), size: "{branch}"),
        }},
    )"#
    );
    house(&text)
}

fn told(house: &House) -> Vec<(TroubleKind, String)> {
    let troubles = house.assembly.troubles.iter();
    let says = |t: &fittings::Trouble| format!("{}: {}; {}", t.run, t.says, t.would_do);
    troubles.map(|t| (t.kind, says(t))).collect()
}

#[test]
fn a_branch_larger_than_its_run() {
    let says =
        "branch: no wye takes a 3 in branch into 2 in pipe; make the run 3 in, or the branch 2 in";
    assert_eq!(
        told(&sizes("2 in", "3 in")),
        [(TroubleKind::NotMade, says.to_owned())]
    );
}

#[test]
fn sizes_that_no_wye_bend_or_cap_is_made_in() {
    let cap = "no 1-1/4 in cap in the catalogue; it has the cap in 1-1/2, 2, 3, 4, 6; take a size that is made";
    let says = [
        "branch: no wye takes a 1-1/4 in branch into 1-1/4 in pipe; make the run 1-1/2 in"
            .to_owned(),
        format!("trunk: {cap}"),
    ];
    assert_eq!(
        told(&sizes("1-1/4 in", "1-1/4 in")),
        says.map(|says| (TroubleKind::NotMade, says))
    );
    let says = [
        "branch: no 1-1/4 in bend turns the 45 degrees behind its wye; make it 1-1/2 in pipe"
            .to_owned(),
        format!("branch: {cap}"),
    ];
    assert_eq!(
        told(&sizes("2 in", "1-1/4 in")),
        says.map(|says| (TroubleKind::NotMade, says))
    );
}

/// No wye is made 6x2: the 6x4 takes its place with a bushing, and nothing is amiss.
#[test]
fn a_reducing_wye_that_is_not_made_gives_way_to_the_next_with_a_bushing() {
    let house = sizes("6 in", "2 in");
    assert_eq!(told(&house), []);
    let parts = house
        .assembly
        .pieces
        .iter()
        .filter_map(fittings::Piece::part);
    let parts: Vec<String> = parts.map(|part| part.to_string()).collect();
    for part in ["6x6x4 wye", "4x2 flush bushing"] {
        assert!(parts.iter().any(|there| there == part), "{parts:?}");
    }
}

/// Told to run straight to a sewer that lies deep, the line outside would fall away in one joint.
#[test]
fn a_straight_line_outside_that_falls_away_steeply() {
    let text = r#"(
        title: "deep sewer", code: irc,
        slab: (outline: [("0", "0"), ("20'", "0"), ("20'", "20'"), ("0", "20'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
        drains: { "d": (
            exit: (at: ("120 in", "20'"), way: through, size: "3 in"),
            line: (length: "20'", size: "3 in", grades: ["1/4"], straight: true),
            receiver: (kind: sewer, invert: "-50 in", known: measured),
        ) },
        runs: { "trunk": (from: ("120 in", "20 in"), to: "d", size: "3 in") },
    )"#;
    let house = house(text);
    let [(kind, says)] = &told(&house)[..] else {
        panic!("{:?}", told(&house))
    };
    assert_eq!(*kind, TroubleKind::NoSuchTurn);
    assert!(
        says.starts_with("d: the line outside falls away under ")
            && says.ends_with("drops to the receiver by two eighth bends before it"),
        "{says}"
    );
}
