//! `window-nearly-shut`: a drain that falls where it must, but with less than an inch to spare.
//!
//! Source: the sums of the grade solution; the inch is common practice, what a slab and a settled trench may take. A
//! receiver whose level nobody measured makes it an ask. Mend: measure the inlet; win fall where the budget says.

use grades::SpentOn;
use layout::{Known, Material};

use crate::{Case, Finding, Source, Verdict, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "window-nearly-shut",
    about: "A drain keeps an inch to spare at its exit, or it is told what would shut the window.",
    check,
};

/// Inches to spare below which a window is nearly shut.
const TIGHT: f64 = 1.0;

fn check(case: &Case) -> Vec<Finding> {
    (0..case.grades.len()).filter_map(|tree| tight(case, tree)).collect()
}

fn tight(case: &Case, tree: usize) -> Option<Finding> {
    let (grades, drain) = (&case.grades[tree], case.drain(tree));
    let spare = grades.exit.spare().filter(|spare| *spare < TIGHT && grades.is_feasible())?;
    let verdict = match drain.receiver.as_ref().map(|receiver| receiver.known) {
        Some(Known::Told | Known::Unknown) => Verdict::Ask,
        Some(Known::Measured) | None => Verdict::Note,
    };
    let measure = match verdict {
        Verdict::Ask => "; measure the receiver's level before the floor is set",
        Verdict::Fails | Verdict::Note => "",
    };
    let says = format!(
        "{} leaves at {} with {} to spare: {} would shut it{measure}",
        drain.id, words::feet(grades.exit.level), words::inches(spare), shutters(case, tree, spare),
    );
    let at = drain.exit.at.extend(grades.exit.level);
    let members = vec![drain.id.clone()];
    Some(Finding::new(RULE.id, verdict, members, at, Source::practice(), says).inches(spare, TIGHT))
}

/// What would use up the spare inches: `a 5 in slab, 4 ft more sewer or 1 in of settlement`.
fn shutters(case: &Case, tree: usize, spare: f64) -> String {
    // The next half inch beyond what is spare.
    let more = (spare * 2.0).floor() / 2.0 + 0.5;
    let concrete = case.layout.slab.as_ref().and_then(|slab| {
        slab.layers.iter().find(|layer| layer.material == Material::Concrete)
    });
    let slab = concrete.map(|layer| format!("a {} slab", words::inches(layer.thickness + more)));
    let receiver_binds = case.grades[tree].exit.lowest.as_ref().is_some_and(|edge| {
        edge.chain.iter().any(|spend| matches!(spend.on, SpentOn::Fall { .. }))
    });
    let grade = case.grades[tree].outside.as_ref().map_or(0.0, |line| line.in_per_ft);
    let sewer = (receiver_binds && grade > 0.0)
        .then(|| format!("{} ft more sewer", (spare / grade).floor() + 1.0));
    let all: Vec<String> = slab.into_iter().chain(sewer).collect();
    let settled = format!("{} of settlement", words::inches(more));
    if all.is_empty() { settled } else { format!("{} or {settled}", all.join(", ")) }
}
