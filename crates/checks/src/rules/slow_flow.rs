//! `slow-flow`: a drain flatter than the usual 1/4 that runs slower than 2 ft/s when half full, by Manning with n = 0.012.
//! A note, never a verdict.
//!
//! The figure hangs on n: smooth plastic is quoted at 0.009 to 0.011, cast iron at 0.012, city sewers at 0.013. A house
//! drain rarely runs half full. Source: Manning's formula; the 2 ft/s of city sewer standards. Mend: a steeper grade.

use crate::{Case, Finding, Source, Verdict, flow_speed::{half_full, slope_for}, rules::Rule, sizes::{self, Stretch}};

pub(super) const RULE: Rule = Rule {
    id: "slow-flow",
    about: "Where a drain runs slower than 2 ft/s half full, its velocity and flow are told.",
    check,
};

/// Roughness the note is worked with: a pipe maker's design table for cast iron.
const N: f64 = 0.012;
/// Velocity that carries solids along, ft/s: city sewer standards.
const CLEANSING: f64 = 2.0;

/// The grade the trade lays small drains at, in/ft, whatever Manning says.
const USUAL: f64 = 0.25;

fn check(case: &Case) -> Vec<Finding> {
    let lying = sizes::stretches(case).filter(|stretch| stretch.from > stretch.to);
    let slow = lying.filter_map(|stretch| judged(case, &stretch));
    let mut found: Vec<Finding> = slow.collect();
    found.dedup_by(|later, first| later.members == first.members);
    found
}

fn judged(case: &Case, stretch: &Stretch) -> Option<Finding> {
    let grade = case.grades[stretch.tree].lines[stretch.index].grade.in_per_ft();
    let bore = case.catalog.pipe(stretch.size).id();
    let flow = half_full(bore, grade / 12.0, N);
    if grade >= USUAL || flow.feet_per_second >= CLEANSING {
        return None;
    }
    let enough = slope_for(bore, CLEANSING, N).map(|slope| format!(", from {:.2} in/ft on", slope * 12.0));
    let says = format!(
        "{} half full runs {:.1} ft/s and {:.0} gallons a minute in {} pipe with n = {N}; 2 ft/s carries solids along{}",
        stretch.run.id, flow.feet_per_second, flow.gallons_per_minute, stretch.size, enough.unwrap_or_default(),
    );
    let source = Source { says: "Manning's formula, n = 0.012; 2 ft/s from city sewer standards".into(), read: true };
    let members = vec![stretch.run.id.clone()];
    let mut finding = Finding::new(RULE.id, Verdict::Note, members, stretch.at(case), source, says);
    (finding.measured, finding.limit, finding.unit) = (Some(flow.feet_per_second), Some(CLEANSING), "ft/s");
    Some(finding)
}
