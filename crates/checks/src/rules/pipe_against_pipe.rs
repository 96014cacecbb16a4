//! `pipe-against-pipe`: two pipes, risers, fittings or services in one place, beyond the joint they share.
//!
//! Source: geometry. Mend: move one aside, or lower one of them by what they overlap.

use std::collections::BTreeMap;

use units::Id;

use crate::{
    Case, Finding, Source, Verdict,
    geometry::{Gap, Unmeasured},
    pairs::{clashes, starts},
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "pipe-against-pipe",
    about: "No two pipes stand in one another beyond the joint they share.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    // A run has several bodies, and with the riser it starts at stands where that stands: the deepest place of each pair of
    // risers with their runs is told, by the names that meet there.
    let all = clashes(case);
    if all.is_empty() {
        return Vec::new();
    }
    let starts = starts(case);
    let mut deepest: BTreeMap<(&Id, &Id), Met> = BTreeMap::new();
    for (a, b, gap) in all {
        let (one, two) = (&case.scene.pipes[a].id, &case.scene.pipes[b].id);
        let depth = |gap: &Result<Gap, Unmeasured>| gap.map_or(f64::NEG_INFINITY, |gap| gap.inches);
        let met = Met { names: (one.min(two), one.max(two)), gap };
        let [first, second] = [one, two].map(|id| starts.get(id).copied().unwrap_or(id));
        let held = deepest.entry((first.min(second), first.max(second))).or_insert(met);
        if depth(&gap) < depth(&held.gap) {
            *held = met;
        }
    }
    deepest.into_values().map(|met| told(met.names.0, met.names.1, met.gap)).collect()
}

#[derive(Clone, Copy)]
struct Met<'a> {
    names: (&'a Id, &'a Id),
    gap: Result<Gap, Unmeasured>,
}

/// What is under a sixteenth is told as that: no tape reads it, and it is no nothing.
fn overlap(inches: f64) -> String {
    if inches < 1.0 / 16.0 { "less than 1/16 in".into() } else { words::inches(inches) }
}

fn told(a: &Id, b: &Id, gap: Result<Gap, Unmeasured>) -> Finding {
    let members = vec![a.clone(), b.clone()];
    let finding = |verdict, at, says| Finding::new(RULE.id, verdict, members, at, Source::geometry(), says);
    match gap {
        Ok(gap) => {
            let [one, two] = gap.between;
            let says = format!(
                "{a} and {b} overlap by {} at {}, {} below the floor; move one aside or lower it",
                overlap(-gap.inches), words::place(one.truncate()), words::inches(-one.z),
            );
            finding(Verdict::Fails, one.midpoint(two), says).inches(gap.inches, 0.0).between(gap.between)
        }
        Err(error) => {
            let says = format!("whether {a} and {b} are clear of each other could not be measured: {error}");
            finding(Verdict::Ask, glam::DVec3::ZERO, says)
        }
    }
}
