//! Places worth a label.

use std::collections::BTreeMap;

use fittings::{Assembly, Body, Part, StubOf};
use layout::Layout;
use units::{Id, feet_inches};

use crate::{Mark, MarkKind};

/// Stub-ups with their heights, inverts at the ends of runs, runs by name and grade, exits and receivers.
pub(crate) fn marks(layout: &Layout, assembly: &Assembly, pipes: &Pipes) -> Vec<Mark> {
    let mut marks = stubs(assembly);
    marks.extend(runs(assembly, pipes));
    marks.extend(ways_out(layout, pipes));
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

fn runs(assembly: &Assembly, pipes: &Pipes) -> Vec<Mark> {
    let mut marks = Vec::new();
    for line in assembly.runs.iter().flatten() {
        let bodies = pipes.get(&line.id).map_or(&[][..], Vec::as_slice);
        let (Some(first), Some(last)) = (bodies.first(), bodies.last()) else {
            continue;
        };
        let longest = bodies
            .iter()
            .flat_map(|body| &body.tubes)
            .max_by(|a, b| a.a.distance(a.b).total_cmp(&b.a.distance(b.b)));
        let middle = longest.map(|tube| tube.a.midpoint(tube.b));
        let mark = |kind, at, text| Mark {
            id: line.id.clone(),
            kind,
            at,
            text,
        };
        marks.extend(middle.map(|at| {
            mark(
                MarkKind::Run,
                at,
                format!("{}  {}  {}/ft", line.id, first.size, line.grade),
            )
        }));
        let up = first.tubes.first().map(|tube| tube.a);
        let down = last.tubes.last().map(|tube| tube.b);
        marks.extend(up.map(|at| {
            mark(
                MarkKind::Invert,
                at,
                ["invert ", &feet_inches(line.inlet, 16)].concat(),
            )
        }));
        marks.extend(down.map(|at| {
            mark(
                MarkKind::Invert,
                at,
                ["invert ", &feet_inches(line.outlet, 16)].concat(),
            )
        }));
    }
    marks
}

fn ways_out(layout: &Layout, pipes: &Pipes) -> Vec<Mark> {
    let mut marks = Vec::new();
    for drain in &layout.drains {
        let line = pipes.get(&drain.id).and_then(|bodies| bodies.first());
        let Some(line) = line else { continue };
        let half = line.tubes.first().map_or(0.0, |tube| tube.radius);
        for (tube, at, kind, what) in [
            (
                line.tubes.first(),
                line.tubes.first().map(|tube| tube.a),
                MarkKind::Exit,
                "leaves",
            ),
            (
                line.tubes.last(),
                line.tubes.last().map(|tube| tube.b),
                MarkKind::Receiver,
                "arrives",
            ),
        ] {
            let (Some(_), Some(at)) = (tube, at) else {
                continue;
            };
            let text = format!(
                "{} {what}  {}  centre {}",
                drain.id,
                line.size,
                feet_inches(at.z, 16)
            );
            marks.push(Mark {
                id: drain.id.clone(),
                kind,
                at: at + glam::DVec3::Z * half,
                text,
            });
        }
    }
    marks
}
