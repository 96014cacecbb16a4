//! `stub-top`: a stub left at the wrong height for what it is.
//!
//! In a wall or cabinet it must clear the bottom plate (1-1/2 in) and is left 12 in or more above the floor (common
//! practice: taller than the screed); in open floor it must not end under the floor; in a box-out it ends inside the box.
//! Source: geometry, common practice. Mend: leave it longer; it is cut when the fixture is set.

use fittings::Stub;
use layout::Landing;

use crate::{Case, Finding, Source, Verdict, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "stub-top",
    about: "Every stub is left at a height that suits what it comes up in.",
    check,
};

/// A bottom plate's height.
const PLATE: f64 = 1.5;
/// The least a wall stub is left above the floor: common practice.
const TALL: f64 = 12.0;

fn check(case: &Case) -> Vec<Finding> {
    let inside = case.assembly.stubs.iter().filter(|stub| !case.stands_outside(stub));
    inside.filter_map(|stub| judged(case, stub)).collect()
}

fn judged(case: &Case, stub: &Stub) -> Option<Finding> {
    let floor = case.layout.slab.as_ref().map_or(0.0, |slab| fittings::surface_at(slab, stub.at).0);
    let height = stub.top - floor;
    let found = |verdict, limit, source, why: &str| {
        let says = format!("{} ends {}; {why}", stub.id, above_the_floor(height));
        let at = stub.at.extend(stub.top);
        let finding = Finding::new(RULE.id, verdict, vec![stub.id.clone()], at, source, says);
        Some(finding.inches(height, limit))
    };
    match &stub.landing {
        Landing::Wall(_) | Landing::Cabinet(_) if height < PLATE - 1e-6 => {
            found(Verdict::Fails, PLATE, Source::geometry(), "it does not clear the bottom plate: leave it 18 in")
        }
        Landing::Wall(_) | Landing::Cabinet(_) if height < TALL - 1e-6 => {
            found(Verdict::Note, TALL, Source::practice(), "leave it taller than the screed, 12 to 18 in")
        }
        Landing::Floor if height < -1e-6 => {
            found(Verdict::Fails, 0.0, Source::geometry(), "it would be poured over")
        }
        Landing::BoxOut(id) => in_box(case, stub, id, height),
        Landing::Wall(_) | Landing::Cabinet(_) | Landing::Floor => None,
    }
}

fn above_the_floor(height: f64) -> String {
    let side = if height < 0.0 { "below" } else { "above" };
    format!("{} {side} the floor", words::inches(height.abs()))
}

fn in_box(case: &Case, stub: &Stub, id: &units::Id, height: f64) -> Option<Finding> {
    let made = case.box_out(id)?;
    let (why, limit) = if height > 1e-6 {
        ("it stands in the screed's way over its box-out", 0.0)
    } else if height < -made.depth - 1e-6 {
        ("it ends under the bottom of its box-out", -made.depth)
    } else {
        return None;
    };
    let says = format!("{} ends {}; {why}", stub.id, above_the_floor(height));
    let members = vec![stub.id.clone(), id.clone()];
    let at = stub.at.extend(stub.top);
    Some(Finding::new(RULE.id, Verdict::Fails, members, at, Source::geometry(), says).inches(height, limit))
}
