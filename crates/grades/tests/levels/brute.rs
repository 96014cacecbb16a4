//! Against enumeration: every grade, window, way and outside grade in turn, each a system of differences whose greatest
//! solution is found by relaxation. Shares no code with the solver.

use grades::{Lie, Problem, Run, Side, Tail, solve};
use units::Grade;

use crate::random::{Dice, Taste, drain};

const SAME: f64 = 1e-7;

/// One choice of everything that can be chosen.
struct Choice {
    grades: Vec<f64>,
    windows: Vec<(f64, f64)>,
    way: Option<usize>,
    outside: Option<f64>,
}

fn rise(run: &Run, grade: f64, at: f64) -> f64 {
    let mut rise = grade / 12.0 * at;
    for step in &run.steps {
        if step.at < at {
            rise += step.drop;
        }
    }
    rise
}

/// Bounds on the exit as (cap?, level) at one lie of the line outside.
fn outside_bounds(tail: &Tail, grade: f64) -> Vec<(bool, f64)> {
    let receiver = tail.receiver.as_ref().expect("random tails have one").level;
    let mut found = vec![(false, receiver + grade / 12.0 * tail.length)];
    for bound in &tail.bounds {
        let t = bound.at / tail.length;
        let exit = match tail.lie {
            Lie::Menu(_) => bound.level + grade / 12.0 * bound.at,
            Lie::Straight(_) => (bound.level - receiver * t) / (1.0 - t),
        };
        found.push((bound.side == Side::NotAbove, exit));
    }
    found
}

/// The greatest levels [exit, outlets...] of one choice, if its floors hold.
fn greatest(problem: &Problem, choice: &Choice) -> Option<Vec<f64>> {
    let count = problem.runs.len();
    let mut level = vec![f64::INFINITY; count + 1];
    let mut floors = vec![f64::NEG_INFINITY; count + 1];
    let mut edges: Vec<(usize, usize, f64)> = Vec::new(); // level[a] <= level[b] + c
    let (mut least, mut most) = (0.0, 0.0);
    if let Some(way) = choice.way.map(|k| &problem.exit.ways[k]) {
        (least, most) = (way.drop_least, way.drop_most);
        level[0] = way.high.as_ref().map_or(f64::INFINITY, |l| l.level);
        floors[0] = way.low.as_ref().map_or(f64::NEG_INFINITY, |l| l.level);
    }
    edges.extend([(0, 1, -least), (1, 0, most)]);
    if let Some((tail, grade)) = problem.tail.as_ref().zip(choice.outside) {
        for (is_cap, exit) in outside_bounds(tail, grade) {
            if is_cap {
                level[0] = level[0].min(exit);
            } else {
                floors[0] = floors[0].max(exit);
            }
        }
    }
    for (i, run) in problem.runs.iter().enumerate() {
        for bound in &run.bounds {
            let outlet = bound.level - rise(run, choice.grades[i], bound.at);
            match bound.side {
                Side::NotAbove => level[i + 1] = level[i + 1].min(outlet),
                Side::NotBelow => floors[i + 1] = floors[i + 1].max(outlet),
            }
        }
        if let Some(join) = &run.join {
            let up = rise(
                &problem.runs[join.parent],
                choice.grades[join.parent],
                join.at,
            );
            let (low, high) = choice.windows[i];
            edges.extend([
                (i + 1, join.parent + 1, up + high),
                (join.parent + 1, i + 1, -low - up),
            ]);
        }
    }
    for _ in 0..=count + 1 {
        for &(a, b, c) in &edges {
            level[a] = level[a].min(level[b] + c);
        }
    }
    level
        .iter()
        .zip(&floors)
        .all(|(l, f)| *l >= f - SAME)
        .then_some(level)
}

/// The preorder list that is to be greatest.
fn key(problem: &Problem, choice: &Choice, levels: &[f64]) -> Vec<f64> {
    let mut key = vec![levels[0]];
    for (i, run) in problem.runs.iter().enumerate() {
        key.extend([
            levels[i + 1],
            levels[i + 1] + rise(run, choice.grades[i], run.length),
        ]);
    }
    key
}

fn compare(a: &[f64], b: &[f64]) -> std::cmp::Ordering {
    let apart = a.iter().zip(b).find(|(x, y)| (**x - **y).abs() > SAME);
    apart.map_or(std::cmp::Ordering::Equal, |(x, y)| x.total_cmp(y))
}

/// Every choice, by counting in mixed radix.
fn choices(problem: &Problem) -> Vec<Choice> {
    let tail_menu: Vec<f64> = match problem.tail.as_ref().map(|t| &t.lie) {
        None => vec![],
        Some(Lie::Menu(menu)) => menu.iter().map(|g| g.in_per_ft()).collect(),
        Some(Lie::Straight(least)) => vec![least.in_per_ft()],
    };
    let ways = problem.exit.ways.len();
    let mut radix = vec![tail_menu.len().max(1), ways.max(1)];
    for run in &problem.runs {
        radix.extend([
            run.menu.len(),
            run.join.as_ref().map_or(1, |j| j.windows.len()),
        ]);
    }
    let total: usize = radix.iter().product();
    let one = |number: usize| {
        let mut left = number;
        let digits: Vec<usize> = radix
            .iter()
            .map(|r| {
                let d = left % r;
                left /= r;
                d
            })
            .collect();
        let window = |(i, run): (usize, &Run)| {
            run.join.as_ref().map_or((0.0, 0.0), |j| {
                (
                    j.windows[digits[3 + 2 * i]].low,
                    j.windows[digits[3 + 2 * i]].high,
                )
            })
        };
        Choice {
            grades: problem
                .runs
                .iter()
                .enumerate()
                .map(|(i, r)| r.menu[digits[2 + 2 * i]].in_per_ft())
                .collect(),
            windows: problem.runs.iter().enumerate().map(window).collect(),
            way: (ways > 0).then_some(digits[1]),
            outside: tail_menu.get(digits[0]).copied(),
        }
    };
    (0..total).map(one).collect()
}

/// The best key and the steepest outside grade that reaches it.
fn best(problem: &Problem) -> Option<(Vec<f64>, Option<f64>)> {
    let mut best: Option<(Vec<f64>, Option<f64>)> = None;
    for choice in choices(problem) {
        let Some(levels) = greatest(problem, &choice) else {
            continue;
        };
        let found = key(problem, &choice, &levels);
        let order = best
            .as_ref()
            .map_or(std::cmp::Ordering::Greater, |b| compare(&found, &b.0));
        match order {
            std::cmp::Ordering::Greater => best = Some((found, choice.outside)),
            std::cmp::Ordering::Equal => {
                let kept = best.as_mut().expect("equal to something");
                kept.1 = kept.1.max_by_value(choice.outside);
            }
            std::cmp::Ordering::Less => {}
        }
    }
    best
}

trait MaxByValue {
    fn max_by_value(self, other: Self) -> Self;
}

impl MaxByValue for Option<f64> {
    fn max_by_value(self, other: Self) -> Self {
        self.zip(other).map(|(a, b)| a.max(b))
    }
}

#[test]
fn same_feasibility_and_levels_as_enumeration() {
    let (mut feasible, mut not) = (0, 0);
    for start in 0..600 {
        let floors = usize::try_from(start % 5).unwrap_or(0);
        let problem = drain(
            &mut Dice::new(start),
            Taste {
                runs: 5,
                plain: false,
                floors,
            },
        );
        let grades = solve(&problem).unwrap_or_else(|e| panic!("drain {start}: {e}"));
        match best(&problem) {
            None => {
                not += 1;
                assert!(
                    !grades.is_feasible(),
                    "drain {start} has no solution: {problem:#?}"
                );
            }
            Some((expected, outside)) => {
                feasible += 1;
                assert!(
                    grades.is_feasible(),
                    "drain {start} has one: {problem:#?} {:#?}",
                    grades.conflicts
                );
                let mut found = vec![grades.exit.level];
                found.extend(grades.lines.iter().flat_map(|l| [l.outlet, l.inlet]));
                assert!(
                    compare(&found, &expected).is_eq(),
                    "drain {start}: {found:?} for {expected:?}: {problem:#?}"
                );
                if let Some(Lie::Menu(_)) = problem.tail.as_ref().map(|t| &t.lie) {
                    let line = grades.outside.as_ref().expect("a line outside");
                    assert_eq!(Some(line.in_per_ft), outside, "drain {start}");
                }
            }
        }
    }
    assert!(
        feasible > 150 && not > 100,
        "{feasible} feasible, {not} not: too one-sided to prove much"
    );
}

#[test]
fn grade_order_in_the_menu_does_not_matter() {
    for start in 0..100 {
        let problem = drain(
            &mut Dice::new(start),
            Taste {
                runs: 6,
                plain: false,
                floors: 2,
            },
        );
        let mut turned = problem.clone();
        for run in &mut turned.runs {
            run.menu.reverse();
        }
        let levels = |p: &Problem| {
            solve(p)
                .unwrap()
                .lines
                .iter()
                .map(|l| (l.outlet, l.grade))
                .collect::<Vec<(f64, Grade)>>()
        };
        assert_eq!(levels(&problem), levels(&turned), "drain {start}");
    }
}
