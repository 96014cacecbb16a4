//! Bodies of the house as triangles and lines with their own colours: plain geometry, no graphics driver.
//!
//! Not here: materials and entities (`glass`), the change of axes (`axis`).

mod build;
mod prism;
mod soup;
mod tube;

pub use build::{Piece, RISER_SHOWN, WALL_FADE, halo, pieces};
pub use soup::{Look, Soup};
