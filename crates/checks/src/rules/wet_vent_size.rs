//! `wet-vent-size`: a wet vent too small for the units that drain through it.
//!
//! Each stretch between one inflow and the next is judged by what it carries; the last fixture's own inflow is not on it.
//! Source: codes table `wet-vent-capacity`. Mend: the size told, from there to the last fixture it vents.

use units::SAME_LENGTH;

use crate::{Case, Finding, Source, reach::{self, WetVent}, rules::Rule, sizes};

pub(super) const RULE: Rule = Rule {
    id: "wet-vent-size",
    about: "Every stretch of a wet vent is large enough for the units that drain through it.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    reach::wet_vents(case).iter().filter_map(|wet| judged(case, wet)).collect()
}

fn judged(case: &Case, wet: &WetVent) -> Option<Finding> {
    let stretches = wet.stretches(case);
    // Above the dry vent on its own run nothing is vented wet.
    let mut wetted = stretches.iter().filter(|(run, station, _)| {
        wet.dry.is_none_or(|(own, dry)| *run != own || *station < dry + SAME_LENGTH)
    });
    wetted.find_map(|(run, station, fixtures)| {
        let size = case.network.trees[wet.tree].runs[*run].size_at(*station);
        let loads = fixtures.iter().filter_map(|f| network::fixture_load(case.layout.fixtures[*f].kind));
        let dfu: f64 = loads.filter_map(|load| case.rules.dfu(load)).map(|figure| figure.value).sum();
        let carried = case.rules.wet_vent_capacity(size);
        let most = carried.as_ref().and_then(|carried| carried.dfu);
        if most.is_some_and(|most| dfu <= most) {
            return None;
        }
        let fit = case.rules.wet_vent_least_size(dfu);
        let row = carried.as_ref().or(fit.as_ref().map(|(_, carried)| carried))?.rows.first().copied()?;
        let would = fit.as_ref().map_or("split the bath".into(), |(size, _)| format!("{size} would do"));
        let most_says = most.map_or("not in the table".into(), |most| format!("good for {}", sizes::units(most)));
        let says = format!(
            "the wet vent from {} carries {} units in {size} pipe, {most_says}: {would}",
            wet.lender.id, sizes::units(dfu),
        );
        let source = Source::row(row);
        let members = vec![case.network.trees[wet.tree].runs[*run].id.clone(), wet.lender.id.clone()];
        let at = reach::place(case, wet.tree, *run, *station);
        let mut finding = Finding::new(RULE.id, source.breach(), members, at, source, says);
        (finding.measured, finding.limit, finding.unit) = (Some(dfu), most, "DFU");
        Some(finding)
    })
}
