//! `deep-trench`: a trench so deep that nobody may stand in it unless its sides are held or sloped.
//!
//! From the ground, or under the slab from what the layers lie on, down to the bedding under the pipe. A caution for who
//! digs, never a verdict on the drain. Source: OSHA's trench rules, rows `trench-protection`, `trench-ladder`,
//! `trench-ladder-travel`; the bedding is that of `trench::earth` (no published case). Mend: slope or shore the sides, or
//! dig it by machine and lay the pipe from above.

use codes::RuleId;
use glam::DVec3;
use trench::earth::BEDDING;
use units::Id;

use crate::{Case, Finding, Source, Verdict, ground::deepest, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "deep-trench",
    about: "Where a trench is so deep that its sides must be held, that is told.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let each = (0..case.grades.len()).flat_map(|tree| [outside(case, tree), inside(case, tree)]);
    each.flatten().collect()
}

fn outside(case: &Case, tree: usize) -> Option<Finding> {
    let drain = case.drain(tree);
    let profile = case.layout.ground_along(drain);
    let mut from = 0.0;
    let mut most: Option<(f64, DVec3)> = None;
    for tube in &case.outside_line(&drain.id)?.tubes {
        most = most.into_iter().chain(deepest(profile, tube, from)).max_by(|a, b| a.0.total_cmp(&b.0));
        from += tube.a.truncate().distance(tube.b.truncate());
    }
    let (depth, at) = most?;
    let away = words::feet(drain.exit.at.distance(at.truncate()));
    note(case, &drain.id, (depth + BEDDING, at), &format!("{away} from the house"))
}

/// Under the slab a trench is dug from what its layers lie on.
fn inside(case: &Case, tree: usize) -> Option<Finding> {
    let slab = case.layout.slab.as_ref()?;
    let dug_from: f64 = -slab.layers.iter().map(|layer| layer.thickness).sum::<f64>();
    let (runs, lines) = (&case.network.trees[tree].runs, &case.grades[tree].lines);
    let lowest = (0..runs.len()).min_by(|a, b| lines[*a].outlet.total_cmp(&lines[*b].outlet))?;
    let pipe = case.catalog.pipe(runs[lowest].outlet_size());
    let at = reach::place(case, tree, lowest, 0.0);
    note(case, &runs[lowest].id, (dug_from - (at.z - pipe.wall) + BEDDING, at), "under the slab")
}

fn note(case: &Case, id: &Id, (depth, at): (f64, DVec3), place: &str) -> Option<Finding> {
    let from = case.rules.number(RuleId::TrenchProtection).filter(|from| depth >= from.value * 12.0)?;
    let (ladder, travel) = (case.rules.number(RuleId::TrenchLadder)?, case.rules.number(RuleId::TrenchLadderTravel)?);
    let says = format!(
        "the trench of {id} is {} deep {place}: from {} ft on slope or shore its sides before anyone stands in it, and from \
         {} ft on keep a ladder in it within {} ft",
        words::feet(depth), from.value, ladder.value, travel.value,
    );
    let source = Source::row(from.row);
    let mut finding = Finding::new(RULE.id, Verdict::Note, vec![id.clone()], at, source, says);
    (finding.measured, finding.limit, finding.unit) = (Some(depth / 12.0), Some(from.value), "ft");
    Some(finding)
}
