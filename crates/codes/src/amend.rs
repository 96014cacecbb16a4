//! Local amendments: what a town changes, read from a small file and laid over a profile.
//!
//! ```ron
//! [
//!     (rule: "grade-least", of: "3 in", value: "1/4 in/ft", said_by: "county checklist"),
//!     (rule: "frost-depth", value: "42 in", said_by: "building department, by telephone"),
//!     (rule: "wall-crossing", value: "sleeve or core", said_by: "inspector"),
//! ]
//! ```

use std::{collections::BTreeMap, fmt, sync::Arc};

use serde::Deserialize;
use units::Size;

use crate::{
    code::How,
    near::near,
    row::{Amended, Key, Row},
    rule_list::{Keyed, RuleId, Takes},
    value::{self, Unit},
};

/// One change, as written. Nothing in it has been looked up yet.
#[derive(Clone, PartialEq, Eq, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Amendment {
    /// The rule's id.
    pub rule: String,
    /// Which row, for a rule that has several: `"3 in"`, `"3 in at 1/4"`, `"washer"`, `"sanitary-tee h-to-h"`. A rule by
    /// pipe size may leave it out to change every size.
    #[serde(default, deserialize_with = "present")]
    pub of: Option<String>,
    /// What holds here, with or without its unit: `"1/4 in/ft"`, `"42"`, `"18 to 30 in"`, `"yes"`, `"none"`.
    pub value: String,
    /// Who said so; findings name them.
    pub said_by: String,
}

/// `of: "3 in"` rather than `of: Some("3 in")`.
fn present<'de, D: serde::Deserializer<'de>>(text: D) -> Result<Option<String>, D::Error> {
    String::deserialize(text).map(Some)
}

/// Something wrong with an amendment or its file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Problem {
    /// The amendment's place in the list, from 0. `None`: the file itself cannot be read.
    pub index: Option<usize>,
    /// What is wrong, with which rule, and what would be right.
    pub says: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.says)
    }
}

impl std::error::Error for Problem {}

/// Reads a file of amendments: a RON list. `name` is the file's name, for the message.
///
/// # Errors
/// When the text is not such a list; the message has line and column.
pub fn parse(text: &str, name: &str) -> Result<Vec<Amendment>, Problem> {
    ron::from_str(text).map_err(|error| Problem {
        index: None,
        says: format!(
            "{name}:{}: {} in a list of local amendments; nothing of it was read",
            error.span.start, error.code
        ),
    })
}

/// Lays `amendments` over `rows`, in their order, and tells what could not be.
pub(crate) fn apply(
    rows: &mut BTreeMap<RuleId, Vec<Row>>,
    amendments: &[Amendment],
) -> Vec<Problem> {
    let tell = |(index, amendment)| {
        let says = apply_one(rows, amendment).err()?;
        Some(Problem {
            index: Some(index),
            says,
        })
    };
    amendments.iter().enumerate().filter_map(tell).collect()
}

fn apply_one(rows: &mut BTreeMap<RuleId, Vec<Row>>, amendment: &Amendment) -> Result<(), String> {
    let rule = RuleId::parse(&amendment.rule).ok_or_else(|| unknown_rule(&amendment.rule))?;
    let table = rows.entry(rule).or_default();
    if amendment.said_by.trim().is_empty() {
        return Err(format!(
            "rule {rule:?} is amended but `said_by` is empty; say who said so",
            rule = rule.id()
        ));
    }
    match (rule.keyed(), amendment.of.as_deref()) {
        (Keyed::Plain, None) => amend_where(table, rule, amendment, |_| true),
        (Keyed::Plain, Some(of)) => Err(format!(
            "rule \"{rule}\" has one value; take out `of: {of:?}`"
        )),
        (Keyed::BySize, None) => amend_where(table, rule, amendment, |_| true),
        (Keyed::BySize, Some(of)) => amend_size(table, rule, amendment, of),
        (Keyed::Table, Some(of)) => amend_named(table, rule, amendment, of),
        (Keyed::Table, None) => Err(format!(
            "rule \"{rule}\" is a table; say which row, as `of: {:?}`",
            first_key(table)
        )),
    }
}

fn unknown_rule(id: &str) -> String {
    match RuleId::near(id).as_slice() {
        [] => format!("{id:?} is no rule; the list of rules has every id"),
        near => format!("{id:?} is no rule; did you mean {}", near.join(", ")),
    }
}

fn amend_where(
    table: &mut [Row],
    rule: RuleId,
    amendment: &Amendment,
    wanted: impl Fn(&Key) -> bool,
) -> Result<(), String> {
    let changed: Result<Vec<Row>, String> = table
        .iter()
        .map(|row| {
            if wanted(&row.key) {
                changed(row, rule, amendment)
            } else {
                Ok(row.clone())
            }
        })
        .collect();
    table.clone_from_slice(&changed?);
    Ok(())
}

/// One size out of a band gets a row of its own, before the band's.
fn amend_size(
    table: &mut Vec<Row>,
    rule: RuleId,
    amendment: &Amendment,
    of: &str,
) -> Result<(), String> {
    let size = Size::parse(of)
        .map_err(|error| format!("rule \"{rule}\": {error}"))?
        .nominal();
    let at = table.iter().position(|row| row.key.takes_size(size));
    let at = at.ok_or_else(|| {
        format!(
            "rule \"{rule}\" has no row for {of}; it has {}",
            keys(table)
        )
    })?;
    let one_size = Key::Sizes(Some(size), Some(size));
    let row = Row {
        key: one_size,
        ..changed(&table[at], rule, amendment)?
    };
    if table[at].key == one_size {
        table[at] = row;
    } else {
        table.insert(at, row);
    }
    Ok(())
}

fn amend_named(
    table: &mut [Row],
    rule: RuleId,
    amendment: &Amendment,
    of: &str,
) -> Result<(), String> {
    let wanted = written(of);
    if !table
        .iter()
        .any(|row| written(&row.key.to_string()) == wanted)
    {
        return Err(no_such_row(table, rule, of));
    }
    amend_where(table, rule, amendment, |key| {
        written(&key.to_string()) == wanted
    })
}

/// A key without what people write differently: spaces doubled, `in/ft` after a grade, `1 1/2` for `1-1/2`.
fn written(key: &str) -> String {
    let bare = key.trim().trim_end_matches("in/ft").trim();
    bare.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace("1 1/", "1-1/")
}

fn no_such_row(table: &[Row], rule: RuleId, of: &str) -> String {
    let names: Vec<String> = table.iter().map(|row| row.key.to_string()).collect();
    match near(of, names.iter().map(String::as_str)).as_slice() {
        [] => format!(
            "rule \"{rule}\" has no row for {of:?}; it has {}",
            keys(table)
        ),
        near => format!(
            "rule \"{rule}\" has no row for {of:?}; did you mean {}",
            near.join(", ")
        ),
    }
}

fn keys(table: &[Row]) -> String {
    let names: Vec<String> = table.iter().map(|row| row.key.to_string()).collect();
    names.join(", ")
}

fn first_key(table: &[Row]) -> String {
    table
        .first()
        .map_or_else(String::new, |row| row.key.to_string())
}

fn changed(row: &Row, rule: RuleId, amendment: &Amendment) -> Result<Row, String> {
    let unit = unit_for(row, rule);
    let value = value::amended(&amendment.value, rule.takes(), unit)
        .map_err(|why| format!("rule \"{rule}\" {why}"))?;
    let published = match &row.cite.amended {
        // Amended twice: what is published stays what it was.
        Some(before) => (before.published.clone(), before.published_how),
        None => (row.says(), row.cite.how),
    };
    let amended = Amended {
        published: published.0,
        published_how: published.1,
        said_by: amendment.said_by.trim().into(),
    };
    let mut row = Row {
        value,
        unit,
        ..row.clone()
    };
    row.cite.how = How::Local;
    row.cite.amended = Some(Arc::new(amended));
    Ok(row)
}

/// A statement takes no unit.
fn unit_for(row: &Row, rule: RuleId) -> Unit {
    match rule.takes() {
        Takes::Number | Takes::Range => row.unit,
        Takes::YesNo | Takes::Words => Unit::None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Code, rules};

    fn one(rule: &str, of: Option<&str>, value: &str) -> Vec<Amendment> {
        vec![Amendment {
            rule: rule.into(),
            of: of.map(Into::into),
            value: value.into(),
            said_by: "county checklist".into(),
        }]
    }

    fn problem(rule: &str, of: Option<&str>, value: &str) -> String {
        let (changed, problems) = rules(Code::Ipc, &one(rule, of, value));
        assert!(
            changed.amended().is_empty(),
            "a refused amendment changes nothing"
        );
        assert_eq!(problems.len(), 1, "{problems:?}");
        problems[0].to_string()
    }

    #[test]
    fn a_steeper_grade_for_one_size_is_seen_in_the_row() {
        let (ipc, problems) = rules(Code::Ipc, &one("grade-least", Some("3 in"), "1/4 in/ft"));
        assert_eq!(problems, []);
        let three = ipc.least_grade(Size::In3).unwrap();
        assert!((three.value - 0.25).abs() < 1e-9);
        assert!(three.row.is_read());
        assert_eq!(
            three.row.cite.to_string(),
            "county checklist; published: 1/8 in/ft, IPC 704.1 (read)"
        );
        // The band's other sizes keep 1/8.
        assert!((ipc.least_grade(Size::In4).unwrap().value - 0.125).abs() < 1e-9);
        assert_eq!(ipc.amended().len(), 1);
    }

    #[test]
    fn amended_twice_the_last_holds_and_the_published_figure_stays() {
        let mut list = one("grade-least", Some("3 in"), "1/4");
        list.extend(one("grade-least", Some("3 in"), "3/8"));
        let (ipc, problems) = rules(Code::Ipc, &list);
        assert_eq!(problems, []);
        let three = ipc.least_grade(Size::In3).unwrap();
        assert!((three.value - 0.375).abs() < 1e-9);
        assert_eq!(
            three.row.cite.amended.as_ref().unwrap().published,
            "1/8 in/ft"
        );
        assert_eq!(ipc.amended().len(), 1);
    }

    #[test]
    fn a_rule_by_size_without_a_size_changes_every_band() {
        let (irc, problems) = rules(Code::Irc, &one("grade-least", None, "1/4"));
        assert_eq!(problems, []);
        assert!(
            Size::ALL
                .iter()
                .all(|size| irc.least_grade(*size).unwrap().value >= 0.25)
        );
        // A drain at 1/8 is now too flat, though the load table still has the column.
        let need = crate::Need {
            dfu: 3.0,
            grade_in_per_ft: 0.125,
            closets: 1,
            waste_fixtures: 0,
            sink: false,
            washer: false,
            washer_joins: false,
            buried: true,
        };
        assert_eq!(irc.bars(Size::In4, &need)[0].cite.rule, RuleId::GradeLeast);
        assert_eq!(irc.least_size(&need), None);
    }

    #[test]
    fn rows_of_tables_are_named() {
        let (ipc, problems) = rules(
            Code::Ipc,
            &one("drain-capacity", Some("3 in at 1/4 in/ft"), "35"),
        );
        assert_eq!(problems, []);
        assert_eq!(ipc.capacity(Size::In3, 0.25).unwrap().dfu, Some(35.0));
        assert_eq!(ipc.capacity(Size::In3, 0.125).unwrap().dfu, Some(36.0));
        let (upc, problems) = rules(Code::Upc, &one("fixture-load", Some("washer"), "2 dfu"));
        assert_eq!(problems, []);
        assert_eq!(upc.dfu(crate::Load::Washer).map(|f| f.value), Some(2.0));
    }

    #[test]
    fn local_figures_fill_what_the_code_leaves_open() {
        let (irc, problems) = rules(Code::Irc, &one("frost-depth", None, "3-1/2 ft"));
        assert_eq!(problems, []);
        assert_eq!(irc.number(RuleId::FrostDepth).map(|f| f.value), Some(42.0));
        let (irc, problems) = rules(Code::Irc, &one("wall-crossing", None, "sleeve or core"));
        assert_eq!(problems, []);
        assert_eq!(
            irc.row(RuleId::WallCrossing)
                .map(|row| row.value.to_string()),
            Some("sleeve or core".into())
        );
    }

    #[test]
    fn what_is_wrong_and_what_would_be_right() {
        assert_eq!(
            problem("grade-lest", None, "1/4"),
            "\"grade-lest\" is no rule; did you mean grade-least, grade-most"
        );
        assert_eq!(
            problem("test-head", None, "5 psi"),
            "rule \"test-head\" takes a figure in ft, as \"3 ft\", not \"5 psi\""
        );
        assert_eq!(
            problem("test-head", Some("3 in"), "5"),
            "rule \"test-head\" has one value; take out `of: \"3 in\"`"
        );
        assert!(problem("fixture-load", Some("wahser"), "2").ends_with("did you mean washer"));
        assert!(problem("fixture-load", None, "2").contains("say which row"));
        assert!(problem("grade-least", Some("5 in"), "1/4").contains("is not a pipe size"));
        assert!(problem("test-air-plastic", None, "perhaps").contains("yes or no"));
    }

    #[test]
    fn a_file_is_read_whole_or_not_at_all() {
        let text = r#"[(rule: "slope_min_3", value: "1/4", said_by: "county checklist"), (rule: "grade-least", of: "3 in", value: "1/4", said_by: "x")]"#;
        let list = parse(text, "town.ron").unwrap();
        assert_eq!(list.len(), 2);
        assert_eq!(list[1].of.as_deref(), Some("3 in"));
        let (_, problems) = rules(Code::Irc, &list);
        assert_eq!(
            problems.iter().map(|p| p.index).collect::<Vec<_>>(),
            [Some(0)]
        );
        let torn = parse("[\n (rule: \"grade-least\", valeu: \"1/4\")]", "town.ron")
            .unwrap_err()
            .to_string();
        assert!(
            torn.starts_with("town.ron:2:") && torn.contains("valeu"),
            "{torn}"
        );
    }

    #[test]
    fn nobody_said_so() {
        let mut list = one("test-head", None, "5 ft");
        list[0].said_by = " ".into();
        let (_, problems) = rules(Code::Ipc, &list);
        assert!(problems[0].says.contains("said_by"), "{problems:?}");
    }
}
