//! Bends as chords.

use glam::DVec3;

use crate::Tube;

/// The most a chord may stand off the true arc, inches: 1/64.
const SAGITTA: f64 = 1.0 / 64.0;

/// A polyline of `points` (at least two) as tubes of outside radius `radius`, each corner swept with centreline radius
/// `bend` (shortened where a leg is too short). A bend's chords have their radius grown by the sagitta, so that no part
/// of the true body is outside them.
pub(crate) fn sweep(points: &[DVec3], radius: f64, bend: f64) -> Vec<Tube> {
    let mut tubes = Vec::new();
    let mut from = points[0];
    for corner in points.windows(3) {
        let arc = arc(corner[0], corner[1], corner[2], bend);
        push(&mut tubes, from, arc[0], radius);
        let grown = if arc.len() > 1 {
            radius + SAGITTA
        } else {
            radius
        };
        arc.windows(2)
            .for_each(|chord| push(&mut tubes, chord[0], chord[1], grown));
        from = arc[arc.len() - 1];
    }
    push(&mut tubes, from, points[points.len() - 1], radius);
    tubes
}

/// A bend by itself, from tangent point to tangent point of its corner, as chords.
pub(crate) fn bend([from, corner, to]: [DVec3; 3], centreline: f64, radius: f64) -> Vec<Tube> {
    // The legs are as long again as the arc takes, so that none of it is cut short.
    let (a, c) = (from * 2.0 - corner, to * 2.0 - corner);
    let points = arc(a, corner, c, centreline);
    let chords = points.windows(2);
    chords
        .map(|chord| Tube {
            a: chord[0],
            b: chord[1],
            radius: radius + SAGITTA,
        })
        .collect()
}

fn push(tubes: &mut Vec<Tube>, a: DVec3, b: DVec3, radius: f64) {
    if a.distance(b) > units::SAME_LENGTH {
        tubes.push(Tube { a, b, radius });
    }
}

/// Points of the arc that rounds the corner at `b`, from tangent to tangent; the corner alone when it hardly turns.
fn arc(a: DVec3, b: DVec3, c: DVec3, bend: f64) -> Vec<DVec3> {
    let (u, v) = ((b - a).normalize_or_zero(), (c - b).normalize_or_zero());
    let turn = u.dot(v).clamp(-1.0, 1.0).acos();
    if turn < 0.5_f64.to_radians() || turn > 179.0_f64.to_radians() {
        return vec![b];
    }
    let room = a.distance(b).min(b.distance(c)) / 2.0;
    let tangent = (bend * (turn / 2.0).tan()).min(room);
    let radius = tangent / (turn / 2.0).tan();
    let start = b - u * tangent;
    let inward = (v - u * u.dot(v)).normalize_or_zero();
    let centre = start + inward * radius;
    let n = chords(radius, turn);
    let at = |i: u32| {
        let angle = turn * f64::from(i) / f64::from(n);
        centre - inward * radius * angle.cos() + u * radius * angle.sin()
    };
    (0..=n).map(at).collect()
}

/// How many chords keep the sagitta within bounds: sagitta = r (1 - cos(half)).
fn chords(radius: f64, turn: f64) -> u32 {
    let half = (1.0 - SAGITTA / radius.max(SAGITTA))
        .clamp(-1.0, 1.0)
        .acos();
    // Between 1 and 64: a cast of a small positive number.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let n = (turn / (2.0 * half)).ceil().clamp(1.0, 64.0) as u32;
    n
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_bend_stays_within_its_sagitta() {
        let corner = [
            DVec3::ZERO,
            DVec3::new(20.0, 0.0, 0.0),
            DVec3::new(20.0, 20.0, 0.0),
        ];
        let tubes = sweep(&corner, 1.75, 4.0625);
        let centre = DVec3::new(20.0 - 4.0625, 4.0625, 0.0);
        let chords = &tubes[1..tubes.len() - 1];
        assert!(chords.len() > 3);
        for chord in chords {
            let middle = (chord.a + chord.b) / 2.0;
            let off = 4.0625 - middle.distance(centre);
            assert!((0.0..=SAGITTA).contains(&off), "{off}");
            assert!((chord.a.distance(centre) - 4.0625).abs() < 1e-9);
        }
        assert_eq!(tubes[0].a, corner[0]);
        assert_eq!(tubes[tubes.len() - 1].b, corner[2]);
    }

    #[test]
    fn a_straight_line_is_one_tube_a_leg() {
        let line = [DVec3::ZERO, DVec3::X, DVec3::X * 3.0];
        assert_eq!(sweep(&line, 1.0, 4.0).len(), 2);
    }
}
