//! An outcome as the viewer wants it.

use checks::{Finding, Verdict};
use flow::{Budget, Outcome};
use glam::DVec2;
use units::inches_text;
use viewer::{BudgetRow, FindingRow, House, MendRow, RunLine};

/// Inches in the budget strip's sentence.
const SIXTEENTHS: u32 = 16;

/// `text` is the document the outcome came from.
pub(crate) fn house(outcome: &Outcome, text: &str) -> House {
    House {
        text: text.to_owned(),
        layout: outcome.layout.clone(),
        lines: lines(outcome),
        mends: Vec::new(),
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

/// Every run with its inverts: falling evenly from inlet to outlet, which spreads the steps at increasers.
fn lines(outcome: &Outcome) -> Vec<RunLine> {
    let mut lines = Vec::new();
    for (tree, grades) in outcome.network.trees.iter().zip(&outcome.grades) {
        for (run, line) in tree.runs.iter().zip(&grades.lines) {
            let length = run.path.length().max(1e-9);
            let corners = run.path.points().iter().zip(run.path.stations());
            let point = |(at, station): (&DVec2, &f64)| {
                at.extend(line.inlet + (line.outlet - line.inlet) * station / length)
            };
            lines.push(RunLine {
                id: run.id.to_string(),
                drain: tree.id.to_string(),
                into: run
                    .join
                    .as_ref()
                    .map(|join| tree.runs[join.parent].id.to_string())
                    .unwrap_or_default(),
                points: corners.map(point).collect(),
                size: run.outlet_size().label().to_owned(),
                grade_in_per_ft: line.grade.in_per_ft(),
            });
        }
    }
    lines
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
        unit: finding.unit.into(),
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

/// What would help the drains that cannot fall.
pub(crate) fn mends(inputs: &flow::Inputs) -> Vec<MendRow> {
    let outcome = flow::run(inputs);
    let row = |tried: flow::Tried| MendRow {
        drain: tried.drain.to_string(),
        says: tried.says,
        edit: tried.edit,
    };
    flow::mends(inputs, &outcome).into_iter().map(row).collect()
}
