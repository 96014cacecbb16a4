//! The riser diagram for the permit desk: an isometric single line drawing, not to scale, with sizes, loads, vents and the
//! fittings at the junctions.

use catalog::EndName;
use fittings::{Flow, StubOf};
use flow::Outcome;
use glam::{DVec2, DVec3};
use layout::{TrapPlace, Vent};
use network::{Run, Start};

use super::Job;
use super::plan::{grade, sizes, thick};
use crate::canvas::Canvas;
use crate::mark::{Ink, Page, Pen, Style};
use crate::place::Placer;
use crate::sheet::{Area, Heads, Sheet};
use crate::table::{Table, numbers, words};

/// Heights over the floor that risers and vents are drawn to, inches: a picture, not a measure.
const RISER: f64 = 36.0;
/// Where an island's trap arm enters its riser, and how high its loop goes under the counter.
const ISLAND_ARM: f64 = 18.0;
const ISLAND_LOOP: f64 = 34.0;
/// How far over the drain a vent is drawn to lie under the floor.
const LYING: f64 = 6.0;
const VENT: f64 = 84.0;
/// How high a stub that ends at the floor is drawn.
const STUB: f64 = 4.0;
/// Heights are drawn so many times larger, so that risers stand out of the long runs.
const LIFT: f64 = 1.75;
/// How deep a trap under the slab is drawn below its weir, inches.
const TRAP: f64 = 9.0;
/// How far the line outside is drawn on, inches.
const OUTSIDE: f64 = 72.0;

pub(crate) fn pages(job: Job) -> Vec<Page> {
    let mut sheet = Sheet::lying(
        job.set,
        Heads {
            name: "riser-diagram",
            title: "Isometric riser diagram",
            purpose: "For the permit desk: every drain with size, slope and load, every vent, every fitting at a junction. Not to scale.",
            caution: "",
        },
    );
    if job.outcome.network.trees.is_empty() {
        sheet.paragraph("No drain is told yet, so there is nothing to draw.");
        return sheet.finish();
    }
    let size = sheet.size();
    let height = sheet.room() - 4.0;
    sheet.labelled(height, "Isometric of drains and vents", |canvas, area| {
        draw(canvas, area, job.outcome, size)
    });
    sheet.next_page();
    sheet.heading("Loads and fittings, trunk first");
    sheet.paragraph(&format!(
        "Fixture units (DFU) by the {}. A wet-vented or group load is counted as that code's tables count it. \
         The numbers stand at the junctions of the drawing. Pipe and fittings are PVC drain, waste and vent pipe of schedule 40 \
         (dimensions as ASTM D2665).",
        job.outcome.rules.code()
    ));
    for tree in &job.outcome.network.trees {
        sheet.paragraph(&load(tree, &job.outcome.rules));
    }
    let loops = |f: &layout::Fixture| matches!(f.vent, Vent::IslandLoop { .. });
    if job.outcome.layout.fixtures.iter().any(loops) {
        sheet.paragraph(
            "An island's loop goes as high as it fits under the counter before it comes down, and has cleanouts to rod all of it \
             that lies below the sink's rim (IPC 916, IRC P3112, from memory).",
        );
    }
    sheet.table(&table(job.outcome));
    sheet.finish()
}

/// How a drain's load comes about: unit by unit, and as the code's groups make it.
fn load(tree: &network::Tree, rules: &codes::Rules) -> String {
    let Some(trunk) = tree.runs.first() else {
        return format!("{}: no run, no load.", tree.id);
    };
    let (plain, load) = (trunk.plain_dfu, trunk.dfu);
    if (plain - load).abs() < 1e-9 {
        return format!("{}: {load} units in all, fixture by fixture.", tree.id);
    }
    format!(
        "{}: {plain} units fixture by fixture; {load} where a whole bathroom or laundry counts as one group in the {}.",
        tree.id,
        rules.code()
    )
}

/// How far the house is turned before it is looked at, degrees: as keeps uprights apart. True isometric is
/// 45, where a run at 45 degrees would be drawn upright and taken for a riser.
const TURNS: std::ops::RangeInclusive<i32> = 16..=29;
/// How far apart uprights are told from one another, inches of the house.
const APART: f64 = 3.0;
/// Uprights nearer than this in plan are drawn near one another from anywhere, inches.
const CLOSE: f64 = 24.0;
/// How far the eye looks down, degrees.
const DOWN: f64 = 32.0;

/// The turn, degrees, at which the fewest of these uprights are drawn over one another; of equals the largest.
fn best_turn(uprights: &[DVec2]) -> f64 {
    let pairs = || (0..uprights.len()).flat_map(|n| (0..n).map(move |m| (n, m)));
    let over = |degrees: &i32| {
        let turn = DVec2::from_angle(f64::from(*degrees).to_radians());
        let across = |n: usize| turn.rotate(uprights[n]).x;
        // Those that stand close in the house stand close on the paper.
        let far = pairs().filter(|(n, m)| uprights[*n].distance(uprights[*m]) > CLOSE);
        far.filter(|(n, m)| (across(*n) - across(*m)).abs() < APART)
            .count()
    };
    f64::from(TURNS.rev().min_by_key(over).unwrap_or(*TURNS.start()))
}

/// Where strokes stand upright, each place once.
fn uprights(strokes: &[Stroke]) -> Vec<DVec2> {
    let legs = strokes.iter().flat_map(|stroke| stroke.points.windows(2));
    let upright = legs.filter(|leg| {
        leg[0].truncate().distance(leg[1].truncate()) < 1e-6
            && (leg[0].z - leg[1].z).abs() > RISER / 2.0
    });
    let mut places: Vec<DVec2> = Vec::new();
    for leg in upright {
        let at = leg[0].truncate();
        if places.iter().all(|other| other.distance(at) > 1e-6) {
            places.push(at);
        }
    }
    places
}

/// House to paper: verticals upright, y down the page.
fn isometric(at: DVec3, turned: f64) -> DVec2 {
    let turned = DVec2::from_angle(turned.to_radians()).rotate(at.truncate());
    DVec2::new(
        turned.x,
        -turned.y * DOWN.to_radians().sin() - at.z * LIFT * DOWN.to_radians().cos(),
    )
}

/// A line of the diagram.
struct Stroke {
    points: Vec<DVec3>,
    pen: Pen,
}

/// A label of the diagram.
struct Named {
    at: DVec3,
    lines: Vec<String>,
    bold: bool,
}

fn draw(canvas: &mut Canvas, area: Area, outcome: &Outcome, size: f64) -> Vec<String> {
    let (strokes, named) = (strokes(outcome), named(outcome));
    let turned = best_turn(&uprights(&strokes));
    let all = || {
        strokes
            .iter()
            .flat_map(|stroke| &stroke.points)
            .map(|at| isometric(*at, turned))
    };
    let none = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    let (low, high) = all().fold(none, |(low, high), p| (low.min(p), high.max(p)));
    if !(low.is_finite() && high.is_finite()) {
        return Vec::new();
    }
    let room = area.inset(46.0);
    let each = (room.size / (high - low).max(DVec2::ONE)).min_element();
    let middle = (low + high) / 2.0;
    let on = |at: DVec3| room.at + room.size / 2.0 + (isometric(at, turned) - middle) * each;
    let mut placer = Placer::new(area).breaking_lines().thick_lines();
    for stroke in &strokes {
        let points: Vec<DVec2> = stroke.points.iter().map(|at| on(*at)).collect();
        placer.avoid(&points);
        canvas.path(points, stroke.pen);
    }
    legend(canvas, area, &mut placer, size);
    for junction in junctions(outcome) {
        let at = on(junction.at);
        canvas.circle(at, 1.8, None, Some(Ink::BLACK));
        let number = junction.number.to_string();
        placer.label(canvas, at, &[&number], Style::new(size * 0.85).bold());
    }
    named.iter().for_each(|label| placer.names(on(label.at)));
    for label in &named {
        let style = Style::new(size * if label.bold { 0.85 } else { 0.78 });
        let style = if label.bold {
            style.bold()
        } else {
            style.ink(Ink::SEWER)
        };
        let lines: Vec<&str> = label.lines.iter().map(String::as_str).collect();
        placer.label(canvas, on(label.at), &lines, style);
    }
    placer.left_out()
}

fn legend(canvas: &mut Canvas, area: Area, placer: &mut Placer, size: f64) {
    let items = [
        ("drain", Pen::new(2.0, Ink::SEWER)),
        ("vent", Pen::new(1.2, Ink::SEWER).dashed(4.0, 2.5)),
        ("outside the foundation", Pen::new(2.0, Ink::BLACK)),
    ];
    let at = area.at + DVec2::new(4.0, area.size.y - 48.0);
    for (n, (words, pen)) in items.into_iter().enumerate() {
        let at = at + DVec2::new(0.0, 14.0 * n as f64);
        canvas.line(at, at + DVec2::new(26.0, 0.0), pen);
        canvas.text(at + DVec2::new(32.0, 3.0), words, Style::new(size * 0.85));
    }
    let note = at + DVec2::new(0.0, 44.0);
    canvas.text(
        note,
        "Not to scale. VTR: vent through roof. DFU: drainage fixture units. CO: cleanout.",
        Style::new(size * 0.8),
    );
    placer.take(at - DVec2::new(4.0, 10.0), note + DVec2::new(330.0, 4.0));
}

fn level(outcome: &Outcome, tree: usize, run: usize, at: f64) -> f64 {
    outcome.grades[tree]
        .lines
        .get(run)
        .map_or(0.0, |line| line.level_at(at))
}

fn strokes(outcome: &Outcome) -> Vec<Stroke> {
    let mut strokes = Vec::new();
    let dashed = Pen::new(1.2, Ink::SEWER).dashed(4.0, 2.5);
    for (t, tree) in outcome.network.trees.iter().enumerate() {
        for (r, run) in tree.runs.iter().enumerate() {
            let pen = Pen::new(thick(run.outlet_size()), Ink::SEWER);
            let stations = run.path.points().iter().zip(run.path.stations());
            let mut points: Vec<DVec3> = stations
                .map(|(p, s)| p.extend(level(outcome, t, r, *s)))
                .collect();
            if let Some(join) = run.join {
                points.push(
                    run.path
                        .outlet()
                        .extend(level(outcome, t, join.parent, join.at)),
                );
            }
            strokes.push(Stroke { points, pen });
            strokes.extend(riser(outcome, run, level(outcome, t, r, run.path.length())));
        }
        let Some(trunk) = tree.runs.first() else {
            continue;
        };
        let (from, way) = (trunk.path.outlet(), trunk.path.direction_at(0.0));
        let exit = outcome.grades[t].exit.level;
        let out = from + way * OUTSIDE;
        strokes.push(Stroke {
            points: vec![from.extend(exit), out.extend(exit - 1.5)],
            pen: Pen::new(thick(trunk.outlet_size()), Ink::BLACK),
        });
    }
    for (stub, low) in standing_cleanouts(outcome) {
        strokes.push(Stroke {
            points: vec![stub.at.extend(low), stub.at.extend(STUB)],
            pen: Pen::new(1.6, Ink::BLACK),
        });
    }
    for vent in &outcome.network.vents {
        let (t, r) = vent.run;
        let Some(run) = outcome
            .network
            .trees
            .get(t)
            .and_then(|tree| tree.runs.get(r))
        else {
            continue;
        };
        let low = level(outcome, t, r, vent.take_off);
        let from = run.path.point_at(vent.take_off);
        let lies = low + LYING;
        let mut points = vec![from.extend(low), from.extend(lies)];
        points.extend(vent.down.map(|down| down.extend(lies)));
        points.extend([vent.up.extend(lies), vent.up.extend(VENT)]);
        strokes.push(Stroke {
            points,
            pen: dashed,
        });
        strokes.extend(vent.down.map(|down| {
            let at = run.path.inlet();
            Stroke {
                points: vec![
                    at.extend(ISLAND_ARM),
                    at.extend(ISLAND_LOOP),
                    down.extend(ISLAND_LOOP),
                    down.extend(lies),
                ],
                pen: dashed,
            }
        }));
    }
    strokes
}

/// Where a run joins another.
struct Junction {
    number: usize,
    at: DVec3,
}

/// The joins of the diagram, numbered as the table lists them.
fn junctions(outcome: &Outcome) -> Vec<Junction> {
    let mut junctions = Vec::new();
    for (t, tree) in outcome.network.trees.iter().enumerate() {
        for run in &tree.runs {
            let Some(join) = run.join.filter(|_| branches_off(tree, run)) else {
                continue;
            };
            let at = tree.runs[join.parent].path.point_at(join.at);
            junctions.push(Junction {
                number: junctions.len() + 1,
                at: at.extend(level(outcome, t, join.parent, join.at)),
            });
        }
    }
    junctions
}

/// Whether a run joins its parent's side, and does not carry its upper end on.
fn branches_off(tree: &network::Tree, run: &Run) -> bool {
    run.join
        .is_some_and(|join| join.at <= tree.runs[join.parent].path.length() - 1.0)
}

/// What stands on a run's upper end: the riser, and its vent over it.
fn riser(outcome: &Outcome, run: &Run, low: f64) -> Vec<Stroke> {
    let at = run.path.inlet();
    let pen = Pen::new(thick(run.inlet_size()), Ink::SEWER);
    let up = |top: f64| Stroke {
        points: vec![at.extend(low), at.extend(top)],
        pen,
    };
    match run.start {
        Start::Fixture(n) => {
            let fixture = &outcome.layout.fixtures[n];
            match fixture.vent {
                Vent::Riser => vec![
                    up(RISER),
                    Stroke {
                        points: vec![at.extend(RISER), at.extend(VENT)],
                        pen: Pen::new(1.2, Ink::SEWER).dashed(4.0, 2.5),
                    },
                ],
                Vent::Admittance => vec![up(RISER)],
                Vent::IslandLoop { .. } => vec![up(ISLAND_ARM)],
                Vent::TakeOff { .. }
                | Vent::Common(_)
                | Vent::Wet(_)
                | Vent::Other(_)
                | Vent::Combination
                | Vent::Unknown => vec![Stroke {
                    points: stub_and_trap(fixture, at, low),
                    pen,
                }],
            }
        }
        Start::Cleanout(_) => vec![up(2.0)],
        Start::Bare => Vec::new(),
    }
}

/// A stub down to the drain, with its trap where that lies under the slab.
fn stub_and_trap(fixture: &layout::Fixture, weir: DVec2, low: f64) -> Vec<DVec3> {
    let mut points = vec![fixture.at.extend(STUB)];
    if matches!(fixture.trap, TrapPlace::UnderSlab { .. }) {
        points.push(fixture.at.extend(low - TRAP));
        points.push(fixture.at.lerp(weir, 0.5).extend(low - TRAP));
    }
    points.push(weir.extend(low));
    points
}

fn named(outcome: &Outcome) -> Vec<Named> {
    let mut named = Vec::new();
    for (t, tree) in outcome.network.trees.iter().enumerate() {
        for (r, run) in tree.runs.iter().enumerate() {
            named.extend(at_upper_end(outcome, run));
            let half = run.path.length() / 2.0;
            let line = outcome.grades[t].lines.get(r);
            let slope = line.map_or(String::new(), |line| grade(line.grade));
            named.push(Named {
                at: run.path.point_at(half).extend(level(outcome, t, r, half)),
                lines: vec![format!("{} @ {slope}, {} DFU", sizes(run), run.dfu)],
                bold: false,
            });
        }
        if let Some(trunk) = tree.runs.first() {
            let out = trunk.path.outlet() + trunk.path.direction_at(0.0) * OUTSIDE;
            let exit = outcome.grades[t].exit.level;
            named.push(Named {
                at: out.extend(exit - 1.5),
                lines: vec![
                    tree.id.to_string(),
                    format!("exit invert {}", units::feet_inches(exit, 16)),
                    line_outside(&outcome.layout.drains[tree.drain]),
                ],
                bold: true,
            });
        }
    }
    for (stub, _) in standing_cleanouts(outcome) {
        named.push(Named {
            at: stub.at.extend(STUB),
            lines: vec![format!("{}, CO", stub.id)],
            bold: true,
        });
    }
    for vent in &outcome.network.vents {
        named.push(Named {
            at: vent.up.extend(VENT),
            lines: vec![format!("{}V, VTR", vent_size(outcome, vent.fixture))],
            bold: false,
        });
        if let Some(down) = vent.down {
            named.push(Named {
                at: down.extend(ISLAND_LOOP),
                lines: vec![format!("{} loop, as high as it fits", vent.size)],
                bold: false,
            });
        }
    }
    named
}

/// Where the line outside goes, as far as it is told.
fn line_outside(drain: &layout::Drain) -> String {
    let kind = match drain.receiver.as_ref().map(|receiver| receiver.kind) {
        Some(layout::ReceiverKind::Tank) => "to the tank",
        Some(layout::ReceiverKind::Sewer) => "to the sewer",
        None => "goes on outside",
    };
    let long = drain.line.length;
    long.map_or(kind.into(), |long| {
        format!("{kind}, {}", units::feet_inches(long, 8))
    })
}

fn at_upper_end(outcome: &Outcome, run: &Run) -> Vec<Named> {
    let at = run.path.inlet();
    match run.start {
        Start::Fixture(n) => {
            let fixture = &outcome.layout.fixtures[n];
            let mut named = vec![Named {
                at: fixture.at.extend(match fixture.vent {
                    Vent::Riser | Vent::Admittance => RISER,
                    Vent::IslandLoop { .. } => ISLAND_LOOP,
                    Vent::TakeOff { .. }
                    | Vent::Common(_)
                    | Vent::Wet(_)
                    | Vent::Other(_)
                    | Vent::Combination
                    | Vent::Unknown => STUB,
                }),
                lines: vec![
                    fixture.id.to_string(),
                    vented(&fixture.vent) + &trap(outcome, n),
                ],
                bold: true,
            }];
            if matches!(fixture.vent, Vent::Riser) {
                named.push(Named {
                    at: at.extend(VENT),
                    lines: vec![format!("{}V, VTR", vent_size(outcome, n))],
                    bold: false,
                });
            }
            named
        }
        Start::Cleanout(n) => {
            let id = outcome
                .layout
                .cleanouts
                .get(n)
                .map_or("cleanout".into(), |cleanout| cleanout.id.to_string());
            vec![Named {
                at: at.extend(2.0),
                lines: vec![format!("{id}, CO")],
                bold: true,
            }]
        }
        Start::Bare => Vec::new(),
    }
}

/// The size of a fixture's vent as it comes up: that of its own stub, else of the riser that goes on as the vent. Blank
/// when neither is known.
fn vent_size(outcome: &Outcome, fixture: usize) -> String {
    let stubs = &outcome.assembly.stubs;
    let of = |wanted: StubOf| stubs.iter().find(|stub| stub.of == wanted);
    let stub = of(StubOf::Vent(fixture)).or_else(|| of(StubOf::Fixture(fixture)));
    let size = stub.and_then(|stub| stub.size);
    size.map_or(String::new(), |size| format!("{size} "))
}

/// A trap under the slab, with its size: `, 2 in trap`.
fn trap(outcome: &Outcome, fixture: usize) -> String {
    let trapped = matches!(
        outcome.layout.fixtures[fixture].trap,
        TrapPlace::UnderSlab { .. }
    );
    let mut stubs = outcome.assembly.stubs.iter();
    let stub = stubs.find(|stub| trapped && stub.of == StubOf::Fixture(fixture));
    let size = stub.and_then(|stub| stub.size);
    size.map_or(String::new(), |size| format!(", {size} trap"))
}

/// Cleanouts that stand on a run or on the line outside, and not at a run's upper end.
fn standing_cleanouts(outcome: &Outcome) -> Vec<(&fittings::Stub, f64)> {
    let starts = |n: usize| {
        let mut runs = outcome.network.trees.iter().flat_map(|tree| &tree.runs);
        runs.any(|run| run.start == Start::Cleanout(n))
    };
    let stubs = outcome.assembly.stubs.iter();
    let standing = stubs.filter(|stub| matches!(stub.of, StubOf::Cleanout(n) if !starts(n)));
    standing
        .filter_map(|stub| Some((stub, under(outcome, stub.at)?)))
        .collect()
}

/// The level of the drain nearest to a place in plan: of a run, or where a drain leaves.
fn under(outcome: &Outcome, at: DVec2) -> Option<f64> {
    let mut nearest: Option<(f64, f64)> = None;
    let mut nearer = |away: f64, level: f64| {
        if nearest.is_none_or(|(least, _)| away < least) {
            nearest = Some((away, level));
        }
    };
    for (t, tree) in outcome.network.trees.iter().enumerate() {
        for (r, run) in tree.runs.iter().enumerate() {
            let (station, away) = run.path.nearest(at);
            nearer(away, level(outcome, t, r, station));
        }
    }
    nearest.map(|(_, level)| level)
}

/// How a trap is vented, in a few words.
fn vented(vent: &Vent) -> String {
    match vent {
        Vent::Riser => "own dry vent".into(),
        Vent::TakeOff { .. } => "dry vent from its arm".into(),
        Vent::Common(id) => format!("common vent with {id}"),
        Vent::Wet(id) => format!("wet vented by {id}"),
        Vent::IslandLoop { .. } => "island loop vent".into(),
        Vent::Admittance => "air admittance valve".into(),
        Vent::Other(says) => says.clone(),
        Vent::Combination => "combination drain and vent".into(),
        Vent::Unknown => "vent not told".into(),
    }
}

fn table(outcome: &Outcome) -> Table {
    let mut rows = Vec::new();
    let mut numbers_given = 0;
    for (tree, grades) in outcome.network.trees.iter().zip(&outcome.grades) {
        for (run, line) in tree.runs.iter().zip(&grades.lines) {
            let carries: Vec<&str> = run
                .fixtures
                .iter()
                .map(|n| outcome.layout.fixtures[*n].id.as_str())
                .collect();
            let number = if branches_off(tree, run) {
                numbers_given += 1;
                numbers_given.to_string()
            } else {
                String::new()
            };
            rows.push(vec![
                run.id.to_string(),
                sizes(run),
                grade(line.grade),
                format!("{}", run.dfu),
                number,
                joined(outcome, tree, run),
                carries.join(", "),
            ]);
        }
    }
    for vent in &outcome.network.vents {
        let fixture = &outcome.layout.fixtures[vent.fixture];
        let (t, r) = vent.run;
        let run = &outcome.network.trees[t].runs[r];
        let looped = if vent.down.is_some() {
            ", the loop's foot vent"
        } else {
            ""
        };
        rows.push(vec![
            format!("{} vent", fixture.id),
            vent.size.to_string(),
            "vent".into(),
            String::new(),
            String::new(),
            format!(
                "{} off {}",
                branched_near(outcome, run.path.point_at(vent.take_off)),
                run.id
            ),
            format!("up in {}{looped}", vent.wall),
        ]);
    }
    Table {
        columns: vec![
            words("run"),
            words("size"),
            words("slope"),
            numbers("DFU"),
            words("at"),
            words("joins by"),
            words("carries"),
        ],
        rows,
    }
}

/// The branch fitting nearest to where a run joins its parent.
fn joined(outcome: &Outcome, tree: &network::Tree, run: &Run) -> String {
    let Some(join) = run.join else {
        return "leaves by the exit".into();
    };
    let parent = &tree.runs[join.parent];
    if !branches_off(tree, run) {
        return format!("goes on as {}", parent.id);
    }
    branched_near(outcome, parent.path.point_at(join.at))
}

/// The branch fitting nearest to a place in plan.
fn branched_near(outcome: &Outcome, at: DVec2) -> String {
    let branched = outcome
        .assembly
        .pieces
        .iter()
        .filter(|piece| piece.end(EndName::Branch, &outcome.catalog).is_some());
    let branched = branched.filter(|piece| piece.flow == Flow::Drain);
    let away = |piece: &&fittings::Piece| piece.frame.at.truncate().distance(at);
    let nearest = branched.min_by(|a, b| away(a).total_cmp(&away(b)));
    let nearest = nearest.filter(|piece| away(piece) < 18.0);
    let part = nearest.and_then(fittings::Piece::part);
    part.map_or("no fitting found".into(), |part| part.to_string())
}

/// Stubs of cleanouts, for a count on the cover.
pub(crate) fn cleanouts(outcome: &Outcome) -> usize {
    let stubs = outcome.assembly.stubs.iter();
    stubs
        .filter(|stub| matches!(stub.of, StubOf::Cleanout(_)))
        .count()
}
