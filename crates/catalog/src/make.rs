//! Making each fitting: a table row where there is one, else a rule. What does not belong here: the rules' arithmetic.

use crate::{
    Dim, End, EndKind, EndName, Fact, Fitting, How, Part, Pattern, Pipe, Sizes, derive,
    fitting::Vec3,
    rows::{Rows, What},
    table::{TableError, missing},
};
use std::{collections::BTreeMap, f64::consts::FRAC_1_SQRT_2};
use units::Size;

/// Doubt of a leg that only clears a hub or adds a street end.
const LEG_DOUBT: f64 = 0.1875;
/// Doubt of the legs of a wye or reducer worked out by clearance.
const WYE_DOUBT: f64 = 0.375;
/// Doubt of the one-piece combination and what is guessed from it: not to be cut by.
const GUESS_DOUBT: f64 = 3.0;

/// Makes every part of `made.csv`, by its code.
pub(crate) fn all(rows: &Rows, pipes: &[Pipe; 6]) -> Result<BTreeMap<u32, Fitting>, TableError> {
    let maker = Maker { rows, pipes };
    rows.made
        .iter()
        .map(|part| Ok((part.code(), maker.fitting(*part)?)))
        .collect()
}

struct Maker<'a> {
    rows: &'a Rows,
    pipes: &'a [Pipe; 6],
}

impl Maker<'_> {
    fn fitting(&self, part: Part) -> Result<Fitting, TableError> {
        let ends: Result<Vec<End>, _> = layout(part.pattern)
            .iter()
            .map(|(name, kind)| self.end(part, *name, *kind))
            .collect();
        let ends = ends?;
        let radius = self.radius(part, &ends);
        Ok(Fitting {
            part,
            radius,
            ends,
            pitch: pitch(part.pattern),
            facts: self.facts(part),
        })
    }

    fn end(&self, part: Part, name: EndName, kind: EndKind) -> Result<End, TableError> {
        let size = size(part, name);
        let pipe = self.pipe(size);
        let take_off = self.take_off(part, name, kind).ok_or_else(|| {
            missing(
                "fitting.csv",
                format!("no row and no rule for the {} of a {part}", name.word()),
            )
        })?;
        Ok(End {
            name,
            kind,
            size,
            take_off,
            socket: self.socket(part, kind, pipe),
            hub_od: pipe.hub_od.value,
            pipe_od: pipe.od,
            direction: direction(part.pattern, name, 0.0),
        })
    }

    fn pipe(&self, size: Size) -> &Pipe {
        // The array is made in the order of `Size::ALL`, which is the order of the variants.
        &self.pipes[size as usize]
    }

    fn socket(&self, part: Part, kind: EndKind, pipe: &Pipe) -> Dim {
        let engagement = self.rows.get(part, What::Fact(Fact::Engagement));
        let flange = self.rows.get(part, What::Fact(Fact::FlangeHub));
        match kind {
            EndKind::Hub => engagement.or(flange).unwrap_or(&pipe.socket_depth).clone(),
            EndKind::Spigot | EndKind::Insert => pipe.socket_depth.clone(),
            EndKind::Thread | EndKind::Ring => derived(0.0, 0.0, "no socket"),
        }
    }

    fn take_off(&self, part: Part, name: EndName, kind: EndKind) -> Option<Dim> {
        let whats: &[What] = match (name, kind) {
            (EndName::Outlet, EndKind::Spigot) => &[What::Tip],
            (_, EndKind::Thread) => &[What::Face],
            (EndName::Outlet, _) => &[What::Outlet, What::Both],
            (EndName::Inlet, _) => &[What::Inlet, What::Both],
            (EndName::Branch | EndName::OtherBranch, _) => &[What::Branch],
            (EndName::Heel, _) => &[What::Heel],
        };
        let row = whats.iter().find_map(|what| self.rows.get(part, *what));
        row.cloned().or_else(|| self.by_rule(part, name))
    }

    fn by_rule(&self, part: Part, name: EndName) -> Option<Dim> {
        if let Some(plain) = part.pattern.hubbed() {
            return self.street(
                Part {
                    pattern: plain,
                    ..part
                },
                name,
            );
        }
        match part.pattern {
            Pattern::SixteenthBend => self.sixteenth(part),
            Pattern::SanitaryTee => self.sanitary_tee(part, name),
            Pattern::VentTee => self.vent_tee(part, name),
            Pattern::Wye => self.wye(part, name),
            Pattern::DoubleWye => self.single(part, Pattern::Wye, name, WYE_DOUBT),
            Pattern::DoubleSanitaryTee => self.single(part, Pattern::SanitaryTee, name, 0.25),
            Pattern::DoubleFixtureFitting => {
                self.single(part, Pattern::Combination, name, GUESS_DOUBT)
            }
            Pattern::TwoWayCleanout | Pattern::TestTee => self.half_run(part, name),
            Pattern::Coupling | Pattern::ReducingCoupling => self.half_gap(part),
            Pattern::FlushBushing => Some(self.bushing(part, name)),
            Pattern::ClosetFlange | Pattern::ClosetFlangeInside => self.flange(name),
            Pattern::PTrap => self.trap_inlet(part, name),
            Pattern::CleanoutAdapter | Pattern::CleanoutPlug | Pattern::Cap | Pattern::TestCap => {
                Some(derived(0.0, 0.0, "the origin is this end"))
            }
            // Every size made of these has a row; a bend or combination is not guessed here.
            Pattern::QuarterBendShort
            | Pattern::QuarterBendLongTurn
            | Pattern::SixthBend
            | Pattern::EighthBend
            | Pattern::QuarterBendHeelInlet
            | Pattern::ClosetBend
            | Pattern::Combination
            | Pattern::QuarterBendStreet
            | Pattern::QuarterBendLongTurnStreet
            | Pattern::SixthBendStreet
            | Pattern::EighthBendStreet
            | Pattern::SixteenthBendStreet
            | Pattern::SanitaryTeeStreet
            | Pattern::WyeStreet => None,
        }
    }

    /// A street pattern: the plain one, its outlet longer by 1/16 and a socket.
    fn street(&self, plain: Part, name: EndName) -> Option<Dim> {
        let leg = self.take_off(plain, name, EndKind::Hub)?;
        if name != EndName::Outlet {
            return Some(Dim {
                how: How::Derived,
                source: "derived: as the plain pattern".into(),
                ..leg
            });
        }
        let socket = self.pipe(plain.sizes.run).socket_depth.value;
        let tip = derive::street_tip(leg.value, socket);
        let doubt = (leg.doubt + 0.0625).max(LEG_DOUBT);
        Some(derived(tip, doubt, "hub take-off + 1/16 + socket depth"))
    }

    fn sixteenth(&self, part: Part) -> Option<Dim> {
        let eighth = Part {
            pattern: Pattern::EighthBend,
            ..part
        };
        let radius = self.rows.get(eighth, What::Radius)?.value;
        let take_off = derive::up16(derive::bend_take_off(radius, 22.5));
        Some(derived(
            take_off,
            0.25,
            "radius of the eighth bend x tan(11.25)",
        ))
    }

    fn sanitary_tee(&self, part: Part, name: EndName) -> Option<Dim> {
        let (run, branch) = self.run_and_branch(part)?;
        let bend = Part::new(Pattern::QuarterBendShort, Sizes::one(branch.size));
        let short = self.rows.get(bend, What::Both)?.value;
        match name {
            EndName::Outlet => Some(derived(short, LEG_DOUBT, "short bend of the branch size")),
            EndName::Inlet => Some(derived(
                derive::past_hub(branch),
                LEG_DOUBT,
                "half the branch hub + 1/16",
            )),
            EndName::Branch | EndName::OtherBranch => {
                let leg = derive::sanitary_branch(short, run, branch);
                Some(derived(
                    leg,
                    0.25,
                    "short bend of the branch size + half the difference of bores",
                ))
            }
            EndName::Heel => None,
        }
    }

    fn vent_tee(&self, part: Part, name: EndName) -> Option<Dim> {
        let (run, branch) = self.run_and_branch(part)?;
        match name {
            EndName::Outlet | EndName::Inlet => Some(derived(
                derive::past_hub(branch),
                LEG_DOUBT,
                "half the branch hub + 1/16",
            )),
            EndName::Branch | EndName::OtherBranch => Some(derived(
                derive::past_hub(run),
                LEG_DOUBT,
                "half the run hub + 1/16",
            )),
            EndName::Heel => None,
        }
    }

    fn wye(&self, part: Part, name: EndName) -> Option<Dim> {
        let (run, branch) = self.run_and_branch(part)?;
        let (value, rule) = match name {
            EndName::Outlet => (
                self.wye_outlet(run, branch)?,
                "equal wye less the run's overhang",
            ),
            EndName::Inlet => (
                derive::wye_upstream(run, branch),
                "hub clearance + 5 percent",
            ),
            EndName::Branch | EndName::OtherBranch => {
                (derive::wye_branch(run, branch), "hub clearance + 5 percent")
            }
            EndName::Heel => return None,
        };
        Some(derived(value, WYE_DOUBT, rule))
    }

    /// The equal wye's own downstream leg is that of an eighth bend: so say all the sizes recalled.
    fn wye_outlet(&self, run: &Pipe, branch: &Pipe) -> Option<f64> {
        let eighth = Part::new(Pattern::EighthBend, Sizes::one(branch.size));
        let equal = self.rows.get(eighth, What::Both)?.value;
        Some(derive::wye_downstream(equal, run, branch))
    }

    /// A double fitting: both branches as the single one.
    fn single(&self, part: Part, pattern: Pattern, name: EndName, doubt: f64) -> Option<Dim> {
        let leg = self.take_off(Part { pattern, ..part }, name, EndKind::Hub)?;
        let source = format!("as the {pattern}, not read");
        Some(derived(leg.value, leg.doubt.max(doubt), &source))
    }

    fn half_run(&self, part: Part, name: EndName) -> Option<Dim> {
        if name == EndName::Branch {
            let run = self.pipe(part.sizes.run);
            return Some(derived(
                derive::past_hub(run),
                0.75,
                "half the run hub + 1/16",
            ));
        }
        let run = self.rows.get(part, What::Fact(Fact::RunLength))?;
        Some(run.times(0.5))
    }

    fn half_gap(&self, part: Part) -> Option<Dim> {
        Some(self.stop_gap(part)?.times(0.5))
    }

    fn stop_gap(&self, part: Part) -> Option<Dim> {
        if let Some(told) = self.rows.get(part, What::Fact(Fact::StopGap)) {
            return Some(told.clone());
        }
        let (large, small) = self.run_and_up(part);
        if part.pattern == Pattern::ReducingCoupling {
            let gap = derive::reducing_gap(large, small);
            return Some(derived(
                gap,
                WYE_DOUBT,
                "half the difference of bores + 1/4",
            ));
        }
        let is_coupling = part.pattern == Pattern::Coupling;
        is_coupling.then(|| derived(0.125, 0.125, "as the other sizes"))
    }

    fn bushing(&self, part: Part, name: EndName) -> Dim {
        let (large, small) = self.run_and_up(part);
        match name {
            EndName::Outlet => derived(0.0, 0.0625, "home against the stop"),
            EndName::Inlet | EndName::Branch | EndName::OtherBranch | EndName::Heel => derived(
                derive::bushing(large, small),
                0.125,
                "large socket depth less small",
            ),
        }
    }

    /// The pipe ends under the ring; it may be cut flush with its top.
    fn flange(&self, name: EndName) -> Option<Dim> {
        if name == EndName::Inlet {
            return Some(derived(0.0, 0.0, "the origin is this end"));
        }
        let any = Part::new(Pattern::ClosetFlange, Sizes::one(Size::In3));
        let ring = self.rows.get_any(any, What::Fact(Fact::RingThickness))?;
        Some(derived(ring.value, 0.375, "the pipe ends under the ring"))
    }

    /// The riser's stop is taken level with the spring of the return bend: below the arm's axis, so negative.
    fn trap_inlet(&self, part: Part, name: EndName) -> Option<Dim> {
        if name != EndName::Inlet {
            return None;
        }
        let below = self.rows.get(part, What::Fact(Fact::BelowArm))?;
        let legs = self.rows.get(part, What::Fact(Fact::TrapLegs))?;
        let spring = below.value - self.pipe(part.sizes.run).od / 2.0 - legs.value / 2.0;
        Some(derived(
            -spring,
            1.0,
            "top of the return bend below the arm",
        ))
    }

    fn radius(&self, part: Part, ends: &[End]) -> Option<Dim> {
        if let Some(told) = self.rows.get(part, What::Radius) {
            return Some(told.clone());
        }
        let leg = |name| ends.iter().find(|e| e.name == name);
        let outlet = leg(EndName::Outlet)?.shoulder();
        if is_swept_branch(part.pattern) {
            let branch = leg(EndName::Branch)?;
            let value = outlet.min(branch.shoulder());
            return Some(derived(
                value,
                branch.take_off.doubt,
                "the shorter leg of the sweep",
            ));
        }
        let degrees = part.pattern.turn_degrees()?;
        let shorter = outlet.min(leg(EndName::Inlet)?.take_off.value);
        let value = derive::bend_radius(shorter, degrees);
        Some(derived(value, LEG_DOUBT, "take-off / tan(half the angle)"))
    }

    fn facts(&self, part: Part) -> BTreeMap<Fact, Dim> {
        if part.pattern == Pattern::ClosetFlangeInside {
            return self.rows.facts(Part {
                pattern: Pattern::ClosetFlange,
                ..part
            });
        }
        let mut facts = self.rows.facts(part);
        let pipe = self.pipe(part.sizes.run);
        if let Some(gap) = self.stop_gap(part) {
            let up = self.pipe(part.sizes.up);
            let length = gap.plus(&pipe.socket_depth).plus(&up.socket_depth);
            facts.entry(Fact::StopGap).or_insert(gap);
            facts.entry(Fact::Length).or_insert(Dim {
                how: How::Derived,
                ..length
            });
        }
        if part.pattern == Pattern::Cap {
            let length = derive::cap_length(pipe);
            let rule = derived(length, WYE_DOUBT, "socket depth + wall + 0.06");
            facts.entry(Fact::Length).or_insert(rule);
        }
        facts
    }

    fn run_and_branch(&self, part: Part) -> Option<(&Pipe, &Pipe)> {
        Some((self.pipe(part.sizes.run), self.pipe(part.sizes.branch?)))
    }

    fn run_and_up(&self, part: Part) -> (&Pipe, &Pipe) {
        (self.pipe(part.sizes.run), self.pipe(part.sizes.up))
    }
}

/// The ends a pattern has, outlet first.
fn layout(pattern: Pattern) -> &'static [(EndName, EndKind)] {
    use EndKind::{Hub, Insert, Ring, Spigot, Thread};
    use EndName::{Branch, Heel, Inlet, OtherBranch, Outlet};
    match pattern {
        Pattern::QuarterBendShort
        | Pattern::QuarterBendLongTurn
        | Pattern::SixthBend
        | Pattern::EighthBend
        | Pattern::SixteenthBend
        | Pattern::ClosetBend
        | Pattern::Coupling
        | Pattern::ReducingCoupling
        | Pattern::PTrap => &[(Outlet, Hub), (Inlet, Hub)],
        Pattern::QuarterBendStreet
        | Pattern::QuarterBendLongTurnStreet
        | Pattern::SixthBendStreet
        | Pattern::EighthBendStreet
        | Pattern::SixteenthBendStreet
        // A bushing's large end is as long as the hub it fills; its tip is at that hub's stop.
        | Pattern::FlushBushing => &[(Outlet, Spigot), (Inlet, Hub)],
        Pattern::QuarterBendHeelInlet => &[(Outlet, Hub), (Inlet, Hub), (Heel, Hub)],
        Pattern::SanitaryTee
        | Pattern::VentTee
        | Pattern::Wye
        | Pattern::Combination
        | Pattern::TwoWayCleanout => &[(Outlet, Hub), (Inlet, Hub), (Branch, Hub)],
        Pattern::SanitaryTeeStreet | Pattern::WyeStreet => {
            &[(Outlet, Spigot), (Inlet, Hub), (Branch, Hub)]
        }
        Pattern::DoubleWye | Pattern::DoubleSanitaryTee | Pattern::DoubleFixtureFitting => &[
            (Outlet, Hub),
            (Inlet, Hub),
            (Branch, Hub),
            (OtherBranch, Hub),
        ],
        Pattern::ClosetFlange => &[(Outlet, Hub), (Inlet, Ring)],
        Pattern::ClosetFlangeInside => &[(Outlet, Insert), (Inlet, Ring)],
        Pattern::CleanoutAdapter => &[(Outlet, Spigot), (Inlet, Thread)],
        Pattern::CleanoutPlug => &[(Outlet, Thread)],
        Pattern::TestTee => &[(Outlet, Hub), (Inlet, Hub), (Branch, Thread)],
        Pattern::Cap | Pattern::TestCap => &[(Outlet, Hub)],
    }
}

fn size(part: Part, name: EndName) -> Size {
    match name {
        EndName::Outlet => part.sizes.run,
        EndName::Inlet => part.sizes.up,
        // A test tee's opening is as its run.
        EndName::Branch | EndName::OtherBranch | EndName::Heel => {
            part.sizes.branch.unwrap_or(part.sizes.run)
        }
    }
}

/// The direction of an end in the local frame; a moulded `pitch` (in/ft) lifts square branches and inlets away from
/// the outlet.
pub(crate) fn direction(pattern: Pattern, name: EndName, pitch: f64) -> Vec3 {
    let tilt = (pitch / 12.0).atan();
    let square = |side: f64| [-tilt.sin(), side * tilt.cos(), 0.0];
    let side = if name == EndName::OtherBranch {
        -1.0
    } else {
        1.0
    };
    match name {
        EndName::Outlet => [1.0, 0.0, 0.0],
        EndName::Heel => [-1.0, 0.0, 0.0],
        EndName::Inlet => match pattern.turn_degrees() {
            None if pattern == Pattern::PTrap => [0.0, 1.0, 0.0],
            None => [-1.0, 0.0, 0.0],
            Some(90.0) => square(1.0),
            Some(degrees) => {
                let a = degrees.to_radians();
                [-a.cos(), a.sin(), 0.0]
            }
        },
        EndName::Branch | EndName::OtherBranch if is_wye(pattern) => {
            [-FRAC_1_SQRT_2, side * FRAC_1_SQRT_2, 0.0]
        }
        EndName::Branch | EndName::OtherBranch => square(side),
    }
}

fn is_wye(pattern: Pattern) -> bool {
    matches!(
        pattern,
        Pattern::Wye | Pattern::WyeStreet | Pattern::DoubleWye
    )
}

fn is_swept_branch(pattern: Pattern) -> bool {
    matches!(
        pattern,
        Pattern::SanitaryTee
            | Pattern::SanitaryTeeStreet
            | Pattern::DoubleSanitaryTee
            | Pattern::Combination
            | Pattern::DoubleFixtureFitting
            | Pattern::TwoWayCleanout
    )
}

fn pitch(pattern: Pattern) -> Dim {
    if pattern.may_be_pitched() {
        Dim::new(
            0.0,
            0.25,
            How::Memory,
            "common practice, no source: some are moulded with 1/4 in/ft",
        )
    } else {
        Dim::new(
            0.0,
            0.0,
            How::Memory,
            "common practice, no source: moulded true",
        )
    }
}

fn derived(value: f64, doubt: f64, rule: &str) -> Dim {
    Dim::new(value, doubt, How::Derived, &format!("derived: {rule}"))
}
