//! Two branches that come into a run from opposite sides at nearly one place, as those of back-to-back fixtures do: where
//! two single wyes one behind the other have no room, one double wye takes both.
//!
//! A double wye lies level, its branches left and right at 45 degrees. A branch under 45 degrees goes straight into it, one
//! under more by a bend whose arm is as long as it must be for both to share the wye's centre: with `s` the station where
//! the axes cross, `L` the arm and `p` the plan angle, the centre lies at `s - L sin(p - 45) / sin p`. The wye being level,
//! a branch that falls at its grade comes to its bend lower than its own line by the arm's share of that grade (some 1/10
//! in), and its first pipe falls so much more. Upright double fittings, for back-to-back fixtures on one riser, stand in
//! walls and are not laid here.

use catalog::{Catalog, EndName, Part, Pattern, Sizes};
use codes::Rules;
use glam::DVec3;
use network::{Join, Run, Side, Start, Tree};
use std::collections::BTreeSet;
use units::{SAME_LENGTH, Size};

use crate::{
    arm,
    lay::HOME,
    place::AT_THE_END,
    turn::{self, Made},
};

/// A plan length this near is met, inches.
const MET: f64 = 1.0 / 64.0;

/// Two branches that a double wye takes.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Double {
    /// The run they come into.
    pub(crate) parent: usize,
    /// The wye.
    pub(crate) part: Part,
    /// Station of its centre on the run.
    pub(crate) station: f64,
    /// The branches, the left one first, looking downstream.
    pub(crate) arms: [DoubleArm; 2],
}

/// One branch of it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct DoubleArm {
    /// The run that comes in.
    pub(crate) child: usize,
    /// From the wye's centre to the centre of the bend behind it; `None` where the branch goes straight into its hub.
    pub(crate) length: Option<f64>,
    /// The bend sits in the hub by a street end.
    pub(crate) street: bool,
}

/// Every pair of branches of a tree that needs a double wye and can have one, by the run they come into.
pub(crate) fn doubles(catalog: &Catalog, rules: &Rules, tree: &Tree) -> Vec<Double> {
    let mut comers: Vec<Comer> = opposed(tree)
        .into_iter()
        .filter_map(|child| Comer::of(catalog, rules, tree, child))
        .collect();
    comers.sort_by(|a, b| a.parent.cmp(&b.parent).then(a.single.total_cmp(&b.single)));
    let mut out: Vec<Double> = Vec::new();
    let mut taken = false;
    for pair in comers.windows(2) {
        // A branch that the pair before this one took has its hub.
        let found = (!taken).then(|| double(catalog, tree, &pair[0], &pair[1]));
        let found = found.flatten();
        taken = found.is_some();
        out.extend(found);
    }
    out
}

/// Two wyes whose branches cross their run farther apart than this never want the same place, inches: more than the arms and
/// the legs of the largest. Only spares looking at the others.
const FAR: f64 = 60.0;

/// The branches that have another on the other side of their run, not far off.
fn opposed(tree: &Tree) -> BTreeSet<usize> {
    let joins = tree.runs.iter().enumerate();
    let mut joins: Vec<(usize, Join)> = joins
        .filter_map(|(child, run)| Some((child, run.join?)))
        .collect();
    joins.sort_by(|(_, a), (_, b)| a.parent.cmp(&b.parent).then(a.at.total_cmp(&b.at)));
    let mut out = BTreeSet::new();
    for (i, (child, join)) in joins.iter().enumerate() {
        let near =
            |(_, other): &&(usize, Join)| other.parent == join.parent && other.at - join.at < FAR;
        let others = joins[i + 1..].iter().take_while(near);
        for (other, _) in others.filter(|(_, other)| other.side != join.side) {
            out.extend([*child, *other]);
        }
    }
    out
}

/// A branch that comes in flat.
struct Comer {
    child: usize,
    parent: usize,
    side: Side,
    /// Where the axes cross, station on the parent.
    at: f64,
    plan: f64,
    size: Size,
    into: Size,
    /// The bend behind its wye.
    bend: Option<Pattern>,
    /// The wye it would have by itself, and the station of its centre.
    wye: Part,
    single: f64,
}

impl Comer {
    fn of(catalog: &Catalog, rules: &Rules, tree: &Tree, child: usize) -> Option<Self> {
        let run = &tree.runs[child];
        let join = run.join?;
        let parent = &tree.runs[join.parent];
        let carries_on = parent.start == Start::Bare && join.at > parent.path.length() - AT_THE_END;
        if carries_on || run.path.length() < SAME_LENGTH {
            return None;
        }
        let (size, plan) = (run.outlet_size(), join.angle_deg);
        let bends = behind(catalog, rules, size, plan)?;
        let wye = arm::wye(catalog, parent.size_at(join.at), size)?;
        let (f, up) = (way(parent, join.at), -way(run, 0.0));
        let stands = Some(&bends[..]).filter(|bends| !bends.is_empty());
        let alone = arm::flat(catalog, wye, size, f, up, DVec3::ZERO, stands);
        Some(Self {
            child,
            parent: join.parent,
            side: join.side,
            at: join.at,
            plan,
            size,
            into: parent.size_at(join.at),
            bend: bends.first().copied(),
            wye,
            single: join.at - alone.shift,
        })
    }

    /// Inches that the wye's centre moves downstream for each inch of arm.
    fn per_inch(&self) -> f64 {
        let plan = self.plan.to_radians();
        (plan - std::f64::consts::FRAC_PI_4).sin() / plan.sin()
    }

    /// Arms behind this wye: that of a street bend, where there is one, and the least with a pipe in it.
    fn arms(&self, catalog: &Catalog, wye: Part, bend: Pattern) -> (Option<f64>, f64) {
        let leg = arm::branch_leg(catalog, wye, self.size);
        let street = turn::street(catalog, bend, self.size)
            .filter(|_| wye.sizes.branch == Some(self.size))
            .map(|part| leg + turn::take_off(catalog, part.pattern, self.size, EndName::Outlet));
        (street, arm::least_arm(catalog, wye, self.size, bend))
    }

    /// Stations downstream of which, or at which, the wye's centre may lie.
    fn stations(&self, catalog: &Catalog, wye: Part) -> (Option<f64>, Option<f64>) {
        let Some(bend) = self.bend else {
            return (Some(self.at), None);
        };
        let (street, least) = self.arms(catalog, wye, bend);
        let at = |arm: f64| self.at - arm * self.per_inch();
        (street.map(at), Some(at(least)))
    }

    /// Its arm behind a wye at this station, if there is one.
    fn arm_at(&self, catalog: &Catalog, wye: Part, station: f64) -> Option<DoubleArm> {
        let arm = |length, street| DoubleArm {
            child: self.child,
            length,
            street,
        };
        let (just, at_most) = self.stations(catalog, wye);
        let is_just = just.is_some_and(|just| (just - station).abs() <= MET);
        let Some(bend) = self.bend else {
            return is_just.then(|| arm(None, false));
        };
        let (street, _) = self.arms(catalog, wye, bend);
        if is_just {
            return Some(arm(street, true));
        }
        at_most
            .filter(|most| station <= most + SAME_LENGTH)
            .map(|_| arm(Some((self.at - station) / self.per_inch()), false))
    }
}

fn way(run: &Run, station: f64) -> DVec3 {
    run.path.direction_at(station).extend(0.0)
}

/// What stands behind a flat wye for a branch under this plan angle: nothing at 45 degrees, one bend above it; `None` for an
/// angle that takes more.
fn behind(catalog: &Catalog, rules: &Rules, size: Size, plan: f64) -> Option<Vec<Pattern>> {
    match turn::behind_flat(catalog, rules, size, plan) {
        Made::Straight => Some(Vec::new()),
        Made::Bends(bends) => (bends.len() == 1 && plan > 45.0 && plan < 170.0).then_some(bends),
        Made::Nothing { .. } => None,
    }
}

/// The smallest double wye made that takes both branches; the smaller may then need a bushing.
fn wye(catalog: &Catalog, run: Size, branch: Size) -> Option<Part> {
    let part = |b| Part::new(Pattern::DoubleWye, Sizes::branched(run, b));
    let made = |part: &Part| catalog.get(part.pattern, part.sizes).is_some();
    let sizes = Size::ALL.into_iter();
    let mut parts = sizes.filter(|b| *b >= branch && *b <= run).map(part);
    parts.find(made)
}

/// Whether two single wyes, the second upstream, stand too near to each other for pipe or a street end between them.
fn clash(catalog: &Catalog, down: &Comer, up: &Comer) -> bool {
    let leg = |part: Part, name| {
        let fitting = catalog.get(part.pattern, part.sizes);
        fitting.and_then(|fitting| fitting.end(name).map(|end| end.take_off.value))
    };
    let apart = up.single - down.single;
    let inlet = leg(down.wye, EndName::Inlet).unwrap_or(0.0);
    let outlet = leg(up.wye, EndName::Outlet).unwrap_or(0.0);
    let pipe = inlet + outlet + catalog.pipe(down.into).shortest_piece();
    let street = Part::new(Pattern::WyeStreet, up.wye.sizes);
    let tip = leg(street, EndName::Outlet);
    let home = tip.is_some_and(|tip| (apart - inlet - tip).abs() <= HOME);
    apart < pipe - MET && !home
}

fn double(catalog: &Catalog, tree: &Tree, down: &Comer, up: &Comer) -> Option<Double> {
    let parent = &tree.runs[down.parent];
    let one_place = down.parent == up.parent
        && down.into == up.into
        && way(parent, down.at).dot(way(parent, up.at)) > 1.0 - 1e-9;
    if !one_place || down.side == up.side || !clash(catalog, down, up) {
        return None;
    }
    let part = wye(catalog, down.into, down.size.max(up.size))?;
    let (a, b) = (down.stations(catalog, part), up.stations(catalog, part));
    let both = a.1.zip(b.1).map(|(a, b)| a.min(b));
    let mut stations: Vec<f64> = [a.0, b.0, both].into_iter().flatten().collect();
    // The shortest arms first.
    stations.sort_by(|a, b| b.total_cmp(a));
    stations.into_iter().find_map(|station| {
        let arm = |comer: &Comer| comer.arm_at(catalog, part, station);
        let (arms, there) = ([arm(down)?, arm(up)?], parent.size_at(station) == down.into);
        let arms = match down.side {
            Side::Left => arms,
            Side::Right => [arms[1], arms[0]],
        };
        there.then_some(Double {
            parent: down.parent,
            part,
            station,
            arms,
        })
    })
}
