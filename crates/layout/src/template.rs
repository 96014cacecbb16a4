//! The layout that a new file starts from.

/// A small commented layout to start from: every section of the first evening, with a word on each. Reads without a
/// problem.
pub fn template() -> &'static str {
    include_str!("template.ron")
}
