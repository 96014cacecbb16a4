//! `not-connected`: a run, increaser or vent that does not meet what it should.
//!
//! Source: geometry. Mend: move the point onto the line it should lie on, or say which run or drain it flows to.

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "not-connected",
    about: "Every run reaches an exit, and every junction, increaser and vent lies on its line.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let of = |problem: &network::Problem| {
        let says = format!("{}: {}", problem.item, problem.what);
        let members = vec![problem.item.clone()];
        Finding::new(RULE.id, Verdict::Fails, members, problem.at.extend(0.0), Source::geometry(), says)
    };
    case.network.problems.iter().map(of).collect()
}
