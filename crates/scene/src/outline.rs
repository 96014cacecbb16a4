//! Plan outlines made from others.

use glam::DVec2;

/// A counter-clockwise outline moved inward by `by` (outward when negative), corner for corner.
///
/// Each corner moves to where the moved sides meet. The result has as many corners as the outline, so side `i` of both
/// belong together; it may cross itself where `by` exceeds the outline's own width.
pub fn inset(outline: &[DVec2], by: f64) -> Vec<DVec2> {
    let n = outline.len();
    let corner = |i: usize| {
        let (before, here, after) = (outline[(i + n - 1) % n], outline[i], outline[(i + 1) % n]);
        let (u, v) = (
            (here - before).normalize_or_zero(),
            (after - here).normalize_or_zero(),
        );
        // Inside a counter-clockwise outline lies to the left. 1 + u·v is 0 only where the outline turns back on itself.
        let spread = (1.0 + u.dot(v)).max(0.05);
        here + (u.perp() + v.perp()) / spread * by
    };
    (0..n).map(corner).collect()
}

/// The corners of a turned rectangle, counter-clockwise from its own lower left.
pub fn rectangle(centre: DVec2, size: DVec2, turn_deg: f64) -> Vec<DVec2> {
    let along = DVec2::from_angle(turn_deg.to_radians());
    let (half, across) = (size / 2.0, along.perp());
    let signs = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    signs
        .iter()
        .map(|(x, y)| centre + along * half.x * *x + across * half.y * *y)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_shrinks_and_an_inner_corner_stays_square() {
        let ell = [
            (0.0, 0.0),
            (40.0, 0.0),
            (40.0, 20.0),
            (20.0, 20.0),
            (20.0, 40.0),
            (0.0, 40.0),
        ];
        let ell: Vec<DVec2> = ell.iter().map(|(x, y)| DVec2::new(*x, *y)).collect();
        let inner = inset(&ell, 2.0);
        let want = [
            (2.0, 2.0),
            (38.0, 2.0),
            (38.0, 18.0),
            (18.0, 18.0),
            (18.0, 38.0),
            (2.0, 38.0),
        ];
        for (got, want) in inner.iter().zip(want) {
            assert!(
                got.distance(DVec2::new(want.0, want.1)) < 1e-9,
                "{got} {want:?}"
            );
        }
    }

    #[test]
    fn the_turned_island_of_the_first_house() {
        // 12'-0" x 3'-6", turned 30 degrees about 26'-0", 8'-0": the corner is at 30'-3 7/8", 12'-6 3/16" (hand work
        // by cos 30 and sin 30).
        let corners = rectangle(DVec2::new(312.0, 96.0), DVec2::new(144.0, 42.0), 30.0);
        assert!(
            corners[2].distance(DVec2::new(363.875, 150.1875)) < 0.05,
            "{}",
            corners[2]
        );
    }
}
