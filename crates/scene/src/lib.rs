//! The house and its drain as bodies in space: what the checks measure and what the pictures show.
//!
//! Here: solids, pipe bodies and marks, in house inches (see `units`). Not here: colours, meshes, cameras (`viewer`),
//! verdicts (`checks`).
#![forbid(unsafe_code)]

mod body;
mod build;
mod marks;
mod outline;

pub use body::{Flow, Mark, MarkKind, Part, PipeBody, Scene, Solid, SolidKind, Tube};
pub use build::{around, build};
pub use outline::{inset, rectangle};
