//! Bodies near one another: the broad search and the exact measures, for the rules that ask about pairs.

use std::collections::BTreeMap;

use parry3d_f64::bounding_volume::Aabb;
use scene::{Part, PipeBody, Solid, Tube};
use units::Id;

use crate::{
    Case,
    geometry::{
        Gap, Nodes, Prism, Unmeasured, outside, touching, tube_box, tube_to_prism, tube_to_tube,
    },
};

/// Two bodies (indices into the scene's pipes) that stand in one another outside any joint they share, deepest first
/// place each; or could not be measured.
pub(crate) fn clashes(case: &Case) -> Vec<(usize, usize, Result<Gap, Unmeasured>)> {
    let (tubes, nodes) = (all_tubes(case), case.nodes());
    let mut worst: BTreeMap<(usize, usize), Result<Gap, Unmeasured>> = BTreeMap::new();
    for &(i, j) in case.over_one_another() {
        let ((a, one), (b, two)) = (tubes[i], tubes[j]);
        if levels_apart(one, two) || one_sleeves_the_other(case, a, b) {
            continue;
        }
        if let Some(gap) = clash(nodes, (a, one), (b, two)) {
            let held = worst.entry((a.min(b), a.max(b))).or_insert(gap);
            *held = deeper(*held, gap);
        }
    }
    worst.into_iter().map(|((a, b), gap)| (a, b, gap)).collect()
}

/// Each run's name with the name of the stub it starts at.
pub(crate) fn starts<'a>(case: &Case<'a>) -> BTreeMap<&'a Id, &'a Id> {
    let runs = case.network.trees.iter().flat_map(|tree| &tree.runs);
    let start = |run: &'a network::Run| match run.start {
        network::Start::Fixture(f) => Some((&run.id, &case.layout.fixtures[f].id)),
        network::Start::Cleanout(c) => Some((&run.id, &case.layout.cleanouts[c].id)),
        network::Start::Bare => None,
    };
    runs.filter_map(start).collect()
}

/// Whether one tube lies wholly above the other.
fn levels_apart(one: &Tube, two: &Tube) -> bool {
    let span = |tube: &Tube| {
        let (low, high) = (tube.a.z.min(tube.b.z), tube.a.z.max(tube.b.z));
        (low - tube.radius, high + tube.radius)
    };
    let ((low_a, high_a), (low_b, high_b)) = (span(one), span(two));
    low_a > high_b || low_b > high_a
}

/// Depth two bodies may share before it is a clash: what rounding leaves where they just touch.
const TOUCH: f64 = 1e-4;

fn clash(
    nodes: &Nodes,
    (a, one): (usize, &Tube),
    (b, two): (usize, &Tube),
) -> Option<Result<Gap, Unmeasured>> {
    match tube_to_tube(one, two) {
        Ok(gap) if gap.inches >= -TOUCH => return None,
        Ok(_) => {}
        Err(error) => return Some(Err(error)),
    }
    let shared = nodes.shared(a, b);
    let rests = outside(one, &shared);
    let others = outside(two, &shared);
    let pairs = rests
        .iter()
        .flat_map(|s| others.iter().map(move |t| tube_to_tube(s, t)));
    pairs
        .filter(|gap| gap.is_ok_and(|gap| gap.inches < -TOUCH))
        .reduce(deeper)
}

/// An error outweighs any depth: it must be told.
fn deeper(a: Result<Gap, Unmeasured>, b: Result<Gap, Unmeasured>) -> Result<Gap, Unmeasured> {
    match (a, b) {
        (Ok(x), Ok(y)) if y.inches < x.inches => b,
        (Ok(_), Err(_)) => b,
        (Ok(_), Ok(_)) | (Err(_), _) => a,
    }
}

pub(crate) fn all_tubes<'a>(case: &Case<'a>) -> Vec<(usize, &'a Tube)> {
    let of = |(b, body): (usize, &'a scene::PipeBody)| body.tubes.iter().map(move |tube| (b, tube));
    let count = case.scene.pipes.iter().map(|body| body.tubes.len()).sum();
    let mut all = Vec::with_capacity(count);
    all.extend(case.scene.pipes.iter().enumerate().flat_map(of));
    all
}

/// A drain's own sleeve stands round its trunk and its line outside.
pub(crate) fn one_sleeves_the_other(case: &Case, a: usize, b: usize) -> bool {
    let (one, two) = (&case.scene.pipes[a], &case.scene.pipes[b]);
    let belongs = |sleeve: &Id, id: &Id| {
        let trunk = case.tree(sleeve).map(|t| &case.network.trees[t].runs[0]);
        sleeve == id || trunk.is_some_and(|trunk| trunk.id == *id)
    };
    (one.part == Part::Sleeve && belongs(&one.id, &two.id))
        || (two.part == Part::Sleeve && belongs(&two.id, &one.id))
}

/// Every (body, solid) nearer than `want`: the tube and the least gap, or why it could not be measured. Only what is
/// `asked` about is measured: that takes far longer than to ask.
pub(crate) fn against<'a>(
    case: &Case<'a>,
    solids: &[&'a Solid],
    want: f64,
    asked: impl Fn(&PipeBody, &Tube, &Solid) -> bool,
) -> Vec<(usize, usize, &'a Tube, Result<Gap, Unmeasured>)> {
    if solids.is_empty() {
        return Vec::new();
    }
    let tubes = all_tubes(case);
    let boxes = tubes.iter().map(|(_, tube)| tube_box(tube, want));
    let mut prisms: BTreeMap<usize, Result<Prism, Unmeasured>> = BTreeMap::new();
    let bounds: Vec<Aabb> = solids.iter().map(|solid| solid_box(solid)).collect();
    let measure = |(t, s): (usize, usize)| {
        let (body, tube) = tubes[t];
        if !asked(&case.scene.pipes[body], tube, solids[s]) {
            return None;
        }
        let prism = prisms.entry(s).or_insert_with(|| Prism::of(solids[s]));
        let gap = prism
            .as_ref()
            .map_err(|e| *e)
            .and_then(|prism| tube_to_prism(tube, prism, want));
        gap.transpose().map(|gap| (body, s, tube, gap))
    };
    touching(boxes, &bounds)
        .into_iter()
        .filter_map(measure)
        .collect()
}

fn solid_box(solid: &Solid) -> Aabb {
    let levels = [solid.bottom, solid.top];
    Aabb::from_points(
        solid
            .outline
            .iter()
            .flat_map(|p| levels.map(|z| p.extend(z))),
    )
}
