//! Lengths as a person writes them from a paper plan.

use std::{borrow::Cow, fmt};

/// A length as written in a document. Never NaN, never infinite.
#[derive(Clone, Copy, PartialEq, PartialOrd, Debug, Default)]
pub struct Length(f64);

/// Why a text is not a length. `Display` says what would be right.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum LengthError {
    /// A number without a unit.
    NoUnit(String),
    /// A unit nobody here knows.
    UnknownUnit {
        /// The whole text.
        text: String,
        /// The part not understood.
        unit: String,
    },
    /// `12-1/2`: twelve feet and a half inch, or twelve and a half inches?
    Ambiguous(String),
    /// Anything else that cannot be read.
    Unreadable(String),
}

impl fmt::Display for LengthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoUnit(text) => {
                write!(
                    f,
                    "{text:?} has no unit; write \"{text} in\", \"{text}'\" or \"{text} m\""
                )
            }
            Self::UnknownUnit { text, unit } => {
                write!(
                    f,
                    "{text:?} has the unit {unit:?}; the units are ' or ft, in, m, cm and mm"
                )
            }
            Self::Ambiguous(text) => write!(
                f,
                "{text:?} can be read two ways; write feet as \"12'-0 1/2\" or inches as \"12 1/2 in\""
            ),
            Self::Unreadable(text) => write!(
                f,
                "{text:?} is not a length; write it like \"12'-6 1/2\", \"150 1/2 in\" or \"1.2 m\""
            ),
        }
    }
}

impl std::error::Error for LengthError {}

impl Length {
    /// A length from inches; `None` when not finite.
    pub fn from_inches(inches: f64) -> Option<Self> {
        inches.is_finite().then_some(Self(inches))
    }

    /// The length in inches.
    pub fn inches(self) -> f64 {
        self.0
    }

    /// Reads `12'-6 1/2`, `12-6 1/2`, `12' 6"`, `150 1/2 in`, `1-1/2 in`, `97.60 ft`, `1.2 m`, `-16 3/8 in`, `0`.
    ///
    /// No one must write an inch mark: after feet, a bare number is inches. A bare number alone is refused
    /// (only zero needs no unit), because plans mix feet, inches and decimal feet.
    ///
    /// # Errors
    /// Says what is wrong and what would be right.
    ///
    /// ```
    /// use units::Length;
    /// assert_eq!(Length::parse("12'-6 1/2").unwrap().inches(), 150.5);
    /// assert!(Length::parse("150").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, LengthError> {
        let plain = plain_marks(text.trim());
        let (sign, rest) = match plain.strip_prefix('-') {
            Some(rest) => (-1.0, rest.trim_start()),
            None => (1.0, &*plain),
        };
        let tokens = tokens(rest).ok_or_else(|| LengthError::Unreadable(text.into()))?;
        let inches = read(&tokens, text)?;
        Self::from_inches(sign * inches).ok_or_else(|| LengthError::Unreadable(text.into()))
    }
}

/// The text with its typographic marks as a keyboard has them.
fn plain_marks(text: &str) -> Cow<'_, str> {
    if text.is_ascii() {
        return text.into();
    }
    let text = text.replace('−', "-").replace(['′', '’'], "'");
    text.replace(['″', '”'], "\"").into()
}

#[derive(Clone, PartialEq, Debug)]
enum Token {
    Number(f64),
    Fraction(f64),
    Dash,
    Unit(Unit),
    Word(String),
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Unit {
    Foot,
    Inch,
    Metre,
    Centimetre,
    Millimetre,
}

impl Unit {
    fn in_inches(self) -> f64 {
        match self {
            Self::Foot => 12.0,
            Self::Inch => 1.0,
            Self::Metre => 1000.0 / 25.4,
            Self::Centimetre => 10.0 / 25.4,
            Self::Millimetre => 1.0 / 25.4,
        }
    }

    fn named(word: &str) -> Option<Self> {
        const UNITS: [(Unit, &[&str]); 5] = [
            (Unit::Foot, &["'", "ft", "foot", "feet"]),
            (Unit::Inch, &["\"", "''", "in", "inch", "inches"]),
            (Unit::Metre, &["m"]),
            (Unit::Centimetre, &["cm"]),
            (Unit::Millimetre, &["mm"]),
        ];
        let word = word.trim_end_matches('.');
        let named = |names: &[&str]| names.iter().any(|name| name.eq_ignore_ascii_case(word));
        let unit = UNITS.iter().find(|(_, names)| named(names));
        unit.map(|(unit, _)| *unit)
    }
}

fn tokens(text: &str) -> Option<Vec<Token>> {
    let mut out = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let (token, used) = match first {
            '-' => (Token::Dash, 1),
            '\'' | '"' => mark(rest),
            '0'..='9' | '.' => number(rest)?,
            _ => word(rest)?,
        };
        out.push(token);
        rest = rest[used..].trim_start();
    }
    Some(out)
}

fn mark(text: &str) -> (Token, usize) {
    if text.starts_with("''") {
        (Token::Unit(Unit::Inch), 2)
    } else {
        (
            Token::Unit(if text.starts_with('"') {
                Unit::Inch
            } else {
                Unit::Foot
            }),
            1,
        )
    }
}

fn number(text: &str) -> Option<(Token, usize)> {
    let digits = |s: &str| {
        s.find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(s.len())
    };
    let top = digits(text);
    let above: f64 = text[..top].parse().ok()?;
    let Some(below_text) = text[top..].strip_prefix('/') else {
        return Some((Token::Number(above), top));
    };
    let bottom = digits(below_text);
    let below: f64 = below_text[..bottom].parse().ok()?;
    (below > 0.0).then_some((Token::Fraction(above / below), top + 1 + bottom))
}

fn word(text: &str) -> Option<(Token, usize)> {
    let end = text
        .find(|c: char| !c.is_alphabetic() && c != '.')
        .unwrap_or(text.len());
    let token =
        |word: &str| Unit::named(word).map_or_else(|| Token::Word(word.into()), Token::Unit);
    (end > 0).then(|| (token(&text[..end]), end))
}

fn read(tokens: &[Token], text: &str) -> Result<f64, LengthError> {
    use Token::{Dash, Fraction, Number, Unit as Named, Word};
    if let Some(Word(unit)) = tokens.iter().find(|t| matches!(t, Word(_))) {
        return Err(LengthError::UnknownUnit {
            text: text.into(),
            unit: unit.clone(),
        });
    }
    match tokens {
        [Number(zero)] if *zero == 0.0 => Ok(0.0),
        [Number(_) | Fraction(_)] | [Number(_), Fraction(_)] => {
            Err(LengthError::NoUnit(text.trim().into()))
        }
        [Number(_), Dash, Fraction(_)] => Err(LengthError::Ambiguous(text.into())),
        [Number(feet), Dash, inches @ ..] => after_feet(*feet, inches, text, true),
        [Number(feet) | Fraction(feet), Named(Unit::Foot)] => Ok(feet * 12.0),
        [Number(feet), Named(Unit::Foot), Dash, inches @ ..]
        | [Number(feet), Named(Unit::Foot), inches @ ..] => after_feet(*feet, inches, text, false),
        [Number(n) | Fraction(n), Named(unit)] => Ok(n * unit.in_inches()),
        [Number(n), Fraction(f), Named(unit)] => Ok((n + f) * unit.in_inches()),
        _ => Err(LengthError::Unreadable(text.into())),
    }
}

/// The inches after a foot mark or a hyphen: `6`, `6 1/2`, `1/2`, each with or without the unit.
///
/// `1-1/2 in` is the size of a pipe, not a foot and a half inch, so a bare hyphen before a lone fraction means inches.
fn after_feet(
    feet: f64,
    inches: &[Token],
    text: &str,
    bare_hyphen: bool,
) -> Result<f64, LengthError> {
    use Token::{Fraction, Number, Unit as Named};
    match inches {
        [Fraction(f), Named(Unit::Inch)] if bare_hyphen => Ok(feet + f),
        [Number(n) | Fraction(n)] | [Number(n) | Fraction(n), Named(Unit::Inch)] => {
            Ok(feet * 12.0 + n)
        }
        [Number(n), Fraction(f)] | [Number(n), Fraction(f), Named(Unit::Inch)] => {
            Ok(feet * 12.0 + n + f)
        }
        _ => Err(LengthError::Unreadable(text.into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(text: &str) -> f64 {
        Length::parse(text)
            .unwrap_or_else(|e| panic!("{e}"))
            .inches()
    }

    #[test]
    fn feet_and_inches() {
        for text in [
            "12'-6 1/2",
            "12-6 1/2",
            "12' 6 1/2\"",
            "12 ft 6 1/2 in",
            "150 1/2 in",
            "150.5 in",
            "12′-6 1/2″",
        ] {
            assert_eq!(inches(text), 150.5, "{text}");
        }
        assert_eq!(inches("13'-6 3/4"), 162.75); // construction math notes (case G045, read)
        assert_eq!(inches("12'"), 144.0);
        assert_eq!(inches("-16 3/8 in"), -16.375);
        assert_eq!(inches("-1'-5 3/8"), -17.375);
        assert_eq!(inches("1-1/2 in"), 1.5);
        assert_eq!(inches("0"), 0.0);
        assert_eq!(inches("3/4\""), 0.75);
    }

    #[test]
    fn decimal_feet_are_not_feet_and_inches() {
        // A tank at 97.60 ft and one at 97'-6" differ by 1.2 in.
        assert!((inches("97.60 ft") - inches("97'-6") - 1.2).abs() < 1e-9);
    }

    #[test]
    fn metric() {
        assert!((inches("1.2 m") - 1200.0 / 25.4).abs() < 1e-12);
        assert!((inches("25.4 mm") - 1.0).abs() < 1e-12);
        assert!((inches("2.54 cm") - 1.0).abs() < 1e-12);
    }

    #[test]
    fn refusals_say_what_would_be_right() {
        let says = |text| Length::parse(text).unwrap_err().to_string();
        assert_eq!(
            says("150"),
            "\"150\" has no unit; write \"150 in\", \"150'\" or \"150 m\""
        );
        assert_eq!(
            says("12-1/2"),
            "\"12-1/2\" can be read two ways; write feet as \"12'-0 1/2\" or inches as \"12 1/2 in\""
        );
        assert_eq!(
            says("3 yd"),
            "\"3 yd\" has the unit \"yd\"; the units are ' or ft, in, m, cm and mm"
        );
        for odd in [
            "",
            "ft",
            "1/0 in",
            "1e999 in",
            "nan in",
            "--3 in",
            "3 in 4 in",
            "1..2 in",
            "'",
            "\u{0}",
        ] {
            assert!(Length::parse(odd).is_err(), "{odd:?}");
        }
    }
}
