//! What is answered: the levels of every line, how near every bound is, and what could not be met.

use units::{Grade, Id};

use crate::{
    conflict::Conflict,
    descend::{Placed, why_no_higher},
    interval::End,
    problem::{JoinKind, Place, Problem, Side},
    trace::{Spend, Traces, told},
};

/// The levels of a drain. They are told even when some floors could not be met; then `conflicts` is not empty.
#[derive(Clone, PartialEq, Debug)]
pub struct Grades {
    /// Where the drain leaves the foundation.
    pub exit: ExitLine,
    /// One line per run, in the problem's order.
    pub lines: Vec<Line>,
    /// The line outside, if the problem has one and its lie is known.
    pub outside: Option<OutsideLine>,
    /// Every cap and floor with its room, runs last, in the problem's order. Ways not taken are left out.
    pub bounds: Vec<Met>,
    /// The floors that gave way, in the order they were tried.
    pub conflicts: Vec<Conflict>,
    /// Floors that were not held at all because too many had given way before them.
    pub left_out: usize,
    pub(crate) exit_end: End,
    pub(crate) placed: Vec<Placed>,
    pub(crate) traces: Traces,
}

impl Grades {
    /// Whether every bound is met.
    pub fn is_feasible(&self) -> bool {
        self.conflicts.is_empty() && self.left_out == 0
    }

    /// Why the outlet of `run` stands no higher: from the cap that presses, to that outlet. The inches sum to the
    /// outlet's depth below finished floor. `problem` is the one that was solved; empty for a run it does not have.
    pub fn why(&self, problem: &Problem, run: usize) -> Vec<Spend> {
        if run >= self.placed.len() || self.placed.len() != problem.runs.len() {
            return Vec::new();
        }
        let links = why_no_higher(problem, self.exit_end, &self.placed, &self.traces, run);
        told(links, problem)
    }

    /// The items of the controlling path, from the cap that fixes the exit's level down to the exit; each once.
    pub fn controls(&self) -> Vec<Id> {
        let mut ids: Vec<Id> = Vec::new();
        for spend in &self.exit.why {
            if !ids.contains(&spend.who.id) {
                ids.push(spend.who.id.clone());
            }
        }
        ids
    }
}

/// The drain at the outside face of the foundation.
#[derive(Clone, PartialEq, Debug)]
pub struct ExitLine {
    /// Invert, inches from finished floor.
    pub level: f64,
    /// Index of the way out taken; `None` when the problem has none.
    pub way: Option<usize>,
    /// Inches dropped between the trunk's outlet and the exit.
    pub drop: f64,
    /// The highest exit that the way out and the line outside allow; `None` when nothing caps it there.
    pub highest: Option<Edge>,
    /// The lowest they allow, their floors as far as they can be held.
    pub lowest: Option<Edge>,
    /// Why the exit stands no higher: spends from a cap down to the exit, summing to its depth.
    pub why: Vec<Spend>,
}

impl ExitLine {
    /// Inches the exit could sink before a floor outside is reached.
    pub fn spare(&self) -> Option<f64> {
        self.lowest.as_ref().map(|edge| self.level - edge.level)
    }

    /// Inches the exit could rise before a cap outside is reached.
    pub fn headroom(&self) -> Option<f64> {
        self.highest.as_ref().map(|edge| edge.level - self.level)
    }
}

/// One edge of the window the exit must pass.
#[derive(Clone, PartialEq, Debug)]
pub struct Edge {
    /// Exit invert at the edge.
    pub level: f64,
    /// Who puts it there. From a cap the inches sum to the edge's depth; from a floor, to its level: minus the depth.
    pub chain: Vec<Spend>,
}

/// A run, put.
#[derive(Clone, PartialEq, Debug)]
pub struct Line {
    /// The run's name.
    pub id: Id,
    /// Invert at the downstream end.
    pub outlet: f64,
    /// Invert at the upstream end.
    pub inlet: f64,
    /// The grade taken from the menu.
    pub grade: Grade,
    /// Developed plan length, inches.
    pub length: f64,
    /// Steps as (inches upstream of the outlet, drop).
    pub steps: Vec<(f64, f64)>,
    /// How it joins; `None` for the trunk.
    pub join: Option<JoinMade>,
}

impl Line {
    /// Invert at `at` inches upstream of the outlet; at a step, the level downstream of it.
    pub fn level_at(&self, at: f64) -> f64 {
        let stepped: f64 = self
            .steps
            .iter()
            .filter(|step| step.0 < at)
            .map(|step| step.1)
            .sum();
        self.outlet + self.grade.fall_over(at) + stepped
    }
}

/// How a branch joins.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct JoinMade {
    /// Flat, rolled up or dropped.
    pub kind: JoinKind,
    /// Index of the window taken.
    pub window: usize,
    /// Inches the branch's outlet stands above the parent's invert there.
    pub above: f64,
}

/// The line from the exit to the receiver, put.
#[derive(Clone, PartialEq, Debug)]
pub struct OutsideLine {
    /// The line's name.
    pub id: Id,
    /// Inches of fall per foot.
    pub in_per_ft: f64,
    /// Invert at the exit.
    pub start: f64,
    /// Invert at the far end, were it to lie at its grade to there.
    pub end: f64,
    /// Where it drops before its receiver.
    pub drop: Option<EndDrop>,
}

/// A drop by two eighth bends in the line outside.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct EndDrop {
    /// Inches downstream of the exit to the upper bend's centre.
    pub from: f64,
    /// To the lower bend's centre.
    pub to: f64,
    /// Inches it adds to the fall of the line's grade.
    pub inches: f64,
}

impl OutsideLine {
    /// Invert at `at` inches downstream of the exit.
    pub fn level_at(&self, at: f64) -> f64 {
        self.before_drop(at) - self.drop.map_or(0.0, |drop| drop.done_at(at))
    }

    /// Invert where it meets the receiver.
    pub fn arrives(&self) -> f64 {
        self.end - self.drop.map_or(0.0, |drop| drop.inches)
    }

    /// Invert at `at`, were there no drop.
    pub(crate) fn before_drop(&self, at: f64) -> f64 {
        self.start - self.in_per_ft * at / 12.0
    }
}

impl EndDrop {
    fn done_at(&self, at: f64) -> f64 {
        self.inches * ((at - self.from) / (self.to - self.from)).clamp(0.0, 1.0)
    }
}

/// A bound beside what was reached.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Met {
    /// Where the bound stands.
    pub place: Place,
    /// Cap or floor; tells a way's high from its low.
    pub side: Side,
    /// The level asked for.
    pub level: f64,
    /// The invert there.
    pub invert: f64,
}

impl Met {
    /// Inches to spare; negative when a floor gave way.
    pub fn room(&self) -> f64 {
        match self.side {
            Side::NotAbove => self.level - self.invert,
            Side::NotBelow => self.invert - self.level,
        }
    }
}
