//! `cleanout-junction`: no cleanout near where the building drain becomes the sewer, or one that ends under the ground.
//!
//! The drain ends 30 in outside the wall. A closet that could be lifted off does not count. Judged as soon as a drain has
//! any cleanout. Source: codes rows `cleanout-junction`, `cleanout-access`. Mend: one just outside, both ways, to grade.

use codes::RuleId;
use glam::DVec3;
use layout::Cleanout;

use crate::{
    Case, Finding, Source, Verdict, cleanouts::{self, DRAIN_ENDS}, reach, rules::Rule, words,
};

pub(super) const RULE: Rule = Rule {
    id: "cleanout-junction",
    about: "A cleanout stands near where the building drain becomes the sewer, brought up to grade.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    (0..case.network.trees.len()).flat_map(|t| junction(case, t).into_iter().chain(buried(case, t))).collect()
}

fn junction(case: &Case, t: usize) -> Option<Finding> {
    let tree = &case.network.trees[t];
    let placed = cleanouts::of_tree(case, t);
    let far = cleanouts::nearest(case, tree, &placed, 0, -DRAIN_ENDS)?;
    let most = case.rules.number(RuleId::CleanoutJunction).filter(|most| far > most.value * 12.0 + 0.01)?;
    let source = Source::row(most.row);
    let says = format!(
        "the nearest cleanout of {} stands {} from where the sewer begins; {} ft is the most: set one just outside, both ways",
        tree.id, words::feet(far), most.value,
    );
    let at = reach::place(case, t, 0, 0.0);
    let mut finding = Finding::new(RULE.id, source.breach(), vec![tree.id.clone()], at, source, says);
    (finding.measured, finding.limit, finding.unit) = (Some(far / 12.0), Some(most.value), "ft");
    Some(finding)
}

fn buried(case: &Case, t: usize) -> Vec<Finding> {
    let drain = case.drain(t);
    let profile = case.layout.ground_along(drain);
    let Some(row) = case.rules.row(RuleId::CleanoutAccess) else { return Vec::new() };
    let outside = case.layout.cleanouts.iter().filter(|cleanout| cleanout.outside.as_ref() == Some(&drain.id));
    let judged = |cleanout: &Cleanout| {
        let ground = layout::ground_level(profile, drain.exit.at.distance(cleanout.at))?;
        let under = ground - cleanout.top;
        (under > 0.5).then(|| {
            let source = Source::row(row);
            let verdict = if source.read { Verdict::Fails } else { Verdict::Ask };
            let says = format!("{} ends {} under the ground; bring it up to grade", cleanout.id, words::inches(under));
            let at: DVec3 = cleanout.at.extend(cleanout.top);
            Finding::new(RULE.id, verdict, vec![cleanout.id.clone()], at, source, says).inches(under, 0.0)
        })
    };
    outside.filter_map(judged).collect()
}
