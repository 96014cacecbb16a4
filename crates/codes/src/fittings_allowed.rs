//! Which fitting may make which turn.

use units::Size;

use crate::{
    fixtures::named,
    row::{Key, Row},
    rule_list::RuleId,
    rules::Rules,
    value::Value,
};

named! {
    /// A drainage fitting as the tables of turns name it.
    Pattern {
        /// 22-1/2 degree bend.
        SixteenthBend "sixteenth-bend",
        /// 45 degree bend.
        EighthBend "eighth-bend",
        /// 60 degree bend or offset.
        SixthBend "sixth-bend",
        /// 90 degree bend of short radius.
        QuarterBend "quarter-bend",
        /// 90 degree short sweep.
        ShortSweep "short-sweep",
        /// 90 degree long sweep.
        LongSweep "long-sweep",
        /// Sanitary tee.
        SanitaryTee "sanitary-tee",
        /// Wye at 45 degrees.
        Wye "wye",
        /// Wye at 60 degrees.
        Wye60 "wye-60",
        /// Combination wye and eighth bend.
        Combination "combination-wye-and-eighth-bend",
        /// Double sanitary tee.
        DoubleSanitaryTee "double-sanitary-tee",
        /// Double fixture fitting.
        DoubleFixture "double-fixture-fitting",
        /// Quarter bend with a low inlet at its heel.
        HeelInlet "heel-inlet-quarter-bend",
        /// Quarter bend with a side inlet.
        SideInlet "side-inlet-quarter-bend",
    }
}

named! {
    /// A change of direction, with the flow.
    Turn {
        /// From horizontal to vertical.
        HorizontalToVertical "h-to-v",
        /// From vertical to horizontal.
        VerticalToHorizontal "v-to-h",
        /// From horizontal to horizontal.
        HorizontalToHorizontal "h-to-h",
    }
}

named! {
    /// Inside what limit a table lets a fitting make a turn.
    Limit {
        /// Only the drain of one fixture, of 2 in or smaller.
        FixtureDrain2 "fixture-drain-2",
        /// The same, or any pipe of 3 in and larger.
        FixtureDrain2Or3Up "fixture-drain-2-or-3-up",
        /// Only standing truly vertical.
        TrueVertical "true-vertical",
        /// Only with a barrel two pipe sizes larger than the inlets.
        BarrelTwoSizes "barrel-two-sizes",
        /// Not for back-to-back closets.
        NoClosets "no-closets",
        /// For back-to-back closets only if each is 18 in or more of pipe away.
        Closets18 "closets-18",
        /// Not where the bend serves a closet.
        NotCloset "not-closet",
        /// Not where the bend serves a closet, nor with the side inlet as a vent.
        NotClosetNotVent "not-closet-not-vent",
        /// Only if the inspector takes it as a fitting of equal sweep.
        EqualSweep "equal-sweep",
    }
}

impl Limit {
    /// The limit in words, to stand after "allowed".
    pub fn says(self) -> &'static str {
        match self {
            Self::FixtureDrain2 => "only on one fixture's drain of 2 in or smaller",
            Self::FixtureDrain2Or3Up => {
                "only on one fixture's drain of 2 in or smaller, or on 3 in and larger"
            }
            Self::TrueVertical => "only standing truly vertical",
            Self::BarrelTwoSizes => "only with a barrel two pipe sizes larger than the inlets",
            Self::NoClosets => "not for back-to-back closets",
            Self::Closets18 => "for back-to-back closets only with 18 in of pipe to each",
            Self::NotCloset => "not where the bend serves a closet",
            Self::NotClosetNotVent => {
                "not where the bend serves a closet, nor with the side inlet as a vent"
            }
            Self::EqualSweep => "only if the inspector takes it as a fitting of equal sweep",
        }
    }

    fn answer(self, used: &Use) -> Answer {
        let small_fixture_drain = used.fixture_drain && used.size <= Size::In2;
        match self {
            Self::FixtureDrain2 => Answer::when(small_fixture_drain),
            Self::FixtureDrain2Or3Up => Answer::when(small_fixture_drain || used.size >= Size::In3),
            Self::TrueVertical => Answer::when(used.true_vertical),
            Self::BarrelTwoSizes => Answer::when(used.barrel_two_sizes_larger),
            Self::NoClosets | Self::NotCloset => Answer::when(!used.closet),
            Self::Closets18 => {
                Answer::when(!used.closet || used.closet_pipe_in.is_some_and(|pipe| pipe >= 18.0))
            }
            Self::NotClosetNotVent => Answer::when(!used.closet && !used.inlet_is_vent),
            Self::EqualSweep => Answer::Ask,
        }
    }
}

/// How a fitting is used, as far as a limit asks.
#[derive(Clone, Copy, PartialEq, Debug)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is one plain question of a table, independent of the others"
)]
pub struct Use {
    /// Its size.
    pub size: Size,
    /// Whether only one fixture's drain turns here.
    pub fixture_drain: bool,
    /// Whether it serves a closet (a double fitting: back-to-back closets).
    pub closet: bool,
    /// Pipe from each closet's outlet to the fitting, inches, if known.
    pub closet_pipe_in: Option<f64>,
    /// Whether it stands truly vertical.
    pub true_vertical: bool,
    /// Whether the barrel is two sizes larger than the inlets.
    pub barrel_two_sizes_larger: bool,
    /// Whether a heel or side inlet is a vent.
    pub inlet_is_vent: bool,
}

impl Use {
    /// A plain use in this size: no closet, not one fixture's drain, not vertical.
    pub fn plain(size: Size) -> Self {
        Self {
            size,
            fixture_drain: false,
            closet: false,
            closet_pipe_in: None,
            true_vertical: false,
            barrel_two_sizes_larger: false,
            inlet_is_vent: false,
        }
    }
}

/// What a table of turns answers.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Answer {
    /// The table has it.
    Allowed,
    /// The table or its limit refuses it.
    Refused,
    /// It hangs on the inspector.
    Ask,
}

impl Answer {
    fn when(allowed: bool) -> Self {
        if allowed {
            Self::Allowed
        } else {
            Self::Refused
        }
    }
}

impl Rules {
    /// Whether `pattern` may make `turn` when used so, and the row that answers. No row: no text was seen, ask.
    pub fn permitted(&self, pattern: Pattern, turn: Turn, used: &Use) -> (Answer, Option<&Row>) {
        let row = self.keyed(RuleId::ChangeOfDirection, Key::Turn(pattern, turn));
        (row.map_or(Answer::Ask, |row| answer(&row.value, used)), row)
    }
}

fn answer(value: &Value, used: &Use) -> Answer {
    match value {
        Value::Yes | Value::NoLimit => Answer::Allowed,
        Value::No => Answer::Refused,
        Value::Limited(limit) => limit.answer(used),
        Value::Number(_)
        | Value::Range(..)
        | Value::Local
        | Value::Silent
        | Value::Words(_)
        | Value::Said
        | Value::Unseen => Answer::Ask,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Code, rules};

    #[test]
    fn a_short_sweep_at_the_foot_of_a_riser() {
        // Chicago text of IPC Table 706.3: a fixture drain of 2 in, or 3 in and larger.
        let ipc = rules(Code::Ipc, &[]).0;
        let turn = Turn::VerticalToHorizontal;
        let ask = |used: Use| ipc.permitted(Pattern::ShortSweep, turn, &used).0;
        assert_eq!(ask(Use::plain(Size::In3)), Answer::Allowed);
        assert_eq!(ask(Use::plain(Size::In2)), Answer::Refused);
        assert_eq!(
            ask(Use {
                fixture_drain: true,
                ..Use::plain(Size::In2)
            }),
            Answer::Allowed
        );
    }

    #[test]
    fn what_nobody_saw_is_asked() {
        let irc = rules(Code::Irc, &[]).0;
        let (answer, row) = irc.permitted(
            Pattern::DoubleFixture,
            Turn::HorizontalToVertical,
            &Use::plain(Size::In3),
        );
        assert_eq!((answer, row), (Answer::Ask, None));
    }
}
