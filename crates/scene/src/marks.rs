//! Places worth a label.

use fittings::{Assembly, Part, StubOf};
use layout::Layout;
use units::feet_inches;

use crate::{Mark, MarkKind};

/// Stub-ups with their heights, inverts at the ends of runs, runs by name and grade, exits and receivers.
pub(crate) fn marks(layout: &Layout, assembly: &Assembly) -> Vec<Mark> {
    let mut marks = stubs(assembly);
    marks.extend(runs(assembly));
    marks.extend(ways_out(layout, assembly));
    marks
}

fn stubs(assembly: &Assembly) -> Vec<Mark> {
    let mark = |stub: &fittings::Stub| {
        let size = stub.size.map_or(String::new(), |size| format!("  {size}"));
        let (kind, what) = match stub.of {
            StubOf::Cleanout(_) => (MarkKind::Cleanout, ""),
            StubOf::Vent(_) => (MarkKind::Stub, " vent"),
            StubOf::Fixture(_) | StubOf::Service(_) => (MarkKind::Stub, ""),
        };
        let sign = if stub.top >= 0.0 { "+" } else { "" };
        let text = format!(
            "{}{what}{size}  {sign}{}",
            stub.id,
            units::inches_text(stub.top, 8)
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

fn runs(assembly: &Assembly) -> Vec<Mark> {
    let mut marks = Vec::new();
    for line in assembly.runs.iter().flatten() {
        let pipes = assembly
            .bodies
            .iter()
            .filter(|body| body.id == line.id && body.part == Part::Pipe);
        let bodies: Vec<_> = pipes.collect();
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
                format!("invert {}", feet_inches(line.inlet, 8)),
            )
        }));
        marks.extend(down.map(|at| {
            mark(
                MarkKind::Invert,
                at,
                format!("invert {}", feet_inches(line.outlet, 8)),
            )
        }));
    }
    marks
}

fn ways_out(layout: &Layout, assembly: &Assembly) -> Vec<Mark> {
    let mut marks = Vec::new();
    for drain in &layout.drains {
        let line = assembly
            .bodies
            .iter()
            .find(|body| body.id == drain.id && body.part == Part::Pipe);
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
                feet_inches(at.z, 8)
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
