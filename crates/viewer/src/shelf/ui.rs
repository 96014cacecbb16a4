//! The card of other layouts, and the compared house's lines over the picture.

use std::path::{Path, PathBuf};

use bevy_egui::egui::{self, Pos2, RichText, Stroke};
use glam::DVec3;
use scene::MarkKind;

use super::compare::{Difference, Kind, name};
use super::state::{Compared, ShelfState};
use crate::focus::{door, named};
use crate::house::{House, RunLine};
use crate::theme;

/// What the card asks for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum ShelfAsk {
    /// A file's name, typed so far.
    Typing(
        /// The name.
        String,
    ),
    /// Open this one.
    Open(
        /// Its file.
        PathBuf,
    ),
    /// Compare with this one.
    Compare(
        /// Its file.
        PathBuf,
    ),
    /// Fly to an item.
    Item(
        /// Its name.
        String,
    ),
    /// No longer compare.
    Apart,
    /// Put the card away.
    Done,
}

/// The card.
pub fn shelf_ui(ui: &mut egui::Ui, state: &ShelfState) -> Option<ShelfAsk> {
    let mut ask = None;
    ui.horizontal(|ui| {
        ui.strong("Layouts");
        if ui.button("Put away (H)").clicked() {
            ask = Some(ShelfAsk::Done);
        }
    });
    door(ui, "shelf");
    ask = typed_ui(ui, state).or(ask);
    if let Some(wrong) = &state.wrong {
        ui.add(egui::Label::new(RichText::new(wrong).color(theme::INK.egui())).wrap());
    }
    let room = egui::ScrollArea::vertical().max_height(120.0 + 60.0);
    room.id_salt("at hand").show(ui, |ui| {
        for path in &state.at_hand {
            ask = row_ui(ui, path).or(ask.take());
        }
    });
    if state.at_hand.is_empty() {
        ui.label("No other layout was opened before or lies in this folder.");
    }
    if let Some(compared) = &state.compared {
        ui.separator();
        ask = compared_ui(ui, compared).or(ask);
    }
    ask
}

fn typed_ui(ui: &mut egui::Ui, state: &ShelfState) -> Option<ShelfAsk> {
    let mut ask = None;
    let mut typed = state.typed.clone();
    ui.horizontal(|ui| {
        let label = ui.label("File");
        let edit = egui::TextEdit::singleline(&mut typed)
            .id_salt("file")
            .desired_width(210.0)
            .hint_text("a path, or drop a file on the window");
        let response = ui.add(edit).labelled_by(label.id);
        if response.changed() {
            ask = Some(ShelfAsk::Typing(typed.clone()));
        }
        let entered = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        let given = !typed.trim().is_empty();
        let path = || PathBuf::from(typed.trim());
        if (ui.add_enabled(given, egui::Button::new("Open")).clicked() || entered) && given {
            ask = Some(ShelfAsk::Open(path()));
        }
        if ui
            .add_enabled(given, egui::Button::new("Compare"))
            .clicked()
        {
            ask = Some(ShelfAsk::Compare(path()));
        }
    });
    ask
}

fn row_ui(ui: &mut egui::Ui, path: &Path) -> Option<ShelfAsk> {
    let mut ask = None;
    ui.horizontal(|ui| {
        let name = path.file_name().map(|name| name.to_string_lossy());
        let name = name.unwrap_or_default();
        if named(ui.button("Open"), &format!("Open {name}")).clicked() {
            ask = Some(ShelfAsk::Open(path.to_owned()));
        }
        if named(ui.button("Compare"), &format!("Compare with {name}")).clicked() {
            ask = Some(ShelfAsk::Compare(path.to_owned()));
        }
        let label = egui::Label::new(name).truncate();
        ui.add(label).on_hover_text(path.display().to_string());
    });
    ask
}

fn compared_ui(ui: &mut egui::Ui, compared: &Compared) -> Option<ShelfAsk> {
    let mut ask = None;
    ui.horizontal(|ui| {
        ui.strong(format!("Compared with {}", compared.name));
        if ui.button("No longer").clicked() {
            ask = Some(ShelfAsk::Apart);
        }
    });
    ui.horizontal(|ui| {
        ui.label(
            RichText::new("here: whole lines")
                .color(theme::SLEEVE.egui())
                .strong(),
        );
        ui.label(
            RichText::new("there: dashed")
                .color(theme::MEASURE.egui())
                .strong(),
        );
    });
    if compared.differences.is_empty() {
        ui.label("No difference in runs, stubs, fittings, fall or findings.");
    }
    egui::ScrollArea::vertical()
        .id_salt("differences")
        .max_height(260.0)
        .min_scrolled_height(260.0)
        .show(ui, |ui| {
            let mut last: Option<Kind> = None;
            for difference in &compared.differences {
                if last != Some(difference.kind) {
                    last = Some(difference.kind);
                    ui.add_space(4.0);
                    ui.strong(difference.kind.words());
                }
                if difference_ui(ui, difference) {
                    ask = Some(ShelfAsk::Item(difference.id.clone()));
                }
            }
        });
    ask
}

/// One difference; whether it was clicked and has a place.
fn difference_ui(ui: &mut egui::Ui, difference: &Difference) -> bool {
    let label = egui::Label::new(&difference.says).wrap();
    if difference.id.is_empty() {
        ui.add(label);
        return false;
    }
    let response = ui.add(label.sense(egui::Sense::click()));
    named(response, &difference.says)
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}

/// Where the houses differ: runs here in whole lines, there dashed; stubs there as rings with a line to where they are here.
pub fn compare_paint(
    painter: &egui::Painter,
    here: &House,
    compared: &Compared,
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) {
    let differs = |kind: Kind, id: &str| {
        let mut all = compared.differences.iter();
        all.any(|difference| difference.kind == kind && difference.id == id)
    };
    let line = |line: &RunLine| -> Vec<Pos2> {
        line.points.iter().filter_map(|at| project(*at)).collect()
    };
    let lies = |run: &RunLine, other: &House| {
        let there = other.lines.iter().find(|line| line.id == run.id);
        there.is_none_or(|there| there.points != run.points)
    };
    let whole = Stroke::new(4.0, theme::SLEEVE.egui());
    for run in &here.lines {
        if differs(Kind::Run, &run.id) && lies(run, &compared.house) {
            painter.add(egui::Shape::line(line(run), whole));
        }
    }
    let dashed = Stroke::new(3.0, theme::MEASURE.egui());
    for run in &compared.house.lines {
        if differs(Kind::Run, &run.id) && lies(run, here) {
            painter.extend(egui::Shape::dashed_line(&line(run), dashed, 9.0, 6.0));
        }
    }
    for mark in &compared.house.scene.marks {
        if !matches!(mark.kind, MarkKind::Stub | MarkKind::Cleanout)
            || !differs(Kind::Stub, mark.id.as_str())
        {
            continue;
        }
        let Some(at) = project(mark.at) else { continue };
        painter.circle_stroke(at, 6.0, dashed);
        let now = here
            .scene
            .marks
            .iter()
            .find(|m| m.kind == mark.kind && name(m) == name(mark));
        if let Some(now) = now.and_then(|now| project(now.at)) {
            painter.line_segment([at, now], dashed);
        }
    }
}
