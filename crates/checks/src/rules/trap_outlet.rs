//! `trap-outlet`: a trap under the slab too far below or beside its fixture's outlet.
//!
//! Water that falls far gains speed and empties the trap. The outlet is taken at the floor over it; sideways the trap's own
//! reach counts in the fixture's favour only as far as the layout tells its weir. A standpipe has its own heights. Source:
//! codes rows `trap-outlet-distance` and `trap-outlet-offset`. Mend: raise the line, or move the trap under the outlet.

use codes::RuleId;
use layout::{FixtureKind, TrapPlace};
use network::Start;

use crate::{Case, Finding, Source, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "trap-outlet",
    about: "A trap under the slab stands near enough below and beside its fixture's outlet.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let mut found = Vec::new();
    for (t, tree) in case.network.trees.iter().enumerate() {
        for (r, run) in tree.runs.iter().enumerate() {
            let Start::Fixture(f) = run.start else { continue };
            let fixture = &case.layout.fixtures[f];
            let TrapPlace::UnderSlab { across } = fixture.trap else { continue };
            if fixture.kind == FixtureKind::Washer {
                continue;
            }
            let weir = case.grades[t].lines[r].inlet;
            let down = reach::outlet_level(case, fixture) - weir;
            let asked = [
                (RuleId::TrapOutletDistance, down, "below", "raise the line there"),
                (RuleId::TrapOutletOffset, across, "beside", "move the trap under the outlet"),
            ];
            for (rule, measured, which, would) in asked {
                let Some(most) = case.rules.number(rule).filter(|most| measured > most.value + 0.01) else { continue };
                let source = Source::row(most.row);
                let says = format!(
                    "the trap of {} stands {} {which} its outlet; {} is the most: {would}",
                    fixture.id, words::inches(measured), words::inches(most.value),
                );
                let at = run.path.inlet().extend(weir);
                let members = vec![fixture.id.clone()];
                let finding = Finding::new(RULE.id, source.breach(), members, at, source, says);
                found.push(finding.inches(measured, most.value));
            }
        }
    }
    found
}
