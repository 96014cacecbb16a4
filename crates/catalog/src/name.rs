//! Reading a fitting's name as a person writes it. What does not belong here: whether it is made in that size.

use crate::{Part, Pattern, Sizes};
use std::fmt;
use units::Size;

/// The text names no fitting.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum NameError {
    /// No size stands before the name.
    NoSize(String),
    /// A size that DWV pipe is not made in.
    Size(units::SizeError),
    /// The words are no pattern; near names follow.
    Pattern {
        /// The words not understood.
        words: String,
        /// Names that share a word with it, or all of them.
        near: Vec<&'static str>,
    },
    /// The pattern takes another number of sizes.
    Count(Pattern),
}

impl fmt::Display for NameError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSize(text) => {
                write!(
                    f,
                    "{text:?} has no size; write \"3 in eighth bend\" or \"3x3x2 wye\""
                )
            }
            Self::Size(error) => write!(f, "{error}"),
            Self::Pattern { words, near } => {
                write!(
                    f,
                    "{words:?} is no fitting; did you mean {}",
                    near.join(", ")
                )
            }
            Self::Count(pattern) if pattern.has_branch() => {
                write!(
                    f,
                    "a {pattern} has one to three sizes; write \"3\", \"3x2\" or \"3x3x2\""
                )
            }
            Self::Count(pattern) => {
                write!(
                    f,
                    "a {pattern} has one or two sizes; write \"3\" or \"4x3\""
                )
            }
        }
    }
}

impl std::error::Error for NameError {}

impl Part {
    /// Reads `3 in eighth bend`, `3x3x2 wye`, `3x2 wye`, `3 in 45`, `1-1/2 street 90`.
    ///
    /// # Errors
    /// Says which part of the name is not understood and what would be right.
    ///
    /// ```
    /// use catalog::{Part, Pattern};
    /// assert_eq!(Part::parse("3x2 wye").unwrap().to_string(), "3x3x2 wye");
    /// assert_eq!(Part::parse("3 in 45").unwrap().pattern, Pattern::EighthBend);
    /// ```
    pub fn parse(text: &str) -> Result<Self, NameError> {
        let lower = text.trim().to_lowercase().replace('×', "x");
        let (sizes, words) = split(&lower).ok_or_else(|| NameError::NoSize(text.into()))?;
        let sizes: Result<Vec<Size>, _> = sizes.split('x').map(Size::parse).collect();
        let pattern = pattern(words)?;
        let sizes = Sizes::listed(pattern, &sizes.map_err(NameError::Size)?);
        sizes
            .map(|sizes| Self { pattern, sizes })
            .ok_or(NameError::Count(pattern))
    }
}

/// The sizes and the words after them; a unit between them is dropped.
fn split(text: &str) -> Option<(&str, &str)> {
    let end = text.find(char::is_whitespace)?;
    let (mut sizes, mut rest) = (&text[..end], text[end..].trim_start());
    if !sizes.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    if let Some((fraction, after)) = rest.split_once(' ')
        && fraction.contains('/')
    {
        sizes = &text[..text.len() - after.len()];
        rest = after.trim_start();
    }
    let words = ["inch ", "in. ", "in ", "\" "]
        .iter()
        .find_map(|unit| rest.strip_prefix(unit));
    Some((
        sizes.trim_end_matches('"').trim(),
        words.unwrap_or(rest).trim(),
    ))
}

fn pattern(words: &str) -> Result<Pattern, NameError> {
    let plain = |text: &str| text.replace(['-', '_'], " ");
    let wanted = plain(words);
    let by_words = Pattern::ALL
        .into_iter()
        .find(|p| plain(p.words()) == wanted);
    let other = ALSO
        .iter()
        .find(|(also, _)| *also == wanted)
        .map(|(_, pattern)| *pattern);
    by_words.or(other).ok_or_else(|| NameError::Pattern {
        words: words.into(),
        near: near(&wanted),
    })
}

fn near(words: &str) -> Vec<&'static str> {
    let shares = |p: &&'static str| {
        words
            .split(' ')
            .any(|word| word.len() > 2 && p.contains(word))
    };
    let all = || Pattern::ALL.into_iter().map(Pattern::words);
    let close: Vec<_> = all().filter(|p| shares(p)).collect();
    if close.is_empty() {
        all().collect()
    } else {
        close
    }
}

/// Other names the trade has for the same pieces.
const ALSO: [(&str, Pattern); 25] = [
    ("90", Pattern::QuarterBendShort),
    ("short 90", Pattern::QuarterBendShort),
    ("quarter bend", Pattern::QuarterBendShort),
    ("long 90", Pattern::QuarterBendLongTurn),
    ("long turn 90", Pattern::QuarterBendLongTurn),
    ("60", Pattern::SixthBend),
    ("45", Pattern::EighthBend),
    ("22 1/2", Pattern::SixteenthBend),
    ("22.5", Pattern::SixteenthBend),
    ("street 90", Pattern::QuarterBendStreet),
    ("long turn street 90", Pattern::QuarterBendLongTurnStreet),
    ("street 60", Pattern::SixthBendStreet),
    ("street 45", Pattern::EighthBendStreet),
    ("street 22 1/2", Pattern::SixteenthBendStreet),
    ("heel inlet 90", Pattern::QuarterBendHeelInlet),
    ("san tee", Pattern::SanitaryTee),
    ("y", Pattern::Wye),
    ("combo", Pattern::Combination),
    ("combination wye and eighth bend", Pattern::Combination),
    ("bushing", Pattern::FlushBushing),
    ("reducer", Pattern::ReducingCoupling),
    ("increaser", Pattern::ReducingCoupling),
    ("cleanout", Pattern::CleanoutAdapter),
    ("trap", Pattern::PTrap),
    ("double san tee", Pattern::DoubleSanitaryTee),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_people_write() {
        let read = |text: &str| Part::parse(text).unwrap().to_string();
        assert_eq!(read("3x3x2 wye"), "3x3x2 wye");
        assert_eq!(read("3X2 Wye"), "3x3x2 wye");
        assert_eq!(read("3x3x3 wye"), "3 in wye");
        assert_eq!(read("1-1/2 in street 90"), "1-1/2 in street quarter bend");
        assert_eq!(read("1 1/2 in san tee"), "1-1/2 in sanitary tee");
        assert_eq!(read("2x1-1/2 bushing"), "2x1-1/2 flush bushing");
        assert_eq!(read("4x3 closet bend"), "4x3 closet bend");
        assert_eq!(read("3\" 22-1/2"), "3 in sixteenth bend");
    }

    #[test]
    fn errors_say_what_would_be_right() {
        let error = |text: &str| Part::parse(text).unwrap_err().to_string();
        assert!(error("wye").contains("has no size"));
        assert!(error("5 in wye").contains("is not a pipe size"));
        let near = error("3 in sanitery tee");
        assert!(
            near.contains("sanitary tee") && !near.contains("p-trap"),
            "{near}"
        );
        assert!(error("3x3x2 cap").contains("one or two sizes"));
        assert!(error("3x3x2x2 wye").contains("one to three sizes"));
        assert!(error("").contains("has no size"));
    }
}
