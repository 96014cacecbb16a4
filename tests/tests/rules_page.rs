//! The rules page is as its sources say, and each rule has all that a rule must have.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use std::{fs, path::Path};

use tests::rules_page::{PAGE, markdown, told};

fn root() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

#[test]
fn the_page_is_as_its_sources_say() {
    let page = fs::read_to_string(root().join(PAGE)).unwrap_or_default();
    assert!(
        page == markdown(&told(&root()).unwrap()),
        "{PAGE} is stale: run `cargo xtask rules-page`"
    );
}

/// A scene that finds, one that does not, a source, how to mend, and worked cases unless what it reads is from memory, no
/// code's, or a bare number that no worked case asks about and whose row says where it was read.
#[test]
fn every_rule_is_whole() {
    let all = told(&root()).unwrap();
    assert_eq!(all.len(), checks::rules::ALL.len());
    for rule in &all {
        let (id, entry) = (rule.entry.id, &rule.entry);
        let passing = |name: &&String| name.starts_with("passes-");
        assert!(
            rule.scenes.iter().any(|name| passing(&name)),
            "{id} has no passing scene"
        );
        assert!(
            !rule.scenes.iter().all(|name| passing(&name)),
            "{id} has no finding scene"
        );
        assert!(
            entry.header.contains("Source: ") && entry.mend.len() > 8,
            "{id}"
        );
        let worked = !rule.cases.is_empty();
        let remembered = entry.by_code.iter().any(|said| said.how == "from memory");
        let no_code = entry.by_code.is_empty()
            && [
                "geometry",
                "practice",
                "sums",
                "memory",
                "catalogue",
                "Manning",
                "every code",
                "layout",
            ]
            .iter()
            .any(|word| entry.header.contains(word));
        let open = entry.header.contains("no published case");
        let practice = entry
            .by_code
            .iter()
            .all(|said| said.how == "common practice");
        assert!(
            worked || remembered || no_code || practice || open,
            "{id} has neither a worked case nor a word on why"
        );
    }
    assert!(all.iter().filter(|rule| !rule.cases.is_empty()).count() > 20);
}

#[test]
fn a_finding_leads_to_file_row_and_section() {
    let all = told(&root()).unwrap();
    for rule in &all {
        assert!(
            root().join(&rule.entry.file).exists(),
            "{}",
            rule.entry.file
        );
    }
    let arm = all.iter().find(|rule| rule.entry.id == "trap-arm").unwrap();
    // IPC Table 909.1 (read): 8 ft on 2 in.
    assert!(arm.entry.by_code.iter().any(|said| {
        said.section == "IPC Table 909.1" && said.key == "2 in" && said.value == "8 ft"
    }));
    assert!(!arm.cases.is_empty());
}
