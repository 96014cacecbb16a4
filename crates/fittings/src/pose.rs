//! From a network to the grade problem: who holds the pipe down, who holds it up.

use catalog::{Catalog, EndName, Pattern, Sizes};
use codes::{Rules, Sleeve};
use glam::DVec2;
use grades::{Bound, DropRoom, Exit, Join, Lie, Limit, Member, Problem, Step, Tail, Way, WayKind};
use layout::{Drain, Edge, ExitWay, Layout, Slab, Vent};
use network::{Network, Run, Start, Tree};
use units::{Grade, SAME_LENGTH, Size};

use crate::{Joints, ground, vent};

/// Levels measured in the ground, which the drain must keep.
pub type Pins = Vec<Pin>;

/// A measured invert.
#[derive(Clone, PartialEq, Debug)]
pub struct Pin {
    /// The run.
    pub run: units::Id,
    /// Station on it.
    pub station: f64,
    /// Its invert.
    pub invert: f64,
    /// How far the measure may be off, inches: the solver may lay the invert so much above or below it.
    pub doubt: f64,
    /// Who measured it and when, in words.
    pub says: String,
}

/// The grade problem of each tree, in the network's order.
pub fn pose(
    network: &Network,
    joints: &Joints,
    layout: &Layout,
    catalog: &Catalog,
    rules: &Rules,
    pins: &Pins,
) -> Vec<Problem> {
    let context = Context {
        network,
        layout,
        catalog,
        rules,
        pins,
    };
    network
        .trees
        .iter()
        .zip(&joints.trees)
        .enumerate()
        .map(|(t, (tree, joints))| context.problem(t, tree, joints))
        .collect()
}

struct Context<'a> {
    network: &'a Network,
    layout: &'a Layout,
    catalog: &'a Catalog,
    rules: &'a Rules,
    pins: &'a Pins,
}

impl Context<'_> {
    fn problem(&self, t: usize, tree: &Tree, joints: &[Option<crate::Joint>]) -> Problem {
        let drain = &self.layout.drains[tree.drain];
        let out = tree.runs[0].outlet_size();
        let runs = tree
            .runs
            .iter()
            .zip(joints)
            .enumerate()
            .map(|(r, (run, joint))| grades::Run {
                id: run.id.clone(),
                length: run.path.length(),
                menu: self.menu(run),
                steps: self.steps(run),
                bounds: self.bounds((t, r), run),
                join: run.join.zip(joint.as_ref()).map(|(join, joint)| Join {
                    parent: join.parent,
                    at: join.at,
                    windows: joint.windows.clone(),
                }),
            });
        Problem {
            id: tree.id.clone(),
            runs: runs.collect(),
            exit: self.exit(drain, out),
            tail: self.tail(drain, out),
        }
    }

    /// The menu, less the grades that would fall more than one diameter along a trap arm under the slab.
    ///
    /// When no grade is left the menu stands, and the check of the trap arm speaks.
    fn menu(&self, run: &Run) -> Vec<Grade> {
        let arm = self.arm(run);
        let within = |grade: &Grade| {
            arm.is_none_or(|(length, most)| grade.fall_over(length) <= most + SAME_LENGTH)
        };
        let kept: Vec<Grade> = run.menu.iter().copied().filter(within).collect();
        if kept.is_empty() {
            run.menu.clone()
        } else {
            kept
        }
    }

    /// Length of the trap arm under the slab, and the most it may fall: one diameter, as nominal.
    fn arm(&self, run: &Run) -> Option<(f64, f64)> {
        let Start::Fixture(fixture) = run.start else {
            return None;
        };
        let fixture = &self.layout.fixtures[fixture];
        let under_slab = matches!(fixture.trap, layout::TrapPlace::UnderSlab { .. });
        let Vent::TakeOff { take_off, .. } = &fixture.vent else {
            return None;
        };
        let (station, _) = run.path.nearest(*take_off);
        under_slab.then(|| (run.path.length() - station, run.inlet_size().nominal()))
    }

    /// Concentric increasers: the invert drops by half the difference of the bores.
    fn steps(&self, run: &Run) -> Vec<Step> {
        let step = |pair: &[network::Bore]| {
            let (small, large) = (pair[0].size, pair[1].size);
            let drop = (self.catalog.pipe(large).id() - self.catalog.pipe(small).id()) / 2.0;
            let says = format!("{} to {} increaser", small.label(), large.label());
            Step {
                at: pair[1].from,
                drop,
                who: Member::new(run.id.clone(), &says),
            }
        };
        run.bores.windows(2).map(step).collect()
    }

    fn bounds(&self, place: (usize, usize), run: &Run) -> Vec<Bound> {
        let mut bounds = self
            .layout
            .slab
            .as_ref()
            .map_or(Vec::new(), |slab| self.caps(slab, run));
        if let Some(invert) = run.start_invert {
            bounds.extend(Bound::pin(
                run.path.length(),
                invert,
                Member::new(run.id.clone(), "start invert, told"),
            ));
        }
        bounds.extend(self.foot_vents(place, run));
        bounds.extend(self.vents_below(place, run));
        let pins = self.pins.iter().filter(|pin| pin.run == run.id);
        bounds.extend(pins.flat_map(|pin| {
            let who = Member::new(run.id.clone(), &pin.says);
            [
                Bound::cap(pin.station, pin.invert + pin.doubt, who.clone()),
                Bound::floor(pin.station, pin.invert - pin.doubt, who),
            ]
        }));
        bounds
    }

    /// Where hubs are to stay below the slab, a drain lies deep enough for those of the bends that send its vents up.
    fn vents_below(&self, place: (usize, usize), run: &Run) -> impl Iterator<Item = Bound> {
        let wanted = self
            .layout
            .slab
            .as_ref()
            .is_some_and(|slab| slab.hubs_below);
        let vents = self.network.vents.iter().enumerate();
        let of_run = vents.filter(move |(_, vent)| wanted && vent.run == place);
        of_run.filter_map(|(v, vent)| {
            let (station, centre) =
                vent::below_the_slab(self.layout, self.catalog, (self.network, v))?;
            let bore = self.catalog.pipe(run.size_at(station)).id();
            let fixture = &self.layout.fixtures[vent.fixture].id;
            let says = format!("lies under the hubs of the vent of {fixture}");
            let who = Member::new(run.id.clone(), &says);
            Some(Bound::cap(station, centre - bore / 2.0, who))
        })
    }

    /// An island's branch lies deep enough for the foot vent, which leaves it and rises under the slab to its wall.
    fn foot_vents(&self, place: (usize, usize), run: &Run) -> impl Iterator<Item = Bound> {
        let vents = self.network.vents.iter().enumerate();
        let loops = vents.filter(move |(_, vent)| vent.run == place && vent.down.is_some());
        loops.filter_map(|(v, vent)| {
            let (station, centre) =
                vent::island_needs(self.layout, self.catalog, (self.network, v))?;
            let bore = self.catalog.pipe(run.size_at(station)).id();
            let fixture = &self.layout.fixtures[vent.fixture].id;
            let says = format!("lies under the foot vent of {fixture}");
            let who = Member::new(run.id.clone(), &says);
            Some(Bound::cap(station, centre - bore / 2.0, who))
        })
    }

    /// Crown below every covering layer: a cap at the upstream end of each stretch of one floor zone and one size.
    ///
    /// A run never rises downstream, so over such a stretch its upstream end is where the cap binds.
    fn caps(&self, slab: &Slab, run: &Run) -> Vec<Bound> {
        stretches(slab, run)
            .into_iter()
            .enumerate()
            .map(|(i, (station, inside))| {
                let pipe = self.catalog.pipe(run.size_at(station - SAME_LENGTH * 2.0));
                let hub = if i == 0 && slab.hubs_below {
                    self.hub_above_crown(run)
                } else {
                    0.0
                };
                let top = ground::cover_over(slab, inside) - slab.gap.max(hub);
                Bound::cap(
                    station,
                    top - (pipe.od - pipe.wall),
                    Member::new(run.id.clone(), &cover_words(slab, inside)),
                )
            })
            .collect()
    }

    /// How far the hub of the riser's base bend stands above the pipe's crown.
    fn hub_above_crown(&self, run: &Run) -> f64 {
        let size = run.inlet_size();
        let bend = self
            .catalog
            .get(Pattern::QuarterBendLongTurn, Sizes::one(size));
        let Some(up) = bend.and_then(|b| b.end(EndName::Inlet).map(|end| end.take_off.value))
        else {
            return 0.0;
        };
        up + self.catalog.pipe(size).socket_depth.value - self.catalog.pipe(size).od / 2.0
    }

    fn exit(&self, drain: &Drain, out: Size) -> Exit {
        let edge = self.layout.foundation.edge.as_ref();
        let ways = edge.map_or(Vec::new(), |edge| self.ways(drain, edge, out));
        Exit {
            id: drain.id.clone(),
            ways,
        }
    }

    fn ways(&self, drain: &Drain, edge: &Edge, out: Size) -> Vec<Way> {
        let bottom = bottom_at(self.layout, edge, drain.exit.at);
        let through = self.through(drain, edge, bottom, out);
        let under = self.under(drain, edge, bottom, out);
        match drain.exit.way {
            ExitWay::Through => vec![through],
            ExitWay::Under => under,
            ExitWay::Either => std::iter::once(through).chain(under).collect(),
        }
    }

    /// Through the wall: the opening wholly between the wall's bottom and its top, pipe and opening centred; or inside
    /// a sleeve that stands already.
    fn through(&self, drain: &Drain, edge: &Edge, bottom: f64, out: Size) -> Way {
        let pipe = self.catalog.pipe(out);
        let hole = self.opening_od(drain, out);
        let id = &drain.id;
        let limit = |level, says: &str| {
            Some(Limit {
                level,
                who: Member::new(id.clone(), says),
            })
        };
        let (low, high) = match drain.exit.sleeve_bottom {
            Some(standing) => {
                let bore = sleeve_size(drain, self.catalog, self.rules, out)
                    .map_or(hole, |size| self.catalog.pipe(size).id());
                (
                    limit(standing + pipe.wall, "bottom of the sleeve"),
                    limit(standing + bore - pipe.od + pipe.wall, "top of the sleeve"),
                )
            }
            None => (
                limit(
                    bottom + hole / 2.0 - pipe.id() / 2.0,
                    "sleeve above the footing",
                ),
                limit(
                    edge.top - hole / 2.0 - pipe.id() / 2.0,
                    "sleeve below the wall's top",
                ),
            ),
        };
        Way {
            kind: WayKind::Through,
            low,
            high,
            drop_least: 0.0,
            drop_most: 0.0,
            who: Member::new(id.clone(), "through the wall"),
        }
    }

    /// Under the footing: straight if the trunk lies low enough, else dropped by two 45s inside.
    fn under(&self, drain: &Drain, edge: &Edge, bottom: f64, out: Size) -> Vec<Way> {
        let pipe = self.catalog.pipe(out);
        let hole = self.opening_od(drain, out);
        let underside = bottom
            - edge
                .footing
                .as_ref()
                .map_or(0.0, |footing| footing.thickness);
        let who = |says: &str| Member::new(drain.id.clone(), says);
        let high = Limit {
            level: underside - hole / 2.0 - pipe.id() / 2.0,
            who: who("sleeve under the footing"),
        };
        let way = |drop_least, drop_most, says| Way {
            kind: WayKind::Under,
            low: None,
            high: Some(high.clone()),
            drop_least,
            drop_most,
            who: who(says),
        };
        let least = two_bends(self.catalog, out);
        vec![
            way(0.0, 0.0, "under the footing"),
            way(
                least,
                f64::INFINITY,
                "drops by two 45s and passes under the footing",
            ),
        ]
    }

    /// Outside diameter of what must fit in the wall: the sleeve, or a cored hole half an inch clear all round
    /// (common practice, no source).
    fn opening_od(&self, drain: &Drain, out: Size) -> f64 {
        let sleeve =
            sleeve_size(drain, self.catalog, self.rules, out).filter(|_| !drain.exit.cored);
        sleeve.map_or(self.catalog.pipe(out).od + 1.0, |size| {
            self.catalog.pipe(size).od
        })
    }

    fn tail(&self, drain: &Drain, out: Size) -> Option<Tail> {
        let length = drain.line.length?;
        let receiver = drain.receiver.as_ref().and_then(|receiver| {
            let says = match receiver.kind {
                layout::ReceiverKind::Tank => "tank inlet",
                layout::ReceiverKind::Sewer => "sewer invert",
            };
            receiver.invert.map(|level| Limit {
                level,
                who: Member::new(drain.id.clone(), says),
            })
        });
        let least = drain
            .line
            .menu
            .iter()
            .copied()
            .min_by(|a, b| a.in_per_ft().total_cmp(&b.in_per_ft()));
        let straight = drain.line.straight && receiver.is_some() && length > 0.0;
        let lie = match least {
            Some(grade) if straight => Lie::Straight(grade),
            Some(_) | None => Lie::Menu(drain.line.menu.clone()),
        };
        let size = drain.line_size(out);
        Some(Tail {
            id: drain.id.clone(),
            length,
            lie,
            bounds: self.cover_outside(drain, length, size),
            receiver,
            drop: (length > 0.0).then_some(DropRoom {
                least: two_bends(self.catalog, size),
                before: DROP_BEFORE,
                after: DROP_AFTER,
            }),
        })
    }

    /// Crown under the ground by the cover asked (none told: out of the ground is still too high), at every break of the
    /// ground's profile.
    fn cover_outside(&self, drain: &Drain, length: f64, size: Size) -> Vec<Bound> {
        let profile = self.layout.ground_along(drain);
        let pipe = self.catalog.pipe(size);
        let cover = self.layout.outside.cover.unwrap_or(0.0);
        let says = if cover > 0.0 {
            "lies under its cover outside"
        } else {
            "lies under the ground outside"
        };
        let cap = |at: f64| {
            let level = layout::ground_level(profile, at)? - cover - (pipe.od - pipe.wall);
            Some(Bound::cap(at, level, Member::new(drain.id.clone(), says)))
        };
        let breaks = profile
            .iter()
            .map(|(at, _)| *at)
            .filter(|at| *at > 0.0 && *at < length);
        std::iter::once(0.0)
            .chain(breaks)
            .chain([length])
            .filter_map(cap)
            .collect()
    }
}

/// Line kept between the wall and a drop before the receiver, inches: the pipe through the wall, its coupling, and pipe
/// that can be bedded. Our choice.
const DROP_BEFORE: f64 = 24.0;
/// Line kept after a drop, into the receiver, inches. Common practice, no source.
const DROP_AFTER: f64 = 12.0;

/// The sleeve for a drain's exit: as told, else the smallest pipe that is what the code asks; `None` where it
/// asks more than is made.
pub fn sleeve_size(drain: &Drain, catalog: &Catalog, rules: &Rules, out: Size) -> Option<Size> {
    drain.exit.sleeve.or_else(|| match rules.sleeve(out)? {
        Sleeve::Nominal { buy, .. } => buy,
        Sleeve::Clear { inches, .. } => Size::ALL
            .into_iter()
            .find(|size| catalog.pipe(*size).id() >= catalog.pipe(out).od + 2.0 * inches),
    })
}

/// The least offset two 45-degree bends make: their two take-offs and the shortest pipe between their stops, along the 45.
pub(crate) fn two_bends(catalog: &Catalog, size: Size) -> f64 {
    let bend = catalog.get(Pattern::EighthBend, Sizes::one(size));
    let take_off = bend
        .and_then(|bend| bend.end(EndName::Outlet).map(|end| end.take_off.value))
        .unwrap_or(0.0);
    (2.0 * take_off + catalog.pipe(size).shortest_piece()) * std::f64::consts::FRAC_1_SQRT_2
}

/// The level of the wall's bottom at a point of the outline: stepped footings have their own.
pub(crate) fn bottom_at(layout: &Layout, edge: &Edge, at: DVec2) -> f64 {
    let outline = layout.slab.as_ref().map_or(&[][..], |slab| &slab.outline);
    let off = |side: usize| crate::fit::distance_to_side(outline, side, at);
    let here = (0..outline.len()).min_by(|a, b| off(*a).total_cmp(&off(*b)));
    here.map_or(edge.bottom, |side| edge.bottom_along(side))
}

/// Stretches of one floor zone and one size, upstream to downstream: (station of the upstream end, a point inside).
pub fn stretches(slab: &Slab, run: &Run) -> Vec<(f64, DVec2)> {
    let mut stations: Vec<f64> = run.bores.iter().map(|bore| bore.from).collect();
    stations.push(run.path.length());
    for (a, b, station) in run.path.legs() {
        let enters = slab
            .zones
            .iter()
            .flat_map(|zone| ground::crossings(&zone.outline, a, b));
        stations.extend(enters.map(|t| station - t * a.distance(b)));
        stations.extend((!slab.zones.is_empty()).then_some(station));
    }
    stations.sort_by(|a, b| b.total_cmp(a));
    stations.dedup_by(|a, b| (*a - *b).abs() < SAME_LENGTH);
    let ends = stations.iter().skip(1).copied().chain([0.0]);
    let middle = |(from, to): (f64, f64)| (from, run.path.point_at(f64::midpoint(from, to)));
    stations.iter().copied().zip(ends).map(middle).collect()
}

fn cover_words(slab: &Slab, point: DVec2) -> String {
    let (_, layers) = ground::surface_at(slab, point);
    let covering = |layer: &&layout::Layer| match layer.material {
        layout::Material::Concrete | layout::Material::Foam | layout::Material::Sheet => true,
        layout::Material::Gravel | layout::Material::Sand => false,
    };
    let name = match layers.iter().rfind(covering).map(|layer| layer.material) {
        Some(layout::Material::Foam) => "foam",
        Some(layout::Material::Sheet) => "sheet",
        Some(layout::Material::Concrete | layout::Material::Gravel | layout::Material::Sand)
        | None => "concrete",
    };
    let zone = slab
        .zones
        .iter()
        .rev()
        .find(|zone| ground::inside(&zone.outline, point));
    zone.map_or_else(
        || format!("starts under the {name}"),
        |zone| format!("starts under the {name} of {}", zone.id),
    )
}
