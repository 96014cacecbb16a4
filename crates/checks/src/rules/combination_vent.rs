//! `combination-vent`: a trap on a combination waste and vent, one larger flat pipe that drains and breathes together.
//!
//! Two codes are remembered to allow it for floor drains, sinks and lavatories at a reduced load and a flat fall; one only where
//! nothing else can be done and the authority approves. Source: codes row `combination-vent`, which a town's amendment may
//! settle. Mend: a vent up the wall.

use codes::{RuleId, Value};
use layout::{FixtureKind, Vent};

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "combination-vent",
    about: "A trap on a combination waste and vent is one the code and the town allow there.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(row) = case.rules.row(RuleId::CombinationVent) else { return Vec::new() };
    let source = Source::row(row);
    let combined = case.layout.fixtures.iter().filter(|fixture| fixture.vent == Vent::Combination);
    combined.filter_map(|fixture| {
        let (verdict, why) = match (may(fixture.kind), &row.value) {
            (_, Value::No) => (source.breach(), "that is not allowed here: vent it up a wall"),
            (false, _) => (source.breach(), "it is kept for floor drains, sinks and lavatories: vent it up a wall"),
            (true, Value::Yes) if source.read => return None,
            (true, Value::Local) => (Verdict::Ask, "only where no other way is left and the authority approves: ask, or vent it up a wall"),
            (true, _unread) => (Verdict::Ask, "ask whether it may, how large and how flat the pipe must be, and at what load"),
        };
        let says = format!("{} is on a combination waste and vent; {why}", fixture.id);
        let members = vec![fixture.id.clone()];
        Some(Finding::new(RULE.id, verdict, members, fixture.at.extend(0.0), source.clone(), says))
    }).collect()
}

fn may(kind: FixtureKind) -> bool {
    matches!(
        kind,
        FixtureKind::FloorDrain | FixtureKind::KitchenSink | FixtureKind::BarSink | FixtureKind::UtilitySink
            | FixtureKind::Lavatory
    )
}
