//! `wall-passage`: how a drain passes the stem wall, turned-down edge or grade beam.
//!
//! Inside its sleeve, the sleeve wholly in the wall, passes. Cored and sealed, or through a turned-down edge or a beam,
//! is an ask. Less than an inch of wall left over or under the opening is an ask; none, or outside the sleeve, fails.
//! Source: geometry; codes row `wall-crossing`; the inch is common practice. Mend: move the exit or its level.

use std::collections::BTreeSet;

use codes::RuleId;
use glam::DVec2;
use grades::{Place, WayKind};
use layout::EdgeKind;
use scene::{Flow, Part, PipeBody, Solid, Tube};
use units::Id;

use crate::{
    Case, Finding, Source, Verdict, geometry, house::called, pairs::against, rules::Rule, words,
};

pub(super) const RULE: Rule = Rule {
    id: "wall-passage",
    about: "A drain passes the foundation wall in its sleeve, clear of the wall's top and of the footing.",
    check,
};

/// Concrete wanted over and under an opening: common practice, no source.
const LEFT: f64 = 1.0;
/// What a cored hole is larger than the pipe: half an inch all round, common practice, no source.
const CORE: f64 = 1.0;

fn check(case: &Case) -> Vec<Finding> {
    let mut found: Vec<Finding> = (0..case.grades.len()).filter_map(|tree| exit(case, tree)).collect();
    found.extend(case.alike(RULE.id, || elsewhere(case)));
    found
}

/// The opening of one drain.
struct Opening<'a> {
    wall: &'a Solid,
    centre: f64,
    diameter: f64,
}

impl Opening<'_> {
    fn over(&self) -> f64 {
        self.wall.top - self.centre - self.diameter / 2.0
    }

    fn under(&self) -> f64 {
        self.centre - self.diameter / 2.0 - self.wall.bottom
    }
}

fn exit(case: &Case, tree: usize) -> Option<Finding> {
    let (grades, drain) = (&case.grades[tree], case.drain(tree));
    let edge = case.layout.foundation.edge.as_ref()?;
    let way = grades.exit.way.map(|way| case.problems[tree].exit.ways[way].kind);
    // A level that cannot be reached is told as fall that is missing.
    let unreached = grades.conflicts.iter().any(|c| matches!(c.place, Place::Way(_)));
    if way == Some(WayKind::Under) || unreached {
        return None;
    }
    let opening = opening(case, tree)?;
    let (verdict, why, source) = judged(case, tree, edge.kind, &opening)?;
    let says = format!(
        "{} leaves through {} at {}, {} of concrete under its opening and {} over it: {why}",
        drain.id, called(opening.wall), words::feet(grades.exit.level), words::inches(opening.under()),
        words::inches(opening.over()),
    );
    let at = drain.exit.at.extend(opening.centre);
    let left = opening.under().min(opening.over());
    Some(Finding::new(RULE.id, verdict, vec![drain.id.clone()], at, source, says).inches(left, LEFT))
}

fn opening<'a>(case: &Case<'a>, tree: usize) -> Option<Opening<'a>> {
    let drain = case.drain(tree);
    let off = |solid: &&Solid| geometry::distance_to_outline(&solid.outline, drain.exit.at);
    let wall = case.edge_solids().min_by(|a, b| off(a).total_cmp(&off(b)))?;
    let pipe = case.catalog.pipe(case.network.trees[tree].runs[0].outlet_size());
    let axis = case.grades[tree].exit.level + pipe.id() / 2.0;
    let sleeve = case.sleeve(&drain.id).and_then(|body| body.tubes.first());
    let hole = (axis, pipe.od + CORE);
    let (centre, diameter) = sleeve.map_or(hole, |tube| (tube.a.z, tube.radius * 2.0));
    Some(Opening { wall, centre, diameter })
}

fn judged(case: &Case, tree: usize, kind: EdgeKind, opening: &Opening) -> Option<(Verdict, &'static str, Source)> {
    let crossing = case.rules.row(RuleId::WallCrossing);
    let code = || crossing.map_or_else(Source::practice, Source::row);
    let left = opening.under().min(opening.over());
    if left < -1e-6 || rubs(case, tree) {
        let why = if left < 0.0 { "it breaks out of the wall" } else { "the pipe does not lie in its sleeve" };
        return Some((Verdict::Fails, why, Source::geometry()));
    }
    match kind {
        EdgeKind::TurnedDown | EdgeKind::GradeBeam => {
            return Some((Verdict::Ask, "it wants the engineer's yes", Source::practice()));
        }
        EdgeKind::StemWall | EdgeKind::FoamForm => {}
    }
    let allowed = crossing.filter(|row| row.cite.amended.is_some() && row.value.to_string().contains("core"));
    if let Some(row) = allowed.filter(|_| case.drain(tree).exit.cored && left >= LEFT - 1e-6) {
        return Some((Verdict::Note, "cored and sealed, as the town allows", Source::row(row)));
    }
    if case.drain(tree).exit.cored {
        return Some((Verdict::Ask, "a cored and sealed hole instead of a sleeve wants a yes", code()));
    }
    let close = "leave an inch or more, or ask";
    (left < LEFT - 1e-6).then(|| (Verdict::Ask, close, Source::practice()))
}

/// Whether the pipe touches the sleeve it should lie in.
fn rubs(case: &Case, tree: usize) -> bool {
    let Some(body) = case.sleeve(&case.drain(tree).id) else { return false };
    let pipe = case.catalog.pipe(case.network.trees[tree].runs[0].outlet_size());
    let axis = case.grades[tree].exit.level + pipe.id() / 2.0;
    let off = body.tubes.first().map_or(0.0, |tube| (tube.a.z - axis).abs());
    off + pipe.od / 2.0 > case.catalog.pipe(body.size).id() / 2.0 + 1e-6
}

/// Pipes that pass the wall where no exit is.
fn elsewhere(case: &Case) -> Vec<Finding> {
    let walls: Vec<&Solid> = case.edge_solids().collect();
    let astray: BTreeSet<&Id> = case.runs_off_the_edge().into_iter().collect();
    let mut told: BTreeSet<&Id> = BTreeSet::new();
    let mut found = Vec::new();
    let asked = |pipe: &PipeBody, tube: &Tube, wall: &Solid| {
        lies(pipe, tube) && !astray.contains(&pipe.id) && !by_an_exit(case, pipe, tube, wall)
    };
    for (body, wall, tube, gap) in against(case, &walls, 0.0, asked) {
        let pipe = &case.scene.pipes[body];
        let clear = gap.is_ok_and(|gap| gap.inches >= -1e-4);
        if !clear && told.insert(&pipe.id) {
            found.push(passes(pipe, tube, walls[wall]));
        }
    }
    found
}

/// A pipe on its way; not a sleeve, and not a riser, whose stub is judged by itself.
fn lies(pipe: &PipeBody, tube: &Tube) -> bool {
    let run = tube.a.truncate().distance(tube.b.truncate());
    pipe.part != Part::Sleeve && pipe.part != Part::Fitting && run > (tube.a.z - tube.b.z).abs()
}

/// Whether this is the trunk or the line of a drain, at that drain's exit.
fn by_an_exit(case: &Case, pipe: &PipeBody, tube: &Tube, wall: &Solid) -> bool {
    let trunk = || case.run(&pipe.id).filter(|(_, run)| *run == 0).map(|(tree, _)| tree);
    let Some(tree) = case.tree(&pipe.id).or_else(trunk) else { return false };
    near(case.drain(tree).exit.at, tube) <= tube.radius && short_way(wall, tube)
}

fn near(exit: DVec2, tube: &Tube) -> f64 {
    let (a, b) = (tube.a.truncate(), tube.b.truncate());
    let t = ((exit - a).dot(b - a) / (b - a).length_squared().max(1e-9)).clamp(0.0, 1.0);
    a.lerp(b, t).distance(exit)
}

/// Through the wall by no more than an oblique exit takes.
fn short_way(wall: &Solid, tube: &Tube) -> bool {
    let (a, b) = (tube.a.truncate(), tube.b.truncate());
    let span = geometry::within(&wall.outline, a, b).map_or(0.0, |(from, to)| (to - from) * a.distance(b));
    span <= 1.6 * geometry::narrow_width(&wall.outline)
}

fn passes(pipe: &PipeBody, tube: &Tube, wall: &Solid) -> Finding {
    let (a, b) = (tube.a.truncate(), tube.b.truncate());
    let middle = geometry::within(&wall.outline, a, b).map_or(0.5, |(from, to)| f64::midpoint(from, to));
    let at = tube.a.lerp(tube.b, middle);
    let place = words::place(at.truncate());
    let (verdict, says) = match pipe.flow {
        Flow::Drain | Flow::Vent => (
            Verdict::Fails,
            format!("{} passes {} at {place}, away from any sleeve; lead it inside", pipe.id, called(wall)),
        ),
        Flow::Water | Flow::SoilGas | Flow::Empty => (
            Verdict::Note,
            format!("{} passes {} at {place}: set a sleeve for it before the pour", pipe.id, called(wall)),
        ),
    };
    let members = vec![pipe.id.clone(), wall.id.clone()];
    Finding::new(RULE.id, verdict, members, at, Source::geometry(), says)
}
