//! The plan: slab, walls, cabinets, every run with its size and grade, every stub, to a scale a rule can be laid on.

use fittings::{Flow, Stub};
use flow::Outcome;
use glam::DVec2;
use units::{Grade, Size, feet_inches};

use super::Job;
use crate::canvas::Canvas;
use crate::mark::{Ink, Page, Pen, Style};
use crate::place::Placer;
use crate::sheet::{Area, Heads, Sheet};
use crate::view::{View, north};

/// Room kept round the drawing for labels, points.
const ROUND: f64 = 40.0;

pub(crate) fn pages(job: Job) -> Vec<Page> {
    let mut sheet = Sheet::lying(
        job.set,
        Heads {
            name: "plan",
            title: "Plan",
            purpose: "Where every drain lies and every stub comes up, seen from above.",
            caution: "",
        },
    );
    let height = sheet.room() - 4.0;
    let size = sheet.size();
    sheet.figure(
        height,
        "Plan of the slab with walls, cabinets, drains, vents and stubs",
        |canvas, area| draw(canvas, area, job.outcome, size),
    );
    sheet.finish()
}

fn draw(canvas: &mut Canvas, area: Area, outcome: &Outcome, size: f64) {
    let key = Area {
        at: area.end() - DVec2::new(area.size.x, 62.0),
        size: DVec2::new(area.size.x, 62.0),
    };
    let plan = Area {
        at: area.at,
        size: area.size - DVec2::new(0.0, 66.0),
    };
    let (low, high) = extent(outcome);
    let view = View::fitting(low, high, plan.inset(ROUND));
    let mut placer = Placer::new(plan);
    house(canvas, &view, outcome, &mut placer);
    overall(canvas, &view, outcome, &mut placer, size);
    drains(canvas, &view, outcome, &mut placer);
    stubs(canvas, &view, outcome, &mut placer, size);
    run_labels(canvas, &view, outcome, &mut placer, size);
    legend(canvas, &view, key, size);
}

/// The corners of the house and of what leaves it by a little.
pub(crate) fn extent(outcome: &Outcome) -> (DVec2, DVec2) {
    let layout = &outcome.layout;
    let outline = layout
        .slab
        .iter()
        .flat_map(|slab| slab.outline.iter().copied());
    let walls = layout.walls.iter().flat_map(|wall| [wall.from, wall.to]);
    let stubs = outcome.assembly.stubs.iter().map(|stub| stub.at);
    let runs = outcome
        .network
        .trees
        .iter()
        .flat_map(|tree| &tree.runs)
        .flat_map(|run| run.path.points().iter().copied());
    let none = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    let (low, high) = outline
        .chain(walls)
        .chain(stubs)
        .chain(runs)
        .fold(none, |(low, high), p| (low.min(p), high.max(p)));
    if low.is_finite() && high.is_finite() {
        (low, high)
    } else {
        (DVec2::ZERO, DVec2::splat(120.0))
    }
}

/// Slab, foundation, walls, cabinets, box-outs, as ghosts under the pipes.
pub(crate) fn house(canvas: &mut Canvas, view: &View, outcome: &Outcome, placer: &mut Placer) {
    let layout = &outcome.layout;
    if let Some(slab) = &layout.slab {
        canvas.area(
            view.all(&slab.outline),
            Some(Pen::new(1.4, Ink::BLACK)),
            None,
        );
        for zone in &slab.zones {
            let pen = Pen::new(0.6, Ink::GREY).dashed(6.0, 3.0);
            canvas.area(view.all(&zone.outline), Some(pen), None);
        }
    }
    for block in &layout.foundation.blocks {
        let pen = Pen::new(0.6, Ink::GREY).dashed(2.0, 2.0);
        canvas.area(view.all(&block.outline), Some(pen), Some(Ink::TINT));
    }
    for wall in &layout.walls {
        canvas.area(
            wall_outline(wall, view),
            Some(Pen::new(0.4, Ink::GREY)),
            Some(Ink::TINT),
        );
    }
    for cabinet in &layout.cabinets {
        let corners = turned(cabinet.centre, cabinet.size, cabinet.turn_deg);
        canvas.area(view.all(&corners), Some(Pen::new(0.5, Ink::GREY)), None);
        canvas.path(
            vec![view.at(corners[0]), view.at(corners[2])],
            Pen::new(0.3, Ink::PALE),
        );
    }
    for box_out in &layout.box_outs {
        let corners = turned(box_out.centre, box_out.size, box_out.turn_deg);
        let pen = Pen::new(0.7, Ink::BLACK).dashed(1.5, 1.5);
        canvas.area(view.all(&corners), Some(pen), None);
    }
    if let Some(slab) = &layout.slab {
        let mut outline = view.all(&slab.outline);
        outline.extend(outline.first().copied());
        placer.avoid(&outline);
    }
}

fn wall_outline(wall: &layout::Wall, view: &View) -> Vec<DVec2> {
    let along = (wall.to - wall.from).normalize_or_zero();
    let left = along.perp();
    let (l, r) = (
        wall.framing / 2.0 + wall.finish_left,
        wall.framing / 2.0 + wall.finish_right,
    );
    view.all(&[
        wall.from + left * l,
        wall.to + left * l,
        wall.to - left * r,
        wall.from - left * r,
    ])
}

/// The corners of a turned rectangle.
pub(crate) fn turned(centre: DVec2, size: DVec2, degrees: f64) -> [DVec2; 4] {
    let x = DVec2::from_angle(degrees.to_radians());
    let (a, b) = (x * size.x / 2.0, x.perp() * size.y / 2.0);
    [
        centre - a - b,
        centre + a - b,
        centre + a + b,
        centre - a + b,
    ]
}

/// Every run as a line as thick as its size asks, with arrows the way it flows; vents dashed; the line outside leaving.
fn drains(canvas: &mut Canvas, view: &View, outcome: &Outcome, placer: &mut Placer) {
    for tree in &outcome.network.trees {
        for run in &tree.runs {
            let points = view.all(run.path.points());
            placer.avoid(&points);
            for (a, b, size) in stretches(run) {
                canvas.path(
                    view.all(&run.path.between(a, b)),
                    Pen::new(thick(size), Ink::SEWER),
                );
            }
            arrows(canvas, &points);
        }
    }
    for body in &outcome.assembly.bodies {
        let pen = match body.flow {
            Flow::Vent => Pen::new(1.0, Ink::SEWER).dashed(4.0, 2.5),
            Flow::Water => Pen::new(1.0, Ink::WATER).dashed(8.0, 2.0),
            Flow::SoilGas => Pen::new(1.0, Ink::GREY).dashed(1.0, 2.0),
            Flow::Drain | Flow::Empty => continue,
        };
        for tube in &body.tubes {
            let (a, b) = (view.at(tube.a.truncate()), view.at(tube.b.truncate()));
            if a.distance(b) > 1.0 {
                canvas.line(a, b, pen);
                placer.avoid(&[a, b]);
            }
        }
    }
}

/// Stretches of one size: (upstream station, downstream station, size).
fn stretches(run: &network::Run) -> Vec<(f64, f64, Size)> {
    let ends = run.bores.iter().skip(1).map(|bore| bore.from).chain([0.0]);
    let pairs = run.bores.iter().zip(ends);
    pairs
        .map(|(bore, end)| (bore.from, end, bore.size))
        .collect()
}

/// A line's thickness by its size, so that sizes are told apart without colour.
pub(crate) fn thick(size: Size) -> f64 {
    0.6 + 0.45 * size.nominal()
}

fn arrows(canvas: &mut Canvas, points: &[DVec2]) {
    for pair in points.windows(2) {
        let along = pair[1] - pair[0];
        if along.length() > 40.0 {
            let tip = pair[0] + along * 0.55;
            canvas.arrow(tip, along, 6.5, Ink::SEWER);
        }
    }
}

fn stubs(canvas: &mut Canvas, view: &View, outcome: &Outcome, placer: &mut Placer, size: f64) {
    for stub in &outcome.assembly.stubs {
        let at = view.at(stub.at);
        let radius = view.scale.points(stub.od / 2.0).max(2.6);
        let fill = match stub.flow {
            Flow::Vent => Ink::WHITE,
            Flow::Drain | Flow::Water | Flow::SoilGas | Flow::Empty => Ink::BLACK,
        };
        canvas.circle(at, radius, Some(Pen::new(0.9, Ink::BLACK)), Some(fill));
        placer.take(at - radius - 1.0, at + radius + 1.0);
    }
    for stub in &outcome.assembly.stubs {
        let (name, what) = (
            crate::fonts::cut(crate::Face::Bold, size * 0.85, stub.id.as_str(), 110.0),
            tells(stub),
        );
        let style = Style::new(size * 0.85);
        placer.label(canvas, view.at(stub.at), &[&name, &what], style);
    }
}

/// What a stub's label says under its name: its size and height.
fn tells(stub: &Stub) -> String {
    let size = stub.size.map_or(String::new(), |size| format!("{size} "));
    let vent = match stub.flow {
        Flow::Vent => "vent, ",
        Flow::Drain | Flow::Water | Flow::SoilGas | Flow::Empty => "",
    };
    format!("{vent}{size}top {}", signed(stub.top))
}

/// A level with its sign: `+0'-4"`.
pub(crate) fn signed(level: f64) -> String {
    if level > 0.0 {
        format!("+{}", feet_inches(level, 16))
    } else {
        feet_inches(level, 16)
    }
}

fn run_labels(canvas: &mut Canvas, view: &View, outcome: &Outcome, placer: &mut Placer, size: f64) {
    for (tree, grades) in outcome.network.trees.iter().zip(&outcome.grades) {
        for (run, line) in tree.runs.iter().zip(&grades.lines) {
            let middle = view.at(run.path.point_at(run.path.length() / 2.0));
            let says = format!("{} at {}", sizes(run), grade(line.grade));
            let inverts = format!(
                "inv. {} to {}",
                feet_inches(line.inlet, 16),
                feet_inches(line.outlet, 16)
            );
            let name = crate::fonts::cut(crate::Face::Regular, size * 0.78, run.id.as_str(), 130.0);
            placer.label(
                canvas,
                middle,
                &[&name, &says, &inverts],
                Style::new(size * 0.78).ink(Ink::SEWER),
            );
        }
    }
}

/// A run's sizes, upstream to downstream: `2 in, 3 in`.
pub(crate) fn sizes(run: &network::Run) -> String {
    let sizes: Vec<String> = run.bores.iter().map(|bore| bore.size.to_string()).collect();
    sizes.join(", ")
}

/// A grade as it is said: `1/4 in/ft`.
pub(crate) fn grade(grade: Grade) -> String {
    format!("{grade} in/ft")
}

/// The slab's whole width and depth, outside the drawing.
fn overall(canvas: &mut Canvas, view: &View, outcome: &Outcome, placer: &mut Placer, size: f64) {
    let Some(slab) = &outcome.layout.slab else {
        return;
    };
    let none = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    let corners = slab.outline.iter();
    let (low, high) = corners.fold(none, |(low, high), p| (low.min(*p), high.max(*p)));
    let style = Style::new(size * 0.85).bold();
    let (a, b) = (view.at(low), view.at(DVec2::new(high.x, low.y)));
    canvas.dimension(b, a, 18.0, &feet_inches(high.x - low.x, 16), style);
    let middle = (a + b) / 2.0 + DVec2::new(0.0, 18.0);
    placer.take(
        middle - DVec2::new(5.0 * size, size * 1.2),
        middle + DVec2::new(5.0 * size, size * 1.2),
    );
    let (a, b) = (view.at(low), view.at(DVec2::new(low.x, high.y)));
    canvas.dimension(a, b, 18.0, &feet_inches(high.y - low.y, 16), style);
    let middle = (a + b) / 2.0 - DVec2::new(18.0, 0.0);
    placer.take(
        middle - DVec2::new(size * 1.4, 5.0 * size),
        middle + DVec2::new(size * 1.4, 5.0 * size),
    );
}

fn legend(canvas: &mut Canvas, view: &View, key: Area, size: f64) {
    let style = Style::new(size * 0.85);
    let base = key.at.y + 24.0;
    view.scale_bar(canvas, DVec2::new(key.at.x, base), size * 0.85);
    north(canvas, DVec2::new(key.at.x + 190.0, base + 14.0), size);
    let items: [(&str, Pen); 4] = [
        ("drain, thicker as it is larger", Pen::new(2.0, Ink::SEWER)),
        ("vent", Pen::new(1.0, Ink::SEWER).dashed(4.0, 2.5)),
        ("water service", Pen::new(1.0, Ink::WATER).dashed(8.0, 2.0)),
        ("soil-gas pipe", Pen::new(1.0, Ink::GREY).dashed(1.0, 2.0)),
    ];
    for (n, (words, pen)) in items.into_iter().enumerate() {
        let at = DVec2::new(key.at.x + 230.0, key.at.y + 8.0 + n as f64 * 13.0);
        canvas.line(at, at + DVec2::new(28.0, 0.0), pen);
        canvas.text(at + DVec2::new(34.0, 3.0), words, style);
    }
    let at = DVec2::new(key.at.x + 420.0, key.at.y + 8.0);
    for (n, (words, fill)) in [
        ("stub-up: name, size, top from F.F.", Ink::BLACK),
        ("vent stub", Ink::WHITE),
    ]
    .into_iter()
    .enumerate()
    {
        let at = at + DVec2::new(0.0, n as f64 * 13.0);
        canvas.circle(at, 3.0, Some(Pen::new(0.9, Ink::BLACK)), Some(fill));
        canvas.text(at + DVec2::new(9.0, 3.0), words, style);
    }
    canvas.text(
        at + DVec2::new(0.0, 29.0),
        "inv.: inside bottom of the pipe, from finished floor",
        style,
    );
}
