//! Proves where things stand: the top level is the agreed one, every Rust file says what belongs in it, no file knows
//! the machine it was written on, and the window test is where the test command looks.

use super::source;
use super::{Files, Flaw};
use crate::test::ON_A_DISPLAY;

const TOP_LEVEL: [&str; 12] = [
    ".cargo",
    ".ci",
    ".gitignore",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "assets",
    "crates",
    "scenes",
    "tests",
];

/// How paths of one machine go on after their first slash. Without it, or this line would be found.
const MACHINE: [&str; 5] = ["work/", "root/", "home/", "Users/", "tmp/t-"];

pub(super) fn top_level(paths: &[String]) -> Vec<Flaw> {
    let mut present: Vec<&str> = paths
        .iter()
        .filter_map(|path| path.split('/').next())
        .collect();
    present.dedup();
    let missing = TOP_LEVEL
        .into_iter()
        .filter(|name| !present.contains(name))
        .map(|name| Flaw::new(name, 1, "is missing at the top level"));
    let odd = present
        .iter()
        .filter(|name| !TOP_LEVEL.contains(name))
        .map(|name| {
            Flaw::new(
                name,
                1,
                format!(
                    "does not belong at the top level; there stand {}",
                    TOP_LEVEL.join(", ")
                ),
            )
        });
    missing.chain(odd).collect()
}

pub(super) fn machine_paths(files: &Files) -> Vec<Flaw> {
    let judged = files.iter().filter(|(path, _)| *path != "Cargo.lock");
    let lines = judged.flat_map(|(path, text)| {
        text.lines()
            .enumerate()
            .map(move |(idx, line)| (path, idx + 1, line))
    });
    lines
        .filter_map(|(path, line_no, line)| {
            Some(Flaw::new(
                path,
                line_no,
                format!(
                    "names {}, a place on one machine; use a path from the project's root",
                    machine_place(line)?
                ),
            ))
        })
        .collect()
}

/// The first place on one machine in `line` that starts a path, and is not part of an address or a longer path.
fn machine_place(line: &str) -> Option<String> {
    let starts_path =
        |at: usize| !line[..at].ends_with(|c: char| c.is_alphanumeric() || "./_-~:)}".contains(c));
    MACHINE
        .iter()
        .map(|name| format!("/{name}"))
        .find(|folder| {
            line.match_indices(folder.as_str())
                .any(|(at, _)| starts_path(at))
        })
}

pub(super) fn openings(files: &Files) -> Vec<Flaw> {
    let rust = files.iter().filter(|(path, _)| {
        path.rsplit_once('.')
            .is_some_and(|(_, ending)| ending == "rs")
    });
    let bare = rust.filter(|(_, text)| !text.starts_with("//!"));
    bare.map(|(path, _)| {
        Flaw::new(
            path,
            1,
            "does not open with `//!`; say what belongs in this file and what does not",
        )
    })
    .collect()
}

/// A test outside the module would run where no display is.
pub(super) fn window_test(files: &Files) -> Vec<Flaw> {
    let Some((path, text)) = files
        .iter()
        .find(|(path, _)| path.ends_with("crates/fallwise/tests/window.rs"))
    else {
        return Vec::new();
    };
    let code = source::code_only(text);
    let words = source::words(&code);
    let test_lines: Vec<usize> = words
        .windows(3)
        .filter(|w| w[0].text == "[" && w[1].text == "test" && w[2].text == "]")
        .map(|w| w[0].line)
        .collect();
    let module = words
        .windows(2)
        .find(|w| w[0].text == "mod" && w[1].text == ON_A_DISPLAY)
        .map(|w| w[0].line);
    let Some(module) = module else {
        return vec![Flaw::new(
            path,
            1,
            format!("has no `mod {ON_A_DISPLAY}`; the tests that need a display belong in it"),
        )];
    };
    if test_lines.is_empty() {
        return vec![Flaw::new(
            path,
            module,
            "holds no test; the window test would pass on nothing",
        )];
    }
    let early = test_lines.into_iter().filter(|line| *line < module);
    early
        .map(|line| {
            Flaw::new(
                path,
                line,
                format!("is a test outside `mod {ON_A_DISPLAY}`; move it in"),
            )
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::tests::{files, shown};
    use super::*;

    #[test]
    fn the_top_level_is_exact() {
        let mut paths: Vec<String> = TOP_LEVEL.iter().map(|name| format!("{name}/x")).collect();
        assert!(top_level(&paths).is_empty());
        paths.retain(|path| !path.starts_with("scenes"));
        paths.push("notes.txt".to_owned());
        let flaws = shown(&top_level(&paths));
        assert_eq!(flaws[0], "scenes:1 is missing at the top level");
        assert!(
            flaws[1].starts_with("notes.txt:1 does not belong at the top level"),
            "{flaws:?}"
        );
    }

    #[test]
    fn a_machine_place_is_told_and_an_address_is_not() {
        for name in MACHINE {
            let flaws = shown(&machine_paths(&files(&[(
                "a.md",
                &format!("x\nsee /{name}b\n"),
            )])));
            assert_eq!(
                flaws,
                [format!(
                    "a.md:2 names /{name}, a place on one machine; use a path from the project's root"
                )]
            );
            assert_eq!(
                machine_place(&format!(
                    "https://example.org/{name}b and ../{name}c, target/{name}d"
                )),
                None
            );
        }
    }

    #[test]
    fn every_rust_file_says_what_belongs_in_it() {
        let flaws = openings(&files(&[
            ("crates/a/src/b.rs", "//! B.\n"),
            ("tests/c.rs", "// c\n//! C.\n"),
            ("d.md", "d"),
        ]));
        assert_eq!(
            flaws
                .iter()
                .map(|flaw| flaw.file.as_str())
                .collect::<Vec<_>>(),
            ["tests/c.rs"]
        );
    }

    #[test]
    fn window_tests_stand_in_their_module() {
        let judged =
            |text: &str| window_test(&files(&[("crates/fallwise/tests/window.rs", text)])).len();
        assert_eq!(judged("mod on_a_display { #[test] fn a() {} }"), 0);
        assert_eq!(judged("#[test] fn a() {}"), 1);
        assert_eq!(judged("mod on_a_display { fn a() {} }"), 1);
        assert_eq!(
            judged("#[test]\nfn a() {}\nmod on_a_display { #[test] fn b() {} }"),
            1
        );
    }
}
