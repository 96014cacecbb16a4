//! Where the picture is taken from: the pose and its moves, flights between poses, what the hand and the keys ask for.
//!
//! All plain values in picture units (feet, y up); `app` puts the pose on the camera that draws.

mod drive;
mod flight;
mod pose;

pub use drive::{Drive, drive_of};
pub use flight::Flight;
pub use pose::{FIELD, Lens, NEAR, Pose, Sight};
