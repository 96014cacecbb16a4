//! Each cluster of stubs drawn large: where each stands, how high it is left, from which face it is measured.

use fittings::{Flow, Stub};
use flow::Outcome;
use glam::DVec2;
use layout::{Landing, Wall};
use units::{feet_inches, inches_text};

use super::Job;
use super::house::{lying_vents, name};
use super::plan::{ring, signed, turned};
use super::window::{clipped, cut_line};
use crate::canvas::Canvas;
use crate::mark::{Ink, Page, Pen, Style};
use crate::place::Placer;
use crate::sheet::{Area, Heads, Sheet};
use crate::table::{Table, blank, main_numbers, numbers, words};
use crate::view::{View, north};

/// Stubs nearer than this belong together, inches: about a bathroom's width. Our choice.
const NEAR: f64 = 63.0;
/// How much of the house is drawn round a cluster, inches.
const AROUND: f64 = 20.0;
/// Room round the drawing for the lines that tell how far apart stubs stand, points.
const ROUND: f64 = 62.0;
/// The same above it and left of it.
const ABOVE: f64 = 30.0;
/// How far off the frame such a line stands, points: the first where it has room.
const CHAINED: [f64; 3] = [14.0, 28.0, 42.0];
/// How far beside its stub a line to a wall's face stands, points.
const BESIDE: [f64; 4] = [14.0, -14.0, 26.0, -26.0];

pub(crate) fn pages(job: Job) -> Vec<Page> {
    let mut sheet = Sheet::standing(
        job.set,
        Heads {
            name: "rooms",
            title: "Stubs room by room",
            purpose: "For whoever sets the risers: each group of stubs large, with heights and the faces they are measured from.",
            caution: "Cap or plug every stub while it stands open: sewer gas and things that fall in. Cap rebar and stakes nearby.",
        },
    );
    let clusters = clusters(&job.outcome.assembly.stubs);
    if clusters.is_empty() {
        sheet.paragraph("No stub is told yet.");
    }
    let (together, alone): (Vec<_>, Vec<_>) =
        clusters.iter().partition(|members| members.len() > 1);
    let alone: Vec<&Stub> = alone
        .iter()
        .copied()
        .flatten()
        .map(|n| &job.outcome.assembly.stubs[*n])
        .collect();
    let last = table(job.outcome, &alone);
    let kept = if alone.is_empty() {
        0.0
    } else {
        sheet.table_height(&last) + sheet.size() * 4.0
    };
    for (n, members) in together.iter().enumerate() {
        if n > 0 {
            sheet.next_page();
        }
        let kept = if n + 1 == together.len() { kept } else { 0.0 };
        one(&mut sheet, job.outcome, members, kept);
    }
    if !alone.is_empty() {
        sheet.heading("Stubs that stand alone");
        sheet.table(&last);
    }
    sheet.finish()
}

/// Stubs by nearness, each group and the groups in the order of the layout.
fn clusters(stubs: &[Stub]) -> Vec<Vec<usize>> {
    let mut group: Vec<usize> = (0..stubs.len()).collect();
    for a in 0..stubs.len() {
        for b in 0..a {
            if group[a] != group[b] && stubs[a].at.distance(stubs[b].at) < NEAR {
                let (low, high) = (group[a].min(group[b]), group[a].max(group[b]));
                group
                    .iter_mut()
                    .filter(|g| **g == high)
                    .for_each(|g| *g = low);
            }
        }
    }
    let first = (0..stubs.len()).filter(|n| group[*n] == *n);
    first
        .map(|g| (0..stubs.len()).filter(|n| group[*n] == g).collect())
        .collect()
}

/// One group, as large as the page lets it be; `kept` is the height left free under it.
fn one(sheet: &mut Sheet, outcome: &Outcome, members: &[usize], kept: f64) {
    let stubs: Vec<&Stub> = members
        .iter()
        .map(|n| &outcome.assembly.stubs[*n])
        .collect();
    let size = sheet.size();
    let names: Vec<&str> = stubs.iter().map(|stub| stub.id.as_str()).collect();
    let alt = format!("Plan of {}", names.join(", "));
    let table = table(outcome, &stubs);
    let left = sheet.whole_room() - sheet.table_height(&table) - size * 2.0 - kept;
    let height = left.max(sheet.whole_room() * 0.45);
    sheet.labelled(height, &alt, |canvas, area| {
        draw(canvas, area, outcome, &stubs, size)
    });
    sheet.table(&table);
}

/// What is drawn: the stubs and what lies round them; the whole of a cabinet that they come up in.
fn window(outcome: &Outcome, stubs: &[&Stub]) -> (DVec2, DVec2) {
    let none = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    let (low, high) = stubs.iter().fold(none, |(low, high), stub| {
        (low.min(stub.at), high.max(stub.at))
    });
    let (mut low, mut high) = (low - AROUND, high + AROUND);
    for cabinet in &outcome.layout.cabinets {
        let lands =
            |stub: &&Stub| matches!(&stub.landing, Landing::Cabinet(id) if *id == cabinet.id);
        if stubs.iter().any(lands) {
            for corner in turned(cabinet.centre, cabinet.size, cabinet.turn_deg) {
                (low, high) = (low.min(corner - 6.0), high.max(corner + 6.0));
            }
        }
    }
    (low, high)
}

fn draw(
    canvas: &mut Canvas,
    area: Area,
    outcome: &Outcome,
    stubs: &[&Stub],
    size: f64,
) -> Vec<String> {
    let (low, high) = window(outcome, stubs);
    let view = View::fitting(low, high, room_in(area));
    let mut placer = Placer::new(area);
    house(canvas, &view, outcome, (low, high), &mut placer);
    pipes(canvas, &view, outcome, (low, high), &mut placer);
    vents(canvas, &view, outcome, (low, high), &mut placer);
    let frame = view.all(&[
        low,
        DVec2::new(high.x, low.y),
        high,
        DVec2::new(low.x, high.y),
    ]);
    placer.over(&ring(&frame));
    canvas.area(frame, Some(Pen::new(0.4, Ink::PALE)), None);
    let bar = DVec2::new(area.at.x + 8.0, area.end().y - 18.0);
    view.scale_bar(canvas, bar, size * 0.85);
    placer.take(bar - DVec2::new(10.0, 16.0), bar + DVec2::new(150.0, 18.0));
    let foot = DVec2::new(area.end().x - 14.0, area.end().y - 2.0);
    north(canvas, foot, size);
    placer.take(foot - DVec2::new(10.0, 44.0), foot + DVec2::new(10.0, 2.0));
    for stub in stubs {
        circle(canvas, &view, stub, &mut placer);
    }
    chains(canvas, &view, (low, high), stubs, &mut placer, size);
    for stub in stubs {
        to_face(canvas, &view, outcome, stub, &mut placer, size);
    }
    for stub in stubs {
        named(canvas, &view, stub, &mut placer, size);
    }
    corners(canvas, &view, outcome, (low, high), &mut placer, size);
    placer.left_out()
}

/// Where the drawing itself may stand: room is kept under it and right of it for its lines.
fn room_in(area: Area) -> Area {
    Area {
        at: area.at + ABOVE,
        size: (area.size - ABOVE - ROUND).max(DVec2::ONE),
    }
}

/// Lines under and right of the drawing from stub to stub, each way on its own.
fn chains(
    canvas: &mut Canvas,
    view: &View,
    (low, high): (DVec2, DVec2),
    stubs: &[&Stub],
    placer: &mut Placer,
    size: f64,
) {
    let across = steps(stubs.iter().map(|stub| stub.at.x));
    let across = across
        .into_iter()
        .map(|(a, b)| (DVec2::new(a, low.y), DVec2::new(b, low.y)));
    let upright = steps(stubs.iter().map(|stub| stub.at.y));
    let upright = upright
        .into_iter()
        .map(|(a, b)| (DVec2::new(high.x, a), DVec2::new(high.x, b)));
    for (from, to) in across.chain(upright) {
        let words = inches_text(from.distance(to), 16);
        let ends = (view.at(to), view.at(from));
        dimensioned(canvas, ends, &CHAINED, &words, placer, size);
    }
}

/// From each place to the next along one axis, in order; those that differ by less than is measured are one.
fn steps(places: impl Iterator<Item = f64>) -> Vec<(f64, f64)> {
    let mut places: Vec<f64> = places.collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| (*a - *b).abs() < 1.0 / 32.0);
    places.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// A dimension line at the first of these distances where its words lie over nothing; left out where none is: the table
/// tells the same.
fn dimensioned(
    canvas: &mut Canvas,
    (from, to): (DVec2, DVec2),
    offs: &[f64],
    words: &str,
    placer: &mut Placer,
    size: f64,
) {
    let style = Style::new(size * 0.85).bold();
    let left = -(to - from).normalize_or_zero().perp();
    let wide = crate::fonts::width(style.face, style.size, words) / 2.0 + 2.0;
    let along = (to - from).normalize_or_zero().abs();
    let half = along * wide + left.abs() * (style.size * 0.5 + 2.0);
    for off in offs {
        let base = crate::canvas::dimension_words(from, to, *off, words, style);
        let middle = base + up(to - from) * (style.size * 0.4);
        if placer.is_free(middle - half, middle + half) {
            canvas.dimension(from, to, *off, words, style);
            placer.take(middle - half, middle + half);
            placer.avoid(&[from + left * *off, to + left * *off]);
            return;
        }
    }
}

/// The side of a dimension line on which its words stand.
fn up(along: DVec2) -> DVec2 {
    let across = along.normalize_or_zero().perp();
    if across.y > 1e-6 || (across.y.abs() <= 1e-6 && across.x > 0.0) {
        -across
    } else {
        across
    }
}

/// A line from a wall's finished face to the stub that is measured from it.
fn to_face(
    canvas: &mut Canvas,
    view: &View,
    outcome: &Outcome,
    stub: &Stub,
    placer: &mut Placer,
    size: f64,
) {
    let Some(from) = measured_from(outcome, stub).filter(Measured::near) else {
        return;
    };
    let face = stub.at - from.away * from.finish;
    let ends = (view.at(face), view.at(stub.at));
    dimensioned(
        canvas,
        ends,
        &BESIDE,
        &inches_text(from.finish, 16),
        placer,
        size,
    );
}

/// The corners of cabinets and box-outs, numbered as on the control page.
fn corners(
    canvas: &mut Canvas,
    view: &View,
    outcome: &Outcome,
    (low, high): (DVec2, DVec2),
    placer: &mut Placer,
    size: f64,
) {
    let layout = &outcome.layout;
    let cabinets = layout
        .cabinets
        .iter()
        .map(|c| turned(c.centre, c.size, c.turn_deg));
    let boxes = layout
        .box_outs
        .iter()
        .map(|b| turned(b.centre, b.size, b.turn_deg));
    let style = Style::new(size * 0.8).ink(Ink::GREY);
    for corners in cabinets.chain(boxes) {
        for (n, corner) in corners.iter().enumerate() {
            if corner.cmpge(low).all() && corner.cmple(high).all() {
                placer.aside(canvas, &[view.at(*corner)], &(n + 1).to_string(), style);
            }
        }
    }
}

/// Walls with their studs dark and their finish light, cabinets, box-outs, the form.
fn house(
    canvas: &mut Canvas,
    view: &View,
    outcome: &Outcome,
    frame: (DVec2, DVec2),
    placer: &mut Placer,
) {
    let layout = &outcome.layout;
    let mut area = |outline: &[DVec2], pen: Pen, fill: Option<Ink>| {
        let kept = clipped(outline, frame.0, frame.1);
        if kept.len() > 2 {
            placer.over(&ring(&view.all(&kept)));
            canvas.area(view.all(&kept), Some(pen), fill);
        }
    };
    for cabinet in &layout.cabinets {
        area(
            &turned(cabinet.centre, cabinet.size, cabinet.turn_deg),
            Pen::new(0.7, Ink::GREY),
            None,
        );
    }
    for box_out in &layout.box_outs {
        let pen = Pen::new(0.8, Ink::BLACK).dashed(2.0, 2.0);
        area(
            &turned(box_out.centre, box_out.size, box_out.turn_deg),
            pen,
            None,
        );
    }
    for wall in &layout.walls {
        let left = (wall.to - wall.from).normalize_or_zero().perp();
        let strip = |l: f64, r: f64| {
            [
                wall.from + left * l,
                wall.to + left * l,
                wall.to - left * r,
                wall.from - left * r,
            ]
        };
        let half = wall.framing / 2.0;
        area(
            &strip(half + wall.finish_left, half + wall.finish_right),
            Pen::new(0.4, Ink::GREY),
            Some(Ink::WHITE),
        );
        area(
            &strip(half, half),
            Pen::new(0.7, Ink::BLACK),
            Some(Ink::TINT),
        );
    }
    if let Some(slab) = &layout.slab {
        let ends = slab.outline.iter().zip(slab.outline.iter().cycle().skip(1));
        for (a, b) in ends {
            if let Some((a, b)) = cut_line(*a, *b, frame.0, frame.1) {
                canvas.line(view.at(a), view.at(b), Pen::new(1.6, Ink::BLACK));
            }
        }
    }
}

fn pipes(
    canvas: &mut Canvas,
    view: &View,
    outcome: &Outcome,
    frame: (DVec2, DVec2),
    placer: &mut Placer,
) {
    for tree in &outcome.network.trees {
        for (a, b) in tree
            .runs
            .iter()
            .flat_map(|run| run.path.points().windows(2))
            .map(|pair| (pair[0], pair[1]))
        {
            if let Some((a, b)) = cut_line(a, b, frame.0, frame.1) {
                let line = [view.at(a), view.at(b)];
                canvas.line(line[0], line[1], Pen::new(1.4, Ink::SEWER).dashed(9.0, 4.0));
                placer.avoid(&line);
            }
        }
    }
}

/// Vents on their way to their wall, thinner than drains.
fn vents(
    canvas: &mut Canvas,
    view: &View,
    outcome: &Outcome,
    frame: (DVec2, DVec2),
    placer: &mut Placer,
) {
    for vent in lying_vents(outcome) {
        for leg in vent.axis.windows(2) {
            let (a, b) = (leg[0].truncate(), leg[1].truncate());
            if let Some((a, b)) = cut_line(a, b, frame.0, frame.1) {
                let line = [view.at(a), view.at(b)];
                canvas.line(line[0], line[1], Pen::new(0.8, Ink::SEWER).dashed(3.0, 2.0));
                placer.avoid(&line);
            }
        }
    }
}

fn circle(canvas: &mut Canvas, view: &View, stub: &Stub, placer: &mut Placer) {
    let at = view.at(stub.at);
    let radius = view.scale.points(stub.od / 2.0).max(2.5);
    let fill = match stub.flow {
        Flow::Vent => Ink::WHITE,
        Flow::Drain | Flow::Water | Flow::SoilGas | Flow::Empty => Ink::PALE,
    };
    canvas.circle(at, radius, Some(Pen::new(1.2, Ink::BLACK)), Some(fill));
    let cross = Pen::new(0.5, Ink::BLACK);
    for way in [DVec2::X, DVec2::Y] {
        canvas.line(at - way * (radius + 3.0), at + way * (radius + 3.0), cross);
    }
    placer.take(at - radius - 2.0, at + radius + 2.0);
    placer.names(at);
}

fn named(canvas: &mut Canvas, view: &View, stub: &Stub, placer: &mut Placer, size: f64) {
    let named = crate::fonts::cut(crate::Face::Bold, size, &name(stub), 150.0);
    let pipe = stub
        .size
        .map_or(inches_text(stub.od, 16), |size| size.to_string());
    let says = format!("{pipe}, top {}", signed(stub.top));
    placer.label(
        canvas,
        view.at(stub.at),
        &[&named, &says],
        Style::new(size * 0.95),
    );
}

fn table(outcome: &Outcome, stubs: &[&Stub]) -> Table {
    let rows = stubs.iter().map(|stub| {
        let (wall, finished, stud) = faces(outcome, stub);
        vec![
            name(stub),
            stub.size
                .map_or(inches_text(stub.od, 16), |size| size.to_string()),
            signed(stub.top),
            feet_inches(stub.at.x, 16),
            feet_inches(stub.at.y, 16),
            wall,
            finished,
            stud,
            String::new(),
        ]
    });
    Table {
        columns: vec![
            words("stub"),
            words("pipe"),
            main_numbers("top"),
            main_numbers("east"),
            main_numbers("north"),
            words("wall"),
            numbers("to finish"),
            numbers("to stud"),
            blank("as set"),
        ],
        rows: rows.collect(),
    }
}

/// What a stub is measured from: the wall or cabinet it lands in, a closet's back wall, else the nearest wall; then the
/// distance of its centre to that wall's finished and stud faces. In a wall both are told as from its middle.
fn faces(outcome: &Outcome, stub: &Stub) -> (String, String, String) {
    let layout = &outcome.layout;
    if let Landing::Wall(id) = &stub.landing {
        let along = layout.walls.iter().find(|wall| wall.id == *id).map(|wall| {
            let way = (wall.to - wall.from).normalize_or_zero();
            (
                (stub.at - wall.from).dot(way),
                (stub.at - wall.from).perp_dot(way).abs(),
                layout::compass(-way),
            )
        });
        let (end, off, start) = along.unwrap_or_default();
        let middle = if off < 1.0 / 32.0 {
            "in its middle".into()
        } else {
            format!("{} off its middle", inches_text(off, 16))
        };
        return (
            format!("in {id}, {} from its {start} end", feet_inches(end, 16)),
            middle,
            String::new(),
        );
    }
    if let Some(inside) = in_cabinet(outcome, stub) {
        return (inside, String::new(), String::new());
    }
    let from = measured_from(outcome, stub);
    from.map_or_else(Default::default, |from| {
        (
            from.wall.id.to_string(),
            inches_text(from.finish, 16),
            inches_text(from.stud, 16),
        )
    })
}

/// Where a stub stands in its cabinet: off two of its sides, by the corners they run between.
fn in_cabinet(outcome: &Outcome, stub: &Stub) -> Option<String> {
    let Landing::Cabinet(id) = &stub.landing else {
        return None;
    };
    let cabinets = &outcome.layout.cabinets;
    let cabinet = cabinets.iter().find(|cabinet| cabinet.id == *id)?;
    let back = DVec2::from_angle(-cabinet.turn_deg.to_radians());
    let off = back.rotate(stub.at - cabinet.centre) + cabinet.size / 2.0;
    Some(format!(
        "in {id}, {} off its side 4-1, {} off its side 1-2",
        inches_text(off.x, 16),
        inches_text(off.y, 16)
    ))
}

/// What a stub's distance is told from.
struct Measured<'a> {
    wall: &'a Wall,
    /// From the wall to the stub, square off it.
    away: DVec2,
    /// To the finished face, and to the studs.
    finish: f64,
    stud: f64,
}

impl Measured<'_> {
    /// Whether the face stands near enough to be drawn beside the stub.
    fn near(&self) -> bool {
        self.finish > 3.0 && self.finish < AROUND
    }
}

/// The wall that a stub beside walls is measured from: a closet's back wall, else the nearest.
fn measured_from<'a>(outcome: &'a Outcome, stub: &Stub) -> Option<Measured<'a>> {
    let layout = &outcome.layout;
    let back = match stub.of {
        fittings::StubOf::Cleanout(_) => return None,
        fittings::StubOf::Fixture(n) => layout
            .fixtures
            .get(n)
            .and_then(|fixture| fixture.back_wall.clone()),
        fittings::StubOf::Vent(_) | fittings::StubOf::Return(_) | fittings::StubOf::Service(_) => {
            None
        }
    };
    if matches!(stub.landing, Landing::Wall(_) | Landing::Cabinet(_)) {
        return None;
    }
    let mut walls = layout.walls.iter();
    let named = walls.find(|wall| back.as_ref() == Some(&wall.id));
    let near = layout.walls.iter().filter(|wall| beside(wall, stub.at));
    let near = near.min_by(|a, b| off(a, stub.at).total_cmp(&off(b, stub.at)));
    let wall = named.or(near)?;
    let way = (wall.to - wall.from).normalize_or_zero();
    let left = way.perp_dot(stub.at - wall.from) > 0.0;
    let (away, finish) = if left {
        (way.perp(), wall.finish_left)
    } else {
        (-way.perp(), wall.finish_right)
    };
    let stud = off(wall, stub.at) - wall.framing / 2.0;
    Some(Measured {
        wall,
        away,
        finish: stud - finish,
        stud,
    })
}

/// Whether a point stands beside a wall's length rather than past its ends.
fn beside(wall: &Wall, at: DVec2) -> bool {
    let way = (wall.to - wall.from).normalize_or_zero();
    let along = (at - wall.from).dot(way);
    along >= 0.0 && along <= wall.from.distance(wall.to)
}

fn off(wall: &Wall, at: DVec2) -> f64 {
    (wall.to - wall.from)
        .normalize_or_zero()
        .perp_dot(at - wall.from)
        .abs()
}
