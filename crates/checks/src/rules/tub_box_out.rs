//! `tub-box-out`: a tub with its trap under the slab and no void in the slab round its drain.
//!
//! The tub is set long after the pour and its waste is never where the paper had it: a void about a foot square lets the trap be
//! turned to it, and is filled after. Source: practice row `tub-boxout`. Mend: a box-out round the drain, told as what it comes up
//! in.

use codes::RuleId;
use layout::{Fixture, FixtureKind, Landing, TrapPlace};
use units::Id;

use crate::{Case, Finding, Source, Verdict, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "tub-box-out",
    about: "A tub whose trap lies under the slab has a void in the slab round its drain.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(void) = case.rules.number(RuleId::TubBoxout) else { return Vec::new() };
    let poured_in = |tub: &&Fixture| {
        tub.kind == FixtureKind::Tub && matches!(tub.trap, TrapPlace::UnderSlab { .. }) && matches!(tub.landing, Landing::Floor)
    };
    let tubs: Vec<&Fixture> = case.layout.fixtures.iter().filter(poured_in).collect();
    let Some(first) = tubs.first() else { return Vec::new() };
    let members: Vec<Id> = tubs.iter().map(|tub| tub.id.clone()).collect();
    let says = format!(
        "leave a void about {} square in the slab round the drain of {}, so that its trap can be turned to the tub, and fill it after",
        words::inches(void.value), words::names(&members),
    );
    // A habit of the trade is told as that, not as something recalled.
    let source = Source { read: true, ..Source::row(void.row) };
    vec![Finding::new(RULE.id, Verdict::Note, members, first.at.extend(0.0), source, says)]
}
