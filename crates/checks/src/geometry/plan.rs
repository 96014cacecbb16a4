//! Plan geometry: outlines and lines across them.

use glam::DVec2;
use units::SAME_LENGTH;

/// Whether a point lies inside a simple polygon; its edge counts by the half-open rule.
pub fn inside(outline: &[DVec2], point: DVec2) -> bool {
    let crosses = |a: DVec2, b: DVec2| {
        (a.y > point.y) != (b.y > point.y)
            && point.x < a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    sides(outline).filter(|(a, b)| crosses(*a, *b)).count() % 2 == 1
}

/// The sides of an outline, each from its corner to the next.
pub(crate) fn sides(outline: &[DVec2]) -> impl Iterator<Item = (DVec2, DVec2)> + '_ {
    outline
        .iter()
        .copied()
        .zip(outline.iter().copied().cycle().skip(1))
}

/// Fractions along a to b where the segment meets a side of an outline, in the order of the sides, ends of the segment
/// left out.
pub fn cuts(outline: &[DVec2], a: DVec2, b: DVec2) -> impl Iterator<Item = f64> + '_ {
    let met = sides(outline).filter_map(move |side| crossing((a, b), side));
    met.filter(|t| *t > 0.0 && *t < 1.0)
}

/// The fraction along the first segment where it meets the second; `None` when it does not, or they are parallel.
pub fn crossing((a, b): (DVec2, DVec2), (c, d): (DVec2, DVec2)) -> Option<f64> {
    let (run, edge) = (b - a, d - c);
    let cross = run.perp_dot(edge);
    if cross.abs() < 1e-12 {
        return None;
    }
    let t = (c - a).perp_dot(edge) / cross;
    let u = (c - a).perp_dot(run) / cross;
    ((0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u)).then_some(t)
}

/// The part of a segment inside a convex outline, as fractions; `None` when there is none.
pub fn within(outline: &[DVec2], a: DVec2, b: DVec2) -> Option<(f64, f64)> {
    let mut marks: Vec<f64> = cuts(outline, a, b).chain([0.0, 1.0]).collect();
    marks.sort_by(f64::total_cmp);
    // By the middles of its pieces: an end on the outline is neither in nor out.
    let held = |pair: &&[f64]| {
        pair[1] > pair[0] && inside(outline, a.lerp(b, f64::midpoint(pair[0], pair[1])))
    };
    let pieces: Vec<&[f64]> = marks.windows(2).filter(held).collect();
    Some((pieces.first()?[0], pieces.last()?[1]))
}

/// Distance of a point from an outline's edge; 0 inside it.
pub fn distance_to_outline(outline: &[DVec2], point: DVec2) -> f64 {
    if inside(outline, point) {
        return 0.0;
    }
    distance_to_sides(outline, point)
}

/// Distance of a point from the nearest side of an outline, inside or outside.
pub(crate) fn distance_to_sides(outline: &[DVec2], point: DVec2) -> f64 {
    sides(outline)
        .map(|(a, b)| to_side(a, b, point))
        .fold(f64::INFINITY, f64::min)
}

pub(crate) fn to_side(a: DVec2, b: DVec2, point: DVec2) -> f64 {
    let t = ((point - a).dot(b - a) / (b - a).length_squared().max(SAME_LENGTH)).clamp(0.0, 1.0);
    a.lerp(b, t).distance(point)
}

/// The narrowest width of a convex outline, square off one of its sides.
pub fn narrow_width(outline: &[DVec2]) -> f64 {
    let depth = |(a, b): (DVec2, DVec2)| {
        let along = (b - a).normalize_or_zero();
        outline
            .iter()
            .map(|p| along.perp_dot(*p - a).abs())
            .fold(0.0, f64::max)
    };
    sides(outline).map(depth).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn oblong() -> [DVec2; 4] {
        [
            DVec2::ZERO,
            DVec2::X * 40.0,
            DVec2::new(40.0, 10.0),
            DVec2::Y * 10.0,
        ]
    }

    #[test]
    fn a_line_across_an_oblong() {
        let (a, b) = (DVec2::new(20.0, -10.0), DVec2::new(20.0, 30.0));
        assert_eq!(within(&oblong(), a, b), Some((0.25, 0.5)));
        assert_eq!(
            within(&oblong(), a, DVec2::new(20.0, 5.0)),
            Some((2.0 / 3.0, 1.0))
        );
        assert_eq!(
            within(&oblong(), DVec2::new(50.0, 0.0), DVec2::new(60.0, 9.0)),
            None
        );
        assert_eq!(narrow_width(&oblong()), 10.0);
    }

    #[test]
    fn distances_from_an_oblong() {
        assert_eq!(distance_to_outline(&oblong(), DVec2::new(43.0, 14.0)), 5.0);
        assert_eq!(distance_to_outline(&oblong(), DVec2::new(3.0, 4.0)), 0.0);
        assert_eq!(distance_to_sides(&oblong(), DVec2::new(3.0, 4.0)), 3.0);
    }
}
