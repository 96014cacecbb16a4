//! `closet-count`: more water closets on a drain than its size may take.
//!
//! Source: codes row `closet-count`; two of the three codes have no such count. Mend: the next size up from the last
//! closet down, or two drains.

use layout::FixtureKind;

use crate::{Case, Finding, Source, rules::Rule, sizes};

pub(super) const RULE: Rule = Rule {
    id: "closet-count",
    about: "No drain takes more water closets than the code allows on its size.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    sizes::stretches(case).filter_map(|stretch| {
        let most = case.rules.number_for(codes::RuleId::ClosetCount, stretch.size)?;
        let closets = stretch.count(case, |kind| kind == FixtureKind::Closet) as f64;
        (closets > most.value).then(|| {
            let source = Source::row(most.row);
            let says = format!(
                "{} takes {closets} closets in {} pipe; {} are the most: make it 4 in after the last one",
                stretch.run.id, stretch.size, sizes::units(most.value),
            );
            let members = vec![stretch.run.id.clone()];
            let mut finding = Finding::new(RULE.id, source.breach(), members, stretch.at(case), source, says);
            (finding.measured, finding.limit, finding.unit) = (Some(closets), Some(most.value), "closets");
            finding
        })
    }).collect()
}
