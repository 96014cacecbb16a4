//! Dig and grade: how deep at every station, what the rod reads there, how wide, how much earth and stone, what to keep
//! away from.

use checks::{Verdict, geometry};
use flow::Outcome;
use glam::{DVec2, DVec3};
use scene::SolidKind;
use trench::{
    earth::{self, BEDDING},
    level,
};
use units::{Id, feet_inches, inches_text};

use super::{
    content::{Block, Figure, Pen, Sheet, Table},
    house::{about, height, lying_vents, place, plan, pointed_at},
};

/// Layers of backfill, inches (2018 IRC P2604.3, read).
pub const LIFT: f64 = 6.0;
/// How far over the floor the instrument stands in the readings printed, inches. The day's own is written in.
pub const INSTRUMENT: f64 = 60.0;
/// Distance between stations, inches: nearer, a reading says more about the rod than about the pipe.
const EVERY: f64 = 48.0;

/// One station of a trench.
#[derive(Clone, PartialEq, Debug)]
struct Station {
    /// Inches up from the run's outlet (outside: down from the exit).
    at: f64,
    plan: DVec2,
    invert: f64,
    bottom: f64,
    /// What is dug through there; none where the ground is not told.
    top: Option<f64>,
    what: String,
}

/// A trench: one run, or a line outside.
struct Trench {
    id: Id,
    /// Outside diameter of its largest pipe.
    od: f64,
    /// Stone under and beside the pipe, cubic inches.
    stone: f64,
    stations: Vec<Station>,
}

/// The page.
pub fn sheet(outcome: &Outcome) -> Sheet {
    let trenches = trenches(outcome);
    let mut blocks = vec![
        Block::Caution(
            "Call before you dig: utilities are marked on request, private lines are not. Spoil and people at least 2 ft \
             from the edge. Nobody works in a trench deeper than 4 ft without shoring, nor alone. (Common practice, no source.)"
                .into(),
        ),
        Block::Figure(drawing(outcome)),
        Block::Heading("Rod readings".into()),
        Block::Text(rod_says(outcome)),
    ];
    let mut table = Table::new([
        "Trench",
        "Station",
        "Where",
        "Invert",
        "Bottom",
        "Dig",
        "Rod ft-in",
        "Rod ft",
        "Today",
        "Found",
    ]);
    trenches.iter().for_each(|trench| rows(&mut table, trench));
    if table.rows.is_empty() {
        blocks.push(Block::Text("This layout has no drains yet.".into()));
    } else {
        blocks.push(Block::Table(table));
    }
    blocks.extend(quantities(&trenches));
    blocks.extend(keep_away(outcome));
    Sheet {
        name: "dig".into(),
        title: "Dig and grade".into(),
        purpose: "For whoever digs and reads the rod: how deep, how wide, how much, and where not."
            .into(),
        lying: true,
        blocks,
    }
}

fn rod_says(outcome: &Outcome) -> String {
    let from = outcome.layout.slab.as_ref().map_or(String::new(), |slab| {
        let layers: f64 = slab.layers.iter().map(|layer| layer.thickness).sum();
        format!(" ({} where nothing is recessed)", height(-layers))
    });
    format!(
        "Readings are for an instrument {} over finished floor. Today's height of instrument over finished floor: \
         ____________ (benchmark level + rod on it). Today's reading = printed reading + today's height - {}. Example: \
         benchmark -0'-8\", rod on it 5'-11\": height 5'-3\", so add 3 in to every reading. Rod on the bottom of the trench, \
         before the stone. Invert: of a service pipe its underside. Dig: from the underside of the floor's layers{from}, or from the ground outside. A trap pit reaches from 6 in behind its \
         stub to the trap's outlet, 18 in wide (our choice).",
        feet_inches(INSTRUMENT, 8),
        feet_inches(INSTRUMENT, 8)
    )
}

fn rows(table: &mut Table, trench: &Trench) {
    for station in &trench.stations {
        let rod = level::rod(INSTRUMENT, station.bottom);
        table.row([
            trench.id.to_string(),
            format!("{}{}", stationing(station.at), station.what),
            about(station.plan),
            height(station.invert),
            height(station.bottom),
            station.top.map_or_else(String::new, |top| {
                inches_text((top - station.bottom).max(0.0), 4)
            }),
            feet_inches(rod, 8),
            level::decimal_feet(rod),
            String::new(),
            String::new(),
        ]);
    }
}

/// A station without its tenth where that is nothing: `0+25`.
fn stationing(inches: f64) -> String {
    let text = super::profile::station(inches);
    text.strip_suffix(".0").map_or(text.clone(), String::from)
}

fn drawing(outcome: &Outcome) -> Figure {
    let mut figure = plan(
        outcome,
        "Trenches by the name of their run; stations run upstream from each outlet",
        5.9,
    );
    for run in outcome.network.trees.iter().flat_map(|tree| &tree.runs) {
        figure.stroke(run.path.points().iter().copied(), Pen::Bold);
        figure.word(pointed_at(outcome, run), run.id.to_string());
        figure.dot(run.path.outlet(), "");
    }
    for vent in lying_vents(outcome) {
        figure.stroke(vent.axis.iter().map(|at| at.truncate()), Pen::Dashed);
        let middle = vent.axis[vent.axis.len() / 2].truncate();
        figure.word(middle, vent.name);
    }
    for service in &outcome.layout.services {
        if service.kind != layout::ServiceKind::SoilGas {
            figure.stroke(service.path.iter().copied(), Pen::Dashed);
            let middle = service.path[service.path.len() / 2];
            figure.word(middle, service.id.to_string());
        }
    }
    for (drain, way) in super::house::ways_out(outcome) {
        figure.stroke([drain.exit.at, drain.exit.at + way * 60.0], Pen::Bold);
    }
    figure
}

fn trenches(outcome: &Outcome) -> Vec<Trench> {
    let mut all = Vec::new();
    for (t, tree) in outcome.network.trees.iter().enumerate() {
        for (r, run) in tree.runs.iter().enumerate() {
            let line = &outcome.grades[t].lines[r];
            let size = run.bores.last().map_or(units::Size::In3, |bore| bore.size);
            let pipe = outcome.catalog.pipe(size);
            let mut marks: Vec<(f64, String)> = vec![(0.0, " outlet".into())];
            let branches = tree
                .runs
                .iter()
                .filter_map(|b| b.join.filter(|j| j.parent == r).map(|j| (j.at, &b.id)));
            marks.extend(branches.map(|(at, id)| (at, format!(" {id} joins"))));
            marks.extend(turns_and_sizes(run));
            marks.push((run.path.length(), start_says(outcome, run)));
            spread(&mut marks, run.path.length());
            let stations = marks.into_iter().map(|(at, what)| {
                let plan = run.path.point_at(at);
                let invert = line.level_at(at);
                let top = outcome
                    .layout
                    .slab
                    .as_ref()
                    .map(|slab| subgrade(slab, plan));
                let wall = outcome.catalog.pipe(size_at(run, at)).wall;
                let bottom = level::trench_bottom(invert, wall, BEDDING);
                let at_top = at >= run.path.length() - units::SAME_LENGTH;
                let pit = at_top.then(|| pit_bottom(outcome, run)).flatten();
                Station {
                    at,
                    plan,
                    invert,
                    bottom: pit.map_or(bottom, |pit| pit.min(bottom)),
                    top,
                    what,
                }
            });
            all.push(Trench {
                id: run.id.clone(),
                od: pipe.od,
                stone: stone_round(outcome, run),
                stations: stations.collect(),
            });
        }
        all.extend(outside(outcome, t));
    }
    all.extend(
        lying_vents(outcome)
            .iter()
            .map(|vent| vent_trench(outcome, vent)),
    );
    let services = outcome.layout.services.iter();
    all.extend(services.filter_map(|service| service_trench(outcome, service)));
    all
}

/// The trench of a service. A soil-gas pipe has none: it lies in the floor's own gravel.
fn service_trench(outcome: &Outcome, service: &layout::Service) -> Option<Trench> {
    if service.kind == layout::ServiceKind::SoilGas {
        return None;
    }
    // As a run is measured: from its outer end.
    let path = network::Path::new(service.path.iter().rev().copied());
    let mut marks = vec![
        (0.0, " outer end".into()),
        (path.length(), " comes up".into()),
    ];
    let turns = path.stations().iter().copied();
    let turns = turns.filter(|at| *at > units::SAME_LENGTH && *at < path.length());
    marks.extend(turns.map(|at| (at, " turns here".into())));
    let passages = layout::passages(&outcome.layout).into_iter();
    let mine = passages.filter(|p| outcome.layout.services[p.service].id == service.id);
    let walls = mine.map(|passage| path.nearest(passage.at).0);
    marks.extend(
        walls
            .filter(|at| *at > EVERY / 8.0)
            .map(|at| (at, " at the wall".into())),
    );
    spread(&mut marks, path.length());
    let (half, length) = (service.od / 2.0, path.length());
    let stations = marks.into_iter().map(|(at, what)| {
        let plan = path.point_at(at);
        Station {
            at,
            plan,
            invert: service.level - half,
            bottom: service.level - half - BEDDING,
            top: dug_from(outcome, plan),
            what,
        }
    });
    Some(Trench {
        id: service.id.clone(),
        od: service.od,
        stone: earth::embedment(earth::HAND_WIDTH, BEDDING, service.od, service.od) * length,
        stations: stations.collect(),
    })
}

/// What a trench is dug from: the ground under the floor's layers, outside the ground as far as it is told.
fn dug_from(outcome: &Outcome, plan: DVec2) -> Option<f64> {
    let layout = &outcome.layout;
    let slab = layout.slab.as_ref()?;
    let off = geometry::distance_to_outline(&slab.outline, plan);
    if off < units::SAME_LENGTH || geometry::inside(&slab.outline, plan) {
        return Some(subgrade(slab, plan));
    }
    layout::ground_level(&layout.outside.ground, off)
}

/// Where a trench turns, and where its pipe grows and steps down.
fn turns_and_sizes(run: &network::Run) -> Vec<(f64, String)> {
    let inner = run.path.stations().iter().skip(1);
    let turns = inner.filter(|at| **at > units::SAME_LENGTH);
    let turns = turns.map(|at| (*at, " turns here".to_owned()));
    let grows = run.bores.iter().skip(1);
    let grows = grows.map(|bore| (bore.from, format!(" increaser to {}, below it", bore.size)));
    turns.chain(grows).collect()
}

/// The trench of a vent that lies under the floor, from the bend behind its wye to its wall.
fn vent_trench(outcome: &Outcome, vent: &super::house::LyingVent) -> Trench {
    let pipe = outcome.catalog.pipe(vent.size);
    let mut at = 0.0;
    let mut last = vent.axis[0].truncate();
    let mut stations = Vec::new();
    for (n, axis) in vent.axis.iter().enumerate() {
        let here = axis.truncate();
        at += here.distance(last);
        last = here;
        let invert = axis.z - pipe.id() / 2.0;
        let what = if n == 0 {
            " behind its wye"
        } else if n + 1 == vent.axis.len() {
            " under its wall"
        } else {
            ""
        };
        stations.push(Station {
            at,
            plan: here,
            invert,
            bottom: level::trench_bottom(invert, pipe.wall, BEDDING),
            top: outcome
                .layout
                .slab
                .as_ref()
                .map(|slab| subgrade(slab, here)),
            what: what.into(),
        });
    }
    Trench {
        id: vent.name.as_str().into(),
        od: pipe.od,
        stone: earth::embedment(earth::HAND_WIDTH, BEDDING, pipe.od, pipe.od) * at,
        stations,
    }
}

/// Stone under and beside a run, each stretch by its own pipe, cubic inches.
fn stone_round(outcome: &Outcome, run: &network::Run) -> f64 {
    let ends = run.bores.iter().skip(1).map(|bore| bore.from).chain([0.0]);
    let stretches = run.bores.iter().zip(ends);
    stretches
        .map(|(bore, end)| {
            let od = outcome.catalog.pipe(bore.size).od;
            earth::embedment(earth::HAND_WIDTH, BEDDING, od, od) * (bore.from - end)
        })
        .sum()
}

/// What stands at the upstream end of a run, with the pit that a trap under the slab needs.
fn start_says(outcome: &Outcome, run: &network::Run) -> String {
    match run.start {
        network::Start::Fixture(f) => {
            let fixture = &outcome.layout.fixtures[f];
            match fixture.trap {
                layout::TrapPlace::UnderSlab { .. } => {
                    format!(
                        " {}, trap pit; its stub at {}",
                        fixture.id,
                        about(fixture.at)
                    )
                }
                layout::TrapPlace::InFixture | layout::TrapPlace::InWall { .. } => {
                    format!(" {}", fixture.id)
                }
            }
        }
        network::Start::Cleanout(c) => format!(" {}", outcome.layout.cleanouts[c].id),
        network::Start::Bare => goes_on(outcome, run),
    }
}

/// What an upper end without a fixture is: another run that goes on from it, or a cap.
fn goes_on(outcome: &Outcome, run: &network::Run) -> String {
    let trees = outcome.network.trees.iter();
    let Some(tree) = trees
        .into_iter()
        .find(|tree| tree.runs.iter().any(|r| r.id == run.id))
    else {
        return String::new();
    };
    let end = run.path.length() - 1.0;
    let upstream = tree.runs.iter().find(|other| {
        let join = other
            .join
            .filter(|join| tree.runs[join.parent].id == run.id);
        join.is_some_and(|join| join.at > end)
    });
    upstream.map_or(" capped end".into(), |other| {
        format!(" {} comes in", other.id)
    })
}

/// The size of a run at a station.
fn size_at(run: &network::Run, at: f64) -> units::Size {
    let there = run
        .bores
        .iter()
        .rev()
        .find(|bore| bore.from >= at - units::SAME_LENGTH);
    there
        .or(run.bores.first())
        .map_or(units::Size::In3, |bore| bore.size)
}

/// The bottom of the pit for the trap at a run's upstream end, stone under it; none without a trap under the slab.
fn pit_bottom(outcome: &Outcome, run: &network::Run) -> Option<f64> {
    let network::Start::Fixture(f) = run.start else {
        return None;
    };
    let id = &outcome.layout.fixtures[f].id;
    let traps = outcome
        .assembly
        .bodies
        .iter()
        .filter(|b| b.part == fittings::Part::Trap && b.id == *id);
    let lowest = traps
        .flat_map(|b| &b.tubes)
        .map(|t| t.a.z.min(t.b.z) - t.radius)
        .reduce(f64::min)?;
    Some(lowest - BEDDING)
}

/// Fills in stations every four feet between the marks, none nearer than half of that to a mark.
fn spread(marks: &mut Vec<(f64, String)>, length: f64) {
    let mut at = EVERY;
    while at < length {
        if marks
            .iter()
            .all(|(mark, _)| (mark - at).abs() > EVERY / 2.0)
        {
            marks.push((at, String::new()));
        }
        at += EVERY;
    }
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
}

/// The ground the trench is dug from under the slab: under all its layers.
fn subgrade(slab: &layout::Slab, at: DVec2) -> f64 {
    let (surface, layers) = fittings::surface_at(slab, at);
    surface - layers.iter().map(|layer| layer.thickness).sum::<f64>()
}

/// The trench of the line outside, where its lie is known.
fn outside(outcome: &Outcome, t: usize) -> Option<Trench> {
    let tree = &outcome.network.trees[t];
    let drain = &outcome.layout.drains[tree.drain];
    let line = outcome.grades[t].outside.as_ref()?;
    let length = drain.line.length?;
    let tubes = outcome
        .assembly
        .bodies
        .iter()
        .filter(|b| b.id == drain.id && b.part == fittings::Part::Pipe);
    let tube = tubes
        .flat_map(|b| &b.tubes)
        .max_by(|a, b| a.a.distance(a.b).total_cmp(&b.a.distance(b.b)));
    let way = tube.map_or(DVec2::ZERO, |tube| {
        (tube.b - tube.a).truncate().normalize_or_zero()
    });
    let size = drain.line_size(tree.runs.first()?.outlet_size());
    let pipe = outcome.catalog.pipe(size);
    let ground = outcome.layout.ground_along(drain);
    let mut marks = vec![(0.0, " at the wall".into()), (length, " far end".into())];
    if let Some(drop) = line.drop {
        marks.push((drop.from, " the drop begins".into()));
        marks.push((drop.to, " the drop ends".into()));
    }
    spread(&mut marks, length);
    let stations = marks.into_iter().map(|(at, what)| {
        let invert = line.level_at(at);
        let bottom = level::trench_bottom(invert, pipe.wall, BEDDING);
        Station {
            at,
            plan: drain.exit.at + way * at,
            invert,
            bottom,
            top: layout::ground_level(ground, at),
            what,
        }
    });
    Some(Trench {
        id: format!("{} outside", drain.id).as_str().into(),
        od: pipe.od,
        stone: earth::embedment(earth::HAND_WIDTH, BEDDING, pipe.od, pipe.od) * length,
        stations: stations.collect(),
    })
}

/// Earth and stone.
fn quantities(trenches: &[Trench]) -> Vec<Block> {
    let mut table = Table::new([
        "Trench",
        "Width",
        "Length",
        "Out, bank yd",
        "Spoil, loose yd",
        "Stone, yd",
        "Stone, tons",
        "Fill in lifts",
    ]);
    let (mut bank_all, mut stone_all) = (0.0, 0.0);
    let shape = earth::Shape {
        bottom: earth::HAND_WIDTH,
        lean: 0.0,
    };
    for trench in trenches {
        let known: Option<Vec<earth::Section>> = trench
            .stations
            .iter()
            .map(|s| {
                s.top.map(|top| earth::Section {
                    at: s.at,
                    depth: (top - s.bottom).max(0.0),
                })
            })
            .collect();
        let (Some(sections), Some(last)) = (known, trench.stations.last()) else {
            continue;
        };
        let bank = earth::trench(&sections, shape);
        (bank_all, stone_all) = (bank_all + bank, stone_all + trench.stone);
        let order = earth::order(trench.stone);
        let deepest = sections.iter().map(|s| s.depth).fold(0.0, f64::max);
        let (count, thick) = earth::lifts(BEDDING + trench.od, deepest, LIFT);
        let lifts = if count == 0 || thick < 1.0 {
            "none".into()
        } else {
            format!("{count} of {}", inches_text(thick, 4))
        };
        table.row([
            trench.id.to_string(),
            inches_text(earth::HAND_WIDTH, 4),
            feet_inches(last.at, 4),
            format!("{:.2}", bank / earth::CUBIC_INCHES_A_YARD),
            format!(
                "{:.2}",
                earth::loose(bank, earth::SWELL) / earth::CUBIC_INCHES_A_YARD
            ),
            format!("{:.2}", order.yards),
            format!("{:.2}", order.tons),
            lifts,
        ]);
    }
    let order = earth::order(stone_all);
    table.row([
        "all".into(),
        String::new(),
        String::new(),
        format!("{:.2}", bank_all / earth::CUBIC_INCHES_A_YARD),
        format!(
            "{:.2}",
            earth::loose(bank_all, earth::SWELL) / earth::CUBIC_INCHES_A_YARD
        ),
        format!("{:.2}", order.yards),
        format!("{:.2}", order.tons),
        String::new(),
    ]);
    vec![
        Block::Heading("Earth and stone".into()),
        Block::Text(
            "Upright sides, 12 in wide, dug by hand (common practice, no source); a plate compactor beside the pipe needs \
             its outside diameter and 16 in (a drain-pipe maker's guide after ASTM D2321). Stone: 4 in under the pipe, up to its \
             top; settling and waste are in it, 10 % each (common practice, no source); 1.35 tons a yard (suppliers' tables). \
             Spoil swells to 1.3 times the bank. Joins are counted in both trenches: a little over. Loose stone under the \
             barrel, a pocket for every hub, no blocks or rocks. Backfill both sides evenly in lifts of 6 in at most, after \
             the test; then read the levels again."
                .into(),
        ),
        Block::Table(table),
    ]
}

/// Footings and crossings.
fn keep_away(outcome: &Outcome) -> Vec<Block> {
    let mut blocks = vec![Block::Heading(
        "Beside footings: the 45-degree plane".into(),
    )];
    let mut table = Table::new([
        "Trench",
        "Beside",
        "At",
        "Apart",
        "Deeper than it by",
        "To spare",
        "No deeper than",
    ]);
    for (run, solid, here) in bearings(outcome) {
        table.row([
            run.to_string(),
            solid,
            place(here.at.truncate()),
            inches_text(here.apart.max(0.0), 4),
            inches_text(here.needed, 4),
            inches_text(here.room(), 4),
            height(here.deepest()),
        ]);
    }
    if table.rows.is_empty() {
        blocks.push(Block::Text(
            "No trench inside goes below a footing's underside beside it.".into(),
        ));
    } else {
        blocks.push(Block::Text(
            "A trench may go no deeper below a footing than it stands off it (2018 IRC P2604.4)."
                .into(),
        ));
        blocks.push(Block::Table(table));
    }
    let mut crossings: Vec<_> = outcome
        .findings
        .iter()
        .filter(|f| f.rule == "pipe-crossing")
        .collect();
    crossings.sort_by(|a, b| a.at.z.total_cmp(&b.at.z));
    blocks.push(Block::Heading("Crossings, deepest first".into()));
    if crossings.is_empty() {
        blocks.push(Block::Text("No pipe crosses another.".into()));
    } else {
        blocks.push(Block::Ticks(
            crossings
                .iter()
                .map(|f| format!("{} ({})", f.says, place(f.at.truncate())))
                .collect(),
        ));
    }
    let grave = outcome
        .findings
        .iter()
        .filter(|f| f.rule == "footing-trench" && f.verdict != Verdict::Note);
    blocks.extend(grave.map(|f| Block::Caution(f.says.clone())));
    blocks
}

/// For every run and footing it lies beside and goes below, where the plane is nearest.
fn bearings(outcome: &Outcome) -> Vec<(Id, String, geometry::Bearing)> {
    let bears = |kind: SolidKind| {
        matches!(
            kind,
            SolidKind::Footing | SolidKind::Pier | SolidKind::Strip | SolidKind::TurnedDownEdge
        )
    };
    let footings: Vec<_> = outcome
        .scene
        .solids
        .iter()
        .filter(|s| bears(s.kind))
        .collect();
    let mut found: Vec<(Id, String, geometry::Bearing)> = Vec::new();
    for trench in trenches(outcome)
        .iter()
        .filter(|t| !t.id.as_str().ends_with(" outside"))
    {
        for solid in &footings {
            let legs = trench.stations.windows(2);
            let crosses = trench
                .stations
                .windows(2)
                .any(|w| geometry::within(&solid.outline, w[0].plan, w[1].plan).is_some());
            if crosses {
                continue;
            }
            let bottom = |s: &Station| -> DVec3 { s.plan.extend(s.bottom) };
            let least = legs
                .filter_map(|w| {
                    let trench = geometry::Trench {
                        a: bottom(&w[0]),
                        b: bottom(&w[1]),
                        half_width: earth::HAND_WIDTH / 2.0,
                    };
                    geometry::bearing(&trench, &solid.outline, solid.bottom)
                })
                .min_by(|a, b| a.room().total_cmp(&b.room()));
            found.extend(least.map(|here| (trench.id.clone(), solid.id.to_string(), here)));
        }
    }
    found.sort_by(|a, b| a.2.room().total_cmp(&b.2.room()));
    found.truncate(12);
    found
}
