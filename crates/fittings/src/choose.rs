//! Which levels the fittings leave open at each join, before any level is known.

use catalog::{Catalog, EndName, Pattern, Sizes};
use codes::Rules;
use grades::{JoinKind, Member, Window};
use layout::JoinChoice;
use network::{Join, Network, Run, Tree};
use units::Size;

/// What was chosen at every join: `trees[tree][run]`, `None` for a trunk.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Joints {
    /// One vector a tree, one entry a run.
    pub trees: Vec<Vec<Option<Joint>>>,
}

/// One join.
#[derive(Clone, PartialEq, Debug)]
pub struct Joint {
    /// Size of the run joined, at the join.
    pub parent_size: Size,
    /// Size of the branch at its outlet.
    pub branch_size: Size,
    /// Branch outlet invert less trunk invert that the fittings leave open.
    pub windows: Vec<Window>,
    /// Reach from the crossing of the axes to the outlet of the branch's last bend, along the branch.
    pub reach: f64,
}

/// Chooses at every join of the network.
///
/// - **Flat**: the axes meet, so the inverts differ by half the difference of the bores.
/// - **Rolled up** by at most 45 degrees: the branch of a wye then climbs at `asin(sin 45 · sin 45)` = 30 degrees over
///   its reach, half the reach in all.
/// - **Dropped**: a wye rolled upright and an eighth bend bring the branch in from above, no lower than the reach times
///   sin 45; above that, as high as one likes.
pub fn choose(network: &Network, catalog: &Catalog, _rules: &Rules) -> Joints {
    let trees = network.trees.iter().map(|tree| {
        let joint = |run: &Run| run.join.map(|join| joint(catalog, tree, run, join));
        tree.runs.iter().map(joint).collect()
    });
    Joints { trees: trees.collect() }
}

fn joint(catalog: &Catalog, tree: &Tree, run: &Run, join: Join) -> Joint {
    let parent = &tree.runs[join.parent];
    let (parent_size, branch_size) = (parent.size_at(join.at), run.outlet_size());
    let axes_meet = (catalog.pipe(parent_size).id() - catalog.pipe(branch_size).id()) / 2.0;
    let reach = reach(catalog, parent_size, branch_size);
    Joint { parent_size, branch_size, windows: windows(run, axes_meet, reach), reach }
}

fn windows(run: &Run, axes_meet: f64, reach: f64) -> Vec<Window> {
    let window = |kind, low, high, says: &str| Window { kind, low, high, who: Member::new(run.id.clone(), says) };
    let flat = window(JoinKind::Flat, axes_meet, axes_meet, "joins flat");
    let rolled = window(JoinKind::RolledUp, axes_meet, axes_meet + reach / 2.0, "joins rolled up");
    let least_drop = axes_meet + reach * std::f64::consts::FRAC_1_SQRT_2;
    let dropped = window(JoinKind::Dropped, least_drop, f64::INFINITY, "drops in from above");
    match run.joins {
        JoinChoice::Flat => vec![flat],
        JoinChoice::Rolled => vec![flat, rolled],
        JoinChoice::Any => vec![flat, rolled, dropped],
    }
}

/// From the crossing of the axes of a wye to the outlet of a street eighth bend in its branch.
///
/// Where the catalogue has no such wye, the hubs' own clearance decides: half the run's hub over sin 45.
fn reach(catalog: &Catalog, parent: Size, branch: Size) -> f64 {
    let wye = catalog.find(Pattern::Wye, Sizes::branched(parent, branch)).ok();
    let leg = wye.and_then(|wye| wye.end(EndName::Branch).map(|end| end.take_off.value));
    let bend = catalog.find(Pattern::EighthBend, Sizes::one(branch)).ok();
    let turn = bend.and_then(|bend| bend.end(EndName::Outlet).map(|end| end.take_off.value));
    let clear = catalog.pipe(parent).hub_od.value / 2.0 * std::f64::consts::SQRT_2;
    leg.unwrap_or(clear + catalog.pipe(branch).hub_od.value / 2.0) + turn.unwrap_or(0.0) * 2.0
}
