//! `island-vent`: an island loop on a fixture that may not have one, or where a code keeps it for want of any other way.
//!
//! Source: codes row `island-vent`. Mend: a vent up a wall; only sinks and lavatories take a loop.

use codes::{Code, RuleId};
use layout::{FixtureKind, Landing, Vent};

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "island-vent",
    about: "An island loop vents a sink or lavatory that no wall can vent.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(row) = case.rules.row(RuleId::IslandVent) else { return Vec::new() };
    let loops = case.layout.fixtures.iter().filter(|f| matches!(f.vent, Vent::IslandLoop { .. }));
    loops.filter_map(|fixture| {
        let sink = matches!(
            fixture.kind,
            FixtureKind::KitchenSink | FixtureKind::BarSink | FixtureKind::UtilitySink | FixtureKind::Lavatory
        );
        let source = Source::row(row);
        let in_wall = matches!(fixture.landing, Landing::Wall(_));
        let (verdict, why) = match (sink, in_wall, case.rules.code()) {
            (false, _, Code::Irc | Code::Ipc) => (source.breach(), "only sinks and lavatories may: vent it up a wall"),
            (false, _, Code::Upc) => (Verdict::Ask, "it is no sink: ask, or vent it up a wall"),
            (true, true, Code::Upc) => (Verdict::Ask, "the code keeps that for want of any other way, and it stands in a wall"),
            (true, _, _) => return None,
        };
        let says = format!("{} is vented by an island loop; {why}", fixture.id);
        let at = fixture.at.extend(0.0);
        Some(Finding::new(RULE.id, verdict, vec![fixture.id.clone()], at, source, says))
    }).collect()
}
