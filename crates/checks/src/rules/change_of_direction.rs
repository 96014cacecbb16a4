//! `change-of-direction`: a bend or a branch that the code's table does not have for the turn it makes.
//!
//! Each fitting of a drain is judged as it lies: what falls at 45 degrees or steeper is upright, by how the codes define
//! it. Of a wye, a tee and a heel inlet every inlet that turns water is judged, one that only lets air or a cable in is not.
//! Bends are chosen by the code of the permit; another code, the town, or a turn that only one fitting makes, may bar them.
//! What no table names is passed over, so a closet bend too, of which the codes speak where they bar a smaller pipe
//! downstream. Source: codes rows `change-of-direction`. Mend: for a square turn two eighth bends or a long sweep; for 60
//! degrees, lead the pipe so that it turns by 45.

use std::collections::{BTreeMap, BTreeSet};

use catalog::{EndName, Pattern};
use codes::{Answer, Row, Turn, Use};
use fittings::{Flow, Piece, bend_in_tables};
use glam::DVec3;
use network::Run;
use units::Id;

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "change-of-direction",
    about: "Every bend and branch is one that the code's table has for the turn it makes.",
    check,
};

/// Least rise of a direction that counts as upright: 45 degrees, less the lay of a pipe at grade.
const UPRIGHT: f64 = 0.68;

fn check(case: &Case) -> Vec<Finding> {
    let mut told: BTreeMap<(&Id, codes::Pattern, Turn), Finding> = BTreeMap::new();
    for (p, turned) in case.turned() {
        let piece = &case.assembly.pieces[*p];
        if let Some(finding) = barred(case, piece, turned) {
            told.entry((&piece.id, turned.pattern, turned.turn)).or_insert(finding);
        }
    }
    told.into_values().collect()
}

/// Every turn that fittings make in this house, by their names in the tables.
pub(crate) fn turns(case: &Case) -> BTreeSet<(codes::Pattern, Turn)> {
    case.turned().iter().map(|(_, turned)| (turned.pattern, turned.turn)).collect()
}

/// A turn as it lies.
#[derive(Debug)]
pub(crate) struct Turned {
    /// The fitting, as the tables name it.
    pattern: codes::Pattern,
    turn: Turn,
    /// The way the water comes in.
    comes: DVec3,
}

/// Every turn of water in a drain with the piece that makes it; [`Case::turned`] keeps them.
pub(crate) fn turned(case: &Case) -> Vec<(usize, Turned)> {
    let dry = dry_inlets(case);
    let mut all = Vec::new();
    for (p, piece) in case.assembly.pieces.iter().enumerate().filter(|(_, piece)| piece.flow == Flow::Drain) {
        let Some((pattern, inlets)) = piece.part().and_then(|part| in_tables(part.pattern)) else { continue };
        let wet = inlets.iter().filter(|end| !dry.contains(&(p, **end)));
        all.extend(wet.filter_map(|end| Some((p, turn(case, piece, pattern, *end)?))));
    }
    all
}

/// Inlets by which no water comes: a vent's, and a cleanout's.
fn dry_inlets(case: &Case) -> BTreeSet<(usize, EndName)> {
    let pieces = &case.assembly.pieces;
    let cleanouts: BTreeSet<&Id> = case.layout.cleanouts.iter().map(|cleanout| &cleanout.id).collect();
    let dry = |piece: &Piece| piece.flow != Flow::Drain || cleanouts.contains(&piece.id);
    let joints = case.assembly.joints.iter().filter(|joint| dry(&pieces[joint.far.0]));
    joints.map(|joint| joint.near).collect()
}

/// A fitting's name in the codes' tables of turns with the inlets whose water it turns; `None` for what no table names.
fn in_tables(pattern: Pattern) -> Option<(codes::Pattern, &'static [EndName])> {
    const BOTH: &[EndName] = &[EndName::Branch, EndName::OtherBranch];
    if let Some(bend) = bend_in_tables(pattern) {
        return Some((bend, &[EndName::Inlet]));
    }
    match pattern {
        Pattern::Wye | Pattern::WyeStreet => Some((codes::Pattern::Wye, &BOTH[..1])),
        Pattern::DoubleWye => Some((codes::Pattern::Wye, BOTH)),
        Pattern::Combination => Some((codes::Pattern::Combination, &BOTH[..1])),
        Pattern::SanitaryTee | Pattern::SanitaryTeeStreet => Some((codes::Pattern::SanitaryTee, &BOTH[..1])),
        Pattern::DoubleSanitaryTee => Some((codes::Pattern::DoubleSanitaryTee, BOTH)),
        Pattern::DoubleFixtureFitting => Some((codes::Pattern::DoubleFixture, BOTH)),
        Pattern::QuarterBendHeelInlet => Some((codes::Pattern::HeelInlet, &[EndName::Inlet, EndName::Heel])),
        _not_named => None,
    }
}

/// How an inlet's water is turned; `None` for upright to upright.
fn turn(case: &Case, piece: &Piece, pattern: codes::Pattern, inlet: EndName) -> Option<Turned> {
    let way = |end| {
        let (_, outward) = piece.end(end, case.catalog)?;
        Some(piece.frame.turned(outward.to_array()))
    };
    let (comes, goes) = (-way(inlet)?, way(EndName::Outlet)?);
    let turn = match (upright(comes), upright(goes)) {
        (true, true) => return None,
        (true, false) => Turn::VerticalToHorizontal,
        (false, true) => Turn::HorizontalToVertical,
        (false, false) => Turn::HorizontalToHorizontal,
    };
    Some(Turned { pattern, turn, comes })
}

fn upright(way: DVec3) -> bool {
    way.z.abs() > UPRIGHT
}

fn barred(case: &Case, piece: &Piece, turned: &Turned) -> Option<Finding> {
    let (answer, row) = case.rules.permitted(turned.pattern, turned.turn, &used(case, piece, turned));
    let row = row.filter(|_| answer != Answer::Allowed)?;
    let source = Source::row(row);
    let verdict = if answer == Answer::Refused { source.breach() } else { Verdict::Ask };
    let says = format!(
        "a {} in {} turns {} there, which {}: {}",
        turned.pattern.name().replace('-', " "), piece.id, ways(turned.turn), limit(row), instead(turned.pattern),
    );
    Some(Finding::new(RULE.id, verdict, vec![piece.id.clone()], piece.frame.at, source, says))
}

fn used(case: &Case, piece: &Piece, turned: &Turned) -> Use {
    let run: Option<&Run> = case.run(&piece.id).map(|(tree, run)| &case.network.trees[tree].runs[run]);
    Use {
        // What belongs to no run is a fixture's own riser or arm.
        fixture_drain: run.is_none_or(|run| run.fixtures.len() == 1),
        closet: run.is_some_and(|run| run.closets > 0),
        true_vertical: turned.comes.z.abs() > 0.99,
        ..Use::plain(piece.size)
    }
}

fn ways(turn: Turn) -> &'static str {
    match turn {
        Turn::HorizontalToVertical => "from level to upright",
        Turn::VerticalToHorizontal => "from upright to level",
        Turn::HorizontalToHorizontal => "on the level",
    }
}

fn instead(fitting: codes::Pattern) -> &'static str {
    use codes::Pattern as P;
    match fitting {
        P::SixthBend => "lead the pipe so that it turns by 45, or by 45 and 22 1/2",
        P::Wye | P::Wye60 => "ask which fitting is taken there",
        P::SanitaryTee | P::Combination => "a wye and an eighth bend make it",
        P::DoubleSanitaryTee | P::DoubleFixture => "two wyes one behind the other make it",
        P::HeelInlet | P::SideInlet => "a wye beside the bend takes the other drain in",
        P::SixteenthBend | P::EighthBend | P::QuarterBend | P::ShortSweep | P::LongSweep => {
            "two eighth bends or a long sweep make the turn"
        }
    }
}

fn limit(row: &Row) -> String {
    match &row.value {
        codes::Value::Limited(limit) => format!("is allowed {}", limit.says()),
        _other => "the table does not have".into(),
    }
}
