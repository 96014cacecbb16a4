//! Generators of layouts: a row of houses on one long slab, ten runs a house, in one file; one drain of many runs.

use std::fmt::Write;

/// Width of a lot, feet.
const LOT: usize = 50;
/// Branches of a house; with its trunk, ten runs.
const BRANCHES: usize = 9;

/// Branches join flat.
pub(crate) fn row_of_houses(runs: usize) -> String {
    let houses = runs.div_ceil(BRANCHES + 1);
    let width = houses * LOT;
    let mut text = format!(
        "(title: \"row\", code: irc,\n\
         slab: (outline: [(\"0\", \"0\"), (\"{width}'\", \"0\"), (\"{width}'\", \"40'\"), (\"0\", \"40'\")], layers: [(concrete, \"4 in\")]),\n\
         foundation: (edge: (kind: stem_wall, thickness: \"8 in\", top: \"0\", bottom: \"-32 in\", footing: (width: \"16 in\", thickness: \"8 in\"))),\n\
         outside: (ground: [(\"0\", \"-8 in\")], frost: \"0\", cover: \"6 in\"),\n"
    );
    section(&mut text, "walls", houses, walls);
    section(&mut text, "fixtures", houses, fixtures);
    section(&mut text, "drains", houses, drain);
    section(&mut text, "runs", houses, runs_of);
    text.push(')');
    text
}

/// One drain: a trunk and branches into it from both sides, all flat.
pub(crate) fn one_drain(runs: usize) -> String {
    let mut text = String::from(
        "(title: \"comb\", code: irc,\n\
         slab: (outline: [(\"0\", \"0\"), (\"60'\", \"0\"), (\"60'\", \"40'\"), (\"0\", \"40'\")], layers: [(concrete, \"4 in\")]),\n\
         foundation: (edge: (kind: stem_wall, thickness: \"8 in\", top: \"0\", bottom: \"-32 in\", footing: (width: \"16 in\", thickness: \"8 in\"))),\n\
         outside: (ground: [(\"0\", \"-8 in\")], frost: \"0\", cover: \"6 in\"),\n",
    );
    section(&mut text, "drains", 1, drain);
    put(
        &mut text,
        "runs: {\n\"t\": (from: (\"30'\", \"2'\"), to: \"d0\", size: \"3 in\"),\n",
    );
    for branch in 1..runs {
        let x = if branch % 2 == 0 { "24'" } else { "36'" };
        // From 3 ft north of the slab's south side to 3 ft short of its north.
        let y = 36.0 + 408.0 * branch as f64 / runs as f64;
        put(
            &mut text,
            &format!(
                "\"b{branch}\": (from: (\"{x}\", \"{y:.3} in\"), to: \"t\", size: \"2 in\", joins: flat),\n"
            ),
        );
    }
    text.push_str("})");
    text
}

fn section(text: &mut String, name: &str, houses: usize, item: fn(&mut String, usize, usize)) {
    put(text, &format!("{name}: {{\n"));
    for house in 0..houses {
        item(text, house, house * LOT);
    }
    text.push_str("},\n");
}

fn put(text: &mut String, line: &str) {
    text.write_str(line)
        .expect("writing to a string does not fail");
}

/// Feet east of the lot's west side: the west wet wall, the trunk, the east wet wall.
const WEST: usize = 24;
const TRUNK: usize = 30;
const EAST: usize = 36;

fn walls(text: &mut String, house: usize, x: usize) {
    for (side, at) in [("w", x + WEST), ("e", x + EAST)] {
        put(
            text,
            &format!(
                "\"{side}{house}\": (from: (\"{at}'\", \"3'\"), to: (\"{at}'\", \"36'\"), framing: \"2x6\", board: \"1/2 in\"),\n"
            ),
        );
    }
}

fn fixtures(text: &mut String, house: usize, _x: usize) {
    for branch in 0..BRANCHES {
        let wall = if branch % 2 == 0 { "w" } else { "e" };
        let kind = ["lavatory", "utility_sink", "washer"][branch % 3];
        let along = 1 + 3 * branch;
        put(
            text,
            &format!(
                "\"f{house}-{branch}\": (kind: {kind}, at: (in: \"{wall}{house}\", along: \"{along}'\"), landing: (wall: \"{wall}{house}\"), trap: in_wall, vent: riser),\n"
            ),
        );
    }
}

fn drain(text: &mut String, house: usize, x: usize) {
    let at = x + TRUNK;
    put(
        text,
        &format!(
            "\"d{house}\": (exit: (at: (\"{at}'\", \"40'\"), size: \"4 in\", sleeve: \"6 in\"), line: (length: \"40'\", size: \"4 in\", grades: [\"1/4\"], straight: true), receiver: (kind: sewer, invert: \"-48 in\", known: measured)),\n"
        ),
    );
}

fn runs_of(text: &mut String, house: usize, x: usize) {
    let at = x + TRUNK;
    put(
        text,
        &format!("\"t{house}\": (from: (\"{at}'\", \"2'\"), to: \"d{house}\", size: \"3 in\"),\n"),
    );
    for branch in 0..BRANCHES {
        put(
            text,
            &format!(
                "\"b{house}-{branch}\": (from: \"f{house}-{branch}\", to: \"t{house}\", size: \"2 in\", joins: flat),\n"
            ),
        );
    }
}
