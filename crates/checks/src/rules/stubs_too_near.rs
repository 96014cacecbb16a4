//! `stubs-too-near`: two stubs whose hubs have no room beside each other.
//!
//! Source: geometry, hubs from the catalogue. Mend: move one along its wall.

use std::collections::BTreeMap;

use fittings::Stub;

use crate::{Case, Finding, Source, Verdict, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "stubs-too-near",
    about: "Stubs leave room for each other's hubs.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let stubs: Vec<&Stub> = case.assembly.stubs.iter().collect();
    let mut found = Vec::new();
    for (a, b) in neighbours(&stubs) {
        let (a, b) = (stubs[a], stubs[b]);
        let (apart, want) = (a.at.distance(b.at), f64::midpoint(a.hub_od, b.hub_od));
        if apart >= want - 1e-6 {
            continue;
        }
        let says = format!(
            "{} and {} stand {} apart; their hubs want {} from middle to middle",
            a.id, b.id, words::inches(apart), words::inches(want),
        );
        let between = [a.at.extend(a.top), b.at.extend(b.top)];
        let members = vec![a.id.clone(), b.id.clone()];
        let middle = between[0].midpoint(between[1]);
        let finding = Finding::new(RULE.id, Verdict::Fails, members, middle, Source::geometry(), says);
        found.push(finding.inches(apart, want).between(between));
    }
    found
}

/// Pairs in the same or neighbouring cells of a grid as wide as the widest hub, each once, in order.
fn neighbours(stubs: &[&Stub]) -> Vec<(usize, usize)> {
    let cell = stubs.iter().map(|stub| stub.hub_od).fold(1.0, f64::max);
    // Plans are at most a hundred miles wide (`layout::limits`), so a cell's number fits.
    #[allow(clippy::cast_possible_truncation)]
    let key = |stub: &Stub| ((stub.at.x / cell).floor() as i64, (stub.at.y / cell).floor() as i64);
    let mut cells: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    let mut pairs = Vec::new();
    for (index, stub) in stubs.iter().enumerate() {
        let (x, y) = key(stub);
        for (dx, dy) in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (dx, dy))) {
            let others = cells.get(&(x + dx, y + dy)).into_iter().flatten();
            pairs.extend(others.map(|other| (*other, index)));
        }
        cells.entry((x, y)).or_default().push(index);
    }
    pairs.sort_unstable();
    pairs
}
