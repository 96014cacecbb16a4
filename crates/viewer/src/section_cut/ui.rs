//! The cut as a drawing in its panel, and its line over the picture.

use bevy_egui::egui::{
    self, Align2, Color32, FontId, Pos2, Rect, RichText, Sense, Shape, Stroke, pos2, vec2,
};
use glam::{DVec2, DVec3};
use scene::{Flow, SolidKind};
use units::feet_inches;

use super::cut::{Cut, CutAlong, Piece};
use crate::focus;
use crate::theme::{self, Tint};

/// Room for words, points.
const MARGIN: f32 = 46.0;
/// Heights are drawn this much larger than lengths at most.
const MOST: f32 = 6.0;

/// What the panel asks for.
#[derive(Clone, PartialEq, Debug)]
pub enum CutAsk {
    /// Cut there.
    Along(
        /// Where.
        CutAlong,
    ),
    /// No cut.
    Done,
}

/// The panel: where to cut, then the cut. `runs` are those that can be followed; `reach` is the extent of the house, east
/// and north.
pub fn cut_ui(
    ui: &mut egui::Ui,
    along: &CutAlong,
    cut: &Cut,
    runs: &[&str],
    reach: (DVec2, DVec2),
    scale: f32,
) -> Option<CutAsk> {
    let mut ask = None;
    ui.horizontal(|ui| {
        ask = choose_ui(ui, along, runs, reach);
        ui.label(RichText::new(&cut.says).color(theme::QUIET.egui()));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Done (S)").clicked() {
                ask = Some(CutAsk::Done);
            }
        });
    });
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    let scene = Drawing::new(rect, cut);
    scene.paint(&ui.painter_at(rect), cut, scale);
    if let Some(at) = response.hover_pos() {
        scene.pointer_paint(&ui.painter_at(rect), at, scale);
    }
    ask
}

fn choose_ui(
    ui: &mut egui::Ui,
    along: &CutAlong,
    runs: &[&str],
    (low, high): (DVec2, DVec2),
) -> Option<CutAsk> {
    let mut ask = None;
    let middle = low.midpoint(high);
    let mut way = |ui: &mut egui::Ui, words: &str, on: bool, to: CutAlong| {
        if ui.selectable_label(on, words).clicked() {
            ask = Some(CutAsk::Along(to));
        }
    };
    way(
        ui,
        "East to west",
        matches!(along, CutAlong::North(_)),
        CutAlong::North(middle.y),
    );
    way(
        ui,
        "South to north",
        matches!(along, CutAlong::East(_)),
        CutAlong::East(middle.x),
    );
    let followed = match along {
        CutAlong::Run(id) => id.as_str(),
        CutAlong::North(_) | CutAlong::East(_) => "a run",
    };
    let label = ui.label("Along");
    let mut picked = false;
    let combo = egui::ComboBox::from_id_salt("follow")
        .selected_text(followed)
        .show_ui(ui, |ui| {
            for run in runs {
                let line = ui.selectable_label(followed == *run, *run);
                if focus::chosen(ui, &line) {
                    picked = true;
                    ask = Some(CutAsk::Along(CutAlong::Run((*run).to_owned())));
                }
            }
        });
    focus::back_to(&combo.response.labelled_by(label.id), picked);
    let slide = |ui: &mut egui::Ui, at: f64, from: f64, to: f64| {
        let mut feet = at / 12.0;
        let slider = egui::Slider::new(&mut feet, (from / 12.0)..=(to / 12.0))
            .step_by(0.25)
            .suffix(" ft");
        let response = ui.add(slider);
        response.widget_info(|| egui::WidgetInfo::slider(true, feet, "Where it is cut, feet"));
        response.changed().then_some(feet * 12.0)
    };
    match along {
        CutAlong::North(y) => {
            ask.or(slide(ui, *y, low.y, high.y).map(|y| CutAsk::Along(CutAlong::North(y))))
        }
        CutAlong::East(x) => {
            ask.or(slide(ui, *x, low.x, high.x).map(|x| CutAsk::Along(CutAlong::East(x))))
        }
        CutAlong::Run(_) => ask,
    }
}

/// From stations and levels to the panel.
struct Drawing {
    room: Rect,
    low: f64,
    across: f32,
    up: f32,
}

impl Drawing {
    fn new(rect: Rect, cut: &Cut) -> Self {
        let room = Rect::from_min_max(rect.min + vec2(MARGIN, 16.0), rect.max - vec2(MARGIN, 18.0));
        let (low, high) = cut.levels();
        let across = room.width().max(1.0) / narrow(cut.length().max(1.0));
        let up = (room.height().max(1.0) / narrow((high - low).max(1.0))).min(across * MOST);
        Self {
            room,
            low,
            across,
            up,
        }
    }

    fn at(&self, point: DVec2) -> Pos2 {
        pos2(
            self.room.left() + narrow(point.x) * self.across,
            self.room.bottom() - narrow(point.y - self.low) * self.up,
        )
    }

    fn paint(&self, painter: &egui::Painter, cut: &Cut, scale: f32) {
        painter.rect_filled(painter.clip_rect(), 0.0, theme::CARD.egui());
        for piece in &cut.pieces {
            if let Piece::Solid {
                kind,
                along,
                levels,
            } = piece
            {
                self.solid(painter, *kind, *along, *levels);
            }
        }
        self.floor(painter, scale);
        self.followed(painter, cut, scale);
        let mut used: Vec<Rect> = Vec::new();
        for piece in &cut.pieces {
            if let Piece::Crossed {
                id,
                flow,
                at,
                radius,
            } = piece
            {
                self.crossed(painter, (id, *flow, *at, *radius), &mut used, scale);
            }
        }
        let exaggerated = self.up / self.across;
        if exaggerated > 1.05 {
            let words = format!("heights x{exaggerated:.1}");
            let font = FontId::proportional(11.0 * scale);
            painter.text(
                painter.clip_rect().right_bottom() - vec2(4.0, 2.0),
                Align2::RIGHT_BOTTOM,
                words,
                font,
                theme::SLEEVE.egui(),
            );
        }
    }

    fn solid(
        &self,
        painter: &egui::Painter,
        kind: SolidKind,
        along: (f64, f64),
        levels: (f64, f64),
    ) {
        let top = levels.1.min(8.0);
        if top <= levels.0 {
            return;
        }
        let rect = Rect::from_two_pos(
            self.at(DVec2::new(along.0, levels.0)),
            self.at(DVec2::new(along.1, top)),
        );
        let (tint, part) = dress(kind);
        painter.rect_filled(rect, 0.0, tint.egui().gamma_multiply(part));
        if part > 0.3 {
            let stroke = Stroke::new(1.0, tint.egui());
            painter.rect_stroke(rect, 0.0, stroke, egui::StrokeKind::Inside);
        }
    }

    fn floor(&self, painter: &egui::Painter, scale: f32) {
        let y = self.at(DVec2::ZERO).y;
        let room = painter.clip_rect();
        painter.hline(room.x_range(), y, Stroke::new(1.0, theme::INK.egui()));
        let font = FontId::proportional(11.0 * scale);
        painter.text(
            pos2(room.left() + 3.0, y - 1.0),
            Align2::LEFT_BOTTOM,
            "floor 0",
            font,
            theme::INK.egui(),
        );
    }

    /// The run followed: pipe as a band, its invert at every corner, its grade on every leg that has room.
    fn followed(&self, painter: &egui::Painter, cut: &Cut, scale: f32) {
        let ink = theme::INK.egui();
        let font = FontId::proportional(12.0 * scale);
        let mut used: Vec<Rect> = Vec::new();
        let mut words: Vec<(Pos2, Align2, String)> = Vec::new();
        for piece in &cut.pieces {
            let Piece::Followed {
                ends,
                size,
                grade_in_per_ft,
                ..
            } = piece
            else {
                continue;
            };
            let [a, b] = ends.map(|end| self.at(end));
            let rise = vec2(0.0, -narrow(*size) * self.up);
            let band = vec![a, b, b + rise, a + rise];
            painter.add(Shape::convex_polygon(
                band,
                theme::DRAIN.egui().gamma_multiply(0.75),
                Stroke::NONE,
            ));
            painter.line_segment([a, b], Stroke::new(2.0, theme::DRAIN.egui()));
            for (end, place) in ends.iter().zip([a, b]) {
                words.push((
                    place + vec2(0.0, 4.0),
                    Align2::CENTER_TOP,
                    feet_inches(end.y, 16),
                ));
            }
            let grade = format!("{grade_in_per_ft:.3} in/ft");
            words.push((
                a + (b - a) / 2.0 + vec2(0.0, 4.0),
                Align2::CENTER_TOP,
                grade,
            ));
        }
        for (at, align, text) in words {
            let galley = painter.layout_no_wrap(text, font.clone(), ink);
            let rect = align.anchor_size(at, galley.size());
            let fits = painter.clip_rect().contains_rect(rect);
            if fits && !used.iter().any(|other| other.expand(3.0).intersects(rect)) {
                used.push(rect);
                painter.rect_filled(rect.expand(1.0), 2.0, theme::CARD.glass(200));
                painter.galley(rect.min, galley, ink);
            }
        }
    }

    fn crossed(
        &self,
        painter: &egui::Painter,
        (id, flow, at, radius): (&str, Flow, DVec2, f64),
        used: &mut Vec<Rect>,
        scale: f32,
    ) {
        let centre = self.at(at);
        if !self.room.expand(12.0).contains(centre) {
            return;
        }
        let tint = match flow {
            Flow::Drain => theme::DRAIN,
            Flow::Vent => theme::VENT,
            Flow::Water => theme::WATER,
            Flow::SoilGas => theme::SOIL_GAS,
            Flow::Empty => theme::SLEEVE,
        };
        let half = vec2(narrow(radius) * self.across, narrow(radius) * self.up).max(vec2(2.5, 2.5));
        painter.add(Shape::Ellipse(egui::epaint::EllipseShape {
            center: centre,
            radius: half,
            fill: Color32::WHITE,
            stroke: Stroke::new(2.0, tint.egui()),
            angle: 0.0,
        }));
        let font = FontId::proportional(11.0 * scale);
        let galley = painter.layout_no_wrap(id.to_owned(), font, theme::INK.egui());
        let rect =
            Align2::CENTER_BOTTOM.anchor_size(centre - vec2(0.0, half.y + 3.0), galley.size());
        if !used.iter().any(|other| other.expand(2.0).intersects(rect)) {
            used.push(rect);
            painter.rect_filled(rect.expand(1.0), 2.0, theme::CARD.glass(190));
            painter.galley(rect.min, galley, theme::INK.egui());
        }
    }

    /// Station and level under the pointer.
    fn pointer_paint(&self, painter: &egui::Painter, at: Pos2, scale: f32) {
        let along = f64::from((at.x - self.room.left()) / self.across);
        let level = self.low + f64::from((self.room.bottom() - at.y) / self.up);
        let room = painter.clip_rect();
        let faint = Stroke::new(1.0, theme::MEASURE.egui().gamma_multiply(0.5));
        painter.vline(at.x, room.y_range(), faint);
        painter.hline(room.x_range(), at.y, faint);
        let words = format!(
            "{} along, level {}",
            feet_inches(along, 8),
            feet_inches(level, 16)
        );
        let font = FontId::proportional(11.5 * scale);
        painter.text(
            room.right_top() + vec2(-4.0, 2.0),
            Align2::RIGHT_TOP,
            words,
            font,
            theme::MEASURE.egui(),
        );
    }
}

fn dress(kind: SolidKind) -> (Tint, f32) {
    match kind {
        SolidKind::Concrete => (theme::CONCRETE, 0.75),
        SolidKind::Foam => (theme::FOAM, 0.8),
        SolidKind::Sheet => (theme::SHEET, 0.9),
        SolidKind::Gravel => (theme::GRAVEL, 0.35),
        SolidKind::Sand => (theme::SAND, 0.5),
        SolidKind::StemWall
        | SolidKind::Footing
        | SolidKind::TurnedDownEdge
        | SolidKind::GradeBeam
        | SolidKind::Strip
        | SolidKind::Pier => (theme::FOUNDATION, 0.6),
        SolidKind::Framing => (theme::FRAMING, 0.5),
        SolidKind::Finish => (theme::FINISH, 0.5),
        SolidKind::Cabinet => (theme::CABINET, 0.25),
        SolidKind::BoxOut => (theme::BOX_OUT, 0.2),
        SolidKind::Ground => (theme::GROUND, 0.18),
        SolidKind::Receiver => (theme::RECEIVER, 0.3),
    }
}

/// The cut's line over the picture.
pub fn cut_paint(painter: &egui::Painter, cut: &Cut, project: &dyn Fn(DVec3) -> Option<Pos2>) {
    let places: Vec<Pos2> = cut
        .line
        .iter()
        .filter_map(|at| project(at.extend(0.0)))
        .collect();
    if places.len() < 2 || places.len() != cut.line.len() {
        return;
    }
    let colour = theme::MEASURE.egui();
    painter.add(Shape::line(
        places.clone(),
        Stroke::new(4.0, Color32::from_white_alpha(190)),
    ));
    painter.extend(Shape::dashed_line(
        &places,
        Stroke::new(2.0, colour),
        9.0,
        5.0,
    ));
}

#[allow(clippy::cast_possible_truncation)]
fn narrow(value: f64) -> f32 {
    value as f32
}
