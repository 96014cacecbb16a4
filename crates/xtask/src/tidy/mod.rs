//! What must hold in the project's own text and no compiler checks. Each check is one file: what it proves, the
//! scanner, its tests. A check reads, it never mends; each flaw is one line that says where, what, and what would be
//! right.

mod arrows;
mod features;
mod manifest;
mod places;
mod purity;
mod source;
mod table;

use std::collections::BTreeMap;
use std::fmt;
use std::path::Path;

use anyhow::{Context, Result, bail};

use crate::call::Call;

/// One thing that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Flaw {
    file: String,
    /// From 1.
    line: usize,
    says: String,
}

impl Flaw {
    fn new(file: &str, line: usize, says: impl Into<String>) -> Self {
        Self {
            file: file.to_owned(),
            line,
            says: says.into(),
        }
    }
}

impl fmt::Display for Flaw {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{} {}", self.file, self.line, self.says)
    }
}

/// The project's own text files: path from the root with forward slashes, and what stands in them.
type Files = BTreeMap<String, String>;

/// Runs every check and prints the flaws, sorted.
///
/// # Errors
/// When there is a flaw, or git or cargo could not be asked.
pub(crate) fn run(root: &Path) -> Result<()> {
    let paths = paths(root)?;
    let files = read(root, &paths)?;
    let mut flaws = places::top_level(&paths);
    flaws.extend(places::machine_paths(&files));
    flaws.extend(places::openings(&files));
    flaws.extend(places::window_test(&files));
    flaws.extend(arrows::check(&files));
    flaws.extend(purity::check(&files));
    flaws.extend(table::check(&files));
    flaws.extend(features::check(root, &files)?);
    flaws.sort();
    for flaw in &flaws {
        println!("{flaw}");
    }
    match flaws.len() {
        0 => {
            println!("tidy: {} files, nothing found", files.len());
            Ok(())
        }
        1 => bail!("tidy found 1 flaw"),
        n => bail!("tidy found {n} flaws"),
    }
}

/// What git tracks, and what it would if added now: a forgotten file is found before the commit.
fn paths(root: &Path) -> Result<Vec<String>> {
    let told = Call::new(
        "git",
        &[
            "ls-files",
            "-z",
            "--cached",
            "--others",
            "--exclude-standard",
        ],
    )
    .read(root)?;
    let mut paths: Vec<String> = told.split_terminator('\0').map(str::to_owned).collect();
    paths.retain(|path| root.join(path).is_file());
    paths.sort();
    paths.dedup();
    Ok(paths)
}

/// Pictures and fonts are left out: what is not UTF-8 is not text.
fn read(root: &Path, paths: &[String]) -> Result<Files> {
    let mut files = Files::new();
    for path in paths {
        let bytes =
            std::fs::read(root.join(path)).with_context(|| format!("cannot read {path}"))?;
        if let Ok(text) = String::from_utf8(bytes) {
            files.insert(path.clone(), text);
        }
    }
    Ok(files)
}

/// The crate whose folder a path lies in: `Some("grades")` for `crates/grades/src/lib.rs`, `Some("tests")` for the
/// test package.
fn crate_of(path: &str) -> Option<&str> {
    match path.split('/').collect::<Vec<_>>()[..] {
        ["crates", name, _, ..] => Some(name),
        ["tests", _, ..] => Some("tests"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Files from pairs, for the tests of every check.
    pub(super) fn files(pairs: &[(&str, &str)]) -> Files {
        pairs
            .iter()
            .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
            .collect()
    }

    /// Flaws as they are printed.
    pub(super) fn shown(flaws: &[Flaw]) -> Vec<String> {
        flaws.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn a_crate_is_told_by_its_folder() {
        assert_eq!(crate_of("crates/grades/src/lib.rs"), Some("grades"));
        assert_eq!(crate_of("tests/src/lib.rs"), Some("tests"));
        assert_eq!(crate_of("crates/README.md"), None);
        assert_eq!(crate_of("Cargo.toml"), None);
    }
}
