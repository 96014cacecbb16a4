//! An assembly that stands off as one: it was glued together right and set wrong, all of it slid by one vector or turned
//! about the joint it is pushed home by. One cause, one next act, and the play that is left in that joint.

use catalog::EndName;
use fittings::GlueJoint;
use glam::{DVec2, DVec3};
use takeoff::{Bench, Shop, Takeoff};
use units::Id;

use super::{Cause, StubRead, Why};
use crate::{
    book::What,
    glued::glued_pieces,
    plan::Plan,
    say::{inches, moved, names},
};

/// Stubs of one assembly that are off alike keep this near to each other, inches: tape, and the play of a few joints.
const ALIKE: f64 = 0.3;
/// Less than this is not looked into, inches.
const LEAST: f64 = 0.3;
/// A turn shows when the farthest stub moves this much, inches.
const TURN: f64 = 0.5;
/// How much of its hub's depth a dry pipe stops short, at most: an interference fit goes home a third to two thirds by
/// hand (common practice, no source).
const SHORT: f64 = 2.0 / 3.0;

/// The joint an assembly is set by.
#[derive(Clone, PartialEq, Debug)]
pub struct DryJoint {
    /// What it is pushed into.
    pub into: Id,
    /// Whether it is glued already.
    pub glued: bool,
    /// How far a dry pipe may still be pushed home in it, inches, at most.
    pub play: f64,
    /// How far the assembly wants to go into it, inches; negative out of it.
    pub wants: f64,
    /// The label of the piece nearest to it whose length can be changed; empty when there is none.
    pub piece: String,
}

/// Assemblies of which every measured stub (two at least) is off alike, and no measured stub of another is.
pub(super) fn causes(plan: Plan, stubs: &[StubRead]) -> Vec<Cause> {
    let sure: Vec<&StubRead> = stubs.iter().filter(|read| !read.unsure).collect();
    if sure
        .iter()
        .filter(|read| read.off().length() > LEAST)
        .count()
        < 2
    {
        return Vec::new();
    }
    let outcome = plan.outcome;
    let take = takeoff::take(
        &outcome.layout,
        &outcome.assembly,
        &outcome.catalog,
        &Shop::default(),
    );
    let benches = take.order.iter().enumerate();
    benches
        .filter_map(|(number, bench)| {
            let (own, others): (Vec<&StubRead>, Vec<&StubRead>) = sure
                .iter()
                .copied()
                .partition(|read| is_on(plan, bench, read));
            cause(plan, &take, (number, bench), &own, &others)
        })
        .collect()
}

/// Whether a stub's last piece belongs to an assembly.
fn is_on(plan: Plan, bench: &Bench, read: &StubRead) -> bool {
    let closures = &plan.outcome.assembly.closures;
    let own = closures
        .iter()
        .find(|closure| closure.of.name(&closure.id) == read.id);
    own.is_some_and(|closure| bench.pieces.contains(&closure.piece))
}

fn cause(
    plan: Plan,
    take: &Takeoff,
    (number, bench): (usize, &Bench),
    own: &[&StubRead],
    others: &[&StubRead],
) -> Option<Cause> {
    if own.len() < 2 {
        return None;
    }
    let by = own.iter().map(|read| read.off()).sum::<DVec2>() / own.len() as f64;
    let alike = |off: DVec2, read: &StubRead| read.off().distance(off) <= ALIKE + read.doubt;
    let slid = by.length() > LEAST && own.iter().all(|read| alike(by, read));
    // What others are off by as well did not begin in this assembly.
    if slid && others.iter().any(|read| alike(by, read)) {
        return None;
    }
    let joint = bench.home.map(|joint| plan.outcome.assembly.joints[joint]);
    let at = joint.and_then(|joint| mouth(plan, &joint));
    let degrees = match at {
        Some((pivot, _)) if !slid => Some(turned(pivot, own)?),
        Some(_) | None => None,
    };
    if !slid && degrees.is_none() {
        return None;
    }
    let set_by = joint.zip(at).map(|(joint, (_, outward))| DryJoint {
        into: plan.outcome.assembly.pieces[joint.near.0].id.clone(),
        glued: is_glued(plan, bench, &joint),
        play: SHORT * plan.outcome.catalog.pipe(joint.size).socket_depth.value,
        wants: by.dot(outward),
        piece: first_pipe(take, bench),
    });
    Some(Cause {
        stubs: own.iter().map(|read| read.id.clone()).collect(),
        why: Why::Assembly {
            number: number + 1,
            by,
            degrees,
            joint: set_by,
        },
    })
}

/// Where an assembly's joint is in plan, and the way out of it.
fn mouth(plan: Plan, joint: &GlueJoint) -> Option<(DVec2, DVec2)> {
    let (piece, end): (usize, EndName) = joint.near;
    let piece = &plan.outcome.assembly.pieces[piece];
    let (stop, outward) = piece.end(end, &plan.outcome.catalog)?;
    let turned = |v: DVec3| piece.frame.turned(v.to_array());
    let at = piece.frame.at + turned(stop);
    Some((
        at.truncate(),
        turned(outward).truncate().normalize_or_zero(),
    ))
}

/// Degrees counter-clockwise about a pivot that explain where all stubs stand; `None` where they do not.
fn turned(pivot: DVec2, own: &[&StubRead]) -> Option<f64> {
    let arm = |read: &StubRead| (read.planned - pivot).perp();
    let square: f64 = own.iter().map(|read| arm(read).length_squared()).sum();
    let along: f64 = own.iter().map(|read| arm(read).dot(read.off())).sum();
    let radians = (square > 1.0).then(|| along / square)?;
    let explains =
        |read: &&StubRead| (arm(read) * radians).distance(read.off()) <= ALIKE + read.doubt;
    let most = own.iter().map(|read| arm(read).length() * radians.abs());
    (most.fold(0.0, f64::max) >= TURN && own.iter().all(explains)).then(|| radians.to_degrees())
}

/// The joint that is left dry to the last is glued when the test was made.
fn is_glued(plan: Plan, bench: &Bench, joint: &GlueJoint) -> bool {
    let tested = plan
        .book
        .latest(&"test".into(), |what| matches!(what, What::Done));
    let glued = glued_pieces(plan.outcome, plan.book);
    glued.contains(&joint.far.0) && (!bench.last || tested.is_some())
}

fn first_pipe(take: &Takeoff, bench: &Bench) -> String {
    let cut = |piece: &usize| take.cuts.iter().find(|cut| cut.piece == *piece);
    let first = bench.pieces.iter().find_map(cut);
    first.map_or(String::new(), |cut| cut.label.clone())
}

/// What it is, and what to do.
pub(super) fn words(
    stubs: &[Id],
    (number, by, degrees): (usize, DVec2, Option<f64>),
    joint: Option<&DryJoint>,
) -> (String, String) {
    let who = names(stubs);
    let both = if stubs.len() == 2 { "both" } else { "all" };
    let says = match degrees {
        None => format!(
            "assembly {number} stands {} of where it should, {who} {both} by the same: it was set off as one, nothing in it is wrong",
            moved(by)
        ),
        Some(degrees) => format!(
            "assembly {number} is turned {} about its joint, {who} {both} with it: it was set off as one, nothing in it is wrong",
            clockwise(degrees)
        ),
    };
    (says, next(number, by, degrees, joint))
}

fn clockwise(degrees: f64) -> &'static str {
    if degrees > 0.0 {
        "counter-clockwise"
    } else {
        "clockwise"
    }
}

fn next(number: usize, by: DVec2, degrees: Option<f64>, joint: Option<&DryJoint>) -> String {
    let set = match degrees {
        None => format!("{} as one", moved(-by)),
        Some(degrees) => format!(
            "back {} as one until its farthest stub stands",
            clockwise(-degrees)
        ),
    };
    let Some(joint) = joint else {
        return format!("set assembly {number} {set}, then measure its stubs again");
    };
    let into = &joint.into;
    if joint.glued {
        return format!(
            "its joint to {into} is glued and has no play: saw the pipe once beside that joint, set the assembly {set}, and close it with a coupling"
        );
    }
    let wants = inches(joint.wants);
    let room = if degrees.is_some() || joint.wants.abs() < 0.125 {
        String::new()
    } else if joint.wants < 0.0 {
        let cut = if joint.piece.is_empty() {
            String::new()
        } else {
            format!("; if it is home, cut {} {wants} longer", joint.piece)
        };
        format!(
            "; that draws it {wants} out of the joint, which must be full home when it is glued{cut}"
        )
    } else if joint.wants <= joint.play {
        format!(
            "; that is {wants} into the joint, where a dry pipe stops up to {} short: push it home",
            inches(joint.play)
        )
    } else {
        format!(
            "; that is {wants} into the joint, which takes {} at most: cut {} shorter by the rest",
            inches(joint.play),
            joint.piece
        )
    };
    format!("before its joint to {into} is glued, set assembly {number} {set}{room}")
}
