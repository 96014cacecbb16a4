//! What each run carries, and the least size for it.

use codes::{Load, Need, Rules};
use layout::{FixtureKind, Layout};
use units::Size;

use crate::{
    Run, Start, Tree,
    baths::{Baths, served},
    grow::grow,
};

/// Size taken where neither the layout nor the rules give one: the least many towns allow under a slab (common practice,
/// no source).
const UNDER_A_SLAB: Size = Size::In2;

/// Adds up fixtures, closets and units from the ends to the trunk, and fills in sizes left to the program.
pub(crate) fn load(layout: &Layout, rules: &Rules, baths: &Baths, tree: &mut Tree) {
    let runs = &mut tree.runs;
    let mut carried: Vec<Size> = vec![Size::In1_25; runs.len()];
    let mut branches: Vec<Vec<usize>> = vec![Vec::new(); runs.len()];
    // A parent comes before its branches, so the reverse order meets every branch before its parent.
    for r in (0..runs.len()).rev() {
        if let Start::Fixture(f) = runs[r].start {
            runs[r].fixtures.insert(0, f);
        }
        weigh(layout, rules, baths, &mut runs[r]);
        let washer_joins = runs[r].sized_by_us && washer_joins(layout, runs, r);
        fill_in(layout, rules, &mut runs[r], carried[r], washer_joins);
        grow(layout, rules, baths, runs, (r, &branches[r]));
        if let Some(join) = runs[r].join {
            branches[join.parent].push(r);
            carried[join.parent] = carried[join.parent].max(runs[r].outlet_size());
            let mut upstream = std::mem::take(&mut runs[join.parent].fixtures);
            upstream.extend(&runs[r].fixtures);
            runs[join.parent].fixtures = upstream;
        }
    }
    (0..runs.len()).for_each(|r| lead(layout, rules, runs, r));
}

/// Sizes a run that only leads a cleanout off another: as the cleanout is told, else as the rules ask for the pipe it serves.
fn lead(layout: &Layout, rules: &Rules, runs: &mut [Run], r: usize) {
    let (Start::Cleanout(c), true) = (runs[r].start, runs[r].fixtures.is_empty()) else {
        return;
    };
    let Some(join) = runs[r].join.filter(|_| runs[r].sized_by_us) else {
        return;
    };
    let pipe = runs[join.parent].size_at(join.at);
    let asked = || rules.cleanout_size(pipe).and_then(|least| least.size());
    let own = layout.cleanouts[c].size.or_else(asked);
    let size = own.unwrap_or(UNDER_A_SLAB).max(UNDER_A_SLAB);
    runs[r].bores[0].size = size.min(pipe.max(UNDER_A_SLAB));
}

pub(crate) fn weigh(layout: &Layout, rules: &Rules, baths: &Baths, run: &mut Run) {
    let total = rules.total(&served(layout, baths, &run.fixtures));
    run.dfu = total.dfu;
    run.plain_dfu = total.plain;
    let closet = |f: &&usize| layout.fixtures[**f].kind == FixtureKind::Closet;
    run.closets = run.fixtures.iter().filter(closet).count();
}

/// Whether a clothes washer's own drain joins this run from the side, or shares it after its start. `runs` is a tree whose
/// loads are summed from this run up.
pub fn washer_joins(layout: &Layout, runs: &[Run], run: usize) -> bool {
    let washer = |f: &usize| layout.fixtures[*f].kind == FixtureKind::Washer;
    let shares =
        matches!(runs[run].start, Start::Fixture(f) if washer(&f)) && runs[run].fixtures.len() > 1;
    // A run's branches come after it.
    let branches = || {
        runs[run..]
            .iter()
            .filter(|r| r.join.is_some_and(|join| join.parent == run))
    };
    shares
        || runs[run].fixtures.iter().any(washer)
            && branches().any(|branch| matches!(branch.fixtures[..], [f] if washer(&f)))
}

/// Fills in the least size of a run left to the program, by what it carries.
pub(crate) fn fill_in(
    layout: &Layout,
    rules: &Rules,
    run: &mut Run,
    upstream: Size,
    washer_joins: bool,
) {
    if !run.sized_by_us {
        return;
    }
    let need = Need {
        washer_joins,
        ..need(layout, run, flattest(run))
    };
    let by_rules = rules.least_size(&need).map_or(UNDER_A_SLAB, |fit| fit.size);
    run.bores[0].size = by_rules.max(UNDER_A_SLAB).max(upstream);
}

/// The flattest grade of a run's menu, in/ft.
fn flattest(run: &Run) -> f64 {
    let grades = run.menu.iter().map(|grade| grade.in_per_ft());
    grades.reduce(f64::min).unwrap_or(0.25)
}

/// What a run must carry, in the words of the rules, at a grade in in/ft. Its load is [`Run::dfu`]: put another in to ask
/// about another code; whether a washer's drain joins it is [`washer_joins`]'s to say.
pub fn need(layout: &Layout, run: &Run, grade_in_per_ft: f64) -> Need {
    let kinds = || run.fixtures.iter().map(|&f| layout.fixtures[f].kind);
    let sink = |kind| {
        matches!(
            kind,
            FixtureKind::KitchenSink | FixtureKind::BarSink | FixtureKind::UtilitySink
        )
    };
    Need {
        dfu: run.dfu,
        grade_in_per_ft,
        closets: run.closets,
        waste_fixtures: run.fixtures.len() - run.closets,
        sink: kinds().any(sink),
        washer: kinds().any(|kind| kind == FixtureKind::Washer),
        washer_joins: false,
        buried: true,
    }
}

/// The load-table fixture for a trade kind; `None` for what brings no drainage units of its own (a pan, a softener, a
/// condensate line, a hose sink on a yard drain).
pub fn fixture_load(kind: FixtureKind) -> Option<Load> {
    match kind {
        FixtureKind::Closet => Some(Load::Closet),
        FixtureKind::Lavatory => Some(Load::Lavatory),
        FixtureKind::Tub => Some(Load::Tub),
        FixtureKind::Shower => Some(Load::Shower),
        FixtureKind::KitchenSink => Some(Load::KitchenSinkDishwasher),
        FixtureKind::BarSink => Some(Load::BarSink),
        FixtureKind::UtilitySink => Some(Load::LaundryTub),
        FixtureKind::Washer => Some(Load::Washer),
        FixtureKind::Bidet => Some(Load::Bidet),
        FixtureKind::FloorDrain => Some(Load::FloorDrain),
        FixtureKind::HeaterPan
        | FixtureKind::Softener
        | FixtureKind::Condensate
        | FixtureKind::HoseSink => None,
    }
}

/// The least dry vent for a drain of this size, by the rules; half its size and no less than 1-1/4 in where they are
/// silent (IRC P3113.1 as quoted on a code forum).
pub(crate) fn vent_size(rules: &Rules, drain: Size, closet: bool) -> Size {
    let by_rules = rules
        .vent_least_size(drain, closet, 0.0)
        .map(|(size, _)| size);
    let half = Size::ALL
        .into_iter()
        .find(|size| size.nominal() * 2.0 >= drain.nominal());
    by_rules.or(half).unwrap_or(Size::In1_25)
}
