//! `pipe-crossing`: pipes that cross in plan and are clear of each other: what lies over what, and the gap. The lower is
//! laid first.
//!
//! Source: geometry. Mend: nothing; a note for whoever lays them.

use std::collections::BTreeMap;

use glam::DVec3;
use scene::{Part, Tube};
use units::Id;

use crate::{
    Case, Finding, Source, Verdict,
    geometry::crossing,
    pairs::all_tubes,
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "pipe-crossing",
    about: "Pipes that cross clear of each other are listed: what lies over what, and the gap.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let lies = |tube: &Tube| {
        tube.a.truncate().distance(tube.b.truncate()) > (tube.a.z - tube.b.z).abs()
    };
    let listed = |(body, tube): (usize, &Tube)| {
        let part = case.scene.pipes[body].part;
        part != Part::Sleeve && part != Part::Fitting && lies(tube)
    };
    let tubes = all_tubes(case);
    let nodes = case.nodes();
    let mut nearest: BTreeMap<(&Id, &Id), Crossing> = BTreeMap::new();
    for &(i, j) in case.over_one_another() {
        let ((a, one), (b, two)) = (tubes[i], tubes[j]);
        if !listed(tubes[i]) || !listed(tubes[j]) {
            continue;
        }
        let (id_a, id_b) = (&case.scene.pipes[a].id, &case.scene.pipes[b].id);
        if id_a == id_b || !nodes.shared(a, b).is_empty() {
            continue;
        }
        let Some(here) = meet((id_a, one), (id_b, two)).filter(|c| c.gap >= 0.0) else { continue };
        let held = nearest.entry((id_a.min(id_b), id_a.max(id_b))).or_insert(here);
        if here.gap < held.gap {
            *held = here;
        }
    }
    nearest.values().map(told).collect()
}

#[derive(Clone, Copy)]
struct Crossing<'a> {
    upper: &'a Id,
    lower: &'a Id,
    gap: f64,
    between: [DVec3; 2],
}

fn meet<'a>((id_a, a): (&'a Id, &Tube), (id_b, b): (&'a Id, &Tube)) -> Option<Crossing<'a>> {
    let plan = |tube: &Tube| (tube.a.truncate(), tube.b.truncate());
    let on_a = a.a.lerp(a.b, crossing(plan(a), plan(b))?);
    let on_b = b.a.lerp(b.b, crossing(plan(b), plan(a))?);
    let gap = (on_a.z - on_b.z).abs() - a.radius - b.radius;
    let a_over = on_a.z >= on_b.z;
    let (upper, lower) = if a_over { (id_a, id_b) } else { (id_b, id_a) };
    let between = if a_over { [on_a, on_b] } else { [on_b, on_a] };
    Some(Crossing { upper, lower, gap, between })
}

fn told(crossing: &Crossing) -> Finding {
    let at = crossing.between[1];
    let says = format!(
        "{} crosses over {} with {} between, at {}; lay {} first",
        crossing.upper, crossing.lower, words::inches(crossing.gap), words::place(at.truncate()), crossing.lower,
    );
    let members = vec![crossing.upper.clone(), crossing.lower.clone()];
    let finding = Finding::new(RULE.id, Verdict::Note, members, at, Source::geometry(), says);
    finding.inches(crossing.gap, 0.0).between(crossing.between)
}
