//! What was measured in the ground, judged against the layout; solving back and what changed. What does not belong
//! here: asking for readings (fallwise), drawing them (sheets, viewer).
//!
//! ```text
//! read(text) -> Book                         the field book beside the layout, NAME.field.ron
//! misfits(&Outcome, &Book) -> [Problem]      readings that do not suit the layout
//! judge(&Outcome, &Book)   -> Judged         each reading beside the plan, causes, next acts
//! due, stop_points                           what is still to measure; whether to go on
//! solve_back(&Inputs, &Outcome, &Book)       what stands in place of the plan, the rest solved again
//! changes(&Outcome, &Outcome, &Book)         what a new layout does to what was built by the old one
//! sheet, note                                the book as a page to fill in, and one typed answer put into it
//! again, Changes::sections                   both as lines to print or draw
//! ```
#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::unwrap_used))]

mod back;
mod book;
mod changes;
mod fixed;
mod glued;
mod judge;
mod plan;
mod read;
mod ready;
mod say;
mod sheet;
mod suit;
mod tell;
mod typed;

pub use back::{AsBuilt, NextCut, Solved, as_built, next_cuts, solve_back};
pub use book::{
    Book, LEVEL_DOUBT, Level, Reading, STAGES, Spot, Stage, TAPE_DOUBT, Taken, What, When,
};
pub use changes::{AssemblyChange, Changes, Cost, Fate, Goods, Moved, NewCut, changes, whose_page};
pub use judge::{
    Cause, DryJoint, Fall, Heat, Judged, LevelRead, Said, SleeveRead, StubRead, Weight, Why, judge,
};
pub use plan::corners;
pub use read::read;
pub use ready::{Due, Stop, StopPoint, due, in_kinds, stop_points};
pub use sheet::{Beside, Noted, Row, Sheet, changes_the_rest, note, sheet, stage_at_hand, wanted};
pub use suit::{MARKS, Suspicion, misfits, suspect};
pub use tell::{Section, again};
pub use typed::{EMPTY, Session, addressed, append, entry};
