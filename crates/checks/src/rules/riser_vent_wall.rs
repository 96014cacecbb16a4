//! `riser-vent-wall`: a fixture whose riser is to go on up as its vent, and that stands in no wall.
//!
//! Source: geometry. In open floor or a box-out the fixture itself stands on the stub; in a cabinet the counter lies over it, and a
//! pipe may find a way to the wall behind. Mend: the wall it stands in, a take-off that comes up in one, or how else it is vented.

use layout::{Landing, Vent};

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "riser-vent-wall",
    about: "A riser that goes on up as a vent stands in a wall.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let own = case.layout.fixtures.iter().filter(|fixture| fixture.vent == Vent::Riser);
    own.filter_map(|fixture| {
        let (verdict, stands) = match &fixture.landing {
            Landing::Wall(_) => return None,
            Landing::Cabinet(_) => (Verdict::Ask, "in a cabinet, with a counter over it"),
            Landing::Floor | Landing::BoxOut(_) => (Verdict::Fails, "in no wall, and the fixture stands on it"),
        };
        let says = format!(
            "the riser of {} is to go on up as its vent but comes up {stands}: tell the wall it stands in, or let the vent come up \
             in one, `vent: (take_off: (at: ..., up: (in: \"the wall\", along: ...)))`",
            fixture.id,
        );
        let at = fixture.at.extend(fixture.top.unwrap_or(0.0));
        Some(Finding::new(RULE.id, verdict, vec![fixture.id.clone()], at, Source::geometry(), says))
    })
    .collect()
}
