//! The types of a network.

use glam::DVec2;
use layout::JoinChoice;
use units::{Grade, Id, Size};

use crate::Path;

/// All drains of a layout, and what could not be connected.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Network {
    /// One tree a drain that has a trunk, in the order of `Layout::drains`.
    pub trees: Vec<Tree>,
    /// Dry vents under or up from the slab.
    pub vents: Vec<VentLine>,
    /// What could not be connected, in the order found.
    pub problems: Vec<Problem>,
}

/// Something in the layout that does not connect.
#[derive(Clone, PartialEq, Debug)]
pub struct Problem {
    /// The run, fixture or drain.
    pub item: Id,
    /// What is wrong and what would be right.
    pub what: String,
    /// Where in plan.
    pub at: DVec2,
}

/// One drain: runs in preorder, trunk first.
#[derive(Clone, PartialEq, Debug)]
pub struct Tree {
    /// Index into `Layout::drains`.
    pub drain: usize,
    /// The drain's name.
    pub id: Id,
    /// Its runs.
    pub runs: Vec<Run>,
}

/// One run of a tree.
#[derive(Clone, PartialEq, Debug)]
pub struct Run {
    /// Its name.
    pub id: Id,
    /// Index into `Layout::runs`.
    pub index: usize,
    /// Where it joins its parent; `None` for the trunk.
    pub join: Option<Join>,
    /// Its plan line.
    pub path: Path,
    /// Sizes, upstream to downstream.
    pub bores: Vec<Bore>,
    /// Grades it may lie at, never empty.
    pub menu: Vec<Grade>,
    /// What stands at its upstream end.
    pub start: Start,
    /// Invert at the upstream end when fixed by the owner.
    pub start_invert: Option<f64>,
    /// How it may join.
    pub joins: JoinChoice,
    /// Fixtures draining through its outlet: indices into `Layout::fixtures`, upstream first.
    pub fixtures: Vec<usize>,
    /// Drainage fixture units at its outlet, by the code the network was connected under.
    pub dfu: f64,
    /// The same without any reduction for a bathroom or laundry group.
    pub plain_dfu: f64,
    /// How many of its fixtures are closets.
    pub closets: usize,
    /// Whether its size was left to the program.
    pub sized_by_us: bool,
}

/// A stretch of one size.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Bore {
    /// Its size.
    pub size: Size,
    /// Station of its upstream end.
    pub from: f64,
}

/// Where a branch joins its parent.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Join {
    /// The parent's index in the tree.
    pub parent: usize,
    /// Station on the parent.
    pub at: f64,
    /// Plan angle between the branch's flow and the parent's, degrees: 0 along it, 45 for a wye, 90 square.
    pub angle_deg: f64,
    /// The side it comes from, looking downstream along the parent.
    pub side: Side,
}

/// A side, looking downstream.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// What stands at a run's upstream end.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Start {
    /// This fixture's riser or trap.
    Fixture(usize),
    /// This cleanout's riser.
    Cleanout(usize),
    /// A capped end.
    Bare,
}

/// A dry vent that leaves a drain under the slab, or a foot vent, and comes up in a wall.
#[derive(Clone, PartialEq, Debug)]
pub struct VentLine {
    /// The fixture whose trap it vents: index into `Layout::fixtures`.
    pub fixture: usize,
    /// The tree and run it leaves.
    pub run: (usize, usize),
    /// Station of the take-off on that run; where an island loop comes down, beside it.
    pub take_off: f64,
    /// Where an island loop comes down through the floor into this vent.
    pub down: Option<DVec2>,
    /// Where it comes up.
    pub up: DVec2,
    /// In which wall.
    pub wall: Id,
    /// Its size.
    pub size: Size,
}

impl Run {
    /// The size at a station; at a change of size, the downstream one.
    pub fn size_at(&self, station: f64) -> Size {
        let inside = |bore: &&Bore| station <= bore.from + units::SAME_LENGTH;
        self.bores
            .iter()
            .rev()
            .find(inside)
            .or_else(|| self.bores.first())
            .map_or(Size::In2, |bore| bore.size)
    }

    /// The size at the outlet.
    pub fn outlet_size(&self) -> Size {
        self.size_at(0.0)
    }

    /// The size at the upstream end.
    pub fn inlet_size(&self) -> Size {
        self.bores.first().map_or(Size::In2, |bore| bore.size)
    }
}
