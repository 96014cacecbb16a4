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
    let mut out = String::with_capacity(text.len() + 2);
    quote(text, &mut out);
    out
}

fn quote(text: &str, out: &mut String) {
    out.push('"');
    if text.contains(|c: char| matches!(c, '"' | '\\') || c.is_control()) {
        text.chars().for_each(|c| escape(c, out));
    } else {
        out.push_str(text);
    }
    out.push('"');
}

fn escape(c: char, out: &mut String) {
    match c {
        '"' => out.push_str("\\\""),
        '\\' => out.push_str("\\\\"),
        '\n' => out.push_str("\\n"),
        c if c.is_control() => out.push_str(&format!("\\u{{{:x}}}", u32::from(c))),
        c => out.push(c),
    }
}

/// A value after `used` columns of its line.
fn value(node: &Node, indent: usize, used: usize, out: &mut String) {
    let start = out.len();
    let fits = flat(node, start + WIDTH.saturating_sub(used), out);
    let leaf = matches!(node.kind, Kind::Text(_) | Kind::Word(_) | Kind::Number(_));
    if !fits && !leaf {
        out.truncate(start);
        broken(node, indent, out);
    }
}

/// Writes on one line; false, with some of it written, when `out` grows longer than `most` by that.
fn flat(node: &Node, most: usize, out: &mut String) -> bool {
    let (open, close) = brackets(node);
    out.push_str(open);
    match &node.kind {
        Kind::Fields(entries) | Kind::Map(entries) => {
            for (index, entry) in entries.iter().enumerate() {
                out.push_str(if index > 0 { ", " } else { "" });
                name(node, entry, out);
                out.push_str(": ");
                if !flat(&entry.value, most, out) {
                    return false;
                }
            }
        }
        Kind::List(items) | Kind::Tuple(items) => {
            for (index, item) in items.iter().enumerate() {
                out.push_str(if index > 0 { ", " } else { "" });
                if !flat(item, most, out) {
                    return false;
                }
            }
        }
        Kind::Text(text) => quote(text, out),
        Kind::Word(text) | Kind::Number(text) => out.push_str(text),
    }
    out.push_str(close);
    out.len() <= most
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
                let start = out.len();
                out.push_str(&margin);
                name(node, entry, out);
                out.push_str(": ");
                value(&entry.value, indent + 4, out.len() - start + 1, out);
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
    out.push_str(&margin[4..]);
    out.push_str(close);
}

fn name(of: &Node, entry: &Entry, out: &mut String) {
    match of.kind {
        Kind::Map(_) => quote(&entry.name, out),
        _ => out.push_str(&entry.name),
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
