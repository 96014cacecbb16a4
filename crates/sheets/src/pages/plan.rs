//! The plan: slab, walls, cabinets, every run with its size and grade, every stub, to a scale a rule can be laid on.

use fittings::{Flow, Stub};
use flow::Outcome;
use glam::DVec2;
use units::{Grade, Size, feet_inches};

use super::Job;
use super::house::{name, pointed_at, ways_out};
use crate::canvas::Canvas;
use crate::mark::{Ink, Page, Pen, Style};
use crate::place::Placer;
use crate::sheet::{Area, Heads, Sheet};
use crate::view::{View, north};

/// Room kept round the drawing for labels, points.
const ROUND: f64 = 40.0;
/// How much of the line outside is drawn, inches.
const OUTSIDE: f64 = 48.0;

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
    sheet.labelled(
        height,
        "Plan of the slab with walls, cabinets, drains, vents and stubs",
        |canvas, area| draw(canvas, area, job.outcome, size),
    );
    sheet.finish()
}

fn draw(canvas: &mut Canvas, area: Area, outcome: &Outcome, size: f64) -> Vec<String> {
    let key = Area {
        at: area.end() - DVec2::new(area.size.x, 62.0),
        size: DVec2::new(area.size.x, 62.0),
    };
    let whole = Area {
        at: area.at,
        size: area.size - DVec2::new(0.0, 66.0),
    };
    let runs = run_labels(outcome);
    let style = Style::new(size * 0.78).ink(Ink::SEWER);
    let column = column_width(&runs, style);
    let plan = Area {
        at: whole.at + DVec2::new(column, 0.0),
        size: whole.size - DVec2::new(2.0 * column, 0.0),
    };
    let (low, high) = extent(outcome);
    let view = View::fitting(low, high, plan.inset(ROUND));
    let mut placer = Placer::new(plan).thick_lines();
    house(canvas, &view, outcome, &mut placer);
    overall(canvas, &view, outcome, &mut placer, size);
    drains(canvas, &view, outcome, &mut placer);
    outside(canvas, &view, outcome, &mut placer);
    let drawn = (
        view.at(DVec2::new(low.x, high.y)),
        view.at(DVec2::new(high.x, low.y)),
    );
    let columns = Area {
        at: DVec2::new(drawn.0.x - DIMENSIONED, whole.at.y),
        size: DVec2::new(drawn.1.x + GUTTER - drawn.0.x + DIMENSIONED, whole.size.y),
    };
    let mut left_out = beside(canvas, &view, &mut placer, columns, &runs, style);
    stubs(canvas, &view, outcome, &mut placer, size);
    walls_by_name(canvas, &view, outcome, &mut placer, size);
    legend(canvas, &view, key, size);
    left_out.extend(placer.left_out());
    left_out
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
        let outline = wall_outline(wall, view);
        placer.over(&ring(&outline));
        canvas.area(outline, Some(Pen::new(0.4, Ink::GREY)), Some(Ink::TINT));
    }
    for cabinet in &layout.cabinets {
        let corners = turned(cabinet.centre, cabinet.size, cabinet.turn_deg);
        placer.over(&ring(&view.all(&corners)));
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
        placer.over(&ring(&view.all(&slab.outline)));
    }
}

/// An outline back to its first point.
pub(crate) fn ring(outline: &[DVec2]) -> Vec<DVec2> {
    let first = outline.first().copied();
    outline.iter().copied().chain(first).collect()
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

/// The first feet of the line outside, with the way it flows.
fn outside(canvas: &mut Canvas, view: &View, outcome: &Outcome, placer: &mut Placer) {
    for (drain, way) in ways_out(outcome) {
        let far = drain.line.length.unwrap_or(OUTSIDE).min(OUTSIDE);
        let line = view.all(&[drain.exit.at, drain.exit.at + way * far]);
        canvas.line(line[0], line[1], Pen::new(1.2, Ink::SEWER));
        canvas.arrow(line[1], line[1] - line[0], 6.5, Ink::SEWER);
        placer.avoid(&line);
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
        placer.names(at);
    }
    for stub in &outcome.assembly.stubs {
        let (named, what) = (
            crate::fonts::cut(crate::Face::Bold, size * 0.85, &name(stub), 110.0),
            tells(stub),
        );
        let style = Style::new(size * 0.85);
        placer.label(canvas, view.at(stub.at), &[&named, &what], style);
    }
}

/// The names of walls, cabinets and box-outs, smaller and in grey: those that find no room stand on the rooms' pages.
fn walls_by_name(
    canvas: &mut Canvas,
    view: &View,
    outcome: &Outcome,
    placer: &mut Placer,
    size: f64,
) {
    let layout = &outcome.layout;
    let along = |wall: &layout::Wall| {
        [0.5, 0.25, 0.75]
            .map(|t| wall.from.lerp(wall.to, t))
            .to_vec()
    };
    let walls = layout.walls.iter().map(|wall| (&wall.id, along(wall)));
    let cabinets = layout.cabinets.iter().map(|c| (&c.id, vec![c.centre]));
    let boxes = layout.box_outs.iter().map(|b| (&b.id, vec![b.centre]));
    let middle = |outline: &[DVec2]| {
        let sum: DVec2 = outline.iter().sum();
        vec![sum / outline.len().max(1) as f64]
    };
    let blocks = layout.foundation.blocks.iter();
    let blocks = blocks.map(|block| (&block.id, middle(&block.outline)));
    for (id, anchors) in walls.chain(cabinets).chain(boxes).chain(blocks) {
        let style = Style::new(size * 0.7).ink(Ink::GREY);
        let named = crate::fonts::cut(style.face, style.size, id.as_str(), 90.0);
        placer.aside(canvas, &view.all(&anchors), &named, style);
    }
}

/// What a stub's label says under its name: its size and height.
fn tells(stub: &Stub) -> String {
    let size = stub.size.map_or(String::new(), |size| format!("{size} "));
    format!("{size}{}", signed(stub.top))
}

/// A level with its sign: `+0'-4"`.
pub(crate) fn signed(level: f64) -> String {
    if level > 0.0 {
        format!("+{}", feet_inches(level, 16))
    } else {
        feet_inches(level, 16)
    }
}

/// What a run is called beside the plan, and the middle of it in the house.
struct RunLabel {
    middle: DVec2,
    lines: [String; 3],
}

fn run_labels(outcome: &Outcome) -> Vec<RunLabel> {
    let mut labels = Vec::new();
    for (tree, grades) in outcome.network.trees.iter().zip(&outcome.grades) {
        for (run, line) in tree.runs.iter().zip(&grades.lines) {
            let says = format!("{} at {}", sizes(run), grade(line.grade));
            let inverts = format!(
                "inv. {} to {}",
                feet_inches(line.inlet, 16),
                feet_inches(line.outlet, 16)
            );
            labels.push(RunLabel {
                middle: pointed_at(outcome, run),
                lines: [run.id.to_string(), says, inverts],
            });
        }
    }
    labels
}

/// The most of the page that the names of the runs may take on each side, points.
const COLUMN: f64 = 150.0;
/// Room between a column of names and the drawing, points.
const GUTTER: f64 = 12.0;
/// The same where the slab's depth is written.
const DIMENSIONED: f64 = 36.0;

fn column_width(labels: &[RunLabel], style: Style) -> f64 {
    let lines = labels.iter().flat_map(|label| &label.lines);
    let widest = lines.map(|line| crate::fonts::width(style.face, style.size, line));
    widest.fold(0.0, f64::max).min(COLUMN) + GUTTER
}

/// Names of the runs in two columns that end and begin at the sides of `between`, each at the height of its run as near as
/// may be, and a line from each to the middle of its run. Gives back the names that found no room.
fn beside(
    canvas: &mut Canvas,
    view: &View,
    placer: &mut Placer,
    between: Area,
    labels: &[RunLabel],
    style: Style,
) -> Vec<String> {
    let step = style.size * (3.0 * LEAD + 0.7);
    let (left, right, left_out) = sides(view, between, labels, step);
    let ends = [
        (left, between.at.x, -1.0, style.end()),
        (right, between.end().x, 1.0, style),
    ];
    for (column, edge, away, style) in ends {
        let wanted: Vec<f64> = column.iter().map(|label| view.at(label.middle).y).collect();
        let middles = spread(&wanted, step, between.at.y, between.end().y);
        for (label, middle) in column.into_iter().zip(middles) {
            let from = DVec2::new(edge, middle);
            let at = view.at(label.middle);
            run_label(canvas, from + DVec2::new(3.0 * away, 0.0), label, style);
            let far = from + DVec2::new(COLUMN * away, 0.0);
            let half = DVec2::new(0.0, step / 2.0);
            placer.take(from.min(far) - half, from.max(far) + half);
            canvas.line(from, at, Pen::new(0.35, Ink::GREY));
            canvas.circle(at, 1.3, None, Some(Ink::BLACK));
            placer.over(&[from, at]);
        }
    }
    left_out
}

/// From line to line in a run's label, parts of its size.
const LEAD: f64 = 1.15;

/// The lines of a run's label, the second at the height of `at`.
fn run_label(canvas: &mut Canvas, at: DVec2, label: &RunLabel, style: Style) {
    for (n, line) in label.lines.iter().enumerate() {
        let says = crate::fonts::cut(style.face, style.size, line, COLUMN);
        let down = style.size * (LEAD * (n as f64 - 1.0) + 0.3);
        canvas.text(at + DVec2::new(0.0, down), says, style);
    }
}

/// Which label stands on which side, top to bottom: half of them on each, those farthest to a side on that side. Last the
/// names that find no room on either.
fn sides<'a>(
    view: &View,
    between: Area,
    labels: &'a [RunLabel],
    step: f64,
) -> (Vec<&'a RunLabel>, Vec<&'a RunLabel>, Vec<String>) {
    let fits = |n: &usize| *n as f64 * step <= between.size.y;
    let room = (1..=labels.len()).take_while(fits).count();
    let mut order: Vec<&RunLabel> = labels.iter().collect();
    let left_out = order.split_off(order.len().min(2 * room));
    order.sort_by(|a, b| a.middle.x.total_cmp(&b.middle.x));
    let mut right = order.split_off(order.len().div_ceil(2));
    let mut left = order;
    for side in [&mut left, &mut right] {
        side.sort_by(|a, b| view.at(a.middle).y.total_cmp(&view.at(b.middle).y));
    }
    let names = left_out.iter().map(|label| label.lines[0].clone());
    (left, right, names.collect())
}

/// Heights (down the page) as near as may be to those wanted, in their order, none nearer than `step` to the next, all
/// between `low` and `high` with half a step to spare.
fn spread(wanted: &[f64], step: f64, low: f64, high: f64) -> Vec<f64> {
    let mut at: Vec<f64> = Vec::with_capacity(wanted.len());
    for y in wanted {
        let above = at.last().map_or(low + step / 2.0, |last| last + step);
        at.push(y.max(above));
    }
    let mut below = high - step / 2.0;
    for y in at.iter_mut().rev() {
        *y = y.min(below);
        below = *y - step;
    }
    at
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
        (
            "stub-up: name, size, how high its top is from F.F.",
            Ink::BLACK,
        ),
        ("vent stub", Ink::WHITE),
    ]
    .into_iter()
    .enumerate()
    {
        let at = at + DVec2::new(0.0, n as f64 * 13.0);
        canvas.circle(at, 3.0, Some(Pen::new(0.9, Ink::BLACK)), Some(fill));
        canvas.text(at + DVec2::new(9.0, 3.0), words, style);
    }
    for (n, words) in [
        "inv.: inside bottom of the pipe, from finished floor",
        "grey: walls and cabinets by name; box-outs and piers dashed",
    ]
    .into_iter()
    .enumerate()
    {
        canvas.text(at + DVec2::new(0.0, 29.0 + 13.0 * n as f64), words, style);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_a_column_keep_their_order_and_their_distance() {
        let spread = spread(&[10.0, 12.0, 95.0, 99.0], 20.0, 0.0, 100.0);
        assert_eq!(spread, [10.0, 30.0, 70.0, 90.0]);
    }
}
