//! `cleanout-size`: a cleanout smaller than the pipe it serves asks for.
//!
//! One led off a run by a run of its own serves the pipe it joins, at that pipe's size. Two codes want the pipe's own size
//! up to 4 in, one a plug by a table. Source: codes row `cleanout-size`. Mend: lead it off in the size told.

use codes::Code;

use crate::{Case, Finding, Source, cleanouts::{self, Placed}, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "cleanout-size",
    about: "A cleanout is as large as its pipe asks for.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let all = (0..case.network.trees.len()).flat_map(|t| cleanouts::of_tree(case, t).into_iter().map(move |c| (t, c)));
    all.filter_map(|(t, placed)| judged(case, t, &placed)).collect()
}

fn judged(case: &Case, t: usize, placed: &Placed) -> Option<Finding> {
    let own = cleanouts::own_size(case, t, placed);
    let pipe = cleanouts::pipe_of(case, t, placed);
    let least = case.rules.cleanout_size(pipe).filter(|least| own.nominal() < least.value - 1e-6)?;
    let id = &case.layout.cleanouts[placed.index].id;
    let run = if placed.station < 0.0 { &case.drain(t).id } else { &case.network.trees[t].runs[placed.run].id };
    let asked = match case.rules.code() {
        Code::Upc => format!("a plug of {} is asked for", words::inches(least.value)),
        Code::Irc | Code::Ipc => format!("{} is asked for", words::inches(least.value)),
    };
    let would = least.size().map_or(String::new(), |size| format!(": lead it off in {size}"));
    let says = format!("{id} is {own} on {run}, which is {pipe} there; {asked}{would}");
    let source = Source::row(least.row);
    let members = vec![id.clone(), run.clone()];
    let at = reach::place(case, t, placed.run, placed.station.max(0.0));
    Some(Finding::new(RULE.id, source.breach(), members, at, source, says).inches(own.nominal(), least.value))
}
