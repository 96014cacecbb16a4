//! `underground-least-size`: a buried drain smaller than any may be.
//!
//! Source: codes row `underground-least-size`; many towns ask for 2 in, which an amendment says. Mend: the size told.

use codes::RuleId;

use crate::{Case, Finding, Source, rules::Rule, sizes::{self, Stretch}, words};

pub(super) const RULE: Rule = Rule {
    id: "underground-least-size",
    about: "No drain under the slab is smaller than the code or the town says.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(least) = case.rules.number(RuleId::UndergroundLeastSize) else { return Vec::new() };
    let short = |stretch: &Stretch| stretch.size.nominal() < least.value && stretch.from > stretch.to;
    let found = |stretch: Stretch| {
        let source = Source::row(least.row);
        let would = least.size().map_or(String::new(), |size| format!(": make it {size}"));
        let says = format!("{} lies buried in {} pipe; {} is the least{would}",
            stretch.run.id, stretch.size, words::inches(least.value));
        let members = vec![stretch.run.id.clone()];
        Finding::new(RULE.id, source.breach(), members, stretch.at(case), source, says)
            .inches(stretch.size.nominal(), least.value)
    };
    sizes::stretches(case).filter(short).map(found).collect()
}
