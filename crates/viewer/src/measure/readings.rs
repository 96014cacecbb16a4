//! What can be read off the bodies beside a straight distance: cover, tape ties, the nearest two pipes come. Plain geometry.

use glam::{DVec2, DVec3};
use scene::{Part, PipeBody, Scene, SolidKind, Tube};

/// Concrete, foam or sheet over a pipe's crown, or ground where none is.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Cover {
    /// The crown.
    pub crown: DVec3,
    /// The underside of the lowest of concrete, foam and sheet over it; outside the slab the ground.
    pub under: f64,
    /// Whether it is ground.
    pub ground: bool,
}

/// The cover of the pipe `id` at the plan place of `at`; `None` where it is no pipe or nothing lies over it.
pub fn cover(scene: &Scene, id: &str, at: DVec3) -> Option<Cover> {
    let tubes = pipes(scene, id).flat_map(|pipe| &pipe.tubes);
    let near = tubes.map(|tube| (on_tube(tube, at), tube.radius));
    let (centre, radius) = near.min_by(|a, b| {
        let off = |centre: DVec3| centre.distance(at);
        off(a.0).total_cmp(&off(b.0))
    })?;
    let crown = centre + DVec3::Z * radius;
    let over = |kinds: &[SolidKind]| {
        let solids = scene.solids.iter().filter(|solid| {
            kinds.contains(&solid.kind)
                && holds(&solid.outline, at.truncate())
                && !solid.holes.iter().any(|hole| holds(hole, at.truncate()))
        });
        solids.collect::<Vec<_>>()
    };
    let built = over(&[SolidKind::Concrete, SolidKind::Foam, SolidKind::Sheet]);
    let lowest = built
        .iter()
        .map(|solid| solid.bottom)
        .min_by(f64::total_cmp);
    if let Some(under) = lowest {
        return Some(Cover {
            crown,
            under,
            ground: false,
        });
    }
    let ground = over(&[SolidKind::Ground]);
    let top = ground
        .iter()
        .map(|solid| solid.top)
        .max_by(f64::total_cmp)?;
    Some(Cover {
        crown,
        under: top,
        ground: true,
    })
}

/// Two tape pulls to a plan point: from which corners, and what they read.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Pulls {
    /// The corners.
    pub corners: [DVec2; 2],
    /// The pulls, inches.
    pub inches: [f64; 2],
}

/// The two pulls from corners of the form that fix a plan point best, walls not yet standing.
pub fn pulls(corners: &[DVec2], at: DVec2) -> Option<Pulls> {
    let ties = trench::ties::best(at, corners, &[], &trench::ties::Rules::default())?;
    Some(Pulls {
        corners: [corners[ties.first.from], corners[ties.second.from]],
        inches: [ties.first.inches, ties.second.inches],
    })
}

/// Where two pipes come nearest: both points on their outsides, and the gap between, negative where they meet.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Nearest {
    /// On the first, on the second.
    pub ends: [DVec3; 2],
    /// Inches.
    pub gap: f64,
}

/// See [`Nearest`]; `None` where either is no pipe.
pub fn nearest(scene: &Scene, a: &str, b: &str) -> Option<Nearest> {
    let tubes = |id| pipes(scene, id).flat_map(|pipe| &pipe.tubes);
    let pairs = tubes(a).flat_map(|first| tubes(b).map(move |second| between(first, second)));
    pairs.min_by(|a, b| a.gap.total_cmp(&b.gap))
}

/// Whether a pipe of that name is there.
pub fn is_pipe(scene: &Scene, id: &str) -> bool {
    pipes(scene, id).next().is_some()
}

fn pipes<'s>(scene: &'s Scene, id: &str) -> impl Iterator<Item = &'s PipeBody> {
    let named = move |pipe: &&PipeBody| pipe.id.as_str() == id && pipe.part != Part::Sleeve;
    scene.pipes.iter().filter(named)
}

fn on_tube(tube: &Tube, at: DVec3) -> DVec3 {
    let along = tube.b - tube.a;
    let part = (at - tube.a).dot(along) / along.length_squared().max(1e-12);
    tube.a + along * part.clamp(0.0, 1.0)
}

/// The nearest points of two segments with radii.
fn between(first: &Tube, second: &Tube) -> Nearest {
    let (d, e) = (first.b - first.a, second.b - second.a);
    let r = first.a - second.a;
    let (dd, ee, de) = (d.length_squared(), e.length_squared(), d.dot(e));
    let lean = dd * ee - de * de;
    let start = if lean > 1e-9 {
        ((de * e.dot(r) - ee * d.dot(r)) / lean).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let q = on_tube(second, first.a + d * start);
    let p = on_tube(first, q);
    let q = on_tube(second, p);
    let way = (q - p).normalize_or_zero();
    Nearest {
        ends: [p + way * first.radius, q - way * second.radius],
        gap: p.distance(q) - first.radius - second.radius,
    }
}

/// Even-odd: whether a point is inside an outline.
fn holds(ring: &[DVec2], at: DVec2) -> bool {
    let edges = (0..ring.len()).map(|n| (ring[n], ring[(n + 1) % ring.len()]));
    let crossings = edges.filter(|(p, q)| {
        (p.y > at.y) != (q.y > at.y) && at.x < p.x + (at.y - p.y) / (q.y - p.y) * (q.x - p.x)
    });
    crossings.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use scene::{Flow, Solid};
    use units::Size;

    fn pipe(id: &str, a: (f64, f64, f64), b: (f64, f64, f64), radius: f64) -> PipeBody {
        PipeBody {
            id: id.into(),
            part: Part::Pipe,
            flow: Flow::Drain,
            size: Size::In2,
            tubes: vec![Tube {
                a: a.into(),
                b: b.into(),
                radius,
            }],
            joined: vec![],
        }
    }

    fn scene() -> Scene {
        let layer = |kind, bottom, top, east: f64| Solid {
            id: "slab".into(),
            kind,
            outline: [(0.0, 0.0), (east, 0.0), (east, 100.0), (0.0, 100.0)]
                .map(|(x, y)| DVec2::new(x, y))
                .to_vec(),
            holes: vec![],
            bottom,
            top,
        };
        Scene {
            solids: vec![
                layer(SolidKind::Concrete, -4.0, 0.0, 200.0),
                layer(SolidKind::Foam, -6.0, -4.0, 100.0),
                layer(SolidKind::Ground, -40.0, -8.0, 400.0),
            ],
            pipes: vec![
                pipe("a", (0.0, 50.0, -20.0), (300.0, 50.0, -20.0), 1.25),
                pipe("b", (50.0, 0.0, -26.0), (50.0, 100.0, -26.0), 1.75),
                pipe("c", (0.0, 60.0, -20.0), (300.0, 60.0, -20.0), 1.25),
            ],
            marks: vec![],
        }
    }

    #[test]
    fn cover_is_to_the_lowest_layer_and_outside_to_the_ground() {
        let scene = scene();
        let at = |x: f64| cover(&scene, "a", DVec3::new(x, 50.0, -20.0)).unwrap();
        // Crown 20 - 1 1/4 = 18 3/4 below; foam to 6, concrete to 4, ground to 8.
        assert_eq!(
            (at(50.0).crown.z, at(50.0).under, at(50.0).ground),
            (-18.75, -6.0, false)
        );
        assert_eq!(at(150.0).under, -4.0);
        assert_eq!((at(250.0).under, at(250.0).ground), (-8.0, true));
        assert_eq!(cover(&scene, "nobody", DVec3::ZERO), None);
    }

    #[test]
    fn pipes_that_cross_are_nearest_where_they_cross() {
        let found = nearest(&scene(), "a", "b").unwrap();
        // 6 in between the axes, 1 1/4 and 1 3/4 of pipe.
        assert!((found.gap - 3.0).abs() < 1e-9);
        assert!(found.ends[0].distance(DVec3::new(50.0, 50.0, -21.25)) < 1e-9);
        assert!(found.ends[1].distance(DVec3::new(50.0, 50.0, -24.25)) < 1e-9);
        // Side by side.
        let beside = nearest(&scene(), "a", "c").unwrap();
        assert!((beside.gap - 7.5).abs() < 1e-9);
        assert_eq!(nearest(&scene(), "a", "nobody"), None);
    }

    #[test]
    fn ties_are_the_distances_from_two_corners() {
        let corners =
            [(0.0, 0.0), (300.0, 0.0), (300.0, 400.0), (0.0, 400.0)].map(|(x, y)| DVec2::new(x, y));
        let at = DVec2::new(90.0, 120.0);
        let found = pulls(&corners, at).unwrap();
        for (corner, inches) in found.corners.iter().zip(found.inches) {
            assert!((corner.distance(at) - inches).abs() < 1e-9);
        }
        assert_ne!(found.corners[0], found.corners[1]);
        assert_eq!(pulls(&[], at), None);
    }
}
