//! Tables: words in columns, wrapped where they must be, broken over pages between rows.

use glam::DVec2;

use crate::canvas::Canvas;
use crate::fonts::{ASCENT, Face, longest_word, width, wrap};
use crate::mark::{Ink, Pen, Role, Style};

/// Columns and rows. Every row has as many cells as there are columns.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Table {
    pub(crate) columns: Vec<Column>,
    pub(crate) rows: Vec<Vec<String>>,
}

/// One column.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Column {
    /// Its head; may be empty.
    pub(crate) head: String,
    /// Where its words stand in it: 0 left, 1 right.
    pub(crate) along: f64,
    /// Set in bold: the number the hand looks for.
    pub(crate) bold: bool,
    /// A box to write a measured value in: at least so wide, points.
    pub(crate) least: f64,
}

/// A column of words.
pub(crate) fn words(head: &str) -> Column {
    Column {
        head: head.to_owned(),
        along: 0.0,
        bold: false,
        least: 0.0,
    }
}

/// A column of numbers, set to the right.
pub(crate) fn numbers(head: &str) -> Column {
    Column {
        along: 1.0,
        ..words(head)
    }
}

/// A column of the numbers that are looked for.
pub(crate) fn main_numbers(head: &str) -> Column {
    Column {
        bold: true,
        ..numbers(head)
    }
}

/// An empty column to write in.
pub(crate) fn blank(head: &str) -> Column {
    Column {
        least: 64.0,
        ..words(head)
    }
}

/// A table measured for a page.
pub(crate) struct Laid<'a> {
    table: &'a Table,
    size: f64,
    wides: Vec<f64>,
    /// Cells broken into lines, row by row.
    cells: Vec<Vec<Vec<String>>>,
    heads: Vec<Vec<String>>,
}

const PAD: f64 = 4.0;

impl Table {
    /// Measures the table for a width and a size of type.
    pub(crate) fn laid(&self, room: f64, size: f64) -> Laid<'_> {
        let wides = self.wides(room, size);
        let broken =
            |words: &str, n: usize, face: Face| wrap(face, size, words, wides[n] - 2.0 * PAD);
        let row = |row: &Vec<String>| {
            let cells = row.iter().take(wides.len()).enumerate();
            cells
                .map(|(n, cell)| broken(cell, n, face(self.columns[n].bold)))
                .collect()
        };
        let heads = self.columns.iter().enumerate();
        Laid {
            table: self,
            size,
            cells: self.rows.iter().map(row).collect(),
            heads: heads
                .map(|(n, column)| broken(&column.head, n, Face::Bold))
                .collect(),
            wides,
        }
    }

    /// Each column as wide as its longest words when they fit; else what is over is taken from the widest.
    fn wides(&self, room: f64, size: f64) -> Vec<f64> {
        let wanted = |n: usize, column: &Column| {
            let head = width(Face::Bold, size, &column.head);
            let cells = self.rows.iter().filter_map(|row| row.get(n));
            let longest = cells
                .map(|cell| width(face(column.bold), size, cell))
                .fold(head, f64::max);
            longest.max(column.least) + 2.0 * PAD + 0.5
        };
        let mut wides: Vec<f64> = self
            .columns
            .iter()
            .enumerate()
            .map(|(n, column)| wanted(n, column))
            .collect();
        let least: Vec<f64> = self
            .columns
            .iter()
            .enumerate()
            .map(|(n, column)| self.least(n, column, size))
            .collect();
        narrow(&mut wides, &least, room);
        wides
    }

    /// What a column cannot do without: the longest of its words that are not broken, a dimension among them.
    fn least(&self, n: usize, column: &Column, size: f64) -> f64 {
        let words = |words: &str, face: Face| longest_word(face, size, words);
        let cells = self.rows.iter().filter_map(|row| row.get(n));
        let cells = cells.map(|cell| words(cell, face(column.bold)));
        let longest = cells.fold(words(&column.head, Face::Bold), f64::max);
        longest + 2.0 * PAD + 0.5
    }
}

/// Lowers the widest to a common width until all fit: a water level found by halving. None goes below what it cannot do
/// without, unless all of that is too much.
fn narrow(wides: &mut [f64], least: &[f64], room: f64) {
    if wides.iter().sum::<f64>() <= room {
        return;
    }
    let bound = least.iter().sum::<f64>() <= room;
    let lowered = |n: usize, wide: f64, level: f64| {
        let least = if bound { least[n].min(wide) } else { 0.0 };
        wide.min(level).max(least)
    };
    let (mut low, mut high) = (0.0, room);
    for _ in 0..60 {
        let level = f64::midpoint(low, high);
        let each = wides.iter().enumerate();
        let all: f64 = each.map(|(n, wide)| lowered(n, *wide, level)).sum();
        if all > room {
            high = level;
        } else {
            low = level;
        }
    }
    for (n, wide) in wides.iter_mut().enumerate() {
        *wide = lowered(n, *wide, low);
    }
}

fn face(bold: bool) -> Face {
    if bold { Face::Bold } else { Face::Regular }
}

impl Laid<'_> {
    fn lead(&self) -> f64 {
        self.size * 1.25
    }

    fn high(&self, lines: &[Vec<String>]) -> f64 {
        let most = lines.iter().map(Vec::len).max().unwrap_or(1);
        most as f64 * self.lead() + PAD
    }

    /// Height of the heads.
    pub(crate) fn head_height(&self) -> f64 {
        if self
            .table
            .columns
            .iter()
            .all(|column| column.head.is_empty())
        {
            0.0
        } else {
            self.high(&self.heads)
        }
    }

    /// Height of one row.
    pub(crate) fn row_height(&self, row: usize) -> f64 {
        self.high(&self.cells[row])
    }

    /// How many rows there are.
    pub(crate) fn len(&self) -> usize {
        self.cells.len()
    }

    /// The whole width.
    pub(crate) fn width(&self) -> f64 {
        self.wides.iter().sum()
    }

    /// Begins the table: its heads, their upper left corner at `at`.
    pub(crate) fn draw_heads(&self, canvas: &mut Canvas, at: DVec2) {
        canvas.begin(Role::Table);
        let high = self.head_height();
        if high == 0.0 {
            return;
        }
        let size = DVec2::new(self.width(), high);
        canvas.rect(at, size, None, Some(Ink::TINT));
        self.draw_cells(canvas, at, &self.heads, 0);
        canvas.begin(Role::Furniture);
        let foot = at + DVec2::new(0.0, high);
        canvas.line(
            foot,
            foot + DVec2::new(self.width(), 0.0),
            Pen::new(0.8, Ink::BLACK),
        );
    }

    /// Draws one row with its upper left corner at `at`.
    pub(crate) fn draw_row(&self, canvas: &mut Canvas, at: DVec2, row: usize) {
        self.draw_cells(canvas, at, &self.cells[row], row + 1);
        canvas.begin(Role::Furniture);
        let foot = at + DVec2::new(0.0, self.row_height(row));
        canvas.line(
            foot,
            foot + DVec2::new(self.width(), 0.0),
            Pen::new(0.3, Ink::PALE),
        );
        self.draw_blanks(canvas, at, self.row_height(row));
    }

    /// Row 0 is that of the heads.
    fn draw_cells(&self, canvas: &mut Canvas, at: DVec2, cells: &[Vec<String>], row: usize) {
        let head = row == 0;
        let mut left = at.x;
        for (n, lines) in cells.iter().enumerate() {
            canvas.begin(Role::Cell { row, head });
            let column = &self.table.columns[n];
            let style = Style {
                face: face(head || column.bold),
                along: column.along,
                ..Style::new(self.size)
            };
            let x = left + PAD + column.along * (self.wides[n] - 2.0 * PAD);
            for (k, line) in lines.iter().enumerate() {
                let base = at.y + PAD / 2.0 + k as f64 * self.lead() + (ASCENT + 0.12) * self.size;
                if !line.is_empty() {
                    canvas.text(DVec2::new(x, base), line.clone(), style);
                }
            }
            left += self.wides[n];
        }
    }

    fn draw_blanks(&self, canvas: &mut Canvas, at: DVec2, high: f64) {
        let mut left = at.x;
        for (column, wide) in self.table.columns.iter().zip(&self.wides) {
            if column.least > 0.0 {
                let corner = DVec2::new(left + 2.0, at.y + 1.5);
                let size = DVec2::new(wide - 4.0, high - 3.0);
                canvas.rect(corner, size, Some(Pen::new(0.5, Ink::GREY)), None);
            }
            left += wide;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_too_wide_takes_from_its_widest_columns() {
        let mut wides = [50.0, 400.0, 300.0];
        narrow(&mut wides, &[0.0; 3], 450.0);
        assert!((wides.iter().sum::<f64>() - 450.0).abs() < 1e-6);
        assert!((wides[0] - 50.0).abs() < 1e-9 && (wides[1] - wides[2]).abs() < 1e-6);
        // A dimension is not broken for the sake of a name.
        let mut wides = [50.0, 400.0, 300.0];
        narrow(&mut wides, &[40.0, 100.0, 260.0], 450.0);
        assert!((wides[2] - 260.0).abs() < 1e-9 && (wides[1] - 140.0).abs() < 1e-6);
    }
}
