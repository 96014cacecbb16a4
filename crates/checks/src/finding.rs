//! What a check says.

use std::fmt;

use glam::DVec3;
use units::Id;

/// How a finding weighs. Nothing is ever called clean or approved: with no finding the verdict is "nothing found".
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Verdict {
    /// It cannot be built so, or a published rule that somebody read says no.
    Fails,
    /// Ask the inspector (or the engineer): rules differ, rest on figures nobody read, or want a say-so.
    Ask,
    /// Worth knowing.
    Note,
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Fails => "fails",
            Self::Ask => "ask",
            Self::Note => "note",
        })
    }
}

/// One finding: facts first, one plain sentence after.
#[derive(Clone, PartialEq, Debug)]
pub struct Finding {
    /// The rule's id, e.g. `pipe-against-pipe`.
    pub rule: &'static str,
    /// How it weighs.
    pub verdict: Verdict,
    /// The layout's items it is about, the one to change first.
    pub members: Vec<Id>,
    /// Where, in house inches.
    pub at: DVec3,
    /// The two nearest points where something is measured between two places.
    pub between: Option<[DVec3; 2]>,
    /// What was measured, in `unit`.
    pub measured: Option<f64>,
    /// What the limit is, in `unit`.
    pub limit: Option<f64>,
    /// Unit of both: `in`, `in/ft`, `ft`, `deg`, `DFU`; empty without figures.
    pub unit: &'static str,
    /// One plain sentence: what is wrong by how much, and what would do.
    pub says: String,
    /// Who says so.
    pub source: Source,
}

/// Who says so.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Source {
    /// Code, edition and section; `geometry`; `common practice, no source`; `from memory`; a local amendment.
    pub says: String,
    /// Whether somebody read it. A finding that rests on a row nobody read can only ask.
    pub read: bool,
}

impl Source {
    /// Plain geometry: two bodies in one place need no code.
    pub fn geometry() -> Self {
        Self {
            says: "geometry".into(),
            read: true,
        }
    }

    /// The trade's habit, without a published source.
    pub fn practice() -> Self {
        Self {
            says: "common practice, no source".into(),
            read: true,
        }
    }

    /// A figure recalled, not read.
    pub fn memory(what: &str) -> Self {
        Self {
            says: format!("{what}, from memory"),
            read: false,
        }
    }

    /// A row of a code's tables.
    pub fn row(row: &codes::Row) -> Self {
        Self {
            says: row.cite.to_string(),
            read: row.is_read(),
        }
    }

    /// What a breach weighs: a row nobody read can only ask.
    pub fn breach(&self) -> Verdict {
        if self.read {
            Verdict::Fails
        } else {
            Verdict::Ask
        }
    }
}

impl Finding {
    /// A finding without figures.
    pub fn new(
        rule: &'static str,
        verdict: Verdict,
        members: Vec<Id>,
        at: DVec3,
        source: Source,
        says: String,
    ) -> Self {
        Self {
            rule,
            verdict,
            members,
            at,
            between: None,
            measured: None,
            limit: None,
            unit: "",
            says,
            source,
        }
    }

    /// With what was measured and its limit, in inches.
    #[must_use]
    pub fn inches(self, measured: f64, limit: f64) -> Self {
        Self {
            measured: Some(measured),
            limit: Some(limit),
            unit: "in",
            ..self
        }
    }

    /// With the two places it is measured between.
    #[must_use]
    pub fn between(self, ends: [DVec3; 2]) -> Self {
        Self {
            between: Some(ends),
            ..self
        }
    }

    /// The order findings are told in: by weight, then the list's order of rules, then members, then place.
    ///
    /// Rule order comes from the caller's sort being stable over the list of rules.
    pub fn sort(findings: &mut [Self]) {
        findings.sort_by_key(|finding| finding.verdict);
    }
}
