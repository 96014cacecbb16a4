//! `cleanout-room`: no room for a cable in front of a cleanout.
//!
//! The room is measured square off the opening: up from one in the floor, off the finished face of the wall for one in a
//! wall, on its better side. One code wants a square as wide as it is deep. What stands lower than the opening is not in the
//! way. Source: codes row `cleanout-room`. Mend: move the cleanout, or what stands before it.

use codes::Code;
use glam::DVec2;
use layout::{Cabinet, Cleanout, Landing, Wall};
use units::Id;

use crate::{
    Case, Finding, Source, cleanouts::{self, Placed}, closets::{finished, heights}, geometry, rules::Rule, words,
};

pub(super) const RULE: Rule = Rule {
    id: "cleanout-room",
    about: "A cleanout has its room in front.",
    check,
};

/// What is in the way, and how far off the opening it is.
type Nearest<'a> = (f64, &'a Id);

fn check(case: &Case) -> Vec<Finding> {
    let all = (0..case.network.trees.len()).flat_map(|t| cleanouts::of_tree(case, t).into_iter().map(move |c| (t, c)));
    all.filter_map(|(t, placed)| judged(case, t, &placed)).collect()
}

fn judged(case: &Case, t: usize, placed: &Placed) -> Option<Finding> {
    let cleanout = &case.layout.cleanouts[placed.index];
    if cleanout.outside.is_some() {
        return None;
    }
    let pipe = cleanouts::pipe_of(case, t, placed);
    let own = cleanouts::own_size(case, t, placed);
    let asked = case.rules.cleanout_room(pipe)?;
    let half = match case.rules.code() {
        Code::Upc => asked.value / 2.0,
        Code::Irc | Code::Ipc => case.catalog.pipe(own).od / 2.0,
    };
    let (room, other) = match &cleanout.landing {
        Landing::Wall(id) => off_a_wall(case, cleanout, case.wall(id)?, half)?,
        Landing::Cabinet(id) => {
            let cabinet = case.cabinet(id)?;
            (cabinet.height - cleanout.top, &cabinet.id)
        }
        Landing::BoxOut(_) | Landing::Floor => over_it(case, cleanout, case.catalog.pipe(own).od / 2.0)?,
    };
    (room < asked.value - 1e-6).then(|| {
        let says = format!(
            "{} has {} of room before its opening, to {other}; {} is asked for",
            cleanout.id, words::inches(room.max(0.0)), words::inches(asked.value),
        );
        let source = Source::row(asked.row);
        let members = vec![cleanout.id.clone(), other.clone()];
        let at = cleanout.at.extend(cleanout.top);
        Finding::new(RULE.id, source.breach(), members, at, source, says).inches(room.max(0.0), asked.value)
    })
}

/// What stands over an opening that looks up out of the floor.
fn over_it<'a>(case: &Case<'a>, cleanout: &Cleanout, half: f64) -> Option<Nearest<'a>> {
    let covers = |outline: &[DVec2]| geometry::distance_to_outline(outline, cleanout.at) < half;
    let wall = case.layout.walls.iter().find(|wall| covers(&finished(wall))).map(|wall| &wall.id);
    let cabinet = || case.layout.cabinets.iter().find(|cabinet| covers(&footprint(cabinet))).map(|one| &one.id);
    Some((0.0, wall.or_else(cabinet)?))
}

/// The room on the better side of the wall it stands in; `None` where one side has nothing before it.
fn off_a_wall<'a>(case: &Case<'a>, cleanout: &Cleanout, wall: &Wall, half: f64) -> Option<Nearest<'a>> {
    let left = (wall.to - wall.from).normalize_or_zero().perp();
    let sides = [(left, wall.finish_left), (-left, wall.finish_right)];
    let rooms = sides.map(|(out, finish)| {
        let face = wall.framing / 2.0 + finish - (cleanout.at - wall.from).dot(out);
        let walls = case.layout.walls.iter().filter(|one| one.id != wall.id).map(|one| (&one.id, finished(one)));
        let tall = case.layout.cabinets.iter().filter(|one| one.height > cleanout.top - half);
        let things = walls.chain(tall.map(|one| (&one.id, footprint(one))));
        let ahead = things.filter_map(|(id, outline)| {
            let local: Vec<DVec2> = outline.iter().map(|p| turned(*p - cleanout.at, out)).collect();
            let mut off = heights(&local, -half, half);
            off.iter_mut().for_each(|y| *y -= face);
            let reaches_out = off.iter().any(|y| *y > 1e-6);
            let nearest = off.into_iter().min_by(f64::total_cmp).filter(|_| reaches_out)?;
            Some((nearest.max(0.0), id))
        });
        ahead.min_by(|a, b| a.0.total_cmp(&b.0))
    });
    let [Some(one), Some(other)] = rooms else { return None };
    Some(if one.0 < other.0 { other } else { one })
}

fn turned(from: DVec2, out: DVec2) -> DVec2 {
    DVec2::new(out.perp_dot(from), out.dot(from))
}

fn footprint(cabinet: &Cabinet) -> Vec<DVec2> {
    scene::rectangle(cabinet.centre, cabinet.size, cabinet.turn_deg)
}
