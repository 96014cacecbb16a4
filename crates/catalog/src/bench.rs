//! The bench sheet: what the bought fittings measure, in one RON file beside the layout.
//!
//! ```
//! let text = r#"[
//!     (fitting: "3x3x2 wye", end: "branch", takes_off: "4 3/8 in"),
//!     (fitting: "3 in short quarter bend", end: "both", to_face: "4 9/16 in"),
//!     (fitting: "4 in street eighth bend", end: "spigot", takes_off: "3 15/16 in", doubt: "1/16 in"),
//!     (fitting: "2 in sanitary tee", pitch: "1/4 in/ft"),
//! ]"#;
//! let (sheet, problems) = catalog::parse(text);
//! assert!(problems.is_empty());
//! assert_eq!(sheet.entries.len(), 4);
//! ```
//!
//! `takes_off` is from the crossing of the axes to the stop of a hub or the tip of a spigot; `to_face` is to the mouth
//! of the hub, where a tape reaches. Either will do; both must agree. What does not belong here: what a measure does to
//! the catalogue.

use crate::{EndName, Form, Part};
use ron::value::RawValue;
use serde::Deserialize;
use std::fmt;
use units::{Grade, Length};

/// How far a measure on the bench may be off when nothing else is said, inches.
pub const BENCH_DOUBT: f64 = 1.0 / 32.0;

/// More entries than this are refused: several times what a large house has pieces.
pub const MOST_ENTRIES: usize = 20_000;

/// How a bench sheet is written.
const FORM: Form = Form {
    whole: "a bench sheet",
    bracketed: "each fitting of a bench sheet",
    example: r#"[(fitting: "3x3x2 wye", end: "branch", takes_off: "4 3/8 in")]"#,
};

/// Something wrong on the bench sheet.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Problem {
    /// Line in the bench sheet, from 1.
    pub line: usize,
    /// The fitting as written, if that far was read.
    pub item: String,
    /// What is wrong and what would be right.
    pub says: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.item.is_empty() {
            write!(f, "line {}: {}", self.line, self.says)
        } else {
            write!(f, "line {}: {}: {}", self.line, self.item, self.says)
        }
    }
}

/// Which ends an entry tells of.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Ends {
    /// The end of that name.
    Named(EndName),
    /// Every end that is a hub.
    Hubs,
    /// The end that is a spigot.
    Spigot,
    /// Every end.
    All,
}

/// One line of the bench sheet.
#[derive(Clone, PartialEq, Debug)]
pub struct Entry {
    /// Line in the file, from 1.
    pub line: usize,
    /// The fitting measured.
    pub part: Part,
    /// Which ends.
    pub ends: Ends,
    /// Origin to stop or tip, inches.
    pub takes_off: Option<f64>,
    /// Origin to the mouth of the hub, inches.
    pub to_face: Option<f64>,
    /// Pitch of the branch or inlet, inches per foot.
    pub pitch: Option<f64>,
    /// How far the measure may be off, inches.
    pub doubt: f64,
}

/// What was measured, in the order of the file. The empty sheet changes nothing.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct BenchSheet {
    /// The lines that could be read.
    pub entries: Vec<Entry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    fitting: String,
    #[serde(default)]
    end: Option<String>,
    #[serde(default)]
    takes_off: Option<String>,
    #[serde(default)]
    to_face: Option<String>,
    #[serde(default)]
    pitch: Option<String>,
    #[serde(default)]
    doubt: Option<String>,
}

/// Reads a bench sheet. Every line that can be read is kept; every one that cannot is told.
pub fn parse(text: &str) -> (BenchSheet, Vec<Problem>) {
    let (mut sheet, mut problems) = (BenchSheet::default(), Vec::new());
    if text.trim().is_empty() {
        return (sheet, problems);
    }
    let raw: Vec<&RawValue> = match options().from_str(text) {
        Ok(raw) => raw,
        Err(error) => return (sheet, vec![torn(&error)]),
    };
    if raw.len() > MOST_ENTRIES {
        let says = format!("{} entries; {MOST_ENTRIES} is the most", raw.len());
        return (
            sheet,
            vec![Problem {
                line: 1,
                item: String::new(),
                says,
            }],
        );
    }
    let mut lines = Lines {
        text,
        at: 0,
        line: 1,
    };
    for one in raw {
        let line = lines.of(one.get_ron());
        match entry(one, line) {
            Ok(entry) => sheet.entries.push(entry),
            Err(problem) => problems.push(problem),
        }
    }
    (sheet, problems)
}

/// `Some(...)` need not be written around a value.
fn options() -> ron::Options {
    ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
}

fn torn(error: &ron::error::SpannedError) -> Problem {
    let says = format!("{}; nothing of this file was used", FORM.torn(&error.code));
    Problem {
        line: error.span.end.line,
        item: String::new(),
        says,
    }
}

/// Line numbers of slices of one text, asked for in order, so that a long sheet is read once.
struct Lines<'a> {
    text: &'a str,
    at: usize,
    line: usize,
}

impl Lines<'_> {
    /// The line on which the first thing in `part`, a slice of the text, stands.
    fn of(&mut self, part: &str) -> usize {
        let blank = lead(part);
        let start = (part.as_ptr() as usize + blank).saturating_sub(self.text.as_ptr() as usize);
        let skipped = self.text.get(self.at..start).unwrap_or_default();
        self.line += skipped.matches('\n').count();
        self.at = self.at.max(start);
        self.line
    }
}

/// Bytes of blanks and comments before the first thing in `text`.
fn lead(text: &str) -> usize {
    let mut rest = text.trim_start();
    loop {
        let after = if rest.starts_with("//") {
            rest.find('\n').map(|end| end + 1)
        } else if rest.starts_with("/*") {
            rest.find("*/").map(|end| end + 2)
        } else {
            None
        };
        let Some(after) = after else {
            return text.len() - rest.len();
        };
        rest = rest[after..].trim_start();
    }
}

fn entry(raw: &RawValue, line: usize) -> Result<Entry, Problem> {
    let text = raw.get_ron();
    let text = &text[lead(text)..];
    let problem = |line, item: &str, says| Problem {
        line,
        item: item.into(),
        says,
    };
    let written: Written = options().from_str(text).map_err(|error| {
        let here = line + error.span.end.line.saturating_sub(1);
        problem(here, "", FORM.torn(&error.code))
    })?;
    read(&written, line).map_err(|says| problem(line, &written.fitting, says))
}

fn read(written: &Written, line: usize) -> Result<Entry, String> {
    let part = Part::parse(&written.fitting).map_err(|error| error.to_string())?;
    let doubt = length(written.doubt.as_deref(), "doubt")?;
    let pitch = written.pitch.as_deref().map(Grade::parse).transpose();
    let entry = Entry {
        line,
        part,
        ends: ends(written.end.as_deref())?,
        takes_off: length(written.takes_off.as_deref(), "takes_off")?,
        to_face: length(written.to_face.as_deref(), "to_face")?,
        pitch: pitch
            .map_err(|error| format!("pitch: {error}"))?
            .map(Grade::in_per_ft),
        doubt: doubt.unwrap_or(BENCH_DOUBT),
    };
    told_enough(&entry, written)?;
    Ok(entry)
}

fn told_enough(entry: &Entry, written: &Written) -> Result<(), String> {
    let measures = entry.takes_off.is_some() || entry.to_face.is_some();
    if !measures && entry.pitch.is_none() {
        return Err("nothing is measured; give takes_off, to_face or pitch".into());
    }
    if measures && written.end.is_none() {
        return Err("no end; write end: \"branch\", \"outlet\", \"inlet\" or \"both\"".into());
    }
    if entry.doubt < 0.0 {
        return Err(
            "doubt is negative; write how far the measure may be off, like \"1/16 in\"".into(),
        );
    }
    Ok(())
}

fn length(text: Option<&str>, field: &str) -> Result<Option<f64>, String> {
    let length = text.map(Length::parse).transpose();
    Ok(length
        .map_err(|error| format!("{field}: {error}"))?
        .map(Length::inches))
}

fn ends(word: Option<&str>) -> Result<Ends, String> {
    let Some(word) = word else {
        return Ok(Ends::All);
    };
    let ends = match word.trim().to_lowercase().as_str() {
        "outlet" | "down" | "lower" | "downstream" => Ends::Named(EndName::Outlet),
        "inlet" | "up" | "upper" | "upstream" => Ends::Named(EndName::Inlet),
        "branch" => Ends::Named(EndName::Branch),
        "other branch" => Ends::Named(EndName::OtherBranch),
        "heel" => Ends::Named(EndName::Heel),
        "hub" | "hubs" => Ends::Hubs,
        "spigot" | "street" => Ends::Spigot,
        "both" | "all" => Ends::All,
        _ => {
            return Err(format!(
                "{word:?} is no end; the ends are outlet, inlet, branch, other branch, heel, hub, spigot and both"
            ));
        }
    };
    Ok(ends)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn good_lines_are_kept_and_bad_ones_told_with_their_line() {
        let text = "[\n  (fitting: \"3 in 45\", end: \"hub\", takes_off: \"1 3/4 in\"),\n  // a note\n  /* and another */  \
                    (fitting: \"3 in elbo\", end: \"hub\", takes_off: \"1 in\"),\n  \
                    (fitting: \"3x2 wye\",\n   end: \"brunch\", takes_off: \"4 in\"),\n  \
                    (fitting: \"3x2 wye\", end: \"branch\", takes_off: \"4\"),\n  \
                    (fitting: \"3x2 wye\", end: \"branch\"),\n  \
                    (fitting: \"3x2 wye\",\n   ends: \"branch\"),\n]";
        let (sheet, problems) = parse(text);
        assert_eq!(sheet.entries.len(), 1);
        assert_eq!(
            (sheet.entries[0].line, sheet.entries[0].takes_off),
            (2, Some(1.75))
        );
        let lines: Vec<usize> = problems.iter().map(|p| p.line).collect();
        assert_eq!(lines, [4, 5, 7, 8, 10]);
        let says: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert!(says[0].contains("\"elbo\" is no fitting"), "{}", says[0]);
        assert!(says[1].contains("\"brunch\" is no end"), "{}", says[1]);
        assert!(says[2].contains("has no unit"), "{}", says[2]);
        assert!(says[3].contains("nothing is measured"), "{}", says[3]);
        assert!(says[4].contains("ends"), "{}", says[4]);
    }

    #[test]
    fn a_torn_file_is_one_problem_at_its_line() {
        let (sheet, problems) =
            parse("[\n(fitting: \"3 in 45\", end: \"hub\", takes_off: \"1 in\"),\n(fitting\n");
        assert!(sheet.entries.is_empty());
        assert_eq!(problems.len(), 1);
        assert!(
            problems[0].line >= 3 && problems[0].says.contains("nothing of this file was used"),
            "{problems:?}"
        );
    }

    #[test]
    fn what_cannot_be_read_is_told_with_what_would_be_right() {
        let right =
            r#"write it like [(fitting: "3x3x2 wye", end: "branch", takes_off: "4 3/8 in")]"#;
        // The example is right itself.
        assert_eq!(parse(FORM.example).1, []);
        let cases = [
            (
                "\n(fitting: \"3 in 45\")",
                2,
                "is a list in square brackets",
            ),
            (
                "[\n(foo: \"3 in 45\"),\n]",
                2,
                "\"foo\" is no name here; the names are fitting, end, takes_off, to_face, pitch, doubt",
            ),
            ("[\n\n(end: \"hub\")]", 3, "fitting is missing"),
            (
                "[(fitting: \"3 in 45\",\ntakes_off: 4)]",
                2,
                "without quotation marks",
            ),
            (
                "[(fitting: \"3 in 45\",\nend: \"hub\", end: \"hub\")]",
                2,
                "end stands here twice",
            ),
            ("[\"3 in 45\"]", 1, "stands in round brackets"),
            (
                "[(fitting: \"3 in 45\")\n(fitting: \"3 in 45\")]",
                2,
                "no comma",
            ),
            (
                "[(fitting: \"3 in 45)]",
                1,
                "quotation mark that is not closed",
            ),
            ("[]\nx", 2, "after the last bracket"),
        ];
        for (text, line, says) in cases {
            let (_, problems) = parse(text);
            assert_eq!(problems.len(), 1, "{text}: {problems:?}");
            let told = problems[0].to_string();
            assert!(
                told.starts_with(&format!("line {line}: ")),
                "{text}: {told}"
            );
            assert!(
                told.contains(says) && told.contains(right),
                "{text}: {told}"
            );
            assert!(
                !told.contains("Written") && !told.contains("expected"),
                "{told}"
            );
        }
    }

    #[test]
    fn an_empty_sheet_is_no_mistake() {
        assert_eq!(parse("  \n"), (BenchSheet::default(), vec![]));
        assert_eq!(parse("[]"), (BenchSheet::default(), vec![]));
    }

    #[test]
    fn bare_numbers_are_refused() {
        let (_, problems) = parse("[(fitting: \"3 in 45\", end: \"hub\", takes_off: 1.75)]");
        assert_eq!(problems.len(), 1, "{problems:?}");
    }

    #[test]
    fn no_text_panics() {
        let good = "[(fitting: \"3×2 wye\", end: \"branch\", takes_off: \"4 3/8 in\"), /* ü */ // é\n(fitting: \"2\")]";
        for (end, _) in good.char_indices() {
            let (sheet, problems) = parse(&good[..end]);
            assert!(end == 0 || !problems.is_empty(), "{end} {sheet:?}");
            parse(&good[end..]);
        }
        for nested in ["[", "[(", "(fitting:", "/*", "[{"] {
            assert!(!parse(&nested.repeat(50_000)).1.is_empty(), "{nested}");
        }
    }
}
