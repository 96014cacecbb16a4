//! Distances and covers: one file a pair of shapes, nothing here knows a code or a verdict.
//!
//! A tube is a segment with a radius, a prism a convex plan outline between two levels. Gaps are signed: negative where
//! two bodies stand in one place. A pair that cannot be measured is an error, never a wide gap.
//!
//! A bend comes as chords whose radius was grown by their sagitta, so a gap told here is never too wide.

mod bearing;
mod near;
mod nodes;
mod plan;
mod tube_prism;
mod tube_tube;

pub use bearing::{Bearing, Trench, bearing};
pub use near::{near_in_plan, near_pairs, plan_box, touching, tube_box};
pub use nodes::{Ball, Nodes, outside};
pub use plan::{crossing, cuts, distance_to_outline, inside, narrow_width, within};
pub use tube_prism::{Prism, tube_to_prism};
pub use tube_tube::tube_to_tube;

use std::fmt;

use glam::DVec3;

/// The gap between two bodies and where it is measured.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Gap {
    /// Inches between the surfaces; negative when they are in one another.
    pub inches: f64,
    /// The nearest points of the two surfaces' axes or faces.
    pub between: [DVec3; 2],
}

/// Two bodies whose distance could not be measured.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Unmeasured {
    /// A length or level is not a finite number.
    NotFinite,
    /// The outline is not a convex polygon of at least three corners, counter-clockwise.
    NotConvex,
    /// The bodies overlap but no depth was found.
    NoDepth,
}

impl fmt::Display for Unmeasured {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NotFinite => "a length is not a finite number",
            Self::NotConvex => "the block's outline is not convex",
            Self::NoDepth => "the bodies overlap but how deep could not be found",
        })
    }
}

impl std::error::Error for Unmeasured {}
