//! The schedule behind the plan: every run and every stub in numbers, with room to write what was measured.

use fittings::Stub;
use units::feet_inches;

use super::Job;
use super::house::{comes_up_in, lying_vents, name};
use super::plan::{grade, signed, sizes};
use crate::mark::Page;
use crate::sheet::{Heads, Sheet};
use crate::table::{Table, blank, main_numbers, numbers, words};

pub(crate) fn pages(job: Job) -> Vec<Page> {
    let mut sheet = Sheet::lying(
        job.set,
        Heads {
            name: "schedule",
            title: "Runs and stubs in numbers",
            purpose: "For whoever checks the plan with a tape, and for the permit desk.",
            caution: "",
        },
    );
    sheet.heading("Runs, each after the one it joins");
    sheet.paragraph(
        "Inverts are the inside bottom of the pipe, from finished floor. Lengths are in plan, along the run. \
         Where the pipe grows the invert steps down half of what the bore gains, besides the grade.",
    );
    let runs = runs(job);
    if runs.rows.is_empty() {
        sheet.paragraph("No run is told yet.");
    } else {
        sheet.table(&runs);
    }
    sheet.heading("Stubs");
    sheet.paragraph("East and north are from the outside of the form's south-west corner (0, 0).");
    let stubs = stubs(job);
    if stubs.rows.is_empty() {
        sheet.paragraph("No stub is told yet.");
    } else {
        sheet.table(&stubs);
    }
    sheet.finish()
}

fn runs(job: Job) -> Table {
    let mut rows = Vec::new();
    for (tree, grades) in job.outcome.network.trees.iter().zip(&job.outcome.grades) {
        for (run, line) in tree.runs.iter().zip(&grades.lines) {
            rows.push(vec![
                run.id.to_string(),
                tree.id.to_string(),
                sizes(run),
                grade(line.grade),
                feet_inches(line.length, 16),
                feet_inches(line.inlet, 16),
                feet_inches(line.outlet, 16),
                format!("{}", run.dfu),
                String::new(),
            ]);
        }
    }
    for vent in lying_vents(job.outcome) {
        let bore = job.outcome.catalog.pipe(vent.size).id() / 2.0;
        let (Some(low), Some(high)) = (vent.axis.first(), vent.axis.last()) else {
            continue;
        };
        let legs = vent.axis.windows(2);
        let length: f64 = legs
            .map(|leg| leg[0].truncate().distance(leg[1].truncate()))
            .sum();
        rows.push(vec![
            vent.name.clone(),
            String::new(),
            vent.size.to_string(),
            "vent".into(),
            feet_inches(length, 16),
            feet_inches(high.z - bore, 16),
            feet_inches(low.z - bore, 16),
            String::new(),
            String::new(),
        ]);
    }
    Table {
        columns: vec![
            words("run"),
            words("drain"),
            words("size"),
            words("grade"),
            numbers("length"),
            main_numbers("invert up"),
            main_numbers("invert down"),
            numbers("DFU"),
            blank("measured"),
        ],
        rows,
    }
}

fn stubs(job: Job) -> Table {
    let row = |stub: &Stub| {
        vec![
            name(stub),
            stub.size.map_or(String::new(), |size| size.to_string()),
            feet_inches(stub.at.x, 16),
            feet_inches(stub.at.y, 16),
            signed(stub.top),
            comes_up_in(job.outcome, stub),
            String::new(),
        ]
    };
    Table {
        columns: vec![
            words("stub"),
            words("size"),
            main_numbers("east"),
            main_numbers("north"),
            main_numbers("top"),
            words("comes up in"),
            blank("measured"),
        ],
        rows: job.outcome.assembly.stubs.iter().map(row).collect(),
    }
}
