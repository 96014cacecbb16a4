//! `closet-rough-in`: a closet's flange too near or too far from the finished wall behind it.
//!
//! Off the rough-in the closet is made for (12 in unless told): more than 1/4 in is a note, nearer by more than 1/2 in or
//! farther by more than 1 in fails. Source: common practice, no source. Mend: move it, or buy a 10 or 14 in closet.

use crate::{Case, Finding, Source, Verdict, closets::closets, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "closet-rough-in",
    about: "A closet's flange stands its rough-in off the finished wall behind.",
    check,
};

/// The usual rough-in.
const USUAL: f64 = 12.0;

fn check(case: &Case) -> Vec<Finding> {
    let room = case.rules.closet_room();
    let limit = |figure: Option<codes::Figure>, usual: f64| figure.map_or(usual, |figure| figure.value);
    let (note, under, over) =
        (limit(room.back_note, 0.25), limit(room.back_under, 0.5), limit(room.back_over, 1.0));
    let mut found = Vec::new();
    for closet in closets(case) {
        let want = closet.fixture.rough_in.unwrap_or(USUAL);
        let off = closet.behind - want;
        let verdict = match off {
            off if off < -under - 1e-6 || off > over + 1e-6 => Verdict::Fails,
            off if off.abs() > note + 1e-6 => Verdict::Note,
            _ => continue,
        };
        let way = if off < 0.0 { "out from" } else { "toward" };
        let says = format!(
            "{} stands {} off the finished face of {}, for a {} rough-in: move it {} {way} the wall",
            closet.fixture.id, words::inches(closet.behind), closet.back.id, words::inches(want), words::inches(off.abs()),
        );
        let members = vec![closet.fixture.id.clone(), closet.back.id.clone()];
        let at = closet.fixture.at.extend(0.0);
        let finding = Finding::new(RULE.id, verdict, members, at, Source::practice(), says);
        found.push(finding.inches(closet.behind, want));
    }
    found
}
