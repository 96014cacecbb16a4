//! The whole way from a document to findings, one function from values to a value. Nothing flows back: an edit changes
//! the layout and the flow runs again.
//!
//! ```text
//! text -> layout -> network -> joints -> grade problems -> grades -> assembly -> scene -> findings
//!                      ^ rules and catalogue are arguments of every step that needs them
//! ```
//!
//! The libraries below use one thread. Here a layout of thousands of runs is worked on by two, as long as they have nothing
//! to wait for from each other; what comes out is the same to the byte.
//!
//! Beside [`run()`]: [`budget()`] tells who spends the inches of fall, [`mends()`] what would help a drain that cannot fall.
#![forbid(unsafe_code)]

mod budget;
mod mends;
mod run;
mod side_by_side;

pub use budget::{Budget, Share, budget, cover_min, least_cover};
pub use mends::{Tried, mends};
pub use run::{Inputs, Outcome, before_cover, case, judge_by, judge_each, leans_on, run};
