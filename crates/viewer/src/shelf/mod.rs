//! Other layouts: which are at hand, how one is opened in this window, and how one differs from the house on the desk.
//!
//! The disk is `app`'s and the caller's: here are the list, what was asked of it, and the comparison as plain values.

mod compare;
mod state;
mod ui;

pub use compare::{Difference, Kind, differences};
pub use state::{Compared, Opening, Shelf, ShelfChore, ShelfState, at_hand, is_layout};
pub use ui::{ShelfAsk, compare_paint, shelf_ui};
