//! Why an end of an interval is where it is: a chain of named constants that sum to its level.

use units::Grade;

use crate::{
    interval::{End, Move},
    problem::{JoinKind, Member, Place, Problem, Run, Side, WayKind},
};

/// Inches of the fall budget, and who spends them.
///
/// Reckoned down from finished floor: a cap at −9.284 spends 9.284, a fall or a drop what it falls, a floor at −17.40
/// spends −17.40 (it is what there is to spend). Spends from a cap to a place sum to its depth below finished floor.
#[derive(Clone, PartialEq, Debug)]
pub struct Spend {
    /// The item and its words.
    pub who: Member,
    /// What the inches are spent on.
    pub on: SpentOn,
    /// Inches; negative when the line rises or a floor is reckoned.
    pub inches: f64,
}

/// What inches of fall are spent on.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum SpentOn {
    /// Starting under a cap.
    Cap(Place),
    /// The fall of a line.
    Fall {
        /// The line's grade.
        grade: Grade,
        /// Inches of it, negative when counted upstream.
        length: f64,
    },
    /// A step at an increaser.
    Step,
    /// Joining a parent. `gap` is true when the neighbouring window would have spent less but is out of reach: the
    /// junction itself is then part of the trouble.
    Join {
        /// How it joins.
        kind: JoinKind,
        /// Whether a gap between windows is passed.
        gap: bool,
    },
    /// A drop between the trunk and the exit.
    Drop(WayKind),
    /// A floor reached.
    Floor(Place),
}

/// A link of a chain inside the solver.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) enum What {
    /// A bound's own level; where a chain begins.
    At(Place, Side),
    /// Along a run, between two distances upstream of its outlet.
    Along {
        run: usize,
        grade: Grade,
        from: f64,
        to: f64,
    },
    /// Along the tail, between two distances downstream of the exit.
    Outside { grade: f64, from: f64, to: f64 },
    /// Between a branch's outlet and its parent, at one side of a window.
    Join {
        run: usize,
        window: usize,
        low: bool,
    },
    /// Between the trunk's outlet and the exit.
    Drop { way: usize },
}

/// A chain, by its last link.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Why(u32);

impl Why {
    pub(crate) const NONE: Self = Self(u32::MAX);
}

/// One link: what moves the level, and by how much.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Link {
    pub(crate) what: What,
    pub(crate) adds: f64,
}

/// All links of one pass. Chains share their beginnings, so a link costs the same however deep the tree.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Traces(Vec<(Link, Why)>);

impl Traces {
    /// The end set by a bound itself.
    pub(crate) fn begin(&mut self, place: Place, side: Side, level: f64) -> End {
        let why = self.push(What::At(place, side), level, Why::NONE);
        End { level, why }
    }

    /// `end` moved; an infinite end stays without a reason.
    pub(crate) fn moved(&mut self, end: End, by: Move) -> End {
        let level = end.level + by.adds;
        if level.is_infinite() {
            return End {
                level,
                why: Why::NONE,
            };
        }
        let why = self.push(by.what, by.adds, end.why);
        End { level, why }
    }

    fn push(&mut self, what: What, adds: f64, before: Why) -> Why {
        // Past four thousand million links the chain's beginning is lost, not its level.
        let index = u32::try_from(self.0.len()).unwrap_or(u32::MAX);
        self.0.push((Link { what, adds }, before));
        Why(index)
    }

    /// The chain's links from its beginning.
    pub(crate) fn links(&self, why: Why) -> Vec<Link> {
        let mut links = Vec::new();
        let mut next = why;
        while let Some((link, before)) = self.0.get(next.0 as usize) {
            links.push(*link);
            next = *before;
        }
        links.reverse();
        links
    }

    /// The chain from its beginning, as spends.
    pub(crate) fn tell(&self, why: Why, problem: &Problem) -> Vec<Spend> {
        told(self.links(why), problem)
    }
}

/// Links as spends, falls along one run gathered into one.
pub(crate) fn told(links: Vec<Link>, problem: &Problem) -> Vec<Spend> {
    let gathered = gather(links);
    let spends = gathered.iter().flat_map(|link| spends(link, problem));
    spends.collect()
}

/// The spends of a chain that begins at a floor and climbs: the same links, counted the other way.
pub(crate) fn climbing(mut chain: Vec<Spend>) -> Vec<Spend> {
    for spend in &mut chain {
        spend.inches = -spend.inches;
        if let SpentOn::Fall { length, .. } = &mut spend.on {
            *length = -*length;
        }
    }
    chain
}

/// Going down a line and up again nets to the part between the two places.
fn gather(links: Vec<Link>) -> Vec<Link> {
    let mut kept: Vec<Link> = Vec::with_capacity(links.len());
    for link in links {
        match kept.last_mut().and_then(|last| netted(last, &link)) {
            Some(net) => {
                kept.pop();
                kept.push(net);
            }
            None => kept.push(link),
        }
    }
    kept.retain(|link| !stands_still(link.what));
    kept
}

fn netted(last: &Link, link: &Link) -> Option<Link> {
    let what = one_line(last.what, link.what)?;
    Some(Link {
        what,
        adds: last.adds + link.adds,
    })
}

/// Two moves along one line at one grade as one move.
fn one_line(first: What, second: What) -> Option<What> {
    use What::{Along, At, Drop, Join, Outside};
    match (first, second) {
        (
            Along {
                run, grade, from, ..
            },
            Along {
                run: r,
                grade: g,
                to,
                ..
            },
        ) if run == r && grade == g => Some(Along {
            run,
            grade,
            from,
            to,
        }),
        (Outside { grade, from, .. }, Outside { grade: g, to, .. })
            if grade.total_cmp(&g).is_eq() =>
        {
            Some(Outside { grade, from, to })
        }
        (At(..) | Along { .. } | Outside { .. } | Join { .. } | Drop { .. }, _) => None,
    }
}

fn stands_still(what: What) -> bool {
    match what {
        What::Along { from, to, .. } | What::Outside { from, to, .. } => (from - to).abs() <= 0.0,
        What::At(..) | What::Join { .. } | What::Drop { .. } => false,
    }
}

fn spends(link: &Link, problem: &Problem) -> Vec<Spend> {
    let inches = -link.adds;
    match link.what {
        What::At(place, side) => vec![Spend {
            inches,
            ..at(problem, place, side, link.adds)
        }],
        What::Along {
            run,
            grade,
            from,
            to,
        } => along(&problem.runs[run], grade, from, to),
        What::Outside { grade, from, to } => outside(problem, grade, to - from, inches),
        What::Join { run, window, low } => vec![join(&problem.runs[run], window, low, inches)],
        What::Drop { way } => {
            let way = &problem.exit.ways[way];
            vec![Spend {
                who: way.who.clone(),
                on: SpentOn::Drop(way.kind),
                inches,
            }]
        }
    }
}

/// The spend of a bound at `level`.
pub(crate) fn at(problem: &Problem, place: Place, side: Side, level: f64) -> Spend {
    let who = problem.member(place, side);
    match side {
        Side::NotAbove => Spend {
            who,
            on: SpentOn::Cap(place),
            inches: -level,
        },
        Side::NotBelow => Spend {
            who,
            on: SpentOn::Floor(place),
            inches: level,
        },
    }
}

fn along(run: &Run, grade: Grade, from: f64, to: f64) -> Vec<Spend> {
    let length = from - to;
    let fall = Spend {
        who: Member::new(run.id.clone(), "fall of the run"),
        on: SpentOn::Fall { grade, length },
        inches: grade.fall_over(length),
    };
    let (low, high, sign) = if from < to {
        (from, to, -1.0)
    } else {
        (to, from, 1.0)
    };
    let passed = run
        .steps
        .iter()
        .filter(|step| step.at >= low && step.at < high);
    let steps = passed.map(|step| Spend {
        who: step.who.clone(),
        on: SpentOn::Step,
        inches: sign * step.drop,
    });
    std::iter::once(fall).chain(steps).collect()
}

fn outside(problem: &Problem, in_per_ft: f64, length: f64, inches: f64) -> Vec<Spend> {
    let grade = Grade::from_in_per_ft(in_per_ft);
    let line = problem.tail.as_ref().zip(grade);
    let spend = line.map(|(tail, grade)| Spend {
        who: Member::new(tail.id.clone(), "fall of the line outside"),
        on: SpentOn::Fall { grade, length },
        inches,
    });
    spend.into_iter().collect()
}

fn join(run: &Run, window: usize, low: bool, inches: f64) -> Spend {
    let windows = run.join.as_ref().map_or(&[][..], |join| &join.windows);
    let taken = &windows[window];
    let gap = windows.iter().any(|w| {
        if low {
            w.low < taken.low
        } else {
            w.high > taken.high
        }
    });
    Spend {
        who: taken.who.clone(),
        on: SpentOn::Join {
            kind: taken.kind,
            gap,
        },
        inches,
    }
}
