//! The glue-up: which pieces are joined on the bench, in which order the assemblies go into the trench, and how each
//! fitting is turned.
//!
//! The joints make a tree: every piece hangs on one nearer the exit. So whatever the assemblies, each is pushed home on one
//! joint and its other ends are free: there is never a closed loop or a piece between two fixed ends.

use catalog::{Catalog, EndName, Pattern};
use fittings::{Assembly, Flow, Piece, What};
use glam::DVec3;
use std::collections::{BTreeMap, BTreeSet};
use units::Size;

use crate::Shop;

/// What is glued on the bench and carried to the trench as one.
#[derive(Clone, PartialEq, Debug)]
pub struct Bench {
    /// Its pieces, indices into the assembly's, nearest the exit first.
    pub pieces: Vec<usize>,
    /// Joints made on the bench, indices into the assembly's.
    pub bench_joints: Vec<usize>,
    /// The joint by which it is pushed home in the trench; `None` for the first.
    pub home: Option<usize>,
    /// Left dry until everything else is glued: the adjuster.
    pub last: bool,
    /// Greatest distance between two ends of its pieces, inches.
    pub length: f64,
    /// Its weight as pipe, lb; fittings are weighed as their own length of pipe.
    pub weight: f64,
    /// People its trench joint needs.
    pub people: u32,
}

/// How a fitting is turned, as a clock seen from one of its ends.
#[derive(Clone, PartialEq, Debug)]
pub struct ClockMark {
    /// The piece.
    pub piece: usize,
    /// The end that points to the hour: a branch, or the inlet of a bend.
    pub end: EndName,
    /// The hour, to the quarter: 12 is up. For a fitting that stands upright 12 is north.
    pub hour: f64,
    /// The hour of the other branch of a double fitting.
    pub other_hour: Option<f64>,
    /// Seen looking upstream into its outlet; an upright one is seen from above.
    pub upright: bool,
    /// It stands with its outlet upstream, as the wye of a cleanout that cleans upstream: seen looking downstream into it.
    pub about: bool,
}

impl ClockMark {
    /// The mark in words: `branch at 10:30, looking upstream`; `branch at 9 o'clock, other branch at 3 o'clock, ...`.
    pub fn says(&self) -> String {
        let from = if self.upright {
            "from above, 12 is north"
        } else if self.about {
            "turned about, its outlet upstream: looking downstream into it, 12 is up"
        } else {
            "looking upstream, 12 is up"
        };
        let at = |end: EndName, hour| format!("{} at {}, ", end.word(), clock_words(hour));
        let other = self.other_hour.map(|hour| at(EndName::OtherBranch, hour));
        let branch = at(self.end, self.hour);
        format!("{branch}{}{from}", other.unwrap_or_default())
    }
}

/// An hour as it is said: `9 o'clock`, `10:30`.
fn clock_words(hour: f64) -> String {
    let whole = hour.floor();
    let quarters = ((hour - whole) * 4.0).round();
    if quarters == 0.0 {
        format!("{whole:.0} o'clock")
    } else {
        format!("{whole:.0}:{:.0}", quarters * 15.0)
    }
}

/// Cuts the tree of pieces into assemblies that can be carried, downstream first. Whichever joint couples the line outside
/// (or, without one, the first joint inside the wall) stays dry until last.
pub fn benches(assembly: &Assembly, catalog: &Catalog, shop: &Shop) -> Vec<Bench> {
    let mut home: Vec<Option<usize>> = vec![None; assembly.pieces.len()];
    for (j, joint) in assembly.joints.iter().enumerate() {
        home[joint.far.0] = Some(j);
    }
    let dry = adjusters(assembly);
    let is_pipe = |p: usize| assembly.pieces[p].part().is_none();
    let mut of: Vec<usize> = Vec::with_capacity(assembly.pieces.len());
    let mut out: Vec<Bench> = Vec::new();
    let mut ends: Vec<Vec<DVec3>> = Vec::new();
    let mut waits: Vec<bool> = Vec::new();
    for (p, piece) in assembly.pieces.iter().enumerate() {
        let (tips, weight) = (tips(piece, catalog), weight(piece, catalog));
        let joins = home[p].filter(|j| !dry.contains(j));
        let there = joins.map(|j| of[assembly.joints[j].near.0]);
        let fits = |b: &usize| {
            let stick = out[*b].pieces.len() == 1 && is_pipe(out[*b].pieces[0]);
            let light = out[*b].weight + weight <= shop.carry_weight
                && spread(&ends[*b], &tips) <= shop.carry_length;
            // A stick that is too long by itself takes the fitting on its end with it: none is handed out alone.
            light || stick && piece.part().is_some()
        };
        if let Some((b, j)) = there.filter(fits).zip(joins) {
            out[b].length = out[b].length.max(spread(&ends[b], &tips));
            out[b].weight += weight;
            out[b].pieces.push(p);
            out[b].bench_joints.push(j);
            ends[b].extend(tips);
            of.push(b);
            continue;
        }
        let last = home[p].is_some_and(|j| dry.contains(&j));
        let hangs = home[p].is_some_and(|j| waits[of[assembly.joints[j].near.0]]);
        waits.push(last || hangs);
        of.push(out.len());
        let size = home[p].map_or(Size::In2, |j| assembly.joints[j].size);
        out.push(Bench {
            pieces: vec![p],
            bench_joints: Vec::new(),
            home: home[p],
            last,
            length: spread(&[], &tips),
            weight,
            people: people(catalog, size),
        });
        ends.push(tips);
    }
    // Those that hang on the adjuster wait for it, in their order.
    let (after, first): (Vec<_>, Vec<_>) =
        out.into_iter().zip(waits).partition(|(_, waits)| *waits);
    first
        .into_iter()
        .chain(after)
        .map(|(bench, _)| bench)
        .collect()
}

/// The joint of each drain that stays dry until last.
fn adjusters(assembly: &Assembly) -> BTreeSet<usize> {
    let mut has_nearer = vec![false; assembly.pieces.len()];
    assembly
        .joints
        .iter()
        .for_each(|joint| has_nearer[joint.far.0] = true);
    let roots = (0..assembly.pieces.len()).filter(|p| !has_nearer[*p]);
    let mut at: BTreeMap<(usize, EndName), usize> = BTreeMap::new();
    for (j, joint) in assembly.joints.iter().enumerate() {
        at.entry(joint.near).or_insert(j);
    }
    let of = |root: usize, end| at.get(&(root, end)).copied();
    roots
        .filter_map(|root| of(root, EndName::Outlet).or_else(|| of(root, EndName::Inlet)))
        .collect()
}

/// People a joint needs (1 up to 2 in, 2 at 3 and 4 in, 3 at 6 in).
fn people(catalog: &Catalog, size: Size) -> u32 {
    // A small whole number out of a table.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let people = catalog.cement().people(size).value.round().clamp(1.0, 9.0) as u32;
    people
}

fn tips(piece: &Piece, catalog: &Catalog) -> Vec<DVec3> {
    let end = |name| {
        piece
            .end(name, catalog)
            .map(|(stop, _)| piece.frame.at + piece.frame.turned(stop.to_array()))
    };
    EndName::ALL.into_iter().filter_map(end).collect()
}

/// The greatest distance between the ends of what is there and of what comes.
fn spread(there: &[DVec3], comes: &[DVec3]) -> f64 {
    let all = there.iter().chain(comes);
    all.flat_map(|a| comes.iter().map(move |b| a.distance(*b)))
        .fold(0.0, f64::max)
}

fn weight(piece: &Piece, catalog: &Catalog) -> f64 {
    let per_inch = catalog.pipe(piece.size).weight / 12.0;
    let length = match &piece.what {
        What::Pipe(cut) => cut.value.max(0.0),
        What::Fitting(part) => catalog
            .find(part.pattern, part.sizes)
            .map_or(0.0, |fitting| {
                fitting.ends.iter().map(|end| end.reach().abs()).sum()
            }),
    };
    length * per_inch
}

/// The clock of every fitting that has one.
pub fn clock_marks(assembly: &Assembly, catalog: &Catalog) -> Vec<ClockMark> {
    let pieces = assembly.pieces.iter().enumerate();
    pieces
        .filter_map(|(p, piece)| clock(p, piece, catalog))
        .collect()
}

fn clock(p: usize, piece: &Piece, catalog: &Catalog) -> Option<ClockMark> {
    let part = piece.part()?;
    let end = match (part.pattern.has_branch(), part.pattern.turn_degrees()) {
        (true, _) => EndName::Branch,
        (false, Some(_)) => EndName::Inlet,
        (false, None) if part.pattern == Pattern::PTrap => EndName::Inlet,
        (false, None) => return None,
    };
    let view = -piece.frame.x;
    let upright = view.z.abs() > 0.8;
    let right = if upright {
        DVec3::X
    } else {
        view.cross(DVec3::Z).normalize_or_zero()
    };
    // Across the joint: of a pipe that climbs, the twelve of its end leans back with it.
    let up = if upright { DVec3::Y } else { right.cross(view) };
    let hour = |end| {
        let (_, outward) = piece.end(end, catalog)?;
        let way = piece.frame.turned(outward.to_array());
        let hour = way.dot(right).atan2(way.dot(up)).to_degrees() / 30.0;
        let hour = ((hour * 4.0).round() / 4.0).rem_euclid(12.0);
        Some(if hour < 1.0 { 12.0 + hour } else { hour })
    };
    Some(ClockMark {
        piece: p,
        end,
        hour: hour(end)?,
        other_hour: hour(EndName::OtherBranch),
        upright,
        // Drains fall: where its outlet looks up the line it stands the other way round.
        about: end == EndName::Branch
            && piece.flow == Flow::Drain
            && !upright
            && piece.frame.x.z > units::SAME_LENGTH,
    })
}
