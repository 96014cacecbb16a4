//! The tables of `assets/codes/`, read once into rows. Nothing here knows an amendment.
//!
//! The tables are part of the program, so a cell that cannot be read is our bug; the tests read every one.

use std::sync::LazyLock;

use serde::{Deserialize, de::DeserializeOwned};

use crate::{
    code::{Body, How, Tier},
    fittings_allowed::{Limit, Pattern, Turn},
    fixtures::{Group, Load},
    row::{Cite, Key, Row},
    rule_list::RuleId,
    value::{Unit, Value},
};

/// The columns every table has.
macro_rules! cite {
    ($rule:expr, $line:expr, $fact:expr) => {
        Cite {
            rule: $rule,
            body: Body::parse(&$line.code).expect("an embedded row names whose it is"),
            edition: &$line.edition,
            section: &$line.section,
            fact: $fact,
            note: &$line.note,
            source: &$line.source,
            how: how(&$line.how),
            tier: Tier::parse(&$line.tier),
            amended: None,
        }
    };
}
/// What a row is in its table.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Part {
    /// The profile's figure.
    Governs,
    /// A second witness, an older edition or another figure, told beside it.
    Also,
    /// One town's figure, as an example of what towns do.
    LocalExample,
}

/// A row with its part.
pub(crate) struct Entry {
    pub(crate) row: Row,
    pub(crate) part: Part,
}

/// Every row of every code table, in file order.
pub(crate) fn entries() -> &'static [Entry] {
    static ENTRIES: LazyLock<Vec<Entry>> = LazyLock::new(|| {
        let mut all: Vec<Entry> = RULES.iter().map(rule_entry).collect();
        all.extend(FIXTURES.iter().flat_map(fixture_entries));
        all.extend(DRAINS.iter().map(drain_entry));
        all.extend(ARMS.iter().map(arm_entry));
        all.extend(WET.iter().map(wet_entry));
        all.extend(TURNS.iter().map(turn_entry));
        all
    });
    &ENTRIES
}

/// Reads an embedded table. Its text is part of the program.
pub(crate) fn read<T: DeserializeOwned>(text: &str) -> Vec<T> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .deserialize()
        .map(|line| line.expect("an embedded table has all its columns"))
        .collect()
}

macro_rules! table {
    ($name:ident, $row:ident, $file:literal) => {
        static $name: LazyLock<Vec<$row>> =
            LazyLock::new(|| read(include_str!(concat!("../../../assets/codes/", $file))));
    };
}

table!(RULES, RuleLine, "rules.csv");
table!(FIXTURES, FixtureLine, "fixtures.csv");
table!(DRAINS, DrainLine, "drain_capacity.csv");
table!(ARMS, ArmLine, "trap_arm.csv");
table!(WET, WetLine, "wet_vent.csv");
table!(TURNS, TurnLine, "change_of_direction.csv");

#[derive(Deserialize)]
struct RuleLine {
    rule: String,
    code: String,
    r#use: String,
    from_in: Option<f64>,
    to_in: Option<f64>,
    value: String,
    unit: String,
    edition: String,
    section: String,
    fact: String,
    note: String,
    tier: String,
    source: String,
    how: String,
}

#[derive(Deserialize)]
struct FixtureLine {
    load: String,
    kind: String,
    code: String,
    r#use: String,
    dfu: String,
    trap_in: String,
    edition: String,
    section: String,
    fact: String,
    note: String,
    tier: String,
    source: String,
    how: String,
    trap_how: String,
    trap_tier: String,
    trap_source: String,
}

#[derive(Deserialize)]
struct DrainLine {
    code: String,
    r#use: String,
    drain: String,
    size_in: f64,
    grade_in_per_ft: Option<f64>,
    dfu: String,
    edition: String,
    section: String,
    note: String,
    tier: String,
    source: String,
    how: String,
}

#[derive(Deserialize)]
struct ArmLine {
    code: String,
    size_in: Option<f64>,
    length_ft: String,
    edition: String,
    section: String,
    note: String,
    tier: String,
    source: String,
    how: String,
}

#[derive(Deserialize)]
struct WetLine {
    code: String,
    r#use: String,
    size_in: f64,
    dfu: String,
    edition: String,
    section: String,
    note: String,
    tier: String,
    source: String,
    how: String,
}

#[derive(Deserialize)]
struct TurnLine {
    pattern: String,
    turn: String,
    code: String,
    r#use: String,
    answer: String,
    limit: String,
    edition: String,
    section: String,
    note: String,
    tier: String,
    source: String,
    how: String,
}

fn rule_entry(line: &'static RuleLine) -> Entry {
    let rule = RuleId::parse(&line.rule).expect("an embedded rule is in the list");
    let key = match (line.from_in, line.to_in) {
        (None, None) if rule.keyed() == crate::Keyed::Plain => Key::Whole,
        (from, to) => Key::Sizes(from, to),
    };
    let unit = Unit::parse(&line.unit).expect("an embedded unit is known");
    let cite = cite!(rule, line, &line.fact);
    Entry {
        row: Row {
            key,
            value: Value::from_cell(&line.value),
            unit,
            cite,
        },
        part: part(&line.r#use),
    }
}

fn fixture_entries(line: &'static FixtureLine) -> Vec<Entry> {
    if line.kind == "group" {
        let key = Key::Group(Group::parse(&line.load).expect("an embedded group is known"));
        return vec![load_entry(line, RuleId::GroupLoad, key)];
    }
    // The public closet stands in the table as a second witness; no house has one.
    let Some(load) = Load::parse(&line.load) else {
        return Vec::new();
    };
    let mut entries = vec![load_entry(line, RuleId::FixtureLoad, Key::Load(load))];
    if !line.trap_in.is_empty() {
        entries.push(trap_entry(line, Key::Load(load)));
    }
    entries
}

fn load_entry(line: &'static FixtureLine, rule: RuleId, key: Key) -> Entry {
    let cite = cite!(rule, line, &line.fact);
    Entry {
        row: Row {
            key,
            value: Value::from_cell(&line.dfu),
            unit: Unit::Dfu,
            cite,
        },
        part: part(&line.r#use),
    }
}

/// The trap's size may have been seen elsewhere than the load, or not at all.
fn trap_entry(line: &'static FixtureLine, key: Key) -> Entry {
    let mut cite = cite!(RuleId::TrapSize, line, &line.fact);
    (cite.how, cite.tier, cite.source) = (
        how(&line.trap_how),
        Tier::parse(&line.trap_tier),
        &line.trap_source,
    );
    Entry {
        row: Row {
            key,
            value: Value::from_cell(&line.trap_in),
            unit: Unit::In,
            cite,
        },
        part: part(&line.r#use),
    }
}

fn drain_entry(line: &'static DrainLine) -> Entry {
    let (rule, fact) = match line.drain.as_str() {
        "building-drain" => (
            RuleId::DrainCapacity,
            "most fixture units on a building drain or a branch of it",
        ),
        "horizontal-branch" => (
            RuleId::BranchCapacity,
            "most fixture units on a horizontal branch of a stack",
        ),
        _ => (RuleId::StackCapacity, "most fixture units on a stack"),
    };
    let key = line
        .grade_in_per_ft
        .map_or(Key::Size(line.size_in), |grade| {
            Key::SizeAt(line.size_in, grade)
        });
    let cite = cite!(rule, line, fact);
    Entry {
        row: Row {
            key,
            value: Value::from_cell(&line.dfu),
            unit: Unit::Dfu,
            cite,
        },
        part: part(&line.r#use),
    }
}

fn arm_entry(line: &'static ArmLine) -> Entry {
    let value = Value::from_cell(&line.length_ft);
    let (rule, key, fact) = match line.size_in {
        Some(size) => (
            RuleId::TrapArmLength,
            Key::Size(size),
            "longest trap arm from weir to vent",
        ),
        None => (
            RuleId::TrapArmCloset,
            Key::Whole,
            if value == Value::NoLimit {
                "no limit to the drain between a closet and its vent"
            } else {
                "longest drain between a closet and its vent"
            },
        ),
    };
    let cite = cite!(rule, line, fact);
    Entry {
        row: Row {
            key,
            value,
            unit: Unit::Ft,
            cite,
        },
        part: Part::Governs,
    }
}

fn wet_entry(line: &'static WetLine) -> Entry {
    let cite = cite!(
        RuleId::WetVentCapacity,
        line,
        "most fixture units discharging into this part of a wet vent"
    );
    let (key, value) = (Key::Size(line.size_in), Value::from_cell(&line.dfu));
    Entry {
        row: Row {
            key,
            value,
            unit: Unit::Dfu,
            cite,
        },
        part: part(&line.r#use),
    }
}

fn turn_entry(line: &'static TurnLine) -> Entry {
    let pattern = Pattern::parse(&line.pattern).expect("an embedded pattern is known");
    let turn = Turn::parse(&line.turn).expect("an embedded turn is known");
    let value = match line.answer.as_str() {
        "limited" => Value::Limited(Limit::parse(&line.limit).expect("an embedded limit is known")),
        answer => Value::from_cell(if answer == "yes" { "yes" } else { "no" }),
    };
    let cite = cite!(
        RuleId::ChangeOfDirection,
        line,
        "which fitting may make which turn"
    );
    Entry {
        row: Row {
            key: Key::Turn(pattern, turn),
            value,
            unit: Unit::None,
            cite,
        },
        part: part(&line.r#use),
    }
}

fn how(cell: &str) -> How {
    How::parse(cell).expect("an embedded row says how it is known")
}

fn part(cell: &str) -> Part {
    match cell {
        "governs" => Part::Governs,
        "local-example" => Part::LocalExample,
        _ => Part::Also,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_reads() {
        assert!(entries().len() > 500, "{}", entries().len());
        for entry in entries() {
            assert!(!entry.row.cite.source.is_empty(), "{:?}", entry.row);
        }
    }
}
