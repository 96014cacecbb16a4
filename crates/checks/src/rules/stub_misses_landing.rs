//! `stub-misses-landing`: a stub outside the framing, cabinet or box-out it must come up in, or in a wall it must not.
//!
//! A stub that lands, but with less than the half inch a placed stub wanders, is a note. One that would land if its
//! cabinet's turn were forgotten or mirrored says so. Source: geometry; the half inch and a cabinet's 2 in are common
//! practice. Mend: move it to the landing's middle.

use glam::DVec2;

use crate::{
    Case, Finding, Source, Verdict,
    geometry::distance_to_outline,
    landing::{INSIDE_CABINET, InFrame, InWall, On, PLACING, Seat, fits_at_all, room, seats},
    rules::{Rule, stubs_share_a_cause},
    words,
};

pub(super) const RULE: Rule = Rule {
    id: "stub-misses-landing",
    about: "Every stub comes up inside the wall, cabinet or box-out that waits for it.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let seats = seats(case);
    let causes = stubs_share_a_cause::causes(case, &seats);
    let alone = seats.iter().filter(|seat| !stubs_share_a_cause::explained(&causes, seat.stub));
    alone.filter_map(|seat| judged(case, seat)).collect()
}

fn judged(case: &Case, seat: &Seat) -> Option<Finding> {
    match &seat.seat {
        On::Wall(wall) => in_wall(seat, wall),
        On::Cabinet(frame) if seat.misses() => Some(out_of_cabinet(seat, frame)),
        On::BoxOut(frame) if seat.misses() => Some(out_of_box(seat, frame)),
        On::Cabinet(_) | On::BoxOut(_) => None,
        On::Floor => in_the_way(case, seat),
    }
}

fn finding(seat: &Seat, verdict: Verdict, landing: &units::Id, source: Source, says: String) -> Finding {
    let members = vec![seat.stub.id.clone(), landing.clone()];
    let at = seat.stub.at.extend(seat.stub.top);
    Finding::new(RULE.id, verdict, members, at, source, says)
}

fn in_wall(seat: &Seat, wall: &InWall) -> Option<Finding> {
    let (stub, id) = (seat.stub, &wall.wall.id);
    if !fits_at_all(wall.wall, stub) {
        return None;
    }
    if wall.past > 1e-6 {
        let says = format!("{} comes up {} past the end of {id}", stub.name(), words::inches(wall.past));
        return Some(finding(seat, Verdict::Fails, id, Source::geometry(), says).inches(-wall.past, 0.0));
    }
    let off = wall.off.length();
    if wall.room < -1e-6 {
        let side = layout::compass(wall.off);
        let how = match -wall.room - stub.od {
            clear if clear >= 0.0 => format!("{} clear of the framing of {id}", words::inches(clear)),
            _ => format!("{} out of the framing of {id}", words::inches(-wall.room)),
        };
        let back = layout::compass(-wall.off);
        let says = format!("{} comes up {side} of its wall, {how}; move it {} {back}", stub.name(), words::inches(off));
        return Some(finding(seat, Verdict::Fails, id, Source::geometry(), says).inches(wall.room, 0.0));
    }
    if wall.room >= PLACING - 1e-6 {
        return None;
    }
    let says = format!(
        "{} has {} to the face of the framing of {id}, less than the {} a stub wanders when it is placed",
        stub.name(), words::inches(wall.room), words::inches(PLACING),
    );
    Some(finding(seat, Verdict::Note, id, Source::practice(), says).inches(wall.room, PLACING))
}

fn out_of_cabinet(seat: &Seat, frame: &InFrame) -> Finding {
    let says = format!(
        "{} stands {} and {} from the middle of {} along its own axes, {} outside the part that stays {} clear of its sides{}",
        seat.stub.name(), words::inches(frame.local.x), words::inches(frame.local.y), frame.id,
        words::inches(-frame.room), words::inches(INSIDE_CABINET), suspicion(seat, frame),
    );
    finding(seat, Verdict::Fails, frame.id, Source::practice(), says).inches(frame.room, 0.0)
}

/// What would explain the miss: the cabinet's turn left out, or taken the wrong way.
fn suspicion(seat: &Seat, frame: &InFrame) -> String {
    if frame.turn_deg.rem_euclid(360.0) < 1e-6 {
        return String::new();
    }
    let turn = DVec2::from_angle(frame.turn_deg.to_radians());
    let plain = seat.stub.at - frame.centre;
    let wrong_way = turn.rotate(plain);
    let fits = |local: DVec2| room(frame.half, local, seat.stub.od) >= 0.0;
    let belongs = |local: DVec2| words::place(frame.centre + turn.rotate(local));
    if fits(plain) {
        format!(": the turn of {} was forgotten; it belongs at {}", frame.id, belongs(plain))
    } else if fits(wrong_way) {
        format!(": {} was turned the wrong way; it belongs at {}", frame.id, belongs(wrong_way))
    } else {
        String::new()
    }
}

fn out_of_box(seat: &Seat, frame: &InFrame) -> Finding {
    let says = format!(
        "{} stands {} outside its box-out {}, whose middle is at {}",
        seat.stub.name(), words::inches(-frame.room), frame.id, words::place(frame.centre),
    );
    finding(seat, Verdict::Fails, frame.id, Source::geometry(), says).inches(frame.room, 0.0)
}

/// A stub meant for open floor that comes up in a wall's framing.
fn in_the_way(case: &Case, seat: &Seat) -> Option<Finding> {
    let stub = seat.stub;
    let hit = case.scene.solids.iter().find(|solid| {
        solid.kind == scene::SolidKind::Framing
            && distance_to_outline(&solid.outline, stub.at) < stub.od / 2.0 - 1e-6
    })?;
    let says = format!("{} is to come up in open floor, but stands in the framing of {}", stub.name(), hit.id);
    Some(finding(seat, Verdict::Fails, &hit.id, Source::geometry(), says))
}
