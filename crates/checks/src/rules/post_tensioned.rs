//! `post-tensioned`: a post-tensioned slab: a caution that outlives every other finding.
//!
//! Source: common practice; a cut tendon can kill. Mend: nothing is cut, cored or moved without the slab's engineer.

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "post-tensioned",
    about: "Nothing in a post-tensioned slab is cut, cored or moved without its engineer.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(slab) = case.layout.slab.as_ref().filter(|slab| slab.post_tensioned) else { return Vec::new() };
    let says = "the slab is post-tensioned: a cut tendon can kill; every pipe, stub and box-out is agreed with its \
                engineer before the pour, and nothing is cut, cored or moved after without one";
    let at = slab.outline.first().map_or(glam::DVec3::ZERO, |corner| corner.extend(0.0));
    vec![Finding::new(RULE.id, Verdict::Ask, vec!["slab".into()], at, Source::practice(), says.into())]
}
