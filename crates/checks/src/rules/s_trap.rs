//! `s-trap`: a trap above the floor whose vent is only met under the slab, so that its arm stands upright before the vent.
//!
//! The water going down the riser sucks the trap dry. Source: codes row `trap-arm-fall` (one diameter of fall before the
//! vent). Mend: let the riser go on up as the vent, set the trap under the slab, or give it an admittance valve where
//! allowed.

use codes::RuleId;
use layout::{TrapPlace, Vent};
use network::Start;

use crate::{Case, Finding, Source, reach::{self, Starts}, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "s-trap",
    about: "No trap above the floor drops down its riser before it meets its vent.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(row) = case.rules.row(RuleId::TrapArmFall) else { return Vec::new() };
    let starts = Starts::of(case);
    let mut found = Vec::new();
    for (t, tree) in case.network.trees.iter().enumerate() {
        for (r, run) in tree.runs.iter().enumerate() {
            let Start::Fixture(f) = run.start else { continue };
            let fixture = &case.layout.fixtures[f];
            if !matches!(fixture.trap, TrapPlace::InWall { .. }) || !vented_below(case, &starts, &fixture.vent) {
                continue;
            }
            let drop = reach::outlet_level(case, fixture) - case.grades[t].lines[r].inlet;
            let most = row.value.number().map(|diameters| diameters * run.inlet_size().nominal());
            let says = format!(
                "{} has its trap over the floor and its vent under it: it drops more than {} before the vent, an S-trap; \
                 let the riser go on up as its vent, or set the trap under the slab", fixture.id, words::inches(drop),
            );
            let source = Source::row(row);
            let at = run.path.inlet().extend(case.grades[t].lines[r].inlet);
            let mut finding = Finding::new(RULE.id, source.breach(), vec![fixture.id.clone()], at, source, says);
            (finding.measured, finding.limit, finding.unit) = (Some(drop), most, "in");
            found.push(finding);
        }
    }
    found
}

fn vented_below(case: &Case, starts: &Starts, vent: &Vent) -> bool {
    match vent {
        Vent::TakeOff { .. } | Vent::Wet(_) => true,
        Vent::Common(lender) => starts.fixture(lender)
            .is_some_and(|l| matches!(case.layout.fixtures[l].vent, Vent::TakeOff { .. } | Vent::Wet(_))),
        Vent::Riser | Vent::IslandLoop { .. } | Vent::Admittance | Vent::Combination | Vent::Other(_) | Vent::Unknown => false,
    }
}
