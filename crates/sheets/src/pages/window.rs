//! A piece of the house in a window: outlines cut at its edges, so that a drawing of one corner stays in its frame.

use glam::DVec2;

/// The part of an outline inside the upright box from `low` to `high`; fewer than three corners when there is none.
pub(crate) fn clipped(outline: &[DVec2], low: DVec2, high: DVec2) -> Vec<DVec2> {
    let sides = [
        (DVec2::X, low.x),
        (-DVec2::X, -high.x),
        (DVec2::Y, low.y),
        (-DVec2::Y, -high.y),
    ];
    sides.iter().fold(outline.to_vec(), |kept, (inward, at)| {
        behind(&kept, *inward, *at)
    })
}

/// The corners of an outline on the inner side of a line.
fn behind(outline: &[DVec2], inward: DVec2, at: f64) -> Vec<DVec2> {
    let mut kept = Vec::new();
    for (n, from) in outline.iter().enumerate() {
        let to = outline[(n + 1) % outline.len()];
        let (a, b) = (from.dot(inward) - at, to.dot(inward) - at);
        if a >= 0.0 {
            kept.push(*from);
        }
        if (a < 0.0) != (b < 0.0) {
            kept.push(from.lerp(to, a / (a - b)));
        }
    }
    kept
}

/// The part of a straight line inside the box.
pub(crate) fn cut_line(from: DVec2, to: DVec2, low: DVec2, high: DVec2) -> Option<(DVec2, DVec2)> {
    let along = to - from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        if along[axis].abs() < 1e-9 {
            if from[axis] < low[axis] || from[axis] > high[axis] {
                return None;
            }
            continue;
        }
        let s = (low[axis] - from[axis]) / along[axis];
        let t = (high[axis] - from[axis]) / along[axis];
        enter = enter.max(s.min(t));
        leave = leave.min(s.max(t));
    }
    (enter < leave).then(|| (from + along * enter, from + along * leave))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_outline_is_cut_at_the_window() {
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(DVec2::from);
        let kept = clipped(&square, DVec2::splat(5.0), DVec2::splat(20.0));
        assert_eq!(kept.len(), 4);
        assert!(kept.iter().all(|p| p.x >= 5.0 && p.y >= 5.0));
        assert!(clipped(&square, DVec2::splat(11.0), DVec2::splat(20.0)).is_empty());
    }

    #[test]
    fn a_line_is_cut_at_the_window() {
        let cut = cut_line(
            DVec2::ZERO,
            DVec2::new(10.0, 0.0),
            DVec2::new(2.0, -1.0),
            DVec2::new(5.0, 1.0),
        );
        assert_eq!(cut, Some((DVec2::new(2.0, 0.0), DVec2::new(5.0, 0.0))));
        assert_eq!(
            cut_line(DVec2::ZERO, DVec2::Y, DVec2::splat(2.0), DVec2::splat(3.0)),
            None
        );
    }
}
