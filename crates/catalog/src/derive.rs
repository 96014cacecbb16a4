//! The rules that give a dimension where no table row does. Plain numbers in, plain numbers out, inches.
//!
//! With OD the pipe's outside diameter, W its least wall, ID = OD - 2 W, hub OD = OD + 2 W + 0.06. All are geometry or
//! common sense; none was read in a standard, so each result is `Derived` and carries a doubt.
//!
//! What does not belong here: which rule a pattern uses.

use crate::Pipe;

/// Half the angle of a wye, 45 degrees, as `sqrt 2`.
const ROOT_2: f64 = std::f64::consts::SQRT_2;

/// A spigot's shoulder stands this far off the mouth of the hub it is home in.
pub(crate) const SHOULDER_GAP: f64 = 0.0625;

/// Up to the next sixteenth: for space the larger candidate is safer.
pub(crate) fn up16(inches: f64) -> f64 {
    (inches * 16.0 - 1e-9).ceil() / 16.0
}

/// Take-off of a bend of `degrees` whose centreline has radius `radius` and curves from stop to stop:
/// `R tan(a/2)`.
pub(crate) fn bend_take_off(radius: f64, degrees: f64) -> f64 {
    radius * (degrees.to_radians() / 2.0).tan()
}

/// Centreline radius of a bend that curves from stop to stop: `G / tan(a/2)`.
pub(crate) fn bend_radius(take_off: f64, degrees: f64) -> f64 {
    take_off / (degrees.to_radians() / 2.0).tan()
}

/// Origin to the tip of a street end, from the take-off of the plain pattern.
pub(crate) fn street_tip(plain_take_off: f64, socket_depth: f64) -> f64 {
    plain_take_off + SHOULDER_GAP + socket_depth
}

/// Branch leg of a reducing sanitary tee, from the leg of the branch size's own.
pub(crate) fn sanitary_branch(short_bend: f64, run: &Pipe, branch: &Pipe) -> f64 {
    up16(short_bend + bore_step(run, branch))
}

/// A leg that must only clear the hub standing square on it.
pub(crate) fn past_hub(hub: &Pipe) -> f64 {
    up16(hub.hub_od.value / 2.0 + SHOULDER_GAP)
}

/// Branch leg of a wye whose branch hub just clears the run's hub, plus 5 percent.
pub(crate) fn wye_branch(run: &Pipe, branch: &Pipe) -> f64 {
    let (a, b) = (run.hub_od.value / 2.0, branch.hub_od.value / 2.0);
    up16((ROOT_2 * a + b) * 1.05)
}

/// Upstream leg of a wye whose run hub just clears the branch's hub, plus 5 percent.
pub(crate) fn wye_upstream(run: &Pipe, branch: &Pipe) -> f64 {
    let (a, b) = (run.hub_od.value / 2.0, branch.hub_od.value / 2.0);
    up16((a + ROOT_2 * b) * 1.05)
}

/// Downstream leg of a wye: that of the equal wye of the branch size, less how much the run overhangs; at least 1/2.
pub(crate) fn wye_downstream(equal: f64, run: &Pipe, branch: &Pipe) -> f64 {
    up16(equal - (run.od - branch.od) / 2.0).max(0.5)
}

/// From the stop of the large hub to the end of the small pipe in a bushing that fills the hub.
pub(crate) fn bushing(large: &Pipe, small: &Pipe) -> f64 {
    large.socket_depth.value - small.socket_depth.value
}

/// Gap between the pipe ends in a reducing coupling.
pub(crate) fn reducing_gap(large: &Pipe, small: &Pipe) -> f64 {
    up16(bore_step(large, small) + 0.25)
}

/// Half the difference of two bores: how far the invert steps in a concentric reducer, and how far a smaller branch
/// stands out.
pub(crate) fn bore_step(large: &Pipe, small: &Pipe) -> f64 {
    (large.id() - small.id()) / 2.0
}

/// Overall length of a cap: the socket, a wall and 0.06.
pub(crate) fn cap_length(pipe: &Pipe) -> f64 {
    pipe.socket_depth.value + pipe.wall + 0.06
}

/// From a trap arm's axis to the lowest outside point of the trap: half a bore to the weir, the seal, a bore, a wall.
pub(crate) fn below_arm(pipe: &Pipe, seal: f64) -> f64 {
    up16(pipe.id() / 2.0 + seal + pipe.id() + pipe.wall)
}
