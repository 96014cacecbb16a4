//! Near names, for the reader who mistyped one.

/// Up to three of `names` within a third of `wanted`'s letters, nearest first, ties in the order given.
pub(crate) fn near<'a>(wanted: &str, names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let reach = (wanted.chars().count() / 3).max(2);
    let contains = |name: &str| wanted.len() >= 4 && name.contains(wanted);
    let mut found: Vec<(usize, &str)> = names
        .map(|name| {
            (
                if contains(name) {
                    1
                } else {
                    distance(wanted, name)
                },
                name,
            )
        })
        .filter(|(far, _)| *far <= reach)
        .collect();
    found.sort_by_key(|(far, _)| *far);
    found.into_iter().take(3).map(|(_, name)| name).collect()
}

/// Edits (insert, drop, change a letter) from one word to the other.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for j in 0..b.len() {
            let change = diagonal + usize::from(b[j] != letter);
            diagonal = row[j + 1];
            row[j + 1] = change.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_first() {
        let names = ["grade-most", "grade-least", "test-head"];
        assert_eq!(
            near("grade-lest", names.into_iter()),
            ["grade-least", "grade-most"]
        );
        assert!(near("zzzz", names.into_iter()).is_empty());
        assert_eq!(distance("kitten", "sitting"), 3);
    }
}
