//! The houses that every page must be right for: the demo, those of `scenes/houses`, a row of many stubs; and their pages.
// Each test and the bench use some of it.
#![allow(dead_code)]

use std::path::PathBuf;

use checks::Question;
use field::Judged;
use flow::{Inputs, Outcome};
use sheets::{Options, Page};
use takeoff::Takeoff;

/// Each file's name and text.
pub(crate) fn scenes() -> Vec<(String, String)> {
    let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenes"));
    let mut files = vec![folder.join("demo.ron")];
    let houses = std::fs::read_dir(folder.join("houses")).expect("the houses are there");
    files.extend(houses.map(|entry| entry.expect("a file").path()));
    files.retain(|file| {
        file.extension().is_some_and(|ending| ending == "ron") && {
            let name = file
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            !name.ends_with(".local.ron")
                && !name.ends_with(".bench.ron")
                && !name.ends_with(".field.ron")
        }
    });
    files.sort();
    assert!(files.len() > 5, "too few houses: {files:?}");
    files
        .into_iter()
        .map(|file| {
            let text = std::fs::read_to_string(&file).expect("readable");
            (file.display().to_string(), text)
        })
        .collect()
}

/// A house's run, its take-off, and the questions that three codes leave open.
pub(crate) fn house(text: &str) -> (Outcome, Takeoff, Vec<Question>) {
    let inputs = Inputs {
        text: text.to_owned(),
        name: "house.ron".to_owned(),
        ..Inputs::default()
    };
    let outcome = flow::run(&inputs);
    assert_eq!(outcome.problems, []);
    let shop = takeoff::Shop::default();
    let takeoff = takeoff::take(&outcome.layout, &outcome.assembly, &outcome.catalog, &shop);
    let rules = codes::Code::ALL.map(|code| codes::rules(code, &[]).0);
    let judged: Vec<_> = rules
        .iter()
        .map(|rules| (rules.code(), flow::judge_by(&outcome, rules)))
        .collect();
    let questions = checks::questions(&judged, &rules);
    (outcome, takeoff, questions)
}

/// The same, and its pages.
pub(crate) fn composed(text: &str, options: Options) -> (Outcome, Vec<Page>) {
    let (outcome, takeoff, questions) = house(text);
    let found = Judged::default();
    let pages = sheets::compose(&outcome, &takeoff, &questions, &found, &options);
    (outcome, pages)
}

/// A long trunk, many stubs: `n` lavatories along a trunk of so many feet.
pub(crate) fn row_of(n: usize, feet: usize) -> String {
    let step = feet * 12 / (n + 1);
    let (mut fixtures, mut runs) = (String::new(), String::new());
    for i in 0..n {
        let x = step * (i + 1);
        fixtures += &format!(
            "\"basin {i}\": (kind: lavatory, at: (\"{x} in\", \"72 in\"), landing: floor, trap: in_wall, vent: riser),\n"
        );
        let end = x.saturating_sub(48);
        runs += &format!(
            "\"branch {i}\": (from: \"basin {i}\", to: (run: \"trunk\", at: (\"{end} in\", \"120 in\")), size: \"2 in\"),\n"
        );
    }
    let far = feet * 12 - 6;
    let wide = feet * 12;
    format!(
        "(title: \"A row\", slab: (outline: [(\"0\", \"0\"), (\"{wide} in\", \"0\"), (\"{wide} in\", \"20'\"), (\"0\", \"20'\")], layers: [(concrete, \"4 in\")]),\n\
         fixtures: {{ \"last\": (kind: closet, at: (\"{far} in\", \"120 in\"), landing: floor, vent: unknown), {fixtures} }},\n\
         drains: {{ \"drain\": (exit: (at: (\"0\", \"120 in\"), way: under)) }},\n\
         runs: {{ \"trunk\": (from: \"last\", to: \"drain\", size: \"4 in\"), {runs} }})"
    )
}
