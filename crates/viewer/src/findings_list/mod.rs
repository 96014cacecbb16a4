//! Findings beside the picture and in it: what fails, what to ask, what to note, each a click from its place.

mod state;
mod ui;

pub use state::FindingsState;
pub use ui::{FindingsAsk, findings_paint, findings_ui};
