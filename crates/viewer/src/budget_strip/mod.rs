//! The fall budget as a strip always in sight: from the highest start to the exit, who spends how many inches.
//!
//! One file: the strip has no state of its own.

use bevy_egui::egui::{self, Align2, Color32, FontId, Rect, Sense, Stroke, StrokeKind, pos2, vec2};
use units::inches_text;

use crate::house::BudgetRow;
use crate::rows::rows_in_sight;
use crate::theme;

/// Denominator of the inches in the strip.
const SIXTEENTHS: u32 = 16;
/// Height of a bar, points.
const BAR: f32 = 22.0;
/// Bars shown before the strip scrolls.
const SHOWN: u8 = 2;

/// How the width of a strip is shared: each part's start and end, 0 to 1, spends first, then what is spare.
///
/// A part that spends nothing or less has no width.
pub fn shares(row: &BudgetRow) -> Vec<(f64, f64)> {
    let parts = row
        .spends
        .iter()
        .map(|spend| spend.inches)
        .chain([row.spare]);
    let parts: Vec<f64> = parts
        .map(|inches| {
            if inches.is_finite() {
                inches.max(0.0)
            } else {
                0.0
            }
        })
        .collect();
    let whole: f64 = parts.iter().sum();
    let mut from = 0.0;
    parts
        .into_iter()
        .map(|part| {
            let start = from;
            from += if whole > 0.0 { part / whole } else { 0.0 };
            (start, from)
        })
        .collect()
}

/// The strip. Gives the name of the spender that was clicked.
pub fn budget_ui(ui: &mut egui::Ui, rows: &[BudgetRow]) -> Option<String> {
    let mut clicked = None;
    let most = (BAR + 20.0) * f32::from(SHOWN);
    egui::ScrollArea::vertical()
        .max_height(most)
        .show(ui, |ui| {
            rows_in_sight(ui, "budget", rows.len(), BAR + 20.0, |ui, n| {
                if let Some(name) = row_ui(ui, &rows[n]) {
                    clicked = Some(name);
                }
            });
        });
    clicked
}

fn row_ui(ui: &mut egui::Ui, row: &BudgetRow) -> Option<String> {
    let mut clicked = None;
    ui.horizontal(|ui| {
        ui.label("Fall");
        ui.strong(&row.drain);
        let quiet = |text: &str| egui::RichText::new(text).color(theme::QUIET.egui());
        ui.label(quiet(&row.says));
        if let Some((run, says)) = &row.least_cover {
            let link = egui::Label::new(quiet(says).underline()).truncate();
            let link = ui.add(link.sense(Sense::click()));
            link.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Link, true, says));
            if link.on_hover_text("click to go there").clicked() {
                clicked = Some(run.clone());
            }
        }
    });
    let (rect, whole) =
        ui.allocate_exact_size(vec2(ui.available_width().max(20.0), BAR), Sense::hover());
    let shares = shares(row);
    let part_rect = |(from, to): (f64, f64)| {
        let x = |part: f64| egui::lerp(rect.left()..=rect.right(), narrow(part));
        Rect::from_min_max(pos2(x(from), rect.top()), pos2(x(to), rect.bottom()))
    };
    for (index, spend) in row.spends.iter().enumerate() {
        let part = part_rect(shares[index]);
        let inches = inches_text(spend.inches, SIXTEENTHS);
        let name = &spend.says;
        spend_paint(ui.painter(), part, index, &format!("{inches} {name}"));
        let response = ui.interact(part, whole.id.with(index), Sense::click());
        let words = format!("{name} spends {inches} of the fall");
        response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Button, true, &words));
        if response
            .on_hover_text(format!("{words}; click to go there"))
            .clicked()
        {
            clicked = Some(spend.who.clone());
        }
    }
    let left = shares.last().copied().unwrap_or((1.0, 1.0));
    left_paint(ui.painter(), rect, part_rect(left), row.spare);
    clicked
}

fn spend_paint(painter: &egui::Painter, rect: Rect, index: usize, text: &str) {
    let shade = if index.is_multiple_of(2) { 1.0 } else { 0.78 };
    let [r, g, b] = theme::DRAIN.0;
    let fill = Color32::from_rgb(r, g, b).lerp_to_gamma(Color32::WHITE, 1.0 - shade);
    painter.rect(
        rect,
        0.0,
        fill,
        Stroke::new(1.0, Color32::WHITE),
        StrokeKind::Inside,
    );
    inside(painter, rect, text, Color32::WHITE);
}

fn left_paint(painter: &egui::Painter, whole: Rect, rect: Rect, spare: f64) {
    if spare < 0.0 {
        let fill = theme::verdict_tint(crate::house::Verdict::Fails).egui();
        let text = format!("short {}", inches_text(-spare, SIXTEENTHS));
        painter.rect_stroke(whole, 0.0, Stroke::new(2.5, fill), StrokeKind::Inside);
        let tag = Rect::from_min_max(pos2(whole.right() - 96.0, whole.top()), whole.max);
        painter.rect_filled(tag, 0.0, fill);
        inside(painter, tag, &text, Color32::WHITE);
        return;
    }
    painter.rect(
        rect,
        0.0,
        theme::SPARE.egui(),
        Stroke::new(1.0, theme::DRAIN.egui()),
        StrokeKind::Inside,
    );
    inside(
        painter,
        rect,
        &format!("{} to spare", inches_text(spare, SIXTEENTHS)),
        theme::INK.egui(),
    );
}

/// Text, if it fits.
fn inside(painter: &egui::Painter, rect: Rect, text: &str, colour: Color32) {
    let galley = painter.layout_no_wrap(text.to_owned(), FontId::proportional(12.5), colour);
    if galley.size().x + 6.0 <= rect.width() {
        let at = Align2::CENTER_CENTER.anchor_size(rect.center(), galley.size());
        painter.galley(at.min, galley, colour);
    }
}

#[allow(clippy::cast_possible_truncation)]
fn narrow(part: f64) -> f32 {
    part as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::house::Spend;

    fn row(spends: &[f64], spare: f64) -> BudgetRow {
        let spends = spends
            .iter()
            .map(|inches| Spend {
                who: "a".into(),
                says: "a".into(),
                inches: *inches,
            })
            .collect();
        BudgetRow {
            drain: "main".into(),
            says: String::new(),
            least_cover: None,
            spends,
            spare,
        }
    }

    #[test]
    fn shares_fill_the_strip() {
        assert_eq!(
            shares(&row(&[6.0, 2.0], 2.0)),
            [(0.0, 0.6), (0.6, 0.8), (0.8, 1.0)]
        );
    }

    #[test]
    fn what_is_short_takes_no_room_and_nothing_is_nothing() {
        assert_eq!(
            shares(&row(&[4.0, 4.0], -1.0)),
            [(0.0, 0.5), (0.5, 1.0), (1.0, 1.0)]
        );
        assert_eq!(shares(&row(&[], 0.0)), [(0.0, 0.0)]);
        assert_eq!(shares(&row(&[f64::NAN], 1.0)), [(0.0, 0.0), (0.0, 1.0)]);
    }
}
