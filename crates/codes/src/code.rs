//! The three profiles, who else is quoted beside them, and how a figure is known.

use std::fmt;

/// A model code whose profile a layout can be judged by.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Code {
    /// International Residential Code.
    Irc,
    /// International Plumbing Code.
    Ipc,
    /// Uniform Plumbing Code.
    Upc,
}

/// The text names none of the three codes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CodeError(
    /// The text that was given.
    pub String,
);

impl fmt::Display for CodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?} is not a code known here; write irc, ipc or upc",
            self.0
        )
    }
}

impl std::error::Error for CodeError {}

impl Code {
    /// All three, in the order they are shown.
    pub const ALL: [Self; 3] = [Self::Irc, Self::Ipc, Self::Upc];

    /// The short name: `IRC`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Irc => "IRC",
            Self::Ipc => "IPC",
            Self::Upc => "UPC",
        }
    }

    /// The profile's name, honest about editions: the rows were seen in several, and none was seen whole.
    /// Each row tells its own edition.
    pub fn profile(self) -> &'static str {
        match self {
            Self::Irc => "IRC 2018/2021 as seen",
            Self::Ipc => "IPC 2018/2021 as seen",
            Self::Upc => "UPC 2018/2021 as seen",
        }
    }

    /// Reads `irc`, `ipc` or `upc`, in any case.
    ///
    /// # Errors
    /// When the text is none of them.
    pub fn parse(text: &str) -> Result<Self, CodeError> {
        let named = |code: &Self| code.name().eq_ignore_ascii_case(text.trim());
        Self::ALL
            .into_iter()
            .find(named)
            .ok_or_else(|| CodeError(text.into()))
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

/// Whose text a row comes from.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Body {
    /// One of the three plumbing codes, or a text built on it.
    Code(Code),
    /// Trade practice; no code.
    Practice,
    /// United States safety rules for excavations; they bind employers.
    Osha,
    /// United States environment agency.
    Epa,
    /// The published standard for soil-gas systems in new houses (ANSI/AARST RRNC).
    Aarst,
}

impl Body {
    /// The name as printed in a source line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Code(code) => code.name(),
            Self::Practice => "common practice",
            Self::Osha => "OSHA",
            Self::Epa => "EPA",
            Self::Aarst => "ANSI/AARST",
        }
    }

    pub(crate) fn parse(text: &str) -> Option<Self> {
        match text {
            "practice" => Some(Self::Practice),
            "OSHA" => Some(Self::Osha),
            "EPA" => Some(Self::Epa),
            "AARST" => Some(Self::Aarst),
            code => Code::parse(code).ok().map(Self::Code),
        }
    }
}

/// How a figure is known.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum How {
    /// Seen in a public copy, quotation or summary.
    Read,
    /// Recalled only; nobody should treat it as verified.
    Memory,
    /// Trade practice without a source.
    CommonPractice,
    /// Worked out here from other rows.
    Computed,
    /// A local amendment, on the word of whoever is named in it.
    Local,
}

impl How {
    pub(crate) fn parse(text: &str) -> Option<Self> {
        match text {
            "read" => Some(Self::Read),
            "memory" => Some(Self::Memory),
            "practice" => Some(Self::CommonPractice),
            "computed" => Some(Self::Computed),
            _ => None,
        }
    }

    /// The words a finding prints.
    pub fn says(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Memory => "from memory",
            Self::CommonPractice => "common practice",
            Self::Computed => "computed",
            Self::Local => "local amendment",
        }
    }
}

/// How near to the code itself a read figure was seen, strongest first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Tier {
    /// The model code or standard itself, or its publisher's own extract.
    Direct,
    /// A state or city code built on the model; local changes are possible.
    Adopted,
    /// A quotation or summary by someone else.
    Secondary,
}

impl Tier {
    pub(crate) fn parse(text: &str) -> Option<Self> {
        match text {
            "direct" => Some(Self::Direct),
            "adopted" => Some(Self::Adopted),
            "secondary" => Some(Self::Secondary),
            _ => None,
        }
    }

    /// The words a finding prints.
    pub fn says(self) -> &'static str {
        match self {
            Self::Direct => "in the code's own text",
            Self::Adopted => "in a code built on it",
            Self::Secondary => "quoted by someone else",
        }
    }
}
