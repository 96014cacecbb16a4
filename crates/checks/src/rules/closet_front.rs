//! `closet-front`: too little room in front of a closet.
//!
//! Source: codes row `closet-front`. Where the bowl ends is from memory: 28 in from the finished wall for a round one, 30
//! for a long one, at a 12 in rough-in; short with a long bowl only is an ask. Mend: turn it, or move what is in front.

use crate::{
    Case, Finding, Source, Verdict,
    closets::{closets, obstacles},
    rules::Rule,
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "closet-front",
    about: "A closet has its room in front.",
    check,
};

/// From the flange's middle to the front of a round bowl, and of a long one: from memory.
const ROUND: f64 = 16.0;
const LONG: f64 = 18.0;

fn check(case: &Case) -> Vec<Finding> {
    let Some(figure) = case.rules.closet_room().front else { return Vec::new() };
    let source = Source::row(figure.row);
    let mut found = Vec::new();
    for closet in closets(case) {
        let ahead = obstacles(case, &closet).into_iter().filter_map(|one| {
            one.ahead(&closet).map(|apart| (apart, one.id.clone()))
        });
        let Some((apart, other)) = ahead.min_by(|a, b| a.0.total_cmp(&b.0)) else { continue };
        let (verdict, bowl, clear) = if apart - ROUND < figure.value - 1e-6 {
            (source.breach(), "a round", apart - ROUND)
        } else if apart - LONG < figure.value - 1e-6 {
            (Verdict::Ask, "a long", apart - LONG)
        } else {
            continue;
        };
        let says = format!(
            "{} leaves {} between {bowl} bowl and {other}, and {} is asked for",
            closet.fixture.id, words::inches(clear), words::inches(figure.value),
        );
        let members = vec![closet.fixture.id.clone(), other];
        let at = closet.fixture.at.extend(0.0);
        found.push(Finding::new(RULE.id, verdict, members, at, source.clone(), says).inches(clear, figure.value));
    }
    found
}
