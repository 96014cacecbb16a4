//! Solves the levels of a tree of under-slab drain runs: each run's grade and inverts, as shallow as they can be.
//!
//! What is asked stands in [`Problem`]: lines of one grade out of a menu, caps that hold inverts down, floors that
//! hold them up, joins that tie a branch to its parent, the exit, and the line outside to the receiver. [`solve()`]
//! answers with [`Grades`]: always with levels, and where a floor cannot be met with the chain of items that says why
//! and how many inches it is short.
//!
//! What does not belong here: pipe sizes, fittings, codes, houses. Whoever poses the problem has turned those into
//! levels already. Levels are inverts in inches from finished floor, negative below it.
//!
//! # How
//! Going up, each run's feasible outlets are a union of intervals over its menu (`rise`); going down, the greatest
//! level is taken each time (`descend`). There is no search and no tolerance beyond a hair of rounding. Every end of
//! an interval remembers the bound it comes from and the way it came (`trace`), so that the fall budget and the chain
//! of a conflict are read off, not worked out again.
//!
//! # Example
//! An island's 2 in branch runs 17.64 ft, turns into a 3 in trunk of 11 ft, and leaves as 4 in toward a tank 46 ft
//! off whose inlet lies 28.8 in below finished floor. Can it fall?
//!
//! ```
//! use grades::{Bound, Exit, Lie, Limit, Member, Problem, Run, Step, Tail, solve};
//! use units::Grade;
//!
//! let member = |id: &str, says: &str| Member::new(id, says);
//! let trunk = 11.0 * 12.0;
//! let length = trunk + 17.6398 * 12.0;
//! let problem = Problem {
//!     id: "main".into(),
//!     runs: vec![Run {
//!         id: "trunk".into(),
//!         length,
//!         menu: vec![Grade::QUARTER],
//!         steps: vec![
//!             Step { at: 0.0, drop: 0.479, who: member("increaser-4", "3 to 4") },
//!             Step { at: trunk, drop: 0.5005, who: member("increaser-3", "2 to 3") },
//!         ],
//!         bounds: vec![Bound::cap(length, -8.221, member("slab", "2 in pipe under 4 in of slab and a 2 in gap"))],
//!         join: None,
//!     }],
//!     exit: Exit { id: "north wall".into(), ways: vec![] },
//!     tail: Some(Tail {
//!         id: "sewer".into(),
//!         length: 46.0 * 12.0,
//!         lie: Lie::Menu(vec![Grade::QUARTER]),
//!         bounds: vec![Bound::cap(0.0, -16.263, member("ground", "6 in of cover"))],
//!         receiver: Some(Limit { level: -28.8, who: member("tank", "inlet") }),
//!         drop: None,
//!     }),
//! };
//! let grades = solve(&problem)?;
//! assert!(grades.is_feasible());
//! assert!((grades.exit.level + 16.36).abs() < 0.03);
//! assert!((grades.exit.spare().unwrap() - 0.94).abs() < 0.03); // to the tank
//! assert!((grades.exit.headroom().unwrap() - 0.10).abs() < 0.03); // to the ground
//! # Ok::<(), grades::Malformed>(())
//! ```
#![forbid(unsafe_code)]

mod answer;
mod budget;
mod check;
mod conflict;
mod descend;
mod floors;
mod interval;
mod problem;
mod rise;
mod solve;
mod tail;
mod trace;

pub use answer::{Edge, EndDrop, ExitLine, Grades, JoinMade, Line, Met, OutsideLine};
pub use budget::FallPath;
pub use check::Malformed;
pub use conflict::Conflict;
pub use problem::{
    Bound, DropRoom, Exit, Join, JoinKind, Lie, Limit, Member, Place, Problem, Run, Side, Step,
    Tail, Way, WayKind, Window,
};
pub use solve::solve;
pub use trace::{Spend, SpentOn};
