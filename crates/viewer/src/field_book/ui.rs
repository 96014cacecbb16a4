//! The panel of the field book, and measured places beside planned ones over the picture.

use bevy_egui::egui::{self, Color32, FontId, Pos2, Rect, RichText, Sense, Stroke, vec2};
use field::{Beside, Row, STAGES, Said, Sheet, Stage, Weight};
use glam::DVec3;

use super::state::{BookAsk, BookState};
use crate::focus::{self, door, row as row_of};
use crate::house::Verdict;
use crate::theme;

/// The panel.
pub fn book_ui(ui: &mut egui::Ui, state: &BookState) -> Option<BookAsk> {
    ui.heading("Field book");
    let page = match &state.sheet {
        Some(Ok(page)) => page,
        Some(Err(wrong)) => {
            ui.label(
                "The book has mistakes; it is left as it is until they are put right in the file:",
            );
            egui::ScrollArea::vertical().show(ui, |ui| {
                wrong
                    .lines()
                    .for_each(|line| told(ui, Verdict::Fails, line));
            });
            return None;
        }
        None => {
            ui.label("Reading the book ...");
            return None;
        }
    };
    let mut ask = head_ui(ui, state, page);
    ui.separator();
    door(ui, "field book");
    if let Some(row) = state.picked.and_then(|row| page.rows.get(row)) {
        ask = entry_ui(ui, state, row).or(ask);
        ui.separator();
    }
    egui::ScrollArea::vertical()
        .auto_shrink([false, true])
        .show(ui, |ui| {
            answers_ui(ui, state);
            changed_ui(ui, state);
            for (index, row) in page.rows.iter().enumerate() {
                if row_ui(ui, row, state.picked == Some(index)) {
                    ask = Some(BookAsk::Pick(index));
                }
            }
            rest_ui(ui, page);
            ask = stamp_ui(ui, state).or(ask.take());
        });
    turned(ui, page.stage).map(BookAsk::Stage).or(ask)
}

/// The stage that the keys ask for while something is typed.
fn turned(ui: &egui::Ui, stage: Stage) -> Option<Stage> {
    let typing = ui.memory(|memory| memory.focused().is_some());
    let at = STAGES.iter().position(|(_, one)| *one == stage)?;
    let pressed = |key| typing && ui.input(|input| input.key_pressed(key));
    let next = if pressed(egui::Key::PageDown) {
        at + 1
    } else if pressed(egui::Key::PageUp) {
        at.checked_sub(1)?
    } else {
        return None;
    };
    STAGES.get(next).map(|(_, stage)| *stage)
}

/// Where the stamp of a printed page is typed, and which layout it names.
fn stamp_ui(ui: &mut egui::Ui, state: &BookState) -> Option<BookAsk> {
    ui.add_space(8.0);
    let mut stamp = state.stamp.clone();
    let edited = ui.horizontal(|ui| {
        let label = ui.label("Stamp on a printed page");
        let edit = egui::TextEdit::singleline(&mut stamp)
            .desired_width(130.0)
            .hint_text("eight of 0-9, a-f");
        ui.add(edit).labelled_by(label.id).changed()
    });
    if let Some(says) = &state.stamped {
        ui.add(egui::Label::new(says).wrap());
    }
    edited.inner.then_some(BookAsk::Stamp(stamp))
}

fn head_ui(ui: &mut egui::Ui, state: &BookState, page: &Sheet) -> Option<BookAsk> {
    let mut ask = None;
    ui.horizontal_wrapped(|ui| {
        let stages = egui::ComboBox::from_id_salt("stage")
            .selected_text(page.stage.says())
            .show_ui(ui, |ui| {
                for (_, stage) in STAGES {
                    let line = ui.selectable_label(page.stage == stage, stage.says());
                    if focus::chosen(ui, &line) {
                        ask = Some(BookAsk::Stage(stage));
                    }
                }
            })
            .response;
        stages.widget_info(|| {
            let mut info = egui::WidgetInfo::labeled(egui::WidgetType::ComboBox, true, "Stage");
            info.current_text_value = Some(page.stage.says().to_owned());
            info
        });
        focus::back_to(&stages, ask.is_some());
        stages.on_hover_text("Page Up and Page Down turn it while you type");
        let n = page
            .rows
            .iter()
            .filter(|row| row.measured.is_some())
            .count();
        ui.label(format!("{n} of {} measured", page.rows.len()));
        let label = ui.label("by");
        let mut who = state.session.who.clone();
        let edit = egui::TextEdit::singleline(&mut who)
            .desired_width(70.0)
            .hint_text("who");
        if ui.add(edit).labelled_by(label.id).changed() {
            ask = Some(BookAsk::Who(who));
        }
    });
    ask
}

/// The reading that is asked for.
fn entry_ui(ui: &mut egui::Ui, state: &BookState, row: &Row) -> Option<BookAsk> {
    let mut ask = None;
    ui.strong(&row.name);
    let asked = ui.add(egui::Label::new(&row.due.asks).wrap());
    for (word, figures) in [
        ("planned", Some(&row.due.plan)),
        ("measured", row.measured.as_ref()),
    ] {
        if let Some(figures) = figures.filter(|figures| !figures.is_empty()) {
            ui.add(egui::Label::new(format!("{word}  {figures}")).wrap());
        }
    }
    ui.horizontal(|ui| {
        let mut typed = state.typed.clone();
        let edit = egui::TextEdit::singleline(&mut typed)
            .id_salt("typed")
            .desired_width(ui.available_width() - 60.0)
            .hint_text(format!("like {}", row.due.like));
        let response = ui.add(edit).labelled_by(asked.id);
        let entered = response.lost_focus() && ui.input(|i| i.key_pressed(egui::Key::Enter));
        if response.changed() {
            ask = Some(BookAsk::Typing(typed));
        }
        // The next one is typed without reaching for the mouse.
        if entered || is_new(ui, &row.name) {
            response.request_focus();
        }
        if ui.button("Note").clicked() || entered {
            ask = Some(BookAsk::Note);
        }
    });
    if let Some(odd) = &state.odd {
        told(
            ui,
            Verdict::Ask,
            &format!("{}; did you mean {}?", odd.wrong, odd.meant),
        );
        if ui.button("Note it as typed: it was read twice").clicked() {
            ask = Some(BookAsk::AsTyped);
        }
    } else if let Some(wrong) = &state.wrong {
        told(ui, Verdict::Fails, &format!("Not noted: {wrong}"));
    }
    ask
}

/// Whether another reading is asked for than in the frame before.
fn is_new(ui: &egui::Ui, name: &str) -> bool {
    let key = egui::Id::new("asked for");
    let before = ui.data_mut(|data| {
        let before: Option<String> = data.get_temp(key);
        data.insert_temp(key, name.to_owned());
        before
    });
    before.as_deref() != Some(name)
}

/// What was noted last, and what it means.
fn answers_ui(ui: &mut egui::Ui, state: &BookState) {
    let Some((name, said)) = &state.told else {
        return;
    };
    let frame = egui::Frame::new()
        .fill(theme::PAPER.egui())
        .corner_radius(4.0)
        .inner_margin(6.0);
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.label(RichText::new(format!("Noted, {name}")).strong());
        if said.is_empty() {
            ui.label("It is in the book.");
        }
        said.iter().for_each(|one| said_ui(ui, one));
    });
    ui.add_space(6.0);
}

fn said_ui(ui: &mut egui::Ui, said: &Said) {
    told(ui, verdict(said.weight), &said.says);
    if !said.next.is_empty() && !said.explained {
        ui.horizontal_top(|ui| {
            ui.add_space(22.0);
            let next = RichText::new(format!("Next: {}", said.next)).strong();
            ui.add(egui::Label::new(next).wrap());
        });
    }
}

/// A line behind a verdict's shape.
fn told(ui: &mut egui::Ui, verdict: Verdict, line: &str) {
    ui.horizontal_top(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
        theme::verdict_shape(ui.painter(), rect.center(), 5.5, verdict);
        ui.add(egui::Label::new(line).wrap());
    });
}

/// One wanted reading. Whether it was clicked.
fn row_ui(ui: &mut egui::Ui, row: &Row, picked: bool) -> bool {
    let fill = if picked {
        theme::SPARE.egui()
    } else {
        Color32::TRANSPARENT
    };
    let frame = egui::Frame::new()
        .fill(fill)
        .corner_radius(4.0)
        .inner_margin(egui::Margin::symmetric(4, 3));
    let inner = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
            if let Some(weight) = row.weight() {
                theme::verdict_shape(ui.painter(), rect.center(), 5.5, verdict(weight));
            } else {
                let ring = Stroke::new(1.2, theme::QUIET.egui());
                ui.painter().circle_stroke(rect.center(), 4.5, ring);
            }
            ui.vertical(|ui| {
                ui.add(egui::Label::new(&row.name).wrap().selectable(false));
                let figures = match (&row.measured, row.due.plan.is_empty()) {
                    (Some(measured), true) => measured.clone(),
                    (Some(measured), false) => {
                        format!("planned {}\nmeasured {measured}", row.due.plan)
                    }
                    (None, true) => return,
                    (None, false) => format!("planned {}", row.due.plan),
                };
                let small = RichText::new(figures).small().color(theme::QUIET.egui());
                ui.add(egui::Label::new(small).wrap().selectable(false));
            });
        });
    });
    let response = row_of(ui, &inner.response);
    let name = &row.name;
    response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Button, true, name));
    response
        .on_hover_cursor(egui::CursorIcon::PointingHand)
        .clicked()
}

/// What the changes since the window opened do to what is built: first of all, for it stops the work.
fn changed_ui(ui: &mut egui::Ui, state: &BookState) {
    if state.changed.is_empty() {
        return;
    }
    ui.heading("What the change of the layout does");
    for section in &state.changed {
        ui.add_space(4.0);
        ui.strong(section.heading);
        lines(ui, &section.lines);
    }
    ui.add_space(4.0);
    ui.separator();
}

/// What follows from all readings: the rest solved again and the stop points.
fn rest_ui(ui: &mut egui::Ui, page: &Sheet) {
    if !page.again.is_empty() {
        ui.add_space(8.0);
        ui.strong("Solved again from what stands");
        lines(ui, &page.again);
    }
    ui.add_space(8.0);
    ui.strong("Stop points");
    for point in &page.stops {
        let says = point.stop.says();
        if point.is_ready() {
            told(
                ui,
                Verdict::Note,
                &format!("{says}: ready, nothing missing"),
            );
            continue;
        }
        let how = match (point.against.len(), point.missing.len()) {
            (0, _) => "not ready, readings are missing".to_owned(),
            (1, _) => "not ready, one thing stands against it".to_owned(),
            (n, _) => format!("not ready, {n} things stand against it"),
        };
        let shape = if point.against.is_empty() {
            Verdict::Ask
        } else {
            Verdict::Fails
        };
        let open = egui::CollapsingHeader::new(format!("{says}: {how}")).id_salt(point.stop.says());
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 20.0), Sense::hover());
            theme::verdict_shape(ui.painter(), rect.center(), 5.5, shape);
            ui.vertical(|ui| {
                open.show(ui, |ui| {
                    lines(ui, &point.against);
                    lines(ui, &point.missing);
                });
            });
        });
    }
}

/// Lines, those that begin with spaces set in.
fn lines(ui: &mut egui::Ui, lines: &[String]) {
    for line in lines {
        let inner = line.trim_start();
        let deep = (line.len() - inner.len()) as f32;
        ui.horizontal_top(|ui| {
            ui.add_space(4.0 + deep * 5.0);
            ui.add(egui::Label::new(inner).wrap());
        });
    }
}

fn verdict(weight: Weight) -> Verdict {
    match weight {
        Weight::Stop => Verdict::Fails,
        Weight::Look => Verdict::Ask,
        Weight::Nothing => Verdict::Note,
    }
}

/// Rings where stubs and sleeves should be, shapes where they are, and how far apart. Gives the room that took.
pub fn book_paint(
    painter: &egui::Painter,
    beside: &[Beside],
    picked: Option<&str>,
    scale: f32,
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) -> Vec<Rect> {
    let mut taken = Vec::new();
    for one in beside {
        let (Some(planned), Some(measured)) = (project(one.planned), project(one.measured)) else {
            continue;
        };
        painter.circle_stroke(planned, 6.5, Stroke::new(3.5, Color32::WHITE));
        painter.circle_stroke(planned, 6.5, Stroke::new(1.6, theme::INK.egui()));
        painter.line_segment([planned, measured], Stroke::new(4.0, Color32::WHITE));
        painter.line_segment([planned, measured], Stroke::new(2.0, theme::MEASURE.egui()));
        theme::verdict_shape(painter, measured, 6.0, verdict(one.weight));
        taken.push(Rect::from_center_size(measured, vec2(16.0, 16.0)));
        let wanted = one.weight != Weight::Nothing || picked == Some(one.id.as_str());
        if wanted && !one.says.is_empty() {
            let words = format!("{}: {}", one.id, one.says);
            let tag = tag_paint(painter, measured, words, scale, &taken);
            taken.push(tag);
        }
    }
    taken
}

/// White words on ink under a place, lower where others stand already.
fn tag_paint(
    painter: &egui::Painter,
    under: Pos2,
    words: String,
    scale: f32,
    taken: &[Rect],
) -> Rect {
    let font = FontId::proportional(12.5 * scale);
    let galley = painter.layout_no_wrap(words, font, Color32::WHITE);
    let size = galley.size() + vec2(10.0, 4.0);
    let mut rect = egui::Align2::CENTER_TOP.anchor_size(under + vec2(0.0, 10.0), size);
    let room = painter.clip_rect().shrink(4.0);
    rect = rect.translate(vec2((room.left() - rect.left()).max(0.0), 0.0));
    while taken.iter().any(|other| other.intersects(rect)) && rect.bottom() < room.bottom() {
        rect = rect.translate(vec2(0.0, 6.0));
    }
    painter.rect_filled(rect, 4.0, theme::TAG.egui());
    painter.galley(rect.min + vec2(5.0, 2.0), galley, Color32::WHITE);
    rect
}
