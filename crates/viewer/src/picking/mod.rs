//! What is under the pointer: a ray against pipes and solids, drawn to the places that are worth measuring.
//!
//! Plain geometry; the pointer itself is read by `desk`.

mod ray;
mod snap;

pub use snap::{Pick, Picker, Snap, of_mark};
