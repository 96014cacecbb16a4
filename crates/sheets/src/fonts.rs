//! The two faces every page is set in, and how wide their words are. They come with the program: no look-up on the
//! machine, so that a page is the same everywhere.

use std::sync::LazyLock;

use ttf_parser::GlyphId;

/// Regular or bold.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Face {
    /// Running text.
    Regular,
    /// Headings, and numbers that are looked for.
    Bold,
}

/// How far letters reach above the base line, parts of the size: enough for capitals and accents, less than the font's own
/// line, so that boxes are those of the ink.
pub(crate) const ASCENT: f64 = 0.78;
/// How far letters reach below the base line, parts of the size.
pub(crate) const DESCENT: f64 = 0.22;

pub(crate) static REGULAR: &[u8] = include_bytes!("../../../assets/fonts/DejaVuSansCondensed.ttf");
pub(crate) static BOLD: &[u8] =
    include_bytes!("../../../assets/fonts/DejaVuSansCondensed-Bold.ttf");

static FACES: LazyLock<[ttf_parser::Face<'static>; 2]> = LazyLock::new(|| {
    [REGULAR, BOLD]
        .map(|bytes| ttf_parser::Face::parse(bytes, 0).expect("the fonts in assets are whole"))
});

/// The parsed font.
pub(crate) fn font(face: Face) -> &'static ttf_parser::Face<'static> {
    match face {
        Face::Regular => &FACES[0],
        Face::Bold => &FACES[1],
    }
}

/// The glyph of a character; the font's empty box where it has none, so that a name in another script is seen to be there.
pub(crate) fn glyph(face: Face, character: char) -> GlyphId {
    let shown = if character.is_control() {
        ' '
    } else {
        character
    };
    font(face).glyph_index(shown).unwrap_or(GlyphId(0))
}

/// How far one character moves the pen, parts of the size.
pub(crate) fn advance(face: Face, character: char) -> f64 {
    let units = font(face).glyph_hor_advance(glyph(face, character));
    f64::from(units.unwrap_or(0)) / f64::from(font(face).units_per_em())
}

/// The width of some words on one line, points.
pub fn width(face: Face, size: f64, words: &str) -> f64 {
    size * words.chars().map(|c| advance(face, c)).sum::<f64>()
}

/// Words broken into lines no wider than `room`; a word wider than that is broken where it must be. At least one line.
pub(crate) fn wrap(face: Face, size: f64, words: &str, room: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in bound(words) {
        let line = lines.last_mut().expect("there is always a line");
        let joined = if line.is_empty() {
            word.clone()
        } else {
            format!("{line} {word}")
        };
        if width(face, size, &joined) <= room {
            *line = joined;
        } else if width(face, size, &word) <= room {
            lines.push(word);
        } else {
            break_word(face, size, &word, room, &mut lines);
        }
    }
    lines
}

/// The longest of the words that `wrap` keeps whole, points. Names longer than a dimension's figures may be broken, so they
/// count no further than that.
pub(crate) fn longest_word(face: Face, size: f64, words: &str) -> f64 {
    let most = width(face, size, "-100'-10 13/16\" E,");
    let each = bound(words).into_iter();
    each.map(|word| width(face, size, &word))
        .fold(0.0, f64::max)
        .min(most)
}

/// Words, with what must stay on one line as one: a whole number and its fraction (`10'-0 13/16"`), a distance and its side
/// of the compass (`10'-0" E`).
fn bound(words: &str) -> Vec<String> {
    let mut bound: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match bound.last_mut() {
            Some(last) if belongs(last, word) => {
                last.push(' ');
                last.push_str(word);
            }
            Some(_) | None => bound.push(word.to_owned()),
        }
    }
    bound
}

fn belongs(before: &str, word: &str) -> bool {
    let digit = |c: char| c.is_ascii_digit();
    let fraction = before.ends_with(digit) && word.starts_with(digit) && word.contains('/');
    let side = before.ends_with(['"', '\''])
        && matches!(
            word.trim_end_matches([',', ';', '.']),
            "E" | "N" | "W" | "S"
        );
    fraction || side
}

fn break_word(face: Face, size: f64, word: &str, room: f64, lines: &mut Vec<String>) {
    if lines.last().is_some_and(|line| !line.is_empty()) {
        lines.push(String::new());
    }
    for character in word.chars() {
        let line = lines.last_mut().expect("there is always a line");
        let wide = width(face, size, line) + size * advance(face, character);
        if wide > room && !line.is_empty() {
            lines.push(character.to_string());
        } else {
            line.push(character);
        }
    }
}

/// Words cut to fit, with three dots where something was left out.
pub(crate) fn cut(face: Face, size: f64, words: &str, room: f64) -> String {
    if width(face, size, words) <= room {
        return words.to_owned();
    }
    let mut kept = words.to_owned();
    while !kept.is_empty() && width(face, size, &kept) + width(face, size, "…") > room {
        kept.pop();
    }
    format!("{}…", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_marks_of_the_trade_are_in_both_faces() {
        for face in [Face::Regular, Face::Bold] {
            for mark in "½¼¾⅛⅜⅝⅞°′″\"'×±–—→↑↓●○□☐✓·…≥≤øØ".chars()
            {
                assert!(font(face).glyph_index(mark).is_some(), "{mark}");
            }
        }
    }

    #[test]
    fn a_fraction_stays_with_its_inches_and_a_side_with_its_distance() {
        let narrow = |words| wrap(Face::Regular, 10.0, words, 68.0);
        assert_eq!(
            narrow("F 10'-0 13/16\" (120 13/16\")"),
            ["F 10'-0 13/16\"", "(120 13/16\")"]
        );
        assert_eq!(
            narrow("10'-0\" E, 42'-10\" N"),
            ["10'-0\" E,", "42'-10\" N"]
        );
    }

    #[test]
    fn lines_fit_and_lose_nothing() {
        let long = "one two three fourteen-and-a-word-that-will-not-fit-in-any-line four";
        let lines = wrap(Face::Regular, 10.0, long, 60.0);
        assert!(
            lines
                .iter()
                .all(|line| width(Face::Regular, 10.0, line) <= 60.0)
        );
        let kept = |text: &str| {
            text.chars()
                .filter(|c| !c.is_whitespace())
                .collect::<String>()
        };
        assert_eq!(kept(&lines.concat()), kept(long));
    }

    #[test]
    fn a_long_name_is_cut_to_its_room() {
        let name = cut(Face::Bold, 9.0, &"w".repeat(200), 80.0);
        assert!(width(Face::Bold, 9.0, &name) <= 80.0 && name.ends_with('…'));
    }
}
