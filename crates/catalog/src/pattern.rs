//! The trade patterns of drain fittings and the sizes they are named by. What does not belong here: dimensions.

use std::fmt;
use units::Size;

/// A pattern of PVC drain fitting, by its trade name. The patterns are those of ASTM D3311; its text and tables were
/// not read.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Pattern {
    /// 90 degrees, short radius.
    QuarterBendShort,
    /// 90 degrees, long turn.
    QuarterBendLongTurn,
    /// 60 degrees.
    SixthBend,
    /// 45 degrees.
    EighthBend,
    /// 22-1/2 degrees.
    SixteenthBend,
    /// 90 degrees, short radius, one end a spigot that goes into another fitting's hub.
    QuarterBendStreet,
    /// 90 degrees, long turn, one end a spigot.
    QuarterBendLongTurnStreet,
    /// 60 degrees, one end a spigot.
    SixthBendStreet,
    /// 45 degrees, one end a spigot.
    EighthBendStreet,
    /// 22-1/2 degrees, one end a spigot.
    SixteenthBendStreet,
    /// 90 degrees with a small inlet at the heel, in line with the outlet leg.
    QuarterBendHeelInlet,
    /// 90 degrees under a toilet, larger at the flange.
    ClosetBend,
    /// A tee whose branch sweeps down into the run.
    SanitaryTee,
    /// A sanitary tee with a spigot outlet.
    SanitaryTeeStreet,
    /// A square tee for air only.
    VentTee,
    /// A 45-degree branch.
    Wye,
    /// A wye with a spigot outlet.
    WyeStreet,
    /// Wye and eighth bend in one piece: a square branch that sweeps long into the run.
    Combination,
    /// Two 45-degree branches opposite each other.
    DoubleWye,
    /// Two swept branches opposite each other.
    DoubleSanitaryTee,
    /// Two long-swept branches opposite each other, for fixtures back to back.
    DoubleFixtureFitting,
    /// A riser that sweeps into the run both ways.
    TwoWayCleanout,
    /// Joins two pipes of one size.
    Coupling,
    /// Joins two pipes of different size, both in hubs.
    ReducingCoupling,
    /// A reducer that fills a hub of the larger size.
    FlushBushing,
    /// The ring a toilet stands on, over the pipe.
    ClosetFlange,
    /// The ring a toilet stands on, inside the pipe.
    ClosetFlangeInside,
    /// A spigot with a female thread for a plug.
    CleanoutAdapter,
    /// The plug that closes a cleanout.
    CleanoutPlug,
    /// A run with a threaded opening for a test plug.
    TestTee,
    /// The trap of a shower, tub or sink.
    PTrap,
    /// Closes a pipe for good.
    Cap,
    /// Closes a pipe for the pressure test.
    TestCap,
}

impl Pattern {
    /// Every pattern, in the order parts lists use.
    pub const ALL: [Self; 33] = [
        Self::QuarterBendShort,
        Self::QuarterBendLongTurn,
        Self::SixthBend,
        Self::EighthBend,
        Self::SixteenthBend,
        Self::QuarterBendStreet,
        Self::QuarterBendLongTurnStreet,
        Self::SixthBendStreet,
        Self::EighthBendStreet,
        Self::SixteenthBendStreet,
        Self::QuarterBendHeelInlet,
        Self::ClosetBend,
        Self::SanitaryTee,
        Self::SanitaryTeeStreet,
        Self::VentTee,
        Self::Wye,
        Self::WyeStreet,
        Self::Combination,
        Self::DoubleWye,
        Self::DoubleSanitaryTee,
        Self::DoubleFixtureFitting,
        Self::TwoWayCleanout,
        Self::Coupling,
        Self::ReducingCoupling,
        Self::FlushBushing,
        Self::ClosetFlange,
        Self::ClosetFlangeInside,
        Self::CleanoutAdapter,
        Self::CleanoutPlug,
        Self::TestTee,
        Self::PTrap,
        Self::Cap,
        Self::TestCap,
    ];

    /// The trade name: `eighth bend`, `street wye`.
    pub fn words(self) -> &'static str {
        match self {
            Self::QuarterBendShort => "short quarter bend",
            Self::QuarterBendLongTurn => "long-turn quarter bend",
            Self::SixthBend => "sixth bend",
            Self::EighthBend => "eighth bend",
            Self::SixteenthBend => "sixteenth bend",
            Self::QuarterBendStreet => "street quarter bend",
            Self::QuarterBendLongTurnStreet => "street long-turn quarter bend",
            Self::SixthBendStreet => "street sixth bend",
            Self::EighthBendStreet => "street eighth bend",
            Self::SixteenthBendStreet => "street sixteenth bend",
            Self::QuarterBendHeelInlet => "quarter bend with heel inlet",
            Self::ClosetBend => "closet bend",
            Self::SanitaryTee => "sanitary tee",
            Self::SanitaryTeeStreet => "street sanitary tee",
            Self::VentTee => "vent tee",
            Self::Wye => "wye",
            Self::WyeStreet => "street wye",
            Self::Combination => "combination",
            Self::DoubleWye => "double wye",
            Self::DoubleSanitaryTee => "double sanitary tee",
            Self::DoubleFixtureFitting => "double fixture fitting",
            Self::TwoWayCleanout => "two-way cleanout",
            Self::Coupling => "coupling",
            Self::ReducingCoupling => "reducing coupling",
            Self::FlushBushing => "flush bushing",
            Self::ClosetFlange => "closet flange",
            Self::ClosetFlangeInside => "inside closet flange",
            Self::CleanoutAdapter => "cleanout adapter",
            Self::CleanoutPlug => "cleanout plug",
            Self::TestTee => "test tee",
            Self::PTrap => "p-trap",
            Self::Cap => "cap",
            Self::TestCap => "test cap",
        }
    }

    /// What it is, for someone who has never bought one: `a 45-degree turn`.
    pub fn plain_words(self) -> &'static str {
        match self {
            Self::QuarterBendShort => "a tight 90-degree turn",
            Self::QuarterBendLongTurn => "a wide 90-degree turn",
            Self::SixthBend => "a 60-degree turn",
            Self::EighthBend => "a 45-degree turn",
            Self::SixteenthBend => "a 22-1/2-degree turn",
            Self::QuarterBendStreet => "a tight 90-degree turn, one end goes into a hub",
            Self::QuarterBendLongTurnStreet => "a wide 90-degree turn, one end goes into a hub",
            Self::SixthBendStreet => "a 60-degree turn, one end goes into a hub",
            Self::EighthBendStreet => "a 45-degree turn, one end goes into a hub",
            Self::SixteenthBendStreet => "a 22-1/2-degree turn, one end goes into a hub",
            Self::QuarterBendHeelInlet => "a 90-degree turn with a small inlet at its back",
            Self::ClosetBend => "the 90-degree turn under a toilet",
            Self::SanitaryTee => "a square branch that curves down, for upright pipes",
            Self::SanitaryTeeStreet => {
                "a square branch that curves down, its lower end goes into a hub"
            }
            Self::VentTee => "a square branch without a curve, for air only",
            Self::Wye => "a 45-degree branch",
            Self::WyeStreet => "a 45-degree branch, its lower end goes into a hub",
            Self::Combination => "a square branch with a long curve, in one piece",
            Self::DoubleWye => "two 45-degree branches, left and right",
            Self::DoubleSanitaryTee => "two square branches that curve down, left and right",
            Self::DoubleFixtureFitting => "two square branches with long curves, left and right",
            Self::TwoWayCleanout => "an opening from which a cable can go both ways",
            Self::Coupling => "joins two pipes end to end",
            Self::ReducingCoupling => "joins a small pipe to a larger one",
            Self::FlushBushing => "makes a large hub take a smaller pipe",
            Self::ClosetFlange => "the ring a toilet is bolted to, over the pipe",
            Self::ClosetFlangeInside => "the ring a toilet is bolted to, inside the pipe",
            Self::CleanoutAdapter => "the threaded end a cleanout plug goes into",
            Self::CleanoutPlug => "the plug of a cleanout",
            Self::TestTee => "an opening for a test plug",
            Self::PTrap => "the bend that holds water against sewer air",
            Self::Cap => "closes the end of a pipe",
            Self::TestCap => "closes the end of a pipe for the test, then is knocked out",
        }
    }

    /// The name in tables: `eighth_bend`.
    pub(crate) fn key(self) -> &'static str {
        match self {
            Self::QuarterBendShort => "quarter_bend_short",
            Self::QuarterBendLongTurn => "quarter_bend_long_turn",
            Self::SixthBend => "sixth_bend",
            Self::EighthBend => "eighth_bend",
            Self::SixteenthBend => "sixteenth_bend",
            Self::QuarterBendStreet => "quarter_bend_street",
            Self::QuarterBendLongTurnStreet => "quarter_bend_long_turn_street",
            Self::SixthBendStreet => "sixth_bend_street",
            Self::EighthBendStreet => "eighth_bend_street",
            Self::SixteenthBendStreet => "sixteenth_bend_street",
            Self::QuarterBendHeelInlet => "quarter_bend_heel_inlet",
            Self::ClosetBend => "closet_bend",
            Self::SanitaryTee => "sanitary_tee",
            Self::SanitaryTeeStreet => "sanitary_tee_street",
            Self::VentTee => "vent_tee",
            Self::Wye => "wye",
            Self::WyeStreet => "wye_street",
            Self::Combination => "combination",
            Self::DoubleWye => "double_wye",
            Self::DoubleSanitaryTee => "double_sanitary_tee",
            Self::DoubleFixtureFitting => "double_fixture_fitting",
            Self::TwoWayCleanout => "two_way_cleanout",
            Self::Coupling => "coupling",
            Self::ReducingCoupling => "reducing_coupling",
            Self::FlushBushing => "flush_bushing",
            Self::ClosetFlange => "closet_flange",
            Self::ClosetFlangeInside => "closet_flange_inside",
            Self::CleanoutAdapter => "cleanout_adapter",
            Self::CleanoutPlug => "cleanout_plug",
            Self::TestTee => "test_tee",
            Self::PTrap => "p_trap",
            Self::Cap => "cap",
            Self::TestCap => "test_cap",
        }
    }

    pub(crate) fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|pattern| pattern.key() == key)
    }

    /// Degrees that flow turns between inlet and outlet; `None` where the pattern is not a bend.
    pub fn turn_degrees(self) -> Option<f64> {
        match self {
            Self::QuarterBendShort
            | Self::QuarterBendLongTurn
            | Self::QuarterBendStreet
            | Self::QuarterBendLongTurnStreet
            | Self::QuarterBendHeelInlet
            | Self::ClosetBend => Some(90.0),
            Self::SixthBend | Self::SixthBendStreet => Some(60.0),
            Self::EighthBend | Self::EighthBendStreet => Some(45.0),
            Self::SixteenthBend | Self::SixteenthBendStreet => Some(22.5),
            Self::SanitaryTee
            | Self::SanitaryTeeStreet
            | Self::VentTee
            | Self::Wye
            | Self::WyeStreet
            | Self::Combination
            | Self::DoubleWye
            | Self::DoubleSanitaryTee
            | Self::DoubleFixtureFitting
            | Self::TwoWayCleanout
            | Self::Coupling
            | Self::ReducingCoupling
            | Self::FlushBushing
            | Self::ClosetFlange
            | Self::ClosetFlangeInside
            | Self::CleanoutAdapter
            | Self::CleanoutPlug
            | Self::TestTee
            | Self::PTrap
            | Self::Cap
            | Self::TestCap => None,
        }
    }

    /// The same pattern with hubs at all ends, where this is its street version.
    pub fn hubbed(self) -> Option<Self> {
        Self::STREET
            .into_iter()
            .find(|(street, _)| *street == self)
            .map(|(_, plain)| plain)
    }

    /// The street version of this pattern, where one is made.
    pub fn street(self) -> Option<Self> {
        Self::STREET
            .into_iter()
            .find(|(_, plain)| *plain == self)
            .map(|(street, _)| street)
    }

    const STREET: [(Self, Self); 7] = [
        (Self::QuarterBendStreet, Self::QuarterBendShort),
        (Self::QuarterBendLongTurnStreet, Self::QuarterBendLongTurn),
        (Self::SixthBendStreet, Self::SixthBend),
        (Self::EighthBendStreet, Self::EighthBend),
        (Self::SixteenthBendStreet, Self::SixteenthBend),
        (Self::SanitaryTeeStreet, Self::SanitaryTee),
        (Self::WyeStreet, Self::Wye),
    ];

    /// True where the fitting is named by a branch size too (a test tee is not: its opening is as its run).
    pub fn has_branch(self) -> bool {
        matches!(
            self,
            Self::QuarterBendHeelInlet
                | Self::SanitaryTee
                | Self::SanitaryTeeStreet
                | Self::VentTee
                | Self::Wye
                | Self::WyeStreet
                | Self::Combination
                | Self::DoubleWye
                | Self::DoubleSanitaryTee
                | Self::DoubleFixtureFitting
                | Self::TwoWayCleanout
        )
    }

    /// True where some makers mould the branch or inlet of the drainage pattern with a pitch of 1/4 in per ft.
    /// Reported, not read; 45-degree and vent patterns are true.
    pub fn may_be_pitched(self) -> bool {
        matches!(
            self,
            Self::QuarterBendShort
                | Self::QuarterBendLongTurn
                | Self::QuarterBendStreet
                | Self::QuarterBendLongTurnStreet
                | Self::QuarterBendHeelInlet
                | Self::ClosetBend
                | Self::SanitaryTee
                | Self::SanitaryTeeStreet
                | Self::Combination
                | Self::DoubleSanitaryTee
                | Self::DoubleFixtureFitting
        )
    }
}

impl fmt::Display for Pattern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.words())
    }
}

/// The sizes a fitting is named by.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Sizes {
    /// The outlet: where the water leaves.
    pub run: Size,
    /// The inlet of the run: as `run` but for reducers, bushings and closet bends.
    pub up: Size,
    /// The branch (or both branches, or the heel inlet), if the pattern has one.
    pub branch: Option<Size>,
}

impl Sizes {
    /// All ends alike, of a pattern without a branch.
    pub fn one(size: Size) -> Self {
        Self {
            run: size,
            up: size,
            branch: None,
        }
    }

    /// A straight run with a branch, which may be as large as the run.
    pub fn branched(run: Size, branch: Size) -> Self {
        Self {
            run,
            up: run,
            branch: Some(branch),
        }
    }

    /// Outlet and inlet of different size: a bushing or reducing coupling is (larger, smaller) as water flows to the
    /// larger pipe, a closet bend (3, 4).
    pub fn reducing(run: Size, up: Size) -> Self {
        Self {
            run,
            up,
            branch: None,
        }
    }

    /// The sizes that a pattern's name lists, the larger first as the trade says them: `[3, 2]` for a 3x2 wye,
    /// `[3, 3, 2]` too, `[4, 3]` for a bushing or a closet bend. `None` when the list does not suit the pattern.
    pub fn listed(pattern: Pattern, sizes: &[Size]) -> Option<Self> {
        match sizes {
            [one] if pattern.has_branch() => Some(Self::branched(*one, *one)),
            [one] => Some(Self::one(*one)),
            [run, branch] if pattern.has_branch() => Some(Self::branched(*run, *branch)),
            [large, small] if pattern == Pattern::ClosetBend => {
                Some(Self::reducing(*small, *large))
            }
            [large, small] => Some(Self::reducing(*large, *small)),
            [run, up, branch] if pattern.has_branch() => Some(Self {
                run: *run,
                up: *up,
                branch: Some(*branch),
            }),
            _ => None,
        }
    }

    /// As the trade writes them, no unit: `3`, `3x3x2`, `4x3`.
    pub fn label(self) -> String {
        let larger = self.run.max(self.up);
        let smaller = self.run.min(self.up);
        match self.branch {
            Some(branch) if self.run == self.up && branch == self.run => self.run.label().into(),
            Some(b) => format!("{}x{}x{}", self.run.label(), self.up.label(), b.label()),
            None if larger == smaller => self.run.label().into(),
            None => format!("{}x{}", larger.label(), smaller.label()),
        }
    }
}

/// What is bought: a pattern in its sizes.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Part {
    /// The pattern.
    pub pattern: Pattern,
    /// Its sizes.
    pub sizes: Sizes,
}

impl Part {
    /// A part from its pattern and sizes.
    pub fn new(pattern: Pattern, sizes: Sizes) -> Self {
        Self { pattern, sizes }
    }

    /// The part as one number, ordered as parts are.
    pub(crate) fn code(self) -> u32 {
        let Sizes { run, up, branch } = self.sizes;
        // Six sizes and no branch fit in three bits each.
        let branch = branch.map_or(0, |branch| branch as u32 + 1);
        ((((self.pattern as u32) << 3 | run as u32) << 3) | up as u32) << 3 | branch
    }

    /// The name with what it means: `3x3x2 wye, branch 2 in: a 45-degree branch`.
    pub fn says(self) -> String {
        let branch = self.sizes.branch.filter(|b| *b != self.sizes.run);
        let branch = branch.map(|b| format!(", branch {b}")).unwrap_or_default();
        format!("{self}{branch}: {}", self.pattern.plain_words())
    }
}

impl fmt::Display for Part {
    /// `3 in eighth bend`, `3x3x2 wye`: what the bench sheet reads back.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let label = self.sizes.label();
        let unit = if label.contains('x') { "" } else { " in" };
        write!(f, "{label}{unit} {}", self.pattern)
    }
}
