//! Documents made wrong on purpose.

/// A small generator, the same on every machine for the same seed.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    /// A number below `n`; 0 for `n` = 0.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 16).unwrap_or(0) % n.max(1)
    }
}

/// Lengths and words that have broken programs before, and those that are nearly right.
const ODD: [&str; 30] = [
    "\"0\"",
    "\"-0\"",
    "\"1e308 in\"",
    "\"-99999 in\"",
    "\"999999'\"",
    "\"1/16 in\"",
    "\"0.0000001 in\"",
    "\"NaN in\"",
    "\"12'-6 1/2\"",
    "\"3 in\"",
    "\"4 in\"",
    "\"1-1/2 in\"",
    "\"1/8\"",
    "\"0%\"",
    "\"400%\"",
    "unknown",
    "auto",
    "floor",
    "riser",
    "under",
    "either",
    "flat",
    "any",
    "true",
    "-1",
    "1e400",
    "()",
    "[]",
    "{}",
    "\"\\u{0}\u{1f6b0}\"",
];

/// One of the documents with a few changes.
pub(crate) fn changed(seeds: &[String], dice: &mut Dice) -> String {
    let seed = &seeds[dice.below(seeds.len())];
    let mut pieces: Vec<String> = pieces(seed);
    for _ in 0..=dice.below(6) {
        change(&mut pieces, seeds, dice);
    }
    pieces.concat()
}

fn change(pieces: &mut Vec<String>, seeds: &[String], dice: &mut Dice) {
    if pieces.is_empty() {
        return;
    }
    let at = dice.below(pieces.len());
    match dice.below(9) {
        0 => drop(pieces.remove(at)),
        1 => pieces.insert(at, pieces[at].clone()),
        2 => {
            let other = dice.below(pieces.len());
            pieces.swap(at, other);
        }
        3 | 4 => pieces[at] = ODD[dice.below(ODD.len())].into(),
        5 => {
            let other = self::pieces(&seeds[dice.below(seeds.len())]);
            let from = dice.below(other.len());
            let some: Vec<String> = other
                .into_iter()
                .skip(from)
                .take(1 + dice.below(20))
                .collect();
            pieces.splice(at..at, some);
        }
        6 => {
            let end = (at + dice.below(12)).min(pieces.len());
            pieces.drain(at..end);
        }
        7 => pieces[at] = digit_changed(&pieces[at], dice),
        _ => {
            // A text of the same document in another one's place: names that cross, lengths that trade places.
            let texts: Vec<usize> = (0..pieces.len())
                .filter(|i| pieces[*i].starts_with('"'))
                .collect();
            if !texts.is_empty() {
                let (to, from) = (
                    texts[dice.below(texts.len())],
                    texts[dice.below(texts.len())],
                );
                let text = pieces[from].clone();
                pieces[to] = text;
            }
        }
    }
}

fn digit_changed(piece: &str, dice: &mut Dice) -> String {
    let digits: Vec<usize> = piece
        .char_indices()
        .filter(|(_, c)| c.is_ascii_digit())
        .map(|(i, _)| i)
        .collect();
    let Some(&at) = digits.get(dice.below(digits.len())) else {
        return piece.into();
    };
    format!("{}{}{}", &piece[..at], dice.below(100), &piece[at + 1..])
}

/// A document as texts, words, marks and what stands between them.
fn pieces(text: &str) -> Vec<String> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let end = match first {
            '"' => rest[1..].find('"').map_or(rest.len(), |end| end + 2),
            '/' if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
            c if c.is_alphanumeric() || c == '_' => rest
                .find(|c: char| !c.is_alphanumeric() && c != '_')
                .unwrap_or(rest.len()),
            c => c.len_utf8(),
        };
        out.push(rest[..end].to_owned());
        rest = &rest[end..];
    }
    out
}
