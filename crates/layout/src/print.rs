//! A tree as text again, without its comments, and the short hash that names a document.

use crate::node::{Entry, Kind, Node};

/// Lines are kept this long where they can be.
const WIDTH: usize = 100;

/// The whole document as text, one line for what fits on one. Comments of the text it came from are not in it.
///
/// Law: `parse(&print(&x)) == Ok(x)`.
pub fn print(tree: &Node) -> String {
    let mut out = String::new();
    match &tree.kind {
        Kind::Fields(entries) if !entries.is_empty() => broken(tree, 0, &mut out),
        _ => value(tree, 0, 0, &mut out),
    }
    out.push('\n');
    out
}

/// The short hash of a document on every output: eight hex digits that change with what it says, not with its comments
/// or line breaks (FNV-1a, 32 bits, over [`print()`]). A text that is no tree is hashed as it is.
pub fn hash(text: &str) -> String {
    match crate::node::tree(text) {
        Ok(tree) => hash_of(&print(&tree)),
        Err(_) => hash_of(text),
    }
}

impl crate::File {
    /// The short hash of this document, as [`hash()`] gives it for its text.
    pub fn hash(&self) -> String {
        hash_of(&print(&self.tree))
    }
}

fn hash_of(said: &str) -> String {
    let hash = said.bytes().fold(0x811c_9dc5_u32, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    });
    format!("{hash:08x}")
}

/// A text with the quotes and escapes RON wants.
pub fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => out.push_str(&format!("\\u{{{:x}}}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A value after `used` columns of its line.
fn value(node: &Node, indent: usize, used: usize, out: &mut String) {
    let mut line = String::new();
    let fits = flat(node, WIDTH.saturating_sub(used), &mut line);
    let leaf = matches!(node.kind, Kind::Text(_) | Kind::Word(_) | Kind::Number(_));
    if fits || leaf {
        out.push_str(&line);
    } else {
        broken(node, indent, out);
    }
}

/// Writes on one line; false when that takes more than `room`.
fn flat(node: &Node, room: usize, out: &mut String) -> bool {
    let (open, close) = brackets(node);
    out.push_str(open);
    match &node.kind {
        Kind::Fields(entries) | Kind::Map(entries) => {
            for (index, entry) in entries.iter().enumerate() {
                out.push_str(if index > 0 { ", " } else { "" });
                out.push_str(&name(node, entry));
                out.push_str(": ");
                if !flat(&entry.value, room, out) {
                    return false;
                }
            }
        }
        Kind::List(items) | Kind::Tuple(items) => {
            for (index, item) in items.iter().enumerate() {
                out.push_str(if index > 0 { ", " } else { "" });
                if !flat(item, room, out) {
                    return false;
                }
            }
        }
        Kind::Text(text) => out.push_str(&quoted(text)),
        Kind::Word(text) | Kind::Number(text) => out.push_str(text),
    }
    out.push_str(close);
    out.len() <= room
}

/// Writes one entry or item a line.
fn broken(node: &Node, indent: usize, out: &mut String) {
    let (open, close) = brackets(node);
    let margin = " ".repeat(indent + 4);
    out.push_str(open);
    out.push('\n');
    match &node.kind {
        Kind::Fields(entries) | Kind::Map(entries) => {
            for entry in entries {
                let start = format!("{margin}{}: ", name(node, entry));
                out.push_str(&start);
                value(&entry.value, indent + 4, start.len() + 1, out);
                out.push_str(",\n");
            }
        }
        Kind::List(items) | Kind::Tuple(items) => {
            for item in items {
                out.push_str(&margin);
                value(item, indent + 4, margin.len() + 1, out);
                out.push_str(",\n");
            }
        }
        // A leaf has no lines to break into.
        Kind::Text(_) | Kind::Word(_) | Kind::Number(_) => {}
    }
    out.push_str(&" ".repeat(indent));
    out.push_str(close);
}

fn name(of: &Node, entry: &Entry) -> String {
    match of.kind {
        Kind::Map(_) => quoted(&entry.name),
        _ => entry.name.clone(),
    }
}

fn brackets(node: &Node) -> (&'static str, &'static str) {
    match node.kind {
        Kind::Fields(_) | Kind::Tuple(_) => ("(", ")"),
        Kind::Map(_) => ("{", "}"),
        Kind::List(_) => ("[", "]"),
        Kind::Text(_) | Kind::Word(_) | Kind::Number(_) => ("", ""),
    }
}
