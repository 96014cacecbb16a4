//! A ray against the two kinds of bodies there are: round tubes and upright prisms.

use bevy::math::{Vec2, Vec3};

/// Where a ray comes nearest to a segment.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Near {
    /// Along the ray, feet.
    pub along: f32,
    /// Along the segment, 0 to 1.
    pub part: f32,
    /// Between the two, feet.
    pub off: f32,
}

/// The nearest approach of a ray (unit direction) to the segment from `a` to `b`.
pub(super) fn to_segment((from, way): (Vec3, Vec3), a: Vec3, b: Vec3) -> Near {
    let run = b - a;
    let length = run.length_squared();
    let start = from - a;
    let across = way.dot(run);
    let flat = length - across * across;
    let free = if flat > 1e-9 * length {
        (run.dot(start) - way.dot(start) * across) / flat
    } else {
        0.0
    };
    let part = if length > 0.0 {
        free.clamp(0.0, 1.0)
    } else {
        0.0
    };
    let along = (a + run * part - from).dot(way).max(0.0);
    Near {
        along,
        part,
        off: (from + way * along).distance(a + run * part),
    }
}

/// Where a ray enters an upright prism: the distance along it. `outline` is in plan (x, z), `low` and `high` are y.
pub(super) fn to_prism(
    ray: (Vec3, Vec3),
    outline: &[Vec2],
    holes: &[Vec<Vec2>],
    low: f32,
    high: f32,
) -> Option<f32> {
    let (from, way) = ray;
    let inside = |at: Vec2| contains(outline, at) && !holes.iter().any(|hole| contains(hole, at));
    let caps = [low, high].into_iter().filter_map(|level| {
        let along = (level - from.y) / way.y;
        let at = from + way * along;
        (along.is_finite() && along > 0.0 && inside(Vec2::new(at.x, at.z))).then_some(along)
    });
    let rings = std::iter::once(outline).chain(holes.iter().map(Vec::as_slice));
    let sides = rings
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
        .filter_map(|(here, next)| {
            let along = to_side(ray, *here, *next)?;
            let y = (from + way * along).y;
            (low..=high).contains(&y).then_some(along)
        });
    caps.chain(sides).reduce(f32::min)
}

fn to_side((from, way): (Vec3, Vec3), here: Vec2, next: Vec2) -> Option<f32> {
    let (start, flat, run) = (
        Vec2::new(from.x, from.z),
        Vec2::new(way.x, way.z),
        next - here,
    );
    let turn = flat.perp_dot(run);
    let along = (here - start).perp_dot(run) / turn;
    let part = (here - start).perp_dot(flat) / turn;
    (along.is_finite() && along > 0.0 && (0.0..=1.0).contains(&part)).then_some(along)
}

fn contains(ring: &[Vec2], at: Vec2) -> bool {
    let mut inside = false;
    for (here, next) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let crosses = (here.y > at.y) != (next.y > at.y);
        if crosses && at.x < here.x + (at.y - here.y) / (next.y - here.y) * (next.x - here.x) {
            inside = !inside;
        }
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ray_past_a_pipe_tells_how_far_past() {
        let ray = (Vec3::new(0.0, 3.0, 5.0), Vec3::NEG_Z);
        let near = to_segment(ray, Vec3::new(-10.0, 1.0, 0.0), Vec3::new(10.0, 1.0, 0.0));
        assert!(
            (near.off - 2.0).abs() < 1e-5
                && (near.part - 0.5).abs() < 1e-5
                && (near.along - 5.0).abs() < 1e-5
        );
    }

    #[test]
    fn a_ray_along_a_pipe_and_a_pipe_of_no_length_are_no_trouble() {
        let ray = (Vec3::ZERO, Vec3::X);
        assert!(
            to_segment(ray, Vec3::new(1.0, 1.0, 0.0), Vec3::new(9.0, 1.0, 0.0)).off < 1.0 + 1e-5
        );
        let point = to_segment(ray, Vec3::new(4.0, 1.0, 0.0), Vec3::new(4.0, 1.0, 0.0));
        assert!((point.along - 4.0).abs() < 1e-5 && (point.off - 1.0).abs() < 1e-5);
    }

    #[test]
    fn a_prism_is_hit_on_its_top_its_side_and_not_in_its_hole() {
        let square = |low: f32, high: f32| -> Vec<Vec2> {
            [(low, low), (high, low), (high, high), (low, high)]
                .map(|(x, y)| Vec2::new(x, y))
                .to_vec()
        };
        let (outline, hole) = (square(0.0, 10.0), square(4.0, 6.0));
        let down = |x: f32, z: f32| (Vec3::new(x, 5.0, z), Vec3::NEG_Y);
        let holes = [hole];
        assert_eq!(
            to_prism(down(2.0, 2.0), &outline, &holes, 0.0, 1.0),
            Some(4.0)
        );
        assert_eq!(to_prism(down(5.0, 5.0), &outline, &holes, 0.0, 1.0), None);
        assert_eq!(to_prism(down(11.0, 5.0), &outline, &holes, 0.0, 1.0), None);
        let side = (Vec3::new(-5.0, 0.5, 5.0), Vec3::X);
        assert_eq!(to_prism(side, &outline, &holes, 0.0, 1.0), Some(5.0));
    }
}
