//! `trap-arm`: the drain from a trap's weir to its vent is too long, falls too much, is too short, or turns too much.
//!
//! Longer than the table has for its size, or falling more than one diameter, the trap may be sucked dry; nearer than two
//! diameters the vent fouls. A closet siphons itself: some codes set it no length. Source: codes rows `trap-arm-length`,
//! `trap-arm-closet`, `trap-arm-fall`, `trap-arm-least`, `trap-arm-turns`. Mend: bring the vent nearer, or a larger arm.

use codes::{ArmLimits, Row};
use layout::FixtureKind;

use crate::{Case, Finding, Source, reach::{self, Arm}, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "trap-arm",
    about: "Every trap arm under the slab is no longer, no shorter and no steeper than the code allows.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    reach::arms(case).iter().flat_map(|arm| judged(case, arm)).collect()
}

fn judged(case: &Case, arm: &Arm) -> Vec<Finding> {
    let limits: ArmLimits = match arm.fixture.kind {
        FixtureKind::Closet => case.rules.closet_arm_limits(arm.size),
        _other => case.rules.arm_limits(arm.size),
    };
    let id = &arm.fixture.id;
    let found = |row: &Row, measured: f64, limit: f64, unit, says: String| {
        let source = Source::row(row);
        let mut finding = Finding::new(RULE.id, source.breach(), vec![id.clone()], arm.weir, source, says);
        (finding.measured, finding.limit, finding.unit) = (Some(measured), Some(limit), unit);
        finding
    };
    let mut all = Vec::new();
    if let Some(most) = limits.length.filter(|most| arm.length > most.value * 12.0 + 0.01) {
        let says = format!(
            "from the trap of {id} to its vent is {} of {} pipe; {} is the most: bring the vent nearer{}",
            words::feet(arm.length), arm.size, words::feet(most.value * 12.0),
            // A closet's length does not hang on its pipe.
            if arm.fixture.kind == FixtureKind::Closet { "" } else { ", or use larger pipe" },
        );
        all.push(found(most.row, arm.length / 12.0, most.value, "ft", says));
    }
    if let Some((most, row)) = limits.fall_in.filter(|(most, _)| arm.fall > *most + 0.01) {
        let says = format!(
            "the arm of {id} falls {} before its vent; one diameter, {}, is the most: shorter or flatter, or vent it sooner",
            words::inches(arm.fall), words::inches(most),
        );
        all.push(found(row, arm.fall, most, "in", says));
    }
    if let Some((least, row)) = limits.least_in.filter(|(least, _)| arm.length < *least - 0.01) {
        let says = format!(
            "the vent of {id} stands {} from its trap; {} is the least: move it down the arm",
            words::inches(arm.length), words::inches(least),
        );
        all.push(found(row, arm.length, least, "in", says));
    }
    if let Some(most) = limits.turns.filter(|most| arm.turns > most.value + 0.1) {
        let says = format!(
            "the arm of {id} turns {:.0} degrees; {} without a cleanout is the most", arm.turns, most.value,
        );
        all.push(found(most.row, arm.turns, most.value, "deg", says));
    }
    all
}
