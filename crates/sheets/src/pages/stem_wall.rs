//! The wall where each drain leaves, seen from outside: where the hole is, how large, and what to keep clear of.

use fittings::{Part, Tube};
use flow::Outcome;
use glam::DVec2;
use layout::{Edge, EdgeKind};
use units::{feet_inches, inches_text};

use super::Job;
use crate::canvas::Canvas;
use crate::mark::{Ink, Page, Pen, Style};
use crate::sheet::{Area, Heads, Sheet};
use crate::table::{Table, blank, main_numbers, words};
use crate::view::View;

/// Half the width of wall that is drawn, inches.
const HALF: f64 = 36.0;

/// One hole.
struct Hole<'a> {
    edge: &'a Edge,
    /// Corners of the side it is in, as one looks at the wall from outside: left, right.
    ends: (DVec2, DVec2),
    /// Where the drain leaves, in plan.
    at: DVec2,
    /// Level of the foundation's bottom along that side.
    base: f64,
    left: f64,
    centre: f64,
    sleeve: String,
    od: f64,
    /// What is told of the pipe's own level: `invert of the 4 in pipe at the outside face`.
    pipe: String,
    level: f64,
    /// Its outside diameter.
    pipe_od: f64,
    cored: bool,
}

pub(crate) fn pages(job: Job) -> Vec<Page> {
    let mut sheet = Sheet::standing(
        job.set,
        Heads {
            name: "stem-wall",
            title: "Hole in the foundation",
            purpose: "For the footing crew before they pour, and for coring after: one hole, by wall, level and corners.",
            caution: "Set the sleeve before the pour. Coring later cuts steel: ask the engineer first, wear eye and lung protection, and keep the dust wet.",
        },
    );
    let outcome = job.outcome;
    let drains = (0..outcome.network.trees.len())
        .map(|n| (&outcome.network.trees[n].id, drain_hole(outcome, n)));
    let services = layout::passages(&outcome.layout)
        .into_iter()
        .map(|passage| {
            let id = &outcome.layout.services[passage.service].id;
            (id, service_hole(outcome, passage))
        });
    let holes: Vec<(&units::Id, Option<Hole>)> = drains.chain(services).collect();
    for (n, (id, hole)) in holes.iter().enumerate() {
        if n > 0 {
            sheet.next_page();
        }
        one(&mut sheet, outcome, id.as_str(), hole.as_ref());
    }
    if holes.is_empty() {
        sheet.paragraph("No drain leaves the house yet, so there is no hole to set.");
    }
    sheet.finish()
}

fn one(sheet: &mut Sheet, outcome: &Outcome, named: &str, hole: Option<&Hole>) {
    sheet.heading(named);
    let Some(hole) = hole else {
        return sheet.paragraph(
            "The drain goes under the foundation, or no foundation is told: there is no hole in a wall to set.",
        );
    };
    sheet.paragraph(&format!(
        "In the side of the foundation that looks {}, at {} E, {} N of the form's south-west corner. The pipe goes through with \
         room all round: fill the gap with what stays soft, as your town asks, not with mortar (common practice, no source).",
        looks(hole.ends),
        feet_inches(hole.at.x, 16),
        feet_inches(hole.at.y, 16)
    ));
    let height = sheet.whole_room() * 0.42;
    let size = sheet.size();
    sheet.figure(
        height,
        "The wall seen from outside with the hole in it",
        |canvas, area| {
            draw(canvas, area, hole, size);
        },
    );
    sheet.table(&figures(hole));
    let clear = clear_of(outcome, hole);
    sheet.heading("Keep clear");
    sheet.tick_list(&clear);
}

/// The hole that a drain leaves by.
fn drain_hole(outcome: &Outcome, n: usize) -> Option<Hole<'_>> {
    let (tree, grades) = (&outcome.network.trees[n], &outcome.grades[n]);
    let drain = &outcome.layout.drains[tree.drain];
    let edge = outcome.layout.foundation.edge.as_ref()?;
    let outline = &outcome.layout.slab.as_ref()?.outline;
    let side = nearest_side(outline, drain.exit.at)?;
    // The outline turns counter-clockwise: from outside its start is at the left hand.
    let ends = (outline[side], outline[(side + 1) % outline.len()]);
    let run = tree.runs.first()?;
    let pipe = outcome
        .catalog
        .pipe(drain.exit.size.unwrap_or(run.outlet_size()));
    let body = outcome.assembly.bodies.iter();
    let mut body = body.filter(|body| body.part == Part::Sleeve && body.id == tree.id);
    let sleeve = body.next();
    let tube: Option<Tube> = sleeve.and_then(|body| body.tubes.first().copied());
    let level = grades.exit.level + pipe.id() / 2.0;
    let base = edge.bottom_along(side);
    let centre = tube.map_or(level, |tube| f64::midpoint(tube.a.z, tube.b.z));
    (centre > base - 6.0).then(|| Hole {
        edge,
        ends,
        at: drain.exit.at,
        base,
        left: ends.0.distance(drain.exit.at),
        centre,
        sleeve: sleeve.map_or("none told: core and seal".into(), |body| {
            format!("{} pipe", body.size)
        }),
        od: tube.map_or(pipe.od + 1.0, |tube| tube.radius * 2.0),
        pipe: format!("invert of the {} pipe at the outside face", pipe.size),
        level: grades.exit.level,
        pipe_od: pipe.od,
        cored: drain.exit.cored,
    })
}

/// The hole that a service comes in by.
fn service_hole(outcome: &Outcome, passage: layout::Passage) -> Option<Hole<'_>> {
    let layout = &outcome.layout;
    let edge = layout.foundation.edge.as_ref()?;
    let outline = &layout.slab.as_ref()?.outline;
    let service = &layout.services[passage.service];
    let ends = (
        outline[passage.side],
        outline[(passage.side + 1) % outline.len()],
    );
    let sleeve = outcome.catalog.sleeve_round(service.od);
    Some(Hole {
        edge,
        ends,
        at: passage.at,
        base: edge.bottom_along(passage.side),
        left: ends.0.distance(passage.at),
        centre: service.level,
        sleeve: sleeve.map_or("ask for one: none here is wide enough".into(), |pipe| {
            format!("{} pipe", pipe.size)
        }),
        od: sleeve.map_or(service.od + 1.0, |pipe| pipe.od),
        pipe: format!("centre of the {} pipe", inches_text(service.od, 16)),
        level: service.level,
        pipe_od: service.od,
        cored: false,
    })
}

/// The quarter a side looks to; its ends as seen from outside, left and right.
fn looks((left, right): (DVec2, DVec2)) -> &'static str {
    layout::compass(-(right - left).perp())
}

fn nearest_side(outline: &[DVec2], at: DVec2) -> Option<usize> {
    let away = |n: &usize| {
        let (a, b) = (outline[*n], outline[(*n + 1) % outline.len()]);
        let t = ((at - a).dot(b - a) / (b - a).length_squared().max(1e-9)).clamp(0.0, 1.0);
        a.lerp(b, t).distance(at)
    };
    (0..outline.len()).min_by(|a, b| away(a).total_cmp(&away(b)))
}

impl Hole<'_> {
    fn long(&self) -> f64 {
        self.ends.0.distance(self.ends.1)
    }

    fn right(&self) -> f64 {
        self.long() - self.left
    }
}

fn draw(canvas: &mut Canvas, area: Area, hole: &Hole, size: f64) {
    let footing = hole
        .edge
        .footing
        .as_ref()
        .map_or(0.0, |footing| footing.thickness);
    let (left, right) = (
        (hole.left - HALF).max(0.0),
        (hole.left + HALF).min(hole.long()),
    );
    let (low, high) = (
        DVec2::new(left, hole.base - footing),
        DVec2::new(right, hole.edge.top),
    );
    let view = View::fitting(low, high, area.inset(46.0));
    let block = |canvas: &mut Canvas, bottom: f64, top: f64, fill| {
        let corners = [(left, bottom), (right, bottom), (right, top), (left, top)].map(DVec2::from);
        canvas.area(
            view.all(&corners),
            Some(Pen::new(1.2, Ink::BLACK)),
            Some(fill),
        );
    };
    block(canvas, hole.base, hole.edge.top, Ink::TINT);
    if footing > 0.0 {
        block(canvas, hole.base - footing, hole.base, Ink::PALE);
    }
    let at = DVec2::new(hole.left, hole.centre);
    let centre = view.at(at);
    let radius = view.scale.points(hole.od / 2.0);
    canvas.circle(
        centre,
        radius,
        Some(Pen::new(1.6, Ink::BLACK)),
        Some(Ink::WHITE),
    );
    let cross = Pen::new(0.5, Ink::BLACK).dashed(8.0, 2.0);
    for way in [DVec2::X, DVec2::Y] {
        canvas.line(
            centre - way * (radius + 10.0),
            centre + way * (radius + 10.0),
            cross,
        );
    }
    dimensions(canvas, &view, hole, (left, right), size);
    let says = ["seen from outside", "left and right as you face the wall"];
    for (n, words) in says.into_iter().enumerate() {
        let at = area.at + DVec2::new(area.size.x / 2.0, size * (1.0 + 1.2 * n as f64));
        canvas.text(at, words, Style::new(size * 0.9).middle());
    }
    view.scale_bar(
        canvas,
        DVec2::new(area.at.x + 6.0, area.end().y - 18.0),
        size * 0.85,
    );
}

fn dimensions(canvas: &mut Canvas, view: &View, hole: &Hole, ends: (f64, f64), size: f64) {
    let style = Style::new(size).bold();
    let at = DVec2::new(hole.left, hole.centre);
    let x = ends.1;
    let (top, centre, base) = (
        view.at(DVec2::new(x, hole.edge.top)),
        view.at(DVec2::new(x, hole.centre)),
        view.at(DVec2::new(x, hole.base)),
    );
    canvas.dimension(
        top,
        centre,
        22.0,
        &inches_text(hole.edge.top - hole.centre, 16),
        style,
    );
    canvas.dimension(
        centre,
        base,
        22.0,
        &inches_text(hole.centre - hole.base, 16),
        style,
    );
    let bottom = |x: f64| {
        view.at(DVec2::new(
            x,
            hole.base - hole.edge.footing.as_ref().map_or(0.0, |f| f.thickness),
        ))
    };
    if at.x - ends.0 > 3.0 {
        let words = reach(hole.left, ends.0 < 1e-6);
        canvas.dimension(bottom(at.x), bottom(ends.0), 14.0, &words, style);
    }
    if ends.1 - at.x > 3.0 {
        let words = reach(hole.right(), hole.long() - ends.1 < 1e-6);
        canvas.dimension(bottom(ends.1), bottom(at.x), 14.0, &words, style);
    }
}

/// What a line to a corner says; where the wall is cut off before its corner, that too.
fn reach(long: f64, to_the_corner: bool) -> String {
    let told = feet_inches(long, 16);
    if to_the_corner {
        told
    } else {
        format!("{told} (wall cut)")
    }
}

fn figures(hole: &Hole) -> Table {
    let row = |what: &str, value: String| vec![what.to_owned(), value, String::new()];
    Table {
        columns: vec![words("measure"), main_numbers("design"), blank("as set")],
        rows: vec![
            row(
                "centre of the hole down from the top of the wall",
                inches_text(hole.edge.top - hole.centre, 16),
            ),
            row(
                if hole.edge.footing.is_some() {
                    "centre up from the wall's bottom (top of footing)"
                } else {
                    "centre up from the bottom"
                },
                inches_text(hole.centre - hole.base, 16),
            ),
            row(
                "check: top of wall to bottom of wall",
                inches_text(hole.edge.top - hole.base, 16),
            ),
            row("centre from finished floor", feet_inches(hole.centre, 16)),
            row(
                "from the left corner of the form",
                feet_inches(hole.left, 16),
            ),
            row(
                "from the right corner of the form",
                feet_inches(hole.right(), 16),
            ),
            row(
                "check: corner to corner along this side",
                feet_inches(hole.long(), 16),
            ),
            row(
                &format!("sleeve ({})", hole.sleeve),
                format!("{} across outside", inches_text(hole.od, 16)),
            ),
            row(
                "if it is cored after instead: the core, half an inch round the pipe (common practice, no source)",
                format!("{} across", inches_text(hole.pipe_od + 1.0, 16)),
            ),
            row(&hole.pipe, feet_inches(hole.level, 16)),
        ],
    }
}

fn clear_of(outcome: &Outcome, hole: &Hole) -> Vec<String> {
    let half = hole.od / 2.0;
    let under = hole.edge.top - hole.centre - half;
    let over = hole.centre - half - hole.base;
    let beneath = if hole.edge.footing.is_some() {
        "the footing"
    } else {
        "the bottom"
    };
    let mut says = vec![
        format!("{} of concrete stays over the hole, {} between it and {}", inches_text(under, 16), inches_text(over, 16), beneath),
        "no anchor bolt, hold-down or bar through the hole; bars that are in the way: ask the engineer".into(),
        "no joint of the pipe inside the sleeve".into(),
        "the sleeve runs level and square through the whole thickness, and is plugged until the pipe is in".into(),
    ];
    says.push(format!(
        "wall {} thick where the sleeve goes through",
        inches_text(hole.edge.thickness, 8)
    ));
    match hole.edge.kind {
        EdgeKind::StemWall => {}
        EdgeKind::FoamForm => {
            says.push("foam forms: brace the sleeve in both faces, and foam round it".into());
        }
        EdgeKind::TurnedDown | EdgeKind::GradeBeam => {
            says.push("a beam carries load: no hole without the engineer's say".into());
        }
    }
    if hole.cored {
        says.push("cored and sealed instead of sleeved: ask the inspector before coring".into());
    }
    if outcome
        .layout
        .slab
        .as_ref()
        .is_some_and(|slab| slab.post_tensioned)
    {
        says.push("post-tensioned slab: nothing is cut or cored without its engineer".into());
    }
    says
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_looks_away_from_the_house() {
        // Corners counter-clockwise: south runs east, north runs west; seen from outside the first is at the left.
        let (sw, se) = (DVec2::ZERO, DVec2::new(240.0, 0.0));
        let (ne, nw) = (DVec2::new(240.0, 240.0), DVec2::new(0.0, 240.0));
        assert_eq!(looks((sw, se)), "south");
        assert_eq!(looks((se, ne)), "east");
        assert_eq!(looks((ne, nw)), "north");
        assert_eq!(looks((nw, sw)), "west");
    }
}
