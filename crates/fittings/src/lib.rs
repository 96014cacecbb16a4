//! Fittings: chosen before the grades, posed to them, fitted after them.
//!
//! `choose` decides at every join what windows the fittings leave open; `pose` turns a network into the grade problem;
//! `fit` places the bodies at the solved levels. A grade of 2.4 degrees disappears in a hub, which is why choosing can
//! come first. Not here: verdicts (`checks`), dimensions (`catalog`), levels (`grades`).
#![forbid(unsafe_code)]

mod arm;
mod body;
mod choose;
mod double;
mod fit;
mod frame;
mod ground;
mod lay;
mod offset;
mod piece;
mod place;
mod pose;
mod solid;
mod sweep;
mod turn;
mod vent;
mod walk;
mod wall_tee;

pub use body::{Assembly, Body, Flow, Part, Stub, StubOf, Tube};
pub use choose::{Joint, Joints, choose};
pub use fit::{fit, fit_placed};
pub use frame::{Frame, Seat};
pub use ground::{cover_over, lowest_cover, surface_at};
pub use offset::Offset;
pub use piece::{
    Closure, DRY_OPEN, GlueJoint, JOINT_PLAY_DEG, JOINT_PLAY_IN, Piece, PieceEnd, STAKED_FROM,
    Trouble, TroubleKind, What, highest_fitting,
};
pub use place::{OUTSIDE_STUB, Placed, place};
pub use pose::{Pin, Pins, pose, sleeve_size, stretches};
pub use solid::piece_tubes;
pub use turn::{TURN_PLAY_DEG, bend_in_tables};
pub use vent::pipe_vents;
pub use walk::walk;
pub use wall_tee::{StubReach, WallTee};
