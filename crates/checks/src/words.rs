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
    }
}
