//! One geometry judged by several codes: where their verdicts differ, and what to ask an inspector about it.

use std::{collections::BTreeMap, fmt};

use codes::{Code, Key, Row, RuleId, Rules, Value};
use units::{Id, Size};

use crate::{Finding, Verdict, page::rows_of};

/// What one code says where another says something else.
#[derive(Clone, PartialEq, Debug)]
pub struct Difference {
    /// The rule's id.
    pub rule: &'static str,
    /// The items, the one to change first.
    pub members: Vec<Id>,
    /// Each code with its gravest finding there; `None`: nothing found. In the order they were given.
    pub by: Vec<(Code, Option<Finding>)>,
}

/// Where the verdicts of several codes differ, gravest first, then as the first code that found it tells them.
///
/// Findings of one rule about the same items count as one, the gravest. Geometry that every code finds alike is left out.
pub fn differences(judged: &[(Code, Vec<Finding>)]) -> Vec<Difference> {
    let mut found = grouped(judged);
    found.retain(|difference| {
        let mut verdicts = difference
            .by
            .iter()
            .map(|(_, finding)| finding.as_ref().map(|f| f.verdict));
        let first = verdicts.next().flatten();
        verdicts.any(|verdict| verdict != first)
    });
    found
}

fn grouped(judged: &[(Code, Vec<Finding>)]) -> Vec<Difference> {
    let mut place: BTreeMap<(&'static str, &[Id]), usize> = BTreeMap::new();
    let mut all: Vec<Difference> = Vec::new();
    for (nth, (_, findings)) in judged.iter().enumerate() {
        for finding in findings {
            let at = *place
                .entry((finding.rule, &finding.members))
                .or_insert_with(|| {
                    let by = judged.iter().map(|(code, _)| (*code, None)).collect();
                    all.push(Difference {
                        rule: finding.rule,
                        members: finding.members.clone(),
                        by,
                    });
                    all.len() - 1
                });
            let slot = &mut all[at].by[nth].1;
            if slot
                .as_ref()
                .is_none_or(|kept| finding.verdict < kept.verdict)
            {
                *slot = Some(finding.clone());
            }
        }
    }
    all.sort_by_key(Difference::gravest);
    all
}

impl Difference {
    fn gravest(&self) -> Option<Verdict> {
        self.by
            .iter()
            .filter_map(|(_, finding)| finding.as_ref().map(|f| f.verdict))
            .min()
    }
}

/// Something to read out to an inspector.
#[derive(Clone, PartialEq, Debug)]
pub struct Question {
    /// The rule's id.
    pub rule: &'static str,
    /// The items.
    pub members: Vec<Id>,
    /// The case in one sentence.
    pub says: String,
    /// For each code what it says and where, a line each.
    pub sides: Vec<Side>,
}

/// One code's side.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Side {
    /// The code.
    pub code: Code,
    /// `fails`, `ask`, `note` or `nothing found`.
    pub verdict: &'static str,
    /// Sections, as `UPC 908.1.2`, with what each says; the ones this rule reads. Empty where it reads none.
    pub sections: Vec<String>,
}

/// Whether a rule reads rows of a code, so that an inspector can be asked about it; plain geometry and the make of fittings
/// are for the builder to mend.
pub fn by_a_code(rule: &str) -> bool {
    !rows_of(rule).is_empty()
}

/// The questions for an inspector: whatever the codes differ on, and whatever all of them ask about by a row of theirs;
/// notes left out. `judged` and `rules` are in the same order.
pub fn questions(judged: &[(Code, Vec<Finding>)], rules: &[Rules]) -> Vec<Question> {
    let differ = differences(judged);
    let worth = |group: &Difference| {
        let asked = group
            .by
            .iter()
            .any(|(_, f)| f.as_ref().is_some_and(|f| f.verdict == Verdict::Ask));
        let grave = group
            .gravest()
            .is_some_and(|verdict| verdict < Verdict::Note);
        if differ.contains(group) {
            asked || grave
        } else {
            asked && by_a_code(group.rule)
        }
    };
    grouped(judged)
        .iter()
        .filter(|group| worth(group))
        .map(|group| question(group, rules))
        .collect()
}

fn question(group: &Difference, rules: &[Rules]) -> Question {
    let told = group.by.iter().filter_map(|(_, finding)| finding.as_ref());
    let says = told
        .min_by_key(|finding| finding.verdict)
        .map_or(String::new(), |finding| finding.says.clone());
    let ids = decisive(group, rules);
    let key = cited_key(group, rules);
    let sides = group.by.iter().map(|(code, finding)| Side {
        code: *code,
        verdict: finding
            .as_ref()
            .map_or("nothing found", |finding| match finding.verdict {
                Verdict::Fails => "fails",
                Verdict::Ask => "ask",
                Verdict::Note => "note",
            }),
        sections: rules
            .iter()
            .find(|rules| rules.code() == *code)
            .map_or(Vec::new(), |rules| {
                ids.iter()
                    .filter_map(|id| section(*id, key, rules))
                    .collect()
            }),
    });
    Question {
        rule: group.rule,
        members: group.members.clone(),
        says,
        sides: sides.collect(),
    }
}

/// Checks whose rows mean little alone: a flatter fall by approval beside the least fall.
const TOLD_TOGETHER: [&str; 1] = ["grade-too-flat"];

/// The rules of the codes that the findings rest on; all that the check reads where a finding names none of them.
fn decisive(group: &Difference, rules: &[Rules]) -> Vec<RuleId> {
    let cited = |id: &RuleId| {
        rules.iter().flat_map(|rules| rules.rows(*id)).any(|row| {
            let cite = row.cite.to_string();
            let found = group.by.iter().filter_map(|(_, finding)| finding.as_ref());
            found.into_iter().any(|finding| finding.source.says == cite)
        })
    };
    let all = rows_of(group.rule);
    let named: Vec<RuleId> = all.iter().copied().filter(cited).collect();
    if named.is_empty() || TOLD_TOGETHER.contains(&group.rule) {
        all.to_vec()
    } else {
        named
    }
}

/// What the row is for that a finding rests on: a size, a fixture. The other codes are asked about the same. The rows of a
/// table share their source, so the one with the finding's own limit is meant.
fn cited_key(group: &Difference, rules: &[Rules]) -> Option<Key> {
    let found = group.by.iter().filter_map(|(_, finding)| finding.as_ref());
    let found: Vec<&Finding> = found.collect();
    let cites = |row: &Row, finding: &Finding| finding.source.says == row.cite.to_string();
    let limits = |row: &Row, finding: &Finding| {
        let (limit, value) = (finding.limit, row.value.number());
        limit.is_some_and(|limit| value.is_some_and(|value| (limit - value).abs() < 1e-9))
    };
    let keyed = |row: &&Row| row.key != Key::Whole && row.key != Key::Sizes(None, None);
    let rows = rules.iter().flat_map(Rules::all).filter(keyed);
    let cited: Vec<&Row> = rows
        .filter(|row| found.iter().any(|finding| cites(row, finding)))
        .collect();
    let exact = |row: &&&Row| {
        let mut of_row = found.iter().filter(|finding| cites(row, finding));
        of_row.any(|finding| limits(row, finding))
    };
    let meant = cited.iter().find(exact).or(cited.first());
    meant.map(|row| row.key)
}

/// The row of a table that speaks of the same as `key`.
fn speaking(id: RuleId, key: Key, rules: &Rules) -> Option<&Row> {
    let rows = rules.rows(id);
    let of_size = |size: f64| {
        let size = Size::ALL.into_iter().find(|one| one.nominal() >= size)?;
        rows.iter().find(|row| row.key.speaks_of(size))
    };
    rows.iter()
        .find(|row| row.key == key)
        .or_else(|| match key {
            Key::Size(size) | Key::Sizes(Some(size), _) => of_size(size),
            Key::Whole
            | Key::Sizes(None, _)
            | Key::SizeAt(..)
            | Key::Load(_)
            | Key::Group(_)
            | Key::Turn(..) => None,
        })
}

/// Bands a table may have to be told whole.
const FEW: usize = 4;

/// `UPC 908.1.2: vent of a water closet at least this size: 2 in (read)`. Of a table the row that speaks of `key`; a short
/// table whole, band by band; a long one by its place alone.
fn section(id: RuleId, key: Option<Key>, rules: &Rules) -> Option<String> {
    let first = rules.row(id)?;
    let rows = rules.rows(id);
    if rows.len() > 1 {
        let about = id.about().trim_end_matches('.').to_lowercase();
        if let Some(row) = key.and_then(|key| speaking(id, key, rules)) {
            let how = row.cite.how.says();
            return Some(format!(
                "{}: {about}: {}: {} ({how})",
                row.cite.place(),
                row.key,
                row.says()
            ));
        }
        if rows.len() > FEW {
            return Some(format!("{}: {about}", first.cite.place()));
        }
        let bands: Vec<String> = rows
            .iter()
            .map(|row| format!("{}: {}", row.key, row.says()))
            .collect();
        return Some(format!(
            "{}: {about}: {} ({})",
            first.cite.place(),
            bands.join("; "),
            first.cite.how.says()
        ));
    }
    let row = first;
    let fact = row.cite.fact;
    Some(match row.value {
        Value::Said | Value::Unseen | Value::No | Value::Yes | Value::NoLimit => {
            format!("{}: {fact} ({})", row.cite.place(), row.cite.how.says())
        }
        Value::Number(_)
        | Value::Range(..)
        | Value::Limited(_)
        | Value::Local
        | Value::Silent
        | Value::Words(_) => {
            format!(
                "{}: {fact}: {} ({})",
                row.cite.place(),
                row.says(),
                row.cite.how.says()
            )
        }
    })
}

/// Short lines for a phone: the case, each code's side with its sections, and the question.
impl fmt::Display for Question {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}.", self.says)?;
        for side in &self.sides {
            writeln!(f, "{}: {}", side.code, side.verdict)?;
            for section in &side.sections {
                writeln!(f, "  {section}")?;
            }
        }
        let alike = self
            .sides
            .windows(2)
            .all(|two| two[0].verdict == two[1].verdict);
        f.write_str(if alike {
            "Will you allow it here?"
        } else {
            "Which do you go by here?"
        })
    }
}

#[cfg(test)]
mod tests {
    use glam::DVec3;

    use super::*;
    use crate::Source;

    fn finding(rule: &'static str, verdict: Verdict, member: &str) -> Finding {
        let says = format!("{member} is too small");
        Finding::new(
            rule,
            verdict,
            vec![member.into()],
            DVec3::ZERO,
            Source::geometry(),
            says,
        )
    }

    fn closets_vent() -> Finding {
        let upc = codes::rules(Code::Upc, &[]).0;
        let row = upc.row(RuleId::VentClosetSize).unwrap();
        Finding {
            source: Source::row(row),
            ..finding("vent-too-small", Verdict::Fails, "wc")
        }
    }

    fn judged() -> Vec<(Code, Vec<Finding>)> {
        let same = finding("pipe-against-pipe", Verdict::Fails, "a");
        let irc = vec![same.clone(), finding("grade-too-flat", Verdict::Note, "b")];
        let upc = vec![
            closets_vent(),
            finding("grade-too-flat", Verdict::Ask, "b"),
            same,
        ];
        vec![(Code::Irc, irc), (Code::Upc, upc)]
    }

    #[test]
    fn what_all_find_alike_is_no_difference() {
        let found = differences(&judged());
        let rules: Vec<&str> = found.iter().map(|difference| difference.rule).collect();
        assert_eq!(rules, ["vent-too-small", "grade-too-flat"]);
        assert_eq!(found[0].by[0], (Code::Irc, None));
        assert_eq!(
            found[1].by[1].1.as_ref().map(|f| f.verdict),
            Some(Verdict::Ask)
        );
    }

    #[test]
    fn a_table_is_quoted_by_the_row_that_was_broken() {
        // UPC Table 1002.2: 5 ft for 2 in; IRC Table P3105.1: 8 ft (both read). All rows of a table have one source.
        let upc = codes::rules(Code::Upc, &[]).0;
        let length = upc.arm_limits(Size::In2).length.unwrap();
        let mut arm = finding("trap-arm", Verdict::Fails, "shower");
        (arm.source, arm.limit) = (Source::row(length.row), Some(length.value));
        let rules = [Code::Irc, Code::Upc].map(|code| codes::rules(code, &[]).0);
        let judged = vec![(Code::Irc, Vec::new()), (Code::Upc, vec![arm])];
        let text = questions(&judged, &rules)[0].to_string();
        assert!(text.contains("2 in: 8 ft"), "{text}");
        assert!(text.contains("2 in: 5 ft"), "{text}");
    }

    #[test]
    fn a_side_without_a_limit_says_so() {
        // UPC Table 1002.2: 6 ft from a closet to its vent (read); the IPC excepts closets (2015 909.1 exception, read).
        let rules = [Code::Ipc, Code::Upc].map(|code| codes::rules(code, &[]).0);
        let length = rules[1].closet_arm_limits(Size::In3).length.unwrap();
        let mut arm = finding("trap-arm", Verdict::Fails, "wc");
        (arm.source, arm.limit) = (Source::row(length.row), Some(length.value));
        let judged = vec![(Code::Ipc, Vec::new()), (Code::Upc, vec![arm])];
        let text = questions(&judged, &rules)[0].to_string();
        assert!(text.contains("no limit to the drain between"), "{text}");
    }

    #[test]
    fn a_question_has_the_sections_of_both_sides() {
        let rules = [Code::Irc, Code::Upc].map(|code| codes::rules(code, &[]).0);
        let asked = questions(&judged(), &rules);
        assert_eq!(asked.len(), 2);
        let text = asked[0].to_string();
        assert!(
            text.starts_with("wc is too small.\nIRC: nothing found\n"),
            "{text}"
        );
        // UPC 908.1.2: 2 in for a closet (read); the finding rests on it, so only that is told of either code.
        assert!(
            text.contains("UPC 908.1.2: vent of a water closet at least this size: 2 in (read)"),
            "{text}"
        );
        assert!(
            text.contains("IRC P3113.1: ") && !text.contains("VentShare"),
            "{text}"
        );
        assert_eq!(text.lines().count(), 6, "{text}");
        assert!(text.ends_with("Which do you go by here?"));
    }
}
