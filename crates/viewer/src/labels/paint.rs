//! Draws the labels that have their place.

use bevy_egui::egui::{self, Color32, FontId, Pos2, Rect, Stroke, StrokeKind};
use scene::{Mark, MarkKind};

use super::place::{Placed, Wish, place};
use crate::picking::{Pick, of_mark};
use crate::theme::{self, Tint};

/// Smaller parts of a run are named only when the eye is nearer than this, feet.
const CLOSE: f32 = 32.0;

/// Draws labels of `marks`. `project` gives a mark's place on screen and its distance from the eye in feet;
/// the inverts of `picked` are shown from any distance; `taken` is room that labels must leave free; `scale` is the text size. Gives the
/// labels that found room.
pub fn labels_paint(
    painter: &egui::Painter,
    marks: &[Mark],
    project: &dyn Fn(&Mark) -> Option<(Pos2, f32)>,
    picked: Option<&str>,
    taken: &[Rect],
    scale: f32,
) -> Vec<Label> {
    let bounds = painter.clip_rect().shrink(4.0);
    let mut named: Vec<Named> = marks
        .iter()
        .filter_map(|mark| Named::of(mark, project, picked))
        .filter(|named| bounds.contains(named.anchor))
        .collect();
    first_of(&mut named);
    let mut galleys = Vec::new();
    let mut wishes = Vec::new();
    for Named {
        mark,
        anchor,
        rank,
        depth,
    } in named
    {
        let size = if self::rank(mark.kind) == 0 {
            13.5
        } else {
            12.5
        } * scale;
        let font = FontId::proportional(size);
        let galley = painter.layout_no_wrap(words(mark), font, theme::INK.egui());
        wishes.push(Wish {
            anchor,
            size: galley.size() + egui::vec2(10.0, 4.0),
            rank,
            depth,
        });
        galleys.push((galley, mark));
    }
    let placed = place(&wishes, bounds, taken);
    for one in &placed {
        leader(
            painter,
            wishes[one.index].anchor,
            one.rect,
            tint(galleys[one.index].1.kind),
        );
    }
    for one in &placed {
        let (galley, mark) = &galleys[one.index];
        painter.rect_filled(one.rect, 3.0, theme::CARD.glass(228));
        let edge = Stroke::new(1.0, tint(mark.kind).egui().gamma_multiply(0.7));
        painter.rect_stroke(one.rect, 3.0, edge, StrokeKind::Inside);
        painter.galley(
            one.rect.min + egui::vec2(5.0, 2.0),
            galley.clone(),
            theme::INK.egui(),
        );
    }
    let label = |one: Placed| Label {
        rect: one.rect,
        names: of_mark(galleys[one.index].1),
    };
    placed.into_iter().map(label).collect()
}

/// A label where it stands.
#[derive(Clone, PartialEq, Debug)]
pub struct Label {
    /// The room it takes, points.
    pub rect: Rect,
    /// The place it names.
    pub names: Pick,
}

/// So many labels are laid out at the most, the most important and nearest ones: of a village's drains no more have room.
const MOST: usize = 150;

/// A mark that may have a label.
struct Named<'a> {
    mark: &'a Mark,
    anchor: Pos2,
    rank: u8,
    depth: f32,
}

impl<'a> Named<'a> {
    fn of(
        mark: &'a Mark,
        project: &dyn Fn(&Mark) -> Option<(Pos2, f32)>,
        picked: Option<&str>,
    ) -> Option<Self> {
        let (anchor, depth) = project(mark)?;
        let picked = picked == Some(mark.id.as_str());
        let rank = if picked { 0 } else { rank(mark.kind) };
        (picked || worth(mark.kind, depth)).then_some(Self {
            mark,
            anchor,
            rank,
            depth,
        })
    }
}

/// Keeps the first [`MOST`].
fn first_of(named: &mut Vec<Named>) {
    let before = |a: &Named, b: &Named| a.rank.cmp(&b.rank).then(a.depth.total_cmp(&b.depth));
    if named.len() > MOST {
        named.select_nth_unstable_by(MOST, before);
        named.truncate(MOST);
    }
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
