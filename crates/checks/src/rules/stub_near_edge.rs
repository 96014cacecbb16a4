//! `stub-near-edge`: a stub in the thickness of the slab's edge, or outside the slab.
//!
//! A stub in a wall that stands on the edge is told by `stub-in-edge-wall`. Source: geometry. Mend: move it inside.

use fittings::{Stub, StubOf};
use layout::FixtureKind;

use crate::{
    Case, Finding, Source, Verdict,
    geometry::inside,
    house::called,
    landing::{On, seats},
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "stub-near-edge",
    about: "No stub comes up in the thickness of the slab's edge or outside the slab.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let mut found = Vec::new();
    for seat in seats(case) {
        let on_edge = matches!(seat.seat, On::Wall(wall) if wall.wall.on_edge);
        if !on_edge && !in_the_yard(case, seat.stub) {
            found.extend(judged(case, seat.stub));
        }
    }
    found
}

/// A hose or yard sink may stand outside.
fn in_the_yard(case: &Case, stub: &Stub) -> bool {
    match stub.of {
        StubOf::Fixture(f) | StubOf::Vent(f) | StubOf::Return(f) => case.layout.fixtures[f].kind == FixtureKind::HoseSink,
        StubOf::Cleanout(_) | StubOf::Service(_) => false,
    }
}

fn judged(case: &Case, stub: &Stub) -> Option<Finding> {
    let place = || words::place(stub.at);
    let at = stub.at.extend(stub.top);
    let fails = |members, says| Finding::new(RULE.id, Verdict::Fails, members, at, Source::geometry(), says);
    if let Some(solid) = case.over_edge(stub.at, stub.od / 2.0 - 1e-6) {
        let thick = case.layout.foundation.edge.as_ref().map_or(0.0, |edge| edge.thickness);
        let clear = thick + stub.od / 2.0;
        let says = format!(
            "{} comes up in {}, at {}: its middle stays {} or more inside the form",
            stub.id, called(solid), place(), words::inches(clear),
        );
        return Some(fails(vec![stub.id.clone(), solid.id.clone()], says));
    }
    let slab = case.layout.slab.as_ref()?;
    if inside(&slab.outline, stub.at) {
        return None;
    }
    let says = format!("{} stands outside the slab, at {}", stub.id, place());
    Some(fails(vec![stub.id.clone()], says))
}
