//! Labels over the picture: which are worth their room, where they fit, lines to what they name.

mod paint;
mod place;

pub use paint::{Label, labels_paint};
pub use place::{Placed, Wish, place};
