//! Where the cleanouts of each drain stand.

use network::{Start, Tree};
use units::Size;

use crate::{Case, reach};

/// How far outside the wall the building drain ends and the sewer begins, inches: 30 as a code forum tells of the IPC.
pub(crate) const DRAIN_ENDS: f64 = 30.0;

/// A cleanout on a drain.
pub(crate) struct Placed {
    /// Index into the layout's cleanouts.
    pub(crate) index: usize,
    pub(crate) run: usize,
    /// Station on that run; on the line outside a negative one of run 0.
    pub(crate) station: f64,
    /// The run that leads to it, where it is led off the run it serves.
    pub(crate) lead: Option<usize>,
}

/// The cleanouts of one tree, in the layout's order.
pub(crate) fn of_tree(case: &Case, t: usize) -> Vec<Placed> {
    let tree = &case.network.trees[t];
    let own = case.cleanouts(t);
    own.filter_map(|(index, cleanout)| {
        let (run, station, lead) = place(case, tree, index, cleanout)?;
        Some(Placed {
            index,
            run,
            station,
            lead,
        })
    })
    .collect()
}

fn place(
    case: &Case,
    tree: &Tree,
    index: usize,
    cleanout: &layout::Cleanout,
) -> Option<(usize, f64, Option<usize>)> {
    if let Some(drain) = &cleanout.outside {
        let exit = case.layout.drains[tree.drain].exit.at;
        return (*drain == tree.id).then(|| (0, -exit.distance(cleanout.at), None));
    }
    if let Some(on) = &cleanout.on {
        let (_, run) = case.run(on)?;
        return Some((run, tree.runs[run].path.nearest(cleanout.at).0, None));
    }
    let run = tree
        .runs
        .iter()
        .position(|run| run.start == Start::Cleanout(index))?;
    // One that nothing drains past is how a floor cleanout is led off the run it serves.
    Some(
        match tree.runs[run]
            .join
            .filter(|_| tree.runs[run].fixtures.is_empty())
        {
            Some(join) => (join.parent, join.at, Some(run)),
            None => (run, tree.runs[run].path.length(), None),
        },
    )
}

/// The size of the pipe a cleanout serves, where it serves it.
pub(crate) fn pipe_of(case: &Case, t: usize, placed: &Placed) -> Size {
    let run = &case.network.trees[t].runs[placed.run];
    if placed.station < 0.0 {
        return case.drain(t).line.size.unwrap_or(run.outlet_size());
    }
    run.size_at(placed.station)
}

/// Developed inches between a place on a tree and the nearest of its cleanouts.
pub(crate) fn nearest(tree: &Tree, placed: &[Placed], run: usize, station: f64) -> Option<f64> {
    let here = reach::way(tree, run, station);
    let to = |c: &Placed| {
        reach::meeting(&here, &reach::way(tree, c.run, c.station)).map(|m| m.after[0] + m.after[1])
    };
    placed.iter().filter_map(to).min_by(f64::total_cmp)
}
