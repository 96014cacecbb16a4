//! Which pipe a cable from some cleanout comes to: with the flow from one that cleans downstream, against it from one that
//! cleans upstream.

use network::{Start, Tree};
use units::SAME_LENGTH;

use crate::{Case, cleanouts::Placed};

/// Pipe that several fixtures share and that no cable comes to.
pub(crate) struct Unreached {
    /// Developed inches of it in the whole tree.
    pub(crate) length: f64,
    /// The run and the station at the upper end of its longest piece.
    pub(crate) run: usize,
    pub(crate) station: f64,
}

/// What no cable of `most` inches comes to; `None`: nothing. A single fixture's drain does not count, for its trap comes
/// off; nor does the line outside.
pub(crate) fn unreached(
    case: &Case,
    tree: &Tree,
    placed: &[Placed],
    most: f64,
) -> Option<Unreached> {
    let mut longest: Option<(f64, usize, f64)> = None;
    let mut length = 0.0;
    for piece in stretches(case, tree, placed) {
        let from_above = (most - piece.above).max(0.0);
        let from_below = (most - piece.below).max(0.0);
        let left = piece.upper - piece.lower - from_above - from_below;
        if left < SAME_LENGTH || piece.fixtures < 2 {
            continue;
        }
        length += left;
        if longest.is_none_or(|(held, ..)| left > held) {
            longest = Some((left, piece.run, piece.upper - from_above));
        }
    }
    longest.map(|(_, run, station)| Unreached {
        length,
        run,
        station,
    })
}

/// A stretch of a run between one inflow or cleanout and the next.
struct Stretch {
    run: usize,
    upper: f64,
    lower: f64,
    /// How many fixtures drain through it.
    fixtures: usize,
    /// Inches from its upper end to the nearest cleanout whose cable comes down to it; infinite without one.
    above: f64,
    /// Inches from its lower end to the nearest whose cable comes up to it.
    below: f64,
}

/// What comes into a run: a branch, or a cleanout by its place in the list.
#[derive(Clone, Copy)]
enum Inflow {
    Branch(usize),
    Cleanout(usize),
}

fn stretches(case: &Case, tree: &Tree, placed: &[Placed]) -> Vec<Stretch> {
    let inflows = inflows(tree, placed);
    let below = below(case, &inflows, placed);
    let mut at_outlet = vec![f64::INFINITY; tree.runs.len()];
    let mut all = Vec::new();
    // Branches come after what they join: from the last run on, all that flows into one is known before it.
    for (r, run) in tree.runs.iter().enumerate().rev() {
        let mut fixtures = usize::from(matches!(run.start, Start::Fixture(_)));
        let (mut above, mut upper) = (f64::INFINITY, run.path.length());
        for (nth, (lower, inflow)) in inflows[r].iter().enumerate() {
            all.push(Stretch {
                run: r,
                upper,
                lower: *lower,
                fixtures,
                above,
                below: below[r][nth],
            });
            above += upper - lower;
            upper = *lower;
            match *inflow {
                Some(Inflow::Branch(b)) => {
                    fixtures += tree.runs[b].fixtures.len();
                    above = above.min(at_outlet[b]);
                }
                Some(Inflow::Cleanout(c)) if cleans(case, placed, c).downstream() => above = 0.0,
                Some(Inflow::Cleanout(_)) | None => {}
            }
        }
        at_outlet[r] = above;
    }
    all
}

fn cleans(case: &Case, placed: &[Placed], c: usize) -> layout::Cleans {
    case.layout.cleanouts[placed[c].index].cleans
}

/// What comes into each run by station, from its upper end down; its outlet, where nothing more does, is the last.
fn inflows(tree: &Tree, placed: &[Placed]) -> Vec<Vec<(f64, Option<Inflow>)>> {
    let mut all = vec![Vec::new(); tree.runs.len()];
    for (r, run) in tree.runs.iter().enumerate() {
        if let Some(join) = run.join {
            all[join.parent].push((join.at, Some(Inflow::Branch(r))));
        }
    }
    for (c, one) in placed
        .iter()
        .enumerate()
        .filter(|(_, one)| one.station >= 0.0)
    {
        all[one.run].push((one.station, Some(Inflow::Cleanout(c))));
    }
    for inflows in &mut all {
        inflows.sort_by(|a, b| b.0.total_cmp(&a.0));
        inflows.push((0.0, None));
    }
    all
}

/// For each run and each of its inflows, how far down the nearest cleanout is whose cable comes up past that inflow.
fn below(case: &Case, inflows: &[Vec<(f64, Option<Inflow>)>], placed: &[Placed]) -> Vec<Vec<f64>> {
    let outside = placed
        .iter()
        .enumerate()
        .filter(|(_, one)| one.station < 0.0);
    let outside = outside.filter(|(c, _)| cleans(case, placed, *c).upstream());
    let mut at_outlet = vec![f64::INFINITY; inflows.len()];
    at_outlet[0] = outside
        .map(|(_, one)| -one.station)
        .fold(f64::INFINITY, f64::min);
    let mut all = Vec::with_capacity(inflows.len());
    for (r, here) in inflows.iter().enumerate() {
        let (mut off, mut last) = (at_outlet[r], 0.0);
        let mut up: Vec<f64> = Vec::with_capacity(here.len());
        for (station, inflow) in here.iter().rev() {
            off += station - last;
            last = *station;
            match *inflow {
                Some(Inflow::Branch(b)) => at_outlet[b] = off,
                Some(Inflow::Cleanout(c)) if cleans(case, placed, c).upstream() => off = 0.0,
                Some(Inflow::Cleanout(_)) | None => {}
            }
            up.push(off);
        }
        up.reverse();
        all.push(up);
    }
    all
}
