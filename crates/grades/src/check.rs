//! Problems that cannot be solved because they are not problems: numbers that are none, places outside their line.

use std::fmt;

use units::{Grade, Id};

use crate::problem::{Bound, DropRoom, Exit, Join, Lie, Problem, Run, Step, Tail, Way};

/// No length, level or grade may be larger than this, inches: sixteen thousand miles of pipe, and sums stay finite.
const LARGEST: f64 = 1e9;

/// Why a problem cannot be taken on.
#[derive(Clone, PartialEq, Debug)]
pub enum Malformed {
    /// There is no trunk.
    NoRuns,
    /// A number is NaN, infinite or absurd.
    Number {
        /// The item.
        id: Id,
        /// Which of its numbers.
        what: &'static str,
    },
    /// A length is negative, or zero where it may not be.
    Length {
        /// The item.
        id: Id,
    },
    /// A line has no grade to choose from.
    NoGrade {
        /// The line.
        id: Id,
    },
    /// A branch without a join, a trunk with one, or a parent that does not stand before its branch.
    Order {
        /// The run.
        id: Id,
    },
    /// A join without a window.
    NoWindow {
        /// The run.
        id: Id,
    },
    /// The low of an interval is above its high.
    UpsideDown {
        /// The item.
        id: Id,
        /// Which interval.
        what: &'static str,
    },
    /// A place outside the line it is on.
    Outside {
        /// The line.
        id: Id,
        /// What stands there.
        what: &'static str,
        /// Inches along the line.
        at: f64,
        /// The line's length.
        length: f64,
    },
    /// A straight tail has no receiver to run to.
    NoReceiver {
        /// The tail.
        id: Id,
    },
    /// Nothing holds the line down: no cap reaches it.
    NoCap {
        /// The run, or the exit.
        id: Id,
    },
    /// The floors leave so many separate intervals that the solver gives up.
    TooManyChoices {
        /// The run where the count passed the limit.
        id: Id,
    },
}

impl fmt::Display for Malformed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoRuns => write!(f, "the drain has no run; it needs at least its trunk"),
            Self::Number { id, what } => {
                write!(f, "the {what} of {id} is not a usable number of inches")
            }
            Self::Length { id } => write!(
                f,
                "the length of {id} must not be negative, nor zero for a straight line outside"
            ),
            Self::NoGrade { id } => {
                write!(f, "{id} has no grade to choose from; name at least one")
            }
            Self::Order { id } => write!(
                f,
                "{id} must join a run listed before it, and only the first run joins none"
            ),
            Self::NoWindow { id } => {
                write!(f, "{id} has no way to join its parent; name at least one")
            }
            Self::UpsideDown { id, what } => {
                write!(f, "the {what} of {id} has its low above its high")
            }
            Self::Outside {
                id,
                what,
                at,
                length,
            } => {
                write!(
                    f,
                    "a {what} stands at {at} in along {id}, which is {length} in long (a step must lie before the inlet)"
                )
            }
            Self::NoReceiver { id } => write!(
                f,
                "{id} lies straight to a receiver, but no receiver level is given"
            ),
            Self::NoCap { id } => write!(
                f,
                "nothing holds {id} down; it needs a cap such as the underside of the slab"
            ),
            Self::TooManyChoices { id } => write!(
                f,
                "the given levels leave too many combinations at {id}; give fewer levels or grades"
            ),
        }
    }
}

impl std::error::Error for Malformed {}

impl Problem {
    /// Looks for what makes the problem unusable.
    ///
    /// # Errors
    /// The first mistake found, runs first, then the exit, then the tail.
    pub fn check(&self) -> Result<(), Malformed> {
        if self.runs.is_empty() {
            return Err(Malformed::NoRuns);
        }
        for (index, run) in self.runs.iter().enumerate() {
            check_run(run)?;
            check_place(&self.runs, index)?;
        }
        check_exit(&self.exit)?;
        self.tail.as_ref().map_or(Ok(()), check_tail)
    }
}

fn check_run(run: &Run) -> Result<(), Malformed> {
    check_length(&run.id, run.length, false)?;
    check_menu(&run.id, &run.menu)?;
    for step in &run.steps {
        check_step(run, step)?;
    }
    check_bounds(&run.id, run.length, &run.bounds)
}

fn check_step(run: &Run, step: &Step) -> Result<(), Malformed> {
    number(&run.id, "step", step.drop)?;
    if step.at >= 0.0 && step.at < run.length {
        return Ok(());
    }
    let (id, what) = (run.id.clone(), "step");
    Err(Malformed::Outside {
        id,
        what,
        at: step.at,
        length: run.length,
    })
}

fn check_place(runs: &[Run], index: usize) -> Result<(), Malformed> {
    let id = &runs[index].id;
    match (&runs[index].join, index) {
        (None, 0) => Ok(()),
        (Some(join), 1..) if join.parent < index => check_join(id, join, runs[join.parent].length),
        (Some(_) | None, _) => Err(Malformed::Order { id: id.clone() }),
    }
}

fn check_join(id: &Id, join: &Join, length: f64) -> Result<(), Malformed> {
    inside(id, "join", join.at, length)?;
    if join.windows.is_empty() {
        return Err(Malformed::NoWindow { id: id.clone() });
    }
    join.windows
        .iter()
        .try_for_each(|w| span(id, "join window", w.low, w.high))
}

fn check_exit(exit: &Exit) -> Result<(), Malformed> {
    exit.ways
        .iter()
        .try_for_each(|way| check_way(&exit.id, way))
}

fn check_way(id: &Id, way: &Way) -> Result<(), Malformed> {
    for limit in [&way.low, &way.high].into_iter().flatten() {
        number(id, "limit", limit.level)?;
    }
    span(id, "drop", way.drop_least, way.drop_most)?;
    match (&way.low, &way.high) {
        (Some(low), Some(high)) if low.level > high.level => Err(Malformed::UpsideDown {
            id: way.who.id.clone(),
            what: "way out",
        }),
        (Some(_) | None, Some(_) | None) => Ok(()),
    }
}

fn check_tail(tail: &Tail) -> Result<(), Malformed> {
    check_bounds(&tail.id, tail.length, &tail.bounds)?;
    if let Some(receiver) = &tail.receiver {
        number(&tail.id, "receiver", receiver.level)?;
    }
    if let Some(DropRoom {
        least,
        before,
        after,
    }) = tail.drop
    {
        for inches in [least, before, after] {
            check_length(&tail.id, inches, true)?;
        }
    }
    match &tail.lie {
        Lie::Menu(menu) => {
            check_length(&tail.id, tail.length, false)?;
            check_menu(&tail.id, menu)
        }
        Lie::Straight(_) if tail.receiver.is_none() => Err(Malformed::NoReceiver {
            id: tail.id.clone(),
        }),
        Lie::Straight(least) => {
            check_length(&tail.id, tail.length, true)?;
            check_menu(&tail.id, &[*least])
        }
    }
}

fn check_length(id: &Id, length: f64, above_zero: bool) -> Result<(), Malformed> {
    number(id, "length", length)?;
    let bad = length < 0.0 || (above_zero && length <= 0.0);
    if bad {
        Err(Malformed::Length { id: id.clone() })
    } else {
        Ok(())
    }
}

fn check_menu(id: &Id, menu: &[Grade]) -> Result<(), Malformed> {
    if menu.is_empty() {
        return Err(Malformed::NoGrade { id: id.clone() });
    }
    menu.iter()
        .try_for_each(|grade| number(id, "grade", grade.in_per_ft()))
}

fn check_bounds(id: &Id, length: f64, bounds: &[Bound]) -> Result<(), Malformed> {
    for bound in bounds {
        number(id, "bound", bound.level)?;
        inside(id, "bound", bound.at, length)?;
    }
    Ok(())
}

fn inside(id: &Id, what: &'static str, at: f64, length: f64) -> Result<(), Malformed> {
    if (0.0..=length).contains(&at) {
        return Ok(());
    }
    Err(Malformed::Outside {
        id: id.clone(),
        what,
        at,
        length,
    })
}

fn span(id: &Id, what: &'static str, low: f64, high: f64) -> Result<(), Malformed> {
    number(id, what, low)?;
    if high != f64::INFINITY {
        number(id, what, high)?;
    }
    if low > high {
        Err(Malformed::UpsideDown {
            id: id.clone(),
            what,
        })
    } else {
        Ok(())
    }
}

fn number(id: &Id, what: &'static str, value: f64) -> Result<(), Malformed> {
    if value.abs() <= LARGEST {
        Ok(())
    } else {
        Err(Malformed::Number {
            id: id.clone(),
            what,
        })
    }
}
