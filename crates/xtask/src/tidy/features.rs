//! Proves one build: `cargo run`, `cargo xtask` and `cargo doc` ask of every outside crate exactly the features that the
//! tests of the whole workspace ask of it. One feature more on either side and cargo builds that crate, and all above
//! it, a second time; for bevy that is a quarter of an hour on two cores.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use anyhow::Result;

use super::{Files, Flaw};
use crate::call::Call;

/// A set of features a crate is built with.
type Features = BTreeSet<String>;

/// The sets of features each outside crate ("name v1.2.3") is built with; a crate used both in a build script and in
/// the program may have two.
type Builds = BTreeMap<String, BTreeSet<Features>>;

/// What the tests, the lints and the window test build.
const ALL: &str = "--workspace -e normal,build,dev";

/// What else is built, and must not ask for anything different.
const OTHERS: [(&str, &str); 3] = [
    ("cargo run", "-p fallwise -e normal,build"),
    ("cargo xtask", "-p xtask -e normal,build"),
    ("cargo doc", "--workspace -e normal,build"),
];

pub(super) fn check(root: &Path, files: &Files) -> Result<Vec<Flaw>> {
    let all = asked(root, ALL)?;
    let manifest = files.get("Cargo.toml").map_or("", String::as_str);
    let mut flaws = flags(files);
    for (command, selection) in OTHERS {
        flaws.extend(differences(
            command,
            &asked(root, selection)?,
            &all,
            manifest,
        ));
    }
    Ok(flaws)
}

fn asked(root: &Path, selection: &str) -> Result<Builds> {
    let mut words = vec!["tree", "--prefix", "none", "--format", "{p}\t{f}"];
    words.extend(selection.split_whitespace());
    Ok(builds(
        &Call::new("cargo", &words).read(root)?,
        &root.to_string_lossy(),
    ))
}

/// Reads lines of "package, tab, features"; `root` tells our own crates, whose features are no matter here.
fn builds(tree: &str, root: &str) -> Builds {
    let mut found = Builds::new();
    for line in tree.lines() {
        let Some((package, features)) = line.trim_end_matches(" (*)").split_once('\t') else {
            continue;
        };
        if package.contains(root) {
            continue;
        }
        let package = package.trim_end_matches(" (proc-macro)").to_owned();
        let features = features
            .split(',')
            .map(str::trim)
            .filter(|name| !name.is_empty())
            .map(str::to_owned)
            .collect();
        found.entry(package).or_default().insert(features);
    }
    found
}

/// One flaw for each crate that both build, when the tests build it in no way that `command` does.
fn differences(command: &str, own: &Builds, all: &Builds, manifest: &str) -> Vec<Flaw> {
    let both = own
        .iter()
        .filter_map(|(package, sets)| Some((package, sets, all.get(package)?)));
    let pairs = both.flat_map(|(package, sets, all_sets)| {
        sets.difference(all_sets)
            .map(move |set| (package, set, all_sets))
    });
    pairs
        .map(|(package, set, all_sets)| {
            let name = package.split(' ').next().unwrap_or(package);
            let says = format!(
                "{package} is built twice: {command} and the tests differ in {}; make them alike (who asks: `cargo tree {ALL} -e features -i {name}`)",
                nearest(set, all_sets)
            );
            Flaw::new("Cargo.toml", line_of(name, manifest), says)
        })
        .collect()
}

/// How `set` differs from the set of `others` that is nearest to it.
fn nearest(set: &Features, others: &BTreeSet<Features>) -> String {
    let changes = others.iter().map(|other| {
        let extra = other
            .difference(set)
            .map(|name| format!("{name} (tests only)"));
        let lacking = set
            .difference(other)
            .map(|name| format!("{name} (not in the tests)"));
        extra.chain(lacking).collect::<Vec<_>>()
    });
    changes.min_by_key(Vec::len).unwrap_or_default().join(", ")
}

/// The line, from 1, that names the crate in the root manifest; the first where none does.
fn line_of(name: &str, manifest: &str) -> usize {
    manifest
        .lines()
        .position(|line| line.split([' ', '=', '.']).next() == Some(name))
        .map_or(1, |idx| idx + 1)
}

/// Flags for the compiler change every build they reach, and these files reach only some.
fn flags(files: &Files) -> Vec<Flaw> {
    let judged = files
        .iter()
        .filter(|(path, _)| path.starts_with(".ci/") || path.starts_with(".cargo/"));
    let lines = judged.flat_map(|(path, text)| {
        text.lines()
            .enumerate()
            .map(move |(idx, line)| (path, idx + 1, line))
    });
    let set = lines.filter(|(_, _, line)| line.to_lowercase().contains("rustflags"));
    set.map(|(path, line_no, _)| {
        Flaw::new(
            path,
            line_no,
            "sets rustflags, a second build; use lints and profiles in Cargo.toml",
        )
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::super::tests::{files, shown};
    use super::*;

    const OWN: &str = "fallwise v0.1.0 (/a/crates/fallwise)\t\nglam v0.33.0\tserde,std\nsyn v2.0.0\tfull\nserde_derive v1.0.0 (proc-macro)\tdefault\nserde_derive v1.0.0 (proc-macro)\tdefault (*)\n";

    #[test]
    fn a_tree_is_read_by_crate_and_features() {
        let found = builds(OWN, "/a");
        assert_eq!(
            found.keys().collect::<Vec<_>>(),
            ["glam v0.33.0", "serde_derive v1.0.0", "syn v2.0.0"]
        );
        let glam: Features = ["serde", "std"].map(str::to_owned).into();
        assert_eq!(found["glam v0.33.0"], [glam].into());
    }

    #[test]
    fn the_same_features_are_one_build_though_the_tests_use_more_crates() {
        let all = "glam v0.33.0\tstd,serde\nproptest v1.0.0\tstd\nsyn v2.0.0\tfull\nsyn v2.0.0\tfull,visit\n";
        assert!(differences("cargo run", &builds(OWN, "/a"), &builds(all, "/a"), "").is_empty());
    }

    #[test]
    fn a_feature_more_is_named_with_its_crate() {
        let all = "glam v0.33.0\tserde,std,rand\nsyn v2.0.0\tfull\n";
        let flaws = shown(&differences(
            "cargo run",
            &builds(OWN, "/a"),
            &builds(all, "/a"),
            "[x]\nglam = \"1\"\n",
        ));
        assert_eq!(flaws.len(), 1);
        assert!(flaws[0].starts_with("Cargo.toml:2 glam v0.33.0 is built twice: cargo run and the tests differ in rand (tests only);"), "{flaws:?}");
    }

    #[test]
    fn a_feature_less_is_named_too() {
        let all = "glam v0.33.0\tserde\nsyn v2.0.0\tfull\n";
        let flaws = shown(&differences(
            "cargo run",
            &builds(OWN, "/a"),
            &builds(all, "/a"),
            "",
        ));
        assert!(flaws[0].contains("std (not in the tests)"), "{flaws:?}");
    }

    #[test]
    fn compiler_flags_in_the_set_up_are_told() {
        let flaws = flags(&files(&[
            (".ci/run", "x\nexport RUSTFLAGS=-Dwarnings\n"),
            (".cargo/config.toml", "[build]\nrustflags = []\n"),
            ("README.md", "RUSTFLAGS"),
        ]));
        assert_eq!(
            flaws
                .iter()
                .map(|flaw| (flaw.file.as_str(), flaw.line))
                .collect::<Vec<_>>(),
            [(".cargo/config.toml", 2), (".ci/run", 2)]
        );
    }
}
