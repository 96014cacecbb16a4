//! A row of a table: what it says, for what, and where that stands.

use std::{fmt, sync::Arc};

use units::Size;

use crate::{
    code::{Body, How, Tier},
    fittings_allowed::{Pattern, Turn},
    fixtures::{Group, Load},
    rule_list::RuleId,
    value::{Unit, Value},
};

/// What a row of a rule is for. Sizes are nominal inches, since the tables also have sizes DWV pipe is not made in.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Key {
    /// The rule has one row.
    Whole,
    /// Pipe from one nominal size to another, ends included; `None` is open.
    Sizes(Option<f64>, Option<f64>),
    /// One nominal size.
    Size(f64),
    /// One nominal size at a grade (in/ft) or steeper.
    SizeAt(f64, f64),
    /// A fixture.
    Load(Load),
    /// A group of fixtures.
    Group(Group),
    /// A fitting pattern and the turn it makes.
    Turn(Pattern, Turn),
}

impl Key {
    /// Whether the row speaks of pipe of this size.
    pub fn speaks_of(self, size: Size) -> bool {
        self.takes_size(size.nominal())
    }

    /// Whether the row speaks of pipe of this nominal size.
    pub(crate) fn takes_size(self, nominal: f64) -> bool {
        match self {
            Self::Sizes(from, to) => {
                from.is_none_or(|from| from <= nominal) && to.is_none_or(|to| nominal <= to)
            }
            Self::Size(size) | Self::SizeAt(size, _) => same(size, nominal),
            Self::Whole | Self::Load(_) | Self::Group(_) | Self::Turn(..) => false,
        }
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Whole | Self::Sizes(None, None) => f.write_str("all"),
            Self::Sizes(Some(from), Some(to)) if same(*from, *to) => write!(f, "{}", inches(*from)),
            Self::Sizes(Some(from), Some(to)) => write!(f, "{} to {}", inches(*from), inches(*to)),
            Self::Sizes(None, Some(to)) => write!(f, "up to {}", inches(*to)),
            Self::Sizes(Some(from), None) => write!(f, "{} and larger", inches(*from)),
            Self::Size(size) => write!(f, "{}", inches(*size)),
            Self::SizeAt(size, grade) => {
                write!(f, "{} at {}", inches(*size), Value::Number(*grade))
            }
            Self::Load(load) => f.write_str(load.name()),
            Self::Group(group) => f.write_str(group.name()),
            Self::Turn(pattern, turn) => write!(f, "{} {}", pattern.name(), turn.name()),
        }
    }
}

fn inches(nominal: f64) -> String {
    format!("{} in", Value::Number(nominal))
}

/// Whether two table figures are the same.
pub(crate) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// The source of a row that was looked for and not found.
const NO_TEXT: &str = "no text on this was seen";

/// Where a row stands and how it is known.
#[derive(Clone, PartialEq, Debug)]
pub struct Cite {
    /// The rule.
    pub rule: RuleId,
    /// Whose text it is.
    pub body: Body,
    /// The edition that was seen, which is often not the one the profile is named after.
    pub edition: &'static str,
    /// Section or table; empty when none is known.
    pub section: &'static str,
    /// What it says, in our own words.
    pub fact: &'static str,
    /// A remark: what is doubtful, what else was seen; may be empty.
    pub note: &'static str,
    /// Where it was seen.
    pub source: &'static str,
    /// How it is known.
    pub how: How,
    /// How near to the code it was seen, for a read row that says.
    pub tier: Option<Tier>,
    /// What a local amendment changed.
    pub amended: Option<Arc<Amended>>,
}

/// A local change to a row.
#[derive(Clone, PartialEq, Debug)]
pub struct Amended {
    /// What the published row says, with its unit.
    pub published: String,
    /// Whether the published row was read.
    pub published_how: How,
    /// Who said so.
    pub said_by: String,
}

impl Cite {
    /// Body and section, as `UPC Table 702.1`.
    pub fn place(&self) -> String {
        format!("{} {}", self.body.name(), self.section)
            .trim_end()
            .into()
    }
}

/// `UPC Table 702.1, edition not stated (read: ...)`, `IRC P3112, 2018 (from memory)`, `UPC 314.4: no text on this was seen`,
/// or who changed it and what is published.
impl fmt::Display for Cite {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(amended) = &self.amended {
            let how = amended.published_how.says();
            return write!(
                f,
                "{}; published: {}, {} ({how})",
                amended.said_by,
                amended.published,
                self.place()
            );
        }
        if self.how == How::CommonPractice {
            return f.write_str("common practice, no source");
        }
        if self.source == NO_TEXT {
            return write!(f, "{}: {}", self.place(), self.source);
        }
        // What is recalled is named by its own section, which stands there already.
        if self.how == How::Memory && self.source.ends_with("(recalled)") {
            return write!(
                f,
                "{}, {} ({})",
                self.place(),
                self.edition,
                self.how.says()
            );
        }
        write!(
            f,
            "{}, {} ({}: {})",
            self.place(),
            self.edition,
            self.how.says(),
            self.source
        )
    }
}

/// One row: for what, what it says, and where.
#[derive(Clone, PartialEq, Debug)]
pub struct Row {
    /// What it is for.
    pub key: Key,
    /// What it says, in `unit`.
    pub value: Value,
    /// Unit of the figure.
    pub unit: Unit,
    /// Where it stands.
    pub cite: Cite,
}

impl Row {
    /// Whether somebody read this, or says so for their town. What is recalled, practice, or unseen can only ask.
    pub fn is_read(&self) -> bool {
        self.value != Value::Unseen && matches!(self.cite.how, How::Read | How::Local)
    }

    /// What a town changed, in words: `grade-least 3 in: 1/4 in/ft, says county checklist (published: 1/8 in/ft)`. `None`
    /// when the row stands as published.
    pub fn local_change(&self) -> Option<String> {
        let amended = self.cite.amended.as_ref()?;
        let of = match self.key {
            Key::Whole => String::new(),
            key => format!(" {key}"),
        };
        Some(format!(
            "{}{of}: {}, says {} (published: {})",
            self.cite.rule,
            self.says(),
            amended.said_by,
            amended.published
        ))
    }

    /// The figure with its row, if the row has exactly one.
    pub fn figure(&self) -> Option<Figure<'_>> {
        self.value.number().map(|value| Figure { value, row: self })
    }

    /// Value and unit as printed: `1/4 in/ft`.
    pub fn says(&self) -> String {
        match self.value {
            Value::Number(1.0) => format!("1 {}", self.unit.of_one()).trim_end().into(),
            Value::Number(_) | Value::Range(..) => {
                format!("{} {}", self.value, self.unit).trim_end().into()
            }
            Value::NoLimit
            | Value::Yes
            | Value::No
            | Value::Limited(_)
            | Value::Local
            | Value::Silent
            | Value::Words(_)
            | Value::Said
            | Value::Unseen => self.value.to_string(),
        }
    }
}

/// A figure and the row it stands in.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Figure<'a> {
    /// The figure, in the row's unit.
    pub value: f64,
    /// The row.
    pub row: &'a Row,
}

impl Figure<'_> {
    /// The smallest size that is made and is at least this many nominal inches.
    pub fn size(&self) -> Option<Size> {
        Size::ALL
            .into_iter()
            .find(|size| size.nominal() >= self.value)
    }
}
