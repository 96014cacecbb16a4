//! What the readings say: each stub against its landing, causes that several share, sleeves, levels and grades, trench
//! bottoms, strings and diagonals, heat. One file a subject; facts first, one sentence and the next act after.
//!
//! A verdict goes by the best figure; how far that figure may be off is told beside it.

mod benches;
mod causes;
mod control;
mod grades;
mod heat;
mod sleeves;
mod stubs;

use flow::Outcome;
use units::Id;

pub use benches::DryJoint;
pub use causes::{Cause, Why};
pub use grades::{Fall, LevelRead};
pub use heat::Heat;
pub use sleeves::SleeveRead;
pub use stubs::StubRead;

use crate::{book::Book, plan::Plan};

/// How an answer weighs.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Weight {
    /// Stop: what comes next would be built on it.
    Stop,
    /// Look again, or know it.
    Look,
    /// Nothing found.
    Nothing,
}

impl Weight {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Look => "look",
            Self::Nothing => "nothing found",
        }
    }
}

/// One answer to one or more readings.
#[derive(Clone, PartialEq, Debug)]
pub struct Said {
    /// How it weighs.
    pub weight: Weight,
    /// What it is about, the layout's items.
    pub items: Vec<Id>,
    /// The readings it rests on.
    pub readings: Vec<Id>,
    /// What was found, one sentence.
    pub says: String,
    /// What to do next; empty when there is nothing to do.
    pub next: String,
    /// Another answer tells the cause, and what to do about it.
    pub explained: bool,
}

/// Everything the readings say.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Judged {
    /// Stubs measured, planned beside measured.
    pub stubs: Vec<StubRead>,
    /// Sleeves as poured.
    pub sleeves: Vec<SleeveRead>,
    /// Levels on runs, as inverts.
    pub levels: Vec<LevelRead>,
    /// Falls between levels at least 4 ft apart.
    pub falls: Vec<Fall>,
    /// Causes that several stubs share.
    pub causes: Vec<Cause>,
    /// What heat between gluing and pour moves.
    pub heat: Vec<Heat>,
    /// The answers: causes first, then by weight, then in the order of the job.
    pub said: Vec<Said>,
}

impl Judged {
    /// Whether any answer says stop.
    pub fn stops(&self) -> bool {
        self.said.iter().any(|said| said.weight == Weight::Stop)
    }

    /// The answers that rest on a reading.
    pub fn about(&self, reading: &Id) -> Vec<&Said> {
        self.said
            .iter()
            .filter(|said| said.readings.contains(reading))
            .collect()
    }
}

/// Judges a book against the layout as planned. Readings of things the layout does not have are passed over:
/// [`crate::misfits`] tells them.
pub fn judge(outcome: &Outcome, book: &Book) -> Judged {
    let plan = Plan { outcome, book };
    let mut judged = Judged::default();
    let mut said = Vec::new();
    said.extend(control::strings(plan));
    said.extend(control::diagonals(plan));
    sleeves::judge(plan, &mut judged, &mut said);
    stubs::judge(plan, &mut judged, &mut said);
    causes::judge(plan, &mut judged, &mut said);
    said.extend(control::trenches(plan));
    grades::judge(plan, &mut judged, &mut said);
    heat::judge(plan, &mut judged, &mut said);
    said.sort_by_key(|said| said.weight);
    judged.said = said;
    judged
}
