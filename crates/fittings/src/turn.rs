//! Which bends make a turn.

use catalog::{Catalog, EndName, Part, Pattern, Sizes};
use codes::{Answer, Rules, Turn, Use};
use units::Size;

/// A turn this near a bend's own angle, degrees, disappears in its two hubs. Our choice, so that a grade of 1/2 in/ft
/// (2.39 degrees) into a square fitting passes; reference tables call 1.19 degrees a hub "inside what it will take".
pub const TURN_PLAY_DEG: f64 = 2.5;

/// Every way of making a turn with one or two bends in one plane; of equal turns the preferred first.
const WAYS: [(f64, &[Pattern]); 14] = [
    (22.5, &[Pattern::SixteenthBend]),
    (45.0, &[Pattern::EighthBend]),
    (45.0, &[Pattern::SixteenthBend, Pattern::SixteenthBend]),
    (60.0, &[Pattern::SixthBend]),
    (67.5, &[Pattern::EighthBend, Pattern::SixteenthBend]),
    (82.5, &[Pattern::SixthBend, Pattern::SixteenthBend]),
    (90.0, &[Pattern::QuarterBendLongTurn]),
    (90.0, &[Pattern::EighthBend, Pattern::EighthBend]),
    (90.0, &[Pattern::QuarterBendShort]),
    (105.0, &[Pattern::SixthBend, Pattern::EighthBend]),
    (
        112.5,
        &[Pattern::QuarterBendLongTurn, Pattern::SixteenthBend],
    ),
    (120.0, &[Pattern::SixthBend, Pattern::SixthBend]),
    (135.0, &[Pattern::QuarterBendLongTurn, Pattern::EighthBend]),
    (150.0, &[Pattern::QuarterBendLongTurn, Pattern::SixthBend]),
];

/// What makes a turn.
#[derive(Clone, PartialEq, Debug)]
pub(crate) enum Made {
    /// Hardly a turn: the hubs take it.
    Straight,
    /// These bends, the downstream one first.
    Bends(Vec<Pattern>),
    /// Nothing; the nearest turn that can be made, degrees.
    Nothing { nearest: f64 },
}

/// The bends that turn a branch in behind a flat wye, by its plan angle with the run.
pub(crate) fn behind_flat(catalog: &Catalog, rules: &Rules, branch: Size, plan: f64) -> Made {
    let (degrees, turn) = ((plan - 45.0).abs(), Turn::HorizontalToHorizontal);
    made(catalog, rules, branch, degrees, turn, &Use::plain(branch))
}

/// The bends for a turn of so many degrees in pipe of one size, what the rules allow before what they ask about, and
/// that before what they refuse (a finding then speaks).
pub(crate) fn made(
    catalog: &Catalog,
    rules: &Rules,
    size: Size,
    degrees: f64,
    turn: Turn,
    used: &Use,
) -> Made {
    if degrees <= TURN_PLAY_DEG {
        return Made::Straight;
    }
    let is_made = |way: &&(f64, &[Pattern])| {
        way.1
            .iter()
            .all(|bend| catalog.get(*bend, Sizes::one(size)).is_some())
    };
    let near = |way: &&(f64, &[Pattern])| (way.0 - degrees).abs() <= TURN_PLAY_DEG;
    let answer = |way: &(f64, &[Pattern])| {
        way.1
            .iter()
            .map(|bend| permitted(rules, *bend, turn, used))
            .max()
            .unwrap_or(Answer::Ask)
    };
    let found = WAYS
        .iter()
        .filter(near)
        .filter(is_made)
        .min_by_key(|way| answer(way));
    if let Some(way) = found {
        return Made::Bends(way.1.to_vec());
    }
    let off = |way: &&(f64, &[Pattern])| (way.0 - degrees).abs();
    let nearest = WAYS
        .iter()
        .filter(is_made)
        .min_by(|a, b| off(a).total_cmp(&off(b)));
    Made::Nothing {
        nearest: nearest.map_or(0.0, |way| way.0),
    }
}

fn permitted(rules: &Rules, bend: Pattern, turn: Turn, used: &Use) -> Answer {
    bend_in_tables(bend).map_or(Answer::Ask, |named| rules.permitted(named, turn, used).0)
}

/// A plain bend's name in the codes' tables of turns; `None` for closet bends, bends with inlets and what is no bend.
pub fn bend_in_tables(bend: Pattern) -> Option<codes::Pattern> {
    match bend {
        Pattern::SixteenthBend | Pattern::SixteenthBendStreet => {
            Some(codes::Pattern::SixteenthBend)
        }
        Pattern::EighthBend | Pattern::EighthBendStreet => Some(codes::Pattern::EighthBend),
        Pattern::SixthBend | Pattern::SixthBendStreet => Some(codes::Pattern::SixthBend),
        Pattern::QuarterBendShort | Pattern::QuarterBendStreet => Some(codes::Pattern::QuarterBend),
        Pattern::QuarterBendLongTurn | Pattern::QuarterBendLongTurnStreet => {
            Some(codes::Pattern::LongSweep)
        }
        _other => None,
    }
}

/// Take-off of a bend's inlet, or of the hub end of its outlet; 0 where it is not made.
pub(crate) fn take_off(catalog: &Catalog, pattern: Pattern, size: Size, end: EndName) -> f64 {
    let bend = catalog.get(pattern, Sizes::one(size));
    bend.and_then(|bend| bend.end(end).map(|end| end.take_off.value))
        .unwrap_or(0.0)
}

/// The street version of a bend in this size.
pub(crate) fn street(catalog: &Catalog, bend: Pattern, size: Size) -> Option<Part> {
    let street = Part::new(bend.street()?, Sizes::one(size));
    catalog.get(street.pattern, street.sizes).map(|_| street)
}

/// Centre to centre of two bends glued hub to hub by a street end, or by the shortest pipe.
pub(crate) fn pair_apart(catalog: &Catalog, down: Pattern, up: Pattern, size: Size) -> f64 {
    let hub = take_off(catalog, down, size, EndName::Inlet);
    let tip = street(catalog, up, size)
        .map(|part| take_off(catalog, part.pattern, size, EndName::Outlet));
    let plain =
        || take_off(catalog, up, size, EndName::Outlet) + catalog.pipe(size).shortest_piece();
    hub + tip.unwrap_or_else(plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ask(size: Size, degrees: f64, turn: Turn) -> Made {
        let catalog = catalog::catalog(&catalog::BenchSheet::default()).0;
        let rules = codes::rules(codes::Code::Irc, &[]).0;
        made(&catalog, &rules, size, degrees, turn, &Use::plain(size))
    }

    #[test]
    fn turns_that_are_made_and_one_that_is_not() {
        let flat = Turn::HorizontalToHorizontal;
        assert_eq!(
            ask(Size::In3, 44.99, flat),
            Made::Bends(vec![Pattern::EighthBend])
        );
        let two = vec![Pattern::EighthBend, Pattern::SixteenthBend];
        assert_eq!(ask(Size::In2, 67.5, flat), Made::Bends(two));
        assert_eq!(ask(Size::In3, 37.0, flat), Made::Nothing { nearest: 45.0 });
        assert_eq!(ask(Size::In3, 1.2, flat), Made::Straight);
        let foot = ask(Size::In3, 88.8, Turn::VerticalToHorizontal);
        assert_eq!(foot, Made::Bends(vec![Pattern::QuarterBendLongTurn]));
    }
}
