//! An outcome as the viewer wants it.

use checks::{Finding, Verdict};
use flow::{Budget, Outcome};
use units::inches_text;
use viewer::{BudgetRow, FindingRow, House};

/// Inches in the budget strip's sentence.
const SIXTEENTHS: u32 = 16;

pub(crate) fn house(outcome: &Outcome) -> House {
    House {
        title: outcome.layout.title.clone(),
        scene: outcome.scene.clone(),
        findings: outcome.findings.iter().map(finding_row).collect(),
        budget: flow::budget(outcome).iter().map(budget_row).collect(),
        to_tell: outcome
            .to_tell
            .iter()
            .map(|tell| format!("{}: {}", tell.item, tell.what))
            .collect(),
        hash: outcome.hash.clone(),
    }
}

fn finding_row(finding: &Finding) -> FindingRow {
    FindingRow {
        rule: finding.rule.into(),
        verdict: match finding.verdict {
            Verdict::Fails => viewer::Verdict::Fails,
            Verdict::Ask => viewer::Verdict::Ask,
            Verdict::Note => viewer::Verdict::Note,
        },
        says: finding.says.clone(),
        at: finding.at.to_array(),
        measured: finding.measured,
        limit: finding.limit,
        source: finding.source.says.clone(),
        members: finding.members.iter().map(ToString::to_string).collect(),
        ends: finding.between.map(|ends| ends.map(|end| end.to_array())),
    }
}

fn budget_row(budget: &Budget) -> BudgetRow {
    let says = match (budget.short, budget.spare) {
        (Some(short), _) => format!(
            "short {}: it cannot fall as drawn",
            inches_text(short, SIXTEENTHS)
        ),
        (None, Some(spare)) => format!("{} to spare", inches_text(spare, SIXTEENTHS)),
        (None, None) => "nothing outside is told".into(),
    };
    BudgetRow {
        drain: budget.drain.to_string(),
        says,
        spends: budget
            .spends
            .iter()
            .map(|share| (format!("{}: {}", share.who, share.says), share.inches))
            .collect(),
        spare: budget
            .short
            .map_or(budget.spare.unwrap_or(0.0), |short| -short),
    }
}
