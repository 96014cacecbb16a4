//! `stub-in-edge-wall`: a stub in an outside wall that stands on the foundation: there is no soil under it to come up from.
//!
//! Source: geometry. Mend: fur the wall out, come up in an inside wall, or in a cabinet in front of it.

use crate::{
    Case, Finding, Source, Verdict,
    landing::{On, seats},
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "stub-in-edge-wall",
    about: "No stub comes up in an outside wall that stands on the stem wall.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let mut found = Vec::new();
    for seat in seats(case) {
        let (stub, On::Wall(wall)) = (seat.stub, seat.seat) else { continue };
        let over = case.over_edge(stub.at, stub.od / 2.0);
        let known = case.layout.foundation.edge.is_some();
        if !wall.wall.on_edge || (known && over.is_none()) {
            continue;
        }
        let verdict = if known { Verdict::Fails } else { Verdict::Ask };
        let thick = case.layout.foundation.edge.as_ref().map_or(0.0, |edge| edge.thickness);
        let says = format!(
            "{} is to come up in {}, which stands on the foundation: under it are {} of concrete, not soil; come up \
             inside of that, in a furred wall or a cabinet",
            stub.id, wall.wall.id, words::inches(thick),
        );
        let members = vec![stub.id.clone(), wall.wall.id.clone()];
        let at = stub.at.extend(stub.top);
        found.push(Finding::new(RULE.id, verdict, members, at, Source::geometry(), says));
    }
    found
}
