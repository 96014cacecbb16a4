//! Where the cleanouts of each drain stand.

use network::{Start, Tree};
use units::{SAME_LENGTH, Size};

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

/// A cleanout's own size: as told, else that of the run that leads to it, else that of the pipe it serves.
pub(crate) fn own_size(case: &Case, t: usize, placed: &Placed) -> Size {
    let lead = || Some(case.network.trees[t].runs[placed.lead?].inlet_size());
    let told = case.layout.cleanouts[placed.index].size;
    told.or_else(lead)
        .unwrap_or_else(|| pipe_of(case, t, placed))
}

/// How far a cleanout stands from a place on its drain.
pub(crate) struct Off {
    /// Developed inches.
    pub(crate) far: f64,
    /// Whether a cable put into it comes by: with the flow from one upstream, against it from one downstream.
    pub(crate) reaches: bool,
    pub(crate) index: usize,
}

/// The cleanouts of a tree as seen from a place on it, nearest first.
pub(crate) fn seen_from(
    case: &Case,
    tree: &Tree,
    placed: &[Placed],
    run: usize,
    station: f64,
) -> Vec<Off> {
    let here = reach::way(tree, run, station);
    let to = |c: &Placed| {
        let met = reach::meeting(&here, &reach::way(tree, c.run, c.station))?;
        let cleans = case.layout.cleanouts[c.index].cleans;
        let [down, up] = met.after.map(|along| along > SAME_LENGTH);
        Some(Off {
            far: met.after[0] + met.after[1],
            reaches: (!down || cleans.upstream()) && (!up || cleans.downstream()),
            index: c.index,
        })
    };
    let mut seen: Vec<Off> = placed.iter().filter_map(to).collect();
    seen.sort_by(|a, b| a.far.total_cmp(&b.far));
    seen
}

/// Developed inches between a place on a tree and the nearest of its cleanouts.
pub(crate) fn nearest(
    case: &Case,
    tree: &Tree,
    placed: &[Placed],
    run: usize,
    station: f64,
) -> Option<f64> {
    seen_from(case, tree, placed, run, station)
        .first()
        .map(|off| off.far)
}
