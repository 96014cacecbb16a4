//! Fittings: chosen before the grades, posed to them, fitted after them.
//!
//! `choose` decides at every join what windows the fittings leave open; `pose` turns a network into the grade problem;
//! `fit` places the bodies at the solved levels. A grade of 2.4 degrees disappears in a hub, which is why choosing can
//! come first. Not here: verdicts (`checks`), dimensions (`catalog`), levels (`grades`).
#![forbid(unsafe_code)]

mod body;
mod choose;
mod fit;
mod ground;
mod pose;
mod sweep;

pub use body::{Assembly, Body, Flow, Part, Stub, StubOf, Tube};
pub use choose::{Joint, Joints, choose};
pub use fit::fit;
pub use ground::{cover_over, lowest_cover, surface_at};
pub use pose::{Pin, Pins, pose, sleeve_size, stretches};
