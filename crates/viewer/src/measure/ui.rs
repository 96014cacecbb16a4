//! The tape over the picture, and the card of what it measured.

use bevy_egui::egui::{self, Align2, Color32, FontId, Pos2, Stroke};
use glam::DVec3;

use super::state::{MeasureState, Measured, Reading, Tape, floor_words};
use crate::focus::named;
use crate::picking::{Pick, Snap};
use crate::theme;

/// What the card asks for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum MeasureAsk {
    /// Measure to the finished floor.
    ToFloor,
    /// Measure the cover.
    Cover,
    /// Measure the tape ties.
    Ties,
    /// Measure where the two pipes of a measure come nearest.
    Nearest(
        /// Its place in the list.
        usize,
    ),
    /// Put one measure away.
    Dismiss(
        /// Its place in the list.
        usize,
    ),
    /// Put every measure away.
    DismissAll,
    /// The other tape: feet or millimetres.
    Tape,
    /// Put the tape away.
    Done,
}

/// The card: what to do next, and every measure with a way to copy it and to put it away.
pub fn measure_ui(ui: &mut egui::Ui, state: &MeasureState) -> Option<MeasureAsk> {
    let mut ask = None;
    if state.active {
        let next = match (&state.first, &state.hover) {
            (Some(first), _) => format!(
                "From {} ({})",
                first.words,
                floor_words(first.at.z, state.tape)
            ),
            (None, Some(hover)) => {
                format!("{}, {}", hover.words, floor_words(hover.at.z, state.tape))
            }
            (None, None) => {
                "Click two points, or go to places by A and take them by Enter".to_owned()
            }
        };
        ui.horizontal_wrapped(|ui| {
            ui.strong("Measure");
            ui.label(next);
        });
        ui.horizontal(|ui| {
            let possible = state.first.is_some() || state.hover.is_some();
            for (words, what) in [
                ("To floor (F)", MeasureAsk::ToFloor),
                ("Cover (O)", MeasureAsk::Cover),
                ("Tape ties (Y)", MeasureAsk::Ties),
            ] {
                if ui.add_enabled(possible, egui::Button::new(words)).clicked() {
                    ask = Some(what);
                }
            }
            let other = match state.tape {
                Tape::Feet => "In mm (I)",
                Tape::Metric => "In feet (I)",
            };
            if ui.button(other).clicked() {
                ask = Some(MeasureAsk::Tape);
            }
            if ui.button("Done (M)").clicked() {
                ask = Some(MeasureAsk::Done);
            }
        });
    }
    if let Some(wrong) = state.wrong {
        ui.label(wrong);
    }
    if state.kept.len() > 1 && ui.small_button("Put all measures away").clicked() {
        ask = Some(MeasureAsk::DismissAll);
    }
    for (index, measured) in state.kept.iter().enumerate() {
        ui.horizontal_wrapped(|ui| {
            let told = measured.text(state.tape);
            let asked = |button: egui::Response, says: &str| {
                let button = named(button, &format!("{says}: {told}"));
                button.on_hover_text(says).clicked()
            };
            if asked(ui.small_button("x"), "Put this measure away") {
                ask = Some(MeasureAsk::Dismiss(index));
            }
            if asked(ui.small_button("copy"), "Copy as text") {
                ui.ctx().copy_text(told.clone());
            }
            if two_pipes(measured)
                && asked(
                    ui.small_button("nearest"),
                    "Where the two pipes come nearest",
                )
            {
                ask = Some(MeasureAsk::Nearest(index));
            }
            ui.label(&told);
        });
    }
    ask
}

/// Whether a measure goes from one pipe to another.
fn two_pipes(measured: &Measured) -> bool {
    let on_pipe = |pick: &Pick| match pick.snap {
        Snap::Axis | Snap::Crown | Snap::Underside => true,
        Snap::Mark | Snap::Corner | Snap::Face => false,
    };
    match &measured.to {
        Reading::Place(to) => on_pipe(&measured.from) && on_pipe(to) && measured.from.id != to.id,
        Reading::Floor | Reading::Cover(_) | Reading::Ties(_) | Reading::Pipe(..) => false,
    }
}

/// Draws the tape: kept measures, the one under way, and what the pointer is drawn to.
pub fn measure_paint(
    painter: &egui::Painter,
    state: &MeasureState,
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) {
    for measured in &state.kept {
        paint_one(painter, measured, state.tape, project);
    }
    if !state.active {
        return;
    }
    let first = state.first.as_ref().and_then(|pick| project(pick.at));
    let hover = state.hover.as_ref().and_then(|pick| project(pick.at));
    if let (Some(from), Some(to)) = (first, hover) {
        painter.line_segment(
            [from, to],
            Stroke::new(1.5, theme::MEASURE.egui().gamma_multiply(0.6)),
        );
    }
    for at in [first, hover].into_iter().flatten() {
        ring(painter, at);
    }
}

fn paint_one(
    painter: &egui::Painter,
    measured: &Measured,
    tape: Tape,
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) {
    let lines = measured.lines();
    let [one, ..] = lines.as_slice() else { return };
    let figures = match &measured.to {
        Reading::Ties(pulls) => pulls.inches.map(|inches| tape.long(inches)).to_vec(),
        Reading::Place(_) | Reading::Floor | Reading::Cover(_) | Reading::Pipe(..) => {
            vec![measured.figure(tape)]
        }
    };
    if let Some(at) = project(one[0]) {
        ring(painter, at);
    }
    for ([from, to], figure) in lines.iter().zip(figures) {
        let (Some(from), Some(to)) = (project(*from), project(*to)) else {
            continue;
        };
        let white = Stroke::new(4.0, Color32::WHITE.gamma_multiply(0.8));
        painter.line_segment([from, to], white);
        painter.line_segment([from, to], Stroke::new(2.0, theme::MEASURE.egui()));
        ring(painter, to);
        tag(painter, from + (to - from) / 2.0, &figure);
    }
}

fn ring(painter: &egui::Painter, at: Pos2) {
    painter.circle(
        at,
        5.0,
        Color32::WHITE,
        Stroke::new(2.0, theme::MEASURE.egui()),
    );
}

fn tag(painter: &egui::Painter, at: Pos2, text: &str) {
    let galley =
        painter.layout_no_wrap(text.to_owned(), FontId::proportional(13.5), Color32::WHITE);
    let rect = Align2::CENTER_CENTER.anchor_size(at, galley.size() + egui::vec2(12.0, 6.0));
    painter.rect_filled(rect, 4.0, theme::MEASURE.egui());
    painter.galley(rect.min + egui::vec2(6.0, 3.0), galley, Color32::WHITE);
}
