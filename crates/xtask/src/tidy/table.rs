//! Proves that every dependency has its reason: the table under `## Dependencies` in DEVELOPERS.md and the versions in
//! the root Cargo.toml name the same crates.

use super::manifest;
use super::{Files, Flaw};

const MANIFEST: &str = "Cargo.toml";
const PAGE: &str = "DEVELOPERS.md";
const HEADING: &str = "## Dependencies";

/// A row of the table: the crate, its reason, the line from 1.
struct Row<'a> {
    name: &'a str,
    reason: &'a str,
    line: usize,
}

pub(super) fn check(files: &Files) -> Vec<Flaw> {
    let text = |name: &str| files.get(name).map_or("", String::as_str);
    let rows = rows(text(PAGE));
    let mut outside = manifest::dependencies(text(MANIFEST));
    outside.retain(|dependency| !dependency.is_ours);
    let missing = outside
        .iter()
        .filter(|dependency| rows.iter().all(|row| row.name != dependency.name))
        .map(|dependency| {
            let name = &dependency.name;
            Flaw::new(
                MANIFEST,
                dependency.line,
                format!(
                    "{name} has no reason; add a row `| {name} | why |` under `{HEADING}` in {PAGE}"
                ),
            )
        });
    let stale = rows
        .iter()
        .filter(|row| outside.iter().all(|dependency| dependency.name != row.name))
        .map(|row| {
            Flaw::new(
                PAGE,
                row.line,
                format!(
                    "{} is not in the root Cargo.toml; take the row out",
                    row.name
                ),
            )
        });
    let bare = rows.iter().filter(|row| row.reason.is_empty()).map(|row| {
        Flaw::new(
            PAGE,
            row.line,
            format!(
                "{} has an empty reason; say what it does that we should not",
                row.name
            ),
        )
    });
    missing.chain(stale).chain(bare).collect()
}

fn rows(page: &str) -> Vec<Row<'_>> {
    let after = page
        .lines()
        .enumerate()
        .skip_while(|(_, line)| line.trim() != HEADING)
        .skip(1);
    let table = after
        .take_while(|(_, line)| !line.starts_with("## "))
        .filter_map(|(idx, line)| row(idx + 1, line));
    // The first row names the columns, the second is the rule under them.
    table.skip(2).collect()
}

fn row(line_no: usize, line: &str) -> Option<Row<'_>> {
    let mut cells = line.trim().strip_prefix('|')?.split('|').map(str::trim);
    let name = cells.next()?.trim_matches('`');
    Some(Row {
        name,
        reason: cells.next().unwrap_or_default(),
        line: line_no,
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::{files, shown};
    use super::*;

    const MANIFEST_TEXT: &str =
        "[workspace.dependencies]\nserde = \"1\"\nunits = { path = \"crates/units\" }\n";

    fn found(page: &str) -> Vec<String> {
        shown(&check(&files(&[(MANIFEST, MANIFEST_TEXT), (PAGE, page)])))
    }

    #[test]
    fn a_row_with_a_reason_is_enough() {
        assert!(found("# A\n\n## Dependencies\n\n| crate | why |\n|---|---|\n| `serde` | reads |\n\n## B\n| x | y |\n").is_empty());
    }

    #[test]
    fn no_page_no_row_no_reason_and_a_stale_row_are_told() {
        assert_eq!(found("").len(), 1);
        let flaws =
            found("## Dependencies\n| crate | why |\n|---|---|\n| serde | |\n| gone | x |\n");
        assert_eq!(
            flaws,
            [
                "DEVELOPERS.md:5 gone is not in the root Cargo.toml; take the row out",
                "DEVELOPERS.md:4 serde has an empty reason; say what it does that we should not",
            ]
        );
    }
}
