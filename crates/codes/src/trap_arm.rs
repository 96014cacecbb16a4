//! How far a trap may be from its vent.

use units::Size;

use crate::{
    row::{Figure, Key, Row},
    rule_list::RuleId,
    rules::Rules,
};

/// The limits of one trap arm. The developed length counts from trap weir to vent, for a wet vent to the wet-vented pipe.
#[derive(Clone, PartialEq, Debug)]
pub struct ArmLimits<'a> {
    /// Greatest length in feet. `None`: no limit (a closet in the IPC and IRC) or no row for the size; see `length_row`.
    pub length: Option<Figure<'a>>,
    /// The row the length comes from.
    pub length_row: Option<&'a Row>,
    /// Greatest fall in inches, weir to vent, and its row. `None`: a closet, which siphons itself.
    pub fall_in: Option<(f64, &'a Row)>,
    /// Least length in inches, and its row.
    pub least_in: Option<(f64, &'a Row)>,
    /// Most turning in degrees without a cleanout. `None`: no limit of its own was seen.
    pub turns: Option<Figure<'a>>,
}

impl Rules {
    /// Greatest length of a trap arm of this size, feet.
    pub fn trap_arm(&self, size: Size) -> Option<Figure<'_>> {
        self.keyed(RuleId::TrapArmLength, Key::Size(size.nominal()))?
            .figure()
    }

    /// All limits of the trap arm of a fixture other than a closet.
    pub fn arm_limits(&self, size: Size) -> ArmLimits<'_> {
        let length_row = self.keyed(RuleId::TrapArmLength, Key::Size(size.nominal()));
        let by_diameter = |rule| {
            self.number(rule)
                .map(|figure: Figure| (figure.value * size.nominal(), figure.row))
        };
        ArmLimits {
            length: length_row.and_then(Row::figure),
            length_row,
            fall_in: by_diameter(RuleId::TrapArmFall),
            least_in: by_diameter(RuleId::TrapArmLeast),
            turns: self.number_for(RuleId::TrapArmTurns, size),
        }
    }

    /// All limits of the drain between a closet and its vent. Whether the fall is limited too is argued; not here.
    pub fn closet_arm_limits(&self, size: Size) -> ArmLimits<'_> {
        let length_row = self.row(RuleId::TrapArmCloset);
        let length = length_row.and_then(Row::figure);
        ArmLimits {
            length,
            length_row,
            fall_in: None,
            least_in: None,
            ..self.arm_limits(size)
        }
    }
}
