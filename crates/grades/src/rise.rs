//! Going up: the outlet levels each run may have, from the farthest runs to the exit.
//!
//! For one grade, a run's bounds leave an interval of outlets and each branch leaves a union of intervals; what they
//! share is what that grade allows. A run allows what any grade of its menu allows. With caps alone every set is one
//! downward ray, so the pass is linear in runs times grades.

use units::Grade;

use crate::{
    check::Malformed,
    floors::{Held, Posed},
    interval::{End, Interval, Levels, Move},
    problem::{Place, Run, Side, Window},
    tail,
    trace::{Traces, What, Why},
};

/// A run may have so many separate intervals before the solver gives up; a house has one or two.
const MOST_INTERVALS: usize = 4096;

/// What the pass leaves behind.
pub(crate) struct Risen {
    /// Outlet levels each run may have as far as it and what is upstream of it go.
    pub(crate) outlets: Vec<Levels>,
    /// For each branch, the parent's levels at the join that it allows; unused for the trunk.
    pub(crate) offers: Vec<Levels>,
    /// Exit levels the tree and the ways out allow.
    pub(crate) ways: Levels,
    /// Exit levels all of the drain allows; empty when the floors cannot all be met.
    pub(crate) exit: Levels,
    pub(crate) traces: Traces,
}

/// The sets with the floors held as told.
pub(crate) fn rise(posed: &Posed, held: &Held) -> Result<Risen, Malformed> {
    let count = posed.problem.runs.len();
    let mut traces = Traces::default();
    let mut outlets = vec![Levels::default(); count];
    let mut offers = vec![Levels::default(); count];
    for run in (0..count).rev() {
        outlets[run] = outlets_of(posed, held, run, &offers, &mut traces);
        offers[run] = offer(posed, run, &outlets[run], &mut traces);
        if outlets[run].0.len() > MOST_INTERVALS || offers[run].0.len() > MOST_INTERVALS {
            return Err(Malformed::TooManyChoices {
                id: posed.problem.runs[run].id.clone(),
            });
        }
    }
    let ways = through_ways(posed, held, &outlets[0], &mut traces);
    let exit = ways.meet(&tail::exits(posed, held, &mut traces));
    Ok(Risen {
        outlets,
        offers,
        ways,
        exit,
        traces,
    })
}

fn outlets_of(
    posed: &Posed,
    held: &Held,
    run: usize,
    offers: &[Levels],
    traces: &mut Traces,
) -> Levels {
    let mut any = Vec::new();
    for &grade in &posed.problem.runs[run].menu {
        any.extend(outlets_at(posed, held, run, grade, offers, None, traces).0);
    }
    Levels::union(any)
}

/// Outlets that `grade` allows by the run's bounds and its branches, but for the branch `except`.
pub(crate) fn outlets_at(
    posed: &Posed,
    held: &Held,
    run: usize,
    grade: Grade,
    offers: &[Levels],
    except: Option<usize>,
    traces: &mut Traces,
) -> Levels {
    let mut allowed = Levels::one(own(posed, held, run, grade, traces));
    for &branch in posed.branches[run].iter().filter(|b| Some(**b) != except) {
        let down = along(posed, run, grade, join_at(posed, branch), 0.0);
        allowed = allowed.meet(&offers[branch].moved(down, down, traces));
    }
    allowed
}

/// Outlets that the run's own bounds allow at `grade`.
fn own(
    posed: &Posed,
    held: &Held,
    run: usize,
    grade: Grade,
    traces: &mut Traces,
) -> Option<Interval> {
    let (low, high) = own_ends(posed, held, run, grade);
    let mut bring = |side, found: Option<(usize, f64)>| match found {
        None => None,
        Some((bound, level)) => {
            let end = traces.begin(Place::Run { run, bound }, side, level);
            let at = posed.problem.runs[run].bounds[bound].at;
            Some(traces.moved(end, along(posed, run, grade, at, 0.0)))
        }
    };
    let low = bring(Side::NotBelow, low).unwrap_or(Interval::ALL.low);
    let high = bring(Side::NotAbove, high).unwrap_or(Interval::ALL.high);
    Interval {
        low,
        high: Interval::ALL.high,
    }
    .meet(&Interval {
        low: Interval::ALL.low,
        high,
    })
}

type Binding = Option<(usize, f64)>;

/// The floor and the cap that bind most: index of the bound and the level it is held at.
fn own_ends(posed: &Posed, held: &Held, run: usize, grade: Grade) -> (Binding, Binding) {
    let line = &posed.problem.runs[run];
    let (mut low, mut high) = (None, None);
    let (mut low_outlet, mut high_outlet) = (f64::NEG_INFINITY, f64::INFINITY);
    for (bound, cap) in line
        .bounds
        .iter()
        .enumerate()
        .filter(|(_, b)| b.side == Side::NotAbove)
    {
        let outlet = cap.level - line.rise(grade, cap.at);
        if outlet < high_outlet {
            (high, high_outlet) = (Some((bound, cap.level)), outlet);
        }
    }
    for (bound, level) in held_floors(posed, held, run) {
        let outlet = level - line.rise(grade, line.bounds[bound].at);
        if outlet > low_outlet {
            (low, low_outlet) = (Some((bound, level)), outlet);
        }
    }
    (low, high)
}

/// The run's floors as held: index of the bound and level.
fn held_floors<'a>(
    posed: &'a Posed,
    held: &'a Held,
    run: usize,
) -> impl Iterator<Item = (usize, f64)> + 'a {
    let items = posed.run_floors[run]..posed.run_floors[run + 1];
    items.filter_map(|item| match posed.order[item] {
        Place::Run { bound, .. } => Some((bound, held.level(item))),
        Place::Receiver | Place::Tail(_) | Place::Way(_) => None,
    })
}

/// How far outside its bounds an outlet at `outlet` would be, inches; 0 when inside.
pub(crate) fn own_miss(posed: &Posed, held: &Held, run: usize, grade: Grade, outlet: f64) -> f64 {
    let line = &posed.problem.runs[run];
    let level = |bound: usize| outlet + line.rise(grade, line.bounds[bound].at);
    let (low, high) = own_ends(posed, held, run, grade);
    let below = low.map_or(0.0, |(bound, floor)| floor - level(bound));
    let above = high.map_or(0.0, |(bound, cap)| level(bound) - cap);
    below.max(above).max(0.0)
}

/// The move along `run` between two distances upstream of its outlet.
pub(crate) fn along(posed: &Posed, run: usize, grade: Grade, from: f64, to: f64) -> Move {
    let line: &Run = &posed.problem.runs[run];
    let adds = line.rise(grade, to) - line.rise(grade, from);
    Move {
        adds,
        what: What::Along {
            run,
            grade,
            from,
            to,
        },
    }
}

/// Inches upstream of the parent's outlet where `branch` joins; 0 for the trunk.
pub(crate) fn join_at(posed: &Posed, branch: usize) -> f64 {
    posed.problem.runs[branch]
        .join
        .as_ref()
        .map_or(0.0, |join| join.at)
}

/// The windows of `run`'s join; none for the trunk.
pub(crate) fn windows<'a>(posed: &Posed<'a>, run: usize) -> &'a [Window] {
    posed.problem.runs[run]
        .join
        .as_ref()
        .map_or(&[], |join| &join.windows)
}

fn offer(posed: &Posed, run: usize, outlets: &Levels, traces: &mut Traces) -> Levels {
    let mut any = Vec::new();
    for (window, w) in windows(posed, run).iter().enumerate() {
        let what = |low| What::Join { run, window, low };
        let (down_most, down_least) = (
            Move {
                adds: -w.high,
                what: what(false),
            },
            Move {
                adds: -w.low,
                what: what(true),
            },
        );
        any.extend(outlets.moved(down_most, down_least, traces).0);
    }
    Levels::union(any)
}

/// Exit levels the trunk's outlets reach through any way out.
fn through_ways(posed: &Posed, held: &Held, trunk: &Levels, traces: &mut Traces) -> Levels {
    if posed.problem.exit.ways.is_empty() {
        return trunk.clone();
    }
    let mut any = Vec::new();
    for way in 0..posed.problem.exit.ways.len() {
        let opening = opening(posed, held, way, traces);
        any.extend(dropped(posed, way, trunk, traces).within(&opening).0);
    }
    Levels::union(any)
}

/// Exit levels the trunk's outlets reach over the drop of one way.
pub(crate) fn dropped(posed: &Posed, way: usize, trunk: &Levels, traces: &mut Traces) -> Levels {
    let drop = &posed.problem.exit.ways[way];
    let what = What::Drop { way };
    let (most, least) = (
        Move {
            adds: -drop.drop_most,
            what,
        },
        Move {
            adds: -drop.drop_least,
            what,
        },
    );
    trunk.moved(most, least, traces)
}

/// Exit levels a way allows by its limits.
pub(crate) fn opening(posed: &Posed, held: &Held, way: usize, traces: &mut Traces) -> Interval {
    let limits = &posed.problem.exit.ways[way];
    let place = Place::Way(way);
    let high = limits
        .high
        .as_ref()
        .map(|l| traces.begin(place, Side::NotAbove, l.level));
    let low = held.way(posed, way);
    let low = if low.is_finite() {
        traces.begin(place, Side::NotBelow, low)
    } else {
        End {
            level: low,
            why: Why::NONE,
        }
    };
    Interval {
        low,
        high: high.unwrap_or(Interval::ALL.high),
    }
}
