//! `hub-in-slab`: the hubs of risers' base bends reach up into the slab. One note for the whole house.
//!
//! The line starts as high as its pipe may; the bend's hub stands higher. It may reach in, wrapped; a layout that says
//! `hubs_below` starts lower instead. Source: the catalogue's long turn bend. Mend: wrap the risers, or say `hubs_below`.

use catalog::{EndName, Pattern, Sizes};
use layout::TrapPlace;
use network::{Run, Start};
use units::Id;

use crate::{Case, Finding, Source, Verdict, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "hub-in-slab",
    about: "Hubs of base bends that reach into the slab are wrapped, or the line starts lower.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(slab) = &case.layout.slab else { return Vec::new() };
    let mut deepest: Option<(f64, glam::DVec3)> = None;
    let mut members: Vec<Id> = Vec::new();
    for (tree, lines) in case.network.trees.iter().zip(case.grades) {
        for (run, line) in tree.runs.iter().zip(&lines.lines) {
            let Some((id, up)) = hub(case, run) else { continue };
            let at = run.path.inlet().extend(line.inlet + up);
            let into = at.z - fittings::cover_over(slab, at.truncate());
            if into > 1.0 / 16.0 {
                members.push(id.clone());
                deepest = deepest.into_iter().chain([(into, at)]).max_by(|a, b| a.0.total_cmp(&b.0));
            }
        }
    }
    let note = deepest.map(|(into, at)| {
        let deep = words::inches(into);
        let says = match members.as_slice() {
            [one] => format!("the base bend of {one} reaches {deep} into the slab with its hub: wrap it, or start its line lower"),
            _several => format!(
                "the base bends of {} risers reach up to {deep} into the slab with their hubs: wrap them, or start the \
                 lines that much lower", members.len(),
            ),
        };
        Finding::new(RULE.id, Verdict::Note, members, at, Source::geometry(), says).inches(into, 0.0)
    });
    note.into_iter().collect()
}

/// The stub a run starts at, and its base bend's hub over the run's invert.
fn hub<'a>(case: &Case<'a>, run: &Run) -> Option<(&'a Id, f64)> {
    let (id, size) = match run.start {
        Start::Fixture(f) => {
            let fixture = &case.layout.fixtures[f];
            let upright = !matches!(fixture.trap, TrapPlace::UnderSlab { .. });
            (upright.then_some(&fixture.id)?, run.inlet_size())
        }
        Start::Cleanout(c) => (&case.layout.cleanouts[c].id, run.inlet_size()),
        Start::Bare => return None,
    };
    let bend = case.catalog.find(Pattern::QuarterBendLongTurn, Sizes::one(size)).ok()?;
    let up = bend.end(EndName::Inlet)?.take_off.value;
    let pipe = case.catalog.pipe(size);
    Some((id, pipe.id() / 2.0 + up + pipe.socket_depth.value))
}
