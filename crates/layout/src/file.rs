//! What a layout file says: typed, with its units read, but with its references still to follow.

use units::{Grade, Id, Size};

use crate::{
    model::{
        Answer, BlockKind, Cleans, EdgeKind, FixtureKind, JoinChoice, Layer, Outside, OutsideLine,
        PermitCode, Receiver, RoomKind, ServiceKind,
    },
    node::{Node, Span},
    problem::Source,
};

/// A file that was read: its text, its tree, and what it says.
#[derive(Clone, PartialEq, Debug)]
pub struct File {
    pub(crate) source: Source,
    pub(crate) tree: Node,
    pub(crate) says: Says,
}

impl File {
    /// The name the text was read under.
    pub fn name(&self) -> &str {
        &self.source.name
    }

    /// The text as it was read.
    pub fn text(&self) -> &str {
        &self.source.text
    }

    /// The located tree of the text, for edits and printing.
    pub fn tree(&self) -> &Node {
        &self.tree
    }
}

/// All a file says. `None` wherever it says `unknown`, `auto` or nothing.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Says {
    pub(crate) title: String,
    pub(crate) dated: Option<String>,
    pub(crate) code: Option<PermitCode>,
    pub(crate) floor_elevation: Option<f64>,
    pub(crate) measured_from: Datum,
    pub(crate) ledge: Option<f64>,
    pub(crate) slab: Option<SlabSays>,
    pub(crate) edge: Option<EdgeSays>,
    pub(crate) blocks: Vec<BlockSays>,
    pub(crate) outside: Outside,
    pub(crate) walls: Vec<WallSays>,
    pub(crate) cabinets: Vec<CabinetSays>,
    pub(crate) box_outs: Vec<BoxOutSays>,
    pub(crate) rooms: Vec<RoomSays>,
    pub(crate) fixtures: Vec<FixtureSays>,
    pub(crate) drains: Vec<DrainSays>,
    pub(crate) runs: Vec<RunSays>,
    pub(crate) cleanouts: Vec<CleanoutSays>,
    pub(crate) services: Vec<ServiceSays>,
}

/// The face that dimensions across the whole house are taken from.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(crate) enum Datum {
    /// Outside of the form.
    #[default]
    Form,
    /// Outside of the studs.
    Stud,
}

/// An item's own name, or another item named by it.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Name {
    pub(crate) id: Id,
    pub(crate) span: Span,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Point {
    pub(crate) span: Span,
    pub(crate) form: PointForm,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) enum PointForm {
    /// East and north of the file's zero.
    Absolute { x: f64, y: f64, face: Datum },
    /// Square off a wall's face.
    OffWall {
        wall: Name,
        face: Facing,
        face_span: Span,
        to: WallFace,
        by: f64,
        along: Along,
    },
    /// On the centre line of a wall.
    InWall { wall: Name, along: Along },
    /// In the turned frame of a cabinet or box-out, from its middle.
    InFrame { item: Name, x: f64, y: f64 },
    /// East and north of another item.
    From { item: Name, east: f64, north: f64 },
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Facing {
    East,
    West,
    North,
    South,
    Left,
    Right,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum WallFace {
    Finish,
    Stud,
}

#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) enum Along {
    Start(f64),
    End(f64),
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Outline {
    pub(crate) span: Span,
    pub(crate) corners: Vec<Point>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct SlabSays {
    pub(crate) outline: Option<Outline>,
    pub(crate) layers: Option<Vec<Layer>>,
    pub(crate) gap: Option<f64>,
    pub(crate) hubs_below: Option<bool>,
    pub(crate) post_tensioned: Option<bool>,
    pub(crate) zones: Vec<ZoneSays>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct ZoneSays {
    pub(crate) name: Name,
    pub(crate) outline: Option<Outline>,
    pub(crate) drop: Option<f64>,
    pub(crate) layers: Option<Vec<Layer>>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct EdgeSays {
    pub(crate) span: Span,
    pub(crate) kind: Option<EdgeKind>,
    pub(crate) thickness: Option<f64>,
    pub(crate) top: Option<f64>,
    pub(crate) bottom: Option<f64>,
    pub(crate) footing: Option<FootingSays>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct FootingSays {
    pub(crate) width: Option<f64>,
    pub(crate) thickness: Option<f64>,
    /// Each with the span of its side, and the index of the corner the side starts at, from 0.
    pub(crate) steps: Vec<(Span, usize, f64)>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct BlockSays {
    pub(crate) name: Name,
    pub(crate) kind: Option<BlockKind>,
    pub(crate) outline: Option<Outline>,
    pub(crate) top: Option<f64>,
    pub(crate) bottom: Option<f64>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct WallSays {
    pub(crate) name: Name,
    pub(crate) from: Option<Point>,
    pub(crate) to: Option<Point>,
    pub(crate) framing: Option<f64>,
    pub(crate) board: Option<f64>,
    pub(crate) board_left: Option<f64>,
    pub(crate) board_right: Option<f64>,
    pub(crate) tile_left: Option<f64>,
    pub(crate) tile_right: Option<f64>,
    pub(crate) on_edge: Option<bool>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct CabinetSays {
    pub(crate) name: Name,
    pub(crate) centre: Option<Point>,
    pub(crate) size: Option<(f64, f64)>,
    pub(crate) turn: Option<f64>,
    pub(crate) height: Option<f64>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct BoxOutSays {
    pub(crate) name: Name,
    pub(crate) centre: Option<Point>,
    pub(crate) size: Option<(f64, f64)>,
    pub(crate) turn: Option<f64>,
    pub(crate) depth: Option<f64>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct RoomSays {
    pub(crate) name: Name,
    pub(crate) kind: Option<RoomKind>,
    pub(crate) drains: Vec<(FixtureKind, Answer)>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct FixtureSays {
    pub(crate) name: Name,
    pub(crate) kind: Option<FixtureKind>,
    pub(crate) at: Option<Point>,
    pub(crate) landing: Option<LandingSays>,
    pub(crate) trap: Option<TrapSays>,
    pub(crate) size: Option<Size>,
    pub(crate) top: Option<f64>,
    pub(crate) vent: Option<VentSays>,
    pub(crate) back_wall: Option<Name>,
    pub(crate) rough_in: Option<f64>,
    pub(crate) boot: Option<bool>,
    pub(crate) later: Option<bool>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) enum LandingSays {
    Floor,
    Wall(Name),
    Cabinet(Name),
    BoxOut(Name),
}

#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) enum TrapSays {
    InFixture,
    InWall(Option<f64>),
    UnderSlab(Option<f64>),
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) enum VentSays {
    Riser,
    Admittance,
    Combination,
    Common(Name),
    Wet(Name),
    Other(String),
    TakeOff {
        at: Option<Point>,
        up: Option<Point>,
        wall: Option<Name>,
    },
    IslandLoop {
        down: Option<Point>,
        up: Option<Point>,
        wall: Option<Name>,
    },
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct DrainSays {
    pub(crate) name: Name,
    pub(crate) exit: ExitSays,
    pub(crate) line: OutsideLine,
    pub(crate) receiver: Option<Receiver>,
    /// The receiver's elevation is told, the floor's is not.
    pub(crate) floor_needed: bool,
}

#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct ExitSays {
    pub(crate) at: Option<Point>,
    pub(crate) way: Option<crate::model::ExitWay>,
    pub(crate) size: Option<Size>,
    pub(crate) sleeve: Option<Size>,
    pub(crate) sleeve_bottom: Option<f64>,
    pub(crate) cored: Option<bool>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct RunSays {
    pub(crate) name: Name,
    pub(crate) from: Option<StartSays>,
    pub(crate) via: Vec<Point>,
    pub(crate) to: Option<EndSays>,
    pub(crate) size: Option<Size>,
    pub(crate) increasers: Vec<(Point, Size)>,
    pub(crate) menu: Vec<Grade>,
    pub(crate) start_invert: Option<f64>,
    pub(crate) joins: Option<JoinChoice>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) enum StartSays {
    Item(Name),
    Point(Point),
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct EndSays {
    pub(crate) item: Name,
    pub(crate) at: Option<Point>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct CleanoutSays {
    pub(crate) name: Name,
    pub(crate) at: Option<Point>,
    pub(crate) on: Option<Name>,
    pub(crate) outside: Option<Name>,
    pub(crate) size: Option<Size>,
    pub(crate) two_way: Option<bool>,
    pub(crate) cleans: Option<Cleans>,
    pub(crate) boot: Option<bool>,
    pub(crate) top: Option<f64>,
    pub(crate) landing: Option<LandingSays>,
}

#[derive(Clone, PartialEq, Debug)]
pub(crate) struct ServiceSays {
    pub(crate) name: Name,
    pub(crate) kind: Option<ServiceKind>,
    pub(crate) path: Vec<Point>,
    pub(crate) level: Option<f64>,
    pub(crate) od: Option<f64>,
    pub(crate) top: Option<f64>,
    pub(crate) boot: Option<bool>,
    pub(crate) landing: Option<LandingSays>,
}
