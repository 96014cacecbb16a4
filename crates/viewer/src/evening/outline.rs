//! Corners from clicks made by eye and lengths typed after them. Plane geometry; knows no documents.

use std::collections::BTreeMap;

use glam::DVec2;

/// A side this near to an eighth of a turn is meant square, degrees.
const SQUARE: f64 = 9.0;
/// Clicks are read to this part of an inch until a length is typed.
const CLICKED: f64 = 1.0;

/// The direction from one click to the next, drawn to the nearest eighth of a turn when it is near one. `None` when the two
/// are one.
pub fn squared(from: DVec2, to: DVec2) -> Option<DVec2> {
    let along = (to - from).try_normalize()?;
    let eighth = std::f64::consts::FRAC_PI_4;
    let turns = (along.to_angle() / eighth).round();
    let near = DVec2::from_angle(turns * eighth);
    let square = near.dot(along) > SQUARE.to_radians().cos();
    // An axis is one exactly.
    Some(if square { clean(near) } else { along })
}

fn clean(along: DVec2) -> DVec2 {
    let tidy = |part: f64| if part.abs() < 1e-9 { 0.0 } else { part };
    DVec2::new(tidy(along.x), tidy(along.y))
}

/// A chain of places: each leg as it was clicked, squared, and as long as `typed` says of it, by its index from 0.
pub fn chain(clicks: &[DVec2], typed: &BTreeMap<usize, f64>) -> Vec<DVec2> {
    let Some(first) = clicks.first() else {
        return Vec::new();
    };
    let mut places = vec![*first];
    for (n, two) in clicks.windows(2).enumerate() {
        let last = places[n];
        let leg = squared(two[0], two[1]).map_or(DVec2::ZERO, |along| {
            let clicked = ((two[1] - two[0]).dot(along) / CLICKED).round() * CLICKED;
            along * typed.get(&n).copied().unwrap_or(clicked)
        });
        places.push(last + leg);
    }
    places
}

/// The corners of an outline. Unless the last side's length is typed, it is drawn so that the side that closes the outline
/// is square to it, where the clicks come near that.
pub fn corners(clicks: &[DVec2], typed: &BTreeMap<usize, f64>) -> Vec<DVec2> {
    let mut corners = chain(clicks, typed);
    let [first, .., before, last] = corners.as_slice() else {
        return corners;
    };
    let closing = *first - *last;
    let Some(side) = (*last - *before).try_normalize() else {
        return corners;
    };
    let off = closing.dot(side);
    let near = off.abs() < closing.length() * SQUARE.to_radians().sin();
    if near && corners.len() > 3 && !typed.contains_key(&(corners.len() - 2)) {
        let last = corners.len() - 1;
        corners[last] += side * off;
    }
    corners
}

/// A direction in words: `east`, `north-west`, or degrees from east, counter-clockwise.
pub fn heading(along: DVec2) -> String {
    let degrees = along.to_angle().to_degrees().rem_euclid(360.0);
    let off = degrees - (degrees / 45.0).round() * 45.0;
    if off.abs() < 0.01 {
        layout::compass(along).to_owned()
    } else {
        format!("{degrees:.1} deg from east")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clicks(points: &[(f64, f64)]) -> Vec<DVec2> {
        points.iter().map(|(x, y)| DVec2::new(*x, *y)).collect()
    }

    #[test]
    fn a_rectangle_clicked_by_eye_is_one_once_two_sides_are_typed() {
        let rough = clicks(&[(2.0, 1.0), (470.0, 9.0), (473.0, 331.0), (6.0, 328.0)]);
        let typed = BTreeMap::from([(0, 480.0), (1, 336.0)]);
        let corners = corners(&rough, &typed);
        let from_first: Vec<DVec2> = corners.iter().map(|at| *at - corners[0]).collect();
        assert_eq!(
            from_first,
            clicks(&[(0.0, 0.0), (480.0, 0.0), (480.0, 336.0), (0.0, 336.0)])
        );
    }

    #[test]
    fn a_typed_last_side_stands_as_typed() {
        let rough = clicks(&[(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (3.0, 50.0)]);
        let typed = BTreeMap::from([(2, 90.0)]);
        assert_eq!(corners(&rough, &typed)[3], DVec2::new(10.0, 50.0));
    }

    #[test]
    fn directions_are_drawn_to_eighths_only_when_near() {
        let at = |x: f64, y: f64| squared(DVec2::ZERO, DVec2::new(x, y)).unwrap();
        assert_eq!(heading(at(100.0, 5.0)), "east");
        assert_eq!(heading(at(100.0, 96.0)), "north-east");
        assert_eq!(heading(at(-3.0, -80.0)), "south");
        assert_eq!(heading(at(100.0, 45.0)), "24.2 deg from east");
        assert_eq!(squared(DVec2::ONE, DVec2::ONE), None);
        assert_eq!(corners(&clicks(&[(1.0, 1.0)]), &BTreeMap::new()).len(), 1);
    }
}
