//! Mends: changes to members of a conflict, each tried by running the flow again, told with what it brings. What does not
//! work is not told.
//!
//! The order is the builder's own: first what costs nothing (a flatter lawful grade), then a larger pipe that may lie
//! flatter, then a higher floor, another way out, the line outside and the tank; a pump last of all, and only for
//! fixtures that cannot fall.

mod edits;
mod lawful;
mod pump;
mod trials;

use grades::Grades;
use layout::Edit;
use units::Id;

use crate::{Inputs, Outcome};

/// Mends are tried for so many drains. A house has one or two; a file with more in conflict is a street or a bench, where
/// the first ones teach enough.
const MOST_DRAINS: usize = 4;

/// A change that was tried and works.
#[derive(Clone, PartialEq, Debug)]
pub struct Tried {
    /// The drain it mends.
    pub drain: Id,
    /// What to do and who allows it, in words, without the outcome's figures.
    pub says: String,
    /// The figure the words turn on, in inches: how much higher the floor, how much lower the tank, how long the line
    /// outside may be. `None` where it turns on no figure.
    pub figure: Option<f64>,
    /// The change to the document ([`layout::apply`] makes it); `None` for a pump, which is not drawn.
    pub edit: Option<Edit>,
    /// Inches then spare at the exit; `None` when nothing outside holds it up.
    pub spare: Option<f64>,
    /// Exit invert then.
    pub exit_invert: f64,
}

/// The mends of every drain in conflict, drain by drain, in the order to think of them.
pub fn mends(inputs: &Inputs, outcome: &Outcome) -> Vec<Tried> {
    let short = outcome
        .grades
        .iter()
        .enumerate()
        .filter(|(_, grades)| !grades.is_feasible());
    short
        .take(MOST_DRAINS)
        .flat_map(|(tree, _)| trials::Trials::new(inputs, outcome, tree).tried())
        .collect()
}

/// The most inches any floor of these levels must give; 0 when all are met.
fn short_by(grades: &Grades) -> f64 {
    grades
        .conflicts
        .iter()
        .map(|conflict| conflict.short)
        .fold(0.0, f64::max)
}
