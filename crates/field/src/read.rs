//! From the text of a field book to its values, by the layout's own manners: every mistake told in one go, bare numbers
//! refused, near names offered.
//!
//! ```text
//! (
//!     tape: "1/16 in", level: "1/16 in",
//!     points: { "stake": ("-3'", "-2'") },
//!     strings: { "bath string": (from: ("44'", "0"), to: ("44'", "28'")) },
//!     readings: {
//!         "1": (of: "house drain", what: sleeve, level: "-28 in", tapes: [("nw", "9'-11")], stage: sleeve),
//!         "2": (of: "main lavatory", what: stub, tapes: [("se", "21'-4"), ("ne", "7'-7")], stage: dry_fit),
//!         "3": (of: "trunk", what: invert, at: upper, rod: "6.21 ft", instrument: "5.00 ft", stage: glued),
//!     },
//! )
//! ```

use glam::DVec2;
use layout::{
    Problem,
    limits::{LEVEL, LINE, PLAN},
    node::{Entry, Kind, Node},
    reader::{Bound, Fields, Mistake, Reader, Source},
};
use units::Id;

use crate::book::{Book, Level, Reading, STAGES, Spot, Taken, What, When};

/// A tape or a rod's doubt: from a hair to what nobody would write down.
const DOUBT: Bound = Bound {
    what: "a doubt",
    least: 1.0 / 256.0,
    most: 2.0,
};

/// Reads the text of a field book. `name` is what problems call it. Readings that cannot be read are left out and told;
/// a torn text gives an empty book.
pub fn read(text: &str, name: &str) -> (Book, Vec<Problem>) {
    let source = Source::new(text, name);
    if text.trim().is_empty() {
        return (Book::of(source, None), Vec::new());
    }
    let tree = match layout::parse(text, name) {
        Ok(tree) => tree,
        Err(problem) => return (Book::of(source, None), vec![*problem]),
    };
    let mut reader = FieldReader::default();
    let mut book = Book::of(source, None);
    reader.book(&tree, &mut book);
    let problems = book.source.tell(&tree, reader.0.mistakes);
    book.tree = Some(tree);
    (book, problems)
}

#[derive(Default)]
struct FieldReader(Reader);

#[derive(Clone, Copy)]
enum Word {
    Stub,
    Top,
    Sleeve,
    Invert,
    Crown,
    Trench,
    Diagonal,
    String,
    Heat,
    Done,
}

const WORDS: [(&str, Word); 10] = [
    ("stub", Word::Stub),
    ("top", Word::Top),
    ("sleeve", Word::Sleeve),
    ("invert", Word::Invert),
    ("crown", Word::Crown),
    ("trench", Word::Trench),
    ("diagonal", Word::Diagonal),
    ("string", Word::String),
    ("heat", Word::Heat),
    ("done", Word::Done),
];

const READING: &[&str] = &[
    "of",
    "what",
    "tapes",
    "string",
    "along",
    "left",
    "right",
    "level",
    "rod",
    "instrument",
    "at",
    "to",
    "length",
    "degrees_f",
    "who",
    "when",
    "stage",
    "sure",
    "note",
];

impl FieldReader {
    fn book(&mut self, tree: &Node, book: &mut Book) {
        let known = ["tape", "level", "bedding", "points", "strings", "readings"];
        let Some(f) = self.0.fields(Some(tree), &known) else {
            return;
        };
        let doubt =
            |reader: &mut Reader, name, usual| reader.length(f.get(name), DOUBT).unwrap_or(usual);
        book.tape = doubt(&mut self.0, "tape", book.tape);
        book.level = doubt(&mut self.0, "level", book.level);
        let bedding = self.0.length(f.get("bedding"), LINE);
        book.bedding = bedding.unwrap_or(book.bedding);
        for entry in self.named(f.get("points")) {
            let at = self.point(&entry.value);
            book.points.extend(at.map(|at| (own(entry), at)));
        }
        for entry in self.named(f.get("strings")) {
            let string = self.string(entry);
            book.strings.extend(string);
        }
        for entry in self.named(f.get("readings")) {
            let reading = self.reading(entry);
            book.readings.extend(reading);
        }
    }

    /// The items of a map, a name that stands twice told.
    fn named<'n>(&mut self, node: Option<&'n Node>) -> &'n [Entry] {
        let entries = self.0.items(node);
        let mut seen = std::collections::BTreeSet::new();
        for entry in entries.iter().filter(|e| !seen.insert(e.name.as_str())) {
            let wrong = format!("{:?} stands here twice", entry.name);
            self.0
                .wrong(&entry.name_span, wrong, "give one of them another name");
        }
        entries
    }

    fn point(&mut self, node: &Node) -> Option<DVec2> {
        let (x, y) = self.0.pair(node, "a point like (\"12'\", \"3'-6\")")?;
        let (x, y) = (self.0.length(Some(x), PLAN), self.0.length(Some(y), PLAN));
        Some(DVec2::new(x?, y?))
    }

    fn string(&mut self, entry: &Entry) -> Option<(Id, DVec2, DVec2)> {
        let f = self.0.fields(Some(&entry.value), &["from", "to"])?;
        let mut end = |name| {
            if !f.has(name) {
                self.missing(f, name, "the string", "a point like (\"12'\", \"3'-6\")");
            }
            self.point(f.get(name)?)
        };
        let (from, to) = (end("from"), end("to"));
        let (from, to) = (from?, to?);
        if from.distance(to) < 1.0 {
            let right = "its two ends stand apart";
            self.0.wrong(f.span(), "the string has no length", right);
            return None;
        }
        Some((own(entry), from, to))
    }

    fn missing(&mut self, f: Fields, name: &str, whose: &str, like: &str) {
        let wrong = format!("{whose} has no {name}");
        self.0.wrong(f.span(), wrong, format!("add {name}: {like}"));
    }

    fn reading(&mut self, entry: &Entry) -> Option<Reading> {
        let f = self.0.fields(Some(&entry.value), READING)?;
        for (name, like) in [
            ("of", "\"main lavatory\""),
            ("what", "stub"),
            ("stage", "dry_fit"),
        ] {
            if !f.has(name) {
                self.missing(f, name, "the reading", like);
            }
        }
        let of = self.0.text(f.get("of"));
        let word = self.0.word(f.get("what"), "something to measure", &WORDS);
        let stage = self.0.word(f.get("stage"), "a stage", &STAGES);
        let who = self.0.text(f.get("who")).unwrap_or_default();
        let when = self.when(f.get("when"));
        let sure = self.0.yes_no(f.get("sure")).unwrap_or_default();
        let what = self.what(f, word?);
        Some(Reading {
            id: own(entry),
            of: Id::from(of?),
            what: what?,
            who,
            when,
            stage: stage?,
            sure,
            span: entry.value.span.clone(),
        })
    }

    fn when(&mut self, node: Option<&Node>) -> Option<When> {
        let text = self.0.text(node)?;
        let when = When::parse(&text);
        if let (None, Some(node)) = (when, node) {
            let right = "write it like \"2026-06-03 08:10\" or \"2026-06-03\"";
            self.0
                .wrong(&node.span, format!("{text:?} is not a time"), right);
        }
        when
    }

    fn what(&mut self, f: Fields, word: Word) -> Option<What> {
        match word {
            Word::Stub => self.taken(f).map(What::Stub),
            Word::Top => self.level(f).map(What::Top),
            Word::Sleeve => self.sleeve(f),
            Word::Invert => {
                let spot = self.spot(f);
                self.level(f).zip(spot).map(|(z, at)| What::Invert(at, z))
            }
            Word::Crown => {
                let spot = self.spot(f);
                self.level(f).zip(spot).map(|(z, at)| What::Crown(at, z))
            }
            Word::Trench => {
                let spot = self.spot(f);
                self.level(f).zip(spot).map(|(z, at)| What::Trench(at, z))
            }
            Word::Diagonal => self.diagonal(f),
            Word::String => {
                let at = self.needed(f, "at");
                self.taken(f)
                    .zip(at)
                    .map(|(taken, at)| What::String(at, taken))
            }
            Word::Heat => self.heat(f),
            Word::Done => Some(What::Done),
        }
    }

    fn sleeve(&mut self, f: Fields) -> Option<What> {
        let has_level = f.has("level") || f.has("rod");
        let has_place = f.has("tapes") || f.has("string");
        if !has_level && !has_place {
            self.missing(
                f,
                "level",
                "the sleeve",
                "\"-28 in\", or tapes: [(\"nw\", \"9'-11\")]",
            );
            return None;
        }
        let level = if has_level {
            Some(self.level(f)?)
        } else {
            None
        };
        let taken = if has_place {
            Some(self.taken(f)?)
        } else {
            None
        };
        Some(What::Sleeve(level, taken))
    }

    fn diagonal(&mut self, f: Fields) -> Option<What> {
        if !f.has("to") {
            self.missing(f, "to", "the diagonal", "\"ne\"");
        }
        let to = self.0.text(f.get("to"));
        let length = self.needed(f, "length");
        Some(What::Diagonal(Id::from(to?), length?))
    }

    fn needed(&mut self, f: Fields, name: &str) -> Option<f64> {
        if !f.has(name) {
            self.missing(f, name, "the reading", "\"12'-6 1/2\"");
        }
        self.0.length(f.get(name), LINE)
    }

    fn heat(&mut self, f: Fields) -> Option<What> {
        let node = f.get("degrees_f");
        let degrees = node.and_then(|node| match &node.kind {
            Kind::Number(text) | Kind::Text(text) => text.trim().parse::<f64>().ok(),
            Kind::Word(_) | Kind::Fields(_) | Kind::Map(_) | Kind::List(_) | Kind::Tuple(_) => None,
        });
        let real = degrees.filter(|degrees| (-60.0..=200.0).contains(degrees));
        if real.is_none() {
            let span = node.map_or(f.span(), |node| &node.span);
            let right = "write degrees_f: 68, from -60 to 200";
            self.0
                .wrong(span, "the pipe's temperature is not told", right);
        }
        real.map(What::Heat)
    }

    fn spot(&mut self, f: Fields) -> Option<Spot> {
        let Some(node) = f.get("at") else {
            self.missing(
                f,
                "at",
                "the reading",
                "upper, lower, or \"12'\" up the run from its lower end",
            );
            return None;
        };
        match &node.kind {
            Kind::Word(word) if word == "upper" => Some(Spot::Upper),
            Kind::Word(word) if word == "lower" => Some(Spot::Lower),
            _ => self.0.length(Some(node), LINE).map(Spot::At),
        }
    }

    fn level(&mut self, f: Fields) -> Option<Level> {
        if f.has("level") && f.has("rod") {
            let right = "keep the level, or the rod with its instrument";
            self.0.wrong(f.span(), "the level is told twice", right);
            return None;
        }
        if f.has("level") {
            return self.0.length(f.get("level"), LEVEL).map(Level::Told);
        }
        if !f.has("rod") {
            self.missing(
                f,
                "level",
                "the reading",
                "\"-14 1/2 in\", or rod: \"6.21 ft\" with instrument: \"5.00 ft\"",
            );
            return None;
        }
        if !f.has("instrument") {
            self.missing(
                f,
                "instrument",
                "the rod",
                "\"5.00 ft\", its line of sight above the finished floor",
            );
        }
        let rod = self.0.length(f.get("rod"), LEVEL);
        let instrument = self.0.length(f.get("instrument"), LEVEL);
        Some(Level::Rod {
            rod: rod?,
            instrument: instrument?,
        })
    }

    fn taken(&mut self, f: Fields) -> Option<Taken> {
        if f.has("string") {
            return self.off_string(f);
        }
        if !f.has("tapes") {
            self.missing(
                f,
                "tapes",
                "the reading",
                "[(\"sw\", \"12'-3\"), (\"se\", \"38'-1 1/4\")], or string, along and left",
            );
            return None;
        }
        let pulls = self.0.list(f.get("tapes"), "tape pulls")?;
        let pulls: Vec<(Id, f64)> = pulls.iter().filter_map(|pull| self.pull(pull)).collect();
        (!pulls.is_empty()).then_some(Taken::Tapes(pulls))
    }

    fn pull(&mut self, node: &Node) -> Option<(Id, f64)> {
        let (corner, length) = self.0.pair(node, "(\"sw\", \"12'-3\")")?;
        let corner = self.0.text(Some(corner));
        let length = self.0.length(Some(length), LINE);
        Some((Id::from(corner?), length?))
    }

    fn off_string(&mut self, f: Fields) -> Option<Taken> {
        let string = self.0.text(f.get("string"));
        let along = self.needed(f, "along");
        let off = match (f.has("left"), f.has("right")) {
            (true, false) => self.0.length(f.get("left"), LINE),
            (false, true) => self.0.length(f.get("right"), LINE).map(|right| -right),
            (false, false) => {
                self.missing(
                    f,
                    "left",
                    "the offset",
                    "\"3 in\", or right, looking along the string from its first end",
                );
                None
            }
            (true, true) => {
                let right = "keep the side it stands on";
                self.0
                    .wrong(f.span(), "it is left and right of the string", right);
                None
            }
        };
        Some(Taken::Off(Id::from(string?), along?, off?))
    }
}

fn own(entry: &Entry) -> Id {
    entry.name.as_str().into()
}

/// A mistake of a reading, told by its line.
pub(crate) fn of_reading(reading: &Reading, wrong: String, right: String) -> Mistake {
    Mistake {
        span: reading.span.clone(),
        wrong,
        right,
    }
}
