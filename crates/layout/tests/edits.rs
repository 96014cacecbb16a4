//! Changes spliced into documents: what is not touched stays as it was, comments and all.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use glam::DVec2;
use layout::{Edit, EditError, Step, apply, hash, parse, print};
use units::{Grade, Size};

const HOUSE: &str = r#"// My house.
(
    title: "Shed",   // short
    code: irc,
    slab: (
        outline: [("0", "0"), ("40'", "0"), ("40'", "28'"), ("0", "28'")],
        layers: [(concrete, "4 in"), (gravel, "4 in")], // told by the crew
    ),
    fixtures: {
        // The one by the door.
        "wc": (kind: closet, at: ("10'", "12'"), vent: unknown), // back to back
        "lav": (kind: lavatory, at: ("12'", "12'"), vent: riser)  // no comma here
    },
    runs: {"trunk": (from: "wc", to: "d", size: "3 in", grades: ["1/4"])},
    drains: {"d": (exit: (at: ("14'", "28'")))},
)
"#;

fn file(text: &str) -> layout::File {
    layout::read(text, "house.ron").file.unwrap()
}

fn edited(edit: &Edit) -> String {
    let applied = apply(HOUSE, "house.ron", edit).unwrap();
    assert!(applied.comments_kept, "{}", applied.text);
    applied.text
}

/// Lines of `text` that do not stand in the house.
fn new_lines(text: &str) -> Vec<&str> {
    text.lines()
        .filter(|line| !HOUSE.lines().any(|old| old == *line))
        .collect()
}

#[test]
fn a_set_value_changes_its_own_bytes_only() {
    let moved = edited(&Edit::move_fixture(
        &file(HOUSE),
        &"wc".into(),
        DVec2::new(123.25, 144.0),
    ));
    assert_eq!(
        new_lines(&moved),
        [
            r#"        "wc": (kind: closet, at: ("10'-3 1/4", "12'-0"), vent: unknown), // back to back"#
        ]
    );
    let thicker = edited(&Edit::layer_thickness(0, 5.0));
    assert!(thicker.contains(r#"[(concrete, "5 in"), (gravel, "4 in")], // told by the crew"#));
    let grades = edited(&Edit::run_grades(
        &"trunk".into(),
        &[Grade::EIGHTH, Grade::QUARTER],
    ));
    assert!(grades.contains(r#"grades: ["1/8", "1/4"])}"#));
    assert!(
        edited(&Edit::run_size(&"trunk".into(), Some(Size::In4)))
            .contains(r#"size: "4 in", grades"#)
    );
}

/// A house told from nothing in the window is a file that a person can go on with: a line an item.
#[test]
fn a_document_begun_from_nothing_is_written_on_lines() {
    let edits = [
        Edit::set(["code"], "irc"),
        Edit::set(["fixtures", "tub"], "(kind: tub)"),
        Edit::add("fixtures", "basin", "(kind: lavatory)"),
        Edit::set(["outside", "frost"], r#""12 in""#),
    ];
    let blank = "// Begun.\n(\n)\n".to_owned();
    let told = edits.iter().fold(blank, |text, edit| {
        apply(&text, "house.ron", edit).unwrap().text
    });
    let wanted = "// Begun.\n(\n    code: irc,\n    fixtures: {\n        \"tub\": (kind: tub),\n        \
                  \"basin\": (kind: lavatory),\n    },\n    outside: (frost: \"12 in\"),\n)\n";
    assert_eq!(told, wanted);
}

#[test]
fn missing_names_are_added_where_they_belong() {
    // What drains in a room is told by fields; the drains of the house stand by name.
    let text = r#"(rooms: {"bath": (kind: bath)})"#;
    let yes = Edit::set(["rooms", "bath", "drains", "closet"], "yes");
    let told = apply(text, "house.ron", &yes).unwrap().text;
    assert_eq!(
        told,
        r#"(rooms: {"bath": (kind: bath, drains: (closet: yes))})"#
    );
    let line = Edit::set(["drains", "d", "line", "length"], r#""40'""#);
    let told = apply(&told, "house.ron", &line).unwrap().text;
    assert!(
        told.contains(r#"drains: {"d": (line: (length: "40'"))}"#),
        "{told}"
    );
    let line = edited(&Edit::line_grades(&"d".into(), &[Grade::EIGHTH]));
    assert!(
        line.contains(r#"{"d": (exit: (at: ("14'", "28'")), line: ("#),
        "{line}"
    );
    let run = edited(&Edit::set(
        ["runs", "branch"],
        r#"(from: "lav", to: "trunk")"#,
    ));
    assert!(
        run.contains(r#"["1/4"]), "branch": (from: "lav", to: "trunk")}"#),
        "{run}"
    );
    let fixture = edited(&Edit::set(["fixtures", "tub"], "(kind: tub)"));
    assert_eq!(
        new_lines(&fixture),
        [
            r#"        "lav": (kind: lavatory, at: ("12'", "12'"), vent: riser),  // no comma here"#,
            r#"        "tub": (kind: tub),"#
        ]
    );
    let wall = edited(&Edit::set(
        ["walls", "w1"],
        r#"(from: ("0", "0"), to: ("0", "9'"))"#,
    ));
    assert!(parse(&wall, "house.ron").unwrap().entry("walls").is_some());
    assert!(
        wall.contains(r#"{"w1": ("#) || wall.contains("\"w1\": ("),
        "{wall}"
    );
}

/// Measured from the studs of a brick ledge: what is moved stands where it was put, though the file's zero lies elsewhere.
#[test]
fn what_is_moved_in_a_house_measured_from_its_studs_stands_where_it_was_put() {
    let studs = HOUSE.replace(
        "code: irc,",
        "code: irc, measured_from: stud, ledge: \"5 1/2 in\", // bricks",
    );
    let to = DVec2::new(123.25, 144.0);
    let edits = [
        Edit::move_fixture(&file(&studs), &"wc".into(), to),
        Edit::move_exit(&file(&studs), &"d".into(), DVec2::new(200.0, 347.0)),
    ];
    let applied = apply(&studs, "house.ron", &Edit::All(edits.into())).unwrap();
    assert!(applied.comments_kept && applied.text.contains("// bricks"));
    let (layout, problems) = layout::resolve(&file(&applied.text));
    assert_eq!(problems, []);
    assert_eq!(layout.fixtures[0].at, to);
    // 28' of studs and a ledge on both sides.
    assert_eq!(layout.drains[0].exit.at, DVec2::new(200.0, 347.0));
    // Untouched, it stands a ledge east and north of its own figures.
    assert_eq!(layout.fixtures[1].at, DVec2::new(149.5, 149.5));
}

#[test]
fn many_values_are_set_in_one_go_as_they_are_one_by_one() {
    let edits = vec![
        Edit::run_size(&"trunk".into(), Some(Size::In4)),
        Edit::set(["title"], "\"Barn\""),
        Edit::layer_thickness(1, 6.0),
    ];
    let at_once = edited(&Edit::All(edits.clone()));
    let one_by_one = edits.iter().fold(HOUSE.to_owned(), |text, edit| {
        apply(&text, "house.ron", edit).unwrap().text
    });
    assert_eq!(at_once, one_by_one);
    // One inside the other: the later one counts.
    let whole = Edit::set(
        ["runs", "trunk"],
        "(from: \"lav\", to: \"d\", size: \"2 in\")",
    );
    let inside = Edit::run_size(&"trunk".into(), Some(Size::In4));
    let both = edited(&Edit::All(vec![whole, inside]));
    assert!(
        both.contains(r#"(from: "lav", to: "d", size: "4 in")"#),
        "{both}"
    );
}

#[test]
fn a_removed_item_takes_its_line_and_no_other() {
    let without = edited(&Edit::remove(["fixtures", "wc"]));
    assert_eq!(without.lines().count(), HOUSE.lines().count() - 1);
    assert!(without.contains("// The one by the door."));
    let flat = edited(&Edit::remove(["runs", "trunk", "size"]));
    assert!(
        flat.contains(r#"(from: "wc", to: "d", grades: ["1/4"])"#),
        "{flat}"
    );
    let corner = Edit::Remove {
        path: vec!["slab".into(), "outline".into(), Step::Index(3)],
    };
    assert!(edited(&corner).contains(r#"("40'", "28'"), ],"#));
}

#[test]
fn items_are_inserted_by_index() {
    let path = vec!["slab".into(), "layers".into(), Step::Index(1)];
    let foam = Edit::Insert {
        path,
        value: r#"(foam, "2 in")"#.into(),
    };
    assert!(edited(&foam).contains(r#"(concrete, "4 in"), (foam, "2 in"), (gravel, "4 in")]"#));
    let path = vec!["slab".into(), "layers".into(), Step::Index(2)];
    let sheet = Edit::Insert {
        path,
        value: r#"(sheet, "0")"#.into(),
    };
    assert!(edited(&sheet).contains(r#"(gravel, "4 in"), (sheet, "0")]"#));
}

#[test]
fn several_changes_are_all_or_none() {
    let both = Edit::All(vec![
        Edit::set(["title"], "\"Barn\""),
        Edit::remove(["fixtures", "nobody"]),
    ]);
    assert_eq!(
        apply(HOUSE, "house.ron", &both),
        Err(EditError::NoPlace("fixtures / nobody".into()))
    );
}

#[test]
fn refusals_say_why() {
    let says = |edit: &Edit| apply(HOUSE, "house.ron", edit).unwrap_err().to_string();
    let taken = Edit::Insert {
        path: vec!["title".into()],
        value: "\"x\"".into(),
    };
    assert_eq!(says(&taken), "there is a title in the document already");
    let torn = says(&Edit::set(["title"], "(\"x\""));
    assert!(
        torn.starts_with("\"(\\\"x\\\"\" can't be written into a layout: "),
        "{torn}"
    );
    let document = apply("(title: ", "torn.ron", &Edit::remove(["title"])).unwrap_err();
    assert!(
        document.to_string().contains("nothing after this was read"),
        "{document}"
    );
}

#[test]
fn printing_and_reading_again_changes_nothing() {
    let tree = parse(HOUSE, "house.ron").unwrap();
    assert_eq!(parse(&print(&tree), "printed.ron").unwrap(), tree);
    assert_eq!(
        hash(HOUSE),
        hash(&print(&tree)),
        "the hash leaves comments and line breaks out"
    );
    assert_ne!(hash(HOUSE), hash(&HOUSE.replace("10'", "11'")));
    assert_eq!(hash(HOUSE).len(), 8);
}

/// A few bits of a generator that is the same on every machine.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % n
    }
}

/// A commented document, different for each seed.
fn commented(seed: u64) -> String {
    let mut dice = Dice(seed);
    let mut text =
        format!("// House {seed}\n(\n    title: \"h{seed}\", /* inline */\n    fixtures: {{\n");
    for fixture in 0..3 + dice.below(4) {
        let comment = ["", " // a note", " /* two\n lines */"][dice.below(3)];
        let comma = if dice.below(5) == 0 && fixture > 1 {
            ""
        } else {
            ","
        };
        let x = dice.below(40);
        text.push_str(&format!(
            "        \"f{fixture}\": (kind: closet, at: (\"{x}'\", \"9'\")){comma}{comment}\n"
        ));
        if comma.is_empty() {
            break;
        }
    }
    text.push_str("    }, // end of fixtures\n    runs: {\"t\": (from: \"f0\", grades: [\"1/4\", \"1/8\"])},\n    // last words\n)\n");
    text
}

fn random_edit(text: &str, dice: &mut Dice) -> Edit {
    let fixture = format!("f{}", dice.below(3));
    match dice.below(6) {
        0 => Edit::move_fixture(
            &file(text),
            &fixture.as_str().into(),
            DVec2::new(dice.below(400) as f64, 7.5),
        ),
        1 => Edit::set(["fixtures", "new", "kind"], "tub"),
        2 => Edit::remove(["fixtures", fixture.as_str()]),
        3 => Edit::set(["outside", "cover"], "\"6 in\""),
        4 => Edit::run_grades(&"t".into(), &[Grade::QUARTER]),
        _ => Edit::set(["title"], format!("\"t{}\"", dice.below(99))),
    }
}

#[test]
fn twenty_commented_files_read_back_equal_after_random_changes() {
    let mut kept = 0;
    for seed in 0..20 {
        let mut text = commented(seed);
        let mut dice = Dice(seed + 100);
        for _ in 0..12 {
            let before = parse(&text, "before.ron").unwrap();
            let Ok(applied) = apply(&text, "house.ron", &random_edit(&text, &mut dice)) else {
                continue;
            };
            assert!(applied.comments_kept, "seed {seed}: {}", applied.text);
            assert!(
                applied.text.contains("// last words") && applied.text.contains("/* inline */")
            );
            let gone = text
                .lines()
                .filter(|line| !applied.text.lines().any(|new| new == *line));
            assert!(
                gone.count() <= 1,
                "more than the line edited changed: {}",
                applied.text
            );
            kept += usize::from(parse(&applied.text, "after.ron").unwrap() != before);
            text = applied.text;
        }
    }
    assert!(kept > 100, "only {kept} changes changed anything");
}
