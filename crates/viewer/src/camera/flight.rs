//! Flights from one pose to another: short, eased, the shorter way round.

use std::f32::consts::{PI, TAU};

use super::pose::Pose;

/// A flight under way.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Flight {
    from: Pose,
    to: Pose,
    done: f32,
    seconds: f32,
}

impl Flight {
    /// A flight that takes `seconds`; none at all if that is zero.
    pub fn new(from: Pose, to: Pose, seconds: f32) -> Self {
        Self {
            from,
            to,
            done: 0.0,
            seconds,
        }
    }

    /// Where it ends.
    pub fn to(&self) -> Pose {
        self.to
    }

    /// The pose after `by` more seconds, and whether the flight is over.
    pub fn step(&mut self, by: f32) -> (Pose, bool) {
        self.done += by.max(0.0);
        if self.done >= self.seconds {
            return (self.to, true);
        }
        let part = ease(self.done / self.seconds);
        let turn = (self.to.yaw - self.from.yaw + PI).rem_euclid(TAU) - PI;
        // Distances are felt as ratios: the middle of 10 and 1000 ft is 100.
        let distance =
            (self.from.distance.ln() * (1.0 - part) + self.to.distance.ln() * part).exp();
        let pose = Pose {
            target: self.from.target.lerp(self.to.target, part),
            yaw: (self.from.yaw + turn * part).rem_euclid(TAU),
            pitch: self.from.pitch + (self.to.pitch - self.from.pitch) * part,
            distance,
        };
        (pose, false)
    }
}

/// Slow, quick, slow: 0 at 0, 1 at 1, flat at both.
fn ease(part: f32) -> f32 {
    part * part * (3.0 - 2.0 * part)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_ends_exactly_where_it_should() {
        let to = Pose {
            yaw: 6.0,
            distance: 5.0,
            ..Pose::default()
        };
        let mut flight = Flight::new(Pose::default(), to, 0.5);
        assert!(!flight.step(0.25).1);
        assert_eq!(flight.step(0.3), (to, true));
    }

    #[test]
    fn it_turns_the_shorter_way() {
        let from = Pose {
            yaw: 0.2,
            ..Pose::default()
        };
        let to = Pose {
            yaw: TAU - 0.2,
            ..from
        };
        let (middle, _) = Flight::new(from, to, 1.0).step(0.5);
        assert!(
            middle.yaw < 1e-3 || middle.yaw > TAU - 1e-3,
            "{}",
            middle.yaw
        );
    }

    #[test]
    fn no_time_is_no_flight() {
        let mut flight = Flight::new(
            Pose::default(),
            Pose {
                pitch: 1.0,
                ..Pose::default()
            },
            0.0,
        );
        assert!(flight.step(0.0).1);
    }
}
