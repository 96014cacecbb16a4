//! Lines no wider than a terminal or a phone shows, with what follows indented under the first.

/// Breaks `text` at spaces so that no line is wider than `width` characters, unless one word is. The first line starts
/// with `first`, the others with `next`; neither of them is broken.
pub(crate) fn wrap(text: &str, width: usize, first: &str, next: &str) -> String {
    let mut out = first.to_owned();
    let mut used = first.chars().count();
    let mut fresh = true;
    for word in text.split_whitespace() {
        let long = word.chars().count();
        if !fresh && used + 1 + long > width {
            out.push('\n');
            out.push_str(next);
            used = next.chars().count();
            fresh = true;
        }
        if !fresh {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += long;
        fresh = false;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_and_no_word_is_lost() {
        let text = "the vent of hall closet is 1-1/2 in on a 3 in drain; 2 in is the least";
        let wrapped = wrap(text, 30, "1. ", "   ");
        assert!(wrapped.lines().all(|line| line.chars().count() <= 30));
        assert!(wrapped.lines().skip(1).all(|line| line.starts_with("   ")));
        let words: Vec<&str> = wrapped.split_whitespace().skip(1).collect();
        assert_eq!(words.join(" "), text);
        assert_eq!(
            wrap("supercalifragilistic", 10, "- ", "  "),
            "- supercalifragilistic"
        );
    }
}
