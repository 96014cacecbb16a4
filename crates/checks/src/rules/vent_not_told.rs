//! `vent-not-told`: a trap whose vent the layout does not tell.
//!
//! Source: every code vents every trap; which way is asked, not judged, here. Mend: say how it is vented.

use layout::{FixtureKind, Landing, TrapPlace, Vent};
use units::Size;

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "vent-not-told",
    about: "The layout says how every trap is vented.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let unknown = case.layout.fixtures.iter().filter(|fixture| fixture.vent == Vent::Unknown);
    let ask = |fixture: &layout::Fixture| {
        let says = format!("how is the trap of {} vented? {}", fixture.id, would_do(case, fixture));
        let at = fixture.at.extend(0.0);
        Finding::new(RULE.id, Verdict::Ask, vec![fixture.id.clone()], at, Source::practice(), says)
    };
    unknown.map(ask).collect()
}

/// What would work, by where the trap is and how far its vent may stand.
fn would_do(case: &Case, fixture: &layout::Fixture) -> String {
    let size = fixture.size.unwrap_or(if fixture.kind == FixtureKind::Closet { Size::In3 } else { Size::In2 });
    let length = match fixture.kind {
        FixtureKind::Closet => case.rules.closet_arm_limits(size).length,
        _other => case.rules.arm_limits(size).length,
    };
    let within = length.map_or(String::new(), |most| format!(" within {} ft of its trap", most.value));
    match (fixture.trap, &fixture.landing) {
        (TrapPlace::InWall, Landing::Wall(_)) => "its riser going on up the wall would do".into(),
        (TrapPlace::InWall, _) => "a riser that goes on up a wall would do, or for a sink an island loop".into(),
        (TrapPlace::UnderSlab { .. } | TrapPlace::InFixture, _) => format!(
            "a dry vent up a wall{within} would do; or in a bath, joining the drain of a dry-vented lavatory"
        ),
    }
}
