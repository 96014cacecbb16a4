//! The 3D window on a checked house, and the same pictures without a window. The only crate that knows bevy.
//!
//! Here: meshes, colours, camera, panels, measuring. Not here: any judgement of the house; what is shown is given as a
//! [`House`]. The change from house inches to the picture happens in [`axis`] alone.
//!
//! - [`view`] opens the window and follows the file.
//! - [`picture`] draws the same view into an image, without a window.
//! - [`script`] plays the whole interface without a window.
#![forbid(unsafe_code)]
// Systems of bevy take their parameters by value, and as many as they need.
#![allow(
    clippy::needless_pass_by_value,
    clippy::too_many_arguments,
    clippy::type_complexity
)]

mod app;
pub mod axis;
pub mod bodies;
pub mod budget_strip;
pub mod camera;
pub mod desk;
mod easel;
pub mod edit;
mod error;
pub mod evening;
pub mod field_book;
mod file_watch;
pub mod findings_list;
pub mod focus;
mod glass;
mod house;
mod ink;
pub mod keepsake;
pub mod keys;
pub mod labels;
pub mod layers;
pub mod measure;
pub mod paper_plan;
pub mod picking;
mod picture;
mod probe;
mod ready;
pub mod recovery;
mod rows;
mod screen_reader;
pub mod script;
pub mod section_cut;
pub mod shelf;
mod speeds;
pub mod theme;
mod tour;
pub mod walk;
mod window;

pub use desk::Viewpoint;
pub use edit::Hooks;
pub use error::ViewError;
pub use field_book::BookHooks;
pub use file_watch::Load;
pub use house::{BudgetRow, FindingRow, House, MendRow, RunLine, Spend, Verdict};
pub use layers::Layer;
pub use picture::{Picture, Shot, picture, pictures};
pub use probe::{Probe, Seen};
pub use shelf::{Opening, Shelf};
pub use speeds::{Speeds, speeds};
pub use tour::tour;
pub use walk::WalkStep;
pub use window::{ExitReason, ViewOptions, view};
