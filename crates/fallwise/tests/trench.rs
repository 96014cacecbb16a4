//! `fallwise field` and `fallwise changes` from outside: the story of the demo house with its files, wrong lines, and what
//! stays on the disk.

use std::{
    fs,
    io::Write,
    path::Path,
    process::{Command, Output, Stdio},
};

use tempfile::TempDir;

const DEMO: &str = include_str!("../../../scenes/demo.ron");

fn site() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("demo.ron"), DEMO).expect("a house");
    folder
}

/// Runs the program with lines typed into it.
fn typed(args: &[&str], lines: &str, folder: &Path) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fallwise"))
        .args(args)
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("a pipe");
    // It may leave before all is typed.
    let _ = stdin.write_all(lines.as_bytes());
    drop(stdin);
    child.wait_with_output().expect("it ends")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

fn run(args: &[&str], folder: &TempDir) -> (Option<i32>, String, String) {
    let output = typed(args, "", folder.path());
    (
        output.status.code(),
        text(&output.stdout),
        text(&output.stderr),
    )
}

fn book(folder: &TempDir) -> String {
    fs::read_to_string(folder.path().join("demo.field.ron")).unwrap_or_default()
}

const AT: [&str; 4] = ["--who", "Ann", "--when", "2026-06-03 08:10"];

fn field(folder: &TempDir, lines: &str) -> (Option<i32>, String) {
    let args: Vec<&str> = ["field", "demo.ron"].into_iter().chain(AT).collect();
    let output = typed(&args, lines, folder.path());
    assert_eq!(text(&output.stderr), "");
    (output.status.code(), text(&output.stdout))
}

#[track_caller]
fn has(said: &str, what: &str) {
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    // Long lines are broken to a terminal's width: their words count.
    let there = said.contains(what) || words(said).contains(&words(what));
    assert!(there, "{what:?} is not in {said}");
}

/// The sleeve 5/8 low and 1 in west, a string moved 5 1/2, one stub 3/8 off: typed one by one, each answered.
#[test]
fn the_story_at_the_trench() {
    let folder = site();
    fs::write(
        folder.path().join("demo.field.ron"),
        "(\n    // Set on the second of June.\n    strings: {\"bath string\": (from: (\"44'\", \"0\"), to: (\"44'\", \"28'\"))},\n    readings: {},\n)\n",
    )
    .expect("a book");
    let lines = "\
house drain: -25 1/16 in, nw 9'-11
main lavatory: ne 8'-3 9/16, se 21'-5 5/8, sw 48'-4 1/8
main closet: ne 6'-11 7/8, se 24'-8 1/16, nw 46'-9 3/16
main shower: ne 149 11/16 in, se 233 13/16 in, sw 532 5/16 in
hall lavatory: nw 196 1/4 in, sw 374 9/16 in, ne 474 5/8 in
";
    let (status, said) = field(&folder, lines);
    assert_eq!(status, Some(1), "{said}");
    for what in [
        "noted as reading 1\n",
        "the sleeve of house drain was poured 5/8 in low and 1 in west: the pipe as planned would meet its side by 3/16 in",
        "the last bend of trunk moved 1 in west and 1 in north",
        "house drain leaves at -1'-11 7/16\"",
        "P2 trunk, 3 in: 0'-11 7/8\", planned 1'-0 7/8\"",
        "main lavatory, main closet and main shower stand 5 1/2 in west of where they should",
        "bath string runs across that way: a string that was moved does the same",
        "pull two tapes to each end of bath string; then set them 5 1/2 in east together",
        "hall lavatory stands 3/8 in north of where it should",
        "next: move it 3/8 in south while it is loose",
        "before the glue: not ready",
    ] {
        has(&said, what);
    }
    let noted = book(&folder);
    has(&noted, "// Set on the second of June.");
    has(
        &noted,
        "who: \"Ann\", when: \"2026-06-03 08:10\", stage: sleeve)",
    );
    // The whole book again, and as JSON: measured beside planned.
    let (status, all, _) = run(&["field", "demo.ron", "--judge"], &folder);
    assert_eq!(status, Some(1));
    has(&all, "field book demo.field.ron: 5 readings");
    let (_, quiet, _) = run(&["field", "demo.ron"], &folder);
    assert_eq!(
        quiet, all,
        "without a terminal and without a line the answers are printed"
    );
    let (status, json, _) = run(&["field", "demo.ron", "--json"], &folder);
    assert_eq!(status, Some(1));
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    assert_eq!(json["stubs"][0]["id"], "main lavatory");
    let x = |of: &str| json["stubs"][0][of][0].as_f64().expect("a number");
    assert!((x("planned") - x("measured") - 5.5).abs() < 0.1, "{json:#}");
    assert_eq!(json["causes"][0]["strings"][0], "bath string");
    assert_eq!(json["solved"]["drains"][0]["feasible"], true);
    assert_eq!(book(&folder), noted, "asking for answers writes nothing");
}

#[test]
fn wrong_lines_are_not_noted_and_nothing_is_lost() {
    let folder = site();
    let (_, first) = field(&folder, "washer: nw 17'-0 3/8, sw 35'-5 5/8\n");
    has(&first, "noted as reading 1");
    let before = book(&folder);
    for (line, what) in [
        (
            "washr: nw 17'",
            "nothing is called \"washr\"; did you mean washer?",
        ),
        (
            "washer: nv 17', sw 35'",
            "there is no corner \"nv\"; did you mean ne? it may be sw, se",
        ),
        ("washer: nw 204, sw 35'", "\"204\" has no unit"),
        (
            "washer: nw 10', sw 30'",
            "not noted: the tapes end 4'-0\" before they meet",
        ),
        (
            "trunk lower: rod 6.95 ft",
            "a rod says nothing without its instrument",
        ),
        ("caps: maybe", "type done when it is done"),
        (
            "washer: nw 204 3/8 ft, sw 35'-5 5/8\n",
            "did you mean 17'-0 3/8\"?",
        ),
    ] {
        let (_, said) = field(&folder, &format!("{line}\n"));
        has(&said, what);
        assert_eq!(book(&folder), before, "{line}");
    }
    // Feet for inches, asked, and typed again the right way.
    let (_, said) = field(
        &folder,
        "utility sink: nw 13'-0 3/8 in, sw 40'-3\nnw 15 ft, sw 40 ft\n",
    );
    has(&said, "noted");
    assert_ne!(book(&folder), before);
    let kept = fs::read_to_string(folder.path().join("demo.field.ron.before"))
        .expect("the last good book");
    assert_eq!(kept, before);
}

#[test]
fn a_figure_read_twice_is_noted_as_it_was_typed() {
    let folder = site();
    let (_, said) = field(&folder, "trunk lower: -23.4 ft\ny\n");
    has(&said, "about twelve times the plan's");
    has(&said, "noted as reading 1");
    has(&book(&folder), "sure: yes");
}

#[test]
fn a_wrong_book_is_told_with_its_lines_and_left_alone() {
    let folder = site();
    let wrong = "(readings: {\n \"1\": (of: \"main lavatry\", what: stub, tapes: [(\"sw\", \"12'\"), (\"se\", 40)], stage: dry_fit),\n \"2\": (of: \"washer\", what: done, stage: glud),\n})";
    fs::write(folder.path().join("demo.field.ron"), wrong).expect("a book");
    let (status, out, err) = run(&["field", "demo.ron", "--judge"], &folder);
    assert_eq!((status, out.as_str()), (Some(2), ""));
    has(&err, "demo.field.ron:2:");
    has(&err, "40 is a bare number");
    has(&err, "glud is not a stage; did you mean glued?");
    has(
        &err,
        "things to put right in the field book; it is left as it is\n",
    );
    assert_eq!(book(&folder), wrong);
}

#[test]
fn the_layout_as_it_stands() {
    let folder = site();
    field(&folder, "house drain: -25 1/16 in, nw 9'-11\n");
    let (status, said, _) = run(&["field", "demo.ron", "--as-built", "built.ron"], &folder);
    assert_eq!(status, Some(0), "{said}");
    has(&said, "the exit of house drain moved 1 in west");
    let built = fs::read_to_string(folder.path().join("built.ron")).expect("the layout");
    has(&built, "sleeve_bottom: \"-2'-1 1/16\"");
    has(&built, "// Both ways, at the ground just outside.");
    let (status, _, _) = run(&["check", "built.ron"], &folder);
    assert_ne!(status, Some(2));
    let (status, _, err) = run(&["field", "demo.ron", "--as-built", "built.ron"], &folder);
    assert_eq!(status, Some(2));
    has(
        &err,
        "there is a file built.ron already and it is left as it is",
    );
}

/// A closet moves 3 in after half is glued.
#[test]
fn changes_after_half_is_glued() {
    let folder = site();
    let moved = DEMO.replace(
        "by: \"12 in\", along: \"8'\"), landing: floor",
        "by: \"12 in\", along: \"8'-3\"), landing: floor",
    );
    fs::write(folder.path().join("new.ron"), &moved).expect("a house");
    // What is glued is noted by its name, measured or not.
    field(&folder, "trunk lower: done\nhall closet: done\n");
    let noted = book(&folder);
    has(&noted, "of: \"trunk\", what: done,");
    has(&noted, "of: \"hall closet\", what: done,");
    let (status, said, err) = run(&["changes", "demo.ron", "new.ron"], &folder);
    assert_eq!((status, err.as_str()), (Some(0), ""), "{said}");
    for what in [
        "hall closet: moved 3 in north\n",
        "is out of date; gather them in and print them again\n",
        "saw out what is lost",
        " of the old plan stay as they are\n",
        " of the new plan, ",
        "\nCut\n",
        "\nLost, glued where it cannot stay\n",
    ] {
        has(&said, what);
    }
    let stamp = said.split(['(', ')']).nth(1).expect("a stamp").to_owned();
    let page = |stamp: &str| {
        run(
            &["changes", "demo.ron", "new.ron", "--page", stamp],
            &folder,
        )
    };
    let (status, said, _) = page(&stamp);
    assert_eq!(
        said,
        "the page comes from demo.ron, the older layout: it is stale\n"
    );
    assert_eq!(status, Some(1));
    let (status, said, _) = page("0badcafe");
    has(&said, "the page comes from neither demo.ron (");
    assert_eq!(status, Some(1));
    let (status, said, _) = run(&["changes", "demo.ron", "demo.ron"], &folder);
    assert_eq!(status, Some(0));
    has(
        &said,
        "both say the same: nothing moved, every page holds\n",
    );
}
