//! `branch-figure`: a branch that the building-drain table carries, but the smaller table for branches of a stack would not.
//!
//! Inspectors differ on which table rules under a slab, so both figures are told. Source: codes rows `branch-capacity`
//! and `drain-capacity`. Mend: none is due; the next size up ends the talk.

use crate::{Case, Finding, Source, Verdict, rules::Rule, sizes};

pub(super) const RULE: Rule = Rule {
    id: "branch-figure",
    about: "Where the branch table has a smaller figure than the building-drain table, both are told.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let baths = network::Baths::of(case.layout);
    let branches = sizes::stretches(case).filter(|stretch| stretch.run.join.is_some());
    branches.filter_map(|stretch| {
        let branch = case.rules.branch_capacity(stretch.size)?;
        // No fixture counts more than a closet over 1.6 gallons, four units: fewer fixtures cannot reach the figure.
        let many = stretch.fixtures.len() as f64 * 4.0 > branch.value;
        if !many {
            return None;
        }
        let grade = case.grades[stretch.tree].lines[stretch.index].grade.in_per_ft();
        let drain = case.rules.capacity(stretch.size, grade)?.dfu?;
        let dfu = case.rules.total(&network::served(case.layout, &baths, &stretch.fixtures)).dfu;
        (dfu > branch.value && dfu <= drain).then(|| {
            let says = format!(
                "{} carries {} units: within {} of the building-drain table, but an inspector who goes by the table for \
                 branches allows {} on {}", stretch.run.id, sizes::units(dfu), sizes::units(drain),
                sizes::units(branch.value), stretch.size,
            );
            let members = vec![stretch.run.id.clone()];
            let source = Source::row(branch.row);
            let mut finding = Finding::new(RULE.id, Verdict::Note, members, stretch.at(case), source, says);
            (finding.measured, finding.limit, finding.unit) = (Some(dfu), Some(branch.value), "DFU");
            finding
        })
    }).collect()
}
