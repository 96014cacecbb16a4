//! `cleanout-spacing`: more drain between one cleanout and the next than the code allows.
//!
//! From every upper end and every cleanout down to the next, the line outside with them. A cleanout serves only the pipe that
//! its cable goes into: one that cleans downstream is none for what lies upstream of it. Pipe that several fixtures share and
//! that no cable comes to within that length is an ask, since the codes count lengths and say little of the way a cable goes.
//! Judged as soon as a drain has any cleanout; before that they are still to tell. Source: codes row `cleanout-spacing`.
//! Mend: one more on the way, or one that cleans both ways.

use codes::{Figure, RuleId};
use layout::Cleans;

use crate::{Case, Finding, Source, Verdict, cable, cleanouts::{self, Placed}, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "cleanout-spacing",
    about: "No drain runs farther without a cleanout than the code allows.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(most) = case.rules.number(RuleId::CleanoutSpacing) else { return Vec::new() };
    let mut found = Vec::new();
    for t in 0..case.network.trees.len() {
        let placed = cleanouts::of_tree(case, t);
        if !placed.is_empty() {
            found.extend(too_far(case, t, &placed, &most).or_else(|| no_cable(case, t, &placed, &most)));
        }
    }
    found
}

fn too_far(case: &Case, t: usize, placed: &[Placed], most: &Figure) -> Option<Finding> {
    let (length, run, station) = farthest(case, t, placed).filter(|far| far.0 > most.value * 12.0 + 0.01)?;
    let tree = &case.network.trees[t];
    let says = format!(
        "{} runs {} without a cleanout; {} ft is the most: set one on the way", tree.runs[run].id,
        words::feet(length), most.value,
    );
    Some(told(case, (t, run, station), length, most, Source::row(most.row).breach(), says))
}

/// Pipe that the cleanouts turn their backs on.
fn no_cable(case: &Case, t: usize, placed: &[Placed], most: &Figure) -> Option<Finding> {
    let tree = &case.network.trees[t];
    let left = cable::unreached(case, tree, placed, most.value * 12.0)?;
    let seen = cleanouts::seen_from(case, tree, placed, left.run, left.station);
    let near = &case.layout.cleanouts[seen.iter().find(|off| !off.reaches).or(seen.first())?.index];
    let why = match near.cleans {
        Cleans::Both => format!("{} is too far off", near.id),
        one_way @ (Cleans::Downstream | Cleans::Upstream) => {
            format!("{}, the nearest, cleans {} only", near.id, words::cleans(one_way))
        }
    };
    let says = format!(
        "no cable from a cleanout comes to {} of pipe that several fixtures of {} share: {why}. Ask whether a trap that \
         comes off will do, or set one that cleans both ways", words::feet(left.length), tree.id,
    );
    let finding = told(case, (t, left.run, left.station), left.length, most, Verdict::Ask, says);
    Some(Finding { limit: None, ..finding })
}

fn told(
    case: &Case, (t, run, station): (usize, usize, f64), length: f64, most: &Figure, verdict: Verdict, says: String,
) -> Finding {
    let tree = &case.network.trees[t];
    let members = vec![tree.id.clone(), tree.runs[run].id.clone()];
    let at = reach::place(case, t, run, station);
    let mut finding = Finding::new(RULE.id, verdict, members, at, Source::row(most.row), says);
    (finding.measured, finding.limit, finding.unit) = (Some(length / 12.0), Some(most.value), "ft");
    finding
}

/// The longest way from an upper end or a cleanout to the next cleanout, or the end of the line outside; and where it starts.
fn farthest(case: &Case, t: usize, placed: &[Placed]) -> Option<(f64, usize, f64)> {
    let tree = &case.network.trees[t];
    let end = case.drain(t).line.length.unwrap_or(0.0);
    // Inches from where each run leaves off to the next cleanout; parents come first.
    let mut beyond: Vec<f64> = Vec::with_capacity(tree.runs.len());
    let next = |beyond: &[f64], run: usize, station: f64| {
        let here = placed.iter().filter(|c| c.run == run && c.station < station - 0.01).map(|c| c.station);
        match here.max_by(f64::total_cmp) {
            Some(at) => station - at,
            None if run == 0 => station + end,
            None => station + beyond[run],
        }
    };
    let mut starts: Vec<(f64, usize, f64)> = Vec::new();
    for (r, run) in tree.runs.iter().enumerate() {
        let on = run.join.map_or(0.0, |join| next(&beyond, join.parent, join.at + 0.02));
        beyond.push(on);
        starts.push((next(&beyond, r, run.path.length() + 0.02), r, run.path.length()));
    }
    starts.extend(placed.iter().map(|c| (next(&beyond, c.run, c.station), c.run, c.station.max(0.0))));
    starts.into_iter().max_by(|a, b| a.0.total_cmp(&b.0))
}
