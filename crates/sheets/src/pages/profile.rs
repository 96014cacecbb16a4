//! Each drain's trunk seen from the side: stations from the exit against levels, with what lies over and under it.

use flow::Outcome;
use glam::DVec2;
use grades::{Grades, Line};
use layout::Material;
use network::{Run, Tree};
use units::{feet_inches, inches_text};

use super::Job;
use super::plan::grade;
use crate::canvas::Canvas;
use crate::mark::{Ink, Page, Pen, Style};
use crate::paper::Scale;
use crate::place::Placer;
use crate::sheet::{Area, Heads, Sheet};
use crate::table::{Table, main_numbers, numbers, words};
use crate::view::View;

/// Height of the drawing as a part of the page's room.
const DRAWN: f64 = 0.56;
/// The least of it, before the stations go on over the page.
const LEAST_DRAWN: f64 = 0.34;
/// Height of a row of stations, in sizes of the letters.
const ROW: f64 = 1.85;
/// Room kept round the drawing for labels, points.
const ROUND: f64 = 30.0;
/// The same above it.
const ABOVE: f64 = 12.0;
/// The same below it, with the scale's bar.
const BELOW: f64 = 32.0;
/// Layers thinner than this, inches, are drawn and not named: sheets.
const NAMED_LAYER: f64 = 0.5;
/// Heights may be drawn so many times larger than lengths.
const STRETCHES: [f64; 8] = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];

/// One trunk with its levels.
#[derive(Clone, Copy)]
struct Trunk<'a> {
    outcome: &'a Outcome,
    tree: &'a Tree,
    grades: &'a Grades,
    run: &'a Run,
    line: &'a Line,
}

pub(crate) fn pages(job: Job) -> Vec<Page> {
    let mut sheet = Sheet::lying(
        job.set,
        Heads {
            name: "profile",
            title: "Trunk profile",
            purpose: "How deep the trunk lies at every station, and what it must stay clear of.",
            caution: "No one goes into a trench that can cave in: slope, bench or shore it, and keep the spoil back from its edge.",
        },
    );
    let mut any = false;
    for (tree, grades) in job.outcome.network.trees.iter().zip(&job.outcome.grades) {
        let (Some(run), Some(line)) = (tree.runs.first(), grades.lines.first()) else {
            continue;
        };
        if any {
            sheet.next_page();
        }
        any = true;
        one(
            &mut sheet,
            Trunk {
                outcome: job.outcome,
                tree,
                grades,
                run,
                line,
            },
        );
    }
    if !any {
        sheet.paragraph("No trunk is told yet, so there is no profile to draw.");
    }
    sheet.finish()
}

fn one(sheet: &mut Sheet, trunk: Trunk) {
    let size = sheet.size();
    let table = stations(trunk);
    let rows = (table.rows.len() + 3) as f64 * size * ROW;
    let height = (sheet.whole_room() - rows)
        .clamp(sheet.whole_room() * LEAST_DRAWN, sheet.whole_room() * DRAWN);
    let alt = format!(
        "Profile of {} with floor, foundation, ground and junctions",
        trunk.tree.id
    );
    sheet.labelled(height, &alt, |canvas, area| draw(canvas, area, trunk, size));
    sheet.table(&table);
    sheet.paragraph("Stations are where the lines cross in plan; where a fitting's middle stands, its glue-up card tells.");
}

/// A station as it is written: `0+25.5`, feet along the line from the exit.
pub(crate) fn station(inches: f64) -> String {
    let sign = if inches < -1e-6 { "-" } else { "" };
    let tenths = (inches.abs() / 12.0 * 10.0).round() / 10.0;
    format!(
        "{sign}{:.0}+{:04.1}",
        (tenths / 100.0).floor(),
        tenths % 100.0
    )
}

/// How far outside the line is drawn: as far as it goes, at most a third of the trunk and ten feet.
fn shown_outside(trunk: Trunk) -> f64 {
    let most = trunk.run.path.length() / 3.0 + 120.0;
    let told = trunk.outcome.layout.drains[trunk.tree.drain].line.length;
    told.unwrap_or(60.0).min(most).max(36.0)
}

fn lowest(trunk: Trunk) -> f64 {
    let layout = &trunk.outcome.layout;
    let edge = layout.foundation.edge.as_ref().map_or(0.0, |edge| {
        edge.bottom
            - edge
                .footing
                .as_ref()
                .map_or(0.0, |footing| footing.thickness)
    });
    let outside = trunk.grades.outside.as_ref();
    let outside = outside.map_or(0.0, |line| line.level_at(shown_outside(trunk)));
    edge.min(outside).min(trunk.line.outlet) - 6.0
}

fn draw(canvas: &mut Canvas, area: Area, trunk: Trunk, size: f64) -> Vec<String> {
    let inner = Area {
        at: area.at + DVec2::new(ROUND, ABOVE),
        size: area.size - DVec2::new(2.0 * ROUND, ABOVE + BELOW),
    };
    let low = DVec2::new(-shown_outside(trunk), lowest(trunk));
    let high = DVec2::new(trunk.run.path.length() + 12.0, 8.0);
    let stretch = stretch(high - low, inner.size);
    let view = View::stretched(low, high, inner, stretch);
    let mut placer = Placer::new(area);
    ground(canvas, &view, trunk, &mut placer, size);
    floor(canvas, &view, trunk, &mut placer, size);
    edge(canvas, &view, trunk, &mut placer);
    pipe(canvas, &view, trunk, &mut placer);
    footing_named(canvas, &view, trunk, &mut placer, size);
    furniture(canvas, &view, area, &mut placer, size);
    labels(canvas, &view, trunk, low, &mut placer, size);
    placer.left_out()
}

fn stretch(house: DVec2, room: DVec2) -> f64 {
    let flat = Scale::fitting(DVec2::new(house.x, 0.0), room);
    let fits = STRETCHES.iter().rev().copied();
    let mut fits = fits.filter(|stretch| flat.points(house.y * stretch) <= room.y);
    fits.next().unwrap_or(1.0)
}

fn furniture(canvas: &mut Canvas, view: &View, area: Area, placer: &mut Placer, size: f64) {
    let at = DVec2::new(area.at.x, area.end().y - 18.0);
    view.scale_bar(canvas, at, size * 0.85);
    placer.take(at - DVec2::new(8.0, 14.0), at + DVec2::new(150.0, 20.0));
    let says = if (view.stretch - 1.0).abs() < 1e-9 {
        "heights drawn as lengths are".to_owned()
    } else {
        format!("heights drawn {} times larger than lengths", view.stretch)
    };
    let at = DVec2::new(area.at.x + 170.0, area.end().y - 14.0);
    placer.take(at - DVec2::new(4.0, size), at + DVec2::new(330.0, 6.0));
    canvas.text(at, says, Style::new(size * 0.85).bold());
}

/// Ground and frost outside, dashed and dotted.
fn ground(canvas: &mut Canvas, view: &View, trunk: Trunk, placer: &mut Placer, size: f64) {
    let layout = &trunk.outcome.layout;
    let profile = layout.ground_along(&layout.drains[trunk.tree.drain]);
    let far = shown_outside(trunk);
    let mut points: Vec<DVec2> = profile
        .iter()
        .filter(|point| point.0 < far)
        .map(|point| DVec2::new(-point.0, point.1))
        .collect();
    let Some(level) = layout::ground_level(profile, far) else {
        return;
    };
    points.push(DVec2::new(-far, level));
    canvas.path(view.all(&points), Pen::new(1.4, Ink::BLACK));
    for point in view.all(&points).windows(2) {
        let along = point[1] - point[0];
        for n in 0..4 {
            let at = point[0] + along * ((f64::from(n) + 0.5) / 4.0);
            canvas.line(at, at + DVec2::new(-4.0, 5.0), Pen::new(0.5, Ink::BLACK));
        }
    }
    if let Some(frost) = layout.outside.frost {
        let sunk: Vec<DVec2> = points.iter().map(|p| *p - DVec2::new(0.0, frost)).collect();
        let sunk = view.all(&sunk);
        placer.avoid(&sunk);
        if frost > 0.0
            && let Some(far) = sunk.last()
        {
            let says = format!("frost {} down", inches_text(frost, 1));
            placer.label(canvas, *far, &[&says], Style::new(size * 0.8));
        }
        canvas.path(sunk, Pen::new(0.6, Ink::GREY).dashed(2.0, 3.0));
    }
}

/// The main slab's layers over the trunk.
fn floor(canvas: &mut Canvas, view: &View, trunk: Trunk, placer: &mut Placer, size: f64) {
    let Some(slab) = &trunk.outcome.layout.slab else {
        return;
    };
    let end = trunk.run.path.length() + 12.0;
    let mut top = 0.0;
    for layer in &slab.layers {
        let bottom = top - layer.thickness;
        let corners = [(0.0, top), (end, top), (end, bottom), (0.0, bottom)].map(DVec2::from);
        let fill = match layer.material {
            Material::Concrete => Some(Ink::PALE),
            Material::Foam => Some(Ink::TINT),
            Material::Sheet | Material::Gravel | Material::Sand => None,
        };
        canvas.area(view.all(&corners), Some(Pen::new(0.5, Ink::BLACK)), fill);
        if layer.material == Material::Gravel {
            dots(canvas, view, (0.0, end), (top, bottom));
        }
        placer.avoid(&view.all(&[corners[1], corners[2]]));
        if layer.thickness >= NAMED_LAYER {
            let edge = view.at(DVec2::new(end, f64::midpoint(top, bottom)));
            let says = format!(
                "{} {}",
                material(layer.material),
                inches_text(layer.thickness, 4)
            );
            placer.label(canvas, edge, &[&says], Style::new(size * 0.8));
        }
        top = bottom;
    }
    placer.avoid(&view.all(&[DVec2::new(0.0, top), DVec2::new(end, top)]));
    let at = view.at(DVec2::new(end, 0.0));
    canvas.text(
        at + DVec2::new(0.0, -4.0),
        "F.F. 0'-0\"",
        Style::new(size * 0.85).bold().end(),
    );
    placer.take(at - DVec2::new(60.0, 14.0), at);
}

fn material(material: Material) -> &'static str {
    match material {
        Material::Concrete => "concrete",
        Material::Foam => "foam",
        Material::Sheet => "sheet",
        Material::Gravel => "gravel",
        Material::Sand => "sand",
    }
}

fn dots(canvas: &mut Canvas, view: &View, across: (f64, f64), levels: (f64, f64)) {
    let (from, to) = (
        view.at(DVec2::new(across.0, levels.0)),
        view.at(DVec2::new(across.1, levels.1)),
    );
    let mut at = from + DVec2::new(6.0, 4.0);
    let mut row = 0;
    while at.y < to.y - 2.0 && row < 40 {
        let mut x = at.x + if row % 2 == 0 { 0.0 } else { 7.0 };
        while x < to.x - 2.0 {
            canvas.circle(DVec2::new(x, at.y), 0.7, None, Some(Ink::GREY));
            x += 14.0;
        }
        at.y += 6.0;
        row += 1;
    }
}

/// The wall or beam and its footing where the trunk leaves.
fn edge(canvas: &mut Canvas, view: &View, trunk: Trunk, placer: &mut Placer) {
    let Some(edge) = &trunk.outcome.layout.foundation.edge else {
        return;
    };
    let pen = Some(Pen::new(1.0, Ink::BLACK));
    let mut block = |left: f64, right: f64, top: f64, bottom: f64| {
        let corners = [(left, top), (right, top), (right, bottom), (left, bottom)].map(DVec2::from);
        canvas.area(view.all(&corners), pen, Some(Ink::PALE));
        placer.avoid(&view.all(&[corners[0], corners[2]]));
    };
    block(0.0, edge.thickness, edge.top, edge.bottom);
    if let Some(footing) = &edge.footing {
        let out = (footing.width - edge.thickness) / 2.0;
        block(
            -out,
            edge.thickness + out,
            edge.bottom,
            edge.bottom - footing.thickness,
        );
    }
}

/// Named after the pipe is drawn, which may stand in it.
fn footing_named(canvas: &mut Canvas, view: &View, trunk: Trunk, placer: &mut Placer, size: f64) {
    let edge = trunk.outcome.layout.foundation.edge.as_ref();
    let Some(edge) = edge.filter(|edge| edge.footing.is_some()) else {
        return;
    };
    let says = format!("top of footing {}", feet_inches(edge.bottom, 8));
    let corner = view.at(DVec2::new(edge.thickness, edge.bottom));
    placer.label(canvas, corner, &[&says], Style::new(size * 0.8));
}

/// The pipe itself, invert to crown, inside and outside.
fn pipe(canvas: &mut Canvas, view: &View, trunk: Trunk, placer: &mut Placer) {
    let far = shown_outside(trunk);
    if let Some(line) = &trunk.grades.outside {
        let drain = &trunk.outcome.layout.drains[trunk.tree.drain];
        let size = drain.line_size(trunk.run.outlet_size());
        let pipe = trunk.outcome.catalog.pipe(size);
        let drop = line.drop.into_iter().flat_map(|drop| [drop.from, drop.to]);
        let stations = std::iter::once(0.0).chain(drop).chain([far]);
        let stations: Vec<f64> = stations.map(|at| at.min(far)).collect();
        for part in stations.windows(2).filter(|part| part[0] < part[1]) {
            let ends = [part[1], part[0]].map(|at| DVec2::new(-at, line.level_at(at)));
            body(canvas, view, ends, pipe, placer);
        }
    }
    for (n, bore) in trunk.run.bores.iter().enumerate() {
        let end = trunk.run.bores.get(n + 1).map_or(0.0, |next| next.from);
        let pipe = trunk.outcome.catalog.pipe(bore.size);
        // A hair downstream of the upper end, so that a step at an increaser counts below it.
        let upper = trunk.line.level_at((bore.from - 1e-6).max(end));
        let ends = [
            DVec2::new(bore.from, upper),
            DVec2::new(end, trunk.line.level_at(end + 1e-6)),
        ];
        body(canvas, view, ends, pipe, placer);
    }
}

fn body(
    canvas: &mut Canvas,
    view: &View,
    inverts: [DVec2; 2],
    pipe: &catalog::Pipe,
    placer: &mut Placer,
) {
    let up = DVec2::new(0.0, pipe.id());
    let [a, b] = inverts;
    let corners = view.all(&[a, b, b + up, a + up]);
    placer.avoid(&corners[..2]);
    placer.avoid(&corners[2..]);
    canvas.area(corners, Some(Pen::new(1.0, Ink::SEWER)), Some(Ink::WHITE));
}

fn labels(
    canvas: &mut Canvas,
    view: &View,
    trunk: Trunk,
    low: DVec2,
    placer: &mut Placer,
    size: f64,
) {
    for (letter, at, level, _) in marked(trunk) {
        let point = view.at(DVec2::new(at, level));
        canvas.circle(point, 2.2, None, Some(Ink::BLACK));
        let style = Style::new(size * 0.85).bold();
        placer.label(canvas, point, &[&letter], style);
    }
    let Some(receiver) = &trunk.outcome.layout.drains[trunk.tree.drain].receiver else {
        return;
    };
    let kind = match receiver.kind {
        layout::ReceiverKind::Tank => "tank",
        layout::ReceiverKind::Sewer => "sewer",
    };
    let level = receiver.invert.map_or("inlet not told".into(), |level| {
        format!("inlet invert {}", feet_inches(level, 16))
    });
    let far = trunk.outcome.layout.drains[trunk.tree.drain].line.length;
    let far = far.map_or(String::new(), |long| {
        format!(", {} from the exit", feet_inches(long, 8))
    });
    let arrives = trunk.grades.outside.as_ref();
    let arrives = arrives.map_or(String::new(), |line| {
        let dropped = line.drop.map_or(String::new(), |drop| {
            format!(", after a drop of {}", units::inches_text(drop.inches, 16))
        });
        format!(
            "the line ends at {}{dropped}",
            feet_inches(line.arrives(), 16)
        )
    });
    let end = trunk
        .grades
        .outside
        .as_ref()
        .map_or(low.y, |line| line.level_at(-low.x));
    let point = view.at(DVec2::new(low.x, end));
    let to = format!("to the {kind}: {level}{far}");
    let lines: Vec<&str> = [to.as_str(), &arrives]
        .into_iter()
        .filter(|line| !line.is_empty())
        .collect();
    placer.label(canvas, point, &lines, Style::new(size * 0.8));
}

/// Places worth a letter, from the exit up: letter, station, invert, what it is.
fn marked(trunk: Trunk) -> Vec<(String, f64, f64, String)> {
    let mut places = vec![(
        0.0,
        trunk.grades.exit.level,
        "exit, outside face of the foundation".to_owned(),
    )];
    let level = |at: f64| trunk.line.level_at(at + 1e-6);
    for run in &trunk.tree.runs {
        if let Some(join) = run.join.filter(|join| join.parent == 0) {
            let side = match join.side {
                network::Side::Left => "left",
                network::Side::Right => "right",
            };
            let says = format!(
                "{} joins from the {side} (looking downstream), {}",
                run.id,
                run.outlet_size()
            );
            places.push((join.at, level(join.at), says));
        }
    }
    for bore in trunk.run.bores.iter().skip(1) {
        places.push((
            bore.from,
            level(bore.from),
            format!(
                "increaser to {}; {} just below it",
                bore.size,
                feet_inches(trunk.line.level_at(bore.from - 1e-3), 16)
            ),
        ));
    }
    let long = trunk.run.path.length();
    for at in trunk.run.path.stations() {
        if *at > 1.0 && *at < long - 1.0 {
            places.push((*at, level(*at), "turn in plan".to_owned()));
        }
    }
    places.push((
        long,
        trunk.line.inlet,
        format!("upper end of {}", trunk.run.id),
    ));
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    let letter = |(n, (at, level, says)): (usize, (f64, f64, String))| {
        (format!("{}", n + 1), at, level, says)
    };
    places.into_iter().enumerate().map(letter).collect()
}

/// The pipe whose inside bottom is told at a station: at an increaser that of the smaller pipe, upstream of it.
fn size_of_level(run: &network::Run, at: f64) -> units::Size {
    run.size_at((at + 2.0 * units::SAME_LENGTH).min(run.path.length()))
}

/// The far end of the line outside, where its lie is known.
fn outside(trunk: Trunk) -> Option<Vec<String>> {
    let line = trunk.grades.outside.as_ref()?;
    let drain = &trunk.outcome.layout.drains[trunk.tree.drain];
    let long = drain.line.length?;
    let size = drain.line_size(trunk.run.outlet_size());
    let pipe = trunk.outcome.catalog.pipe(size);
    Some(vec![
        String::new(),
        station(-long),
        feet_inches(-long, 8),
        "far end of the line outside".into(),
        feet_inches(line.arrives(), 16),
        feet_inches(line.arrives() + pipe.id() + pipe.wall, 16),
        format!("{:.3} in/ft", line.in_per_ft),
    ])
}

fn stations(trunk: Trunk) -> Table {
    let rows = marked(trunk).into_iter().map(|(letter, at, level, says)| {
        let pipe = trunk.outcome.catalog.pipe(size_of_level(trunk.run, at));
        let crown = level + pipe.id() + pipe.wall;
        vec![
            letter,
            station(at),
            feet_inches(at, 8),
            says,
            feet_inches(level, 16),
            feet_inches(crown, 16),
            grade(trunk.line.grade),
        ]
    });
    let rows = outside(trunk).into_iter().chain(rows);
    Table {
        columns: vec![
            words("no."),
            numbers("station"),
            numbers("from exit"),
            words("what"),
            main_numbers("invert"),
            numbers("top of pipe"),
            words("grade"),
        ],
        rows: rows.collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stations_are_written_as_surveyors_write_them() {
        // Stations count hundreds of feet before the plus.
        assert_eq!(station(0.0), "0+00.0");
        assert_eq!(station(25.5 * 12.0), "0+25.5");
        assert_eq!(station(125.0 * 12.0), "1+25.0");
        assert_eq!(station(99.96 * 12.0), "1+00.0");
        assert_eq!(station(-120.0), "-0+10.0");
    }
}
