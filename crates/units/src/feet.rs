//! Lengths as people on a site read them.

/// `inches` as feet, inches and a fraction of `1/denominator` in, rounded to nearest: `12'-6 1/2"`, `-1'-4 3/8"`, `0'-6"`.
///
/// The job's habit: a hyphen between feet and inches, feet written even when zero, one denominator a sheet
/// (16 for cuts, 8 for levels, 4 for layout). `denominator` 0 is read as 1. A value that is not finite gives `?`.
pub fn feet_inches(inches: f64, denominator: u32) -> String {
    let Some((sign, whole, fraction)) = split(inches, denominator) else {
        return "?".into();
    };
    format!("{sign}{}'-{}{fraction}\"", whole / 12, whole % 12)
}

/// `inches` as total inches with a fraction: `150 1/2"`, `-16 3/8"`, `3/4"`. Same rounding as [`feet_inches`].
pub fn inches_text(inches: f64, denominator: u32) -> String {
    let Some((sign, whole, fraction)) = split(inches, denominator) else {
        return "?".into();
    };
    match (whole, fraction.as_str()) {
        (0, f) if !f.is_empty() => format!("{sign}{}\"", f.trim_start()),
        _ => format!("{sign}{whole}{fraction}\""),
    }
}

/// `inches` rounded to the nearest `1/denominator` in, as a number.
pub fn whole_inches(inches: f64, denominator: u32) -> f64 {
    let parts = f64::from(denominator.max(1));
    (inches * parts).round() / parts
}

fn split(inches: f64, denominator: u32) -> Option<(&'static str, u64, String)> {
    let parts = u64::from(denominator.max(1));
    let scaled = (inches.abs() * parts as f64).round();
    if !scaled.is_finite() || scaled > 1e15 {
        return None;
    }
    // Bounded above by 1e15 and not negative, so the cast keeps every digit.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let total = scaled as u64;
    let sign = if inches < 0.0 && total > 0 { "-" } else { "" };
    Some((sign, total / parts, fraction(total % parts, parts)))
}

fn fraction(over: u64, parts: u64) -> String {
    if over == 0 {
        return String::new();
    }
    let common = gcd(over, parts);
    format!(" {}/{}", over / common, parts / common)
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
    fn signs_zero_and_carry() {
        assert_eq!(feet_inches(-16.36, 8), "-1'-4 3/8\"");
        assert_eq!(feet_inches(6.0, 16), "0'-6\"");
        assert_eq!(feet_inches(11.99, 8), "1'-0\"");
        assert_eq!(feet_inches(-0.01, 8), "0'-0\"");
        assert_eq!(inches_text(0.75, 16), "3/4\"");
        assert_eq!(inches_text(-0.5, 16), "-1/2\"");
        assert_eq!(inches_text(150.5, 16), "150 1/2\"");
        assert_eq!(inches_text(0.0, 16), "0\"");
        assert_eq!(feet_inches(f64::NAN, 8), "?");
    }
}
