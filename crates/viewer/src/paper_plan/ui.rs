//! The plan over the slab, and the card that asks where its points are.

use bevy_egui::egui::{self, Color32, Pos2, RichText, Stroke, TextureId};
use glam::{DVec2, DVec3};

use super::PaperPlan;
use crate::theme;

/// Squares a side that the picture is cut into, so that it lies flat in perspective.
const SQUARES: u32 = 24;

/// From here up it begins to be seen, radians over level.
pub(crate) const ASLANT: f32 = 0.75;
/// How much of the picture is left over pipes.
const OVER_PIPES: f32 = 0.6;

/// What the card asks for.
#[derive(Clone, PartialEq, Debug)]
pub enum PaperAsk {
    /// What is typed of the asked point, not told yet.
    Typing(
        /// East and north.
        [String; 2],
    ),
    /// The asked point is there.
    Tell(
        /// East and north.
        [String; 2],
    ),
    /// Tell two more points, that straighten it.
    Straighten,
    /// How much of it is seen.
    Strength(
        /// 0 to 1.
        f32,
    ),
    /// Take the last point back.
    Back,
    /// Tell its points again.
    Again,
    /// Take it away.
    Away,
}

/// The card.
pub fn paper_ui(ui: &mut egui::Ui, plan: &PaperPlan, wrong: Option<&str>) -> Option<PaperAsk> {
    let mut ask = None;
    ui.horizontal_wrapped(|ui| {
        ui.strong("From paper");
        ui.label(RichText::new(&plan.name).color(theme::QUIET.egui()));
    });
    match (&plan.asked, plan.fitting, plan.known.len()) {
        (Some((pixel, typed)), _, _) => {
            let mut now = typed.clone();
            ui.label("Where is this point? So far east and north of the slab's south-west corner.");
            let entered = place_fields(ui, *pixel, &mut now);
            if ui.button("It is there").clicked() || entered {
                ask = Some(PaperAsk::Tell(now));
            } else if now != *typed {
                ask = Some(PaperAsk::Typing(now));
            }
        }
        (None, true, 0) => {
            ui.label("Click a corner of the slab on the picture whose place you know.");
        }
        (None, true, 1) => {
            ui.label("Now a second one, far from the first.");
        }
        (None, true, 2) => {
            ui.label("A third one, well off the line of the first two.");
        }
        (None, true, _) => {
            ui.label("And a fourth, so that the four make a large figure.");
        }
        (None, false, told) if told < super::TO_STRAIGHTEN => {
            ui.label(
                "Squared and scaled. If it was photographed aslant, two more points straighten it.",
            );
            if ui.button("Tell two more points").clicked() {
                ask = Some(PaperAsk::Straighten);
            }
        }
        (None, false, _) => {
            ui.label("Straightened by four points.");
        }
    }
    if let Some(wrong) = wrong {
        ui.label(RichText::new(wrong).color(theme::verdict_tint(crate::Verdict::Fails).egui()));
    }
    let mut strength = plan.strength;
    let slider = egui::Slider::new(&mut strength, 0.0..=1.0)
        .show_value(false)
        .text("strength");
    if ui.add(slider).changed() {
        ask = Some(PaperAsk::Strength(strength));
    }
    ui.horizontal_wrapped(|ui| {
        let any = plan.asked.is_some() || !plan.known.is_empty();
        let back = egui::Button::new("Last point back");
        if ui.add_enabled(any, back).clicked() {
            ask = Some(PaperAsk::Back);
        }
        if ui.button("All again").clicked() {
            ask = Some(PaperAsk::Again);
        }
        if ui.button("Take it away").clicked() {
            ask = Some(PaperAsk::Away);
        }
    });
    ask
}

/// East and north of the asked point. A point just clicked is typed over at once; whether Enter ended the typing.
fn place_fields(ui: &mut egui::Ui, pixel: DVec2, typed: &mut [String; 2]) -> bool {
    let asked = egui::Id::new("point asked last");
    let fresh = ui.data(|data| data.get_temp::<DVec2>(asked)) != Some(pixel);
    ui.data_mut(|data| data.insert_temp(asked, pixel));
    let mut entered = false;
    egui::Grid::new("told").num_columns(2).show(ui, |ui| {
        for (n, (label, text)) in ["east", "north"].into_iter().zip(typed).enumerate() {
            let label = ui.label(label);
            let long = text.chars().count();
            let mut shown = egui::TextEdit::singleline(text)
                .desired_width(110.0)
                .show(ui);
            shown.response.response.clone().labelled_by(label.id);
            if n == 0 && fresh {
                shown.response.request_focus();
            }
            if shown.response.gained_focus() || n == 0 && fresh {
                select_all(ui, &mut shown, long);
            }
            let enter = ui.input(|input| input.key_pressed(egui::Key::Enter));
            entered |= shown.response.lost_focus() && enter;
            ui.end_row();
        }
    });
    entered
}

/// Marks all of a text, so that typing replaces it.
pub fn select_all(ui: &egui::Ui, shown: &mut egui::text_edit::TextEditOutput, long: usize) {
    let all =
        egui::text::CCursorRange::two(egui::text::CCursor::new(0), egui::text::CCursor::new(long));
    shown.state.cursor.set_char_range(Some(all));
    shown.state.clone().store(ui.ctx(), shown.response.id);
}

/// Why there is no picture.
pub fn paper_wrong_ui(ui: &mut egui::Ui, wrong: &str) -> Option<PaperAsk> {
    ui.strong("From paper");
    ui.label(wrong);
    ui.button("Put away").clicked().then_some(PaperAsk::Away)
}

/// How much of the picture is seen from a pitch, radians over level: all of it from above, a trace of it aslant, where it would lie
/// over the pipes, nothing from below.
fn seen(pitch: f32) -> f32 {
    if pitch < 0.0 {
        return 0.0;
    }
    let above = 1.25;
    let part = ((pitch - ASLANT) / (above - ASLANT)).clamp(0.0, 1.0);
    0.15 + 0.85 * part
}

/// How often its dots are halved so that about each of them is seen.
fn halvings(plan: &PaperPlan, project: &dyn Fn(DVec3) -> Option<Pos2>) -> usize {
    let middle = plan.size() / 2.0;
    let on_screen = |pixel: DVec2| project(plan.fit.house(pixel).extend(0.0));
    let ends = (on_screen(middle), on_screen(middle + DVec2::X));
    let dot = ends.0.zip(ends.1).map_or(1.0, |(a, b)| a.distance(b));
    let most = plan.images.len().saturating_sub(1);
    (0..most)
        .find(|n| dot * 2.0_f32.powi(i32::try_from(*n).unwrap_or(0)) > 0.6)
        .unwrap_or(most)
}

/// Lays the picture on the finished floor, with its known points; `texture` is that of one of its images, `pitch` that of the
/// eye, radians over level. Over `pipes` it is faint: they are what is looked at then.
pub fn paper_paint(
    painter: &egui::Painter,
    plan: &PaperPlan,
    texture: &dyn Fn(usize) -> TextureId,
    (pitch, pipes): (f32, bool),
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) {
    let DVec2 {
        x: width,
        y: height,
    } = plan.size();
    let mut mesh = egui::Mesh::with_texture(texture(halvings(plan, project)));
    let faint = if pipes && !plan.fitting {
        OVER_PIPES
    } else {
        1.0
    };
    let tint = Color32::WHITE.gamma_multiply(plan.strength * seen(pitch) * faint);
    let part = |n: u32| f64::from(n) / f64::from(SQUARES);
    let mut corners: Vec<Option<u32>> = Vec::new();
    for row in 0..=SQUARES {
        for column in 0..=SQUARES {
            let (u, v) = (part(column), part(row));
            let at = plan.fit.house(DVec2::new(u * width, v * height));
            let index = u32::try_from(mesh.vertices.len()).ok();
            let corner = project(at.extend(0.0)).map(|pos| {
                let uv = egui::pos2(narrow(u), narrow(v));
                mesh.vertices.push(egui::epaint::Vertex {
                    pos,
                    uv,
                    color: tint,
                });
            });
            corners.push(corner.and(index));
        }
    }
    let side = SQUARES as usize + 1;
    for row in 0..SQUARES as usize {
        for column in 0..SQUARES as usize {
            let at = row * side + column;
            let square = [at, at + 1, at + side, at + side + 1].map(|n| corners[n]);
            // A square that reaches behind the eye is left out.
            if let [Some(a), Some(b), Some(c), Some(d)] = square {
                mesh.add_triangle(a, b, c);
                mesh.add_triangle(c, b, d);
            }
        }
    }
    painter.add(egui::Shape::mesh(mesh));
    if pitch < ASLANT && !plan.fitting {
        return;
    }
    let asked = plan.asked.as_ref().map(|(pixel, _)| *pixel);
    for pixel in plan.known.iter().map(|(pixel, _)| *pixel).chain(asked) {
        if let Some(at) = project(plan.fit.house(pixel).extend(0.0)) {
            painter.circle(
                at,
                6.0,
                Color32::TRANSPARENT,
                Stroke::new(2.5, theme::MEASURE.egui()),
            );
            painter.circle_filled(at, 2.0, theme::MEASURE.egui());
        }
    }
}

#[allow(clippy::cast_possible_truncation)]
fn narrow(value: f64) -> f32 {
    value as f32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plan_is_seen_from_above_and_leaves_the_house_alone() {
        assert!((seen(1.5) - 1.0).abs() < 1e-6);
        assert!(seen(0.6) < 0.2);
        assert_eq!(seen(-0.4).to_bits(), 0.0_f32.to_bits());
    }
}
