//! Which figures of a code the answers about one house rest on: not the whole book, but what this house made the checks
//! look up.

use std::collections::BTreeSet;

use codes::{Key, Load, Row, RuleId};
use layout::{FixtureKind, ServiceKind, TrapPlace, Vent};
use units::Size;

use crate::{Case, page::rows_of, reach, rules, sizes};

/// The rows that the levels, sizes and findings of this house rest on, in the order of [`RuleId::ALL`], each once.
///
/// A table counts with the rows of the sizes and fixtures in the house; a rule whose subject is not in the house (a wet
/// vent, a floor drain) with none.
pub fn leans_on<'a>(case: &Case<'a>) -> Vec<&'a Row> {
    let there = There::of(case);
    let asked = rules::ALL
        .iter()
        .filter(|rule| there.has_subject(case, rule.id));
    let mut ids: BTreeSet<RuleId> = asked.flat_map(|rule| rows_of(rule.id)).copied().collect();
    if !case.grades.is_empty() {
        ids.extend([
            RuleId::TestHead,
            RuleId::TestTime,
            RuleId::TestAirPlastic,
            RuleId::TestVacuum,
            RuleId::InspectBeforeCover,
            RuleId::BeddingOverdigLift,
            RuleId::BackfillLift,
            RuleId::BackfillCover,
        ]);
    }
    let carried = there.carried(case);
    let counts = |row: &&Row| match row.cite.rule {
        RuleId::DrainCapacity | RuleId::FixtureLoad | RuleId::GroupLoad => {
            carried.iter().any(|one| std::ptr::eq(*one, *row))
        }
        _other => there.row_speaks(row),
    };
    let rows = ids.into_iter().flat_map(|id| case.rules.rows(id));
    rows.filter(counts).collect()
}

/// What stands in the house.
struct There {
    kinds: BTreeSet<FixtureKind>,
    loads: BTreeSet<Load>,
    /// Sizes of the drains, with the grades each lies at.
    lying: Vec<(Size, f64)>,
    arms: bool,
    closet_arms: bool,
    wet: bool,
    turns: BTreeSet<(codes::Pattern, codes::Turn)>,
}

impl There {
    fn of(case: &Case) -> Self {
        let kinds: BTreeSet<FixtureKind> = case.layout.fixtures.iter().map(|f| f.kind).collect();
        let lying = sizes::stretches(case)
            .filter(|stretch| !stretch.fixtures.is_empty())
            .map(|s| {
                let grade = case.grades[s.tree].lines[s.index].grade.in_per_ft();
                (s.size, grade)
            });
        let arms = reach::arms(case);
        let closet = |arm: &reach::Arm| arm.fixture.kind == FixtureKind::Closet;
        Self {
            loads: kinds
                .iter()
                .filter_map(|k| network::fixture_load(*k))
                .collect(),
            lying: lying.collect(),
            arms: !arms.is_empty(),
            closet_arms: arms.iter().any(closet),
            wet: !reach::wet_vents(case).is_empty(),
            turns: rules::turns(case),
            kinds,
        }
    }

    /// Whether the house has what this check is about. Checks that read no rows of a code do not matter here.
    fn has_subject(&self, case: &Case, check: &str) -> bool {
        let layout = case.layout;
        let vented = |is: fn(&Vent) -> bool| layout.fixtures.iter().any(|f| is(&f.vent));
        let under = |f: &layout::Fixture| matches!(f.trap, TrapPlace::UnderSlab { .. });
        let has = |kind| self.kinds.contains(&kind);
        match check {
            "closet-side" | "closet-front" | "closet-rough-in" | "closet-least-size"
            | "closet-count" => has(FixtureKind::Closet),
            "washer-size" | "standpipe-trap" => has(FixtureKind::Washer),
            "continuous-load" => has(FixtureKind::Softener) || has(FixtureKind::Condensate),
            "tub-box-out" => has(FixtureKind::Tub),
            "floor-drain-seal" => has(FixtureKind::FloorDrain),
            "garage-drain" => layout
                .rooms
                .iter()
                .any(|r| r.kind == layout::RoomKind::Garage),
            "sink-branch-size" => [
                FixtureKind::KitchenSink,
                FixtureKind::BarSink,
                FixtureKind::UtilitySink,
            ]
            .into_iter()
            .any(has),
            "trap-arm" | "s-trap" => self.arms,
            "trap-outlet" => layout.fixtures.iter().any(under),
            "dry-vent-flat" => !case.network.vents.is_empty(),
            "vent-too-small" | "vent-outdoors" => {
                vented(|v| matches!(v, Vent::Riser | Vent::TakeOff { .. }))
            }
            "admittance-valve" => vented(|v| *v == Vent::Admittance),
            "combination-vent" => vented(|v| *v == Vent::Combination),
            "backwater-valve" => layout
                .drains
                .iter()
                .any(|d| d.receiver.as_ref().is_some_and(|r| r.manhole.is_some())),
            "common-vent" => vented(|v| matches!(v, Vent::Common(_))),
            "island-vent" => vented(|v| matches!(v, Vent::IslandLoop { .. })),
            "wet-vent-order" | "wet-vent-others" | "wet-vent-size" => self.wet,
            "cleanout-spacing" | "cleanout-turns" | "cleanout-junction" | "cleanout-upper-end" => {
                !layout.cleanouts.is_empty()
            }
            "cleanout-size" | "cleanout-room" => {
                layout.cleanouts.iter().any(|c| c.outside.is_none())
            }
            "sleeve-size" => layout.drains.iter().any(|d| d.exit.sleeve.is_some()),
            "water-apart" => layout.services.iter().any(|s| s.kind == ServiceKind::Water),
            "soil-gas-pipe" | "soil-gas-layer" => layout
                .services
                .iter()
                .any(|s| s.kind == ServiceKind::SoilGas),
            "footing-trench" | "wall-passage" => layout.foundation.edge.is_some(),
            _of_every_drain => !self.lying.is_empty(),
        }
    }

    /// Whether a row of a table speaks of something in the house.
    fn row_speaks(&self, row: &Row) -> bool {
        match row.key {
            Key::Whole => row.cite.rule != RuleId::TrapArmCloset || self.closet_arms,
            Key::Sizes(..) | Key::Size(_) | Key::SizeAt(..) => {
                self.lying.iter().any(|(size, _)| row.key.speaks_of(*size))
            }
            Key::Load(load) => self.loads.contains(&load),
            Key::Turn(pattern, turn) => self.turns.contains(&(pattern, turn)),
            Key::Group(_) => false,
        }
    }

    /// The rows that loads and sizes were read from.
    fn carried<'a>(&self, case: &Case<'a>) -> Vec<&'a Row> {
        let rules = case.rules;
        let baths = network::Baths::of(case.layout);
        let trunks = case.network.trees.iter().map(|tree| &tree.runs[0]);
        let loads = trunks.flat_map(|trunk| {
            let served = network::served(case.layout, &baths, &trunk.fixtures);
            rules.total(&served).rows
        });
        let sizes = self
            .lying
            .iter()
            .filter_map(|(size, grade)| rules.capacity(*size, *grade));
        loads
            .chain(sizes.flat_map(|carried| carried.rows))
            .collect()
    }
}
