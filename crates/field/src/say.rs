//! Lengths, lists and directions as answers say them.

use glam::DVec2;
use units::Id;

/// Inches to the sixteenth, sign dropped: `5 1/2 in`.
pub(crate) fn inches(length: f64) -> String {
    let text = units::inches_text(length.abs(), 16);
    format!("{} in", text.trim_end_matches('"'))
}

/// Feet and inches to the sixteenth: `12'-6 1/2"`; under a foot, inches.
pub(crate) fn feet(length: f64) -> String {
    if length.abs() < 12.0 {
        let sign = if length < -1.0 / 32.0 { "-" } else { "" };
        format!("{sign}{}", inches(length))
    } else {
        units::feet_inches(length, 16)
    }
}

/// Names in a row: `a, b and c`.
pub(crate) fn names(ids: &[Id]) -> String {
    match ids {
        [] => String::new(),
        [one] => one.to_string(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(Id::as_str).collect();
            format!("{} and {last}", first.join(", "))
        }
    }
}

/// A move in plan by compass: `5 1/2 in west`, `1 in west and 3/8 in north`; under a sixteenth nothing.
pub(crate) fn moved(by: DVec2) -> String {
    let part = |v: f64, plus: &'static str, minus: &'static str| {
        (v.abs() >= 1.0 / 32.0)
            .then(|| format!("{} {}", inches(v), if v > 0.0 { plus } else { minus }))
    };
    let parts: Vec<String> = [part(by.x, "east", "west"), part(by.y, "north", "south")]
        .into_iter()
        .flatten()
        .collect();
    if parts.is_empty() {
        "not at all".into()
    } else {
        parts.join(" and ")
    }
}

/// Up or down by so much: `5/8 in low`.
pub(crate) fn high_low(by: f64) -> String {
    format!("{} {}", inches(by), if by < 0.0 { "low" } else { "high" })
}

/// A grade as people say it: `1/4 in/ft`; one that is no sixteenth by what it falls in ten feet, `2 7/16 in in 10 ft`.
pub(crate) fn grade(in_per_ft: f64) -> String {
    let sixteenths = in_per_ft * 16.0;
    let whole = (sixteenths - sixteenths.round()).abs() < 0.02;
    if whole && sixteenths.round() > 0.0 {
        format!("{}/ft", inches(in_per_ft))
    } else {
        format!("{} in 10 ft", inches(in_per_ft * 10.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grades_are_told_in_fractions() {
        assert_eq!(grade(0.25), "1/4 in/ft");
        assert_eq!(grade(0.125), "1/8 in/ft");
        // 0.243 in a foot are 2.43 in ten: 2 7/16.
        assert_eq!(grade(0.243), "2 7/16 in in 10 ft");
    }
}
