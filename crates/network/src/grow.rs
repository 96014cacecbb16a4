//! A run left to the program is no larger at its upper end than its own fixture asks for: it grows where a branch that needs
//! more comes in, by an increaser just above that branch, where there is room for one.

use codes::Rules;
use layout::{Layout, Vent};
use units::{SAME_LENGTH, Size};

use crate::{
    Bore, Run, Start,
    baths::Baths,
    load::{fill_in, weigh},
};

/// An increaser is kept so far from a bend, a branch, a vent's foot and its own branch below, inches: the fitting and a
/// shortest piece each side. Our choice.
const CLEAR: f64 = 14.0;
/// And so far from the upper end, where the base bend of a riser stands. Our choice.
const BELOW_START: f64 = 22.0;
/// A run with more branches than a house has is not looked at: each asks for the sum of all before it.
const MANY: usize = 64;

/// Makes a run that starts at a fixture, and whose size is the program's, smaller above the branches that make it large.
///
/// A run whose fixture lends others a wet vent stays as large as all of it must be: what lies above them is their air.
pub(crate) fn grow(
    layout: &Layout,
    rules: &Rules,
    baths: &Baths,
    runs: &mut [Run],
    (r, branches): (usize, &[usize]),
) {
    let Start::Fixture(own) = runs[r].start else {
        return;
    };
    let plain = runs[r].sized_by_us && runs[r].bores.len() == 1;
    if !plain || branches.is_empty() || branches.len() > MANY {
        return;
    }
    if lends_a_wet_vent(layout, own, &runs[r].fixtures) {
        return;
    }
    let branches = upstream_first(runs, branches);
    if let Some(bores) = bores(layout, rules, baths, runs, (r, own, &branches)) {
        runs[r].bores = bores;
    }
}

/// The bores of a run by what its branches ask for; `None` where they do not explain the size of the whole.
fn bores(
    layout: &Layout,
    rules: &Rules,
    baths: &Baths,
    runs: &[Run],
    (r, own, branches): (usize, usize, &[usize]),
) -> Option<Vec<Bore>> {
    let (whole, length) = (runs[r].bores[0].size, runs[r].path.length());
    let least = layout.fixtures[own].size.unwrap_or(Size::In1_25);
    let mut part = Run {
        fixtures: vec![own],
        ..runs[r].clone()
    };
    let size = |part: &mut Run, carried: Size, washer_joins: bool| {
        weigh(layout, rules, baths, part);
        fill_in(layout, rules, part, carried.max(least), washer_joins);
        part.bores[0].size.min(whole)
    };
    let mut carried = Size::In1_25;
    let mut bores = vec![Bore {
        size: size(&mut part, carried, false),
        from: length,
    }];
    let stops = stops(layout, &runs[r], own);
    let (mut above, mut washer_joined) = (length, is_washer(layout, &[own]));
    let mut gaps: Vec<(f64, f64)> = Vec::new();
    for &branch in branches {
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
        if asked == whole {
            return Some(bores);
        }
        above = at;
    }
    None
}

/// Whether any of the fixtures that drain through a run breathes through the pipe of its own fixture.
fn lends_a_wet_vent(layout: &Layout, own: usize, fixtures: &[usize]) -> bool {
    let lender = &layout.fixtures[own].id;
    let borrows = |f: &usize| matches!(&layout.fixtures[*f].vent, Vent::Wet(id) if id == lender);
    fixtures.iter().any(borrows)
}

/// Enlarges a run from the nearest gap between its branches, going up, that has room; without one from its start.
fn enlarge(bores: &mut Vec<Bore>, size: Size, gaps: &[(f64, f64)], length: f64, stops: &[f64]) {
    let mut up = gaps.iter().rev();
    let from = up.find_map(|(at, above)| room(*at, *above, length, stops));
    let from = from.unwrap_or(length);
    bores.retain(|bore| bore.from > from);
    bores.push(Bore { size, from });
}

fn upstream_first(runs: &[Run], branches: &[usize]) -> Vec<usize> {
    let at = |n: &usize| runs[*n].join.map_or(0.0, |join| join.at);
    let mut branches = branches.to_vec();
    branches.sort_by(|a, b| at(b).total_cmp(&at(a)));
    branches
}

fn is_washer(layout: &Layout, fixtures: &[usize]) -> bool {
    matches!(fixtures, [f] if layout.fixtures[*f].kind == layout::FixtureKind::Washer)
}

/// Stations of bends, of the own vent's foot, and of cleanouts that stand on the run.
fn stops(layout: &Layout, run: &Run, own: usize) -> Vec<f64> {
    let foot = match layout.fixtures[own].vent {
        Vent::TakeOff { take_off, .. } => Some(take_off),
        Vent::IslandLoop { down, .. } => Some(down),
        _ => None,
    };
    let stands = |cleanout: &&layout::Cleanout| cleanout.on.as_ref() == Some(&run.id);
    let cleanouts = layout.cleanouts.iter().filter(stands);
    let places = foot
        .into_iter()
        .chain(cleanouts.map(|cleanout| cleanout.at));
    let places = places.map(|at| run.path.nearest(at).0);
    run.path.stations().iter().copied().chain(places).collect()
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
