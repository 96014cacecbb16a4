//! Every rule has an answer in every profile, with its source, or says that there is none.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use codes::{
    Amendment, Body, Code, Group, How, Keyed, Load, Pattern, Row, RuleId, Scope, Tier, Turn, Value,
    rules,
};

#[test]
fn every_rule_has_a_sourced_row_in_every_profile() {
    for code in Code::ALL {
        let (profile, problems) = rules(code, &[]);
        assert_eq!(problems, []);
        for rule in RuleId::ALL {
            let rows = profile.rows(*rule);
            assert!(
                !rows.is_empty(),
                "{code}: {rule} has no row, not even one that says so"
            );
            assert!(
                rule.keyed() != Keyed::Plain || rows.len() == 1,
                "{code}: {rule} has {} rows",
                rows.len()
            );
            for row in rows {
                sourced(code, *rule, row);
            }
        }
    }
}

fn sourced(code: Code, rule: RuleId, row: &Row) {
    let at = format!("{code} {rule} {}", row.key);
    assert_eq!(row.cite.rule, rule, "{at}");
    assert!(
        !row.cite.source.is_empty() && !row.cite.edition.is_empty() && !row.cite.fact.is_empty(),
        "{at}"
    );
    assert!(
        rule.scope() == Scope::Shared || row.cite.body == Body::Code(code),
        "{at}: {:?}",
        row.cite.body
    );
    let unseen = row.value == Value::Unseen;
    assert!(
        !(unseen && row.is_read()),
        "{at}: what nobody saw can't be read"
    );
    match row.cite.how {
        How::Read => assert!(
            !row.cite.source.contains("(recalled)"),
            "{at}: {}",
            row.cite.source
        ),
        How::Memory => assert!(
            unseen || row.cite.tier.is_none(),
            "{at}: memory has no tier"
        ),
        How::CommonPractice => assert_eq!(row.cite.source, "common practice, no source", "{at}"),
        How::Computed | How::Local => panic!("{at}: not in a published profile"),
    }
}

/// Whoever looks for a row finds it in the file that is told.
#[test]
fn a_rules_rows_stand_in_the_file_that_is_told() {
    let rules = include_str!("../../../assets/codes/rules.csv");
    for rule in RuleId::ALL {
        let there = rules
            .lines()
            .any(|line| line.split(',').next() == Some(rule.id()));
        assert_eq!(there, rule.file() == "rules.csv", "{rule}");
    }
}

/// Two rows of a profile never answer the same question.
#[test]
fn no_two_rows_answer_one_question() {
    for code in Code::ALL {
        let profile = rules(code, &[]).0;
        for rule in RuleId::ALL {
            let rows = profile.rows(*rule);
            for (idx, row) in rows.iter().enumerate() {
                assert!(
                    rows[idx + 1..].iter().all(|other| other.key != row.key),
                    "{code} {rule} {} twice",
                    row.key
                );
            }
        }
    }
}

#[test]
fn memory_rows_are_flagged_and_counted() {
    // As carried over: a row that moves between read and memory changes these on purpose.
    let count = |wanted: fn(&Row) -> bool| {
        Code::ALL.map(|code| {
            rules(code, &[])
                .0
                .all()
                .filter(|row| !row.is_read() && wanted(row))
                .count()
        })
    };
    assert_eq!(count(|row| row.value == Value::Unseen), UNSEEN);
    assert_eq!(
        count(|row| row.value != Value::Unseen && row.cite.how == How::Memory),
        RECALLED
    );
    assert_eq!(count(|row| row.cite.how == How::CommonPractice), PRACTICE);
}

/// Rows for which no text was seen, in the IRC, IPC and UPC profiles.
const UNSEEN: [usize; 3] = [13, 9, 20];
/// Rows that are recalled only.
const RECALLED: [usize; 3] = [97, 69, 37];
/// Rows that are trade practice.
const PRACTICE: [usize; 3] = [12, 12, 12];

#[test]
fn capacity_grows_with_size_and_fall() {
    for code in Code::ALL {
        let profile = rules(code, &[]).0;
        for grade in [0.125, 0.25, 0.5] {
            let carried: Vec<f64> = units::Size::ALL
                .into_iter()
                .filter_map(|size| profile.capacity(size, grade)?.dfu)
                .collect();
            assert!(
                carried.is_sorted() && !carried.is_empty(),
                "{code} at {grade}: {carried:?}"
            );
        }
        for size in units::Size::ALL {
            let steeper: Vec<f64> = [0.125, 0.25, 0.5]
                .into_iter()
                .filter_map(|g| profile.capacity(size, g)?.dfu)
                .collect();
            assert!(steeper.is_sorted(), "{code} {size}: {steeper:?}");
        }
    }
}

#[test]
fn every_name_reads_back() {
    for one in Load::ALL {
        assert_eq!(Load::parse(one.name()), Some(*one));
    }
    for one in Group::ALL {
        assert_eq!(Group::parse(one.name()), Some(*one));
    }
    for one in Pattern::ALL {
        assert_eq!(Pattern::parse(one.name()), Some(*one));
    }
    for one in Turn::ALL {
        assert_eq!(Turn::parse(one.name()), Some(*one));
    }
    for one in Code::ALL {
        assert_eq!(Code::parse(one.name()), Ok(one));
    }
}

/// Any row that prints a key can be named by that key in an amendment, and any figure it prints can be written back.
#[test]
fn what_a_row_prints_an_amendment_can_say() {
    for code in Code::ALL {
        let profile = rules(code, &[]).0;
        for row in profile
            .all()
            .filter(|row| row.cite.rule.keyed() != Keyed::BySize)
        {
            let Value::Number(figure) = row.value else {
                continue;
            };
            let amendment = Amendment {
                rule: row.cite.rule.id().into(),
                of: (row.cite.rule.keyed() == Keyed::Table).then(|| row.key.to_string()),
                value: row.says(),
                said_by: "the town".into(),
            };
            let (changed, problems) = rules(code, std::slice::from_ref(&amendment));
            assert_eq!(problems, [], "{amendment:?}");
            let [one] = changed.amended()[..] else {
                panic!("{amendment:?} changed {} rows", changed.amended().len())
            };
            assert_eq!(
                (one.key, &one.value, one.cite.how),
                (row.key, &Value::Number(figure), How::Local)
            );
        }
    }
}

#[test]
fn a_common_vent_by_the_upper_drains_size() {
    // IPC Table 911.3, from memory: 2 in takes 4 units.
    let ipc = rules(Code::Ipc, &[]).0;
    let upper = ipc
        .number_for(RuleId::CommonVentCapacity, units::Size::In2)
        .unwrap();
    assert_eq!(
        (upper.value.to_string().as_str(), upper.row.is_read()),
        ("4", false)
    );
    assert!(
        ipc.number_for(RuleId::CommonVentCapacity, units::Size::In1_25)
            .is_none()
    );
}

/// The other figure an inspector may hold is told, and decides nothing.
#[test]
fn older_figures_stand_beside() {
    // IRC P2503.5.1: 5 ft in 2018, 10 ft in 2009 and earlier.
    let irc = rules(Code::Irc, &[]).0;
    assert_eq!(
        irc.number(RuleId::TestHead).map(|head| head.value),
        Some(5.0)
    );
    let also = irc.also(RuleId::TestHead);
    assert_eq!(
        also.iter()
            .map(|row| row.value.number())
            .collect::<Vec<_>>(),
        [Some(10.0)]
    );
    assert_eq!(also[0].cite.tier, Some(Tier::Secondary));
}
