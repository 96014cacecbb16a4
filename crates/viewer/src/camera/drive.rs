//! What the hand and the keys ask of the camera in one frame, read from egui so that panels come first.

use bevy::math::{Vec2, Vec3};
use bevy_egui::egui::{self, Key, MouseWheelUnit, PointerButton};

use super::pose::Pose;

/// Turn for a drag across the whole height of the picture, radians.
const TURN: f32 = 3.4;
/// Zoom for one notch of a wheel.
const NOTCH: f32 = 0.88;
/// Turn for a held key, radians a second.
const KEY_TURN: f32 = 1.3;
/// Longest step of time a held key counts for, seconds: a slow frame must not throw the eye away.
const LONGEST: f32 = 0.06;

/// Moves asked for in one frame.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Drive {
    /// Turn, radians.
    pub turn: Vec2,
    /// Slide, parts of the picture's height.
    pub slide: Vec2,
    /// Zoom factor, 1 for none.
    pub zoom: f32,
    /// Where the pointer is, clip space.
    pub aim: Vec2,
    /// Flight: right, up, ahead, as parts of the speed for this frame's time.
    pub fly: Vec3,
    /// Whether a key that moves is held, so that the next frame must come.
    pub held: bool,
}

impl Default for Drive {
    fn default() -> Self {
        Self {
            turn: Vec2::ZERO,
            slide: Vec2::ZERO,
            zoom: 1.0,
            aim: Vec2::ZERO,
            fly: Vec3::ZERO,
            held: false,
        }
    }
}

impl Drive {
    /// Whether anything is asked for.
    pub fn moves(&self) -> bool {
        *self
            != Self {
                aim: self.aim,
                ..Self::default()
            }
    }

    /// Whether it goes nearer or farther off.
    pub fn zooms(&self) -> bool {
        (self.zoom - 1.0).abs() > 1e-6
    }

    /// `pose` moved, no farther off than `farthest` feet; `afoot` turns the head and keeps the height of the eye.
    pub fn apply(&self, mut pose: Pose, aspect: f32, afoot: bool, farthest: f32) -> Pose {
        let before = pose;
        if afoot {
            pose.look_round(self.turn.x, self.turn.y);
            pose.fly(Vec3::new(self.fly.x, 0.0, self.fly.z) * 9.0);
        } else {
            pose.orbit(self.turn.x, self.turn.y);
            pose.fly(self.fly * (pose.distance * 0.55).max(1.5));
        }
        pose.slide(self.slide);
        if self.zooms() && !afoot {
            pose.zoom(self.zoom, self.aim, aspect, farthest);
        }
        if pose.is_sound() { pose } else { before }
    }
}

/// Reads this frame's moves over the picture's `response`; keys count only when no text is being typed.
pub fn drive_of(ui: &egui::Ui, response: &egui::Response, keys: bool) -> Drive {
    let rect = response.rect;
    let mut drive = Drive::default();
    let height = rect.height().max(1.0);
    let part = |by: egui::Vec2| Vec2::new(by.x, by.y) / height;
    let shift = ui.input(|input| input.modifiers.shift);
    if response.dragged_by(PointerButton::Primary) && !shift {
        drive.turn = part(response.drag_delta()) * Vec2::new(-TURN, TURN);
    } else if response.dragged() {
        drive.slide = part(response.drag_delta());
    }
    if let Some(at) = response.hover_pos() {
        let off = (at - rect.center()) / (rect.size() / 2.0);
        drive.aim = Vec2::new(off.x, -off.y);
        ui.input(|input| wheel(&mut drive, input, height));
    }
    if keys {
        ui.input(|input| held(&mut drive, input));
    }
    drive
}

fn wheel(drive: &mut Drive, input: &egui::InputState, height: f32) {
    for event in &input.events {
        match event {
            egui::Event::MouseWheel {
                unit,
                delta,
                modifiers,
                ..
            } => {
                let by = Vec2::new(delta.x, delta.y);
                match unit {
                    // Two fingers on a trackpad slide; with a command key, or a wheel's notches, they zoom.
                    MouseWheelUnit::Point if !modifiers.command && !modifiers.ctrl => {
                        drive.slide += by / height;
                    }
                    MouseWheelUnit::Point => drive.zoom *= NOTCH.powf(by.y / 40.0),
                    MouseWheelUnit::Line | MouseWheelUnit::Page => drive.zoom *= NOTCH.powf(by.y),
                }
            }
            egui::Event::Zoom(factor) if *factor > 0.0 => drive.zoom /= factor,
            _ => {}
        }
    }
    drive.zoom = drive.zoom.clamp(0.2, 5.0);
}

fn held(drive: &mut Drive, input: &egui::InputState) {
    let down = |key| f32::from(u8::from(input.key_down(key)));
    let time = input.stable_dt.min(LONGEST);
    let across = down(Key::ArrowRight) - down(Key::ArrowLeft);
    let ahead = down(Key::ArrowUp) - down(Key::ArrowDown);
    let up = down(Key::PageUp) - down(Key::PageDown);
    if across == 0.0 && ahead == 0.0 && up == 0.0 {
        return;
    }
    drive.held = true;
    if input.modifiers.shift {
        drive.turn += Vec2::new(-across, -ahead) * KEY_TURN * time;
    } else {
        drive.fly += Vec3::new(across, 0.0, ahead) * time;
    }
    drive.fly.y += up * time;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn resting_moves_nothing() {
        let pose = Pose::default();
        assert!(!Drive::default().moves());
        assert_eq!(Drive::default().apply(pose, 1.5, false, 500.0), pose);
    }

    #[test]
    fn afoot_keeps_the_height_of_the_eye() {
        let pose = Pose {
            distance: 4.0,
            pitch: 0.1,
            ..Pose::default()
        };
        let drive = Drive {
            fly: Vec3::new(0.3, 0.9, 0.4),
            ..Drive::default()
        };
        let after = drive.apply(pose, 1.5, true, 500.0);
        assert!((after.eye().y - pose.eye().y).abs() < 1e-5);
        assert!(after.eye().distance(pose.eye()) > 1.0);
    }

    #[test]
    fn a_move_that_would_lose_the_eye_is_not_made() {
        let pose = Pose::default();
        let drive = Drive {
            fly: Vec3::new(f32::NAN, 0.0, 0.0),
            ..Drive::default()
        };
        assert_eq!(drive.apply(pose, 1.0, false, 500.0), pose);
    }
}
