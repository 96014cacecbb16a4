//! Control and layout: what is staked before the dig, and where every stub goes by two tapes, a check and two strings.

use flow::Outcome;
use glam::DVec2;
use trench::{square, ties};
use units::{feet_inches, inches_text};

use super::{
    content::{Block, Figure, Pen, Sheet, Table},
    house::{
        Fixed, comes_up_in, fixed_points, height, letter, name, outline, place, plan, reach, size,
        tie_cells, tolerance,
    },
};

/// How far outside the form the string stakes stand, inches (common practice, no source).
const STAKE_OUT: f64 = 36.0;
/// How near the line outside a stake may stand, inches: the dig would take it.
const STAKE_CLEAR: f64 = 30.0;
/// The longer leg of the longest triangle that a 50 ft tape closes, inches.
const LONGEST_LEG: f64 = 480.0;
/// How far the far side of the forms may lean, inches (common practice, no source).
const SQUARE_WITHIN: f64 = 0.25;

/// A cabinet smaller than this has no room for the numbers of its corners on the map, inches.
const LABELLED: f64 = 18.0;
/// What the star beside a pull means.
const BEFORE_WALLS: &str = "* crosses a wall that will stand: pull it while none does.";

/// The page.
pub fn sheet(outcome: &Outcome) -> Sheet {
    let fixed = fixed_points(outcome);
    let mut blocks = vec![
        Block::Text(
            "All is taken from the outside face of the form, with the tape level. E is east and N is north of the form's \
             south-west corner. Both ways must agree within 1/4 in before anything is glued; off by more than 1/2 in: stop."
                .into(),
        ),
        Block::Figure(drawing(outcome, &fixed)),
        Block::Heading("Fixed points".into()),
        Block::Table(points(&fixed)),
    ];
    blocks.extend(baselines(outcome));
    blocks.extend(squaring(outcome));
    blocks.extend(stubs(outcome, &fixed));
    blocks.extend(turned(outcome, &fixed));
    Sheet {
        name: "control".into(),
        title: "Control and layout".into(),
        purpose:
            "For whoever holds the tapes: what stays outside the dig, and where each stub goes."
                .into(),
        lying: true,
        blocks,
    }
}

fn drawing(outcome: &Outcome, fixed: &[Fixed]) -> Figure {
    let mut figure = plan(
        outcome,
        "Fixed points by letter, stakes S1 to W2, sides of the form, stubs by name, strings dashed",
        6.4,
    );
    let layout = &outcome.layout;
    let cabinets = layout
        .cabinets
        .iter()
        .map(|c| (c.centre, c.size, c.turn_deg));
    let boxes = layout
        .box_outs
        .iter()
        .map(|b| (b.centre, b.size, b.turn_deg));
    for (centre, size, turn) in cabinets.chain(boxes) {
        let first = centre - DVec2::from_angle(turn.to_radians()).rotate(size / 2.0);
        let corners = square::turned(first, size, turn);
        figure.outline(&corners, Pen::Faint);
        if size.min_element() > LABELLED {
            let all = corners.iter().enumerate();
            all.for_each(|(n, at)| figure.word(*at, (n + 1).to_string()));
        }
    }
    for string in strings(outcome) {
        let [first, second] = &string.stakes;
        figure.stroke([first.at, second.at], Pen::Dashed);
        string
            .stakes
            .iter()
            .for_each(|stake| figure.dot(stake.at, stake.name));
    }
    sides(outcome)
        .into_iter()
        .for_each(|(at, long)| figure.word(at, long));
    fixed
        .iter()
        .for_each(|point| figure.dot(point.at, point.name.clone()));
    outcome
        .assembly
        .stubs
        .iter()
        .for_each(|stub| figure.dot(stub.at, name(stub)));
    figure
}

/// How long each side of the form is, at its middle.
fn sides(outcome: &Outcome) -> Vec<(DVec2, String)> {
    let corners = outline(outcome);
    let next = corners.iter().cycle().skip(1);
    let sides = corners.iter().zip(next);
    sides
        .map(|(a, b)| ((a + b) / 2.0, feet_inches(a.distance(*b), 16)))
        .collect()
}

/// A string along a face of the form, between two stakes.
struct LineString {
    name: &'static str,
    face: &'static str,
    stakes: [Stake; 2],
}

/// Where a string is tied: how far out from the form.
struct Stake {
    name: &'static str,
    at: DVec2,
    out: f64,
}

/// The strings along the south and west faces; none without a form.
fn strings(outcome: &Outcome) -> Vec<LineString> {
    let Some((low, high)) = bounds(outline(outcome)) else {
        return Vec::new();
    };
    let stake = |name, corner: DVec2, way: DVec2| {
        let out = stake_out(outcome, corner, way);
        Stake {
            name,
            at: corner + way * out,
            out,
        }
    };
    vec![
        LineString {
            name: "String S",
            face: "south",
            stakes: [
                stake("S1", low, DVec2::NEG_X),
                stake("S2", DVec2::new(high.x, low.y), DVec2::X),
            ],
        },
        LineString {
            name: "String W",
            face: "west",
            stakes: [
                stake("W1", low, DVec2::NEG_Y),
                stake("W2", DVec2::new(low.x, high.y), DVec2::Y),
            ],
        },
    ]
}

fn bounds(outline: &[DVec2]) -> Option<(DVec2, DVec2)> {
    let low = outline.iter().copied().reduce(DVec2::min)?;
    let high = outline.iter().copied().reduce(DVec2::max)?;
    Some((low, high))
}

fn points(fixed: &[Fixed]) -> Table {
    let mut table = Table::new(["Point", "What it is"]);
    fixed
        .iter()
        .for_each(|point| table.row([point.name.clone(), point.what.clone()]));
    table
}

/// Strings along the south and west faces, with their stakes and the benchmark.
fn baselines(outcome: &Outcome) -> Vec<Block> {
    let strings = strings(outcome);
    if strings.is_empty() {
        return Vec::new();
    }
    let mut table = Table::new(["Mark", "Where", "Set"]);
    for string in strings {
        for stake in string.stakes {
            let side = format!(
                "{}: on the line of the {} face, {} out from the form",
                string.name,
                string.face,
                feet_inches(stake.out, 4)
            );
            table.row([format!("Stake {}", stake.name), side, String::new()]);
        }
    }
    let bench =
        "a nail or bolt that will not move, outside the dig; its level from finished floor:".into();
    table.row(["Benchmark".into(), bench, String::new()]);
    vec![
        Block::Heading("Strings and benchmark".into()),
        Block::Text("String S runs from stake S1 to S2 along the south face, string W from W1 to W2 along the west face; they cross over corner A. Keep the strings until the morning of the pour.".into()),
        Block::Table(table),
    ]
}

/// How far out a stake stands on its line so that no trench outside takes it.
fn stake_out(outcome: &Outcome, corner: DVec2, way: DVec2) -> f64 {
    let lines: Vec<(DVec2, DVec2)> = outcome
        .assembly
        .bodies
        .iter()
        .filter(|body| {
            outcome
                .layout
                .drains
                .iter()
                .any(|drain| drain.id == body.id)
        })
        .flat_map(|body| body.tubes.iter().map(|t| (t.a.truncate(), t.b.truncate())))
        .collect();
    let clear = |out: &f64| {
        let stake = corner + way * *out;
        lines
            .iter()
            .all(|(a, b)| distance(stake, *a, *b) >= STAKE_CLEAR)
    };
    [1.0, 2.0, 3.0, 4.0]
        .map(|n| n * STAKE_OUT)
        .into_iter()
        .find(clear)
        .unwrap_or(STAKE_OUT)
}

fn distance(point: DVec2, a: DVec2, b: DVec2) -> f64 {
    let along = b - a;
    let t = ((point - a).dot(along) / along.length_squared().max(1e-9)).clamp(0.0, 1.0);
    point.distance(a + along * t)
}

/// Diagonals of the forms.
fn squaring(outcome: &Outcome) -> Vec<Block> {
    let corners = outline(outcome);
    let Some((low, high)) = bounds(corners) else {
        return Vec::new();
    };
    let size = high - low;
    let mut table = Table::new(["From", "To", "Design", "Measured"]);
    let n = corners.len();
    for i in 0..n {
        for j in i + 2..n {
            if i == 0 && j == n - 1 {
                continue;
            }
            let cells = [i, j].map(|k| format!("{} ({})", letter(k), place(corners[k])));
            let [from, to] = cells;
            table.row([
                from,
                to,
                feet_inches(corners[i].distance(corners[j]), 16),
                String::new(),
            ]);
            if table.rows.len() >= 12 {
                break;
            }
        }
    }
    let mut says = if n == 4 {
        let allowed = square::allowed_difference(size.x, size.y, SQUARE_WITHIN);
        format!(
            "The two diagonals may differ by {} at most: that is a lean of 1/4 in over the depth of the house. ",
            inches_text(allowed, 16)
        )
    } else {
        "Every corner-to-corner distance must agree within 1/4 in. ".into()
    };
    if let Some([three, four, five]) = square::three_four_five(longer_leg(size)) {
        says += &format!(
            "Square a corner by {three:.0} ft, {four:.0} ft and {five:.0} ft across: the longest 3-4-5 that fits and a 50 ft tape closes."
        );
    }
    vec![
        Block::Heading("Are the forms square?".into()),
        Block::Text(says),
        Block::Table(table),
    ]
}

/// The longer leg of a 3-4-5 that a form of this size has room for, its shorter leg on the shorter side.
fn longer_leg(size: DVec2) -> f64 {
    let (short, long) = (size.min_element(), size.max_element());
    long.min(short * 4.0 / 3.0).min(LONGEST_LEG)
}

fn stubs(outcome: &Outcome, fixed: &[Fixed]) -> Vec<Block> {
    let mut pulls = Table::new([
        "Stub", "Tape 1", "Tape 2", "Check", "Crossing", "Within", "Found",
    ]);
    let mut strings = Table::new([
        "Stub",
        "Size",
        "Along string S",
        "Off it, N",
        "Along string W",
        "Off it, E",
        "Top",
        "Comes up in",
        "Found",
    ]);
    let Some((low, high)) = bounds(outline(outcome)) else {
        return Vec::new();
    };
    let mut starred = false;
    for stub in &outcome.assembly.stubs {
        let reached = reach(outcome, fixed, stub.at);
        starred |= reached.is_some_and(|r| r.before_walls || r.check_before_walls);
        let [first, second, check] = tie_cells(fixed, reached);
        let crossing = reached.map_or_else(String::new, |r| format!("{:.0} deg", r.ties.crossing));
        let within = format!("+-{}", inches_text(tolerance(outcome, stub), 16));
        pulls.row([
            name(stub),
            first,
            second,
            check,
            crossing,
            within,
            String::new(),
        ]);
        let south = ties::by_string(low, DVec2::new(high.x, low.y), stub.at);
        let west = ties::by_string(low, DVec2::new(low.x, high.y), stub.at);
        let (Some(south), Some(west)) = (south, west) else {
            continue;
        };
        strings.row([
            name(stub),
            size(stub),
            feet_inches(south.along, 16),
            feet_inches(south.offset, 16),
            feet_inches(west.along, 16),
            feet_inches(-west.offset, 16),
            height(stub.top),
            comes_up_in(outcome, stub),
            String::new(),
        ]);
    }
    if pulls.rows.is_empty() {
        return vec![Block::Text("This layout has no stubs yet.".into())];
    }
    let mut blocks = vec![
        Block::Heading("Stubs by two tapes".into()),
        Block::Text(
            "Pull both tapes at once to the centre of the pipe, level; the third must agree. Within: how far the centre may \
             stand off; heights within 1/8 in, risers plumb."
                .into(),
        ),
        Block::Table(pulls),
    ];
    if starred {
        blocks.push(Block::Text(BEFORE_WALLS.into()));
    }
    blocks.extend([
        Block::Heading("The same by strings".into()),
        Block::Table(strings),
    ]);
    blocks
}

/// Cabinets and box-outs that are turned, by their corners.
fn turned(outcome: &Outcome, fixed: &[Fixed]) -> Vec<Block> {
    let cabinets = outcome
        .layout
        .cabinets
        .iter()
        .map(|c| (&c.id, c.centre, c.size, c.turn_deg));
    let boxes = outcome
        .layout
        .box_outs
        .iter()
        .map(|b| (&b.id, b.centre, b.size, b.turn_deg));
    let mut table = Table::new(["Corner", "Where", "Tape 1", "Tape 2", "Found"]);
    let mut checks = Vec::new();
    let mut starred = false;
    for (id, centre, size, turn) in cabinets.chain(boxes) {
        let first = centre - DVec2::from_angle(turn.to_radians()).rotate(size / 2.0);
        let corners = square::turned(first, size, turn);
        for (n, corner) in corners.into_iter().enumerate() {
            let reached = reach(outcome, fixed, corner);
            starred |= reached.is_some_and(|r| r.before_walls);
            let [one, two, _] = tie_cells(fixed, reached);
            table.row([
                format!("{id} {}", n + 1),
                place(corner),
                one,
                two,
                String::new(),
            ]);
        }
        checks.push(format!(
            "{id}: {} by {}, turned {turn} deg; corner 1 to 3 and 2 to 4 must both be {}",
            feet_inches(size.x, 16),
            feet_inches(size.y, 16),
            feet_inches(square::diagonal(size.x, size.y), 16)
        ));
    }
    if checks.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![
        Block::Heading("Cabinets and box-outs by their corners".into()),
        Block::Table(table),
    ];
    if starred {
        blocks.push(Block::Text(BEFORE_WALLS.into()));
    }
    blocks.push(Block::Ticks(checks));
    blocks
}
