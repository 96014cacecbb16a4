//! From a ray to the place that was meant: a mark, a pipe's axis, crown or underside, a corner, or a face.

use bevy::math::{Vec2, Vec3};
use glam::DVec3;
use scene::{Mark, MarkKind, PipeBody, Scene, Solid, SolidKind};

use super::ray;
use crate::axis::Axis;
use crate::camera::Sight;
use crate::layers::{Layer, LayersState};

/// How near the pointer must come, pixels.
const REACH: f32 = 9.0;

/// What a pick took hold of.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Snap {
    /// A stub's top, an invert, the exit, the receiver.
    Mark,
    /// A pipe's axis.
    Axis,
    /// A pipe's outside top.
    Crown,
    /// A pipe's outside bottom.
    Underside,
    /// A corner of a solid.
    Corner,
    /// A face of a solid.
    Face,
}

/// A picked place.
#[derive(Clone, PartialEq, Debug)]
pub struct Pick {
    /// The layout item it belongs to.
    pub id: String,
    /// What was taken hold of.
    pub snap: Snap,
    /// Where, house inches.
    pub at: DVec3,
    /// The place in words: `crown of trunk`.
    pub words: String,
}

/// All that a pick depends on.
#[derive(Clone, Copy)]
pub struct Picker<'a> {
    /// The bodies.
    pub scene: &'a Scene,
    /// The way into the picture.
    pub axis: Axis,
    /// What is hidden cannot be picked.
    pub layers: &'a LayersState,
    /// Where from.
    pub sight: Sight,
    /// Height of the picture, pixels.
    pub height: f32,
}

/// A mark as a picked place.
pub fn of_mark(mark: &Mark) -> Pick {
    let (part, snap) = match mark.kind {
        MarkKind::Stub => ("top of", Snap::Mark),
        MarkKind::Invert => ("invert of", Snap::Mark),
        MarkKind::Exit => ("exit of", Snap::Mark),
        MarkKind::Receiver => ("inlet at", Snap::Mark),
        MarkKind::Cleanout => ("cleanout", Snap::Mark),
        MarkKind::Run => ("middle of", Snap::Axis),
    };
    Pick {
        id: mark.id.to_string(),
        snap,
        at: mark.at,
        words: format!("{part} {}", mark.id),
    }
}

impl Picker<'_> {
    /// What is meant at `clip`: pipes and marks are taken through glass, then corners, then faces.
    pub fn pick(&self, clip: Vec2) -> Option<Pick> {
        let ray = self.sight.ray(clip);
        let pipe = self.pipe(ray);
        self.mark(clip)
            .or(pipe)
            .or_else(|| self.corner(clip))
            .or_else(|| self.face(ray))
    }

    /// Pixels between a picture point and `clip`.
    fn off(&self, point: Vec3, clip: Vec2) -> Option<f32> {
        let away = self.sight.clip(point)? - clip;
        Some(Vec2::new(away.x * self.sight.aspect, away.y).length() * self.height / 2.0)
    }

    fn mark(&self, clip: Vec2) -> Option<Pick> {
        let near = self.scene.marks.iter().filter_map(|mark| {
            let off = self.off(self.axis.point(mark.at), clip)?;
            (off <= REACH && mark.kind != MarkKind::Run).then_some((off, mark))
        });
        let (_, mark) = near.min_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(of_mark(mark))
    }

    fn pipe(&self, ray: (Vec3, Vec3)) -> Option<Pick> {
        let shown = |pipe: &&PipeBody| self.layers.shows(Layer::of_pipe(pipe.flow, pipe.part));
        let hits = self.scene.pipes.iter().filter(shown).flat_map(|pipe| {
            pipe.tubes.iter().filter_map(move |tube| {
                let (a, b) = (self.axis.point(tube.a), self.axis.point(tube.b));
                let near = ray::to_segment(ray, a, b);
                let slack = self.sight.span(near.along) / self.height.max(1.0) * 3.0;
                (near.off <= Axis::length(tube.radius) + slack).then_some((
                    near,
                    pipe,
                    tube,
                    a.lerp(b, near.part),
                ))
            })
        });
        let (near, pipe, tube, axis) = hits.min_by(|a, b| a.0.along.total_cmp(&b.0.along))?;
        let centre = tube.a.lerp(tube.b, f64::from(near.part));
        let upward = (ray.0 + ray.1 * near.along - axis).dot(self.sight.pose.up())
            / Axis::length(tube.radius);
        let level = (tube.b - tube.a).normalize_or_zero().z.abs() < 0.7;
        let (snap, part, rise) = match upward {
            up if level && up > 0.45 => (Snap::Crown, "crown of", tube.radius),
            up if level && up < -0.45 => (Snap::Underside, "underside of", -tube.radius),
            _ => (Snap::Axis, "centre of", 0.0),
        };
        let words = format!("{part} {}", pipe.id);
        Some(Pick {
            id: pipe.id.to_string(),
            snap,
            at: centre + DVec3::Z * rise,
            words,
        })
    }

    fn solids(&self) -> impl Iterator<Item = &Solid> {
        let shown = |solid: &&Solid| self.layers.shows(Layer::of_solid(solid.kind));
        self.scene.solids.iter().filter(shown)
    }

    fn corner(&self, clip: Vec2) -> Option<Pick> {
        let corners = self.solids().flat_map(|solid| {
            solid
                .outline
                .iter()
                .flat_map(move |plan| [solid.top, solid.bottom].map(|z| (solid, plan.extend(z))))
        });
        let near = corners.filter_map(|(solid, at)| {
            let point = self.axis.point(at);
            let off = self.off(point, clip)?;
            (off <= REACH).then_some((self.sight.depth(point), solid, at))
        });
        let (_, solid, at) = near.min_by(|a, b| a.0.total_cmp(&b.0))?;
        let words = format!("corner of {}", solid_words(solid));
        Some(Pick {
            id: solid.id.to_string(),
            snap: Snap::Corner,
            at,
            words,
        })
    }

    fn face(&self, ray: (Vec3, Vec3)) -> Option<Pick> {
        let plan = |ring: &Vec<glam::DVec2>| -> Vec<Vec2> {
            let flat = |corner: &glam::DVec2| self.axis.point(corner.extend(0.0));
            ring.iter()
                .map(flat)
                .map(|at| Vec2::new(at.x, at.z))
                .collect()
        };
        let hits = self.solids().filter_map(|solid| {
            let level = |z: f64| self.axis.point(DVec3::new(0.0, 0.0, z)).y;
            let holes: Vec<Vec<Vec2>> = solid.holes.iter().map(plan).collect();
            let along = ray::to_prism(
                ray,
                &plan(&solid.outline),
                &holes,
                level(solid.bottom),
                level(solid.top),
            )?;
            Some((along, solid))
        });
        let (along, solid) = hits.min_by(|a, b| a.0.total_cmp(&b.0))?;
        let mut at = self.axis.house(ray.0 + ray.1 * along);
        for level in [solid.top, solid.bottom] {
            if (at.z - level).abs() < 0.01 {
                at.z = level;
            }
        }
        Some(Pick {
            id: solid.id.to_string(),
            snap: Snap::Face,
            at,
            words: format!("on {}", solid_words(solid)),
        })
    }
}

fn solid_words(solid: &Solid) -> String {
    let kind = match solid.kind {
        SolidKind::Concrete => "concrete",
        SolidKind::Foam => "foam",
        SolidKind::Sheet => "sheet",
        SolidKind::Gravel => "gravel",
        SolidKind::Sand => "sand",
        SolidKind::StemWall => "stem wall",
        SolidKind::Footing => "footing",
        SolidKind::TurnedDownEdge => "turned-down edge",
        SolidKind::GradeBeam => "grade beam",
        SolidKind::Strip => "strip",
        SolidKind::Pier => "pier",
        SolidKind::Framing => "studs of",
        SolidKind::Finish => "board of",
        SolidKind::Cabinet => "cabinet",
        SolidKind::BoxOut => "box-out",
        SolidKind::Ground => "ground",
        SolidKind::Receiver => "receiver",
    };
    if solid.id.as_str() == kind {
        kind.into()
    } else {
        format!("{kind} {}", solid.id)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::Pose;
    use glam::DVec2;
    use scene::{Flow, Mark, Part, Tube};
    use units::Size;

    fn scene() -> Scene {
        let slab = Solid {
            id: "slab".into(),
            kind: SolidKind::Concrete,
            outline: [(0.0, 0.0), (240.0, 0.0), (240.0, 120.0), (0.0, 120.0)]
                .map(|(x, y)| DVec2::new(x, y))
                .to_vec(),
            holes: vec![],
            bottom: -4.0,
            top: 0.0,
        };
        let trunk = PipeBody {
            id: "trunk".into(),
            part: Part::Pipe,
            flow: Flow::Drain,
            size: Size::In3,
            tubes: vec![Tube {
                a: DVec3::new(20.0, 60.0, -15.0),
                b: DVec3::new(220.0, 60.0, -20.0),
                radius: 1.75,
            }],
            joined: vec![],
        };
        let stub = Mark {
            id: "wc1".into(),
            kind: MarkKind::Stub,
            at: DVec3::new(40.0, 30.0, 6.0),
            text: "wc1".into(),
        };
        Scene {
            solids: vec![slab],
            pipes: vec![trunk],
            marks: vec![stub],
        }
    }

    fn pick(at: DVec3, nudge: Vec2, layers: &LayersState) -> Option<Pick> {
        let scene = scene();
        let axis = Axis::default();
        let pose = Pose {
            target: Vec3::new(10.0, 0.0, -5.0),
            yaw: 0.3,
            pitch: 0.8,
            distance: 30.0,
        };
        let sight = Sight { pose, aspect: 1.6 };
        let picker = Picker {
            scene: &scene,
            axis,
            layers,
            sight,
            height: 800.0,
        };
        picker.pick(sight.clip(axis.point(at)).unwrap() + nudge)
    }

    #[test]
    fn a_pipe_is_taken_through_the_slab_on_its_axis() {
        let layers = LayersState::default();
        let hit = pick(DVec3::new(120.0, 60.0, -17.5), Vec2::ZERO, &layers).unwrap();
        assert_eq!(
            (hit.snap, hit.words.as_str()),
            (Snap::Axis, "centre of trunk")
        );
        // Nearest approach in f32 on a pipe of 17 ft: within a thirty-second of an inch of where it was aimed.
        assert!(
            (hit.at - DVec3::new(120.0, 60.0, -17.5)).length() < 1.0 / 32.0,
            "{hit:?}"
        );
    }

    #[test]
    fn its_crown_is_a_radius_higher() {
        let layers = LayersState::default();
        let hit = pick(
            DVec3::new(120.0, 60.0, -17.5),
            Vec2::new(0.0, 0.011),
            &layers,
        )
        .unwrap();
        assert_eq!(hit.snap, Snap::Crown);
        assert!((hit.at.z - -15.75).abs() < 0.05, "{hit:?}");
    }

    #[test]
    fn a_hidden_pipe_is_not_picked() {
        let layers = LayersState::default().without(&[Layer::Drains]);
        let hit = pick(DVec3::new(120.0, 60.0, -17.5), Vec2::ZERO, &layers).unwrap();
        assert_eq!(hit.snap, Snap::Face);
        assert!(hit.at.z.abs() < 1e-9, "{hit:?}");
    }

    #[test]
    fn marks_and_corners_draw_the_pointer() {
        let layers = LayersState::default();
        let mark = pick(DVec3::new(40.0, 30.0, 6.0), Vec2::splat(0.004), &layers).unwrap();
        assert_eq!(
            (mark.words.as_str(), mark.at),
            ("top of wc1", DVec3::new(40.0, 30.0, 6.0))
        );
        let corner = pick(DVec3::new(240.0, 0.0, 0.0), Vec2::splat(0.004), &layers).unwrap();
        assert_eq!(
            (corner.snap, corner.at),
            (Snap::Corner, DVec3::new(240.0, 0.0, 0.0))
        );
    }

    #[test]
    fn beside_the_house_there_is_nothing() {
        assert_eq!(
            pick(
                DVec3::new(-200.0, 60.0, 0.0),
                Vec2::ZERO,
                &LayersState::default()
            ),
            None
        );
    }
}
