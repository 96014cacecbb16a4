//! `not-made`: a turn, join or piece that no fitting makes, or that needs a place another fitting has.
//!
//! What the fittings found when they were laid. A turn or join that no pattern makes fails: angles are what the patterns
//! are. A piece too short, or two bodies in one place, asks: the laying lengths are remembered until the bought fittings
//! are measured (bench sheet). Source: geometry of the catalogue's patterns. Mend: as each says.

use fittings::{Trouble, TroubleKind};

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "not-made",
    about: "Every turn, join and piece is one that fittings make.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let outside = |trouble: &Trouble| case.network.trees.iter().any(|tree| tree.id == trouble.run);
    // That the line outside is smaller than what comes through the wall is told by its own rule, with its section.
    let told_there = |trouble: &&Trouble| trouble.kind == TroubleKind::ReducesWithFlow && outside(trouble);
    let all = case.assembly.troubles.iter().filter(|trouble| !told_there(trouble));
    all.map(|trouble| told(trouble, outside(trouble))).collect()
}

/// `outside`: it is about the line outside, whose bends the layout does not draw yet; so its turns only ask.
fn told(trouble: &Trouble, outside: bool) -> Finding {
    let lengths = || Source::memory("laying lengths of the fittings");
    let (verdict, source, unit) = match trouble.kind {
        TroubleKind::NoSuchTurn if outside => (Verdict::Ask, Source::practice(), "deg"),
        TroubleKind::NoSuchTurn | TroubleKind::NoSuchJoin => (Verdict::Fails, Source::geometry(), "deg"),
        TroubleKind::ReducesWithFlow | TroubleKind::NotMade => (Verdict::Fails, Source::geometry(), "in"),
        TroubleKind::ShortPiece | TroubleKind::OnePlace => (Verdict::Ask, lengths(), "in"),
        TroubleKind::VentNotLaid => (Verdict::Ask, Source::geometry(), "in"),
        TroubleKind::TakeOffMoved => (Verdict::Note, lengths(), "in"),
    };
    let says = format!("{}: {}; {}", trouble.run, trouble.says, trouble.would_do);
    let mut finding = Finding::new(RULE.id, verdict, vec![trouble.run.clone()], trouble.at, source, says);
    // Of a size that is not made there may be no figures to tell.
    if trouble.measured.abs() + trouble.limit.abs() > 0.0 {
        finding.measured = Some(trouble.measured);
        finding.limit = Some(trouble.limit);
        finding.unit = unit;
    }
    finding
}
