//! The solver's one door: checks, settles the floors, puts the levels, tells what is near.

use crate::{
    answer::{Edge, EndDrop, ExitLine, Grades, JoinMade, Line, Met, OutsideLine},
    check::Malformed,
    conflict::{Settled, settle},
    descend::{Descended, Placed, SLACK, descend},
    floors::{Held, Posed},
    interval::{End, Interval, Levels},
    problem::{Limit, Place, Problem, Run, Side, Tail},
    rise::opening,
    tail,
    trace::{Traces, climbing},
};

/// Solves a drain: levels as shallow as they can be.
///
/// The answer is the lexicographically greatest list of levels in the order exit, then for each run in preorder its
/// outlet and its inlet, over all grades, ways to join and ways out. It is unique; equal levels prefer flat to rolled
/// to dropped, and an earlier way out to a later. The line outside then takes the steepest grade that holds from that
/// exit.
///
/// # When it cannot be
/// Caps never give way. Floors are honoured in this order: the receiver, the floors along the line outside in their
/// order, the lows of the ways out (as one, the one that must give least gives), then the floors of the runs in
/// preorder, each run's from its outlet up. A floor that cannot be met together with all before it is lowered to the
/// highest level that can be, and told as a [`crate::Conflict`]. After 64 of them the rest are let go and counted.
///
/// # Errors
/// When the problem is malformed, or nothing caps some line. Levels are told in every other case.
pub fn solve(problem: &Problem) -> Result<Grades, Malformed> {
    problem.check()?;
    let posed = Posed::new(problem);
    let Settled {
        held,
        mut risen,
        conflicts,
        left_out,
    } = settle(&posed)?;
    let Descended { exit, runs } = descend(&posed, &held, &mut risen)?;
    let mut traces = risen.traces;
    let mut grades = Grades {
        exit: exit_line(&posed, &held, exit, &runs[0], &mut traces),
        lines: lines(problem, &runs),
        outside: outside(&posed, &held, exit.level),
        bounds: Vec::new(),
        conflicts,
        left_out,
        exit_end: exit,
        placed: runs,
        traces,
    };
    grades.bounds = bounds_met(problem, &grades);
    Ok(grades)
}

fn exit_line(
    posed: &Posed,
    held: &Held,
    exit: End,
    trunk: &Placed,
    traces: &mut Traces,
) -> ExitLine {
    let window = exit_window(posed, held, exit.level, traces);
    let edge = |end: End| {
        end.level
            .is_finite()
            .then(|| (end.level, traces.tell(end.why, posed.problem)))
    };
    let highest = edge(window.high).map(|(level, chain)| Edge { level, chain });
    let lowest = edge(window.low).map(|(level, chain)| Edge {
        level,
        chain: climbing(chain),
    });
    ExitLine {
        level: exit.level,
        way: (!posed.problem.exit.ways.is_empty()).then_some(trunk.window),
        drop: trunk.outlet - exit.level,
        highest,
        lowest,
        why: traces.tell(exit.why, posed.problem),
    }
}

/// The interval of exits around `exit` that the ways out and the line outside allow.
fn exit_window(posed: &Posed, held: &Held, exit: f64, traces: &mut Traces) -> Interval {
    let mut allowed = tail::exits(posed, held, traces);
    let count = posed.problem.exit.ways.len();
    if count > 0 {
        let openings = (0..count)
            .map(|way| opening(posed, held, way, traces))
            .collect();
        allowed = allowed.meet(&Levels::union(openings));
    }
    let nearer = |x: &&Interval, y: &&Interval| x.distance(exit).total_cmp(&y.distance(exit));
    allowed
        .0
        .iter()
        .min_by(nearer)
        .copied()
        .unwrap_or(Interval::ALL)
}

fn lines(problem: &Problem, runs: &[Placed]) -> Vec<Line> {
    problem
        .runs
        .iter()
        .zip(runs)
        .map(|(run, placed)| line(problem, runs, run, placed))
        .collect()
}

fn line(problem: &Problem, runs: &[Placed], run: &Run, placed: &Placed) -> Line {
    let join = run.join.as_ref().map(|join| {
        let parent = &runs[join.parent];
        let level = parent.outlet + problem.runs[join.parent].rise(parent.grade, join.at);
        let kind = join.windows[placed.window].kind;
        JoinMade {
            kind,
            window: placed.window,
            above: placed.outlet - level,
        }
    });
    Line {
        id: run.id.clone(),
        outlet: placed.outlet,
        inlet: placed.outlet + run.rise(placed.grade, run.length),
        grade: placed.grade,
        length: run.length,
        steps: run.steps.iter().map(|step| (step.at, step.drop)).collect(),
        join,
    }
}

fn outside(posed: &Posed, held: &Held, exit: f64) -> Option<OutsideLine> {
    let line = posed.problem.tail.as_ref()?;
    let in_per_ft = tail::lie(posed, held, exit, SLACK)?;
    let end = exit - in_per_ft * line.length / 12.0;
    Some(OutsideLine {
        id: line.id.clone(),
        in_per_ft,
        start: exit,
        end,
        drop: end_drop(line, in_per_ft, end),
    })
}

/// The drop that takes a line of a menu, which ends too high, down to its receiver.
fn end_drop(line: &Tail, in_per_ft: f64, end: f64) -> Option<EndDrop> {
    let (room, receiver) = line.drop.zip(line.receiver.as_ref())?;
    let inches = end - receiver.level;
    let (from, to) = room.bends(line.length, in_per_ft, inches)?;
    Some(EndDrop { from, to, inches })
}

fn bounds_met(problem: &Problem, grades: &Grades) -> Vec<Met> {
    let mut met = outside_met(problem, grades);
    if let Some(k) = grades.exit.way {
        let way = &problem.exit.ways[k];
        let at_exit = |side, limit: &Limit| Met {
            place: Place::Way(k),
            side,
            level: limit.level,
            invert: grades.exit.level,
        };
        met.extend(way.high.iter().map(|limit| at_exit(Side::NotAbove, limit)));
        met.extend(way.low.iter().map(|limit| at_exit(Side::NotBelow, limit)));
    }
    for (run, (asked, line)) in problem.runs.iter().zip(&grades.lines).enumerate() {
        let bounds = asked.bounds.iter().enumerate();
        met.extend(bounds.map(|(bound, b)| Met {
            place: Place::Run { run, bound },
            side: b.side,
            level: b.level,
            invert: line.level_at(b.at),
        }));
    }
    met
}

fn outside_met(problem: &Problem, grades: &Grades) -> Vec<Met> {
    let Some((tail, line)) = problem.tail.as_ref().zip(grades.outside.as_ref()) else {
        return Vec::new();
    };
    let receiver = tail.receiver.iter().map(|limit| Met {
        place: Place::Receiver,
        side: Side::NotBelow,
        level: limit.level,
        invert: line.end,
    });
    let bounds = tail.bounds.iter().enumerate().map(|(k, b)| Met {
        place: Place::Tail(k),
        side: b.side,
        level: b.level,
        invert: line.before_drop(b.at),
    });
    receiver.chain(bounds).collect()
}
