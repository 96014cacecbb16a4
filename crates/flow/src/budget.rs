//! The fall budget of each drain, as people ask for it: who spends how many inches on the path that controls, what is
//! spare or short. The sums are `grades`' own; this file only picks the path and gathers what belongs together.

use fittings::Assembly;
use grades::{Grades, Place, Problem, Spend, SpentOn};
use layout::{Layout, Receiver};
use network::Tree;
use units::Id;

use crate::Outcome;

/// The fall budget of one drain.
#[derive(Clone, PartialEq, Debug)]
pub struct Budget {
    /// The drain.
    pub drain: Id,
    /// Whether every bound is met.
    pub feasible: bool,
    /// The run the controlling path starts on; the trunk when something outside controls.
    pub start: Id,
    /// Invert at that run's upstream end.
    pub start_invert: f64,
    /// Invert at the outside face of the foundation.
    pub exit_invert: f64,
    /// What the drain goes to; `None` when not told.
    pub receiver: Option<Receiver>,
    /// Who spends the inches from finished floor down to the end of the line outside, upstream to downstream.
    pub spends: Vec<Share>,
    /// Inches the exit could sink before a floor outside is reached; `None` when nothing holds it up or it is short.
    pub spare: Option<f64>,
    /// The item that holds the exit up: who the spare is measured to.
    pub held_by: Option<Share>,
    /// Inches the exit could rise before something outside presses on it; `None` when nothing does.
    pub headroom: Option<f64>,
    /// Inches short: the most that any floor must give. `None` when every bound is met.
    pub short: Option<f64>,
    /// The items on the controlling path, each once.
    pub controls: Vec<Id>,
    /// The items of the conflict, each once; empty when there is none.
    pub chain: Vec<Id>,
}

/// Inches of the budget under one item's name.
#[derive(Clone, PartialEq, Debug)]
pub struct Share {
    /// The item.
    pub who: Id,
    /// What about it, in a few words.
    pub says: String,
    /// Inches; negative where the line rises.
    pub inches: f64,
}

impl From<&Spend> for Share {
    fn from(spend: &Spend) -> Self {
        Self {
            who: spend.who.id.clone(),
            says: spend_says(spend),
            inches: spend.inches,
        }
    }
}

fn spend_says(spend: &Spend) -> String {
    match spend.on {
        SpentOn::Fall { grade, length } => {
            let long = units::feet_inches(length.abs(), 1);
            format!(
                "{} of {long} at {grade}",
                spend.who.says.trim_end_matches(" of the run")
            )
        }
        SpentOn::Cap(_)
        | SpentOn::Step
        | SpentOn::Join { .. }
        | SpentOn::Drop(_)
        | SpentOn::Floor(_) => spend.who.says.to_string(),
    }
}

/// The budget of every drain that has levels, in the network's order.
pub fn budget(outcome: &Outcome) -> Vec<Budget> {
    let drains = outcome
        .network
        .trees
        .iter()
        .zip(&outcome.posed)
        .zip(&outcome.grades);
    drains
        .map(|((tree, problem), grades)| of_drain(&outcome.layout, tree, problem, grades))
        .collect()
}

pub(crate) fn of_drain(layout: &Layout, tree: &Tree, problem: &Problem, grades: &Grades) -> Budget {
    let start = starts_on(grades);
    let short = grades
        .conflicts
        .iter()
        .map(|conflict| conflict.short)
        .max_by(f64::total_cmp);
    let feasible = grades.is_feasible();
    let lowest = grades.exit.lowest.as_ref().filter(|_| feasible);
    Budget {
        drain: tree.id.clone(),
        feasible,
        start: problem.runs[start].id.clone(),
        start_invert: grades.lines[start].inlet,
        exit_invert: grades.exit.level,
        receiver: layout.drains[tree.drain].receiver.clone(),
        spends: spends(problem, grades),
        spare: grades.exit.spare().filter(|_| feasible),
        held_by: lowest.and_then(|edge| edge.chain.first()).map(Share::from),
        headroom: grades.exit.headroom(),
        short,
        controls: grades.controls(),
        chain: chain(grades),
    }
}

/// The run whose cap fixes the exit's level; the trunk when a cap outside does.
fn starts_on(grades: &Grades) -> usize {
    match grades.exit.why.first().map(|spend| spend.on) {
        Some(SpentOn::Cap(Place::Run { run, .. })) => run,
        Some(
            SpentOn::Cap(Place::Receiver | Place::Tail(_) | Place::Way(_))
            | SpentOn::Fall { .. }
            | SpentOn::Step
            | SpentOn::Join { .. }
            | SpentOn::Drop(_)
            | SpentOn::Floor(_),
        )
        | None => 0,
    }
}

/// Down to the exit, then the line outside; what is nothing is left out.
fn spends(problem: &Problem, grades: &Grades) -> Vec<Share> {
    let mut shares: Vec<Share> = grades.exit.why.iter().map(Share::from).collect();
    if let (Some(line), Some(tail)) = (&grades.outside, &problem.tail) {
        let long = units::feet_inches(tail.length, 1);
        let grade = units::Grade::from_in_per_ft(line.in_per_ft)
            .map_or(String::new(), |g| format!(" at {g} in per ft"));
        shares.push(Share {
            who: line.id.clone(),
            says: format!("line outside, {long}{grade}"),
            inches: line.start - line.end,
        });
    }
    shares.retain(|share| share.inches.abs() > units::SAME_LENGTH);
    shares
}

fn chain(grades: &Grades) -> Vec<Id> {
    let mut ids: Vec<Id> = Vec::new();
    for spend in grades.conflicts.iter().flat_map(|conflict| &conflict.chain) {
        if !ids.contains(&spend.who.id) {
            ids.push(spend.who.id.clone());
        }
    }
    ids
}

/// Least room between a run's crown and the lowest concrete, foam or sheet above it, over its whole length, zone by zone;
/// negative inside. `None` without a slab.
///
/// A crown never rises downstream and the floor above it is a set of steps, so the upstream end of each stretch of one
/// zone decides; stretches are found where the run's tubes cross the outlines of the zones.
pub fn cover_min(outcome: &Outcome, tree: usize, run: usize) -> Option<f64> {
    let slab = outcome.layout.slab.as_ref()?;
    let (line, run) = (
        grade_line(&outcome.assembly, tree, run)?,
        &outcome.network.trees.get(tree)?.runs[run],
    );
    let room = |station: f64, inside: glam::DVec2| {
        let pipe = outcome
            .catalog
            .pipe(run.size_at((station - 2.0 * units::SAME_LENGTH).max(0.0)));
        fittings::cover_over(slab, inside) - (line.level_at(station) + pipe.od - pipe.wall)
    };
    let stretches = fittings::stretches(slab, run);
    stretches
        .into_iter()
        .map(|(station, inside)| room(station, inside))
        .min_by(f64::total_cmp)
}

/// The least of [`cover_min`] over a drain's runs, with the run it is over.
pub fn least_cover<'a>(outcome: &'a Outcome, drain: &Id) -> Option<(f64, &'a Id)> {
    let trees = &outcome.network.trees;
    let tree = trees.iter().position(|tree| tree.id == *drain)?;
    let runs = trees[tree].runs.iter().enumerate();
    let covers = runs.filter_map(|(r, run)| Some((cover_min(outcome, tree, r)?, &run.id)));
    covers.min_by(|a, b| a.0.total_cmp(&b.0))
}

fn grade_line(assembly: &Assembly, tree: usize, run: usize) -> Option<&grades::Line> {
    assembly.runs.get(tree)?.get(run)
}
