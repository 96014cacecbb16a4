//! Sums for whoever stands in the trench, from values to values: tape ties and fixes, squaring, levelling, earth, the
//! test before cover, and pipe that wants to float.
//!
//! Lengths are inches and angles degrees unless a name says otherwise; plan points are `(x east, y north)` in inches.
//! What does not belong here: what a layout is, how a page is drawn, what a reading is judged against.
#![forbid(unsafe_code)]

pub mod earth;
pub mod fix;
pub mod float;
pub mod level;
pub mod square;
pub mod ties;
pub mod water_test;
