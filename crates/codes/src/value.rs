//! What a row can say, its unit, and reading both from the text a person writes in an amendment.

use std::{borrow::Cow, fmt};

use crate::{fittings_allowed::Limit, rule_list::Takes};

/// What a row says. Numbers are in the row's [`Unit`].
#[derive(Clone, PartialEq, Debug)]
pub enum Value {
    /// One figure.
    Number(f64),
    /// Least and most.
    Range(f64, f64),
    /// The code sets no limit here.
    NoLimit,
    /// It is so, or allowed.
    Yes,
    /// It is not so, or not allowed.
    No,
    /// Allowed inside a stated limit.
    Limited(Limit),
    /// The code leaves the figure to the town.
    Local,
    /// The text seen is silent on purpose (a ban that stands elsewhere does not stand here).
    Silent,
    /// A few words, as in `sleeve or arch`.
    Words(Cow<'static, str>),
    /// The row is a statement without a figure; read its fact.
    Said,
    /// No text on this was seen for this code: the program can only ask.
    Unseen,
}

impl Value {
    /// The figure, if there is exactly one.
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            Self::Range(..)
            | Self::NoLimit
            | Self::Yes
            | Self::No
            | Self::Limited(_)
            | Self::Local
            | Self::Silent
            | Self::Words(_)
            | Self::Said
            | Self::Unseen => None,
        }
    }

    /// A cell of a table in `assets/codes/`: a number, `18-42`, or one of the words.
    pub(crate) fn from_cell(cell: &'static str) -> Self {
        match cell {
            "none" => Self::NoLimit,
            "yes" => Self::Yes,
            "no" => Self::No,
            "local" => Self::Local,
            "silent" => Self::Silent,
            "said" => Self::Said,
            "unseen" => Self::Unseen,
            text => figure(text).unwrap_or(Self::Words(Cow::Borrowed(text))),
        }
    }
}

fn figure(text: &str) -> Option<Value> {
    if let Ok(number) = text.parse() {
        return Some(Value::Number(number));
    }
    let (least, most) = text.split_once('-')?;
    Some(Value::Range(least.parse().ok()?, most.parse().ok()?))
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => f.write_str(&plain(*number)),
            Self::Range(least, most) => write!(f, "{} to {}", plain(*least), plain(*most)),
            Self::NoLimit => f.write_str("no limit"),
            Self::Yes => f.write_str("yes"),
            Self::No => f.write_str("no"),
            Self::Limited(limit) => f.write_str(limit.says()),
            Self::Local => f.write_str("set by the town"),
            Self::Silent => f.write_str("silent"),
            Self::Words(words) => f.write_str(words),
            Self::Said => f.write_str("see the wording"),
            Self::Unseen => f.write_str("no text seen"),
        }
    }
}

/// A figure in sixteenths where it is one, as `1/4` or `1-1/2`; else as a decimal.
fn plain(number: f64) -> String {
    let sixteenths = number * 16.0;
    if (sixteenths - sixteenths.round()).abs() > 1e-9 || number.abs() > 1e6 {
        return format!("{number}");
    }
    units::inches_text(number, 16)
        .trim_end_matches('"')
        .replace(' ', "-")
}

/// The unit of a row's figure.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Unit {
    /// No unit: a statement, a yes or a no.
    None,
    /// Inches.
    In,
    /// Feet.
    Ft,
    /// Inches of fall per foot of plan length.
    InPerFt,
    /// Degrees.
    Degrees,
    /// Multiples of the pipe's diameter.
    PipeDiameters,
    /// Steps in the list of nominal pipe sizes.
    PipeSizes,
    /// Inches of room all round.
    InClear,
    /// A multiplier.
    Factor,
    /// A share of the drain served.
    Share,
    /// Water closets.
    Closets,
    /// Vent pipes.
    Vents,
    /// Bathroom groups.
    Groups,
    /// Fixtures or fixture drains.
    Fixtures,
    /// Thousandths of an inch.
    Mil,
    /// Square inches.
    SqIn,
    /// Square feet.
    SqFt,
    /// Pounds per square inch, gauge.
    Psi,
    /// Minutes.
    Minutes,
    /// Hours.
    Hours,
    /// Drainage fixture units.
    Dfu,
}

impl Unit {
    const NAMED: [(Self, &'static [&'static str]); 20] = [
        (Self::In, &["in", "inch", "inches", "\""]),
        (Self::Ft, &["ft", "feet", "foot", "'"]),
        (
            Self::InPerFt,
            &["in/ft", "in per ft", "in per foot", "inch per foot"],
        ),
        (Self::Degrees, &["degrees", "degree", "deg"]),
        (
            Self::PipeDiameters,
            &["pipe diameters", "pipe diameter", "diameters", "diameter"],
        ),
        (
            Self::PipeSizes,
            &["pipe sizes", "pipe size", "sizes", "size"],
        ),
        (Self::InClear, &["in clear", "in clearance", "in all round"]),
        (Self::Factor, &["factor", "times"]),
        (Self::Share, &["share"]),
        (Self::Closets, &["closets", "closet"]),
        (Self::Vents, &["vents", "vent"]),
        (Self::Groups, &["groups", "group"]),
        (Self::Fixtures, &["fixtures", "fixture"]),
        (Self::Mil, &["mil", "mils"]),
        (Self::SqIn, &["sq in"]),
        (Self::SqFt, &["sq ft"]),
        (Self::Psi, &["psi"]),
        (Self::Minutes, &["min", "minutes", "minute"]),
        (Self::Hours, &["h", "hours", "hour"]),
        (Self::Dfu, &["dfu", "units"]),
    ];

    /// The unit as printed after a figure; empty for none.
    pub fn label(self) -> &'static str {
        Self::NAMED
            .iter()
            .find(|(unit, _)| *unit == self)
            .map_or("", |(_, names)| names[0])
    }

    /// The unit of one: `fixture` beside `fixtures`; the same as [`Self::label`] where there is but one word.
    pub fn of_one(self) -> &'static str {
        match self {
            Self::Degrees
            | Self::PipeDiameters
            | Self::PipeSizes
            | Self::Closets
            | Self::Vents
            | Self::Groups
            | Self::Fixtures => self.label().trim_end_matches('s'),
            Self::None
            | Self::In
            | Self::Ft
            | Self::InPerFt
            | Self::InClear
            | Self::Factor
            | Self::Share
            | Self::Mil
            | Self::SqIn
            | Self::SqFt
            | Self::Psi
            | Self::Minutes
            | Self::Hours
            | Self::Dfu => self.label(),
        }
    }

    pub(crate) fn parse(text: &str) -> Option<Self> {
        if text.is_empty() {
            return Some(Self::None);
        }
        Self::NAMED
            .iter()
            .find(|(_, names)| names.contains(&text))
            .map(|(unit, _)| *unit)
    }

    /// The factor that turns a figure in `self` into one in `other`. Only inches and feet turn into each other.
    fn into(self, other: Self) -> Option<f64> {
        match (self, other) {
            (Self::Ft, Self::In) => Some(12.0),
            (Self::In, Self::Ft) => Some(1.0 / 12.0),
            (a, b) if a == b => Some(1.0),
            _ => None,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.label())
    }
}

/// Reads what an amendment says for a rule that takes `takes`, its figures in `unit`. The unit may be left out.
/// The error is the reason, ready to stand after the rule's name.
pub(crate) fn amended(text: &str, takes: Takes, unit: Unit) -> Result<Value, String> {
    let text = text.trim();
    match takes {
        Takes::Words if text.is_empty() => Err("takes a few words; nothing was written".into()),
        Takes::Words => Ok(Value::Words(Cow::Owned(text.into()))),
        Takes::YesNo => yes_no(text),
        Takes::Number if text == "none" => Ok(Value::NoLimit),
        Takes::Number => Ok(Value::Number(measured(text, unit)?)),
        Takes::Range => range(text, unit),
    }
}

fn yes_no(text: &str) -> Result<Value, String> {
    match text {
        "yes" => Ok(Value::Yes),
        "no" => Ok(Value::No),
        _ => Err(format!("takes yes or no, not {text:?}")),
    }
}

fn range(text: &str, unit: Unit) -> Result<Value, String> {
    let reason = || format!("takes a least and a most, as \"18 to 42 {unit}\", not {text:?}");
    let (least, most) = text
        .split_once(" to ")
        .or_else(|| text.split_once('-'))
        .ok_or_else(reason)?;
    let (least, most) = (measured(least.trim(), unit)?, measured(most.trim(), unit)?);
    if least < most {
        Ok(Value::Range(least, most))
    } else {
        Err(reason())
    }
}

fn measured(text: &str, unit: Unit) -> Result<f64, String> {
    let reason = || {
        format!(
            "takes a figure in {unit}, as \"{}\", not {text:?}",
            example(unit)
        )
    };
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || "./- ".contains(c)))
        .unwrap_or(text.len());
    let (figure, name) = (text[..end].trim(), text[end..].trim());
    // Only a vacuum is less than nothing.
    let number = number(figure)
        .filter(|number| *number >= 0.0 || unit == Unit::Psi)
        .ok_or_else(reason)?;
    if name.is_empty() {
        return Ok(number);
    }
    let factor = Unit::parse(name)
        .and_then(|written| written.into(unit))
        .ok_or_else(reason)?;
    Ok(number * factor)
}

fn example(unit: Unit) -> String {
    let figure = if unit == Unit::InPerFt { "1/4" } else { "3" };
    format!("{figure} {unit}").trim_end().into()
}

/// Reads `3`, `0.25`, `1/4`, `1-1/2`, `1 1/2` or `-5`.
pub(crate) fn number(text: &str) -> Option<f64> {
    if let Ok(number) = text.parse::<f64>() {
        return Some(number).filter(|n| n.is_finite());
    }
    let (whole, part) = text.rsplit_once([' ', '-']).unwrap_or(("0", text));
    let (over, under) = part.split_once('/')?;
    let (whole, over, under): (u32, u32, u32) =
        (whole.parse().ok()?, over.parse().ok()?, under.parse().ok()?);
    (under > 0).then(|| f64::from(whole) + f64::from(over) / f64::from(under))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_as_people_write_them() {
        for (text, want) in [
            ("1/4", 0.25),
            ("1-1/2", 1.5),
            ("1 1/2", 1.5),
            ("42", 42.0),
            ("0.125", 0.125),
        ] {
            assert_eq!(number(text), Some(want), "{text}");
        }
        for text in [
            "",
            "x",
            "1/0",
            "1-",
            "NaN",
            "inf",
            "½",
            "1/2/3",
            "1-1-1/2",
            "99999999999/2",
        ] {
            assert_eq!(number(text), None, "{text}");
        }
    }

    #[test]
    fn units_must_fit_and_lengths_turn() {
        assert_eq!(
            amended("3-1/2 ft", Takes::Number, Unit::In),
            Ok(Value::Number(42.0))
        );
        assert_eq!(
            amended("1/4", Takes::Number, Unit::InPerFt),
            Ok(Value::Number(0.25))
        );
        assert_eq!(
            amended("18 to 30 in", Takes::Range, Unit::In),
            Ok(Value::Range(18.0, 30.0))
        );
        let wrong = amended("5 psi", Takes::Number, Unit::In).unwrap_err();
        assert_eq!(wrong, "takes a figure in in, as \"3 in\", not \"5 psi\"");
        assert!(amended("-5", Takes::Number, Unit::Ft).is_err());
        assert_eq!(
            amended("-5 psi", Takes::Number, Unit::Psi),
            Ok(Value::Number(-5.0))
        );
        assert!(amended("maybe", Takes::YesNo, Unit::None).is_err());
        assert!(amended("42 to 18", Takes::Range, Unit::In).is_err());
    }

    #[test]
    fn values_print_in_trade_fractions() {
        assert_eq!(Value::Number(0.25).to_string(), "1/4");
        assert_eq!(Value::Number(1.5).to_string(), "1-1/2");
        assert_eq!(Value::Number(0.8).to_string(), "0.8");
        assert_eq!(Value::Number(-5.0).to_string(), "-5");
        assert_eq!(Value::Range(18.0, 42.0).to_string(), "18 to 42");
    }
}
