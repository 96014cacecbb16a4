//! When and how large the house is drawn: quick and coarse while it moves, fine once it rests, and not at all when
//! nothing changed.
//!
//! The house goes into an image that the interface shows, so the interface can be redrawn without it.

mod stage;
mod systems;

pub(crate) use stage::{Draw, Stage};
pub(crate) use systems::{Easel, Quality, hang, set_up, size_images};
