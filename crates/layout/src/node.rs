//! The located tree: every value of a file with the bytes it stands on. Knows RON's shapes, nothing of houses.
//!
//! One pass of our own finds where each value stands. It takes only the plain forms that nearly every layout is written
//! in, all of them RON beyond doubt. A text with anything else in it (an escape, a block comment, a mistake) is first judged
//! by ron itself, and what ron says is wrong is what is told. Asking ron for `RawValue`s level by level gives the same
//! spans, but reads every byte twice a level, a dozen times in all.

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
    if let Some(tree) = plain_tree(text) {
        return Ok(tree);
    }
    ron::from_str::<serde::de::IgnoredAny>(text).map_err(|e| torn(text, &e))?;
    let mut finder = Finder::new(text, Forms::All);
    finder.skip_header();
    finder.value()
}

/// The tree of a text written in plain forms only; `None` for any other, right or wrong.
fn plain_tree(text: &str) -> Option<Node> {
    let mut finder = Finder::new(text, Forms::Plain);
    let tree = finder.value().ok()?;
    finder.skip_space();
    finder.rest().is_empty().then_some(tree)
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
    let mut finder = Finder::new(text, Forms::All);
    finder.at = at;
    finder.skip_space();
    finder.at
}

/// Which forms a finder takes; where it meets another it fails.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Forms {
    /// Words and white space of ASCII, lines of comment, texts without escapes, short decimal numbers, brackets not too
    /// deep: ron takes each of them.
    Plain,
    /// All that ron takes and a layout may use. Ron has read the text without complaint.
    All,
}

/// Brackets within brackets that count as plain: layouts need eight, and ron stops at 128.
const PLAIN_DEPTH: usize = 32;
/// Digits of a plain number: it fits whatever type ron tries it in.
const PLAIN_DIGITS: usize = 9;

/// Finds where things stand in a text.
struct Finder<'t> {
    text: &'t str,
    at: usize,
    forms: Forms,
    depth: usize,
}

impl<'t> Finder<'t> {
    fn new(text: &'t str, forms: Forms) -> Self {
        Self {
            text,
            at: 0,
            forms,
            depth: 0,
        }
    }

    fn rest(&self) -> &'t str {
        &self.text[self.at..]
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    /// Fails where only plain forms are taken.
    fn not_plain(&self) -> Result<(), Torn> {
        match self.forms {
            Forms::Plain => self.fail(""),
            Forms::All => Ok(()),
        }
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
        let bytes = self.text.as_bytes();
        while let Some(b' ' | b'\n' | b'\r' | b'\t') = bytes.get(self.at) {
            self.at += 1;
        }
        if bytes
            .get(self.at)
            .is_some_and(|b| *b == b'/' || !b.is_ascii_graphic())
        {
            self.skip_odd_space();
        }
    }

    /// Past comments, and white space beyond ASCII's.
    fn skip_odd_space(&mut self) {
        if self.forms == Forms::Plain {
            return self.skip_comment_lines();
        }
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

    /// Past whole lines of comment. What ends a text without a line's end is no whole line.
    fn skip_comment_lines(&mut self) {
        while self.rest().starts_with("//")
            && let Some(end) = self.rest().find('\n')
        {
            self.at += end;
            let space = [' ', '\n', '\r', '\t'];
            self.at = self.text.len() - self.rest().trim_start_matches(space).len();
        }
    }

    fn value(&mut self) -> Result<Node, Torn> {
        self.skip_space();
        let start = self.at;
        self.depth += 1;
        if self.depth > PLAIN_DEPTH {
            self.not_plain()?;
        }
        let kind = match self.peek() {
            Some('(') => self.parens()?,
            Some('[') => Kind::List(self.listed(']')?),
            Some('{') => Kind::Map(self.keyed()?),
            Some('"') => Kind::Text(self.text_value()?),
            Some('r') if is_raw_text(self.rest()) => Kind::Text(self.raw_text()?),
            Some('0'..='9' | '+' | '-' | '.') => Kind::Number(self.number()?),
            Some(c) if c.is_alphabetic() || c == '_' => Kind::Word(self.word()?),
            _ => return self.fail("a value of this kind is not used in a layout"),
        };
        self.depth -= 1;
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
        if !is_plain_word(&word) {
            self.not_plain()?;
        }
        self.at += len;
        let after = self.at;
        self.skip_space();
        if self.peek() == Some('(') {
            return self.fail("a value of this kind is not used in a layout");
        }
        self.at = after;
        Ok(word)
    }

    fn number(&mut self) -> Result<String, Torn> {
        let more = |c: char| c.is_ascii_alphanumeric() || "+-._".contains(c);
        let len = self.rest().find(|c| !more(c)).unwrap_or(self.rest().len());
        let number = self.rest()[..len].to_owned();
        if !is_plain_number(&number) {
            self.not_plain()?;
        }
        self.at += len;
        Ok(number)
    }

    fn text_value(&mut self) -> Result<String, Torn> {
        let inside = &self.rest()[1..];
        if let Some(end) = inside.find('"')
            && !inside[..end].contains('\\')
        {
            self.at += end + 2;
            return Ok(inside[..end].to_owned());
        }
        self.not_plain()?;
        self.escaped_text()
    }

    fn escaped_text(&mut self) -> Result<String, Torn> {
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
        let text =
            ron::from_str(quoted).or_else(|_| self.fail("an escape that RON does not know"))?;
        self.at += end + 1;
        Ok(text)
    }

    fn raw_text(&mut self) -> Result<String, Torn> {
        self.not_plain()?;
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

/// A word that is nothing else in RON: `Some` and its like begin with a capital.
fn is_plain_word(word: &str) -> bool {
    let part = |b: u8| b.is_ascii_alphanumeric() || b == b'_';
    word.starts_with(|c: char| c.is_ascii_lowercase()) && word.bytes().all(part)
}

/// Digits with perhaps a sign before and a point between them, not too many.
fn is_plain_number(number: &str) -> bool {
    let digits = number.strip_prefix('-').unwrap_or(number);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, "0"));
    let plain = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let padded = whole.len() > 1 && whole.starts_with('0');
    plain(whole) && plain(part) && !padded && digits.len() <= PLAIN_DIGITS
}

fn word_len(text: &str) -> usize {
    let starts = text
        .chars()
        .next()
        .is_some_and(|c| c.is_alphabetic() || c == '_');
    if !starts {
        return 0;
    }
    let ends = |b: &u8| !(b.is_ascii_alphanumeric() || *b == b'_');
    match text.bytes().position(|b| ends(&b)) {
        Some(at) if text.as_bytes()[at].is_ascii() => at,
        _ => text
            .find(|c: char| !(c.is_alphanumeric() || c == '_'))
            .unwrap_or(text.len()),
    }
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const HOUSE: &str = "(title: \"a\", turn: -12.5, // how it lies\n walls: {\"w 1\": (from: (\"1'\", \"0\"), on_edge: \
        yes, sides: [(side: 0, top: \"2 in\"),])}, none: (), to: [concrete, \"\"])\n";

    fn judged_by_ron(text: &str) -> Option<Node> {
        ron::from_str::<serde::de::IgnoredAny>(text).ok()?;
        Finder::new(text, Forms::All).value().ok()
    }

    fn scraps() -> impl Strategy<Value = String> {
        let scraps = [
            "(", ")", "[", "]", "{", "}", ",", ":", "\"", "\\", "'", "//", "/*", "*/", "\n", " ",
            "0", "12", "-", "+", ".", "1e3", "_", "r", "b", "#", "Some", "None", "inf", "true",
            "word", "\u{a0}", "\u{e9}", "\u{b}", "",
        ];
        prop::sample::select(scraps.map(String::from).to_vec())
    }

    #[test]
    fn a_plain_house_needs_no_other_judge() {
        assert_eq!(plain_tree(HOUSE), judged_by_ron(HOUSE));
        assert!(plain_tree(HOUSE).is_some());
    }

    #[test]
    fn brackets_too_deep_are_judged_by_ron() {
        for (open, close) in [("[", "]"), ("(", ",)"), ("(a: ", ")"), ("{\"k\": ", "}")] {
            let deep = |levels: usize| format!("{}1{}", open.repeat(levels), close.repeat(levels));
            let deepest = deep(PLAIN_DEPTH - 1);
            assert!(plain_tree(&deepest).is_some(), "{open}");
            assert_eq!(plain_tree(&deepest), judged_by_ron(&deepest), "{open}");
            assert_eq!(plain_tree(&deep(PLAIN_DEPTH)), None, "{open}");
            assert!(tree(&deep(40)).is_ok(), "{open}");
        }
        let too_deep = format!("{}1{}", "[".repeat(100_000), "]".repeat(100_000));
        assert!(tree(&too_deep).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(3_000))]

        #[test]
        fn what_is_plain_is_ron(changes in prop::collection::vec((0..HOUSE.len(), 0..4_usize, scraps()), 0..4)) {
            let mut text = HOUSE.to_owned();
            for (at, out, scrap) in changes {
                let kept = |at: usize| text.floor_char_boundary(at.min(text.len()));
                let range = kept(at)..kept(at + out);
                text.replace_range(range, &scrap);
            }
            if let Some(tree) = plain_tree(&text) {
                prop_assert_eq!(Some(tree), judged_by_ron(&text), "{}", text);
            }
        }

        #[test]
        fn what_is_plain_of_scraps_is_ron(scraps in prop::collection::vec(scraps(), 1..7)) {
            let text = scraps.concat();
            if let Some(tree) = plain_tree(&text) {
                prop_assert_eq!(Some(tree), judged_by_ron(&text), "{}", text);
            }
        }
    }
}
