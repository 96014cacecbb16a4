//! A dimension that knows how far it may be trusted. What does not belong here: where the numbers come from.

use std::sync::Arc;

/// How a value came to be known, the most trustworthy first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum How {
    /// Measured on the piece in hand.
    Measured,
    /// Seen in the publication that the source names.
    Read,
    /// Recalled; nobody has looked it up.
    Memory,
    /// Worked out from other values by a rule.
    Derived,
}

impl How {
    /// The word tables and sheets use: `measured`, `read`, `memory`, `derived`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Read => "read",
            Self::Memory => "memory",
            Self::Derived => "derived",
        }
    }

    pub(crate) fn named(word: &str) -> Option<Self> {
        [Self::Measured, Self::Read, Self::Memory, Self::Derived]
            .into_iter()
            .find(|how| how.word() == word)
    }
}

/// A length in inches, with what is known about it.
#[derive(Clone, PartialEq, Debug)]
pub struct Dim {
    /// Inches. May be negative where the text of the field says so.
    pub value: f64,
    /// The true value may be off by this much either way, inches, never negative.
    pub doubt: f64,
    /// How it is known. A sum is known as badly as its worst part.
    pub how: How,
    /// The publication, the rule or the bench sheet line it comes from. A sum names all its sources.
    pub source: Arc<str>,
}

impl Dim {
    /// A dimension from its parts.
    pub fn new(value: f64, doubt: f64, how: How, source: &str) -> Self {
        Self {
            value,
            doubt: doubt.abs(),
            how,
            source: shared(source),
        }
    }

    /// This and `other`, end to end: values and doubts add.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        self.joined(other, self.value + other.value)
    }

    /// This less `other`: values subtract, doubts still add.
    #[must_use]
    pub fn minus(&self, other: &Self) -> Self {
        self.joined(other, self.value - other.value)
    }

    /// `factor` times this; the doubt grows with it.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            doubt: self.doubt * factor.abs(),
            ..self.clone()
        }
    }

    /// True until it is measured: a pipe cut by it is provisional.
    pub fn is_provisional(&self) -> bool {
        self.how != How::Measured
    }

    /// The least and the most it can be, inches.
    pub fn range(&self) -> (f64, f64) {
        (self.value - self.doubt, self.value + self.doubt)
    }

    /// The sources it rests on, each once, in the order they came in.
    pub fn sources(&self) -> impl Iterator<Item = &str> {
        self.source
            .split(BETWEEN)
            .filter(|source| !source.is_empty())
    }

    fn joined(&self, other: &Self, value: f64) -> Self {
        Self {
            value,
            doubt: self.doubt + other.doubt,
            how: self.how.max(other.how),
            source: joined_sources(&self.source, &other.source),
        }
    }
}

/// Stands between two sources of one dimension; in none of them.
const BETWEEN: &str = " | ";

/// No source is shared by all that have none: pieces are laid by many such lengths.
fn shared(source: &str) -> Arc<str> {
    if source.is_empty() {
        Arc::default()
    } else {
        source.into()
    }
}

fn joined_sources(a: &Arc<str>, b: &Arc<str>) -> Arc<str> {
    if b.is_empty() || a == b {
        return a.clone();
    }
    if a.is_empty() {
        return b.clone();
    }
    if a.split(BETWEEN).any(|part| part == &**b) {
        return a.clone();
    }
    format!("{a}{BETWEEN}{b}").into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sum_keeps_the_doubt_and_the_worst_trust() {
        let elbow = Dim::new(3.0625, 0.0625, How::Measured, "bench");
        let wye = Dim::new(5.0625, 0.375, How::Memory, "recalled");
        let both = elbow.plus(&wye);
        assert_eq!((both.value, both.doubt), (8.125, 0.4375));
        assert_eq!(both.how, How::Memory);
        assert_eq!(&*both.source, "bench | recalled");
        assert!(both.is_provisional());
        // A rule's own plus sign is not the end of a source.
        let rule = Dim::new(1.0, 0.125, How::Derived, "half the hub + 1/16");
        let all = both.plus(&rule).plus(&elbow);
        let sources: Vec<&str> = all.sources().collect();
        assert_eq!(sources, ["bench", "recalled", "half the hub + 1/16"]);
    }

    #[test]
    fn subtracting_adds_the_doubt_too() {
        let a = Dim::new(10.0, 0.125, How::Read, "tape");
        let cut = a.minus(&a.times(2.0));
        assert_eq!((cut.value, cut.doubt), (-10.0, 0.375));
        assert_eq!(&*cut.source, "tape");
        assert_eq!(cut.range(), (-10.375, -9.625));
    }

    #[test]
    fn measured_on_both_ends_is_no_longer_provisional() {
        let a = Dim::new(1.0, 0.03125, How::Measured, "bench");
        assert!(!a.plus(&a).is_provisional());
    }
}
