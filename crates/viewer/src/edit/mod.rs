//! Changing the house where it is seen: grips that are dragged, figures that are typed, undo, save.
//!
//! Every change is a [`layout::Edit`] of the text, so that comments survive; the flow runs again on the new text and the
//! house that comes out is shown. Nothing is patched behind it. Plain values; the disk is `app`'s.

mod angles;
mod branch;
mod fields;
mod grips;
mod history;
mod moves;
mod place;
mod state;
mod ui;

pub use angles::{Drawn, Leg, drawn, quarters, sixteenths};
pub use branch::{Branch, along_its_run, branches};
pub use fields::{Field, KINDS, Typed, fields, item_path, with_unit};
pub use grips::{Grip, Hold, grips};
pub use history::Draft;
pub use moves::{Moved, moved, nearest_on, off_segment};
pub use place::{
    CLEANOUT, PLACED, Stands, Trap, VOID, add, bent, cabinet_over, called, fresh, nearest_run,
    placed, stands_at, stands_on, void, wall_near,
};
pub use state::{Chore, EditState, Held, Hooks};
pub use ui::{EditAsk, edit_ui, grips_paint, in_short, question_ui};
