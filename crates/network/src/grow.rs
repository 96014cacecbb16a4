//! A run left to the program is no larger at its upper end than its own fixture asks for: it grows where a branch that needs
//! more comes in, by an increaser just above that branch, where there is room for one.

use codes::Rules;
use layout::{Layout, Vent};
use units::{SAME_LENGTH, Size};

use crate::{
    Bore, Path, Run, Start,
    baths::Baths,
    load::{fill_in, weigh},
};

/// An increaser is kept so far from a bend, a branch, a vent's foot and its own branch below, inches: the fitting and a
/// shortest piece each side. Our choice; a catalogue of larger sizes may ask for more, and the check tells.
const CLEAR: f64 = 14.0;
/// And so far from the upper end, where the base bend of a riser stands.
const BELOW_START: f64 = 22.0;

/// Makes a run that starts at a fixture, and whose size is the program's, smaller above the branches that make it large.
pub(crate) fn grow(layout: &Layout, rules: &Rules, baths: &Baths, runs: &mut [Run], r: usize) {
    let Start::Fixture(own) = runs[r].start else {
        return;
    };
    let whole = runs[r].bores[0].size;
    if !runs[r].sized_by_us || runs[r].bores.len() > 1 {
        return;
    }
    let branches = branches(runs, r);
    if branches.is_empty() {
        return;
    }
    let mut part = Run {
        fixtures: vec![own],
        ..runs[r].clone()
    };
    let mut carried = Size::In1_25;
    let size = |part: &mut Run, carried: Size, washer_joins: bool| {
        weigh(layout, rules, baths, part);
        fill_in(layout, rules, part, carried, washer_joins);
        part.bores[0].size.min(whole)
    };
    let length = part.path.length();
    let mut bores = vec![Bore {
        size: size(&mut part, carried, false),
        from: length,
    }];
    let stops = stops(layout, &part);
    let mut above = length;
    let mut gaps: Vec<(f64, f64)> = Vec::new();
    let mut washer_joined = false;
    for branch in branches {
        let other = &runs[branch];
        let at = other.join.map_or(0.0, |join| join.at);
        part.fixtures.extend(&other.fixtures);
        carried = carried.max(other.outlet_size());
        washer_joined |= is_washer(layout, &other.fixtures);
        let asked = size(&mut part, carried, washer_joined);
        gaps.push((at, above));
        if bores.last().is_some_and(|bore| asked > bore.size) {
            enlarge(&mut bores, asked, &gaps, length, &stops);
        }
        above = at;
    }
    // What no branch explains is asked of all of it.
    if bores.last().is_some_and(|bore| bore.size < whole) {
        return;
    }
    bores.dedup_by(|lower, upper| lower.size == upper.size);
    runs[r].bores = bores;
}

/// Enlarges a run from the nearest gap between its branches, going up, that has room; without one from its start.
fn enlarge(bores: &mut Vec<Bore>, size: Size, gaps: &[(f64, f64)], length: f64, stops: &[f64]) {
    let mut up = gaps.iter().rev();
    let from = up.find_map(|(at, above)| room(*at, *above, length, stops));
    let from = from.unwrap_or(length);
    bores.retain(|bore| bore.from > from);
    bores.push(Bore { size, from });
}

/// The branches of a run, upstream first.
fn branches(runs: &[Run], r: usize) -> Vec<usize> {
    let joins = |other: &usize| runs[*other].join.filter(|join| join.parent == r);
    let mut branches: Vec<usize> = (r + 1..runs.len()).filter(|n| joins(n).is_some()).collect();
    let at = |n: &usize| joins(n).map_or(0.0, |join| join.at);
    branches.sort_by(|a, b| at(b).total_cmp(&at(a)));
    branches
}

fn is_washer(layout: &Layout, fixtures: &[usize]) -> bool {
    matches!(fixtures, [f] if layout.fixtures[*f].kind == layout::FixtureKind::Washer)
}

/// Stations of bends and of vents' feet.
fn stops(layout: &Layout, run: &Run) -> Vec<f64> {
    let corners = run.path.stations().iter().copied();
    let feet = layout
        .fixtures
        .iter()
        .filter_map(|fixture| match fixture.vent {
            Vent::TakeOff { take_off, .. } => on(&run.path, take_off),
            _ => None,
        });
    corners.chain(feet).collect()
}

fn on(path: &Path, at: glam::DVec2) -> Option<f64> {
    let (station, off) = path.nearest(at);
    (off <= 1.0).then_some(station)
}

/// Where above a branch at station `at`, and below the one before it, an increaser has room; the nearest to the branch.
fn room(at: f64, above: f64, length: f64, stops: &[f64]) -> Option<f64> {
    let upper = if above < length - SAME_LENGTH {
        above - CLEAR
    } else {
        length - BELOW_START
    };
    let mut from = at + CLEAR;
    // Each stop in the way moves it up past that stop, from the lowest.
    let mut stops: Vec<f64> = stops.to_vec();
    stops.sort_by(f64::total_cmp);
    for stop in stops {
        if (stop - from).abs() < CLEAR {
            from = stop + CLEAR;
        }
    }
    (from <= upper).then_some(from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_two_branches_leave_no_room_it_grows_above_both() {
        let mut bores = vec![Bore {
            size: Size::In2,
            from: 200.0,
        }];
        let gaps = [(90.0, 200.0), (80.0, 90.0)];
        enlarge(&mut bores, Size::In3, &gaps, 200.0, &[]);
        assert_eq!(bores.len(), 2);
        assert_eq!((bores[1].size, bores[1].from), (Size::In3, 104.0));
        // With no room at all the run is large from its start.
        enlarge(&mut bores, Size::In4, &[(190.0, 200.0)], 200.0, &[]);
        assert_eq!((bores.len(), bores[0].size), (1, Size::In4));
    }

    #[test]
    fn an_increaser_stands_clear_of_what_is_there() {
        // From the wall at 0 to a fixture 200 in up; a branch at 50.
        assert_eq!(room(50.0, 200.0, 200.0, &[0.0, 200.0]), Some(64.0));
        // A bend at 70 is in the way: past it.
        assert_eq!(room(50.0, 200.0, 200.0, &[70.0]), Some(84.0));
        // Another branch 20 in above leaves no room.
        assert_eq!(room(50.0, 70.0, 200.0, &[]), None);
        // Nor does the riser's base bend.
        assert_eq!(room(180.0, 200.0, 200.0, &[]), None);
    }
}
