//! How flat a pipe may lie by the published code, and who says so.

use codes::{Figure, Rules};
use network::Run;
use units::{Grade, Size};

/// A grade and who says that it may be.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Lawful {
    pub(super) grade: Grade,
    /// Code and section, and whether it wants the authority's approval beforehand or was never read.
    pub(super) says: String,
}

/// Whether approval beforehand is reckoned with.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Leave {
    /// By the code as it stands.
    Code,
    /// With the authority's approval, where the code knows of one.
    Approved,
}

/// The flattest grade for pipe of one size.
pub(super) fn flattest(rules: &Rules, size: Size, leave: Leave) -> Option<Lawful> {
    let least = rules.least_grade(size);
    let approved = match leave {
        Leave::Code => None,
        Leave::Approved => rules.grade_with_approval(size),
    };
    let flatter = approved.filter(|a| least.is_none_or(|l| a.value < l.value));
    let (figure, words) = match flatter {
        Some(figure) => (figure, "with the authority's approval beforehand, "),
        None => (least?, ""),
    };
    let grade = Grade::from_in_per_ft(figure.value).filter(|grade| grade.in_per_ft() > 0.0)?;
    Some(Lawful {
        grade,
        says: format!("{words}{}", place(&figure)),
    })
}

fn place(figure: &Figure) -> String {
    let unread = if figure.row.is_read() {
        ""
    } else {
        ", not read by anyone"
    };
    format!("{}{unread}", figure.row.cite.place())
}

/// The flattest grade a whole run may have: its smallest pipe asks the most.
pub(super) fn flattest_run(rules: &Rules, run: &Run, leave: Leave) -> Option<Lawful> {
    let each: Option<Vec<Lawful>> = run
        .bores
        .iter()
        .map(|bore| flattest(rules, bore.size, leave))
        .collect();
    each?
        .into_iter()
        .max_by(|a, b| a.grade.in_per_ft().total_cmp(&b.grade.in_per_ft()))
}

/// The flattest of a menu.
pub(super) fn flattest_of(menu: &[Grade]) -> Option<Grade> {
    menu.iter()
        .copied()
        .min_by(|a, b| a.in_per_ft().total_cmp(&b.in_per_ft()))
}
