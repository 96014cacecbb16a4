//! Rust text made safe to search: comments, literals and test items blanked out, lines kept. A scanner, not a parser;
//! what it can be fooled by (macros that build names) nobody writes by accident.

/// `text` with every comment and every string or character literal turned into blanks. Same lines.
pub(super) fn code_only(text: &str) -> String {
    let mut code = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(next) = rest.chars().next() {
        let in_word = code.ends_with(is_word);
        let n_bytes = if in_word {
            0
        } else {
            comment(rest).max(literal(rest))
        };
        if n_bytes == 0 {
            code.push(next);
            rest = &rest[next.len_utf8()..];
        } else {
            code.push_str(&blanks(&rest[..n_bytes]));
            rest = &rest[n_bytes..];
        }
    }
    code
}

/// `code`, already without comments and literals, with each item under `#[cfg(test)]` blanked. Same lines.
pub(super) fn without_tests(code: &str) -> String {
    let mut kept = code.to_owned();
    for (start, end) in test_items(code) {
        kept.replace_range(start..end, &blanks(&code[start..end]));
    }
    kept
}

/// Names of the modules that `code` declares under `#[cfg(test)]` and that stand in a file of their own.
pub(super) fn test_modules(code: &str) -> Vec<String> {
    let items = test_items(code)
        .into_iter()
        .map(|(start, end)| words(&code[start..end]));
    let names = items.filter_map(|words| {
        let at = words.iter().position(|word| word.text == "mod")?;
        let name = words.get(at + 1)?.text;
        (words.get(at + 2)?.text == ";").then(|| name.to_owned())
    });
    names.collect()
}

/// A word of code: an identifier or number, `::`, or one other character that is not blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Word<'a> {
    pub(super) text: &'a str,
    /// From 1.
    pub(super) line: usize,
}

/// The words of `code` in order.
pub(super) fn words(code: &str) -> Vec<Word<'_>> {
    let mut words = Vec::new();
    for (idx, text) in code.lines().enumerate() {
        let mut rest = text.trim_start();
        while let Some(next) = rest.chars().next() {
            let n_bytes = match next {
                next if is_word(next) => rest.find(|c| !is_word(c)).unwrap_or(rest.len()),
                ':' if rest.starts_with("::") => 2,
                next => next.len_utf8(),
            };
            words.push(Word {
                text: &rest[..n_bytes],
                line: idx + 1,
            });
            rest = rest[n_bytes..].trim_start();
        }
    }
    words
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

fn blanks(text: &str) -> String {
    text.chars()
        .map(|c| if c == '\n' { '\n' } else { ' ' })
        .collect()
}

/// Length in bytes of the comment at the start of `text`; 0 when there is none.
fn comment(text: &str) -> usize {
    if text.starts_with("//") {
        return text.find('\n').unwrap_or(text.len());
    }
    if !text.starts_with("/*") {
        return 0;
    }
    let mut depth = 0_usize;
    let mut at = 0;
    while at < text.len() {
        if text[at..].starts_with("/*") {
            depth += 1;
            at += 2;
        } else if text[at..].starts_with("*/") {
            depth -= 1;
            at += 2;
            if depth == 0 {
                return at;
            }
        } else {
            at += text[at..].chars().next().map_or(1, char::len_utf8);
        }
    }
    text.len()
}

/// Length in bytes of the literal at the start of `text`, prefix and hashes too; 0 when there is none.
fn literal(text: &str) -> usize {
    let body = text.strip_prefix(['b', 'c']).unwrap_or(text);
    let prefix = text.len() - body.len();
    let hashed = body
        .strip_prefix('r')
        .map(|raw| (raw, raw.len() - raw.trim_start_matches('#').len()));
    if let Some((raw, n_hashes)) = hashed
        && raw[n_hashes..].starts_with('"')
    {
        let close = format!("\"{}", "#".repeat(n_hashes));
        let start = n_hashes + 1;
        return prefix
            + 1
            + raw[start..]
                .find(&close)
                .map_or(raw.len(), |end| start + end + close.len());
    }
    match body.chars().next() {
        Some('"') => prefix + closed(body, '"'),
        Some('\'') if is_char(body) => prefix + closed(body, '\''),
        _ => 0,
    }
}

/// A quote that opens a character and not a lifetime or a label.
fn is_char(text: &str) -> bool {
    let mut after = text.chars().skip(1);
    matches!(
        (after.next(), after.next()),
        (Some('\\'), _) | (Some(_), Some('\''))
    )
}

/// Bytes up to and with the closing `quote`; the first character opens, a backslash takes the next one along.
fn closed(text: &str, quote: char) -> usize {
    let mut escaped = false;
    for (at, c) in text.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            c if c == quote => return at + 1,
            _ => {}
        }
    }
    text.len()
}

/// Byte ranges of the items under a `cfg` that asks for `test`, attribute included.
fn test_items(code: &str) -> Vec<(usize, usize)> {
    const OPEN: &str = "#[cfg(";
    let mut items = Vec::new();
    let mut at = 0;
    while let Some(found) = code[at..].find(OPEN) {
        let start = at + found;
        let after = start + bracketed(&code[start + 1..]) + 1;
        at = after;
        let asks = words(&code[start..after]);
        if asks.iter().any(|word| word.text == "test") && asks.iter().all(|word| word.text != "not")
        {
            at = after + item(&code[after..]);
            items.push((start, at));
        }
    }
    items
}

/// Bytes of the bracketed text that `text` starts with.
fn bracketed(text: &str) -> usize {
    let mut depth = 0_i32;
    for (at, c) in text.char_indices() {
        match c {
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return at + 1;
        }
    }
    text.len()
}

/// Bytes up to the end of the item that `text` starts with: a `;` outside brackets, or the close of the first `{`.
fn item(text: &str) -> usize {
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        match c {
            ';' => return at + 1,
            '{' => return at + bracketed(&text[at..]),
            '(' | '[' => at += bracketed(&text[at..]),
            c => at += c.len_utf8(),
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(code: &str) -> Vec<&str> {
        words(code).into_iter().map(|word| word.text).collect()
    }

    #[test]
    fn comments_and_literals_are_blank_and_lines_stay() {
        let text = "a // std::fs\n/* b /* c */ d */ e\n\"f \\\" g\n h\" i";
        let code = code_only(text);
        assert_eq!(texts(&code), ["a", "e", "i"]);
        assert_eq!(code.lines().count(), text.lines().count());
    }

    #[test]
    fn raw_strings_end_at_their_own_hashes() {
        assert_eq!(
            texts(&code_only(r###"a r#"b " c"# d br"e" f r##"x"# y"## g"###)),
            ["a", "d", "f", "g"]
        );
    }

    #[test]
    fn lifetimes_are_code_and_characters_are_not() {
        assert_eq!(
            texts(&code_only(
                r"fn f<'a>(c: &'a str) { '{' '\'' '\u{7d}' b'}' }"
            ))
            .concat(),
            "fnf<'a>(c:&'astr){}"
        );
    }

    #[test]
    fn a_name_that_ends_like_a_prefix_is_code() {
        assert_eq!(
            texts(&code_only("attr r#type user")),
            ["attr", "r", "#", "type", "user"]
        );
    }

    #[test]
    fn test_items_are_blank_and_others_stay() {
        let code = "#[cfg(test)]\n#[path = x]\nmod tests { fn a() { b } }\nfn c() {}\n#[cfg(test)] use d::{e};\n#[cfg(not(test))] fn f() {}";
        let kept = without_tests(code);
        assert_eq!(kept.lines().count(), code.lines().count());
        let kept = texts(&kept);
        assert!(
            ["c", "f"].iter().all(|name| kept.contains(name)),
            "{kept:?}"
        );
        assert!(
            ["a", "b", "d", "e"].iter().all(|name| !kept.contains(name)),
            "{kept:?}"
        );
    }

    #[test]
    fn test_modules_in_files_are_named() {
        assert_eq!(
            test_modules(
                "#[cfg(test)]\npub(crate) mod laws;\n#[cfg(test)] mod tests { } mod real;"
            ),
            ["laws"]
        );
    }

    #[test]
    fn words_know_their_line() {
        assert_eq!(
            words("a\n\n b::c")
                .last()
                .map(|word| (word.text, word.line)),
            Some(("c", 3))
        );
    }

    #[test]
    fn a_torn_file_ends_where_it_ends() {
        for text in [
            "\"a",
            "/* a",
            "r#\"a",
            "'\\",
            "#[cfg(test)] mod a {",
            "#[cfg(test",
            "é'é'é\"é",
        ] {
            let code = without_tests(&code_only(text));
            assert_eq!(code.lines().count(), text.lines().count());
        }
    }
}
