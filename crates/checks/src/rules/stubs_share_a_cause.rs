//! `stubs-share-a-cause`: several stubs miss their landings in one and the same way, so one mistake moved them all.
//!
//! The same vector: dimensions taken from another face than was meant (stud for form). Right in a mirror: the plan was
//! turned over. Told once for all of them, in place of a finding each. Source: geometry. Mend: name the face, or take the
//! sheet of the right hand.

use std::collections::BTreeSet;

use fittings::Stub;
use glam::DVec2;

use crate::{
    Case, Finding, Source, Verdict,
    landing::{On, Seat, seat, seats},
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "stubs-share-a-cause",
    about: "Stubs that all miss by the same vector, or all land in a mirror, share one cause.",
    check,
};

/// Two offsets nearer than this are the same mistake: what a tape plays.
const SAME: f64 = 0.25;

/// One mistake that explains several stubs.
pub(super) struct Cause<'a> {
    stubs: Vec<&'a Stub>,
    what: What,
}

enum What {
    Shifted(DVec2),
    Mirrored(&'static str),
}

fn check(case: &Case) -> Vec<Finding> {
    let seats = seats(case);
    causes(case, &seats).iter().map(|cause| told(cause, &seats)).collect()
}

/// Whether one cause already tells of this stub's miss.
pub(super) fn explained(causes: &[Cause], stub: &Stub) -> bool {
    causes.iter().any(|cause| cause.stubs.iter().any(|one| std::ptr::eq(*one, stub)))
}

/// The causes of all misses that share one. A mirror is tried first: it explains offsets that differ.
pub(super) fn causes<'a>(case: &Case<'a>, seats: &[Seat<'a>]) -> Vec<Cause<'a>> {
    let mut missing: Vec<&Seat<'a>> = seats.iter().filter(|seat| seat.misses()).collect();
    let mut causes = shifts(&mut missing);
    for (name, turn) in mirrors(case) {
        let lands = |one: &&Seat<'a>| {
            let there = seat(case, one.stub, turn(one.stub.at));
            there.is_some_and(|seat| !Seat { stub: one.stub, seat }.misses())
        };
        let stubs: Vec<&Seat<'a>> = missing.iter().copied().filter(lands).collect();
        if several_landings(&stubs) {
            missing.retain(|one| !lands(one));
            let stubs = stubs.iter().map(|one| one.stub).collect();
            causes.push(Cause { stubs, what: What::Mirrored(name) });
        }
    }
    causes
}

type Turn = Box<dyn Fn(DVec2) -> DVec2>;

fn mirrors(case: &Case) -> Vec<(&'static str, Turn)> {
    let Some(slab) = &case.layout.slab else { return Vec::new() };
    let reach = slab.outline.iter().copied().fold(DVec2::ZERO, DVec2::max);
    vec![
        ("east for west", Box::new(move |p| DVec2::new(reach.x - p.x, p.y))),
        ("north for south", Box::new(move |p| DVec2::new(p.x, reach.y - p.y))),
    ]
}

/// Takes out of `missing` those in walls that are off by one vector, in at least two walls.
fn shifts<'a>(missing: &mut Vec<&Seat<'a>>) -> Vec<Cause<'a>> {
    let mut causes = Vec::new();
    let mut tried = BTreeSet::new();
    while let Some(first) = missing.iter().position(|one| offset(one).is_some() && !tried.contains(&key(one))) {
        tried.insert(key(missing[first]));
        let Some(by) = offset(missing[first]) else { break };
        let same = |one: &&Seat<'a>| offset(one).is_some_and(|off| off.distance(by) < SAME);
        let stubs: Vec<&Seat<'a>> = missing.iter().copied().filter(same).collect();
        if several_landings(&stubs) {
            missing.retain(|one| !same(one));
            causes.push(Cause { stubs: stubs.iter().map(|one| one.stub).collect(), what: What::Shifted(by) });
        }
    }
    causes
}

fn key(seat: &Seat) -> usize {
    std::ptr::from_ref(seat.stub) as usize
}

fn offset(seat: &Seat) -> Option<DVec2> {
    match &seat.seat {
        On::Wall(wall) => Some(wall.off),
        On::Cabinet(_) | On::BoxOut(_) | On::Floor => None,
    }
}

fn several_landings(stubs: &[&Seat]) -> bool {
    stubs.len() >= 2 && stubs.iter().any(|one| one.stub.landing != stubs[0].stub.landing)
}

fn told(cause: &Cause, seats: &[Seat]) -> Finding {
    let members: Vec<_> = cause.stubs.iter().map(|stub| stub.id.clone()).collect();
    let n = cause.stubs.len();
    let says = match cause.what {
        What::Shifted(by) => format!(
            "{n} of {} stubs, {}, stand {} {} of where they land, all by the same: as if dimensions were taken from \
             another face, stud for form or form for stud; find the face and move them together",
            seats.len(), words::names(&members), words::inches(by.length()), layout::compass(by),
        ),
        What::Mirrored(which) => format!(
            "{n} of {} stubs, {}, would land in the mirror: the plan was taken {which}",
            seats.len(), words::names(&members),
        ),
    };
    let at = cause.stubs[0].at.extend(cause.stubs[0].top);
    let finding = Finding::new(RULE.id, Verdict::Fails, members, at, Source::geometry(), says);
    match cause.what {
        What::Shifted(by) => finding.inches(by.length(), 0.0),
        What::Mirrored(_) => finding,
    }
}
