//! The card of the thing that is held or picked, the rings to take hold of, and the questions that wait for an answer.

use std::collections::BTreeMap;

use bevy_egui::egui::{self, Align2, Color32, FontId, Pos2, RichText, Stroke, vec2};
use glam::DVec3;
use layout::Edit;

use super::fields::{Field, Typed};
use super::grips::{Grip, Hold};
use super::place::{CLEANOUT, PLACED, called};
use super::state::EditState;
use crate::focus::{self, door};
use crate::house::Verdict;
use crate::theme;

/// What the card and the questions ask for.
#[derive(Clone, PartialEq, Debug)]
pub enum EditAsk {
    /// Make a change.
    Change(
        /// Which.
        Edit,
    ),
    /// Figures under the hand, not written yet.
    Typing(
        /// By label.
        BTreeMap<String, String>,
    ),
    /// Let the next click place a thing of this kind, or none.
    Placing(
        /// The layout's word for it.
        Option<&'static str>,
    ),
    /// Put a bend into the picked run.
    Bend,
    /// Ask on the evening's path how the picked fixture is vented.
    Vent,
    /// Take the item away, with what hangs on it.
    Remove,
    /// Undo.
    Undo,
    /// Redo.
    Redo,
    /// Save.
    Save,
    /// Show another item's figures.
    Item(
        /// Its id.
        String,
    ),
    /// Keep what is here, not what the file says now.
    KeepMine,
    /// Take what the file says now.
    TakeTheirs,
    /// Take up the unsaved work from last time.
    TakeUp,
    /// Throw it away.
    ThrowAway,
}

/// The card: undo, redo, save, then the picked item's figures.
pub fn edit_ui(ui: &mut egui::Ui, state: &EditState, fields: &[Field]) -> Option<EditAsk> {
    let mut ask = None;
    let (undo, redo) = state.draft.can();
    ui.horizontal(|ui| {
        let mut button = |words: &str, can: bool, what: EditAsk| {
            if ui.add_enabled(can, egui::Button::new(words)).clicked() {
                ask = Some(what);
            }
        };
        button("Undo (Ctrl Z)", undo, EditAsk::Undo);
        button("Redo (Ctrl Y)", redo, EditAsk::Redo);
        button("Save (Ctrl S)", state.draft.is_unsaved(), EditAsk::Save);
    });
    let told = if state.draft.is_unsaved() {
        "Not saved yet"
    } else {
        state.told.as_deref().unwrap_or("As saved")
    };
    ui.label(RichText::new(told).small().color(theme::QUIET.egui()));
    ui.separator();
    door(ui, "edit");
    if let Some(item) = &state.item {
        ui.strong(item);
        ask = item_ui(ui, state, fields).or(ask);
    } else {
        ui.label(
            "Drag a ring to move what it belongs to, or click one for its figures; \
             by keys, A goes to the next and Enter takes it.",
        );
        ask = placing_ui(ui, state).or(ask);
    }
    if let Some(why) = &state.refused {
        ui.separator();
        refusal_ui(ui, why);
    }
    ask
}

fn placing_ui(ui: &mut egui::Ui, state: &EditState) -> Option<EditAsk> {
    let mut ask = None;
    let words = called;
    ui.horizontal(|ui| {
        let label = ui.label("Add a");
        let combo = egui::ComboBox::from_id_salt("placing")
            .selected_text(state.placing.map_or("...".into(), words))
            .show_ui(ui, |ui| {
                for kind in PLACED.map(|(kind, _)| kind).into_iter().chain([CLEANOUT]) {
                    let on = state.placing == Some(kind);
                    let line = ui.selectable_label(on, words(kind));
                    if focus::chosen(ui, &line) {
                        ask = Some(EditAsk::Placing((!on).then_some(kind)));
                    }
                }
            });
        combo.response.labelled_by(label.id);
    });
    match state.placing {
        Some(CLEANOUT) => {
            ui.label("Click the run it stands on, or the line outside.");
        }
        Some(kind) => {
            ui.label(format!(
                "Click where the {} comes up; its drain runs to the nearest run.",
                words(kind)
            ));
        }
        None => {}
    }
    ask
}

/// The first lines of what is wrong with a text, without the place in the file: here nobody reads the file.
pub fn in_short(why: &str) -> String {
    let plain = |line: &str| {
        let (place, says) = line.split_once(": ")?;
        let mut parts = place.rsplit(':');
        let mut is_number = || {
            parts
                .next()
                .is_some_and(|part| part.parse::<usize>().is_ok())
        };
        (is_number() && is_number()).then(|| says.to_owned())
    };
    let lines = why.lines().take(3);
    let lines: Vec<String> = lines
        .map(|line| plain(line).unwrap_or_else(|| line.into()))
        .collect();
    lines.join("\n")
}

fn refusal_ui(ui: &mut egui::Ui, why: &str) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), egui::Sense::hover());
        theme::verdict_shape(ui.painter(), rect.center(), 5.5, Verdict::Fails);
        ui.add(egui::Label::new(format!("Not changed: {}", in_short(why))).wrap());
    });
}

fn item_ui(ui: &mut egui::Ui, state: &EditState, fields: &[Field]) -> Option<EditAsk> {
    let mut ask = None;
    let mut typing = state.typing.clone();
    egui::Grid::new("figures")
        .num_columns(2)
        .spacing([10.0, 4.0])
        .show(ui, |ui| {
            for field in fields {
                let label = ui.label(&field.label);
                if let Some(edit) = field_ui(ui, field, &mut typing, &label) {
                    ask = Some(EditAsk::Change(edit));
                }
                ui.end_row();
            }
        });
    if fields.is_empty() {
        ui.label("Nothing of it can be typed here.");
        return ask;
    }
    let of = |section: &str| {
        let mut fields = fields.iter();
        fields.any(|field| field.path.first() == Some(&section.into()))
    };
    ui.horizontal(|ui| {
        if of("runs") && ui.button("Add a bend").clicked() {
            ask = Some(EditAsk::Bend);
        }
        if of("fixtures") && ui.button("Its vent ...").clicked() {
            ask = Some(EditAsk::Vent);
        }
        if ui
            .button("Take away")
            .on_hover_text("With the run that starts at it")
            .clicked()
        {
            ask = Some(EditAsk::Remove);
        }
    });
    if ask.is_none() && typing != state.typing {
        ask = Some(EditAsk::Typing(typing));
    }
    ask
}

fn field_ui(
    ui: &mut egui::Ui,
    field: &Field,
    typing: &mut BTreeMap<String, String>,
    label: &egui::Response,
) -> Option<Edit> {
    match field.typed {
        Typed::Choice(of) => choice_ui(ui, field, of, label),
        Typed::Length | Typed::Number => {
            let mut text = typing.get(&field.label).unwrap_or(&field.value).clone();
            let hint = if field.value.is_empty() { "auto" } else { "" };
            let edit = egui::TextEdit::singleline(&mut text)
                .desired_width(118.0)
                .hint_text(hint);
            let response = ui.add(edit).labelled_by(label.id);
            // Escape leaves the figure as it was.
            if response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Escape)) {
                typing.remove(&field.label);
                return None;
            }
            if response.lost_focus() {
                typing.remove(&field.label);
                return field.write(&text);
            }
            if response.changed() {
                typing.insert(field.label.clone(), text);
            }
            None
        }
    }
}

fn choice_ui(
    ui: &mut egui::Ui,
    field: &Field,
    of: &'static [&'static str],
    label: &egui::Response,
) -> Option<Edit> {
    let mut picked = None;
    let words = |ron: &str| {
        if ron.is_empty() {
            "auto".to_owned()
        } else {
            ron.replace(['"', '[', ']'], "").replace('_', " ")
        }
    };
    let combo = egui::ComboBox::from_id_salt(&field.label)
        .width(118.0)
        .selected_text(words(&field.value))
        .show_ui(ui, |ui| {
            for one in of {
                let line = ui.selectable_label(field.value == *one, words(one));
                if focus::chosen(ui, &line) {
                    picked = Some(*one);
                }
            }
        });
    focus::back_to(&combo.response.labelled_by(label.id), picked.is_some());
    picked.and_then(|typed| field.write(typed))
}

/// The question that waits: unsaved work from last time, or a file changed under unsaved work.
///
/// Gives the answer and where its buttons are.
pub fn question_ui(ui: &mut egui::Ui, state: &EditState) -> (Option<EditAsk>, Vec<egui::Rect>) {
    let (says, yes, no) = if state.theirs.is_some() {
        (
            "The file was changed by something else, and here too. Undo leads back from either.",
            ("Keep what is here", EditAsk::KeepMine),
            ("Take the file", EditAsk::TakeTheirs),
        )
    } else if state.found.is_some() {
        (
            "There is work from last time that was not saved.",
            ("Go on with it", EditAsk::TakeUp),
            ("Throw it away", EditAsk::ThrowAway),
        )
    } else {
        return (None, Vec::new());
    };
    let (mut ask, mut answers) = (None, Vec::new());
    ui.strong(says);
    ui.horizontal(|ui| {
        for (words, what) in [yes, no] {
            let button = ui.button(words);
            answers.push(button.rect);
            if button.clicked() {
                ask = Some(what);
            }
        }
    });
    (ask, answers)
}

/// What a ring belongs to; a cleanout called cleanout is not told twice.
fn named(grip: &Grip) -> String {
    if grip.hold.word() == grip.id {
        grip.id.clone()
    } else {
        format!("{} {}", grip.hold.word(), grip.id)
    }
}

/// The rings to take hold of, and at the held one what draws it.
pub fn grips_paint(
    painter: &egui::Painter,
    state: &EditState,
    scale: f32,
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) {
    for (index, grip) in state.grips.iter().enumerate() {
        let Some(at) = project(grip.at) else { continue };
        let near = state.hover == Some(index);
        let picked = state.item.as_deref() == Some(grip.id.as_str());
        ring(painter, at, grip.hold, near, picked);
        if near && state.held.is_none() {
            tag(painter, at, scale, &named(grip));
        }
    }
    let Some(held) = &state.held else { return };
    let Some(at) = project(held.at.extend(held.grip.at.z)) else {
        return;
    };
    let figures = format!(
        "{} east, {} north",
        units::feet_inches(held.at.x, 8),
        units::feet_inches(held.at.y, 8)
    );
    let says = match (&state.refused, held.says.is_empty()) {
        (Some(why), _) => why.lines().next().unwrap_or_default().to_owned(),
        (None, false) => format!("{}\n{figures}", held.says),
        (None, true) => figures,
    };
    ring(painter, at, held.grip.hold, true, true);
    tag(painter, at, scale, &says);
}

fn ring(painter: &egui::Painter, at: Pos2, hold: Hold, near: bool, picked: bool) {
    let ink = if picked {
        theme::MEASURE.egui()
    } else {
        theme::INK.egui()
    };
    let size = if near { 8.0 } else { 5.5 };
    let stroke = Stroke::new(if near { 2.5 } else { 1.8 }, ink);
    let fill = theme::CARD.glass(205);
    match hold {
        Hold::Fixture | Hold::Cleanout | Hold::Start => {
            painter.circle(at, size, fill, stroke);
        }
        Hold::Bend(_) | Hold::Junction | Hold::Exit => {
            let corner = |x: f32, y: f32| at + vec2(x, y) * size * 1.15;
            let points = vec![
                corner(0.0, -1.0),
                corner(1.0, 0.0),
                corner(0.0, 1.0),
                corner(-1.0, 0.0),
            ];
            painter.add(egui::Shape::convex_polygon(points, fill, stroke));
        }
        Hold::Cabinet | Hold::BoxOut | Hold::Wall => {
            let rect = egui::Rect::from_center_size(at, vec2(size, size) * 1.6);
            painter.rect(rect, 1.5, fill, stroke, egui::StrokeKind::Middle);
        }
    }
}

fn tag(painter: &egui::Painter, at: Pos2, scale: f32, text: &str) {
    let font = FontId::proportional(13.0 * scale);
    let room = painter.clip_rect().shrink(4.0);
    let galley = painter.layout(
        text.to_owned(),
        font,
        Color32::WHITE,
        (room.width() * 0.4).max(80.0),
    );
    let rect =
        Align2::LEFT_BOTTOM.anchor_size(at + vec2(14.0, -12.0), galley.size() + vec2(12.0, 6.0));
    let rect = rect.translate(vec2(
        (room.right() - rect.right()).min(0.0),
        (room.top() - rect.top()).max(0.0),
    ));
    painter.rect_filled(rect, 4.0, theme::TAG.egui());
    painter.galley(rect.min + vec2(6.0, 3.0), galley, Color32::WHITE);
}

#[cfg(test)]
mod tests {
    use super::in_short;

    #[test]
    fn what_is_wrong_is_told_without_its_place_in_the_file() {
        let why = "house.ron:2:2811: runs \"arm\" to at: the junction lies 14.0 in off";
        assert_eq!(
            in_short(why),
            "runs \"arm\" to at: the junction lies 14.0 in off"
        );
        let plain = "there is no pipe: within two feet";
        assert_eq!(in_short(plain), plain);
    }
}
