//! From a value of the tree to a length, a word, a name: one reader a type, each collecting what is wrong.
//!
//! Every reader takes what may be missing and gives `None` when it is, or when it is `unknown` or `auto`, or wrong
//! (then the mistake is noted). So a document is read to its end whatever stands in it.

use units::{Grade, Id, Length, Size};

use crate::{
    file::{Datum, Name},
    limits::{Bound, MOST_ITEMS, MOST_LISTED},
    node::{Entry, Kind, Node, Span},
    problem::{Mistake, near},
};

/// Collects mistakes while a tree is read.
#[derive(Default)]
pub struct Reader {
    /// What is wrong so far, in the order it was read.
    pub mistakes: Vec<Mistake>,
    pub(crate) datum: Datum,
    pub(crate) floor: Option<f64>,
    items: usize,
}

/// The named values of one struct, its names already judged.
#[derive(Clone, Copy, Debug)]
pub struct Fields<'n>(&'n Node);

impl<'n> Fields<'n> {
    /// The value called `name`, unless it is missing, `unknown` or `auto`.
    pub fn get(self, name: &str) -> Option<&'n Node> {
        told(&self.0.entry(name)?.value)
    }

    /// Whether it is there at all, `unknown` and `auto` too.
    pub fn has(self, name: &str) -> bool {
        self.0.entry(name).is_some()
    }

    /// The bytes of the whole struct.
    pub fn span(self) -> &'n Span {
        &self.0.span
    }
}

/// The value, unless it says `unknown` or `auto`.
/// Year, month and day as ISO 8601 writes them.
fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else {
        return false;
    };
    let digits = |part: &str, many: usize| {
        part.len() == many && part.bytes().all(|byte| byte.is_ascii_digit())
    };
    let number = |part: &str| part.parse::<u32>().unwrap_or(0);
    digits(year, 4)
        && digits(month, 2)
        && digits(day, 2)
        && (1..=12).contains(&number(month))
        && (1..=31).contains(&number(day))
}

fn told(node: &Node) -> Option<&Node> {
    match &node.kind {
        Kind::Word(word) | Kind::Text(word) if is_untold(word) => None,
        _ => Some(node),
    }
}

fn is_untold(word: &str) -> bool {
    matches!(word, "unknown" | "auto")
}

impl Reader {
    /// Notes a mistake.
    pub fn wrong(&mut self, span: &Span, wrong: impl Into<String>, right: impl Into<String>) {
        self.mistakes.push(Mistake {
            span: span.clone(),
            wrong: wrong.into(),
            right: right.into(),
        });
    }

    /// The struct at `node`, its names judged against `known`.
    pub fn fields<'n>(&mut self, node: Option<&'n Node>, known: &[&str]) -> Option<Fields<'n>> {
        let node = node?;
        let Kind::Fields(entries) = &node.kind else {
            let names: Vec<String> = known.iter().take(2).map(|n| format!("{n}: ...")).collect();
            let right = format!("write the values by name: ({}, ...)", names.join(", "));
            self.wrong(&node.span, format!("{} stands here", shape(node)), right);
            return None;
        };
        for (index, entry) in entries.iter().enumerate() {
            let name = entry.name.as_str();
            if !known.contains(&name) {
                self.unknown_name(entry, known);
            } else if entries[..index].iter().any(|earlier| earlier.name == name) {
                let right = "keep the one that is meant";
                self.wrong(&entry.name_span, format!("{name} is said twice"), right);
            }
        }
        Some(Fields(node))
    }

    fn unknown_name(&mut self, entry: &Entry, known: &[&str]) {
        let wrong = format!("there is no {} here", entry.name);
        self.wrong(&entry.name_span, wrong, suggestion(&entry.name, known));
    }

    /// The items of a map by their names, in the order of the file.
    pub fn items<'n>(&mut self, node: Option<&'n Node>) -> &'n [Entry] {
        let Some(node) = node else { return &[] };
        match &node.kind {
            Kind::Map(entries) if self.room_for(node, entries.len(), MOST_ITEMS) => {
                entries.iter().for_each(|entry| self.judge_name(entry));
                entries
            }
            Kind::Map(_) => &[],
            Kind::Fields(entries) if entries.is_empty() => &[],
            _ => {
                let right = "write the items by name: {\"name\": (...), ...}";
                self.wrong(&node.span, format!("{} stands here", shape(node)), right);
                &[]
            }
        }
    }

    fn room_for(&mut self, node: &Node, more: usize, most: usize) -> bool {
        self.items += more;
        let fits = self.items <= most;
        if !fits {
            let wrong = format!("there are {} named items up to here", self.items);
            let right = format!("a file may hold {most}; write the houses in files of their own");
            self.wrong(&node.span, wrong, right);
        }
        fits
    }

    fn judge_name(&mut self, entry: &Entry) {
        let name = &entry.name;
        let odd = name.trim().is_empty() || name.chars().any(char::is_control);
        if odd {
            let right = "write one line with at least one letter";
            self.wrong(&entry.name_span, format!("{name:?} is not a name"), right);
        } else if is_untold(name) {
            let right = "it means something else in a layout; write another name";
            self.wrong(&entry.name_span, format!("{name:?} can't be a name"), right);
        }
    }

    /// The values of a list.
    pub fn list<'n>(&mut self, node: Option<&'n Node>, of: &str) -> Option<&'n [Node]> {
        let node = node?;
        let Kind::List(items) = &node.kind else {
            let right = format!("write {of} in [ ] with commas between");
            self.wrong(&node.span, format!("{} stands here", shape(node)), right);
            return None;
        };
        if items.len() > MOST_LISTED {
            let wrong = format!("there are {} values in this list", items.len());
            self.wrong(&node.span, wrong, format!("a list may hold {MOST_LISTED}"));
            return None;
        }
        Some(items)
    }

    /// Two values in parentheses.
    pub fn pair<'n>(&mut self, node: &'n Node, like: &str) -> Option<(&'n Node, &'n Node)> {
        if let (Kind::Tuple(_), [first, second]) = (&node.kind, node.items()) {
            return Some((first, second));
        }
        let wrong = format!("{} stands here", shape(node));
        self.wrong(&node.span, wrong, format!("write two values: {like}"));
        None
    }

    /// A day: year, month and day in digits.
    pub fn date(&mut self, node: Option<&Node>) -> Option<String> {
        let text = self.text(node)?;
        if is_date(&text) {
            return Some(text);
        }
        let wrong = format!("{text:?} is no date");
        self.wrong(
            &node?.span,
            wrong,
            "write year, month and day, as \"2026-03-14\"",
        );
        None
    }

    /// A text of one line.
    pub fn text(&mut self, node: Option<&Node>) -> Option<String> {
        let node = node?;
        match &node.kind {
            Kind::Text(text) if !text.chars().any(char::is_control) => Some(text.clone()),
            Kind::Text(_) => {
                self.wrong(
                    &node.span,
                    "the text has more than one line",
                    "write one line",
                );
                None
            }
            _ => {
                let wrong = format!("{} stands here", shape(node));
                self.wrong(&node.span, wrong, "write a text in quotes");
                None
            }
        }
    }

    /// An item named by another.
    pub(crate) fn name(&mut self, node: Option<&Node>) -> Option<Name> {
        let node = node?;
        match &node.kind {
            Kind::Text(name) | Kind::Word(name) => Some(Name {
                id: Id::from(name.as_str()),
                span: node.span.clone(),
            }),
            _ => {
                let wrong = format!("{} stands here", shape(node));
                self.wrong(&node.span, wrong, "write the name of an item in quotes");
                None
            }
        }
    }

    /// A length in inches, written as text with its unit and within `bound`.
    pub fn length(&mut self, node: Option<&Node>, bound: Bound) -> Option<f64> {
        let node = node?;
        let read = match &node.kind {
            Kind::Text(text) => Length::parse(text).map_err(|e| halves(&e.to_string())),
            Kind::Number(number) if !number.contains("NaN") && !number.contains("inf") => {
                Err(bare(
                    number,
                    &format!(
                        "\"{number} in\", \"{number}'\" or \"{number} m\", for plans mix feet and inches"
                    ),
                ))
            }
            Kind::Number(word) | Kind::Word(word) => Err((
                format!("{word} is not a length"),
                "write it like \"12'-6 1/2\", \"150 1/2 in\" or \"1.2 m\"".into(),
            )),
            _ => Err((
                format!("{} stands here", shape(node)),
                "write a length like \"12'-6 1/2\"".into(),
            )),
        };
        let inches = self.kept(&node.span, read)?.inches();
        self.within(node, inches, bound)
    }

    fn within(&mut self, node: &Node, inches: f64, bound: Bound) -> Option<f64> {
        if (bound.least..=bound.most).contains(&inches) {
            return Some(inches);
        }
        let (side, limit) = if inches < bound.least {
            ("less", bound.least)
        } else {
            ("more", bound.most)
        };
        let wrong = format!("{} is {side} than {}", raw(node), plain(limit));
        let right = format!(
            "write {} from {} to {}",
            bound.what,
            plain(bound.least),
            plain(bound.most)
        );
        self.wrong(&node.span, wrong, right);
        None
    }

    /// Keeps a value, or notes what is wrong (first) and right (second).
    fn kept<T>(&mut self, span: &Span, read: Result<T, (String, String)>) -> Option<T> {
        read.map_err(|(wrong, right)| self.wrong(span, wrong, right))
            .ok()
    }

    pub(crate) fn size(&mut self, node: Option<&Node>) -> Option<Size> {
        let node = node?;
        let read = match &node.kind {
            Kind::Text(text) => Size::parse(text).map_err(|e| halves(&e.to_string())),
            Kind::Number(number) => Err(bare(number, &format!("\"{number} in\""))),
            _ => Err((
                format!("{} stands here", shape(node)),
                "write a pipe size like \"3 in\"".into(),
            )),
        };
        self.kept(&node.span, read)
    }

    /// Grades, none repeated; empty when none is told.
    pub(crate) fn menu(&mut self, node: Option<&Node>) -> Vec<Grade> {
        let mut menu: Vec<Grade> = Vec::new();
        for item in self.list(node, "grades").unwrap_or_default() {
            let Some(grade) = self.grade(item) else {
                continue;
            };
            if menu.contains(&grade) {
                let wrong = format!("{} is in the list twice", raw(item));
                self.wrong(&item.span, wrong, "write each grade once");
            } else {
                menu.push(grade);
            }
        }
        menu
    }

    fn grade(&mut self, node: &Node) -> Option<Grade> {
        let read = match &node.kind {
            Kind::Text(text) => Grade::parse(text).map_err(|e| halves(&e.to_string())),
            Kind::Number(number) => {
                Err(bare(number, "\"1/4\" for a quarter inch a foot, or \"2%\""))
            }
            _ => Err((
                format!("{} stands here", shape(node)),
                "write a grade like \"1/4\"".into(),
            )),
        };
        let grade = self.kept(&node.span, read)?;
        // Past 45 degrees a pipe is a drop, not a graded run.
        if grade.in_per_ft() > 0.0 && grade.in_per_ft() <= 12.0 {
            return Some(grade);
        }
        let wrong = format!("{} is no grade a drain can lie at", raw(node));
        self.wrong(
            &node.span,
            wrong,
            "write inches of fall a foot, above 0 and up to 12",
        );
        None
    }

    pub(crate) fn degrees(&mut self, node: Option<&Node>) -> Option<f64> {
        let node = node?;
        let text = match &node.kind {
            Kind::Number(text) | Kind::Word(text) | Kind::Text(text) => text.as_str(),
            _ => "",
        };
        let value = text.trim().parse::<f64>().ok().filter(|v| v.abs() <= 360.0);
        if value.is_none() {
            let wrong = format!("{} is not an angle", raw(node));
            let right = "write degrees counter-clockwise from east, from -360 to 360";
            self.wrong(&node.span, wrong, right);
        }
        value
    }

    pub(crate) fn index(&mut self, node: Option<&Node>) -> Option<usize> {
        let node = node?;
        let value = match &node.kind {
            Kind::Number(text) => text.parse().ok(),
            _ => None,
        };
        if value.is_none() {
            let wrong = format!("{} does not count sides", raw(node));
            self.wrong(
                &node.span,
                wrong,
                "write 0 for the side from the first corner, 1 for the next",
            );
        }
        value
    }

    /// `yes` or `no`.
    pub fn yes_no(&mut self, node: Option<&Node>) -> Option<bool> {
        let words = [
            ("yes", true),
            ("no", false),
            ("true", true),
            ("false", false),
        ];
        self.word(node, "an answer", &words)
    }

    /// A word out of a list.
    pub fn word<T: Copy>(
        &mut self,
        node: Option<&Node>,
        what: &str,
        words: &[(&str, T)],
    ) -> Option<T> {
        let node = node?;
        let given = match &node.kind {
            Kind::Word(word) | Kind::Text(word) => word.as_str(),
            _ => "",
        };
        let found = words.iter().find(|(word, _)| *word == given);
        if found.is_none() {
            let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            let wrong = format!("{} is not {what}", raw(node));
            self.wrong(&node.span, wrong, suggestion(given, &known));
        }
        found.map(|(_, value)| *value)
    }
}

/// What to write instead of `given`: the nearest word first, then all of them.
pub fn suggestion(given: &str, known: &[&str]) -> String {
    let all = known.join(", ");
    match near(given, known.iter().copied()) {
        Some(meant) => format!("did you mean {meant}? it may be {all}"),
        None => format!("it may be {all}"),
    }
}

fn bare(number: &str, like: &str) -> (String, String) {
    let wrong = format!("{number} is a bare number");
    (wrong, format!("write it in quotes with its unit: {like}"))
}

/// An error of `units` says what is wrong, then what would be right; its last semicolon parts them.
fn halves(error: &str) -> (String, String) {
    match error.rsplit_once("; ") {
        Some((wrong, right)) => (wrong.into(), right.into()),
        None => (error.into(), "write another".into()),
    }
}

/// A value as it is best shown in a message.
fn raw(node: &Node) -> String {
    match &node.kind {
        Kind::Text(text) => format!("{text:?}"),
        Kind::Word(text) | Kind::Number(text) => text.clone(),
        Kind::Fields(_) | Kind::Map(_) | Kind::List(_) | Kind::Tuple(_) => shape(node),
    }
}

fn shape(node: &Node) -> String {
    match &node.kind {
        Kind::Fields(_) => "a group of named values".into(),
        Kind::Map(_) => "a map in { }".into(),
        Kind::List(_) => "a list in [ ]".into(),
        Kind::Tuple(items) => format!("a group of {} in ( )", items.len()),
        Kind::Text(text) => format!("the text {text:?}"),
        Kind::Word(word) => format!("the word {word}"),
        Kind::Number(number) => format!("the bare number {number}"),
    }
}

/// A limit in the unit it was thought in.
pub(crate) fn plain(inches: f64) -> String {
    if inches.abs() >= 12.0 {
        format!("{} ft", inches / 12.0)
    } else {
        format!("{inches} in")
    }
}
