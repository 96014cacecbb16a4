//! Every scene is as its own comments say.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use std::{
    fs,
    path::{Path, PathBuf},
};

fn scenes() -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "ron") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

#[test]
fn every_scene_is_as_its_comments_say() {
    let scenes = scenes();
    assert!(scenes.len() > 10, "only {} scenes ran", scenes.len());
    let mut wrong = String::new();
    for path in &scenes {
        let text = fs::read_to_string(path).unwrap();
        let differences = tests::differences(&text, &path.display().to_string());
        if !differences.is_empty() {
            wrong.push_str(&format!(
                "{}\n  {}\n",
                path.display(),
                differences.join("\n  ")
            ));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_scene_that_says_too_little_or_too_much_is_told() {
    let short = include_str!("../../scenes/houses/tank-too-high-diagonal-at-an-eighth.ron");
    assert!(tests::facts(short) >= 3);
    let silent = short.replace("// finds: ", "// once: ");
    assert!(
        tests::differences(&silent, "silent")
            .iter()
            .any(|line| line.starts_with("found, not told: fails not-enough-fall"))
    );
    let boastful = short.replace("short 6.17", "short 6.27");
    assert_eq!(tests::differences(&boastful, "boastful").len(), 1);
}

/// Each check has a scene that it finds something in; that none else does there is the first test's work.
#[test]
fn every_check_has_a_scene_that_triggers_it() {
    let texts: Vec<String> = scenes()
        .iter()
        .map(|path| fs::read_to_string(path).unwrap())
        .collect();
    let found = |rule: &str| {
        texts.iter().any(|text| {
            text.lines().any(|line| {
                line.contains("// finds: ") && line.split_whitespace().any(|w| w == rule)
            })
        })
    };
    let missing: Vec<&str> = checks::rules::ALL
        .iter()
        .map(|rule| rule.id)
        .filter(|rule| !found(rule))
        .collect();
    assert_eq!(
        missing, [""; 0],
        "checks without a scene that triggers them"
    );
}

/// Each check's own folder has a scene that triggers it and one that just doesn't.
#[test]
fn every_check_has_a_folder_with_both_sides() {
    let checks = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes/checks");
    for rule in checks::rules::ALL {
        let (mut triggers, mut passes) = (0, 0);
        for entry in fs::read_dir(checks.join(rule.id)).unwrap() {
            let path = entry.unwrap().path();
            let finds = fs::read_to_string(&path).unwrap();
            let finds = finds.lines().filter(|line| line.contains("// finds: "));
            let told = finds
                .filter(|line| line.split_whitespace().any(|w| w == rule.id))
                .count();
            let passing = path
                .file_name()
                .is_some_and(|name| name.to_string_lossy().starts_with("passes-"));
            assert_eq!(passing, told == 0, "{}", path.display());
            if passing { passes += 1 } else { triggers += 1 }
        }
        assert!(triggers > 0 && passes > 0, "{} has only one side", rule.id);
    }
}

/// Layouts that look odd and are lawful: under the code that each names, nothing fails. A scene here that fails is a false
/// alarm, and the rule is mended, not the scene.
#[test]
fn nothing_fails_in_a_lawful_layout() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenes/lawful");
    let mut seen = 0;
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.display().to_string();
        let text = fs::read_to_string(&path).unwrap();
        let inputs = flow::Inputs {
            text: text.clone(),
            name: name.clone(),
            ..flow::Inputs::default()
        };
        let outcome = flow::run(&inputs);
        assert!(outcome.problems.is_empty(), "{name}");
        let code = outcome.rules.code().name();
        assert!(
            text.starts_with(&format!("// {code}. ")),
            "{name} does not open with its code"
        );
        assert!(
            text.contains("Source: "),
            "{name} does not say who calls it lawful"
        );
        let fails = |finding: &&checks::Finding| finding.verdict == checks::Verdict::Fails;
        let failing: Vec<&str> = outcome
            .findings
            .iter()
            .filter(fails)
            .map(|f| f.rule)
            .collect();
        assert_eq!(failing, [""; 0], "{name}");
        assert!(
            !outcome.grades.iter().any(|grades| !grades.is_feasible()),
            "{name}"
        );
        assert!(
            !outcome.grades.is_empty() && outcome.network.problems.is_empty(),
            "{name}"
        );
        seen += 1;
    }
    assert!(seen >= 12, "only {seen} lawful layouts");
}

/// Judging by several codes at once finds what judging by each finds.
#[test]
fn by_all_codes_at_once_as_by_each() {
    let rules = codes::Code::ALL.map(|code| codes::rules(code, &[]).0);
    for path in scenes() {
        let inputs = flow::Inputs {
            text: fs::read_to_string(&path).unwrap(),
            ..flow::Inputs::default()
        };
        let outcome = flow::run(&inputs);
        let each: Vec<_> = rules
            .iter()
            .map(|rules| flow::judge_by(&outcome, rules))
            .collect();
        assert_eq!(
            flow::judge_each(&outcome, &rules),
            each,
            "{}",
            path.display()
        );
    }
}

/// Printing a scene and reading it again gives the same document and the same house.
#[test]
fn every_scene_printed_and_read_again_says_the_same() {
    for path in scenes() {
        let text = fs::read_to_string(&path).unwrap();
        let tree = layout::parse(&text, "scene").unwrap();
        let printed = layout::print(&tree);
        assert_eq!(
            layout::parse(&printed, "scene").unwrap(),
            tree,
            "{}",
            path.display()
        );
        let resolved = |text: &str| layout::resolve(&layout::read(text, "scene").file.unwrap()).0;
        assert_eq!(resolved(&printed), resolved(&text), "{}", path.display());
        assert_eq!(layout::hash(&printed), layout::hash(&text));
    }
}
