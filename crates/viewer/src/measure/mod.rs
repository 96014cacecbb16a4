//! Distances between picked places, and from a place to the finished floor; kept until they are put away.

mod state;
mod ui;

pub use state::{MeasureState, Measured, floor_words};
pub use ui::{MeasureAsk, measure_paint, measure_ui};
