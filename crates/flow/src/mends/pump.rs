//! The last resort: which fixtures cannot fall, and whether the rest can once those are pumped.

use grades::{Grades, Problem};

/// What is left of a drain's problem when the paths that are short by themselves are taken out of it.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Rest {
    /// Runs whose upstream end cannot fall: indices into the problem's runs.
    pub(super) pumped: Vec<usize>,
    /// The remaining problem; `None` when nothing can fall.
    pub(super) problem: Option<Problem>,
}

/// Takes out every path that is short by itself. `None` when no path is.
pub(super) fn rest(problem: &Problem, grades: &Grades) -> Option<Rest> {
    let starts = grades.starts(problem);
    let short = |start: &usize| {
        let path = grades.path(problem, *start);
        path.and_then(|path| path.spare())
            .is_some_and(|spare| spare < -units::SAME_LENGTH)
    };
    let pumped: Vec<usize> = starts
        .iter()
        .copied()
        .filter(|start| short(start))
        .collect();
    if pumped.is_empty() {
        return None;
    }
    let mut alive = vec![false; problem.runs.len()];
    starts
        .iter()
        .filter(|start| !pumped.contains(start))
        .for_each(|start| alive[*start] = true);
    Some(Rest {
        problem: left(problem, &alive),
        pumped,
    })
}

/// The runs with `alive` starts and all they flow through, each cut off at its highest remaining joint.
fn left(problem: &Problem, alive: &[bool]) -> Option<Problem> {
    let mut reach: Vec<Option<f64>> = alive
        .iter()
        .zip(&problem.runs)
        .map(|(a, run)| a.then_some(run.length))
        .collect();
    for r in (1..reach.len()).rev() {
        if let (Some(_), Some(join)) = (reach[r], &problem.runs[r].join) {
            let parent = &mut reach[join.parent];
            *parent = Some(parent.map_or(join.at, |far| far.max(join.at)));
        }
    }
    reach.first()?.as_ref()?;
    let mut index = vec![0; reach.len()];
    let mut runs = Vec::new();
    for (r, far) in reach.iter().enumerate() {
        let Some(far) = *far else { continue };
        index[r] = runs.len();
        let mut run = problem.runs[r].clone();
        run.length = far;
        run.steps.retain(|step| step.at < far);
        run.bounds.retain(|bound| bound.at <= far);
        if let Some(join) = run.join.as_mut() {
            join.parent = index[join.parent];
        }
        runs.push(run);
    }
    Some(Problem {
        runs,
        ..problem.clone()
    })
}
