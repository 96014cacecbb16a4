//! The cover: the house with its drains in one picture, what was found, who spends the fall, what is still to tell.

use checks::Verdict;
use fittings::Flow;
use flow::{Budget, Outcome};
use glam::{DVec2, DVec3};
use scene::{Solid, SolidKind};
use units::{feet_inches, inches_text};

use super::Job;
use super::plan::thick;
use crate::canvas::Canvas;
use crate::mark::{Ink, Page, Pen, Style};
use crate::sheet::{Area, Heads, Sheet};
use crate::table::{Column, Table, blank, numbers, words};

/// So many findings are told here; the rest are counted.
const TOLD: usize = 12;

/// How high the house is drawn, parts of the page: as large as it may be, and as small as it may be to keep all on one page.
const DRAWN: f64 = 0.33;
const LEAST_DRAWN: f64 = 0.22;

/// The cover of these pages, which follow it.
pub(crate) fn pages(job: Job, pages: &[Page]) -> Vec<Page> {
    // Where the others begin depends on how long the cover is, and that on nothing but its lists.
    let counted = drawn_to_fit(job, &contents(pages, 1)).len();
    drawn_to_fit(job, &contents(pages, counted))
}

/// A kind of page, and the first number of it.
struct Entry {
    title: String,
    first: usize,
}

/// What follows a cover of so many pages: one line for each kind of page, the glue-up cards under one.
fn contents(pages: &[Page], cover: usize) -> Vec<Entry> {
    let mut entries: Vec<(&str, Entry)> = Vec::new();
    for (n, page) in pages.iter().enumerate() {
        if entries.last().is_some_and(|(of, _)| *of == page.purpose) {
            continue;
        }
        let title = match page.title.split_once(" card ") {
            Some((what, _)) => format!("{what} cards"),
            None => page.title.clone(),
        };
        let first = cover + n + 1;
        entries.push((&page.purpose, Entry { title, first }));
    }
    entries.into_iter().map(|(_, entry)| entry).collect()
}

fn drawn_to_fit(job: Job, contents: &[Entry]) -> Vec<Page> {
    let large = drawn(job, contents, DRAWN);
    if large.len() == 1 {
        return large;
    }
    let small = drawn(job, contents, LEAST_DRAWN);
    if small.len() < large.len() {
        small
    } else {
        large
    }
}

fn drawn(job: Job, contents: &[Entry], part: f64) -> Vec<Page> {
    let outcome = job.outcome;
    let title = if job.set.house.is_empty() {
        "House"
    } else {
        &job.set.house
    };
    let title = crate::fonts::cut(crate::Face::Bold, job.set.type_size * 1.9, title, 400.0);
    let mut sheet = Sheet::standing(
        job.set,
        Heads {
            name: "cover",
            title: &title,
            purpose: "The drains under the floor: what this packet covers, what was found, what is still to tell.",
            caution: "Call before you dig. Trenches cave in. Cement and primer vapours burn and sicken: air them out. Test with water: air in plastic pipe bursts it. Keep soil gas out.",
        },
    );
    sheet.table(&permit());
    let height = sheet.whole_room() * part;
    sheet.figure(
        height,
        "The house seen from above, its drains under the slab",
        |canvas, area| {
            draw(canvas, area, outcome);
        },
    );
    found(&mut sheet, outcome);
    for budget in flow::budget(outcome) {
        spends(&mut sheet, &budget);
    }
    to_tell(&mut sheet, outcome);
    listed(&mut sheet, contents);
    sheet.finish()
}

/// What a permit desk asks for and no layout tells: to be written in.
fn permit() -> Table {
    let wide = |head, least| Column {
        least,
        ..blank(head)
    };
    Table {
        columns: vec![
            wide("owner", 130.0),
            wide("address", 200.0),
            wide("permit no.", 80.0),
            wide("checked by, date", 100.0),
        ],
        rows: vec![vec![String::new(); 4]],
    }
}

/// Kinds of pages beside one another on the cover.
const ABREAST: usize = 4;

fn listed(sheet: &mut Sheet, contents: &[Entry]) {
    if contents.is_empty() {
        return;
    }
    sheet.heading("Pages");
    let high = contents.len().div_ceil(ABREAST);
    let cell = |row: usize, column: usize| {
        let entry = contents.get(column * high + row);
        let told = entry.map(|entry| [entry.first.to_string(), entry.title.clone()]);
        told.unwrap_or_default()
    };
    let row = |row: usize| (0..ABREAST).flat_map(|column| cell(row, column)).collect();
    let heads = || [numbers("page"), words("what")];
    sheet.table(&Table {
        columns: (0..ABREAST).flat_map(|_| heads()).collect(),
        rows: (0..high).map(row).collect(),
    });
}

fn found(sheet: &mut Sheet, outcome: &Outcome) {
    sheet.heading("What was found");
    let count = |verdict: Verdict| {
        outcome
            .findings
            .iter()
            .filter(|f| f.verdict == verdict)
            .count()
    };
    sheet.paragraph(&format!(
        "Judged by the {}: {} fail, {} to ask, {} to note. Runs: {}; stubs: {}; cleanouts: {}.",
        outcome.rules.code().profile(),
        count(Verdict::Fails),
        count(Verdict::Ask),
        count(Verdict::Note),
        outcome
            .network
            .trees
            .iter()
            .map(|tree| tree.runs.len())
            .sum::<usize>(),
        outcome.assembly.stubs.len(),
        super::riser::cleanouts(outcome),
    ));
    let local = outcome.rules.amended().into_iter();
    let local: Vec<String> = local.filter_map(codes::Row::local_change).collect();
    if local.is_empty() {
        sheet.paragraph("Local amendments: none told; ask the permit desk.");
    }
    for says in local {
        sheet.paragraph(&format!("Local: {says}."));
    }
    if outcome.findings.is_empty() {
        return sheet
            .paragraph("Nothing found. That is no approval: the inspector has the last word.");
    }
    let rows = outcome.findings.iter().take(TOLD).map(|finding| {
        vec![
            finding.verdict.to_string(),
            finding.says.clone(),
            finding.source.says.clone(),
        ]
    });
    sheet.table(&Table {
        columns: vec![words(""), words("says"), words("source")],
        rows: rows.collect(),
    });
    let left = outcome.findings.len().saturating_sub(TOLD);
    if left > 0 {
        sheet.paragraph(&format!(
            "and {left} more: `fallwise check` tells them all."
        ));
    }
}

/// The fall budget of one drain: a bar of who spends how much, and the figures.
fn spends(sheet: &mut Sheet, budget: &Budget) {
    sheet.heading(&format!("Fall budget of {}", budget.drain));
    let says = match (budget.short, budget.spare) {
        (Some(short), _) => format!("short {}: it cannot fall as drawn", inches_text(short, 16)),
        (None, Some(spare)) => format!("{} to spare", inches_text(spare, 16)),
        (None, None) => "nothing outside is told to fall to".into(),
    };
    sheet.paragraph(&format!(
        "Leaves the foundation with its invert at {}; {says}.",
        feet_inches(budget.exit_invert, 16)
    ));
    let sum: f64 = budget.spends.iter().map(|share| share.inches.abs()).sum();
    if sum > 1e-6 {
        let size = sheet.size();
        sheet.figure(
            30.0,
            "Bar of who spends the inches of fall",
            |canvas, area| bar(canvas, area, budget, sum, size),
        );
    }
    let rows = budget.spends.iter().enumerate().map(|(n, share)| {
        vec![
            format!("{}", n + 1),
            share.who.to_string(),
            share.says.clone(),
            inches_text(share.inches, 16),
        ]
    });
    sheet.table(&Table {
        columns: vec![
            numbers("no."),
            words("who"),
            words("spends"),
            numbers("inches"),
        ],
        rows: rows.collect(),
    });
}

fn bar(canvas: &mut Canvas, area: Area, budget: &Budget, sum: f64, size: f64) {
    let mut x = area.at.x;
    for (n, share) in budget.spends.iter().enumerate() {
        let wide = area.size.x * share.inches.abs() / sum;
        let at = DVec2::new(x, area.at.y + 4.0);
        let fill = if n % 2 == 0 { Ink::TINT } else { Ink::WHITE };
        canvas.rect(
            at,
            DVec2::new(wide, 20.0),
            Some(Pen::new(0.8, Ink::BLACK)),
            Some(fill),
        );
        if wide > size * 1.4 {
            let middle = at + DVec2::new(wide / 2.0, 10.0 + size * 0.35);
            canvas.text(
                middle,
                format!("{}", n + 1),
                Style::new(size).bold().middle(),
            );
        }
        x += wide;
    }
}

fn to_tell(sheet: &mut Sheet, outcome: &Outcome) {
    sheet.heading("Still to tell");
    if outcome.to_tell.is_empty() {
        return sheet.paragraph("Nothing.");
    }
    let says: Vec<String> = outcome
        .to_tell
        .iter()
        .map(|tell| format!("{}: {}", tell.item, tell.what))
        .collect();
    sheet.tick_list(&says);
}

/// House to paper, from the south-east above; y down the page.
fn seen(at: DVec3) -> DVec2 {
    let (cos, sin) = (3.0_f64.sqrt() / 2.0, 0.5);
    DVec2::new((at.x + at.y) * cos, (at.x - at.y) * sin - at.z)
}

fn draw(canvas: &mut Canvas, area: Area, outcome: &Outcome) {
    let solids: Vec<&Solid> = outcome
        .scene
        .solids
        .iter()
        .filter(|solid| shown(solid.kind))
        .collect();
    let corners = solids.iter().flat_map(|solid| {
        let at = |z: f64| solid.outline.iter().map(move |p| seen(p.extend(z)));
        at(solid.bottom).chain(at(solid.top))
    });
    let pipes = outcome
        .scene
        .pipes
        .iter()
        .filter(|pipe| pipe.flow == Flow::Drain && inside(outcome, pipe));
    let ends = pipes
        .flat_map(|pipe| &pipe.tubes)
        .flat_map(|tube| [seen(tube.a), seen(tube.b)]);
    let none = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    let (low, high) = corners
        .chain(ends)
        .fold(none, |(low, high), p| (low.min(p), high.max(p)));
    if !(low.is_finite() && high.is_finite()) {
        return;
    }
    let room = area.inset(4.0);
    let each = (room.size / (high - low).max(DVec2::ONE)).min_element();
    let on = |at: DVec3| room.at + room.size / 2.0 + (seen(at) - (low + high) / 2.0) * each;
    paint(canvas, outcome, &solids, &on);
}

fn shown(kind: SolidKind) -> bool {
    match kind {
        SolidKind::Concrete
        | SolidKind::StemWall
        | SolidKind::Footing
        | SolidKind::TurnedDownEdge
        | SolidKind::GradeBeam
        | SolidKind::Framing
        | SolidKind::Cabinet => true,
        SolidKind::Foam
        | SolidKind::Sheet
        | SolidKind::Gravel
        | SolidKind::Sand
        | SolidKind::Strip
        | SolidKind::Pier
        | SolidKind::Finish
        | SolidKind::BoxOut
        | SolidKind::Ground
        | SolidKind::Receiver => false,
    }
}

/// What lies under or in the house, not the line outside.
fn inside(outcome: &Outcome, pipe: &scene::PipeBody) -> bool {
    !outcome
        .layout
        .drains
        .iter()
        .any(|drain| drain.id == pipe.id)
}

/// Far to near: foundation in outline, pipes, the floor's edge, then walls and cabinets as glass.
fn paint(canvas: &mut Canvas, outcome: &Outcome, solids: &[&Solid], on: &impl Fn(DVec3) -> DVec2) {
    for solid in solids {
        let pen = match solid.kind {
            SolidKind::StemWall
            | SolidKind::Footing
            | SolidKind::TurnedDownEdge
            | SolidKind::GradeBeam => Pen::new(0.3, Ink::PALE),
            SolidKind::Concrete => Pen::new(1.0, Ink::BLACK),
            _ => continue,
        };
        ring(canvas, &solid.outline, solid.bottom, pen, on);
        ring(canvas, &solid.outline, solid.top, pen, on);
    }
    let mut tubes: Vec<(f64, DVec3, DVec3, Pen)> = Vec::new();
    for pipe in outcome
        .scene
        .pipes
        .iter()
        .filter(|pipe| inside(outcome, pipe))
    {
        let pen = match pipe.flow {
            Flow::Drain => Pen::new(thick(pipe.size), Ink::SEWER),
            Flow::Vent => Pen::new(0.9, Ink::SEWER).dashed(3.0, 2.0),
            Flow::Water | Flow::SoilGas | Flow::Empty => continue,
        };
        for tube in &pipe.tubes {
            let middle = (tube.a + tube.b) / 2.0;
            tubes.push((middle.y - middle.x + middle.z, tube.a, tube.b, pen));
        }
    }
    tubes.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (_, a, b, pen) in tubes {
        canvas.line(on(a), on(b), pen);
    }
    for solid in solids
        .iter()
        .filter(|solid| matches!(solid.kind, SolidKind::Framing | SolidKind::Cabinet))
    {
        let pen = Pen::new(0.4, Ink::GREY);
        ring(canvas, &solid.outline, solid.top, pen, on);
        ring(
            canvas,
            &solid.outline,
            solid.bottom,
            Pen::new(0.25, Ink::PALE),
            on,
        );
        for p in &solid.outline {
            canvas.line(
                on(p.extend(solid.bottom)),
                on(p.extend(solid.top)),
                Pen::new(0.25, Ink::GREY),
            );
        }
    }
}

fn ring(canvas: &mut Canvas, outline: &[DVec2], z: f64, pen: Pen, on: &impl Fn(DVec3) -> DVec2) {
    canvas.area(
        outline.iter().map(|p| on(p.extend(z))).collect(),
        Some(pen),
        None,
    );
}
