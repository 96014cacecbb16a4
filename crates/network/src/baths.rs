//! Which fixtures make a bathroom. A layout does not say; what stands near a closet does.

use std::collections::BTreeMap;

use codes::{Load, Served};
use layout::{FixtureKind, Layout};

use crate::fixture_load;

/// How far a lavatory, tub, shower or bidet may stand from the closet of its room, inches in plan. Our choice; the sum
/// that comes of it is told beside the plain one.
const ONE_ROOM: f64 = 120.0;

/// The bathrooms of a house: each a closet with the nearest lavatory, bather and bidet that no other closet has.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Baths {
    /// For each fixture, the bathroom it is in.
    of: Vec<Option<usize>>,
}

impl Baths {
    /// Finds the bathrooms of a layout, closets in its order.
    pub fn of(layout: &Layout) -> Self {
        let mut of = vec![None; layout.fixtures.len()];
        let closets = of_kind(layout, &[FixtureKind::Closet]);
        for (bath, &closet) in closets.iter().enumerate() {
            of[closet] = Some(bath);
        }
        let shares: [&[FixtureKind]; 3] = [
            &[FixtureKind::Lavatory],
            &[FixtureKind::Tub, FixtureKind::Shower],
            &[FixtureKind::Bidet],
        ];
        for kinds in shares {
            pair(layout, &closets, &of_kind(layout, kinds), &mut of);
        }
        Self { of }
    }

    /// The bathroom a fixture is in, by its index into the layout.
    pub fn bath(&self, fixture: usize) -> Option<usize> {
        self.of.get(fixture).copied().flatten()
    }
}

fn of_kind(layout: &Layout, kinds: &[FixtureKind]) -> Vec<usize> {
    let fixtures = layout.fixtures.iter().enumerate();
    fixtures
        .filter(|(_, fixture)| kinds.contains(&fixture.kind))
        .map(|(f, _)| f)
        .collect()
}

/// Gives each closet the nearest of the fixtures, shortest pairs first.
fn pair(layout: &Layout, closets: &[usize], others: &[usize], of: &mut [Option<usize>]) {
    let apart = |a: usize, b: usize| layout.fixtures[a].at.distance(layout.fixtures[b].at);
    // By their x, so that a closet looks only at what can be near.
    let mut by_x = others.to_vec();
    let x = |f: usize| layout.fixtures[f].at.x;
    by_x.sort_by(|a, b| x(*a).total_cmp(&x(*b)));
    let mut near: Vec<(f64, usize, usize)> = Vec::new();
    for (bath, &closet) in closets.iter().enumerate() {
        let from = by_x.partition_point(|f| x(*f) < x(closet) - ONE_ROOM);
        let beside = by_x[from..]
            .iter()
            .take_while(|f| x(**f) <= x(closet) + ONE_ROOM);
        let within = beside.map(|&other| (apart(closet, other), bath, other));
        near.extend(within.filter(|pair| pair.0 <= ONE_ROOM));
    }
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut served = vec![false; closets.len()];
    for (_, bath, other) in near {
        if !served[bath] && of[other].is_none() {
            served[bath] = true;
            of[other] = Some(bath);
        }
    }
}

/// What drains through a run, bathrooms told apart, in the words of the load tables.
pub fn served(layout: &Layout, baths: &Baths, fixtures: &[usize]) -> Served {
    let mut bathrooms: BTreeMap<usize, Vec<Load>> = BTreeMap::new();
    let mut others = Vec::new();
    for &f in fixtures {
        let Some(load) = fixture_load(layout.fixtures[f].kind) else {
            continue;
        };
        match baths.bath(f) {
            Some(bath) => bathrooms.entry(bath).or_default().push(load),
            None => others.push(load),
        }
    }
    Served {
        bathrooms: bathrooms.into_values().collect(),
        others,
    }
}

#[cfg(test)]
mod tests {
    use layout::{Fixture, Landing, TrapPlace, Vent};

    use super::*;

    fn fixture(kind: FixtureKind, x: f64) -> Fixture {
        Fixture {
            id: format!("{kind:?} {x}").as_str().into(),
            kind,
            at: glam::DVec2::new(x, 0.0),
            landing: Landing::Floor,
            trap: TrapPlace::InWall { tee: None },
            size: None,
            top: None,
            vent: Vent::Riser,
            back_wall: None,
            rough_in: None,
            boot: None,
            later: false,
        }
    }

    #[test]
    fn each_closet_takes_its_nearest_and_a_far_lavatory_stays_alone() {
        let kinds = [
            (FixtureKind::Closet, 0.0),
            (FixtureKind::Closet, 200.0),
            (FixtureKind::Lavatory, 60.0),
            (FixtureKind::Lavatory, 90.0),
            (FixtureKind::Lavatory, 400.0),
            (FixtureKind::Tub, 170.0),
        ];
        let layout = Layout {
            fixtures: kinds.iter().map(|(kind, x)| fixture(*kind, *x)).collect(),
            ..Layout::default()
        };
        let baths = Baths::of(&layout);
        let of: Vec<Option<usize>> = (0..6).map(|f| baths.bath(f)).collect();
        // 60 is nearest to the first closet; 90 is 110 from the second, and the second has no other.
        assert_eq!(of, [Some(0), Some(1), Some(0), Some(1), None, Some(1)]);
        let all = served(&layout, &baths, &[0, 1, 2, 3, 4, 5]);
        assert_eq!((all.bathrooms.len(), all.others.len()), (2, 1));
        // IRC Table P3004.1: one and a half baths 7 (from memory), lavatory 1; one by one 3+1, 3+1+2, 1.
        let rules = codes::rules(codes::Code::Irc, &[]).0;
        let total = rules.total(&all);
        assert!((total.dfu - 8.0).abs() < 1e-9, "{total:?}");
        assert!((total.plain - 11.0).abs() < 1e-9);
    }
}
