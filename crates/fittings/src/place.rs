//! Which chains a network is glued of: the runs with their joins, risers and traps, then vents, cleanouts and the lines
//! outside.

use catalog::{Catalog, Dim, EndName, How, Part, Pattern, Sizes};
use codes::{Rules, Turn, Use};
use glam::{DVec2, DVec3};
use grades::Grades;
use layout::{Cleans, FixtureKind, Layout, TrapPlace};
use network::{Network, Run, Start, Tree, VentLine};
use std::collections::BTreeMap;
use std::ops::Range;
use units::{Id, SAME_LENGTH, Size, inches_up};

use crate::{
    Assembly, Closure, Flow, GlueJoint, Piece, StubOf, TroubleKind, What,
    arm::{self, Arm},
    double::{self, Double},
    fit::{outward, over},
    lay::{Away, Laid, Layer, Make, Node, Open, Stand, Wait, Who},
    piece::{DRY_OPEN, JOINT_PLAY_DEG, JOINT_PLAY_IN, STAKED_FROM},
    solid::Root,
    turn::{self, Made},
    vent::{Crossing, Site, VentPlan, made_size},
    walk::{end_point, walk},
};

/// The pipe through the wall ends this many inches outside it, where the line outside is coupled on. Common practice, no source.
pub const OUTSIDE_STUB: f64 = 6.0;
/// A joint this near level is flat, inches.
const FLAT: f64 = 1.0 / 32.0;
/// A branch that comes into a bare end this near it carries the run on, inches.
pub(crate) const AT_THE_END: f64 = 6.0;
/// A take-off moved by more than this along its run is told, inches. Our choice.
const TOLD_MOVE: f64 = 6.0;

/// The pieces of some trees, laid: neighbours are put together by [`Placed::and`] and become bodies by [`crate::fit_placed`].
#[derive(Default)]
pub struct Placed {
    /// Pieces, joints, troubles and closures of these trees, and nothing else.
    pub(crate) assembly: Assembly,
    /// Whether a run's pieces were laid: `laid[tree][run]`, trees as in the network.
    pub(crate) laid: Vec<Vec<bool>>,
    /// The pipe through the wall of each tree that has one.
    pub(crate) roots: Vec<Root>,
    /// The last piece of each stub's chain.
    pub(crate) tips: BTreeMap<StubOf, usize>,
}

impl Placed {
    /// These trees and those that come next in the network.
    #[must_use]
    pub fn and(mut self, next: Self) -> Self {
        let before = self.assembly.pieces.len();
        let Assembly {
            pieces,
            joints,
            troubles,
            closures,
            ..
        } = next.assembly;
        self.assembly.pieces.extend(pieces);
        let joints = joints.into_iter().map(|joint| GlueJoint {
            near: (joint.near.0 + before, joint.near.1),
            far: (joint.far.0 + before, joint.far.1),
            ..joint
        });
        self.assembly.joints.extend(joints);
        self.assembly.troubles.extend(troubles);
        let closures = closures.into_iter().map(|closure| Closure {
            piece: closure.piece + before,
            ..closure
        });
        self.assembly.closures.extend(closures);
        self.laid.extend(next.laid);
        let roots = next.roots.into_iter().map(|root| Root {
            piece: root.piece + before,
            ..root
        });
        self.roots.extend(roots);
        let tips = next.tips.into_iter().map(|(of, tip)| (of, tip + before));
        self.tips.extend(tips);
        self
    }
}

/// Lays every piece of some trees of a network at the levels of their grade solutions (`grades[tree]`, in the network's order),
/// and walks them. No tree's pieces depend on those of another.
///
/// # Panics
/// When `grades` are fewer than the trees, or there are fewer trees than asked for.
pub fn place(
    network: &Network,
    grades: &[Grades],
    layout: &Layout,
    catalog: &Catalog,
    rules: &Rules,
    trees: Range<usize>,
) -> Placed {
    let layer = Layer {
        catalog,
        out: Laid::default(),
    };
    let mut placer = Placer {
        layout,
        catalog,
        rules,
        network,
        grades,
        layer,
        tips: Vec::new(),
        opens: BTreeMap::new(),
        arms: BTreeMap::new(),
        standing: Standing::of(network, layout),
        doubles: Vec::new(),
        laid: Vec::new(),
        roots: Vec::new(),
    };
    for t in trees {
        placer.tree(t, &network.trees[t], &grades[t]);
    }
    let Placer {
        layer,
        tips,
        laid,
        roots,
        ..
    } = placer;
    let mut assembly = Assembly {
        pieces: layer.out.pieces,
        joints: layer.out.joints,
        troubles: layer.out.troubles,
        ..Assembly::default()
    };
    assembly.closures = closures(&assembly, catalog, &tips);
    let tips = tips.iter().map(|tip| (tip.of, tip.end.0)).collect();
    Placed {
        assembly,
        laid,
        roots,
        tips,
    }
}

/// The last piece of a stub's chain.
struct Tip {
    id: Id,
    of: StubOf,
    want: DVec3,
    end: (usize, EndName),
}

struct Placer<'a> {
    layout: &'a Layout,
    catalog: &'a Catalog,
    rules: &'a Rules,
    network: &'a Network,
    grades: &'a [Grades],
    layer: Layer<'a>,
    tips: Vec<Tip>,
    /// Ends of the tree being laid that wait for a chain.
    opens: BTreeMap<Wait, Open>,
    /// The bend behind a cleanout's wye, until it is laid.
    arms: BTreeMap<usize, Arm>,
    standing: Standing,
    /// Double wyes of the tree being laid.
    doubles: Vec<Double>,
    /// Of the trees laid so far, the one in hand last.
    laid: Vec<Vec<bool>>,
    roots: Vec<Root>,
}

/// What stands on runs, found once; taken out as it is laid.
struct Standing {
    /// Vents by the tree and run they leave.
    vents: BTreeMap<(usize, usize), Vec<usize>>,
    /// Cleanouts by the run they are told on.
    cleanouts: BTreeMap<Id, Vec<usize>>,
    /// Cleanouts by the drain whose line outside they stand on.
    outside: BTreeMap<Id, Vec<usize>>,
}

impl Standing {
    fn of(network: &Network, layout: &Layout) -> Self {
        let mut standing = Self {
            vents: BTreeMap::new(),
            cleanouts: BTreeMap::new(),
            outside: BTreeMap::new(),
        };
        for (v, vent) in network.vents.iter().enumerate() {
            standing.vents.entry(vent.run).or_default().push(v);
        }
        for (c, cleanout) in layout.cleanouts.iter().enumerate() {
            if let Some(run) = &cleanout.on {
                let on = standing.cleanouts.entry(run.clone()).or_default();
                on.push(c);
            }
            if let Some(drain) = &cleanout.outside {
                let on = standing.outside.entry(drain.clone()).or_default();
                on.push(c);
            }
        }
        standing
    }
}

/// A node with its station along the run.
struct Stop {
    station: f64,
    node: Node,
}

impl Placer<'_> {
    fn tree(&mut self, t: usize, tree: &Tree, grades: &Grades) {
        self.opens.clear();
        self.doubles = double::doubles(self.catalog, self.rules, tree);
        let mut children: Vec<Vec<usize>> = vec![Vec::new(); tree.runs.len()];
        for (r, run) in tree.runs.iter().enumerate() {
            if let Some(join) = run.join {
                children[join.parent].push(r);
            }
        }
        let mut carried: BTreeMap<usize, Arm> = BTreeMap::new();
        let root = self.layer.out.pieces.len();
        self.laid.push(vec![false; tree.runs.len()]);
        for (r, run) in tree.runs.iter().enumerate() {
            self.run(t, r, tree, run, &children[r], &mut carried, grades);
        }
        if self.layer.out.pieces.len() > root {
            self.roots.push(Root {
                piece: root,
                drain: self.layout.drains[tree.drain].id.clone(),
                outside: OUTSIDE_STUB,
            });
        }
        self.outside(t, tree, grades, root);
        for wait in self.opens.keys().copied().collect::<Vec<_>>() {
            match wait {
                Wait::Vent(v) => self.vent(t, tree, v),
                Wait::Cleanout(c) => self.cleanout(c),
                Wait::Run(_) | Wait::Return(_) => {}
            }
        }
    }

    /// The axis of a run at a station; beyond its upstream end, on along its first leg.
    fn axis(&self, t: usize, r: usize, run: &Run, station: f64) -> DVec3 {
        let line = &self.grades[t].lines[r];
        let over = (station - run.path.length()).max(0.0);
        let plan = run.path.point_at(station) - run.path.direction_at(station) * over;
        plan.extend(
            line.level_at(station)
                + self
                    .catalog
                    .pipe(run.size_at(station - SAME_LENGTH * 2.0))
                    .id()
                    / 2.0,
        )
    }

    /// Flow of a run at a station, in space.
    fn flow(&self, t: usize, r: usize, run: &Run, station: f64) -> DVec3 {
        let slope = self.grades[t].lines[r].grade.in_per_ft() / 12.0;
        run.path
            .direction_at(station - SAME_LENGTH * 4.0)
            .extend(-slope)
            .normalize_or_zero()
    }

    #[allow(clippy::too_many_arguments)] // the tree's own state, split only for the borrow checker
    fn run(
        &mut self,
        t: usize,
        r: usize,
        tree: &Tree,
        run: &Run,
        children: &[usize],
        carried: &mut BTreeMap<usize, Arm>,
        grades: &Grades,
    ) {
        let who = Who {
            id: run.id.clone(),
            flow: Flow::Drain,
        };
        let entry = carried.remove(&r);
        let mut stops = self.corners(t, r, run, entry.as_ref(), &who);
        let on = Self::going_on(tree, run, children);
        let mut comers: Vec<usize> = children
            .iter()
            .copied()
            .filter(|c| Some(*c) != on)
            .collect();
        self.double_wyes((t, r), tree, &mut comers, carried, &mut stops);
        let foot = self.foot(t, r, run, entry.as_ref());
        for child in comers {
            let arm = self.join_arm(t, tree, child);
            if let Some(arm) = arm.filter(|arm| self.is_above(foot, run, &tree.runs[child], arm)) {
                self.stop_for(t, r, tree, run, child, &arm, &mut stops);
                carried.insert(child, arm);
            }
        }
        self.on_the_run(t, r, run, &mut stops);
        let falls = Some(grades.exit.drop).filter(|drop| run.join.is_none() && *drop > FLAT);
        let dropped = falls.map_or(0.0, |drop| self.drop_inside(t, run, drop, &mut stops));
        self.increasers(t, r, run, dropped, &mut stops);
        let open = if run.join.is_none() {
            Some(self.begin(t, r, run, grades))
        } else {
            self.opens.remove(&Wait::Run(r))
        };
        let Some(open) = open else { return };
        if let Some(laid) = self.laid.last_mut() {
            laid[r] = true;
        }
        stops.sort_by(|a, b| a.station.total_cmp(&b.station));
        let mut nodes: Vec<Node> = stops.into_iter().map(|stop| stop.node).collect();
        let ends = self.upstream_end(t, r, run, on.is_some(), &mut nodes);
        let first = self.layer.out.pieces.len();
        let (tail, waits) = self.layer.chain(&who, open, &nodes, ends);
        if let Some(join) = run.join.filter(|_| entry.is_none()) {
            self.of_the_run_below(first, &tree.runs[join.parent], run);
        }
        self.opens.extend(waits);
        match on {
            Some(child) => drop(self.opens.insert(Wait::Run(child), tail)),
            None => self.top(t, r, run, tail),
        }
    }

    /// The first pipe of a run that carries another on, and a bushing below it, bear the other's name where most of the pipe
    /// lies on the other's line.
    fn of_the_run_below(&mut self, first: usize, below: &Run, run: &Run) {
        let laid = &mut self.layer.out.pieces[first..];
        let bushing = |piece: &Piece| {
            piece
                .part()
                .is_some_and(|part| part.pattern == Pattern::FlushBushing)
        };
        let pipe = laid.iter().take_while(|piece| bushing(piece)).count();
        let Some((upper, piece)) = laid.get(pipe).and_then(|piece| {
            let long = piece.cut()?.value;
            Some((piece.frame.at - piece.frame.x * long, piece))
        }) else {
            return;
        };
        let ends = [piece.frame.at, upper];
        let [on_below, on_own] = ends.map(|end| end.truncate().distance(run.path.outlet()));
        if on_below > on_own {
            let named = laid.iter_mut().take(pipe + 1);
            named.for_each(|piece| piece.id = below.id.clone());
        }
    }

    /// The pipe through the wall, open at its outer end.
    fn begin(&self, t: usize, r: usize, run: &Run, grades: &Grades) -> Open {
        let flow = self.flow(t, r, run, 0.0);
        let exit = self.axis(t, r, run, 0.0) - DVec3::Z * grades.exit.drop;
        let at = exit + flow * OUTSIDE_STUB;
        Open {
            end: None,
            at,
            centre: at,
            size: run.outlet_size(),
            take_off: Dim::new(0.0, 0.0, How::Measured, ""),
        }
    }

    /// Bends at the corners of a run, and behind the wye it comes in by.
    fn corners(
        &mut self,
        t: usize,
        r: usize,
        run: &Run,
        entry: Option<&Arm>,
        who: &Who,
    ) -> Vec<Stop> {
        let length = run.path.length();
        let mut line: Vec<(f64, DVec3)> = Vec::new();
        let mut low = 0.0;
        let mut from = self.axis(t, r, run, 0.0) + self.flow(t, r, run, 0.0) * 12.0;
        let mut street = false;
        if let Some(arm) = entry {
            let crossing = self.axis(t, r, run, 0.0);
            if let Some(bend) = arm.bend {
                low = bend.truncate().distance(crossing.truncate());
                line.push((low, bend));
                from = bend - arm.toward * 12.0;
                street = arm.street;
            }
        }
        let carries_on = run.join.filter(|_| entry.is_none());
        if let Some(join) = carries_on {
            let parent = &self.network.trees[t].runs[join.parent];
            line.push((0.0, self.axis(t, r, run, 0.0)));
            from = line[0].1 + self.flow(t, join.parent, parent, join.at) * 12.0;
        }
        if length < SAME_LENGTH {
            // A riser straight down into the run: its bend looks up.
            let up = line.first().map_or(from, |(_, at)| *at) + DVec3::Z * 12.0;
            return self.bends(from, &line, up, (t, run), street, who);
        }
        let corners = run.path.stations().iter().rev();
        let inner = corners.filter(|s| **s > low + SAME_LENGTH && **s < length - SAME_LENGTH);
        let inner: Vec<f64> = inner.copied().collect();
        line.extend(inner.into_iter().map(|s| (s, self.axis(t, r, run, s))));
        let base = self
            .base(run)
            .then(|| (length, self.axis(t, r, run, length)));
        line.extend(base);
        let beyond = if base.is_some() {
            base.map_or(DVec3::ZERO, |b| b.1) + DVec3::Z * 48.0
        } else {
            self.axis(t, r, run, length)
        };
        self.bends(from, &line, beyond, (t, run), street, who)
    }

    /// Whether a riser stands on the run's upstream end by a bend.
    fn base(&self, run: &Run) -> bool {
        match run.start {
            Start::Fixture(f) => {
                !matches!(self.layout.fixtures[f].trap, TrapPlace::UnderSlab { .. })
            }
            Start::Cleanout(_) => true,
            Start::Bare => false,
        }
    }

    fn bends(
        &mut self,
        from: DVec3,
        line: &[(f64, DVec3)],
        beyond: DVec3,
        of: (usize, &Run),
        street: bool,
        who: &Who,
    ) -> Vec<Stop> {
        let mut stops = Vec::new();
        let mut before = from;
        for (i, (station, at)) in line.iter().enumerate() {
            let next = line.get(i + 1).map_or(beyond, |n| n.1);
            let first_street = street && i == 0;
            stops.extend(self.corner(before, *station, *at, next, of, first_street, who));
            before = *at;
        }
        stops
    }

    #[allow(clippy::too_many_arguments)] // a corner is its two legs, and who it is for
    fn corner(
        &mut self,
        before: DVec3,
        station: f64,
        at: DVec3,
        next: DVec3,
        (t, run): (usize, &Run),
        street: bool,
        who: &Who,
    ) -> Vec<Stop> {
        let (f, up) = (
            (before - at).normalize_or_zero(),
            (next - at).normalize_or_zero(),
        );
        let degrees = f.angle_between(-up).to_degrees();
        let size = self.size_there(t, run, station);
        let upright = up.z > 0.9 || f.z < -0.9;
        let turn = if upright {
            Turn::VerticalToHorizontal
        } else {
            Turn::HorizontalToHorizontal
        };
        let closet = matches!(run.start, Start::Fixture(i) if self.layout.fixtures[i].kind == FixtureKind::Closet);
        let used = Use {
            fixture_drain: run.fixtures.len() == 1,
            closet: closet && upright,
            ..Use::plain(size)
        };
        let node = |station, at, pattern, street| Stop {
            station,
            node: Node {
                at,
                make: Make::Bend { pattern, street },
                size,
                waits: Vec::new(),
            },
        };
        match turn::made(self.catalog, self.rules, size, degrees, turn, &used) {
            Made::Straight => self.straight_on(run, station, at, size),
            Made::Bends(bends) => match bends[..] {
                [one] => vec![node(station, at, one, street)],
                [a, b, ..] => {
                    let apart = turn::pair_apart(self.catalog, a, b, size);
                    let (x, y) = (arm::degrees(a).to_radians(), arm::degrees(b).to_radians());
                    let whole = (x + y).sin().abs().max(0.1);
                    let (lower, upper) = (apart * y.sin() / whole, apart * x.sin() / whole);
                    let hooked = turn::street(self.catalog, b, size).is_some();
                    vec![
                        node(station - lower, at + f * lower, a, street),
                        node(station + upper, at + up * upper, b, hooked),
                    ]
                }
                [] => Vec::new(),
            },
            Made::Nothing { nearest } => {
                let leg = before.distance(at).min(next.distance(at));
                let shift = leg * (degrees - nearest).abs().to_radians().sin();
                let says = format!("no {size} fittings make a turn of {degrees:.1} degrees");
                let would_do = format!(
                    "turn {nearest} degrees: the shorter leg's far end shifts {}",
                    units::inches_text(shift, 16)
                );
                self.layer.trouble(
                    who,
                    at,
                    TroubleKind::NoSuchTurn,
                    says,
                    &would_do,
                    (degrees, nearest),
                );
                Vec::new()
            }
        }
    }

    /// Size of a corner: where a run carries on another's bare end, the other's.
    fn size_there(&self, t: usize, run: &Run, station: f64) -> Size {
        let own = run.size_at(station - SAME_LENGTH * 4.0);
        let join = run.join.filter(|_| station == 0.0);
        let parent = join.map(|join| self.network.trees[t].runs[join.parent].inlet_size());
        parent.map_or(own, |size| size.max(own))
    }

    /// A run that carries another's bare end straight on in a smaller size begins with a reducing coupling.
    fn straight_on(&self, run: &Run, station: f64, at: DVec3, size: Size) -> Vec<Stop> {
        let part = Part::new(
            Pattern::ReducingCoupling,
            Sizes::reducing(size, run.outlet_size()),
        );
        let made = size > run.outlet_size() && self.catalog.get(part.pattern, part.sizes).is_some();
        let node = Node {
            at,
            make: Make::Fitting {
                part,
                toward: DVec3::Z,
            },
            size,
            waits: Vec::new(),
        };
        if station == 0.0 && run.join.is_some() && made {
            vec![Stop { station, node }]
        } else {
            Vec::new()
        }
    }

    /// The child that carries a bare-ended run on instead of joining it, if any.
    fn going_on(tree: &Tree, run: &Run, children: &[usize]) -> Option<usize> {
        let near_end = |c: &&usize| {
            tree.runs[**c]
                .join
                .is_some_and(|join| join.at > run.path.length() - AT_THE_END)
        };
        let bare = run.start == Start::Bare && run.path.length() > AT_THE_END * 2.0;
        children.iter().find(near_end).copied().filter(|_| bare)
    }

    /// How a child comes into its parent.
    fn join_arm(&mut self, t: usize, tree: &Tree, child: usize) -> Option<Arm> {
        let run = &tree.runs[child];
        let join = run.join?;
        let parent = &tree.runs[join.parent];
        let (into, branch) = (parent.size_at(join.at), run.outlet_size());
        let who = Who {
            id: run.id.clone(),
            flow: Flow::Drain,
        };
        let crossing = self.axis(t, join.parent, parent, join.at);
        let Some(wye) = arm::wye(self.catalog, into, branch) else {
            let says = format!("no wye takes a {branch} branch into {into} pipe");
            self.layer.trouble(
                &who,
                crossing,
                TroubleKind::NotMade,
                says,
                &self.sizes_that_join(into, branch),
                (branch.nominal(), into.nominal()),
            );
            return None;
        };
        let f = self.flow(t, join.parent, parent, join.at);
        let drops = run.path.length() < SAME_LENGTH;
        let up = if drops {
            DVec3::Z
        } else {
            -self.flow(t, child, run, 0.0)
        };
        let on = self.axis(t, child, run, 0.0);
        if drops || (on.z - crossing.z).abs() < FLAT {
            return self.flat_arm(&who, wye, branch, f, up, crossing);
        }
        self.rolled_arm(&who, wye, branch, f, up, crossing, on)
    }

    /// Which size of the run would take this branch, and which of the branch this run takes.
    fn sizes_that_join(&self, into: Size, branch: Size) -> String {
        let takes = |run: Size, branch: Size| arm::wye(self.catalog, run, branch).is_some();
        let mut larger = Size::ALL.into_iter().filter(|size| *size > into);
        let mut smaller = Size::ALL.into_iter().rev().filter(|size| *size < branch);
        let run = larger.find(|size| takes(*size, branch));
        let other = smaller.find(|size| takes(into, *size));
        match (run, other) {
            (Some(run), Some(other)) => format!("make the run {run}, or the branch {other}"),
            (Some(run), None) => format!("make the run {run}"),
            (None, Some(other)) => format!("make the branch {other}"),
            (None, None) => "take sizes that are made".to_owned(),
        }
    }

    fn flat_arm(
        &mut self,
        who: &Who,
        wye: Part,
        branch: Size,
        f: DVec3,
        up: DVec3,
        crossing: DVec3,
    ) -> Option<Arm> {
        let plan = (-f).angle_between(up).to_degrees();
        let whole = arm::one_piece(self.catalog, wye, branch, f, up);
        if whole.is_some() {
            return whole;
        }
        match self.behind(branch, plan) {
            Made::Straight => Some(arm::flat(self.catalog, wye, branch, f, up, crossing, None)),
            Made::Bends(bends) if plan > 10.0 && plan < 170.0 => Some(arm::flat(
                self.catalog,
                wye,
                branch,
                f,
                up,
                crossing,
                Some(&bends),
            )),
            Made::Bends(_) | Made::Nothing { .. } => {
                self.no_flat_join(who, plan, branch, crossing);
                Some(arm::flat(self.catalog, wye, branch, f, up, crossing, None))
            }
        }
    }

    /// Tells that no wye and bend make a flat join: none under this angle, or none in this size.
    fn no_flat_join(&mut self, who: &Who, plan: f64, branch: Size, crossing: DVec3) {
        let ways = [22.5, 45.0, 67.5, 90.0, 105.0, 112.5];
        let off = |way: &&f64| (**way - plan).abs();
        let nearest = ways
            .iter()
            .min_by(|a, b| off(a).total_cmp(&off(b)))
            .copied()
            .unwrap_or(45.0);
        let (kind, says, would_do) = if off(&&nearest) <= turn::TURN_PLAY_DEG {
            let larger = Size::ALL.into_iter().find(|size| {
                *size > branch && !matches!(self.behind(*size, plan), Made::Nothing { .. })
            });
            let turns = nearest - 45.0;
            (
                TroubleKind::NotMade,
                format!("no {branch} bend turns the {turns} degrees behind its wye"),
                larger.map_or("take a size that is made".to_owned(), |size| {
                    format!("make it {size} pipe")
                }),
            )
        } else {
            (
                TroubleKind::NoSuchJoin,
                format!("it comes in under {plan:.1} degrees, which no wye and bend make"),
                format!(
                    "bring it in under {nearest} degrees: move the junction along the run, or its last corner"
                ),
            )
        };
        let figures = match kind {
            TroubleKind::NotMade => (0.0, 0.0),
            _angle => (plan, nearest),
        };
        self.layer
            .trouble(who, crossing, kind, says, &would_do, figures);
    }

    fn behind(&self, branch: Size, plan: f64) -> Made {
        turn::behind_flat(self.catalog, self.rules, branch, plan)
    }

    /// Rolled up or dropped in: of the bends whose roll leaves the arm long enough, the one with the shortest arm.
    #[allow(clippy::too_many_arguments)] // two lines in space and what joins them
    fn rolled_arm(
        &mut self,
        who: &Who,
        wye: Part,
        branch: Size,
        f: DVec3,
        up: DVec3,
        crossing: DVec3,
        on: DVec3,
    ) -> Option<Arm> {
        let plan = (-f).angle_between(up).to_degrees();
        let mut least = f64::INFINITY;
        let mut best: Option<(f64, Arm)> = None;
        for (degrees, bend) in arm::BEHIND {
            let Some(roll) = arm::roll(plan, degrees).filter(|roll| *roll <= 90.0 + 1e-6) else {
                continue;
            };
            if roll < 1.0 || self.catalog.get(bend, Sizes::one(branch)).is_none() {
                continue;
            }
            let toward = arm::rolled_toward(f, up, roll);
            let want = arm::least_arm(self.catalog, wye, branch, bend);
            least = least.min(want * toward.z);
            let Some((shift, length, along)) = arm::meet(crossing, f, toward, on, up) else {
                continue;
            };
            if length >= want - 1.0 / 64.0
                && best.as_ref().is_none_or(|(shortest, _)| length < *shortest)
            {
                best = Some((
                    length,
                    Arm {
                        shift,
                        wye,
                        toward,
                        bend: Some(on + up * along),
                        street: false,
                    },
                ));
            }
        }
        if let Some((_, arm)) = best {
            return Some(arm);
        }
        let above = on.z - crossing.z;
        let says = format!(
            "it comes in {} above the run, too high for a flat join and too low to roll or drop in",
            units::inches_text(above, 16)
        );
        let would_do = if least.is_finite() {
            format!("let it come in flat, or {} above", inches_up(least))
        } else {
            "let it come in flat, or under 45 or 90 degrees".to_owned()
        };
        self.layer.trouble(
            who,
            crossing,
            TroubleKind::NoSuchJoin,
            says,
            &would_do,
            (above, least.min(1e6)),
        );
        let lifted = self.flat_arm(who, wye, branch, f, up, crossing)?;
        Some(Arm {
            bend: lifted.bend.map(|at| at + DVec3::Z * above),
            street: false,
            ..lifted
        })
    }

    /// How far up a run its own way in reaches: the bend behind its wye.
    fn foot(&self, t: usize, r: usize, run: &Run, entry: Option<&Arm>) -> f64 {
        let bend = entry.and_then(|arm| arm.bend);
        bend.map_or(0.0, |bend| {
            let crossing = self.axis(t, r, run, 0.0);
            bend.truncate().distance(crossing.truncate())
        })
    }

    /// Whether a branch comes in above a run's own foot; told where it does not, for there the order of the pieces would be
    /// turned round.
    fn is_above(&mut self, foot: f64, run: &Run, child: &Run, arm: &Arm) -> bool {
        let Some(join) = child.join else { return true };
        let station = join.at - arm.shift;
        if station > foot {
            return true;
        }
        let up = (foot - station) + self.catalog.pipe(run.size_at(foot)).shortest_piece();
        let says = format!(
            "it joins {} where {} itself comes in or leaves, and no fitting has room",
            run.id, run.id
        );
        let would_do = format!(
            "tell where it joins, `to: (run: {:?}, at: ...)`, {} or more farther up, or lead it into another run",
            run.id.as_str(),
            inches_up(up)
        );
        let who = Who {
            id: child.id.clone(),
            flow: Flow::Drain,
        };
        let at = run.path.point_at(join.at).extend(0.0);
        let figures = (station, foot);
        self.layer
            .trouble(&who, at, TroubleKind::NotMade, says, &would_do, figures);
        false
    }

    #[allow(clippy::too_many_arguments)] // one stop on a run
    fn stop_for(
        &mut self,
        t: usize,
        r: usize,
        tree: &Tree,
        run: &Run,
        child: usize,
        arm: &Arm,
        stops: &mut Vec<Stop>,
    ) {
        let Some(join) = tree.runs[child].join else {
            return;
        };
        let station = join.at - arm.shift;
        let at = self.axis(t, r, run, join.at) + self.flow(t, r, run, join.at) * arm.shift;
        let make = Make::Fitting {
            part: arm.wye,
            toward: arm.toward,
        };
        let node = Node {
            at,
            make,
            size: run.size_at(station),
            waits: vec![(EndName::Branch, Wait::Run(child))],
        };
        stops.push(Stop { station, node });
    }

    /// One double wye for two branches from opposite sides, where both come in flat; the branches are taken out of
    /// `children`.
    fn double_wyes(
        &self,
        (t, r): (usize, usize),
        tree: &Tree,
        children: &mut Vec<usize>,
        carried: &mut BTreeMap<usize, Arm>,
        stops: &mut Vec<Stop>,
    ) {
        for double in self.doubles.iter().filter(|double| double.parent == r) {
            let both = double.arms.map(|arm| arm.child);
            if !both.iter().all(|child| self.lies_flat(t, tree, *child)) {
                continue;
            }
            let run = &tree.runs[r];
            let (station, part) = (double.station, double.part);
            let (at, f) = (self.axis(t, r, run, station), self.flow(t, r, run, station));
            let left = DVec3::Z.cross(f).normalize_or_zero();
            let toward = [left, -left].map(|y| (y - f) * std::f64::consts::FRAC_1_SQRT_2);
            for (arm, toward) in double.arms.iter().zip(toward) {
                let crossing = tree.runs[arm.child].join.map_or(station, |join| join.at);
                let arm_there = Arm {
                    shift: crossing - station,
                    wye: part,
                    toward,
                    bend: arm.length.map(|length| at + toward * length),
                    street: arm.street,
                };
                carried.insert(arm.child, arm_there);
            }
            let [left, right] = both.map(Wait::Run);
            let node = Node {
                at,
                make: Make::Fitting {
                    part,
                    toward: toward[0],
                },
                size: run.size_at(station),
                waits: vec![(EndName::Branch, left), (EndName::OtherBranch, right)],
            };
            stops.push(Stop { station, node });
            children.retain(|child| !both.contains(child));
        }
    }

    /// Whether a branch's axis meets that of its run at the solved levels.
    fn lies_flat(&self, t: usize, tree: &Tree, child: usize) -> bool {
        let run = &tree.runs[child];
        run.join.is_some_and(|join| {
            let crossing = self.axis(t, join.parent, &tree.runs[join.parent], join.at);
            (self.axis(t, child, run, 0.0).z - crossing.z).abs() < FLAT
        })
    }

    /// Reducing couplings where the pipe grows along a run; where there is no room for one, the hub downstream takes a
    /// bushing instead.
    /// None stands nearer the outlet than `dropped`: a drop to the exit is made of the exit's own size. Nor does one stand in
    /// the wall: the pipe through it has no hub downstream, so there the coupling stands inside it.
    fn increasers(&mut self, t: usize, r: usize, run: &Run, dropped: f64, stops: &mut Vec<Stop>) {
        for pair in run.bores.windows(2) {
            let (small, large) = (pair[0].size, pair[1].size);
            let clear = if dropped > 0.0 {
                dropped + self.catalog.pipe(large).shortest_piece() + 8.0
            } else {
                0.0
            };
            let in_wall = run.join.is_none() && pair[1].from < self.inside_the_wall() + 1.0;
            let room = self.catalog.pipe(large).shortest_piece() + 8.0;
            let inside = if in_wall { room } else { 0.0 };
            let station = pair[1].from.max(clear).max(inside);
            let part = Part::new(Pattern::ReducingCoupling, Sizes::reducing(large, small));
            let fits = self.catalog.get(part.pattern, part.sizes).is_some();
            let crowded = stops
                .iter()
                .any(|stop| (stop.station - station).abs() < room);
            let near_end = station < room || station > run.path.length() - room;
            if fits && (in_wall || !crowded && !near_end) {
                let at = self.axis(t, r, run, station);
                let make = Make::Fitting {
                    part,
                    toward: DVec3::Z,
                };
                stops.push(Stop {
                    station,
                    node: Node {
                        at,
                        make,
                        size: large,
                        waits: Vec::new(),
                    },
                });
            }
        }
    }

    /// The station on a trunk from which inward a joint is clear of the wall and its sleeve.
    fn inside_the_wall(&self) -> f64 {
        let edge = self.layout.foundation.edge.as_ref();
        edge.map_or(0.0, |edge| edge.thickness) + OUTSIDE_STUB
    }

    /// Two eighth bends inside the wall that take the trunk down to its exit. The station of the upper one.
    fn drop_inside(&mut self, t: usize, run: &Run, drop: f64, stops: &mut Vec<Stop>) -> f64 {
        let low = self.inside_the_wall();
        let trunk = &self.grades[t].lines[0];
        let up = DVec3::new(0.0, 0.0, trunk.grade.in_per_ft() / 12.0);
        let point =
            |station: f64, level: f64| run.path.point_at(station).extend(level) + up * station;
        let outlet = trunk.outlet + self.catalog.pipe(run.outlet_size()).id() / 2.0 - drop;
        let bend = |station, at| Stop {
            station,
            node: Node {
                at,
                make: Make::Bend {
                    pattern: Pattern::EighthBend,
                    street: false,
                },
                size: run.outlet_size(),
                waits: Vec::new(),
            },
        };
        stops.push(bend(low, point(low, outlet)));
        stops.push(bend(low + drop, point(low + drop, outlet + drop)));
        low + drop
    }

    /// What ends the run upstream: adds its node, and says where the last fitting looks to.
    fn upstream_end(
        &mut self,
        t: usize,
        r: usize,
        run: &Run,
        goes_on: bool,
        nodes: &mut Vec<Node>,
    ) -> DVec3 {
        let end = self.axis(t, r, run, run.path.length());
        if goes_on {
            return end;
        }
        match run.start {
            Start::Fixture(f) => self.fixture_end(t, r, run, f, nodes),
            Start::Cleanout(c) => self.layout.cleanouts[c]
                .at
                .extend(self.layout.cleanouts[c].top),
            Start::Bare => {
                let part = Part::new(Pattern::Cap, Sizes::one(run.inlet_size()));
                let make = Make::Fitting {
                    part,
                    toward: DVec3::Z,
                };
                nodes.push(Node {
                    at: end,
                    make,
                    size: run.inlet_size(),
                    waits: Vec::new(),
                });
                end
            }
        }
    }

    fn fixture_end(
        &mut self,
        t: usize,
        r: usize,
        run: &Run,
        f: usize,
        nodes: &mut Vec<Node>,
    ) -> DVec3 {
        let fixture = &self.layout.fixtures[f];
        let top = fixture
            .top
            .unwrap_or_else(|| crate::fit::usual_top(self.layout, fixture));
        if let TrapPlace::UnderSlab { across } = fixture.trap {
            let at = self.axis(t, r, run, run.path.length() + across);
            let size = fixture.size.unwrap_or_else(|| run.inlet_size());
            let part = Part::new(Pattern::PTrap, Sizes::one(size));
            nodes.push(Node {
                at,
                make: Make::Fitting {
                    part,
                    toward: DVec3::Z,
                },
                size,
                waits: Vec::new(),
            });
        } else if fixture.kind == FixtureKind::Closet {
            closet_bend(self.catalog, fixture.size, nodes);
        }
        fixture.at.extend(top)
    }

    /// The riser on the end left open, and its stub.
    fn top(&mut self, _t: usize, _r: usize, run: &Run, tail: Open) {
        match run.start {
            Start::Fixture(f) => {
                let fixture = &self.layout.fixtures[f];
                let top = fixture
                    .top
                    .unwrap_or_else(|| crate::fit::usual_top(self.layout, fixture));
                let size = fixture.size.unwrap_or_else(|| run.inlet_size());
                let who = Who {
                    id: fixture.id.clone(),
                    flow: Flow::Drain,
                };
                self.riser(&who, StubOf::Fixture(f), tail, fixture.at.extend(top), size);
            }
            Start::Cleanout(c) => {
                self.cleanout_top(c, tail, self.cleanout_size(c, run.inlet_size()));
            }
            Start::Bare => {}
        }
    }

    fn riser(&mut self, who: &Who, of: StubOf, tail: Open, top: DVec3, size: Size) {
        let tail = self.layer.reduced(who, tail, size, DVec3::NEG_Z);
        let none = Dim::new(0.0, 0.0, How::Measured, "");
        let flow = DVec3::NEG_Z;
        let open = self.layer.cut(who, tail, top, &none, flow, true);
        if let Some(end) = open.end {
            self.tips.push(Tip {
                id: who.id.clone(),
                of,
                want: top,
                end,
            });
        }
    }

    /// Pipe, coupling, adapter and plug; the adapter's face is the cleanout's top.
    fn cleanout_top(&mut self, c: usize, tail: Open, size: Size) {
        let cleanout = &self.layout.cleanouts[c];
        let who = Who {
            id: cleanout.id.clone(),
            flow: Flow::Drain,
        };
        let leg = |pattern, name| turn::take_off(self.catalog, pattern, size, name);
        let face = leg(Pattern::CleanoutAdapter, EndName::Inlet);
        let half = leg(Pattern::Coupling, EndName::Inlet);
        let tail = self.layer.reduced(&who, tail, size, DVec3::NEG_Z);
        let told = cleanout.at.extend(cleanout.top);
        let riser = told.z - face - 2.0 * half - tail.at.z;
        let least = self.catalog.pipe(size).shortest_piece();
        let short = (least - riser).max(0.0);
        if short > 1.0 / 64.0 {
            let says = format!(
                "the riser of its cleanout is {} long, too short for its two sockets",
                units::inches_text(riser.max(0.0), 16)
            );
            let would_do = format!("let its top stand {} higher", inches_up(short));
            let figures = (riser, least);
            self.layer.trouble(
                &who,
                told,
                TroubleKind::ShortPiece,
                says,
                &would_do,
                figures,
            );
        }
        // What is laid can be glued: too low a top is raised.
        let top = told + DVec3::Z * short;
        let stop = top - DVec3::Z * face;
        let centre = stop - DVec3::Z * half;
        let node = |pattern, at| Node {
            at,
            make: Make::Fitting {
                part: Part::new(pattern, Sizes::one(size)),
                toward: DVec3::X,
            },
            size,
            waits: Vec::new(),
        };
        let nodes = [
            node(Pattern::Coupling, centre),
            node(Pattern::CleanoutAdapter, stop),
            node(Pattern::CleanoutPlug, top),
        ];
        let first = self.layer.out.pieces.len();
        self.layer.chain(&who, tail, &nodes, top + DVec3::Z);
        let pieces = &mut self.layer.out.pieces;
        pieces[first..]
            .iter_mut()
            .for_each(|piece| piece.riser = true);
        let adapter = pieces[first..].iter().rposition(|p| {
            p.part()
                .is_some_and(|part| part.pattern == Pattern::CleanoutAdapter)
        });
        if let Some(adapter) = adapter {
            self.tips.push(Tip {
                id: who.id,
                of: StubOf::Cleanout(c),
                want: top,
                end: (first + adapter, EndName::Inlet),
            });
        }
    }

    /// Wyes for the vents and cleanouts that stand on a run.
    fn on_the_run(&mut self, t: usize, r: usize, run: &Run, stops: &mut Vec<Stop>) {
        for v in self.standing.vents.remove(&(t, r)).unwrap_or_default() {
            let vent = &self.network.vents[v];
            let rise = self.vent_rise(t, r, run, v);
            if rise.is_none() {
                self.vent_not_laid(t, r, run, vent);
            }
            self.rise(
                t,
                r,
                run,
                rise,
                made_size(self.catalog, vent.size),
                Wait::Vent(v),
                stops,
            );
        }
        for c in self.standing.cleanouts.remove(&run.id).unwrap_or_default() {
            self.cleanout_wye(t, r, run, c, stops);
        }
    }

    fn vent_not_laid(&mut self, t: usize, r: usize, run: &Run, vent: &VentLine) {
        let who = Who {
            id: vent_name(self.layout, vent),
            flow: Flow::Vent,
        };
        let at = self.axis(t, r, run, vent.take_off);
        let across = at.truncate().distance(vent.up);
        let (says, would_do) = if vent.down.is_some() {
            (
                "we found no fittings that lead its loop from where it comes down to the drain and on to the wall",
                "let it come down a foot or more square off the drain, on the side of the wall, and go up straight on from \
                 there or a foot or more aside of that line",
            )
        } else {
            (
                "we found no fittings that lead its vent from the drain to where it comes up",
                "bring it up on the side the drain flows to, or right over the drain",
            )
        };
        let kind = TroubleKind::VentNotLaid;
        self.layer
            .trouble(&who, at, kind, says.into(), would_do, (across, 0.0));
    }

    #[allow(clippy::too_many_arguments)] // one stop on a run
    fn rise(
        &mut self,
        t: usize,
        r: usize,
        run: &Run,
        rise: Option<(f64, DVec3)>,
        size: Size,
        wait: Wait,
        stops: &mut Vec<Stop>,
    ) {
        let Some((station, toward)) = rise else {
            return;
        };
        let Some(part) = arm::wye(self.catalog, run.size_at(station), size) else {
            return;
        };
        let at = self.axis(t, r, run, station);
        let node = Node {
            at,
            make: Make::Fitting { part, toward },
            size: run.size_at(station),
            waits: vec![(EndName::Branch, wait)],
        };
        stops.push(Stop { station, node });
    }

    /// Where a vent's wye stands on its run, and where its branch looks: rolled 45 degrees up, sixth bend behind it, or
    /// upright where the vent comes up right over the run.
    fn vent_rise(&mut self, t: usize, r: usize, run: &Run, v: usize) -> Option<(f64, DVec3)> {
        let vent = &self.network.vents[v];
        let who = Who {
            id: vent_name(self.layout, vent),
            flow: Flow::Vent,
        };
        let plan = self.vent_plan(t, r, run, v)?;
        let moved = (plan.station - vent.take_off).abs();
        let told = matches!(
            self.layout.fixtures[vent.fixture].vent,
            layout::Vent::TakeOff { .. }
        );
        if told && moved > TOLD_MOVE {
            let at = self.axis(t, r, run, plan.station);
            let says = format!(
                "its vent leaves the drain {} from where it is told",
                units::inches_text(moved, 8)
            );
            let would_do = "tell the take-off there, or bring the vent up square to it";
            self.layer.trouble(
                &who,
                at,
                TroubleKind::TakeOffMoved,
                says,
                would_do,
                (moved, TOLD_MOVE),
            );
        }
        Some((plan.station, plan.toward))
    }

    fn vent_plan(&self, t: usize, r: usize, run: &Run, v: usize) -> Option<VentPlan> {
        let site = Site::of(self.layout, self.catalog, self.network, v);
        VentPlan::new(&site, |station| Crossing {
            at: self.axis(t, r, run, station),
            f: self.flow(t, r, run, station),
            station,
        })
    }

    fn vent(&mut self, t: usize, tree: &Tree, v: usize) {
        let vent = &self.network.vents[v];
        let Some(open) = self
            .opens
            .remove(&Wait::Vent(v))
            .filter(|_| vent.run.0 == t)
        else {
            return;
        };
        let (r, fixture) = (vent.run.1, &self.layout.fixtures[vent.fixture]);
        let Some(plan) = self.vent_plan(t, r, &tree.runs[r], v) else {
            return;
        };
        let size = made_size(self.catalog, vent.size);
        let who = Who {
            id: fixture.id.clone(),
            flow: Flow::Vent,
        };
        let top = vent.up.extend(fixture.top.unwrap_or(crate::fit::WALL_STUB));
        let tail = self.layer.reduced(&who, open, size, -plan.toward);
        let (tail, waits) = self.layer.chain(&who, tail, &plan.nodes, top);
        self.riser(&who, StubOf::Vent(vent.fixture), tail, top, size);
        let down = vent.down.zip(plan.returns);
        let waiting = waits.into_iter().next();
        if let Some(((down, (at, street)), (_, open))) = down.zip(waiting) {
            let pattern = Pattern::EighthBend;
            let bend = Node {
                at,
                make: Make::Bend { pattern, street },
                size,
                waits: Vec::new(),
            };
            let top = down.extend(top.z);
            let (tail, _) = self.layer.chain(&who, open, &[bend], top);
            self.riser(&who, StubOf::Return(vent.fixture), tail, top, size);
        }
    }

    fn cleanout_wye(&mut self, t: usize, r: usize, run: &Run, c: usize, stops: &mut Vec<Stop>) {
        let cleanout = &self.layout.cleanouts[c];
        let (station, _) = run.path.nearest(cleanout.at);
        let size = run.size_at(station);
        let crossing = self.axis(t, r, run, station);
        let f = self.flow(t, r, run, station);
        let Some(stand) = self.cleanout_stand(c, crossing, f, size) else {
            return;
        };
        // A bend or branch upright over the run keeps its place; the wye stands downstream of it, one that is turned about
        // upstream.
        let along = (stand.at - crossing)
            .truncate()
            .dot(f.truncate().normalize_or_zero());
        let (part, toward) = (stand.part, stand.toward);
        let make = if stand.about {
            Make::About { part, toward }
        } else {
            Make::Fitting { part, toward }
        };
        let node = Node {
            at: stand.at,
            make,
            size,
            waits: vec![(EndName::Branch, stand.wait)],
        };
        stops.push(Stop {
            station: station - along,
            node,
        });
    }

    /// What stands in a line for a cleanout upright over it at `crossing`: a two-way fitting, or a wye with an eighth bend
    /// behind it, which waits in `arms`. The wye of one that cleans upstream is turned about.
    fn cleanout_stand(&mut self, c: usize, crossing: DVec3, f: DVec3, size: Size) -> Option<Stand> {
        let wait = Wait::Cleanout(c);
        let (cleans, own) = (self.layout.cleanouts[c].cleans, self.cleanout_size(c, size));
        let both = Part::new(Pattern::TwoWayCleanout, Sizes::branched(size, size));
        let two_way = self.catalog.get(both.pattern, both.sizes);
        if let Some(fitting) = two_way.filter(|_| cleans == Cleans::Both) {
            // Square to a falling line the branch leans downstream: its stop stands under the riser, not its centre.
            let leg = fitting.end(EndName::Branch)?.take_off.value;
            return Some(Stand {
                at: crossing + f * (f.z * leg),
                part: both,
                toward: DVec3::Z,
                about: false,
                wait,
            });
        }
        let about = cleans == Cleans::Upstream;
        let with = if about { -f } else { f };
        let part = arm::wye(self.catalog, size, own.min(size))?;
        let branch = part.sizes.branch.unwrap_or(size);
        let bend = Some(&[Pattern::EighthBend][..]);
        let arm = arm::flat(self.catalog, part, branch, with, DVec3::Z, crossing, bend);
        let stand = Stand {
            at: crossing + with * arm.shift,
            part,
            toward: arm.toward,
            about,
            wait,
        };
        self.arms.insert(c, arm);
        Some(stand)
    }

    fn cleanout(&mut self, c: usize) {
        let Some(open) = self.opens.remove(&Wait::Cleanout(c)) else {
            return;
        };
        let size = open.size;
        let who = Who {
            id: self.layout.cleanouts[c].id.clone(),
            flow: Flow::Drain,
        };
        let bend = self.arms.remove(&c);
        let Some((at, street)) = bend.and_then(|arm| arm.bend.map(|at| (at, arm.street))) else {
            return self.cleanout_top(c, open, self.cleanout_size(c, size));
        };
        let make = Make::Bend {
            pattern: Pattern::EighthBend,
            street,
        };
        let node = Node {
            at,
            make,
            size,
            waits: Vec::new(),
        };
        let (tail, _) = self.layer.chain(&who, open, &[node], at + DVec3::Z * 12.0);
        self.cleanout_top(c, tail, self.cleanout_size(c, size));
    }

    /// A cleanout's own size on pipe of this size.
    fn cleanout_size(&self, c: usize, pipe: Size) -> Size {
        self.layout.cleanouts[c].size.unwrap_or(pipe)
    }

    /// The line outside: coupled to the pipe through the wall, on to the receiver, a cleanout's tee in it.
    fn outside(&mut self, _t: usize, tree: &Tree, grades: &Grades, root: usize) {
        let drain = &self.layout.drains[tree.drain];
        let (Some(length), Some(tail)) = (drain.line.length, &grades.outside) else {
            return;
        };
        let Some(first) = self.layer.out.pieces.get(root).cloned() else {
            return;
        };
        let out = outward(self.layout, drain.exit.at)
            .unwrap_or_else(|| tree.runs[0].path.direction_at(0.0));
        let heading = drain
            .line
            .heading_deg
            .map_or(out, |deg| DVec2::from_angle(deg.to_radians()));
        let size = drain.line_size(first.size);
        let radius = self.catalog.pipe(size).id() / 2.0;
        let axis = |at: f64, invert: f64| (drain.exit.at + heading * at).extend(invert + radius);
        let end = axis(length, tail.arrives());
        let drop = tail
            .drop
            .map(|drop| [drop.from, drop.to].map(|at| axis(at, tail.level_at(at))));
        let who = Who {
            id: drain.id.clone(),
            flow: Flow::Drain,
        };
        let open = Open {
            end: Some((root, EndName::Outlet)),
            at: first.frame.at,
            centre: first.frame.at,
            size: first.size,
            take_off: Dim::new(0.0, 0.0, How::Measured, ""),
        };
        self.downstream(&who, open, end, drop, size);
    }

    /// A coupling (or the bend that turns to the line's heading) and pipe, downstream, with the drop to the receiver.
    fn downstream(
        &mut self,
        who: &Who,
        open: Open,
        end: DVec3,
        drop: Option<[DVec3; 2]>,
        size: Size,
    ) {
        if size != open.size {
            let says = format!(
                "the line outside is {size}, the pipe through the wall {}",
                open.size
            );
            self.layer.trouble(
                who,
                open.at,
                if size < open.size {
                    TroubleKind::ReducesWithFlow
                } else {
                    TroubleKind::NotMade
                },
                says,
                "let both be one size",
                (size.nominal(), open.size.nominal()),
            );
            return;
        }
        let flow = self.layer.out.pieces[open.end.map_or(0, |end| end.0)]
            .frame
            .x;
        let first = drop.map_or(end, |drop| drop[0]);
        let degrees = flow.angle_between(first - open.at).to_degrees();
        let turn = Turn::HorizontalToHorizontal;
        let bend = match turn::made(
            self.catalog,
            self.rules,
            size,
            degrees,
            turn,
            &Use::plain(size),
        ) {
            Made::Straight => None,
            Made::Bends(bends) if bends.len() == 1 => Some(bends[0]),
            Made::Bends(_) | Made::Nothing { .. } => {
                let (plan, way) = (flow.truncate(), (first - open.at).truncate());
                let aside = plan.angle_to(way).to_degrees().abs();
                let (turns, would_do) = if aside <= turn::TURN_PLAY_DEG {
                    (
                        "falls away under",
                        "tell its grade instead of straight, as the pipe through the wall lies: it then drops to the \
                         receiver by two eighth bends before it",
                    )
                } else {
                    (
                        "turns",
                        "let it leave in line with the pipe through the wall, or turn by 22-1/2, 45 or 90 degrees",
                    )
                };
                let says = format!(
                    "the line outside {turns} {degrees:.1} degrees where it leaves the wall, which no one fitting makes"
                );
                self.layer.trouble(
                    who,
                    open.at,
                    TroubleKind::NoSuchTurn,
                    says,
                    would_do,
                    (degrees, 0.0),
                );
                None
            }
        };
        let flow_on = (first - open.at).normalize_or_zero();
        let mut stands = self.outside_stands(who, open.at, first, flow_on, size);
        stands.sort_by(|a, b| a.at.dot(flow_on).total_cmp(&b.at.dot(flow_on)));
        let line = Away {
            flow,
            bend,
            drop,
            end,
        };
        let waits = self.layer.away(who, open, &line, &stands);
        self.opens.extend(waits);
    }

    /// The fittings of the cleanouts in a line outside.
    fn outside_stands(
        &mut self,
        who: &Who,
        from: DVec3,
        end: DVec3,
        flow: DVec3,
        size: Size,
    ) -> Vec<Stand> {
        let told = self.standing.outside.remove(&who.id).unwrap_or_default();
        let stand = |c: usize| {
            let foot = over(from, end, self.layout.cleanouts[c].at);
            self.cleanout_stand(c, foot, flow, size)
        };
        told.into_iter().filter_map(stand).collect()
    }
}

fn vent_name(layout: &Layout, vent: &VentLine) -> Id {
    layout.fixtures[vent.fixture].id.clone()
}

/// A 4 in closet riser on 3 in pipe stands on a 4x3 closet bend instead of a quarter bend.
fn closet_bend(catalog: &Catalog, riser: Option<Size>, nodes: &mut [Node]) {
    let Some(last) = nodes.last_mut() else { return };
    let Some(riser) = riser.filter(|riser| *riser > last.size) else {
        return;
    };
    let part = Part::new(Pattern::ClosetBend, Sizes::reducing(last.size, riser));
    if catalog.get(part.pattern, part.sizes).is_some() && matches!(last.make, Make::Bend { .. }) {
        last.make = Make::Fitting {
            part,
            toward: DVec3::Z,
        };
    }
}

/// Every stub's closure: the chain walked from the exit.
fn closures(assembly: &Assembly, catalog: &Catalog, tips: &[Tip]) -> Vec<Closure> {
    let walked = walk(assembly, catalog);
    let mut nearer: Vec<Option<usize>> = vec![None; assembly.pieces.len()];
    for (j, joint) in assembly.joints.iter().enumerate() {
        nearer[joint.far.0] = Some(j);
    }
    let closed = tips.iter().filter_map(|tip| {
        let at = end_point(assembly, catalog, &walked, tip.end.0, tip.end.1)?;
        Some(closure(assembly, catalog, &walked, &nearer, tip, at))
    });
    closed.collect()
}

fn closure(
    assembly: &Assembly,
    catalog: &Catalog,
    walked: &[Option<crate::Frame>],
    nearer: &[Option<usize>],
    tip: &Tip,
    at: DVec3,
) -> Closure {
    let mut sums = Closure {
        id: tip.id.clone(),
        of: tip.of,
        piece: tip.end.0,
        joints: 0,
        error: at - tip.want,
        worst: 0.0,
        likely: 0.0,
        doubt: 0.0,
        dry_longer: (0.0, 0.0),
        shrink_per_10f: 0.0,
    };
    let (mut squares, mut held, mut upper) = (0.0, false, at);
    let mut piece = tip.end.0;
    loop {
        if let What::Pipe(cut) = &assembly.pieces[piece].what {
            sums.doubt += cut.doubt;
            sums.shrink_per_10f += cut.value.max(0.0) * catalog::EXPANSION_PER_F * 10.0;
        }
        let Some(j) = nearer[piece] else { break };
        let joint = &assembly.joints[j];
        let from = end_point(assembly, catalog, walked, joint.near.0, joint.near.1).unwrap_or(at);
        let laid = &assembly.pieces[piece];
        held |= !laid.riser && laid.cut().is_some_and(|cut| cut.value >= STAKED_FROM);
        let lever = if held || laid.riser {
            0.0
        } else {
            from.distance(upper)
        };
        let swing = JOINT_PLAY_DEG.to_radians().sin() * lever;
        upper = from;
        let socket = if joint.glued {
            catalog.pipe(joint.size).socket_depth.value
        } else {
            0.0
        };
        sums.joints += 1;
        sums.worst += JOINT_PLAY_IN + swing;
        squares += JOINT_PLAY_IN * JOINT_PLAY_IN + swing * swing;
        sums.dry_longer.0 += socket * DRY_OPEN.0;
        sums.dry_longer.1 += socket * DRY_OPEN.1;
        piece = joint.near.0;
    }
    sums.likely = squares.sqrt();
    sums
}
