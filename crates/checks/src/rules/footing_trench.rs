//! `footing-trench`: a trench beside a footing cut below the plane that falls at 45 degrees from its bottom edge; a pipe
//! that crosses under one.
//!
//! The trench's bottom is the pipe's underside less 4 in of bedding (ASTM D2321, from memory), its half width 6 in (a
//! hand-dug trench under a slab, common practice). Beside fails where the code's row was read, else asks; a crossing is
//! an ask (sleeve or arch). Source: codes row `footing-plane`. Mend: farther off, or shallower.

use std::collections::BTreeMap;

use codes::RuleId;
use glam::DVec3;
use scene::{Flow, Part, Solid, SolidKind, Tube};
use trench::earth::BEDDING;
use units::Id;

use crate::{
    Case, Finding, Source, Verdict,
    geometry::{self, Bearing, Trench, bearing},
    house::called,
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "footing-trench",
    about: "No trench beside a footing cuts the 45-degree plane under it; a crossing under one is asked about.",
    check,
};

/// Half the width of a trench dug by hand.
const HALF_WIDTH: f64 = trench::earth::HAND_WIDTH / 2.0;

fn check(case: &Case) -> Vec<Finding> {
    let footings: Vec<&Solid> = case.scene.solids.iter().filter(|solid| bears(case, solid)).collect();
    let mut found = Vec::new();
    let mut worst: BTreeMap<(&Id, &Id), (Bearing, &Solid)> = BTreeMap::new();
    let mut crossed: BTreeMap<(&Id, &Id), (DVec3, &Solid)> = BTreeMap::new();
    let near = trenches(case, &footings);
    let crossers = crossers(&near);
    for (id, tube, solid) in near.iter().copied().filter(|one| !leads_to_a_crossing(*one, &crossers)) {
        let key = (id, &solid.id);
        if let Some(at) = crossing(tube, solid) {
            if at.z + tube.radius <= solid.bottom {
                crossed.entry(key).or_insert((at, solid));
            }
            continue;
        }
        if starts_at(tube, solid) {
            continue;
        }
        let Some(here) = bearing(&trench(tube), &solid.outline, solid.bottom) else { continue };
        let held = worst.entry(key).or_insert((here, solid));
        if here.room() < held.0.room() {
            *held = (here, solid);
        }
    }
    let cut = worst.iter().filter(|(_, (bearing, _))| bearing.room() < -1e-6);
    found.extend(cut.map(|((id, _), (bearing, solid))| beside(case, id, solid, bearing)));
    found.extend(crossed.iter().map(|((id, _), (at, solid))| under(case, id, solid, *at)));
    found
}

/// What bears on the ground: footings, piers, beams, strips, and an edge that is its own footing.
fn bears(case: &Case, solid: &Solid) -> bool {
    let footed = case.layout.foundation.edge.as_ref().is_some_and(|edge| edge.footing.is_some());
    match solid.kind {
        SolidKind::Footing | SolidKind::Pier | SolidKind::Strip | SolidKind::TurnedDownEdge => true,
        SolidKind::GradeBeam => !footed || case.edge_solids().all(|edge| !std::ptr::eq(edge, solid)),
        _other => false,
    }
}

/// A pipe, one of its tubes, and a footing near it.
type Near<'a> = (&'a Id, &'a Tube, &'a Solid);

/// The tubes of each pipe that cross each footing, by pipe and by the footing's address: several may share a name.
type Crossers<'a> = BTreeMap<(&'a Id, *const Solid), Vec<&'a Tube>>;

fn crossers<'a>(near: &[Near<'a>]) -> Crossers<'a> {
    let mut crossers = Crossers::new();
    let leaves = |(_, tube, solid): &&Near| crossing(tube, solid).is_some() || starts_at(tube, solid);
    for (id, tube, solid) in near.iter().filter(leaves) {
        crossers.entry((*id, std::ptr::from_ref(*solid))).or_default().push(tube);
    }
    crossers
}

/// Whether a tube beside a footing is the way to, or from, the same pipe's crossing of it: within 45 degrees of the line
/// that crosses, or that goes on from where another pipe crosses. The crossing is asked about as a whole.
fn leads_to_a_crossing((id, tube, solid): Near, crossers: &Crossers) -> bool {
    let along = |tube: &Tube| (tube.b - tube.a).truncate().normalize_or_zero();
    let leads = |other: &&Tube| along(other).dot(along(tube)).abs() > std::f64::consts::FRAC_1_SQRT_2 - 1e-9;
    let same = crossers.get(&(id, std::ptr::from_ref(solid)));
    same.is_some_and(|tubes| crossing(tube, solid).is_none() && tubes.iter().any(leads))
}

/// Every (pipe, tube, footing) near enough that the plane could be cut.
fn trenches<'a>(case: &Case<'a>, footings: &[&'a Solid]) -> Vec<Near<'a>> {
    let lowest = |tube: &Tube| tube.a.z.min(tube.b.z) - tube.radius - BEDDING;
    let dug = |part: Part, flow: Flow| part != Part::Sleeve && part != Part::Fitting && flow != Flow::SoilGas;
    let bodies = case.scene.pipes.iter().filter(|body| dug(body.part, body.flow));
    let tubes: Vec<(&Id, &Tube)> = bodies.flat_map(|b| b.tubes.iter().map(|t| (&b.id, t))).collect();
    let deepest = tubes.iter().map(|(_, tube)| lowest(tube)).fold(0.0, f64::min);
    let boxes = tubes.iter().map(|(_, tube)| flat_box(&[tube.a, tube.b], HALF_WIDTH));
    let grown: Vec<_> = footings.iter().map(|solid| {
        let corners: Vec<DVec3> = solid.outline.iter().map(|p| p.extend(0.0)).collect();
        flat_box(&corners, (solid.bottom - deepest).max(0.0))
    }).collect();
    let near = geometry::touching(boxes, &grown).into_iter();
    near.map(|(t, s)| (tubes[t].0, tubes[t].1, footings[s])).collect()
}

fn flat_box(points: &[DVec3], by: f64) -> parry3d_f64::bounding_volume::Aabb {
    use parry3d_f64::bounding_volume::{Aabb, BoundingVolume};
    Aabb::from_points(points.iter().map(|p| p.truncate().extend(0.0))).loosened(by)
}

fn trench(tube: &Tube) -> Trench {
    let down = DVec3::Z * (tube.radius + BEDDING);
    Trench { a: tube.a - down, b: tube.b - down, half_width: HALF_WIDTH }
}

/// Where a pipe's line passes over or under the footing in plan: the middle of that stretch.
fn crossing(tube: &Tube, solid: &Solid) -> Option<DVec3> {
    let (from, to) = geometry::within(&solid.outline, tube.a.truncate(), tube.b.truncate())?;
    Some(tube.a.lerp(tube.b, f64::midpoint(from, to)))
}

/// Whether a tube's end touches the footing in plan: it goes on from a pipe that crosses it, and is not beside it.
fn starts_at(tube: &Tube, solid: &Solid) -> bool {
    let touches = |end: DVec3| geometry::distance_to_outline(&solid.outline, end.truncate()) < 1e-6;
    touches(tube.a) || touches(tube.b)
}

fn beside(case: &Case, id: &Id, solid: &Solid, bearing: &Bearing) -> Finding {
    let row = case.rules.row(RuleId::FootingPlane);
    let source = row.map_or_else(|| Source::memory("45 degree bearing plane"), Source::row);
    let apart = bearing.apart.max(0.0);
    let says = format!(
        "the trench of {id} is {} from {} and {} deeper than its underside: keep it {} off, or no deeper than {}",
        words::inches(apart), called(solid), words::inches(bearing.needed), words::inches(bearing.needed),
        words::feet(bearing.deepest()),
    );
    let members = vec![id.clone(), solid.id.clone()];
    let verdict = source.breach();
    Finding::new(RULE.id, verdict, members, bearing.at, source, says).inches(apart, bearing.needed)
}

fn under(case: &Case, id: &Id, solid: &Solid, at: DVec3) -> Finding {
    let row = case.rules.row(RuleId::FootingUnder);
    let source = row.map_or_else(Source::practice, Source::row);
    let says = format!(
        "{id} passes under {} at {}: it wants a sleeve or an arch, and a yes before the footing is poured",
        called(solid), words::place(at.truncate()),
    );
    let members = vec![id.clone(), solid.id.clone()];
    Finding::new(RULE.id, Verdict::Ask, members, at, source, says)
}
