//! `floor-drain-seal`: a floor drain, whose trap dries out and lets the sewer breathe into the room.
//!
//! Source: codes row `trap-seal`. Mend: say with the inspector how its trap is kept wet or closed: a primer line, a deep
//! seal, a barrier insert.

use codes::{RuleId, Value};
use layout::FixtureKind;

use crate::{Case, Finding, Source, Verdict, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "floor-drain-seal",
    about: "The trap of a floor drain is kept wet or closed.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(row) = case.rules.row(RuleId::TrapSeal).filter(|row| row.value == Value::Yes) else { return Vec::new() };
    let drains: Vec<&layout::Fixture> =
        case.layout.fixtures.iter().filter(|f| f.kind == FixtureKind::FloorDrain).collect();
    let Some(first) = drains.first() else { return Vec::new() };
    let members: Vec<units::Id> = drains.iter().map(|f| f.id.clone()).collect();
    let says = format!(
        "the trap of {} dries out when no water runs: lay its primer line before the pour, or take a deep seal or an insert",
        words::names(&members),
    );
    vec![Finding::new(RULE.id, Verdict::Note, members, first.at.extend(0.0), Source::row(row), says)]
}
