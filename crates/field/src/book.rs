//! The field book as values: readings, the fixed points and strings they were taken from, and how far tape and level
//! may be off. What does not belong here: reading it from a file (`read`), what a reading means (`judge`).

use glam::DVec2;
use layout::{
    Problem,
    node::{Node, Span},
    reader::{Mistake, Source},
};
use units::Id;

/// How far one tape pull may be off when nothing else is said, inches: nineteen in twenty lie within. Our choice; a
/// tape is read to a sixteenth.
pub const TAPE_DOUBT: f64 = 1.0 / 16.0;
/// How far one level may be off when nothing else is said, inches: nineteen in twenty lie within. Our choice; a grade
/// rod is read to a hundredth of a foot, 1/8 in, and so to half of that.
pub const LEVEL_DOUBT: f64 = 1.0 / 16.0;

/// Everything measured in the ground beside one layout.
#[derive(Clone, PartialEq, Debug)]
pub struct Book {
    /// The readings, in the order of the file.
    pub readings: Vec<Reading>,
    /// Fixed points of its own: name and place, inches from the form's south-west corner.
    pub points: Vec<(Id, DVec2)>,
    /// Strings as they should run: name, first end, second end.
    pub strings: Vec<(Id, DVec2, DVec2)>,
    /// How far one tape pull may be off, inches.
    pub tape: f64,
    /// How far one level may be off, inches.
    pub level: f64,
    /// Soil wanted between the pipe and the trench bottom, inches.
    pub bedding: f64,
    pub(crate) source: Source,
    pub(crate) tree: Option<Node>,
}

impl Default for Book {
    fn default() -> Self {
        Self::of(Source::new("", "field book"), None)
    }
}

impl Book {
    pub(crate) fn of(source: Source, tree: Option<Node>) -> Self {
        Self {
            readings: Vec::new(),
            points: Vec::new(),
            strings: Vec::new(),
            tape: TAPE_DOUBT,
            level: LEVEL_DOUBT,
            bedding: trench::earth::BEDDING,
            source,
            tree,
        }
    }

    /// Mistakes of its readings as problems with their line.
    pub(crate) fn tell(&self, mistakes: Vec<Mistake>) -> Vec<Problem> {
        match &self.tree {
            Some(tree) => self.source.tell(tree, mistakes),
            None => Vec::new(),
        }
    }

    /// The latest reading of a kind on an item: of the latest stage, and there the last in the file.
    pub fn latest(&self, of: &Id, is: impl Fn(&What) -> bool) -> Option<&Reading> {
        let of_kind = self.readings.iter().filter(|r| r.of == *of && is(&r.what));
        // The last of equal stages wins.
        of_kind.max_by_key(|reading| reading.stage)
    }

    /// The latest stage that any reading of an item tells.
    pub fn stage_of(&self, of: &Id) -> Option<Stage> {
        let of_item = self.readings.iter().filter(|reading| reading.of == *of);
        of_item.map(|reading| reading.stage).max()
    }

    /// Whether an item is glued, by the stage of its readings.
    pub fn is_glued(&self, of: &Id) -> bool {
        self.stage_of(of).is_some_and(Stage::is_glued)
    }
}

/// One reading.
#[derive(Clone, PartialEq, Debug)]
pub struct Reading {
    /// Its own name in the book.
    pub id: Id,
    /// The stub, run, drain, corner or string it was taken of.
    pub of: Id,
    /// What was measured.
    pub what: What,
    /// Who measured it; empty when not told.
    pub who: String,
    /// When; `None` when not told.
    pub when: Option<When>,
    /// How far the work was.
    pub stage: Stage,
    /// Read twice: it is not asked about again.
    pub sure: bool,
    pub(crate) span: Span,
}

/// What a reading tells.
#[derive(Clone, PartialEq, Debug)]
pub enum What {
    /// Where a stub stands in plan.
    Stub(Taken),
    /// Level of a stub's top.
    Top(Level),
    /// A sleeve as poured: level of its inside bottom, and where its middle is along the wall.
    Sleeve(Option<Level>, Option<Taken>),
    /// Level of a pipe's inside bottom on a run.
    Invert(Spot, Level),
    /// Level of a pipe's outside top on a run.
    Crown(Spot, Level),
    /// Level of the trench's bottom under a run.
    Trench(Spot, Level),
    /// From a named corner to another, inches.
    Diagonal(Id, f64),
    /// Where a string passes, so far from its first end.
    String(f64, Taken),
    /// Temperature of the pipe, degrees F.
    Heat(f64),
    /// The work of the stage is done: no figure.
    Done,
}

impl What {
    /// The word for it in the file.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Stub(_) => "stub",
            Self::Top(_) => "top",
            Self::Sleeve(..) => "sleeve",
            Self::Invert(..) => "invert",
            Self::Crown(..) => "crown",
            Self::Trench(..) => "trench",
            Self::Diagonal(..) => "diagonal",
            Self::String(..) => "string",
            Self::Heat(_) => "heat",
            Self::Done => "done",
        }
    }

    /// How it was taken in plan, if it was.
    pub fn taken(&self) -> Option<&Taken> {
        match self {
            Self::Stub(taken) | Self::String(_, taken) => Some(taken),
            Self::Sleeve(_, taken) => taken.as_ref(),
            Self::Top(_)
            | Self::Invert(..)
            | Self::Crown(..)
            | Self::Trench(..)
            | Self::Diagonal(..)
            | Self::Heat(_)
            | Self::Done => None,
        }
    }

    /// The level in it, inches from finished floor, if there is one.
    pub fn level(&self) -> Option<f64> {
        match self {
            Self::Top(level)
            | Self::Invert(_, level)
            | Self::Crown(_, level)
            | Self::Trench(_, level) => Some(level.z()),
            Self::Sleeve(level, _) => level.as_ref().map(Level::z),
            Self::Stub(_) | Self::String(..) | Self::Diagonal(..) | Self::Heat(_) | Self::Done => {
                None
            }
        }
    }
}

/// How a point in plan was taken.
#[derive(Clone, PartialEq, Debug)]
pub enum Taken {
    /// Tape pulls: the corner each hooks on, and inches.
    Tapes(Vec<(Id, f64)>),
    /// From a string: its name, inches along it from its first end, inches to the left of it looking that way.
    Off(Id, f64, f64),
}

/// How a level was taken, inches.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Level {
    /// From finished floor, below it negative.
    Told(f64),
    /// Down from the instrument's line of sight.
    Rod {
        /// What the rod reads.
        rod: f64,
        /// The instrument's line of sight above finished floor.
        instrument: f64,
    },
}

impl Level {
    /// The level from finished floor.
    pub fn z(&self) -> f64 {
        match self {
            Self::Told(z) => *z,
            Self::Rod { rod, instrument } => trench::level::elevation(*instrument, *rod),
        }
    }
}

/// A place on a run.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Spot {
    /// Its upper end.
    Upper,
    /// Its lower end.
    Lower,
    /// So many inches up the run from its lower end.
    At(f64),
}

/// How far the work was, first to last.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Stage {
    /// Strings and corners set.
    Strings,
    /// The sleeve poured in the wall.
    Sleeve,
    /// Trench dug and bedded.
    Dug,
    /// Fitted dry and marked.
    DryFit,
    /// Glued.
    Glued,
    /// Backfilled and tamped.
    Backfilled,
    /// The morning of the pour.
    Pour,
}

/// Every stage with its word.
pub const STAGES: [(&str, Stage); 7] = [
    ("strings", Stage::Strings),
    ("sleeve", Stage::Sleeve),
    ("dug", Stage::Dug),
    ("dry_fit", Stage::DryFit),
    ("glued", Stage::Glued),
    ("backfilled", Stage::Backfilled),
    ("pour", Stage::Pour),
];

impl Stage {
    /// Its word in the file.
    pub fn word(self) -> &'static str {
        match self {
            Self::Strings => "strings",
            Self::Sleeve => "sleeve",
            Self::Dug => "dug",
            Self::DryFit => "dry_fit",
            Self::Glued => "glued",
            Self::Backfilled => "backfilled",
            Self::Pour => "pour",
        }
    }

    /// Whether pipe is glued at this stage.
    pub fn is_glued(self) -> bool {
        match self {
            Self::Strings | Self::Sleeve | Self::Dug | Self::DryFit => false,
            Self::Glued | Self::Backfilled | Self::Pour => true,
        }
    }

    /// As it is said.
    pub fn says(self) -> &'static str {
        match self {
            Self::Strings => "strings",
            Self::Sleeve => "sleeve poured",
            Self::Dug => "trench dug",
            Self::DryFit => "dry fit",
            Self::Glued => "glued",
            Self::Backfilled => "backfilled",
            Self::Pour => "morning of the pour",
        }
    }
}

/// A day, and a time of day when it was told. In the order of time.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct When {
    /// Year.
    pub year: u32,
    /// Month, 1 to 12.
    pub month: u32,
    /// Day, 1 to 31.
    pub day: u32,
    /// Minutes since midnight.
    pub minutes: Option<u32>,
}

impl When {
    /// Reads `2026-06-03` or `2026-06-03 08:10`.
    pub fn parse(text: &str) -> Option<Self> {
        let (date, time) = text
            .trim()
            .split_once([' ', 'T'])
            .map_or((text.trim(), None), |(date, time)| (date, Some(time)));
        let mut parts = date.split('-').map(|part| part.parse::<u32>().ok());
        let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
        let real = parts.next().is_none() && (1..=12).contains(&month) && (1..=31).contains(&day);
        let minutes = match time {
            None => None,
            Some(time) => Some(minutes(time)?),
        };
        (real && (1900..3000).contains(&year)).then_some(Self {
            year,
            month,
            day,
            minutes,
        })
    }

    /// Whether it is certainly before another: a day without a time is before nothing on the same day.
    pub fn is_before(&self, other: &Self) -> bool {
        let date = |when: &Self| (when.year, when.month, when.day);
        match (self.minutes, other.minutes) {
            (Some(own), Some(others)) => (date(self), own) < (date(other), others),
            _ => date(self) < date(other),
        }
    }
}

impl std::fmt::Display for When {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}-{:02}-{:02}", self.year, self.month, self.day)?;
        match self.minutes {
            Some(minutes) => write!(f, " {:02}:{:02}", minutes / 60, minutes % 60),
            None => Ok(()),
        }
    }
}

fn minutes(time: &str) -> Option<u32> {
    let (hours, minutes) = time.trim().split_once(':')?;
    let (hours, minutes) = (hours.parse::<u32>().ok()?, minutes.parse::<u32>().ok()?);
    (hours < 24 && minutes < 60).then_some(hours * 60 + minutes)
}
