//! Places worth a label.

use std::collections::BTreeMap;

use catalog::Catalog;
use fittings::{Assembly, Body, Part, StubOf, Tube};
use glam::DVec3;
use layout::Layout;
use units::{Id, Size, feet_inches};

use crate::{Mark, MarkKind};

/// Stub-ups with their heights, inverts at the ends of runs, runs by name and grade, exits and receivers.
pub(crate) fn marks(
    layout: &Layout,
    assembly: &Assembly,
    pipes: &Pipes,
    catalog: &Catalog,
) -> Vec<Mark> {
    let mut marks = stubs(assembly);
    marks.extend(runs(assembly, pipes, catalog));
    marks.extend(ways_out(layout, pipes, catalog));
    marks
}

fn stubs(assembly: &Assembly) -> Vec<Mark> {
    let mark = |stub: &fittings::Stub| {
        let size = stub.size.map_or(String::new(), |size| format!("  {size}"));
        let kind = match stub.of {
            StubOf::Cleanout(_) => MarkKind::Cleanout,
            StubOf::Fixture(_) | StubOf::Vent(_) | StubOf::Return(_) | StubOf::Service(_) => {
                MarkKind::Stub
            }
        };
        let sign = if stub.top >= 0.0 { "+" } else { "" };
        let text = format!(
            "{}{size}  {sign}{}",
            stub.name(),
            units::inches_text(stub.top, 16)
        );
        Mark {
            id: stub.id.clone(),
            kind,
            at: stub.at.extend(stub.top),
            text,
        }
    };
    assembly.stubs.iter().map(mark).collect()
}

/// The pipe bodies of each name, in their order.
pub(crate) type Pipes<'a> = BTreeMap<&'a Id, Vec<&'a Body>>;

/// Every pipe body by its name.
pub(crate) fn pipes_by_id(assembly: &Assembly) -> Pipes<'_> {
    let mut by_id = Pipes::new();
    let pipes = assembly
        .bodies
        .iter()
        .filter(|body| body.part == Part::Pipe);
    pipes.for_each(|body| by_id.entry(&body.id).or_default().push(body));
    by_id
}

fn runs(assembly: &Assembly, pipes: &Pipes, catalog: &Catalog) -> Vec<Mark> {
    let mut marks = Vec::new();
    for line in assembly.runs.iter().flatten() {
        let bodies = pipes.get(&line.id).map_or(&[][..], Vec::as_slice);
        let (Some(first), Some(last)) = (bodies.first(), bodies.last()) else {
            continue;
        };
        let tubes = || {
            bodies
                .iter()
                .flat_map(|body| body.tubes.iter().map(move |tube| (*body, tube)))
        };
        let longest = tubes().max_by(|a, b| long(a.1).total_cmp(&long(b.1)));
        let mark = |kind, at, text| Mark {
            id: line.id.clone(),
            kind,
            at,
            text,
        };
        marks.extend(longest.map(|(body, tube)| {
            let text = format!("{}  {}  {}/ft", line.id, body.size, line.grade);
            mark(MarkKind::Run, tube.a.midpoint(tube.b), text)
        }));
        let slope = line.grade.in_per_ft() / 12.0;
        let up = first.tubes.first().map(|tube| {
            let end = invert(tube.a, first.size, catalog);
            carried(end, tube, line.inlet, slope)
        });
        let down = last.tubes.last().map(|tube| {
            let end = invert(tube.b, last.size, catalog);
            carried(end, tube, line.outlet, slope)
        });
        for at in up.into_iter().chain(down) {
            let text = ["invert ", &feet_inches(at.z, 16)].concat();
            marks.push(mark(MarkKind::Invert, at, text));
        }
    }
    marks
}

fn long(tube: &Tube) -> f64 {
    tube.a.distance(tube.b)
}

/// The inside bottom under a place on a pipe's axis.
fn invert(axis: DVec3, size: Size, catalog: &Catalog) -> DVec3 {
    axis - DVec3::Z * catalog.pipe(size).id() / 2.0
}

/// The invert at the end of a pipe, carried along its fall to where the line has `level`: past the fitting at the run's end. Where
/// that is no such way, for the join drops, it stays at the pipe.
fn carried(end: DVec3, tube: &Tube, level: f64, slope: f64) -> DVec3 {
    let along = (tube.b - tube.a).truncate().normalize_or_zero();
    let by = (end.z - level) / slope.max(f64::MIN_POSITIVE);
    if by.abs() > CARRIED {
        return end;
    }
    (end.truncate() + along * by).extend(level)
}

/// A run's end lies no farther beyond its last piece of pipe, inches: the fitting there. Our choice.
const CARRIED: f64 = 18.0;

fn ways_out(layout: &Layout, pipes: &Pipes, catalog: &Catalog) -> Vec<Mark> {
    let mut marks = Vec::new();
    for drain in &layout.drains {
        let line = pipes.get(&drain.id).and_then(|bodies| bodies.first());
        let Some(line) = line else { continue };
        let ends = [
            (
                line.tubes.first().map(|tube| tube.a),
                MarkKind::Exit,
                "leaves",
            ),
            (
                line.tubes.last().map(|tube| tube.b),
                MarkKind::Receiver,
                "arrives",
            ),
        ];
        for (at, kind, what) in ends {
            let Some(at) = at.map(|at| invert(at, line.size, catalog)) else {
                continue;
            };
            let level = feet_inches(at.z, 16);
            marks.push(Mark {
                id: drain.id.clone(),
                kind,
                at,
                text: format!("{} {what}  {}  invert {level}", drain.id, line.size),
            });
        }
    }
    marks
}
