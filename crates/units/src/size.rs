//! Nominal sizes of drain, waste and vent pipe.

use std::fmt;

/// A nominal pipe size that DWV pipe is made in. Ordered by bore. True dimensions are in `catalog`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Size {
    /// 1-1/4 in.
    In1_25,
    /// 1-1/2 in.
    In1_5,
    /// 2 in.
    In2,
    /// 3 in.
    In3,
    /// 4 in.
    In4,
    /// 6 in (building sewers and sleeves).
    In6,
}

/// The text is not a size DWV pipe is made in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SizeError(
    /// The text that was given.
    pub String,
);

impl fmt::Display for SizeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?} is not a pipe size; write \"1-1/4 in\", \"1-1/2 in\", \"2 in\", \"3 in\", \"4 in\" or \"6 in\"",
            self.0
        )
    }
}

impl std::error::Error for SizeError {}

impl Size {
    /// Every size, smallest first.
    pub const ALL: [Self; 6] = [
        Self::In1_25,
        Self::In1_5,
        Self::In2,
        Self::In3,
        Self::In4,
        Self::In6,
    ];

    /// The nominal size in inches, as tables write it: 1.25, 1.5, 2, 3, 4, 6.
    pub fn nominal(self) -> f64 {
        match self {
            Self::In1_25 => 1.25,
            Self::In1_5 => 1.5,
            Self::In2 => 2.0,
            Self::In3 => 3.0,
            Self::In4 => 4.0,
            Self::In6 => 6.0,
        }
    }

    /// The size as the trade writes it, without the unit: `1-1/2`.
    pub fn label(self) -> &'static str {
        match self {
            Self::In1_25 => "1-1/4",
            Self::In1_5 => "1-1/2",
            Self::In2 => "2",
            Self::In3 => "3",
            Self::In4 => "4",
            Self::In6 => "6",
        }
    }

    /// The size whose nominal inches are `nominal`, if DWV pipe is made in it.
    pub fn from_nominal(nominal: f64) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|size| (size.nominal() - nominal).abs() < 1e-9)
    }

    /// Reads `"3 in"`, `"3"`, `"1-1/2 in"`, `"1 1/2"` or `"1.5 in"`.
    ///
    /// # Errors
    /// When the text is not one of the sizes made.
    pub fn parse(text: &str) -> Result<Self, SizeError> {
        let bare = text
            .trim()
            .trim_end_matches('"')
            .trim_end_matches("inch")
            .trim_end_matches("in")
            .trim();
        let dashed = |c: char| if c == ' ' { '-' } else { c };
        let labelled = |size: &Self| bare.chars().map(dashed).eq(size.label().chars());
        let by_label = Self::ALL.into_iter().find(labelled);
        by_label
            .or_else(|| Self::from_nominal(bare.parse().ok()?))
            .ok_or_else(|| SizeError(text.into()))
    }
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} in", self.label())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_every_label_it_writes() {
        for size in Size::ALL {
            assert_eq!(Size::parse(&size.to_string()), Ok(size));
            assert_eq!(Size::parse(size.label()), Ok(size));
        }
        assert_eq!(Size::parse("1 1/2"), Ok(Size::In1_5));
        assert_eq!(Size::parse("1.5 in"), Ok(Size::In1_5));
    }

    #[test]
    fn refuses_a_size_not_made() {
        let error = Size::parse("5 in").unwrap_err().to_string();
        assert!(error.contains("\"5 in\" is not a pipe size"), "{error}");
    }
}
