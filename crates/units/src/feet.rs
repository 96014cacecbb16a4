//! Lengths as people on a site read them.

/// `inches` as feet, inches and a fraction of `1/denominator` in, rounded to nearest: `12'-6 1/2"`, `-1'-4 3/8"`, `0'-6"`.
///
/// The job's habit: a hyphen between feet and inches, feet written even when zero, one denominator a sheet
/// (16 for cuts, 8 for levels, 4 for layout). `denominator` 0 is read as 1. A value that is not finite gives `?`.
pub fn feet_inches(inches: f64, denominator: u32) -> String {
    let Some(split) = split(inches, denominator) else {
        return "?".into();
    };
    let mut text = String::with_capacity(LONG);
    text.push_str(split.sign);
    push(&mut text, split.whole / 12);
    text.push_str("'-");
    push(&mut text, split.whole % 12);
    if split.over > 0 {
        text.push(' ');
    }
    split.push_fraction(&mut text);
    text.push('"');
    text
}

/// What is to be done at the least, in inches and sixteenths rounded up, so that doing it is enough: `3/8"` for 0.32.
pub fn inches_up(inches: f64) -> String {
    inches_text((inches * 16.0 - 1e-6).ceil() / 16.0, 16)
}

/// `inches` as total inches with a fraction: `150 1/2"`, `-16 3/8"`, `3/4"`. Same rounding as [`feet_inches`].
pub fn inches_text(inches: f64, denominator: u32) -> String {
    let Some(split) = split(inches, denominator) else {
        return "?".into();
    };
    let mut text = String::with_capacity(LONG);
    text.push_str(split.sign);
    if split.whole > 0 || split.over == 0 {
        push(&mut text, split.whole);
    }
    if split.whole > 0 && split.over > 0 {
        text.push(' ');
    }
    split.push_fraction(&mut text);
    text.push('"');
    text
}

/// `inches` rounded to the nearest `1/denominator` in, as a number.
pub fn whole_inches(inches: f64, denominator: u32) -> f64 {
    let parts = f64::from(denominator.max(1));
    (inches * parts).round() / parts
}

/// Room for most lengths as text. They are written piece by piece: a layout of thousands of runs has tens of thousands.
const LONG: usize = 16;

/// A length to the nearest part of an inch.
struct Split {
    sign: &'static str,
    /// Whole inches.
    whole: u64,
    /// Parts of an inch over them, and how many make an inch.
    over: u64,
    parts: u64,
}

impl Split {
    /// Nothing for whole inches.
    fn push_fraction(&self, text: &mut String) {
        if self.over > 0 {
            let common = gcd(self.over, self.parts);
            push(text, self.over / common);
            text.push('/');
            push(text, self.parts / common);
        }
    }
}

fn split(inches: f64, denominator: u32) -> Option<Split> {
    let parts = u64::from(denominator.max(1));
    let scaled = (inches.abs() * parts as f64).round();
    if !scaled.is_finite() || scaled > 1e15 {
        return None;
    }
    // Bounded above by 1e15 and not negative, so the cast keeps every digit.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let total = scaled as u64;
    let sign = if inches < 0.0 && total > 0 { "-" } else { "" };
    Some(Split {
        sign,
        whole: total / parts,
        over: total % parts,
        parts,
    })
}

/// Writes a number's digits.
fn push(text: &mut String, number: u64) {
    if number >= 10 {
        push(text, number / 10);
    }
    text.push(char::from(b'0' + (number % 10) as u8));
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_construction_notes_example() {
        // Construction math notes (case G045, read): 162.75 in is 13'-6 3/4".
        assert_eq!(feet_inches(162.75, 16), "13'-6 3/4\"");
    }

    #[test]
    fn what_is_to_be_done_is_enough_when_done() {
        assert_eq!(inches_up(0.27), "5/16\"");
        assert_eq!(inches_up(0.25), "1/4\"");
        assert_eq!(inches_up(0.001), "1/16\"");
        assert_eq!(inches_up(2.99), "3\"");
    }

    #[test]
    fn signs_zero_and_carry() {
        assert_eq!(feet_inches(-16.36, 8), "-1'-4 3/8\"");
        assert_eq!(feet_inches(6.0, 16), "0'-6\"");
        assert_eq!(feet_inches(11.99, 8), "1'-0\"");
        assert_eq!(feet_inches(-0.01, 8), "0'-0\"");
        assert_eq!(inches_text(0.75, 16), "3/4\"");
        assert_eq!(inches_text(-0.5, 16), "-1/2\"");
        assert_eq!(inches_text(150.5, 16), "150 1/2\"");
        assert_eq!(inches_text(0.0, 16), "0\"");
        assert_eq!(inches_text(-1207.25, 16), "-1207 1/4\"");
        assert_eq!(feet_inches(120_000.062_5, 16), "10000'-0 1/16\"");
        assert_eq!(feet_inches(f64::NAN, 8), "?");
    }
}
