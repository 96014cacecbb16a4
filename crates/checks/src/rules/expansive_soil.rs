//! `expansive-soil`: the ground under the slab swells when wet and shrinks when dry: a caution on every pipe in it.
//!
//! Heave lifts a slab and shears what is cast fast in it, or tips a drain the wrong way. Source: common practice, no source; the
//! soils report and the slab's engineer say more. Mend: sleeve or wrap what passes the slab and the wall so that it can move,
//! and no gravel trench that leads water in under the house.

use layout::Drain;

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "expansive-soil",
    about: "In soil that swells, pipes may move where they pass slab and wall, and trenches lead no water in.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let exit = |drain: &Drain| drain.exit.at.extend(0.0);
    let Some(first) = case.layout.drains.first().filter(|_| case.layout.outside.expansive_soil) else {
        return Vec::new();
    };
    let says = "the soil swells when wet: ask the slab's engineer how pipes are to move where they pass slab and wall, how the \
                trench is plugged at the wall so that it leads no water in, and whether the grade wants more than the least";
    let members = case.layout.drains.iter().map(|drain| drain.id.clone()).collect();
    vec![Finding::new(RULE.id, Verdict::Ask, members, exit(first), Source::practice(), says.into())]
}
