//! What each stretch of drain carries, for the rules about sizes.

use std::borrow::Cow;

use layout::FixtureKind;
use network::Run;
use units::{SAME_LENGTH, Size};

use crate::{Case, reach};

/// A stretch of one size on a run.
pub(crate) struct Stretch<'a> {
    pub(crate) tree: usize,
    pub(crate) index: usize,
    pub(crate) run: &'a Run,
    pub(crate) size: Size,
    /// Stations of its ends.
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// All that drains through its lower end: indices into the layout's fixtures.
    pub(crate) fixtures: Cow<'a, [usize]>,
}

impl Stretch<'_> {
    /// How many of its fixtures are of a kind.
    pub(crate) fn count(&self, case: &Case, is: impl Fn(FixtureKind) -> bool) -> usize {
        self.fixtures
            .iter()
            .filter(|f| is(case.layout.fixtures[**f].kind))
            .count()
    }

    /// The middle of it, on the invert.
    pub(crate) fn at(&self, case: &Case) -> glam::DVec3 {
        reach::place(
            case,
            self.tree,
            self.index,
            f64::midpoint(self.from, self.to),
        )
    }
}

/// Every stretch of every run, in the network's order.
pub(crate) fn stretches<'a>(case: &Case<'a>) -> Vec<Stretch<'a>> {
    let mut all = Vec::new();
    for (t, tree) in case.network.trees.iter().enumerate() {
        for (r, run) in tree.runs.iter().enumerate() {
            of_run(&mut all, (t, r), tree, run);
        }
    }
    all
}

fn of_run<'a>(
    all: &mut Vec<Stretch<'a>>,
    (tree, index): (usize, usize),
    of: &'a network::Tree,
    run: &'a Run,
) {
    let ends = run.bores.iter().skip(1).map(|bore| bore.from).chain([0.0]);
    for (bore, to) in run.bores.iter().zip(ends) {
        // The last stretch carries all; only a run that grows has to be looked through.
        let fixtures = if to <= SAME_LENGTH {
            Cow::Borrowed(&run.fixtures[..])
        } else {
            let joins = |r: &&Run| r.join.is_some_and(|join| join.parent == index);
            let branches: Vec<&Run> = of.runs[index..].iter().filter(joins).collect();
            Cow::Owned(reach::upstream(run, &branches, to + SAME_LENGTH))
        };
        if bore.from - to > SAME_LENGTH || run.path.length() <= SAME_LENGTH {
            all.push(Stretch {
                tree,
                index,
                run,
                size: bore.size,
                from: bore.from,
                to,
                fixtures,
            });
        }
    }
}

/// A count of units as people say it: `4`, `7.5`.
pub(crate) fn units(dfu: f64) -> String {
    format!("{dfu}")
}
