//! Three codes side by side: what all find, one table of where they differ, and the questions to read out to an inspector.

use std::fmt::Write;

use checks::{Difference, Finding, Question, Verdict};
use codes::Code;

use crate::{foreman, report::Judged, wrap::wrap};

/// What a phone shows of a line without turning it.
const PHONE: usize = 46;
/// Widths of the table's first two columns; the verdicts take eight each.
const RULE: usize = 24;
const MEMBERS: usize = 42;

/// Everything the codes say, each thing once.
pub(crate) fn tell(all: &[Judged]) -> String {
    let judged = pairs(all);
    let differ = checks::differences(&judged);
    let rules: Vec<codes::Rules> = all.iter().map(|one| one.rules.clone()).collect();
    let asked = checks::questions(&judged, &rules);
    let mut out = foreman::findings(&alike(&judged, &differ));
    table(&mut out, &differ);
    questions(&mut out, &asked);
    out
}

/// Each code with its findings, as the comparison takes them.
pub(crate) fn pairs(all: &[Judged]) -> Vec<(Code, Vec<Finding>)> {
    let pair = |judged: &Judged| (judged.code, judged.findings.clone());
    all.iter().map(pair).collect()
}

/// What every code finds alike, without what is asked by a row of theirs: that stands among the questions.
fn alike(judged: &[(Code, Vec<Finding>)], differ: &[Difference]) -> Vec<Finding> {
    let Some((_, first)) = judged.first() else {
        return Vec::new();
    };
    let one_of = |finding: &Finding| {
        let same = |d: &Difference| d.rule == finding.rule && d.members == finding.members;
        differ.iter().any(same)
    };
    let asked =
        |finding: &Finding| finding.verdict == Verdict::Ask && checks::by_a_code(finding.rule);
    let common = first
        .iter()
        .filter(|finding| !(one_of(finding) || asked(finding)));
    common.cloned().collect()
}

fn table(out: &mut String, differ: &[Difference]) {
    let Some(first) = differ.first() else {
        out.push_str("\nThe three codes find the same here.\n");
        return;
    };
    let _ = writeln!(out, "\nWhere the codes differ ({})", differ.len());
    let names: Vec<&str> = first.by.iter().map(|(code, _)| code.name()).collect();
    row(out, "rule", "about", &names);
    for one in differ {
        let by: Vec<&str> = one
            .by
            .iter()
            .map(|(_, found)| word(found.as_ref()))
            .collect();
        row(out, one.rule, &members(one), &by);
    }
    for one in differ.iter().filter(|one| only_notes(one)) {
        let told = one
            .by
            .iter()
            .find_map(|(code, f)| Some((code, f.as_ref()?)));
        if let Some((code, note)) = told {
            let says = format!("{code}: {}", note.says);
            let _ = writeln!(out, "{}", wrap(&says, foreman::WIDTH, "  - ", "    "));
        }
    }
}

/// A difference that no question tells.
fn only_notes(one: &Difference) -> bool {
    let note = |found: &Finding| found.verdict == Verdict::Note;
    one.by.iter().filter_map(|(_, f)| f.as_ref()).all(note)
}

fn row(out: &mut String, rule: &str, about: &str, by: &[&str]) {
    let mut line = format!("  {rule:<RULE$} {about:<MEMBERS$}");
    for word in by {
        let _ = write!(line, " {word:<7}");
    }
    let _ = writeln!(out, "{}", line.trim_end());
}

fn word(found: Option<&Finding>) -> &'static str {
    match found.map(|finding| finding.verdict) {
        None => "-",
        Some(Verdict::Fails) => "fails",
        Some(Verdict::Ask) => "ask",
        Some(Verdict::Note) => "note",
    }
}

/// The items of a row, as many as its column takes.
fn members(one: &Difference) -> String {
    let mut told = String::new();
    for (nth, id) in one.members.iter().enumerate() {
        let comma = if nth == 0 { "" } else { ", " };
        let more = format!("{comma}{id}");
        let left = one.members.len() - nth;
        let rest = format!("{comma}+{left} more");
        let room = if left == 1 { 0 } else { ", +99 more".len() };
        if nth > 0 && told.chars().count() + more.chars().count() + room > MEMBERS {
            told.push_str(&rest);
            break;
        }
        told.push_str(&more);
    }
    told
}

fn questions(out: &mut String, asked: &[Question]) {
    if asked.is_empty() {
        return;
    }
    let _ = writeln!(out, "\nQuestions for your inspector ({})", asked.len());
    for (nth, question) in asked.iter().enumerate() {
        let _ = writeln!(out, "\n{}. {}", nth + 1, checks::names(&question.members));
        let text = question.to_string();
        for line in text.lines() {
            let deeper = if line.starts_with("  ") {
                "     "
            } else {
                "   "
            };
            let _ = writeln!(out, "{}", wrap(line, PHONE, deeper, &format!("{deeper}  ")));
        }
    }
}
