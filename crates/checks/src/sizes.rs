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
pub(crate) fn stretches<'a>(case: &Case<'a>) -> impl Iterator<Item = Stretch<'a>> + use<'a> {
    let trees = case.network.trees.iter().enumerate();
    trees.flat_map(|(t, tree)| (0..tree.runs.len()).flat_map(move |r| of_run(t, tree, r)))
}

fn of_run(tree: usize, of: &network::Tree, index: usize) -> impl Iterator<Item = Stretch<'_>> {
    let run = &of.runs[index];
    let ends = run.bores.iter().skip(1).map(|bore| bore.from).chain([0.0]);
    let bores = run.bores.iter().zip(ends);
    let long = |from: f64, to: f64| from - to > SAME_LENGTH || run.path.length() <= SAME_LENGTH;
    let bores = bores.filter(move |(bore, to)| long(bore.from, *to));
    bores.map(move |(bore, to)| Stretch {
        tree,
        index,
        run,
        size: bore.size,
        from: bore.from,
        to,
        fixtures: carried(of, index, to),
    })
}

/// The fixtures that drain through a station of a run.
fn carried(of: &network::Tree, index: usize, station: f64) -> Cow<'_, [usize]> {
    let run = &of.runs[index];
    // The last stretch carries all; only a run that grows has to be looked through.
    if station <= SAME_LENGTH {
        return Cow::Borrowed(&run.fixtures);
    }
    let joins = |r: &&Run| r.join.is_some_and(|join| join.parent == index);
    let branches: Vec<&Run> = of.runs[index..].iter().filter(joins).collect();
    Cow::Owned(reach::upstream(run, &branches, station + SAME_LENGTH))
}

/// A count of units as people say it: `4`, `7.5`.
pub(crate) fn units(dfu: f64) -> String {
    format!("{dfu}")
}
