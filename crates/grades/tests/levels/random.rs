//! Small random drains: the same every time.

use grades::{Bound, JoinKind, Lie, Problem, Run, Tail, WayKind};
use units::Grade;

use crate::build::{cap, floor, grade, joined, problem, run, step, tail, way};

/// A linear congruential generator (Knuth's MMIX constants): repeatable, and good enough to pick pipes.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(start: u64) -> Self {
        let mut dice = Self(start.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        dice.below(2);
        dice
    }

    pub(crate) fn below(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap_or(0) % sides.max(1)
    }

    pub(crate) fn chance(&mut self, of_eight: usize) -> bool {
        self.below(8) < of_eight
    }

    /// A number in `low..high`, on the eighths or off them.
    pub(crate) fn number(&mut self, low: f64, high: f64) -> f64 {
        let part = self.below(1_000_000) as f64 / 1_000_000.0;
        let value = low + part * (high - low);
        if self.chance(4) {
            (value * 8.0).floor() / 8.0
        } else {
            value
        }
    }
}

/// What a random drain may have.
#[derive(Clone, Copy)]
pub(crate) struct Taste {
    /// Most runs.
    pub(crate) runs: usize,
    /// One grade, one window and one way everywhere.
    pub(crate) plain: bool,
    /// Of eight: how often a floor or a pin is set.
    pub(crate) floors: usize,
}

pub(crate) fn drain(dice: &mut Dice, taste: Taste) -> Problem {
    let count = 1 + dice.below(taste.runs);
    let mut runs: Vec<Run> = Vec::new();
    for index in 0..count {
        let next = a_run(dice, taste, index, &runs);
        runs.push(next);
    }
    let outside = dice.chance(6).then(|| a_tail(dice, taste));
    let mut asked = problem(runs, outside);
    if dice.chance(5) {
        asked.exit.ways = ways(dice, taste);
    }
    asked
}

fn menu(dice: &mut Dice, taste: Taste) -> Vec<Grade> {
    let ladder = [0.0625, 0.125, 0.1875, 0.25, 0.5];
    let count = if taste.plain { 1 } else { 1 + dice.below(3) };
    (0..count)
        .map(|_| grade(ladder[dice.below(ladder.len())]))
        .collect()
}

fn a_run(dice: &mut Dice, taste: Taste, index: usize, before: &[Run]) -> Run {
    let length = if dice.chance(1) {
        0.0
    } else {
        dice.number(12.0, 240.0)
    };
    let menu = menu(dice, taste);
    let mut line = run(&format!("run {index}"), length, &menu);
    if length > 0.0 && dice.chance(3) {
        let at = if dice.chance(4) {
            0.0
        } else {
            dice.number(0.0, length * 0.9)
        };
        line.steps = vec![step(at, 0.5, "increaser")];
    }
    line.bounds = vec![cap(length, dice.number(-14.0, -8.0), "slab")];
    if dice.chance(taste.floors) {
        line.bounds.extend(a_hold(dice, length));
    }
    if index > 0 {
        let parent = dice.below(index);
        let at = if dice.chance(3) {
            before[parent].length
        } else {
            dice.number(0.0, before[parent].length)
        };
        let mut join = joined(parent, at, &windows(dice, taste));
        for window in &mut join.windows {
            window.who = crate::build::who(&format!("wye of run {index}"));
        }
        line.join = Some(join);
    }
    line
}

/// A floor, or a pin.
fn a_hold(dice: &mut Dice, length: f64) -> Vec<Bound> {
    let (at, level) = (dice.number(0.0, length), dice.number(-24.0, -11.0));
    if dice.chance(3) {
        Bound::pin(at, level, crate::build::who("measured")).into()
    } else {
        vec![floor(at, level, "pipe below")]
    }
}

fn windows(dice: &mut Dice, taste: Taste) -> Vec<(JoinKind, f64, f64)> {
    let mut all = vec![
        (JoinKind::Flat, 0.0, 0.0),
        (JoinKind::RolledUp, 0.5, 1.5),
        (JoinKind::Dropped, 3.0, f64::INFINITY),
    ];
    if taste.plain {
        return vec![all[dice.below(3)]];
    }
    while all.len() > 1 && dice.chance(4) {
        all.remove(dice.below(all.len()));
    }
    all
}

fn ways(dice: &mut Dice, taste: Taste) -> Vec<grades::Way> {
    let through = way(
        WayKind::Through,
        Some(dice.number(-22.0, -16.0)),
        Some(dice.number(-15.0, -10.0)),
        (0.0, 0.0),
    );
    let under = way(
        WayKind::Under,
        None,
        Some(dice.number(-40.0, -24.0)),
        (3.0, f64::INFINITY),
    );
    match (taste.plain, dice.below(3)) {
        (_, 0) => vec![through],
        (true, _) | (_, 1) => vec![under],
        (false, _) => vec![through, under],
    }
}

fn a_tail(dice: &mut Dice, taste: Taste) -> Tail {
    let length = dice.number(24.0, 600.0);
    let lie = if dice.chance(3) {
        Lie::Straight(grade(0.125))
    } else {
        Lie::Menu(menu(dice, taste))
    };
    let lowest = if taste.floors > 4 { -30.0 } else { -60.0 };
    let mut outside = tail(length, lie, dice.number(lowest, -16.0));
    if dice.chance(4) {
        outside.bounds.push(cap(
            dice.number(0.0, length),
            dice.number(-22.0, -14.0),
            "ground",
        ));
    }
    if dice.chance(2) {
        outside.bounds.push(floor(
            dice.number(0.0, length),
            dice.number(-34.0, -20.0),
            "water main",
        ));
    }
    outside
}
