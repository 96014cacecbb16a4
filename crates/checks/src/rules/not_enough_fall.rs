//! `not-enough-fall`: a drain that cannot fall to where it must: the chain of what spends the inches, and how many are
//! short.
//!
//! Source: the sums of the grade solution. Mend: spend less where the chain says: flatter grade where the code has it,
//! a shorter line, a higher floor, a lower receiver, another exit.

use grades::{Conflict, Place, Spend, SpentOn};
use units::Id;

use crate::{Case, Finding, Source, Verdict, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "not-enough-fall",
    about: "Each drain can fall from its highest allowed start to its exit and receiver.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let each = case.grades.iter().enumerate();
    each.flat_map(|(tree, grades)| grades.conflicts.iter().map(move |c| conflict(case, tree, c))).collect()
}

fn conflict(case: &Case, tree: usize, conflict: &Conflict) -> Finding {
    let drain = case.drain(tree);
    let short = conflict.short;
    let (floor, spends) = split(&conflict.chain);
    let to = floor.map_or_else(|| drain.id.to_string(), |floor| floor.who.says.to_string());
    let spent: Vec<String> = spends.iter().filter_map(spoken).collect();
    let says = format!(
        "{} is {} short of falling to the {to}{}: {}; find {} along this chain",
        drain.id, sixteenths(short), level(floor), spent.join(", "), sixteenths(short),
    );
    let at = place(case, tree, conflict.place);
    Finding::new(RULE.id, Verdict::Fails, members(drain.id.clone(), &conflict.chain), at, Source::geometry(), says)
        .inches(-short, 0.0)
}

/// Inches to the next sixteenth up: what is found by this sum must do.
fn sixteenths(short: f64) -> String {
    let up = (short * 16.0 - 1e-6).ceil() / 16.0;
    format!("{} in", units::inches_text(up, 16).trim_end_matches('"'))
}

/// The drain first, then the chain's other items, each once.
fn members(drain: Id, chain: &[Spend]) -> Vec<Id> {
    let mut ids = vec![drain];
    for spend in chain {
        if !ids.contains(&spend.who.id) {
            ids.push(spend.who.id.clone());
        }
    }
    ids
}

fn split(chain: &[Spend]) -> (Option<&Spend>, &[Spend]) {
    match chain.split_last() {
        Some((last, rest)) if matches!(last.on, SpentOn::Floor(_)) => (Some(last), rest),
        Some(_) | None => (None, chain),
    }
}

fn level(floor: Option<&Spend>) -> String {
    floor.map_or(String::new(), |floor| format!(" at {}", units::feet_inches(floor.inches, 16)))
}

/// What a member takes of the fall; `None` for a join or a way out that takes nothing.
fn spoken(spend: &Spend) -> Option<String> {
    let (id, inches) = (&spend.who.id, words::inches(spend.inches));
    let level = spend.inches.abs() < 1.0 / 32.0;
    let says = match spend.on {
        SpentOn::Join { .. } | SpentOn::Drop(_) if level => return None,
        SpentOn::Cap(_) => format!("{id} {} {inches} down", spend.who.says),
        SpentOn::Fall { grade, length } => {
            format!("{id} falls {inches} over {} at {grade}", words::feet(length))
        }
        SpentOn::Step => format!("{id} drops {inches} in its {}", spend.who.says),
        SpentOn::Join { .. } => format!("{id} {} with {inches} of drop", spend.who.says),
        SpentOn::Drop(_) => format!("{id} {} by {inches}", spend.who.says),
        SpentOn::Floor(_) => format!("{id} is held up by the {} at {inches}", spend.who.says),
    };
    Some(says)
}

/// Where in the house: the run's own place, or the exit.
fn place(case: &Case, tree: usize, place: Place) -> glam::DVec3 {
    let exit = case.drain(tree).exit.at.extend(case.grades[tree].exit.level);
    match place {
        Place::Run { run, bound } => {
            let at = case.problems[tree].runs[run].bounds[bound].at;
            let line = &case.grades[tree].lines[run];
            case.network.trees[tree].runs[run].path.point_at(at).extend(line.level_at(at))
        }
        Place::Receiver | Place::Tail(_) | Place::Way(_) => exit,
    }
}
