//! With one grade, one window and one way everywhere the answer is the optimum of a linear program, whatever positive
//! weights the levels have. Compared with an independent solver.

use grades::{Lie, Problem, Side, solve};
use microlp::{ComparisonOp, OptimizationDirection, Variable};

use crate::random::{Dice, Taste, drain};

/// The exit and the outlets that a weighted sum of all levels is greatest for; `None` when there are none.
fn optimum(problem: &Problem, dice: &mut Dice) -> Option<Vec<f64>> {
    let mut program = microlp::Problem::new(OptimizationDirection::Maximize);
    let free = (-1e6, 1e6);
    let mut level = |weight: f64| program.add_var(weight, free);
    let exit = level(dice.number(0.25, 5.0));
    let outlets: Vec<Variable> = problem
        .runs
        .iter()
        .map(|_| level(dice.number(0.25, 5.0)))
        .collect();
    let mut at_most = |terms: &[(Variable, f64)], most: f64| {
        if most.is_finite() {
            program.add_constraint(terms, ComparisonOp::Le, most);
        }
    };
    let way = problem.exit.ways.first();
    at_most(
        &[(exit, 1.0), (outlets[0], -1.0)],
        -way.map_or(0.0, |w| w.drop_least),
    );
    at_most(
        &[(outlets[0], 1.0), (exit, -1.0)],
        way.map_or(0.0, |w| w.drop_most),
    );
    if let Some(way) = way {
        at_most(
            &[(exit, 1.0)],
            way.high.as_ref().map_or(f64::INFINITY, |l| l.level),
        );
        at_most(
            &[(exit, -1.0)],
            way.low.as_ref().map_or(f64::INFINITY, |l| -l.level),
        );
    }
    for (run, outlet) in problem.runs.iter().zip(&outlets) {
        let grade = run.menu[0];
        for bound in &run.bounds {
            let level = bound.level - run.rise(grade, bound.at);
            match bound.side {
                Side::NotAbove => at_most(&[(*outlet, 1.0)], level),
                Side::NotBelow => at_most(&[(*outlet, -1.0)], -level),
            }
        }
        if let Some(join) = &run.join {
            let parent = &problem.runs[join.parent];
            let (up, window) = (parent.rise(parent.menu[0], join.at), &join.windows[0]);
            at_most(
                &[(*outlet, 1.0), (outlets[join.parent], -1.0)],
                up + window.high,
            );
            at_most(
                &[(*outlet, -1.0), (outlets[join.parent], 1.0)],
                -up - window.low,
            );
        }
    }
    if let Some(tail) = &problem.tail {
        let receiver = tail.receiver.as_ref().expect("random tails have one").level;
        let least = match &tail.lie {
            Lie::Menu(menu) => menu[0],
            Lie::Straight(least) => *least,
        };
        at_most(&[(exit, -1.0)], -receiver - least.fall_over(tail.length));
        for bound in &tail.bounds {
            let part = bound.at / tail.length;
            let (weight, level) = match tail.lie {
                Lie::Menu(_) => (1.0, bound.level + least.fall_over(bound.at)),
                Lie::Straight(_) => (1.0 - part, bound.level - receiver * part),
            };
            match bound.side {
                Side::NotAbove => at_most(&[(exit, weight)], level),
                Side::NotBelow => at_most(&[(exit, -weight)], -level),
            }
        }
    }
    let solution = match program.solve() {
        Ok(outcome) => outcome.into_solution().expect("no limit was set"),
        Err(microlp::Error::Infeasible) => return None,
        Err(other) => panic!("the linear program itself failed: {other}"),
    };
    Some(
        std::iter::once(&exit)
            .chain(&outlets)
            .map(|v| solution.var_value(*v))
            .collect(),
    )
}

#[test]
fn same_optimum_for_every_positive_weighting() {
    let (mut feasible, mut not) = (0, 0);
    for start in 0..200 {
        let floors = usize::try_from(start % 4).unwrap_or(0);
        let problem = drain(
            &mut Dice::new(7000 + start),
            Taste {
                runs: 12,
                plain: true,
                floors,
            },
        );
        let grades = solve(&problem).unwrap();
        for weighting in 0..4 {
            match optimum(&problem, &mut Dice::new(start * 10 + weighting)) {
                None => {
                    not += 1;
                    assert!(!grades.is_feasible(), "drain {start}");
                }
                Some(levels) => {
                    feasible += 1;
                    assert!(grades.is_feasible(), "drain {start}");
                    let found = std::iter::once(grades.exit.level)
                        .chain(grades.lines.iter().map(|l| l.outlet));
                    for (mine, theirs) in found.zip(levels) {
                        assert!(
                            (mine - theirs).abs() < 1e-5,
                            "drain {start}: {mine} for {theirs}"
                        );
                    }
                }
            }
        }
    }
    assert!(
        feasible > 150 && not > 100,
        "{feasible} feasible, {not} not: too one-sided to prove much"
    );
}
