//! What stands in the ground once the levels are known: bodies made of tubes, and the stub-ups they end in.

use glam::{DVec2, DVec3};
use layout::{Landing, Layout};
use units::{Id, Size};

/// All piping of a layout, placed.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Assembly {
    /// Every body: those of the glued pieces name by name in the order they are glued, each name's upstream ones first;
    /// then what could not be laid, sleeves and services.
    pub bodies: Vec<Body>,
    /// Every stub-up.
    pub stubs: Vec<Stub>,
    /// Levels of each run: `runs[tree][run]`, as in the network.
    pub runs: Vec<Vec<grades::Line>>,
    /// Every piece of drain and vent pipe and every fitting that is glued, each nearer the exit before those that hang
    /// on it.
    pub pieces: Vec<crate::Piece>,
    /// The joints between them: every piece but the one in the wall is the far piece of exactly one.
    pub joints: Vec<crate::GlueJoint>,
    /// How near each stub's chain comes to where the stub must stand.
    pub closures: Vec<crate::Closure>,
    /// Sanitary tees that go on stubs when the walls stand, where their height is told; none of them is among the pieces.
    pub wall_tees: Vec<crate::WallTee>,
    /// What cannot be made as drawn.
    pub troubles: Vec<crate::Trouble>,
}

/// One member of the piping.
#[derive(Clone, PartialEq, Debug)]
pub struct Body {
    /// The run, riser, vent or sleeve in the layout.
    pub id: Id,
    /// The part it plays.
    pub part: Part,
    /// What it carries.
    pub flow: Flow,
    /// Nominal size.
    pub size: Size,
    /// Its tubes. A pipe's go from upstream to downstream, each from stop to stop, with gaps where fittings stand; a
    /// fitting's are its hubs, legs and sweeps. Bends are chords whose radius is grown by their sagitta.
    pub tubes: Vec<Tube>,
    /// Bodies that share a joint with this one: indices into the same list. Near the shared joint they may touch.
    pub joined: Vec<usize>,
}

/// The part a body plays.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Part {
    /// Straight pipe: all of one run, or of one line outside, in one size.
    Pipe,
    /// One fitting, with its hubs.
    Fitting,
    /// A riser through the slab (stub-up).
    Riser,
    /// A trap.
    Trap,
    /// A sleeve in a wall or footing, or an arch.
    Sleeve,
    /// A cleanout and its plug.
    Cleanout,
}

/// What a body carries.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Flow {
    /// Waste.
    Drain,
    /// Air only.
    Vent,
    /// Potable water service.
    Water,
    /// Soil gas (radon) pipe.
    SoilGas,
    /// Nothing: a sleeve or a conduit.
    Empty,
}

/// A straight tube: a segment with a radius.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Tube {
    /// Upstream end, on the axis.
    pub a: DVec3,
    /// Downstream end, on the axis.
    pub b: DVec3,
    /// Outside radius.
    pub radius: f64,
}

impl Tube {
    /// Its highest point, inches from finished floor; its ends are flat.
    pub fn top(&self) -> f64 {
        let along = (self.b - self.a).normalize_or_zero();
        self.a.z.max(self.b.z) + self.radius * along.truncate().length()
    }
}

/// A pipe end left standing above the slab.
#[derive(Clone, PartialEq, Debug)]
pub struct Stub {
    /// Its name in the layout: the fixture, cleanout or service, or the fixture whose vent it is.
    pub id: Id,
    /// What it belongs to.
    pub of: StubOf,
    /// Nominal size; `None` for a service not made of DWV pipe.
    pub size: Option<Size>,
    /// Outside diameter.
    pub od: f64,
    /// Outside diameter of the hub that will sit on it.
    pub hub_od: f64,
    /// Its centre in plan.
    pub at: DVec2,
    /// Level it is left at, from finished floor.
    pub top: f64,
    /// What it must come up in.
    pub landing: Landing,
    /// What it carries.
    pub flow: Flow,
    /// Its body.
    pub body: usize,
    /// Whether a boot seals the sheet under the slab to it.
    pub booted: bool,
}

impl Stub {
    /// Whether it comes up in the yard, beyond the slab: a cleanout's on the line outside.
    pub fn stands_outside(&self, layout: &Layout) -> bool {
        match self.of {
            StubOf::Cleanout(c) => layout
                .cleanouts
                .get(c)
                .is_some_and(|cleanout| cleanout.outside.is_some()),
            StubOf::Fixture(_) | StubOf::Vent(_) | StubOf::Return(_) | StubOf::Service(_) => false,
        }
    }
}

/// What a stub belongs to, by index into the layout's own vectors.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum StubOf {
    /// A fixture's drain.
    Fixture(usize),
    /// A fixture's vent, where it comes up by itself.
    Vent(usize),
    /// Where a fixture's island loop comes down again beside its drain.
    Return(usize),
    /// A cleanout.
    Cleanout(usize),
    /// A service.
    Service(usize),
}

impl Stub {
    /// Its own name: the fixture, cleanout or service; `NAME vent` and `NAME return` for what a fixture's vent leaves standing.
    pub fn name(&self) -> Id {
        self.of.name(&self.id)
    }
}

impl StubOf {
    /// The name of such a stub of the item `id`.
    pub fn name(self, id: &Id) -> Id {
        match self {
            Self::Vent(_) => Id::from(format!("{id} vent")),
            Self::Return(_) => Id::from(format!("{id} return")),
            Self::Fixture(_) | Self::Cleanout(_) | Self::Service(_) => id.clone(),
        }
    }
}
