//! The field book in the window: what a stage wants, the plan beside what was measured, one answer typed at a time and
//! judged at once. The judging is the `field` crate's; the disk is `recovery`'s.

mod state;
mod ui;

pub use state::{BookAsk, BookHooks, BookState, Pending};
pub use ui::{book_paint, book_ui};
