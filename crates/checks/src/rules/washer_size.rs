//! `washer-size`: a clothes washer's drain, or the branch it joins, in pipe too small.
//!
//! One code sends the washer's 2 in drain to a branch or stack of 3 in or more, whatever the units say. Source: codes rows
//! `washer-drain-size` and `washer-branch-size`. Mend: the size told, or lead the washer to the trunk by itself.

use codes::{Figure, RuleId};
use layout::FixtureKind;
use network::Start;

use crate::{Case, Finding, Source, rules::Rule, sizes::{self, Stretch}, words};

pub(super) const RULE: Rule = Rule {
    id: "washer-size",
    about: "A washer's drain, and the branch it joins, are as large as the code says.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let washer = |f: usize| case.layout.fixtures[f].kind == FixtureKind::Washer;
    let takes: Vec<Stretch> =
        sizes::stretches(case).filter(|s| s.count(case, |kind| kind == FixtureKind::Washer) > 0).collect();
    let mut found = Vec::new();
    if let Some(least) = case.rules.number(RuleId::WasherDrainSize) {
        let own = |s: &&Stretch| matches!(s.run.start, Start::Fixture(f) if washer(f));
        found.extend(takes.iter().filter(own).filter_map(|s| short(case, s, least, "is a washer's drain")));
    }
    if let Some(least) = case.rules.number(RuleId::WasherBranchSize) {
        let joined = |s: &&Stretch| network::washer_joins(case.layout, &case.network.trees[s.tree].runs, s.index);
        // The stretch before the washer comes in, or before others do, is not the branch yet.
        let shared = takes.iter().filter(joined).filter(|s| s.to == 0.0 || s.fixtures.len() > 1);
        found.extend(shared.filter_map(|s| short(case, s, least, "is the branch a washer's drain joins")));
    }
    found
}

fn short(case: &Case, stretch: &Stretch, least: Figure, is: &str) -> Option<Finding> {
    let size = stretch.size;
    (size.nominal() < least.value).then(|| {
        let source = Source::row(least.row);
        let says = format!("{} {is}, in {size} pipe; {} is the least", stretch.run.id, words::inches(least.value));
        let members = vec![stretch.run.id.clone()];
        Finding::new(RULE.id, source.breach(), members, stretch.at(case), source, says)
            .inches(size.nominal(), least.value)
    })
}
