//! `vent-not-told`: a trap whose vent the layout does not tell.
//!
//! Source: every code vents every trap; which way is asked, not judged, here. Mend: say how it is vented.

use layout::Vent;

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "vent-not-told",
    about: "The layout says how every trap is vented.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let unknown = case.layout.fixtures.iter().filter(|fixture| fixture.vent == Vent::Unknown);
    let ask = |fixture: &layout::Fixture| {
        let says = format!("how is the trap of {} vented?", fixture.id);
        let at = fixture.at.extend(0.0);
        Finding::new(RULE.id, Verdict::Ask, vec![fixture.id.clone()], at, Source::practice(), says)
    };
    unknown.map(ask).collect()
}
