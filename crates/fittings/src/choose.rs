//! Which levels the fittings leave open at each join, before any level is known.

use catalog::{Catalog, Sizes};
use codes::Rules;
use grades::{JoinKind, Member, Window};
use layout::JoinChoice;
use network::{Join, Network, Run, Start, Tree};
use units::{SAME_LENGTH, Size};

use crate::{arm, double};

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
}

/// Chooses at every join of the network what heights the fittings leave open.
///
/// - **Flat**: the axes meet, so the inverts differ by half the difference of the bores.
/// - **Rolled up**: a wye rolled by at most 45 degrees, pipe in its arm, and one bend that lands on the branch's own plan
///   line. The bend and the plan angle fix the roll (a sixth bend lands square at a roll of 45), the arm's length the
///   height: from that of the shortest arm up, with half an inch to spare for the grades.
/// - **Dropped**: the same, rolled by more than 45 degrees up to upright.
///
/// A plan angle for which no bend has a roll leaves only the flat join open. So does a branch that carries on a run's bare
/// end, and so do two branches from opposite sides, so near to one another that only a double wye takes both: rolling one of
/// its branches up rolls the other down. Where an invert is told at the start of either, that decides.
pub fn choose(network: &Network, catalog: &Catalog, rules: &Rules) -> Joints {
    let trees = network.trees.iter().map(|tree| {
        let joint = |run: &Run| run.join.map(|join| joint(catalog, tree, run, join));
        let mut joints: Vec<Option<Joint>> = tree.runs.iter().map(joint).collect();
        for pair in double::doubles(catalog, rules, tree) {
            let both = pair.arms.map(|arm| arm.child);
            if both
                .iter()
                .all(|child| tree.runs[*child].start_invert.is_none())
            {
                both.into_iter()
                    .for_each(|child| only_flat(&mut joints[child]));
            }
        }
        joints
    });
    Joints {
        trees: trees.collect(),
    }
}

fn only_flat(joint: &mut Option<Joint>) {
    if let Some(joint) = joint {
        joint.windows.retain(|window| window.kind == JoinKind::Flat);
    }
}

fn joint(catalog: &Catalog, tree: &Tree, run: &Run, join: Join) -> Joint {
    let parent = &tree.runs[join.parent];
    let (parent_size, branch_size) = (parent.size_at(join.at), run.outlet_size());
    let axes_meet = (catalog.pipe(parent_size).id() - catalog.pipe(branch_size).id()) / 2.0;
    let carries_on =
        parent.start == Start::Bare && join.at > parent.path.length() - crate::place::AT_THE_END;
    let (rolled, dropped) = if carries_on {
        (None, None)
    } else if run.path.length() < SAME_LENGTH {
        (None, Some(0.0))
    } else {
        least_rises(catalog, parent_size, branch_size, join.angle_deg)
    };
    let window = |kind, low, high, says: &str| Window {
        kind,
        low,
        high,
        who: Member::new(run.id.clone(), says),
    };
    let flat = Some(window(JoinKind::Flat, axes_meet, axes_meet, "joins flat"));
    let rolled = rolled.map(|rise| {
        window(
            JoinKind::RolledUp,
            axes_meet + rise,
            f64::INFINITY,
            "joins rolled up",
        )
    });
    let dropped = dropped.map(|rise| {
        window(
            JoinKind::Dropped,
            axes_meet + rise,
            f64::INFINITY,
            "drops in from above",
        )
    });
    let windows = match run.joins {
        JoinChoice::Flat => [flat, None, None],
        JoinChoice::Rolled => [flat, rolled, None],
        JoinChoice::Any => [flat, rolled, dropped],
    };
    Joint {
        parent_size,
        branch_size,
        windows: windows.into_iter().flatten().collect(),
    }
}

/// Spare in the arm of a rolled wye, for what the grades of run and branch take from its height. Our choice.
const ARM_SPARE: f64 = 0.5;

/// The least a branch may stand above its run when rolled (at most 45 degrees) and when dropped in.
fn least_rises(
    catalog: &Catalog,
    parent: Size,
    branch: Size,
    plan: f64,
) -> (Option<f64>, Option<f64>) {
    let Some(wye) = arm::wye(catalog, parent, branch) else {
        return (None, None);
    };
    let ways = arm::BEHIND.iter().filter_map(|(degrees, bend)| {
        let roll = arm::roll(plan, *degrees).filter(|roll| (1.0..90.0 + 1e-6).contains(roll))?;
        catalog.get(*bend, Sizes::one(branch))?;
        let arm = arm::least_arm(catalog, wye, branch, *bend) + ARM_SPARE;
        Some((
            roll,
            arm * std::f64::consts::FRAC_1_SQRT_2 * roll.to_radians().sin(),
        ))
    });
    let ways: Vec<(f64, f64)> = ways.collect();
    let least = |steep: bool| {
        let of_kind = ways.iter().filter(|way| (way.0 > 45.0 + 1e-6) == steep);
        of_kind.map(|way| way.1).min_by(f64::total_cmp)
    };
    (least(false), least(true))
}
