//! What our own algorithms are measured against: a linear program for the levels, all pairs for the clashes.

use checks::geometry::{near_pairs, tube_box, tube_to_tube};
use grades::{Lie, Problem, Side, Way};
use microlp::{ComparisonOp, OptimizationDirection, Variable};
use scene::{Scene, Tube};

/// The exit level a general solver finds for a drain of one grade and one window everywhere: the greatest.
///
/// A linear program knows no either-or. Ways out exclude each other (through the wall, or under its footing), so it is
/// given the one our solver took: all of them at once leave no level at all.
pub(crate) fn general_solver(problem: &Problem, way: &Way) -> f64 {
    let mut program = microlp::Problem::new(OptimizationDirection::Maximize);
    let exit = program.add_var(1.0, (-1e6, 1e6));
    let outlets: Vec<Variable> = problem
        .runs
        .iter()
        .map(|_| program.add_var(1.0, (-1e6, 1e6)))
        .collect();
    program.add_constraint([(exit, 1.0), (outlets[0], -1.0)], ComparisonOp::Eq, 0.0);
    if let Some(high) = &way.high {
        program.add_constraint([(exit, 1.0)], ComparisonOp::Le, high.level);
    }
    if let Some(low) = &way.low {
        program.add_constraint([(exit, 1.0)], ComparisonOp::Ge, low.level);
    }
    for (run, outlet) in problem.runs.iter().zip(&outlets) {
        for bound in &run.bounds {
            let side = match bound.side {
                Side::NotAbove => ComparisonOp::Le,
                Side::NotBelow => ComparisonOp::Ge,
            };
            let level = bound.level - run.rise(run.menu[0], bound.at);
            program.add_constraint([(*outlet, 1.0)], side, level);
        }
        if let Some(join) = &run.join {
            let parent = &problem.runs[join.parent];
            let above = parent.rise(parent.menu[0], join.at) + join.windows[0].low;
            let both = [(*outlet, 1.0), (outlets[join.parent], -1.0)];
            program.add_constraint(both, ComparisonOp::Eq, above);
        }
    }
    outside(problem, exit, &mut program);
    let solved = program.solve().expect("the generated drains can fall");
    let solution = solved.into_solution().expect("no limit was set");
    solution.var_value(exit)
}

fn outside(problem: &Problem, exit: Variable, program: &mut microlp::Problem) {
    let Some(tail) = &problem.tail else { return };
    let (Some(receiver), Lie::Straight(least)) = (&tail.receiver, &tail.lie) else {
        return;
    };
    let lowest = receiver.level + least.fall_over(tail.length);
    program.add_constraint([(exit, 1.0)], ComparisonOp::Ge, lowest);
    for bound in &tail.bounds {
        let part = bound.at / tail.length;
        if part < 1.0 {
            let level = bound.level - receiver.level * part;
            program.add_constraint([(exit, 1.0 - part)], ComparisonOp::Le, level);
        }
    }
}

/// Every tube of a scene.
pub(crate) fn tubes(scene: &Scene) -> Vec<Tube> {
    scene
        .pipes
        .iter()
        .flat_map(|body| body.tubes.iter().copied())
        .collect()
}

/// How many pairs of tubes stand in one another, by the tree of boxes.
pub(crate) fn near_pairs_by_tree(tubes: &[Tube]) -> usize {
    let boxes: Vec<_> = tubes.iter().map(|tube| tube_box(tube, 0.0)).collect();
    near_pairs(&boxes)
        .into_iter()
        .filter(|(a, b)| overlap(&tubes[*a], &tubes[*b]))
        .count()
}

/// The same by trying every pair.
pub(crate) fn near_pairs_by_trying_all(tubes: &[Tube]) -> usize {
    let later = |a: usize| {
        (a + 1..tubes.len())
            .filter(move |&b| overlap(&tubes[a], &tubes[b]))
            .count()
    };
    (0..tubes.len()).map(later).sum()
}

fn overlap(a: &Tube, b: &Tube) -> bool {
    tube_to_tube(a, b).is_ok_and(|gap| gap.inches < 0.0)
}
