//! The program from outside: what it prints, where, and what it ends with.

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

use tempfile::TempDir;

fn fallwise(args: &[&str], folder: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fallwise"))
        .args(args)
        .current_dir(folder)
        .output()
        .expect("the program starts")
}

fn folder() -> TempDir {
    tempfile::tempdir().expect("a folder")
}

fn put(folder: &TempDir, name: &str, text: &str) -> PathBuf {
    let path = folder.path().join(name);
    fs::write(&path, text).expect("a file");
    path
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

fn code(output: &Output) -> Option<i32> {
    output.status.code()
}

/// A drain with room to spare: 2 ft of fall to a tank 20 ft off.
const FALLS: &str = r#"(
    title: "Small house",
    code: irc,
    slab: (outline: [("0", "0"), ("30'", "0"), ("30'", "20'"), ("0", "20'")], layers: [(concrete, "4 in")], gap: "2 in"),
    drains: { "main": (
        exit: (at: ("15'", "20'"), size: "4 in", sleeve: "6 in"),
        line: (length: "20'", size: "4 in"),
        receiver: (kind: tank, invert: "-40 in", known: measured),
    ) },
    runs: { "trunk": (from: ("15'", "4'"), to: "main", size: "3 in") },
)"#;

#[test]
fn new_then_check() {
    let folder = folder();
    let made = fallwise(&["new", "house.ron"], folder.path());
    assert_eq!(code(&made), Some(0), "{}", text(&made.stderr));
    assert!(text(&made.stdout).contains("fallwise check house.ron"));
    let checked = fallwise(&["check", "house.ron"], folder.path());
    assert_ne!(code(&checked), Some(2), "{}", text(&checked.stderr));
    assert_eq!(text(&checked.stderr), "");
    let said = text(&checked.stdout);
    assert!(said.contains("nobody has read"), "{said}");
    for banned in ["compliant", "passes", "meets code", "approved", "\u{1b}["] {
        assert!(!said.contains(banned), "{banned} in {said}");
    }
}

#[test]
fn new_leaves_a_file_alone() {
    let folder = folder();
    let path = put(&folder, "mine.ron", "my own words");
    let output = fallwise(&["new", "mine.ron"], folder.path());
    assert_eq!(code(&output), Some(2));
    assert!(
        text(&output.stderr).starts_with("fallwise: there is a file mine.ron already"),
        "{}",
        text(&output.stderr)
    );
    assert_eq!(
        fs::read_to_string(path).expect("still there"),
        "my own words"
    );
}

#[test]
fn a_file_that_is_not_there() {
    let folder = folder();
    for command in ["check", "picture"] {
        let args: &[&str] = if command == "check" {
            &["check", "no.ron"]
        } else {
            &["picture", "no.ron", "-o", "no.png"]
        };
        let output = fallwise(args, folder.path());
        assert_eq!(
            (code(&output), text(&output.stdout)),
            (Some(2), String::new())
        );
        assert_eq!(text(&output.stderr).lines().count(), 1);
    }
    let output = fallwise(&["check", "no.ron"], folder.path());
    assert_eq!(
        text(&output.stderr),
        "fallwise: there is no file no.ron; `fallwise new no.ron` writes one to start from\n"
    );
}

#[test]
fn every_mistake_is_told_in_one_go() {
    let folder = folder();
    let wrong = FALLS
        .replace("outline:", "outlin:")
        .replace("\"4 in\", sleeve", "4, sleeve")
        .replace("\"20'\", size", "\"20 furlongs\", size");
    put(&folder, "typo.ron", &wrong);
    let output = fallwise(&["check", "typo.ron", "--json"], folder.path());
    assert_eq!(
        (code(&output), text(&output.stdout)),
        (Some(2), String::new())
    );
    let said = text(&output.stderr);
    for (line, words) in [
        ("typo.ron:4:", "did you mean outline"),
        ("typo.ron:6:", "bare number"),
        ("typo.ron:7:", "furlongs"),
    ] {
        assert!(
            said.lines()
                .any(|one| one.starts_with(line) && one.contains(words)),
            "{line} {words} in {said}"
        );
    }
    assert!(
        said.ends_with("to put right before this can be checked\n"),
        "{said}"
    );
}

#[test]
fn mistakes_beside_the_layout_are_told_like_its_own() {
    let folder = folder();
    put(&folder, "house.ron", FALLS);
    put(
        &folder,
        "house.local.ron",
        "[\n    (rule: \"frost-depth\", value: \"42 in\", said_by: \"a clerk\"),\n    (rule: \"grade-leest\", value: \"1/4 in/ft\", said_by: \"the county\"),\n]",
    );
    put(
        &folder,
        "house.bench.ron",
        "[(fitting: \"no such thing\", takes_off: \"3 in\")]",
    );
    let output = fallwise(&["check", "house.ron"], folder.path());
    assert_eq!(code(&output), Some(2), "{}", text(&output.stdout));
    let said = text(&output.stderr);
    assert!(
        said.contains("house.local.ron:3: \"grade-leest\" is no rule; did you mean grade-least")
            && said.contains("house.bench.ron: "),
        "{said}"
    );
}

#[test]
fn a_local_amendment_takes_a_mend_away() {
    let folder = folder();
    put(&folder, "house.ron", &FALLS.replace("-40 in", "-16 in"));
    let flatter = |output: &Output| text(&output.stdout).contains("lay trunk at 1/8");
    let plain = fallwise(&["check", "house.ron"], folder.path());
    put(
        &folder,
        "house.local.ron",
        "[(rule: \"grade-least\", of: \"3 in\", value: \"1/4 in/ft\", said_by: \"the county\")]",
    );
    let amended = fallwise(&["check", "house.ron"], folder.path());
    assert_eq!(
        (code(&plain), code(&amended)),
        (Some(1), Some(1)),
        "{}",
        text(&amended.stderr)
    );
    assert!(
        flatter(&plain) && !flatter(&amended),
        "{}",
        text(&amended.stdout)
    );
}

fn json(folder: &TempDir, extra: &[&str]) -> (Option<i32>, serde_json::Value) {
    let args: Vec<&str> = ["check", "house.ron", "--json"]
        .iter()
        .chain(extra)
        .copied()
        .collect();
    let output = fallwise(&args, folder.path());
    assert_eq!(text(&output.stderr), "");
    (
        code(&output),
        serde_json::from_slice(&output.stdout).expect("JSON"),
    )
}

#[track_caller]
fn near(found: &serde_json::Value, by_hand: f64) {
    let found = found.as_f64().expect("a number");
    assert!(
        (found - by_hand).abs() <= 0.03,
        "found {found}, by hand {by_hand}"
    );
}

#[test]
fn json_tells_the_facts() {
    let folder = folder();
    put(&folder, "house.ron", FALLS);
    let (_, report) = json(&folder, &[]);
    assert_eq!(
        (&report["format"], &report["layout"]),
        (&1.into(), &"Small house".into())
    );
    assert_eq!(report["hash"].as_str().map(str::len), Some(8));
    let drain = &report["drains"][0];
    assert_eq!(
        (&drain["id"], &drain["feasible"], &drain["short"]),
        (&"main".into(), &true.into(), &serde_json::Value::Null)
    );
    // 4 in slab and 2 in gap: -6 - 3.284; 16 ft at 1/4; 3 to 4 in 0.479; 20 ft at 1/4 to the tank at -40.
    near(&drain["start_invert"], -9.284);
    near(&drain["exit_invert"], -9.284 - 4.0 - 0.479);
    near(&drain["receiver_invert"], -40.0);
    near(&drain["spare"], 40.0 - 5.0 - 13.763);
    assert_eq!(
        (&drain["chain"], &drain["mends"]),
        (&serde_json::json!([]), &serde_json::json!([]))
    );
    let run = &report["runs"][0];
    assert_eq!(
        (&run["id"], &run["drain"], &run["grade_in_per_ft"]),
        (&"trunk".into(), &"main".into(), &0.25.into())
    );
    near(&run["length"], 192.0);
    near(&run["cover_min"], 2.0);
}

#[test]
fn json_has_the_promised_fields_in_their_order() {
    let folder = folder();
    put(&folder, "house.ron", FALLS);
    let output = fallwise(&["check", "house.ron", "--json"], folder.path());
    let again = fallwise(&["check", "house.ron", "--json"], folder.path());
    assert_eq!(
        output.stdout, again.stdout,
        "the same input gives the same bytes"
    );
    let report = text(&output.stdout);
    let top: Vec<&str> = report
        .lines()
        .filter_map(|line| line.strip_prefix("  \"")?.split('"').next())
        .collect();
    assert_eq!(
        top,
        [
            "format",
            "layout",
            "hash",
            "code",
            "verdict",
            "unread",
            "drains",
            "runs",
            "stubs",
            "findings",
            "to_tell",
            "before_cover",
            "amended"
        ]
    );
    let all = text(
        &fallwise(
            &["check", "house.ron", "--json", "--code", "all"],
            folder.path(),
        )
        .stdout,
    );
    let top: Vec<&str> = all
        .lines()
        .filter_map(|line| line.strip_prefix("  \"")?.split('"').next())
        .collect();
    assert_eq!(
        top,
        [
            "format",
            "layout",
            "hash",
            "codes",
            "unread",
            "drains",
            "runs",
            "stubs",
            "to_tell",
            "before_cover",
            "amended",
            "differences",
            "questions"
        ]
    );
    let all: serde_json::Value = serde_json::from_str(&all).expect("JSON");
    for code in ["IRC", "IPC", "UPC"] {
        assert!(
            all["codes"][code]["verdict"].is_string() && all["codes"][code]["findings"].is_array()
        );
    }
}

#[test]
fn what_cannot_fall_ends_with_one_and_says_what_to_change() {
    let folder = folder();
    put(&folder, "house.ron", &FALLS.replace("-40 in", "-16 in"));
    let (status, report) = json(&folder, &[]);
    assert_eq!((status, &report["verdict"]), (Some(1), &"fails".into()));
    // 13.763 + 5 - 16.
    near(&report["drains"][0]["short"], 2.763);
    assert_eq!(report["drains"][0]["spare"], serde_json::Value::Null);
    let mends = report["drains"][0]["mends"].as_array().expect("mends");
    // At 1/8 the line outside alone falls 2.5 less, which is not enough; the trunk and the line 4.5 less.
    assert!(
        mends.iter().any(|mend| mend["says"]
            .as_str()
            .is_some_and(|says| says.contains("1/8"))),
        "{mends:#?}"
    );
    let said = text(&fallwise(&["check", "house.ron"], folder.path()).stdout);
    assert!(
        said.starts_with("FAILS") && said.contains("What to change first"),
        "{said}"
    );
}

#[test]
fn completions_and_the_man_page_come_from_the_arguments() {
    let folder = folder();
    for shell in ["bash", "zsh", "fish"] {
        let output = fallwise(&["completions", shell], folder.path());
        assert_eq!(code(&output), Some(0));
        for command in ["demo", "new", "check", "view", "picture"] {
            assert!(
                text(&output.stdout).contains(command),
                "{command} in {shell}"
            );
        }
    }
    let manual = text(&fallwise(&["manual"], folder.path()).stdout);
    assert!(
        manual.starts_with(".ie") && manual.contains("receiver_invert"),
        "{manual}"
    );
}

#[test]
fn the_demo_is_written_checked_and_not_written_over() {
    let folder = folder();
    let output = fallwise(&["demo", "out"], folder.path());
    assert_eq!(
        code(&output),
        Some(0),
        "{}{}",
        text(&output.stdout),
        text(&output.stderr)
    );
    let report = fs::read(folder.path().join("out/check.json")).expect("check.json");
    assert!(serde_json::from_slice::<serde_json::Value>(&report).is_ok());
    let house = folder.path().join("out/demo.ron");
    fs::write(&house, "mine now").expect("a file");
    let again = fallwise(&["demo", "out"], folder.path());
    assert_eq!(code(&again), Some(2));
    assert_eq!(fs::read_to_string(house).expect("still there"), "mine now");
}

#[cfg(not(feature = "viewer"))]
#[test]
fn a_build_without_pictures_says_so_in_one_line() {
    let folder = folder();
    put(&folder, "house.ron", FALLS);
    for args in [
        &["view", "house.ron"][..],
        &["picture", "house.ron", "-o", "a.png"],
    ] {
        let output = fallwise(args, folder.path());
        assert_eq!(code(&output), Some(2));
        assert_eq!(
            text(&output.stderr),
            "fallwise: this build has no pictures; install fallwise without --no-default-features\n"
        );
    }
}

/// A closet on a 1-1/2 in vent: one code wants 2 in (UPC 908.1.2, read), two do not. Three closets to a town's 1/4.
const DIFFERS: &str = r#"(
    title: "Codes differ",
    code: irc,
    slab: (outline: [("0", "0"), ("40'", "0"), ("40'", "30'"), ("0", "30'")], layers: [(concrete, "4 in")], gap: "2 in", hubs_below: true),
    foundation: (edge: (kind: stem_wall, thickness: "8 in", top: "0", bottom: "-30 in", footing: (width: "16 in", thickness: "8 in"))),
    outside: (ground: [("0", "-6 in")], frost: "0", cover: "2 in"),
    walls: { "vent wall": (from: ("15'", "4'"), to: ("15'", "26'"), framing: "2x6", board: "1/2 in") },
    fixtures: {
        "wc": (kind: closet, at: ("11'", "12'"), landing: floor, vent: (take_off: (at: ("15'", "12'"), up: ("15'", "12'"), wall: "vent wall"))),
    },
    drains: {
        "d": (exit: (at: ("20'", "30'"), size: "4 in", sleeve: "6 in"), line: (length: "40'", size: "4 in", grades: ["1/4"]), receiver: (kind: sewer, invert: "-48 in", known: measured)),
    },
    runs: {
        "trunk": (from: ("20'", "4'"), to: "d", size: "3 in", grades: ["1/8"]),
        "wc drain": (from: "wc", via: [("17'", "12'")], to: "trunk", size: "3 in"),
    },
)"#;

#[test]
fn three_codes_make_one_table_and_questions_for_a_phone() {
    let folder = folder();
    put(&folder, "house.ron", DIFFERS);
    let output = fallwise(&["check", "house.ron", "--code", "all"], folder.path());
    let said = text(&output.stdout);
    assert!(said.starts_with("IRC: NOTHING FOUND"), "{said}");
    assert!(
        said.lines().all(|line| line.chars().count() <= 100),
        "{said}"
    );
    let row = |start: &str| {
        let words = |line: &str| {
            line.split_whitespace()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        said.lines()
            .map(words)
            .find(|words| words.first().is_some_and(|w| w == start))
    };
    assert_eq!(
        row("rule").unwrap_or_default(),
        ["rule", "about", "IRC", "IPC", "UPC"]
    );
    assert_eq!(
        row("vent-too-small").unwrap_or_default(),
        ["vent-too-small", "wc", "-", "-", "fails"]
    );
    let (_, questions) = said
        .split_once("Questions for your inspector")
        .expect(&said);
    let (questions, _) = questions.split_once("Before anything").expect(&said);
    assert!(
        questions.lines().all(|line| line.chars().count() <= 46),
        "{questions}"
    );
    let joined = questions.split_whitespace().collect::<Vec<_>>().join(" ");
    for side in [
        "IRC: nothing found IRC P3113.1: ",
        "UPC: fails UPC 908.1.2: vent of a water closet at least this size: 2 in (read)",
        "IRC P3005.3: least fall of a horizontal drain, by pipe size: up to 2-1/2 in: 1/4 in/ft; 3 in and larger: 1/8 in/ft (read)",
        "Which do you go by here?",
    ] {
        assert!(joined.contains(side), "{side} in {joined}");
    }
    let (_, report) = json(&folder, &["--code", "all"]);
    let differs = report["differences"].as_array().expect("differences");
    let closet = differs
        .iter()
        .find(|row| row["rule"] == "vent-too-small")
        .expect("told");
    assert_eq!(closet["verdicts"]["UPC"], "fails");
    assert_eq!(closet["verdicts"]["IRC"], "nothing found");
    assert_eq!(report["questions"][0]["sides"][2]["code"], "UPC");
}

#[test]
fn the_test_before_cover_is_told_with_its_pressure() {
    let folder = folder();
    put(&folder, "house.ron", FALLS);
    let said = text(&fallwise(&["check", "house.ron", "--code", "ipc"], folder.path()).stdout);
    let joined = said.split_whitespace().collect::<Vec<_>>().join(" ");
    // IPC 312.2 (Philadelphia text, read): 10 ft, 15 minutes. The highest fitting is the cap at the upper end, its middle
    // 7.75 in under the floor, its hub 4 in across, so its top 5.75; the outlet 13.75: 0.433 psi a foot over 10 ft and 8 in.
    assert!(
        joined.contains(
            "stand water 10 ft over the highest fitting of main for 15 minutes: 10.7 ft and 4.6 psi"
        ),
        "{joined}"
    );
    assert!(
        joined.contains("do not test with air: air stored in plastic pipe can burst it"),
        "{joined}"
    );
    let (_, report) = json(&folder, &[]);
    assert_eq!(report["before_cover"][0]["rule"], "test-before-cover");
}

#[test]
fn fewer_figures_are_leant_on_than_the_code_has() {
    let folder = folder();
    put(&folder, "house.ron", FALLS);
    let (_, few) = json(&folder, &[]);
    put(&folder, "house.ron", DIFFERS);
    let (_, more) = json(&folder, &[]);
    let count = |report: &serde_json::Value| report["unread"].as_u64().expect("a count");
    assert!(
        count(&few) > 0 && count(&few) != count(&more),
        "{few} {more}"
    );
    assert!(count(&more) < 60, "{more}");
}

#[test]
fn what_is_not_made_or_not_known_is_told_with_what_would_be_right() {
    let folder = folder();
    let wrong = DIFFERS.replace("kind: closet", "kind: closett").replace(
        r#"to: "trunk", size: "3 in""#,
        r#"to: "trunk", size: "5 in""#,
    );
    put(&folder, "house.ron", &wrong);
    let town = r#"[(rule: "grade-lest", value: "1/4 in/ft", said_by: "x"), (rule: "test-head", value: "ten", said_by: "x")]"#;
    put(&folder, "house.local.ron", town);
    let output = fallwise(&["check", "house.ron"], folder.path());
    assert_eq!(code(&output), Some(2));
    let said = text(&output.stderr);
    for words in [
        "house.ron:9:",
        "did you mean closet",
        "5 in",
        "\"grade-lest\" is no rule; did you mean grade-least",
        "rule \"test-head\" takes a figure in ft",
    ] {
        assert!(said.contains(words), "{words} in {said}");
    }
    assert_eq!(text(&output.stdout), "");
}
