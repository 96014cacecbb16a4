//! What can be read off the bodies beside a straight distance: cover, tape ties, the nearest two pipes come. Plain geometry.

use glam::{DVec2, DVec3};
use layout::{Layout, ground_level};
use scene::{Part, PipeBody, Scene, SolidKind, Tube};

use crate::edit::nearest_on;

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

/// The cover of the pipe `id` at the plan place of `at`.
///
/// # Errors
/// One line, where it is no pipe, or nothing is told of what lies over it.
pub fn cover(scene: &Scene, layout: &Layout, id: &str, at: DVec3) -> Result<Cover, &'static str> {
    let crown = crown(scene, id, at).ok_or("no cover to read there: take a place on a pipe")?;
    let floor = under_floor(scene, crown.truncate());
    let ground = || ground_over(layout, id, crown.truncate());
    let under = floor.or_else(ground);
    let cover = |under| Cover {
        crown,
        under,
        ground: floor.is_none(),
    };
    under
        .map(cover)
        .ok_or("what lies over it there is not told yet")
}

/// The crown of a pipe nearest to a place on it; of its pipe and not of its fittings' hubs, as the least cover is told.
fn crown(scene: &Scene, id: &str, at: DVec3) -> Option<DVec3> {
    let plain = |pipe: &&PipeBody| pipe.part == Part::Pipe;
    let tubes = pipes(scene, id).filter(plain).flat_map(|pipe| &pipe.tubes);
    let near = tubes.map(|tube| (on_tube(tube, at), tube.radius));
    let (centre, radius) = near.min_by(|a, b| {
        let off = |centre: DVec3| centre.distance(at);
        off(a.0).total_cmp(&off(b.0))
    })?;
    Some(centre + DVec3::Z * radius)
}

/// The underside of the lowest of concrete, foam and sheet over a plan place; none outside the slab.
fn under_floor(scene: &Scene, at: DVec2) -> Option<f64> {
    let built = [SolidKind::Concrete, SolidKind::Foam, SolidKind::Sheet];
    let solids = scene.solids.iter().filter(|solid| {
        built.contains(&solid.kind)
            && holds(&solid.outline, at)
            && !solid.holes.iter().any(|hole| holds(hole, at))
    });
    solids.map(|solid| solid.bottom).min_by(f64::total_cmp)
}

/// The ground over a plan place outside: along its own line for a line outside, else so far from the slab.
fn ground_over(layout: &Layout, id: &str, at: DVec2) -> Option<f64> {
    let drain = layout.drains.iter().find(|drain| drain.id.as_str() == id);
    if let Some(drain) = drain {
        let from = drain.exit.at.distance(at);
        return ground_level(layout.ground_along(drain), from);
    }
    let mut ring = layout.slab.as_ref()?.outline.clone();
    ring.extend(ring.first().copied());
    let off = nearest_on(&ring, at)?.distance(at);
    ground_level(&layout.outside.ground, off)
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

/// How far a place lies off a tube's axis.
pub fn off_tube(tube: &Tube, at: DVec3) -> f64 {
    on_tube(tube, at).distance(at)
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
            ],
            pipes: vec![
                pipe("a", (0.0, 50.0, -20.0), (300.0, 50.0, -20.0), 1.25),
                pipe("b", (50.0, 0.0, -26.0), (50.0, 100.0, -26.0), 1.75),
                pipe("c", (0.0, 60.0, -20.0), (300.0, 60.0, -20.0), 1.25),
            ],
            marks: vec![],
        }
    }

    /// A slab 200 in long, and a line outside named "a" that leaves it there.
    fn layout() -> Layout {
        let text = r#"(
            slab: (outline: [("0", "0"), ("200 in", "0"), ("200 in", "100 in"), ("0", "100 in")], layers: [(concrete, "4 in")]),
            outside: (ground: [("0", "-8 in"), ("10'", "-13 in")]),
            fixtures: {"floor drain": (kind: floor_drain, at: ("100 in", "50 in"), landing: floor)},
            drains: {"a": (exit: (at: ("200 in", "50 in")))},
        )"#;
        layout::resolve(&layout::read(text, "").file.unwrap()).0
    }

    #[test]
    fn cover_is_to_the_lowest_layer_and_outside_to_the_ground_as_it_falls_away() {
        let (scene, layout) = (scene(), layout());
        let at = |x: f64| cover(&scene, &layout, "a", DVec3::new(x, 50.0, -20.0)).unwrap();
        // Crown 20 - 1 1/4 = 18 3/4 below; foam to 6, concrete to 4.
        assert_eq!(
            (at(50.0).crown.z, at(50.0).under, at(50.0).ground),
            (-18.75, -6.0, false)
        );
        assert_eq!(at(150.0).under, -4.0);
        // Ground 5 in lower in 10 ft: 60 in out 2 1/2 in lower than the 8 at the wall.
        assert_eq!((at(260.0).under, at(260.0).ground), (-10.5, true));
        // Another pipe: so far from the slab's edge.
        let other = cover(&scene, &layout, "c", DVec3::new(260.0, 60.0, -20.0)).unwrap();
        assert_eq!((other.under, other.ground), (-10.5, true));
    }

    #[test]
    fn where_no_cover_can_be_read_it_says_why() {
        let (scene, layout) = (scene(), layout());
        let wrong = cover(&scene, &layout, "nobody", DVec3::ZERO).unwrap_err();
        assert!(wrong.contains("take a place on a pipe"), "{wrong}");
        let untold = Layout {
            outside: layout::Outside::default(),
            ..layout
        };
        let wrong = cover(&scene, &untold, "a", DVec3::new(260.0, 50.0, -20.0)).unwrap_err();
        assert!(wrong.contains("not told yet"), "{wrong}");
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
