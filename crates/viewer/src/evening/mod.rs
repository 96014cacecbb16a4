//! The first evening: ten sentences that a builder can say at once about the house, as a path through the window. One is
//! asked at a time: what, where to click, what to type, and what comes next.
//!
//! Answers become a [`layout::Edit`] of the text and nothing else; what is not answered stays to tell. Plain values; the
//! clicks and the flow are the desk's.

mod blanks;
mod outline;
mod question;
mod state;
mod told;
mod ui;
mod write;

pub use blanks::{Asked, Blank, Typed};
pub use outline::{chain, corners, heading, squared};
pub use question::{Clicks, Question, Sentence};
pub use state::EveningState;
pub use told::{told_names, told_paint};
pub use ui::{EveningAsk, Shown, evening_paint, evening_ui};
pub use write::{Written, without_run};

/// The document of a house that nobody has told anything of.
pub const BLANK: &str = "// Lengths are text: \"12'-6 1/2\", \"150 1/2 in\", \"1.2 m\". What is left out is still to tell.\n(\n)\n";
