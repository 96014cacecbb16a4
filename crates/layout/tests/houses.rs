//! Whole documents against worked figures.

use glam::DVec2;
use layout::{Landing, Layout, RunEnd, RunStart, TrapPlace, Vent};

/// A 28x40 house with an island turned 30 degrees; the figures are worked by hand (invented house, scenario S1).
const ISLAND_HOUSE: &str = r#"(
    title: "Island house", code: irc, floor_elevation: "100.00 ft",
    slab: (
        outline: [("0", "0"), ("40'", "0"), ("40'", "28'"), ("0", "28'")],
        layers: [(concrete, "4 in"), (gravel, "4 in")],
    ),
    foundation: (edge: (kind: stem_wall, thickness: "8 in", top: "0", bottom: "-24 in", footing: (width: "16 in", thickness: "8 in"))),
    outside: (ground: "-6 in", frost: unknown, cover: "6 in"),
    walls: {
        "w1": (from: ("12'", "16'"), to: ("12'", "28'"), framing: "2x6", board: "1/2 in"),
        "w2": (from: ("0", "16'"), to: ("40'", "16'"), framing: "2x6", board: "1/2 in"),
        "w3": (from: ("20'", "16'"), to: ("20'", "28'"), framing: "2x6", board: "1/2 in"),
    },
    cabinets: {"island": (centre: ("26'", "8'"), size: ("12'", "3'-6"), turn: 30)},
    box_outs: {"tub box": (centre: ("13'-2 3/4", "17'-5 3/4"), size: ("12 in", "8 in"), depth: "8 in")},
    fixtures: {
        "wc1": (kind: closet, at: (off: "w1", face: east, by: "12 in", along: "6'"), back_wall: "w1", vent: (wet: "lav1")),
        "lav1": (kind: lavatory, at: (in: "w1", along: "3'-6"), vent: riser),
        "tub1": (kind: tub, at: ("13'-2 3/4", "17'-5 3/4"), vent: (wet: "lav1")),
        "wc2": (kind: closet, at: (off: "w1", face: west, by: "12 in", from_end: "4'"), back_wall: "w1", vent: unknown),
        "washer": (kind: washer, at: ("20'", "19'"), vent: riser),
        "sink": (kind: kitchen_sink, at: (in: "island", x: "2'-3", y: "-6 in"), vent: (island_loop: (down: (in: "island", x: "1'-6", y: "0"), up: (in: "w2", along: "26'")))),
    },
    drains: {
        "house": (
            exit: (at: ("14'", "28'"), way: through, sleeve: "6 in"),
            line: (length: "46'", size: "4 in"),
            receiver: (kind: tank, elevation: "97.60 ft", known: measured),
        ),
    },
    runs: {
        "trunk": (from: ("14'", "17'"), to: "house", size: "3 in", increasers: [(("14'", "27'-6"), "4 in")]),
        "island branch": (from: "sink", via: [("22'-3 11/16", "8'-8 5/16")], to: (run: "trunk", at: ("14'", "17'")), size: "2 in"),
        "bath": (from: "wc1", to: "trunk", size: "3 in"),
    },
    cleanouts: {"co": (at: ("14'", "16'-6"), on: "trunk", two_way: yes)},
    services: {"water": (kind: water, path: [("30'", "0"), ("30'", "10'")], level: "-20 in", od: "1 1/8 in", top: "24 in")},
)"#;

fn resolved(text: &str) -> Layout {
    let reading = layout::read(text, "house.ron");
    assert_eq!(reading.problems, [], "{:#?}", reading.problems);
    let (layout, problems) = layout::resolve(&reading.file.expect("a file"));
    assert_eq!(problems, [], "{problems:#?}");
    layout
}

fn near(at: DVec2, feet_x: f64, feet_y: f64) -> bool {
    (at - DVec2::new(feet_x, feet_y) * 12.0).abs().max_element() < 1.0 / 32.0
}

#[test]
fn stubs_stand_where_the_hand_work_puts_them() {
    let layout = resolved(ISLAND_HOUSE);
    let at = |id: &str| {
        layout
            .fixtures
            .iter()
            .find(|f| f.id.as_str() == id)
            .expect("fixture")
            .at
    };
    // Scenario S1: 12'-0" + 2 3/4 + 1/2 + 12 in; 12'-0" - 15 1/4 in; the sink by hand at 28.19856, 8.69199 ft.
    assert!(near(at("wc1"), 13.0 + 3.25 / 12.0, 22.0), "{}", at("wc1"));
    assert!(near(at("wc2"), 10.0 + 8.75 / 12.0, 24.0), "{}", at("wc2"));
    assert!(near(at("lav1"), 12.0, 19.5));
    assert!(near(at("sink"), 28.19856, 8.69199), "{}", at("sink"));
}

#[test]
fn what_is_left_out_takes_its_usual_meaning() {
    let layout = resolved(ISLAND_HOUSE);
    let fixture = |id: &str| {
        layout
            .fixtures
            .iter()
            .find(|f| f.id.as_str() == id)
            .expect("fixture")
    };
    assert_eq!(fixture("wc1").landing, Landing::Floor);
    assert_eq!(fixture("lav1").landing, Landing::Wall("w1".into()));
    assert_eq!(fixture("washer").landing, Landing::Wall("w3".into()));
    assert_eq!(fixture("sink").landing, Landing::Cabinet("island".into()));
    assert_eq!(fixture("tub1").landing, Landing::BoxOut("tub box".into()));
    assert_eq!(fixture("wc1").trap, TrapPlace::InFixture);
    assert!(matches!(fixture("tub1").trap, TrapPlace::UnderSlab { .. }));
    assert_eq!(fixture("wc2").vent, Vent::Unknown);
    let receiver = layout.drains[0].receiver.as_ref().expect("a receiver");
    // 97.60 ft with the floor at 100.00 ft is 2.40 ft, 28.8 in, below the floor.
    assert!((receiver.invert.expect("an invert") + 28.8).abs() < 1e-9);
    assert_eq!(
        layout.runs[0].from,
        RunStart::Point(DVec2::new(168.0, 204.0))
    );
    let joined = RunEnd::Run {
        run: "trunk".into(),
        at: Some(DVec2::new(168.0, 204.0)),
    };
    assert_eq!(layout.runs[1].to, joined);
    assert_eq!(layout.runs[0].menu, [units::Grade::QUARTER]);
    assert_eq!(layout.slab.as_ref().expect("a slab").gap, 2.0);
}

#[test]
fn what_is_unknown_and_matters_is_told_in_the_order_of_the_evening() {
    let layout = resolved(ISLAND_HOUSE);
    let told: Vec<String> = layout
        .to_tell
        .iter()
        .map(|t| format!("{}: {}", t.item, t.what))
        .collect();
    assert_eq!(
        told,
        [
            "outside: the depth of frost; no frost is assumed until then",
            "lav1: how it drains: no run starts at it",
            "tub1: how it drains: no run starts at it",
            "wc2: how it drains: no run starts at it",
            "washer: how it drains: no run starts at it",
        ]
    );
}

#[test]
fn an_empty_document_has_no_mistake_and_much_to_tell() {
    let layout = resolved("()");
    let items: Vec<&str> = layout.to_tell.iter().map(|t| t.item.as_str()).collect();
    assert_eq!(
        items,
        [
            "slab",
            "foundation",
            "drains",
            "outside",
            "outside",
            "outside",
            "fixtures",
            "code"
        ]
    );
}
