//! Test and inspection: caps, water, what the gauge may do, what the inspector looks for with this layout's own numbers.

use std::collections::BTreeMap;

use checks::Question;
use fittings::StubOf;
use flow::Outcome;
use glam::DVec2;
use takeoff::{Takeoff, TestRiser};
use trench::water_test::{gallons, gauge_at, psi, thrust};
use units::{Size, feet_inches};

use super::{
    content::{Block, Sheet, Table},
    house::{height, name, place},
};

/// Gauge pressure and temperature the air table starts from.
const AIR_START: (f64, f64) = (5.0, 60.0);

/// A closed end under test.
struct Cap {
    what: String,
    at: DVec2,
    size: Size,
    z: f64,
}

/// The page.
pub fn sheet(outcome: &Outcome, takeoff: &Takeoff, questions: &[Question]) -> Sheet {
    let mut blocks = vec![Block::Caution(
        "Test with water. Air stored in plastic pipe can burst it and throw pieces. Brace bends and ends before filling, fill \
         slowly, stand clear of caps. Let the cement cure first. Not in freezing weather."
            .into(),
    )];
    for t in 0..outcome.network.trees.len() {
        blocks.extend(drain(outcome, takeoff.test_riser.as_ref(), t));
    }
    if outcome.network.trees.is_empty() {
        blocks.push(Block::Text("This layout has no drains yet.".into()));
    }
    blocks.extend(gauge());
    blocks.extend([
        Block::Heading("What the inspector looks for".into()),
        Block::Ticks(looks(outcome, takeoff)),
    ]);
    blocks.extend([
        Block::Heading("Photographs before cover".into()),
        Block::Ticks(photographs(outcome, takeoff)),
    ]);
    blocks.extend(asked(questions));
    Sheet {
        name: "test".into(),
        title: "Test and inspection".into(),
        purpose:
            "For the day of the test: caps, water, the gauge, and what the inspector will look for."
                .into(),
        lying: false,
        blocks,
    }
}

/// The caps of one drain, its water and its gauge readings.
fn drain(outcome: &Outcome, riser: Option<&TestRiser>, t: usize) -> Vec<Block> {
    let test = outcome.rules.pressure_test();
    let grades = &outcome.grades[t];
    let drain = &outcome.layout.drains[outcome.network.trees[t].drain];
    let Some(head) = test.head else {
        return vec![Block::Text(
            "The head of the test was not found for this code: ask the inspector.".into(),
        )];
    };
    let inlets = || grades.lines.iter().map(|line| line.inlet).reduce(f64::max);
    let Some(highest) =
        fittings::highest_fitting(pieces(outcome, t), &outcome.catalog).or_else(inlets)
    else {
        return Vec::new();
    };
    let water = highest + head.value * 12.0;
    let minutes = test
        .minutes
        .map_or_else(|| "____".into(), |m| format!("{:.0}", m.value));
    let size = drain.exit.size.or_else(|| {
        outcome.network.trees[t].runs[0]
            .bores
            .last()
            .map(|b| b.size)
    });
    let mut table = Table::new([
        "Cap",
        "Size",
        "Where",
        "Its level",
        "Head",
        "psi",
        "Push, lb",
        "On",
    ]);
    let mut caps = stub_caps(outcome, t);
    caps.extend(size.map(|size| Cap {
        what: format!("{} outlet", drain.id),
        at: drain.exit.at
            + outcome.network.trees[t].runs[0].path.direction_at(0.0) * fittings::OUTSIDE_STUB,
        size,
        z: grades.exit.level,
    }));
    caps.sort_by(|a, b| a.z.total_cmp(&b.z));
    for cap in &caps {
        let under = (water - cap.z).max(0.0);
        let od = outcome.catalog.pipe(cap.size).od;
        table.row([
            cap.what.clone(),
            cap.size.to_string(),
            place(cap.at),
            height(cap.z),
            feet_inches(under, 16),
            format!("{:.2}", psi(under)),
            format!("{:.0}", thrust(od, psi(under))),
            String::new(),
        ]);
    }
    let pipe = fill(outcome, t);
    let (bore, long) = riser.map_or((Size::In2, water.max(0.0)), |riser| {
        (riser.size, riser.length)
    });
    let stand = gallons(outcome.catalog.pipe(bore).id_average, long);
    let here = riser.filter(|riser| belongs(outcome, t, riser.of));
    let none = || {
        " No stub of this drain stands open for it: ask how the inspector wants this drain filled and tested.".into()
    };
    let stands = here.map_or_else(none, |riser| {
        let stub = riser.of.name(&riser.id);
        format!(
            " The stand pipe goes on the stub of {stub}, in place of its cap, {} long.",
            feet_inches(long, 16)
        )
    });
    vec![
        Block::Heading(format!("Caps and water: {}", drain.id)),
        Block::Text(format!(
            "Water stands {} ft over the highest fitting (its rim at {}): its level is {} from finished floor, so the stand pipe reaches \
             that high.{stands} It stands {minutes} minutes with no drop. Source: {}. Other editions and towns ask otherwise: ask. \
             The push is on the outside of the pipe, as for a cap.",
            head.value,
            height(highest),
            height(water),
            head.row.cite
        )),
        Block::Table(table),
        Block::Text(format!(
            "To fill: {pipe:.1} gallons in all pipe and fittings under the floor, and {stand:.1} more in a {bore} stand pipe. Level \
             at the start ________  at {minutes} minutes ________  time ________  seen by ________"
        )),
    ]
}

/// Whether a stub belongs to a drain's tree and lies upstream of the cap at the wall.
fn belongs(outcome: &Outcome, t: usize, of: StubOf) -> bool {
    let tree = &outcome.network.trees[t];
    match of {
        StubOf::Fixture(f) | StubOf::Vent(f) | StubOf::Return(f) => {
            tree.runs.iter().any(|run| run.fixtures.contains(&f))
        }
        StubOf::Cleanout(c) => {
            let starts = |run: &network::Run| run.start == network::Start::Cleanout(c);
            let on = outcome.layout.cleanouts[c].on.as_ref();
            tree.runs
                .iter()
                .any(|run| starts(run) || on == Some(&run.id))
        }
        StubOf::Service(_) => false,
    }
}

/// Every open end of a drain; cleanouts have their plugs.
fn stub_caps(outcome: &Outcome, t: usize) -> Vec<Cap> {
    let open = outcome
        .assembly
        .stubs
        .iter()
        .filter(|s| belongs(outcome, t, s.of));
    open.filter_map(|stub| {
        let what = match stub.of {
            StubOf::Cleanout(_) => format!("{} (its plug)", name(stub)),
            StubOf::Fixture(_) | StubOf::Vent(_) | StubOf::Return(_) | StubOf::Service(_) => {
                name(stub)
            }
        };
        Some(Cap {
            what,
            at: stub.at,
            size: stub.size?,
            z: stub.top,
        })
    })
    .collect()
}

fn pieces(outcome: &Outcome, t: usize) -> impl Iterator<Item = &fittings::Piece> {
    let tree = &outcome.network.trees[t];
    outcome.assembly.of_tree(tree, &outcome.layout)
}

/// Gallons that fill a drain and its vents up to their stubs, upstream of the wall.
fn fill(outcome: &Outcome, t: usize) -> f64 {
    let mut long: BTreeMap<Size, f64> = BTreeMap::new();
    for piece in pieces(outcome, t) {
        *long.entry(piece.size).or_default() += piece.waterway(&outcome.catalog);
    }
    long.iter()
        .map(|(size, length)| gallons(outcome.catalog.pipe(*size).id_average, *length))
        .sum()
}

fn gauge() -> Vec<Block> {
    let (start, at) = AIR_START;
    let mut table = Table::new(["Air at, F", "40", "50", "60", "70", "80", "95"]);
    let mut row = vec![format!("gauge, psi, if {start} at {at:.0} F")];
    row.extend(
        [40.0, 50.0, 60.0, 70.0, 80.0, 95.0].map(|now| format!("{:.2}", gauge_at(start, at, now))),
    );
    table.rows.push(row);
    vec![
        Block::Heading("If air is allowed and asked for: gauge against temperature".into()),
        Block::Text(
            "The gauge follows the weather without any leak (gas law, absolute). Write time and temperature at each reading: \
             0 min ____ psi ____ F;  5 min ____ psi ____ F;  10 min ____ psi ____ F;  15 min ____ psi ____ F."
                .into(),
        ),
        Block::Table(table),
    ]
}

fn looks(outcome: &Outcome, takeoff: &Takeoff) -> Vec<String> {
    let mut ticks = vec![
        "Permit, approved drawing and address are here; the requester has checked against the plan"
            .into(),
        "Nothing is covered; every joint can be seen; the trench is safe and dry".into(),
    ];
    ticks.extend((0..outcome.network.trees.len()).flat_map(|t| runs(outcome, t)));
    for cleanout in &outcome.layout.cleanouts {
        ticks.push(format!(
            "Cleanout {} at {}, top {}",
            cleanout.id,
            place(cleanout.at),
            height(cleanout.top)
        ));
    }
    for sleeve in &takeoff.sleeves {
        ticks.push(format!(
            "Sleeve of {}: {} through the wall",
            sleeve.of, sleeve.size
        ));
    }
    ticks.push(format!(
        "Dry vents leave above the middle of the pipe ({} of them leave under the slab)",
        outcome.network.vents.len()
    ));
    ticks.push(
        "Bedding lies under the whole barrel; no rocks or blocks; over-dig refilled and tamped"
            .into(),
    );
    ticks.push(format!(
        "Wrap round {} pipes where they come through concrete",
        takeoff.wraps.len()
    ));
    ticks.push("The test is on, the water can be seen".into());
    let asks = outcome
        .findings
        .iter()
        .filter(|f| f.verdict != checks::Verdict::Note);
    ticks.extend(asks.map(|f| format!("{}: {} ({})", f.verdict, f.says, f.source.says)));
    ticks
}

/// A line for every run: sizes, grade, length, load.
fn runs(outcome: &Outcome, t: usize) -> Vec<String> {
    let lines = outcome.network.trees[t]
        .runs
        .iter()
        .zip(&outcome.grades[t].lines);
    lines
        .map(|(run, line)| {
            let sizes: Vec<String> = run.bores.iter().map(|bore| bore.size.to_string()).collect();
            let closets = match run.closets {
                0 => String::new(),
                1 => ", one closet".into(),
                more => format!(", {more} closets"),
            };
            let (long, dfu) = (
                feet_inches(line.length, 16),
                (run.dfu * 10.0).round() / 10.0,
            );
            format!(
                "{}: {}, {} per ft over {long}, {dfu} DFU{closets}",
                run.id,
                sizes.join(" then "),
                line.grade
            )
        })
        .collect()
}

fn photographs(outcome: &Outcome, takeoff: &Takeoff) -> Vec<String> {
    let mut ticks: Vec<String> = vec![
        "Address and permit card".into(),
        "The whole layout from each corner of the form".into(),
        format!(
            "Each of the {} assemblies with a tape and its card",
            takeoff.order.len()
        ),
        "A level on every run, the bubble to be seen".into(),
    ];
    ticks.extend(outcome.layout.drains.iter().map(|d| {
        format!(
            "Where {} leaves the foundation, its sleeve and cleanout",
            d.id
        )
    }));
    ticks.push("The stand pipe's water mark at the start and at the end, with a clock".into());
    ticks.push(format!(
        "Each of the {} stubs with two tapes to the fixed points",
        outcome.assembly.stubs.len()
    ));
    ticks
}

fn asked(questions: &[Question]) -> Vec<Block> {
    if questions.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Heading("Questions for your inspector".into())];
    for question in questions {
        let mut table = Table::new(["Code", "Says", "Sections", "Answer"]);
        for side in &question.sides {
            table.row([
                side.code.to_string(),
                side.verdict.into(),
                side.sections.join("; "),
                String::new(),
            ]);
        }
        blocks.push(Block::Text(question.says.clone()));
        blocks.push(Block::Table(table));
    }
    blocks
}
