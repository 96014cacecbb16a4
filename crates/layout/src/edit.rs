//! Changes to a document: one type for the viewer, undo and tried mends. A change is spliced into the text, so that
//! comments and untouched lines stay as they were.

use glam::DVec2;
use units::{Grade, Id, Size};

use crate::{
    file::File,
    model::{ExitWay, JoinChoice},
    node::{self, Entry, Kind, Node, Span},
    print::{print, quoted},
    problem::{Problem, Source},
    words,
};

/// One step from a value to one inside it.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Step {
    /// A named value: a field, or an item of a section.
    Name(String),
    /// A value of a list or tuple, from 0.
    Index(usize),
}

impl From<&str> for Step {
    fn from(name: &str) -> Self {
        Self::Name(name.into())
    }
}

impl From<usize> for Step {
    fn from(index: usize) -> Self {
        Self::Index(index)
    }
}

/// Where a value stands in a document, from the outside in.
pub type Path = Vec<Step>;

/// A change to a document. Values are RON text.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Edit {
    /// Puts `value` at `path`: in place of what is there, or as new named values as far as they are missing.
    Set {
        /// Where.
        path: Path,
        /// RON text.
        value: String,
    },
    /// Puts a new value at `path`: a new name, or before the value that has the index now (the length appends).
    Insert {
        /// Where; its last step must not name what is there already.
        path: Path,
        /// RON text.
        value: String,
    },
    /// Takes away what is at `path`.
    Remove {
        /// Where.
        path: Path,
    },
    /// Several changes in order, all or none.
    All(Vec<Edit>),
}

/// A document after a change.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Applied {
    /// The new text.
    pub text: String,
    /// Whether comments and untouched lines are as they were. When not, the text is a full print: warn before saving.
    pub comments_kept: bool,
}

/// Why a change could not be made.
#[derive(Clone, PartialEq, Eq, Debug, thiserror::Error)]
pub enum EditError {
    /// The document itself is torn.
    #[error("{0}")]
    Document(Problem),
    /// The new value is not RON.
    #[error("{value:?} can't be written into a layout: {wrong}")]
    Value {
        /// The value's text.
        value: String,
        /// What is wrong with it.
        wrong: String,
    },
    /// There is no such place.
    #[error("there is no {0} in the document")]
    NoPlace(String),
    /// Something is there already.
    #[error("there is a {0} in the document already")]
    Taken(String),
}

/// The text after a change to it. `name` is what problems call it.
///
/// The change is made twice, in the text and in the tree, and the new text is read again: it must say exactly what the
/// changed tree says. Should it not, the whole tree is printed instead, which loses the comments, and that is told.
///
/// # Errors
/// When the document or the value is no RON, or the place is not there.
///
/// ```
/// let text = "(title: \"Shed\", /* small */ code: irc)";
/// let edit = layout::Edit::set(["title"], "\"Barn\"");
/// let applied = layout::apply(text, "shed.ron", &edit).unwrap();
/// assert_eq!(applied.text, "(title: \"Barn\", /* small */ code: irc)");
/// assert!(applied.comments_kept);
/// ```
pub fn apply(text: &str, name: &str, edit: &Edit) -> Result<Applied, EditError> {
    let tree =
        node::tree(text).map_err(|t| EditError::Document(Source::new(text, name).torn(t)))?;
    let (text, _, comments_kept) = changed(text.to_owned(), tree, edit)?;
    Ok(Applied {
        text,
        comments_kept,
    })
}

/// The located tree of a text.
///
/// # Errors
/// When its syntax is torn: one problem, at the place where reading stopped.
pub fn parse(text: &str, name: &str) -> Result<Node, Box<Problem>> {
    node::tree(text).map_err(|torn| Box::new(Source::new(text, name).torn(torn)))
}

/// Sections that hold items by name, and so stand in braces, each with how deep it stands: a room has `drains` too, with a field
/// for each kind.
const MAPS: &[(usize, &str)] = &[
    (1, "zones"),
    (1, "blocks"),
    (0, "walls"),
    (0, "cabinets"),
    (0, "box_outs"),
    (0, "rooms"),
    (0, "fixtures"),
    (0, "drains"),
    (0, "runs"),
    (0, "cleanouts"),
    (0, "services"),
];

/// Text and tree after a change, each changed on its own.
fn changed(text: String, tree: Node, edit: &Edit) -> Result<(String, Node, bool), EditError> {
    match edit {
        Edit::All(edits) => {
            if let Some(places) = apart(&tree, edits) {
                return at_once(&text, tree, &places);
            }
            let mut so_far = (text, tree, true);
            for edit in edits {
                let (text, tree, kept) = changed(so_far.0, so_far.1, edit)?;
                so_far = (text, tree, kept && so_far.2);
            }
            Ok(so_far)
        }
        Edit::Set { path, value } => set(&text, tree, path, value),
        Edit::Insert { path, value } => {
            let value = value_text(value)?;
            insert(&text, tree, path, &value)
        }
        Edit::Remove { path } => remove(&text, tree, path),
    }
}

/// Where each of several edits puts which value, in the order of the text: when each puts one in place of what is there,
/// none inside another's. Those can be made in one go.
fn apart<'e>(tree: &Node, edits: &'e [Edit]) -> Option<Vec<(Span, &'e Path, &'e str)>> {
    let place = |edit: &'e Edit| match edit {
        Edit::Set { path, value } => {
            let there = path.iter().try_fold(tree, |node, step| child(node, step))?;
            Some((there.span.clone(), path, value.as_str()))
        }
        Edit::Insert { .. } | Edit::Remove { .. } | Edit::All(_) => None,
    };
    let mut places = edits.iter().map(place).collect::<Option<Vec<_>>>()?;
    places.sort_by_key(|(span, ..)| span.start);
    let in_order = places.windows(2).all(|two| two[0].0.end <= two[1].0.start);
    in_order.then_some(places)
}

fn at_once(
    text: &str,
    mut tree: Node,
    places: &[(Span, &Path, &str)],
) -> Result<(String, Node, bool), EditError> {
    let mut spliced = String::with_capacity(text.len());
    let mut copied = 0;
    for (span, path, value) in places {
        let value = value_text(value)?;
        spliced.push_str(&text[copied..span.start]);
        spliced.push_str(&value);
        copied = span.end;
        let target = at_mut(&mut tree, path).ok_or_else(|| no_place(path))?;
        *target = node::tree(&value).map_err(|torn| EditError::Value {
            value,
            wrong: torn.wrong,
        })?;
    }
    spliced.push_str(&text[copied..]);
    Ok(checked(spliced, tree))
}

/// The bytes of a value alone, without comments around it.
fn value_text(value: &str) -> Result<String, EditError> {
    let wrong = |torn: node::Torn| EditError::Value {
        value: value.into(),
        wrong: torn.wrong,
    };
    let tree = node::tree(value).map_err(wrong)?;
    Ok(value[tree.span].to_owned())
}

fn set(
    text: &str,
    mut tree: Node,
    path: &[Step],
    value: &str,
) -> Result<(String, Node, bool), EditError> {
    let value = value_text(value)?;
    let depth = depth_of(&tree, path);
    if depth < path.len() {
        let on_lines = text[tree.span.clone()].contains('\n');
        let wrapped = wrapped(&path[depth..], value, path, on_lines)?;
        return insert(text, tree, &path[..=depth], &wrapped);
    }
    let target = at_mut(&mut tree, path).ok_or_else(|| no_place(path))?;
    let spliced = splice(text, target.span.clone(), &value);
    *target = node::tree(&value).map_err(|torn| EditError::Value {
        value,
        wrong: torn.wrong,
    })?;
    Ok(checked(spliced, tree))
}

/// How many steps of a path are there.
fn depth_of(tree: &Node, path: &[Step]) -> usize {
    let mut node = tree;
    for (depth, step) in path.iter().enumerate() {
        match child(node, step) {
            Some(inner) => node = inner,
            None => return depth,
        }
    }
    path.len()
}

/// A value inside all the named values that are missing on the way to it; `missing` starts with the one to add. In a document
/// written on many lines the items of a section stand on lines of their own.
fn wrapped(
    missing: &[Step],
    value: String,
    path: &[Step],
    on_lines: bool,
) -> Result<String, EditError> {
    let mut value = value;
    let above = path.len() - missing.len();
    for (n, pair) in missing.windows(2).enumerate().rev() {
        let [Step::Name(outer), Step::Name(inner)] = pair else {
            return Err(no_place(path));
        };
        value = if MAPS.contains(&(above + n, outer.as_str())) && above + n == 0 && on_lines {
            format!("{{\n        {}: {value},\n    }}", quoted(inner))
        } else if MAPS.contains(&(above + n, outer.as_str())) {
            format!("{{{}: {value}}}", quoted(inner))
        } else {
            format!("({inner}: {value})")
        };
    }
    Ok(value)
}

fn insert(
    text: &str,
    mut tree: Node,
    path: &[Step],
    value: &str,
) -> Result<(String, Node, bool), EditError> {
    let (step, parent) = path.split_last().ok_or_else(|| no_place(path))?;
    let target = at_mut(&mut tree, parent).ok_or_else(|| no_place(path))?;
    if let (Step::Name(_), Some(_)) = (step, child(target, step)) {
        return Err(EditError::Taken(spoken(path)));
    }
    let new = node::tree(value).map_err(|torn| EditError::Value {
        value: value.into(),
        wrong: torn.wrong,
    })?;
    let spliced = match (&mut target.kind, step) {
        (Kind::Fields(entries), Step::Name(name)) if node::is_word(name) => {
            let spliced = append(
                text,
                &target.span,
                ends(entries),
                &format!("{name}: {value}"),
            );
            entries.push(entry(name, new));
            spliced
        }
        (Kind::Map(entries), Step::Name(name)) => {
            let spliced = append(
                text,
                &target.span,
                ends(entries),
                &format!("{}: {value}", quoted(name)),
            );
            entries.push(entry(name, new));
            spliced
        }
        (Kind::List(items) | Kind::Tuple(items), Step::Index(index)) if *index <= items.len() => {
            let spliced = match items.get(*index) {
                Some(before) => splice(
                    text,
                    before.span.start..before.span.start,
                    &format!("{value}, "),
                ),
                None => append(
                    text,
                    &target.span,
                    items.iter().map(|i| i.span.clone()).collect(),
                    value,
                ),
            };
            items.insert(*index, new);
            spliced
        }
        _ => return Err(no_place(path)),
    };
    Ok(checked(spliced, tree))
}

fn remove(text: &str, mut tree: Node, path: &[Step]) -> Result<(String, Node, bool), EditError> {
    let (step, parent) = path.split_last().ok_or_else(|| no_place(path))?;
    let target = at_mut(&mut tree, parent).ok_or_else(|| no_place(path))?;
    let span = match (&mut target.kind, step) {
        (Kind::Fields(entries) | Kind::Map(entries), Step::Name(name)) => {
            let index = entries.iter().position(|entry| entry.name == *name);
            let gone = entries.remove(index.ok_or_else(|| no_place(path))?);
            gone.name_span.start..gone.value.span.end
        }
        (Kind::List(items) | Kind::Tuple(items), Step::Index(index)) if *index < items.len() => {
            items.remove(*index).span
        }
        _ => return Err(no_place(path)),
    };
    if matches!(&target.kind, Kind::Tuple(items) if items.is_empty()) {
        // RON has one way to write both.
        target.kind = Kind::Fields(Vec::new());
    }
    Ok(checked(cut(text, span), tree))
}

/// The text when it says what the tree says, else the tree's own print. The tree that goes on has the text's spans.
fn checked(spliced: String, expected: Node) -> (String, Node, bool) {
    match node::tree(&spliced) {
        Ok(read) if read == expected => (spliced, read, true),
        Ok(_) | Err(_) => {
            let printed = print(&expected);
            let read = node::tree(&printed).unwrap_or(expected);
            (printed, read, false)
        }
    }
}

fn child<'n>(node: &'n Node, step: &Step) -> Option<&'n Node> {
    match step {
        Step::Name(name) => node.entry(name).map(|entry| &entry.value),
        Step::Index(index) => node.items().get(*index),
    }
}

fn at_mut<'n>(tree: &'n mut Node, path: &[Step]) -> Option<&'n mut Node> {
    let mut node = tree;
    for step in path {
        node = match (&mut node.kind, step) {
            (Kind::Fields(entries) | Kind::Map(entries), Step::Name(name)) => {
                let entry = entries.iter_mut().find(|entry| entry.name == *name)?;
                &mut entry.value
            }
            (Kind::List(items) | Kind::Tuple(items), Step::Index(index)) => {
                items.get_mut(*index)?
            }
            _ => return None,
        };
    }
    Some(node)
}

fn entry(name: &str, value: Node) -> Entry {
    Entry {
        name_span: 0..0,
        name: name.into(),
        value,
    }
}

fn ends(entries: &[Entry]) -> Vec<Span> {
    let whole = |entry: &Entry| entry.name_span.start..entry.value.span.end;
    entries.iter().map(whole).collect()
}

fn splice(text: &str, span: Span, new: &str) -> String {
    format!("{}{new}{}", &text[..span.start], &text[span.end..])
}

/// The text with `new` as the only value between the brackets at `outer`: on a line of its own where they stand on lines of theirs.
fn first(text: &str, outer: &Span, new: &str) -> String {
    let within = outer.start + 1..outer.end - 1;
    let line = text[..outer.start].rfind('\n').map_or(0, |at| at + 1);
    let indent = text[line..outer.start].len() - text[line..outer.start].trim_start().len();
    if text[within.clone()].contains('\n') && text[within.clone()].trim().is_empty() {
        let margin = " ".repeat(indent);
        return splice(text, within, &format!("\n{margin}    {new},\n{margin}"));
    }
    splice(text, within.start..within.start, new)
}

/// The text with `new` as the last value between the brackets at `outer`, whose values stand at `inner`: on a line of its
/// own where the last one has that.
fn append(text: &str, outer: &Span, inner: Vec<Span>, new: &str) -> String {
    let Some(last) = inner.last() else {
        return first(text, outer, new);
    };
    let margin = margin(text, last.start);
    let comma = node::past_space(text, last.end);
    let has_comma = text[comma..].starts_with(',');
    let after = if has_comma { comma + 1 } else { last.end };
    let line_end = line_end(text, after);
    if let (Some(margin), true) = (margin, rest_is_blank(text, after, line_end)) {
        let start = if has_comma { "" } else { "," };
        let comment = &text[after..line_end];
        return splice(
            text,
            after..line_end,
            &format!("{start}{comment}\n{margin}{new},"),
        );
    }
    let at = last.end;
    splice(text, at..at, &format!(", {new}"))
}

/// The white space a line starts with, when nothing else stands before `at` on it.
fn margin(text: &str, at: usize) -> Option<&str> {
    let start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let before = &text[start..at];
    (start > 0 && before.trim().is_empty()).then_some(before)
}

fn line_end(text: &str, at: usize) -> usize {
    let end = text[at..].find('\n').map_or(text.len(), |len| at + len);
    if text[at..end].ends_with('\r') {
        end - 1
    } else {
        end
    }
}

/// Whether only white space and whole comments stand between two places of one line, and the line goes on to another.
fn rest_is_blank(text: &str, from: usize, line_end: usize) -> bool {
    let next = node::past_space(text, from);
    line_end < text.len() && next > line_end && !text[from..line_end].contains("/*")
}

/// The text without the value at `span`, its comma, and its line where it has one to itself (with the comment on it).
fn cut(text: &str, span: Span) -> String {
    let comma = node::past_space(text, span.end);
    let end = if text[comma..].starts_with(',') {
        comma + 1
    } else {
        span.end
    };
    let line_end = line_end(text, end);
    if let (Some(margin), true) = (margin(text, span.start), rest_is_blank(text, end, line_end)) {
        let next_line = text[line_end..]
            .find('\n')
            .map_or(text.len(), |len| line_end + len + 1);
        return splice(text, span.start - margin.len()..next_line, "");
    }
    let blank = text[end..].len() - text[end..].trim_start_matches(' ').len();
    splice(text, span.start..end + blank, "")
}

fn no_place(path: &[Step]) -> EditError {
    EditError::NoPlace(spoken(path))
}

fn spoken(path: &[Step]) -> String {
    let steps = path.iter().map(|step| match step {
        Step::Name(name) => name.clone(),
        Step::Index(index) => (index + 1).to_string(),
    });
    steps.collect::<Vec<_>>().join(" / ")
}

/// # The changes that are made most
impl Edit {
    /// Puts RON text at a path: `Edit::set(["outside", "frost"], "\"30 in\"")`.
    pub fn set<S: Into<Step>>(path: impl IntoIterator<Item = S>, value: impl Into<String>) -> Self {
        Self::Set {
            path: path.into_iter().map(Into::into).collect(),
            value: value.into(),
        }
    }

    /// Takes away what is at a path: `Edit::remove(["runs", "old branch"])`.
    pub fn remove<S: Into<Step>>(path: impl IntoIterator<Item = S>) -> Self {
        Self::Remove {
            path: path.into_iter().map(Into::into).collect(),
        }
    }

    /// Puts a new item into a section: `Edit::add("runs", "branch", "(from: ...)")`.
    pub fn add(section: &str, id: &str, value: impl Into<String>) -> Self {
        Self::Insert {
            path: vec![section.into(), id.into()],
            value: value.into(),
        }
    }

    /// Puts a fixture's stub at a point of the layout (inches from the form's south-west corner). What it was told off (a
    /// wall, a cabinet) is no longer followed.
    pub fn move_fixture(file: &File, fixture: &Id, at: DVec2) -> Self {
        let path = ["fixtures", fixture.as_str(), "at"];
        Self::set(path, file.point_text(at))
    }

    /// Puts a drain's exit at a point of the layout.
    pub fn move_exit(file: &File, drain: &Id, at: DVec2) -> Self {
        let path = ["drains", drain.as_str(), "exit", "at"];
        Self::set(path, file.point_text(at))
    }

    /// Puts a corner of a run (from 0, upstream first) at a point of the layout.
    pub fn move_corner(file: &File, run: &Id, corner: usize, at: DVec2) -> Self {
        Self::Set {
            path: vec![
                "runs".into(),
                run.as_str().into(),
                "via".into(),
                corner.into(),
            ],
            value: file.point_text(at),
        }
    }

    /// The grades a run may lie at.
    pub fn run_grades(run: &Id, menu: &[Grade]) -> Self {
        Self::set(["runs", run.as_str(), "grades"], grades_text(menu))
    }

    /// The size of a run at its upstream end; `None` for `auto`.
    pub fn run_size(run: &Id, size: Option<Size>) -> Self {
        Self::set(["runs", run.as_str(), "size"], size_text(size))
    }

    /// The invert of a run at its upstream end, inches from finished floor; `None` for `auto`.
    pub fn run_start(run: &Id, invert: Option<f64>) -> Self {
        let text = invert.map_or("auto".into(), length_text);
        Self::set(["runs", run.as_str(), "start_invert"], text)
    }

    /// How a run may join the one it leads to.
    pub fn run_joins(run: &Id, joins: JoinChoice) -> Self {
        Self::set(
            ["runs", run.as_str(), "joins"],
            word_of(words::JOINS, joins),
        )
    }

    /// The thickness of a layer of the slab, counted from the top, from 0.
    pub fn layer_thickness(layer: usize, inches: f64) -> Self {
        let path = vec!["slab".into(), "layers".into(), layer.into(), 1.into()];
        Self::Set {
            path,
            value: length_text(inches),
        }
    }

    /// The way a drain leaves the foundation.
    pub fn exit_way(drain: &Id, way: ExitWay) -> Self {
        Self::set(
            ["drains", drain.as_str(), "exit", "way"],
            word_of(words::WAYS, way),
        )
    }

    /// The survey elevation of the finished floor, in inches.
    pub fn floor_elevation(inches: f64) -> Self {
        Self::set(["floor_elevation"], length_text(inches))
    }

    /// The grades a drain's line outside may lie at.
    pub fn line_grades(drain: &Id, menu: &[Grade]) -> Self {
        Self::set(
            ["drains", drain.as_str(), "line", "grades"],
            grades_text(menu),
        )
    }
}

fn size_text(size: Option<Size>) -> String {
    size.map_or("auto".into(), |size| format!("\"{size}\""))
}

fn grades_text(menu: &[Grade]) -> String {
    let grade = |grade: &Grade| {
        let shown = grade.to_string();
        let exact = Grade::parse(&shown) == Ok(*grade);
        let text = if exact {
            shown
        } else {
            grade.in_per_ft().to_string()
        };
        format!("\"{text}\"")
    };
    format!(
        "[{}]",
        menu.iter().map(grade).collect::<Vec<_>>().join(", ")
    )
}

fn word_of<T: PartialEq>(words: &[(&str, T)], value: T) -> String {
    let found = words.iter().find(|(_, of)| *of == value);
    found.map_or("auto".into(), |(word, _)| (*word).into())
}

/// What sums of square roots leave a length off by, inches.
const HAIR: f64 = 1e-9;

/// A length as RON text that reads back as the same inches, to a hair: feet and inches to a sixteenth where that is exact.
pub fn length_text(inches: f64) -> String {
    let sixteenths = (inches * 16.0).round() / 16.0;
    let inches = if (inches - sixteenths).abs() < HAIR {
        sixteenths
    } else {
        inches
    };
    let feet = units::feet_inches(inches, 16);
    let plain = feet.trim_end_matches('"');
    let exact = units::Length::parse(plain).is_ok_and(|read| read.inches() == inches);
    if exact && inches.abs() >= 12.0 {
        format!("\"{plain}\"")
    } else {
        format!("\"{inches} in\"")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_splice_that_says_something_else_gives_way_to_a_full_print() {
        let tree = |text: &str| node::tree(text).expect("whole");
        let expected = tree("(title: \"Barn\", code: irc)");
        let right = "(title: \"Barn\", /* small */ code: irc)";
        let (text, _, kept) = checked(right.into(), expected.clone());
        assert_eq!((text.as_str(), kept), (right, true));
        for wrong in [
            "(title: \"Shed\", /* small */ code: irc)",
            "(title: \"Barn\", code: irc",
        ] {
            let (text, read, kept) = checked(wrong.into(), expected.clone());
            assert!(!kept, "its comments are gone, and that is told");
            assert_eq!(text, print(&expected));
            assert_eq!((tree(&text), read), (expected.clone(), expected.clone()));
        }
    }
}
