//! Slab, rough-in and earthwork norms that are not a code's rule: maker's sheets, standards, common practice.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::{code::How, tables::read};

/// One norm.
#[derive(Clone, PartialEq, Debug)]
pub struct Norm {
    /// What it belongs to: `rough`, `backfill`.
    pub topic: &'static str,
    /// Its name in the topic: `lift`.
    pub key: &'static str,
    /// The value as the table writes it.
    pub text: &'static str,
    /// The value as a number, where it is one.
    pub number: Option<f64>,
    /// Unit; may be empty.
    pub unit: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// Where it was seen.
    pub source: &'static str,
    /// How it is known.
    pub how: How,
    /// A remark; may be empty.
    pub note: &'static str,
}

#[derive(Deserialize)]
struct Line {
    topic: String,
    key: String,
    value: String,
    unit: String,
    meaning: String,
    source: String,
    how: String,
    note: String,
}

static LINES: LazyLock<Vec<Line>> = LazyLock::new(|| {
    let mut lines = read(include_str!("../../../assets/codes/slab_norms.csv"));
    lines.extend(read::<Line>(include_str!(
        "../../../assets/codes/bedding.csv"
    )));
    lines
});

static NORMS: LazyLock<Vec<Norm>> = LazyLock::new(|| LINES.iter().map(norm_of).collect());

/// Every norm, in table order.
pub fn norms() -> &'static [Norm] {
    &NORMS
}

/// The norm of this name, as `norm("backfill", "lift")`.
pub fn norm(topic: &str, key: &str) -> Option<&'static Norm> {
    norms()
        .iter()
        .find(|norm| norm.topic == topic && norm.key == key)
}

fn norm_of(line: &'static Line) -> Norm {
    Norm {
        topic: &line.topic,
        key: &line.key,
        text: &line.value,
        number: line.value.parse().ok(),
        unit: &line.unit,
        meaning: &line.meaning,
        source: &line.source,
        how: How::parse(&line.how).expect("an embedded norm says how it is known"),
        note: &line.note,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn found_by_name_with_its_source() {
        // A maker's plastics technical manual, bedding page; 2018 IRC P2604.3.
        let lift = norm("backfill", "lift").unwrap();
        assert_eq!(
            (lift.number, lift.unit, lift.how),
            (Some(6.0), "in", How::Read)
        );
        assert_eq!(norm("slab", "no such"), None);
    }

    #[test]
    fn names_are_unique_and_all_have_a_source() {
        for (idx, one) in norms().iter().enumerate() {
            assert!(!one.source.is_empty() && !one.meaning.is_empty(), "{one:?}");
            let twin = norms()[idx + 1..]
                .iter()
                .find(|other| (other.topic, other.key) == (one.topic, one.key));
            assert_eq!(twin, None);
        }
        assert!(norms().len() > 100);
    }
}
