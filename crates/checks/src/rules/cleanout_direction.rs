//! `cleanout-direction`: a one-way cleanout set against the flow.
//!
//! The text seen of one code has a cleanout open with the flow or square to it; for the others none was seen, so they ask.
//! One of a pair, its twin with the flow beside it, is an ask too: such pairs are set in many places (common practice, no
//! source). Source: codes row `cleanout-direction` (no published case). Mend: turn it about, or take a two-way fitting.

use codes::RuleId;
use layout::Cleans;

use crate::{Case, Finding, Source, Verdict, cleanouts::{self, Placed}, reach, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "cleanout-direction",
    about: "A one-way cleanout opens with the flow.",
    check,
};

/// How near to its twin one of a pair stands, inches: common practice, no source.
const PAIR: f64 = 36.0;

fn check(case: &Case) -> Vec<Finding> {
    let mut found = Vec::new();
    for (t, tree) in case.network.trees.iter().enumerate() {
        let placed = cleanouts::of_tree(case, t);
        let against = placed.iter().filter(|c| case.layout.cleanouts[c.index].cleans == Cleans::Upstream);
        found.extend(against.filter_map(|one| {
            let seen = cleanouts::seen_from(case, tree, &placed, one.run, one.station);
            let twin = |off: &&cleanouts::Off| off.far <= PAIR && case.layout.cleanouts[off.index].cleans.downstream();
            judged(case, t, one, seen.iter().find(twin).map(|off| off.index))
        }));
    }
    found
}

fn judged(case: &Case, t: usize, one: &Placed, twin: Option<usize>) -> Option<Finding> {
    let row = case.rules.row(RuleId::CleanoutDirection)?;
    let source = Source::row(row);
    let id = &case.layout.cleanouts[one.index].id;
    let (verdict, says) = match twin.map(|twin| &case.layout.cleanouts[twin].id) {
        Some(twin) => {
            (Verdict::Ask, format!("{id} cleans upstream and {twin} beside it downstream: ask whether such a pair is taken here"))
        }
        None => (
            source.breach(),
            format!("{id} cleans upstream alone; one-way cleanouts open with the flow: turn it about, or set a two-way one"),
        ),
    };
    let at = reach::place(case, t, one.run, one.station.max(0.0));
    Some(Finding::new(RULE.id, verdict, vec![id.clone()], at, source, says))
}
