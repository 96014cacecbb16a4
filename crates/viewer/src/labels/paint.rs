//! Draws the labels that have their place.

use bevy_egui::egui::{self, Color32, FontId, Pos2, Rect, Stroke, StrokeKind};
use scene::{Mark, MarkKind};

use super::place::{Wish, place};
use crate::theme::{self, Tint};

/// Smaller parts of a run are named only when the eye is nearer than this, feet.
const CLOSE: f32 = 32.0;

/// Draws labels of `marks`. `project` gives a mark's place on screen and its distance from the eye in feet;
/// the inverts of `picked` are shown from any distance; `taken` is room that labels must leave free; `scale` is the text size. Gives the room the labels took.
pub fn labels_paint(
    painter: &egui::Painter,
    marks: &[Mark],
    project: &dyn Fn(&Mark) -> Option<(Pos2, f32)>,
    picked: Option<&str>,
    taken: &[Rect],
    scale: f32,
) -> Vec<Rect> {
    let bounds = painter.clip_rect().shrink(4.0);
    let mut galleys = Vec::new();
    let mut wishes = Vec::new();
    for mark in marks {
        let Some((anchor, depth)) = project(mark) else {
            continue;
        };
        if !bounds.contains(anchor)
            || !(worth(mark.kind, depth) || picked == Some(mark.id.as_str()))
        {
            continue;
        }
        let text = words(mark);
        let font = FontId::proportional(if rank(mark.kind) == 0 { 13.5 } else { 12.5 } * scale);
        let galley = painter.layout_no_wrap(text, font, theme::INK.egui());
        wishes.push(Wish {
            anchor,
            size: galley.size() + egui::vec2(10.0, 4.0),
            rank: if picked == Some(mark.id.as_str()) {
                0
            } else {
                rank(mark.kind)
            },
            depth,
        });
        galleys.push((galley, mark.kind));
    }
    let placed = place(&wishes, bounds, taken);
    for one in &placed {
        leader(
            painter,
            wishes[one.index].anchor,
            one.rect,
            tint(galleys[one.index].1),
        );
    }
    for one in &placed {
        let (galley, kind) = &galleys[one.index];
        painter.rect_filled(one.rect, 3.0, theme::CARD.glass(228));
        let edge = Stroke::new(1.0, tint(*kind).egui().gamma_multiply(0.7));
        painter.rect_stroke(one.rect, 3.0, edge, StrokeKind::Inside);
        painter.galley(
            one.rect.min + egui::vec2(5.0, 2.0),
            galley.clone(),
            theme::INK.egui(),
        );
    }
    placed.into_iter().map(|one| one.rect).collect()
}

fn leader(painter: &egui::Painter, anchor: Pos2, rect: Rect, tint: Tint) {
    let to = rect.clamp(anchor);
    painter.line_segment(
        [anchor, to],
        Stroke::new(1.0, theme::INK.egui().gamma_multiply(0.55)),
    );
    painter.circle(anchor, 2.6, tint.egui(), Stroke::new(1.0, Color32::WHITE));
}

fn worth(kind: MarkKind, depth: f32) -> bool {
    match kind {
        MarkKind::Exit | MarkKind::Receiver | MarkKind::Stub | MarkKind::Cleanout => true,
        MarkKind::Invert | MarkKind::Run => depth < CLOSE,
    }
}

fn rank(kind: MarkKind) -> u8 {
    match kind {
        MarkKind::Exit | MarkKind::Receiver => 0,
        MarkKind::Stub => 1,
        MarkKind::Cleanout => 2,
        MarkKind::Run => 3,
        MarkKind::Invert => 4,
    }
}

fn tint(kind: MarkKind) -> Tint {
    match kind {
        MarkKind::Exit | MarkKind::Stub | MarkKind::Cleanout | MarkKind::Invert | MarkKind::Run => {
            theme::DRAIN
        }
        MarkKind::Receiver => theme::RECEIVER,
    }
}

fn words(mark: &Mark) -> String {
    if mark.text.is_empty() {
        mark.id.to_string()
    } else {
        mark.text.clone()
    }
}
