//! A cut through the house, drawn head-on beside the picture: along a run down to the exit, with its inverts, or straight
//! across at any place.

mod cut;
mod ui;

pub use cut::{Cut, CutAlong, Piece, cut, reach, trunk_path};
pub use ui::{CutAsk, cut_paint, cut_ui};
