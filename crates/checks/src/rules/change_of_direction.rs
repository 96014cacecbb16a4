//! `change-of-direction`: a bend that the code's table does not have for the turn it makes.
//!
//! Each bend of a drain is judged as it lies: what falls at 45 degrees or steeper is upright, by how the codes define
//! it. Bends are chosen by the code of the permit; another code, or a turn that only one bend makes, may bar them. A bend
//! that a code's table has no row for is passed over. Wyes are in every table for every turn. Source: codes rows
//! `change-of-direction`. Mend: for a square turn two eighth bends or a long sweep; for 60 degrees, lead the pipe so that
//! it turns by 45.

use std::collections::{BTreeMap, BTreeSet};

use catalog::EndName;
use codes::{Answer, Row, Turn, Use};
use fittings::{Flow, Piece, bend_in_tables};
use glam::DVec3;
use units::Id;

use crate::{Case, Finding, Source, Verdict, rules::Rule};

pub(super) const RULE: Rule = Rule {
    id: "change-of-direction",
    about: "Every bend is one that the code's table has for the turn it makes.",
    check,
};

/// Least rise of a direction that counts as upright: 45 degrees, less the lay of a pipe at grade.
const UPRIGHT: f64 = 0.68;

fn check(case: &Case) -> Vec<Finding> {
    let mut told: BTreeMap<(&Id, codes::Pattern, Turn), Finding> = BTreeMap::new();
    for piece in case.assembly.pieces.iter().filter(|piece| piece.flow == Flow::Drain) {
        let Some(bend) = bend(case, piece) else { continue };
        if let Some(finding) = barred(case, piece, &bend) {
            told.entry((&piece.id, bend.pattern, bend.turn)).or_insert(finding);
        }
    }
    told.into_values().collect()
}

/// Every turn that bends make in this house, by their names in the tables.
pub(crate) fn turns(case: &Case) -> BTreeSet<(codes::Pattern, Turn)> {
    let drains = case.assembly.pieces.iter().filter(|piece| piece.flow == Flow::Drain);
    drains.filter_map(|piece| bend(case, piece)).map(|bend| (bend.pattern, bend.turn)).collect()
}

/// A bend as it lies.
struct Bend {
    /// As the tables name it.
    pattern: codes::Pattern,
    turn: Turn,
    /// The way the water comes in.
    comes: DVec3,
}

/// What a piece turns; `None` for what is no bend and for one that turns upright to upright.
fn bend(case: &Case, piece: &Piece) -> Option<Bend> {
    let pattern = bend_in_tables(piece.part()?.pattern)?;
    let way = |end| {
        let (_, outward) = piece.end(end, case.catalog)?;
        Some(piece.frame.turned(outward.to_array()))
    };
    let (comes, goes) = (-way(EndName::Inlet)?, way(EndName::Outlet)?);
    let turn = match (upright(comes), upright(goes)) {
        (true, true) => return None,
        (true, false) => Turn::VerticalToHorizontal,
        (false, true) => Turn::HorizontalToVertical,
        (false, false) => Turn::HorizontalToHorizontal,
    };
    Some(Bend { pattern, turn, comes })
}

fn upright(way: DVec3) -> bool {
    way.z.abs() > UPRIGHT
}

fn barred(case: &Case, piece: &Piece, bend: &Bend) -> Option<Finding> {
    let (answer, row) = case.rules.permitted(bend.pattern, bend.turn, &used(case, piece, bend));
    let source = Source::row(row?);
    let verdict = match answer {
        Answer::Allowed => return None,
        Answer::Refused => source.breach(),
        Answer::Ask => Verdict::Ask,
    };
    let says = format!(
        "a {} in {} turns {} there, which {}: {}",
        bend.pattern.name().replace('-', " "), piece.id, ways(bend.turn), limit(row?), instead(bend.pattern),
    );
    Some(Finding::new(RULE.id, verdict, vec![piece.id.clone()], piece.frame.at, source, says))
}

fn used(case: &Case, piece: &Piece, bend: &Bend) -> Use {
    let start = case.run(&piece.id).map(|(tree, run)| &case.network.trees[tree].runs[run]);
    Use {
        // What belongs to no run is a fixture's own riser or arm.
        fixture_drain: start.is_none_or(|run| run.fixtures.len() == 1),
        true_vertical: bend.comes.z.abs() > 0.99,
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

fn instead(bend: codes::Pattern) -> &'static str {
    match bend {
        codes::Pattern::SixthBend => "lead the pipe so that it turns by 45, or by 45 and 22 1/2",
        _other => "two eighth bends or a long sweep make the turn",
    }
}

fn limit(row: &Row) -> String {
    match &row.value {
        codes::Value::Limited(limit) => format!("is allowed {}", limit.says()),
        _other => "the table does not have".into(),
    }
}
