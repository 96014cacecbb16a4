//! `line-ends-above`: a line outside that ends over its receiver by less than two eighth bends drop.
//!
//! Source: common practice, with the lengths of the fittings. Mend: let it fall straight to the receiver, a little steeper.

use crate::{Case, Finding, Source, Verdict, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "line-ends-above",
    about: "A line outside meets its receiver, or ends so far above it that two eighth bends make the drop.",
    check,
};

/// What a line that ends so little too high loses in its last joints, inches. Our choice.
const LOST: f64 = 0.25;

fn check(case: &Case) -> Vec<Finding> {
    (0..case.grades.len()).filter_map(|tree| above(case, tree)).collect()
}

fn above(case: &Case, tree: usize) -> Option<Finding> {
    let (drain, line) = (case.drain(tree), case.grades[tree].outside.as_ref()?);
    let (receiver, length) = (drain.receiver.as_ref()?.invert?, drain.line.length?);
    let above = line.arrives() - receiver;
    if above <= LOST {
        return None;
    }
    let straight = (line.start - receiver) / length * 12.0;
    let says = format!(
        "the line outside ends {} above its receiver, where no two bends make the drop: say `straight: true` and lay it at \
         {straight:.3} in/ft",
        words::inches(above),
    );
    let at = drain.exit.at.extend(line.arrives());
    let members = vec![drain.id.clone()];
    Some(Finding::new(RULE.id, Verdict::Note, members, at, Source::practice(), says).inches(above, LOST))
}
