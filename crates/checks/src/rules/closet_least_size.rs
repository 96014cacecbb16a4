//! `closet-least-size`: a drain that takes a water closet in pipe too small for one.
//!
//! Source: codes row `closet-least-size`. Mend: 3 in from the closet down.

use codes::RuleId;
use layout::FixtureKind;

use crate::{Case, Finding, Source, rules::Rule, sizes::{self, Stretch}, words};

pub(super) const RULE: Rule = Rule {
    id: "closet-least-size",
    about: "No drain that takes a water closet is smaller than the code says.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(least) = case.rules.number(RuleId::ClosetLeastSize) else { return Vec::new() };
    let short = |stretch: &Stretch| stretch.size.nominal() < least.value && stretch.count(case, |kind| kind == FixtureKind::Closet) > 0;
    let found = |stretch: Stretch| {
        let source = Source::row(least.row);
        let would = least.size().map_or(String::new(), |size| format!(": make it {size}"));
        let says = format!("{} takes a closet in {} pipe; {} is the least{would}",
            stretch.run.id, stretch.size, words::inches(least.value));
        let members = vec![stretch.run.id.clone()];
        Finding::new(RULE.id, source.breach(), members, stretch.at(case), source, says)
            .inches(stretch.size.nominal(), least.value)
    };
    sizes::stretches(case).filter(short).map(found).collect()
}
