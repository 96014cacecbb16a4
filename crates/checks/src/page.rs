//! What a page about the rules says: each rule's header as written in its file, and the rows of the codes it reads.

use std::collections::BTreeSet;

use codes::{Code, Row, RuleId, rules};

use crate::rules::{ALL, HEADERS};

/// One rule as a page tells it.
#[derive(Clone, PartialEq, Debug)]
pub struct Entry {
    /// Its id.
    pub id: &'static str,
    /// One line on what it checks.
    pub about: &'static str,
    /// Its file, from the workspace's root.
    pub file: String,
    /// The header of its file, comment marks taken off: what it does, by whose word.
    pub header: String,
    /// How to mend, from the header; empty where it does not say.
    pub mend: String,
    /// The files in `assets/codes` that its rows stand in, sorted; empty for plain geometry and practice.
    pub tables: Vec<&'static str>,
    /// What each code says, in the order of [`Code::ALL`]; empty for plain geometry and practice.
    pub by_code: Vec<Said>,
}

/// What one row of one code says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Said {
    /// The code.
    pub code: Code,
    /// The rule's id in the code tables.
    pub rule: &'static str,
    /// What the row is for: `all`, a size, a fixture.
    pub key: String,
    /// Its value with its unit.
    pub value: String,
    /// Code and section.
    pub section: String,
    /// `read`, `from memory`, ...
    pub how: &'static str,
}

/// Every rule of [`ALL`], in its order.
pub fn entries() -> Vec<Entry> {
    let profiles = Code::ALL.map(|code| rules(code, &[]).0);
    ALL.iter()
        .zip(HEADERS)
        .map(|(rule, (file, text))| {
            let header = header(text);
            let mend = header
                .split_once("Mend: ")
                .map_or("", |(_, mend)| mend)
                .trim()
                .to_owned();
            let mut by_code = Vec::new();
            for profile in &profiles {
                for id in rows_of(rule.id) {
                    by_code.extend(
                        profile
                            .rows(*id)
                            .iter()
                            .map(|row| said(profile.code(), row)),
                    );
                }
            }
            let tables: BTreeSet<&str> = rows_of(rule.id).iter().map(|id| id.file()).collect();
            let file = format!("crates/checks/src/rules/{file}.rs");
            Entry {
                id: rule.id,
                about: rule.about,
                file,
                header,
                mend,
                tables: tables.into_iter().collect(),
                by_code,
            }
        })
        .collect()
}

fn header(text: &str) -> String {
    let lines = text.lines().map_while(|line| line.strip_prefix("//!"));
    lines
        .map(str::trim)
        .collect::<Vec<_>>()
        .join(" ")
        .trim()
        .to_owned()
}

fn said(code: Code, row: &Row) -> Said {
    Said {
        code,
        rule: row.cite.rule.id(),
        key: row.key.to_string(),
        value: row.says(),
        section: row.cite.place(),
        how: row.cite.how.says(),
    }
}

/// The rows of the codes that a rule reads, by its id; none for plain geometry and practice.
pub fn rows_of(rule: &str) -> &'static [RuleId] {
    use RuleId as R;
    match rule {
        "change-of-direction" => &[R::ChangeOfDirection],
        "wall-passage" => &[R::WallCrossing],
        "footing-trench" => &[R::FootingPlane],
        "cover-outside" => &[R::CoverOutside, R::FrostDepth],
        "crown-in-slab" => &[R::PipeInGravel],
        "closet-side" => &[R::ClosetSide],
        "closet-front" => &[R::ClosetFront],
        "closet-rough-in" => &[
            R::ClosetBack,
            R::ClosetBackNote,
            R::ClosetBackUnder,
            R::ClosetBackOver,
        ],
        "tub-box-out" => &[R::TubBoxout],
        "water-apart" => &[
            R::WaterSewerExempt,
            R::WaterSewerDistance,
            R::WaterSewerAbove,
            R::WaterSewerCrossing,
        ],
        "run-too-small" => &[R::DrainCapacity, R::FixtureLoad, R::GroupLoad],
        "no-reduction" => &[R::NoReduction],
        "continuous-load" => &[R::ContinuousLoad],
        "branch-figure" => &[R::BranchCapacity, R::DrainCapacity],
        "closet-least-size" => &[R::ClosetLeastSize],
        "closet-count" => &[R::ClosetCount],
        "underground-least-size" => &[R::UndergroundLeastSize],
        "sink-branch-size" => &[R::SinkBranchSize],
        "washer-size" => &[R::WasherDrainSize, R::WasherBranchSize],
        "grade-too-flat" => &[R::GradeLeast, R::GradeApproved],
        "s-trap" => &[R::TrapArmFall],
        "trap-arm" => &[
            R::TrapArmLength,
            R::TrapArmCloset,
            R::TrapArmFall,
            R::TrapArmLeast,
            R::TrapArmTurns,
        ],
        "trap-outlet" => &[R::TrapOutletDistance, R::TrapOutletOffset],
        "trap-size" => &[R::TrapSize],
        "standpipe-trap" => &[R::StandpipeTrap, R::StandpipeHeight],
        "floor-drain-seal" => &[R::TrapSeal],
        "garage-drain" => &[R::GarageDrain],
        "dry-vent-flat" => &[R::DryVentAngle, R::DryVentTakeoff, R::DryVentRise],
        "vent-too-small" => &[
            R::VentLeastSize,
            R::VentShare,
            R::VentClosetSize,
            R::VentLongRun,
        ],
        "vent-outdoors" => &[R::VentOutdoors, R::VentOutdoorsShare, R::VentArea],
        "admittance-valve" => &[R::AdmittanceValve],
        "combination-vent" => &[R::CombinationVent],
        "backwater-valve" => &[R::BackwaterValve],
        "wet-vent-order" => &[R::WetVentDry, R::WetVentUpstream, R::WetVentClosetLast],
        "wet-vent-others" => &[R::WetVentOthers, R::WetVentGroups],
        "wet-vent-size" => &[R::WetVentCapacity],
        "common-vent" => &[R::CommonVent, R::CommonVentCapacity],
        "island-vent" => &[R::IslandVent],
        "cleanout-spacing" => &[R::CleanoutSpacing],
        "cleanout-turns" => &[R::CleanoutTurns, R::CleanoutTurnsReach],
        "cleanout-junction" => &[R::CleanoutJunction, R::CleanoutAccess],
        "cleanout-upper-end" => &[R::CleanoutUpperEnd, R::CleanoutExemptRun, R::CleanoutTwoWay],
        "cleanout-size" => &[R::CleanoutSize],
        "cleanout-room" => &[R::CleanoutRoom],
        "cleanout-direction" => &[R::CleanoutDirection],
        "sleeve-size" => &[R::SleeveSize],
        "soil-gas-pipe" => &[R::RadonTee, R::RadonAppendix],
        "soil-gas-layer" => &[
            R::RadonLayer,
            R::RadonSheet,
            R::RadonSheetLap,
            R::RadonArea,
            R::RadonAppendix,
            R::SheetPlace,
        ],
        "deep-trench" => &[R::TrenchProtection, R::TrenchLadder, R::TrenchLadderTravel],
        _geometry_or_practice => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_has_a_header_with_its_id_and_says_how_to_mend() {
        let all = entries();
        assert_eq!(all.len(), ALL.len());
        for entry in &all {
            assert!(
                entry.header.starts_with(&format!("`{}`", entry.id)),
                "{}: {}",
                entry.id,
                entry.header
            );
            assert!(
                entry.mend.len() > 8,
                "{} does not say how to mend",
                entry.id
            );
            assert!(
                entry.header.contains("Source: "),
                "{} names no source",
                entry.id
            );
        }
    }

    #[test]
    fn a_rule_that_names_code_rows_in_its_header_lists_them() {
        for entry in entries() {
            let names: Vec<&str> = rows_of(entry.id).iter().map(|row| row.id()).collect();
            let named = |row: &&RuleId| {
                entry.header.contains(&format!("`{}`", row.id())) && row.id() != entry.id
            };
            for row in RuleId::ALL.iter().filter(named) {
                assert!(
                    names.contains(&row.id()),
                    "{} names {row} and does not list it",
                    entry.id
                );
            }
        }
    }

    #[test]
    fn the_page_has_each_codes_value_and_section() {
        let all = entries();
        let count = all
            .iter()
            .find(|entry| entry.id == "closet-count")
            .expect("listed");
        // UPC Table 703.2 note: three closets on 3 in (Washington text, read).
        let upc = count
            .by_code
            .iter()
            .find(|said| said.code == Code::Upc)
            .expect("has a row");
        assert_eq!((upc.value.as_str(), upc.how), ("3 closets", "read"));
        assert!(upc.section.starts_with("UPC Table 703.2"));
    }
}
