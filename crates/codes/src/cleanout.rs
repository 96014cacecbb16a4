//! Cleanouts: where, how large, how much room.

use units::Size;

use crate::{
    code::Code,
    row::{Figure, Row},
    rule_list::RuleId,
    rules::Rules,
};

/// What a code asks of cleanouts on horizontal drains.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct CleanoutRules<'a> {
    /// Whether each run has one at its upper end.
    pub upper_end: Option<&'a Row>,
    /// Greatest distance between them, feet.
    pub spacing: Option<Figure<'a>>,
    /// Turning from which one is due, degrees: each single turn sharper than this, or the sum of turns; see `turns_add_up`.
    pub turns: Option<Figure<'a>>,
    /// Whether turns are counted by their sum (UPC) or each by itself (IPC, IRC).
    pub turns_add_up: bool,
    /// Length of pipe whose sharper turns one serves, feet.
    pub reach: Option<Figure<'a>>,
    /// A run shorter than this needs none, feet; not where it takes a sink or urinal.
    pub exempt_run: Option<Figure<'a>>,
    /// How near the junction of building drain and sewer one stands, feet.
    pub junction: Option<Figure<'a>>,
    /// Whether a closet that lifts off counts as one.
    pub closet_counts: Option<&'a Row>,
}

impl Rules {
    /// Where cleanouts are due.
    pub fn cleanouts(&self) -> CleanoutRules<'_> {
        CleanoutRules {
            upper_end: self.row(RuleId::CleanoutUpperEnd),
            spacing: self.number(RuleId::CleanoutSpacing),
            turns: self.number(RuleId::CleanoutTurns),
            turns_add_up: self.code() == Code::Upc,
            reach: self.number(RuleId::CleanoutTurnsReach),
            exempt_run: self.number(RuleId::CleanoutExemptRun),
            junction: self.number(RuleId::CleanoutJunction),
            closet_counts: self.row(RuleId::CleanoutCloset),
        }
    }

    /// Least cleanout on pipe of this size, nominal inches: the pipe's own size up to a limit (IPC, IRC), a plug by
    /// table (UPC).
    pub fn cleanout_size(&self, pipe: Size) -> Option<Figure<'_>> {
        let figure = self.number_for(RuleId::CleanoutSize, pipe)?;
        let value = match self.code() {
            Code::Upc => figure.value,
            Code::Irc | Code::Ipc => figure.value.min(pipe.nominal()),
        };
        Some(Figure {
            value,
            row: figure.row,
        })
    }

    /// Least clear room in front of a cleanout on pipe of this size, inches.
    pub fn cleanout_room(&self, pipe: Size) -> Option<Figure<'_>> {
        self.number_for(RuleId::CleanoutRoom, pipe)
    }
}
