//! What our own algorithms are measured against: all pairs for the clashes.

use checks::geometry::{near_pairs, tube_box, tube_to_tube};
use scene::{Scene, Tube};

/// Every tube of a scene.
pub(crate) fn tubes(scene: &Scene) -> Vec<Tube> {
    scene
        .pipes
        .iter()
        .flat_map(|body| body.tubes.iter().copied())
        .collect()
}

/// How many pairs of tubes stand in one another, by the tree of boxes.
pub(crate) fn near_pairs_by_tree(tubes: &[Tube]) -> usize {
    let boxes: Vec<_> = tubes.iter().map(|tube| tube_box(tube, 0.0)).collect();
    near_pairs(&boxes)
        .into_iter()
        .filter(|(a, b)| overlap(&tubes[*a], &tubes[*b]))
        .count()
}

/// The same by trying every pair.
pub(crate) fn near_pairs_by_trying_all(tubes: &[Tube]) -> usize {
    let later = |a: usize| {
        (a + 1..tubes.len())
            .filter(move |&b| overlap(&tubes[a], &tubes[b]))
            .count()
    };
    (0..tubes.len()).map(later).sum()
}

fn overlap(a: &Tube, b: &Tube) -> bool {
    tube_to_tube(a, b).is_ok_and(|gap| gap.inches < 0.0)
}
