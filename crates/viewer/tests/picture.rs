//! Pictures without a window: what is where it should be has the colour it should have.

mod made_up;

use bevy_egui::egui::{Key, Rect, pos2, vec2};
use glam::DVec3;
use viewer::desk::{Action, Desk};
use viewer::script::{self, Observed, Step};
use viewer::{Layer, Picture, Shot, ViewError, Viewpoint};

const SIZE: (u32, u32) = (960, 640);

/// The result, or none on a machine that cannot draw at all; where a driver is promised that is a failure.
fn drawn<T>(result: Result<T, ViewError>) -> Option<T> {
    match result {
        Ok(done) => Some(done),
        Err(ViewError::NoDriver(why)) if std::env::var_os("FALLWISE_NEED_GPU").is_none() => {
            skipped(&why);
            None
        }
        Err(error) => panic!("{error}"),
    }
}

#[allow(clippy::print_stdout)] // a skipped test says so
fn skipped(why: &str) {
    println!("skipped: no graphics driver ({why})");
}

fn shot(viewpoint: Viewpoint, hidden: Vec<Layer>) -> Shot {
    Shot {
        width: SIZE.0,
        height: SIZE.1,
        viewpoint,
        hidden,
        key: false,
        ..Shot::default()
    }
}

/// The desk a picture is taken from, to ask where things are in it.
fn desk(viewpoint: Viewpoint) -> Desk {
    let mut desk = Desk::new(made_up::house(), String::new());
    desk.flight_seconds = 0.0;
    desk.put_canvas(Rect::from_min_size(
        pos2(0.0, 0.0),
        vec2(SIZE.0 as f32, SIZE.1 as f32),
    ));
    desk.take(Action::View(viewpoint));
    desk
}

fn colour(picture: &Picture, desk: &Desk, at: [f64; 3]) -> [i32; 3] {
    let (place, _) = desk.project(DVec3::from(at)).expect("in front of the eye");
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pixel = picture
        .at(place.x.round() as u32, place.y.round() as u32)
        .expect("in the picture");
    pixel.map(i32::from)
}

fn is_sewer_green([r, g, b]: [i32; 3]) -> bool {
    g > r + 25 && g > b + 25
}

fn is_water_blue([r, g, b]: [i32; 3]) -> bool {
    b > g + 30 && g > r
}

// Places of the invented house: the line to the tank just outside, the trunk under the slab, the water service outside.
const OUTSIDE_LINE: [f64; 3] = [150.0, -40.0, -24.7];
const TRUNK: [f64; 3] = [380.0, 180.0, -13.0 - 120.0 / 48.0];
const WATER: [f64; 3] = [40.0, -40.0, -36.0];

#[test]
fn pipes_have_their_utility_colours_where_they_lie() {
    for viewpoint in [Viewpoint::House, Viewpoint::Below] {
        let Some(picture) = drawn(viewer::picture(
            &made_up::house(),
            &shot(viewpoint, vec![Layer::Labels]),
        )) else {
            return;
        };
        let desk = desk(viewpoint);
        assert_eq!((picture.width, picture.height), SIZE);
        for at in [OUTSIDE_LINE, TRUNK] {
            let seen = colour(&picture, &desk, at);
            assert!(is_sewer_green(seen), "{viewpoint:?} {at:?}: {seen:?}");
        }
        let seen = colour(&picture, &desk, WATER);
        assert!(is_water_blue(seen), "{viewpoint:?}: {seen:?}");
        let corner = picture.at(SIZE.0 - 3, SIZE.1 - 3).expect("in the picture");
        assert!(
            corner.iter().all(|channel| *channel > 200),
            "the background is light by day: {corner:?}"
        );
    }
}

#[test]
fn a_hidden_layer_is_not_drawn() {
    let hidden = shot(Viewpoint::House, vec![Layer::Drains, Layer::Labels]);
    let Some(picture) = drawn(viewer::picture(&made_up::house(), &hidden)) else {
        return;
    };
    let seen = colour(&picture, &desk(Viewpoint::House), OUTSIDE_LINE);
    assert!(!is_sewer_green(seen), "{seen:?}");
}

#[test]
fn a_vent_is_dashed() {
    let hidden = vec![Layer::Labels, Layer::Walls, Layer::Cabinets, Layer::Slab];
    let Some(picture) = drawn(viewer::picture(
        &made_up::house(),
        &shot(Viewpoint::House, hidden),
    )) else {
        return;
    };
    let desk = desk(Viewpoint::House);
    // Along the level part of the island's vent, every half inch.
    let green = |step: u32| {
        is_light_green(colour(
            &picture,
            &desk,
            [470.0 + f64::from(step) / 2.0, 150.0, -8.0],
        ))
    };
    let seen: Vec<bool> = (4..96).map(green).collect();
    let changes = seen.windows(2).filter(|pair| pair[0] != pair[1]).count();
    // 46 in of dashes of 5 and gaps of 2 1/2 in: six of each.
    assert!((8..=14).contains(&changes), "{changes} changes: {seen:?}");
}

fn is_light_green([r, g, b]: [i32; 3]) -> bool {
    g > r + 20 && g > b + 12
}

#[test]
fn an_absurd_size_is_refused_in_one_line() {
    let error = viewer::picture(
        &made_up::house(),
        &Shot {
            width: 1,
            ..Shot::default()
        },
    )
    .unwrap_err()
    .to_string();
    assert!(
        error.contains("1 by 1000 pixels") && !error.contains('\n'),
        "{error}"
    );
}

fn play(size: [u32; 2], steps: Vec<Step>) -> Option<Vec<Observed>> {
    drawn(script::run(made_up::house(), size, steps))
}

fn mark(seen: &Observed, id: &str, kind: &str) -> [f32; 2] {
    let mark = seen
        .probe
        .marks
        .iter()
        .find(|mark| mark.id == id && mark.kind == kind)
        .expect("a mark of that name");
    #[allow(clippy::cast_possible_truncation)]
    mark.at.map(|value| value as f32)
}

#[test]
fn a_finding_is_flown_to_and_a_key_brings_the_house_back() {
    let steps = vec![
        Step::Key(Key::N),
        Step::Picture,
        Step::Key(Key::Space),
        Step::Key(Key::X),
    ];
    let Some(seen) = play([1000, 640], steps) else {
        return;
    };
    assert_eq!(seen[0].probe.picked, None);
    assert_eq!(seen[1].probe.picked, Some(0));
    let [left, top, right, bottom] = seen[1].probe.canvas;
    let place = seen[1].probe.findings[0].at;
    let middle = [left.midpoint(right), top.midpoint(bottom)];
    assert!(
        (place[0] - middle[0]).abs() < 2.0 && (place[1] - middle[1]).abs() < 2.0,
        "{place:?} {middle:?}"
    );
    let picture = seen[2].picture.as_ref().expect("asked for");
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let [r, g, b] = picture
        .at(place[0] as u32, place[1] as u32)
        .expect("in the picture");
    assert!(
        r > 190 && (60..130).contains(&g) && b < 40,
        "vermillion: {r} {g} {b}"
    );
    for (before, after) in seen[0].probe.eye.iter().zip(seen[3].probe.eye) {
        assert!(
            (before - after).abs() < 0.01,
            "{:?} {:?}",
            seen[0].probe.eye,
            seen[3].probe.eye
        );
    }
    assert!((seen[4].probe.exaggeration - 2.0).abs() < 1e-9);
}

#[test]
fn two_clicks_measure_between_stubs() {
    let Some(start) = play([1200, 800], vec![]) else {
        return;
    };
    let (from, to) = (
        mark(&start[0], "wc2", "Stub"),
        mark(&start[0], "wc1", "Stub"),
    );
    let steps = vec![
        Step::Key(Key::M),
        Step::Click(from),
        Step::Click(to),
        Step::Click(to),
        Step::Key(Key::F),
    ];
    let Some(seen) = play([1200, 800], steps) else {
        return;
    };
    // wc2 stands at (60, 90), wc1 at (310, 300), both 6 in above the floor: 326.5 in, 27'-2 1/2".
    assert_eq!(
        seen[3].probe.measured,
        ["top of wc2 to top of wc1: 27'-2 1/2\", in plan 27'-2 1/2\", level, 0.000 in/ft"]
    );
    assert_eq!(seen[5].probe.measured[1], "top of wc1: 0'-6\" above floor");
}

#[test]
fn hand_and_file_move_what_they_should() {
    let broken = Step::News(Box::new(Err("line 3: torn".into())));
    let mended = viewer::House {
        hash: "00000001".into(),
        ..made_up::house()
    };
    let steps = vec![
        Step::Drag([400.0, 300.0], [480.0, 300.0]),
        Step::Wheel([400.0, 300.0], 3.0),
        broken,
        Step::News(Box::new(Ok(mended))),
    ];
    let Some(seen) = play([1000, 640], steps) else {
        return;
    };
    let distance =
        |seen: &Observed| DVec3::from(seen.probe.eye).distance(DVec3::from(seen.probe.target));
    assert!(
        (distance(&seen[0]) - distance(&seen[1])).abs() < 0.5
            && seen[0].probe.eye != seen[1].probe.eye
    );
    assert!(distance(&seen[2]) < 0.8 * distance(&seen[1]));
    assert_eq!(seen[3].probe.error.as_deref(), Some("line 3: torn"));
    assert_eq!(
        (seen[3].probe.hash.as_str(), seen[4].probe.hash.as_str()),
        ("5e1f00d5", "00000001")
    );
    assert_eq!(seen[4].probe.error, None);
    assert_eq!(seen[4].probe.eye, seen[3].probe.eye);
}

#[test]
fn a_tiny_window_and_an_empty_house_are_drawn_too() {
    let keys = [Key::K, Key::M, Key::P, Key::U, Key::T, Key::G, Key::Num1];
    let steps: Vec<Step> = keys
        .into_iter()
        .map(Step::Key)
        .chain([Step::Picture])
        .collect();
    for size in [[320, 240], [64, 64]] {
        let Some(seen) = play(size, steps.clone()) else {
            return;
        };
        assert_eq!(
            seen.last()
                .and_then(|seen| seen.picture.as_ref())
                .map(|p| [p.width, p.height]),
            Some(size)
        );
    }
    let Some(seen) = drawn(script::run(viewer::House::default(), [640, 480], steps)) else {
        return;
    };
    assert!(
        seen.iter()
            .all(|seen| seen.probe.eye.iter().all(|value| value.is_finite()))
    );
}
