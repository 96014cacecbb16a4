//! What a layout *is*, once read and resolved: one datum, no references left to follow but by id, no defaults left open.
//!
//! Plan points are inches east and north of the south-west corner of the outside of the form (the lower left corner of
//! the outline's bounding box); levels are inches from finished floor. What a *file* may say is in `file`.

use glam::DVec2;
use units::{Grade, Id, Size};

/// A resolved house with its drains. Vectors keep the order of the file; every id is unique across the whole layout.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Layout {
    /// The title, one line, may be empty.
    pub title: String,
    /// The day the layout was drawn, `2026-03-14`; `None` when not told.
    pub dated: Option<String>,
    /// The code on the permit; `None` when not told.
    pub code: Option<PermitCode>,
    /// Survey elevation of the finished floor in inches, when the file gives levels as elevations.
    pub floor_elevation: Option<f64>,
    /// The slab; `None` until its outline is told.
    pub slab: Option<Slab>,
    /// What carries the slab's edge, and what else stands in the ground.
    pub foundation: Foundation,
    /// Ground, frost and cover outside.
    pub outside: Outside,
    /// Framed walls.
    pub walls: Vec<Wall>,
    /// Cabinets and islands.
    pub cabinets: Vec<Cabinet>,
    /// Box-outs left open in the concrete.
    pub box_outs: Vec<BoxOut>,
    /// Rooms, for "what has no drain yet".
    pub rooms: Vec<Room>,
    /// Fixtures with their stub-ups.
    pub fixtures: Vec<Fixture>,
    /// Drains: one exit each.
    pub drains: Vec<Drain>,
    /// Runs of pipe, any order.
    pub runs: Vec<Run>,
    /// Cleanouts.
    pub cleanouts: Vec<Cleanout>,
    /// Water service and soil-gas pipes, and other things that cross or come up through the slab.
    pub services: Vec<Service>,
    /// What the file leaves unknown and matters, in the order of the first evening.
    pub to_tell: Vec<ToTell>,
}

impl Layout {
    /// The ground along a drain's line outside: its own where told, else that of the house. Empty when neither is told.
    pub fn ground_along<'a>(&'a self, drain: &'a Drain) -> &'a [(f64, f64)] {
        if drain.line.ground.is_empty() {
            &self.outside.ground
        } else {
            &drain.line.ground
        }
    }
}

/// The code family on the permit.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum PermitCode {
    /// International Residential Code.
    Irc,
    /// International Plumbing Code.
    Ipc,
    /// Uniform Plumbing Code.
    Upc,
}

/// Something still to tell.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct ToTell {
    /// The item's id, or the section's name.
    pub item: String,
    /// What is missing and, where it matters, what was assumed until it is told.
    pub what: String,
}

/// The slab and everything between finished floor and soil.
#[derive(Clone, PartialEq, Debug)]
pub struct Slab {
    /// Outside of the form, counter-clockwise, simple, at least three corners, not repeated at the end.
    pub outline: Vec<DVec2>,
    /// Layers from the top down. Gravel and sand are not cover; concrete, foam and sheet are.
    pub layers: Vec<Layer>,
    /// Clear distance wanted between the lowest covering layer and a pipe's crown (2 in unless told).
    pub gap: f64,
    /// Whether the bends under risers and vents must stay below the slab as a whole, hubs and all.
    pub hubs_below: bool,
    /// A post-tensioned slab: nothing in it is cut or moved without its engineer.
    pub post_tensioned: bool,
    /// Parts of the floor with their own height or layers.
    pub zones: Vec<Zone>,
}

/// One layer of the slab.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Layer {
    /// What it is.
    pub material: Material,
    /// Its thickness, not negative.
    pub thickness: f64,
}

/// Materials of slab layers.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Material {
    /// Concrete.
    Concrete,
    /// Foam insulation.
    Foam,
    /// Sheet: vapour barrier.
    Sheet,
    /// Gravel; a pipe may lie in it.
    Gravel,
    /// Sand; a pipe may lie in it.
    Sand,
}

/// A part of the floor with its own height or layers (garage, recess, porch).
#[derive(Clone, PartialEq, Debug)]
pub struct Zone {
    /// Its name.
    pub id: Id,
    /// Its outline, counter-clockwise, simple.
    pub outline: Vec<DVec2>,
    /// How much lower its surface lies than finished floor (negative: higher).
    pub drop: f64,
    /// Its layers from the top down; the slab's own when the file gives none.
    pub layers: Vec<Layer>,
}

/// What stands in the ground.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Foundation {
    /// What carries the slab's edge; `None` when not told.
    pub edge: Option<Edge>,
    /// Piers, grade beams, strips and interior footings.
    pub blocks: Vec<Block>,
}

/// The perimeter of the foundation, following the slab's outline with its outside face on the form.
#[derive(Clone, PartialEq, Debug)]
pub struct Edge {
    /// How it is built.
    pub kind: EdgeKind,
    /// Thickness of the wall, beam or turned-down edge at its bottom.
    pub thickness: f64,
    /// Level of its top.
    pub top: f64,
    /// Level of its bottom: top of footing (T.O.F.) under a stem wall, underside of a beam or turned-down edge.
    pub bottom: f64,
    /// The footing under it.
    pub footing: Option<Footing>,
}

impl Edge {
    /// Level of the bottom of the wall along a side of the outline (by the corner it starts at): the top of its footing there,
    /// where that steps.
    pub fn bottom_along(&self, side: usize) -> f64 {
        let mut steps = self.footing.iter().flat_map(|footing| &footing.steps);
        let here = steps.find(|step| step.side == side);
        here.map_or(self.bottom, |step| step.top)
    }
}

/// Kinds of slab edge.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum EdgeKind {
    /// Stem wall on a footing.
    StemWall,
    /// Foam-form stem wall on a footing.
    FoamForm,
    /// Turned-down edge of the slab itself.
    TurnedDown,
    /// Grade beam.
    GradeBeam,
}

/// The footing under a stem wall, centred on it.
#[derive(Clone, PartialEq, Debug)]
pub struct Footing {
    /// Width across.
    pub width: f64,
    /// Thickness; its underside (B.O.F.) is `Edge::bottom - thickness`.
    pub thickness: f64,
    /// Where the footing steps: corner-to-corner sides of the outline with their own level.
    pub steps: Vec<FootingStep>,
}

/// One side of the outline whose footing and wall bottom stand at another level.
#[derive(Clone, PartialEq, Debug)]
pub struct FootingStep {
    /// Index of the outline corner the side starts at.
    pub side: usize,
    /// Level of the footing's top along that side.
    pub top: f64,
}

/// Concrete of its own in the ground.
#[derive(Clone, PartialEq, Debug)]
pub struct Block {
    /// Its name.
    pub id: Id,
    /// What it is.
    pub kind: BlockKind,
    /// Its outline, counter-clockwise, convex.
    pub outline: Vec<DVec2>,
    /// Level of its top.
    pub top: f64,
    /// Level of its underside.
    pub bottom: f64,
}

/// Kinds of blocks.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum BlockKind {
    /// Pier or column footing.
    Pier,
    /// Interior footing.
    Footing,
    /// Grade beam.
    GradeBeam,
    /// Thickened strip of the slab.
    Strip,
}

/// The ground outside.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Outside {
    /// Ground along any line away from the house: (distance from the outside face, level), distances rising from 0.
    /// Level beyond the last. Empty when not told.
    pub ground: Vec<(f64, f64)>,
    /// Depth of frost below the ground; `None` when not told.
    pub frost: Option<f64>,
    /// Least cover over the sewer the town asks; `None` when not told.
    pub cover: Option<f64>,
    /// Soil that swells when wet and shrinks when dry.
    pub expansive_soil: bool,
}

/// A framed wall.
#[derive(Clone, PartialEq, Debug)]
pub struct Wall {
    /// Its name.
    pub id: Id,
    /// Start of the centre line of the framing.
    pub from: DVec2,
    /// End of the centre line of the framing.
    pub to: DVec2,
    /// Depth of the studs: 3.5 for a 2x4, 5.5 for a 2x6.
    pub framing: f64,
    /// Board and tile on the left side, looking from `from` to `to`.
    pub finish_left: f64,
    /// Board and tile on the right side.
    pub finish_right: f64,
    /// Stands on the foundation's edge: no soil under it, so no stub can come up in it.
    pub on_edge: bool,
}

/// A cabinet or island, possibly turned.
#[derive(Clone, PartialEq, Debug)]
pub struct Cabinet {
    /// Its name.
    pub id: Id,
    /// Its middle.
    pub centre: DVec2,
    /// Length along its own first axis, and depth.
    pub size: DVec2,
    /// Turn of its first axis from east, degrees counter-clockwise.
    pub turn_deg: f64,
    /// Height above the floor.
    pub height: f64,
}

/// A box-out left open in the concrete, for a tub or shower.
#[derive(Clone, PartialEq, Debug)]
pub struct BoxOut {
    /// Its name.
    pub id: Id,
    /// Its middle.
    pub centre: DVec2,
    /// Size along its own axes.
    pub size: DVec2,
    /// Turn from east, degrees counter-clockwise.
    pub turn_deg: f64,
    /// Depth below the floor surface there.
    pub depth: f64,
}

/// A room, so that the program may ask what has no drain yet.
#[derive(Clone, PartialEq, Debug)]
pub struct Room {
    /// Its name.
    pub id: Id,
    /// What it is used for.
    pub kind: RoomKind,
    /// Answers given about things that usually need a drain.
    pub drains: Vec<(FixtureKind, Answer)>,
}

/// Kinds of rooms.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum RoomKind {
    /// Bathroom.
    Bath,
    /// Kitchen.
    Kitchen,
    /// Laundry.
    Laundry,
    /// Mechanical or utility room.
    Mechanical,
    /// Mudroom.
    Mudroom,
    /// Garage.
    Garage,
    /// Anything else.
    Other,
}

impl RoomKind {
    /// What such a room usually has a drain for: common practice, no source. Of each list one answer is enough.
    pub fn usual_drains(self) -> &'static [&'static [FixtureKind]] {
        use FixtureKind as F;
        match self {
            Self::Bath => &[&[F::Closet], &[F::Lavatory], &[F::Tub, F::Shower]],
            Self::Kitchen => &[&[F::KitchenSink]],
            Self::Laundry => &[&[F::Washer], &[F::UtilitySink], &[F::FloorDrain]],
            Self::Mechanical => &[
                &[F::HeaterPan],
                &[F::Softener],
                &[F::Condensate],
                &[F::FloorDrain],
            ],
            Self::Mudroom => &[&[F::UtilitySink]],
            Self::Garage => &[&[F::FloorDrain]],
            Self::Other => &[],
        }
    }
}

/// An answer about a thing that usually needs a drain.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Answer {
    /// It is in the layout.
    Yes,
    /// Not wanted.
    No,
    /// A capped stub for later.
    Later,
}

/// A fixture and its stub-up.
#[derive(Clone, PartialEq, Debug)]
pub struct Fixture {
    /// Its name.
    pub id: Id,
    /// Its trade kind.
    pub kind: FixtureKind,
    /// Centre of its stub-up in plan.
    pub at: DVec2,
    /// What the stub must come up in.
    pub landing: Landing,
    /// Where its trap is.
    pub trap: TrapPlace,
    /// Size of its riser; `None` for the kind's usual.
    pub size: Option<Size>,
    /// Height the stub is left above finished floor; `None` for the kind's usual.
    pub top: Option<f64>,
    /// How its trap is vented.
    pub vent: Vent,
    /// A closet's back wall, whose finished face the rough-in is taken from.
    pub back_wall: Option<Id>,
    /// The rough-in the closet is made for (12 in unless told).
    pub rough_in: Option<f64>,
    /// Whether a boot seals the sheet to it; `None` leaves it to what is usual in the town.
    pub boot: Option<bool>,
    /// Roughed in now, set later.
    pub later: bool,
}

/// Trade kinds of fixtures.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum FixtureKind {
    /// Water closet.
    Closet,
    /// Lavatory.
    Lavatory,
    /// Bathtub, with or without a shower over it.
    Tub,
    /// Shower.
    Shower,
    /// Kitchen sink, with dishwasher or disposer.
    KitchenSink,
    /// Bar sink.
    BarSink,
    /// Utility sink (laundry tray).
    UtilitySink,
    /// Clothes washer standpipe.
    Washer,
    /// Bidet.
    Bidet,
    /// Floor drain.
    FloorDrain,
    /// Water heater pan or relief drain.
    HeaterPan,
    /// Softener.
    Softener,
    /// Condensate.
    Condensate,
    /// Hose sink or yard sink outside.
    HoseSink,
}

impl FixtureKind {
    /// The word a layout uses for it: `kitchen_sink`.
    pub fn word(self) -> &'static str {
        crate::words::fixture_word(self)
    }
}

/// What a stub-up must come up in.
#[derive(Clone, PartialEq, Debug)]
pub enum Landing {
    /// In the framing of this wall.
    Wall(Id),
    /// Inside this cabinet.
    Cabinet(Id),
    /// Inside this box-out.
    BoxOut(Id),
    /// Through open floor (a closet, a floor drain).
    Floor,
}

/// Where the trap is.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum TrapPlace {
    /// Built into the fixture (closet, bidet of that make).
    InFixture,
    /// Above the floor, in the wall or cabinet: the trap arm enters the riser's tee.
    InWall {
        /// Height of the middle of the tee's branch above finished floor; `None` where it is not told.
        tee: Option<f64>,
    },
    /// Under the slab: the stub drops to a trap. The run starts at the trap's weir.
    UnderSlab {
        /// Plan distance from the fixture outlet to the trap's weir.
        across: f64,
    },
}

/// How a trap is vented.
#[derive(Clone, PartialEq, Debug)]
pub enum Vent {
    /// The riser goes on up the wall as a dry vent.
    Riser,
    /// A dry vent leaves the trap arm under the slab at `take_off` and comes up at `up` in `wall`.
    TakeOff {
        /// On the fixture's run, in plan.
        take_off: DVec2,
        /// Where the vent comes up.
        up: DVec2,
        /// In which wall.
        wall: Id,
    },
    /// Shares the vent of this fixture.
    Common(Id),
    /// Wet-vented by the drain of this fixture.
    Wet(Id),
    /// Island loop: the vent comes down again at `down`, beside the riser, and goes on under the slab as a foot vent that
    /// comes up at `up` in `wall`.
    IslandLoop {
        /// Where the loop comes down through the floor.
        down: DVec2,
        /// Where the foot vent comes up.
        up: DVec2,
        /// In which wall.
        wall: Id,
    },
    /// Air admittance valve.
    Admittance,
    /// Combination waste and vent: one larger flat pipe drains and breathes together.
    Combination,
    /// Something else, in the owner's words.
    Other(String),
    /// Not told.
    Unknown,
}

/// One drain: from its runs out through the foundation to a receiver.
#[derive(Clone, PartialEq, Debug)]
pub struct Drain {
    /// Its name.
    pub id: Id,
    /// Where it leaves.
    pub exit: Exit,
    /// The line outside.
    pub line: OutsideLine,
    /// Where it goes; `None` when not told.
    pub receiver: Option<Receiver>,
}

impl Drain {
    /// The size of its line outside: its own, else that of the exit, else that of the trunk as it leaves.
    pub fn line_size(&self, trunk: Size) -> Size {
        self.line.size.or(self.exit.size).unwrap_or(trunk)
    }
}

/// Where a drain leaves the foundation.
#[derive(Clone, PartialEq, Debug)]
pub struct Exit {
    /// On the outside face of the foundation, in plan.
    pub at: DVec2,
    /// By which way.
    pub way: ExitWay,
    /// Size of the pipe as it leaves; the trunk's last size when `None`.
    pub size: Option<Size>,
    /// Size of the sleeve; the code's when `None`.
    pub sleeve: Option<Size>,
    /// Level of the sleeve's inside bottom when it stands already.
    pub sleeve_bottom: Option<f64>,
    /// Cored and sealed instead of sleeved.
    pub cored: bool,
}

/// Ways out through the foundation.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum ExitWay {
    /// Through the wall, beam or turned-down edge.
    Through,
    /// Under the footing.
    Under,
    /// Through if it can, else under.
    Either,
}

/// The line outside, from the outside face to the receiver.
#[derive(Clone, PartialEq, Debug)]
pub struct OutsideLine {
    /// Developed length; `None` when not told.
    pub length: Option<f64>,
    /// Its size; the exit's when `None`.
    pub size: Option<Size>,
    /// Grades it may lie at, or straight to the receiver's level at no less than the least of them.
    pub menu: Vec<Grade>,
    /// Whether it runs straight to the receiver's invert at whatever grade that gives.
    pub straight: bool,
    /// Compass direction in plan it leaves by, degrees counter-clockwise from east; square off the face when `None`.
    pub heading_deg: Option<f64>,
    /// Ground along this line; the layout's own when empty.
    pub ground: Vec<(f64, f64)>,
}

/// Where a drain goes.
#[derive(Clone, PartialEq, Debug)]
pub struct Receiver {
    /// Tank or sewer.
    pub kind: ReceiverKind,
    /// Invert of its inlet; `None` when not told.
    pub invert: Option<f64>,
    /// How that level is known.
    pub known: Known,
    /// Level of the cover of the next manhole up the sewer from here; `None` when not told.
    pub manhole: Option<f64>,
}

/// Kinds of receivers.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum ReceiverKind {
    /// Septic tank.
    Tank,
    /// Public sewer or lateral.
    Sewer,
}

/// How a level is known.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Known {
    /// Measured by the owner.
    Measured,
    /// Told by someone.
    Told,
    /// Not known.
    Unknown,
}

/// A run of pipe: a plan line between two ends. Not a size: it may carry increasers.
#[derive(Clone, PartialEq, Debug)]
pub struct Run {
    /// Its name.
    pub id: Id,
    /// Upstream end.
    pub from: RunStart,
    /// Corners between the ends, upstream to downstream.
    pub via: Vec<DVec2>,
    /// Downstream end.
    pub to: RunEnd,
    /// Size at its upstream end; `None` for `auto`.
    pub size: Option<Size>,
    /// Increasers along it: (point on the run, the larger size), upstream to downstream.
    pub increasers: Vec<(DVec2, Size)>,
    /// Grades it may lie at, none repeated; `[1/4]` unless told.
    pub menu: Vec<Grade>,
    /// Invert at its upstream end when the owner fixes it.
    pub start_invert: Option<f64>,
    /// How its outlet may meet the run it joins.
    pub joins: JoinChoice,
}

/// Upstream end of a run.
#[derive(Clone, PartialEq, Debug)]
pub enum RunStart {
    /// At this fixture's riser or trap.
    Fixture(Id),
    /// At this cleanout's riser.
    Cleanout(Id),
    /// At a bare point (a capped end for later).
    Point(DVec2),
}

/// Downstream end of a run.
#[derive(Clone, PartialEq, Debug)]
pub enum RunEnd {
    /// Joins this run, at a point on it; where a 45-degree branch meets it when `at` is `None`.
    Run {
        /// The run joined.
        run: Id,
        /// The junction.
        at: Option<DVec2>,
    },
    /// Leaves by this drain's exit.
    Drain(Id),
}

/// How a branch may join.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum JoinChoice {
    /// Flat: axes in one plane.
    Flat,
    /// Flat, or rolled up.
    Rolled,
    /// Flat, rolled or dropped in by two bends: whatever fits.
    Any,
}

/// A cleanout.
#[derive(Clone, PartialEq, Debug)]
pub struct Cleanout {
    /// Its name.
    pub id: Id,
    /// Where it comes up, in plan.
    pub at: DVec2,
    /// The run it stands on; `None` when a run starts at it, or it stands on the outside line.
    pub on: Option<Id>,
    /// The drain whose outside line it stands on.
    pub outside: Option<Id>,
    /// Its own size; `None` for that of the pipe it stands on, or of the run that starts at it.
    pub size: Option<Size>,
    /// Which way a cable goes from it.
    pub cleans: Cleans,
    /// Whether a boot seals the sheet to it; `None` leaves it to what is usual in the town.
    pub boot: Option<bool>,
    /// Height of its top above finished floor (negative when it ends at the ground outside).
    pub top: f64,
    /// What it comes up in.
    pub landing: Landing,
}

/// Which way a cable goes from a cleanout.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug, Default)]
pub enum Cleans {
    /// With the flow: a one-way cleanout as it is mostly set, a wye on its back and an eighth bend.
    #[default]
    Downstream,
    /// Against the flow: the same, turned about.
    Upstream,
    /// Both ways: a two-way cleanout.
    Both,
}

impl Cleans {
    /// Whether a cable goes the way the water runs.
    pub fn downstream(self) -> bool {
        matches!(self, Self::Downstream | Self::Both)
    }

    /// Whether a cable goes against the water.
    pub fn upstream(self) -> bool {
        matches!(self, Self::Upstream | Self::Both)
    }
}

/// Something else that lies under or comes up through the slab.
#[derive(Clone, PartialEq, Debug)]
pub struct Service {
    /// Its name.
    pub id: Id,
    /// What it is.
    pub kind: ServiceKind,
    /// Plan line, at least two points, from outside (or its tee) to where it comes up.
    pub path: Vec<DVec2>,
    /// Level of its centre under the slab.
    pub level: f64,
    /// Outside diameter.
    pub od: f64,
    /// Whether a boot seals the sheet to it; `None` leaves it to what is usual in the town.
    pub boot: Option<bool>,
    /// Height it is left above finished floor.
    pub top: f64,
    /// What it comes up in.
    pub landing: Landing,
}

/// Kinds of services.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum ServiceKind {
    /// Potable water service.
    Water,
    /// Soil-gas (radon) pipe from its tee in the gravel.
    SoilGas,
    /// Electrical conduit.
    Conduit,
    /// Fuel gas sleeve.
    Gas,
}
