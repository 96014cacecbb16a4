//! The glue-up walk: assembly by assembly, piece by piece, with a card that can be read across a trench.

mod state;
mod ui;

pub use state::{WalkState, WalkStep};
pub use ui::{WalkAsk, walk_paint, walk_ui};
