//! Everything that is on the desk: the house, the way it is looked at, what is picked and measured. One plain value that
//! takes actions; the panels read it, the drawing follows it.

mod book;
#[cfg(test)]
mod by_keys;
mod changes;
mod evening;
mod places;
mod shelf;
mod state;
mod ui;
mod views;

pub use state::{Action, Changed, Desk};
pub use ui::{Pass, desk_ui, picture_ui};
pub use views::{Viewpoint, home_points};
