//! Right-handed frames, and how one piece's end meets another's.

use glam::{DMat3, DQuat, DVec3};

/// Where a piece stands: its origin in the house, and the directions of its local x and y there (unit, square).
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Frame {
    /// The piece's origin.
    pub at: DVec3,
    /// Its local x: the way the water leaves.
    pub x: DVec3,
    /// Its local y: toward the branch or the inlet of a bend.
    pub y: DVec3,
}

impl Frame {
    /// A frame at `at` whose x is `x` and whose y leans toward `toward`; any square direction where that is in line.
    pub fn new(at: DVec3, x: DVec3, toward: DVec3) -> Self {
        let x = x.normalize_or(DVec3::X);
        let y = (toward - x * toward.dot(x))
            .try_normalize()
            .filter(|y| y.is_finite());
        let y = y.unwrap_or_else(|| x.any_orthonormal_vector());
        Self { at, x, y }
    }

    /// A local point or direction in the house.
    pub fn turned(&self, local: [f64; 3]) -> DVec3 {
        self.x * local[0] + self.y * local[1] + self.z() * local[2]
    }

    /// Its local z.
    pub fn z(&self) -> DVec3 {
        self.x.cross(self.y)
    }
}

/// How the upstream piece sits in the downstream one: nothing but turns, since the stops touch.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Seat {
    /// Turn about the joint's axis, radians.
    pub roll: f64,
    /// Lean of the upstream piece's axis in the hub, radians; what a grade asks of a square fitting.
    pub lean: f64,
    /// Toward where it leans: radians about the axis of the downstream end, from that end's own y.
    pub lean_toward: f64,
}

/// The frame of an end: x outward, z the piece's own z.
pub(crate) fn end_matrix(outward: DVec3, z: DVec3) -> DMat3 {
    DMat3::from_cols(outward, z.cross(outward), z)
}

impl Seat {
    /// The seat between a downstream end and the upstream end in it (both outward, in the house).
    pub(crate) fn between(down: DMat3, up: DMat3) -> Self {
        let facing = DMat3::from_cols(-up.x_axis, -up.y_axis, up.z_axis);
        let relative = down.transpose() * facing;
        let axis = relative.x_axis;
        let lean = axis.y.hypot(axis.z).atan2(axis.x);
        let lean_toward = axis.z.atan2(axis.y);
        let rest = (lean_turn(lean, lean_toward).transpose() * relative).y_axis;
        Self {
            roll: rest.z.atan2(rest.y),
            lean,
            lean_toward,
        }
    }

    /// The frame of the upstream end (outward), from that of the downstream end.
    pub(crate) fn applied(self, down: DMat3) -> DMat3 {
        let turned =
            down * lean_turn(self.lean, self.lean_toward) * DMat3::from_rotation_x(self.roll);
        DMat3::from_cols(-turned.x_axis, -turned.y_axis, turned.z_axis)
    }
}

fn lean_turn(lean: f64, toward: f64) -> DMat3 {
    let about = DVec3::new(0.0, -toward.sin(), toward.cos());
    DMat3::from_quat(DQuat::from_axis_angle(about, lean))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seat_gives_back_the_end_it_was_taken_from() {
        let down = Frame::new(DVec3::ZERO, DVec3::new(1.0, 0.2, -0.1), DVec3::Z);
        let down = end_matrix(down.x, down.z());
        let up = Frame::new(
            DVec3::ZERO,
            DVec3::new(-1.0, -0.24, 0.13),
            DVec3::new(0.0, 1.0, 0.4),
        );
        let up = end_matrix(up.x, up.z());
        let seat = Seat::between(down, up);
        assert!(seat.lean > 0.01 && seat.lean < 0.1, "{seat:?}");
        let again = seat.applied(down);
        assert!((again.x_axis - up.x_axis).length() < 1e-12);
        assert!((again.z_axis - up.z_axis).length() < 1e-12);
    }
}
