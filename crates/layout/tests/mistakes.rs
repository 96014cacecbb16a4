//! Every kind of mistake, with the whole message a person reads.
//!
//! A line is `file:line:column: item: what is wrong; what would be right`.

/// A document and every problem it has, in the order told.
type Mistake = (&'static str, &'static [&'static str]);

const MISTAKES: &[Mistake] = &[
    (
        r#"(dated: "3/14/26")"#,
        &[
            r#"house.ron:1:9: dated: "3/14/26" is no date; write year, month and day, as "2026-03-14""#,
        ],
    ),
    (
        r#"(titel: "x")"#,
        &[
            r"house.ron:1:2: titel: there is no titel here; did you mean title? it may be title, dated, code, floor_elevation, measured_from, ledge, slab, foundation, outside, walls, cabinets, box_outs, rooms, fixtures, drains, runs, cleanouts, services",
        ],
    ),
    (
        r"(code: irk)",
        &[r"house.ron:1:8: code: irk is not a code; did you mean irc? it may be irc, ipc, upc"],
    ),
    (
        r#"(fixtures: {"a": (kind: closset)})"#,
        &[
            r#"house.ron:1:25: fixtures "a" kind: closset is not a kind of fixture; did you mean closet? it may be closet, lavatory, tub, shower, kitchen_sink, bar_sink, utility_sink, washer, bidet, floor_drain, heater_pan, softener, condensate, hose_sink"#,
        ],
    ),
    (
        r#"(fixtures: {"a": (kind: lavatory, trap: (in_wal: "18 in"))})"#,
        &[
            r#"house.ron:1:42: fixtures "a" trap in_wal: there is no in_wal here; did you mean in_wall? it may be under_slab, in_wall"#,
        ],
    ),
    (
        r#"(fixtures: {"a": (kind: lavatory, trap: (in_wall: "18 in", under_slab: "8 in"))})"#,
        &[
            r#"house.ron:1:41: fixtures "a" trap: in_wall and under_slab say different things; keep one of them"#,
        ],
    ),
    (
        r#"(fixtures: {"a": (kind: lavatory, trap: (in_wall: 18))})"#,
        &[
            r#"house.ron:1:51: fixtures "a" trap in_wall: 18 is a bare number; write it in quotes with its unit: "18 in", "18'" or "18 m", for plans mix feet and inches"#,
        ],
    ),
    (
        r#"(walls: {"north wall": (from: ("0","0"), to: ("9'","0"))}, fixtures: {"a": (kind: lavatory, at: (in: "nort wall", along: "1'"))})"#,
        &[
            r#"house.ron:1:102: fixtures "a" at in: there is nothing called "nort wall"; did you mean "north wall"?"#,
        ],
    ),
    (
        r#"(cleanouts: {"co": (at: ("3'", "3'"), two_way: yes, cleans: upstream)})"#,
        &[
            r#"house.ron:1:14: cleanouts "co": two_way and cleans say different things; keep one of them"#,
        ],
    ),
    (
        r#"(cleanouts: {"co": (at: ("3'", "3'"), cleans: upstrem)})"#,
        &[
            r#"house.ron:1:47: cleanouts "co" cleans: upstrem is not a way a cleanout cleans; did you mean upstream? it may be downstream, upstream, both"#,
        ],
    ),
    (
        r#"(slab: (gap: "2 yd"))"#,
        &[
            r#"house.ron:1:14: slab gap: "2 yd" has the unit "yd"; the units are ' or ft, in, m, cm and mm"#,
        ],
    ),
    (
        r#"(slab: (gap: "2"))"#,
        &[r#"house.ron:1:14: slab gap: "2" has no unit; write "2 in", "2'" or "2 m""#],
    ),
    (
        r"(slab: (gap: 2))",
        &[
            r#"house.ron:1:14: slab gap: 2 is a bare number; write it in quotes with its unit: "2 in", "2'" or "2 m", for plans mix feet and inches"#,
        ],
    ),
    (
        r#"(runs: {"r": (size: 3)})"#,
        &[
            r#"house.ron:1:21: runs "r" size: 3 is a bare number; write it in quotes with its unit: "3 in""#,
        ],
    ),
    (
        r#"(runs: {"r": (grades: [0.25])})"#,
        &[
            r#"house.ron:1:24: runs "r" grades, no. 1: 0.25 is a bare number; write it in quotes with its unit: "1/4" for a quarter inch a foot, or "2%""#,
        ],
    ),
    (
        r"(slab: (gap: NaN))",
        &[
            r#"house.ron:1:14: slab gap: NaN is not a length; write it like "12'-6 1/2", "150 1/2 in" or "1.2 m""#,
        ],
    ),
    (
        r"(slab: (gap: inf))",
        &[
            r#"house.ron:1:14: slab gap: inf is not a length; write it like "12'-6 1/2", "150 1/2 in" or "1.2 m""#,
        ],
    ),
    (
        r#"(slab: (gap: "1e999 in"))"#,
        &[
            r#"house.ron:1:14: slab gap: "1e999 in" has the unit "e"; the units are ' or ft, in, m, cm and mm"#,
        ],
    ),
    (
        r#"(cabinets: {"c": (turn: NaN)})"#,
        &[
            r#"house.ron:1:25: cabinets "c" turn: NaN is not an angle; write degrees counter-clockwise from east, from -360 to 360"#,
        ],
    ),
    (
        r#"(slab: (layers: [(concrete, "-4 in")]))"#,
        &[
            r#"house.ron:1:29: slab layers, no. 1, second: "-4 in" is less than 0 in; write a thickness from 0 in to 20 ft"#,
        ],
    ),
    (
        r#"(walls: {"w": (from: ("0","0"), to: ("0","0"))})"#,
        &[
            r#"house.ron:1:10: walls "w": the wall is 0.000 ft long; its ends may stand 1 in to 1000 ft apart"#,
        ],
    ),
    (
        r#"(walls: {"w": (from: ("0","0"), to: ("2112000'","0"))})"#,
        &[
            r#"house.ron:1:38: walls "w" to, east: "2112000'" is more than 528000 ft; write a place in plan from -528000 ft to 528000 ft"#,
        ],
    ),
    (
        r#"(walls: {"w": (from: ("0","0"), to: ("10560'","0"))})"#,
        &[
            r#"house.ron:1:10: walls "w": the wall is 10560.000 ft long; its ends may stand 1 in to 1000 ft apart"#,
        ],
    ),
    (
        r#"(runs: {"r": (size: "5 in")})"#,
        &[
            r#"house.ron:1:21: runs "r" size: "5 in" is not a pipe size; write "1-1/4 in", "1-1/2 in", "2 in", "3 in", "4 in" or "6 in""#,
        ],
    ),
    (
        r#"(runs: {"r": (grades: ["-1/4", "0", "1/4", "0.25"])})"#,
        &[
            r#"house.ron:1:24: runs "r" grades, no. 1: "-1/4" is not a grade; write inches per foot like "1/4" or "1/8 in/ft", or "2%""#,
            r#"house.ron:1:32: runs "r" grades, no. 2: "0" is no grade a drain can lie at; write inches of fall a foot, above 0 and up to 12"#,
            r#"house.ron:1:44: runs "r" grades, no. 4: "0.25" is in the list twice; write each grade once"#,
        ],
    ),
    (
        r#"(slab: (outline: [("0","0"),("10'","10'"),("10'","0"),("0","10'")]))"#,
        &[
            r"house.ron:1:18: slab outline: the outline crosses itself: the side from corner 1 meets the side from corner 3; write the corners in order around, each once",
        ],
    ),
    (
        r#"(slab: (outline: [("0","0"),("10'","10'")]))"#,
        &[r"house.ron:1:18: slab outline: the outline has 2 corners; an outline needs three"],
    ),
    (
        r#"(slab: (outline: [("0","0"),("10'","0"),("10'","0"),("0","10'")]))"#,
        &[
            r"house.ron:1:18: slab outline: its corners 2 and 3 are in one place; write the corners in order around, each once",
        ],
    ),
    (
        r#"(foundation: (blocks: {"b": (kind: pier, top: "0", bottom: "-9 in", outline: [("0","0"),("9'","0"),("2'","2'"),("0","9'")])}))"#,
        &[
            r#"house.ron:1:78: foundation blocks "b" outline: the block has an inside corner; write it as several blocks without inside corners"#,
        ],
    ),
    (
        r#"(foundation: (edge: (kind: stem_wall, thickness: "8 in", bottom: "24 in")))"#,
        &[
            r"house.ron:1:66: foundation edge bottom: its bottom is not below its top; write levels from the finished floor, downward negative",
        ],
    ),
    (
        r#"(fixtures: {"a": (kind: closet, at: ("1'","1'"))}, runs: {"r": (from: ("0","0"), to: "a")})"#,
        &[
            r#"house.ron:1:86: runs "r" to: the run reaches nothing: "a" is a fixture; name a drain, or the run it joins"#,
        ],
    ),
    (
        r#"(runs: {"r": (from: ("0","0"), to: "sewer")})"#,
        &[
            r#"house.ron:1:36: runs "r" to: there is nothing called "sewer"; name a run or a drain of this file"#,
        ],
    ),
    (
        r#"(drains: {"d": (exit: (at: ("9'","0")))}, runs: {"t": (from: ("0","0"), to: "d"), "b": (from: ("0","9'"), to: (run: "t", at: ("4'","2'")))})"#,
        &[
            r#"house.ron:1:126: runs "b" to at: the junction lies 24.0 in off the run "t"; write a point on it; the nearest is 4'-0" east and 0'-0" north of the form's corner"#,
        ],
    ),
    (
        r#"(slab: (outline: [("0","0"),("10'","0"),("10'","10'"),("0","10'")]), drains: {"d": (exit: (at: ("5'","7'")))})"#,
        &[
            r#"house.ron:1:96: drains "d" exit at: the exit lies 36.0 in off the outside of the form; write a point on it; the nearest is 5'-0" east and 10'-0" north of the form's corner"#,
        ],
    ),
    (
        r#"(runs: {"a": (from: ("0","0"), to: "b"), "b": (from: ("1'","0"), to: "c"), "c": (from: ("2'","0"), to: "a")})"#,
        &[
            r#"house.ron:1:36: runs "a" to: the runs join in a circle: "a" into "b" into "c" into "a"; let one of them lead to a drain"#,
        ],
    ),
    (
        r#"(fixtures: {"a": (kind: closet, at: (from: "b", east: "1'")), "b": (kind: closet, at: (from: "a", east: "1'"))})"#,
        &[
            r#"house.ron:1:87: fixtures "b" at: the places go in a circle: "a" stands on "b" stands on "a"; give one of them a place in plan"#,
        ],
    ),
    (
        r#"(fixtures: {"a": (kind: closet), "a": (kind: tub)})"#,
        &[r#"house.ron:1:34: fixtures "a": "a" is already a fixture (line 1); write another name"#],
    ),
    (
        r#"(walls: {
"a": ()}, fixtures: {"a": (kind: tub)})"#,
        &[r#"house.ron:2:22: fixtures "a": "a" is already a wall (line 2); write another name"#],
    ),
    (
        r#"(title: "a", title: "b")"#,
        &[r"house.ron:1:14: title: title is said twice; keep the one that is meant"],
    ),
    (
        r#"(rooms: {"bath": (kind: bath)}, fixtures: {"a": (kind: closet, back_wall: "bath")})"#,
        &[r#"house.ron:1:75: fixtures "a" back_wall: "bath" is a room; name a wall"#],
    ),
    (
        r#"(fixtures: {"": (kind: tub), "unknown": (kind: tub)})"#,
        &[
            r#"house.ron:1:13: fixtures "": "" is not a name; write one line with at least one letter"#,
            r#"house.ron:1:30: fixtures "unknown": "unknown" can't be a name; it means something else in a layout; write another name"#,
        ],
    ),
    (
        r#"(
  title: "a"
  code: irc)"#,
        &[r"house.ron:3:3: expected comma; nothing after this was read"],
    ),
    (
        r#"(
  title: "a,
  slab: (outline: [("0 ft", "0 ft")]),
)"#,
        &[
            r"house.ron:3:22: expected comma (the quote opened on line 2 is probably not closed); nothing after this was read",
        ],
    ),
    (
        r#"(title: "a // no comment", slab: (outline: [(0 ft, "0 ft")]))"#,
        &[
            r#"house.ron:1:48: expected comma (a length stands in quotes, as in "4 ft"); nothing after this was read"#,
        ],
    ),
    (
        r#"(title: "a""#,
        &[r"house.ron:1:10: expected comma; nothing after this was read"],
    ),
    (
        r#"(title: Some("a"))"#,
        &[
            r"house.ron:1:13: a value of this kind is not used in a layout; nothing after this was read",
        ],
    ),
    (
        r#"(walls: {"w": (from: ("0","0"), to: ("0","9'"))}, fixtures: {"a": (kind: closet, at: (off: "w", face: north, by: "1'", along: "1'"))})"#,
        &[
            r#"house.ron:1:103: fixtures "a" at face: the wall "w" has no face on that side; write east or west"#,
        ],
    ),
    (
        r#"(fixtures: {"a": (kind: closet, at: (x: "1'"))})"#,
        &[
            r#"house.ron:1:37: fixtures "a" at: the point has no y; add y, or write unknown for the point"#,
        ],
    ),
    (
        r#"(slab: "big")"#,
        &[
            r#"house.ron:1:8: slab: the text "big" stands here; write the values by name: (outline: ..., layers: ..., ...)"#,
        ],
    ),
    (
        r"(walls: [])",
        &[
            r#"house.ron:1:9: walls: a list in [ ] stands here; write the items by name: {"name": (...), ...}"#,
        ],
    ),
    (
        r#"(outside: (ground: [("0","-6 in"),("9'","-8 in"),("3'","-9 in")]))"#,
        &[
            r"house.ron:1:50: outside ground, no. 3: this distance is not more than the one before; write the ground from the house outward",
        ],
    ),
    (
        r#"(drains: {"d": (exit: (at: ("9'","0")))}, runs: {"t": (from: ("0","0"), to: "d", size: "3 in", increasers: [(("4'","0"), "2 in")])})"#,
        &[
            r#"house.ron:1:110: runs "t" increasers, no. 1, first: 2 in is not more than the 3 in before it; a drain never grows smaller downstream"#,
        ],
    ),
    (
        r#"(drains: {"d": (receiver: (kind: tank, invert: "-30 in", below_floor: "30 in"))})"#,
        &[
            r#"house.ron:1:27: drains "d" receiver: its level is said twice; write one of elevation, invert and below_floor"#,
        ],
    ),
    (
        r#"(slab: (outline: [("0","0"),("10'","0"),("0","10'")]), foundation: (edge: (kind: stem_wall, footing: (steps: [(side: 3, top: "-30 in")]))))"#,
        &[
            r"house.ron:1:118: foundation edge footing steps, no. 1 side: the outline has no side 3; sides count from 0; the outline has 3",
        ],
    ),
    (
        r#"(fixtures: {"a": (kind: tub, at: ("0","0"), vent: (wet: "a"))})"#,
        &[
            r#"house.ron:1:57: fixtures "a" vent wet: a fixture can't vent by itself; name the fixture whose vent it shares"#,
        ],
    ),
];

fn problems(text: &str) -> Vec<String> {
    let reading = layout::read(text, "house.ron");
    let resolved = reading
        .file
        .as_ref()
        .map(|file| layout::resolve(file).1)
        .unwrap_or_default();
    reading
        .problems
        .iter()
        .chain(&resolved)
        .map(ToString::to_string)
        .collect()
}

#[test]
fn each_mistake_is_told_whole() {
    for (text, told) in MISTAKES {
        assert_eq!(problems(text), *told, "{text}");
    }
}

#[test]
fn all_mistakes_of_a_file_are_told_in_one_go() {
    // One of each kind that leaves the rest readable, under names of their own.
    let text = r#"(
        titel: "House",
        code: irk,
        slab: (outline: [("0", "0"), ("40'", "0"), ("40'", "28'"), ("0", "28'")], gap: 2),
        fixtures: {"wc": (kind: closset, at: ("10", "12'")), "wc": (kind: tub)},
        runs: {"trunk": (from: "wc", to: "sewer", size: "5 in")},
    )"#;
    let told = problems(text);
    for wrong in [
        "titel",
        "irk",
        "bare number",
        "closset",
        "\"10\" has no unit",
        "already a fixture",
        "\"sewer\"",
        "\"5 in\"",
    ] {
        assert!(
            told.iter().any(|line| line.contains(wrong)),
            "{wrong} is not told in {told:#?}"
        );
    }
}

#[test]
fn a_half_typed_house_has_no_mistakes_and_much_to_tell() {
    let reading = layout::read("(title: \"Begun\")", "house.ron");
    let (layout, problems) = layout::resolve(&reading.file.expect("it is whole"));
    assert_eq!((reading.problems, problems), (Vec::new(), Vec::new()));
    assert!(!layout.to_tell.is_empty());
}

proptest::proptest! {
    /// Nothing a file may hold makes the reader panic.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,200}") {
        problems(&text);
    }

    /// A good document with a piece cut out or doubled is read or refused.
    #[test]
    fn a_damaged_document_is_read_or_refused(from in 0_usize..4000, cut in 0_usize..40, put in "[\\[\\](){},:\"a-z0-9' ]{0,6}") {
        let whole = layout::template();
        let edge = |at: usize| (0..=at.min(whole.len())).rev().find(|i| whole.is_char_boundary(*i)).unwrap_or(0);
        let (start, end) = (edge(from), edge(from + cut));
        problems(&format!("{}{put}{}", &whole[..start], &whole[end..]));
    }
}
