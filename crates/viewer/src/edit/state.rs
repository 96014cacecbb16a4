//! Whether things can be moved, what is held, and what waits to be written to disk.

use std::collections::BTreeMap;
use std::sync::Arc;

use glam::DVec2;

use super::grips::Grip;
use super::history::Draft;
use crate::field_book::BookHooks;
use crate::house::{House, MendRow};
use crate::walk::WalkStep;

/// The flow, as the viewer needs it; pure, called between two frames.
#[derive(Clone)]
pub struct Hooks {
    /// A text through the whole flow, or everything that is wrong with it, a mistake a line.
    pub run: Arc<dyn Fn(&str) -> Result<House, String> + Send + Sync>,
    /// Mends of a text that was run; asked only once the hand rests.
    pub mends: Arc<dyn Fn(&str) -> Vec<MendRow> + Send + Sync>,
    /// The glue-up walk of a text; asked when somebody walks.
    pub walk: Arc<dyn Fn(&str) -> Vec<WalkStep> + Send + Sync>,
    /// The field book; asked while it is open.
    pub book: BookHooks,
}

impl std::fmt::Debug for Hooks {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Hooks").finish_non_exhaustive()
    }
}

/// A grip under the hand.
#[derive(Clone, Debug)]
pub struct Held {
    /// The grip as it was taken up.
    pub grip: Grip,
    /// The house as it was.
    pub before: House,
    /// Where it lies now, in plan.
    pub at: DVec2,
    /// What drew it there, in words.
    pub says: String,
    /// The text with the move in it; the one before while no move was possible.
    pub text: String,
    /// From the pointer to the grip when it was taken up, in plan.
    pub off: DVec2,
}

/// Work for the disk, done after the frame.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Chore {
    /// Write this text as the layout.
    Save(String),
    /// Keep this unsaved text beside the layout.
    Recover(String),
    /// Nothing is unsaved any more.
    Forget,
    /// Read the field book beside the layout.
    ReadBook,
    /// Write the field book, if it still says what it said.
    SaveBook {
        /// What it said.
        before: String,
        /// What it says then.
        text: String,
    },
}

/// See the module.
#[derive(Clone, Debug, Default)]
pub struct EditState {
    /// Whether grips are shown and can be moved.
    pub on: bool,
    /// The flow; without it nothing can be changed.
    pub hooks: Option<Hooks>,
    /// The text and its past.
    pub draft: Draft,
    /// What can be taken hold of now.
    pub grips: Vec<Grip>,
    /// The item whose figures are shown.
    pub item: Option<String>,
    /// The grip under the pointer.
    pub hover: Option<usize>,
    /// The grip under the hand.
    pub held: Option<Held>,
    /// The kind of thing that the next click places.
    pub placing: Option<&'static str>,
    /// Why the last change was not made.
    pub refused: Option<String>,
    /// A good word about the last save.
    pub told: Option<String>,
    /// What is being typed, by label, until it is written.
    pub typing: BTreeMap<String, String>,
    /// The file as something else wrote it while this text was unsaved.
    pub theirs: Option<Box<House>>,
    /// Unsaved work found from last time.
    pub found: Option<String>,
    /// For the disk, oldest first.
    pub chores: Vec<Chore>,
}
