//! The two ways of making a branch that comes in above its run: the wye rolled and one bend behind it, as it is laid here,
//! or the wye flat and the branch lifted by two eighth bends. Both are told where both can be glued; which one is easier to
//! hold in a trench is seen there. What does not belong here: choosing (`fittings`).

use catalog::{Catalog, EndName, Part, Pattern, Sizes};
use fittings::{Assembly, Flow, TURN_PLAY_DEG};
use glam::DVec3;
use std::{collections::BTreeMap, f64::consts::SQRT_2};
use units::{Id, Size, inches_text};

/// A branch laid by a rolled wye that two eighth bends would lift as well.
#[derive(Clone, PartialEq, Debug)]
pub struct Ways {
    /// The branch.
    pub branch: Id,
    /// The wye, an index into the assembly's pieces.
    pub wye: usize,
    /// The bend behind it that lays the branch level, an index too.
    pub bend: usize,
    /// Size of the branch.
    pub size: Size,
    /// How far the branch is lifted above a flat join, inches.
    pub rise: f64,
    /// What sits in the wye's hub when it lies flat: a street eighth bend for a square branch, nothing for a slanting one.
    pub behind: Vec<Part>,
    /// Centre to centre of the two eighth bends, along the slanted pipe, inches.
    pub travel: f64,
    /// The pipe between their stops, inches.
    pub cut: f64,
}

impl Ways {
    /// The other way in words; `labels` are the pieces' own.
    pub fn says(&self, labels: &[String]) -> String {
        let behind: String = self
            .behind
            .iter()
            .map(|part| format!(" and a {part} in it"))
            .collect();
        format!(
            "{} can also be made with {} flat{behind}; two {} eighth bends in the branch, {} centre to centre with {} of pipe \
             between them, lift it {}; {} then falls away, and the branch's own pipe is cut again",
            self.branch,
            labels[self.wye],
            self.size,
            inches_text(self.travel, 16),
            inches_text(self.cut, 16),
            inches_text(self.rise, 16),
            labels[self.bend],
        )
    }
}

/// A wye rolled so little has no rise worth a second way: its arm's rise in an inch. Our choice.
const ROLLED: f64 = 0.15;

/// Every branch that can be made both ways, in the assembly's order.
pub fn two_ways(assembly: &Assembly, catalog: &Catalog) -> Vec<Ways> {
    let upstream: BTreeMap<_, _> = assembly
        .joints
        .iter()
        .map(|joint| (joint.near, joint.far))
        .collect();
    let wyes = assembly.joints.iter().filter(|joint| {
        let part = assembly.pieces[joint.near.0].part();
        let wye = part.is_some_and(|p| matches!(p.pattern, Pattern::Wye | Pattern::DoubleWye));
        wye && matches!(joint.near.1, EndName::Branch | EndName::OtherBranch)
    });
    wyes.filter_map(|joint| {
        let (bend, _) = *upstream.get(&(joint.far.0, EndName::Inlet))?;
        let (level, _) = *upstream.get(&(bend, EndName::Inlet))?;
        of(assembly, catalog, joint.near, [joint.far.0, bend, level])
    })
    .collect()
}

/// The other way of one branch: its arm, the bend behind it, and the pipe that goes on.
fn of(
    assembly: &Assembly,
    catalog: &Catalog,
    (wye, end): fittings::PieceEnd,
    [arm, bend, level]: [usize; 3],
) -> Option<Ways> {
    let pieces = &assembly.pieces;
    let (_, outward) = pieces[wye].end(end, catalog)?;
    let toward = pieces[wye].frame.turned(outward.to_array());
    let room = pieces[level].cut()?.value;
    let drain = pieces[level].flow == Flow::Drain && !pieces[level].riser;
    pieces[arm].cut()?;
    pieces[bend].part()?.pattern.turn_degrees()?;
    if toward.z < ROLLED || !drain {
        return None;
    }
    let size = pieces[level].size;
    let rise = apart(
        (pieces[wye].frame.at, pieces[wye].frame.x),
        (pieces[bend].frame.at, pieces[level].frame.x),
    )?;
    let behind = behind(catalog, pieces[wye].frame.x, -pieces[level].frame.x, size)?;
    let eighth = catalog.get(Pattern::EighthBend, Sizes::one(size))?;
    let leg = eighth.end(EndName::Inlet)?.take_off.value;
    let travel = rise * SQRT_2;
    let cut = travel - 2.0 * leg;
    let least = catalog.pipe(size).shortest_piece();
    let fits = cut >= least && room >= rise + 2.0 * leg + least;
    fits.then(|| Ways {
        branch: pieces[level].id.clone(),
        wye,
        bend,
        size,
        rise,
        behind,
        travel,
        cut,
    })
}

/// How far the second axis passes over the first where they cross in plan (each a point and its flow); `None` for axes that
/// run side by side.
fn apart((a, f): (DVec3, DVec3), (b, g): (DVec3, DVec3)) -> Option<f64> {
    let (along, across) = (f.truncate(), g.truncate());
    let lean = along.perp_dot(across);
    let off = (b - a).truncate();
    (lean.abs() > 0.05).then(|| {
        let on_a = off.perp_dot(across) / lean;
        let on_b = off.perp_dot(along) / lean;
        (b.z + on_b * g.z) - (a.z + on_a * f.z)
    })
}

/// What lies behind a flat wye for a branch from this side; `None` where nothing flat leads there.
fn behind(catalog: &Catalog, flow: DVec3, up: DVec3, size: Size) -> Option<Vec<Part>> {
    let plan = (-flow.truncate())
        .angle_to(up.truncate())
        .abs()
        .to_degrees();
    let street = Part::new(Pattern::EighthBendStreet, Sizes::one(size));
    if (plan - 45.0).abs() <= TURN_PLAY_DEG {
        Some(Vec::new())
    } else if (plan - 90.0).abs() <= TURN_PLAY_DEG
        && catalog.get(street.pattern, street.sizes).is_some()
    {
        Some(vec![street])
    } else {
        None
    }
}
