//! `standpipe-trap`: a washer's trap under the slab, in the code that wants it above the floor, or so deep that its standpipe
//! ends low.
//!
//! A standpipe is measured from the weir of its trap: the deeper the trap, the lower it ends, and the washer must be able to
//! hang its hose in it. With the trap in the wall the heights are told with what counts before the cover. Source: codes rows
//! `standpipe-trap`, `standpipe-height`. Mend: set the trap in the wall, its weir within the heights told.

use codes::{RuleId, Value};
use layout::{Fixture, FixtureKind, TrapPlace};
use network::Start;

use crate::{Case, Finding, Source, Verdict, rules::Rule, sizes, words};

pub(super) const RULE: Rule = Rule {
    id: "standpipe-trap",
    about: "A washer's trap stands above the floor where the code says so, and not so deep that its standpipe ends low.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let mut found = Vec::new();
    for (tree, grades) in case.network.trees.iter().zip(case.grades) {
        for (run, line) in tree.runs.iter().zip(&grades.lines) {
            let Start::Fixture(f) = run.start else { continue };
            let fixture = &case.layout.fixtures[f];
            if fixture.kind == FixtureKind::Washer && matches!(fixture.trap, TrapPlace::UnderSlab { .. }) {
                found.extend(barred(case, fixture).or_else(|| ends_low(case, fixture, line.inlet)));
            }
        }
    }
    found
}

fn barred(case: &Case, fixture: &Fixture) -> Option<Finding> {
    let row = case.rules.row(RuleId::StandpipeTrap)?;
    let Value::Range(least, most) = row.value else { return None };
    let says = format!(
        "{} has its trap under the slab; it stands {} to {} in above the floor: set it in the wall",
        fixture.id, sizes::units(least), sizes::units(most),
    );
    let source = Source::row(row);
    let members = vec![fixture.id.clone()];
    Some(Finding::new(RULE.id, source.breach(), members, fixture.at.extend(0.0), source, says))
}

/// Where the standpipe over a trap under the slab must end.
fn ends_low(case: &Case, fixture: &Fixture, weir: f64) -> Option<Finding> {
    let row = case.rules.row(RuleId::StandpipeHeight)?;
    let Value::Range(_, most) = row.value else { return None };
    let says = format!(
        "the weir of {}'s trap lies {} under the floor, so its standpipe, {} in at the most from there, ends no higher than {} \
         over the floor: see that the washer's hose reaches, or set the trap in the wall",
        fixture.id, words::inches(-weir), sizes::units(most), words::inches(most + weir),
    );
    let at = fixture.at.extend(weir);
    let finding = Finding::new(RULE.id, Verdict::Note, vec![fixture.id.clone()], at, Source::row(row), says);
    Some(finding.inches(most + weir, most))
}
