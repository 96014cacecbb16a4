//! What stands on a page: lines, areas and words, each where it is. What does not belong here: how a writer puts them down.

use glam::DVec2;

use crate::fonts::{ASCENT, DESCENT, Face, width};
use crate::paper::Paper;

/// One sheet of paper.
#[derive(Clone, PartialEq, Debug)]
pub struct Page {
    /// Short, for a file name and for references: `plan`, `dig-2`.
    pub name: String,
    /// What it is called at its top.
    pub title: String,
    /// What it is for, one line.
    pub purpose: String,
    /// Its size.
    pub paper: Paper,
    /// What stands on it, in reading order; later parts lie over earlier ones.
    pub parts: Vec<Part>,
}

/// Marks that belong together, for readers that cannot see them.
#[derive(Clone, PartialEq, Debug)]
pub struct Part {
    /// What they are.
    pub role: Role,
    /// The marks, the first lowest.
    pub marks: Vec<Mark>,
}

/// What a part of a page is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Role {
    /// The page's title.
    Title,
    /// A heading within the page.
    Heading,
    /// Running text.
    Paragraph,
    /// Where a table begins; its cells follow.
    Table,
    /// A cell of the table begun last: its row, counted from the heads, and whether it is a head.
    Cell {
        /// The row; cells of one row stand together, left to right.
        row: usize,
        /// Names its column.
        head: bool,
    },
    /// A drawing, and what it shows in words.
    Figure(String),
    /// What stands on every page and need not be read aloud: rules, page numbers.
    Furniture,
}

/// A colour, 0 to 255 each. Nothing on a page is told by colour alone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Ink(pub u8, pub u8, pub u8);

impl Ink {
    /// Black.
    pub const BLACK: Self = Self(0, 0, 0);
    /// Grey that still copies.
    pub const GREY: Self = Self(110, 110, 110);
    /// Light grey, for ghosts and grids.
    pub const PALE: Self = Self(190, 190, 190);
    /// A tint behind words.
    pub const TINT: Self = Self(236, 236, 236);
    /// White.
    pub const WHITE: Self = Self(255, 255, 255);
    /// Sewer green (APWA uniform colour code, ANSI Z535.1 green; its value on paper from memory).
    pub const SEWER: Self = Self(0, 110, 60);
    /// Potable water blue (APWA uniform colour code; value from memory).
    pub const WATER: Self = Self(0, 90, 180);
    /// Fails: vermilion of the Okabe-Ito palette (2008).
    pub const FAILS: Self = Self(213, 94, 0);
    /// Ask: blue of the Okabe-Ito palette (2008).
    pub const ASK: Self = Self(0, 114, 178);
}

/// How a line is drawn.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Pen {
    /// Width, points.
    pub width: f64,
    /// Colour.
    pub ink: Ink,
    /// Length of dash and gap, points; `None` for a whole line.
    pub dash: Option<(f64, f64)>,
}

impl Pen {
    /// A whole line.
    pub const fn new(width: f64, ink: Ink) -> Self {
        Self {
            width,
            ink,
            dash: None,
        }
    }

    /// A black line as thin as copies keep.
    pub const fn hair() -> Self {
        Self::new(0.4, Ink::BLACK)
    }

    /// The same, dashed.
    pub const fn dashed(self, dash: f64, gap: f64) -> Self {
        Self {
            dash: Some((dash, gap)),
            ..self
        }
    }
}

/// How words are set.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Style {
    /// Height of the type, points.
    pub size: f64,
    /// Regular or bold.
    pub face: Face,
    /// Colour.
    pub ink: Ink,
    /// Where the anchor stands along the words: 0 at their start, 0.5 in their middle, 1 at their end.
    pub along: f64,
    /// Turned so far against the clock about the anchor, degrees.
    pub turn: f64,
}

impl Style {
    /// Black regular words that start at their anchor.
    pub const fn new(size: f64) -> Self {
        Self {
            size,
            face: Face::Regular,
            ink: Ink::BLACK,
            along: 0.0,
            turn: 0.0,
        }
    }

    /// The same in bold.
    pub const fn bold(self) -> Self {
        Self {
            face: Face::Bold,
            ..self
        }
    }

    /// The same in another colour.
    pub const fn ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// The same with the anchor in the middle of the words.
    pub const fn middle(self) -> Self {
        Self { along: 0.5, ..self }
    }

    /// The same with the anchor at the end of the words.
    pub const fn end(self) -> Self {
        Self { along: 1.0, ..self }
    }

    /// The same, turned so far against the clock.
    pub const fn turned(self, degrees: f64) -> Self {
        Self {
            turn: degrees,
            ..self
        }
    }
}

/// One mark.
#[derive(Clone, PartialEq, Debug)]
pub enum Mark {
    /// Straight lines from point to point.
    Path {
        /// At least two points.
        points: Vec<DVec2>,
        /// Back to the first.
        closed: bool,
        /// Its outline, if drawn.
        pen: Option<Pen>,
        /// Its inside, if filled.
        fill: Option<Ink>,
    },
    /// A circle.
    Circle {
        /// Its centre.
        centre: DVec2,
        /// Its radius, above 0.
        radius: f64,
        /// Its outline, if drawn.
        pen: Option<Pen>,
        /// Its inside, if filled.
        fill: Option<Ink>,
    },
    /// Words on one line.
    Text {
        /// The anchor, on the base line.
        at: DVec2,
        /// The words, as they are read: any text at all.
        words: String,
        /// How they are set.
        style: Style,
    },
}

impl Mark {
    /// The corners of the box round some words, in order; `None` for what is not words.
    pub fn word_box(&self) -> Option<[DVec2; 4]> {
        let Self::Text { at, words, style } = self else {
            return None;
        };
        let wide = width(style.face, style.size, words);
        let (left, right) = (-style.along * wide, (1.0 - style.along) * wide);
        let (top, bottom) = (-ASCENT * style.size, DESCENT * style.size);
        let turn = DVec2::from_angle(-style.turn.to_radians());
        let corner = |x: f64, y: f64| *at + turn.rotate(DVec2::new(x, y));
        Some([
            corner(left, top),
            corner(right, top),
            corner(right, bottom),
            corner(left, bottom),
        ])
    }
}

impl Page {
    /// All marks, the lowest first.
    pub fn marks(&self) -> impl Iterator<Item = &Mark> {
        self.parts.iter().flat_map(|part| &part.marks)
    }

    /// Words whose boxes lie over one another by more than `slack` points, and words that leave the paper: what no page may
    /// have. Blank words take no room.
    pub fn crowded(&self, slack: f64) -> Vec<String> {
        let boxes: Vec<(&str, [DVec2; 4])> = self
            .marks()
            .filter_map(|mark| match mark {
                Mark::Text { words, .. } if !words.trim().is_empty() => {
                    mark.word_box().map(|corners| (words.as_str(), corners))
                }
                Mark::Text { .. } | Mark::Path { .. } | Mark::Circle { .. } => None,
            })
            .collect();
        let mut flaws = self.outside(&boxes);
        for (n, (a, of_a)) in boxes.iter().enumerate() {
            for (b, of_b) in &boxes[n + 1..] {
                if overlap(of_a, of_b) > slack {
                    flaws.push(format!("{}: {a:?} lies over {b:?}", self.name));
                }
            }
        }
        flaws
    }

    fn outside(&self, boxes: &[(&str, [DVec2; 4])]) -> Vec<String> {
        let size = self.paper.size();
        let leaves = |p: &DVec2| p.x < 0.0 || p.y < 0.0 || p.x > size.x || p.y > size.y;
        let leaving = boxes
            .iter()
            .filter(|(_, corners)| corners.iter().any(leaves));
        leaving
            .map(|(words, _)| format!("{}: {words:?} leaves the paper", self.name))
            .collect()
    }
}

/// How deep two boxes lie in one another, points; 0 or less when they do not (the least overlap over the axes of both).
pub(crate) fn overlap(a: &[DVec2; 4], b: &[DVec2; 4]) -> f64 {
    let axes = [a[1] - a[0], a[3] - a[0], b[1] - b[0], b[3] - b[0]];
    axes.into_iter()
        .map(|axis| {
            let axis = axis.normalize_or_zero();
            let span = |corners: &[DVec2; 4]| {
                corners
                    .iter()
                    .map(|corner| corner.dot(axis))
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
                        (low.min(at), high.max(at))
                    })
            };
            let ((a_low, a_high), (b_low, b_high)) = (span(a), span(b));
            a_high.min(b_high) - a_low.max(b_low)
        })
        .fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(at: (f64, f64), words: &str, style: Style) -> Mark {
        Mark::Text {
            at: at.into(),
            words: words.to_owned(),
            style,
        }
    }

    fn page(marks: Vec<Mark>) -> Page {
        Page {
            name: "t".into(),
            title: String::new(),
            purpose: String::new(),
            paper: Paper::Letter,
            parts: vec![Part {
                role: Role::Paragraph,
                marks,
            }],
        }
    }

    #[test]
    fn words_over_words_are_found_turned_ones_too() {
        let style = Style::new(10.0);
        let over = page(vec![
            words((100.0, 100.0), "trunk", style),
            words((110.0, 104.0), "branch", style),
        ]);
        assert_eq!(over.crowded(0.5).len(), 1);
        let beside = page(vec![
            words((100.0, 100.0), "trunk", style),
            words((100.0, 115.0), "branch", style),
            words((90.0, 110.0), "turned", style.turned(90.0)),
        ]);
        assert_eq!(beside.crowded(0.5), Vec::<String>::new());
        let crossed = page(vec![
            words((100.0, 100.0), "a long word", style),
            words((120.0, 120.0), "turned", style.turned(90.0)),
        ]);
        assert_eq!(crossed.crowded(0.5).len(), 1);
    }

    #[test]
    fn words_that_leave_the_paper_are_found() {
        let out = page(vec![words((605.0, 100.0), "clipped", Style::new(10.0))]);
        assert_eq!(out.crowded(0.5), ["t: \"clipped\" leaves the paper"]);
    }
}
