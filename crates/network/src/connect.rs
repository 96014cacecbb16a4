//! From a layout's runs to a forest of drains.

use std::collections::{BTreeMap, BTreeSet};

use codes::Rules;
use glam::DVec2;
use layout::{Drain, Fixture, FixtureKind, Layout, RunEnd, RunStart, TrapPlace, Vent};
use units::{Id, SAME_LENGTH, Size};

use crate::{Baths, Bore, Join, Network, Path, Problem, Run, Start, Tree, VentLine, join, load};

/// Connects the runs of a layout into one tree a drain, with loads, sizes and vents.
///
/// Sizes left `auto` are the least the rules give for the load at the flattest grade of the run's menu, never less than
/// the largest size upstream. What cannot be connected is told in [`Network::problems`] and left out; the rest stands.
pub fn connect(layout: &Layout, rules: &Rules) -> Network {
    let names = Names::of(layout);
    let mut network = Network::default();
    for (drain_idx, drain) in layout.drains.iter().enumerate() {
        if let Some(tree) = tree(layout, &names, drain_idx, drain, &mut network.problems) {
            network.trees.push(tree);
        }
    }
    let baths = Baths::of(layout);
    for tree in &mut network.trees {
        load::load(layout, rules, &baths, tree);
        let at_exit = layout.drains[tree.drain].exit.size;
        enlarge_at_exit(layout, &mut tree.runs[0], at_exit);
    }
    unreached(layout, &mut network);
    network.vents = vents(layout, rules, &network.trees, &mut network.problems);
    network
}

/// Look-ups by name, made once.
struct Names<'a> {
    fixtures: BTreeMap<&'a Id, usize>,
    cleanouts: BTreeMap<&'a Id, usize>,
    /// Indices of the runs that end in each run or drain, in the file's order.
    into: BTreeMap<&'a Id, Vec<usize>>,
}

impl<'a> Names<'a> {
    fn of(layout: &'a Layout) -> Self {
        let mut into: BTreeMap<&Id, Vec<usize>> = BTreeMap::new();
        for (index, run) in layout.runs.iter().enumerate() {
            let (RunEnd::Run { run: end, .. } | RunEnd::Drain(end)) = &run.to;
            into.entry(end).or_default().push(index);
        }
        let fixtures = layout
            .fixtures
            .iter()
            .enumerate()
            .map(|(i, f)| (&f.id, i))
            .collect();
        let cleanouts = layout
            .cleanouts
            .iter()
            .enumerate()
            .map(|(i, c)| (&c.id, i))
            .collect();
        Self {
            fixtures,
            cleanouts,
            into,
        }
    }

    fn into(&self, end: &Id) -> &[usize] {
        self.into.get(end).map_or(&[], Vec::as_slice)
    }
}

fn tree(
    layout: &Layout,
    names: &Names,
    drain_idx: usize,
    drain: &Drain,
    problems: &mut Vec<Problem>,
) -> Option<Tree> {
    let (&trunk, others) = names.into(&drain.id).split_first()?;
    for &other in others {
        let run = &layout.runs[other];
        let what = format!(
            "leaves by {} beside {}; join one to the other, or give it a drain of its own",
            drain.id, layout.runs[trunk].id
        );
        problems.push(Problem {
            item: run.id.clone(),
            what,
            at: drain.exit.at,
        });
    }
    let mut runs: Vec<Run> = Vec::new();
    // Preorder without recursion: a chain of a hundred thousand runs must not overflow the stack.
    let mut waiting = vec![(trunk, None)];
    while let Some((index, parent)) = waiting.pop() {
        let Some(run) = place(layout, names, index, parent, &runs, drain, problems) else {
            continue;
        };
        let here = runs.len();
        waiting.extend(
            names
                .into(&run.id)
                .iter()
                .rev()
                .map(|&child| (child, Some(here))),
        );
        runs.push(run);
    }
    (!runs.is_empty()).then(|| Tree {
        drain: drain_idx,
        id: drain.id.clone(),
        runs,
    })
}

fn place(
    layout: &Layout,
    names: &Names,
    index: usize,
    parent: Option<usize>,
    runs: &[Run],
    drain: &Drain,
    problems: &mut Vec<Problem>,
) -> Option<Run> {
    let told = &layout.runs[index];
    let (start, from) = start(layout, names, &told.from)?;
    let mut points = vec![from];
    points.extend(&told.via);
    let last = points[points.len() - 1];
    let meets = parent.map(|p| junction(&runs[p], told, last)).transpose();
    let at = match meets {
        Ok(station) => station,
        Err(problem) => {
            problems.push(problem);
            return None;
        }
    };
    points.push(
        parent
            .zip(at)
            .map_or(drain.exit.at, |(p, station)| runs[p].path.point_at(station)),
    );
    let path = Path::new(after_trap(layout, start, points));
    let join = parent.zip(at).map(|(parent, at)| {
        let (angle_deg, side) = join::angle(&runs[parent].path, at, &path);
        Join {
            parent,
            at,
            angle_deg,
            side,
        }
    });
    let bores = bores(told, &path, problems);
    Some(Run {
        id: told.id.clone(),
        index,
        join,
        bores,
        start,
        menu: told.menu.clone(),
        start_invert: told.start_invert,
        joins: told.joins,
        fixtures: Vec::new(),
        dfu: 0.0,
        plain_dfu: 0.0,
        closets: 0,
        sized_by_us: told.size.is_none(),
        path,
    })
}

fn start(layout: &Layout, names: &Names, from: &RunStart) -> Option<(Start, DVec2)> {
    match from {
        RunStart::Fixture(id) => names
            .fixtures
            .get(id)
            .map(|&i| (Start::Fixture(i), layout.fixtures[i].at)),
        RunStart::Cleanout(id) => names
            .cleanouts
            .get(id)
            .map(|&i| (Start::Cleanout(i), layout.cleanouts[i].at)),
        RunStart::Point(at) => Some((Start::Bare, *at)),
    }
}

fn junction(parent: &Run, told: &layout::Run, last: DVec2) -> Result<f64, Problem> {
    let RunEnd::Run { at, .. } = &told.to else {
        return Ok(0.0);
    };
    join::station(&parent.path, last, *at).map_err(|off| {
        let place = at.unwrap_or(last);
        let (near, _) = parent.path.nearest(place);
        let near = parent.path.point_at(near);
        let what = format!(
            "its junction is {} off the line of {}; the nearest point on it is {} east, {} north",
            units::feet_inches(off, 8),
            parent.id,
            units::feet_inches(near.x, 8),
            units::feet_inches(near.y, 8)
        );
        Problem {
            item: told.id.clone(),
            what,
            at: place,
        }
    })
}

/// A trap under the slab takes the first inches: the run starts at its weir, along the first leg.
fn after_trap(layout: &Layout, start: Start, mut points: Vec<DVec2>) -> Vec<DVec2> {
    let Some(across) = trap_across(layout, start) else {
        return points;
    };
    let toward = points
        .iter()
        .find(|p| p.distance(points[0]) > SAME_LENGTH)
        .copied();
    if let Some(toward) = toward {
        let room = points[0].distance(toward);
        let along = (toward - points[0]).normalize_or_zero();
        points[0] += along * across.min(room);
    }
    points
}

fn trap_across(layout: &Layout, start: Start) -> Option<f64> {
    let Start::Fixture(fixture) = start else {
        return None;
    };
    match layout.fixtures[fixture].trap {
        TrapPlace::UnderSlab { across } => Some(across),
        TrapPlace::InFixture | TrapPlace::InWall { .. } => None,
    }
}

fn bores(told: &layout::Run, path: &Path, problems: &mut Vec<Problem>) -> Vec<Bore> {
    let first = Bore {
        size: told.size.unwrap_or(Size::In1_25),
        from: path.length(),
    };
    let mut bores = vec![first];
    for (at, size) in &told.increasers {
        let (station, off) = path.nearest(*at);
        if off > join::ON_THE_LINE {
            let what = format!(
                "its increaser to {size} is {} off its line",
                units::feet_inches(off, 8)
            );
            problems.push(Problem {
                item: told.id.clone(),
                what,
                at: *at,
            });
        }
        bores.push(Bore {
            size: *size,
            from: station,
        });
    }
    bores.sort_by(|a, b| b.from.total_cmp(&a.from));
    bores
}

/// Inches of the exit's own size kept inside the foundation's inner face, so that no joint stands inside the sleeve.
const CLEAR_OF_SLEEVE: f64 = 6.0;

fn enlarge_at_exit(layout: &Layout, trunk: &mut Run, at_exit: Option<Size>) {
    let Some(size) = at_exit.filter(|size| *size > trunk.outlet_size()) else {
        return;
    };
    let wall = layout
        .foundation
        .edge
        .as_ref()
        .map_or(0.0, |edge| edge.thickness);
    let from = (wall + CLEAR_OF_SLEEVE).min(trunk.path.length() / 2.0);
    trunk.bores.push(Bore { size, from });
}

fn unreached(layout: &Layout, network: &mut Network) {
    let placed = network
        .trees
        .iter()
        .flat_map(|tree| &tree.runs)
        .map(|run| &run.id);
    let told: BTreeSet<Id> = placed
        .chain(network.problems.iter().map(|p| &p.item))
        .cloned()
        .collect();
    for run in layout.runs.iter().filter(|run| !told.contains(&run.id)) {
        let at = run.via.first().copied().unwrap_or_default();
        let what = "reaches no exit; say which run or drain it flows to".to_owned();
        network.problems.push(Problem {
            item: run.id.clone(),
            what,
            at,
        });
    }
}

fn vents(
    layout: &Layout,
    rules: &Rules,
    trees: &[Tree],
    problems: &mut Vec<Problem>,
) -> Vec<VentLine> {
    let mut vents = Vec::new();
    for (t, tree) in trees.iter().enumerate() {
        for (r, run) in tree.runs.iter().enumerate() {
            let Start::Fixture(f) = run.start else {
                continue;
            };
            let fixture = &layout.fixtures[f];
            if let Some(leaves) = leaves(fixture, run, problems) {
                let closet = fixture.kind == FixtureKind::Closet;
                let size = load::vent_size(rules, run.inlet_size(), closet);
                vents.push(VentLine {
                    fixture: f,
                    run: (t, r),
                    take_off: leaves.take_off,
                    down: leaves.down,
                    up: leaves.up,
                    wall: leaves.wall,
                    size,
                });
            }
        }
    }
    vents
}

/// Where a vent leaves its run, and where it comes up.
struct Leaves {
    take_off: f64,
    down: Option<DVec2>,
    up: DVec2,
    wall: Id,
}

/// Where a fixture's own dry or foot vent leaves its run, and where it comes up.
fn leaves(fixture: &Fixture, run: &Run, problems: &mut Vec<Problem>) -> Option<Leaves> {
    match &fixture.vent {
        Vent::TakeOff { take_off, up, wall } => {
            let (station, off) = run.path.nearest(*take_off);
            if off > join::ON_THE_LINE {
                let what = format!(
                    "its vent leaves {} off the line of {}",
                    units::feet_inches(off, 8),
                    run.id
                );
                problems.push(Problem {
                    item: fixture.id.clone(),
                    what,
                    at: *take_off,
                });
            }
            Some(Leaves {
                take_off: station,
                down: None,
                up: *up,
                wall: wall.clone(),
            })
        }
        Vent::IslandLoop { down, up, wall } => Some(Leaves {
            take_off: run.path.nearest(*down).0,
            down: Some(*down),
            up: *up,
            wall: wall.clone(),
        }),
        Vent::Riser
        | Vent::Common(_)
        | Vent::Wet(_)
        | Vent::Admittance
        | Vent::Combination
        | Vent::Other(_)
        | Vent::Unknown => None,
    }
}
