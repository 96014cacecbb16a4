//! The keyboard's focus: framed where it is, sent from panel to panel, taken up again where it was left.
//!
//! egui moves the focus from control to control. What it does not do stands here: a frame that is seen in every light, a
//! door into each panel, Escape as one step at a time, and a way past the edges of panels, which only a pointer can use.

use bevy_egui::egui::accesskit::{Action, ActionRequest, TreeId};
use bevy_egui::egui::{
    self, Event, FocusDirection, Id, Key, LayerId, Modifiers, Order, Rect, Stroke, StrokeKind,
};

use crate::theme;

/// Panels that have an edge to pull at with the pointer.
const EDGED: [&str; 6] = ["bar", "budget", "findings", "field book", "evening", "cut"];

/// What the keys mean in this frame.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Keyboard {
    /// Nothing has the focus: every key is the picture's.
    Free,
    /// A control has it: Space, Enter, Tab and arrows are its own.
    Control,
    /// A text is being typed: every letter is its own.
    Typing,
}

/// What is known from the frame before.
#[derive(Clone, Default)]
struct Known {
    /// Panels with a door, in the order they were laid out, and where they are.
    doors: Vec<(&'static str, Rect)>,
    /// The same of the frame before.
    before: Vec<(&'static str, Rect)>,
    /// What had the focus last.
    last: Option<Id>,
    /// Whether it had it when that frame ended.
    held: bool,
    /// The panel it is or was in.
    here: Option<&'static str>,
    /// The panel that was opened since, where the next Tab goes.
    opened: Option<&'static str>,
    /// The panel that the focus is sent to in this frame.
    to: Option<&'static str>,
    /// Which way Tab went last.
    back: bool,
    /// What has just come to have it, and may be out of sight.
    fresh: Option<Id>,
}

fn known(ctx: &egui::Context) -> Known {
    ctx.data(|data| data.get_temp(key())).unwrap_or_default()
}

fn know(ctx: &egui::Context, known: Known) {
    ctx.data_mut(|data| data.insert_temp(key(), known));
}

fn key() -> Id {
    Id::new("focus known")
}

/// The edge of a panel, as egui calls it.
fn edges() -> impl Iterator<Item = Id> {
    EDGED.into_iter().map(|name| Id::new(name).with("__resize"))
}

/// Begins a frame: moves the focus where the keys ask for it. Tells what the other keys mean, and whether Escape was spent
/// on leaving a list or a control.
pub fn begin(ctx: &egui::Context) -> (Keyboard, bool) {
    let mut now = known(ctx);
    let escape = ctx.input(|input| input.key_pressed(Key::Escape));
    let spent = escape && (now.held || egui::Popup::is_any_open(ctx));
    if let Some(by) = panel_key(ctx) {
        now.to = neighbour(&now, by);
    } else if let Some(back) = tab(ctx) {
        now.back = back;
        resume(ctx, &mut now);
    }
    let focused = ctx.memory(egui::Memory::focused);
    if focused.is_some_and(|id| edges().any(|edge| edge == id)) {
        ctx.memory_mut(|memory| memory.move_focus(way(now.back)));
    }
    if let Some(id) = now.fresh.take() {
        bring_in_sight(ctx, id);
    }
    now.before = std::mem::take(&mut now.doors);
    let keyboard = match focused {
        None => Keyboard::Free,
        Some(_) if ctx.text_edit_focused() => Keyboard::Typing,
        Some(_) => Keyboard::Control,
    };
    know(ctx, now);
    (keyboard, spent)
}

/// Forward or back by the key that goes from panel to panel.
fn panel_key(ctx: &egui::Context) -> Option<isize> {
    ctx.input_mut(|input| {
        let back = input.consume_key(Modifiers::SHIFT, Key::F6);
        let on = input.consume_key(Modifiers::NONE, Key::F6);
        back.then_some(-1).or(on.then_some(1))
    })
}

/// The panel before or after the one that has the focus, going round; the one that was opened last before any had it.
fn neighbour(now: &Known, by: isize) -> Option<&'static str> {
    if let Some(opened) = now.opened {
        return Some(opened);
    }
    let count = isize::try_from(now.doors.len()).ok().filter(|n| *n > 0)?;
    let here = |name| now.doors.iter().position(|(door, _)| *door == name);
    let at = now.here.filter(|_| now.held).and_then(here);
    let next = match at.and_then(|at| isize::try_from(at).ok()) {
        Some(at) => (at + by).rem_euclid(count),
        None if by > 0 => 0,
        None => count - 1,
    };
    usize::try_from(next).ok().map(|next| now.doors[next].0)
}

/// Whether Tab was pressed, and whether backward.
fn tab(ctx: &egui::Context) -> Option<bool> {
    ctx.input(|input| {
        let pressed = input.key_pressed(Key::Tab);
        pressed.then_some(input.modifiers.shift)
    })
}

/// Where Tab begins when nothing has the focus: in the panel opened last, at the control that had it last, or in its panel.
fn resume(ctx: &egui::Context, now: &mut Known) {
    let focused = ctx.memory(egui::Memory::focused).is_some();
    let last = now.last.filter(|id| ctx.read_response(*id).is_some());
    if let Some(door) = now.opened {
        now.to = Some(door);
    } else if focused {
        return;
    } else if let Some(last) = last {
        ctx.memory_mut(|memory| {
            memory.move_focus(FocusDirection::None);
            memory.request_focus(last);
        });
        return;
    } else {
        let open = |door: &&str| now.doors.iter().any(|(name, _)| name == door);
        now.to = now.here.filter(open);
    }
    if now.to.is_some() {
        ctx.memory_mut(|memory| memory.move_focus(FocusDirection::None));
    }
}

fn way(back: bool) -> FocusDirection {
    if back {
        FocusDirection::Previous
    } else {
        FocusDirection::Next
    }
}

/// Scrolls to a control that has the focus and is not wholly seen, as a screen reader would ask for it.
fn bring_in_sight(ctx: &egui::Context, id: Id) {
    let Some(response) = ctx.read_response(id) else {
        return;
    };
    if response
        .interact_rect
        .contains_rect(response.rect.shrink(1.0))
    {
        return;
    }
    let request = ActionRequest {
        action: Action::ScrollIntoView,
        target_tree: TreeId::ROOT,
        target_node: id.accesskit_id(),
        data: None,
    };
    ctx.input_mut(|input| input.events.push(Event::AccessKitActionRequest(request)));
}

/// The way into a panel: the next control laid out is where the focus comes in when it is sent there.
pub fn door(ui: &egui::Ui, panel: &'static str) {
    let mut now = known(ui.ctx());
    now.doors.push((panel, Rect::NOTHING));
    if now.to == Some(panel) {
        now.to = None;
        now.opened = None;
        ui.memory_mut(|memory| {
            if let Some(id) = memory.focused() {
                memory.surrender_focus(id);
            }
            memory.move_focus(FocusDirection::Next);
        });
    }
    know(ui.ctx(), now);
}

/// Tells where a panel is, once it was laid out.
pub fn stands(ctx: &egui::Context, panel: &'static str, rect: Rect) {
    let mut now = known(ctx);
    for (name, at) in &mut now.doors {
        if *name == panel {
            *at = rect;
        }
    }
    know(ctx, now);
}

/// Ends a frame: frames what has the focus, and remembers it. Whether another frame is needed to bring it where it goes.
pub fn end(ctx: &egui::Context) -> bool {
    let mut now = known(ctx);
    let before = std::mem::take(&mut now.before);
    let new = |(name, _): &&(&'static str, Rect)| !before.iter().any(|(old, _)| old == name);
    let opened = now.doors.iter().rfind(new).filter(|_| !before.is_empty());
    let opened = opened.map(|(name, _)| *name).or(now.opened);
    let open = |name: &&str| now.doors.iter().any(|(door, _)| door == name);
    now.opened = opened.filter(open);
    now.to = None;
    let focused = ctx.memory(egui::Memory::focused);
    let response = focused.and_then(|id| ctx.read_response(id));
    let on_edge = focused.is_some_and(|id| edges().any(|edge| edge == id));
    let moved = focused.is_some() && now.last != focused;
    now.held = focused.is_some();
    now.fresh = focused.filter(|_| moved);
    if let Some(response) = response.filter(|_| !on_edge) {
        now.last = Some(response.id);
        let middle = response.interact_rect.center();
        let at = now
            .doors
            .iter()
            .rev()
            .find(|(_, rect)| rect.contains(middle));
        now.here = at.map(|(name, _)| *name).or(now.here);
        if now.here == now.opened {
            now.opened = None;
        }
        frame_paint(ctx, response.interact_rect);
    }
    know(ctx, now);
    moved || on_edge
}

/// A frame that is seen on any ground: ink within paper.
fn frame_paint(ctx: &egui::Context, rect: Rect) {
    let painter = ctx.layer_painter(LayerId::new(Order::Tooltip, Id::new("focus")));
    let paper = Stroke::new(5.0, theme::CARD.egui());
    painter.rect_stroke(rect.expand(1.5), 4.0, paper, StrokeKind::Middle);
    let ink = Stroke::new(2.5, theme::INK.egui());
    painter.rect_stroke(rect.expand(1.5), 4.0, ink, StrokeKind::Middle);
}

/// Turns the scrolled text that `ui` is in by a page, while a control of its panel has the focus: lines that are only read
/// are no stops of the Tab key.
pub fn page(ui: &egui::Ui, panel: &str) {
    let now = known(ui.ctx());
    if !now.held || now.here != Some(panel) {
        return;
    }
    let pressed = |key| ui.input(|input| input.key_pressed(key));
    let by = match (pressed(Key::PageDown), pressed(Key::PageUp)) {
        (true, false) => -0.8,
        (false, true) => 0.8,
        (true, true) | (false, false) => return,
    };
    ui.scroll_with_delta(egui::vec2(0.0, by * ui.clip_rect().height()));
}

/// A whole row as one control. A row's own response would not do: it is laid out as a group, which gives the focus up again.
pub fn row(ui: &egui::Ui, group: &egui::Response) -> egui::Response {
    ui.interact(group.rect, group.id.with("row"), egui::Sense::click())
}

/// Whether a line of an open list was chosen. The list closes then: by a key egui would leave it open.
pub fn chosen(ui: &egui::Ui, line: &egui::Response) -> bool {
    if line.clicked() {
        ui.close();
    }
    line.clicked()
}

/// Gives the focus back to the control of a list that was closed by a key's choice.
pub fn back_to(list: &egui::Response, chosen: bool) {
    if chosen && !list.ctx.input(|input| input.pointer.any_click()) {
        list.request_focus();
    }
}

/// Names a control for screen readers where what it shows does not say enough.
pub fn named(response: egui::Response, name: &str) -> egui::Response {
    let enabled = response.enabled();
    response.widget_info(|| egui::WidgetInfo::labeled(egui::WidgetType::Button, enabled, name));
    response
}
