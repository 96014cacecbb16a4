//! How water and air travel: the way from a trap to the exit, where two ways meet, trap arms, wet vents.

use std::collections::BTreeMap;

use fittings::surface_at;
use glam::DVec3;
use grades::JoinKind;
use layout::{Fixture, FixtureKind, TrapPlace, Vent};
use network::{Run, Start, Tree};
use units::{SAME_LENGTH, Size};

use crate::Case;

/// A stretch of one run on a way, stations of its upper end; it goes on to the run's outlet.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Leg {
    pub(crate) run: usize,
    pub(crate) from: f64,
    /// Inches from the start of the way to the upper end.
    pub(crate) before: f64,
}

/// The way water takes from a place on a run to the exit. A place on the line outside is a negative station of run 0.
pub(crate) fn way(tree: &Tree, run: usize, station: f64) -> Vec<Leg> {
    let mut legs = vec![Leg {
        run,
        from: station,
        before: 0.0,
    }];
    while let Some(join) = tree.runs[legs[legs.len() - 1].run].join {
        let last = legs[legs.len() - 1];
        legs.push(Leg {
            run: join.parent,
            from: join.at,
            before: last.before + last.from,
        });
    }
    legs
}

/// Where two ways meet.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Meeting {
    pub(crate) run: usize,
    pub(crate) station: f64,
    /// Inches from the start of the first way, and of the second.
    pub(crate) after: [f64; 2],
}

/// The first place both ways pass; every two ways of one tree have one.
pub(crate) fn meeting(first: &[Leg], second: &[Leg]) -> Option<Meeting> {
    let other: BTreeMap<usize, &Leg> = second.iter().map(|leg| (leg.run, leg)).collect();
    let (a, b) = first
        .iter()
        .find_map(|leg| Some((leg, *other.get(&leg.run)?)))?;
    let station = a.from.min(b.from);
    let after = [a.before + a.from - station, b.before + b.from - station];
    Some(Meeting {
        run: a.run,
        station,
        after,
    })
}

/// Where the fixtures are in the network, looked up once.
pub(crate) struct Starts<'a> {
    /// For each fixture the tree and run that start at it.
    pub(crate) at: Vec<Option<(usize, usize)>>,
    named: BTreeMap<&'a str, usize>,
    /// The stations at which vents leave under the slab, by fixture.
    take_offs: BTreeMap<usize, f64>,
}

impl<'a> Starts<'a> {
    pub(crate) fn of(case: &Case<'a>) -> Self {
        let mut at = vec![None; case.layout.fixtures.len()];
        for (t, tree) in case.network.trees.iter().enumerate() {
            for (r, run) in tree.runs.iter().enumerate() {
                if let Start::Fixture(f) = run.start {
                    at[f] = Some((t, r));
                }
            }
        }
        let fixtures = case.layout.fixtures.iter().enumerate();
        let vents = case.network.vents.iter();
        Self {
            at,
            named: fixtures
                .map(|(f, fixture)| (fixture.id.as_str(), f))
                .collect(),
            take_offs: vents.map(|vent| (vent.fixture, vent.take_off)).collect(),
        }
    }

    /// The fixture of this name, by index.
    pub(crate) fn fixture(&self, id: &units::Id) -> Option<usize> {
        self.named.get(id.as_str()).copied()
    }

    /// The station at which a fixture's own dry vent leaves its run: at its start where the riser goes on up.
    pub(crate) fn dry_at(&self, case: &Case, f: usize, run: &Run) -> Option<f64> {
        match &case.layout.fixtures[f].vent {
            Vent::Riser => Some(run.path.length()),
            Vent::TakeOff { .. } => self.take_offs.get(&f).copied(),
            Vent::Common(_)
            | Vent::Wet(_)
            | Vent::IslandLoop { .. }
            | Vent::Admittance
            | Vent::Combination
            | Vent::Other(_)
            | Vent::Unknown => None,
        }
    }
}

/// A place on a run, on its invert.
pub(crate) fn place(case: &Case, tree: usize, run: usize, station: f64) -> DVec3 {
    let path = &case.network.trees[tree].runs[run].path;
    path.point_at(station)
        .extend(case.grades[tree].lines[run].level_at(station))
}

/// From a trap's weir to where it meets its vent.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Arm<'a> {
    pub(crate) fixture: &'a Fixture,
    pub(crate) size: Size,
    /// Developed length, inches.
    pub(crate) length: f64,
    /// Inches from weir to the vent's opening.
    pub(crate) fall: f64,
    /// Degrees turned in plan.
    pub(crate) turns: f64,
    /// Where the weir is.
    pub(crate) weir: DVec3,
}

/// Every trap arm under the slab whose vent is told so that its end is known. What is traped above the floor has its arm
/// in the wall, which the layout does not draw.
pub(crate) fn arms<'a>(case: &Case<'a>) -> Vec<Arm<'a>> {
    let starts = Starts::of(case);
    let drained = (0..starts.at.len()).filter_map(|f| Some((f, starts.at[f]?)));
    drained
        .filter_map(|(f, (t, r))| arm(case, &starts, f, (t, r)))
        .collect()
}

fn arm<'a>(case: &Case<'a>, starts: &Starts, f: usize, (t, r): (usize, usize)) -> Option<Arm<'a>> {
    let (fixture, tree) = (&case.layout.fixtures[f], &case.network.trees[t]);
    let run = &tree.runs[r];
    let under = match fixture.trap {
        TrapPlace::UnderSlab { .. } | TrapPlace::InFixture => true,
        TrapPlace::InWall { .. } => false,
    };
    let (end_run, end, length) = match &fixture.vent {
        Vent::TakeOff { .. } => {
            let station = starts.dry_at(case, f, run)?;
            (r, station, run.path.length() - station)
        }
        Vent::Wet(lender) => {
            let met = met(case, starts, (t, r), lender)?;
            (met.run, met.station, met.after[0])
        }
        Vent::Common(lender) => common(case, starts, (t, r), lender)?,
        Vent::Riser
        | Vent::IslandLoop { .. }
        | Vent::Admittance
        | Vent::Combination
        | Vent::Other(_)
        | Vent::Unknown => return None,
    };
    under.then(|| Arm {
        fixture,
        size: run.inlet_size(),
        length,
        fall: fall(case, t, r, (end_run, end)),
        turns: turns(run, if end_run == r { end } else { 0.0 }),
        weir: run.path.inlet().extend(case.grades[t].lines[r].inlet),
    })
}

/// Where a fixture's drain meets that of the fixture it borrows its vent from.
pub(crate) fn met(
    case: &Case,
    starts: &Starts,
    (t, r): (usize, usize),
    lender: &units::Id,
) -> Option<Meeting> {
    let (lt, lr) = starts.at[starts.fixture(lender)?]?;
    let tree = &case.network.trees[t];
    let start = |run: usize| way(tree, run, tree.runs[run].path.length());
    if lt != t {
        return None;
    }
    meeting(&start(r), &start(lr))
}

/// The end of an arm that shares its lender's dry vent under the slab: run, station, length.
fn common(
    case: &Case,
    starts: &Starts,
    at: (usize, usize),
    lender: &units::Id,
) -> Option<(usize, f64, f64)> {
    let l = starts.fixture(lender)?;
    let (_, lr) = starts.at[l]?;
    let takes_off = matches!(case.layout.fixtures[l].vent, Vent::TakeOff { .. });
    let dry = starts
        .dry_at(case, l, &case.network.trees[at.0].runs[lr])
        .filter(|_| takes_off)?;
    let met = met(case, starts, at, lender)?;
    let in_time = met.run == lr && met.station >= dry - SAME_LENGTH;
    in_time.then(|| (lr, dry, met.after[0] + met.station - dry))
}

/// Inches from a run's start down to a place on it or on a run it flows into; what a rolled or dropped join falls counts.
fn fall(case: &Case, t: usize, r: usize, (end_run, end): (usize, f64)) -> f64 {
    let lines = &case.grades[t].lines;
    if end_run == r {
        return lines[r].inlet - lines[r].level_at(end);
    }
    let tree = &case.network.trees[t];
    let mut at = r;
    let mut below = 0.0;
    // Down to the outlet of the last run before the meeting; the hubs' own steps are not falls of the arm.
    while let Some(join) = tree.runs[at].join {
        below += lines[at]
            .join
            .filter(|made| made.kind != JoinKind::Flat)
            .map_or(0.0, |made| {
                let parent = &tree.runs[join.parent];
                let bore = |size| case.catalog.pipe(size).id();
                made.above
                    - (bore(parent.size_at(join.at)) - bore(tree.runs[at].outlet_size())) / 2.0
            });
        if join.parent == end_run {
            break;
        }
        at = join.parent;
    }
    lines[r].inlet - lines[at].outlet + below.max(0.0)
}

/// Degrees a run turns in plan between its start and a station.
pub(crate) fn turns(run: &Run, down_to: f64) -> f64 {
    corners(run)
        .filter(|(station, _)| *station > down_to + SAME_LENGTH)
        .map(|(_, turn)| turn)
        .sum()
}

/// The corners of a run: station and degrees turned.
pub(crate) fn corners(run: &Run) -> impl Iterator<Item = (f64, f64)> + '_ {
    let ends = run
        .path
        .points()
        .windows(3)
        .zip(run.path.stations().iter().skip(1));
    ends.map(|(p, station)| {
        let turn = (p[1] - p[0]).angle_to(p[2] - p[1]).abs().to_degrees();
        (*station, turn)
    })
}

/// A fixture's outlet: the floor over it, at the surface there.
pub(crate) fn outlet_level(case: &Case, fixture: &Fixture) -> f64 {
    case.layout
        .slab
        .as_ref()
        .map_or(0.0, |slab| surface_at(slab, fixture.at).0)
}

/// One dry-vented drain and the fixtures whose vent it is.
pub(crate) struct WetVent<'a> {
    pub(crate) lender: &'a Fixture,
    pub(crate) tree: usize,
    /// Where the dry vent stands on the lender's own run; `None`: it has none.
    pub(crate) dry: Option<(usize, f64)>,
    /// Borrowers with where they meet the lender's drain, the most downstream last.
    pub(crate) borrowers: Vec<(&'a Fixture, Meeting)>,
    /// The lender's way.
    pub(crate) way: Vec<Leg>,
}

/// Every wet vent, lenders in the layout's order. Borrowers that never meet their lender are left out; see [`strangers`].
pub(crate) fn wet_vents<'a>(case: &Case<'a>) -> Vec<WetVent<'a>> {
    let starts = Starts::of(case);
    let mut found: BTreeMap<usize, WetVent<'a>> = BTreeMap::new();
    for (fixture, lender, at) in borrowing(case, &starts) {
        let Some(l) = starts.fixture(lender) else {
            continue;
        };
        let (Some((t, r)), Some((lt, lr))) = (at, starts.at[l]) else {
            continue;
        };
        let Some(met) = met(case, &starts, (t, r), lender) else {
            continue;
        };
        let tree = &case.network.trees[lt];
        let wet = found.entry(l).or_insert_with(|| WetVent {
            lender: &case.layout.fixtures[l],
            tree: lt,
            dry: starts
                .dry_at(case, l, &tree.runs[lr])
                .map(|station| (lr, station)),
            borrowers: Vec::new(),
            way: way(tree, lr, tree.runs[lr].path.length()),
        });
        wet.borrowers.push((fixture, met));
    }
    let mut all: Vec<WetVent> = found.into_values().collect();
    for wet in &mut all {
        wet.borrowers
            .sort_by(|a, b| a.1.after[1].total_cmp(&b.1.after[1]));
    }
    all
}

/// Borrowers whose lender drains elsewhere, with the lender's name.
pub(crate) fn strangers<'a>(case: &Case<'a>) -> Vec<(&'a Fixture, &'a units::Id)> {
    let starts = Starts::of(case);
    let told = borrowing(case, &starts);
    let apart = told
        .filter(|(_, lender, at)| at.is_some_and(|at| met(case, &starts, at, lender).is_none()));
    apart
        .map(|(fixture, lender, _)| (fixture, lender))
        .collect()
}

type Borrowing<'a> = (&'a Fixture, &'a units::Id, Option<(usize, usize)>);

fn borrowing<'a>(case: &Case<'a>, starts: &Starts) -> impl Iterator<Item = Borrowing<'a>> {
    case.layout
        .fixtures
        .iter()
        .zip(&starts.at)
        .filter_map(|(fixture, at)| match &fixture.vent {
            Vent::Wet(lender) => Some((fixture, lender, *at)),
            Vent::Riser
            | Vent::TakeOff { .. }
            | Vent::Common(_)
            | Vent::IslandLoop { .. }
            | Vent::Admittance
            | Vent::Combination
            | Vent::Other(_)
            | Vent::Unknown => None,
        })
}

impl WetVent<'_> {
    /// Inches along the lender's way to the most downstream borrower.
    pub(crate) fn length(&self) -> f64 {
        self.borrowers.last().map_or(0.0, |(_, met)| met.after[1])
    }

    /// Stretches of the wet vent between one inflow or change of size and the next, with all that drains through each:
    /// (run, station of the middle, fixtures by index). The most downstream borrower's own inflow is not on any.
    pub(crate) fn stretches(&self, case: &Case) -> Vec<(usize, f64, Vec<usize>)> {
        let tree = &case.network.trees[self.tree];
        let mut out = Vec::new();
        for leg in &self.way {
            let last = leg.from - (self.length() - leg.before).min(leg.from);
            let run = &tree.runs[leg.run];
            let branches: Vec<&Run> = tree.runs[leg.run..]
                .iter()
                .filter(|r| joins(r, leg.run))
                .collect();
            let mut cuts: Vec<f64> = branches
                .iter()
                .filter_map(|r| r.join)
                .map(|join| join.at)
                .collect();
            cuts.extend(run.bores.iter().map(|bore| bore.from));
            cuts.retain(|cut| *cut < leg.from - SAME_LENGTH && *cut > last + SAME_LENGTH);
            cuts.extend([leg.from, last]);
            cuts.sort_by(|a, b| b.total_cmp(a));
            for ends in cuts
                .windows(2)
                .filter(|ends| ends[0] - ends[1] > SAME_LENGTH)
            {
                let middle = f64::midpoint(ends[0], ends[1]);
                out.push((leg.run, middle, upstream(run, &branches, middle)));
            }
            if leg.before + leg.from >= self.length() {
                break;
            }
        }
        out
    }

    /// All fixtures that enter the wet vent or stand upstream of it, the most downstream borrower's inflow with them.
    pub(crate) fn members(&self, case: &Case) -> Vec<usize> {
        let tree = &case.network.trees[self.tree];
        let Some((_, met)) = self.borrowers.last() else {
            return Vec::new();
        };
        let branches: Vec<&Run> = tree.runs[met.run..]
            .iter()
            .filter(|r| joins(r, met.run))
            .collect();
        upstream(
            &tree.runs[met.run],
            &branches,
            met.station - 2.0 * SAME_LENGTH,
        )
    }
}

fn joins(run: &Run, parent: usize) -> bool {
    run.join.is_some_and(|join| join.parent == parent)
}

/// Fixtures that drain through a run at a station.
pub(crate) fn upstream(run: &Run, branches: &[&Run], station: f64) -> Vec<usize> {
    let own = match run.start {
        Start::Fixture(f) => Some(f),
        Start::Cleanout(_) | Start::Bare => None,
    };
    let above = branches
        .iter()
        .filter(|branch| branch.join.is_some_and(|join| join.at > station));
    own.into_iter()
        .chain(above.flat_map(|branch| branch.fixtures.iter().copied()))
        .collect()
}

/// Whether a fixture belongs in a bathroom group.
pub(crate) fn of_a_bath(kind: FixtureKind) -> bool {
    network::fixture_load(kind).is_some_and(codes::Load::is_bathroom)
}
