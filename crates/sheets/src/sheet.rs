//! A page in the making: heads at its top, then headings, words, tables and drawings one under another, and a new page
//! where the paper ends.

use glam::DVec2;

use crate::canvas::Canvas;
use crate::fonts::{ASCENT, Face, wrap};
use crate::mark::{Ink, Page, Pen, Role, Style};
use crate::paper::Paper;
use crate::table::Table;

/// An upright piece of a page, by its upper left corner.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Area {
    pub(crate) at: DVec2,
    pub(crate) size: DVec2,
}

impl Area {
    /// The same with so much less on every side.
    pub(crate) fn inset(self, by: f64) -> Self {
        Self {
            at: self.at + by,
            size: (self.size - 2.0 * by).max(DVec2::ONE),
        }
    }

    /// Its lower right corner.
    pub(crate) fn end(self) -> DVec2 {
        self.at + self.size
    }
}

/// What all pages of one packet share.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Set {
    /// Paper as the pages stand.
    pub(crate) paper: Paper,
    /// Size of running text, points.
    pub(crate) type_size: f64,
    /// The layout's title, maybe empty.
    pub(crate) house: String,
    /// The day the layout was drawn; empty when not told.
    pub(crate) dated: String,
    /// The layout's hash.
    pub(crate) hash: String,
    /// How many of its findings fail.
    pub(crate) fails: usize,
}

/// What stands at a page's top, and what must not be forgotten at its foot.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Heads<'a> {
    /// Short name, for file names.
    pub(crate) name: &'a str,
    /// What it is called.
    pub(crate) title: &'a str,
    /// What it is for, one line.
    pub(crate) purpose: &'a str,
    /// The caution that belongs to this work; may be empty.
    pub(crate) caution: &'a str,
}

/// Room left free at each edge of the paper, points.
pub(crate) const MARGIN: f64 = 36.0;
/// Room for the foot of a page: the line with its number.
pub(crate) const FOOT: f64 = 26.0;

/// A page, or several, in the making.
pub(crate) struct Sheet<'a> {
    set: &'a Set,
    heads: Heads<'a>,
    paper: Paper,
    canvas: Canvas,
    y: f64,
    done: Vec<Canvas>,
}

impl<'a> Sheet<'a> {
    /// Starts a page on the set's paper, standing.
    pub(crate) fn standing(set: &'a Set, heads: Heads<'a>) -> Self {
        Self::on(set, heads, set.paper)
    }

    /// Starts a page on the set's paper, lying: for drawings.
    pub(crate) fn lying(set: &'a Set, heads: Heads<'a>) -> Self {
        Self::on(set, heads, set.paper.lying())
    }

    fn on(set: &'a Set, heads: Heads<'a>, paper: Paper) -> Self {
        let mut sheet = Self {
            set,
            heads,
            paper,
            canvas: Canvas::default(),
            y: 0.0,
            done: Vec::new(),
        };
        sheet.draw_heads();
        sheet
    }

    /// Size of running text, points.
    pub(crate) fn size(&self) -> f64 {
        self.set.type_size
    }

    /// Width between the margins.
    pub(crate) fn width(&self) -> f64 {
        self.paper.size().x - 2.0 * MARGIN
    }

    /// Height left on this page.
    pub(crate) fn room(&self) -> f64 {
        self.paper.size().y - MARGIN - FOOT - self.caution_height() - self.y
    }

    /// Height of an empty page between its heads and its foot.
    pub(crate) fn whole_room(&self) -> f64 {
        self.paper.size().y - MARGIN - FOOT - self.caution_height() - self.top()
    }

    /// Goes on to a new page unless so much height is left, or the page is still empty.
    pub(crate) fn need(&mut self, height: f64) {
        if self.room() < height && self.y > self.top() + 1.0 {
            self.next_page();
        }
    }

    /// Goes on to a new page.
    pub(crate) fn next_page(&mut self) {
        self.done.push(std::mem::take(&mut self.canvas));
        self.draw_heads();
    }

    /// So much empty height.
    pub(crate) fn gap(&mut self, height: f64) {
        self.y += height;
    }

    /// A heading; it stays with what follows.
    pub(crate) fn heading(&mut self, words: &str) {
        let size = self.size() * 1.2;
        self.need(size * 4.5);
        self.gap(size * 0.5);
        self.canvas.begin(Role::Heading);
        self.lines(words, Style::new(size).bold(), 0.0);
        self.gap(size * 0.15);
    }

    /// Running text.
    pub(crate) fn paragraph(&mut self, words: &str) {
        self.canvas.begin(Role::Paragraph);
        self.lines(words, Style::new(self.size()), 0.0);
        self.gap(self.size() * 0.35);
    }

    /// Lines with a box to tick before each.
    pub(crate) fn tick_list(&mut self, items: &[String]) {
        for item in items {
            self.item(item);
        }
    }

    fn item(&mut self, words: &str) {
        let size = self.size();
        self.need(size * 1.4);
        self.canvas.begin(Role::Paragraph);
        let mark = DVec2::new(MARGIN, self.y + 0.2 * size);
        let pen = Some(Pen::new(0.8, Ink::BLACK));
        self.canvas.rect(mark, DVec2::splat(size * 0.85), pen, None);
        self.lines(words, Style::new(size), size * 1.5);
        self.gap(size * 0.3);
    }

    fn lines(&mut self, words: &str, style: Style, indent: f64) {
        let lead = style.size * 1.3;
        for line in wrap(style.face, style.size, words, self.width() - indent) {
            self.need(lead);
            let base = DVec2::new(MARGIN + indent, self.y + (ASCENT + 0.14) * style.size);
            self.canvas.text(base, line, style);
            self.y += lead;
        }
    }

    /// The height a table takes on one page.
    pub(crate) fn table_height(&self, table: &Table) -> f64 {
        let laid = table.laid(self.width(), self.size());
        let rows: f64 = (0..laid.len()).map(|row| laid.row_height(row)).sum();
        laid.head_height() + rows + self.size() * 0.8
    }

    /// A table, with its heads again on every page it runs over.
    pub(crate) fn table(&mut self, table: &Table) {
        let laid = table.laid(self.width(), self.size());
        let mut fresh = true;
        for row in 0..laid.len() {
            let high = laid.row_height(row);
            if fresh || self.room() < high {
                self.need(laid.head_height() + high);
                laid.draw_heads(&mut self.canvas, DVec2::new(MARGIN, self.y));
                self.y += laid.head_height();
                fresh = false;
            }
            laid.draw_row(&mut self.canvas, DVec2::new(MARGIN, self.y), row);
            self.y += high;
        }
        self.gap(self.size() * 0.8);
    }

    /// A drawing over the whole width and so high; `alt` tells in words what it shows.
    pub(crate) fn figure(&mut self, height: f64, alt: &str, draw: impl FnOnce(&mut Canvas, Area)) {
        self.labelled(height, alt, |canvas, area| {
            draw(canvas, area);
            Vec::new()
        });
    }

    /// A drawing that gives back the labels it had no room for: they are named under it.
    pub(crate) fn labelled(
        &mut self,
        height: f64,
        alt: &str,
        draw: impl FnOnce(&mut Canvas, Area) -> Vec<String>,
    ) {
        self.need(height);
        self.canvas.begin(Role::Figure(alt.to_owned()));
        let area = Area {
            at: DVec2::new(MARGIN, self.y),
            size: DVec2::new(self.width(), height),
        };
        let left_out = draw(&mut self.canvas, area);
        self.y += height;
        self.gap(4.0);
        if !left_out.is_empty() {
            let names = left_out.join(", ");
            self.paragraph(&format!("Drawn, but without room for a label: {names}."));
        }
    }

    /// The pages, without their feet: those are drawn when all pages are counted.
    pub(crate) fn finish(mut self) -> Vec<Page> {
        self.done.push(std::mem::take(&mut self.canvas));
        let many = self.done.len() > 1;
        let page = |(n, canvas): (usize, Canvas)| Page {
            name: if many {
                format!("{}-{}", self.heads.name, n + 1)
            } else {
                self.heads.name.to_owned()
            },
            title: self.heads.title.to_owned(),
            purpose: self.heads.purpose.to_owned(),
            paper: self.paper,
            parts: canvas.parts,
        };
        self.done.into_iter().enumerate().map(page).collect()
    }

    fn top(&self) -> f64 {
        MARGIN + self.size() * 3.9
    }

    fn caution_lines(&self) -> Vec<String> {
        if self.heads.caution.is_empty() {
            return Vec::new();
        }
        self.warned(self.heads.caution)
    }

    fn caution_height(&self) -> f64 {
        match self.caution_lines().len() {
            0 => 0.0,
            n => n as f64 * self.size() * 1.2 + 12.0,
        }
    }

    fn draw_heads(&mut self) {
        let size = self.size();
        let wide = self.width();
        self.canvas.begin(Role::Title);
        let title = Style::new(size * 1.9).bold();
        let continued = if self.done.is_empty() {
            ""
        } else {
            ", continued"
        };
        let words = format!("{}{continued}", self.heads.title);
        let base = DVec2::new(MARGIN, MARGIN + size * 1.5);
        self.canvas.text(base, words, title);
        self.canvas.begin(Role::Paragraph);
        // Set smaller rather than cut, down to what can still be read.
        let long = crate::fonts::width(Face::Regular, size, self.heads.purpose);
        let size = size * (wide / long.max(1.0)).clamp(0.65, 1.0);
        let purpose = crate::fonts::cut(Face::Regular, size, self.heads.purpose, wide);
        self.canvas.text(
            DVec2::new(MARGIN, MARGIN + size * 3.0),
            purpose,
            Style::new(size).ink(Ink::GREY),
        );
        self.canvas.begin(Role::Furniture);
        let rule = DVec2::new(MARGIN, MARGIN + size * 3.5);
        self.canvas.line(
            rule,
            rule + DVec2::new(wide, 0.0),
            Pen::new(1.2, Ink::BLACK),
        );
        self.draw_caution();
        self.y = self.top();
    }

    /// A caution at the foot of the page.
    fn draw_caution(&mut self) {
        let lines = self.caution_lines();
        if lines.is_empty() {
            return;
        }
        let high = self.caution_height() - 6.0;
        let top = self.paper.size().y - MARGIN - FOOT - high;
        self.framed(top, high, lines);
    }

    /// A caution where it belongs in the text, framed.
    pub(crate) fn caution(&mut self, words: &str) {
        let lines = self.warned(words);
        let high = lines.len() as f64 * self.size() * 1.2 + 6.0;
        self.need(high + 4.0);
        self.framed(self.y, high, lines);
        self.y += high;
        self.gap(self.size() * 0.6);
    }

    fn warned(&self, words: &str) -> Vec<String> {
        wrap(Face::Bold, self.size() * 0.92, words, self.width() - 34.0)
    }

    /// A framed strip with the sign of warning in black and white.
    fn framed(&mut self, top: f64, high: f64, lines: Vec<String>) {
        let size = self.size() * 0.92;
        let at = DVec2::new(MARGIN, top);
        self.canvas.begin(Role::Paragraph);
        let frame = DVec2::new(self.width(), high);
        self.canvas
            .rect(at, frame, Some(Pen::new(1.2, Ink::BLACK)), None);
        let middle = at + DVec2::new(15.0, high / 2.0);
        let sign = [(-7.0, 6.0), (7.0, 6.0), (0.0, -6.5)].map(|(x, y)| middle + DVec2::new(x, y));
        self.canvas.area(sign.to_vec(), None, Some(Ink::BLACK));
        let mark = Style::new(9.0).bold().middle().ink(Ink::WHITE);
        self.canvas.text(middle + DVec2::new(0.0, 4.6), "!", mark);
        for (n, line) in lines.into_iter().enumerate() {
            let base = at + DVec2::new(28.0, 3.0 + size * (0.9 + 1.3 * n as f64));
            self.canvas.text(base, line, Style::new(size).bold());
        }
    }
}
