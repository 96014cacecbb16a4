//! Proves that the pure crates are: no files, clock, environment, threads, processes, network or printing. Test code is
//! free to. Hash order is left to clippy (`iter_over_hash_type`).

use std::collections::BTreeSet;

use super::arrows::pure_crates;
use super::source::{self, Word};
use super::{Files, Flaw, crate_of};

/// Modules of `std` that reach outside.
const OUTSIDE: [&str; 7] = ["env", "fs", "net", "os", "process", "thread", "time"];

/// Macros that print.
const PRINTING: [&str; 5] = ["print", "println", "eprint", "eprintln", "dbg"];

/// Functions of `std::io` that open a stream; its traits over bytes in memory are harmless.
const STREAMS: [&str; 3] = ["stdin", "stdout", "stderr"];

pub(super) fn check(files: &Files) -> Vec<Flaw> {
    let tests = test_files(files);
    let judged = files
        .iter()
        .filter(|(path, _)| must_be_pure(path) && !tests.iter().any(|test| is_in(path, test)));
    judged.flat_map(|(path, text)| impure(path, text)).collect()
}

/// `layout::{load, save}` are where a layout meets the disk, and `flow` works on the largest layouts by two threads.
const EXCEPTED: [&str; 2] = ["crates/layout/src/disk", "crates/flow/src/side_by_side"];

fn must_be_pure(path: &str) -> bool {
    let is_library = crate_of(path).is_some_and(|name| pure_crates().contains(&name));
    let inner = path.split_once("/src/").map(|(_, inner)| inner);
    let is_excepted = EXCEPTED.iter().any(|module| is_in(path, module));
    is_library && inner.is_some_and(|inner| inner.strip_suffix(".rs").is_some()) && !is_excepted
}

/// Whether `path` is the file of `module` (a path without its ending) or lies in its folder.
fn is_in(path: &str, module: &str) -> bool {
    path.strip_prefix(module)
        .is_some_and(|rest| rest == ".rs" || rest.starts_with('/'))
}

/// Modules in files of their own that are declared for tests only, as paths without an ending.
fn test_files(files: &Files) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (path, text) in files.iter().filter(|(path, _)| must_be_pure(path)) {
        let Some(stem) = path.strip_suffix(".rs") else {
            continue;
        };
        let (dir, name) = stem.rsplit_once('/').unwrap_or(("", stem));
        let home = if matches!(name, "lib" | "main" | "mod") {
            dir
        } else {
            stem
        };
        found.extend(
            source::test_modules(&source::code_only(text))
                .iter()
                .map(|module| format!("{home}/{module}")),
        );
    }
    found
}

fn impure(path: &str, text: &str) -> Vec<Flaw> {
    let code = source::without_tests(&source::code_only(text));
    let words = source::words(&code);
    let found = (0..words.len()).flat_map(|at| reaches_outside(&words[at..]));
    found
        .map(|(word, what)| {
            let says = format!(
                "{what} in a pure crate; take the value as an argument, or do this in fallwise"
            );
            Flaw::new(path, word.line, says)
        })
        .collect()
}

/// What the words from here on name that reaches outside, told only at its first word.
fn reaches_outside<'a>(words: &[Word<'a>]) -> Vec<(Word<'a>, String)> {
    let text = |idx: usize| words.get(idx).map_or("", |word| word.text);
    let first = words[0];
    match (first.text, text(1)) {
        ("std", "::") if text(2) == "{" => {
            let named = group(&words[2..])
                .into_iter()
                .filter(|word| OUTSIDE.contains(&word.text));
            named
                .map(|word| (word, format!("std::{}", word.text)))
                .collect()
        }
        ("std", "::") if OUTSIDE.contains(&text(2)) => vec![(first, format!("std::{}", text(2)))],
        (name, "!") if PRINTING.contains(&name) => vec![(first, format!("{name}!"))],
        (name, "(") if STREAMS.contains(&name) => vec![(first, format!("{name}()"))],
        _ => Vec::new(),
    }
}

/// The first word of each entry of the braced list that `words` starts with.
fn group<'a>(words: &[Word<'a>]) -> Vec<Word<'a>> {
    let mut depth = 0_usize;
    let mut firsts = Vec::new();
    let mut is_start = false;
    for word in words {
        match word.text {
            "{" => depth += 1,
            "}" if depth == 1 => break,
            "}" => depth -= 1,
            _ if depth == 1 && is_start => firsts.push(*word),
            _ => {}
        }
        is_start = matches!(word.text, "{" | ",");
    }
    firsts
}

#[cfg(test)]
mod tests {
    use super::super::tests::{files, shown};
    use super::*;

    fn found(pairs: &[(&str, &str)]) -> Vec<String> {
        shown(&check(&files(pairs)))
    }

    #[test]
    fn each_way_out_is_found_where_it_stands() {
        let text = "use std::fs;\nuse std::{collections::BTreeMap, time::Instant, fmt::{self, env}};\nfn f() {\n    println!(\"a\");\n    std::io::stdout();\n}\n";
        let lines: Vec<String> = found(&[("crates/scene/src/a.rs", text)]);
        let starts: Vec<&str> = lines
            .iter()
            .filter_map(|line| line.split(" in a pure").next())
            .collect();
        assert_eq!(
            starts,
            [
                "crates/scene/src/a.rs:1 std::fs",
                "crates/scene/src/a.rs:2 std::time",
                "crates/scene/src/a.rs:4 println!",
                "crates/scene/src/a.rs:5 stdout()",
            ]
        );
    }

    #[test]
    fn words_comments_tests_and_memory_are_free() {
        let text = "//! std::fs\nuse std::io::Write;\nfn print() {}\nconst A: &str = \"std::env\";\nfn process() {}\n#[cfg(test)]\nmod tests { use std::fs; }\n";
        assert!(found(&[("crates/scene/src/a.rs", text)]).is_empty());
    }

    #[test]
    fn load_and_save_of_layout_are_excepted_and_no_other() {
        let text = "use std::fs;";
        let pairs = [
            ("crates/layout/src/disk.rs", text),
            ("crates/layout/src/disk/whole.rs", text),
            ("crates/layout/src/disks.rs", text),
            ("crates/scene/src/load.rs", text),
            ("crates/fallwise/src/main.rs", text),
            ("crates/scene/tests/a.rs", text),
        ];
        let files: Vec<String> = found(&pairs)
            .iter()
            .filter_map(|line| line.split(':').next().map(str::to_owned))
            .collect();
        assert_eq!(
            files,
            ["crates/layout/src/disks.rs", "crates/scene/src/load.rs"]
        );
    }

    #[test]
    fn a_test_module_in_its_own_file_is_free() {
        let text = "use std::fs;";
        let pairs = [
            (
                "crates/grades/src/lib.rs",
                "#[cfg(test)]\nmod laws;\nmod solve;",
            ),
            ("crates/grades/src/laws.rs", text),
            ("crates/grades/src/solve.rs", "#[cfg(test)] mod tests;"),
            ("crates/grades/src/solve/tests.rs", text),
        ];
        assert!(found(&pairs).is_empty());
    }
}
