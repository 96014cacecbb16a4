//! The floors of a problem in the order they are honoured, and how far each is held.

use crate::problem::{Place, Problem, Side};

/// A problem with what every pass looks up: branches by parent, and the floors in order.
pub(crate) struct Posed<'a> {
    pub(crate) problem: &'a Problem,
    /// Branches of each run, in preorder.
    pub(crate) branches: Vec<Vec<usize>>,
    /// Every floor, the first honoured first. All ways out are one item, told as the first of them.
    pub(crate) order: Vec<Place>,
    /// Where each run's floors stand in `order`; one entry more than there are runs.
    pub(crate) run_floors: Vec<usize>,
}

impl<'a> Posed<'a> {
    pub(crate) fn new(problem: &'a Problem) -> Self {
        let mut branches = vec![Vec::new(); problem.runs.len()];
        for (index, run) in problem.runs.iter().enumerate() {
            if let Some(join) = &run.join {
                branches[join.parent].push(index);
            }
        }
        let mut order = outer_floors(problem);
        let mut run_floors = Vec::with_capacity(problem.runs.len() + 1);
        for index in 0..problem.runs.len() {
            run_floors.push(order.len());
            order.extend(floors_of(problem, index));
        }
        run_floors.push(order.len());
        Self {
            problem,
            branches,
            order,
            run_floors,
        }
    }

    /// Every floor as it was given.
    pub(crate) fn given(&self) -> Held {
        let levels = self.order.iter().map(|place| self.floor(*place)).collect();
        let low =
            |way: &crate::problem::Way| way.low.as_ref().map_or(f64::NEG_INFINITY, |l| l.level);
        let ways = self.problem.exit.ways.iter().map(low).collect();
        Held {
            levels,
            ways,
            upto: self.order.len(),
        }
    }

    fn floor(&self, place: Place) -> f64 {
        let tail = self.problem.tail.as_ref();
        let level = match place {
            Place::Receiver => tail.and_then(|t| t.receiver.as_ref()).map(|r| r.level),
            Place::Tail(k) => tail.map(|t| t.bounds[k].level),
            Place::Way(_) => None,
            Place::Run { run, bound } => Some(self.problem.runs[run].bounds[bound].level),
        };
        level.unwrap_or(f64::NEG_INFINITY)
    }

    /// Where the ways' item stands in the order, if any way has a low.
    pub(crate) fn ways_item(&self) -> Option<usize> {
        let outer = &self.order[..self.run_floors[0]];
        outer
            .iter()
            .position(|place| matches!(place, Place::Way(_)))
    }
}

/// The receiver, the floors along the line outside, the ways out.
fn outer_floors(problem: &Problem) -> Vec<Place> {
    let mut order = Vec::new();
    if let Some(tail) = &problem.tail {
        order.extend(tail.receiver.as_ref().map(|_| Place::Receiver));
        let bounds = tail.bounds.iter().enumerate();
        order.extend(
            bounds
                .filter(|(_, b)| b.side == Side::NotBelow)
                .map(|(k, _)| Place::Tail(k)),
        );
    }
    if problem.exit.ways.iter().any(|way| way.low.is_some()) {
        order.push(Place::Way(0));
    }
    order
}

/// A run's floors from its outlet up.
fn floors_of(problem: &Problem, run: usize) -> Vec<Place> {
    let bounds = &problem.runs[run].bounds;
    let is_floor = |k: &usize| bounds[*k].side == Side::NotBelow;
    let mut floors: Vec<usize> = (0..bounds.len()).filter(is_floor).collect();
    floors.sort_by(|x, y| bounds[*x].at.total_cmp(&bounds[*y].at));
    floors
        .into_iter()
        .map(|bound| Place::Run { run, bound })
        .collect()
}

/// How far each floor is held: the first `upto` of the order at their levels, the rest not at all.
#[derive(Clone)]
pub(crate) struct Held {
    /// Level of each floor of the order; the ways' own entry is not used.
    pub(crate) levels: Vec<f64>,
    /// Low of each way out.
    pub(crate) ways: Vec<f64>,
    /// How many of the order are held.
    pub(crate) upto: usize,
}

impl Held {
    /// The level at which floor `item` of the order is held; −∞ when it is not.
    pub(crate) fn level(&self, item: usize) -> f64 {
        if item < self.upto {
            self.levels[item]
        } else {
            f64::NEG_INFINITY
        }
    }

    /// The low at which way `way` is held.
    pub(crate) fn way(&self, posed: &Posed, way: usize) -> f64 {
        let held = posed.ways_item().is_some_and(|item| item < self.upto);
        if held {
            self.ways[way]
        } else {
            f64::NEG_INFINITY
        }
    }
}
