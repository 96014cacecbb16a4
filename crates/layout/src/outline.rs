//! Plan geometry that a document needs: is an outline one, which way round, how far is a point from a line.

use glam::DVec2;
use units::SAME_LENGTH;

/// What keeps corners from being an outline. Corners count from 1, a side is named by the corner it starts at.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Flaw {
    TooFew(usize),
    SameCorner(usize, usize),
    Crossing(usize, usize),
}

/// The first flaw of a closed outline.
pub(crate) fn flaw(corners: &[DVec2]) -> Option<Flaw> {
    let n = corners.len();
    if n < 3 {
        return Some(Flaw::TooFew(n));
    }
    let same = (0..n).find(|&i| corners[i].distance(corners[(i + 1) % n]) < SAME_LENGTH);
    if let Some(i) = same {
        return Some(Flaw::SameCorner(i + 1, (i + 1) % n + 1));
    }
    let pairs = (0..n).flat_map(|i| (i + 1..n).map(move |j| (i, j)));
    let side = |i: usize| (corners[i], corners[(i + 1) % n]);
    let meet = |&(i, j): &(usize, usize)| {
        let (one, other) = (side(i), side(j));
        if j == i + 1 {
            folds_back(one.0, one.1, other.1)
        } else if (j + 1) % n == i {
            folds_back(other.0, other.1, one.1)
        } else {
            sides_meet(one, other)
        }
    };
    pairs
        .into_iter()
        .find(meet)
        .map(|(i, j)| Flaw::Crossing(i + 1, j + 1))
}

/// Whether the way from `a` over `b` to `c` turns straight back on itself.
fn folds_back(a: DVec2, b: DVec2, c: DVec2) -> bool {
    let (there, back) = ((b - a).normalize(), (c - b).normalize());
    there.perp_dot(back).abs() < 1e-9 && there.dot(back) < 0.0
}

fn sides_meet((a, b): (DVec2, DVec2), (c, d): (DVec2, DVec2)) -> bool {
    let apart = |p: f64, q: f64, r: f64, s: f64| p.max(q) < r.min(s) || r.max(s) < p.min(q);
    if apart(a.x, b.x, c.x, d.x) || apart(a.y, b.y, c.y, d.y) {
        return false;
    }
    let side_of = |p: DVec2, q: DVec2, r: DVec2| {
        let off = (q - p).normalize().perp_dot(r - p);
        if off.abs() < SAME_LENGTH {
            0.0
        } else {
            off.signum()
        }
    };
    side_of(a, b, c) * side_of(a, b, d) <= 0.0 && side_of(c, d, a) * side_of(c, d, b) <= 0.0
}

/// Twice the area, positive when the corners run counter-clockwise.
pub(crate) fn doubled_area(corners: &[DVec2]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    let from = corners.first().copied().unwrap_or_default();
    let part = |(a, b): (&DVec2, &DVec2)| (*a - from).perp_dot(*b - from);
    corners.iter().zip(next).map(part).sum()
}

/// Whether a simple counter-clockwise outline never turns right.
pub(crate) fn is_convex(corners: &[DVec2]) -> bool {
    let n = corners.len();
    let turn = |i: usize| {
        let (a, b, c) = (corners[i], corners[(i + 1) % n], corners[(i + 2) % n]);
        (b - a).normalize().perp_dot((c - b).normalize())
    };
    (0..n).all(|i| turn(i) > -1e-9)
}

/// A simple counter-clockwise outline with every side moved outward by `by`.
pub(crate) fn grown(corners: &[DVec2], by: f64) -> Vec<DVec2> {
    let n = corners.len();
    let outward = |i: usize| -(corners[(i + 1) % n] - corners[i]).normalize().perp();
    let moved = |i: usize| {
        let (before, after) = (outward((i + n - 1) % n), outward(i));
        // Both sides moved by `by` meet here; sides in one line have one outward direction.
        let mitre = (before + after) / (1.0 + before.dot(after)).max(1e-3);
        corners[i] + mitre * by
    };
    (0..n).map(moved).collect()
}

/// The south-west corner of the bounding box; the origin for no points.
pub(crate) fn south_west(points: &[DVec2]) -> DVec2 {
    points
        .iter()
        .copied()
        .reduce(DVec2::min)
        .unwrap_or_default()
}

/// The nearest point of a line to `to`, with its distance and how far along the line it lies. `None` for no line.
pub(crate) fn nearest(line: &[DVec2], to: DVec2) -> Option<Nearest> {
    let mut walked = 0.0;
    let mut best: Option<Nearest> = None;
    for pair in line.windows(2) {
        let (a, length) = (pair[0], pair[0].distance(pair[1]));
        let along = (pair[1] - a) / length.max(SAME_LENGTH);
        let there = (to - a).dot(along).clamp(0.0, length);
        let at = a + along * there;
        let found = Nearest {
            at,
            off: at.distance(to),
            station: walked + there,
        };
        if best.is_none_or(|b| found.off < b.off) {
            best = Some(found);
        }
        walked += length;
    }
    best
}

/// A point of a line that is nearest to another.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Nearest {
    pub(crate) at: DVec2,
    pub(crate) off: f64,
    pub(crate) station: f64,
}

/// A direction in plan by its nearest of eight compass names.
pub fn compass(towards: DVec2) -> &'static str {
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
    use super::*;

    fn points(list: &[(f64, f64)]) -> Vec<DVec2> {
        list.iter().map(|&(x, y)| DVec2::new(x, y)).collect()
    }

    #[test]
    fn a_direction_has_its_nearest_name() {
        assert_eq!(compass(DVec2::new(-1.0, 0.1)), "west");
        assert_eq!(compass(DVec2::new(1.0, -1.0)), "south-east");
    }

    #[test]
    fn a_bow_tie_crosses_and_an_ell_does_not() {
        let bow = points(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
        assert_eq!(flaw(&bow), Some(Flaw::Crossing(1, 3)));
        let ell = points(&[
            (0.0, 0.0),
            (52.0, 0.0),
            (52.0, 26.0),
            (26.0, 26.0),
            (26.0, 46.0),
            (0.0, 46.0),
        ]);
        assert_eq!(flaw(&ell), None);
        assert!(!is_convex(&ell));
    }

    #[test]
    fn spikes_touches_and_repeats_are_flaws() {
        let spike = points(&[(0.0, 0.0), (10.0, 0.0), (4.0, 0.0), (4.0, 8.0)]);
        assert_eq!(flaw(&spike), Some(Flaw::Crossing(1, 2)));
        let touch = points(&[(0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (5.0, 0.0), (0.0, 5.0)]);
        assert_eq!(flaw(&touch), Some(Flaw::Crossing(1, 3)));
        let repeat = points(&[(0.0, 0.0), (0.0, 0.0), (1.0, 1.0)]);
        assert_eq!(flaw(&repeat), Some(Flaw::SameCorner(1, 2)));
        assert_eq!(flaw(&points(&[(0.0, 0.0)])), Some(Flaw::TooFew(1)));
    }

    #[test]
    fn growing_moves_every_side_out_even_round_an_inside_corner() {
        let ell = points(&[
            (0.0, 0.0),
            (52.0, 0.0),
            (52.0, 26.0),
            (26.0, 26.0),
            (26.0, 46.0),
            (0.0, 46.0),
        ]);
        let out = points(&[
            (-1.0, -1.0),
            (53.0, -1.0),
            (53.0, 27.0),
            (27.0, 27.0),
            (27.0, 47.0),
            (-1.0, 47.0),
        ]);
        for (a, b) in grown(&ell, 1.0).iter().zip(out) {
            assert!(a.distance(b) < 1e-12, "{a} {b}");
        }
    }

    #[test]
    fn the_nearest_point_and_its_station() {
        let line = points(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)]);
        let found = nearest(&line, DVec2::new(12.0, 4.0)).expect("a line");
        assert_eq!(
            (found.at, found.off, found.station),
            (DVec2::new(10.0, 4.0), 2.0, 14.0)
        );
        assert_eq!(nearest(&line[..1], DVec2::ZERO), None);
    }
}
