//! `cleanout-turns`: a drain turns in plan more than the code lets it without a cleanout near.
//!
//! Two codes count each turn sharper than 45 degrees and let one cleanout serve 40 ft; one adds up the turns of a run between
//! one cleanout and the next, or its ends. On a single
//! fixture's drain a removable trap is often taken, so that is an ask; so is one near enough whose cable goes the other way. Judged as soon as a drain has any cleanout. Source:
//! codes rows `cleanout-turns`, `cleanout-turns-reach`. Mend: two 45s apart instead of one square turn, or a cleanout.

use std::collections::BTreeMap;

use codes::CleanoutRules;
use network::{Run, Start};
use units::SAME_LENGTH;

use crate::{Case, Finding, Source, Verdict, cleanouts::{self, Placed}, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "cleanout-turns",
    about: "A drain that turns sharply, or too much in sum, has a cleanout near.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let rules = case.rules.cleanouts();
    let mut found = Vec::new();
    for (t, tree) in case.network.trees.iter().enumerate() {
        let placed = cleanouts::of_tree(case, t);
        if placed.is_empty() {
            continue;
        }
        found.extend((0..tree.runs.len()).filter_map(|r| judged(case, &rules, (t, r), &placed)));
    }
    found
}

fn judged(case: &Case, rules: &CleanoutRules, (t, r): (usize, usize), placed: &[Placed]) -> Option<Finding> {
    let (tree, run) = (&case.network.trees[t], &case.network.trees[t].runs[r]);
    let most = rules.turns?;
    let reach = rules.reach.map_or(0.0, |reach| reach.value * 12.0);
    let near = |station: f64| {
        let mut seen = cleanouts::seen_from(case, tree, placed, r, station);
        seen.retain(|off| off.far <= reach + 0.01);
        seen
    };
    let near_and_reaches = |station: f64| near(station).iter().any(|off| off.reaches);
    let sharp = |turn: f64| turn > most.value + 1.0;
    let mut turned_away = None;
    let (measured, station) = if rules.turns_add_up {
        most_between(run, placed.iter().filter(|c| c.run == r && c.station >= 0.0)).filter(|(sum, _)| sharp(*sum))?
    } else {
        let (station, turn) = reach::corners(run).find(|(station, turn)| sharp(*turn) && !near_and_reaches(*station))?;
        turned_away = near(station).first().map(|off| &case.layout.cleanouts[off.index]);
        (turn, station)
    };
    let source = Source::row(most.row);
    let alone = run.fixtures.len() <= 1 && matches!(run.start, Start::Fixture(_));
    let verdict = if alone || turned_away.is_some() { Verdict::Ask } else { source.breach() };
    let reach_says = rules.reach.map_or("between".into(), |reach| format!("within {}", words::feet(reach.value * 12.0)));
    let says = match turned_away {
        Some(cleanout) => format!(
            "{} turns {measured:.0} degrees, and {}, which is {reach_says}, cleans {} and not past that turn: ask whether it \
             counts, or make it a two-way one", run.id, cleanout.id, words::cleans(cleanout.cleans),
        ),
        None => format!(
            "{} turns {measured:.0} degrees with no cleanout {reach_says}; over {} wants one: {}",
            run.id, most.value, if rules.turns_add_up { "set one on the way" } else { "set one, or turn by two 45s" },
        ),
    };
    let mut finding = Finding::new(RULE.id, verdict, vec![run.id.clone()], reach::place(case, t, r, station), source, says);
    (finding.measured, finding.limit, finding.unit) = (Some(measured), Some(most.value), "deg");
    Some(finding)
}

/// The most that a run turns between one cleanout on it and the next, or its ends: degrees, and the station of the last turn.
fn most_between<'a>(run: &Run, on_it: impl Iterator<Item = &'a Placed>) -> Option<(f64, f64)> {
    let cuts: Vec<f64> = on_it.map(|c| c.station).collect();
    let mut between: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
    for (station, turn) in reach::corners(run) {
        let above = cuts.iter().filter(|cut| **cut > station - SAME_LENGTH).count();
        let held = between.entry(above).or_insert((0.0, station));
        *held = (held.0 + turn, held.1.min(station));
    }
    between.into_values().max_by(|a, b| a.0.total_cmp(&b.0))
}
