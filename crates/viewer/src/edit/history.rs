//! The text of the layout as it is being changed: what is saved, what was done, what was undone. Knows no houses.

/// One change of a text: at a byte, `old` gave way to `new`.
#[derive(Clone, PartialEq, Eq, Debug)]
struct Splice {
    at: usize,
    old: String,
    new: String,
}

impl Splice {
    /// The smallest splice that leads from one text to another; `None` when they are the same.
    fn between(from: &str, to: &str) -> Option<Self> {
        if from == to {
            return None;
        }
        let same = from
            .char_indices()
            .zip(to.chars())
            .take_while(|((_, a), b)| a == b)
            .map(|((at, a), _)| at + a.len_utf8())
            .last()
            .unwrap_or(0);
        let (rest_from, rest_to) = (&from[same..], &to[same..]);
        let tail: usize = rest_from
            .chars()
            .rev()
            .zip(rest_to.chars().rev())
            .take_while(|(a, b)| a == b)
            .map(|(a, _)| a.len_utf8())
            .sum();
        Some(Self {
            at: same,
            old: rest_from[..rest_from.len() - tail].to_owned(),
            new: rest_to[..rest_to.len() - tail].to_owned(),
        })
    }

    fn forward(&self, text: &str) -> String {
        replaced(text, self.at, self.old.len(), &self.new)
    }

    fn back(&self, text: &str) -> String {
        replaced(text, self.at, self.new.len(), &self.old)
    }
}

fn replaced(text: &str, at: usize, len: usize, new: &str) -> String {
    format!("{}{new}{}", &text[..at], &text[at + len..])
}

/// A layout's text with its past and what was taken back. Only differences are kept, so there is no limit to either.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Draft {
    text: String,
    saved: String,
    done: Vec<Splice>,
    undone: Vec<Splice>,
}

impl Draft {
    /// A text as it stands in its file.
    pub fn new(text: String) -> Self {
        Self {
            saved: text.clone(),
            text,
            ..Self::default()
        }
    }

    /// The text now.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text in the file.
    pub fn saved(&self) -> &str {
        &self.saved
    }

    /// Whether the text differs from the file's.
    pub fn is_unsaved(&self) -> bool {
        self.text != self.saved
    }

    /// Goes on to `text`. What was undone before is given up.
    pub fn go_on(&mut self, text: &str) {
        if let Some(splice) = Splice::between(&self.text, text) {
            text.clone_into(&mut self.text);
            self.done.push(splice);
            self.undone.clear();
        }
    }

    /// The text before the last change.
    pub fn undo(&mut self) -> Option<&str> {
        let splice = self.done.pop()?;
        self.text = splice.back(&self.text);
        self.undone.push(splice);
        Some(&self.text)
    }

    /// The text before the last undoing.
    pub fn redo(&mut self) -> Option<&str> {
        let splice = self.undone.pop()?;
        self.text = splice.forward(&self.text);
        self.done.push(splice);
        Some(&self.text)
    }

    /// Whether anything can be undone and redone.
    pub fn can(&self) -> (bool, bool) {
        (!self.done.is_empty(), !self.undone.is_empty())
    }

    /// `text` stands in the file now.
    pub fn is_saved(&mut self, text: &str) {
        text.clone_into(&mut self.saved);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_splice_is_as_small_as_the_change() {
        let splice = Splice::between("along: \"6'\", x", "along: \"7'\", x").unwrap();
        assert_eq!((splice.old.as_str(), splice.new.as_str()), ("6", "7"));
        assert_eq!(Splice::between("a", "a"), None);
        // The same letters before and after the change are counted once.
        let doubled = Splice::between("aa", "aaa").unwrap();
        assert_eq!(doubled.forward("aa"), "aaa");
        let accents = Splice::between("é1", "è1").unwrap();
        assert_eq!(accents.back("è1"), "é1");
    }

    #[test]
    fn a_thousand_changes_are_undone_and_done_again() {
        let mut draft = Draft::new("start".into());
        let texts: Vec<String> = (0..1000).map(|n| format!("text {}", n * 7 % 113)).collect();
        for text in &texts {
            draft.go_on(text);
        }
        while draft.undo().is_some() {}
        assert_eq!((draft.text(), draft.is_unsaved()), ("start", false));
        while draft.redo().is_some() {}
        assert_eq!(Some(draft.text()), texts.last().map(String::as_str));
    }

    #[test]
    fn going_on_gives_up_what_was_undone_and_saving_keeps_the_past() {
        let mut draft = Draft::new("a".into());
        draft.go_on("b");
        draft.undo();
        draft.go_on("c");
        assert_eq!(draft.can(), (true, false));
        draft.is_saved("c");
        assert!(!draft.is_unsaved());
        assert_eq!(draft.undo(), Some("a"));
        assert!(draft.is_unsaved());
    }
}
