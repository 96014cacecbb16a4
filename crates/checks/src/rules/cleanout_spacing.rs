//! `cleanout-spacing`: more drain between one cleanout and the next than the code allows.
//!
//! From every upper end and every cleanout down to the next, the line outside with them. Judged as soon as a drain has any
//! cleanout; before that they are still to tell. Source: codes row `cleanout-spacing`. Mend: one more on the way.

use codes::RuleId;

use crate::{Case, Finding, Source, cleanouts::{self, Placed}, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "cleanout-spacing",
    about: "No drain runs farther without a cleanout than the code allows.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(most) = case.rules.number(RuleId::CleanoutSpacing) else { return Vec::new() };
    let mut found = Vec::new();
    for (t, tree) in case.network.trees.iter().enumerate() {
        let placed = cleanouts::of_tree(case, t);
        let far = if placed.is_empty() { None } else { farthest(case, t, &placed) };
        let Some((length, run, station)) = far.filter(|far| far.0 > most.value * 12.0 + 0.01) else { continue };
        let source = Source::row(most.row);
        let says = format!(
            "{} runs {} without a cleanout; {} ft is the most: set one on the way", tree.runs[run].id,
            words::feet(length), most.value,
        );
        let members = vec![tree.id.clone(), tree.runs[run].id.clone()];
        let at = reach::place(case, t, run, station);
        let mut finding = Finding::new(RULE.id, source.breach(), members, at, source, says);
        (finding.measured, finding.limit, finding.unit) = (Some(length / 12.0), Some(most.value), "ft");
        found.push(finding);
    }
    found
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
