//! The whole way from a document to findings, one function from values to a value. Nothing flows back: an edit changes
//! the layout and the flow runs again.
//!
//! ```text
//! text -> layout -> network -> joints -> grade problems -> grades -> assembly -> scene -> findings
//!                      ^ rules and catalogue are arguments of every step that needs them
//! ```
#![forbid(unsafe_code)]

mod run;

pub use run::{Inputs, Outcome, judge_by, run};
