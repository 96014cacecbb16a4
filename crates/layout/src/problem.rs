//! Mistakes in a file: where, which item, what is wrong, what would be right; and near names for misspelt ones.

use std::fmt;

use crate::node::{Kind, Node, Span, Torn};

/// One mistake in a file.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Problem {
    /// The file, as its reader named it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The item, from the outside in: `walls "w2" from`. Empty for the file as a whole.
    pub item: String,
    /// What is wrong.
    pub wrong: String,
    /// What would be right.
    pub right: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}: ", self.file, self.line, self.column)?;
        if !self.item.is_empty() {
            write!(f, "{}: ", self.item)?;
        }
        write!(f, "{}; {}", self.wrong, self.right)
    }
}

/// A mistake known by its bytes; line, column and item are found when it is told.
#[derive(Clone, PartialEq, Debug)]
pub struct Mistake {
    /// The bytes it stands on.
    pub span: Span,
    /// What is wrong.
    pub wrong: String,
    /// What would be right.
    pub right: String,
}

/// A text with its name and where its lines start.
#[derive(Clone, PartialEq, Debug)]
pub struct Source {
    /// What problems call the text.
    pub name: String,
    /// The text.
    pub text: String,
    starts: Vec<usize>,
}

impl Source {
    /// A text and its name.
    pub fn new(text: &str, name: &str) -> Self {
        let ends = text.match_indices('\n').map(|(at, _)| at + 1);
        Self {
            name: name.into(),
            text: text.into(),
            starts: std::iter::once(0).chain(ends).collect(),
        }
    }

    /// Line and column of a byte, both from 1.
    pub(crate) fn place(&self, byte: usize) -> (usize, usize) {
        let line = self.starts.partition_point(|start| *start <= byte);
        let start = self.starts[line - 1];
        (line, self.text[start..byte].chars().count() + 1)
    }

    /// Every mistake as a problem, in the order of the file.
    pub fn tell(&self, tree: &Node, mut mistakes: Vec<Mistake>) -> Vec<Problem> {
        mistakes.sort_by_key(|m| (m.span.start, m.span.end));
        let tell = |m: Mistake| self.problem(item(tree, &m.span), m);
        mistakes.into_iter().map(tell).collect()
    }

    /// The one problem of a text that is no RON.
    pub(crate) fn torn(&self, torn: Torn) -> Problem {
        let right = "nothing after this was read".into();
        self.problem(
            String::new(),
            Mistake {
                span: torn.at..torn.at,
                wrong: torn.wrong,
                right,
            },
        )
    }

    fn problem(&self, item: String, mistake: Mistake) -> Problem {
        let (line, column) = self.place(mistake.span.start);
        Problem {
            file: self.name.clone(),
            line,
            column,
            item,
            wrong: mistake.wrong,
            right: mistake.right,
        }
    }
}

/// The way from the root to the value or name that stands at `span`: `walls "w2" from`, `slab outline, point 3, east`.
fn item(tree: &Node, span: &Span) -> String {
    let mut said = String::new();
    let mut field = "";
    let mut node = tree;
    while node.span != *span {
        let Some((step, inner)) = step_towards(node, span) else {
            break;
        };
        let (joint, words) = match step {
            Step::Field(name) => {
                field = name;
                (" ", name.to_owned())
            }
            Step::Named(name) => (" ", format!("{name:?}")),
            Step::Listed(n) if POINTS.contains(&field) => (", ", format!("point {}", n + 1)),
            Step::Listed(n) => (", ", format!("no. {}", n + 1)),
            Step::Grouped(n) => (", ", grouped(field, n)),
        };
        if !said.is_empty() {
            said += joint;
        }
        said += &words;
        node = inner;
    }
    said
}

/// Fields that hold a point in plan, or a list of them.
const POINTS: [&str; 7] = ["outline", "via", "path", "at", "from", "to", "centre"];

/// What stands at a place in a group: of a point its east or north, else which it is.
fn grouped(field: &str, n: usize) -> String {
    let words: &[&str] = if POINTS.contains(&field) {
        &["east", "north"]
    } else {
        &["first", "second", "third", "fourth"]
    };
    let word = words.get(n).map(ToString::to_string);
    word.unwrap_or_else(|| format!("no. {}", n + 1))
}

/// A step from a value to one inside it.
enum Step<'n> {
    /// A field of ours, by name.
    Field(&'n str),
    /// An item named in the file.
    Named(&'n str),
    /// An item of a list, from 0.
    Listed(usize),
    /// A value of a group, from 0.
    Grouped(usize),
}

fn step_towards<'n>(node: &'n Node, span: &Span) -> Option<(Step<'n>, &'n Node)> {
    let last_before = |starts: &dyn Fn(usize) -> usize, len: usize| {
        let (mut low, mut high) = (0, len);
        while low < high {
            let middle = usize::midpoint(low, high);
            if starts(middle) <= span.start {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        low.checked_sub(1)
    };
    match &node.kind {
        Kind::Fields(entries) | Kind::Map(entries) => {
            let entry = &entries[last_before(&|i| entries[i].name_span.start, entries.len())?];
            let step = match node.kind {
                Kind::Map(_) => Step::Named(&entry.name),
                _ => Step::Field(&entry.name),
            };
            (span.start < entry.value.span.end).then_some((step, &entry.value))
        }
        Kind::List(items) | Kind::Tuple(items) => {
            let index = last_before(&|i| items[i].span.start, items.len())?;
            let inside = span.start < items[index].span.end;
            let step = match node.kind {
                Kind::List(_) => Step::Listed(index),
                _ => Step::Grouped(index),
            };
            inside.then_some((step, &items[index]))
        }
        Kind::Text(_) | Kind::Word(_) | Kind::Number(_) => None,
    }
}

/// The name of `known` nearest to `given`, when it is near enough to be meant.
pub fn near<'k>(given: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let most = (given.chars().count() / 3).clamp(1, 3);
    let apart = |name: &'k str| (distance(given, name, most), name);
    let best = known.into_iter().map(apart).min()?;
    (best.0 <= most).then_some(best.1)
}

/// Letters to change, add, drop or swap with the next to get from one word to the other; more than `most` is `most + 1`.
fn distance(one: &str, other: &str, most: usize) -> usize {
    let fold = |word: &str| word.to_lowercase().chars().collect::<Vec<_>>();
    let (a, b) = (fold(one), fold(other));
    if a.len().abs_diff(b.len()) > most {
        return most + 1;
    }
    let mut before: Vec<usize> = Vec::new();
    let mut above: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i];
        for j in 1..=b.len() {
            let changed = above[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            let mut least = changed.min(above[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                least = least.min(before[j - 2] + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut above, row);
    }
    above[b.len()].min(most + 1)
}
