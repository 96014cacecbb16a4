//! A measured value as people read it off a tape.

use crate::{Grade, feet_inches, inches_text};

/// Told to this part of an inch.
const SIXTEENTHS: u32 = 16;

/// A value of a finding in words: inches to the sixteenth, feet and inches from a foot on; grades as fractions; anything
/// else as it is, to a thousandth. `unit` is a finding's: `in`, `ft`, `in/ft`, `deg` and the like.
///
/// ```
/// assert_eq!(units::figure(1.8125, "in"), "1 13/16\"");
/// assert_eq!(units::figure(14.5, "in"), "1'-2 1/2\"");
/// assert_eq!(units::figure(0.25, "in/ft"), "1/4 in/ft");
/// ```
pub fn figure(value: f64, unit: &str) -> String {
    match unit {
        "in" if value.abs() >= 12.0 => feet_inches(value, SIXTEENTHS),
        "in" => inches_text(value, SIXTEENTHS),
        "ft" if value.fract().abs() > 1e-9 => feet_inches(value * 12.0, SIXTEENTHS),
        "in/ft" => match Grade::from_in_per_ft(value) {
            Some(grade) => format!("{grade} {unit}"),
            None => unit.into(),
        },
        _ => {
            let plain = (value * 1e3).round() / 1e3;
            format!("{plain} {unit}").trim_end().to_owned()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::figure;

    #[test]
    fn lengths_are_told_as_on_a_tape_and_the_rest_plainly() {
        assert_eq!(figure(1.813, "in"), "1 13/16\"");
        assert_eq!(figure(36.0, "in"), "3'-0\"");
        assert_eq!(figure(6.0, "ft"), "6 ft");
        assert_eq!(figure(6.5, "ft"), "6'-6\"");
        assert_eq!(figure(22.5, "deg"), "22.5 deg");
        assert_eq!(figure(3.0, ""), "3");
    }
}
