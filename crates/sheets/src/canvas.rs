//! A pencil that puts marks into parts.

use glam::DVec2;

use crate::fonts::width;
use crate::mark::{Ink, Mark, Part, Pen, Role, Style};

/// Gathers the marks of a page, part by part.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Canvas {
    pub(crate) parts: Vec<Part>,
}

impl Canvas {
    /// Starts a part; what is drawn from here on belongs to it.
    pub(crate) fn begin(&mut self, role: Role) {
        self.parts.push(Part {
            role,
            marks: Vec::new(),
        });
    }

    fn push(&mut self, mark: Mark) {
        if self.parts.is_empty() {
            self.begin(Role::Furniture);
        }
        if let Some(part) = self.parts.last_mut() {
            part.marks.push(mark);
        }
    }

    /// A straight line.
    pub(crate) fn line(&mut self, from: DVec2, to: DVec2, pen: Pen) {
        self.path(vec![from, to], pen);
    }

    /// Lines from point to point.
    pub(crate) fn path(&mut self, points: Vec<DVec2>, pen: Pen) {
        self.push(Mark::Path {
            points,
            closed: false,
            pen: Some(pen),
            fill: None,
        });
    }

    /// A closed outline, filled or not.
    pub(crate) fn area(&mut self, points: Vec<DVec2>, pen: Option<Pen>, fill: Option<Ink>) {
        self.push(Mark::Path {
            points,
            closed: true,
            pen,
            fill,
        });
    }

    /// An upright rectangle from its upper left corner.
    pub(crate) fn rect(&mut self, at: DVec2, size: DVec2, pen: Option<Pen>, fill: Option<Ink>) {
        let corners = vec![
            at,
            at + DVec2::new(size.x, 0.0),
            at + size,
            at + DVec2::new(0.0, size.y),
        ];
        self.area(corners, pen, fill);
    }

    /// A circle.
    pub(crate) fn circle(
        &mut self,
        centre: DVec2,
        radius: f64,
        pen: Option<Pen>,
        fill: Option<Ink>,
    ) {
        self.push(Mark::Circle {
            centre,
            radius,
            pen,
            fill,
        });
    }

    /// Words on one line, by their base line.
    pub(crate) fn text(&mut self, at: DVec2, words: impl Into<String>, style: Style) {
        self.push(Mark::Text {
            at,
            words: words.into(),
            style,
        });
    }

    /// An arrow head at `tip`, pointing the way of `along`.
    pub(crate) fn arrow(&mut self, tip: DVec2, along: DVec2, size: f64, ink: Ink) {
        let back = -along.normalize_or_zero() * size;
        let side = back.perp() * 0.35;
        self.area(
            vec![tip, tip + back + side, tip + back - side],
            None,
            Some(ink),
        );
    }

    /// A dimension: witness ticks at both ends, the words over the middle, readable from below or from the right.
    /// `off` is how far the line stands from the two points, to the left of the way from the first to the second.
    pub(crate) fn dimension(
        &mut self,
        from: DVec2,
        to: DVec2,
        off: f64,
        words: &str,
        style: Style,
    ) {
        let along = (to - from).normalize_or_zero();
        // y runs down the page: the left hand of the way is the other perpendicular.
        let left = -along.perp();
        let (a, b) = (from + left * off, to + left * off);
        let pen = Pen::new(0.4, Ink::GREY);
        for (at, end) in [(from, a), (to, b)] {
            let out = (end - at).normalize_or_zero();
            self.line(at + out * 2.0, end + out * 3.0, pen);
            let tick = (along + left) * 2.4;
            self.line(end - tick, end + tick, Pen::new(0.9, Ink::BLACK));
        }
        self.line(a, b, pen);
        let base = dimension_words(from, to, off, words, style);
        // Words that stand beyond the second tick stand on a line of their own.
        if (base - (a + b) / 2.0).dot(along) > 1.0 {
            let wide = width(style.face, style.size, words);
            self.line(b, b + along * (wide + 2.0 * BEYOND), pen);
        }
        let mut turn = -along.y.atan2(along.x).to_degrees();
        if turn > 90.0 + 1e-6 {
            turn -= 180.0;
        } else if turn <= -90.0 + 1e-6 {
            turn += 180.0;
        }
        self.text(base, words, style.middle().turned(turn));
    }
}

/// How far beyond its second tick a dimension's words begin, points.
const BEYOND: f64 = 5.0;

/// Where the words of a dimension stand, the middle of their base line: over the middle of the line, or beyond its second
/// tick where they are longer than it.
pub(crate) fn dimension_words(
    from: DVec2,
    to: DVec2,
    off: f64,
    words: &str,
    style: Style,
) -> DVec2 {
    let along = (to - from).normalize_or_zero();
    let (a, b) = (from - along.perp() * off, to - along.perp() * off);
    let wide = width(style.face, style.size, words);
    let middle = if wide + 6.0 > a.distance(b) {
        b + along * (BEYOND + wide / 2.0)
    } else {
        (a + b) / 2.0
    };
    middle + dimension_up(along) * 2.6
}

/// The side of a dimension line on which its words stand: above it, or left of one that runs upright.
fn dimension_up(along: DVec2) -> DVec2 {
    let mut turn = -along.y.atan2(along.x).to_degrees();
    if turn > 90.0 + 1e-6 {
        turn -= 180.0;
    } else if turn <= -90.0 + 1e-6 {
        turn += 180.0;
    }
    DVec2::from_angle(-turn.to_radians()).perp() * -1.0
}
