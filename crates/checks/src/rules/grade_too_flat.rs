//! `grade-too-flat`: a drain that lies flatter than its size may, inside or outside.
//!
//! Where the code lets the authority approve a flatter fall beforehand, that is an ask. Source: codes rows `grade-least`
//! and `grade-approved`. Mend: the steeper grade where there is fall for it; a larger pipe may lie flatter in some codes.

use glam::DVec3;
use units::{Id, Size};

use crate::{Case, Finding, Source, Verdict, rules::Rule, sizes};

pub(super) const RULE: Rule = Rule {
    id: "grade-too-flat",
    about: "Every drain falls at least as much as the code says for its size.",
    check,
};

/// Grades closer than this, in/ft, are the same.
const SAME_GRADE: f64 = 1e-6;

fn check(case: &Case) -> Vec<Finding> {
    let mut found: Vec<Finding> = Vec::new();
    for stretch in sizes::stretches(case).filter(|stretch| stretch.from > stretch.to) {
        let grade = case.grades[stretch.tree].lines[stretch.index].grade.in_per_ft();
        let told = |finding: &Finding| finding.members[0] == stretch.run.id;
        if !found.last().is_some_and(told) {
            found.extend(judged(case, &stretch.run.id, stretch.size, grade, stretch.at(case)));
        }
    }
    for (t, grades) in case.grades.iter().enumerate() {
        let Some(line) = &grades.outside else { continue };
        let drain = case.drain(t);
        let trunk = case.network.trees[t].runs[0].outlet_size();
        let size = drain.line_size(trunk).max(trunk);
        found.extend(judged(case, &drain.id, size, line.in_per_ft, drain.exit.at.extend(line.start)));
    }
    found
}

fn judged(case: &Case, id: &Id, size: Size, grade: f64, at: DVec3) -> Option<Finding> {
    let least = case.rules.least_grade(size).filter(|least| grade < least.value - SAME_GRADE)?;
    let approved = case.rules.grade_with_approval(size).filter(|flatter| grade >= flatter.value - SAME_GRADE);
    let (verdict, source, would) = if let Some(flatter) = approved {
        (Verdict::Ask, Source::row(flatter.row), "it may lie so only if approved beforehand")
    } else {
        let source = Source::row(least.row);
        (source.breach(), source, "lay it at that or steeper")
    };
    let grade_says = units::inches_text(grade, 32);
    let says = format!(
        "{id} falls {} in/ft in {size} pipe; {} is the least: {would}",
        grade_says.trim_end_matches('"'), least.row.says(),
    );
    let mut finding = Finding::new(RULE.id, verdict, vec![id.clone()], at, source, says);
    (finding.measured, finding.limit, finding.unit) = (Some(grade), Some(least.value), "in/ft");
    Some(finding)
}
