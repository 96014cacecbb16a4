//! Heat between gluing and the pour: pipe glued in the sun shrinks by the cool morning the concrete comes.

use units::Id;

use super::{Judged, Said, StubRead, Weight};
use crate::{
    book::{Stage, What},
    plan::Plan,
    say::{inches, names},
};

/// Less than this is not told, inches: a tape does not show it.
const TOLD: f64 = 1.0 / 16.0;

/// What heat moves at one stub.
#[derive(Clone, PartialEq, Debug)]
pub struct Heat {
    /// The stub.
    pub stub: Id,
    /// Degrees F when it was glued and on the morning of the pour.
    pub degrees_f: (f64, f64),
    /// Inches the pipe from the exit to it shortens; negative grows.
    pub shortens: f64,
}

pub(super) fn judge(plan: Plan, judged: &mut Judged, said: &mut Vec<Said>) {
    for drain in &plan.layout().drains {
        let at = |stage| {
            let of_drain = plan
                .book
                .readings
                .iter()
                .filter(|r| r.of == drain.id && r.stage == stage);
            of_drain
                .filter_map(|reading| match reading.what {
                    What::Heat(degrees) => Some((degrees, reading.id.clone())),
                    _ => None,
                })
                .next_back()
        };
        let (Some(glued), Some(pour)) = (at(Stage::Glued), at(Stage::Pour)) else {
            continue;
        };
        let moves = moves(plan, &drain.id, (glued.0, pour.0));
        said.push(told(drain.id.clone(), &moves, &judged.stubs, (glued, pour)));
        judged.heat.extend(moves);
    }
}

fn moves(plan: Plan, drain: &Id, degrees_f: (f64, f64)) -> Vec<Heat> {
    let tree = plan.trees().iter().position(|tree| tree.id == *drain);
    let on_drain = |closure: &&fittings::Closure| {
        let run = plan
            .runs()
            .find(|planned| match (closure.of, planned.run.start) {
                (fittings::StubOf::Fixture(a), network::Start::Fixture(b)) => a == b,
                _ => false,
            });
        run.is_some_and(|planned| Some(planned.tree) == tree)
    };
    let closures = plan.outcome.assembly.closures.iter().filter(on_drain);
    closures
        .map(|closure| Heat {
            stub: closure.id.clone(),
            degrees_f,
            shortens: closure.shrink_per_10f * (degrees_f.0 - degrees_f.1) / 10.0,
        })
        .collect()
}

type AtStage = (f64, Id);

fn told(drain: Id, moves: &[Heat], stubs: &[StubRead], (glued, pour): (AtStage, AtStage)) -> Said {
    let far: Vec<&Heat> = moves
        .iter()
        .filter(|one| one.shortens.abs() >= TOLD)
        .collect();
    let most = far
        .iter()
        .max_by(|a, b| a.shortens.abs().total_cmp(&b.shortens.abs()));
    let out: Vec<Id> = far
        .iter()
        .filter(|one| {
            stubs
                .iter()
                .any(|s| s.id == one.stub && s.play < one.shortens.abs())
        })
        .map(|one| one.stub.clone())
        .collect();
    let way = if glued.0 > pour.0 {
        "shortened"
    } else {
        "lengthened"
    };
    let says = match most {
        None => format!(
            "{drain} was glued at {} F and is poured at {} F: nothing moves that a tape would show",
            glued.0, pour.0
        ),
        Some(most) => format!(
            "{drain} was glued at {} F and is poured at {} F: its pipe has {way}, most at {}, by {}",
            glued.0,
            pour.0,
            most.stub,
            inches(most.shortens)
        ),
    };
    let next = if !out.is_empty() {
        format!(
            "measure {} again this morning: it has less play than that",
            names(&out)
        )
    } else if most.is_some() {
        "measure the farthest stubs again this morning, with the pipe as cool as the concrete will find it".into()
    } else {
        String::new()
    };
    Said {
        explained: false,
        weight: if most.is_some() {
            Weight::Look
        } else {
            Weight::Nothing
        },
        items: vec![drain],
        readings: vec![glued.1, pour.1],
        says,
        next,
    }
}
