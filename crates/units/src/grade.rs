//! Grades as the trade says them: inches of fall per foot.

use std::fmt;

/// Inches of fall per foot of developed plan length, positive downstream. Never NaN.
#[derive(Clone, Copy, PartialEq, PartialOrd, Debug)]
pub struct Grade(f64);

/// The text is not a grade.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct GradeError(
    /// The text that was given.
    pub String,
);

impl fmt::Display for GradeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?} is not a grade; write inches per foot like \"1/4\" or \"1/8 in/ft\", or \"2%\"",
            self.0
        )
    }
}

impl std::error::Error for GradeError {}

impl Grade {
    /// 1/8 in per ft.
    pub const EIGHTH: Self = Self(0.125);
    /// 1/4 in per ft.
    pub const QUARTER: Self = Self(0.25);

    /// A grade from inches per foot; `None` when not finite.
    pub fn from_in_per_ft(in_per_ft: f64) -> Option<Self> {
        in_per_ft.is_finite().then_some(Self(in_per_ft))
    }

    /// Inches of fall per foot.
    pub fn in_per_ft(self) -> f64 {
        self.0
    }

    /// Inches of fall over `length` inches of plan length.
    pub fn fall_over(self, length: f64) -> f64 {
        self.0 * length / 12.0
    }

    /// The grade in per cent.
    pub fn percent(self) -> f64 {
        self.0 / 12.0 * 100.0
    }

    /// Reads `1/4`, `1/4 in/ft`, `0.25`, `3/16 per ft`, `2%` or `2.08 %`. A grade needs no unit: the trade means in/ft.
    ///
    /// # Errors
    /// When the text is not a positive, finite grade.
    pub fn parse(text: &str) -> Result<Self, GradeError> {
        let lower = text.trim().to_ascii_lowercase();
        let value = match lower.strip_suffix('%') {
            Some(percent) => number(percent).map(|p| p / 100.0 * 12.0),
            None => number(strip_unit(&lower)),
        };
        let positive = value.filter(|v| v.is_finite() && *v >= 0.0);
        positive.map(Self).ok_or_else(|| GradeError(text.into()))
    }
}

fn strip_unit(text: &str) -> &str {
    let units = [
        "in/ft",
        "in per ft",
        "per ft",
        "per foot",
        "\"/ft",
        "in per foot",
    ];
    units
        .iter()
        .find_map(|unit| text.strip_suffix(unit))
        .unwrap_or(text)
}

fn number(text: &str) -> Option<f64> {
    match text.trim().split_once('/') {
        Some((above, below)) => {
            Some(above.trim().parse::<f64>().ok()? / below.trim().parse::<f64>().ok()?)
        }
        None => text.trim().parse().ok(),
    }
}

/// `1/4`, `3/16` or a decimal, without the unit: sixteenths as fractions, the rest to three places.
impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = crate::inches_text(self.0, 16);
        let exact = (self.0 * 16.0 - (self.0 * 16.0).round()).abs() < 1e-9;
        if exact {
            f.pad(text.trim_end_matches('"'))
        } else {
            write!(f, "{:.3}", self.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ways_the_trade_says_it() {
        for text in ["1/4", "0.25", "1/4 in/ft", "1/4 per ft"] {
            assert_eq!(Grade::parse(text), Ok(Grade::QUARTER), "{text}");
        }
        // A teaching page (case G034, read): 1/4 in/ft is 2.0833 %.
        assert!((Grade::QUARTER.percent() - 2.0833).abs() < 1e-4);
        assert!((Grade::parse("2%").unwrap().in_per_ft() - 0.24).abs() < 1e-12);
        // Fall notes (case G041, read): 1 ft in 48 ft.
        assert!((Grade::QUARTER.fall_over(48.0 * 12.0) - 12.0).abs() < 1e-12);
    }

    #[test]
    fn prints_as_fraction_or_decimal() {
        assert_eq!(Grade::QUARTER.to_string(), "1/4");
        assert_eq!(Grade::EIGHTH.to_string(), "1/8");
        assert_eq!(Grade(0.2156).to_string(), "0.216");
    }

    #[test]
    fn refuses_what_is_not_a_grade() {
        for odd in ["", "flat", "1/0", "-1/4", "nan", "1/4 in"] {
            assert!(Grade::parse(odd).is_err(), "{odd}");
        }
    }
}
