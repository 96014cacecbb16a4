//! The parts list from outside: text, CSV, JSON, prices, changes, and what is refused.

use std::{
    fs,
    path::Path,
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

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// One closet into a trunk that is capped for later. Invented. Its fittings by hand: a wye in the trunk, a cap on the
/// trunk's bare end, a street eighth bend in the wye's hub, a long turn under the closet. Its pipes: through the wall to
/// the wye, wye to cap, street bend to long turn, riser.
const ONE_BRANCH: &str = r#"(
    title: "One branch", code: irc,
    slab: (outline: [("0", "0"), ("30'", "0"), ("30'", "20'"), ("0", "20'")], layers: [(concrete, "4 in"), (sheet, "0.01 in"), (gravel, "4 in")]),
    fixtures: { "wc": (kind: closet, at: ("180 in", "100 in"), landing: floor, trap: in_fixture, vent: unknown) },
    drains: { "d": (exit: (at: ("120 in", "20'"), way: through, size: "3 in")) },
    runs: {
        "trunk": (from: ("120 in", "20 in"), to: "d", size: "3 in"),
        "branch": (from: "wc", to: (run: "trunk", at: ("120 in", "100 in")), size: "3 in", joins: flat),
    },
)"#;

fn house() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("house.ron"), ONE_BRANCH).expect("a file");
    folder
}

#[test]
fn the_shop_list_comes_first() {
    let folder = house();
    let output = fallwise(&["parts", "house.ron"], folder.path());
    let said = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let at = |what: &str| {
        said.find(what)
            .unwrap_or_else(|| panic!("no {what} in {said}"))
    };
    let order = [
        "Fittings",
        "3 in wye",
        "Primer and cement",
        "For the test",
        "How to saw",
        "Cuts",
        "Glue-up",
        "How near",
    ];
    assert!(
        order.windows(2).all(|pair| at(pair[0]) < at(pair[1])),
        "{said}"
    );
    assert!(said.contains("looking upstream, 12 is up"), "{said}");
    assert!(
        said.contains("provisional") && said.contains("[1]"),
        "{said}"
    );
    assert!(said.contains("STAYS DRY"), "{said}");
    // Which hub a piece goes into: the wye has two upstream.
    assert!(
        said.contains("3 in street eighth bend, on the branch of F1"),
        "{said}"
    );
    for banned in ["compliant", "meets code", "approved", "\u{1b}["] {
        assert!(!said.contains(banned), "{banned} in {said}");
    }
    assert_eq!(
        said,
        text(&fallwise(&["parts", "house.ron"], folder.path()).stdout)
    );
}

#[test]
fn json_has_every_piece_in_one_assembly() {
    let folder = house();
    let output = fallwise(&["parts", "house.ron", "--json"], folder.path());
    let value: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let list = |key: &str| value[key].as_array().expect(key).clone();
    // Four fittings and four pipes, as counted above; a tree has one joint less.
    assert_eq!((list("pieces").len(), list("joints").len()), (8, 7));
    let mut glued: Vec<String> = list("assemblies")
        .iter()
        .flat_map(|assembly| assembly["pieces"].as_array().expect("pieces").clone())
        .map(|label| label.as_str().expect("a label").to_owned())
        .collect();
    glued.sort();
    assert_eq!(glued, ["F1", "F2", "F3", "F4", "P1", "P2", "P3", "P4"]);
    assert_eq!(list("order").len(), list("assemblies").len());
    let count = |item: &str| {
        let line = list("buy").into_iter().find(|line| line["item"] == item);
        line.map(|line| line["count"].as_u64().expect("a count"))
    };
    // One wye and, one in ten rounded up, one spare; a boot for the one pipe through the sheet.
    assert_eq!(count("3 in wye"), Some(2));
    assert_eq!(count("3 in boot"), Some(1));
    assert_eq!(count("3 in test cap"), Some(2));
    assert!(value["changes"].is_null() && value["total"].is_null());
}

#[test]
fn prices_need_units() {
    let folder = house();
    let sheet = folder.path().join("house.shop.ron");
    fs::write(
        &sheet,
        "(spare: \"none\", prices: {\n\"3 in wye\": \"$9.50 each\",\n\"3 in cap\": \"$4 each\"})",
    )
    .expect("a file");
    let said = text(&fallwise(&["parts", "house.ron"], folder.path()).stdout);
    assert!(
        said.contains("$13.50") && said.contains("without a price:"),
        "{said}"
    );
    fs::write(
        &sheet,
        "(prices: {\n\"3 in wye\": 9.5,\n\"3 in pipe\": \"2.10\"})",
    )
    .expect("a file");
    let output = fallwise(&["parts", "house.ron"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    let told = text(&output.stderr);
    assert!(
        told.contains("house.shop.ron: line 2: 3 in wye: 9.5 has no unit"),
        "{told}"
    );
    assert!(
        told.contains("line 3: 3 in pipe: the price \"2.10\" has no unit"),
        "{told}"
    );
}

#[test]
fn csv_and_changes() {
    let folder = house();
    let with_45 = ONE_BRANCH.replace(
        r#"to: (run: "trunk", at: ("120 in", "100 in"))"#,
        r#"via: [("160 in", "100 in")], to: (run: "trunk", at: ("120 in", "140 in"))"#,
    );
    fs::write(folder.path().join("new.ron"), with_45).expect("a file");
    let output = fallwise(
        &["parts", "new.ron", "--csv", "--since", "house.ron"],
        folder.path(),
    );
    let said = text(&output.stdout);
    assert!(
        said.starts_with("list,shelf,item,count,unit,price,cost,length_in,note\n"),
        "{said}"
    );
    // The street eighth bend and its spare go back; a plain eighth bend and its spare are bought.
    assert!(
        said.contains("change,return,3 in street eighth bend,2,"),
        "{said}"
    );
    assert!(
        said.contains("change,buy more,3 in eighth bend,2,"),
        "{said}"
    );
}

/// The line shown under the cuts is a bench sheet as it stands: written into the file, it is used.
#[test]
fn the_bench_sheet_shown_under_the_cuts_can_be_used() {
    let folder = house();
    let said = text(&fallwise(&["parts", "house.ron"], folder.path()).stdout);
    assert!(said.contains("house.bench.ron"), "{said}");
    let from = said
        .find("    [\n")
        .unwrap_or_else(|| panic!("no sheet in {said}"));
    let sheet = &said[from..][..said[from..].find("\n    ]\n").expect("its end") + 7];
    // The first cut goes from the exit to the outlet of the wye.
    assert!(
        sheet.contains(r#"(fitting: "3 in wye", end: "outlet", takes_off: ""#),
        "{sheet}"
    );
    let before = takeoffs(&folder);
    let wye = |list: &[serde_json::Value]| {
        let own = |one: &&serde_json::Value| one["fitting"] == "3 in wye" && one["end"] == "outlet";
        let found: Vec<serde_json::Value> = list.iter().filter(own).cloned().collect();
        assert_eq!(found.len(), 1, "{list:?}");
        found[0].clone()
    };
    assert_ne!(wye(&before)["known"], "measured");
    fs::write(folder.path().join("house.bench.ron"), sheet).expect("a file");
    let after = takeoffs(&folder);
    assert_eq!(wye(&after)["known"], "measured");
    assert_eq!(wye(&after)["source"], "bench sheet, line 2");
    let apart = |list: &[serde_json::Value]| {
        let took = wye(list)["takes_off"].as_f64();
        took.expect("inches")
    };
    assert!((apart(&before) - apart(&after)).abs() <= 1.0 / 32.0 + 1e-4);
}

fn takeoffs(folder: &TempDir) -> Vec<serde_json::Value> {
    let output = fallwise(&["parts", "house.ron", "--json"], folder.path());
    let value: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    value["takeoffs"].as_array().expect("take-offs").clone()
}

#[test]
fn every_take_off_used_is_told_once() {
    let folder = house();
    let list = takeoffs(&folder);
    // By hand: pipe ends in both hubs of the run of the wye, in the cap, in both hubs of the long turn, and in the inlet of the
    // street bend, whose other end is in the branch of the wye.
    let ends: Vec<(&str, &str)> = list
        .iter()
        .map(|one| {
            let word = |key: &str| one[key].as_str().expect("a word");
            (word("fitting"), word("end"))
        })
        .collect();
    assert_eq!(
        ends,
        [
            ("3 in long-turn quarter bend", "outlet"),
            ("3 in long-turn quarter bend", "inlet"),
            ("3 in street eighth bend", "inlet"),
            ("3 in wye", "outlet"),
            ("3 in wye", "inlet"),
            ("3 in cap", "outlet"),
        ]
    );
    let said = text(&fallwise(&["parts", "house.ron"], folder.path()).stdout);
    let table = &said[said.find("Take-offs used").expect("the table")..];
    let table = &table[..table.find("Glue-up").expect("its end")];
    for (fitting, end) in ends {
        let row = |line: &&str| line.trim_start().starts_with(fitting) && line.contains(end);
        assert_eq!(
            table.lines().filter(row).count(),
            1,
            "{fitting} {end} {table}"
        );
    }
}

#[test]
fn changes_and_parts_buy_the_same() {
    let folder = house();
    let with_cleanout = ONE_BRANCH.replace(
        "    runs: {",
        r#"    cleanouts: { "co": (at: ("120 in", "20 in"), landing: floor) },
    runs: {"#,
    );
    let with_cleanout = with_cleanout.replace(
        r#""trunk": (from: ("120 in", "20 in")"#,
        r#""trunk": (from: "co""#,
    );
    fs::write(folder.path().join("new.ron"), with_cleanout).expect("a file");
    let run = |args: &[&str]| {
        let output = fallwise(args, folder.path());
        (text(&output.stdout), text(&output.stderr))
    };
    let (since, err) = run(&["parts", "new.ron", "--json", "--since", "house.ron"]);
    let value: serde_json::Value = serde_json::from_str(&since).unwrap_or_else(|_| panic!("{err}"));
    let (said, err) = run(&["changes", "house.ron", "new.ron"]);
    let changes = value["changes"].as_array().expect("changes");
    let other = |one: &&serde_json::Value| {
        !one["item"]
            .as_str()
            .is_some_and(|name| name.contains("pipe, "))
    };
    let mut seen = 0;
    for one in changes.iter().filter(other) {
        let (before, now) = (one["before"].as_u64(), one["now"].as_u64());
        let n = now.expect("a count").abs_diff(before.expect("a count"));
        let line = format!("\n  {n} x {}\n", one["item"].as_str().expect("a name"));
        assert!(said.contains(&line), "{line} in {said} {err}");
        seen += 1;
    }
    assert!(seen > 3, "{changes:?}");
    assert!(said.contains("`fallwise parts new.ron`"), "{said}");
}

#[test]
fn a_measured_fitting_that_contradicts_itself_is_refused() {
    let folder = house();
    let sheet = r#"[(fitting: "3 in wye", end: "branch", takes_off: "5 in", to_face: "5 1/4 in")]"#;
    fs::write(folder.path().join("house.bench.ron"), sheet).expect("a file");
    let output = fallwise(&["parts", "house.ron"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    assert!(
        text(&output.stderr).contains("house.bench.ron: line 1: 3 in wye"),
        "{}",
        text(&output.stderr)
    );
}

#[test]
fn a_size_nobody_makes_is_told_with_what_is_made() {
    let folder = house();
    let five = ONE_BRANCH.replacen(r#"to: "d", size: "3 in""#, r#"to: "d", size: "5 in""#, 1);
    fs::write(folder.path().join("five.ron"), five).expect("a file");
    let output = fallwise(&["parts", "five.ron"], folder.path());
    assert_eq!(output.status.code(), Some(2));
    let told = text(&output.stderr);
    let says = r#"runs "trunk" size: "5 in" is not a pipe size; write "1-1/4 in", "1-1/2 in", "2 in", "3 in", "4 in" or "6 in""#;
    assert!(told.contains(says), "{told}");
    // A size that is sold, in a join that no wye makes: the list says that it is not to be bought yet, and why.
    let small = ONE_BRANCH.replacen(r#"to: "d", size: "3 in""#, r#"to: "d", size: "2 in""#, 1);
    let small = small.replacen(
        r#"way: through, size: "3 in""#,
        r#"way: through, size: "2 in""#,
        1,
    );
    fs::write(folder.path().join("small.ron"), small).expect("a file");
    let said = text(&fallwise(&["parts", "small.ron"], folder.path()).stdout);
    let says = "  x branch: no wye takes a 3 in branch into 2 in pipe; make the run 3 in, or the branch 2 in\n";
    assert!(said.contains(says), "{said}");
    assert!(
        said.contains("buy nothing before these are put right"),
        "{said}"
    );
}
