//! Lengths and lists as findings say them.

use layout::Cleans;
use units::Id;

/// Inches to the sixteenth, as what was measured is written beside it: `5 1/2 in`.
pub(crate) fn inches(length: f64) -> String {
    let text = units::inches_text(length, 16);
    format!("{} in", text.trim_end_matches('"'))
}

/// Feet and inches to the eighth: `12'-6 1/2"`.
pub(crate) fn feet(length: f64) -> String {
    units::feet_inches(length, 8)
}

/// A place in plan: `12'-6" east, 8'-0" north`.
pub(crate) fn place(at: glam::DVec2) -> String {
    format!(
        "{} east, {} north",
        units::feet_inches(at.x, 8),
        units::feet_inches(at.y, 8)
    )
}

/// Names in a row: `a, b and c`.
pub fn names(ids: &[Id]) -> String {
    match ids {
        [] => String::new(),
        [one] => one.to_string(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(Id::as_str).collect();
            format!("{} and {last}", first.join(", "))
        }
    }
}

/// Which way a cable goes from a cleanout.
pub(crate) fn cleans(way: Cleans) -> &'static str {
    match way {
        Cleans::Downstream => "downstream",
        Cleans::Upstream => "upstream",
        Cleans::Both => "both ways",
    }
}

/// A direction in plan by its nearest of eight compass names.
pub fn compass(towards: glam::DVec2) -> &'static str {
    const NAMES: [&str; 8] = [
        "east",
        "north-east",
        "north",
        "north-west",
        "west",
        "south-west",
        "south",
        "south-east",
    ];
    let eighths = (towards.to_angle() / std::f64::consts::FRAC_PI_4)
        .round()
        .rem_euclid(8.0);
    // Between 0 and 8, so the cast keeps it.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let index = eighths as usize % 8;
    NAMES[index]
}

#[cfg(test)]
mod tests {
    use glam::DVec2;

    use super::*;

    #[test]
    fn as_a_foreman_says_it() {
        assert_eq!(inches(5.5), "5 1/2 in");
        assert_eq!(inches(-0.25), "-1/4 in");
        assert_eq!(
            place(DVec2::new(150.5, 96.0)),
            "12'-6 1/2\" east, 8'-0\" north"
        );
        assert_eq!(names(&["a".into(), "b".into(), "c".into()]), "a, b and c");
        assert_eq!(compass(DVec2::new(-1.0, 0.1)), "west");
        assert_eq!(compass(DVec2::new(1.0, -1.0)), "south-east");
    }
}
