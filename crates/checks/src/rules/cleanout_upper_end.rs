//! `cleanout-upper-end`: runs without a cleanout at their upper end, in the code that asks for one.
//!
//! Short runs without a sink are excused, and a two-way fitting at the sewer's start stands in. A tee with a plug above the
//! floor, which a layout does not draw, is one too: so all that have none are one ask. Judged as soon as a drain has any
//! cleanout. Source: codes rows `cleanout-upper-end`, `cleanout-exempt-run`, `cleanout-two-way`. Mend: a plugged tee at
//! each riser, or the two-way fitting.

use codes::{RuleId, Value};
use layout::{Cleans, FixtureKind};
use network::{Run, Start};
use units::Id;

use crate::{Case, Finding, Source, Verdict, cleanouts, reach, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "cleanout-upper-end",
    about: "Each run has a cleanout at its upper end where the code asks for one.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(row) = case.rules.row(RuleId::CleanoutUpperEnd).filter(|row| row.value == Value::Yes) else {
        return Vec::new();
    };
    let short = case.rules.number(RuleId::CleanoutExemptRun).map_or(0.0, |feet| feet.value * 12.0);
    let mut found = Vec::new();
    for (t, tree) in case.network.trees.iter().enumerate() {
        let placed = cleanouts::of_tree(case, t);
        let both_ways = placed.iter().any(|c| case.layout.cleanouts[c.index].cleans == Cleans::Both && c.station <= 0.0);
        if placed.is_empty() || both_ways {
            continue;
        }
        let due = |(r, run): &(usize, &Run)| {
            let sink = |f: &usize| {
                matches!(
                    case.layout.fixtures[*f].kind,
                    FixtureKind::KitchenSink | FixtureKind::BarSink | FixtureKind::UtilitySink | FixtureKind::Lavatory
                )
            };
            let excused = run.path.length() < short && !run.fixtures.iter().any(sink);
            let has_one = matches!(run.start, Start::Cleanout(_)) || placed.iter().any(|c| c.run == *r && c.station > 0.0);
            !excused && !has_one
        };
        let due: Vec<Id> = tree.runs.iter().enumerate().filter(due).map(|(_, run)| run.id.clone()).collect();
        if due.is_empty() {
            continue;
        }
        let says = format!(
            "{} runs of {} show no cleanout at their upper end: ask whether a plugged tee at each riser, or a two-way \
             fitting where the sewer begins, will do", due.len(), tree.id,
        );
        let at = reach::place(case, t, 0, 0.0);
        found.push(Finding::new(RULE.id, Verdict::Ask, due, at, Source::row(row), says));
    }
    found
}
