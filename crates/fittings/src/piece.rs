//! What is glued: pieces, the joints between them, how far the whole can be off at each stub, and what cannot be made.

use catalog::{Catalog, Dim, EndName, Fact, Part as Bought};
use glam::DVec3;
use layout::{Cleanout, Layout};
use network::{Start, Tree};
use std::collections::BTreeSet;
use units::{Id, Size};

use crate::{Assembly, Flow, Frame, Seat, StubOf};

/// One piece of pipe or one fitting, where it stands.
#[derive(Clone, PartialEq, Debug)]
pub struct Piece {
    /// The run, drain, fixture or cleanout it belongs to.
    pub id: Id,
    /// What it is.
    pub what: What,
    /// Its size; of a fitting, that of its outlet.
    pub size: Size,
    /// What it carries.
    pub flow: Flow,
    /// Where it stands. A pipe's origin is its downstream end.
    pub frame: Frame,
    /// It stands up out of the slab.
    pub riser: bool,
}

/// Pipe or fitting.
#[derive(Clone, PartialEq, Debug)]
pub enum What {
    /// A piece of pipe, with its length when glued, sockets included. **Negative** where the fittings do not leave room;
    /// a trouble then says so.
    Pipe(Dim),
    /// A fitting.
    Fitting(Bought),
}

impl Piece {
    /// The length of a pipe; `None` for a fitting.
    pub fn cut(&self) -> Option<&Dim> {
        match &self.what {
            What::Pipe(cut) => Some(cut),
            What::Fitting(_) => None,
        }
    }

    /// What is bought; `None` for a pipe.
    pub fn part(&self) -> Option<Bought> {
        match &self.what {
            What::Pipe(_) => None,
            What::Fitting(part) => Some(*part),
        }
    }

    /// Length of the way the water takes in it, from stop to stop, all its legs together, inches.
    pub fn waterway(&self, catalog: &Catalog) -> f64 {
        let part = match &self.what {
            What::Pipe(cut) => return cut.value.max(0.0),
            What::Fitting(part) => part,
        };
        let Some(fitting) = catalog.get(part.pattern, part.sizes) else {
            return 0.0;
        };
        let legs: f64 = fitting.ends.iter().map(|e| e.take_off.value.abs()).sum();
        // The return bend of a trap is half a circle more.
        let bend = fitting.fact(Fact::TrapLegs).map_or(0.0, |legs| legs.value);
        legs + bend * std::f64::consts::FRAC_PI_2
    }

    /// Stop and outward direction of one of its ends in its own frame; `None` for an end it does not have.
    pub fn end(&self, name: EndName, catalog: &Catalog) -> Option<(DVec3, DVec3)> {
        match &self.what {
            What::Pipe(cut) => match name {
                EndName::Outlet => Some((DVec3::ZERO, DVec3::X)),
                EndName::Inlet => Some((DVec3::NEG_X * cut.value, DVec3::NEG_X)),
                EndName::Branch | EndName::OtherBranch | EndName::Heel => None,
            },
            What::Fitting(part) => {
                let end = catalog.get(part.pattern, part.sizes)?.end(name)?;
                let outward = DVec3::from_array(end.direction);
                Some((outward * end.take_off.value, outward))
            }
        }
    }
}

impl Assembly {
    /// The pieces of a drain, of its vents and of the cleanouts on its runs, upstream of the wall.
    pub fn of_tree<'a>(
        &'a self,
        tree: &'a Tree,
        layout: &'a Layout,
    ) -> impl Iterator<Item = &'a Piece> {
        let fixtures = tree.runs.iter().flat_map(|run| &run.fixtures);
        let fixtures = fixtures.map(|f| &layout.fixtures[*f].id);
        let on_it = |(c, cleanout): &(usize, &Cleanout)| {
            let mut runs = tree.runs.iter();
            runs.any(|run| {
                run.start == Start::Cleanout(*c) || cleanout.on.as_ref() == Some(&run.id)
            })
        };
        let cleanouts = layout.cleanouts.iter().enumerate().filter(on_it);
        let ids: BTreeSet<&Id> = tree
            .runs
            .iter()
            .map(|run| &run.id)
            .chain(fixtures)
            .chain(cleanouts.map(|(_, cleanout)| &cleanout.id))
            .collect();
        self.pieces
            .iter()
            .filter(move |piece| ids.contains(&piece.id))
    }
}

/// How high the highest fitting under the floor reaches among some pieces, the rim of its hub, inches from finished floor:
/// what the head of a water test is measured from. Fittings that stand in a riser are left out.
pub fn highest_fitting<'a>(
    pieces: impl Iterator<Item = &'a Piece>,
    catalog: &Catalog,
) -> Option<f64> {
    let under = pieces.filter(|piece| !piece.riser && piece.part().is_some());
    let tubes = under.flat_map(|piece| crate::solid::piece_tubes(piece, catalog));
    tubes.map(|tube| tube.top()).reduce(f64::max)
}

/// An end of a piece: an index into [`crate::Assembly::pieces`] and which end.
pub type PieceEnd = (usize, EndName);

/// Two pieces joined.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct GlueJoint {
    /// The end nearer the exit, or for the line outside the end nearer the house.
    pub near: PieceEnd,
    /// The end in it.
    pub far: PieceEnd,
    /// Its size.
    pub size: Size,
    /// Glued; a plug in its adapter is not.
    pub glued: bool,
    /// How the far piece sits in the near one.
    pub seat: Seat,
}

/// How near a glued chain comes to where its stub must stand.
#[derive(Clone, PartialEq, Debug)]
pub struct Closure {
    /// The stub's name.
    pub id: Id,
    /// Which stub.
    pub of: StubOf,
    /// The last piece of the chain.
    pub piece: usize,
    /// Joints from the exit to it.
    pub joints: usize,
    /// Walked end less wanted end, inches: what the chosen pieces themselves leave open.
    pub error: DVec3,
    /// How far the joints may move the stub when all of them err the same way, inches.
    ///
    /// Along its line each joint may stand [`JOINT_PLAY_IN`] off its stop, and that adds up from the exit. Across it an
    /// angle does not: a lying pipe of [`STAKED_FROM`] or more is brought back on its string and staked before the next
    /// joint is glued, so what was turned before it is undone. From there to the stub [`JOINT_PLAY_DEG`] swings each piece
    /// by its own length. The riser adds no swing, for it is plumbed. (Swinging the whole way to the stub about every joint
    /// gave feet of error, which no laid and staked line can have.)
    pub worst: f64,
    /// The same, as the root of the sum of squares.
    pub likely: f64,
    /// Doubt of all the cuts and take-offs on the way, summed.
    pub doubt: f64,
    /// How much longer the chain is when only fitted dry, inches: the least and the most.
    pub dry_longer: (f64, f64),
    /// How much the pipe from the exit shortens in 10 degrees F of cooling, inches.
    pub shrink_per_10f: f64,
}

/// Play of one joint along itself, inches. Our choice.
pub const JOINT_PLAY_IN: f64 = 1.0 / 16.0;
/// Play of one joint about itself, degrees. Our choice.
pub const JOINT_PLAY_DEG: f64 = 0.5;
/// A lying pipe this long is held on its line by stakes of its own, inches: the spacing of stakes. Our choice.
pub const STAKED_FROM: f64 = 48.0;
/// Part of a socket that stays empty when a joint is only fitted dry: the interference fit stops the pipe a third to two
/// thirds of the way in. From memory of solvent cement handbooks.
pub const DRY_OPEN: (f64, f64) = (1.0 / 3.0, 2.0 / 3.0);

/// Something that cannot be made as drawn.
#[derive(Clone, PartialEq, Debug)]
pub struct Trouble {
    /// The run, fixture, vent or cleanout.
    pub run: Id,
    /// Where.
    pub at: DVec3,
    /// What kind.
    pub kind: TroubleKind,
    /// What is wrong, one sentence without a stop.
    pub says: String,
    /// What would do.
    pub would_do: String,
    /// The figure: degrees of a turn, inches of a piece.
    pub measured: f64,
    /// What it should be.
    pub limit: f64,
}

/// Kinds of trouble.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum TroubleKind {
    /// No fitting makes this turn.
    NoSuchTurn,
    /// No fittings make this join at this height.
    NoSuchJoin,
    /// A pipe too short for its two sockets.
    ShortPiece,
    /// Two fittings want the same place.
    OnePlace,
    /// The pipe grows smaller downstream.
    ReducesWithFlow,
    /// A size that is not made.
    NotMade,
    /// A vent for whose way from its run to its wall we found no fittings.
    VentNotLaid,
    /// A vent's take-off had to move along its run.
    TakeOffMoved,
}
