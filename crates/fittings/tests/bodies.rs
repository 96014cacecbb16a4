//! Bodies are the pieces that are glued: where they stand, how thick, how they bend, and what they may touch.

mod laid;

use fittings::{Body, Flow, Part, StubOf};
use glam::DVec3;
use laid::{House, house, houses};
use std::collections::BTreeSet;

/// A closet square into a trunk, a line outside with a cleanout. Invented.
const WITH_A_LINE: &str = r#"(
    title: "one branch", code: irc,
    slab: (outline: [("0", "0"), ("30'", "0"), ("30'", "20'"), ("0", "20'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
    fixtures: { "wc": (kind: closet, at: ("180 in", "100 in"), landing: floor, trap: in_fixture, vent: unknown) },
    drains: { "d": (exit: (at: ("120 in", "20'"), way: through, size: "3 in"), line: (length: "10'", size: "3 in", grades: ["1/4"])) },
    runs: {
        "trunk": (from: ("120 in", "20 in"), to: "d", size: "3 in"),
        "branch": (from: "wc", to: (run: "trunk", at: ("120 in", "100 in")), size: "3 in", joins: flat),
    },
    cleanouts: { "co": (at: ("120 in", "23'"), outside: "d", two_way: true, top: "-3 in", landing: floor) },
)"#;

fn of<'a>(house: &'a House, id: &str, part: Part) -> Vec<&'a Body> {
    let named = |body: &&Body| body.id.as_str() == id && body.part == part;
    house.assembly.bodies.iter().filter(named).collect()
}

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

#[test]
fn a_wye_stands_where_its_branch_asks_and_is_as_thick_as_its_hubs() {
    let house = house(WITH_A_LINE);
    // The wye's branch leg 5-1/16, the street eighth bend's 1-3/4 + 1/16 + 1-1/2 behind it: T = 8-3/8. Square, so the wye
    // stands 0.7071 T = 5.9220 downstream (north) of the crossing at 100 in, and its arm looks back south-east.
    let wyes: Vec<&Body> = of(&house, "trunk", Part::Fitting)
        .into_iter()
        .filter(|body| body.tubes.iter().any(|t| t.a.x > 121.0 || t.b.x > 121.0))
        .collect();
    let [wye] = wyes[..] else {
        panic!("{} wyes", wyes.len())
    };
    let arm: Vec<_> = wye
        .tubes
        .iter()
        .filter(|t| (t.radius - 3.99 / 2.0).abs() < 1e-9 && t.a.x > 121.0)
        .collect();
    let [hub] = arm[..] else {
        panic!("{} hubs on the arm", arm.len())
    };
    let centre = DVec3::new(120.0, 105.922, hub.b.z);
    near(hub.b.truncate().distance(centre.truncate()), 5.0625, 2.0e-3);
    near(hub.a.truncate().distance(centre.truncate()), 6.5625, 2.0e-3);
    near((hub.b.x - 120.0) / (105.922 - hub.b.y), 1.0, 2.0e-3);
    // Pipe is 3-1/2 in through, hubs 3.99 (pipe OD + two walls + 0.06).
    let thick: BTreeSet<String> = wye
        .tubes
        .iter()
        .map(|t| format!("{:.3}", t.radius))
        .collect();
    assert_eq!(
        Vec::from_iter(thick),
        ["1.750".to_owned(), "1.995".to_owned()]
    );
}

#[test]
fn a_long_turn_is_swept_at_its_own_radius() {
    let house = house(WITH_A_LINE);
    let bends: Vec<&Body> = of(&house, "branch", Part::Fitting)
        .into_iter()
        .filter(|body| body.tubes.iter().any(|t| t.a.x.max(t.b.x) > 179.0))
        .collect();
    let [bend] = bends[..] else {
        panic!("{} bends under the closet", bends.len())
    };
    // The 3 in long turn: centre to stop 4-1/16, and so its radius. Its corner stands under the closet.
    let chords: Vec<_> = bend
        .tubes
        .iter()
        .filter(|t| (t.radius - 1.75 - 1.0 / 64.0).abs() < 1e-9)
        .collect();
    assert!(chords.len() >= 8, "{} chords", chords.len());
    let low = bend
        .tubes
        .iter()
        .flat_map(|t| [t.a, t.b])
        .min_by(|a, b| a.x.total_cmp(&b.x))
        .expect("tubes");
    // The run falls 1/4 in/ft (1/48) toward the trunk: the corner lies so much above the low mouth, 4-1/16 + 1-1/2 away
    // along the fall, and the bend, itself square, leans with it.
    let fall = DVec3::new(-48.0, 0.0, -1.0).normalize();
    let up = DVec3::new(-1.0, 0.0, 48.0).normalize();
    let corner = DVec3::new(180.0, 100.0, low.z - fall.z * 5.5625);
    let centre = corner + (fall + up) * 4.0625;
    for chord in chords {
        near(chord.a.distance(centre), 4.0625, 1.0e-3);
    }
}

#[test]
fn the_pipe_through_the_wall_is_the_trunks_inside_and_the_lines_outside() {
    let house = house(WITH_A_LINE);
    let [trunk] = of(&house, "trunk", Part::Pipe)[..] else {
        panic!("one size, one body")
    };
    let [line] = of(&house, "d", Part::Pipe)[..] else {
        panic!("one line")
    };
    let (last, first) = (trunk.tubes[trunk.tubes.len() - 1], line.tubes[0]);
    near(last.b.y, 240.0, 0.01);
    assert!(last.b.distance(first.a) < 1e-9);
    // The water's order, upstream first, in both.
    for body in [trunk, line] {
        assert!(body.tubes.windows(2).all(|w| w[0].b.y <= w[1].a.y + 1e-6));
    }
    // Coupled 6 in out, and in line as far as the two-way cleanout at 36 in, half of 13-3/4 in to each stop. Its branch,
    // 5-1/16 in to its stop and square to the fall of 1/48, leans 0.105 in downstream, so its centre stands as much upstream.
    let stop = line.tubes[0].b;
    near(stop.y, 240.0 + 36.0 - 0.105 - 6.875, 0.01);
    near(line.tubes[line.tubes.len() - 1].b.y, 240.0 + 120.0, 0.05);
    let [cleanout] = of(&house, "co", Part::Cleanout)[..] else {
        panic!("one cleanout")
    };
    let top = cleanout
        .tubes
        .iter()
        .flat_map(|t| [t.a, t.b])
        .map(|p| p.z)
        .fold(f64::MIN, f64::max);
    // The plug stands 3/4 in out of the adapter, whose face is the cleanout's top.
    near(top, -3.0 + 0.75, 1e-6);
    let closure = house
        .assembly
        .closures
        .iter()
        .find(|c| c.of == StubOf::Cleanout(0))
        .expect("walked");
    assert!(closure.error.length() < 1.0 / 16.0, "{closure:?}");
    assert_eq!(house.assembly.troubles, []);
}

/// In every scene: who is joined knows it of each other, and all that is glued to a drain hangs together by joints alone.
#[test]
fn bodies_are_joined_where_they_are_glued() {
    let mut seen = 0;
    for (name, house) in houses() {
        let bodies = &house.assembly.bodies;
        for (b, body) in bodies.iter().enumerate() {
            assert!(!body.tubes.is_empty(), "{} is nothing", body.id);
            assert!(
                body.joined
                    .iter()
                    .all(|other| *other != b && bodies[*other].joined.contains(&b))
            );
        }
        let roots = house.assembly.pieces.len() - house.assembly.joints.len();
        let glued = |body: &Body| {
            matches!(body.flow, Flow::Drain | Flow::Vent) && body.part != Part::Sleeve
        };
        let troubled = !house.assembly.troubles.is_empty();
        let mut parts = 0;
        let mut reached = vec![false; bodies.len()];
        for b in 0..bodies.len() {
            if reached[b] || !glued(&bodies[b]) {
                continue;
            }
            parts += 1;
            let mut waiting = vec![b];
            while let Some(at) = waiting.pop() {
                if !std::mem::replace(&mut reached[at], true) {
                    waiting.extend(&bodies[at].joined);
                }
            }
        }
        assert!(
            parts == roots || troubled,
            "{name}: {parts} parts of {roots} drains"
        );
        seen += usize::from(parts == roots);
    }
    assert!(seen > 20, "only {seen} scenes hang together");
}
