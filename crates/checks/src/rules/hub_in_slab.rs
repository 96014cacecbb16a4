//! `hub-in-slab`: the hubs of risers' base bends, or of the bends under a vent, reach up into the slab. One note for the
//! whole house.
//!
//! The line starts as high as its pipe may; the bend's hub stands higher, and the bend that sends a vent up stands on a
//! wye above that. They may reach in, wrapped; a layout that says `hubs_below` starts the lines lower instead. Source:
//! geometry of the catalogue's fittings. Mend: wrap what reaches in, or say `hubs_below`.

use std::collections::BTreeMap;

use catalog::{EndName, Pattern, Sizes};
use glam::DVec3;
use layout::{Slab, TrapPlace};
use network::{Run, Start};
use scene::{Flow, Part, Tube};
use units::Id;

use crate::{Case, Finding, Source, Verdict, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "hub-in-slab",
    about: "Hubs of bends under risers and vents that reach into the slab are wrapped, or the line starts lower.",
    check,
};

/// What reaches into the slab: whose, inches in, and its highest point.
struct Reach {
    id: Id,
    into: f64,
    at: DVec3,
}

/// Less than this into the slab is none: pipe is laid to a sixteenth.
const LAID: f64 = 1.0 / 16.0;

fn check(case: &Case) -> Vec<Finding> {
    let Some(slab) = &case.layout.slab else { return Vec::new() };
    let (bends, vents) = (base_bends(case, slab), vent_fittings(case, slab));
    let deepest = bends.iter().chain(&vents).max_by(|a, b| a.into.total_cmp(&b.into));
    let Some(Reach { into, at, .. }) = deepest else { return Vec::new() };
    let deep = words::inches(*into);
    let (one, whose) = (bends.len() + vents.len() == 1, whose(&bends, &vents));
    let says = if one {
        format!("{whose} reaches {deep} into the slab with its hub: wrap it, or start its line that much lower")
    } else {
        format!("{whose} reach up to {deep} into the slab with their hubs: wrap them, or start the lines that much lower")
    };
    let mut members: Vec<Id> = Vec::new();
    for reach in bends.iter().chain(&vents) {
        if !members.contains(&reach.id) {
            members.push(reach.id.clone());
        }
    }
    vec![Finding::new(RULE.id, Verdict::Note, members, *at, Source::geometry(), says).inches(*into, 0.0)]
}

fn whose(bends: &[Reach], vents: &[Reach]) -> String {
    if let ([bend], [vent]) = (bends, vents) && bend.id == vent.id {
        return format!("the base bend and the vent fitting of {}", bend.id);
    }
    let bends = match bends {
        [] => None,
        [one] => Some(format!("the base bend of {}", one.id)),
        several => Some(format!("the base bends of {} risers", several.len())),
    };
    let names: Vec<Id> = vents.iter().map(|reach| reach.id.clone()).collect();
    let vents = match names.as_slice() {
        [] => None,
        [one] => Some(format!("the vent fitting of {one}")),
        [_, _] | [_, _, _] => Some(format!("the vent fittings of {}", words::names(&names))),
        several => Some(format!("the vent fittings of {} fixtures", several.len())),
    };
    let both: Vec<String> = bends.into_iter().chain(vents).collect();
    both.join(" and ")
}

fn into(slab: &Slab, at: DVec3) -> Option<f64> {
    let into = at.z - fittings::cover_over(slab, at.truncate());
    (into > LAID && crate::geometry::inside(&slab.outline, at.truncate())).then_some(into)
}

fn base_bends(case: &Case, slab: &Slab) -> Vec<Reach> {
    let runs = case.network.trees.iter().zip(case.grades).flat_map(|(tree, lines)| tree.runs.iter().zip(&lines.lines));
    let reach = |(run, line): (&Run, &grades::Line)| {
        let (id, up) = hub(case, run)?;
        let at = run.path.inlet().extend(line.inlet + up);
        Some(Reach { id: id.clone(), into: into(slab, at)?, at })
    };
    runs.filter_map(reach).collect()
}

/// The bends under what a vent comes up by, and those of an island's loop, by fixture: the highest of each. What lies is
/// judged with the pipes.
fn vent_fittings(case: &Case, slab: &Slab) -> Vec<Reach> {
    let mut of: BTreeMap<&Id, Reach> = BTreeMap::new();
    let bodies = case.scene.pipes.iter().filter(|body| body.part == Part::Fitting && body.flow == Flow::Vent);
    for (body, tube) in bodies.flat_map(|body| body.tubes.iter().map(move |tube| (body, tube))) {
        let Some(at) = top(tube) else { continue };
        let Some(into) = into(slab, at) else { continue };
        let reach = Reach { id: body.id.clone(), into, at };
        match of.get_mut(&body.id) {
            Some(held) if held.into >= into => {}
            Some(held) => *held = reach,
            None => {
                of.insert(&body.id, reach);
            }
        }
    }
    of.into_values().collect()
}

/// The highest point of a tube that stands at 45 degrees or steeper.
fn top(tube: &Tube) -> Option<DVec3> {
    let along = tube.b - tube.a;
    let (rise, run) = (along.z.abs(), along.truncate().length());
    let end = if tube.a.z > tube.b.z { tube.a } else { tube.b };
    (rise > run - units::SAME_LENGTH).then(|| end.with_z(tube.top()))
}

/// The stub a run starts at, and its base bend's hub over the run's invert.
fn hub<'a>(case: &Case<'a>, run: &Run) -> Option<(&'a Id, f64)> {
    let (id, size) = match run.start {
        Start::Fixture(f) => {
            let fixture = &case.layout.fixtures[f];
            let upright = !matches!(fixture.trap, TrapPlace::UnderSlab { .. });
            (upright.then_some(&fixture.id)?, run.inlet_size())
        }
        Start::Cleanout(c) => (&case.layout.cleanouts[c].id, run.inlet_size()),
        Start::Bare => return None,
    };
    let bend = case.catalog.get(Pattern::QuarterBendLongTurn, Sizes::one(size))?;
    let up = bend.end(EndName::Inlet)?.take_off.value;
    let pipe = case.catalog.pipe(size);
    Some((id, pipe.id() / 2.0 + up + pipe.socket_depth.value))
}
