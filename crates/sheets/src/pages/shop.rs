//! Shop and trench: what to buy, what to saw from which stick, and a card for every assembly that is glued.

use std::f64::consts::FRAC_PI_8;

use catalog::{Cement, EndName, Wait, Weather};
use fittings::{Piece, What};
use flow::Outcome;
use glam::{DVec2, DVec3};
use takeoff::{Bench, Takeoff};
use units::{Size, feet_inches, inches_text};

use super::{
    content::{Block, Figure, Pen, Sheet, Stick, Table},
    house::{Fixed, fixed_points, height, name, outline, place, plan, reach, short_tie_cells},
};

/// The page of lists.
pub fn sheet(outcome: &Outcome, takeoff: &Takeoff) -> Sheet {
    let mut blocks = vec![
        Block::Caution(
            "Primer and cement are vapour and fire: work in moving air, gloves on, no flame. In a trench the vapour stays \
             low. Wet joints and cold wait longer than the table."
                .into(),
        ),
        Block::Heading("To buy".into()),
        Block::Text(
            "PVC throughout: schedule 40 drain, waste and vent pipe and fittings (dimensions as ASTM D2665), with the primer and \
             the solvent cement made for PVC. Pipe and fittings of another plastic do not glue to it. Counts hold the spares: what is not glued in goes back \
             to the shop."
                .into(),
        ),
        Block::Table(buying(takeoff)),
    ];
    let not_bought = takeoff.not_bought();
    if !not_bought.is_empty() {
        blocks.push(Block::Text(not_bought));
    }
    if let Some((riser, n)) = takeoff
        .test_riser
        .as_ref()
        .and_then(|r| Some((r, r.stick?)))
    {
        blocks.push(Block::Text(format!(
            "The test's stand pipe, {} of {}, comes from what is left of {} stick {}: keep that until the test has passed.",
            inches_text(riser.length, 16),
            riser.size,
            riser.size,
            n + 1
        )));
    }
    blocks.push(Block::Text(format!(
        "Cement {:.1} qt, primer {:.1} qt, spare in. Stakes and straps: {}. Lengths marked ? rest on dimensions nobody has \
         measured: measure the fitting in hand before that cut.",
        takeoff.cement_quarts, takeoff.primer_quarts, takeoff.stakes
    )));
    blocks.extend([
        Block::Heading("Cut list".into()),
        Block::Table(cutting(takeoff)),
    ]);
    blocks.extend(sticks(takeoff));
    blocks.extend(other_ways(takeoff));
    blocks.extend([
        Block::Heading("Cement".into()),
        Block::Table(waiting(outcome, takeoff)),
    ]);
    Sheet {
        name: "shop".into(),
        title: "Shop list and cuts".into(),
        purpose:
            "For the shop trip and the saw: what to buy, and which piece comes from which stick."
                .into(),
        lying: false,
        blocks,
    }
}

fn buying(takeoff: &Takeoff) -> Table {
    let mut table = Table::new(["Count", "What", "What for", "Price each", "Got"]);
    for line in &takeoff.buy {
        let price = line
            .price
            .map_or_else(String::new, |price| format!("{price:.2}"));
        table.row([
            line.count.to_string(),
            line.name.clone(),
            line.note.clone(),
            price,
            String::new(),
        ]);
    }
    table
}

fn cutting(takeoff: &Takeoff) -> Table {
    let mut table = Table::new(["Piece", "Size", "Cut", "For", "Between", "Cut at"]);
    for cut in &takeoff.cuts {
        let doubt = if cut.provisional || cut.check {
            " ?"
        } else {
            ""
        };
        let end = |label: &Option<String>| label.clone().unwrap_or_else(|| "open".into());
        table.row([
            cut.label.clone(),
            cut.size.to_string(),
            format!("{}{doubt}", inches_text(cut.length.value, 16)),
            cut.id.to_string(),
            format!("{} and {}", end(&cut.down), end(&cut.up)),
            String::new(),
        ]);
    }
    table
}

/// The cut plan, stick by stick, a size after another.
fn sticks(takeoff: &Takeoff) -> Vec<Block> {
    let mut blocks = Vec::new();
    for line in takeoff
        .pipe
        .iter()
        .filter(|line| !line.plan.sticks.is_empty())
    {
        let count = line.plan.sticks.len();
        let sticks = if count == 1 { "stick" } else { "sticks" };
        blocks.push(Block::Heading(format!(
            "{} pipe: {count} {sticks}",
            line.size
        )));
        let all = line.plan.sticks.iter().enumerate();
        blocks.extend(all.map(|(n, stick)| Block::Stick(sawn(takeoff, n, stick))));
        if !line.too_long.is_empty() {
            let label = |c: &usize| takeoff.cuts[*c].label.as_str();
            let long: Vec<&str> = line.too_long.iter().map(label).collect();
            blocks.push(Block::Text(format!(
                "Longer than any stick, so two pieces and a coupling each: {}.",
                long.join(", ")
            )));
        }
    }
    blocks
}

fn sawn(takeoff: &Takeoff, n: usize, stick: &takeoff::Stick) -> Stick {
    let piece = |c: &usize| {
        (
            takeoff.cuts[*c].label.clone(),
            takeoff.cuts[*c].length.value,
        )
    };
    Stick {
        name: format!("Stick {}, {}", n + 1, feet_inches(stick.length, 1)),
        length: stick.length,
        pieces: stick.pieces.iter().map(piece).collect(),
        left: stick.left.max(0.0),
    }
}

fn waiting(outcome: &Outcome, takeoff: &Takeoff) -> Table {
    let mut table = Table::new([
        "Size",
        "Joints",
        "People",
        "Hold",
        "Set at 60-100 F",
        "Set at 40-60 F",
        "Set at 0-40 F",
    ]);
    for line in &takeoff.joints {
        let wait = |weather| minutes(outcome.catalog.cement(), line.size, weather);
        table.row([
            line.size.to_string(),
            line.count.to_string(),
            format!("{:.0}", line.people),
            format!("{:.0} s", line.hold_seconds),
            wait(Weather::Warm),
            wait(Weather::Cool),
            wait(Weather::Cold),
        ]);
    }
    table
}

fn minutes(cement: &Cement, size: Size, weather: Weather) -> String {
    time(cement.minutes(Wait::Set, size, weather, false))
}

/// One card an assembly, in the order they are glued.
pub fn cards(outcome: &Outcome, takeoff: &Takeoff) -> Vec<Sheet> {
    let fixed = fixed_points(outcome);
    let count = takeoff.order.len();
    takeoff
        .order
        .iter()
        .enumerate()
        .map(|(n, bench)| card(outcome, takeoff, &fixed, n, count, bench))
        .collect()
}

fn card(
    outcome: &Outcome,
    takeoff: &Takeoff,
    fixed: &[Fixed],
    n: usize,
    count: usize,
    bench: &Bench,
) -> Sheet {
    let mut pictures = vec![key_plan(outcome, fixed, bench)];
    if bench.pieces.len() > 1 {
        pictures.push(exploded(outcome, takeoff, bench));
    }
    let mut blocks = vec![
        Block::Text(head(outcome, takeoff, n, count, bench)),
        Block::Beside(pictures),
    ];
    blocks.extend(where_it_goes(outcome, takeoff, fixed, bench));
    blocks.extend([
        Block::Heading("Pieces, in the order of gluing".into()),
        Block::Table(pieces(outcome, takeoff, bench)),
    ]);
    blocks.extend(cement(outcome, bench));
    blocks.push(Block::Text(
        "Fitted dry a pipe stops part-way into each hub: dry it is longer than glued by the figure given, least to most. \
         Draw a line on the pipe at the socket's depth and push home to it."
            .into(),
    ));
    blocks.extend(left_open(outcome, takeoff, bench));
    blocks.push(Block::Ticks(stops(outcome, bench)));
    Sheet {
        name: format!("glue-{:02}", n + 1),
        title: format!("Glue-up card A{} of {count}", n + 1),
        purpose: "For two helpers at one assembly: dry-fit, mark, measure, glue.".into(),
        lying: true,
        blocks,
    }
}

/// Branches that can be made in another way, each in a sentence.
fn other_ways(takeoff: &Takeoff) -> Vec<Block> {
    let ways = takeoff.ways.iter();
    let says = ways.map(|ways| Block::Text(format!("{}.", ways.says(&takeoff.labels))));
    let heading = Block::Heading("Branches that can be made another way".into());
    if takeoff.ways.is_empty() {
        return Vec::new();
    }
    std::iter::once(heading).chain(says).collect()
}

/// How long the joints of an assembly are held, left alone, and cured before the test: those of its largest pipe, which
/// take longest.
fn cement(outcome: &Outcome, bench: &Bench) -> Option<Block> {
    let own = bench.bench_joints.iter().chain(&bench.home);
    let size = own.map(|j| outcome.assembly.joints[*j].size).max()?;
    let cement = outcome.catalog.cement();
    let waits = |wait| {
        let each = [Weather::Warm, Weather::Cool, Weather::Cold];
        each.map(|weather| time(cement.minutes(wait, size, weather, false)))
            .join(", ")
    };
    Some(Block::Text(format!(
        "Cement, {size} joints: hold {:.0} s; leave alone {}; cure before water {} (at 60 to 100 F, 40 to 60 F, 0 to 40 F; half \
         as long again when damp). The label on the can governs.",
        cement.hold_seconds(size).value,
        waits(Wait::Set),
        waits(Wait::Cure),
    )))
}

/// Minutes in words: `30 min`, `12 h`.
fn time(minutes: f64) -> String {
    if minutes < 180.0 {
        format!("{minutes:.0} min")
    } else {
        format!("{:.0} h", minutes / 60.0)
    }
}

fn head(outcome: &Outcome, takeoff: &Takeoff, n: usize, count: usize, bench: &Bench) -> String {
    let home = bench.home.map_or_else(
        || "It is the first: it hangs on nothing.".into(),
        |j| {
            let joint = &outcome.assembly.joints[j];
            format!(
                "It goes home on {} ({} joint, {}).",
                takeoff.labels[joint.near.0],
                joint.size,
                helpers(bench.people)
            )
        },
    );
    let last = if bench.last {
        " Leave this joint dry until all others are glued, also those of cards that hang on this one: then all of it is \
         pushed home at once and takes up what is over. Bed nothing of it before."
    } else {
        ""
    };
    let test = bench.home.filter(|_| after_the_test(outcome, bench)).map_or(String::new(), |j| {
        let near = &takeoff.labels[outcome.assembly.joints[j].near.0];
        format!(" Not before the water test has passed: until then the test's cap closes {near} there.")
    });
    let sleeve = through_sleeve(outcome, takeoff, bench).unwrap_or_default();
    format!(
        "Assembly A{} of {count}, {}, {} long, {:.0} lb. {home}{last}{test}{sleeve} Made by ________  checked by ________  date ________",
        n + 1,
        if bench.pieces.len() == 1 {
            "one piece".into()
        } else {
            format!("{} pieces", bench.pieces.len())
        },
        feet_inches(bench.length, 4),
        bench.weight
    )
}

/// Whether an assembly goes on where the cap of the water test sits: on the pipe that has come through the foundation.
fn after_the_test(outcome: &Outcome, bench: &Bench) -> bool {
    let near = bench.home.map(|j| outcome.assembly.joints[j].near.0);
    let Some(near) = near.filter(|near| !bench.pieces.contains(near)) else {
        return false;
    };
    let (a, b) = ends(outcome, &outcome.assembly.pieces[near]);
    let mut drains = outcome.layout.drains.iter();
    let passes =
        drains.any(|drain| stands_out(a.truncate(), b.truncate(), drain.exit.at).is_some());
    let outside = bench.pieces.iter().any(|p| {
        let id = &outcome.assembly.pieces[*p].id;
        outcome.layout.drains.iter().any(|drain| drain.id == *id)
    });
    passes && outside
}

/// What to do first where a pipe of the assembly lies in a sleeve of the foundation, and how far that pipe then stands out.
fn through_sleeve(outcome: &Outcome, takeoff: &Takeoff, bench: &Bench) -> Option<String> {
    let pipes = || {
        bench
            .pieces
            .iter()
            .filter(|p| outcome.assembly.pieces[**p].part().is_none())
    };
    let mut drains = outcome.layout.drains.iter();
    drains.find_map(|drain| {
        let sleeved = takeoff.sleeves.iter().any(|s| s.of == drain.id) || drain.exit.sleeve_bottom.is_some();
        let (p, out) = pipes().find_map(|p| {
            let (a, b) = ends(outcome, &outcome.assembly.pieces[*p]);
            stands_out(a.truncate(), b.truncate(), drain.exit.at).map(|out| (*p, out))
        })?;
        sleeved.then(|| {
            format!(
                " Push {} through the sleeve first, by itself, until its end stands {} out of the outside face; what comes \
                 next is glued on it in the trench.",
                takeoff.labels[p],
                inches_text(out, 16)
            )
        })
    })
}

/// How far a pipe from `a` (its outer end) to `b` stands out past a place it passes; `None` when it does not.
fn stands_out(a: DVec2, b: DVec2, past: DVec2) -> Option<f64> {
    let long = a.distance(b);
    let along = (past - a).dot(b - a) / long.max(1e-9);
    let beside = (past - a).perp_dot(b - a).abs() / long.max(1e-9);
    (beside < 0.5 && along > 0.0 && along < long).then_some(along)
}

/// The height that pictures take of a card of two pages, inches of paper.
const PICTURES: f64 = 3.2;
/// A card of so many pieces and points is held on one lying page by smaller pictures; one of more takes two.
const ON_ONE_PAGE: usize = 4;

/// How high a card's pictures are drawn, inches of paper: what lines of a quarter inch leave of a page.
fn picture_height(bench: &Bench) -> f64 {
    let fittings = bench.pieces.len() / 2 + 1;
    let lines = bench.pieces.len() + fittings;
    if lines > ON_ONE_PAGE {
        return PICTURES;
    }
    2.6 - 0.22 * lines as f64
}

fn key_plan(outcome: &Outcome, fixed: &[Fixed], bench: &Bench) -> Figure {
    let mut figure = plan(
        outcome,
        "Where it lies: this assembly bold",
        picture_height(bench),
    );
    for piece in bench.pieces.iter().map(|p| &outcome.assembly.pieces[*p]) {
        let (a, b) = ends(outcome, piece);
        figure.stroke([a.truncate(), b.truncate()], Pen::Bold);
    }
    let corners = outline(outcome).len();
    fixed
        .iter()
        .take(corners)
        .for_each(|point| figure.dot(point.at, point.name.clone()));
    figure
}

fn helpers(people: u32) -> String {
    if people == 1 {
        "one helper".into()
    } else {
        format!("{people} helpers")
    }
}

/// The far ends of a piece; a fitting's body is taken from its outlet to its inlet.
fn ends(outcome: &Outcome, piece: &Piece) -> (DVec3, DVec3) {
    let at = |end: EndName| {
        piece
            .end(end, &outcome.catalog)
            .map(|(stop, _)| piece.frame.at + piece.frame.turned(stop.to_array()))
    };
    let first = at(EndName::Outlet).unwrap_or(piece.frame.at);
    let second = at(EndName::Inlet)
        .or_else(|| at(EndName::Branch))
        .unwrap_or(piece.frame.at);
    (first, second)
}

/// Ties and levels of the assembly's fittings and stubs.
fn where_it_goes(
    outcome: &Outcome,
    takeoff: &Takeoff,
    fixed: &[Fixed],
    bench: &Bench,
) -> Vec<Block> {
    let mut table = Table::new([
        "Point",
        "Tape 1",
        "Tape 2",
        "Check",
        "By strings",
        "Level",
        "Found",
    ]);
    for p in &bench.pieces {
        let piece = &outcome.assembly.pieces[*p];
        let Some(part) = piece.part() else { continue };
        let at = piece.frame.at;
        let bore = outcome.catalog.pipe(piece.size).id();
        let flat = piece.frame.x.z.abs() < 0.5;
        let outlet = piece.end(EndName::Outlet, &outcome.catalog);
        let level = if part.pattern == catalog::Pattern::PTrap {
            let out = outlet.map_or(at, |(stop, _)| at + piece.frame.turned(stop.to_array()));
            format!("outlet invert {}", height(out.z - bore / 2.0))
        } else if flat {
            format!("invert {}", height(at.z - bore / 2.0))
        } else {
            format!("middle {}", height(at.z))
        };
        let [one, two, check] = short_tie_cells(fixed, reach(outcome, fixed, at.truncate()));
        let what = format!("{} {}", takeoff.labels[*p], part);
        table.row([
            what,
            one,
            two,
            check,
            place(at.truncate()),
            level,
            String::new(),
        ]);
    }
    for stub in stubs_of(outcome, bench) {
        let [one, two, check] = short_tie_cells(fixed, reach(outcome, fixed, stub.at));
        let level = format!("top {}", height(stub.top));
        table.row([
            format!("stub {}", name(stub)),
            one,
            two,
            check,
            place(stub.at),
            level,
            String::new(),
        ]);
    }
    if table.rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Heading("Where it goes".into()),
        Block::Text("From the outside face of the form, tape level, to the middle of each fitting. * only while no wall stands.".into()),
        Block::Table(table),
    ]
}

/// The stubs whose last piece is in the assembly.
fn stubs_of<'a>(outcome: &'a Outcome, bench: &Bench) -> Vec<&'a fittings::Stub> {
    let closes = outcome
        .assembly
        .closures
        .iter()
        .filter(|c| bench.pieces.contains(&c.piece));
    closes
        .filter_map(|c| outcome.assembly.stubs.iter().find(|s| s.of == c.of))
        .collect()
}

/// An axonometric of the assembly with its pieces pulled a little apart.
fn exploded(outcome: &Outcome, takeoff: &Takeoff, bench: &Bench) -> Figure {
    let mut figure = Figure {
        caption: "Seen from south-south-east and above, pieces apart".into(),
        high: picture_height(bench),
        ..Figure::default()
    };
    for p in &bench.pieces {
        let piece = &outcome.assembly.pieces[*p];
        let (a, b) = ends(outcome, piece);
        let gap = ((a - b).length() * 0.12).min(3.0);
        let along = (b - a).normalize_or_zero();
        let (a, b) = (axonometric(a + along * gap), axonometric(b - along * gap));
        let pen = if piece.part().is_some() {
            Pen::Bold
        } else {
            Pen::Plain
        };
        if a.distance(b) > 1e-6 {
            figure.stroke([a, b], pen);
        }
        let branches = [EndName::Branch, EndName::OtherBranch];
        for (stop, _) in branches
            .iter()
            .filter_map(|end| piece.end(*end, &outcome.catalog))
        {
            let tip = piece.frame.at + piece.frame.turned(stop.to_array());
            figure.stroke([axonometric(piece.frame.at), axonometric(tip)], pen);
        }
        figure.word(a.midpoint(b), takeoff.labels[*p].clone());
    }
    figure
}

/// Heights upright, the plan turned by half of 45 degrees: on axes at 30 degrees a branch at 45 to the house would stand on
/// the paper like a riser.
fn axonometric(p: DVec3) -> DVec2 {
    let (sin, cos) = 30.0_f64.to_radians().sin_cos();
    let plan = DVec2::from_angle(FRAC_PI_8).rotate(p.truncate());
    DVec2::new((plan.x + plan.y) * cos, (plan.y - plan.x) * sin + p.z)
}

/// What a piece goes on, with its end where that is a branch: `F2`, `F2 branch`.
fn on(takeoff: &Takeoff, joint: &fittings::GlueJoint) -> String {
    let (near, end) = joint.near;
    let label = &takeoff.labels[near];
    let side = match end {
        EndName::Branch | EndName::OtherBranch | EndName::Heel => format!("{label} {}", end.word()),
        EndName::Outlet | EndName::Inlet => label.clone(),
    };
    if joint.glued {
        side
    } else {
        format!("{side}, screwed")
    }
}

fn pieces(outcome: &Outcome, takeoff: &Takeoff, bench: &Bench) -> Table {
    let mut table = Table::new([
        "Piece",
        "What",
        "Glued",
        "Dry longer",
        "Clock",
        "On",
        "Measured",
        "Glued ok",
    ]);
    for p in &bench.pieces {
        let piece = &outcome.assembly.pieces[*p];
        let joint = outcome.assembly.joints.iter().find(|j| j.far.0 == *p);
        let on = joint.map_or_else(|| "first".into(), |j| on(takeoff, j));
        let clock = takeoff
            .clocks
            .iter()
            .find(|c| c.piece == *p)
            .map_or_else(String::new, takeoff::ClockMark::says);
        let (what, long, dry) = match &piece.what {
            What::Fitting(part) => (part.to_string(), String::new(), String::new()),
            What::Pipe(cut) => {
                let depth = outcome.catalog.pipe(piece.size).socket_depth.value;
                let hubs = outcome
                    .assembly
                    .joints
                    .iter()
                    .filter(|j| j.glued && (j.near.0 == *p || j.far.0 == *p))
                    .count() as f64;
                let (least, most) = fittings::DRY_OPEN;
                let open = |part: f64| inches_text(hubs * depth * part, 8);
                (
                    format!("{} pipe", piece.size),
                    if cut.value > 0.0 {
                        inches_text(cut.value, 16)
                    } else {
                        "does not fit".into()
                    },
                    format!("{} to {}", open(least), open(most)),
                )
            }
        };
        table.row([
            takeoff.labels[*p].clone(),
            what,
            long,
            dry,
            clock,
            on,
            String::new(),
            String::new(),
        ]);
    }
    table.without_empty(&["Glued", "Dry longer", "Clock"])
}

/// Where an end of pipe of this assembly lies open that is no stub: the line outside where it meets what it runs to.
fn left_open(outcome: &Outcome, takeoff: &Takeoff, bench: &Bench) -> Vec<Block> {
    let joints = &outcome.assembly.joints;
    let open = |p: &&usize| {
        let piece = &outcome.assembly.pieces[**p];
        let outer = |end: EndName| {
            joints
                .iter()
                .all(|j| j.near != (**p, end) && j.far != (**p, end))
        };
        let outside = outcome
            .layout
            .drains
            .iter()
            .any(|drain| drain.id == piece.id);
        piece.part().is_none() && outside && outer(EndName::Outlet)
    };
    let found = bench.pieces.iter().filter(open);
    found
        .map(|p| {
            let piece = &outcome.assembly.pieces[*p];
            let at = ends(outcome, piece).0;
            let bore = outcome.catalog.pipe(piece.size).id();
            Block::Text(format!(
                "The lower end of {} lies at {}, invert {}, left open for the tank or sewer: ask there what joins it; that is \
                 not on the list.",
                takeoff.labels[*p],
                place(at.truncate()),
                height(at.z - bore / 2.0)
            ))
        })
        .collect()
}

/// The grades of an assembly's runs on a level four feet long: `1" on trunk`.
fn bubble(outcome: &Outcome, bench: &Bench) -> String {
    let mut falls: Vec<(f64, String)> = Vec::new();
    let lies = |id: &units::Id| {
        let pieces = bench.pieces.iter().map(|p| &outcome.assembly.pieces[*p]);
        pieces
            .into_iter()
            .any(|piece| piece.id == *id && piece.frame.x.z.abs() < 0.5)
    };
    for (tree, grades) in outcome.network.trees.iter().zip(&outcome.grades) {
        let lines = tree.runs.iter().zip(&grades.lines);
        let here = lines.filter(|(run, _)| lies(&run.id));
        falls.extend(here.map(|(run, line)| (line.grade.in_per_ft() * 4.0, run.id.to_string())));
        let drain = &outcome.layout.drains[tree.drain];
        let outside = grades.outside.as_ref().filter(|_| lies(&drain.id));
        falls.extend(outside.map(|line| (line.in_per_ft * 4.0, format!("{} outside", drain.id))));
    }
    let mut told: Vec<String> = Vec::new();
    for (fall, _) in &falls {
        let same = falls
            .iter()
            .filter(|(other, _)| (other - fall).abs() < 1e-9);
        let names: Vec<&str> = same.map(|(_, name)| name.as_str()).collect();
        told.push(format!(
            "{} on {}",
            inches_text(*fall, 16),
            names.join(", ")
        ));
    }
    told.dedup();
    told.join("; ")
}

fn stops(outcome: &Outcome, bench: &Bench) -> Vec<String> {
    let own = bench.bench_joints.iter().chain(&bench.home);
    let largest = own.map(|j| outcome.assembly.joints[*j].size).max();
    let two = largest.is_some_and(|size| outcome.catalog.cement().people(size).value > 1.0);
    let each = if two && bench.people < 2 {
        "Each joint, one helper, two where it is 3 in or more".to_owned()
    } else {
        format!("Each joint, {}", helpers(bench.people))
    };
    let falls = bubble(outcome, bench);
    let falls = if falls.is_empty() {
        String::new()
    } else {
        format!(" (in 4 ft: {falls})")
    };
    vec![
        "Dry-fitted; every tie within 1/4 in, both ways. Off by more than 1/2 in: stop, call"
            .into(),
        format!(
            "Fall read with a 4 ft level on every run{falls}; clock marks drawn across each joint"
        ),
        "Plumber or inspector has looked, if one is to look before glue".into(),
        format!("{each}: primer on both, cement on both, push, quarter turn where it can, hold"),
        "Every joint wiped and ticked; ends capped".into(),
        "Measured again after glue, written in the column Found".into(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_pipe_at_a_multiple_of_45_degrees_is_drawn_like_a_riser() {
        for eighth in 0..8 {
            let way = DVec2::from_angle(f64::from(eighth) * std::f64::consts::FRAC_PI_4);
            let drawn = axonometric(way.extend(0.0)).normalize();
            assert!(drawn.x.abs() > 0.3, "{way} is drawn as {drawn}");
        }
    }
}
