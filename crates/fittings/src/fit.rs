//! Bodies at their solved levels.
//!
//! What is glued is laid first (`place`), and its pieces are the bodies (`solid`). What no fittings were found for still
//! has to be seen and kept clear of: here it is plain pipe swept round its corners. Stubs, sleeves and services are placed
//! here too.

use std::collections::{BTreeMap, BTreeSet};

use catalog::{Catalog, EndName};
use codes::Rules;
use glam::{DVec2, DVec3};
use grades::Grades;
use layout::{FixtureKind, Landing, Layout, TrapPlace, Vent};
use network::{Network, Run, Start, Tree, VentLine};
use units::{Id, SAME_LENGTH, Size};

use crate::{
    Assembly, Body, Flow, Part, Stub, StubOf, Tube, ground,
    place::{Placed, place},
    pose::sleeve_size,
    solid::{link, solids},
    sweep::sweep,
    wall_tee::{told_tee, wall_tees},
};

/// Depth of water a trap holds (inches): 2 in, as every code read has it at least.
const TRAP_SEAL: f64 = 2.0;

/// Places every body of a network at the levels of its grade solutions (`grades[tree]`, in the network's order).
///
/// Services and cleanouts of the layout are placed too, so that everything which must keep clear is in one list.
pub fn fit(
    network: &Network,
    grades: &[Grades],
    layout: &Layout,
    catalog: &Catalog,
    rules: &Rules,
) -> Assembly {
    let all = 0..network.trees.len();
    let placed = place(network, grades, layout, catalog, rules, all);
    fit_placed(network, grades, layout, catalog, rules, placed)
}

/// As [`fit`], with the pieces of all trees laid already, put together in the network's order.
///
/// # Panics
/// When some tree's are missing.
pub fn fit_placed(
    network: &Network,
    grades: &[Grades],
    layout: &Layout,
    catalog: &Catalog,
    rules: &Rules,
    mut placed: Placed,
) -> Assembly {
    let mut out = std::mem::take(&mut placed.assembly);
    out.runs = grades.iter().map(|grades| grades.lines.clone()).collect();
    let solids = solids(network, layout, catalog, &out, &placed.roots);
    out.bodies = solids.bodies;
    let lines = lines(layout, &out.bodies);
    // Laid pieces stand by name, upstream first: the last of a name stays.
    let bodies = out.bodies.iter().enumerate();
    let pipes = bodies.filter(|(_, body)| body.part == Part::Pipe);
    let laid = pipes.map(|(n, body)| (body.id.clone(), n)).collect();
    let mut fitter = Fitter {
        layout,
        catalog,
        rules,
        out,
        placed: &placed,
        of_piece: &solids.of_piece,
        firsts: Vec::new(),
        drops: Vec::new(),
        lines,
        laid,
    };
    for (tree, grades) in network.trees.iter().zip(grades) {
        fitter.tree(tree, grades);
    }
    for vent in &network.vents {
        fitter.vent(network, vent);
    }
    fitter.cleanouts(network);
    fitter.services();
    let mut out = fitter.out;
    out.wall_tees = wall_tees(layout, &out.stubs, catalog, rules);
    out
}

struct Fitter<'a> {
    layout: &'a Layout,
    catalog: &'a Catalog,
    rules: &'a Rules,
    out: Assembly,
    placed: &'a Placed,
    /// The body of each piece.
    of_piece: &'a [Option<usize>],
    /// Per tree, per run: bodies of the run's bores where it was not laid, upstream first.
    firsts: Vec<Vec<Vec<usize>>>,
    /// Per tree: where the trunk drops to its exit by two 45s (station of the lower one) and by how much.
    drops: Vec<(f64, f64)>,
    /// Bodies of the lines outside, by their drain.
    lines: BTreeMap<Id, usize>,
    /// The lowest body of laid pipe of each run.
    laid: BTreeMap<Id, usize>,
}

impl Fitter<'_> {
    fn tree(&mut self, tree: &Tree, grades: &Grades) {
        let t = self.firsts.len();
        self.firsts.push(vec![Vec::new(); tree.runs.len()]);
        let wall = self
            .layout
            .foundation
            .edge
            .as_ref()
            .map_or(0.0, |edge| edge.thickness);
        self.drops.push((wall + CLEAR_OF_WALL, grades.exit.drop));
        for (r, run) in tree.runs.iter().enumerate() {
            if !self.placed.laid[t][r] {
                self.run(t, r, run);
                let parent = run.join.map(|join| &tree.runs[join.parent].id);
                let last = self.firsts[t][r].last().copied();
                parent
                    .zip(last)
                    .inspect(|(id, body)| self.join_run(*body, id));
            }
            self.start(t, r, run);
        }
        self.way_out(t, tree, grades);
    }

    /// The body at the end of a stub's chain, where it was laid.
    fn tip(&self, of: StubOf) -> Option<usize> {
        let piece = self.placed.tips.get(&of)?;
        self.of_piece[*piece]
    }

    /// The axis of a run at a station. A concentric increaser keeps the axis straight, so the size there hardly matters.
    fn axis(&self, t: usize, r: usize, run: &Run, station: f64) -> DVec3 {
        let invert = self.out.runs[t][r].level_at(station) - self.dropped(t, r, station);
        let size = run.size_at(station - SAME_LENGTH * 2.0);
        run.path
            .point_at(station)
            .extend(invert + self.catalog.pipe(size).id() / 2.0)
    }

    /// How far a trunk lies under its own line where it drops to the exit.
    fn dropped(&self, t: usize, r: usize, station: f64) -> f64 {
        let (low, drop) = self.drops[t];
        if r == 0 {
            (low + drop - station).clamp(0.0, drop)
        } else {
            0.0
        }
    }

    fn run(&mut self, t: usize, r: usize, run: &Run) {
        let high_end = run.path.length() - self.base_bend(run).min(run.path.length() / 2.0);
        let mut bodies = Vec::new();
        for (i, bore) in run.bores.iter().enumerate() {
            let upper = bore.from.min(high_end);
            let lower = run.bores.get(i + 1).map_or(0.0, |next| next.from);
            let points = self.axis_points(t, r, run, upper, lower);
            bodies.extend(self.swept(&run.id, bore.size, Flow::Drain, Part::Pipe, &points));
        }
        bodies
            .windows(2)
            .for_each(|pair| self.link(pair[0], pair[1]));
        self.firsts[t][r] = bodies;
    }

    fn axis_points(&self, t: usize, r: usize, run: &Run, upper: f64, lower: f64) -> Vec<DVec3> {
        if upper <= lower + SAME_LENGTH {
            return vec![self.axis(t, r, run, lower)];
        }
        let (low, drop) = self.drops[t];
        let bends = [low + drop, low]
            .into_iter()
            .filter(|_| r == 0 && drop > 0.0);
        let mut corners: Vec<f64> = run.path.stations().iter().copied().chain(bends).collect();
        corners.retain(|s| *s < upper - SAME_LENGTH && *s > lower + SAME_LENGTH);
        corners.sort_by(|a, b| b.total_cmp(a));
        std::iter::once(upper)
            .chain(corners)
            .chain([lower])
            .map(|s| self.axis(t, r, run, s))
            .collect()
    }

    /// Radius of the bend at a riser's base: a long turn.
    fn base_bend(&self, run: &Run) -> f64 {
        match run.start {
            Start::Fixture(f)
                if matches!(self.layout.fixtures[f].trap, TrapPlace::UnderSlab { .. }) =>
            {
                0.0
            }
            Start::Fixture(_) | Start::Cleanout(_) => self.bend_radius(run.inlet_size()),
            Start::Bare => 0.0,
        }
    }

    fn bend_radius(&self, size: Size) -> f64 {
        let bend = self.catalog.get(
            catalog::Pattern::QuarterBendLongTurn,
            catalog::Sizes::one(size),
        );
        bend.and_then(|bend| bend.end(EndName::Outlet).map(|end| end.take_off.value))
            .unwrap_or(self.catalog.pipe(size).od)
    }

    fn swept(
        &mut self,
        id: &Id,
        size: Size,
        flow: Flow,
        part: Part,
        points: &[DVec3],
    ) -> Option<usize> {
        let tubes = match points {
            [] | [_] => return None,
            _ => sweep(
                points,
                self.catalog.pipe(size).od / 2.0,
                self.bend_radius(size),
            ),
        };
        self.push(Body {
            id: id.clone(),
            part,
            flow,
            size,
            tubes,
            joined: Vec::new(),
        })
    }

    fn push(&mut self, body: Body) -> Option<usize> {
        if body.tubes.is_empty() {
            return None;
        }
        self.out.bodies.push(body);
        Some(self.out.bodies.len() - 1)
    }

    /// Joins a plain body to a run: to its pipes and to what is glued into them.
    fn join_run(&mut self, body: usize, run: &Id) {
        let of_run = |(_, other): &(usize, &Body)| {
            other.id == *run && matches!(other.part, Part::Pipe | Part::Fitting)
        };
        let bodies = self.out.bodies.iter().enumerate();
        let there: Vec<usize> = bodies.filter(of_run).map(|(b, _)| b).collect();
        there.into_iter().for_each(|other| self.link(body, other));
    }

    fn link(&mut self, a: usize, b: usize) {
        link(&mut self.out.bodies, a, b);
    }

    /// The riser or trap at a run's upstream end.
    fn start(&mut self, t: usize, r: usize, run: &Run) {
        let base = self.axis(t, r, run, run.path.length());
        let first = self.firsts[t][r].first().copied();
        match run.start {
            Start::Fixture(f) => self.fixture(f, run, base, first),
            Start::Cleanout(c) => {
                let cleanout = &self.layout.cleanouts[c];
                let (id, top, landing) =
                    (cleanout.id.clone(), cleanout.top, cleanout.landing.clone());
                let points = self.riser_points(cleanout.at, top, base, run);
                let size = cleanout.size.unwrap_or(run.inlet_size());
                let body = self
                    .tip(StubOf::Cleanout(c))
                    .or_else(|| self.swept(&id, size, Flow::Drain, Part::Cleanout, &points));
                self.stub(
                    id,
                    StubOf::Cleanout(c),
                    size,
                    cleanout.at,
                    top,
                    landing,
                    Flow::Drain,
                    body,
                    first,
                );
            }
            Start::Bare => {}
        }
    }

    fn riser_points(&self, at: DVec2, top: f64, base: DVec3, run: &Run) -> Vec<DVec3> {
        let along = run.path.direction_at(run.path.length());
        let reach = self.base_bend(run).min(run.path.length() / 2.0);
        let foot = at.extend(base.z);
        let ahead = (at + along * reach).extend(base.z);
        if reach > SAME_LENGTH {
            vec![at.extend(top), foot, ahead]
        } else {
            vec![at.extend(top), foot]
        }
    }

    fn fixture(&mut self, f: usize, run: &Run, base: DVec3, first: Option<usize>) {
        let fixture = &self.layout.fixtures[f];
        let size = fixture.size.unwrap_or_else(|| run.inlet_size());
        let top = fixture
            .top
            .unwrap_or_else(|| usual_top(self.layout, fixture));
        let (id, at, landing) = (fixture.id.clone(), fixture.at, fixture.landing.clone());
        let body = self.tip(StubOf::Fixture(f)).or_else(|| {
            if matches!(fixture.trap, TrapPlace::UnderSlab { .. }) {
                self.plain_trap(&id, size, at.extend(top), base, first)
            } else {
                let points = self.riser_points(at, top, base, run);
                self.swept(&id, size, Flow::Drain, Part::Riser, &points)
            }
        });
        self.stub(
            id,
            StubOf::Fixture(f),
            size,
            at,
            top,
            landing,
            Flow::Drain,
            body,
            first,
        );
    }

    /// A trap under the slab and the riser on it; gives the riser.
    fn plain_trap(
        &mut self,
        id: &Id,
        size: Size,
        top: DVec3,
        weir: DVec3,
        first: Option<usize>,
    ) -> Option<usize> {
        let points = self.trap_points(top.truncate(), weir, size);
        let trap = self.swept(id, size, Flow::Drain, Part::Trap, &points);
        let riser = self.swept(id, size, Flow::Drain, Part::Riser, &[top, points[0]]);
        riser.zip(trap).inspect(|(a, b)| self.link(*a, *b));
        trap.zip(first).inspect(|(a, b)| self.link(*a, *b));
        riser
    }

    /// A trap below the slab: down from the outlet, under, and up to the weir, where the run starts.
    fn trap_points(&self, at: DVec2, weir: DVec3, size: Size) -> Vec<DVec3> {
        let pipe = self.catalog.pipe(size);
        let dip = weir.z - (pipe.id() + TRAP_SEAL);
        let toward = weir.truncate() - at;
        let rise = at + toward * 0.62;
        vec![
            at.extend(weir.z),
            at.extend(dip),
            rise.extend(dip),
            rise.extend(weir.z),
            weir,
        ]
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "a struct would only rename `Stub`"
    )]
    fn stub(
        &mut self,
        id: Id,
        of: StubOf,
        size: Size,
        at: DVec2,
        top: f64,
        landing: Landing,
        flow: Flow,
        body: Option<usize>,
        joins: Option<usize>,
    ) {
        let Some(body) = body else { return };
        if let Some(other) = joins {
            self.link(body, other);
        }
        let pipe = self.catalog.pipe(size);
        self.out.stubs.push(Stub {
            id,
            of,
            size: Some(size),
            od: pipe.od,
            hub_od: pipe.hub_od.value,
            at,
            top,
            landing,
            flow,
            body,
            booted: self.booted(of, at),
        });
    }

    /// As told of the riser; else where a sheet lies round it, unless the town goes without boots.
    fn booted(&self, of: StubOf, at: DVec2) -> bool {
        let layout = self.layout;
        let (told, outside) = match of {
            StubOf::Fixture(f) | StubOf::Vent(f) | StubOf::Return(f) => {
                (layout.fixtures[f].boot, false)
            }
            StubOf::Cleanout(c) => {
                let cleanout = &layout.cleanouts[c];
                (cleanout.boot, cleanout.outside.is_some())
            }
            StubOf::Service(s) => (layout.services[s].boot, false),
        };
        let sheet = |layer: &layout::Layer| layer.material == layout::Material::Sheet;
        let slab = layout.slab.as_ref().filter(|_| !outside);
        let sheeted = slab.is_some_and(|slab| ground::surface_at(slab, at).1.iter().any(sheet));
        let local = self.rules.row(codes::RuleId::RiserBoot);
        let usual = local.is_none_or(|row| row.value != codes::Value::No);
        told.unwrap_or(usual && sheeted)
    }

    /// The pipe in the wall, its sleeve, and the line outside.
    fn way_out(&mut self, t: usize, tree: &Tree, grades: &Grades) {
        let drain = &self.layout.drains[tree.drain];
        let trunk = &tree.runs[0];
        let inside = trunk.path.direction_at(0.0);
        let out = outward(self.layout, drain.exit.at).unwrap_or(inside);
        let size = drain.line_size(trunk.outlet_size());
        let start = drain
            .exit
            .at
            .extend(grades.exit.level + self.catalog.pipe(trunk.outlet_size()).id() / 2.0);
        let laid_trunk = || self.laid.get(&trunk.id).copied();
        let trunk_body = self.firsts[t][0].last().copied().or_else(laid_trunk);
        let laid = self.lines.get(&drain.id);
        let told = drain.line.length.zip(grades.outside.as_ref());
        if let Some((length, tail)) = told.filter(|_| laid.is_none()) {
            let heading = drain
                .line
                .heading_deg
                .map_or(out, |deg| DVec2::from_angle(deg.to_radians()));
            let radius = self.catalog.pipe(size).id() / 2.0;
            let bends = tail.drop.map(|drop| [drop.from, drop.to]);
            let stations = bends.into_iter().flatten().chain([length]);
            let axis = stations
                .map(|at| (drain.exit.at + heading * at).extend(tail.level_at(at) + radius));
            let points: Vec<DVec3> = std::iter::once(start).chain(axis).collect();
            let line = self.swept(&drain.id.clone(), size, Flow::Drain, Part::Pipe, &points);
            line.zip(trunk_body).inspect(|(a, b)| self.link(*a, *b));
            self.lines.extend(line.map(|line| (drain.id.clone(), line)));
        }
        let Some(edge) = &self.layout.foundation.edge else {
            return;
        };
        let Some(sleeve) = sleeve_size(drain, self.catalog, self.rules, trunk.outlet_size())
            .filter(|_| !drain.exit.cored)
        else {
            return;
        };
        let radius = self.catalog.pipe(sleeve).od / 2.0;
        let centre = match drain.exit.sleeve_bottom {
            Some(bottom) => bottom + self.catalog.pipe(sleeve).id() / 2.0,
            None => start.z,
        };
        let (a, b) = (
            (drain.exit.at - out * edge.thickness).extend(centre),
            drain.exit.at.extend(centre),
        );
        let body = Body {
            id: drain.id.clone(),
            part: Part::Sleeve,
            flow: Flow::Empty,
            size: sleeve,
            tubes: vec![Tube { a, b, radius }],
            joined: Vec::new(),
        };
        self.push(body);
    }

    fn vent(&mut self, network: &Network, vent: &VentLine) {
        let (t, r) = vent.run;
        let run = &network.trees[t].runs[r];
        let from = self.axis(t, r, run, vent.take_off);
        let fixture = &self.layout.fixtures[vent.fixture];
        let top = fixture.top.unwrap_or(WALL_STUB);
        let foot = self.vent_foot(from, vent);
        let points = [vent.up.extend(top), foot, from];
        let id = fixture.id.clone();
        let size = crate::vent::made_size(self.catalog, vent.size);
        let of = StubOf::Vent(vent.fixture);
        let body = self
            .tip(of)
            .or_else(|| self.swept(&id, size, Flow::Vent, Part::Riser, &points));
        if let Some(body) = body.filter(|_| !self.placed.tips.contains_key(&of)) {
            self.join_run(body, &run.id);
        }
        self.stub(
            id,
            of,
            size,
            vent.up,
            top,
            Landing::Wall(vent.wall.clone()),
            Flow::Vent,
            body,
            None,
        );
        if let Some(down) = vent.down {
            self.comes_down(vent, down, size, (foot.z, body));
        }
    }

    /// Where an island loop comes down: in its fixture's own cabinet or wall.
    fn comes_down(
        &mut self,
        vent: &VentLine,
        down: DVec2,
        size: Size,
        (level, vent_body): (f64, Option<usize>),
    ) {
        let fixture = &self.layout.fixtures[vent.fixture];
        let of = StubOf::Return(vent.fixture);
        let top = fixture.top.unwrap_or(WALL_STUB);
        let points = [down.extend(top), down.extend(level)];
        let body = self.tip(of).or_else(|| {
            let body = self.swept(&fixture.id, size, Flow::Vent, Part::Riser, &points)?;
            vent_body.inspect(|vent| self.link(body, *vent));
            Some(body)
        });
        let (id, landing) = (fixture.id.clone(), fixture.landing.clone());
        self.stub(id, of, size, down, top, landing, Flow::Vent, body, None);
    }

    /// The foot of a dry vent's riser: as far up as 45 degrees takes it, but below the slab's covering layers.
    fn vent_foot(&self, from: DVec3, vent: &VentLine) -> DVec3 {
        let across = from.truncate().distance(vent.up);
        let half = self.catalog.pipe(vent.size).od / 2.0;
        let under = self
            .layout
            .slab
            .as_ref()
            .map_or(0.0, |slab| ground::cover_over(slab, vent.up) - slab.gap)
            - half;
        vent.up.extend((from.z + across).min(under.max(from.z)))
    }

    fn cleanouts(&mut self, network: &Network) {
        let places = runs_by_name(network);
        for (c, cleanout) in self.layout.cleanouts.iter().enumerate() {
            let on_run = cleanout.on.as_ref().and_then(|id| places.get(id));
            let Some(&(t, r)) = on_run else { continue };
            let run = &network.trees[t].runs[r];
            let (station, _) = run.path.nearest(cleanout.at);
            let axis = self.axis(t, r, run, station);
            let size = cleanout.size.unwrap_or(run.size_at(station));
            let points = [
                cleanout.at.extend(cleanout.top),
                cleanout.at.extend(axis.z.min(cleanout.top - 1.0)),
                axis,
            ];
            let body = self.tip(StubOf::Cleanout(c)).or_else(|| {
                let body = self.swept(&cleanout.id, size, Flow::Drain, Part::Cleanout, &points)?;
                self.join_run(body, &run.id);
                Some(body)
            });
            self.stub(
                cleanout.id.clone(),
                StubOf::Cleanout(c),
                size,
                cleanout.at,
                cleanout.top,
                cleanout.landing.clone(),
                Flow::Drain,
                body,
                None,
            );
        }
        self.outside_cleanouts();
    }

    fn outside_cleanouts(&mut self) {
        for (c, cleanout) in self.layout.cleanouts.iter().enumerate() {
            let line = cleanout.outside.as_ref().and_then(|id| self.lines.get(id));
            let Some(&line) = line else { continue };
            let size = cleanout.size.unwrap_or(self.out.bodies[line].size);
            let body = self.tip(StubOf::Cleanout(c)).or_else(|| {
                let foot = nearest_on(&self.out.bodies[line].tubes, cleanout.at)?;
                let points = [cleanout.at.extend(cleanout.top), foot];
                let body = self.swept(&cleanout.id, size, Flow::Drain, Part::Cleanout, &points)?;
                self.join_run(body, cleanout.outside.as_ref()?);
                Some(body)
            });
            self.stub(
                cleanout.id.clone(),
                StubOf::Cleanout(c),
                size,
                cleanout.at,
                cleanout.top,
                cleanout.landing.clone(),
                Flow::Drain,
                body,
                None,
            );
        }
    }

    fn services(&mut self) {
        for (s, service) in self.layout.services.iter().enumerate() {
            let Some(&up) = service.path.last() else {
                continue;
            };
            let flow = match service.kind {
                layout::ServiceKind::Water => Flow::Water,
                layout::ServiceKind::SoilGas => Flow::SoilGas,
                layout::ServiceKind::Conduit | layout::ServiceKind::Gas => Flow::Empty,
            };
            let mut points: Vec<DVec3> = service
                .path
                .iter()
                .map(|p| p.extend(service.level))
                .collect();
            points.push(up.extend(service.top));
            let tubes = sweep(&points, service.od / 2.0, service.od * 2.0);
            let size = nearest_size(self.catalog, service.od);
            let body = Body {
                id: service.id.clone(),
                part: Part::Riser,
                flow,
                size,
                tubes,
                joined: Vec::new(),
            };
            let Some(body) = self.push(body) else {
                continue;
            };
            self.out.stubs.push(Stub {
                id: service.id.clone(),
                of: StubOf::Service(s),
                size: None,
                od: service.od,
                hub_od: service.od,
                at: up,
                top: service.top,
                landing: service.landing.clone(),
                flow,
                body,
                booted: self.booted(StubOf::Service(s), up),
            });
        }
    }
}

/// The body of each line outside that was laid.
fn lines(layout: &Layout, bodies: &[Body]) -> BTreeMap<Id, usize> {
    let drains: BTreeSet<&Id> = layout.drains.iter().map(|drain| &drain.id).collect();
    let mut lines = BTreeMap::new();
    for (b, body) in bodies.iter().enumerate() {
        if body.part == Part::Pipe && drains.contains(&body.id) {
            lines.entry(body.id.clone()).or_insert(b);
        }
    }
    lines
}

/// The point of a line from `a` to `b` that lies under or over a plan point, or nearest to it in plan.
pub(crate) fn over(a: DVec3, b: DVec3, at: DVec2) -> DVec3 {
    let way = (b - a).truncate();
    let t = (at - a.truncate()).dot(way) / way.length_squared().max(1e-9);
    a.lerp(b, t.clamp(0.0, 1.0))
}

/// The point of some pipe's axis nearest a plan point.
fn nearest_on(tubes: &[Tube], at: DVec2) -> Option<DVec3> {
    let on = |tube: &Tube| over(tube.a, tube.b, at);
    let off = |point: &DVec3| point.truncate().distance(at);
    tubes
        .iter()
        .map(on)
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// Tree and place in it of every run.
fn runs_by_name(network: &Network) -> BTreeMap<&Id, (usize, usize)> {
    let trees = network.trees.iter().enumerate();
    let runs = trees.flat_map(|(t, tree)| {
        tree.runs
            .iter()
            .enumerate()
            .map(move |(r, run)| (t, r, run))
    });
    runs.map(|(t, r, run)| (&run.id, (t, r))).collect()
}

fn nearest_size(catalog: &Catalog, od: f64) -> Size {
    let off = |size: &Size| (catalog.pipe(*size).od - od).abs();
    Size::ALL
        .into_iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .unwrap_or(Size::In2)
}

/// Inches between the foundation's inner face and the lower of the two 45s of a drop to the exit, so that no joint stands
/// inside the sleeve.
const CLEAR_OF_WALL: f64 = 6.0;

/// Height a stub in a wall is left above finished floor: 18 in (common practice, no source).
pub(crate) const WALL_STUB: f64 = 18.0;
/// Height a stub in open floor is left: 6 in, cut to the floor when the fixture is set (common practice, no source).
const FLOOR_STUB: f64 = 6.0;

/// The height a stub is left at when the layout does not say: one whose tee is told long enough to be sawn to it.
pub(crate) fn usual_top(layout: &Layout, fixture: &layout::Fixture) -> f64 {
    let in_wall = matches!(fixture.landing, Landing::Wall(_) | Landing::Cabinet(_))
        || matches!(fixture.vent, Vent::Riser);
    match (&fixture.landing, fixture.kind) {
        (Landing::BoxOut(_), _) => 0.0,
        (Landing::Floor, FixtureKind::FloorDrain | FixtureKind::Shower) => {
            floor_at(layout, fixture.at)
        }
        _ if in_wall => WALL_STUB.max(told_tee(fixture).unwrap_or(0.0)),
        (Landing::Floor | Landing::Wall(_) | Landing::Cabinet(_), _) => FLOOR_STUB,
    }
}

fn floor_at(layout: &Layout, at: DVec2) -> f64 {
    layout
        .slab
        .as_ref()
        .map_or(0.0, |slab| ground::surface_at(slab, at).0)
}

/// Unit direction square off the slab's nearest side, away from the house.
pub(crate) fn outward(layout: &Layout, at: DVec2) -> Option<DVec2> {
    let outline = &layout.slab.as_ref()?.outline;
    let side = (0..outline.len()).min_by(|a, b| {
        distance_to_side(outline, *a, at).total_cmp(&distance_to_side(outline, *b, at))
    })?;
    let along = (outline[(side + 1) % outline.len()] - outline[side]).normalize_or_zero();
    // The outline runs counter-clockwise, so outside is to the right of each side.
    Some(DVec2::new(along.y, -along.x))
}

/// Distance from a point to one side of an outline.
pub(crate) fn distance_to_side(outline: &[DVec2], side: usize, point: DVec2) -> f64 {
    let (a, b) = (outline[side], outline[(side + 1) % outline.len()]);
    let t = ((point - a).dot(b - a) / (b - a).length_squared().max(1e-12)).clamp(0.0, 1.0);
    a.lerp(b, t).distance(point)
}
