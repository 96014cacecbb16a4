//! `closet-side`: a closet too near a wall or cabinet beside it, or another closet or bidet.
//!
//! Source: codes row `closet-side` (15 in to a side wall; twice that between middles). Mend: move it along the wall
//! behind.

use layout::FixtureKind;

use crate::{
    Case, Finding, Source,
    closets::{Closet, closets, obstacles},
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "closet-side",
    about: "A closet keeps its distance from walls and fixtures beside it.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(figure) = case.rules.closet_room().side else { return Vec::new() };
    let source = Source::row(figure.row);
    let mut found = Vec::new();
    for closet in closets(case) {
        let beside = obstacles(case, &closet).into_iter().filter_map(|one| {
            one.beside(&closet).map(|apart| (apart, figure.value, one.id.clone()))
        });
        let all = beside.chain(neighbours(case, &closet, figure.value));
        let Some((apart, want, other)) = all.min_by(|a, b| (a.0 - a.1).total_cmp(&(b.0 - b.1))) else { continue };
        if apart >= want - 1e-6 {
            continue;
        }
        // Two closets have each other beside them: told once, under the one that stands first in the file.
        if told(&found, &closet.fixture.id, &other) {
            continue;
        }
        let says = format!(
            "{} has {} from its middle to {other}, and {} is asked for: move it {} away",
            closet.fixture.id, words::inches(apart), words::inches(want), words::inches(want - apart),
        );
        let members = vec![closet.fixture.id.clone(), other];
        let at = closet.fixture.at.extend(0.0);
        found.push(Finding::new(RULE.id, source.breach(), members, at, source.clone(), says).inches(apart, want));
    }
    found
}

fn told(found: &[Finding], one: &units::Id, other: &units::Id) -> bool {
    found.iter().any(|finding| finding.members[..] == [other.clone(), one.clone()])
}

/// Other closets and bidets beside this one: the distance between middles, of which twice the side room is asked.
fn neighbours<'a>(
    case: &'a Case, closet: &'a Closet<'a>, side: f64,
) -> impl Iterator<Item = (f64, f64, units::Id)> + 'a {
    let seats = case.layout.fixtures.iter().filter(|fixture| {
        matches!(fixture.kind, FixtureKind::Closet | FixtureKind::Bidet) && fixture.id != closet.fixture.id
    });
    seats.filter_map(move |other| {
        let local = closet.local(other.at);
        // One behind another, back to back at a wall, is not beside it.
        (local.y.abs() < 20.0).then(|| (local.x.abs(), side * 2.0, other.id.clone()))
    })
}
