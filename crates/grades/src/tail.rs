//! The line outside: which exit levels it allows, how it lies from a given exit, how far its floors can be met.

use units::Grade;

use crate::{
    floors::{Held, Posed},
    interval::{End, Interval, Levels, Move},
    problem::{Bound, Lie, Place, Side, Tail},
    trace::{Traces, What},
};

/// The fraction of the line's length beyond which a place counts as the receiver itself.
const AT_THE_END: f64 = 1.0 - 1e-12;

/// Exit levels the line outside allows.
pub(crate) fn exits(posed: &Posed, held: &Held, traces: &mut Traces) -> Levels {
    let Some(tail) = &posed.problem.tail else {
        return Levels::one(Some(Interval::ALL));
    };
    match &tail.lie {
        Lie::Menu(menu) => {
            let at = |grade: &Grade| exits_at(posed, held, tail, *grade, traces);
            Levels::union(menu.iter().filter_map(at).collect())
        }
        Lie::Straight(least) => Levels::one(exits_straight(posed, held, tail, *least, traces)),
    }
}

/// Exit levels allowed at one grade.
fn exits_at(
    posed: &Posed,
    held: &Held,
    tail: &Tail,
    grade: Grade,
    traces: &mut Traces,
) -> Option<Interval> {
    let mut allowed = Some(Interval::ALL);
    for (place, at, side, level) in bounds(posed, held, tail) {
        let end = traces.begin(place, side, level);
        let end = traces.moved(end, outside(grade.in_per_ft(), at, 0.0));
        allowed = allowed.and_then(|a| a.meet(&half(side, end)));
    }
    allowed
}

/// Exit levels from which a straight line to the receiver holds. The line's level at the fraction t of its length is
/// e (1 − t) + r t, so each bound turns into one on the exit e.
fn exits_straight(
    posed: &Posed,
    held: &Held,
    tail: &Tail,
    least: Grade,
    traces: &mut Traces,
) -> Option<Interval> {
    let receiver = receiver_level(posed, held)?;
    if receiver.is_infinite() {
        return Some(Interval::ALL);
    }
    let mut allowed = Some(Interval::ALL);
    for (place, at, side, level) in bounds(posed, held, tail) {
        let end = traces.begin(place, side, level);
        let part = at / tail.length;
        let grade = match place {
            Place::Receiver => least.in_per_ft(),
            Place::Tail(_) | Place::Way(_) | Place::Run { .. } if part < AT_THE_END => {
                (level - receiver) / (tail.length - at) * 12.0
            }
            Place::Tail(_) | Place::Way(_) | Place::Run { .. } => {
                // At the receiver itself the exit has no say.
                let stands = half(side, end).distance(receiver) <= crate::interval::HAIR;
                allowed = allowed.filter(|_| stands);
                continue;
            }
        };
        let end = traces.moved(end, outside(grade, at, 0.0));
        allowed = allowed.and_then(|a| a.meet(&half(side, end)));
    }
    allowed
}

/// The receiver's level as held: `None` when there is none, −∞ when it is not held.
pub(crate) fn receiver_level(posed: &Posed, held: &Held) -> Option<f64> {
    // The receiver, where there is one, is the first floor of all.
    let first = posed.order.first()?;
    (*first == Place::Receiver).then(|| held.level(0))
}

/// Every bound as held: the receiver as a floor at the end, floors not held left out.
fn bounds<'a>(
    posed: &'a Posed,
    held: &'a Held,
    tail: &'a Tail,
) -> impl Iterator<Item = (Place, f64, Side, f64)> + 'a {
    let caps = tail
        .bounds
        .iter()
        .enumerate()
        .filter(|(_, b)| b.side == Side::NotAbove);
    let caps = caps.map(|(k, b)| (Place::Tail(k), b.at, b.side, b.level));
    let floors = (0..posed.run_floors[0]).filter_map(|item| {
        let place = posed.order[item];
        let at = floor_at(tail, place)?;
        Some((place, at, Side::NotBelow, held.level(item))).filter(|f| f.3.is_finite())
    });
    caps.chain(floors)
}

fn floor_at(tail: &Tail, place: Place) -> Option<f64> {
    match place {
        Place::Receiver => Some(tail.length),
        Place::Tail(k) => Some(tail.bounds[k].at),
        Place::Way(_) | Place::Run { .. } => None,
    }
}

fn half(side: Side, end: End) -> Interval {
    match side {
        Side::NotAbove => Interval {
            low: Interval::ALL.low,
            high: end,
        },
        Side::NotBelow => Interval {
            low: end,
            high: Interval::ALL.high,
        },
    }
}

/// The move along the line between two distances downstream of the exit.
fn outside(in_per_ft: f64, from: f64, to: f64) -> Move {
    Move {
        adds: in_per_ft * (from - to) / 12.0,
        what: What::Outside {
            grade: in_per_ft,
            from,
            to,
        },
    }
}

/// The grade the line takes from an exit at `exit`, in/ft: the steepest of the menu that misses nothing by more than
/// `slack`, else the one that misses least.
pub(crate) fn lie(posed: &Posed, held: &Held, exit: f64, slack: f64) -> Option<f64> {
    let tail = posed.problem.tail.as_ref()?;
    let miss = |grade: Grade| {
        let missed = bounds(posed, held, tail).map(|(_, at, side, level)| {
            let above = exit - grade.fall_over(at) - level;
            if side == Side::NotAbove {
                above
            } else {
                -above
            }
        });
        let worst = missed.fold(0.0, f64::max);
        if worst > slack { worst } else { 0.0 }
    };
    match &tail.lie {
        Lie::Straight(_) => {
            let receiver = receiver_level(posed, held).filter(|r| r.is_finite())?;
            Some((exit - receiver) / tail.length * 12.0)
        }
        Lie::Menu(menu) => {
            let better = |x: &Grade, y: &Grade| {
                let misses = miss(*y).total_cmp(&miss(*x));
                misses.then(x.in_per_ft().total_cmp(&y.in_per_ft()))
            };
            menu.iter()
                .copied()
                .max_by(|x, y| better(x, y))
                .map(Grade::in_per_ft)
        }
    }
}

/// The highest the line can be at the floor `place`, over all exits in `exits` (what the tree allows).
pub(crate) fn attained(
    posed: &Posed,
    held: &Held,
    exits: &Levels,
    place: Place,
    traces: &mut Traces,
) -> Option<End> {
    let tail = posed.problem.tail.as_ref()?;
    let at = floor_at(tail, place)?;
    match (&tail.lie, place) {
        (Lie::Menu(menu), _) => {
            let ends = menu.iter().filter_map(|grade| {
                let allowed = exits_at(posed, held, tail, *grade, traces)?;
                let top = exits.within(&allowed).top()?;
                Some(traces.moved(top, outside(grade.in_per_ft(), 0.0, at)))
            });
            ends.max_by(|x, y| x.level.total_cmp(&y.level))
        }
        (Lie::Straight(least), Place::Receiver) => highest_receiver(tail, *least, exits, traces),
        (Lie::Straight(least), Place::Tail(_) | Place::Way(_) | Place::Run { .. }) => {
            let receiver = receiver_level(posed, held)?;
            let allowed = exits_straight(posed, held, tail, *least, traces)?;
            let top = exits.within(&allowed).top()?;
            let grade = (top.level - receiver) / tail.length * 12.0;
            Some(traces.moved(top, outside(grade, 0.0, at)))
        }
    }
}

/// The highest receiver a straight line reaches. The flattest line is best for every bound: it starts as low as any
/// and stays as low as any. (The receiver is the first floor brought back, so `exits` is a ray here.)
fn highest_receiver(tail: &Tail, least: Grade, exits: &Levels, traces: &mut Traces) -> Option<End> {
    let flattest = |from: f64| outside(least.in_per_ft(), from, tail.length);
    let mut highest = traces.moved(exits.top()?, flattest(0.0));
    for (k, cap) in tail.bounds.iter().enumerate().filter(|(_, b)| is_cap(b)) {
        if cap.level - least.fall_over(tail.length - cap.at) < highest.level {
            let end = traces.begin(Place::Tail(k), Side::NotAbove, cap.level);
            highest = traces.moved(end, flattest(cap.at));
        }
    }
    Some(highest)
}

fn is_cap(bound: &Bound) -> bool {
    bound.side == Side::NotAbove
}

/// The lowest exit the floors along the line and the receiver allow as given: at `grade` (in/ft) for a menu, at the
/// least grade for a straight line.
pub(crate) fn lowest_exit(tail: &Tail, grade: f64) -> Option<f64> {
    let receiver = tail.receiver.as_ref().map(|r| r.level);
    let ends = receiver.map(|level| level + grade * tail.length / 12.0);
    let floors = tail.bounds.iter().filter(|b| b.side == Side::NotBelow);
    let exits = floors.filter_map(|b| match (&tail.lie, receiver) {
        (Lie::Menu(_), _) => Some(b.level + grade * b.at / 12.0),
        (Lie::Straight(_), Some(r)) if b.at / tail.length < AT_THE_END => {
            Some(b.level + (b.level - r) / (tail.length - b.at) * b.at)
        }
        (Lie::Straight(_), Some(_) | None) => None,
    });
    exits.chain(ends).max_by(f64::total_cmp)
}
