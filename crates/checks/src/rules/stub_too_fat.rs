//! `stub-too-fat`: a pipe whose hub is wider than the framing it comes up in is deep: 3 in in a 2x4.
//!
//! Source: geometry, the hub's outside from the catalogue. Mend: a deeper wall, or a smaller pipe where the code has it.

use crate::{
    Case, Finding, Source, Verdict,
    landing::{On, seats},
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "stub-too-fat",
    about: "The hub of a stub in a wall is no wider than the framing is deep.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let mut found = Vec::new();
    for seat in seats(case) {
        let On::Wall(wall) = seat.seat else { continue };
        let (stub, framing) = (seat.stub, wall.wall.framing);
        if stub.hub_od <= framing + 1e-6 {
            continue;
        }
        let size = stub.size.map_or(String::new(), |size| format!(", {size},"));
        let says = format!(
            "{}{size} is {} over its hub, but the framing of {} is {} deep: it takes a deeper wall",
            stub.id, words::inches(stub.hub_od), wall.wall.id, words::inches(framing),
        );
        let members = vec![stub.id.clone(), wall.wall.id.clone()];
        let at = stub.at.extend(stub.top);
        let finding = Finding::new(RULE.id, Verdict::Fails, members, at, Source::geometry(), says);
        found.push(finding.inches(stub.hub_od, framing));
    }
    found
}
