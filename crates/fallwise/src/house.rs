//! An outcome as the viewer wants it.

use checks::{Finding, Verdict};
use flow::{Budget, Outcome};
use glam::DVec2;
use units::inches_text;
use viewer::{BudgetRow, FindingRow, House, MendRow, RunLine, Spend};

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
        budget: flow::budget(outcome)
            .iter()
            .map(|budget| budget_row(outcome, budget))
            .collect(),
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
                at.extend(line.outlet + (line.inlet - line.outlet) * station / length)
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

fn budget_row(outcome: &Outcome, budget: &Budget) -> BudgetRow {
    let says = match (budget.short, budget.spare) {
        (Some(short), _) => format!(
            "short {}: it cannot fall as drawn",
            inches_text(short, SIXTEENTHS)
        ),
        (None, Some(spare)) => {
            let held = budget.held_by.as_ref();
            let to = held.map_or(String::new(), |held| format!(" down to {}", held.says));
            format!("{} to spare{to}", inches_text(spare, SIXTEENTHS))
        }
        (None, None) => "nothing outside is told".into(),
    };
    let least_cover = flow::least_cover(outcome, &budget.drain).map(|(least, run)| {
        let least = inches_text(least, SIXTEENTHS);
        let says = format!("least cover {least} under the floor's layers, over {run}");
        (run.to_string(), says)
    });
    BudgetRow {
        drain: budget.drain.to_string(),
        says,
        least_cover,
        spends: budget
            .spends
            .iter()
            .map(|share| Spend {
                who: share.who.to_string(),
                says: format!("{}: {}", share.who, share.says),
                inches: share.inches,
            })
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fall_from_their_inlet_to_their_outlet() {
        let inputs = flow::Inputs {
            text: include_str!("../../../scenes/demo.ron").into(),
            ..flow::Inputs::default()
        };
        let outcome = flow::run(&inputs);
        let house = house(&outcome, &inputs.text);
        let trunk = house.lines.iter().find(|line| line.id == "trunk").unwrap();
        let told = outcome.grades[0]
            .lines
            .iter()
            .find(|line| line.id.as_str() == "trunk")
            .unwrap();
        let ends = trunk.points.first().zip(trunk.points.last()).unwrap();
        assert!((ends.0.z - told.inlet).abs() < 1e-9 && (ends.1.z - told.outlet).abs() < 1e-9);
        assert!(
            house
                .lines
                .iter()
                .all(|line| line.points.windows(2).all(|leg| leg[0].z >= leg[1].z))
        );
        assert!(
            house
                .lines
                .iter()
                .filter(|line| line.id != "trunk")
                .all(|line| !line.into.is_empty())
        );
    }

    #[test]
    fn a_mend_that_was_tried_can_be_written_in() {
        let text = include_str!("../../../scenes/demo.ron")
            .replace("invert: \"-38 in\"", "invert: \"-30 in\"");
        let inputs = flow::Inputs {
            text: text.clone(),
            ..flow::Inputs::default()
        };
        let rows = mends(&inputs);
        let edit = rows
            .iter()
            .find_map(|row| row.edit.as_ref())
            .expect("something helps");
        let applied = layout::apply(&text, "demo.ron", edit).unwrap();
        let after = flow::run(&flow::Inputs {
            text: applied.text,
            ..flow::Inputs::default()
        });
        assert!(after.problems.is_empty(), "{:?}", after.problems);
        assert!(
            flow::budget(&after)
                .iter()
                .all(|budget| budget.short.is_none())
        );
    }
}
