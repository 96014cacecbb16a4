//! What a page of numbers is made of, before paper is chosen. What does not belong here: sums, fonts, page breaks.

use glam::DVec2;
use units::inches_text;

/// One page (or, when long, several) of the packet.
#[derive(Clone, PartialEq, Debug)]
pub struct Sheet {
    /// Its name in file names: lower case, hyphens.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What it is for, one line.
    pub purpose: String,
    /// Printed on lying paper: its tables are wide.
    pub lying: bool,
    /// What stands on it, top to bottom.
    pub blocks: Vec<Block>,
}

/// One thing on a page.
#[derive(Clone, PartialEq, Debug)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// Plain lines, wrapped to the page.
    Text(String),
    /// A caution, set apart.
    Caution(String),
    /// A table.
    Table(Table),
    /// Lines with an empty box to tick.
    Ticks(Vec<String>),
    /// A drawing.
    Figure(Figure),
    /// Drawings beside one another, each with its share of the width.
    Beside(Vec<Figure>),
    /// A stick of pipe and how it is sawn.
    Stick(Stick),
}

/// A stick of pipe, its pieces in the order they are sawn from its left end. Lengths in inches.
#[derive(Clone, PartialEq, Debug)]
pub struct Stick {
    /// Which it is, in words.
    pub name: String,
    /// Its length.
    pub length: f64,
    /// Label and length of each piece.
    pub pieces: Vec<(String, f64)>,
    /// What is left over.
    pub left: f64,
}

impl Stick {
    /// All of it as a sentence to saw by.
    pub fn words(&self) -> String {
        let cut = |(label, length): &(String, f64)| format!("{label} {}", inches_text(*length, 16));
        let cuts: Vec<String> = self.pieces.iter().map(cut).collect();
        // A stick may be some hairs shorter than its name, and then too short for its last piece (common practice, no source).
        let tight = self.pieces.len() > 1 && self.left < 0.5;
        let first = if tight {
            " Measure this stick before its first cut."
        } else {
            ""
        };
        format!(
            "{}: {}. Left {}.{first}",
            self.name,
            cuts.join(", "),
            inches_text(self.left, 16)
        )
    }
}

/// A table. Every row has as many cells as there are heads.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Table {
    /// Column heads.
    pub heads: Vec<String>,
    /// Rows of cells. A column of empty cells is to be written in, and one whose head begins with `Found` wherever a cell
    /// is empty.
    pub rows: Vec<Vec<String>>,
}

/// A drawing in its own inches, fitted into the page's width and `high` inches of paper.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Figure {
    /// What it shows, for whoever cannot see it.
    pub caption: String,
    /// Strokes, back to front.
    pub strokes: Vec<Stroke>,
    /// Words at places; the page moves them apart.
    pub words: Vec<Word>,
    /// The most it takes of the page's height, inches of paper.
    pub high: f64,
    /// A plan, with north up: an arrow says so.
    pub north: bool,
}

/// A line through points.
#[derive(Clone, PartialEq, Debug)]
pub struct Stroke {
    /// At least two points; closed where the last is the first.
    pub points: Vec<DVec2>,
    /// How it looks.
    pub pen: Pen,
}

/// How a stroke looks. All of it works in black and white.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Pen {
    /// Outlines and pieces.
    Plain,
    /// What the page is about.
    Bold,
    /// What stands around it.
    Faint,
    /// Tapes and strings.
    Dashed,
}

/// A word at a place.
#[derive(Clone, PartialEq, Debug)]
pub struct Word {
    /// The place it names.
    pub at: DVec2,
    /// What it says.
    pub text: String,
    /// A small mark is drawn at the place.
    pub dot: bool,
}

impl Table {
    /// A table with these heads and no rows.
    pub fn new<const N: usize>(heads: [&str; N]) -> Self {
        Self {
            heads: heads.map(String::from).to_vec(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.to_vec());
    }

    /// The same without those of these columns that hold nothing: they would look like blanks to write in.
    #[must_use]
    pub fn without_empty(mut self, heads: &[&str]) -> Self {
        let holds = |n: usize| self.rows.iter().any(|row| !row[n].is_empty());
        let keeps: Vec<bool> = (0..self.heads.len())
            .map(|n| !heads.contains(&self.heads[n].as_str()) || holds(n))
            .collect();
        for cells in std::iter::once(&mut self.heads).chain(&mut self.rows) {
            let mut keep = keeps.iter();
            cells.retain(|_| keep.next().copied().unwrap_or(true));
        }
        self
    }

    /// The cell in the row whose first cell is `row`, under `head`.
    pub fn cell(&self, row: &str, head: &str) -> Option<&str> {
        let column = self.heads.iter().position(|h| h == head)?;
        let line = self
            .rows
            .iter()
            .find(|r| r.first().is_some_and(|first| first == row))?;
        line.get(column).map(String::as_str)
    }
}

impl Sheet {
    /// The first table with this head.
    pub fn table(&self, head: &str) -> Option<&Table> {
        self.blocks.iter().find_map(|block| match block {
            Block::Table(table) => table.heads.iter().any(|h| h == head).then_some(table),
            Block::Heading(_)
            | Block::Text(_)
            | Block::Caution(_)
            | Block::Ticks(_)
            | Block::Figure(_)
            | Block::Beside(_)
            | Block::Stick(_) => None,
        })
    }

    /// All its words, a line each: headings, text, cells, ticks, labels.
    pub fn words(&self) -> String {
        let mut lines = vec![self.title.clone(), self.purpose.clone()];
        for block in &self.blocks {
            match block {
                Block::Heading(text) | Block::Text(text) | Block::Caution(text) => {
                    lines.push(text.clone());
                }
                Block::Table(table) => {
                    lines.push(table.heads.join(" | "));
                    lines.extend(table.rows.iter().map(|row| row.join(" | ")));
                }
                Block::Ticks(ticks) => lines.extend(ticks.iter().cloned()),
                Block::Figure(figure) => lines.extend(figure.all_words()),
                Block::Beside(figures) => lines.extend(figures.iter().flat_map(Figure::all_words)),
                Block::Stick(stick) => lines.push(stick.words()),
            }
        }
        lines.join("\n")
    }
}

impl Figure {
    fn all_words(&self) -> Vec<String> {
        let words = self.words.iter().map(|word| word.text.clone());
        std::iter::once(self.caption.clone()).chain(words).collect()
    }

    /// Adds a stroke.
    pub fn stroke(&mut self, points: impl IntoIterator<Item = DVec2>, pen: Pen) {
        self.strokes.push(Stroke {
            points: points.into_iter().collect(),
            pen,
        });
    }

    /// Adds a closed outline.
    pub fn outline(&mut self, corners: &[DVec2], pen: Pen) {
        if let Some(first) = corners.first() {
            self.stroke(corners.iter().copied().chain([*first]), pen);
        }
    }

    /// Adds a word with a dot at its place.
    pub fn dot(&mut self, at: DVec2, text: impl Into<String>) {
        self.words.push(Word {
            at,
            text: text.into(),
            dot: true,
        });
    }

    /// Adds a word alone.
    pub fn word(&mut self, at: DVec2, text: impl Into<String>) {
        self.words.push(Word {
            at,
            text: text.into(),
            dot: false,
        });
    }
}
