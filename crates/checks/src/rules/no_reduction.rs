//! `no-reduction`: a drain that flows into a smaller pipe.
//!
//! Where a branch joins, where the trunk goes through the wall and where the line outside begins: what stands in the larger pipe
//! must not wait for the smaller. (A run itself cannot be written so: the reader refuses it. A 4 in closet flange on 3 in pipe is
//! no reduction, and lies in no run.) Source: codes row `no-reduction` (no published case). Mend: the larger size from there
//! down, or the smaller one above.

use codes::RuleId;
use units::{Id, Size};

use crate::{Case, Finding, Source, reach, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "no-reduction",
    about: "No drain flows into a smaller pipe.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    (0..case.network.trees.len()).flat_map(|t| branches(case, t).into_iter().chain(way_out(case, t))).collect()
}

fn branches(case: &Case, t: usize) -> Vec<Finding> {
    let runs = &case.network.trees[t].runs;
    let smaller = runs.iter().enumerate().filter_map(|(r, run)| {
        let join = run.join?;
        let parent = &runs[join.parent];
        let (from, into) = (run.outlet_size(), parent.size_at(join.at));
        (from > into).then(|| told(case, (t, r), vec![run.id.clone(), parent.id.clone()], (from, into))).flatten()
    });
    smaller.collect()
}

/// Through the wall and out.
fn way_out(case: &Case, t: usize) -> Option<Finding> {
    let (drain, trunk) = (case.drain(t), &case.network.trees[t].runs[0]);
    let out = trunk.outlet_size();
    let exit = drain.exit.size.unwrap_or(out);
    let line = drain.line_size(out);
    let (from, into) = if exit < out { (out, exit) } else { (exit, line) };
    let first = if exit < out { &trunk.id } else { &drain.id };
    let mut members = vec![first.clone(), drain.id.clone()];
    members.dedup();
    (into < from).then(|| told(case, (t, 0), members, (from, into))).flatten()
}

fn told(case: &Case, (t, r): (usize, usize), members: Vec<Id>, (from, into): (Size, Size)) -> Option<Finding> {
    let row = case.rules.row(RuleId::NoReduction)?;
    let whose = match members.as_slice() {
        [one, other, ..] => format!("{one} is {from} and flows into {other}, {into} there"),
        [one] => format!("{one} leaves the wall at {from} and goes on at {into}"),
        [] => return None,
    };
    let says = format!("{whose}: no drain grows smaller on its way; make it {from} from there down");
    let source = Source::row(row);
    let finding = Finding::new(RULE.id, source.breach(), members, reach::place(case, t, r, 0.0), source, says);
    Some(finding.inches(into.nominal(), from.nominal()))
}
