//! `pipe-against-pipe`: two pipes, risers, fittings or services in one place, beyond the joint they share.
//!
//! Source: geometry. Mend: move one aside, or lower one of them by what they overlap.

use std::collections::BTreeMap;

use units::Id;

use crate::{
    Case, Finding, Source, Verdict,
    geometry::{Gap, Unmeasured},
    pairs::clashes,
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "pipe-against-pipe",
    about: "No two pipes stand in one another beyond the joint they share.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    // A run has several bodies: the deepest place of each pair of names is told.
    let mut deepest: BTreeMap<(&Id, &Id), Result<Gap, Unmeasured>> = BTreeMap::new();
    for (a, b, gap) in clashes(case) {
        let (one, two) = (&case.scene.pipes[a].id, &case.scene.pipes[b].id);
        let depth = |gap: &Result<Gap, Unmeasured>| gap.map_or(f64::NEG_INFINITY, |gap| gap.inches);
        let held = deepest.entry((one.min(two), one.max(two))).or_insert(gap);
        if depth(&gap) < depth(held) {
            *held = gap;
        }
    }
    deepest.into_iter().map(|((a, b), gap)| told(a, b, gap)).collect()
}

fn told(a: &Id, b: &Id, gap: Result<Gap, Unmeasured>) -> Finding {
    let members = vec![a.clone(), b.clone()];
    let finding = |verdict, at, says| Finding::new(RULE.id, verdict, members, at, Source::geometry(), says);
    match gap {
        Ok(gap) => {
            let [one, two] = gap.between;
            let says = format!(
                "{a} and {b} stand {} in one another at {}, {} below the floor; move one aside or lower it",
                words::inches(-gap.inches), words::place(one.truncate()), words::inches(-one.z),
            );
            finding(Verdict::Fails, one.midpoint(two), says).inches(gap.inches, 0.0).between(gap.between)
        }
        Err(error) => {
            let says = format!("whether {a} and {b} are clear of each other could not be measured: {error}");
            finding(Verdict::Ask, glam::DVec3::ZERO, says)
        }
    }
}
