//! What is asked: runs, bounds, joins, the exit and the line outside it. No arithmetic beyond a run's own line.

use std::sync::Arc;

use units::{Grade, Id};

/// Who stands behind a number: the item, and in plain words what about it.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Member {
    /// The item in the layout.
    pub id: Id,
    /// What about it, in a few words: `underside of the foam`, `tank inlet, told`.
    pub says: Arc<str>,
}

impl Member {
    /// A member from its id and its words.
    pub fn new(id: impl Into<Id>, says: &str) -> Self {
        Self {
            id: id.into(),
            says: says.into(),
        }
    }
}

/// One drain: a tree of runs, its way out of the foundation, and the line outside.
///
/// Runs stand in preorder: a parent before its branches, the trunk first. The trunk's outlet is just inside the exit.
#[derive(Clone, PartialEq, Debug)]
pub struct Problem {
    /// The drain's name.
    pub id: Id,
    /// The runs; index 0 is the trunk.
    pub runs: Vec<Run>,
    /// How the drain may leave.
    pub exit: Exit,
    /// The line from the exit to the receiver; `None` when nothing outside is told.
    pub tail: Option<Tail>,
}

/// A line of one grade after its steps are added back.
///
/// Its invert at `s` inches upstream of its outlet is `outlet + grade × s / 12 + the drops of all steps at < s`:
/// **at a step itself the level is the one downstream of it**, so an increaser at 0 stands wholly inside the run.
#[derive(Clone, PartialEq, Debug)]
pub struct Run {
    /// The run's name.
    pub id: Id,
    /// Developed plan length, inches, at least 0.
    pub length: f64,
    /// The grades it may have; not empty, any order.
    pub menu: Vec<Grade>,
    /// Where its invert steps down, any order.
    pub steps: Vec<Step>,
    /// What holds it down or up, any order.
    pub bounds: Vec<Bound>,
    /// Where it joins its parent; `None` for the trunk only.
    pub join: Option<Join>,
}

/// A step down of the invert in the direction of flow: an increaser, a drop inside a line.
#[derive(Clone, PartialEq, Debug)]
pub struct Step {
    /// Inches upstream of the run's outlet: at least 0, less than the run's length (a step at the very inlet belongs
    /// to the join or to the bound there).
    pub at: f64,
    /// Inches the invert falls; a reducer in the direction of flow would be negative.
    pub drop: f64,
    /// The fitting.
    pub who: Member,
}

/// Which side of a level the invert must stay on.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Side {
    /// A cap: the invert is at most the level. Caps never give way.
    NotAbove,
    /// A floor: the invert is at least the level. Floors give way, in the order told in [`crate::solve()`].
    NotBelow,
}

/// A cap or a floor at one place along a line.
#[derive(Clone, PartialEq, Debug)]
pub struct Bound {
    /// Inches along the line: upstream of the outlet for a run, downstream of the exit for the tail.
    pub at: f64,
    /// Invert level, inches from finished floor.
    pub level: f64,
    /// Cap or floor.
    pub side: Side,
    /// Whose it is.
    pub who: Member,
}

impl Bound {
    /// A cap: the invert at `at` is at most `level`.
    pub fn cap(at: f64, level: f64, who: Member) -> Self {
        let side = Side::NotAbove;
        Self {
            at,
            level,
            side,
            who,
        }
    }

    /// A floor: the invert at `at` is at least `level`.
    pub fn floor(at: f64, level: f64, who: Member) -> Self {
        let side = Side::NotBelow;
        Self {
            at,
            level,
            side,
            who,
        }
    }

    /// A measured level: a cap and a floor of the same level.
    pub fn pin(at: f64, level: f64, who: Member) -> [Self; 2] {
        [
            Self::cap(at, level, who.clone()),
            Self::floor(at, level, who),
        ]
    }
}

/// Where a branch's outlet meets its parent.
#[derive(Clone, PartialEq, Debug)]
pub struct Join {
    /// Index of the parent, less than the branch's own.
    pub parent: usize,
    /// Inches upstream of the parent's outlet.
    pub at: f64,
    /// What the branch outlet's invert less the parent's invert there may be; not empty.
    pub windows: Vec<Window>,
}

/// How a branch enters its parent, in order of preference when levels are equal.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum JoinKind {
    /// Side by side, the fitting lying flat.
    Flat,
    /// The branch rolled up about the parent's axis.
    RolledUp,
    /// The branch comes from above and drops in.
    Dropped,
}

/// One closed interval of branch outlet invert less parent invert, inches.
#[derive(Clone, PartialEq, Debug)]
pub struct Window {
    /// The way of joining.
    pub kind: JoinKind,
    /// The least difference, finite.
    pub low: f64,
    /// The most, at least `low`; may be `f64::INFINITY`.
    pub high: f64,
    /// The fitting.
    pub who: Member,
}

/// How the drain may pass the foundation. No ways: straight through, at any level.
#[derive(Clone, PartialEq, Debug)]
pub struct Exit {
    /// The exit's name.
    pub id: Id,
    /// The ways, preferred first when levels are equal.
    pub ways: Vec<Way>,
}

/// What a way out passes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum WayKind {
    /// Through the stem wall or the slab edge.
    Through,
    /// Under the footing.
    Under,
}

/// One interval of exit inverts, at the outside face of the foundation.
#[derive(Clone, PartialEq, Debug)]
pub struct Way {
    /// What it passes.
    pub kind: WayKind,
    /// The lowest exit invert (top of footing and the sleeve's wall), a floor.
    pub low: Option<Limit>,
    /// The highest (sleeve top, underside of the footing, cover), a cap.
    pub high: Option<Limit>,
    /// The least the line drops between the trunk's outlet and the exit (two 45s), inches; usually 0.
    pub drop_least: f64,
    /// The most; at least `drop_least`, may be `f64::INFINITY`. 0 and 0 for a straight pass.
    pub drop_most: f64,
    /// The opening, sleeve or drop.
    pub who: Member,
}

/// A named level, inches from finished floor.
#[derive(Clone, PartialEq, Debug)]
pub struct Limit {
    /// The level.
    pub level: f64,
    /// Whose it is.
    pub who: Member,
}

/// The line outside, from the exit down to the receiver.
#[derive(Clone, PartialEq, Debug)]
pub struct Tail {
    /// The line's name.
    pub id: Id,
    /// Developed plan length from the exit, inches.
    pub length: f64,
    /// How it may lie.
    pub lie: Lie,
    /// Cover, frost and crossings along it; `at` counts downstream from the exit.
    pub bounds: Vec<Bound>,
    /// The receiver's invert: a floor for the line's end.
    pub receiver: Option<Limit>,
    /// How a line of a menu may come down to its receiver; `None`: it ends where it lies.
    pub drop: Option<DropRoom>,
}

/// Room for two eighth bends before the receiver.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct DropRoom {
    /// The least two bends drop, inches.
    pub least: f64,
    /// Inches of line kept before the upper bend.
    pub before: f64,
    /// Inches of line kept after the lower bend.
    pub after: f64,
}

impl DropRoom {
    /// Where two eighth bends take a line that ends `inches` too high down to its receiver: (station of the upper bend, of
    /// the lower), inches downstream of the exit. The way between them lies 45 degrees under the line, and the line goes on
    /// at its own grade after it. `None` for less than the least drop, and where the line is too short.
    pub fn bends(&self, length: f64, in_per_ft: f64, inches: f64) -> Option<(f64, f64)> {
        let slope = in_per_ft / 12.0;
        let leg = (std::f64::consts::FRAC_PI_4 + slope.atan()).tan() - slope;
        let to = length - self.after;
        let from = to - inches / leg;
        (inches >= self.least && from >= self.before).then_some((from, to))
    }
}

/// How the line outside may lie.
#[derive(Clone, PartialEq, Debug)]
pub enum Lie {
    /// At one of these grades; the steepest that holds is taken. It may end above the receiver's invert and drop in.
    Menu(Vec<Grade>),
    /// Straight from the exit to the receiver's invert, at this grade or steeper. Needs a receiver and a length.
    Straight(Grade),
}

impl Run {
    /// Inches the invert at `at` stands above the outlet's, at `grade`. `at` inches upstream of the outlet.
    pub fn rise(&self, grade: Grade, at: f64) -> f64 {
        grade.fall_over(at) + self.stepped(at)
    }

    fn stepped(&self, at: f64) -> f64 {
        self.steps
            .iter()
            .filter(|s| s.at < at)
            .map(|s| s.drop)
            .sum()
    }
}

/// Where a bound stands in its problem.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Place {
    /// The receiver of the tail.
    Receiver,
    /// `tail.bounds[_]`.
    Tail(usize),
    /// The low or the high of `exit.ways[_]`.
    Way(usize),
    /// `runs[run].bounds[bound]`.
    Run {
        /// Index of the run.
        run: usize,
        /// Index of the bound in the run.
        bound: usize,
    },
}

impl Problem {
    /// Whose the bound at `place` is; for a way the side tells its low from its high. The drain itself when there is
    /// no such bound.
    pub fn member(&self, place: Place, side: Side) -> Member {
        let bound = |b: &Bound| b.who.clone();
        let limit = |l: &Limit| l.who.clone();
        let tail = self.tail.as_ref();
        let found = match place {
            Place::Receiver => tail.and_then(|t| t.receiver.as_ref()).map(limit),
            Place::Tail(k) => tail.and_then(|t| t.bounds.get(k)).map(bound),
            Place::Way(k) => self.exit.ways.get(k).and_then(|way| match side {
                Side::NotAbove => way.high.as_ref().map(limit),
                Side::NotBelow => way.low.as_ref().map(limit),
            }),
            Place::Run { run, bound: k } => {
                self.runs.get(run).and_then(|r| r.bounds.get(k)).map(bound)
            }
        };
        found.unwrap_or_else(|| Member::new(self.id.clone(), "the drain"))
    }
}
