//! `backwater-valve`: fixtures lower than the cover of the next manhole up the sewer, where a blocked sewer would come out.
//!
//! Those, and only those, drain through a backwater valve that stays reachable; its own fall counts. Rims over the floor are from
//! memory: floor drains and showers 0, tubs and closets 14 in, the rest 30 in. Source: codes row `backwater-valve`. Mend: gather
//! the low ones on a branch of their own with the valve in a box, or raise the floor over the manhole.

use codes::{RuleId, Value};
use layout::{Fixture, FixtureKind};
use units::Id;

use crate::{Case, Finding, Source, Verdict, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "backwater-valve",
    about: "Fixtures below the next manhole up the sewer, and only those, drain through a backwater valve.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let asked = case.rules.row(RuleId::BackwaterValve).filter(|row| row.value != Value::No);
    let Some(row) = asked else { return Vec::new() };
    (0..case.network.trees.len()).filter_map(|t| judged(case, t, row)).collect()
}

fn judged(case: &Case, t: usize, row: &codes::Row) -> Option<Finding> {
    let drain = case.drain(t);
    let manhole = drain.receiver.as_ref()?.manhole?;
    let served = case.network.trees[t].runs[0].fixtures.iter().map(|f| &case.layout.fixtures[*f]);
    let (low, high): (Vec<&Fixture>, Vec<&Fixture>) = served.partition(|fixture| rim(case, fixture) < manhole - 1e-6);
    let lowest = low.iter().map(|fixture| rim(case, fixture)).min_by(f64::total_cmp)?;
    let names: Vec<Id> = low.iter().map(|fixture| fixture.id.clone()).collect();
    let others = if high.is_empty() { "" } else { ", and no others," };
    let spare = case.grades[t].exit.spare().map_or(String::new(), |spare| {
        format!(" out of the {} to spare", words::inches(spare))
    });
    let says = format!(
        "{} stands below the cover of the next manhole up the sewer, {} over the floor: a blocked sewer comes out there. Lead \
         it{others} through a backwater valve in a box that can be reached, and count the valve's own fall{spare}",
        words::names(&names), words::inches(manhole),
    );
    let says = if names.len() > 1 { says.replacen(" stands below", " stand below", 1).replacen("Lead it", "Lead them", 1) } else { says };
    let at = drain.exit.at.extend(case.grades[t].exit.level);
    // A valve is not something a layout tells yet, so it is asked about even where the row was read.
    let finding = Finding::new(RULE.id, Verdict::Ask, names, at, Source::row(row), says);
    Some(finding.inches(lowest, manhole))
}

/// Level of a fixture's flood rim.
fn rim(case: &Case, fixture: &Fixture) -> f64 {
    let over_floor = match fixture.kind {
        FixtureKind::FloorDrain | FixtureKind::Shower | FixtureKind::HeaterPan | FixtureKind::Softener
        | FixtureKind::Condensate => 0.0,
        FixtureKind::Closet | FixtureKind::Tub | FixtureKind::Bidet => 14.0,
        FixtureKind::Lavatory | FixtureKind::KitchenSink | FixtureKind::BarSink | FixtureKind::UtilitySink
        | FixtureKind::Washer | FixtureKind::HoseSink => 30.0,
    };
    reach::outlet_level(case, fixture) + over_floor
}
