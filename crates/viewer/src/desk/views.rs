//! Ready viewpoints: the whole house, plan, from below, a finding, a named item, afoot.

use std::f32::consts::{FRAC_PI_2, TAU};

use bevy::math::Vec3;
use glam::{DVec2, DVec3};
use scene::{MarkKind, Scene, SolidKind};

use crate::axis::Axis;
use crate::camera::Pose;
use crate::house::FindingRow;
use crate::walk::WalkStep;

/// Room left round the house.
const MARGIN: f32 = 0.88;
/// Nearest that a jump goes, feet.
const JUMP: f32 = 15.0;
/// Nearest that the walk goes to a piece, feet.
const PIECE: f32 = 13.0;
/// How far outside the slab the whole house still reaches, inches: the exit belongs to it, the tank does not.
const OUTSIDE: f64 = 72.0;
/// Height of the eye of someone standing on the slab, inches.
const EYE: f64 = 64.0;

/// A viewpoint by name.
#[derive(Clone, Copy, PartialEq, Debug, Default)]
pub enum Viewpoint {
    /// The whole house, from the side where the drain leaves.
    #[default]
    House,
    /// Straight down, north up.
    Plan,
    /// From below.
    Below,
    /// Standing on the slab.
    Afoot,
    /// A finding's place.
    Finding(
        /// Its index.
        usize,
    ),
    /// Free: looked-at point in house inches, turn (0 looks north) and rise in degrees, distance in feet.
    Free {
        /// House inches.
        target: [f64; 3],
        /// Degrees.
        yaw: f32,
        /// Degrees.
        pitch: f32,
        /// Feet.
        distance: f32,
    },
}

/// The points that make the whole house.
pub fn home_points(scene: &Scene, axis: Axis) -> Vec<Vec3> {
    let built = |kind: SolidKind| !matches!(kind, SolidKind::Ground | SolidKind::Receiver);
    let solids = scene.solids.iter().filter(|solid| built(solid.kind));
    let mut points: Vec<DVec3> = solids
        .flat_map(|solid| {
            let top = solid.top.min(crate::bodies::WALL_FADE * 0.6);
            solid
                .outline
                .iter()
                .flat_map(move |plan| [plan.extend(solid.bottom), plan.extend(top)])
        })
        .collect();
    let bounds = bounds(points.iter().map(|point| point.truncate()));
    let near = |at: &DVec3| {
        let Some((low, high)) = bounds else {
            return true;
        };
        at.truncate().cmpge(low - OUTSIDE).all() && at.truncate().cmple(high + OUTSIDE).all()
    };
    let tall = |mut at: DVec3| {
        at.z = at.z.min(crate::bodies::RISER_SHOWN);
        at
    };
    points.extend(
        scene
            .pipes
            .iter()
            .flat_map(|pipe| &pipe.tubes)
            .flat_map(|tube| [tube.a, tube.b])
            .filter(near)
            .map(tall),
    );
    points.into_iter().map(|point| axis.point(point)).collect()
}

fn bounds(points: impl Iterator<Item = DVec2>) -> Option<(DVec2, DVec2)> {
    points.fold(None, |bounds, point| match bounds {
        None => Some((point, point)),
        Some((low, high)) => Some((low.min(point), high.max(point))),
    })
}

/// The whole house from the side of its exit, a third of a right angle off square so that both sides are seen.
pub(super) fn home(scene: &Scene, axis: Axis, aspect: f32) -> Pose {
    let points = home_points(scene, axis);
    let yaw = exit_side(scene, axis, &points).unwrap_or(0.0) + 0.52;
    Pose {
        yaw: yaw.rem_euclid(TAU),
        pitch: 0.60,
        ..Pose::default()
    }
    .framing(&points, aspect, MARGIN)
}

/// How far off the house is still worth looking at, feet: five times its longest side, where it takes a third of the picture.
pub(super) fn farthest(scene: &Scene, axis: Axis) -> f32 {
    let points = home_points(scene, axis);
    let low = points.iter().copied().reduce(Vec3::min);
    let high = points.iter().copied().reduce(Vec3::max);
    low.zip(high).map_or(f32::INFINITY, |(low, high)| {
        (high - low).max_element() * 5.0
    })
}

/// The square direction nearest to the exit, as a yaw.
fn exit_side(scene: &Scene, axis: Axis, points: &[Vec3]) -> Option<f32> {
    let exit = scene
        .marks
        .iter()
        .find(|mark| mark.kind == MarkKind::Exit)?;
    let (low, high) = (
        points.iter().copied().reduce(Vec3::min)?,
        points.iter().copied().reduce(Vec3::max)?,
    );
    let half = ((high - low) / 2.0).max(Vec3::splat(0.1));
    let off = (axis.point(exit.at) - (low + high) / 2.0) / half;
    Some(if off.x.abs() > off.z.abs() {
        if off.x > 0.0 { FRAC_PI_2 } else { -FRAC_PI_2 }
    } else if off.z > 0.0 {
        0.0
    } else {
        2.0 * FRAC_PI_2
    })
}

/// The same house from straight above, north up.
pub(super) fn plan(scene: &Scene, axis: Axis, aspect: f32) -> Pose {
    Pose {
        yaw: 0.0,
        pitch: FRAC_PI_2,
        ..Pose::default()
    }
    .framed_steeply(&home_points(scene, axis), aspect)
}

/// The same way of turning, from below.
pub(super) fn below(scene: &Scene, axis: Axis, aspect: f32, yaw: f32) -> Pose {
    Pose {
        yaw,
        pitch: -0.55,
        ..Pose::default()
    }
    .framing(&home_points(scene, axis), aspect, MARGIN)
}

/// Standing on the slab under the point looked at, looking the same way.
pub(super) fn afoot(from: Pose, axis: Axis) -> Pose {
    let mut stand = axis.house(from.target);
    stand.z = EYE;
    let mut pose = Pose {
        pitch: 0.42,
        distance: 4.0,
        ..from
    };
    let eye = axis.point(stand) - pose.ahead() * 6.0;
    pose.target = eye - pose.back() * pose.distance;
    pose
}

/// A finding, near enough to see it and far enough to see where it is.
pub(super) fn finding(row: &FindingRow, axis: Axis, from: Pose) -> Pose {
    let at = axis.point(DVec3::from_array(row.at));
    let pitch = if from.pitch < 0.0 {
        from.pitch
    } else {
        from.pitch.clamp(0.3, 0.8)
    };
    Pose {
        target: at,
        pitch,
        distance: JUMP,
        ..from
    }
}

/// A named item: its pipes, or its solids, or its marks.
pub(super) fn item(scene: &Scene, name: &str, axis: Axis, from: Pose, aspect: f32) -> Option<Pose> {
    let pipes = scene
        .pipes
        .iter()
        .filter(|pipe| pipe.id.as_str() == name)
        .flat_map(|pipe| &pipe.tubes);
    let mut points: Vec<Vec3> = pipes
        .flat_map(|tube| [axis.point(tube.a), axis.point(tube.b)])
        .collect();
    if points.is_empty() {
        let solids = scene
            .solids
            .iter()
            .filter(|solid| solid.id.as_str() == name);
        let corners = solids.flat_map(|solid| {
            solid
                .outline
                .iter()
                .map(|plan| axis.point(plan.extend(solid.top)))
        });
        points.extend(corners);
    }
    if points.is_empty() {
        points.extend(
            scene
                .marks
                .iter()
                .filter(|mark| mark.id.as_str() == name)
                .map(|mark| axis.point(mark.at)),
        );
    }
    if points.is_empty() {
        return None;
    }
    let mut pose = from.framing(&points, aspect, 0.6);
    pose.distance = pose.distance.max(JUMP);
    Some(pose)
}

/// A piece of the walk and what it is joined to, from above.
pub(super) fn piece(step: &WalkStep, axis: Axis, from: Pose, aspect: f32) -> Pose {
    let tubes = step.body.tubes.iter();
    let ends = tubes.flat_map(|tube| [tube.a, tube.b]);
    let shown = ends.chain(step.home.map(|(at, _)| at)).map(|mut at| {
        at.z = at.z.min(crate::bodies::RISER_SHOWN);
        axis.point(at)
    });
    let points: Vec<Vec3> = shown.collect();
    let mut pose = from;
    pose.pitch = 0.62;
    let mut pose = pose.framing(&points, aspect, 0.5);
    pose.distance = pose.distance.max(PIECE);
    pose
}

impl Pose {
    /// Framing for a pose that looks straight down, where up on screen is north.
    fn framed_steeply(mut self, points: &[Vec3], aspect: f32) -> Self {
        self.orbit(0.0, 0.0);
        self.framing(points, aspect, MARGIN)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::Sight;
    use scene::{Mark, Solid};

    fn scene(exit: DVec3) -> Scene {
        let corners = [(0.0, 0.0), (480.0, 0.0), (480.0, 360.0), (0.0, 360.0)];
        let slab = Solid {
            id: "slab".into(),
            kind: SolidKind::Concrete,
            outline: corners.map(|(x, y)| DVec2::new(x, y)).to_vec(),
            holes: vec![],
            bottom: -4.0,
            top: 0.0,
        };
        let exit = Mark {
            id: "exit".into(),
            kind: MarkKind::Exit,
            at: exit,
            text: String::new(),
        };
        Scene {
            solids: vec![slab],
            pipes: vec![],
            marks: vec![exit],
        }
    }

    #[test]
    fn the_whole_house_is_seen_from_where_the_drain_leaves() {
        for exit in [
            DVec3::new(490.0, 100.0, -20.0),
            DVec3::new(100.0, -8.0, -20.0),
            DVec3::new(200.0, 370.0, -20.0),
        ] {
            let scene = scene(exit);
            let pose = home(&scene, Axis::default(), 1.6);
            let sight = Sight { pose, aspect: 1.6 };
            let middle = sight.depth(Axis::default().point(DVec3::new(240.0, 180.0, 0.0)));
            assert!(sight.depth(Axis::default().point(exit)) < middle, "{exit}");
            assert!(
                home_points(&scene, Axis::default())
                    .iter()
                    .all(|point| sight.clip(*point).is_some())
            );
        }
    }

    #[test]
    fn a_plan_has_north_up() {
        let pose = plan(&scene(DVec3::ZERO), Axis::default(), 1.0);
        let sight = Sight { pose, aspect: 1.0 };
        let at = |x: f64, y: f64| {
            sight
                .clip(Axis::default().point(DVec3::new(x, y, 0.0)))
                .unwrap()
        };
        assert!(at(240.0, 360.0).y > at(240.0, 0.0).y && at(480.0, 180.0).x > at(0.0, 180.0).x);
    }

    #[test]
    fn someone_standing_looks_from_eye_height() {
        let pose = afoot(
            home(&scene(DVec3::ZERO), Axis::default(), 1.0),
            Axis::default(),
        );
        assert!((Axis::inches(pose.eye().y) - EYE).abs() < 0.01);
    }

    #[test]
    fn an_empty_scene_still_has_a_view() {
        assert!(home(&Scene::default(), Axis::default(), 1.0).is_sound());
        assert_eq!(
            item(
                &Scene::default(),
                "x",
                Axis::default(),
                Pose::default(),
                1.0
            ),
            None
        );
    }
}
