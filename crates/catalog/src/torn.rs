//! What a sheet's reader tripped on, in the words of the person who writes the sheet. What does not belong here: what a
//! sheet may say.

use ron::Error;

/// How a sheet is written, for telling what would be right.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Form {
    /// The whole file: `a bench sheet`.
    pub whole: &'static str,
    /// What stands in round brackets in it: `each fitting of a bench sheet`, or the whole file itself.
    pub bracketed: &'static str,
    /// A whole file, short and right.
    pub example: &'static str,
}

impl Form {
    /// What is wrong and what would be right, with the example; lower case, no final dot. Where the reader has no better
    /// word for it, its own stands in brackets.
    pub fn torn(&self, error: &Error) -> String {
        let says = match error {
            Error::ExpectedArray => format!("{} is a list in square brackets", self.whole),
            Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) => format!(
                "{} stands in round brackets, with a name before each value",
                self.bracketed
            ),
            Error::ExpectedMap => "this stands in braces, a name and a value in each pair".into(),
            Error::ExpectedMapColon => "no colon between a name and its value".into(),
            Error::ExpectedComma => "no comma where one thing ends and the next begins, a bracket that is not closed, or a \
                                     value without quotation marks"
                .into(),
            Error::ExpectedString => "a value without quotation marks round it".into(),
            Error::ExpectedStringEnd => "a quotation mark that is not closed".into(),
            Error::InvalidEscape(_) => "a backslash in a text; write it without".into(),
            Error::UnclosedBlockComment => "a comment that begins with /* and does not end".into(),
            Error::TrailingCharacters => "something after the last bracket".into(),
            Error::Eof
            | Error::ExpectedArrayEnd
            | Error::ExpectedMapEnd
            | Error::ExpectedStructLikeEnd => "it ends before its last bracket is closed".into(),
            Error::NoSuchStructField {
                expected, found, ..
            } => format!("{found:?} is no name here; the names are {}", expected.join(", ")),
            Error::MissingStructField { field, .. } => format!("{field} is missing"),
            Error::DuplicateStructField { field, .. } => format!("{field} stands here twice; keep one"),
            other => format!("this cannot be read ({})", lower_first(&other.to_string())),
        };
        format!("{says}; write it like {}", self.example)
    }
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars
        .next()
        .map(|c| c.to_lowercase().collect::<String>())
        .unwrap_or_default();
    first + chars.as_str().trim_end_matches('.')
}
