//! The types of a scene. Everything is in inches, z up from finished floor. Pipe bodies are those of `fittings`.

use glam::{DVec2, DVec3};
use units::Id;

pub use fittings::{Body as PipeBody, Flow, Part, Tube};

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
    /// Where the drain leaves the foundation (outside face, invert).
    Exit,
    /// Where it arrives: tank or sewer (invert).
    Receiver,
    /// A cleanout's top.
    Cleanout,
    /// A run's name, size and grade, at its middle.
    Run,
}
