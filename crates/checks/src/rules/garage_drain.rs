//! `garage-drain`: a floor drain wanted in a garage, which towns allow, separate from the house drain, or forbid.
//!
//! Source: codes row `garage-drain`. Mend: ask before the slab; many fall the floor to the door instead.

use codes::RuleId;
use layout::{Answer, FixtureKind, RoomKind};

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "garage-drain",
    about: "A drain in a garage is one the town allows, and goes where it says.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(row) = case.rules.row(RuleId::GarageDrain) else { return Vec::new() };
    let wants = |room: &&layout::Room| {
        let yes = |(kind, answer): &(FixtureKind, Answer)| *kind == FixtureKind::FloorDrain && *answer != Answer::No;
        room.kind == RoomKind::Garage && room.drains.iter().any(yes)
    };
    let drain = case.layout.fixtures.iter().find(|f| f.kind == FixtureKind::FloorDrain);
    case.layout.rooms.iter().filter(wants).map(|room| {
        let says = format!(
            "{} is to have a floor drain: ask whether the town allows one, and whether through a separator", room.id,
        );
        let at = drain.map_or(glam::DVec3::ZERO, |drain| drain.at.extend(0.0));
        Finding::new(RULE.id, Verdict::Ask, vec![room.id.clone()], at, Source::row(row), says)
    }).collect()
}
