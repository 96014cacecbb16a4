//! Which way a vent goes from the wye on its drain to where it comes up: every node of it, before anything is laid.
//!
//! A dry vent comes up over its drain, or aside of it by a rolled wye. An island loop comes down beside its riser into a level
//! stretch that drains back into the branch by such a wye and goes on to the wall as the foot vent.

use catalog::{Catalog, EndName, Part, Pattern, Sizes};
use glam::{DVec2, DVec3};
use layout::Layout;
use network::{Network, Run, VentLine};
use units::Size;

use crate::{
    arm,
    lay::{Make, Node, Wait},
    turn,
};

/// Slope of a vent's level stretch, inches per foot, so that it drains back. Common practice, no source.
const VENT_SLOPE: f64 = 0.25;
/// Pipe is laid to a sixteenth: so much is kept to the slab where a foot vent just fits under it.
const LAID: f64 = 1.0 / 16.0;
/// A vent that comes up this near to the line of its drain, inches, stands over it. Our choice.
const OVER_IT: f64 = 1.0;
/// A foot vent this near in line with the stretch from the drain needs no bend, inches. Our choice.
const IN_LINE: f64 = 0.5;

/// A point of a run's axis and its flow there.
pub(crate) struct Crossing {
    pub(crate) at: DVec3,
    pub(crate) f: DVec3,
    pub(crate) station: f64,
}

/// How a vent rises from its run.
pub(crate) struct VentPlan {
    /// Station of its wye.
    pub(crate) station: f64,
    /// Toward the wye's branch.
    pub(crate) toward: DVec3,
    /// What stands on the way, from the drain on.
    pub(crate) nodes: Vec<Node>,
    /// The eighth bend under an island loop's return, behind the wye on the way, and whether it sits in it by a street end.
    pub(crate) returns: Option<(DVec3, bool)>,
}

/// What a vent is planned from.
pub(crate) struct Site<'a> {
    pub(crate) layout: &'a Layout,
    pub(crate) catalog: &'a Catalog,
    pub(crate) run: &'a Run,
    pub(crate) vent: &'a VentLine,
    /// Index of the vent in the network.
    pub(crate) index: usize,
}

impl VentPlan {
    /// The way of a vent, its run's axis known at every station; `None` where no fittings make it.
    pub(crate) fn new(site: &Site, axis: impl Fn(f64) -> Crossing) -> Option<Self> {
        let length = site.run.path.length();
        if let Some(down) = site.vent.down {
            let crossing = axis(site.run.path.nearest(down).0);
            return best(site.island(down, &crossing));
        }
        let keep = (length / 2.0).min(12.0);
        let (near, _) = site.run.path.nearest(site.vent.up);
        let crossing = axis(near.clamp(keep, length - keep));
        let wye = site.wye_on(&crossing)?;
        let side = crossing.side(site.vent.up);
        if side.length() < OVER_IT {
            return site.over(&crossing, wye);
        }
        site.aside(&crossing, wye, side)
    }
}

/// The first way that keeps clear of the slab; where none does, the last, which lies lowest.
fn best(mut made: Vec<(f64, VentPlan)>) -> Option<VentPlan> {
    let clear = made.iter().position(|(over, _)| *over < 1.0 / 64.0);
    let best = clear.or_else(|| made.len().checked_sub(1))?;
    Some(made.swap_remove(best).1)
}

impl Crossing {
    /// The way from the run's line square to it to a point in plan.
    fn side(&self, to: DVec2) -> DVec2 {
        let (across, f) = (to - self.at.truncate(), self.f.truncate());
        across - f * across.dot(f) / f.length_squared().max(1e-9)
    }
}

impl<'a> Site<'a> {
    /// Of one vent of a network.
    pub(crate) fn of(
        layout: &'a Layout,
        catalog: &'a Catalog,
        network: &'a Network,
        index: usize,
    ) -> Self {
        let vent = &network.vents[index];
        Self {
            layout,
            catalog,
            run: &network.trees[vent.run.0].runs[vent.run.1],
            vent,
            index,
        }
    }

    /// The run where a point in plan is nearest, its axis taken at finished floor: what is wanted below it is a depth then.
    /// `None` for a run without a grade.
    fn at_the_floor(&self, to: DVec2) -> Option<Crossing> {
        let slope = self.run.menu.first()?.in_per_ft() / 12.0;
        let station = self.run.path.nearest(to).0;
        Some(Crossing {
            at: self.run.path.point_at(station).extend(0.0),
            f: self
                .run
                .path
                .direction_at(station)
                .extend(-slope)
                .normalize(),
            station,
        })
    }
}

impl Site<'_> {
    fn size(&self) -> Size {
        made_size(self.catalog, self.vent.size)
    }

    fn wye_on(&self, crossing: &Crossing) -> Option<Part> {
        let run = self.run.size_at(crossing.station);
        arm::wye(self.catalog, run, self.size())
    }

    fn node(&self, at: DVec3, pattern: Pattern, street: bool) -> Node {
        Node {
            at,
            make: Make::Bend { pattern, street },
            size: self.size(),
            waits: Vec::new(),
        }
    }

    /// The underside of the slab's covering layers.
    fn roof(&self, at: DVec2) -> f64 {
        let slab = self.layout.slab.as_ref();
        slab.map_or(f64::INFINITY, |slab| crate::cover_over(slab, at))
    }

    /// The rims of the hubs that look up: under what comes up at the wall, and under an island loop's return.
    fn hubs_up(&self, plan: &VentPlan) -> Vec<DVec3> {
        let socket = self.catalog.pipe(self.size()).socket_depth.value;
        let rim = |corner: DVec3, bend: Pattern, street: bool| {
            let street = turn::street(self.catalog, bend, self.size()).filter(|_| street);
            let pattern = street.map_or(bend, |part| part.pattern);
            let up = turn::take_off(self.catalog, pattern, self.size(), EndName::Inlet);
            corner + DVec3::Z * (up + socket)
        };
        let last = plan.nodes.last().and_then(|node| match node.make {
            Make::Bend { pattern, street } => Some(rim(node.at, pattern, street)),
            Make::Fitting { .. } | Make::About { .. } => None,
        });
        let back = plan.returns;
        let back = back.map(|(at, street)| rim(at, Pattern::EighthBend, street));
        last.into_iter().chain(back).collect()
    }

    fn half_hub(&self) -> f64 {
        self.catalog.pipe(self.size()).hub_od.value / 2.0
    }

    /// How far the hub at a place reaches up into the slab's covering layers; negative where it keeps clear.
    fn hub_over(&self, at: DVec3) -> f64 {
        at.z + self.half_hub() - self.roof(at.truncate())
    }

    /// Upright right over the run: the wye moves so that its bend stands under the stub.
    fn over(&self, crossing: &Crossing, wye: Part) -> Option<VentPlan> {
        let bend = Some(&[Pattern::EighthBend][..]);
        let (f, at) = (crossing.f, crossing.at);
        let arm = arm::flat(self.catalog, wye, self.size(), f, DVec3::Z, at, bend);
        let slide = (self.vent.up.extend(at.z) - at).dot(f);
        let bend = arm.bend? + f * slide;
        Some(VentPlan {
            station: crossing.station - arm.shift - slide,
            toward: arm.toward,
            nodes: vec![self.node(bend, Pattern::EighthBend, arm.street)],
            returns: None,
        })
    }

    /// Rolled 45 up: straight to a sixth bend under the stub, or level to a quarter bend, as square as the slab leaves
    /// room for.
    fn aside(&self, crossing: &Crossing, wye: Part, side: DVec2) -> Option<VentPlan> {
        let straight = self.straight(crossing, wye, side);
        if let Some((_, plan)) = straight.filter(|(over, _)| *over < 0.0) {
            return Some(plan);
        }
        best(self.level_ways(crossing, wye))
    }

    /// Straight up at 45 degrees to a sixth bend under the stub; how far it reaches into the slab.
    fn straight(&self, crossing: &Crossing, wye: Part, side: DVec2) -> Option<(f64, VentPlan)> {
        let square = side.normalize_or_zero().extend(0.0);
        let toward = arm::rolled_toward(crossing.f, square, 45.0);
        let least = arm::least_arm(self.catalog, wye, self.size(), Pattern::SixthBend) + 0.25;
        let on = self.vent.up.extend(crossing.at.z);
        let (shift, reach, up) = arm::meet(crossing.at, crossing.f, toward, on, DVec3::Z)?;
        let bend = on + DVec3::Z * up;
        let plan = VentPlan {
            station: crossing.station - shift,
            toward,
            nodes: vec![self.node(bend, Pattern::SixthBend, false)],
            returns: None,
        };
        (reach >= least).then(|| (self.reaches(self.hub_over(bend), &plan), plan))
    }

    fn level_ways(&self, crossing: &Crossing, wye: Part) -> Vec<(f64, VentPlan)> {
        let ways = LEVEL_WAYS.iter();
        ways.filter_map(|way| self.level(crossing, wye, way))
            .collect()
    }

    /// How far a vent reaches into the slab: what lies of it, and where hubs are to stay below, those that look up as well.
    fn reaches(&self, lying: f64, plan: &VentPlan) -> f64 {
        let below = self
            .layout
            .slab
            .as_ref()
            .is_some_and(|slab| slab.hubs_below);
        if below {
            lying.max(self.rims_over(plan))
        } else {
            lying
        }
    }

    /// How far the hubs that look up reach into the slab.
    fn rims_over(&self, plan: &VentPlan) -> f64 {
        let rims = self.hubs_up(plan).into_iter();
        let over = rims.map(|rim| rim.z - self.roof(rim.truncate()));
        over.fold(f64::NEG_INFINITY, f64::max)
    }

    /// Rolled up, by a bend to level, and by a quarter bend up under the stub; how far it reaches into the slab.
    fn level(&self, crossing: &Crossing, wye: Part, way: &LevelWay) -> Option<(f64, VentPlan)> {
        let leave = self.leave(crossing, wye, way, self.vent.up)?;
        let foot = leave.at(self.vent.up, leave.left, way.slope);
        let over = self.hub_over(leave.knee).max(self.hub_over(foot));
        let plan = VentPlan {
            station: leave.station,
            toward: leave.toward,
            nodes: vec![
                self.node(leave.knee, way.bend, way.street),
                self.node(foot, self.quarter(), false),
            ],
            returns: None,
        };
        Some((self.reaches(over, &plan), plan))
    }

    /// From a wye on the run by a bend to a level line that leads through a point in plan.
    fn leave(
        &self,
        crossing: &Crossing,
        wye: Part,
        way: &LevelWay,
        through: DVec2,
    ) -> Option<Leave> {
        let (catalog, size) = (self.catalog, self.size());
        let along = crossing.f.truncate().normalize_or_zero();
        let side = crossing.side(through);
        let square = side.normalize_or_zero();
        let toward = arm::rolled_toward(crossing.f, square.extend(0.0), way.roll);
        let street = turn::street(catalog, way.bend, size).filter(|_| way.street);
        if way.street && (street.is_none() || wye.sizes.branch != Some(size)) {
            return None;
        }
        let arm = match street {
            Some(part) => {
                arm::branch_leg(catalog, wye, size)
                    + turn::take_off(catalog, part.pattern, size, EndName::Outlet)
            }
            None => arm::least_arm(catalog, wye, size, way.bend) + 0.25,
        };
        let plan = arm::lands(way.roll, arm::degrees(way.bend)).to_radians();
        let ahead = square * plan.sin() - along * plan.cos();
        let left = (side.length() - arm * toward.truncate().dot(square)) / plan.sin();
        let knee = through - ahead * left;
        let start = knee - toward.truncate() * arm;
        let on = (start - crossing.at.truncate()).dot(along);
        let drop = crossing.f.z / crossing.f.truncate().length().max(1e-9);
        let knee = knee.extend(crossing.at.z + on * drop + arm * toward.z);
        let station = crossing.station - on;
        let on_the_run = left > 0.0 && station > 0.0 && station < self.run.path.length();
        on_the_run.then_some(Leave {
            station,
            toward,
            knee,
            ahead,
            left,
        })
    }

    fn quarter(&self) -> Pattern {
        let long = Pattern::QuarterBendLongTurn;
        let made = turn::take_off(self.catalog, long, self.size(), EndName::Inlet) > 0.0;
        if made {
            long
        } else {
            Pattern::QuarterBendShort
        }
    }

    /// The ways of an island loop: each with how far it reaches into the slab.
    fn island(&self, down: DVec2, crossing: &Crossing) -> Vec<(f64, VentPlan)> {
        let Some(wye) = self.wye_on(crossing) else {
            return Vec::new();
        };
        let ways = ISLAND_WAYS.iter();
        ways.filter_map(|way| self.island_way(down, crossing, wye, way))
            .collect()
    }

    fn island_way(
        &self,
        down: DVec2,
        crossing: &Crossing,
        wye: Part,
        way: &LevelWay,
    ) -> Option<(f64, VentPlan)> {
        let leave = self.leave(crossing, wye, way, down)?;
        let (catalog, size) = (self.catalog, self.size());
        let under = leave.at(down, leave.left, way.slope);
        let back = -leave.ahead.extend(way.slope / 12.0).normalize();
        let upright = arm::wye(catalog, size, size)?;
        let bend = Some(&[Pattern::EighthBend][..]);
        let arm = arm::flat(catalog, upright, size, back, DVec3::Z, under, bend);
        let inlet = catalog.get(upright.pattern, upright.sizes)?;
        let past = inlet.end(EndName::Inlet)?.take_off.value - arm.shift;
        let on = self.on_to_the_wall(down, &leave, past)?;
        let mut nodes = vec![
            self.node(leave.knee, way.bend, way.street),
            Node {
                at: under + back * arm.shift,
                make: Make::Fitting {
                    part: upright,
                    toward: arm.toward,
                },
                size,
                waits: vec![(EndName::Branch, Wait::Return(self.index))],
            },
        ];
        nodes.extend(on.corner.map(|(before, pattern)| {
            let plan = down + leave.ahead * before;
            let at = leave.at(plan, leave.left + before, way.slope);
            self.node(at, pattern, false)
        }));
        let foot = leave.at(self.vent.up, leave.left + on.length, way.slope);
        nodes.push(self.node(foot, self.quarter(), false));
        let over = nodes.iter().map(|node| self.hub_over(node.at));
        let over = over.fold(f64::NEG_INFINITY, f64::max);
        let plan = VentPlan {
            station: leave.station,
            toward: leave.toward,
            nodes,
            returns: arm.bend.map(|bend| (bend, arm.street)),
        };
        Some((self.reaches(over, &plan), plan))
    }

    /// The way from an island loop's return on to the wall; `past` is how far after the return the wye's stop is. `None` where
    /// no one bend leads there.
    fn on_to_the_wall(&self, down: DVec2, leave: &Leave, past: f64) -> Option<OnToTheWall> {
        let (catalog, size) = (self.catalog, self.size());
        let least = catalog.pipe(size).shortest_piece();
        let on = self.vent.up - down;
        let (s, w) = (on.dot(leave.ahead), on.perp_dot(leave.ahead).abs());
        let end = turn::take_off(catalog, self.quarter(), size, EndName::Outlet);
        if w <= IN_LINE {
            return (s >= past + least + end).then_some(OnToTheWall {
                corner: None,
                length: s,
            });
        }
        CORNERS.iter().find_map(|(degrees, pattern)| {
            let turn = degrees.to_radians();
            let (before, after) = (s - w / turn.tan(), w / turn.sin());
            let leg = |name| turn::take_off(catalog, *pattern, size, name);
            let room = leg(EndName::Outlet) > 0.0
                && before >= past + least + leg(EndName::Outlet)
                && after >= leg(EndName::Inlet) + least + end;
            room.then_some(OnToTheWall {
                corner: Some((before, *pattern)),
                length: before + after,
            })
        })
    }
}

/// From an island loop's return to where its foot vent comes up.
struct OnToTheWall {
    /// How far after the return the bend stands, and which.
    corner: Option<(f64, Pattern)>,
    /// From the return to the wall.
    length: f64,
}

/// From a wye on a run to a level line.
struct Leave {
    station: f64,
    toward: DVec3,
    /// Where the bend behind the wye stands.
    knee: DVec3,
    /// Along the line, away from the drain.
    ahead: DVec2,
    /// From the knee to the point the line leads through.
    left: f64,
}

impl Leave {
    /// The axis over a place in plan, so many inches from the knee along the line.
    fn at(&self, plan: DVec2, from_knee: f64, slope: f64) -> DVec3 {
        plan.extend(self.knee.z + from_knee * slope / 12.0)
    }
}

/// How deep an island loop's branch must lie so that the foot vent keeps under the slab on its way up to its wall: station
/// and centre of the branch there. `None` where no fittings make the loop.
pub(crate) fn island_needs(
    layout: &Layout,
    catalog: &Catalog,
    (network, index): (&Network, usize),
) -> Option<(f64, f64)> {
    let vent = &network.vents[index];
    let down = vent.down?;
    let site = Site::of(layout, catalog, network, index);
    let crossing = site.at_the_floor(down)?;
    let ways = site.island(down, &crossing);
    let least = ways
        .iter()
        .map(|(over, _)| *over)
        .min_by(f64::total_cmp)
        .filter(|over| over.is_finite())?;
    Some((crossing.station, -least - LAID))
}

/// How deep a vent's drain must lie so that no hub of the bends that send it up reaches into the slab, by the way that asks
/// least: station and centre of the drain there. `None` for an island's loop, which has needs of its own, and where no
/// fittings make the vent.
pub(crate) fn below_the_slab(
    layout: &Layout,
    catalog: &Catalog,
    (network, index): (&Network, usize),
) -> Option<(f64, f64)> {
    let vent = &network.vents[index];
    if vent.down.is_some() {
        return None;
    }
    let site = Site::of(layout, catalog, network, index);
    let crossing = site.at_the_floor(vent.up)?;
    let wye = site.wye_on(&crossing)?;
    let side = crossing.side(vent.up);
    let over: Vec<f64> = if side.length() < OVER_IT {
        let plan = site.over(&crossing, wye);
        plan.iter().map(|plan| site.rims_over(plan)).collect()
    } else {
        let ways = site.level_ways(&crossing, wye).into_iter();
        let all = ways.chain(site.straight(&crossing, wye, side));
        all.map(|(over, _)| over).collect()
    };
    let least = over.into_iter().min_by(f64::total_cmp)?;
    least
        .is_finite()
        .then_some((crossing.station, -least - LAID))
}

/// Bends between an island loop's return and its wall, as they are tried.
const CORNERS: [(f64, Pattern); 4] = [
    (45.0, Pattern::EighthBend),
    (22.5, Pattern::SixteenthBend),
    (60.0, Pattern::SixthBend),
    (90.0, Pattern::QuarterBendLongTurn),
];

/// A way of a vent from its wye to level.
struct LevelWay {
    /// Roll of the wye, degrees above level.
    roll: f64,
    /// The bend behind it.
    bend: Pattern,
    /// By a street end in the wye's hub.
    street: bool,
    /// Slope of the level stretch, in/ft.
    slope: f64,
}

const fn way(roll: f64, bend: Pattern, street: bool, slope: f64) -> LevelWay {
    LevelWay {
        roll,
        bend,
        street,
        slope,
    }
}

/// The square one first, then those that lie lower, for where the slab leaves no room.
const LEVEL_WAYS: [LevelWay; 5] = [
    way(45.0, Pattern::SixthBend, false, VENT_SLOPE),
    way(45.0, Pattern::SixthBend, true, VENT_SLOPE),
    way(30.0, Pattern::EighthBend, true, VENT_SLOPE),
    way(22.5, Pattern::EighthBend, true, VENT_SLOPE),
    way(20.0, Pattern::EighthBend, true, VENT_SLOPE / 2.0),
];

/// The same for an island's loop, which is piped as a drain and so keeps a drain's slope; its connection need only be to the
/// top half of the branch. From memory of IPC 916 and IRC P3112.
const ISLAND_WAYS: [LevelWay; 5] = [
    way(45.0, Pattern::SixthBend, false, VENT_SLOPE),
    way(45.0, Pattern::SixthBend, true, VENT_SLOPE),
    way(30.0, Pattern::EighthBend, true, VENT_SLOPE),
    way(20.0, Pattern::EighthBend, true, VENT_SLOPE),
    way(10.0, Pattern::EighthBend, true, VENT_SLOPE),
];

/// Sets each dry vent to the size that is bought for it: the rules name the least that may be, and of some sizes no bends are
/// made.
pub fn pipe_vents(network: &mut Network, catalog: &Catalog) {
    for vent in &mut network.vents {
        vent.size = made_size(catalog, vent.size);
    }
}

/// The size a vent is piped in: the least that has bends for it (1-1/4 in has none).
pub(crate) fn made_size(catalog: &Catalog, size: Size) -> Size {
    let has_bends = |s: &Size| {
        [Pattern::EighthBend, Pattern::SixthBend]
            .iter()
            .all(|bend| catalog.get(*bend, Sizes::one(*s)).is_some())
    };
    Size::ALL
        .into_iter()
        .filter(|s| *s >= size)
        .find(has_bends)
        .unwrap_or(size)
}
