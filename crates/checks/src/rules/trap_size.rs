//! `trap-size`: a drain smaller than the least trap of the fixture it starts at.
//!
//! Source: codes row `trap-size`, by fixture. Mend: the size told, from the trap down.

use network::Start;

use crate::{Case, Finding, Source, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "trap-size",
    about: "No drain is smaller than the least trap of its fixture.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let runs = case.network.trees.iter().zip(case.grades).flat_map(|(tree, grades)| tree.runs.iter().zip(&grades.lines));
    runs.filter_map(|(run, line)| {
        let Start::Fixture(f) = run.start else { return None };
        let fixture = &case.layout.fixtures[f];
        let least = case.rules.trap_size(network::fixture_load(fixture.kind)?)?;
        let size = run.inlet_size();
        (size.nominal() < least.value).then(|| {
            let source = Source::row(least.row);
            let says = format!(
                "{} starts at {} in {size} pipe; its trap is {} at the least", run.id, fixture.id, words::inches(least.value),
            );
            let members = vec![fixture.id.clone(), run.id.clone()];
            let at = run.path.inlet().extend(line.inlet);
            Finding::new(RULE.id, source.breach(), members, at, source, says).inches(size.nominal(), least.value)
        })
    }).collect()
}
