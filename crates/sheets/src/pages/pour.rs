//! Pour day: what to guard while concrete comes, what to measure before the truck, what floats.

use std::collections::BTreeSet;

use catalog::EXPANSION_PER_F;
use flow::Outcome;
use takeoff::{STRAP_EVERY, Takeoff};
use trench::float::{CONCRETE, Inside, WATER, hold_down, net, pipe_weight};
use units::{Size, feet_inches, inches_text};

use super::{
    content::{Block, Figure, Sheet, Table},
    house::{comes_up_in, fixed_points, height, name, place, plan, reach, size, tie_cells},
};

/// The page.
pub fn sheet(outcome: &Outcome, takeoff: &Takeoff) -> Sheet {
    let mut blocks = vec![
        Block::Caution(
            "Wet concrete burns skin and eyes: boots, gloves, water at hand. One helper walks ahead of the concrete with this \
             page and does nothing else. Nobody moves a string before the stubs are measured."
                .into(),
        ),
        Block::Figure(drawing(outcome)),
        Block::Heading("Stubs to guard".into()),
        Block::Table(guard(outcome)),
    ];
    blocks.extend([
        Block::Heading("Before the truck".into()),
        Block::Ticks(before(outcome, takeoff)),
    ]);
    blocks.extend(openings(outcome, takeoff));
    blocks.extend(floats(outcome, takeoff));
    blocks.extend(shrink(outcome));
    Sheet {
        name: "pour".into(),
        title: "Pour day".into(),
        purpose:
            "For the helper who walks ahead of the concrete: what to guard, measure and hold down."
                .into(),
        lying: true,
        blocks,
    }
}

fn drawing(outcome: &Outcome) -> Figure {
    let mut figure = plan(outcome, "Stubs by name", 5.9);
    outcome
        .assembly
        .stubs
        .iter()
        .for_each(|stub| figure.dot(stub.at, name(stub)));
    figure
}

fn guard(outcome: &Outcome) -> Table {
    let fixed = fixed_points(outcome);
    let mut table = Table::new([
        "Stub", "Size", "In", "Tape 1", "Tape 2", "Top", "Before", "After",
    ]);
    for stub in &outcome.assembly.stubs {
        let [one, two, _] = tie_cells(&fixed, reach(outcome, &fixed, stub.at));
        table.row([
            name(stub),
            size(stub),
            comes_up_in(outcome, stub),
            one,
            two,
            height(stub.top),
            String::new(),
            String::new(),
        ]);
    }
    table
}

/// Stubs that end at the floor or under it, in open floor: the concrete would close over them.
fn flush(outcome: &Outcome) -> Option<String> {
    let stubs = outcome.assembly.stubs.iter();
    let low = stubs.filter(|stub| stub.top < 0.5 && stub.landing == layout::Landing::Floor);
    let inside = low.filter(|stub| comes_up_in(outcome, stub) == "open floor");
    let names: Vec<String> = inside.map(name).collect();
    (!names.is_empty()).then(|| {
        format!(
            "{}: box it out, or leave it long and cut it after; concrete would close over its top (common practice, no source)",
            names.join(", ")
        )
    })
}

fn before(outcome: &Outcome, takeoff: &Takeoff) -> Vec<String> {
    let mut ticks = vec![
        format!("All {} stubs capped, caps glued or taped, plumb within 1/4 in a foot", outcome.assembly.stubs.len()),
        format!("{} stakes and {} straps: one at every riser, one every {} of lying pipe", takeoff.stakes, takeoff.straps, feet_inches(STRAP_EVERY, 4)),
        format!("Wrap on {} pipes, from under the concrete to an inch over it, or to the stub's top where that is lower", takeoff.wraps.len()),
        "Test water left in, its level marked; a drop while concrete goes in shows a hit. Not in freezing weather".into(),
        "Every stub measured by two tapes and written under Before".into(),
        "Heights read again after the mesh is in; strings show the concrete's top".into(),
        "After: pour a bucket in at each stub and see it come out where the drain leaves, its cap off; a leak test alone does not show concrete in a pipe".into(),
    ];
    ticks.extend(flush(outcome));
    ticks
}

/// Sleeves, box-outs and closet collars.
fn openings(outcome: &Outcome, takeoff: &Takeoff) -> Vec<Block> {
    let mut table = Table::new(["What", "Size", "Where", "Set"]);
    for sleeve in &takeoff.sleeves {
        let size = format!("{} by {}", sleeve.size, inches_text(sleeve.length, 4));
        table.row([
            format!("sleeve of {}", sleeve.of),
            size,
            place(sleeve.at),
            String::new(),
        ]);
    }
    for made in &outcome.layout.box_outs {
        let size = format!(
            "{} by {}, {} deep",
            inches_text(made.size.x, 4),
            inches_text(made.size.y, 4),
            inches_text(made.depth, 4)
        );
        table.row([
            format!("box-out {}, filled and lidded", made.id),
            size,
            place(made.centre),
            String::new(),
        ]);
    }
    for collar in &takeoff.collars {
        table.row([
            format!("collar round {}, foam or a short wide sleeve", collar.of),
            format!("round {}, room for its flange's hub", collar.size),
            place(collar.at),
            String::new(),
        ]);
    }
    if table.rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Heading("Sleeves, box-outs and collars".into()),
        Block::Table(table),
    ]
}

/// Lift by size, in water and in concrete, and what each strap holds.
fn floats(outcome: &Outcome, takeoff: &Takeoff) -> Vec<Block> {
    let sizes: BTreeSet<Size> = takeoff.pipe.iter().map(|line| line.size).collect();
    let mut table = Table::new([
        "Size",
        "Empty, flooded trench",
        "Full, flooded trench",
        "Empty, in wet concrete",
        "Full, in wet concrete",
        "Each strap, full, in concrete",
    ]);
    let says = |lift: f64| {
        if lift > 0.0 {
            format!("lifts {lift:.2} lb/ft")
        } else {
            format!("sinks {:.2} lb/ft", -lift)
        }
    };
    for size in sizes {
        let pipe = outcome.catalog.pipe(size);
        let (od, id) = (pipe.od, pipe.id());
        let weight = pipe_weight(od, id, catalog::PVC_DENSITY);
        let lift = |content, density| net(od, id, weight, content, density);
        let held = hold_down(lift(Inside::Water, CONCRETE), STRAP_EVERY);
        table.row([
            size.to_string(),
            says(lift(Inside::Air, WATER)),
            says(lift(Inside::Water, WATER)),
            says(lift(Inside::Air, CONCRETE)),
            says(lift(Inside::Water, CONCRETE)),
            format!("{held:.0} lb"),
        ]);
    }
    if table.rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Heading("Pipe floats".into()),
        Block::Text(
            "Test water keeps a pipe down if rain fills the trench. It does not hold a pipe that concrete flows round: strap it. \
             Water 62.4, concrete 150, PVC 86 lb a cubic foot (municipal pipe buoyancy sheet)."
                .into(),
        ),
        Block::Table(table),
    ]
}

/// How much each chain has shortened since it was glued.
fn shrink(outcome: &Outcome) -> Vec<Block> {
    let mut table = Table::new([
        "Stub",
        "Shorter for each 10 F cooler",
        "Glued at, F",
        "Now, F",
        "Moved",
    ]);
    for closure in outcome
        .assembly
        .closures
        .iter()
        .filter(|c| c.shrink_per_10f > 1.0 / 32.0)
    {
        let stub = outcome.assembly.stubs.iter().find(|s| s.of == closure.of);
        let called = stub.map_or_else(|| closure.id.to_string(), name);
        table.row([
            called,
            inches_text(closure.shrink_per_10f, 32),
            String::new(),
            String::new(),
            String::new(),
        ]);
    }
    let mut blocks = vec![
        Block::Heading("What shrank since gluing".into()),
        Block::Text(format!(
            "Pipe glued in the sun and poured in the cool of the morning is shorter by {} in 100 ft for every 10 F (from memory \
             of plastic pipe handbooks). Measure stubs in the morning, not the evening before.",
            inches_text(EXPANSION_PER_F * 10.0 * 1200.0, 64)
        )),
    ];
    if table.rows.is_empty() {
        blocks.push(Block::Text(
            "No stub here moves more than 1/32 in for 10 F.".into(),
        ));
    } else {
        blocks.push(Block::Table(table));
    }
    blocks
}
