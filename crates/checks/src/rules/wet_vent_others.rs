//! `wet-vent-others`: something that is no bathroom fixture drains into a wet vent, or more baths than it may vent.
//!
//! All that comes in from its upper end to the last fixture it vents counts. Source: codes rows `wet-vent-others`,
//! `wet-vent-groups`. Mend: join the others downstream of the wet-vented part; give the next bath a dry vent.

use codes::{RuleId, Value};
use layout::FixtureKind;
use units::Id;

use crate::{Case, Finding, Source, reach::{self, WetVent}, rules::Rule, sizes, words};

pub(super) const RULE: Rule = Rule {
    id: "wet-vent-others",
    about: "Only bathroom fixtures drain into a wet vent, of no more baths than the code allows.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    reach::wet_vents(case).iter().flat_map(|wet| strange(case, wet).into_iter().chain(baths(case, wet))).collect()
}

fn strange(case: &Case, wet: &WetVent) -> Option<Finding> {
    let row = case.rules.row(RuleId::WetVentOthers).filter(|row| row.value == Value::No)?;
    let others = wet.members(case).into_iter().map(|f| &case.layout.fixtures[f]);
    let others: Vec<Id> = others.filter(|fixture| !reach::of_a_bath(fixture.kind)).map(|f| f.id.clone()).collect();
    if others.is_empty() {
        return None;
    }
    let says = format!(
        "{} drains into the wet vent from {}, where only bathroom fixtures may: join it below the last of them",
        words::names(&others), wet.lender.id,
    );
    Some(told(case, wet, row, others, says))
}

fn baths(case: &Case, wet: &WetVent) -> Option<Finding> {
    let most = case.rules.number(RuleId::WetVentGroups)?;
    let all = wet.members(case).into_iter().map(|f| &case.layout.fixtures[f]);
    let closets: Vec<Id> = all.filter(|f| f.kind == FixtureKind::Closet).map(|f| f.id.clone()).collect();
    (closets.len() as f64 > most.value).then(|| {
        let says = format!(
            "the wet vent from {} serves {} baths; {} is the most: give one a dry vent of its own",
            wet.lender.id, closets.len(), sizes::units(most.value),
        );
        let measured = closets.len() as f64;
        let mut finding = told(case, wet, most.row, closets, says);
        (finding.measured, finding.limit, finding.unit) = (Some(measured), Some(most.value), "groups");
        finding
    })
}

fn told(case: &Case, wet: &WetVent, row: &codes::Row, mut members: Vec<Id>, says: String) -> Finding {
    let source = Source::row(row);
    let at = wet.way.first().map_or(glam::DVec3::ZERO, |leg| reach::place(case, wet.tree, leg.run, leg.from));
    members.push(wet.lender.id.clone());
    Finding::new(RULE.id, source.breach(), members, at, source, says)
}
