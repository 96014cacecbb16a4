//! Going down the preorder: the greatest exit, then for each run the greatest outlet and the steepest grade.

use units::Grade;

use crate::{
    check::Malformed,
    floors::{Held, Posed},
    interval::{End, HAIR, Interval, Levels},
    problem::{JoinKind, Problem},
    rise::{Risen, join_at, opening, own_miss, windows},
    trace::{Link, Traces, What, Why},
};

/// A level chosen on the way down may miss what was found on the way up by this much: a few hairs of rounding.
pub(crate) const SLACK: f64 = 4.0 * HAIR;

/// What keeps an outlet from standing higher.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) enum Pressed {
    /// A cap on the run itself or upstream of it.
    Upstream(Why),
    /// The parent's level and the window between, or the exit for the trunk.
    Downstream,
}

/// Where a run was put.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Placed {
    pub(crate) outlet: f64,
    pub(crate) grade: Grade,
    /// Index of the window taken, or of the way out for the trunk (0 when there is none).
    pub(crate) window: usize,
    pub(crate) pressed: Pressed,
}

/// The whole tree put.
pub(crate) struct Descended {
    pub(crate) exit: End,
    pub(crate) runs: Vec<Placed>,
}

/// Puts the exit and every run, assuming the sets are not empty.
pub(crate) fn descend(
    posed: &Posed,
    held: &Held,
    risen: &mut Risen,
) -> Result<Descended, Malformed> {
    let no_cap = |id: &units::Id| Malformed::NoCap { id: id.clone() };
    let exit = risen.exit.top().filter(|top| top.level.is_finite());
    let exit = exit.ok_or_else(|| no_cap(&posed.problem.exit.id))?;
    let mut runs: Vec<Placed> = Vec::with_capacity(posed.problem.runs.len());
    for (index, run) in posed.problem.runs.iter().enumerate() {
        let spot = match &run.join {
            None => trunk_spot(posed, held, risen, exit.level),
            Some(join) => {
                let parent = &runs[join.parent];
                let level =
                    parent.outlet + posed.problem.runs[join.parent].rise(parent.grade, join.at);
                branch_spot(posed, index, &risen.outlets[index], level)
            }
        };
        let spot = spot
            .filter(|s| s.outlet.is_finite())
            .ok_or_else(|| no_cap(&run.id))?;
        let grade = steepest(posed, held, risen, index, spot.outlet);
        runs.push(Placed {
            outlet: spot.outlet,
            grade,
            window: spot.window,
            pressed: spot.pressed,
        });
    }
    Ok(Descended { exit, runs })
}

#[derive(Clone, Copy)]
struct Spot {
    miss: f64,
    outlet: f64,
    window: usize,
    pressed: Pressed,
}

impl Spot {
    /// Less missed, or as little and higher. Equal spots keep the one found first.
    fn beats(&self, other: &Self) -> bool {
        self.miss < other.miss || (self.miss <= other.miss && self.outlet > other.outlet + HAIR)
    }
}

fn trunk_spot(posed: &Posed, held: &Held, risen: &mut Risen, exit: f64) -> Option<Spot> {
    let ways = &posed.problem.exit.ways;
    if ways.is_empty() {
        return highest(&risen.outlets[0], (exit, exit), 0, 0.0);
    }
    let mut best = None;
    for (index, way) in ways.iter().enumerate() {
        let outside = settle(opening(posed, held, index, &mut risen.traces).distance(exit));
        let reach = (exit + way.drop_least, exit + way.drop_most);
        keep_better(&mut best, highest(&risen.outlets[0], reach, index, outside));
    }
    best
}

fn branch_spot(posed: &Posed, run: usize, outlets: &Levels, level: f64) -> Option<Spot> {
    let mut by_kind: Vec<(JoinKind, usize)> = Vec::new();
    let windows = windows(posed, run);
    by_kind.extend(windows.iter().enumerate().map(|(index, w)| (w.kind, index)));
    by_kind.sort_unstable();
    let mut best = None;
    for (_, index) in by_kind {
        let reach = (level + windows[index].low, level + windows[index].high);
        keep_better(&mut best, highest(outlets, reach, index, 0.0));
    }
    best
}

fn keep_better(best: &mut Option<Spot>, found: Option<Spot>) {
    if let Some(spot) = found
        && best.is_none_or(|b| spot.beats(&b))
    {
        *best = Some(spot);
    }
}

/// The highest outlet inside `reach`, or the one that misses it least.
fn highest(
    outlets: &Levels,
    reach: (f64, f64),
    window: usize,
    already_missed: f64,
) -> Option<Spot> {
    let mut best = None;
    for interval in outlets.0.iter().rev() {
        let spot = spot_in(interval, reach, window, already_missed);
        keep_better(&mut best, Some(spot));
        if spot.miss <= already_missed {
            break; // lower intervals cannot do better
        }
    }
    best
}

fn spot_in(
    interval: &Interval,
    (low, high): (f64, f64),
    window: usize,
    already_missed: f64,
) -> Spot {
    let outlet = high.min(interval.high.level).max(interval.low.level);
    let miss = settle((low - outlet).max(outlet - high)).max(already_missed);
    let own = outlet >= interval.high.level;
    let pressed = if own {
        Pressed::Upstream(interval.high.why)
    } else {
        Pressed::Downstream
    };
    Spot {
        miss,
        outlet,
        window,
        pressed,
    }
}

fn settle(miss: f64) -> f64 {
    if miss <= SLACK { 0.0 } else { miss }
}

/// The steepest grade of the menu that holds from `outlet`, else the one that misses least.
fn steepest(posed: &Posed, held: &Held, risen: &Risen, run: usize, outlet: f64) -> Grade {
    let menu = &posed.problem.runs[run].menu;
    let mut best = (f64::INFINITY, menu[0]);
    for &grade in menu {
        let missed = settle(miss_at(posed, held, risen, run, grade, outlet));
        if missed < best.0 || (missed <= best.0 && grade > best.1) {
            best = (missed, grade);
        }
    }
    best.1
}

fn miss_at(
    posed: &Posed,
    held: &Held,
    risen: &Risen,
    run: usize,
    grade: Grade,
    outlet: f64,
) -> f64 {
    let line = &posed.problem.runs[run];
    let branches = posed.branches[run].iter().map(|&branch| {
        let level = outlet + line.rise(grade, join_at(posed, branch));
        risen.offers[branch].distance(level)
    });
    branches.fold(own_miss(posed, held, run, grade, outlet), f64::max)
}

/// The links that keep `run`'s outlet from standing higher, ending at that outlet.
pub(crate) fn why_no_higher(
    problem: &Problem,
    exit: End,
    runs: &[Placed],
    traces: &Traces,
    run: usize,
) -> Vec<Link> {
    let mut up = vec![run];
    let mut links = loop {
        let at = up[up.len() - 1];
        match (runs[at].pressed, &problem.runs[at].join) {
            (Pressed::Upstream(why), _) => break traces.links(why),
            (Pressed::Downstream, Some(join)) => up.push(join.parent),
            (Pressed::Downstream, None) => break from_exit(problem, exit, &runs[at], traces),
        }
    };
    up.pop();
    for branch in up.into_iter().rev() {
        links.extend(onto_branch(problem, runs, branch));
    }
    links
}

fn from_exit(problem: &Problem, exit: End, trunk: &Placed, traces: &Traces) -> Vec<Link> {
    let mut links = traces.links(exit.why);
    let way = trunk.window;
    let drop = problem.exit.ways.get(way).map(|w| w.drop_most);
    links.extend(drop.filter(|d| *d > 0.0).map(|adds| Link {
        what: What::Drop { way },
        adds,
    }));
    links
}

/// Up the parent to the join, and over the window onto the branch.
fn onto_branch(problem: &Problem, runs: &[Placed], branch: usize) -> Vec<Link> {
    let Some(join) = &problem.runs[branch].join else {
        return Vec::new();
    };
    let (run, window) = (join.parent, runs[branch].window);
    let grade = runs[run].grade;
    let up = Link {
        what: What::Along {
            run,
            grade,
            from: 0.0,
            to: join.at,
        },
        adds: problem.runs[run].rise(grade, join.at),
    };
    let over = Link {
        what: What::Join {
            run: branch,
            window,
            low: false,
        },
        adds: join.windows[window].high,
    };
    vec![up, over]
}
