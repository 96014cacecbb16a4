//! `vent-too-small`: a dry vent smaller than the code asks for the drain it serves, or for its length under the slab.
//!
//! A riser that goes on up vents at its own size; a vent that leaves under the slab at the size it is piped in. What it runs
//! above the floor is not drawn and not counted. Source: codes rows `vent-least-size`, `vent-share`, `vent-closet-size`,
//! `vent-long-run`. Mend: the size told.

use layout::{FixtureKind, Vent};
use network::Start;
use units::Size;

use crate::{Case, Finding, Source, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "vent-too-small",
    about: "Every dry vent is as large as the code asks for the drain it serves and its length.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let mut found = Vec::new();
    for vent in &case.network.vents {
        let run = &case.network.trees[vent.run.0].runs[vent.run.1];
        let length = run.path.point_at(vent.take_off).distance(vent.up);
        found.extend(judged(case, vent.fixture, run.inlet_size(), vent.size, length));
    }
    for run in case.network.trees.iter().flat_map(|tree| &tree.runs) {
        let Start::Fixture(f) = run.start else { continue };
        let fixture = &case.layout.fixtures[f];
        if fixture.vent == Vent::Riser {
            let riser = fixture.size.unwrap_or(run.inlet_size());
            found.extend(judged(case, f, run.inlet_size(), riser, 0.0));
        }
    }
    found
}

fn judged(case: &Case, f: usize, drain: Size, vent: Size, length: f64) -> Option<Finding> {
    let fixture = &case.layout.fixtures[f];
    let closet = fixture.kind == FixtureKind::Closet;
    let (least, rows) = case.rules.vent_least_size(drain, closet, length / 12.0)?;
    if vent >= least {
        return None;
    }
    let long = if length > 0.0 { format!(", {} of it under the slab", words::feet(length)) } else { String::new() };
    let says = format!("the vent of {} is {vent} on a {drain} drain{long}; {least} is the least", fixture.id);
    let source = Source::row(rows[0]);
    let at = fixture.at.extend(0.0);
    let finding = Finding::new(RULE.id, source.breach(), vec![fixture.id.clone()], at, source, says);
    Some(finding.inches(vent.nominal(), least.nominal()))
}
