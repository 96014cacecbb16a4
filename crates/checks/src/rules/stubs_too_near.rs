//! `stubs-too-near`: two stubs whose hubs have no room beside each other.
//!
//! Source: geometry, hubs from the catalogue. Mend: move one along its wall.

use fittings::Stub;
use glam::DVec3;
use parry3d_f64::bounding_volume::Aabb;

use crate::{Case, Finding, Source, Verdict, geometry::near_pairs, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "stubs-too-near",
    about: "Stubs leave room for each other's hubs.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let stubs = &case.assembly.stubs;
    let mut found = Vec::new();
    for (a, b) in neighbours(stubs) {
        let (a, b) = (&stubs[a], &stubs[b]);
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

/// Pairs whose hubs' squares lie over one another in plan, each once, in order.
fn neighbours(stubs: &[Stub]) -> Vec<(usize, usize)> {
    let square = |stub: &Stub| Aabb::from_half_extents(stub.at.extend(0.0), DVec3::splat(stub.hub_od / 2.0));
    near_pairs(&stubs.iter().map(square).collect::<Vec<_>>())
}
