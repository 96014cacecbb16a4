//! `sleeve-size`: a sleeve through the foundation smaller than the code asks around its pipe.
//!
//! Two codes ask for a sleeve two pipe sizes larger, one for room all round. Source: codes row `sleeve-size`. Mend: the size
//! told, before the wall is poured.

use codes::Sleeve;
use layout::ExitWay;

use crate::{Case, Finding, Source, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "sleeve-size",
    about: "A sleeve through the foundation is as much larger than its pipe as the code asks.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    (0..case.network.trees.len()).filter_map(|t| judged(case, t)).collect()
}

fn judged(case: &Case, t: usize) -> Option<Finding> {
    let drain = case.drain(t);
    let told = drain.exit.sleeve.filter(|_| !drain.exit.cored && drain.exit.way != ExitWay::Under)?;
    let pipe = case.network.trees[t].runs[0].outlet_size();
    let (short, row, says) = match case.rules.sleeve(pipe)? {
        Sleeve::Nominal { nominal, buy, row } => {
            let would = buy.map_or(String::new(), |buy| format!(": set {buy}"));
            let says = format!("{} goes through a {told} sleeve; {} is asked for around {pipe} pipe{would}",
                drain.id, words::inches(nominal));
            ((told.nominal(), nominal), row, says)
        }
        Sleeve::Clear { inches, row } => {
            let room = (case.catalog.pipe(told).id() - case.catalog.pipe(pipe).od) / 2.0;
            let says = format!("{} has {} of room all round in its {told} sleeve; {} is asked for",
                drain.id, words::inches(room), words::inches(inches));
            ((room, inches), row, says)
        }
    };
    (short.0 < short.1 - 1e-6).then(|| {
        let source = Source::row(row);
        let at = drain.exit.at.extend(case.grades[t].exit.level);
        Finding::new(RULE.id, source.breach(), vec![drain.id.clone()], at, source, says).inches(short.0, short.1)
    })
}
