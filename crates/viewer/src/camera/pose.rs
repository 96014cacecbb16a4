//! A camera pose as a point looked at, two turns and a distance, and the projection that goes with it.

use std::f32::consts::{FRAC_PI_2, TAU};

use bevy::math::{Mat4, Vec2, Vec3};

/// Height of the field of view, radians. Narrow, so that pipes look as straight as they are.
pub const FIELD: f32 = 0.56;
/// Nearest that is drawn, feet.
pub const NEAR: f32 = 0.1;

const CLOSEST: f32 = 0.4;
const FARTHEST: f32 = 50_000.0;
const STEEPEST: f32 = FRAC_PI_2 - 0.01;

/// Where the eye is and where it looks.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Pose {
    /// The point looked at, feet.
    pub target: Vec3,
    /// Turn of the view about the vertical, radians: 0 looks north, a quarter turn looks west.
    pub yaw: f32,
    /// How far the eye is raised above the target, radians; negative looks up from below.
    pub pitch: f32,
    /// Eye to target, feet.
    pub distance: f32,
}

impl Default for Pose {
    fn default() -> Self {
        Self {
            target: Vec3::ZERO,
            yaw: 0.6,
            pitch: 0.6,
            distance: 60.0,
        }
    }
}

impl Pose {
    /// The unit vector from target to eye.
    pub fn back(&self) -> Vec3 {
        let level = self.pitch.cos();
        Vec3::new(
            self.yaw.sin() * level,
            self.pitch.sin(),
            self.yaw.cos() * level,
        )
    }

    /// The eye.
    pub fn eye(&self) -> Vec3 {
        self.target + self.back() * self.distance
    }

    /// To the right on screen.
    pub fn right(&self) -> Vec3 {
        Vec3::new(self.yaw.cos(), 0.0, -self.yaw.sin())
    }

    /// Upward on screen.
    pub fn up(&self) -> Vec3 {
        self.back().cross(self.right())
    }

    /// Level and ahead.
    pub fn ahead(&self) -> Vec3 {
        Vec3::new(-self.yaw.sin(), 0.0, -self.yaw.cos())
    }

    /// Goes round the target.
    pub fn orbit(&mut self, yaw: f32, pitch: f32) {
        self.yaw = (self.yaw + yaw).rem_euclid(TAU);
        self.pitch = (self.pitch + pitch).clamp(-STEEPEST, STEEPEST);
    }

    /// Turns the head: the eye stays, the target goes round it.
    pub fn look_round(&mut self, yaw: f32, pitch: f32) {
        let eye = self.eye();
        self.orbit(yaw, pitch);
        self.target = eye - self.back() * self.distance;
    }

    /// Slides the picture by `by`, in parts of its height.
    pub fn slide(&mut self, by: Vec2) {
        let height = 2.0 * self.distance * (FIELD / 2.0).tan();
        self.target += (self.up() * by.y - self.right() * by.x) * height;
    }

    /// Goes nearer (below 1) or farther (above 1, to `farthest`), keeping the point under `aim` (clip space) where it is.
    pub fn zoom(&mut self, factor: f32, aim: Vec2, aspect: f32, farthest: f32) {
        let before = self.distance;
        // Whoever stands farther already is not pulled near.
        let most = farthest.clamp(CLOSEST, FARTHEST).max(before);
        self.distance = (self.distance * factor).clamp(CLOSEST, most);
        let reach = (before - self.distance) * (FIELD / 2.0).tan();
        self.target += self.right() * (aim.x * aspect * reach) + self.up() * (aim.y * reach);
    }

    /// Flies: right, up and ahead in feet.
    pub fn fly(&mut self, by: Vec3) {
        self.target += self.right() * by.x + Vec3::Y * by.y + self.ahead() * by.z;
    }

    /// The same way of looking, from far enough that every point of `points` is in the picture.
    pub fn framing(mut self, points: &[Vec3], aspect: f32, margin: f32) -> Self {
        let (Some(low), Some(high)) = (
            points.iter().copied().reduce(Vec3::min),
            points.iter().copied().reduce(Vec3::max),
        ) else {
            return self;
        };
        self.target = (low + high) / 2.0;
        let (right, up, back) = (self.right(), self.up(), self.back());
        let tall = (FIELD / 2.0).tan() * margin;
        let wide = tall * aspect.max(0.2);
        // Twice: the second time about the middle of what is seen, which perspective moves.
        for _ in 0..2 {
            let needs = |point: &Vec3| {
                let off = *point - self.target;
                let side = (off.dot(right).abs() / wide).max(off.dot(up).abs() / tall);
                side + off.dot(back)
            };
            self.distance = points
                .iter()
                .map(needs)
                .fold(CLOSEST * 4.0, f32::max)
                .min(FARTHEST);
            let sight = Sight { pose: self, aspect };
            let seen: Vec<Vec2> = points
                .iter()
                .filter_map(|point| sight.clip(*point))
                .collect();
            let (Some(low), Some(high)) = (
                seen.iter().copied().reduce(Vec2::min),
                seen.iter().copied().reduce(Vec2::max),
            ) else {
                break;
            };
            let middle = (low + high) / 2.0 * self.distance * (FIELD / 2.0).tan();
            self.target += right * (middle.x * aspect) + up * middle.y;
        }
        self
    }

    /// Whether every number is finite: a pose that is not is never shown.
    pub fn is_sound(&self) -> bool {
        self.target.is_finite()
            && self.yaw.is_finite()
            && self.pitch.is_finite()
            && self.distance.is_finite()
    }
}

/// A pose with the shape of the picture: projects points and casts rays exactly as the drawing does.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Sight {
    /// Where from.
    pub pose: Pose,
    /// Width over height.
    pub aspect: f32,
}

impl Sight {
    fn matrix(&self) -> Mat4 {
        let view = Mat4::look_at_rh(self.pose.eye(), self.pose.target, Vec3::Y);
        Mat4::perspective_infinite_reverse_rh(FIELD, self.aspect, NEAR) * view
    }

    /// What projects many points.
    pub fn lens(&self) -> Lens {
        Lens {
            matrix: self.matrix(),
            eye: self.pose.eye(),
            back: self.pose.back(),
        }
    }

    /// A point in clip space, -1 to 1, x right and y up; `None` behind the eye.
    pub fn clip(&self, point: Vec3) -> Option<Vec2> {
        self.lens().clip(point)
    }

    /// How far in front of the eye, feet.
    pub fn depth(&self, point: Vec3) -> f32 {
        self.lens().depth(point)
    }

    /// The ray through a point of clip space: where it starts and its unit direction.
    pub fn ray(&self, clip: Vec2) -> (Vec3, Vec3) {
        let tall = (FIELD / 2.0).tan();
        let across =
            self.pose.right() * (clip.x * tall * self.aspect) + self.pose.up() * (clip.y * tall);
        (self.pose.eye(), (across - self.pose.back()).normalize())
    }

    /// Feet that one picture height spans at `depth`.
    pub fn span(&self, depth: f32) -> f32 {
        2.0 * depth.max(NEAR) * (FIELD / 2.0).tan()
    }
}

/// A sight worked out once.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Lens {
    matrix: Mat4,
    eye: Vec3,
    back: Vec3,
}

impl Lens {
    /// A point in clip space, -1 to 1, x right and y up; `None` behind the eye.
    pub fn clip(&self, point: Vec3) -> Option<Vec2> {
        let at = self.matrix * point.extend(1.0);
        (at.w > NEAR).then(|| Vec2::new(at.x, at.y) / at.w)
    }

    /// How far in front of the eye, feet.
    pub fn depth(&self, point: Vec3) -> f32 {
        (self.eye - point).dot(self.back)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sight() -> Sight {
        let pose = Pose {
            target: Vec3::new(10.0, -1.0, -20.0),
            yaw: 0.7,
            pitch: 0.5,
            distance: 40.0,
        };
        Sight {
            pose,
            aspect: 16.0 / 9.0,
        }
    }

    #[test]
    fn the_target_is_in_the_middle() {
        let sight = sight();
        assert!(sight.clip(sight.pose.target).unwrap().length() < 1e-4);
        assert!((sight.depth(sight.pose.target) - 40.0).abs() < 1e-3);
    }

    #[test]
    fn a_ray_goes_through_the_point_it_was_cast_at() {
        let sight = sight();
        let point = Vec3::new(14.0, 1.0, -16.0);
        let (from, along) = sight.ray(sight.clip(point).unwrap());
        let off = (point - from).cross(along).length();
        assert!(off < 1e-3, "{off}");
    }

    #[test]
    fn up_is_up_and_right_is_right() {
        let sight = sight();
        let target = sight.pose.target;
        assert!(sight.clip(target + Vec3::Y).unwrap().y > 0.0);
        assert!(sight.clip(target + sight.pose.right()).unwrap().x > 0.0);
        let north = Pose {
            yaw: 0.0,
            ..sight.pose
        };
        assert!(north.ahead().abs_diff_eq(Vec3::NEG_Z, 1e-6));
    }

    #[test]
    fn what_is_behind_is_not_seen() {
        let sight = sight();
        assert_eq!(sight.clip(sight.pose.eye() + sight.pose.back()), None);
    }

    #[test]
    fn zooming_out_ends_where_the_house_is_still_seen() {
        let mut pose = Pose::default();
        (0..40).for_each(|_| pose.zoom(1.5, Vec2::ZERO, 1.6, 300.0));
        assert!((pose.distance - 300.0).abs() < 1e-3);
        // From farther off one comes nearer and goes no farther.
        pose.distance = 500.0;
        pose.zoom(1.5, Vec2::ZERO, 1.6, 300.0);
        assert!((pose.distance - 500.0).abs() < 1e-3);
        pose.zoom(0.5, Vec2::ZERO, 1.6, 300.0);
        assert!((pose.distance - 250.0).abs() < 1e-3);
    }

    #[test]
    fn zooming_keeps_the_point_under_the_pointer() {
        let mut sight = sight();
        let aim = Vec2::new(0.5, -0.3);
        let (from, along) = sight.ray(aim);
        // A point in the plane of the target.
        let point = from + along * (sight.pose.distance / -along.dot(sight.pose.back()));
        sight.pose.zoom(0.5, aim, sight.aspect, FARTHEST);
        assert!(sight.clip(point).unwrap().distance(aim) < 1e-3);
    }

    #[test]
    fn looking_round_leaves_the_eye_where_it_is() {
        let mut pose = sight().pose;
        let eye = pose.eye();
        pose.look_round(0.4, -0.2);
        assert!(pose.eye().distance(eye) < 1e-3);
    }

    #[test]
    fn framing_puts_every_point_in_the_picture_and_fills_it() {
        let points: Vec<Vec3> = (0..8u8)
            .map(|bits| {
                let pick = |bit: u8, low: f32, high: f32| if bits & bit == 0 { low } else { high };
                Vec3::new(pick(1, 0.0, 40.0), pick(2, -3.0, 2.0), pick(4, -30.0, 0.0))
            })
            .collect();
        for aspect in [0.4, 1.0, 2.4] {
            let pose = Pose::default().framing(&points, aspect, 0.94);
            let sight = Sight { pose, aspect };
            let far = points
                .iter()
                .map(|point| sight.clip(*point).unwrap().abs().max_element());
            let far = far.fold(0.0, f32::max);
            assert!(far < 1.0 && far > 0.6, "{aspect}: {far}");
        }
        assert!(Pose::default().framing(&[], 1.0, 0.9).is_sound());
    }

    #[test]
    fn pitch_never_goes_over_the_top() {
        let mut pose = Pose::default();
        pose.orbit(100.0, 100.0);
        assert!(pose.pitch < FRAC_PI_2 && pose.is_sound());
        pose.orbit(0.0, -100.0);
        assert!(pose.pitch > -FRAC_PI_2);
    }
}
