//! Distances between picked places, and from a place to the finished floor; kept until they are put away.

mod readings;
mod state;
mod ui;

pub use readings::{Cover, Nearest, Pulls, cover, is_pipe, nearest, off_tube, pulls};
pub use state::{MeasureState, Measured, Reading, Tape, floor_words};
pub use ui::{MeasureAsk, measure_paint, measure_ui};
