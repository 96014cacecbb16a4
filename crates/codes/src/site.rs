//! Look-ups that gather the rows of one question: room at a closet, the test, water beside a sewer.

use crate::{
    row::{Figure, Row},
    rule_list::RuleId,
    rules::Rules,
};

/// Room at a water closet, inches.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct ClosetRoom<'a> {
    /// Centre to a wall or fixture beside it, least.
    pub side: Option<Figure<'a>>,
    /// Clear in front, least.
    pub front: Option<Figure<'a>>,
    /// Flange centre to the finished wall behind; common practice.
    pub back: Option<Figure<'a>>,
    /// Off by more than this: a note.
    pub back_note: Option<Figure<'a>>,
    /// Nearer by more than this: the bowl does not go on.
    pub back_under: Option<Figure<'a>>,
    /// Farther by more than this: the gap is too wide.
    pub back_over: Option<Figure<'a>>,
}

/// The test before cover.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct PressureTest<'a> {
    /// Water head above the highest fitting of the section, feet. It depends on the edition; see [`Rules::also`].
    pub head: Option<Figure<'a>>,
    /// How long it stands, minutes.
    pub minutes: Option<Figure<'a>>,
    /// Air pressure for pipe other than plastic, psi.
    pub air: Option<Figure<'a>>,
    /// Whether plastic pipe may be tested with air. Air in plastic pipe can burst it, whatever this says.
    pub air_on_plastic: Option<&'a Row>,
    /// Vacuum test of plastic pipe, psi (negative).
    pub vacuum: Option<Figure<'a>>,
}

/// Water service beside a sewer.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct WaterApart<'a> {
    /// Whether they may lie together where the sewer is of building-drain material, as schedule 40 PVC DWV is.
    pub exempt: Option<&'a Row>,
    /// Otherwise so far apart, feet. `None`: separate trenches are not covered by the text seen.
    pub distance: Option<Figure<'a>>,
    /// Or the water pipe's bottom so far above the sewer's top, inches.
    pub above: Option<Figure<'a>>,
    /// A crossing water pipe is sleeved so far each side, feet.
    pub crossing: Option<Figure<'a>>,
}

impl Rules {
    /// Room at a water closet.
    pub fn closet_room(&self) -> ClosetRoom<'_> {
        ClosetRoom {
            side: self.number(RuleId::ClosetSide),
            front: self.number(RuleId::ClosetFront),
            back: self.number(RuleId::ClosetBack),
            back_note: self.number(RuleId::ClosetBackNote),
            back_under: self.number(RuleId::ClosetBackUnder),
            back_over: self.number(RuleId::ClosetBackOver),
        }
    }

    /// The test before cover.
    pub fn pressure_test(&self) -> PressureTest<'_> {
        PressureTest {
            head: self.number(RuleId::TestHead),
            minutes: self.number(RuleId::TestTime),
            air: self.number(RuleId::TestAir),
            air_on_plastic: self.row(RuleId::TestAirPlastic),
            vacuum: self.number(RuleId::TestVacuum),
        }
    }

    /// Water service beside a sewer.
    pub fn water_apart(&self) -> WaterApart<'_> {
        WaterApart {
            exempt: self.row(RuleId::WaterSewerExempt),
            distance: self.number(RuleId::WaterSewerDistance),
            above: self.number(RuleId::WaterSewerAbove),
            crossing: self.number(RuleId::WaterSewerCrossing),
        }
    }
}
