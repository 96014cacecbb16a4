//! What is told already, drawn over the plan while the evening goes on: before there is a pipe the house has no stubs to show.

use std::collections::BTreeSet;

use bevy_egui::egui::{self, Align2, Color32, FontId, Pos2, Rect, Shape, Stroke, vec2};
use glam::{DVec2, DVec3};
use layout::{Cabinet, Layout, Wall};
use scene::Mark;

use crate::theme;

/// How long the arms of the house's zero are, inches.
const ARM: f64 = 36.0;

type Project<'a> = &'a dyn Fn(DVec3) -> Option<Pos2>;

/// Names that lie on one another say nothing: the first one stays.
struct Names<'a> {
    painter: &'a egui::Painter,
    scale: f32,
    taken: Vec<Rect>,
}

impl Names<'_> {
    fn put(&mut self, at: Pos2, pivot: Align2, words: &str) {
        let font = FontId::proportional(12.0 * self.scale);
        let galley = self
            .painter
            .layout_no_wrap(words.to_owned(), font, theme::INK.egui());
        let rect = pivot.anchor_size(at, galley.size() + vec2(6.0, 2.0));
        if self.taken.iter().any(|taken| taken.intersects(rect)) {
            return;
        }
        self.painter.rect_filled(rect, 3.0, theme::CARD.glass(215));
        self.painter
            .galley(rect.min + vec2(3.0, 1.0), galley, theme::INK.egui());
        self.taken.push(rect);
    }
}

/// The slab's outline, walls, cabinets, the house's zero, and what has no pipe yet: to be drawn under the labels.
pub fn told_paint(painter: &egui::Painter, layout: &Layout, marks: &[Mark], project: Project) {
    if let Some(slab) = &layout.slab {
        ring_paint(painter, &slab.outline, Color32::TRANSPARENT, project);
        zero_paint(painter, project);
    }
    for cabinet in &layout.cabinets {
        ring_paint(painter, &corners(cabinet), theme::QUIET.glass(50), project);
    }
    for wall in &layout.walls {
        ring_paint(painter, &faces(wall), theme::QUIET.glass(70), project);
    }
    for (_, at) in unpiped(layout, marks, project) {
        let edge = Stroke::new(2.0, theme::DRAIN.egui());
        painter.circle(at, 5.0, Color32::WHITE, edge);
    }
}

/// The names of all that, where the labels, in `taken`, leave room.
pub fn told_names(
    painter: &egui::Painter,
    layout: &Layout,
    marks: &[Mark],
    taken: &[Rect],
    scale: f32,
    project: Project,
) {
    let mut names = Names {
        painter,
        scale,
        taken: taken.to_vec(),
    };
    let zero = layout.slab.as_ref().and_then(|_| project(DVec3::ZERO));
    if let Some(at) = zero {
        names.put(at + vec2(-4.0, 4.0), Align2::RIGHT_TOP, "0, 0");
    }
    for (name, at) in unpiped(layout, marks, project) {
        names.put(at + vec2(9.0, 0.0), Align2::LEFT_CENTER, name);
    }
    for cabinet in &layout.cabinets {
        // At its upper corner: in its middle there is often a sink.
        let corners = corners(cabinet);
        let corners = corners.iter().filter_map(|at| project(at.extend(0.0)));
        if let Some(at) = corners.min_by(|a, b| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))) {
            names.put(at, Align2::LEFT_BOTTOM, cabinet.id.as_str());
        }
    }
    for wall in &layout.walls {
        // Off its middle: there a plan has its lengths.
        if let Some(at) = project(wall.from.lerp(wall.to, 0.3).extend(0.0)) {
            names.put(at, Align2::CENTER_CENTER, wall.id.as_str());
        }
    }
}

/// Fixtures without a stub, and ways out without a pipe, where they are on screen.
fn unpiped<'l>(layout: &'l Layout, marks: &[Mark], project: Project) -> Vec<(&'l str, Pos2)> {
    let marked: BTreeSet<&units::Id> = marks.iter().map(|mark| &mark.id).collect();
    let fixtures = layout.fixtures.iter();
    let fixtures = fixtures.filter(|fixture| !marked.contains(&fixture.id));
    let fixtures = fixtures.map(|fixture| (fixture.id.as_str(), fixture.at));
    let drains = layout.drains.iter().filter(|_| layout.runs.is_empty());
    let drains = drains.map(|drain| ("way out", drain.exit.at));
    let all = fixtures.chain(drains);
    all.filter_map(|(name, at)| Some((name, project(at.extend(0.0))?)))
        .collect()
}

/// The corners of a wall's studs, going round.
fn faces(wall: &Wall) -> [DVec2; 4] {
    let along = (wall.to - wall.from).normalize_or_zero();
    let off = along.perp() * wall.framing / 2.0;
    [
        wall.from + off,
        wall.to + off,
        wall.to - off,
        wall.from - off,
    ]
}

/// The corners of a cabinet, going round.
fn corners(cabinet: &Cabinet) -> Vec<DVec2> {
    scene::rectangle(cabinet.centre, cabinet.size, cabinet.turn_deg)
}

/// A closed figure on the floor; filled only where all of it is before the eye.
fn ring_paint(painter: &egui::Painter, ring: &[DVec2], fill: Color32, project: Project) {
    let corners: Vec<Option<Pos2>> = ring.iter().map(|at| project(at.extend(0.0))).collect();
    if let Some(whole) = corners.iter().copied().collect::<Option<Vec<Pos2>>>()
        && fill != Color32::TRANSPARENT
    {
        painter.add(Shape::convex_polygon(whole, fill, Stroke::NONE));
    }
    for n in 0..corners.len() {
        if let (Some(from), Some(to)) = (corners[n], corners[(n + 1) % corners.len()]) {
            painter.line_segment([from, to], Stroke::new(1.5, theme::INK.egui()));
        }
    }
}

/// Where lengths east and north begin.
fn zero_paint(painter: &egui::Painter, project: Project) {
    let at = |x: f64, y: f64| project(DVec3::new(x, y, 0.0));
    let Some(zero) = at(0.0, 0.0) else { return };
    let stroke = Stroke::new(2.5, theme::MEASURE.egui());
    for end in [at(ARM, 0.0), at(0.0, ARM)].into_iter().flatten() {
        painter.arrow(zero, end - zero, stroke);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turned_cabinet_and_a_wall_are_drawn_where_they_stand() {
        let cabinet = Cabinet {
            id: "island".into(),
            centre: DVec2::new(100.0, 50.0),
            size: DVec2::new(60.0, 30.0),
            turn_deg: 90.0,
            height: 36.0,
        };
        // Turned a quarter, its length runs north.
        let low = corners(&cabinet).into_iter().reduce(DVec2::min).unwrap();
        assert!(low.distance(DVec2::new(85.0, 20.0)) < 1e-9, "{low}");
        let wall = Wall {
            id: "wet".into(),
            from: DVec2::ZERO,
            to: DVec2::new(120.0, 0.0),
            framing: 5.5,
            finish_left: 0.5,
            finish_right: 0.5,
            on_edge: false,
        };
        assert_eq!(faces(&wall)[0], DVec2::new(0.0, 2.75));
    }
}
