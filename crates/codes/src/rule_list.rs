//! The one list of rules, in the order they are shown: id, what it is about, and what an amendment may say.
//!
//! The doc comment of each is its line on the rules page. A rule's figures are in `assets/codes/`, never here.

use crate::near::near;

/// What part of the work a rule belongs to.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Topic {
    /// Fall of drains.
    Grade,
    /// Traps and trap arms.
    Trap,
    /// Loads and sizes.
    Sizing,
    /// Fittings.
    Fittings,
    /// Vents.
    Vent,
    /// Cleanouts.
    Cleanout,
    /// Footings, walls, concrete.
    Foundation,
    /// Bedding, backfill, cover.
    Ground,
    /// Water service.
    Water,
    /// Tests before cover.
    Test,
    /// Room around fixtures.
    Room,
    /// Soil gas.
    SoilGas,
    /// Safety in the trench.
    Trench,
}

/// How many rows a rule has in a profile.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Keyed {
    /// One.
    Plain,
    /// One for each band of pipe sizes.
    BySize,
    /// A table with its own keys.
    Table,
}

/// What an amendment of a rule may say.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Takes {
    /// A figure, or `none`.
    Number,
    /// A least and a most.
    Range,
    /// Yes or no.
    YesNo,
    /// A few words.
    Words,
}

/// Whether each code has its own row, or one row serves all profiles.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Scope {
    /// Each code has its own.
    Each,
    /// One for all: trade practice, trench safety, soil gas.
    Shared,
}

macro_rules! rule_list {
    ($(#[doc = $about:literal] $rule:ident => $id:literal, $topic:ident, $keyed:ident, $takes:ident, $scope:ident;)*) => {
        /// A rule. Its id is stable: amendments, findings and the rules page use it.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub enum RuleId {
            $(#[doc = $about] $rule,)*
        }

        impl RuleId {
            /// Every rule, in the order they are shown.
            pub const ALL: &[Self] = &[$(Self::$rule,)*];

            /// The id: `grade-least`.
            pub fn id(self) -> &'static str {
                match self { $(Self::$rule => $id,)* }
            }

            /// One line on what the rule is about.
            pub fn about(self) -> &'static str {
                match self { $(Self::$rule => $about.trim_ascii(),)* }
            }

            /// What part of the work it belongs to.
            pub fn topic(self) -> Topic {
                match self { $(Self::$rule => Topic::$topic,)* }
            }

            /// How many rows it has.
            pub fn keyed(self) -> Keyed {
                match self { $(Self::$rule => Keyed::$keyed,)* }
            }

            /// What an amendment of it may say.
            pub fn takes(self) -> Takes {
                match self { $(Self::$rule => Takes::$takes,)* }
            }

            /// Whether each code has its own row.
            pub fn scope(self) -> Scope {
                match self { $(Self::$rule => Scope::$scope,)* }
            }
        }
    };
}

rule_list! {
    /// Least fall of a horizontal drain, by pipe size.
    GradeLeast => "grade-least", Grade, BySize, Number, Each;
    /// A flatter fall the authority may approve beforehand, and from which pipe size.
    GradeApproved => "grade-approved", Grade, BySize, Number, Each;
    /// What the load of a drain is multiplied by at that flatter fall.
    GradeApprovedLoad => "grade-approved-load", Grade, Plain, Number, Each;
    /// Greatest fall of a horizontal drain.
    GradeMost => "grade-most", Grade, Plain, Number, Each;
    /// Longest trap arm from trap weir to vent, by pipe size.
    TrapArmLength => "trap-arm-length", Trap, Table, Number, Each;
    /// Longest drain between a water closet and its vent.
    TrapArmCloset => "trap-arm-closet", Trap, Plain, Number, Each;
    /// Greatest fall from trap weir to vent, in pipe diameters.
    TrapArmFall => "trap-arm-fall", Trap, Plain, Number, Each;
    /// Shortest trap arm, in pipe diameters: no vent at the crown of the trap.
    TrapArmLeast => "trap-arm-least", Trap, Plain, Number, Each;
    /// Total turning of a trap arm before it needs a cleanout.
    TrapArmTurns => "trap-arm-turns", Trap, BySize, Number, Each;
    /// Longest drop from a fixture's outlet to its trap weir.
    TrapOutletDistance => "trap-outlet-distance", Trap, Plain, Number, Each;
    /// Longest sideways distance from a fixture's outlet to its trap inlet.
    TrapOutletOffset => "trap-outlet-offset", Trap, Plain, Number, Each;
    /// Least trap size, by fixture.
    TrapSize => "trap-size", Trap, Table, Number, Each;
    /// Whether the trap of a floor drain that may dry out must be kept wet or closed.
    TrapSeal => "trap-seal", Trap, Plain, YesNo, Each;
    /// Whether a garage may have a floor drain, and what it passes through.
    GarageDrain => "garage-drain", Trap, Plain, YesNo, Each;
    /// Drainage fixture units, by fixture.
    FixtureLoad => "fixture-load", Sizing, Table, Number, Each;
    /// Reduced drainage fixture units of a bathroom or laundry group.
    GroupLoad => "group-load", Sizing, Table, Number, Each;
    /// Units of a discharge that keeps on as long as its machine runs, for each gallon a minute.
    ContinuousLoad => "continuous-load", Sizing, Plain, Number, Each;
    /// Most fixture units on a building drain or a branch of it, by size and fall.
    DrainCapacity => "drain-capacity", Sizing, Table, Number, Each;
    /// Most fixture units on a horizontal branch of a stack, by size; some inspectors use it under a slab too.
    BranchCapacity => "branch-capacity", Sizing, Table, Number, Each;
    /// Most fixture units on a stack, by size.
    StackCapacity => "stack-capacity", Sizing, Table, Number, Each;
    /// Least size of a buried drain.
    UndergroundLeastSize => "underground-least-size", Sizing, Plain, Number, Each;
    /// Least size of a branch that takes a sink, beyond its trap arm.
    SinkBranchSize => "sink-branch-size", Sizing, Plain, Number, Each;
    /// Least size of a drain that takes a water closet.
    ClosetLeastSize => "closet-least-size", Sizing, Plain, Number, Each;
    /// Most water closets on a horizontal drain, by size.
    ClosetCount => "closet-count", Sizing, BySize, Number, Each;
    /// Most water closets on a stack, by size.
    ClosetCountStack => "closet-count-stack", Sizing, BySize, Number, Each;
    /// No smaller pipe downstream.
    NoReduction => "no-reduction", Sizing, Plain, Words, Each;
    /// How far below a stack's base a branch may join the drain, in pipe diameters.
    StackBaseDistance => "stack-base-distance", Sizing, Plain, Number, Each;
    /// Drains without a fixture at their end.
    DeadEnd => "dead-end", Sizing, Plain, Words, Each;
    /// Least size of a clothes washer's trap and drain.
    WasherDrainSize => "washer-drain-size", Sizing, Plain, Number, Each;
    /// Least size of the branch a clothes washer's drain joins.
    WasherBranchSize => "washer-branch-size", Sizing, Plain, Number, Each;
    /// Which fitting may make which turn.
    ChangeOfDirection => "change-of-direction", Fittings, Table, YesNo, Each;
    /// Least size of a vent.
    VentLeastSize => "vent-least-size", Vent, Plain, Number, Each;
    /// A vent's size as a share of the drain it serves.
    VentShare => "vent-share", Vent, Plain, Number, Each;
    /// Length from which a vent must be larger.
    VentLongRun => "vent-long-run", Vent, Plain, Number, Each;
    /// Least size of a water closet's vent.
    VentClosetSize => "vent-closet-size", Vent, Plain, Number, Each;
    /// Whether all vents through the roof together must have the section of the building sewer.
    VentArea => "vent-area", Vent, Plain, YesNo, Each;
    /// How many vents of a building drain must reach outdoors.
    VentOutdoors => "vent-outdoors", Vent, Plain, Number, Each;
    /// Size of that vent as a share of the building drain.
    VentOutdoorsShare => "vent-outdoors-share", Vent, Plain, Number, Each;
    /// Height of a vent above the roof.
    VentRoofHeight => "vent-roof-height", Vent, Plain, Number, Each;
    /// Size of a vent through the roof where frost may close it.
    VentFrostSize => "vent-frost-size", Vent, Plain, Number, Each;
    /// Height of a vent's end above a nearby window or door.
    VentAboveOpening => "vent-above-opening", Vent, Plain, Number, Each;
    /// Where a dry vent leaves a horizontal drain: above its centreline.
    DryVentTakeoff => "dry-vent-takeoff", Vent, Plain, Words, Each;
    /// Least angle of a dry vent above horizontal until it stands upright.
    DryVentAngle => "dry-vent-angle", Vent, Plain, Number, Each;
    /// Height above the flood rim before a dry vent may run flat.
    DryVentRise => "dry-vent-rise", Vent, Plain, Number, Each;
    /// Vents lie so that they drain back.
    VentDrainsBack => "vent-drains-back", Vent, Plain, Words, Each;
    /// Vent left for a later fixture, as a share of its drain.
    VentFuture => "vent-future", Vent, Plain, Number, Each;
    /// One vent for two traps.
    CommonVent => "common-vent", Vent, Plain, Words, Each;
    /// Most fixture units from the upper of two drains at different levels that share a vent, by its size.
    CommonVentCapacity => "common-vent-capacity", Vent, BySize, Number, Each;
    /// Most fixture units on a wet vent, by size.
    WetVentCapacity => "wet-vent-capacity", Vent, Table, Number, Each;
    /// Most bathroom groups on one horizontal wet vent.
    WetVentGroups => "wet-vent-groups", Vent, Plain, Number, Each;
    /// Whether fixtures outside the bathroom may join the wet-vented part.
    WetVentOthers => "wet-vent-others", Vent, Plain, YesNo, Each;
    /// Which fixtures may carry the dry vent of a wet vent.
    WetVentDry => "wet-vent-dry", Vent, Plain, Words, Each;
    /// Most fixture drains upstream of the dry-vented connection.
    WetVentUpstream => "wet-vent-upstream", Vent, Plain, Number, Each;
    /// Whether the water closet must join last on a wet vent.
    WetVentClosetLast => "wet-vent-closet-last", Vent, Plain, YesNo, Each;
    /// From where a wet-vented trap arm is measured.
    WetVentMeasure => "wet-vent-measure", Vent, Plain, Words, Each;
    /// The loop vent of an island sink.
    IslandVent => "island-vent", Vent, Plain, Words, Each;
    /// Fall of an island loop's foot.
    IslandVentGrade => "island-vent-grade", Vent, Plain, Number, Each;
    /// Whether an air admittance valve may stand in for a vent to the open air.
    AdmittanceValve => "admittance-valve", Vent, Plain, YesNo, Each;
    /// Whether one larger flat pipe may drain and vent together.
    CombinationVent => "combination-vent", Vent, Plain, YesNo, Each;
    /// Whether each run has a cleanout at its upper end.
    CleanoutUpperEnd => "cleanout-upper-end", Cleanout, Plain, YesNo, Each;
    /// Greatest distance between cleanouts.
    CleanoutSpacing => "cleanout-spacing", Cleanout, Plain, Number, Each;
    /// Horizontal turning from which a cleanout is due.
    CleanoutTurns => "cleanout-turns", Cleanout, Plain, Number, Each;
    /// Length of pipe whose turns one cleanout serves.
    CleanoutTurnsReach => "cleanout-turns-reach", Cleanout, Plain, Number, Each;
    /// Run too short to need a cleanout.
    CleanoutExemptRun => "cleanout-exempt-run", Cleanout, Plain, Number, Each;
    /// What a two-way cleanout stands in for.
    CleanoutTwoWay => "cleanout-two-way", Cleanout, Plain, Words, Each;
    /// How near the junction of building drain and sewer a cleanout stands.
    CleanoutJunction => "cleanout-junction", Cleanout, Plain, Number, Each;
    /// Whether a water closet that lifts off counts as a cleanout.
    CleanoutCloset => "cleanout-closet", Cleanout, Plain, YesNo, Each;
    /// Size of a cleanout: that of the pipe up to a limit, or a plug by pipe size.
    CleanoutSize => "cleanout-size", Cleanout, BySize, Number, Each;
    /// Clear room in front of a cleanout, by pipe size.
    CleanoutRoom => "cleanout-room", Cleanout, BySize, Number, Each;
    /// Where a cleanout must be reachable.
    CleanoutAccess => "cleanout-access", Cleanout, Plain, Words, Each;
    /// Which way a cleanout opens.
    CleanoutDirection => "cleanout-direction", Cleanout, Plain, Words, Each;
    /// How much larger than the pipe a sleeve is.
    SleeveSize => "sleeve-size", Foundation, Plain, Number, Each;
    /// How a drain passes a foundation wall: sleeve, arch, or core where the town says so.
    WallCrossing => "wall-crossing", Foundation, Plain, Words, Each;
    /// How a drain passes under a footing.
    FootingUnder => "footing-under", Foundation, Plain, Words, Each;
    /// What closes the room around a pipe in its sleeve.
    SleeveSeal => "sleeve-seal", Foundation, Plain, Words, Each;
    /// Whether a pipe may be cast directly in concrete.
    PipeInConcrete => "pipe-in-concrete", Foundation, Plain, YesNo, Each;
    /// Sheathing of metal pipe through concrete.
    MetalInConcrete => "metal-in-concrete", Foundation, Plain, Number, Each;
    /// Angle of the plane under a footing that no parallel trench may cut.
    FootingPlane => "footing-plane", Foundation, Plain, Number, Each;
    /// Earth over the building sewer outside.
    CoverOutside => "cover-outside", Ground, Plain, Number, Each;
    /// Depth of frost.
    FrostDepth => "frost-depth", Ground, Plain, Number, Shared;
    /// How far below frost the water service lies.
    WaterBelowFrost => "water-below-frost", Water, Plain, Number, Each;
    /// Room between a pipe's crown and what lies above it under the slab.
    CrownGap => "crown-gap", Ground, Plain, Number, Shared;
    /// Whether a pipe may lie in the gravel layer.
    PipeInGravel => "pipe-in-gravel", Ground, Plain, YesNo, Shared;
    /// How a buried pipe rests.
    BeddingSupport => "bedding-support", Ground, Plain, Words, Each;
    /// Layer thickness when an over-dug trench is refilled.
    BeddingOverdigLift => "bedding-overdig-lift", Ground, Plain, Number, Each;
    /// What replaces rock under a pipe.
    BeddingRock => "bedding-rock", Ground, Plain, Number, Each;
    /// How deep a soft bottom is dug out, in pipe diameters.
    BeddingSoft => "bedding-soft", Ground, Plain, Number, Each;
    /// Thickest layer of backfill.
    BackfillLift => "backfill-lift", Ground, Plain, Number, Each;
    /// Tamped earth over the crown before other fill.
    BackfillCover => "backfill-cover", Ground, Plain, Number, Each;
    /// Largest stone near plastic pipe.
    BeddingStone => "bedding-stone", Ground, Plain, Number, Shared;
    /// Whether water and sewer may lie together where the sewer is of building-drain pipe.
    WaterSewerExempt => "water-sewer-exempt", Water, Plain, YesNo, Each;
    /// Distance between water and other sewer pipe.
    WaterSewerDistance => "water-sewer-distance", Water, Plain, Number, Each;
    /// Height of the water pipe over the sewer that stands in for the distance.
    WaterSewerAbove => "water-sewer-above", Water, Plain, Number, Each;
    /// Sleeve of the water pipe each side of a crossing.
    WaterSewerCrossing => "water-sewer-crossing", Water, Plain, Number, Each;
    /// Where water pipe may not lie at all.
    WaterNearPollution => "water-near-pollution", Water, Plain, Words, Each;
    /// Fixtures lower than the next upstream manhole drain through a backwater valve.
    BackwaterValve => "backwater-valve", Ground, Plain, YesNo, Each;
    /// Water head of the test.
    TestHead => "test-head", Test, Plain, Number, Each;
    /// How long the water stands.
    TestTime => "test-time", Test, Plain, Number, Each;
    /// Air pressure of a test of pipe other than plastic.
    TestAir => "test-air", Test, Plain, Number, Each;
    /// Whether plastic pipe may be tested with air. Air in plastic pipe can burst it.
    TestAirPlastic => "test-air-plastic", Test, Plain, YesNo, Each;
    /// Vacuum test of plastic pipe.
    TestVacuum => "test-vacuum", Test, Plain, Number, Each;
    /// Water head of the sewer's test.
    TestSewer => "test-sewer", Test, Plain, Number, Each;
    /// Nothing is covered before it was looked at.
    InspectBeforeCover => "inspect-before-cover", Test, Plain, Words, Each;
    /// Centre of a water closet to the wall beside it.
    ClosetSide => "closet-side", Room, Plain, Number, Each;
    /// Clear room in front of a water closet.
    ClosetFront => "closet-front", Room, Plain, Number, Each;
    /// Centre of a water closet's flange to the finished wall behind.
    ClosetBack => "closet-back", Room, Plain, Number, Shared;
    /// How far off its rough-in a flange may be before it is worth a note.
    ClosetBackNote => "closet-back-note", Room, Plain, Number, Shared;
    /// How much nearer the wall than its rough-in a flange may be.
    ClosetBackUnder => "closet-back-under", Room, Plain, Number, Shared;
    /// How much farther from the wall than its rough-in a flange may be.
    ClosetBackOver => "closet-back-over", Room, Plain, Number, Shared;
    /// Void left in the slab at a tub or shower drain.
    TubBoxout => "tub-boxout", Room, Plain, Number, Shared;
    /// Least floor area of a shower.
    ShowerArea => "shower-area", Room, Plain, Number, Each;
    /// Height of a washer's standpipe above its trap weir.
    StandpipeHeight => "standpipe-height", Room, Plain, Range, Each;
    /// Height of a washer's trap above the floor.
    StandpipeTrap => "standpipe-trap", Room, Plain, Range, Each;
    /// Height of a standpipe that also takes a laundry tray.
    StandpipeTray => "standpipe-tray", Room, Plain, Number, Each;
    /// Whether the town has adopted the soil-gas appendix.
    RadonAppendix => "radon-appendix", SoilGas, Plain, YesNo, Shared;
    /// Whether each pipe through the sheet gets a boot rather than tape.
    RiserBoot => "riser-boot", SoilGas, Plain, YesNo, Shared;
    /// Thickness of the gas-permeable layer; the appendix counts only where adopted.
    RadonLayer => "radon-layer", SoilGas, Plain, Number, Shared;
    /// Under which slabs that layer lies.
    RadonLayerUnder => "radon-layer-under", SoilGas, Plain, Words, Shared;
    /// Thickness of the sheet over it.
    RadonSheet => "radon-sheet", SoilGas, Plain, Number, Shared;
    /// Lap of the sheet.
    RadonSheetLap => "radon-sheet-lap", SoilGas, Plain, Number, Shared;
    /// Whether the sheet lies over the foam or under it: `over foam` or `under foam`.
    SheetPlace => "sheet-place", SoilGas, Plain, Words, Shared;
    /// Whether each pipe through the slab gets a barrier against termites.
    TermiteBarrier => "termite-barrier", Foundation, Plain, YesNo, Shared;
    /// Size of the riser and its tee in the layer.
    RadonTee => "radon-tee", SoilGas, Plain, Number, Shared;
    /// Perforated pipe at each opening of the suction point, in the stricter standard.
    RadonSuctionPipe => "radon-suction-pipe", SoilGas, Plain, Number, Shared;
    /// Height of the riser's end above the roof.
    RadonRoofHeight => "radon-roof-height", SoilGas, Plain, Number, Shared;
    /// Distance of the riser's end from a window less than 2 ft below it.
    RadonOpeningDistance => "radon-opening-distance", SoilGas, Plain, Number, Shared;
    /// Footprint one riser serves.
    RadonArea => "radon-area", SoilGas, Plain, Number, Shared;
    /// Where the riser runs.
    RadonRoute => "radon-route", SoilGas, Plain, Words, Shared;
    /// What is written on the riser.
    RadonLabel => "radon-label", SoilGas, Plain, Words, Shared;
    /// Power for a later fan.
    RadonPower => "radon-power", SoilGas, Plain, Words, Shared;
    /// The suction fitting may not move at the pour.
    RadonFittingFixed => "radon-fitting-fixed", SoilGas, Plain, Words, Shared;
    /// Areas cut off by interior footings.
    RadonDivided => "radon-divided", SoilGas, Plain, Words, Shared;
    /// Depth from which a trench is held or sloped.
    TrenchProtection => "trench-protection", Trench, Plain, Number, Shared;
    /// Depth from which a trench has a ladder.
    TrenchLadder => "trench-ladder", Trench, Plain, Number, Shared;
    /// Way to that ladder.
    TrenchLadderTravel => "trench-ladder-travel", Trench, Plain, Number, Shared;
    /// Distance of spoil from the edge.
    TrenchSpoil => "trench-spoil", Trench, Plain, Number, Shared;
    /// Find buried lines before digging; how long to wait for an answer.
    TrenchUtilities => "trench-utilities", Trench, Plain, Number, Shared;
    /// Who looks at the trench, and when.
    TrenchInspection => "trench-inspection", Trench, Plain, Words, Shared;
    /// Depth from which an engineer designs the protection.
    TrenchEngineer => "trench-engineer", Trench, Plain, Number, Shared;
}

/// The files in `assets/codes` beside `rules.csv`, with the rules whose rows stand in them.
const TABLES: [(&str, &[RuleId]); 5] = [
    (
        "fixtures.csv",
        &[RuleId::TrapSize, RuleId::FixtureLoad, RuleId::GroupLoad],
    ),
    (
        "drain_capacity.csv",
        &[
            RuleId::DrainCapacity,
            RuleId::BranchCapacity,
            RuleId::StackCapacity,
        ],
    ),
    (
        "trap_arm.csv",
        &[RuleId::TrapArmLength, RuleId::TrapArmCloset],
    ),
    ("wet_vent.csv", &[RuleId::WetVentCapacity]),
    ("change_of_direction.csv", &[RuleId::ChangeOfDirection]),
];

impl RuleId {
    /// The file in `assets/codes` that its rows stand in.
    pub fn file(self) -> &'static str {
        let table = TABLES.iter().find(|(_, rules)| rules.contains(&self));
        table.map_or("rules.csv", |(file, _)| file)
    }

    /// The rule with this id.
    pub fn parse(id: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|rule| rule.id() == id)
    }

    /// Up to three ids like `text`, nearest first.
    pub fn near(text: &str) -> Vec<&'static str> {
        near(text, Self::ALL.iter().map(|rule| rule.id()))
    }
}

impl std::fmt::Display for RuleId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.id())
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn ids_are_unique_kebab_words_with_a_sentence_each() {
        let ids: BTreeSet<&str> = RuleId::ALL.iter().map(|rule| rule.id()).collect();
        assert_eq!(ids.len(), RuleId::ALL.len());
        for rule in RuleId::ALL {
            assert_eq!(RuleId::parse(rule.id()), Some(*rule));
            assert!(
                rule.id()
                    .chars()
                    .all(|c| c.is_ascii_lowercase() || c == '-'),
                "{rule}"
            );
            assert!(
                rule.about().ends_with('.') && !rule.about().starts_with(' '),
                "{rule}: {:?}",
                rule.about()
            );
        }
    }
}
