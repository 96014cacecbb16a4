//! `crown-in-slab`: a pipe's crown in the slab's layers, or nearer to them than the gap that is kept, zone by zone.
//!
//! Concrete, foam and sheet must be clear; gravel and sand are not cover, a pipe may lie in them. In the layers fails;
//! short of the gap is a note, since the gap is the layout's own wish (2 in unless told), not a code's. A town that keeps pipes
//! out of the gravel says so by an amendment. Source: geometry; practice row `pipe-in-gravel`.
//! Mend: start lower, or a thinner build-up there.

use std::collections::BTreeMap;

use codes::{RuleId, Value};
use glam::DVec3;
use layout::{Material, Slab};
use scene::{Flow, Part, PipeBody, Tube};
use units::Id;

use crate::{Case, Finding, Source, Verdict, ground::least_under_floor, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "crown-in-slab",
    about: "Every pipe lies below the slab's concrete, foam and sheet, zone by zone, with the gap asked for.",
    check,
};

/// Pipe is laid to a sixteenth: so much less than the gap asked for is no less. (The pipe into a trap reaches a hair
/// higher than the run's own upper end.)
const LAID: f64 = 1.0 / 16.0;

fn check(case: &Case) -> Vec<Finding> {
    let Some(slab) = &case.layout.slab else { return Vec::new() };
    let mut found = case.alike(RULE.id, || in_the_layers(case, slab));
    found.extend(in_gravel(case, slab));
    found
}

/// Pipes in the slab's layers, or too near under them; the worst place each.
fn in_the_layers(case: &Case, slab: &Slab) -> Vec<Finding> {
    let lowest = lowest_underside(slab);
    let mut least: BTreeMap<&Id, Room> = BTreeMap::new();
    for body in &case.scene.pipes {
        let Some(here) = nearest(slab, lowest, body) else { continue };
        let held = least.entry(&body.id).or_insert(here);
        *held = held.nearer(here);
    }
    least.iter().filter_map(|(id, near)| told(id, near.left, near.want, near.at)).collect()
}

/// Room under the slab's layers, what it should be, and where.
#[derive(Clone, Copy)]
struct Room {
    left: f64,
    want: f64,
    at: DVec3,
}

impl Room {
    /// The one that is shorter of what it should be; this one of two alike.
    fn nearer(self, other: Self) -> Self {
        if other.left - other.want < self.left - self.want { other } else { self }
    }
}

/// The level of the lowest concrete, foam or sheet of all zones.
fn lowest_underside(slab: &Slab) -> f64 {
    let zones = slab.zones.iter().map(|zone| fittings::lowest_cover(&zone.layers, -zone.drop));
    zones.fold(fittings::lowest_cover(&slab.layers, 0.0), f64::min)
}

/// Where a body comes nearest to the slab's layers; tubes so deep that they keep their gap under any zone are passed over.
fn nearest(slab: &Slab, lowest: f64, body: &PipeBody) -> Option<Room> {
    let rooms = body.tubes.iter().filter_map(|tube| {
        let want = wanted(slab, body, tube)?;
        if tube.a.z.max(tube.b.z) + tube.radius <= lowest - want {
            return None;
        }
        let (left, at) = least_under_floor(slab, tube)?;
        Some(Room { left, want, at })
    });
    rooms.reduce(Room::nearer)
}

/// Drains whose crown is over the underside of the gravel, where the town wants them below it; the worst place each.
fn in_gravel(case: &Case, slab: &Slab) -> Vec<Finding> {
    let barred = case.rules.row(RuleId::PipeInGravel).filter(|row| row.value == Value::No);
    let Some(row) = barred else { return Vec::new() };
    let mut worst: BTreeMap<&Id, (f64, DVec3)> = BTreeMap::new();
    let drains = case.scene.pipes.iter().filter(|body| body.part == Part::Pipe && body.flow == Flow::Drain);
    for (body, tube) in drains.flat_map(|body| body.tubes.iter().map(move |tube| (body, tube))) {
        for end in [tube.a, tube.b] {
            let crown = end + DVec3::Z * tube.radius;
            let Some(into) = gravel_bottom(slab, end).map(|bottom| crown.z - bottom).filter(|into| *into > 1e-4) else { continue };
            let held = worst.entry(&body.id).or_insert((into, crown));
            if into > held.0 {
                *held = (into, crown);
            }
        }
    }
    let source = Source::row(row);
    worst.iter().map(|(id, (into, at))| {
        let says = format!("{id} lies {} up in the gravel, and the town wants it below: start it that much lower", words::inches(*into));
        Finding::new(RULE.id, source.breach(), vec![(*id).clone()], *at, source.clone(), says).inches(-into, 0.0)
    }).collect()
}

/// The underside of the lowest gravel at a place under the floor.
fn gravel_bottom(slab: &Slab, at: DVec3) -> Option<f64> {
    if !crate::geometry::inside(&slab.outline, at.truncate()) {
        return None;
    }
    let (surface, layers) = fittings::surface_at(slab, at.truncate());
    let last = layers.iter().rposition(|layer| layer.material == Material::Gravel)?;
    Some(surface - layers[..=last].iter().map(|layer| layer.thickness).sum::<f64>())
}

/// The gap a tube must keep: the slab's own for pipe, none for hubs, vents and services; `None` for what stands up.
fn wanted(slab: &Slab, body: &PipeBody, tube: &Tube) -> Option<f64> {
    let run = tube.a.truncate().distance(tube.b.truncate());
    let lies = (tube.a.z - tube.b.z).abs() <= run / 2.0 && run > units::SAME_LENGTH;
    let want = match (body.part, body.flow) {
        (Part::Sleeve, _) => return None,
        (Part::Pipe, Flow::Drain) => slab.gap,
        (Part::Pipe | Part::Fitting | Part::Riser | Part::Trap | Part::Cleanout, _) => 0.0,
    };
    lies.then_some(want)
}

fn told(id: &Id, room: f64, want: f64, at: DVec3) -> Option<Finding> {
    let place = || words::place(at.truncate());
    let (verdict, says) = if room < -1e-4 {
        let says = format!("the crown of {id} is {} up in the slab at {}; lower it", words::inches(-room), place());
        (Verdict::Fails, says)
    } else if room < want - LAID {
        let says = format!(
            "{id} is {} below the slab at {}, not the {} asked for", words::inches(room), place(), words::inches(want),
        );
        (Verdict::Note, says)
    } else {
        return None;
    };
    Some(Finding::new(RULE.id, verdict, vec![id.clone()], at, Source::geometry(), says).inches(room, want))
}
