//! `standpipe-trap`: a washer's trap under the slab, in the code that wants it above the floor.
//!
//! Source: codes row `standpipe-trap`. Mend: set the trap in the wall, its weir within the heights told.

use codes::{RuleId, Value};
use layout::{FixtureKind, TrapPlace};

use crate::{Case, Finding, Source, rules::Rule, sizes};

pub(super) const RULE: Rule = Rule {
    id: "standpipe-trap",
    about: "A washer's trap stands above the floor where the code says so.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(row) = case.rules.row(RuleId::StandpipeTrap) else { return Vec::new() };
    let Value::Range(least, most) = row.value else { return Vec::new() };
    let under = case.layout.fixtures.iter().filter(|f| {
        f.kind == FixtureKind::Washer && matches!(f.trap, TrapPlace::UnderSlab { .. })
    });
    under.map(|fixture| {
        let says = format!(
            "{} has its trap under the slab; it stands {} to {} in above the floor: set it in the wall",
            fixture.id, sizes::units(least), sizes::units(most),
        );
        let source = Source::row(row);
        let members = vec![fixture.id.clone()];
        Finding::new(RULE.id, source.breach(), members, fixture.at.extend(0.0), source, says)
    }).collect()
}
