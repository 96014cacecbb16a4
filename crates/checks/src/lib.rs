//! What is wrong with a layout, told as findings: each with what was measured, what the limit is, and who says so.
//!
//! Checks judge the outcome; they never read the rules a part was designed by from the design, but measure what came
//! out. One rule, one file under `rules/`; the list in `rules::ALL` is the display order and what help and tests walk.
#![forbid(unsafe_code)]

mod case;
mod finding;

pub use case::Case;
pub use finding::{Finding, Source, Verdict};

/// Everything found, gravest first; equal weight in the order of the rules' list.
pub fn judge(_case: &Case) -> Vec<Finding> {
    Vec::new()
}
