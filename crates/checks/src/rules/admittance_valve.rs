//! `admittance-valve`: a trap that breathes through an air admittance valve.
//!
//! Codes and towns differ, and what is allowed is allowed inside limits of place and load that a layout does not tell.
//! Source: codes row `admittance-valve`, which a town's amendment may settle. Mend: a vent up the wall.

use codes::{RuleId, Value};
use layout::Vent;

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "admittance-valve",
    about: "A trap on an air admittance valve is one the code and the town allow.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(row) = case.rules.row(RuleId::AdmittanceValve) else { return Vec::new() };
    let source = Source::row(row);
    let (verdict, why) = match (&row.value, source.read) {
        (Value::Yes, true) => return Vec::new(),
        (Value::No, true) => (Verdict::Fails, "that is not allowed here: vent it up a wall"),
        (Value::Local, _) => (Verdict::Ask, "only where the town allows it: ask, or vent it up a wall"),
        _unread => (Verdict::Ask, "ask whether it may stand there, reachable, with one vent still going outdoors"),
    };
    let valves = case.layout.fixtures.iter().filter(|fixture| fixture.vent == Vent::Admittance);
    valves.map(|fixture| {
        let says = format!("{} breathes through an admittance valve; {why}", fixture.id);
        let members = vec![fixture.id.clone()];
        Finding::new(RULE.id, verdict, members, fixture.at.extend(0.0), source.clone(), says)
    }).collect()
}
