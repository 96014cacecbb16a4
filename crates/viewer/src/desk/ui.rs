//! Lays out the window: title bar, findings on the right, fall budget below, the picture in the middle with its labels.
//!
//! Plain egui over `&Desk`: nothing is changed here, actions are given back.

use std::collections::BTreeSet;

use bevy::math::Vec2;
use bevy_egui::egui::{
    self, Align2, Color32, FontId, Frame, Id, Margin, Pos2, Rect, RichText, Sense, Stroke, pos2,
    vec2,
};
use glam::{DVec2, DVec3};
use scene::Mark;

use super::state::{Action, Desk};
use crate::budget_strip::budget_ui;
use crate::camera::drive_of;
use crate::edit::{edit_ui, fields, grips_paint, off_segment, question_ui};
use crate::evening::{Shown, evening_paint, evening_ui, told_names, told_paint};
use crate::field_book::{book_paint, book_ui};
use crate::findings_list::{FindingsAsk, findings_paint, findings_ui};
use crate::focus::{self, Keyboard};
use crate::house::Verdict;
use crate::keys::{self, Asked};
use crate::labels::{Label, labels_paint};
use crate::layers::{Layer, layers_ui};
use crate::measure::{self, MeasureAsk, floor_words, measure_paint, measure_ui};
use crate::paper_plan::{ASLANT, PaperPlan, paper_paint, paper_ui, paper_wrong_ui};
use crate::picking::Pick;
use crate::section_cut::{CutAlong, cut, cut_paint, cut_ui, reach};
use crate::shelf::{compare_paint, shelf_ui};
use crate::theme;
use crate::walk::{walk_paint, walk_ui};

/// Below these the panel gives its room to the picture, points.
const LIST_NEEDS: f32 = 720.0;
const BOOK_NEEDS: f32 = 420.0;
const STRIP_NEEDS: f32 = 360.0;
const BAR_NEEDS: f32 = 260.0;
const CUT_NEEDS: f32 = 420.0;
const CARD_NEEDS: f32 = 300.0;

/// What one pass of the interface found.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Pass {
    /// What was asked for.
    pub actions: Vec<Action>,
    /// Where the picture is, points.
    pub canvas: Option<Rect>,
    /// What lies over the picture, points.
    pub covered: Vec<Rect>,
    /// The labels in the picture: what is clicked on one is meant for what it names.
    pub labels: Vec<Label>,
    /// The buttons that answer the question that waits, points.
    pub answers: Vec<Rect>,
    /// Whether a key that moves is held, or the focus is on its way.
    pub held: bool,
}

/// The window. `picture` is the drawing, once there is one.
pub fn desk_ui(ui: &mut egui::Ui, desk: &Desk, picture: Option<egui::TextureId>) -> Pass {
    let mut pass = Pass::default();
    let whole = ui.max_rect();
    let (keyboard, mut now, late) = keys_of(ui);
    // While questions are answered a figure that missed its blank must not turn a layer off.
    now.retain(|asked| desk.evening.at.is_none() || !matches!(asked, Asked::Turn(_)));
    pass.actions.extend(now.into_iter().map(Action::Asked));
    if desk.panels && whole.height() >= BAR_NEEDS {
        let frame = Frame::new()
            .fill(theme::PANEL.egui())
            .inner_margin(Margin::symmetric(10, 5));
        let shown = egui::Panel::top("bar")
            .frame(frame)
            .resizable(false)
            .show(ui, |ui| bar_ui(ui, desk, &mut pass));
        focus::stands(ui.ctx(), "bar", shown.response.rect);
    }
    if desk.panels && whole.height() >= STRIP_NEEDS && !desk.house.budget.is_empty() {
        let frame = Frame::new()
            .fill(theme::PANEL.egui())
            .inner_margin(Margin::symmetric(10, 6));
        let panel = egui::Panel::bottom("budget").frame(frame).resizable(false);
        let shown = panel.show(ui, |ui| {
            focus::door(ui, "budget");
            pass.actions
                .extend(budget_ui(ui, &desk.house.budget).map(Action::Item));
        });
        focus::stands(ui.ctx(), "budget", shown.response.rect);
    }
    if desk.book.open && whole.width() >= BOOK_NEEDS {
        book_panel(ui, desk, whole, &mut pass);
    } else if desk.panels && whole.width() >= LIST_NEEDS {
        let frame = Frame::new()
            .fill(theme::PANEL.egui())
            .inner_margin(Margin::symmetric(10, 8));
        let size = (whole.width() * 0.25).clamp(220.0, 360.0);
        let shown = egui::Panel::right("findings")
            .frame(frame)
            .default_size(size)
            .max_size(whole.width() * 0.5)
            .show(ui, |ui| {
                focus::door(ui, "findings");
                let ask = findings_ui(
                    ui,
                    &desk.house.findings,
                    &desk.house.mends,
                    &desk.house.to_tell,
                    desk.evening.at.is_some(),
                    &desk.findings,
                );
                pass.actions.extend(ask.map(|ask| match ask {
                    FindingsAsk::Mend(index) => Action::Mend(index),
                    FindingsAsk::Pick(index) => Action::Finding(index),
                    FindingsAsk::Turn(verdict) => Action::Verdict(verdict),
                }));
            });
        focus::stands(ui.ctx(), "findings", shown.response.rect);
    }
    if desk.panels && desk.evening.at.is_some() {
        evening_panel(ui, desk, whole, &mut pass);
    }
    if let Some(along) = &desk.cut
        && whole.height() >= CUT_NEEDS
    {
        cut_panel(ui, desk, along, whole.height(), &mut pass);
    }
    egui::CentralPanel::default()
        .frame(Frame::NONE.fill(theme::PAPER.egui()))
        .show(ui, |ui| {
            canvas_ui(ui, desk, picture, keyboard, &mut pass);
        });
    pass.actions.extend(late.into_iter().map(Action::Asked));
    pass.held |= focus::end(ui.ctx());
    pass
}

/// What the keys mean in this frame, what they ask for, and what of that comes after everything else.
fn keys_of(ui: &egui::Ui) -> (Keyboard, Vec<Asked>, Vec<Asked>) {
    let (keyboard, escape_spent) = focus::begin(ui.ctx());
    let asked = ui.input_mut(|input| keys::asked(input, keyboard, escape_spent));
    // What is typed in a field goes into the text before the text is saved.
    let (late, now): (Vec<Asked>, Vec<Asked>) =
        asked.into_iter().partition(|one| *one == Asked::Save);
    if let Some(field) = ui
        .memory(egui::Memory::focused)
        .filter(|_| !late.is_empty())
    {
        ui.memory_mut(|memory| memory.surrender_focus(field));
    }
    (keyboard, now, late)
}

/// The cut, over the budget and under the picture.
fn cut_panel(ui: &mut egui::Ui, desk: &Desk, along: &CutAlong, whole: f32, pass: &mut Pass) {
    let drawn = cut(&desk.house, along);
    let runs: Vec<&str> = desk
        .house
        .lines
        .iter()
        .map(|line| line.id.as_str())
        .collect();
    let reach = reach(&desk.house.scene).unwrap_or_default();
    let frame = Frame::new()
        .fill(theme::PANEL.egui())
        .inner_margin(Margin::symmetric(10, 6));
    let shown = egui::Panel::bottom("cut")
        .frame(frame)
        .resizable(true)
        .default_size(whole * 0.32)
        .size_range(140.0..=whole * 0.6)
        .show(ui, |ui| {
            focus::door(ui, "cut");
            let asked = cut_ui(ui, along, &drawn, &runs, reach, desk.text);
            pass.actions.extend(asked.map(Action::Cut));
        });
    focus::stands(ui.ctx(), "cut", shown.response.rect);
}

/// The field book stands in place of the findings: at the trench one of them is enough.
fn book_panel(ui: &mut egui::Ui, desk: &Desk, whole: Rect, pass: &mut Pass) {
    let frame = Frame::new()
        .fill(theme::PANEL.egui())
        .inner_margin(Margin::symmetric(10, 8));
    let shown = egui::Panel::right("field book")
        .frame(frame)
        .default_size((whole.width() * 0.33).clamp(280.0, 460.0))
        .max_size(whole.width() * 0.6)
        .show(ui, |ui| {
            let asked = book_ui(ui, &desk.book);
            pass.actions.extend(asked.map(Action::Book));
        });
    focus::stands(ui.ctx(), "field book", shown.response.rect);
}

fn evening_panel(ui: &mut egui::Ui, desk: &Desk, whole: Rect, pass: &mut Pass) {
    let frame = Frame::new()
        .fill(theme::PANEL.egui())
        .inner_margin(Margin::symmetric(10, 8));
    let size = (whole.width() * 0.24).clamp(200.0, 330.0 * desk.text.max(1.0));
    let shown = egui::Panel::left("evening")
        .frame(frame)
        .default_size(size)
        .max_size(whole.width() * 0.6)
        .show(ui, |ui| {
            let shown = Shown {
                state: &desk.evening,
                house: &desk.house,
                paper: desk.paper.as_ref(),
                paper_wrong: desk.paper_wrong.as_deref(),
            };
            pass.actions
                .extend(evening_ui(ui, shown).map(Action::Evening));
        });
    focus::stands(ui.ctx(), "evening", shown.response.rect);
}

/// The house's title, with its hash or that it is not saved.
fn title_job(ui: &egui::Ui, desk: &Desk) -> egui::text::LayoutJob {
    let title = if desk.house.title.is_empty() {
        &desk.file
    } else {
        &desk.house.title
    };
    let state = if desk.edit.draft.is_unsaved() {
        "not saved"
    } else {
        &desk.house.hash
    };
    let mut job = egui::text::LayoutJob::default();
    let (style, quiet) = (ui.style(), theme::QUIET.egui());
    let put = |job: &mut egui::text::LayoutJob, text: RichText| {
        text.append_to(
            job,
            style,
            egui::FontSelection::Default,
            egui::Align::Center,
        );
    };
    put(&mut job, RichText::new(title).heading());
    put(
        &mut job,
        RichText::new(format!("  {state}")).small().color(quiet),
    );
    job
}

/// What the bar's buttons say, whether each is on, and what it asks for; from left to right.
fn bar_buttons(desk: &Desk) -> Vec<(String, bool, Asked)> {
    let button = |words: &str, on: bool, asked: Asked| (words.to_owned(), on, asked);
    let heights = format!("Heights x{} (X)", desk.axis.exaggeration);
    let mut buttons = vec![
        button("House (Space)", false, Asked::WholeHouse),
        button("Below (U)", false, Asked::Below),
        button("Plan (T)", false, Asked::Plan),
        button("Afoot (G)", desk.afoot, Asked::Afoot),
        (heights, desk.axis.exaggeration > 1.0, Asked::Heights),
    ];
    if desk.edit.hooks.is_some() {
        let telling = desk.evening.at.is_some();
        buttons.extend([
            button("Evening (Q)", telling, Asked::Evening),
            button("Move (E)", desk.edit.on, Asked::Move),
            button("Glue-up (W)", desk.walk.at.is_some(), Asked::Walk),
            button("Field book (R)", desk.book.open, Asked::FieldBook),
        ]);
    }
    buttons.extend([
        button("Cut (S)", desk.cut.is_some(), Asked::Cut),
        button("Measure (M)", desk.measure.active, Asked::Measure),
    ]);
    if desk.shelf.there {
        buttons.push(button("Layouts (H)", desk.shelf.open, Asked::Shelf));
    }
    buttons.push(button("Keys (K)", desk.keys, Asked::Keys));
    buttons
}

/// Title and buttons. They are laid out from left to right, as Tab goes through them; the title has what the buttons leave.
fn bar_ui(ui: &mut egui::Ui, desk: &Desk, pass: &mut Pass) {
    focus::door(ui, "bar");
    let buttons = bar_buttons(desk);
    ui.horizontal(|ui| {
        let padding = vec2(8.0, 3.0);
        ui.spacing_mut().button_padding = padding;
        let font = egui::TextStyle::Button.resolve(ui.style());
        let gap = ui.spacing().item_spacing.x;
        let wide = |(words, ..): &(String, bool, Asked)| {
            let galley = ui
                .painter()
                .layout_no_wrap(words.clone(), font.clone(), Color32::WHITE);
            galley.size().x + padding.x * 2.0 + gap
        };
        let taken: f32 = buttons.iter().map(wide).sum();
        let room = vec2(
            (ui.available_width() - taken - 1.0).max(0.0),
            ui.available_height(),
        );
        ui.allocate_ui_with_layout(
            room,
            egui::Layout::left_to_right(egui::Align::Center),
            |ui| {
                ui.set_min_width(room.x);
                let title = egui::Label::new(title_job(ui, desk)).truncate();
                ui.add(title.selectable(false));
            },
        );
        for (words, on, asked) in buttons {
            if ui.selectable_label(on, words).clicked() {
                pass.actions.push(Action::Asked(asked));
            }
        }
    });
}

fn canvas_ui(
    ui: &mut egui::Ui,
    desk: &Desk,
    picture: Option<egui::TextureId>,
    keyboard: Keyboard,
    pass: &mut Pass,
) {
    let rect = ui.available_rect_before_wrap();
    // Not a stop of the Tab key: the picture has the keys while no control has them.
    let response = ui.interact(rect, Id::new("canvas"), Sense::CLICK | Sense::DRAG);
    pass.canvas = Some(rect);
    let mut taken = vec![];
    let mut cards = vec![];
    if desk.panels && rect.height() >= CARD_NEEDS && rect.width() >= CARD_NEEDS * 1.4 {
        if !present(desk).is_empty() && desk.evening.at.is_none() {
            cards.push(Card::Layers);
        }
        if desk.measure.active || !desk.measure.kept.is_empty() {
            cards.push(Card::Measure);
        }
        if desk.shelf.open {
            cards.push(Card::Shelf);
        } else if desk.edit.on {
            cards.push(Card::Edit);
        }
        if desk.walk.at.is_some() {
            cards.push(Card::Walk);
        } else if desk.evening.at.is_none() && wants_paper(desk) {
            cards.push(Card::Paper);
        }
    }
    if desk.edit.theirs.is_some() || desk.edit.found.is_some() {
        cards.push(Card::Question);
    }
    if desk.keys {
        cards.push(Card::Keys);
    }
    // The cards' places are known from the frame before, so labels can leave them free.
    taken.extend(cards.iter().filter_map(|card| card.last_rect(ui.ctx())));
    let painter = ui.painter_at(rect);
    (pass.covered, pass.labels) = picture_paint(&painter, desk, picture, &taken);
    pass.covered.extend(taken);
    let mut free = rect;
    if let Some(error) = &desk.error {
        let banner = error_paint(&painter, error);
        free.min.y = banner.bottom().min(rect.bottom());
        let response = ui.interact(banner, Id::new("banner"), Sense::hover());
        response.widget_info(|| {
            egui::WidgetInfo::labeled(egui::WidgetType::Label, true, error_words(error))
        });
        pass.covered.push(banner);
    }
    for card in cards {
        card.show(ui, desk, free, pass);
    }
    cross_paint(&painter, desk);
    hand(ui, desk, &response, keyboard, pass);
}

fn hand(
    ui: &egui::Ui,
    desk: &Desk,
    response: &egui::Response,
    keyboard: Keyboard,
    pass: &mut Pass,
) {
    let clip = |at: Pos2| {
        let off = (at - response.rect.center()) / (response.rect.size() / 2.0);
        Vec2::new(off.x, -off.y)
    };
    if grips_hand(ui, desk, response, &clip, pass) {
        return;
    }
    let drive = drive_of(ui, response, keyboard == Keyboard::Free);
    pass.held = drive.held;
    if drive.moves() {
        pass.actions.push(Action::Drive(drive));
    }
    // A pointer that lies still does not take the place that the keys went to.
    let moved = ui.input(|input| input.pointer.delta() != egui::Vec2::ZERO);
    if desk.measure.active
        && (response.hovered() || desk.measure.hover.is_some())
        && (desk.stood.is_none() || moved)
    {
        pass.actions
            .push(Action::Hover(response.hover_pos().map(clip)));
    }
    if response.clicked()
        && let Some(at) = response.interact_pointer_pos()
    {
        pass.actions.push(Action::Click(clip(at)));
    }
}

/// The hand on the grips. Whether it is at one, so that the eye stays where it is.
fn grips_hand(
    ui: &egui::Ui,
    desk: &Desk,
    response: &egui::Response,
    clip: &dyn Fn(Pos2) -> Vec2,
    pass: &mut Pass,
) -> bool {
    if !desk.edit.on {
        return false;
    }
    if desk.edit.held.is_some() {
        // Also when the window lost the pointer or the focus: what was dragged so far stays.
        if let Some(at) = response.interact_pointer_pos() {
            pass.actions.push(Action::DragTo(clip(at)));
        }
        if !response.dragged_by(egui::PointerButton::Primary) {
            pass.actions.push(Action::LetGo);
        }
        return true;
    }
    let origin = ui.input(|input| input.pointer.press_origin());
    if response.drag_started_by(egui::PointerButton::Primary)
        && let Some(origin) = origin.filter(|at| desk.grip_at(*at).is_some())
    {
        pass.actions.push(Action::TakeUp(clip(origin)));
        return true;
    }
    if response.hovered() || desk.edit.hover.is_some() {
        let hover = response.hover_pos();
        if hover.and_then(|at| desk.grip_at(at)) != desk.edit.hover {
            pass.actions.push(Action::HoverGrip(hover.map(clip)));
        }
    }
    if desk.edit.hover.is_some() && response.hovered() {
        ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
    }
    if response.clicked()
        && let Some(index) = response
            .interact_pointer_pos()
            .and_then(|at| desk.grip_at(at))
    {
        let id = desk.edit.grips[index].id.clone();
        pass.actions
            .push(Action::Edit(crate::edit::EditAsk::Item(id)));
        return true;
    }
    false
}

/// The picture alone: no panels, a title and the key to the colours in its corners.
pub fn picture_ui(
    ui: &mut egui::Ui,
    desk: &Desk,
    picture: Option<egui::TextureId>,
    key: bool,
) -> Pass {
    let rect = ui.max_rect();
    let painter = ui.painter_at(rect);
    let mut taken = vec![];
    if key && rect.width() >= 420.0 && rect.height() >= CARD_NEEDS {
        let card = Card::Layers;
        card.show(ui, desk, rect, &mut Pass::default());
        if desk.walk.at.is_some() {
            Card::Walk.show(ui, desk, rect, &mut Pass::default());
        }
        taken.extend(card.last_rect(ui.ctx()));
        taken.push(Rect::from_min_size(
            rect.min,
            vec2(rect.width().min(440.0), 52.0),
        ));
    }
    let (covered, _) = picture_paint(&painter, desk, picture, &taken);
    if key && rect.width() >= 420.0 {
        title_paint(&painter, desk, rect);
    }
    Pass {
        canvas: Some(rect),
        covered,
        ..Pass::default()
    }
}

fn title_paint(painter: &egui::Painter, desk: &Desk, rect: Rect) {
    let at = rect.min + vec2(16.0, 12.0);
    let ink = theme::INK.egui();
    let title = painter.text(
        at,
        Align2::LEFT_TOP,
        &desk.house.title,
        FontId::proportional(20.0),
        ink,
    );
    let count = |verdict| {
        desk.house
            .findings
            .iter()
            .filter(|row| row.verdict == verdict)
            .count()
    };
    let mut x = at.x;
    let y = title.bottom() + 12.0;
    for verdict in [Verdict::Fails, Verdict::Ask, Verdict::Note] {
        let n = count(verdict);
        if n > 0 {
            theme::verdict_shape(painter, pos2(x + 6.0, y), 5.5, verdict);
            let words = format!("{} {n}", theme::verdict_word(verdict).to_lowercase());
            let font = FontId::proportional(13.0);
            x = painter
                .text(pos2(x + 16.0, y), Align2::LEFT_CENTER, words, font, ink)
                .right()
                + 14.0;
        }
    }
    if desk.house.findings.is_empty() {
        painter.text(
            pos2(x, y),
            Align2::LEFT_CENTER,
            "nothing found",
            FontId::proportional(13.0),
            ink,
        );
    }
    let hash = rect.right_bottom() - vec2(10.0, 8.0);
    painter.text(
        hash,
        Align2::RIGHT_BOTTOM,
        &desk.house.hash,
        FontId::proportional(11.0),
        theme::QUIET.egui(),
    );
}

/// What was measured, beside the plan.
fn measured_paint(
    painter: &egui::Painter,
    desk: &Desk,
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) -> Vec<Rect> {
    let Some(page) = desk.book.page() else {
        return Vec::new();
    };
    let row = desk.book.picked.and_then(|row| page.rows.get(row));
    let picked = row.map(|row| row.due.of.as_str());
    book_paint(painter, &page.beside, picked, desk.text, project)
}

/// Draws the picture and everything over it that belongs to the house. Gives what is covered, and the labels.
fn picture_paint(
    painter: &egui::Painter,
    desk: &Desk,
    picture: Option<egui::TextureId>,
    taken: &[Rect],
) -> (Vec<Rect>, Vec<Label>) {
    let rect = painter.clip_rect();
    if let Some(picture) = picture {
        let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        painter.image(picture, rect, whole, Color32::WHITE);
    }
    let projector = desk.projector();
    let project = |at: DVec3| projector(at).map(|(place, _)| place);
    let mut covered = Vec::new();
    let mut labels = Vec::new();
    if let Some(paper) = desk.paper.as_ref().filter(|_| desk.walk.at.is_none()) {
        paper_paint(
            painter,
            paper,
            &|image| paper_texture(painter.ctx(), paper, image),
            (desk.pose.pitch, !desk.house.lines.is_empty()),
            &project,
        );
    }
    north_paint(painter, desk, rect);
    if desk.walk.at.is_some() {
        walk_paint(painter, desk.walk, &desk.steps, &project);
        return (covered, labels);
    }
    if desk.book.open {
        // The findings of the plan are away with their list: at the trench they would hide what was measured.
        covered.extend(measured_paint(painter, desk, &project));
    } else {
        findings_paint(painter, &desk.house.findings, &desk.findings, &project);
        covered.extend(shapes(desk, rect, &project));
    }
    if let Some(along) = &desk.cut {
        cut_paint(painter, &cut(&desk.house, along), &project);
    }
    if desk.evening.at.is_some() {
        let house = &desk.house;
        told_paint(painter, &house.layout, &house.scene.marks, &project);
    }
    if desk.layers.shows(Layer::Labels) {
        let place = |mark: &Mark| projector(mark.at);
        let mut taken: Vec<Rect> = taken.iter().chain(&covered).copied().collect();
        if desk.edit.on {
            let grips = desk.edit.grips.iter().filter_map(|grip| project(grip.at));
            taken.extend(grips.map(|at| Rect::from_center_size(at, vec2(14.0, 14.0))));
        }
        labels = labels_paint(
            painter,
            &desk.house.scene.marks,
            &place,
            desk.shown
                .as_ref()
                .map(|pick| pick.id.as_str())
                .or(desk.edit.item.as_deref()),
            &taken,
            desk.text,
        );
        covered.extend(labels.iter().map(|label| label.rect));
    }
    // With the card put away nothing on screen would say what the lines mean.
    if let Some(compared) = desk.shelf.compared.as_ref().filter(|_| desk.shelf.open) {
        compare_paint(painter, &desk.house, compared, &project);
    }
    measure_paint(painter, &desk.measure, &project);
    if let Some(question) = desk.evening.at {
        let empty = desk.house.layout.slab.is_none() && desk.paper.is_none();
        let places = desk.pending();
        let house = &desk.house;
        let taken = [taken, &covered].concat();
        told_names(
            painter,
            &house.layout,
            &house.scene.marks,
            &taken,
            desk.text,
            &project,
        );
        evening_paint(painter, question, &places, empty, desk.text, &project);
    }
    if desk.edit.on {
        grips_paint(painter, &desk.edit, desk.text, &project);
    }
    shown_paint(painter, desk, &project);
    (covered, labels)
}

/// One of the plan picture's images as the driver has it, handed over once.
fn paper_texture(ctx: &egui::Context, paper: &PaperPlan, image: usize) -> egui::TextureId {
    let image = &paper.images[image];
    let id = Id::new(("paper", paper.dots, image.size));
    let kept = ctx.data(|data| data.get_temp::<egui::TextureHandle>(id));
    let handle = kept.unwrap_or_else(|| {
        let options = egui::TextureOptions::LINEAR;
        let handle = ctx.load_texture(&paper.name, image.clone(), options);
        ctx.data_mut(|data| data.insert_temp(id, handle.clone()));
        handle
    });
    handle.id()
}

/// Where shapes of findings are in sight; of those that lie on one another one is enough.
fn shapes(desk: &Desk, sight: Rect, project: &dyn Fn(DVec3) -> Option<Pos2>) -> Vec<Rect> {
    let listed = desk.house.findings.iter();
    let listed = listed.filter(|row| desk.findings.lists(row.verdict));
    let places = listed.filter_map(|row| project(DVec3::from_array(row.at)));
    let mut seen = BTreeSet::new();
    let near = |at: &Pos2| [at.x, at.y].map(|along| (along / 6.0).round().to_bits());
    let apart = places.filter(|at| sight.contains(*at) && seen.insert(near(at)));
    apart
        .map(|at| Rect::from_center_size(at, vec2(18.0, 18.0)))
        .collect()
}

/// What was clicked: its name and its height, with a line to it.
fn shown_paint(painter: &egui::Painter, desk: &Desk, project: &dyn Fn(DVec3) -> Option<Pos2>) {
    let Some(pick) = &desk.shown else { return };
    let Some(at) = project(pick.at) else { return };
    let text = format!(
        "{}\n{}{}{}",
        pick.words,
        floor_words(pick.at.z, desk.measure.tape),
        pipe_words(desk, pick),
        leaves_words(desk, pick)
    );
    let galley =
        painter.layout_no_wrap(text, FontId::proportional(13.0 * desk.text), Color32::WHITE);
    let size = galley.size() + vec2(14.0, 8.0);
    let room = painter.clip_rect().shrink(4.0);
    let mut rect = Rect::from_min_size(at + vec2(18.0, -size.y - 14.0), size);
    rect = rect.translate(vec2(
        (room.right() - rect.right()).min(0.0),
        (room.top() - rect.top()).max(0.0),
    ));
    painter.line_segment([at, rect.clamp(at)], Stroke::new(1.5, theme::INK.egui()));
    painter.circle(at, 4.0, Color32::WHITE, Stroke::new(2.0, theme::INK.egui()));
    painter.rect_filled(rect, 4.0, theme::TAG.egui());
    painter.galley(rect.min + vec2(7.0, 4.0), galley, Color32::WHITE);
}

/// Size of the pipe at a picked place, and its grade where it is a run's.
fn pipe_words(desk: &Desk, pick: &Pick) -> String {
    let Some(size) = size_at(&desk.house.scene, pick) else {
        return String::new();
    };
    let run = desk.house.lines.iter().find(|line| line.id == pick.id);
    let grade = run.map_or(String::new(), |run| {
        format!(", falls {:.3} in/ft", run.grade_in_per_ft)
    });
    format!("\n{} in{grade}", size.label())
}

/// The size of the nearest of the bodies that bear a picked thing's name: a fixture's stub and its vent's bear the same.
fn size_at(scene: &scene::Scene, pick: &Pick) -> Option<units::Size> {
    let of_it = scene
        .pipes
        .iter()
        .filter(|pipe| pipe.id.as_str() == pick.id);
    let off = |pipe: &&scene::PipeBody| {
        let tubes = pipe.tubes.iter();
        let offs = tubes.map(|tube| measure::off_tube(tube, pick.at));
        offs.fold(f64::INFINITY, f64::min)
    };
    let nearest = of_it.min_by(|a, b| off(a).total_cmp(&off(b)))?;
    Some(nearest.size)
}

/// Where along which side of the slab a picked way out leaves.
fn leaves_words(desk: &Desk, pick: &Pick) -> String {
    let layout = &desk.house.layout;
    let of = |drain: &&layout::Drain| {
        drain.id.as_str() == pick.id && drain.exit.at.distance(pick.at.truncate()) < 1.0
    };
    let Some(drain) = layout.drains.iter().find(of) else {
        return String::new();
    };
    let side = layout
        .slab
        .as_ref()
        .and_then(|slab| side_of(&slab.outline, drain.exit.at));
    side.map_or(String::new(), |(side, end, along)| {
        let along = desk.measure.tape.long(along);
        format!("\nthrough the {side} side, {along} from its {end} end")
    })
}

/// The side of an outline that a place lies on, by the way it looks; its western or southern end, and how far from it.
fn side_of(outline: &[DVec2], at: DVec2) -> Option<(&'static str, &'static str, f64)> {
    let area: f64 = ring(outline).map(|(a, b)| a.perp_dot(b)).sum();
    let (a, b) = ring(outline).find(|(a, b)| off_segment(at, *a, *b) < 0.5)?;
    // Walked with the slab on the left a side looks to the right.
    let along = (b - a).normalize_or_zero();
    let out = if area > 0.0 {
        -along.perp()
    } else {
        along.perp()
    };
    let first = if (a.x, a.y) < (b.x, b.y) {
        (a, b)
    } else {
        (b, a)
    };
    let end = layout::compass(first.0 - first.1);
    Some((layout::compass(out), end, first.0.distance(at)))
}

/// The sides of an outline.
fn ring(outline: &[DVec2]) -> impl Iterator<Item = (DVec2, DVec2)> + '_ {
    let next = outline.iter().cycle().skip(1);
    outline.iter().copied().zip(next.copied())
}

/// Where Enter clicks: the middle of the picture, while the keys are at work and a click means something.
fn cross_paint(painter: &egui::Painter, desk: &Desk) {
    if !desk.by_keys || !desk.wants_place() {
        return;
    }
    let at = painter.clip_rect().center();
    for (width, colour) in [(5.0, theme::CARD.egui()), (2.0, theme::INK.egui())] {
        let stroke = Stroke::new(width, colour);
        for way in [
            vec2(1.0, 0.0),
            vec2(-1.0, 0.0),
            vec2(0.0, 1.0),
            vec2(0.0, -1.0),
        ] {
            painter.line_segment([at + way * 5.0, at + way * 15.0], stroke);
        }
    }
}

/// An arrow to the north, and the exaggeration when heights are not true.
fn north_paint(painter: &egui::Painter, desk: &Desk, rect: Rect) {
    if rect.width() < 240.0 || rect.height() < 180.0 {
        return;
    }
    // The house's zero is lower left while the evening goes on.
    let middle = if desk.evening.at.is_some() {
        rect.right_bottom() + vec2(-34.0, -34.0)
    } else {
        rect.left_bottom() + vec2(34.0, -34.0)
    };
    let flat = |x: f32, z: f32| {
        let (right, ahead) = (desk.pose.right(), desk.pose.ahead());
        let by = bevy::math::Vec3::new(x, 0.0, z);
        let tilt = desk.pose.pitch.sin().abs().max(0.35);
        vec2(by.dot(right), -by.dot(ahead) * tilt) * 18.0
    };
    let (tip, left, tail, right) = (
        flat(0.0, -1.0),
        flat(-0.42, 0.8),
        flat(0.0, 0.4),
        flat(0.42, 0.8),
    );
    let quiet = theme::QUIET.egui();
    painter.add(egui::Shape::convex_polygon(
        vec![middle + tip, middle + left, middle + tail],
        quiet,
        Stroke::NONE,
    ));
    let light = quiet.gamma_multiply(0.45);
    painter.add(egui::Shape::convex_polygon(
        vec![middle + tip, middle + tail, middle + right],
        light,
        Stroke::NONE,
    ));
    painter.text(
        middle + tip * 1.55,
        Align2::CENTER_CENTER,
        "N",
        FontId::proportional(12.0),
        theme::INK.egui(),
    );
    if desk.axis.exaggeration > 1.0 {
        let words = format!("heights below floor x{}", desk.axis.exaggeration);
        let at = rect.left_bottom() + vec2(70.0, -26.0);
        painter.text(
            at,
            Align2::LEFT_CENTER,
            words,
            FontId::proportional(14.0),
            theme::SLEEVE.egui(),
        );
    }
}

fn error_words(error: &str) -> String {
    format!("The file cannot be used as it is now; this is the last good house.\n{error}")
}

fn error_paint(painter: &egui::Painter, error: &str) -> Rect {
    let room = painter.clip_rect().shrink(10.0);
    let galley = painter.layout(
        error_words(error),
        FontId::proportional(13.5),
        theme::INK.egui(),
        (room.width() - 36.0).max(60.0),
    );
    let height = (galley.size().y + 14.0).min(room.height());
    let rect = Rect::from_min_size(room.min, vec2(room.width(), height));
    let edge = Stroke::new(2.0, theme::verdict_tint(Verdict::Fails).egui());
    painter.rect(
        rect,
        5.0,
        theme::ALARM.egui(),
        edge,
        egui::StrokeKind::Inside,
    );
    theme::verdict_shape(
        painter,
        rect.left_top() + vec2(15.0, 16.0),
        6.0,
        Verdict::Fails,
    );
    painter
        .with_clip_rect(rect)
        .galley(rect.min + vec2(28.0, 7.0), galley, theme::INK.egui());
    rect
}

/// Small cards over the corners of the picture.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Card {
    Layers,
    Measure,
    Keys,
    Edit,
    Question,
    Walk,
    Paper,
    Shelf,
}

impl Card {
    fn id(self) -> Id {
        Id::new(("card", format!("{self:?}")))
    }

    fn last_rect(self, ctx: &egui::Context) -> Option<Rect> {
        egui::AreaState::load(ctx, self.id())
            .map(|state| state.rect())
            .filter(Rect::is_positive)
    }

    fn show(self, ui: &egui::Ui, desk: &Desk, canvas: Rect, pass: &mut Pass) {
        let (pivot, at) = match self {
            Self::Layers => (Align2::RIGHT_TOP, canvas.right_top() + vec2(-10.0, 10.0)),
            Self::Measure if desk.edit.on || desk.shelf.open => (
                Align2::LEFT_BOTTOM,
                canvas.left_bottom() + vec2(10.0, -70.0),
            ),
            Self::Measure => (Align2::LEFT_TOP, canvas.left_top() + vec2(10.0, 10.0)),
            Self::Edit | Self::Shelf => (Align2::LEFT_TOP, canvas.left_top() + vec2(10.0, 10.0)),
            Self::Question => (Align2::CENTER_TOP, canvas.center_top() + vec2(0.0, 12.0)),
            Self::Walk | Self::Paper => (
                Align2::LEFT_BOTTOM,
                canvas.left_bottom() + vec2(70.0, -10.0),
            ),
            Self::Keys => (
                Align2::RIGHT_BOTTOM,
                canvas.right_bottom() - vec2(10.0, 10.0),
            ),
        };
        let area = egui::Area::new(self.id())
            .fixed_pos(at)
            .pivot(pivot)
            .constrain_to(canvas)
            .fade_in(false);
        let frame = Frame::new()
            .fill(theme::CARD.glass(225))
            .stroke(Stroke::new(1.0, theme::QUIET.egui().gamma_multiply(0.35)))
            .corner_radius(5.0)
            .inner_margin(8.0);
        let shown = area.show(ui.ctx(), |ui| {
            if let Some(name) = self.door().filter(|_| !self.has_own_door()) {
                focus::door(ui, name);
            }
            frame.show(ui, |ui| match self {
                Self::Layers => {
                    let turned = layers_ui(ui, &desk.layers, &present(desk));
                    pass.actions
                        .extend(turned.map(|layer| Action::Asked(Asked::Turn(layer))));
                }
                Self::Measure => {
                    ui.set_max_width((canvas.width() * 0.45).clamp(120.0, 420.0));
                    pass.actions
                        .extend(measure_ui(ui, &desk.measure).map(|ask| match ask {
                            MeasureAsk::ToFloor => Action::Asked(Asked::ToFloor),
                            MeasureAsk::Cover => Action::Asked(Asked::Cover),
                            MeasureAsk::Ties => Action::Asked(Asked::Ties),
                            MeasureAsk::Nearest(index) => Action::Nearest(index),
                            MeasureAsk::Dismiss(index) => Action::Dismiss(index),
                            MeasureAsk::DismissAll => Action::DismissAll,
                            MeasureAsk::Tape => Action::Asked(Asked::Tape),
                            MeasureAsk::Done => Action::Asked(Asked::Measure),
                        }));
                }
                Self::Keys => keys::keys_ui(ui),
                Self::Shelf => {
                    ui.set_max_width(
                        (canvas.width() * 0.6).clamp(160.0, 420.0 * desk.text.max(1.0)),
                    );
                    let asked = shelf_ui(ui, &desk.shelf);
                    pass.actions.extend(asked.map(Action::Shelf));
                }
                Self::Edit => {
                    ui.set_max_width(250.0 * desk.text.max(1.0));
                    let of = desk.edit.item.as_deref().and_then(|item| {
                        let tree = layout::parse(&desk.house.text, "").ok()?;
                        Some(fields(&tree, item))
                    });
                    let asked = edit_ui(ui, &desk.edit, &of.unwrap_or_default());
                    pass.actions.extend(asked.map(Action::Edit));
                }
                Self::Paper => {
                    ui.set_max_width(260.0 * desk.text.max(1.0));
                    let wrong = desk.paper_wrong.as_deref();
                    let asked = match &desk.paper {
                        Some(paper) => paper_ui(ui, paper, wrong),
                        None => paper_wrong_ui(ui, wrong.unwrap_or_default()),
                    };
                    pass.actions.extend(asked.map(Action::Paper));
                }
                Self::Walk => {
                    ui.set_max_width((canvas.width() - 120.0).clamp(120.0, 640.0));
                    let asked = walk_ui(
                        ui,
                        desk.walk,
                        &desk.steps,
                        desk.text,
                        desk.edit.hooks.is_some(),
                    );
                    pass.actions.extend(asked.map(Action::Walk));
                }
                Self::Question => {
                    ui.set_max_width((canvas.width() * 0.8).clamp(120.0, 460.0));
                    let (asked, answers) = question_ui(ui, &desk.edit);
                    pass.actions.extend(asked.map(Action::Edit));
                    pass.answers = answers;
                }
            });
        });
        if let Some(name) = self.door() {
            focus::stands(ui.ctx(), name, shown.response.rect);
        }
    }

    /// Whether its door stands farther in, before what is worked most.
    fn has_own_door(self) -> bool {
        matches!(self, Self::Edit | Self::Shelf)
    }

    /// What its door is called; none where there is nothing to work.
    fn door(self) -> Option<&'static str> {
        match self {
            Self::Layers => Some("layers"),
            Self::Measure => Some("measure"),
            Self::Edit => Some("edit"),
            Self::Question => Some("question"),
            Self::Walk => Some("walk"),
            Self::Paper => Some("paper"),
            Self::Shelf => Some("shelf"),
            Self::Keys => None,
        }
    }
}

/// Whether the card of the plan picture is of use: while its points are told, and from above, where it is seen.
fn wants_paper(desk: &Desk) -> bool {
    let seen = |paper: &PaperPlan| paper.fitting || desk.pose.pitch >= ASLANT;
    desk.paper_wrong.is_some() || desk.paper.as_ref().is_some_and(seen)
}

/// The layers this house has anything on.
fn present(desk: &Desk) -> Vec<Layer> {
    let scene = &desk.house.scene;
    let solids = scene.solids.iter().map(|solid| Layer::of_solid(solid.kind));
    let pipes = scene
        .pipes
        .iter()
        .map(|pipe| Layer::of_pipe(pipe.flow, pipe.part));
    let labels = scene.marks.first().map(|_| Layer::Labels);
    // Few layers, and in a village very many bodies.
    let mut present: Vec<Layer> = Vec::new();
    for layer in solids.chain(pipes).chain(labels) {
        if !present.contains(&layer) {
            present.push(layer);
        }
    }
    present.sort_unstable();
    present
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_out_is_told_by_its_side_and_the_distance_from_its_end() {
        let outline = [(0.0, 0.0), (480.0, 0.0), (480.0, 360.0), (0.0, 360.0)];
        let outline = outline.map(|(x, y)| DVec2::new(x, y));
        let mut other_way = outline;
        other_way.reverse();
        for outline in [outline, other_way] {
            let north = side_of(&outline, DVec2::new(120.0, 360.0));
            assert_eq!(north, Some(("north", "west", 120.0)));
            let east = side_of(&outline, DVec2::new(480.0, 72.0));
            assert_eq!(east, Some(("east", "south", 72.0)));
            assert_eq!(side_of(&outline, DVec2::new(100.0, 100.0)), None);
        }
    }
}
