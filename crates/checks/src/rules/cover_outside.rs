//! `cover-outside`: earth over the line outside, where it is least along the whole line.
//!
//! Out of the ground, or short of what the town or a read code row asks, fails; above the frost that was told is an ask.
//! Source: the layout's told cover and frost; codes rows `cover-outside` and, where the town amends it, `frost-depth`
//! (no published case). Mend: leave lower, fill, or insulate with a yes.

use codes::RuleId;
use glam::DVec3;

use crate::{Case, Finding, Source, Verdict, ground::least_cover, rules::Rule, words};

/// Spare fall that is worth telling, inches. Our choice.
const WORTH_TELLING: f64 = 0.5;

pub(super) const RULE: Rule = Rule {
    id: "cover-outside",
    about: "The line outside keeps its cover, and lies below frost, over its whole length.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    (0..case.grades.len()).filter_map(|tree| line(case, tree)).collect()
}

fn line(case: &Case, tree: usize) -> Option<Finding> {
    let drain = case.drain(tree);
    let profile = case.layout.ground_along(drain);
    let mut from = 0.0;
    let mut least: Option<(f64, DVec3)> = None;
    for tube in &case.outside_line(&drain.id)?.tubes {
        let here = least_cover(profile, tube, from);
        least = least.into_iter().chain(here).min_by(|a, b| a.0.total_cmp(&b.0));
        from += tube.a.truncate().distance(tube.b.truncate());
    }
    let (cover, at) = least?;
    let (verdict, limit, why, source) = judged(case, cover)?;
    let away = match drain.exit.at.distance(at.truncate()) {
        near if near < 0.5 => "at the house".to_owned(),
        far => format!("{} from the house", words::feet(far)),
    };
    let lower = can_sink(case, tree);
    let says = if cover < 0.0 {
        format!("{} stands {} out of the ground {away}; {why}{lower}", drain.id, words::inches(-cover))
    } else {
        format!("{} has {} of cover {away}; {why}{lower}", drain.id, words::inches(cover))
    };
    Some(Finding::new(RULE.id, verdict, vec![drain.id.clone()], at, source, says).inches(cover, limit))
}

/// How much deeper the whole drain could lie; nothing where it could not.
fn can_sink(case: &Case, tree: usize) -> String {
    let spare = case.grades[tree].exit.spare().filter(|spare| *spare >= WORTH_TELLING);
    spare.map_or(String::new(), |spare| {
        format!("; the whole drain could lie {} deeper: let its runs start that much lower", words::inches(spare))
    })
}

fn judged(case: &Case, cover: f64) -> Option<(Verdict, f64, String, Source)> {
    let outside = &case.layout.outside;
    let asked = |limit: f64| format!("{} is asked for", words::inches(limit));
    let short = |limit: f64| cover < limit - 1e-4;
    if let Some(limit) = outside.cover.or(Some(0.0)).filter(|limit| short(*limit)) {
        let source = Source { says: "the town's figure, as the layout tells it".into(), read: true };
        return Some((Verdict::Fails, limit, asked(limit), source));
    }
    let code = case.rules.number(RuleId::CoverOutside).filter(|figure| short(figure.value));
    if let Some(figure) = code.filter(|_| outside.cover.is_none()) {
        let source = Source::row(figure.row);
        return Some((source.breach(), figure.value, asked(figure.value), source));
    }
    let town = case.rules.number(RuleId::FrostDepth);
    let (frost, source) = match town {
        Some(figure) => (figure.value, Source::row(figure.row)),
        None => (outside.frost?, Source::practice()),
    };
    let why = format!("frost goes {} down: ask whether a drain that runs empty may lie in it", words::inches(frost));
    short(frost).then_some((Verdict::Ask, frost, why, source))
}
