//! The panel of the path, and what is clicked so far in the picture. Plain egui.

use std::collections::BTreeMap;

use bevy_egui::egui::{self, Align2, Color32, FontId, Pos2, RichText, Sense, Stroke, vec2};
use glam::{DVec2, DVec3};
use layout::{Answer, Edit, FixtureKind, Layout, Room};

use super::blanks::{Blank, Typed};
use super::outline::heading;
use super::question::{Clicks, Question, Sentence};
use super::state::EveningState;
use crate::edit::{called, in_short};
use crate::focus::{self, door};
use crate::house::{House, Verdict};
use crate::paper_plan::{PaperAsk, PaperPlan, paper_ui, select_all};
use crate::theme;

/// A square of the empty sheet, inches, and how many there are each way.
const SQUARE: f64 = 120.0;
const SQUARES: (u32, u32) = (8, 6);

/// A question longer than this is wrapped, points: the panel stays as narrow as it was.
const LABEL: f32 = 136.0;

/// What the panel asks for.
#[derive(Clone, PartialEq, Debug)]
pub enum EveningAsk {
    /// Open a question.
    Go(
        /// Which.
        Question,
    ),
    /// The question after or before.
    Step(
        /// 1 or -1.
        isize,
    ),
    /// What is typed, not written yet.
    Typing(
        /// By the blank's name.
        BTreeMap<String, String>,
    ),
    /// Write the answer into the layout.
    Write,
    /// Take the last click back.
    TakeBack,
    /// A change that needs no writing down.
    Change(
        /// Which.
        Edit,
    ),
    /// Show an item's figures.
    Item(
        /// Its id.
        String,
    ),
    /// Lay the picture at a path.
    Lay(
        /// The path.
        String,
    ),
    /// Something asked of the picture.
    Paper(PaperAsk),
    /// Put the path away.
    Done,
}

/// What the panel shows.
#[derive(Clone, Copy, Debug)]
pub struct Shown<'a> {
    /// How far the evening has come.
    pub state: &'a EveningState,
    /// The house as far as it is told.
    pub house: &'a House,
    /// The plan picture.
    pub paper: Option<&'a PaperPlan>,
    /// Why a picture or its point could not be used.
    pub paper_wrong: Option<&'a str>,
}

impl Shown<'_> {
    fn fitted(&self) -> bool {
        self.paper.is_some_and(|paper| !paper.fitting)
    }
}

/// The panel.
pub fn evening_ui(ui: &mut egui::Ui, shown: Shown) -> Option<EveningAsk> {
    let question = shown.state.at?;
    let sentence = question.sentence();
    let mut ask = None;
    ui.horizontal(|ui| {
        ui.heading("The first evening");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Put away (Q)").clicked() {
                ask = Some(EveningAsk::Done);
            }
        });
    });
    ask = discs_ui(ui, shown, sentence).or(ask);
    ui.separator();
    ui.strong(format!("{}. {}", sentence.mark(), sentence.title()));
    ask = tabs_ui(ui, shown, question).or(ask);
    ui.add_space(2.0);
    let ways = egui::Panel::bottom("ways").show_separator_line(false);
    let way = |ui: &mut egui::Ui| way_ui(ui, shown.state);
    ask = ways.show(ui, way).inner.or(ask);
    door(ui, "evening");
    egui::ScrollArea::vertical().show(ui, |ui| {
        focus::page(ui, "evening");
        ui.label(question.asks());
        ui.add_space(4.0);
        let answer = match question {
            Question::Picture => picture_ui(ui, shown),
            _ => answer_ui(ui, shown, question),
        };
        ask = answer.or(ask.take());
        wrong_ui(ui, shown);
        ask = told_ui(ui, &shown.house.layout, question).or(ask.take());
    });
    ask
}

/// A disc a sentence: full when it is told, hollow when it is not, framed when it is open.
fn discs_ui(ui: &mut egui::Ui, shown: Shown, open: Sentence) -> Option<EveningAsk> {
    let mut ask = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(3.0, 3.0);
        for sentence in Sentence::ALL {
            let (rect, response) = ui.allocate_exact_size(vec2(23.0, 23.0), Sense::click());
            let told = sentence.is_told(shown.house, shown.fitted());
            let ink = theme::INK.egui();
            let (fill, words) = if told {
                (theme::DRAIN.egui(), Color32::WHITE)
            } else {
                (Color32::TRANSPARENT, ink)
            };
            let edge = Stroke::new(1.5, if told { fill } else { theme::QUIET.egui() });
            ui.painter().circle(rect.center(), 9.0, fill, edge);
            let font = FontId::proportional(12.0);
            let mark = sentence.mark();
            ui.painter()
                .text(rect.center(), Align2::CENTER_CENTER, mark, font, words);
            if sentence == open {
                let frame = rect.expand(0.5);
                ui.painter().rect_stroke(
                    frame,
                    4.0,
                    Stroke::new(2.0, ink),
                    egui::StrokeKind::Inside,
                );
            }
            let state = if told { "told" } else { "still to tell" };
            let name = format!("{}: {state}", sentence.title());
            response.widget_info(|| {
                egui::WidgetInfo::selected(
                    egui::WidgetType::RadioButton,
                    true,
                    sentence == open,
                    &name,
                )
            });
            if response.on_hover_text(name.clone()).clicked() {
                ask = Some(EveningAsk::Go(sentence.open(&shown.house.layout)));
            }
        }
    });
    ask
}

fn tabs_ui(ui: &mut egui::Ui, shown: Shown, open: Question) -> Option<EveningAsk> {
    let questions = open.sentence().questions();
    let mut ask = None;
    if questions.len() > 1 {
        ui.horizontal_wrapped(|ui| {
            for question in questions {
                let told = match question {
                    Question::Picture => shown.fitted(),
                    _ => question.is_said(&shown.house.layout),
                };
                let mark = if told { "\u{2714} " } else { "" };
                let words = format!("{mark}{}", question.tab());
                if ui.selectable_label(*question == open, words).clicked() {
                    ask = Some(EveningAsk::Go(*question));
                }
            }
        });
    }
    ask
}

fn picture_ui(ui: &mut egui::Ui, shown: Shown) -> Option<EveningAsk> {
    if let Some(paper) = shown.paper {
        return paper_ui(ui, paper, shown.paper_wrong).map(EveningAsk::Paper);
    }
    let mut typed = shown.state.typed.clone();
    let path = typed.entry("path".into()).or_default();
    let mut ask = None;
    if let Some(wrong) = shown.paper_wrong {
        let colour = theme::verdict_tint(Verdict::Fails).egui();
        ui.label(RichText::new(wrong).color(colour));
    }
    let label = ui.label("Path of the picture");
    let edit = egui::TextEdit::singleline(path).hint_text("plan.jpg");
    let response = ui.add(edit).labelled_by(label.id);
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    let given = !path.trim().is_empty();
    let button = ui.add_enabled(given, egui::Button::new("Lay it on the slab"));
    if given && (button.clicked() || entered) {
        ask = Some(EveningAsk::Lay(path.clone()));
    } else if response.changed() {
        ask = Some(EveningAsk::Typing(typed));
    }
    ask
}

fn answer_ui(ui: &mut egui::Ui, shown: Shown, question: Question) -> Option<EveningAsk> {
    let asked = shown.state.asked(shown.house)?;
    let mut ask = None;
    let mut typed = shown.state.typed.clone();
    let blanks = asked.blanks();
    let clicked = !shown.state.clicks.is_empty();
    let wants_click = question.clicks() != Clicks::None && !clicked && question != Question::Vent;
    let mut entered = false;
    if !wants_click || question == Question::Outline {
        egui::Grid::new(("blanks", question))
            .num_columns(2)
            .spacing([8.0, 4.0])
            .max_col_width(LABEL)
            .show(ui, |ui| {
                for blank in &blanks {
                    entered |= blank_ui(ui, blank, &mut typed);
                    ui.end_row();
                }
            });
    }
    if wants_click {
        let keys = "By keys: A goes to places, the arrows anywhere, Enter clicks at the cross.";
        ui.label(RichText::new(keys).color(theme::QUIET.egui()));
    }
    let lengths = blanks.iter().any(|blank| blank.typed == Typed::Length);
    if lengths && (!wants_click || question == Question::Outline) {
        let says = "Feet as 12'-6 1/2, a bare figure is inches.";
        ui.label(RichText::new(says).small().color(theme::QUIET.egui()));
    }
    let note = asked.note();
    if !note.is_empty() {
        ui.label(RichText::new(note).color(theme::QUIET.egui()));
    }
    ui.horizontal(|ui| {
        let write = ui.add_enabled(!wants_click, egui::Button::new("Write it (Enter)"));
        if write.clicked() || (entered && !wants_click) {
            ask = Some(EveningAsk::Write);
        }
        if clicked && ui.button("Take the click back").clicked() {
            ask = Some(EveningAsk::TakeBack);
        }
    });
    if ask.is_none() && typed != shown.state.typed {
        ask = Some(EveningAsk::Typing(typed));
    }
    if question == Question::Room {
        for room in &shown.house.layout.rooms {
            ask = room_ui(ui, room).or(ask);
        }
    }
    ask
}

/// One blank. Whether Enter ended the typing in it.
fn blank_ui(ui: &mut egui::Ui, blank: &Blank, typed: &mut BTreeMap<String, String>) -> bool {
    let label = ui.add(egui::Label::new(&blank.label).wrap());
    let mut now = blank.value.clone();
    match &blank.typed {
        Typed::Length | Typed::Number | Typed::Words => {
            let long = now.chars().count();
            let mut shown = egui::TextEdit::singleline(&mut now)
                .id_salt(&blank.key)
                .desired_width(96.0)
                .hint_text(blank.hint)
                .show(ui);
            let response = shown.response.response.clone().labelled_by(label.id);
            if response.gained_focus() {
                select_all(ui, &mut shown, long);
            }
            if response.changed() {
                typed.insert(blank.key.clone(), now);
            }
            response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter))
        }
        Typed::Choice(options) => {
            let says = options.iter().find(|(ron, _)| *ron == now);
            let says = says.map_or(now.clone(), |(_, says)| says.clone());
            let mut picked = false;
            let combo = egui::ComboBox::from_id_salt(&blank.key)
                .width(136.0)
                .truncate()
                .selected_text(says)
                .show_ui(ui, |ui| {
                    for (ron, says) in options {
                        let line = ui.selectable_label(*ron == now, says);
                        if focus::chosen(ui, &line) {
                            picked = true;
                            typed.insert(blank.key.clone(), ron.clone());
                        }
                    }
                });
            focus::back_to(&combo.response.labelled_by(label.id), picked);
            false
        }
    }
}

/// What needs a drain in a room: one answer a line.
fn room_ui(ui: &mut egui::Ui, room: &Room) -> Option<EveningAsk> {
    let kinds: Vec<FixtureKind> = room.kind.usual_drains().concat();
    let mut ask = None;
    ui.add_space(4.0);
    ui.strong(room.id.as_str());
    egui::Grid::new(("room", room.id.as_str()))
        .num_columns(4)
        .spacing([6.0, 2.0])
        .show(ui, |ui| {
            for kind in kinds {
                let told = room.drains.iter().find(|(of, _)| *of == kind);
                let told = told.map(|(_, answer)| *answer);
                ui.label(called(kind.word()));
                for (answer, word) in [
                    (Answer::Yes, "yes"),
                    (Answer::No, "no"),
                    (Answer::Later, "later"),
                ] {
                    let button = ui.selectable_label(told == Some(answer), word);
                    let name = format!("{}, {}: {word}", room.id, called(kind.word()));
                    button.widget_info(|| {
                        let kind = egui::WidgetType::SelectableLabel;
                        egui::WidgetInfo::selected(kind, true, told == Some(answer), &name)
                    });
                    if button.clicked() {
                        let path = ["rooms", room.id.as_str(), "drains", kind.word()];
                        ask = Some(EveningAsk::Change(Edit::set(path, word)));
                    }
                }
                ui.end_row();
            }
        });
    ask
}

fn wrong_ui(ui: &mut egui::Ui, shown: Shown) {
    if let Some(wrong) = &shown.state.wrong {
        ui.horizontal_top(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 18.0), Sense::hover());
            theme::verdict_shape(ui.painter(), rect.center(), 5.5, Verdict::Fails);
            ui.add(egui::Label::new(format!("Not written: {}", in_short(wrong))).wrap());
        });
    } else if let Some(wrote) = &shown.state.wrote {
        ui.label(
            RichText::new(format!("Written: {wrote}. Undo with Ctrl Z."))
                .color(theme::QUIET.egui()),
        );
    }
}

/// What comes before and what comes next.
fn way_ui(ui: &mut egui::Ui, state: &EveningState) -> Option<EveningAsk> {
    let mut ask = None;
    ui.horizontal_wrapped(|ui| {
        if ui.button("Back (,)").clicked() {
            ask = Some(EveningAsk::Step(-1));
        }
        match state.next() {
            Some(next) => {
                if ui.button(format!("Next (.): {}", next.tab())).clicked() {
                    ask = Some(EveningAsk::Step(1));
                }
            }
            None => {
                ui.label("That was all. Save with Ctrl S.");
            }
        }
    });
    ask
}

/// What is told of this already, each to show its figures.
fn told_ui(ui: &mut egui::Ui, layout: &Layout, question: Question) -> Option<EveningAsk> {
    let items = told(layout, question);
    let mut ask = None;
    if !items.is_empty() {
        ui.separator();
        ui.label(RichText::new("Told so far").color(theme::QUIET.egui()));
        ui.horizontal_wrapped(|ui| {
            for id in items {
                if ui.small_button(&id).clicked() {
                    ask = Some(EveningAsk::Item(id));
                }
            }
        });
    }
    ask
}

fn told(layout: &Layout, question: Question) -> Vec<String> {
    let fixtures = |wanted: &dyn Fn(FixtureKind) -> bool| {
        let of = layout.fixtures.iter().filter(|one| wanted(one.kind));
        of.map(|one| one.id.to_string()).collect()
    };
    let walls = |on_edge: bool| {
        let of = layout.walls.iter().filter(|wall| wall.on_edge == on_edge);
        of.map(|wall| wall.id.to_string()).collect()
    };
    let bathing = |kind| matches!(kind, FixtureKind::Tub | FixtureKind::Shower);
    match question {
        Question::WallsRound => walls(true),
        Question::Wall => walls(false),
        Question::Closet => fixtures(&|kind| kind == FixtureKind::Closet),
        Question::Bathing => fixtures(&bathing),
        Question::Sink => {
            fixtures(&|kind| kind.word().contains("sink") || kind.word() == "lavatory")
        }
        Question::Other => fixtures(&|_| true),
        Question::Cabinet => layout
            .cabinets
            .iter()
            .map(|one| one.id.to_string())
            .collect(),
        Question::Cleanout => {
            let of = layout.cleanouts.iter();
            of.map(|one| one.id.to_string()).collect()
        }
        Question::Exit => layout.drains.iter().map(|one| one.id.to_string()).collect(),
        Question::Main | Question::Join => {
            layout.runs.iter().map(|one| one.id.to_string()).collect()
        }
        Question::Picture | Question::Code | Question::Outline | Question::Build => Vec::new(),
        Question::Receiver => Vec::new(),
        Question::Ground | Question::Room | Question::Vent => Vec::new(),
    }
}

/// The empty sheet, and the clicks that wait: places joined, each leg with its length.
pub fn evening_paint(
    painter: &egui::Painter,
    question: Question,
    places: &[DVec3],
    empty: bool,
    scale: f32,
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) {
    if empty {
        sheet_paint(painter, project);
    }
    let colour = theme::MEASURE.egui();
    let on: Vec<Option<Pos2>> = places.iter().map(|at| project(*at)).collect();
    for (n, two) in on.windows(2).enumerate() {
        if let [Some(from), Some(to)] = two {
            painter.line_segment([*from, *to], Stroke::new(3.0, colour));
            let by = (places[n + 1] - places[n]).truncate();
            let long = units::feet_inches(by.length(), 16);
            let says = match question {
                Question::Main => format!("{long} {}", heading(by)),
                _ => long,
            };
            tag(painter, from.lerp(*to, 0.5), &says, scale);
        }
    }
    if let (Question::Outline, [Some(first), _, .., Some(last)]) = (question, on.as_slice()) {
        let closing = [*last, *first];
        painter.extend(egui::Shape::dashed_line(
            &closing,
            Stroke::new(2.5, colour),
            8.0,
            6.0,
        ));
        if let [first, .., last] = places {
            let long = units::feet_inches(first.distance(*last), 16);
            tag(painter, closing[0].lerp(closing[1], 0.5), &long, scale);
        }
    }
    for at in on.into_iter().flatten() {
        painter.circle(at, 6.0, Color32::WHITE, Stroke::new(2.5, colour));
        painter.circle_filled(at, 2.0, colour);
    }
}

/// Ten-foot squares to click on, where nothing is told and no picture lies.
fn sheet_paint(painter: &egui::Painter, project: &dyn Fn(DVec3) -> Option<Pos2>) {
    let stroke = Stroke::new(1.0, theme::QUIET.egui().gamma_multiply(0.35));
    let at = |x: u32, y: u32| {
        project(DVec2::new(f64::from(x) * SQUARE, f64::from(y) * SQUARE).extend(0.0))
    };
    let line = |from: Option<Pos2>, to: Option<Pos2>| {
        if let (Some(from), Some(to)) = (from, to) {
            painter.line_segment([from, to], stroke);
        }
    };
    for x in 0..=SQUARES.0 {
        line(at(x, 0), at(x, SQUARES.1));
        if let Some(foot) = at(x, 0) {
            let words = format!("{}'", x * 10);
            let font = FontId::proportional(11.0);
            painter.text(
                foot + vec2(0.0, 4.0),
                Align2::CENTER_TOP,
                words,
                font,
                theme::QUIET.egui(),
            );
        }
    }
    for y in 0..=SQUARES.1 {
        line(at(0, y), at(SQUARES.0, y));
    }
}

fn tag(painter: &egui::Painter, at: Pos2, words: &str, scale: f32) {
    let font = FontId::proportional(12.5 * scale);
    let galley = painter.layout_no_wrap(words.to_owned(), font, Color32::WHITE);
    let rect = Align2::CENTER_CENTER.anchor_size(at, galley.size() + vec2(10.0, 4.0));
    painter.rect_filled(rect, 4.0, theme::TAG.egui());
    painter.galley(rect.min + vec2(5.0, 2.0), galley, Color32::WHITE);
}
