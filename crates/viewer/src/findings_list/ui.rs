//! The list and the shapes in the picture.

use bevy_egui::egui::{self, Color32, Pos2, RichText, Sense, Stroke, vec2};
use glam::DVec3;

use super::state::FindingsState;
use crate::focus::{named, page, row as row_of};
use crate::house::{FindingRow, MendRow, Verdict};
use crate::rows::rows_in_sight;
use crate::theme;

/// What the list asks for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum FindingsAsk {
    /// Fly to a finding.
    Pick(
        /// Its index.
        usize,
    ),
    /// Make a mend's change.
    Mend(
        /// Its index.
        usize,
    ),
    /// List or hide a verdict.
    Turn(
        /// Which.
        Verdict,
    ),
}

/// The list. `to_tell` stands under it: what is unknown is not judged; over it while the house is being told (`telling`).
pub fn findings_ui(
    ui: &mut egui::Ui,
    rows: &[FindingRow],
    mends: &[MendRow],
    to_tell: &[String],
    telling: bool,
    state: &FindingsState,
) -> Option<FindingsAsk> {
    if telling {
        egui::ScrollArea::vertical()
            .id_salt("to tell")
            .max_height(ui.available_height() * 0.55)
            .show(ui, |ui| to_tell_ui(ui, to_tell));
        ui.separator();
    }
    let mut ask = filters(ui, rows, state);
    ui.separator();
    egui::ScrollArea::vertical()
        .auto_shrink([false, false])
        .show(ui, |ui| {
            page(ui, "findings");
            let listed = state.listed(rows);
            rows_in_sight(ui, "findings", listed.len(), 60.0, |ui, n| {
                let index = listed[n];
                if row_ui(ui, &rows[index], state.picked == Some(index)) {
                    ask = Some(FindingsAsk::Pick(index));
                }
            });
            if rows.is_empty() {
                ui.label("Nothing found in what was told.");
            }
            ask = mends_ui(ui, mends).or(ask);
            if !telling && !to_tell.is_empty() {
                ui.add_space(8.0);
                to_tell_ui(ui, to_tell);
            }
        });
    ask
}

fn to_tell_ui(ui: &mut egui::Ui, to_tell: &[String]) {
    ui.strong(format!("Still to tell ({})", to_tell.len()));
    rows_in_sight(ui, "to tell", to_tell.len(), 36.0, |ui, n| {
        ui.label(RichText::new(&to_tell[n]).color(theme::QUIET.egui()));
    });
}

/// What was tried and works, each with the button that does it.
fn mends_ui(ui: &mut egui::Ui, mends: &[MendRow]) -> Option<FindingsAsk> {
    let mut ask = None;
    if mends.is_empty() {
        return None;
    }
    ui.add_space(8.0);
    ui.strong("What would help");
    for (index, mend) in mends.iter().enumerate() {
        ui.horizontal_top(|ui| {
            let button = egui::Button::new("Do it").small();
            let possible = mend.edit.is_some();
            if named(
                ui.add_enabled(possible, button),
                &format!("Do it: {}", mend.says),
            )
            .on_hover_text("Changes the layout; undo leads back")
            .clicked()
            {
                ask = Some(FindingsAsk::Mend(index));
            }
            ui.add(egui::Label::new(&mend.says).wrap().selectable(false));
        });
    }
    ask
}

fn filters(ui: &mut egui::Ui, rows: &[FindingRow], state: &FindingsState) -> Option<FindingsAsk> {
    let mut ask = None;
    ui.horizontal(|ui| {
        ui.heading("Findings");
        for verdict in [Verdict::Fails, Verdict::Ask, Verdict::Note] {
            let count = rows.iter().filter(|row| row.verdict == verdict).count();
            let (rect, response) = ui.allocate_exact_size(vec2(38.0, 20.0), Sense::click());
            let listed = state.lists(verdict);
            let fill = if listed {
                theme::verdict_tint(verdict).egui().gamma_multiply(0.22)
            } else {
                Color32::TRANSPARENT
            };
            ui.painter().rect(
                rect,
                4.0,
                fill,
                Stroke::new(1.0, theme::QUIET.egui().gamma_multiply(0.4)),
                egui::StrokeKind::Inside,
            );
            theme::verdict_shape(
                ui.painter(),
                rect.left_center() + vec2(11.0, 0.0),
                5.0,
                verdict,
            );
            let ink = if listed { theme::INK } else { theme::QUIET };
            let font = egui::FontId::proportional(13.0);
            ui.painter().text(
                rect.left_center() + vec2(21.0, 0.0),
                egui::Align2::LEFT_CENTER,
                count,
                font,
                ink.egui(),
            );
            let word = theme::verdict_word(verdict);
            let name = format!("{word}: {count}");
            response.widget_info(|| {
                egui::WidgetInfo::selected(egui::WidgetType::Checkbox, true, listed, &name)
            });
            if response
                .on_hover_text(format!(
                    "{word}: click to {}",
                    if listed { "hide" } else { "list" }
                ))
                .clicked()
            {
                ask = Some(FindingsAsk::Turn(verdict));
            }
        }
    });
    ask
}

fn row_ui(ui: &mut egui::Ui, row: &FindingRow, picked: bool) -> bool {
    let fill = if picked {
        theme::verdict_tint(row.verdict).egui().gamma_multiply(0.25)
    } else {
        Color32::TRANSPARENT
    };
    let frame = egui::Frame::new()
        .fill(fill)
        .corner_radius(4.0)
        .inner_margin(5.0);
    let inner = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
            theme::verdict_shape(ui.painter(), rect.center(), 6.0, row.verdict);
            ui.vertical(|ui| {
                ui.add(egui::Label::new(&row.says).wrap().selectable(false));
                let small = RichText::new(particulars(row))
                    .small()
                    .color(theme::QUIET.egui());
                ui.add(egui::Label::new(small).wrap().selectable(false));
            });
        });
    });
    let response = row_of(ui, &inner.response);
    let name = format!("{}: {}", theme::verdict_word(row.verdict), row.says);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Button, true, &name));
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}

fn particulars(row: &FindingRow) -> String {
    let figure = |word: &str, value: Option<f64>| {
        value.map(|value| format!("{word} {}", units::figure(value, &row.unit)))
    };
    let parts = [
        figure("measured", row.measured),
        figure("limit", row.limit),
        missing(row).map(|(_, words)| words),
        Some(row.source.clone()),
    ];
    parts
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join("  ·  ")
}

/// How far off the limit, with its words: `1 1/2 in short`, `0.125 in/ft over`. Nothing without both figures, or when the
/// limit is kept.
fn missing(row: &FindingRow) -> Option<(f64, String)> {
    let (measured, limit) = (row.measured?, row.limit?);
    let off = limit - measured;
    if off.abs() < 1e-6 || row.unit.is_empty() || row.verdict == Verdict::Note {
        return None;
    }
    let amount = units::figure(off.abs(), &row.unit);
    let side = if off > 0.0 { "short" } else { "over" };
    Some((off, format!("{amount} {side}")))
}

/// Draws each listed finding's shape at its place; for the picked one, the two nearest points joined, too.
pub fn findings_paint(
    painter: &egui::Painter,
    rows: &[FindingRow],
    state: &FindingsState,
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) {
    let sight = painter.clip_rect().expand(20.0);
    let mut used: Vec<Pos2> = Vec::new();
    for index in state.listed(rows).into_iter().rev() {
        let row = &rows[index];
        let Some(place) = project(DVec3::from_array(row.at)) else {
            continue;
        };
        if !sight.contains(place) && state.picked != Some(index) {
            continue;
        }
        if state.picked == Some(index) {
            picked_paint(painter, row, place, project);
            continue;
        }
        let mut at = place;
        while used.iter().any(|other| other.distance(at) < 13.0) && used.len() < 400 {
            at.x += 14.0;
        }
        used.push(at);
        theme::verdict_shape(painter, at, 6.5, row.verdict);
    }
}

fn picked_paint(
    painter: &egui::Painter,
    row: &FindingRow,
    at: Pos2,
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) {
    let colour = theme::verdict_tint(row.verdict).egui();
    if let Some([from, to]) = row.ends
        && let (Some(from), Some(to)) = (
            project(DVec3::from_array(from)),
            project(DVec3::from_array(to)),
        )
    {
        painter.line_segment([from, to], Stroke::new(5.0, Color32::WHITE));
        painter.line_segment([from, to], Stroke::new(3.0, colour));
        painter.circle_filled(from, 3.5, colour);
        painter.circle_filled(to, 3.5, colour);
    }
    if let Some((_, words)) = missing(row) {
        let font = egui::FontId::proportional(14.0);
        let galley = painter.layout_no_wrap(words, font, Color32::WHITE);
        let rect = egui::Align2::CENTER_TOP
            .anchor_size(at + vec2(0.0, 20.0), galley.size() + vec2(12.0, 6.0));
        painter.rect_filled(rect, 4.0, theme::TAG.egui());
        painter.galley(rect.min + vec2(6.0, 3.0), galley, Color32::WHITE);
    }
    painter.circle_stroke(at, 15.0, Stroke::new(4.0, Color32::WHITE));
    painter.circle_stroke(at, 15.0, Stroke::new(2.0, colour));
    theme::verdict_shape(painter, at, 8.0, row.verdict);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_missing_is_told_in_its_unit() {
        let row = |measured, limit, unit: &str| FindingRow {
            rule: "r".into(),
            verdict: Verdict::Fails,
            says: String::new(),
            at: [0.0; 3],
            measured,
            limit,
            unit: unit.into(),
            source: String::new(),
            members: vec![],
            ends: None,
        };
        let words = |row| missing(&row).map(|(_, words)| words);
        assert_eq!(
            words(row(Some(0.5), Some(2.0), "in")).as_deref(),
            Some("1 1/2\" short")
        );
        assert_eq!(
            words(row(Some(14.0), Some(8.0), "ft")).as_deref(),
            Some("6 ft over")
        );
        let told = row(Some(1.813), Some(2.0), "in");
        assert!(particulars(&told).starts_with("measured 1 13/16\"  ·  limit 2\""));
        assert_eq!(words(row(Some(2.0), Some(2.0), "in")), None);
        assert_eq!(words(row(None, Some(2.0), "in")), None);
    }
}
