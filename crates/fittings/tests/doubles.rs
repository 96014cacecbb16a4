//! Branches from opposite sides at nearly one place: one double wye where two single ones have no room.

mod laid;

use catalog::EndName;
use fittings::{TroubleKind, What, walk};
use laid::{House, house};

/// Two drains into a 3 in trunk that runs north at 10 ft: from the east at `east` inches up the slab, from the west at
/// `west`; each from 5 ft away, or aslant where `slant` says how much farther south it starts. Invented.
fn pair((east, west): (f64, f64), sizes: [&str; 2], slant: f64, joins: &str) -> House {
    let [a, b] = sizes;
    let text = format!(
        r#"(
        title: "back to back", code: irc,
        slab: (outline: [("0", "0"), ("20'", "0"), ("20'", "20'"), ("0", "20'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
        drains: {{ "d": (exit: (at: ("120 in", "20'"), way: through, size: "3 in")) }},
        runs: {{
            "trunk": (from: ("120 in", "20 in"), to: "d", size: "3 in"),
            "east": (from: ("180 in", "{} in"), to: (run: "trunk", at: ("120 in", "{east} in")), size: "{a}"{joins}),
            "west": (from: ("60 in", "{} in"), to: (run: "trunk", at: ("120 in", "{west} in")), size: "{b}"{joins}),
        }},
    )"#,
        east - slant,
        west - slant
    );
    house(&text)
}

fn parts(house: &House) -> Vec<String> {
    let fittings = house.assembly.pieces.iter();
    let parts = fittings.filter_map(fittings::Piece::part);
    parts.map(|part| part.to_string()).collect()
}

fn count(house: &House, name: &str) -> usize {
    parts(house).iter().filter(|part| *part == name).count()
}

/// No trouble, and every piece walked stands where it was put, so the caps at the branches' ends too.
fn closes(house: &House) {
    assert_eq!(house.assembly.troubles, []);
    let walked = walk(&house.assembly, &house.catalog);
    for (piece, walked) in house.assembly.pieces.iter().zip(walked) {
        let off = walked.expect("glued on").at.distance(piece.frame.at);
        assert!(off < 1.0 / 16.0, "{:?} is {off} off", piece.what);
    }
    for joint in &house.assembly.joints {
        let lean = joint.seat.lean.to_degrees();
        assert!(lean < 2.5, "{lean} degrees: {joint:?}");
    }
}

fn cut_of(house: &House, id: &str) -> Vec<f64> {
    let pieces = house.assembly.pieces.iter();
    let pieces = pieces.filter(|piece| piece.id.as_str() == id);
    pieces
        .filter_map(|piece| piece.cut().map(|cut| cut.value))
        .collect()
}

#[test]
fn square_at_one_place_by_a_double_wye_and_two_street_bends() {
    let house = pair((100.0, 100.0), ["2 in", "2 in"], 0.0, "");
    closes(&house);
    assert_eq!(count(&house, "3x3x2 double wye"), 1, "{:?}", parts(&house));
    assert_eq!(count(&house, "2 in street eighth bend"), 2);
    assert_eq!(count(&house, "3x3x2 wye"), 0);
    // The street bend stands 0.7071 (4-7/16 + 3/4 + 1/16 + 1-1/2) = 4.7730 from the trunk on either side; the cap's stop is
    // 60 in from it, and 1-1/2 of the bend's other take-off goes off: 53.727, and a hair for the grade.
    for id in ["east", "west"] {
        let cuts = cut_of(&house, id);
        assert!((cuts[0] - 53.727).abs() < 0.02, "{id}: {cuts:?}");
    }
    // Both hubs are in use, each by its own side's bend.
    let wye = house.assembly.pieces.iter().position(|piece| {
        piece
            .part()
            .is_some_and(|part| part.to_string().contains("double wye"))
    });
    let wye = wye.expect("it is there");
    for (end, side) in [(EndName::Branch, -1.0), (EndName::OtherBranch, 1.0)] {
        let mut joints = house.assembly.joints.iter();
        let far = joints.find(|joint| joint.near == (wye, end));
        let far = far.expect("glued").far.0;
        let piece = &house.assembly.pieces[far];
        // The water runs north, so left is west.
        assert!((piece.frame.at.x - 120.0) * side > 0.0, "{end:?}");
    }
}

#[test]
fn some_inches_apart_one_arm_is_longer() {
    for apart in [-6.0, -2.0, -0.3, 0.3, 2.0, 6.0] {
        let house = pair((100.0 + apart, 100.0), ["2 in", "2 in"], 0.0, "");
        closes(&house);
        assert_eq!(count(&house, "3x3x2 double wye"), 1, "{apart}");
        let streets = count(&house, "2 in street eighth bend");
        // The shortest arm with pipe in it is 4-7/16 + 1-3/4 + 1-1/2 = 7-11/16, the street end's 6-3/4: 0.66 along the trunk.
        let wanted = usize::from(f64::abs(apart) > 0.66);
        assert_eq!(streets, wanted, "{apart}: {:?}", parts(&house));
        assert_eq!(count(&house, "2 in eighth bend"), 2 - streets, "{apart}");
    }
}

#[test]
fn two_single_wyes_where_there_is_room() {
    // From centre to centre two 3x2 wyes with the shortest pipe between them take 4-3/16 + 15/16 + 3-1/4 = 8-3/8.
    let house = pair((109.0, 100.0), ["2 in", "2 in"], 0.0, ", joins: flat");
    closes(&house);
    assert_eq!(
        (
            count(&house, "3x3x2 double wye"),
            count(&house, "3x3x2 wye")
        ),
        (0, 2)
    );
}

#[test]
fn slanting_ones_go_straight_into_its_hubs() {
    let house = pair((100.0, 100.0), ["2 in", "2 in"], 60.0, "");
    closes(&house);
    assert_eq!(count(&house, "3x3x2 double wye"), 1, "{:?}", parts(&house));
    assert!(parts(&house).iter().all(|part| !part.contains("bend")));
    // Three inches apart no double wye takes both, for neither has an arm to lengthen: told, with what would do.
    let house = pair((103.0, 100.0), ["2 in", "2 in"], 60.0, ", joins: flat");
    let kinds: Vec<_> = house.assembly.troubles.iter().map(|t| t.kind).collect();
    assert_eq!(kinds, [TroubleKind::OnePlace]);
    let would_do = &house.assembly.troubles[0].would_do;
    assert!(would_do.contains("double wye"), "{would_do}");
}

#[test]
fn a_smaller_branch_takes_a_bushing_and_a_size_not_made_the_next_larger() {
    let house = pair((100.0, 100.0), ["3 in", "2 in"], 0.0, "");
    closes(&house);
    assert_eq!(count(&house, "3 in double wye"), 1, "{:?}", parts(&house));
    assert_eq!(count(&house, "3x2 flush bushing"), 1);
    // The bushing's branch has no hub for a street end: its arm has a pipe, and the other's is as long by it.
    let pipes = house.assembly.pieces.iter();
    let pipes = pipes.filter(|piece| matches!(piece.what, What::Pipe(_)));
    assert!(pipes.count() >= 5);
}

/// Rolled up, two would need a fitting whose branches both look up, and none is made; so both come in flat though the trunk
/// lies deep. A branch whose start is told stays where it is told.
#[test]
fn deep_below_them_the_trunk_still_takes_both_flat() {
    let text = |start: &str| {
        format!(
            r#"(
        title: "deep", code: irc,
        slab: (outline: [("0", "0"), ("60'", "0"), ("60'", "30'"), ("0", "30'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
        drains: {{ "d": (exit: (at: ("720 in", "180 in"), way: through, size: "3 in")) }},
        runs: {{
            "trunk": (from: ("24 in", "180 in"), to: "d", size: "3 in", grades: ["1/4"]),
            "south": (from: ("600 in", "60 in"), to: (run: "trunk", at: ("600 in", "180 in")), size: "2 in"{start}),
            "north": (from: ("600 in", "300 in"), to: (run: "trunk", at: ("600 in", "180 in")), size: "2 in"),
        }},
    )"#
        )
    };
    let flat = house(&text(""));
    closes(&flat);
    assert_eq!(count(&flat, "3x3x2 double wye"), 1, "{:?}", parts(&flat));
    let told = house(&text(r#", start_invert: "-9 in""#));
    assert_eq!(count(&told, "3x3x2 double wye"), 0);
}
