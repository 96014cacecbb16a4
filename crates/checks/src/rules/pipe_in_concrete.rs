//! `pipe-in-concrete`: a pipe or riser inside a pier, footing, strip or grade beam.
//!
//! A pipe that crosses a footing, strip or beam straight from side to side is an ask (sleeve, arch, the engineer's
//! yes); one that lies in it, stands in it, or enters a pier fails. Source: geometry; the codes bar pipe cast directly
//! in concrete (row `pipe-in-concrete`). Mend: move it to the nearest place that is clear.

use std::collections::BTreeMap;

use glam::DVec3;
use scene::{Part, PipeBody, Solid, SolidKind, Tube};
use units::Id;

use crate::{
    Case, Finding, Source, Verdict,
    geometry::{self, Gap, Unmeasured},
    house::called,
    pairs::{against, starts},
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "pipe-in-concrete",
    about: "No pipe lies or stands in a pier, footing, thickened strip or grade beam.",
    check,
};

/// Clear of concrete by this when a better place is told: common practice, room for the wrap and the hub.
const CLEAR: f64 = 3.0;

#[derive(Clone, Copy)]
struct Hit<'a> {
    body: usize,
    tube: &'a Tube,
    gap: Result<Gap, Unmeasured>,
    crosses: bool,
}

fn check(case: &Case) -> Vec<Finding> {
    let solids = blocks(case);
    let mut worst: BTreeMap<(&Id, usize), Hit> = BTreeMap::new();
    let asked = |pipe: &PipeBody, _: &Tube, _: &Solid| pipe.part != Part::Sleeve;
    for (body, solid, tube, gap) in against(case, &solids, 0.0, asked) {
        let pipe = &case.scene.pipes[body];
        if gap.is_ok_and(|gap| gap.inches >= -1e-4) {
            continue;
        }
        let hit = Hit { body, tube, gap, crosses: crosses(solids[solid], tube) };
        let held = worst.entry((&pipe.id, solid)).or_insert(hit);
        *held = graver(*held, hit);
    }
    if worst.is_empty() {
        return Vec::new();
    }
    let starts = starts(case);
    let led_by_its_stub = |(id, solid): &(&Id, usize)| {
        starts.get(id).is_some_and(|stub| worst.contains_key(&(*stub, *solid)))
    };
    let lines: BTreeMap<&Id, &Id> = case.network.trees.iter().map(|tree| (&tree.runs[0].id, &tree.id)).collect();
    // A trunk and the line it goes on as are in one footing for one reason.
    let goes_on_in_it = |(id, solid): &(&Id, usize), hit: &Hit| {
        let line = lines.get(id).and_then(|line| worst.get(&(*line, *solid)));
        line.is_some_and(|line| hit.crosses || !line.crosses)
    };
    let kept = worst.iter().filter(|(key, hit)| !led_by_its_stub(key) && !goes_on_in_it(key, hit));
    kept.map(|((id, solid), hit)| told(case, id, solids[*solid], hit)).collect()
}

/// Solids this rule speaks of: what stands in the ground by itself, and the footing all round.
fn blocks<'a>(case: &Case<'a>) -> Vec<&'a Solid> {
    let edge: Vec<*const Solid> = case.edge_solids().map(std::ptr::from_ref).collect();
    let in_ground = |solid: &&Solid| match solid.kind {
        SolidKind::Pier | SolidKind::Footing | SolidKind::Strip => true,
        SolidKind::GradeBeam => !edge.contains(&std::ptr::from_ref(*solid)),
        _other => false,
    };
    case.scene.solids.iter().filter(in_ground).collect()
}

/// A place that does not merely cross, or could not be measured, weighs more; then the deeper one.
fn graver<'a>(a: Hit<'a>, b: Hit<'a>) -> Hit<'a> {
    let depth = |hit: &Hit| hit.gap.map_or(f64::NEG_INFINITY, |gap| gap.inches);
    let rank = |hit: &Hit| (hit.crosses, depth(hit));
    if !rank(&b).0 & rank(&a).0 || (rank(&b).0 == rank(&a).0 && rank(&b).1 < rank(&a).1) { b } else { a }
}

/// Straight from side to side, over no more than one and a half times the narrow width; a pier is not crossed.
fn crosses(solid: &Solid, tube: &Tube) -> bool {
    let (a, b) = (tube.a.truncate(), tube.b.truncate());
    let span = geometry::within(&solid.outline, a, b);
    let through = span.is_some_and(|(from, to)| {
        from > 0.0 && to < 1.0 && (to - from) * a.distance(b) <= 1.5 * geometry::narrow_width(&solid.outline)
    });
    through && solid.kind != SolidKind::Pier
}

fn told(case: &Case, id: &Id, solid: &Solid, hit: &Hit) -> Finding {
    let members = vec![id.clone(), solid.id.clone()];
    let finding = |verdict, at, says| Finding::new(RULE.id, verdict, members.clone(), at, Source::geometry(), says);
    let gap = match hit.gap {
        Ok(gap) => gap,
        Err(error) => {
            let says = format!("whether {id} is clear of {} could not be measured: {error}", called(solid));
            return finding(Verdict::Ask, hit.tube.a, says);
        }
    };
    let thick = words::inches(solid.top - solid.bottom);
    let (verdict, says) = if hit.crosses {
        (Verdict::Ask, format!(
            "{id} crosses {} through {thick} of concrete: it wants a sleeve or an arch and the engineer's yes",
            called(solid),
        ))
    } else {
        let place = better(case, solid, hit);
        (Verdict::Fails, format!("{id} is in {}, {thick} of concrete; {place}", called(solid)))
    };
    finding(verdict, gap.between[0], says).inches(gap.inches, 0.0).between(gap.between)
}

/// The nearest places in plan, square off the block's sides and inside the slab, where the body is clear.
fn better(case: &Case, solid: &Solid, hit: &Hit) -> String {
    let upright = hit.tube.a.truncate().distance(hit.tube.b.truncate()) < 1e-6;
    let part = case.scene.pipes[hit.body].part;
    if !upright && !matches!(part, Part::Riser | Part::Cleanout | Part::Trap) {
        return "lead it round or under".into();
    }
    let mut places = clear_places(case, solid, hit.tube.a, hit.tube.radius + CLEAR);
    places.truncate(2);
    let told: Vec<String> = places.iter().map(|(_, at)| words::place(*at)).collect();
    if told.is_empty() {
        return "no place beside it is inside the slab".into();
    }
    format!("it is {} clear at {}", words::inches(CLEAR), told.join(" or at "))
}

fn clear_places(case: &Case, solid: &Solid, from: DVec3, want: f64) -> Vec<(f64, glam::DVec2)> {
    let at = from.truncate();
    let n = solid.outline.len();
    let off = |i: usize| {
        let (a, b) = (solid.outline[i], solid.outline[(i + 1) % n]);
        let out = -(b - a).normalize_or_zero().perp();
        let go = want - out.dot(at - a);
        (go, at + out * go)
    };
    let inside = |at: glam::DVec2| case.layout.slab.as_ref().is_none_or(|s| geometry::inside(&s.outline, at));
    let mut places: Vec<(f64, glam::DVec2)> = (0..n).map(off).filter(|(_, at)| inside(*at)).collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    places
}
