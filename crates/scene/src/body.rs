//! The types of a scene. Everything is in inches, z up from finished floor.

use glam::{DVec2, DVec3};
use units::{Id, Size};

/// All bodies of one layout. Order is the layout's order, so the same layout gives the same scene.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Scene {
    /// Concrete, ground, framing, cabinets: vertical prisms.
    pub solids: Vec<Solid>,
    /// Pipes, fittings, sleeves: chains of tubes.
    pub pipes: Vec<PipeBody>,
    /// Places worth a label: stub-ups, inverts, the exit.
    pub marks: Vec<Mark>,
}

/// A vertical prism: a plan outline between two levels.
#[derive(Clone, PartialEq, Debug)]
pub struct Solid {
    /// The layout item it belongs to (`slab`, `stem wall`, a wall's or cabinet's id).
    pub id: Id,
    /// What it is made of, which decides how it is shown and what may touch it.
    pub kind: SolidKind,
    /// Plan outline, counter-clockwise, at least three corners, not repeated at the end; may be concave.
    pub outline: Vec<DVec2>,
    /// Inner outlines left out of it (clockwise), empty for most.
    pub holes: Vec<Vec<DVec2>>,
    /// Level of its underside.
    pub bottom: f64,
    /// Level of its top; not below `bottom`.
    pub top: f64,
}

/// What a solid is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum SolidKind {
    /// Slab concrete.
    Concrete,
    /// Foam under the slab.
    Foam,
    /// Sheet (vapour barrier).
    Sheet,
    /// Gravel: pipes may lie in it.
    Gravel,
    /// Sand: pipes may lie in it.
    Sand,
    /// Stem wall.
    StemWall,
    /// Perimeter or interior footing.
    Footing,
    /// Turned-down slab edge.
    TurnedDownEdge,
    /// Grade beam.
    GradeBeam,
    /// Thickened strip under the slab.
    Strip,
    /// Pier or column footing.
    Pier,
    /// Framed wall standing on the slab: its studs.
    Framing,
    /// Board and tile on a framed wall.
    Finish,
    /// Cabinet.
    Cabinet,
    /// Box-out left open in the concrete.
    BoxOut,
    /// Ground outside the house.
    Ground,
    /// Septic tank or the sewer's structure, as a ghost.
    Receiver,
}

/// One member of the piping and the tubes that make it.
#[derive(Clone, PartialEq, Debug)]
pub struct PipeBody {
    /// The run, riser, vent or sleeve in the layout.
    pub id: Id,
    /// The part it plays.
    pub part: Part,
    /// What it carries.
    pub flow: Flow,
    /// Nominal size.
    pub size: Size,
    /// Its tubes, upstream to downstream. Bends are chords whose radius is grown by their sagitta.
    pub tubes: Vec<Tube>,
    /// Bodies that share a joint with this one: indices into `Scene::pipes`. Near the shared joint they may touch.
    pub joined: Vec<usize>,
}

/// The part a pipe body plays.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Part {
    /// Straight pipe.
    Pipe,
    /// A fitting's body and hubs.
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

/// What a pipe carries.
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
    /// Nothing: a sleeve.
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

/// A place with a label.
#[derive(Clone, PartialEq, Debug)]
pub struct Mark {
    /// The layout item it belongs to.
    pub id: Id,
    /// What kind of place.
    pub kind: MarkKind,
    /// Where.
    pub at: DVec3,
    /// What to print there, e.g. `wc1  3 in  +6"`.
    pub text: String,
}

/// Kinds of marks.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum MarkKind {
    /// Top of a stub-up.
    Stub,
    /// An invert along a run.
    Invert,
    /// Where the drain leaves the foundation (outside face, on the axis).
    Exit,
    /// Where it arrives: tank or sewer.
    Receiver,
    /// A cleanout's top.
    Cleanout,
    /// A run's name, size and grade, at its middle.
    Run,
}
