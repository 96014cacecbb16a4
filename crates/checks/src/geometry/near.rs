//! Which bodies are near enough to be measured: a tree of boxes instead of all pairs.

use glam::DVec3;
use parry3d_f64::{
    bounding_volume::{Aabb, BoundingVolume},
    partitioning::{Bvh, BvhBuildStrategy},
};
use scene::Tube;

/// The box round a tube as it lies in plan, at level 0.
pub fn plan_box(tube: &Tube) -> Aabb {
    let flat = |end: DVec3| end.truncate().extend(0.0);
    Aabb::from_points([flat(tube.a), flat(tube.b)]).loosened(tube.radius.max(0.0))
}

/// The box round a tube, grown by `by` on all sides.
pub fn tube_box(tube: &Tube, by: f64) -> Aabb {
    Aabb::from_points([tube.a, tube.b]).loosened((tube.radius + by).max(0.0))
}

/// All pairs of boxes that touch, as (lower, higher) index, sorted. Boxes with a coordinate that is not finite touch
/// nothing; whoever measures them tells.
///
/// Swept along the way the boxes lie scattered farthest: for what lies over a floor it is done before a tree of boxes is
/// built.
pub fn near_pairs(boxes: &[Aabb]) -> Vec<(usize, usize)> {
    let mut swept: Vec<(usize, &Aabb)> = boxes
        .iter()
        .enumerate()
        .filter(|(_, one)| finite(one))
        .collect();
    let way = farthest(&swept);
    swept.sort_unstable_by(|(a, one), (b, two)| {
        one.mins[way].total_cmp(&two.mins[way]).then(a.cmp(b))
    });
    let mut pairs = Vec::new();
    for (i, (a, one)) in swept.iter().enumerate() {
        let ahead = swept[i + 1..].iter();
        let beside = ahead.take_while(|(_, two)| two.mins[way] <= one.maxs[way]);
        let touching = beside.filter(|(_, two)| one.intersects(two));
        pairs.extend(touching.map(|(b, _)| (*a.min(b), *a.max(b))));
    }
    pairs.sort_unstable();
    pairs
}

/// All pairs of tubes of two bodies whose boxes touch in plan, by their place among the tubes of all bodies, sorted: as
/// [`near_pairs`] of their [`plan_box`]es, without those of one body and those of two bodies not `asked` about.
///
/// Bodies are swept whole: there are far fewer of them than tubes, and most of what touches is of one body.
pub fn near_in_plan(
    bodies: &[&[Tube]],
    asked: impl Fn(usize, usize) -> bool,
) -> Vec<(usize, usize)> {
    let mut begin = Vec::with_capacity(bodies.len());
    let mut whole = Vec::with_capacity(bodies.len());
    let mut count = 0;
    for tubes in bodies {
        let boxes = tubes.iter().map(plan_box).filter(finite);
        whole.push(boxes.fold(Aabb::new_invalid(), |all, one| all.merged(&one)));
        begin.push(count);
        count += tubes.len();
    }
    let mut pairs = Vec::new();
    for (a, b) in near_pairs(&whole) {
        if !asked(a, b) {
            continue;
        }
        for (i, one) in bodies[a].iter().map(plan_box).enumerate() {
            let touches = |two: &Aabb| finite(&one) && finite(two) && one.intersects(two);
            let touched = bodies[b].iter().map(plan_box).enumerate();
            let touched = touched.filter(|(_, two)| touches(two));
            pairs.extend(touched.map(|(j, _)| (begin[a] + i, begin[b] + j)));
        }
    }
    pairs.sort_unstable();
    pairs
}

fn finite(one: &Aabb) -> bool {
    one.mins.is_finite() && one.maxs.is_finite()
}

/// The axis along which boxes are scattered farthest.
fn farthest(boxes: &[(usize, &Aabb)]) -> usize {
    let mins = || boxes.iter().map(|(_, one)| one.mins);
    let low = mins().fold(DVec3::INFINITY, DVec3::min);
    let spread = mins().fold(DVec3::NEG_INFINITY, DVec3::max) - low;
    (0..3)
        .max_by(|a, b| spread[*a].total_cmp(&spread[*b]))
        .unwrap_or(0)
}

/// Up to so many boxes are tried one by one: as soon done as a tree over them is built.
const FEW: usize = 32;

/// Every (box of `many`, box of `few`) that touch, sorted.
pub fn touching(many: impl Iterator<Item = Aabb>, few: &[Aabb]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    if few.len() <= FEW {
        for (a, one) in many.enumerate() {
            let touched = few.iter().enumerate().filter(|(_, b)| one.intersects(b));
            pairs.extend(touched.map(|(b, _)| (a, b)));
        }
        return pairs;
    }
    // The tree stands over the few: it is soon built, and each of the many goes down it once.
    let tree = Bvh::from_leaves(BvhBuildStrategy::Binned, few);
    for (a, one) in many.enumerate() {
        pairs.extend(tree.intersect_aabb(&one).map(|b| (a, b as usize)));
    }
    pairs.sort_unstable();
    pairs
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn tubes() -> impl Strategy<Value = Vec<Tube>> {
        let point = [0.0..400.0, 0.0..400.0, -30.0..0.0_f64];
        let step = [-60.0..60.0, -60.0..60.0, -3.0..3.0_f64];
        let tube = (point, step, 0.8..2.5_f64).prop_map(|(a, step, radius)| {
            let a = DVec3::from(a);
            Tube {
                a,
                b: a + DVec3::from(step),
                radius,
            }
        });
        prop::collection::vec(tube, 0..80)
    }

    proptest! {
        #[test]
        fn all_that_are_near_are_among_the_pairs(tubes in tubes(), want in 0.0..6.0) {
            let boxes: Vec<Aabb> = tubes.iter().map(|t| tube_box(t, want / 2.0)).collect();
            let pairs = near_pairs(&boxes);
            let mut brute = Vec::new();
            for a in 0..tubes.len() {
                for b in a + 1..tubes.len() {
                    let gap = crate::geometry::tube_to_tube(&tubes[a], &tubes[b]).unwrap();
                    if gap.inches < want {
                        brute.push((a, b));
                    }
                }
            }
            let near = |(a, b): &(usize, usize)| {
                crate::geometry::tube_to_tube(&tubes[*a], &tubes[*b]).unwrap().inches < want
            };
            let measured: Vec<_> = pairs.into_iter().filter(near).collect();
            prop_assert_eq!(measured, brute);
        }

        #[test]
        fn of_bodies_as_of_all_tubes(tubes in tubes(), size in 1..9_usize) {
            let bodies: Vec<&[Tube]> = tubes.chunks(size).collect();
            let asked = |a: usize, b: usize| !(a + b).is_multiple_of(3);
            let mut all = near_pairs(&tubes.iter().map(plan_box).collect::<Vec<_>>());
            all.retain(|(i, j)| i / size != j / size && asked(i / size, j / size));
            prop_assert_eq!(near_in_plan(&bodies, asked), all);
        }

        #[test]
        fn two_lists_as_by_trying_each(many in tubes(), few in tubes()) {
            let boxes = |tubes: &[Tube]| tubes.iter().map(|t| tube_box(t, 0.0)).collect::<Vec<_>>();
            let (many, few) = (boxes(&many), boxes(&few));
            let mut brute = Vec::new();
            for (a, one) in many.iter().enumerate() {
                brute.extend((0..few.len()).filter(|b| one.intersects(&few[*b])).map(|b| (a, b)));
            }
            prop_assert_eq!(touching(many.into_iter(), &few), brute);
        }
    }
}
