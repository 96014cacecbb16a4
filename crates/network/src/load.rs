//! What each run carries, and the least size for it.

use codes::{Load, Need, Rules, Served};
use layout::{FixtureKind, Layout};
use units::Size;

use crate::{Run, Start, Tree};

/// Size taken where neither the layout nor the rules give one: the least many towns allow under a slab (common practice,
/// no source).
const UNDER_A_SLAB: Size = Size::In2;

/// Adds up fixtures, closets and units from the ends to the trunk, and fills in sizes left to the program.
pub(crate) fn load(layout: &Layout, rules: &Rules, tree: &mut Tree) {
    let runs = &mut tree.runs;
    let mut carried: Vec<Size> = vec![Size::In1_25; runs.len()];
    // A parent comes before its branches, so the reverse order meets every branch before its parent.
    for r in (0..runs.len()).rev() {
        if let Start::Fixture(f) = runs[r].start {
            runs[r].fixtures.insert(0, f);
        }
        weigh(layout, rules, &mut runs[r]);
        fill_in(layout, rules, &mut runs[r], carried[r]);
        if let Some(join) = runs[r].join {
            carried[join.parent] = carried[join.parent].max(runs[r].outlet_size());
            let mut upstream = std::mem::take(&mut runs[join.parent].fixtures);
            upstream.extend(&runs[r].fixtures);
            runs[join.parent].fixtures = upstream;
        }
    }
}

fn weigh(layout: &Layout, rules: &Rules, run: &mut Run) {
    let loads = run
        .fixtures
        .iter()
        .filter_map(|&f| fixture_load(layout.fixtures[f].kind));
    let served = Served {
        bathrooms: Vec::new(),
        others: loads.collect(),
    };
    run.dfu = rules.total(&served).dfu;
    run.closets = served.others.iter().filter(|load| load.is_closet()).count();
}

fn fill_in(layout: &Layout, rules: &Rules, run: &mut Run, upstream: Size) {
    if !run.sized_by_us {
        return;
    }
    let by_rules = rules
        .least_size(&need(layout, run))
        .map_or(UNDER_A_SLAB, |fit| fit.size);
    run.bores[0].size = by_rules.max(UNDER_A_SLAB).max(upstream);
}

/// What a run must carry, in the words of the rules, at the flattest grade of its menu.
fn need(layout: &Layout, run: &Run) -> Need {
    let kinds = || run.fixtures.iter().map(|&f| layout.fixtures[f].kind);
    let flattest = run
        .menu
        .iter()
        .map(|grade| grade.in_per_ft())
        .fold(f64::INFINITY, f64::min);
    let sink = |kind| {
        matches!(
            kind,
            FixtureKind::KitchenSink | FixtureKind::BarSink | FixtureKind::UtilitySink
        )
    };
    Need {
        dfu: run.dfu,
        grade_in_per_ft: if flattest.is_finite() { flattest } else { 0.25 },
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
fn fixture_load(kind: FixtureKind) -> Option<Load> {
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
pub(crate) fn vent_size(rules: &Rules, drain: Size) -> Size {
    let by_rules = rules
        .vent_least_size(drain, false, 0.0)
        .map(|(size, _)| size);
    let half = Size::ALL
        .into_iter()
        .find(|size| size.nominal() * 2.0 >= drain.nominal());
    by_rules.or(half).unwrap_or(Size::In1_25)
}
