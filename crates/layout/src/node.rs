//! The located tree: every value of a file with the bytes it stands on. Knows RON's shapes, nothing of houses.
//!
//! ron itself judges whether a text is RON, in one pass; then one pass of our own finds where each value stands. Asking
//! ron for `RawValue`s level by level gives the same spans, but reads every byte twice a level, a dozen times in all.

use std::ops::Range;

/// Bytes of the text.
pub type Span = Range<usize>;

/// A value and where it stands. Two nodes are equal when they say the same, wherever they stand.
#[derive(Clone, Debug)]
pub struct Node {
    /// The bytes of the value, without what surrounds it.
    pub span: Span,
    /// What it says.
    pub kind: Kind,
}

/// What a value says.
#[derive(Clone, PartialEq, Debug)]
pub enum Kind {
    /// `(name: value, ...)`, and the empty `()`.
    Fields(Vec<Entry>),
    /// `{"key": value, ...}`.
    Map(Vec<Entry>),
    /// `[value, ...]`.
    List(Vec<Node>),
    /// `(value, ...)`.
    Tuple(Vec<Node>),
    /// `"text"`, with its escapes read.
    Text(String),
    /// A bare word: `closet`, `true`, `NaN`.
    Word(String),
    /// A bare number, as written.
    Number(String),
}

/// A named value of a struct or a map.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The bytes of the name (with its quotes in a map).
    pub name_span: Span,
    /// The name.
    pub name: String,
    /// The value.
    pub value: Node,
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.kind == other.kind
    }
}

impl PartialEq for Entry {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name && self.value == other.value
    }
}

impl Node {
    /// The entry called `name`, the first if there are several.
    pub fn entry(&self, name: &str) -> Option<&Entry> {
        self.entries().iter().find(|entry| entry.name == name)
    }

    /// The entries of a struct or map; none for any other value.
    pub fn entries(&self) -> &[Entry] {
        match &self.kind {
            Kind::Fields(entries) | Kind::Map(entries) => entries,
            Kind::List(_) | Kind::Tuple(_) | Kind::Text(_) | Kind::Word(_) | Kind::Number(_) => &[],
        }
    }

    /// The values of a list or tuple; none for any other value.
    pub fn items(&self) -> &[Node] {
        match &self.kind {
            Kind::List(items) | Kind::Tuple(items) => items,
            Kind::Fields(_) | Kind::Map(_) | Kind::Text(_) | Kind::Word(_) | Kind::Number(_) => &[],
        }
    }
}

/// Why a text gives no tree, and where.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Torn {
    pub(crate) at: usize,
    pub(crate) wrong: String,
}

/// The tree of `text`.
pub(crate) fn tree(text: &str) -> Result<Node, Torn> {
    ron::from_str::<serde::de::IgnoredAny>(text).map_err(|e| torn(text, &e))?;
    let mut finder = Finder { text, at: 0 };
    finder.skip_header();
    finder.value()
}

fn torn(text: &str, error: &ron::error::SpannedError) -> Torn {
    let says = error.code.to_string();
    let mut letters = says.chars();
    let first = letters
        .next()
        .map(|c| c.to_ascii_lowercase())
        .unwrap_or_default();
    let at = byte_of(text, error.span.start.line, error.span.start.col);
    let likely = likely(text, at).unwrap_or_default();
    Torn {
        at,
        wrong: format!("{first}{}{likely}", letters.as_str()),
    }
}

/// What most often tears a layout: a quote never closed, or a length outside quotes. Reading stops well after the first.
fn likely(text: &str, at: usize) -> Option<String> {
    let line_end = text[at..].find('\n').map_or(text.len(), |end| at + end);
    if let Some(line) = open_quote(&text[..line_end]) {
        return Some(format!(
            " (the quote opened on line {line} is probably not closed)"
        ));
    }
    let rest = text[at..].trim_start();
    let unit = ["ft", "in", "mm", "cm", "m"].into_iter().find(|unit| {
        let after = rest.strip_prefix(unit);
        after.is_some_and(|after| !after.starts_with(|c: char| c.is_alphanumeric() || c == '_'))
    });
    unit.map(|unit| format!(" (a length stands in quotes, as in \"4 {unit}\")"))
}

/// The first line, from 1, with an odd count of quotes before its comment: no value of a layout runs over a line's end.
fn open_quote(text: &str) -> Option<usize> {
    let odd = |line: &str| code_of(line).matches('"').count() % 2 == 1;
    text.lines().position(odd).map(|at| at + 1)
}

/// A line without its comment, and without escaped quotes.
fn code_of(line: &str) -> String {
    let line = line.replace("\\\\", "").replace("\\\"", "");
    let quoted = |at: &usize| line[..*at].matches('"').count() % 2 == 1;
    let comment = line
        .match_indices("//")
        .map(|(at, _)| at)
        .find(|at| !quoted(at));
    line[..comment.unwrap_or(line.len())].to_string()
}

fn byte_of(text: &str, line: usize, column: usize) -> usize {
    let mut start = 0;
    for part in text.split_inclusive('\n').take(line.saturating_sub(1)) {
        start += part.len();
    }
    let before = column.saturating_sub(1);
    let in_line = text[start..].char_indices().nth(before);
    start + in_line.map_or(text.len() - start, |(at, _)| at)
}

/// Past white space and comments from `at`.
pub(crate) fn past_space(text: &str, at: usize) -> usize {
    let mut finder = Finder { text, at };
    finder.skip_space();
    finder.at
}

/// Finds where things stand in a text that ron has read without complaint.
struct Finder<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Finder<'t> {
    fn rest(&self) -> &'t str {
        &self.text[self.at..]
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn fail<T>(&self, wrong: &str) -> Result<T, Torn> {
        Err(Torn {
            at: self.at.min(self.text.len()),
            wrong: wrong.into(),
        })
    }

    fn skip_header(&mut self) {
        self.skip_space();
        while self.rest().starts_with("#!") {
            self.at += self
                .rest()
                .find(']')
                .map_or(self.rest().len(), |end| end + 1);
            self.skip_space();
        }
    }

    fn skip_space(&mut self) {
        loop {
            let trimmed = self.rest().trim_start();
            self.at = self.text.len() - trimmed.len();
            if trimmed.starts_with("//") {
                self.at += trimmed.find('\n').unwrap_or(trimmed.len());
            } else if trimmed.starts_with("/*") {
                self.at += block_comment(trimmed);
            } else {
                return;
            }
        }
    }

    fn value(&mut self) -> Result<Node, Torn> {
        self.skip_space();
        let start = self.at;
        let kind = match self.peek() {
            Some('(') => self.parens()?,
            Some('[') => Kind::List(self.listed(']')?),
            Some('{') => Kind::Map(self.keyed()?),
            Some('"') => Kind::Text(self.text_value()?),
            Some('r') if is_raw_text(self.rest()) => Kind::Text(self.raw_text()?),
            Some('0'..='9' | '+' | '-' | '.') => Kind::Number(self.number()),
            Some(c) if c.is_alphabetic() || c == '_' => Kind::Word(self.word()?),
            _ => return self.fail("a value of this kind is not used in a layout"),
        };
        Ok(Node {
            span: start..self.at,
            kind,
        })
    }

    fn parens(&mut self) -> Result<Kind, Torn> {
        let open = self.at;
        self.at += 1;
        self.skip_space();
        let named = self.peek() == Some(')') || self.is_name();
        self.at = open;
        Ok(if named {
            Kind::Fields(self.named()?)
        } else {
            Kind::Tuple(self.listed(')')?)
        })
    }

    fn is_name(&mut self) -> bool {
        let len = word_len(self.rest());
        self.at += len;
        self.skip_space();
        len > 0 && self.peek() == Some(':')
    }

    fn listed(&mut self, close: char) -> Result<Vec<Node>, Torn> {
        let mut items = Vec::new();
        self.at += 1;
        while !self.closes(close)? {
            items.push(self.value()?);
            self.comma(close)?;
        }
        Ok(items)
    }

    fn named(&mut self) -> Result<Vec<Entry>, Torn> {
        let mut entries = Vec::new();
        self.at += 1;
        while !self.closes(')')? {
            let start = self.at;
            let name = self.word()?;
            entries.push(self.entry(start, name)?);
            self.comma(')')?;
        }
        Ok(entries)
    }

    fn keyed(&mut self) -> Result<Vec<Entry>, Torn> {
        let mut entries = Vec::new();
        self.at += 1;
        while !self.closes('}')? {
            let start = self.at;
            let name = match self.value()?.kind {
                Kind::Text(name) | Kind::Word(name) | Kind::Number(name) => name,
                Kind::Fields(_) | Kind::Map(_) | Kind::List(_) | Kind::Tuple(_) => {
                    self.at = start;
                    return self.fail("a name in { } is a text");
                }
            };
            entries.push(self.entry(start, name)?);
            self.comma('}')?;
        }
        Ok(entries)
    }

    fn entry(&mut self, start: usize, name: String) -> Result<Entry, Torn> {
        let name_span = start..self.at;
        self.skip_space();
        if self.peek() != Some(':') {
            return self.fail("expected a colon after the name");
        }
        self.at += 1;
        let value = self.value()?;
        Ok(Entry {
            name_span,
            name,
            value,
        })
    }

    fn closes(&mut self, close: char) -> Result<bool, Torn> {
        self.skip_space();
        match self.peek() {
            Some(c) if c == close => {
                self.at += 1;
                Ok(true)
            }
            Some(_) => Ok(false),
            None => self.fail("a bracket is never closed"),
        }
    }

    fn comma(&mut self, close: char) -> Result<(), Torn> {
        self.skip_space();
        match self.peek() {
            Some(',') => self.at += 1,
            Some(c) if c == close => {}
            _ => return self.fail("a value of this kind is not used in a layout"),
        }
        Ok(())
    }

    fn word(&mut self) -> Result<String, Torn> {
        let len = word_len(self.rest());
        if len == 0 {
            return self.fail("a value of this kind is not used in a layout");
        }
        let word = self.rest()[..len].to_owned();
        self.at += len;
        let after = self.at;
        self.skip_space();
        if self.peek() == Some('(') {
            return self.fail("a value of this kind is not used in a layout");
        }
        self.at = after;
        Ok(word)
    }

    fn number(&mut self) -> String {
        let more = |c: char| c.is_ascii_alphanumeric() || "+-._".contains(c);
        let len = self.rest().find(|c| !more(c)).unwrap_or(self.rest().len());
        let number = self.rest()[..len].to_owned();
        self.at += len;
        number
    }

    fn text_value(&mut self) -> Result<String, Torn> {
        let mut escaped = false;
        let end = self.rest().char_indices().skip(1).find(|(_, c)| {
            let ends = *c == '"' && !escaped;
            escaped = *c == '\\' && !escaped;
            ends
        });
        let Some((end, _)) = end else {
            return self.fail("a text is never closed");
        };
        let quoted = &self.rest()[..=end];
        let text = if quoted.contains('\\') {
            ron::from_str(quoted).or_else(|_| self.fail("an escape that RON does not know"))?
        } else {
            quoted[1..end].to_owned()
        };
        self.at += end + 1;
        Ok(text)
    }

    fn raw_text(&mut self) -> Result<String, Torn> {
        let hashes = self.rest()[1..].chars().take_while(|c| *c == '#').count();
        let open = 1 + hashes + 1;
        let close = format!("\"{}", "#".repeat(hashes));
        let Some(len) = self.rest()[open..].find(&close) else {
            return self.fail("a text is never closed");
        };
        let text = self.rest()[open..open + len].to_owned();
        self.at += open + len + close.len();
        Ok(text)
    }
}

fn is_raw_text(text: &str) -> bool {
    text[1..].trim_start_matches('#').starts_with('"')
}

fn word_len(text: &str) -> usize {
    let starts = text
        .chars()
        .next()
        .is_some_and(|c| c.is_alphabetic() || c == '_');
    if !starts {
        return 0;
    }
    text.find(|c: char| !(c.is_alphanumeric() || c == '_'))
        .unwrap_or(text.len())
}

/// Whether a name can stand without quotes.
pub(crate) fn is_word(name: &str) -> bool {
    !name.is_empty() && word_len(name) == name.len()
}

/// Bytes of the block comment `text` starts with; RON's nest.
fn block_comment(text: &str) -> usize {
    let bytes = text.as_bytes();
    let (mut depth, mut at) = (0_usize, 0);
    while at + 1 < bytes.len() {
        match &bytes[at..at + 2] {
            b"/*" => depth += 1,
            b"*/" => depth -= 1,
            _ => {
                at += 1;
                continue;
            }
        }
        at += 2;
        if depth == 0 {
            return at;
        }
    }
    text.len()
}
