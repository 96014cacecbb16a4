//! A fitting as geometry: its ends in a local frame, and the bodies that clearances and pictures use.
//!
//! # Local frame
//! - The origin is where the axes cross; of a fitting without a turn or branch, see [`Fitting`].
//! - Everything lies in the plane `z = 0`; the piece is right-handed with `z` toward the viewer.
//! - Water leaves along `+x`: the outlet's direction is `(1, 0, 0)`.
//! - The inlet of a straight run is `(-1, 0, 0)`; the inlet of a bend of angle `a` is `(-cos a, sin a, 0)`.
//! - A branch is on the `+y` side: a wye's is `(-cos 45, sin 45, 0)`, a tee's `(0, 1, 0)`. The other branch of a
//!   double fitting is its mirror. A heel inlet is `(-1, 0, 0)`.
//!
//! What does not belong here: where the numbers come from.

use crate::{Dim, Part};
use std::{
    collections::BTreeMap,
    f64::consts::{FRAC_PI_2, PI},
};
use units::Size;

/// A point or a direction in a fitting's local frame: inches, or a unit vector.
pub type Vec3 = [f64; 3];

/// Which end of a fitting.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum EndName {
    /// Where the water leaves.
    Outlet,
    /// Where the run's water comes in.
    Inlet,
    /// The branch.
    Branch,
    /// The second branch of a double fitting.
    OtherBranch,
    /// The small inlet at the back of a quarter bend.
    Heel,
}

impl EndName {
    /// Every end there is.
    pub const ALL: [Self; 5] = [
        Self::Outlet,
        Self::Inlet,
        Self::Branch,
        Self::OtherBranch,
        Self::Heel,
    ];

    /// The word sheets and the bench sheet use.
    pub fn word(self) -> &'static str {
        match self {
            Self::Outlet => "outlet",
            Self::Inlet => "inlet",
            Self::Branch => "branch",
            Self::OtherBranch => "other branch",
            Self::Heel => "heel",
        }
    }
}

/// What an end is made like.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum EndKind {
    /// A socket that a pipe or a spigot goes into.
    Hub,
    /// Of pipe diameter, goes into another fitting's hub.
    Spigot,
    /// Goes inside a pipe.
    Insert,
    /// A thread for a plug.
    Thread,
    /// The ring of a closet flange, level with the floor.
    Ring,
}

/// One end of a fitting.
#[derive(Clone, PartialEq, Debug)]
pub struct End {
    /// Which end.
    pub name: EndName,
    /// What it is made like.
    pub kind: EndKind,
    /// The pipe it joins.
    pub size: Size,
    /// From the origin along `direction`, inches: to the stop of a hub, to the tip of a spigot (which is the stop of
    /// the hub it is home in), to the face of a thread or ring, to the end of the pipe around an insert. **May be
    /// negative**: the stop then lies on the far side of the origin.
    pub take_off: Dim,
    /// Depth of the hub, or length of the spigot or insert; 0 for a thread or ring.
    pub socket: Dim,
    /// Outside diameter of a hub of this size, inches.
    pub hub_od: f64,
    /// Outside diameter of the pipe, inches.
    pub pipe_od: f64,
    /// Unit vector from the origin outward along the pipe.
    pub direction: Vec3,
}

impl End {
    /// From the origin to the outermost point along the axis, inches: mouth of a hub, tip of a spigot.
    pub fn reach(&self) -> f64 {
        match self.kind {
            EndKind::Hub | EndKind::Insert => self.take_off.value + self.socket.value,
            EndKind::Spigot | EndKind::Thread | EndKind::Ring => self.take_off.value,
        }
    }

    /// From the origin to where the body ends and the joint begins, inches: the stop of a hub, the shoulder of a spigot.
    pub fn shoulder(&self) -> f64 {
        match self.kind {
            EndKind::Spigot => self.take_off.value - self.socket.value,
            EndKind::Hub | EndKind::Insert | EndKind::Thread | EndKind::Ring => self.take_off.value,
        }
    }

    fn along(&self, distance: f64) -> Vec3 {
        scaled(self.direction, distance)
    }
}

/// A dimension of a fitting that is no end's take-off.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Fact {
    /// Gap that the stop of a coupling keeps between two pipes.
    StopGap,
    /// Stop to stop along the run.
    RunLength,
    /// Overall length.
    Length,
    /// How far a cleanout plug stands out of its adapter.
    Rise,
    /// How far a pipe goes into a test cap.
    Engagement,
    /// Centre to centre of the two legs of a trap's return bend.
    TrapLegs,
    /// Take-off of a trap's outlet elbow.
    TrapElbow,
    /// From a trap arm's axis down to the lowest outside point of the trap, at a 2 in water seal.
    BelowArm,
    /// Outside diameter of a closet flange.
    RingOd,
    /// Circle of a closet flange's bolts.
    BoltCircle,
    /// Thickness of a closet flange's ring.
    RingThickness,
    /// Top of a closet flange above the finished floor.
    AboveFloor,
    /// Hub depth of a closet flange.
    FlangeHub,
    /// A take-off as a published worked cut used it, rounded there.
    AsWorked,
}

/// The greatest water seal a trap may have above its least 2 in, which deepens the trap as much: 4 in less 2 in.
/// Read: ASTM D3311 and the plumbing codes.
pub const DEEPEST_SEAL_MORE: f64 = 2.0;

/// A fitting in its local frame (see the module).
///
/// Origins without crossing axes: couplings, the middle of the stop; bushings and cleanout adapters, the stop of the
/// hub they fill; closet flanges, the top of the ring; caps, the end of the pipe; plugs, the face of the adapter;
/// traps, the trap arm's axis above the riser's.
#[derive(Clone, PartialEq, Debug)]
pub struct Fitting {
    /// Pattern and sizes.
    pub part: Part,
    /// Outlet first, then inlet, branch, other branch, heel, as far as there are.
    pub ends: Vec<End>,
    /// Radius of the centreline where it turns: a bend's, or a swept branch's.
    pub radius: Option<Dim>,
    /// Pitch moulded into the branch or inlet, inches per foot in `value`, rising away from the fitting.
    pub pitch: Dim,
    /// What else is known of it.
    pub facts: BTreeMap<Fact, Dim>,
}

/// A solid that stands for part of a fitting. The envelope of a real piece may be a wall thicker: add 1/8 in all round
/// in a tight place.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Body {
    /// A straight round piece.
    Tube {
        /// One end of the axis.
        from: Vec3,
        /// The other end.
        to: Vec3,
        /// Outside radius, inches.
        radius: f64,
    },
    /// A bent round piece: a circular arc tangent to both legs of a corner.
    Sweep {
        /// Where the arc begins.
        from: Vec3,
        /// Where its tangents meet.
        corner: Vec3,
        /// Where it ends.
        to: Vec3,
        /// Radius of the arc's centreline, inches.
        centreline: f64,
        /// Outside radius of the piece, inches.
        radius: f64,
    },
}

impl Fitting {
    /// The end of that name.
    pub fn end(&self, name: EndName) -> Option<&End> {
        self.ends.iter().find(|end| end.name == name)
    }

    /// A fact about it.
    pub fn fact(&self, fact: Fact) -> Option<&Dim> {
        self.facts.get(&fact)
    }

    /// Hubs, spigots, legs and sweeps, in the local frame. Never empty.
    pub fn bodies(&self) -> Vec<Body> {
        let mut out: Vec<Body> = self.ends.iter().filter_map(joint_body).collect();
        if self.fact(Fact::TrapLegs).is_some() {
            self.trap(&mut out);
        } else if self.ends.len() == 1 {
            self.closed(&mut out);
        } else {
            self.legs(&mut out);
        }
        out.extend(self.ring());
        out
    }

    fn legs(&self, out: &mut Vec<Body>) {
        let (outlet, others) = self.ends.split_at(1);
        let Some(outlet) = outlet.first() else { return };
        for end in others {
            match (&self.radius, end.name) {
                // The inlet of a run with a swept branch is straight; that of a bend turns.
                (Some(radius), _) if turn(outlet, end) > 1e-6 && end.name != EndName::Heel => {
                    swept(end, outlet, radius.value, out);
                }
                _ => straight(end, outlet, out),
            }
        }
    }

    /// A cap or plug: what stands behind the end of the pipe.
    fn closed(&self, out: &mut Vec<Body>) {
        let Some(end) = self.ends.first() else { return };
        let length = self
            .fact(Fact::Length)
            .map_or(0.0, |d| d.value - end.socket.value);
        let behind = self.fact(Fact::Rise).map_or(length, |d| d.value);
        if behind > 0.0 {
            let to = end.along(end.take_off.value - behind);
            out.push(Body::Tube {
                from: end.along(end.take_off.value),
                to,
                radius: end.hub_od / 2.0,
            });
        }
    }

    /// The ring of a closet flange, from the floor down.
    fn ring(&self) -> Option<Body> {
        let (od, thickness) = (self.fact(Fact::RingOd)?, self.fact(Fact::RingThickness)?);
        let outlet = self.end(EndName::Outlet)?;
        let to = outlet.along(thickness.value);
        Some(Body::Tube {
            from: [0.0; 3],
            to,
            radius: od.value / 2.0,
        })
    }

    /// The return bend under the riser, and the elbow up to the arm.
    fn trap(&self, out: &mut Vec<Body>) {
        let (Some(outlet), Some(inlet)) = (self.end(EndName::Outlet), self.end(EndName::Inlet))
        else {
            return;
        };
        let legs = self.fact(Fact::TrapLegs).map_or(0.0, |d| d.value);
        let elbow = self.fact(Fact::TrapElbow).map_or(0.0, |d| d.value);
        let (radius, centreline) = (outlet.pipe_od / 2.0, legs / 2.0);
        let top = inlet.take_off.value;
        let bottom = top - centreline;
        let at = |x: f64, y: f64| [x, y, 0.0];
        let bend = |from, corner, to, centreline| Body::Sweep {
            from,
            corner,
            to,
            centreline,
            radius,
        };
        let middle = at(centreline, bottom);
        out.push(bend(at(0.0, top), at(0.0, bottom), middle, centreline));
        out.push(bend(middle, at(legs, bottom), at(legs, top), centreline));
        out.push(Body::Tube {
            from: at(legs, top),
            to: at(legs, -elbow),
            radius,
        });
        out.push(bend(
            at(legs, -elbow),
            at(legs, 0.0),
            at(legs + elbow, 0.0),
            elbow,
        ));
    }
}

fn joint_body(end: &End) -> Option<Body> {
    let tube = |from: f64, to: f64, radius: f64| {
        Some(Body::Tube {
            from: end.along(from),
            to: end.along(to),
            radius,
        })
    };
    match end.kind {
        EndKind::Hub => tube(end.shoulder(), end.reach(), end.hub_od / 2.0),
        EndKind::Spigot => tube(end.shoulder(), end.reach(), end.pipe_od / 2.0),
        // An insert is inside its pipe; a thread or a ring has no length.
        EndKind::Insert | EndKind::Thread | EndKind::Ring => None,
    }
}

/// Radians that flow turns from one end to the other; 0 for ends in line.
fn turn(a: &End, b: &End) -> f64 {
    PI - dot(a.direction, b.direction).clamp(-1.0, 1.0).acos()
}

fn straight(end: &End, outlet: &End, out: &mut Vec<Body>) {
    let radius = end.pipe_od / 2.0;
    // A branch starts on the run's axis; a run goes through from stop to stop.
    let through = turn(end, outlet) < 1e-6;
    let from = if through {
        outlet.along(outlet.shoulder())
    } else {
        [0.0; 3]
    };
    out.push(Body::Tube {
        from,
        to: end.along(end.shoulder()),
        radius,
    });
}

fn swept(end: &End, outlet: &End, centreline: f64, out: &mut Vec<Body>) {
    let radius = end.pipe_od / 2.0;
    let half = (turn(end, outlet) / 2.0).min(FRAC_PI_2 * 0.999).tan();
    // A measured leg may be shorter than the radius asks: the arc then ends where the leg does.
    let tangent = (centreline * half)
        .min(end.shoulder())
        .min(outlet.shoulder())
        .max(0.0);
    let (from, to) = (end.along(tangent), outlet.along(tangent));
    if tangent > 0.0 {
        out.push(Body::Sweep {
            from,
            corner: [0.0; 3],
            to,
            centreline: tangent / half,
            radius,
        });
    }
    for leg in [end, outlet] {
        if leg.shoulder() > tangent + 1e-9 {
            let to = leg.along(leg.shoulder());
            out.push(Body::Tube {
                from: leg.along(tangent),
                to,
                radius,
            });
        }
    }
}

fn scaled(v: Vec3, by: f64) -> Vec3 {
    v.map(|c| c * by)
}

fn dot(a: Vec3, b: Vec3) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}
