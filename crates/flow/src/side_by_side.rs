//! Two threads for layouts of thousands of runs. Which thread does what depends on the machine; what comes out does not.

use std::{
    panic,
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

use catalog::Catalog;
use checks::{Case, Finding, rules};
use codes::Rules;
use fittings::Assembly;
use grades::{Grades, Malformed, Problem};
use layout::Layout;
use network::Network;
use scene::Scene;

/// From so many runs on a second thread saves far more than it takes to start: no house has as many.
const MANY_RUNS: usize = 1_000;

/// Whether a layout of so many runs is worth a second thread.
pub(crate) fn pays(runs: usize) -> bool {
    runs >= MANY_RUNS
}

/// What both pieces of work give, the first of them done by a thread of its own.
pub(crate) fn both<A: Send, B>(one: impl FnOnce() -> A + Send, two: impl FnOnce() -> B) -> (A, B) {
    thread::scope(|scope| {
        let one = scope.spawn(one);
        let two = two();
        let one = one
            .join()
            .unwrap_or_else(|cause| panic::resume_unwind(cause));
        (one, two)
    })
}

/// [`grades::solve`] of each problem, in their order.
pub(crate) fn solve(problems: &[Problem]) -> Vec<Result<Grades, Malformed>> {
    let all = |problems: &[Problem]| problems.iter().map(grades::solve).collect::<Vec<_>>();
    let (first, second) = problems.split_at(problems.len() / 2);
    let (mut solved, more) = both(|| all(first), || all(second));
    solved.extend(more);
    solved
}

/// [`fittings::fit`], each thread laying half of the trees.
pub(crate) fn fit(
    network: &Network,
    grades: &[Grades],
    layout: &Layout,
    catalog: &Catalog,
    rules: &Rules,
) -> Assembly {
    let all = network.trees.len();
    let lay = |trees| fittings::place(network, grades, layout, catalog, rules, trees);
    let (first, second) = both(|| lay(0..all / 2), || lay(all / 2..all));
    fittings::fit_placed(network, grades, layout, catalog, rules, first.and(second))
}

/// [`scene::build`].
pub(crate) fn scene(layout: &Layout, assembly: &Assembly, catalog: &Catalog) -> Scene {
    let pipes = || assembly.bodies.clone();
    let (pipes, scene) = both(pipes, || scene::around(layout, assembly, catalog));
    Scene { pipes, ..scene }
}

/// [`checks::judge`], each thread taking the next rule as soon as it is free.
pub(crate) fn judge(case: &Case) -> Vec<Finding> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut found = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(rule) = rules::ALL.get(at) else {
                return found;
            };
            found.push((at, checks::found(rule, case)));
        }
    };
    let (mut found, more) = both(work, work);
    found.extend(more);
    found.sort_by_key(|(rule, _)| *rule);
    let mut findings: Vec<Finding> = found.into_iter().flat_map(|(_, found)| found).collect();
    Finding::sort(&mut findings);
    findings
}
