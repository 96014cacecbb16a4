//! Short ways to write a problem.

use grades::{
    Bound, Exit, Join, JoinKind, Lie, Limit, Member, Problem, Run, Step, Tail, Way, WayKind, Window,
};
use units::Grade;

pub(crate) const QUARTER: Grade = Grade::QUARTER;
pub(crate) const EIGHTH: Grade = Grade::EIGHTH;
/// Half the difference of the inside diameters, 2 to 3 in (scenarios, shared conventions).
pub(crate) const TWO_TO_THREE: f64 = 0.5005;
/// The same, 3 to 4 in.
pub(crate) const THREE_TO_FOUR: f64 = 0.479;

pub(crate) fn grade(in_per_ft: f64) -> Grade {
    Grade::from_in_per_ft(in_per_ft).expect("a finite grade")
}

pub(crate) fn feet(feet: f64) -> f64 {
    feet * 12.0
}

pub(crate) fn who(id: &str) -> Member {
    Member::new(id, "told")
}

pub(crate) fn run(id: &str, length: f64, menu: &[Grade]) -> Run {
    let (steps, bounds, menu) = (vec![], vec![], menu.to_vec());
    Run {
        id: id.into(),
        length,
        menu,
        steps,
        bounds,
        join: None,
    }
}

pub(crate) fn step(at: f64, drop: f64, id: &str) -> Step {
    Step {
        at,
        drop,
        who: who(id),
    }
}

pub(crate) fn flat(parent: usize, at: f64) -> Join {
    joined(parent, at, &[(JoinKind::Flat, 0.0, 0.0)])
}

pub(crate) fn joined(parent: usize, at: f64, windows: &[(JoinKind, f64, f64)]) -> Join {
    let window = |&(kind, low, high): &(JoinKind, f64, f64)| Window {
        kind,
        low,
        high,
        who: who("wye"),
    };
    let windows = windows.iter().map(window).collect();
    Join {
        parent,
        at,
        windows,
    }
}

pub(crate) fn way(kind: WayKind, low: Option<f64>, high: Option<f64>, drop: (f64, f64)) -> Way {
    let limit = |id: &str, level| Limit {
        level,
        who: who(id),
    };
    Way {
        kind,
        low: low.map(|l| limit("sleeve bottom", l)),
        high: high.map(|l| limit("sleeve top", l)),
        drop_least: drop.0,
        drop_most: drop.1,
        who: who("opening"),
    }
}

pub(crate) fn tail(length: f64, lie: Lie, receiver: f64) -> Tail {
    let receiver = Some(Limit {
        level: receiver,
        who: who("tank"),
    });
    Tail {
        id: "sewer".into(),
        length,
        lie,
        bounds: vec![],
        receiver,
        drop: None,
    }
}

pub(crate) fn problem(runs: Vec<Run>, tail: Option<Tail>) -> Problem {
    Problem {
        id: "main".into(),
        runs,
        exit: Exit {
            id: "exit".into(),
            ways: vec![],
        },
        tail,
    }
}

pub(crate) fn cap(at: f64, level: f64, id: &str) -> Bound {
    Bound::cap(at, level, who(id))
}

pub(crate) fn floor(at: f64, level: f64, id: &str) -> Bound {
    Bound::floor(at, level, who(id))
}

/// The tolerance the hand work is good for.
#[track_caller]
pub(crate) fn near(found: f64, by_hand: f64) {
    assert!(
        (found - by_hand).abs() <= 0.03,
        "found {found:.4}, by hand {by_hand}"
    );
}
