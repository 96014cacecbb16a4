//! `crown-in-slab`: a pipe's crown in the slab's layers, or nearer to them than the gap that is kept, zone by zone.
//!
//! Concrete, foam and sheet must be clear; gravel and sand are not cover, a pipe may lie in them. In the layers fails;
//! short of the gap is a note, since the gap is the layout's own wish (2 in unless told), not a code's. Source: geometry.
//! Mend: start lower, or a thinner build-up there.

use std::collections::BTreeMap;

use glam::DVec3;
use layout::Slab;
use scene::{Flow, Part, PipeBody, Tube};
use units::Id;

use crate::{Case, Finding, Source, Verdict, ground::least_under_floor, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "crown-in-slab",
    about: "Every pipe lies below the slab's concrete, foam and sheet, zone by zone, with the gap asked for.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(slab) = &case.layout.slab else { return Vec::new() };
    let mut least: BTreeMap<&Id, (f64, f64, DVec3)> = BTreeMap::new();
    for (body, tube) in case.scene.pipes.iter().flat_map(|body| body.tubes.iter().map(move |t| (body, t))) {
        let Some(want) = wanted(slab, body, tube) else { continue };
        let Some((room, at)) = least_under_floor(slab, tube) else { continue };
        let held = least.entry(&body.id).or_insert((room, want, at));
        if room - want < held.0 - held.1 {
            *held = (room, want, at);
        }
    }
    least.iter().filter_map(|(id, (room, want, at))| told(id, *room, *want, *at)).collect()
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
    let place = words::place(at.truncate());
    let (verdict, says) = if room < -1e-4 {
        let says = format!("the crown of {id} is {} up in the slab at {place}; lower it", words::inches(-room));
        (Verdict::Fails, says)
    } else if room < want - 1e-4 {
        let says = format!(
            "{id} is {} below the slab at {place}, not the {} asked for", words::inches(room), words::inches(want),
        );
        (Verdict::Note, says)
    } else {
        return None;
    };
    Some(Finding::new(RULE.id, verdict, vec![id.clone()], at, Source::geometry(), says).inches(room, want))
}
