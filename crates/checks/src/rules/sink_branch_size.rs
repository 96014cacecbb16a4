//! `sink-branch-size`: a branch that takes a sink, beyond its trap arm, in pipe too small.
//!
//! Kitchen, bar and laundry sinks. Source: codes row `sink-branch-size`. Mend: the size told.

use codes::RuleId;
use layout::FixtureKind;

use crate::{Case, Finding, Source, rules::Rule, sizes::{self, Stretch}, words};

pub(super) const RULE: Rule = Rule {
    id: "sink-branch-size",
    about: "A branch that takes a sink is as large as the code says for one.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(least) = case.rules.number(RuleId::SinkBranchSize) else { return Vec::new() };
    let short = |stretch: &Stretch| stretch.size.nominal() < least.value && stretch.count(case, |kind| {
        matches!(kind, FixtureKind::KitchenSink | FixtureKind::BarSink | FixtureKind::UtilitySink)
    }) > 0;
    let found = |stretch: Stretch| {
        let source = Source::row(least.row);
        let would = least.size().map_or(String::new(), |size| format!(": make it {size}"));
        let says = format!("{} takes a sink in {} pipe; {} is the least{would}",
            stretch.run.id, stretch.size, words::inches(least.value));
        let members = vec![stretch.run.id.clone()];
        Finding::new(RULE.id, source.breach(), members, stretch.at(case), source, says)
            .inches(stretch.size.nominal(), least.value)
    };
    sizes::stretches(case).filter(short).map(found).collect()
}
