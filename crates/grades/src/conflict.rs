//! When it cannot be: which floors give way, by how much, and the chain that says why.

use crate::{
    check::Malformed,
    floors::{Held, Posed},
    interval::{End, Interval, Levels, Move},
    problem::{Place, Problem, Side},
    rise::{Risen, along, dropped, join_at, outlets_at, rise, windows},
    tail,
    trace::{Spend, SpentOn, Traces, What, at},
};

/// So many floors are told one by one; a drain with more is not a drain with a fault but a page of wrong numbers.
const MOST_CONFLICTS: usize = 64;

/// A floor that cannot be met, and why.
#[derive(Clone, PartialEq, Debug)]
pub struct Conflict {
    /// The floor that gives way.
    pub place: Place,
    /// Inches it must give: lowered by this the drain can be built, by a hair less it cannot.
    pub short: f64,
    /// From the cap that presses to the floor that gives way. The inches sum to `short`.
    pub chain: Vec<Spend>,
}

impl Conflict {
    /// Whether a gap between the ways of a junction is part of the trouble.
    pub fn at_a_gap(&self) -> bool {
        self.chain
            .iter()
            .any(|spend| matches!(spend.on, SpentOn::Join { gap: true, .. }))
    }
}

/// The floors as far as they can be held, what gave way, and how many floors were let go untold.
pub(crate) struct Settled {
    pub(crate) held: Held,
    pub(crate) risen: Risen,
    pub(crate) conflicts: Vec<Conflict>,
    pub(crate) left_out: usize,
}

/// Brings the floors back one by one in their order; one that cannot be met is lowered to what can be.
pub(crate) fn settle(posed: &Posed) -> Result<Settled, Malformed> {
    let mut held = posed.given();
    let mut conflicts = Vec::new();
    let (mut settled, mut left_out) = (0, 0);
    let risen = loop {
        let risen = rise(posed, &held)?;
        if !risen.exit.is_empty() || left_out > 0 {
            break risen;
        }
        let Some(item) = first_unmet(posed, &held, settled)? else {
            break risen;
        };
        conflicts.extend(give_way(posed, &mut held, item)?);
        settled = item + 1;
        if conflicts.len() >= MOST_CONFLICTS {
            left_out = let_go(posed, &mut held, settled);
        }
    };
    Ok(Settled {
        held,
        risen,
        conflicts,
        left_out,
    })
}

/// The first floor at or after `from` that cannot be held with all before it. More floors never help, so halving finds it.
fn first_unmet(posed: &Posed, held: &Held, from: usize) -> Result<Option<usize>, Malformed> {
    let (mut met, mut unmet) = (from, posed.order.len());
    while met + 1 < unmet {
        let middle = met.midpoint(unmet);
        let trial = Held {
            upto: middle,
            ..held.clone()
        };
        if rise(posed, &trial)?.exit.is_empty() {
            unmet = middle;
        } else {
            met = middle;
        }
    }
    Ok((unmet > from).then(|| unmet - 1))
}

/// Drops every floor from `from` on and counts them.
fn let_go(posed: &Posed, held: &mut Held, from: usize) -> usize {
    for level in &mut held.levels[from..] {
        *level = f64::NEG_INFINITY;
    }
    if posed.ways_item().is_some_and(|item| item >= from) {
        held.ways.fill(f64::NEG_INFINITY);
    }
    posed.order.len() - from
}

/// Lowers floor `item` to the highest it can be held with all before it, and tells the chain.
fn give_way(posed: &Posed, held: &mut Held, item: usize) -> Result<Option<Conflict>, Malformed> {
    let trial = Held {
        upto: item,
        ..held.clone()
    };
    let mut risen = rise(posed, &trial)?;
    let (place, asked, attained) = match posed.order[item] {
        Place::Way(_) => {
            let Some((way, attained)) = best_way(posed, &trial, &mut risen) else {
                return Ok(None);
            };
            let asked = std::mem::replace(&mut held.ways[way], attained.level);
            (Place::Way(way), asked, attained)
        }
        place @ (Place::Receiver | Place::Tail(_) | Place::Run { .. }) => {
            let Some(attained) = attained(posed, &trial, &mut risen, place) else {
                return Ok(None);
            };
            let asked = std::mem::replace(&mut held.levels[item], attained.level);
            (place, asked, attained)
        }
    };
    Ok(Some(tell(
        posed.problem,
        place,
        asked,
        attained,
        &risen.traces,
    )))
}

fn tell(problem: &Problem, place: Place, asked: f64, attained: End, traces: &Traces) -> Conflict {
    let mut chain = traces.tell(attained.why, problem);
    chain.push(at(problem, place, Side::NotBelow, asked));
    Conflict {
        place,
        short: asked - attained.level,
        chain,
    }
}

/// The highest level at a floor, over all that the caps and the floors held allow.
fn attained(posed: &Posed, held: &Held, risen: &mut Risen, place: Place) -> Option<End> {
    match place {
        Place::Run { run, bound } => highest_at(posed, held, risen, run, bound),
        Place::Receiver | Place::Tail(_) | Place::Way(_) => {
            tail::attained(posed, held, &risen.ways, place, &mut risen.traces)
        }
    }
}

/// The way out whose low must give least, and the highest exit it then has. Ties go to the first.
fn best_way(posed: &Posed, held: &Held, risen: &mut Risen) -> Option<(usize, End)> {
    let outside = tail::exits(posed, held, &mut risen.traces);
    let mut best: Option<(f64, usize, End)> = None;
    for (way, w) in posed.problem.exit.ways.iter().enumerate() {
        let reached = way_top(posed, held, risen, way, &outside);
        let short = w
            .low
            .as_ref()
            .zip(reached)
            .map(|(low, top)| (low.level - top.level, top));
        if let Some((short, top)) = short.filter(|s| best.is_none_or(|b| s.0 < b.0)) {
            best = Some((short, way, top));
        }
    }
    best.map(|(_, way, top)| (way, top))
}

fn way_top(
    posed: &Posed,
    held: &Held,
    risen: &mut Risen,
    way: usize,
    outside: &Levels,
) -> Option<End> {
    let opening = crate::rise::opening(posed, held, way, &mut risen.traces);
    let reached = dropped(posed, way, &risen.outlets[0], &mut risen.traces);
    reached.meet(outside).within(&opening).top()
}

/// The highest level at a bound of a run: what everything outside the run's branch allows is carried up to it.
fn highest_at(
    posed: &Posed,
    held: &Held,
    risen: &mut Risen,
    run: usize,
    bound: usize,
) -> Option<End> {
    let mut path = vec![run];
    while let Some(join) = &posed.problem.runs[path[path.len() - 1]].join {
        path.push(join.parent);
    }
    path.reverse();
    let mut allowed = from_outside(posed, held, risen);
    for pair in path.windows(2) {
        let at_join = levels_at(
            posed,
            held,
            risen,
            pair[0],
            &allowed,
            join_at(posed, pair[1]),
            Some(pair[1]),
        );
        allowed = onto_branch(posed, pair[1], &at_join, &mut risen.traces);
    }
    let at = posed.problem.runs[run].bounds[bound].at;
    levels_at(posed, held, risen, run, &allowed, at, None).top()
}

/// Trunk outlets that the line outside and the ways out allow.
fn from_outside(posed: &Posed, held: &Held, risen: &mut Risen) -> Levels {
    let traces = &mut risen.traces;
    let exits = tail::exits(posed, held, traces);
    if posed.problem.exit.ways.is_empty() {
        return exits;
    }
    let mut any: Vec<Interval> = Vec::new();
    for (way, w) in posed.problem.exit.ways.iter().enumerate() {
        let through = exits.within(&crate::rise::opening(posed, held, way, traces));
        let what = What::Drop { way };
        let (least, most) = (
            Move {
                adds: w.drop_least,
                what,
            },
            Move {
                adds: w.drop_most,
                what,
            },
        );
        any.extend(through.moved(least, most, traces).0);
    }
    Levels::union(any)
}

/// Levels at `at` on `run`, over its grades, when its outlet is in `allowed`. The branch `except`, by which the chain
/// will climb, is not asked: it is met on the way up anyway, and a chain must not go down a branch and up it again.
fn levels_at(
    posed: &Posed,
    held: &Held,
    risen: &mut Risen,
    run: usize,
    allowed: &Levels,
    at: f64,
    except: Option<usize>,
) -> Levels {
    let mut any = Vec::new();
    for &grade in &posed.problem.runs[run].menu {
        let outlets = outlets_at(
            posed,
            held,
            run,
            grade,
            &risen.offers,
            except,
            &mut risen.traces,
        )
        .meet(allowed);
        let up = along(posed, run, grade, 0.0, at);
        any.extend(outlets.moved(up, up, &mut risen.traces).0);
    }
    Levels::union(any)
}

/// Outlets of `branch` that its parent's levels at the join allow.
fn onto_branch(posed: &Posed, branch: usize, parent: &Levels, traces: &mut Traces) -> Levels {
    let mut any = Vec::new();
    for (window, w) in windows(posed, branch).iter().enumerate() {
        let what = |low| What::Join {
            run: branch,
            window,
            low,
        };
        let (low, high) = (
            Move {
                adds: w.low,
                what: what(true),
            },
            Move {
                adds: w.high,
                what: what(false),
            },
        );
        any.extend(parent.moved(low, high, traces).0);
    }
    Levels::union(any)
}
