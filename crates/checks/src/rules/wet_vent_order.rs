//! `wet-vent-order`: a wet vent whose dry vent, or whose order of fixtures, is not what the code describes.
//!
//! Judged at the dry-vented connection: a lavatory, tub, shower or bidet with a dry vent of its own carries it; at most so
//! many fixtures may stand upstream of it; in one code the closet joins last. Source: codes rows `wet-vent-dry`,
//! `wet-vent-upstream`, `wet-vent-closet-last`. Mend: another fixture's vent, or another order along the drain.

use codes::{RuleId, Row};
use glam::DVec3;
use layout::{FixtureKind, Vent};
use units::{Id, SAME_LENGTH};

use crate::{Case, Finding, Source, reach::{self, WetVent}, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "wet-vent-order",
    about: "A wet vent starts at a dry-vented lavatory, tub, shower or bidet, and its fixtures follow in order.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let mut found = Vec::new();
    for (fixture, lender) in reach::strangers(case) {
        let says = format!("{} and {lender} drain different ways, so the one cannot vent the other", fixture.id);
        let members = vec![fixture.id.clone(), lender.clone()];
        let at = fixture.at.extend(0.0);
        found.push(Finding::new(RULE.id, crate::Verdict::Fails, members, at, Source::geometry(), says));
    }
    for wet in reach::wet_vents(case) {
        found.extend(dry(case, &wet));
        found.extend(upstream(case, &wet));
        found.extend(last(case, &wet));
    }
    found
}

fn told(row: &Row, members: Vec<Id>, at: DVec3, says: String) -> Finding {
    let source = Source::row(row);
    Finding::new(RULE.id, source.breach(), members, at, source, says)
}

fn borrowers(wet: &WetVent) -> Vec<Id> {
    wet.borrowers.iter().map(|(fixture, _)| fixture.id.clone()).collect()
}

fn dry(case: &Case, wet: &WetVent) -> Option<Finding> {
    let row = case.rules.row(RuleId::WetVentDry)?;
    let may = matches!(
        wet.lender.kind,
        FixtureKind::Lavatory | FixtureKind::Tub | FixtureKind::Shower | FixtureKind::Bidet
    );
    if matches!(wet.lender.vent, Vent::Other(_) | Vent::Unknown) {
        return None; // What is not told plainly is asked for elsewhere.
    }
    let why = match (wet.dry.is_some(), may) {
        (true, true) => return None,
        (false, _) => "has no dry vent of its own to lend: let its riser go on up, or name another fixture",
        (true, false) => "is not one that may carry the dry vent: a lavatory, tub, shower or bidet is",
    };
    let says = format!("{} borrows the vent of {}, which {why}", words::names(&borrowers(wet)), wet.lender.id);
    let members = std::iter::once(wet.lender.id.clone()).chain(borrowers(wet)).collect();
    Some(told(row, members, wet.lender.at.extend(0.0), says))
}

/// Fixtures that come in above the dry vent, or into the run its drain joins above that.
fn upstream(case: &Case, wet: &WetVent) -> Option<Finding> {
    let most = case.rules.number(RuleId::WetVentUpstream)?;
    let (run, station) = wet.dry?;
    let above = wet.borrowers.iter().filter(|(_, met)| {
        let own = met.run == run && met.station > station + SAME_LENGTH;
        let beyond = wet.way.iter().any(|leg| {
            leg.run == met.run && leg.run != run && (met.station - leg.from).abs() < SAME_LENGTH
        });
        own || beyond
    });
    let above: Vec<Id> = above.map(|(fixture, _)| fixture.id.clone()).collect();
    (above.len() as f64 > most.value).then(|| {
        let says = format!(
            "{} come in above the dry vent of {}; {} may: join the others below it",
            words::names(&above), wet.lender.id, most.row.says(),
        );
        let at = reach::place(case, wet.tree, run, station);
        let members = std::iter::once(wet.lender.id.clone()).chain(above).collect();
        told(most.row, members, at, says)
    })
}

fn last(case: &Case, wet: &WetVent) -> Option<Finding> {
    let row = case.rules.row(RuleId::WetVentClosetLast).filter(|row| row.value == codes::Value::Yes)?;
    let closet = wet.borrowers.iter().position(|(fixture, _)| fixture.kind == FixtureKind::Closet)?;
    let after = wet.borrowers[closet].1.after[1] + SAME_LENGTH;
    let later = wet.borrowers.iter().filter(|(fixture, met)| met.after[1] > after && fixture.kind != FixtureKind::Closet);
    let later: Vec<Id> = later.map(|(fixture, _)| fixture.id.clone()).collect();
    if later.is_empty() {
        return None;
    }
    let (closet, met) = &wet.borrowers[closet];
    let says = format!(
        "{} joins the wet vent upstream of {}, and by this code the closet joins last: lead it in below", closet.id,
        words::names(&later),
    );
    let members = std::iter::once(closet.id.clone()).chain(later).collect();
    Some(told(row, members, reach::place(case, wet.tree, met.run, met.station), says))
}
