//! What several pages ask of a house: fixed points to pull from, stubs by name, plans in outline, words for lengths.

use checks::geometry::distance_to_outline;
use fittings::Stub;
use flow::Outcome;
use glam::{DVec2, DVec3};
use layout::{Landing, Wall};
use trench::ties::{Rules, Ties, Wall as Obstacle, best, third};
use units::{feet_inches, inches_text};

use super::content::{Figure, Pen};

/// A point that stays, to hook a tape on.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Fixed {
    /// Its letter on the page: a corner's `A`, a nail's `N1`.
    pub(super) name: String,
    /// Where, house inches.
    pub(super) at: DVec2,
    /// What it is.
    pub(super) what: String,
}

/// How a point is reached, and whether only while no wall stands.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Reached {
    pub(super) ties: Ties,
    /// The two tapes cross a wall that will stand.
    pub(super) before_walls: bool,
    /// The check does.
    pub(super) check_before_walls: bool,
}

/// A wall's end nearer to the form than this gives a nail there, inches.
const NAIL_WITHIN: f64 = 14.0;

pub(super) fn outline(outcome: &Outcome) -> &[DVec2] {
    outcome
        .layout
        .slab
        .as_ref()
        .map_or(&[], |slab| slab.outline.as_slice())
}

/// Corners of the form, then nails on the form in line with inside walls.
pub(super) fn fixed_points(outcome: &Outcome) -> Vec<Fixed> {
    let outline = outline(outcome);
    let mut points: Vec<Fixed> = outline
        .iter()
        .enumerate()
        .map(|(i, at)| Fixed {
            name: letter(i),
            at: *at,
            what: format!("corner of the form at {}", place(*at)),
        })
        .collect();
    let inside = outcome.layout.walls.iter().filter(|wall| !wall.on_edge);
    for wall in inside {
        for (end, away) in [(wall.from, wall.to), (wall.to, wall.from)] {
            let Some(at) = on_form(outline, end, (end - away).normalize_or_zero()) else {
                continue;
            };
            if points.iter().all(|p| p.at.distance(at) > 24.0) {
                let name = format!("N{}", points.len() + 1 - outline.len());
                points.push(Fixed {
                    name,
                    at,
                    what: format!(
                        "nail on the form in line with {}, at {}",
                        wall.id,
                        place(at)
                    ),
                });
            }
        }
    }
    points
}

/// `A` to `Z`, then `A1`, `B1` and on.
pub(super) fn letter(i: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(i % 26).unwrap_or(0));
    if i < 26 {
        letter.to_string()
    } else {
        format!("{letter}{}", i / 26)
    }
}

/// Where a wall's line, carried on past its end, meets the form, if that is near.
fn on_form(outline: &[DVec2], end: DVec2, way: DVec2) -> Option<DVec2> {
    if outline.len() < 3 || distance_to_outline(outline, end).abs() > NAIL_WITHIN {
        return None;
    }
    let sides = (0..outline.len()).map(|i| (outline[i], outline[(i + 1) % outline.len()]));
    sides
        .filter_map(|(a, b)| {
            let cross = way.perp_dot(b - a);
            if cross.abs() < 1e-9 {
                return None;
            }
            let far = (a - end).perp_dot(b - a) / cross;
            let along = (a - end).perp_dot(way) / cross;
            ((-1.0..=NAIL_WITHIN).contains(&far) && (0.0..=1.0).contains(&along))
                .then(|| end + way * far)
        })
        .min_by(|a, b| a.distance(end).total_cmp(&b.distance(end)))
}

/// The best ties to a point: around the walls that will stand if that can be, else while none stands yet.
pub(super) fn reach(outcome: &Outcome, fixed: &[Fixed], point: DVec2) -> Option<Reached> {
    let at: Vec<DVec2> = fixed.iter().map(|f| f.at).collect();
    let form = edges(outline(outcome));
    let framed = outcome.layout.walls.iter().filter(|wall| !wall.on_edge);
    let standing: Vec<Obstacle> = form
        .iter()
        .copied()
        .chain(framed.map(|wall| Obstacle {
            a: wall.from,
            b: wall.to,
        }))
        .collect();
    let rules = Rules::default();
    let around = best(point, &at, &standing, &rules);
    let (ties, before_walls) = match around {
        Some(ties) => (ties, false),
        None => (best(point, &at, &form, &rules)?, true),
    };
    let check_before_walls = before_walls || ties.check.is_none();
    let check = ties
        .check
        .or_else(|| third(point, &at, &form, &rules, &ties));
    Some(Reached {
        ties: Ties { check, ..ties },
        before_walls,
        check_before_walls,
    })
}

fn edges(outline: &[DVec2]) -> Vec<Obstacle> {
    (0..outline.len())
        .map(|i| Obstacle {
            a: outline[i],
            b: outline[(i + 1) % outline.len()],
        })
        .collect()
}

/// The two ties and the check in words: `A 12'-3 1/4" (147 1/4")`.
pub(super) fn tie_cells(fixed: &[Fixed], reached: Option<Reached>) -> [String; 3] {
    tied(fixed, reached, |inches| {
        let (feet, total) = (feet_inches(inches, 16), inches_text(inches, 16));
        format!("{feet} ({total})")
    })
}

/// The same in feet and inches alone, where the page is narrow.
pub(super) fn short_tie_cells(fixed: &[Fixed], reached: Option<Reached>) -> [String; 3] {
    tied(fixed, reached, |inches| feet_inches(inches, 16))
}

fn tied(fixed: &[Fixed], reached: Option<Reached>, length: fn(f64) -> String) -> [String; 3] {
    let Some(Reached {
        ties,
        before_walls,
        check_before_walls,
    }) = reached
    else {
        return [
            "by strings only".into(),
            "by strings only".into(),
            "none".into(),
        ];
    };
    let says = |tie: trench::ties::Tie, star: bool| {
        let star = if star { " *" } else { "" };
        format!("{} {}{star}", fixed[tie.from].name, length(tie.inches))
    };
    [
        says(ties.first, before_walls),
        says(ties.second, before_walls),
        ties.check.map_or_else(
            || "none within reach".into(),
            |tie| says(tie, check_before_walls),
        ),
    ]
}

/// A place in plan: so far east and so far north of the form's south-west corner.
pub(super) fn place(at: DVec2) -> String {
    sided(at, 16)
}

/// So far east or west, north or south: a minus would be lost beside a foot mark.
fn sided(at: DVec2, parts: u32) -> String {
    let side = |by: f64, more: &str, less: &str| {
        let told = feet_inches(by.abs(), parts);
        let none = told == feet_inches(0.0, parts);
        format!("{told} {}", if by < 0.0 && !none { less } else { more })
    };
    format!("{}, {}", side(at.x, "E", "W"), side(at.y, "N", "S"))
}

/// The same as a shovel needs it, to the inch.
pub(super) fn about(at: DVec2) -> String {
    sided(at, 1)
}

/// A stub's name on the pages, as in the field book: `hall tub`, `hall tub vent`.
pub(super) fn name(stub: &Stub) -> String {
    stub.name().to_string()
}

/// A stub's size: `3 in`, or its outside diameter for what is not drain pipe.
pub(super) fn size(stub: &Stub) -> String {
    stub.size.map_or_else(
        || format!("{} outside", inches_text(stub.od, 16)),
        |size| size.to_string(),
    )
}

/// What a stub comes up in, in words.
pub(super) fn comes_up_in(outcome: &Outcome, stub: &Stub) -> String {
    let slab = outline(outcome);
    if slab.len() > 2 && distance_to_outline(slab, stub.at) > 0.0 {
        return "the ground outside".into();
    }
    match &stub.landing {
        // A wall may be called one already.
        Landing::Wall(id) if id.as_str().to_lowercase().contains("wall") => id.to_string(),
        Landing::Wall(id) => format!("wall {id}"),
        Landing::Cabinet(id) => format!("cabinet {id}"),
        Landing::BoxOut(id) => format!("box-out {id}"),
        Landing::Floor => "open floor".into(),
    }
}

/// How far a stub may stand off, inches. In a wall: what is left of its framing beside the pipe, at most 1/2; through open
/// floor (a closet) 1/4; elsewhere 1/2. Common practice, no source.
pub(super) fn tolerance(outcome: &Outcome, stub: &Stub) -> f64 {
    match &stub.landing {
        Landing::Wall(id) => {
            let wall = outcome.layout.walls.iter().find(|wall| wall.id == *id);
            wall.map_or(0.5, |wall| room(wall, stub).clamp(0.0, 0.5))
        }
        Landing::Floor => 0.25,
        Landing::Cabinet(_) | Landing::BoxOut(_) => 0.5,
    }
}

fn room(wall: &Wall, stub: &Stub) -> f64 {
    let along = (wall.to - wall.from).normalize_or_zero();
    (wall.framing - stub.od) / 2.0 - along.perp_dot(stub.at - wall.from).abs()
}

/// A height over or under the floor with its sign: `+6"`, `-1'-4 3/8"`.
pub(super) fn height(z: f64) -> String {
    if z.abs() >= 12.0 {
        format!("{}{}", if z > 0.0 { "+" } else { "" }, feet_inches(z, 16))
    } else {
        format!("{}{}", if z > 0.0 { "+" } else { "" }, inches_text(z, 16))
    }
}

/// The house in outline with its drains, faint, to draw on.
pub(super) fn plan(outcome: &Outcome, caption: &str, high: f64) -> Figure {
    let mut figure = Figure {
        caption: caption.into(),
        high,
        north: true,
        ..Figure::default()
    };
    figure.outline(outline(outcome), Pen::Plain);
    for block in &outcome.layout.foundation.blocks {
        figure.outline(&block.outline, Pen::Faint);
    }
    for wall in outcome.layout.walls.iter().filter(|wall| !wall.on_edge) {
        figure.stroke([wall.from, wall.to], Pen::Faint);
    }
    for run in outcome.network.trees.iter().flat_map(|tree| &tree.runs) {
        figure.stroke(run.path.points().iter().copied(), Pen::Faint);
    }
    figure
}

/// A place on a run to point at: as near its middle as may be, and no stub stands there.
pub(super) fn pointed_at(outcome: &Outcome, run: &network::Run) -> DVec2 {
    let long = run.path.length();
    let at = |part: f64| run.path.point_at(long * part);
    let free = |point: &DVec2| {
        let stubs = outcome.assembly.stubs.iter();
        let away = stubs.map(|stub| stub.at.distance(*point));
        away.fold(f64::INFINITY, f64::min) > 9.0
    };
    let parts = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8];
    parts
        .map(at)
        .into_iter()
        .find(free)
        .unwrap_or_else(|| at(0.5))
}

/// A vent that lies under the floor on its way to its wall.
pub(super) struct LyingVent {
    /// As its stub: `kitchen sink vent`.
    pub(super) name: String,
    pub(super) size: units::Size,
    /// Its axis, from the bend behind its wye to under its wall.
    pub(super) axis: Vec<DVec3>,
}

/// Vents that do not stand right over their drain.
pub(super) fn lying_vents(outcome: &Outcome) -> Vec<LyingVent> {
    let vents = outcome.network.vents.iter();
    vents.filter_map(|vent| lying_vent(outcome, vent)).collect()
}

fn lying_vent(outcome: &Outcome, vent: &network::VentLine) -> Option<LyingVent> {
    let id = &outcome.layout.fixtures.get(vent.fixture)?.id;
    let of = |piece: &&fittings::Piece| {
        piece.id == *id && piece.flow == fittings::Flow::Vent && piece.part().is_some()
    };
    let mut axis: Vec<DVec3> = Vec::new();
    for piece in outcome.assembly.pieces.iter().filter(of) {
        axis.push(piece.frame.at);
        if piece.frame.at.truncate().distance(vent.up) < 1.0 {
            break;
        }
    }
    (axis.len() > 1).then(|| LyingVent {
        name: format!("{id} vent"),
        size: vent.size,
        axis,
    })
}

/// Each drain that has a trunk, and which way its line outside goes.
pub(super) fn ways_out(outcome: &Outcome) -> Vec<(&layout::Drain, DVec2)> {
    let trees = outcome.network.trees.iter();
    trees
        .filter_map(|tree| {
            let drain = &outcome.layout.drains[tree.drain];
            let trunk = tree.runs.first()?;
            let told = drain
                .line
                .heading_deg
                .map(|deg| DVec2::from_angle(deg.to_radians()));
            Some((drain, told.unwrap_or_else(|| trunk.path.direction_at(0.0))))
        })
        .collect()
}
