//! `common-vent`: two traps that share a vent without meeting at it, or that may join it at two heights.
//!
//! Both drains come together at or before the shared vent; one that joins below it is vented wet instead, by other rules.
//! Risers that share a vent stand in one place. How high each joins is not in a layout: of two that are alike it is taken to
//! be the same, of two unlike ones the riser between them may be all the vent that the lower one has, so it is sized by the
//! upper one's units, and neither is known to be the lower. Source: codes rows `common-vent`, `common-vent-capacity`.
//! Mend: join above the take-off, say `wet`, join both at one height, or give each its own.

use codes::RuleId;
use layout::{Fixture, TrapPlace, Vent};

use crate::{Case, Finding, Source, Verdict, reach::{self, Starts}, rules::Rule, sizes, words};

pub(super) const RULE: Rule = Rule {
    id: "common-vent",
    about: "Two traps that share a vent meet at it, or before it; at two heights the riser between carries the upper one.",
    check,
};

/// How far apart in plan two stubs may stand that share one riser's vent: back to back in a wall. Our choice.
const ONE_PLACE: f64 = 12.0;

fn check(case: &Case) -> Vec<Finding> {
    let Some(row) = case.rules.row(RuleId::CommonVent) else { return Vec::new() };
    let starts = Starts::of(case);
    let mut found = Vec::new();
    for (fixture, at) in case.layout.fixtures.iter().zip(&starts.at) {
        let Vent::Common(lender) = &fixture.vent else { continue };
        let Some(l) = starts.fixture(lender) else { continue };
        let Some(why) = at.and_then(|at| apart(case, &starts, (fixture, at), l)) else {
            found.extend(two_heights(case, &starts, fixture, l));
            continue;
        };
        let says = format!("{} shares the vent of {lender}, but {why}", fixture.id);
        let members = vec![fixture.id.clone(), lender.clone()];
        let place = fixture.at.extend(0.0);
        // What else they are vented by is not told, so no more than an ask.
        found.push(Finding::new(RULE.id, Verdict::Ask, members, place, Source::row(row), says));
    }
    found
}

fn apart(
    case: &Case, starts: &Starts, (fixture, at): (&Fixture, (usize, usize)), l: usize,
) -> Option<String> {
    let lender = &case.layout.fixtures[l];
    match &lender.vent {
        Vent::TakeOff { .. } => {
            let dry = starts.dry_at(case, l, &case.network.trees[starts.at[l]?.0].runs[starts.at[l]?.1])?;
            let met = reach::met(case, starts, at, &lender.id);
            let before = met.is_some_and(|met| met.run == starts.at[l].map_or(usize::MAX, |s| s.1) && met.station >= dry - 0.5);
            (!before).then(|| "joins below its take-off: that is a wet vent; join above it, or say so".into())
        }
        Vent::Riser => {
            let far = fixture.at.distance(lender.at);
            let in_wall = matches!(fixture.trap, TrapPlace::InWall { .. });
            (far > ONE_PLACE || !in_wall).then(|| {
                format!("they come up {} apart: set them back to back, or give each its own", words::inches(far))
            })
        }
        Vent::Common(_) | Vent::Wet(_) | Vent::IslandLoop { .. } | Vent::Admittance | Vent::Combination => {
            Some("that has no dry vent of its own: name the one that has".into())
        }
        Vent::Other(_) | Vent::Unknown => None,
    }
}

/// Two unlike traps in a wall on one riser, the heavier of which is more than the riser may carry above the lower one.
fn two_heights(case: &Case, starts: &Starts, fixture: &Fixture, l: usize) -> Option<Finding> {
    let lender = &case.layout.fixtures[l];
    if lender.vent != Vent::Riser || fixture.kind == lender.kind {
        return None;
    }
    let (t, r) = starts.at[l]?;
    let size = lender.size.unwrap_or(case.network.trees[t].runs[r].inlet_size());
    let most = case.rules.number_for(RuleId::CommonVentCapacity, size)?;
    let units = |one: &Fixture| network::fixture_load(one.kind).and_then(|load| case.rules.dfu(load)).map_or(0.0, |f| f.value);
    let upper = if units(fixture) > units(lender) { fixture } else { lender };
    if units(upper) <= most.value {
        return None;
    }
    let says = format!(
        "{} and {} share the riser of {}: if {} joins it the higher, its {} units come down the {size} pipe that vents the other, \
         and the table has {} for that: join both at one height, or ask", fixture.id, lender.id, lender.id, upper.id,
        sizes::units(units(upper)), sizes::units(most.value),
    );
    let members = vec![fixture.id.clone(), lender.id.clone()];
    let at = fixture.at.extend(0.0);
    let mut finding = Finding::new(RULE.id, Verdict::Ask, members, at, Source::row(most.row), says);
    (finding.measured, finding.limit, finding.unit) = (Some(units(upper)), Some(most.value), "DFU");
    Some(finding)
}
