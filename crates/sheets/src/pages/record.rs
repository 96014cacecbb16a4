//! The record: what lies where under the floor, for whoever drills or digs later, with blanks for what was measured.

use field::{Judged, StubRead};
use flow::Outcome;
use glam::DVec2;
use layout::{Material, ServiceKind};
use units::{feet_inches, inches_text};

use super::{
    content::{Block, Figure, Pen, Sheet, Table},
    house::{height, lying_vents, name, place, plan, pointed_at, size},
};

/// How much of the line outside is drawn, inches.
const SHOWN_OUTSIDE: f64 = 60.0;

/// The page; what was measured stands beside what was planned.
pub fn sheet(outcome: &Outcome, found: &Judged) -> Sheet {
    let mut blocks = vec![
        Block::Caution(
            "Planned, not measured, where the column Found is empty. Do not drill, saw or anchor within 6 in of a line on \
             this page without looking. Keep it with the house."
                .into(),
        ),
        Block::Figure(drawing(outcome)),
        Block::Text(format!(
            "All from the outside face of the form (E and N of its south-west corner) and from finished floor. The floor: {}. \
             Tops are of plain pipe: hubs stand up to {} higher, and the bends under risers and vents may reach up into the \
             concrete.",
            floor(outcome),
            inches_text(hubs_over(outcome), 16)
        )),
        Block::Heading("Pipes under the floor".into()),
        Block::Table(pipes(outcome, found)),
    ];
    let services = services(outcome, found);
    if !services.rows.is_empty() {
        blocks.extend([Block::Heading("Other lines".into()), Block::Table(services)]);
    }
    blocks.extend([
        Block::Heading("Where they come up".into()),
        Block::Table(stubs(outcome, found)),
    ]);
    blocks.push(Block::Text(
        "Water test ________  read by ________  inspected ________  poured ________  photographs kept at ________________".into(),
    ));
    Sheet {
        name: "record".into(),
        title: "Record".into(),
        purpose: "For whoever drills or digs here later: what lies where, planned and found."
            .into(),
        lying: false,
        blocks,
    }
}

fn drawing(outcome: &Outcome) -> Figure {
    let mut figure = plan(
        outcome,
        "Pipes under the floor by name; other lines dashed",
        5.6,
    );
    for run in outcome.network.trees.iter().flat_map(|tree| &tree.runs) {
        figure.stroke(run.path.points().iter().copied(), Pen::Bold);
        figure.word(pointed_at(outcome, run), run.id.to_string());
    }
    for vent in lying_vents(outcome) {
        figure.stroke(vent.axis.iter().map(|at| at.truncate()), Pen::Bold);
    }
    for (drain, way) in super::house::ways_out(outcome) {
        figure.stroke(
            [drain.exit.at, drain.exit.at + way * SHOWN_OUTSIDE],
            Pen::Bold,
        );
    }
    for service in outcome.layout.services.iter().filter(|s| s.path.len() > 1) {
        figure.stroke(service.path.iter().copied(), Pen::Dashed);
        let stub = |stub: &fittings::Stub| stub.id == service.id;
        if !outcome.assembly.stubs.iter().any(stub) {
            figure.word(service.path[service.path.len() / 2], service.id.to_string());
        }
    }
    outcome
        .assembly
        .stubs
        .iter()
        .for_each(|stub| figure.dot(stub.at, name(stub)));
    figure
}

fn pipes(outcome: &Outcome, found: &Judged) -> Table {
    let mut table = Table::new([
        "Run",
        "Size",
        "From",
        "To",
        "Top, upper end",
        "Top, lower end",
        "Found top",
    ]);
    for (t, tree) in outcome.network.trees.iter().enumerate() {
        for (r, run) in tree.runs.iter().enumerate() {
            let line = &outcome.grades[t].lines[r];
            let (Some(first), Some(last)) = (run.bores.first(), run.bores.last()) else {
                continue;
            };
            let top = |invert: f64, size| {
                let pipe = outcome.catalog.pipe(size);
                height(trench::level::pipe_levels(invert, pipe.id(), pipe.od).crown)
            };
            table.row([
                run.id.to_string(),
                super::plan::sizes(run),
                place(run.path.inlet()),
                on_the_way(run.path.points()),
                top(line.inlet, first.size),
                top(line.outlet, last.size),
                levels(outcome, run, found),
            ]);
        }
    }
    for (t, tree) in outcome.network.trees.iter().enumerate() {
        table.rows.extend(outside(outcome, t, tree));
    }
    for vent in lying_vents(outcome) {
        let od = outcome.catalog.pipe(vent.size).od;
        let (Some(low), Some(high)) = (vent.axis.first(), vent.axis.last()) else {
            continue;
        };
        let downstream: Vec<DVec2> = vent.axis.iter().rev().map(|at| at.truncate()).collect();
        table.row([
            vent.name.clone(),
            vent.size.to_string(),
            place(high.truncate()),
            on_the_way(&downstream),
            height(high.z + od / 2.0),
            height(low.z + od / 2.0),
            String::new(),
        ]);
    }
    table
}

/// The bends between the first and the last of these places, and the last: `by 14'-0" E, 21'-0" N to ...`.
fn on_the_way(points: &[DVec2]) -> String {
    let [_, between @ .., last] = points else {
        return String::new();
    };
    let by: String = between
        .iter()
        .map(|at| format!("by {}, ", place(*at)))
        .collect();
    if by.is_empty() {
        return place(*last);
    }
    format!("{by}to {}", place(*last))
}

/// The line outside, where its lie is known.
fn outside(outcome: &Outcome, t: usize, tree: &network::Tree) -> Option<Vec<String>> {
    let drain = &outcome.layout.drains[tree.drain];
    let line = outcome.grades[t].outside.as_ref()?;
    let far = drain.line.length?;
    let size = drain.line_size(tree.runs.first()?.outlet_size());
    let pipe = outcome.catalog.pipe(size);
    let top = |invert: f64| height(trench::level::pipe_levels(invert, pipe.id(), pipe.od).crown);
    Some(vec![
        format!("{} outside", drain.id),
        size.to_string(),
        place(drain.exit.at),
        format!("{} on", feet_inches(far, 16)),
        top(line.start),
        top(line.arrives()),
        String::new(),
    ])
}

/// How much the hubs of the fittings stand out over their pipe, at the most, inches.
fn hubs_over(outcome: &Outcome) -> f64 {
    let parts = outcome
        .assembly
        .pieces
        .iter()
        .filter_map(fittings::Piece::part);
    let made = parts.filter_map(|part| outcome.catalog.get(part.pattern, part.sizes));
    let ends = made.flat_map(|fitting| &fitting.ends);
    let over = ends.map(|end| (end.hub_od - end.pipe_od) / 2.0);
    over.fold(0.0, f64::max)
}

/// What the floor is made of, top to bottom: `4" of concrete, a sheet, 6" of gravel`.
fn floor(outcome: &Outcome) -> String {
    let Some(slab) = &outcome.layout.slab else {
        return "not told".into();
    };
    let layers = slab.layers.iter().map(|layer| {
        let what = match layer.material {
            Material::Concrete => "concrete",
            Material::Foam => "foam",
            Material::Sheet => return "a sheet".to_owned(),
            Material::Gravel => "gravel",
            Material::Sand => "sand",
        };
        format!("{} of {what}", inches_text(layer.thickness, 16))
    });
    layers.collect::<Vec<_>>().join(", ")
}

/// Tops of pipe as measured on a run, each with its place: `-6 7/8" at 0+00, -6" at 0+12`.
fn levels(outcome: &Outcome, run: &network::Run, found: &Judged) -> String {
    let read = found.levels.iter().filter(|level| level.run == run.id);
    let tops = read.map(|level| {
        let pipe = outcome.catalog.pipe(run.size_at(level.station));
        let crown = trench::level::pipe_levels(level.measured, pipe.id(), pipe.od).crown;
        format!(
            "{} at {}",
            height(crown),
            super::profile::station(level.station)
        )
    });
    tops.collect::<Vec<_>>().join(", ")
}

fn services(outcome: &Outcome, found: &Judged) -> Table {
    let mut table = Table::new(["Line", "What", "From", "To", "Middle at", "Found"]);
    for service in &outcome.layout.services {
        let (Some(from), Some(to)) = (service.path.first(), service.path.last()) else {
            continue;
        };
        table.row([
            service.id.to_string(),
            kind(service.kind).into(),
            place(*from),
            place(*to),
            height(service.level),
            stub_found(found, service.id.as_str(), |stub| place(stub.measured)),
        ]);
    }
    table
}

fn kind(kind: ServiceKind) -> &'static str {
    match kind {
        ServiceKind::Water => "water",
        ServiceKind::SoilGas => "soil gas",
        ServiceKind::Conduit => "conduit",
        ServiceKind::Gas => "gas sleeve",
    }
}

/// What was measured of a stub, in words; empty when it was not.
fn stub_found(found: &Judged, name: &str, says: impl Fn(&StubRead) -> String) -> String {
    let read = found.stubs.iter().find(|stub| stub.id.as_str() == name);
    read.map_or_else(String::new, says)
}

fn stubs(outcome: &Outcome, found: &Judged) -> Table {
    let mut table = Table::new([
        "Stub", "Size", "East", "North", "Left at", "Found E", "Found N", "Found at",
    ]);
    for stub in &outcome.assembly.stubs {
        table.row([
            name(stub),
            size(stub),
            feet_inches(stub.at.x, 16),
            feet_inches(stub.at.y, 16),
            height(stub.top),
            stub_found(found, &name(stub), |read| feet_inches(read.measured.x, 16)),
            stub_found(found, &name(stub), |read| feet_inches(read.measured.y, 16)),
            stub_found(found, &name(stub), |read| {
                read.top
                    .map_or_else(String::new, |(_, measured)| height(measured))
            }),
        ]);
    }
    table
}
