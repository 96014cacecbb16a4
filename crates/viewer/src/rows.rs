//! Lists of any length: of a long one only the rows in sight are laid out, so that a village of drains scrolls like a house.

use bevy_egui::egui::{self, vec2};

/// Lists of up to so many rows are laid out whole.
const FEW: usize = 100;

/// The room each row of a list took when it was last laid out, in points.
#[derive(Clone, Default)]
struct Tall {
    width: f32,
    rows: Vec<f32>,
}

/// Lays out the rows `0..count` by `row`, in a scrolled `ui`. One out of sight keeps the room it took when it was last laid out;
/// before that, `guess` points.
pub(crate) fn rows_in_sight(
    ui: &mut egui::Ui,
    salt: &str,
    count: usize,
    guess: f32,
    mut row: impl FnMut(&mut egui::Ui, usize),
) {
    if count <= FEW {
        (0..count).for_each(|n| row(ui, n));
        return;
    }
    let id = ui.id().with(salt);
    let (width, sight) = (ui.available_width(), ui.clip_rect());
    let kept = ui.data_mut(|data| data.remove_temp::<Tall>(id));
    let mut tall = kept
        .filter(|tall| (tall.width - width).abs() < 0.5)
        .unwrap_or_default();
    tall.width = width;
    tall.rows.resize(count, guess);
    for (n, height) in tall.rows.iter_mut().enumerate() {
        let top = ui.cursor().top();
        // A screen more above and below, for a wheel that turns fast.
        let near = sight.expand2(vec2(0.0, sight.height()));
        if top > near.bottom() || top + *height < near.top() {
            ui.allocate_space(vec2(1.0, *height));
        } else {
            let laid = ui.push_id(n, |ui| row(ui, n));
            *height = laid.response.rect.height();
        }
    }
    ui.data_mut(|data| data.insert_temp(id, tall));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows laid out by one pass over a list of `count` rows, 20 points each, in a window 200 points high.
    fn laid(ctx: &egui::Context, count: usize) -> (usize, f32) {
        let (mut laid, mut whole) = (0, 0.0);
        let room = egui::Rect::from_min_size(egui::Pos2::ZERO, vec2(300.0, 200.0));
        let input = egui::RawInput {
            screen_rect: Some(room),
            ..egui::RawInput::default()
        };
        let mut out = ctx.run_ui(input, |ui| {
            let shown = egui::ScrollArea::vertical().show(ui, |ui| {
                rows_in_sight(ui, "rows", count, 24.0, |ui, _| {
                    ui.allocate_space(vec2(100.0, 20.0));
                    laid += 1;
                });
            });
            whole = shown.content_size.y;
        });
        out.textures_delta.clear();
        (laid, whole)
    }

    #[test]
    fn a_long_list_lays_out_what_is_in_sight() {
        let ctx = egui::Context::default();
        let (few, _) = laid(&ctx, FEW);
        assert_eq!(few, FEW);
        let (many, whole) = laid(&ctx, 5_000);
        assert!(many > 10 && many < 60, "{many}");
        assert!(whole > 5_000.0 * 20.0, "{whole}");
    }
}
