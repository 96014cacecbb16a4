//! How each stub stands to what it must come up in.

use fittings::Stub;
use glam::DVec2;
use layout::{BoxOut, Cabinet, Landing, Wall};
use units::Id;

use crate::Case;

/// How far a placed stub wanders from where it was meant: half an inch, common practice, no source.
pub(crate) const PLACING: f64 = 0.5;
/// How far inside a cabinet's footprint a pipe stays, for its sides and doors: common practice, no source.
pub(crate) const INSIDE_CABINET: f64 = 2.0;

/// A stub and its landing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Seat<'a> {
    pub(crate) stub: &'a Stub,
    pub(crate) seat: On<'a>,
}

/// What a stub lands on.
#[derive(Clone, Copy, Debug)]
pub(crate) enum On<'a> {
    Wall(InWall<'a>),
    Cabinet(InFrame<'a>),
    BoxOut(InFrame<'a>),
    Floor,
}

/// A stub in a wall's framing.
#[derive(Clone, Copy, Debug)]
pub(crate) struct InWall<'a> {
    pub(crate) wall: &'a Wall,
    /// From the framing's centre line to the stub's centre, square off the wall.
    pub(crate) off: DVec2,
    /// Inches past an end of the wall; 0 beside it.
    pub(crate) past: f64,
    /// Framing beyond the pipe on the nearer side; negative when it sticks out.
    pub(crate) room: f64,
}

/// A stub in a turned rectangle.
#[derive(Clone, Copy, Debug)]
pub(crate) struct InFrame<'a> {
    pub(crate) id: &'a Id,
    pub(crate) centre: DVec2,
    pub(crate) turn_deg: f64,
    /// Half the size, less what must stay clear.
    pub(crate) half: DVec2,
    /// From the rectangle's middle to the stub, in its own axes.
    pub(crate) local: DVec2,
    /// Room beyond the pipe to the nearest side; negative outside.
    pub(crate) room: f64,
}

impl Seat<'_> {
    /// Whether the stub is outside its landing.
    pub(crate) fn misses(&self) -> bool {
        match &self.seat {
            On::Wall(wall) => {
                fits_at_all(wall.wall, self.stub) && (wall.room < -1e-6 || wall.past > 1e-6)
            }
            On::Cabinet(frame) | On::BoxOut(frame) => frame.room < -1e-6,
            On::Floor => false,
        }
    }
}

/// Whether the bare pipe is thinner than the framing is deep; if not, that is what is told.
pub(crate) fn fits_at_all(wall: &Wall, stub: &Stub) -> bool {
    stub.od <= wall.framing + 1e-6
}

/// Every stub with its landing, in the assembly's order. Stubs outside the house are left out.
pub(crate) fn seats<'a>(case: &Case<'a>) -> Vec<Seat<'a>> {
    let inside = case
        .assembly
        .stubs
        .iter()
        .filter(|stub| !case.stands_outside(stub));
    inside
        .filter_map(|stub| seat(case, stub, stub.at).map(|seat| Seat { stub, seat }))
        .collect()
}

/// Room beyond a pipe of outside diameter `od` that stands at `at`, to the nearest side of what it must come up in,
/// inches; negative when it sticks out. `None` on open floor, and for a landing the layout does not have.
pub fn room_in(layout: &layout::Layout, landing: &Landing, od: f64, at: DVec2) -> Option<f64> {
    match landing {
        Landing::Wall(id) => {
            let wall = layout.walls.iter().find(|wall| wall.id == *id)?;
            let seat = in_wall(wall, at, od);
            Some(if seat.past > 0.0 {
                seat.room.min(-seat.past)
            } else {
                seat.room
            })
        }
        Landing::Cabinet(id) => {
            let cabinet = layout.cabinets.iter().find(|one| one.id == *id)?;
            Some(in_cabinet(cabinet, at, od).room)
        }
        Landing::BoxOut(id) => {
            let made = layout.box_outs.iter().find(|made| made.id == *id)?;
            Some(in_box_out(made, at, od).room)
        }
        Landing::Floor => None,
    }
}

/// How a stub would stand to its landing if it stood at `at`; `None` when the layout has no such landing.
pub(crate) fn seat<'a>(case: &Case<'a>, stub: &Stub, at: DVec2) -> Option<On<'a>> {
    match &stub.landing {
        Landing::Wall(id) => Some(On::Wall(in_wall(case.wall(id)?, at, stub.od))),
        Landing::Cabinet(id) => Some(On::Cabinet(in_cabinet(case.cabinet(id)?, at, stub.od))),
        Landing::BoxOut(id) => Some(On::BoxOut(in_box_out(case.box_out(id)?, at, stub.od))),
        Landing::Floor => Some(On::Floor),
    }
}

pub(crate) fn in_wall(wall: &Wall, at: DVec2, od: f64) -> InWall<'_> {
    let along = (wall.to - wall.from).normalize_or_zero();
    let (station, across) = ((at - wall.from).dot(along), along.perp_dot(at - wall.from));
    let past = (-station)
        .max(station - wall.from.distance(wall.to))
        .max(0.0);
    InWall {
        wall,
        off: along.perp() * across,
        past,
        room: (wall.framing - od) / 2.0 - across.abs(),
    }
}

fn in_cabinet(cabinet: &Cabinet, at: DVec2, od: f64) -> InFrame<'_> {
    let half = cabinet.size / 2.0 - INSIDE_CABINET;
    frame(&cabinet.id, cabinet.centre, cabinet.turn_deg, half, at, od)
}

fn in_box_out(made: &BoxOut, at: DVec2, od: f64) -> InFrame<'_> {
    frame(
        &made.id,
        made.centre,
        made.turn_deg,
        made.size / 2.0,
        at,
        od,
    )
}

fn frame(id: &Id, centre: DVec2, turn_deg: f64, half: DVec2, at: DVec2, od: f64) -> InFrame<'_> {
    let local = DVec2::from_angle(-turn_deg.to_radians()).rotate(at - centre);
    InFrame {
        id,
        centre,
        turn_deg,
        half,
        local,
        room: room(half, local, od),
    }
}

/// Room of a round of diameter `od` at `local` in a rectangle.
pub(crate) fn room(half: DVec2, local: DVec2, od: f64) -> f64 {
    (half - local.abs()).min_element() - od / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wall(framing: f64) -> Wall {
        Wall {
            id: "w".into(),
            from: DVec2::new(168.0, 0.0),
            to: DVec2::new(168.0, 240.0),
            framing,
            finish_left: 0.5,
            finish_right: 0.5,
            on_edge: false,
        }
    }

    #[test]
    fn room_of_pipe_in_framing() {
        // Ranked failures, first row: 2 in in a 2x4 leaves .56, 3 in in a 2x6 leaves 1.0, 3 in in a 2x4 leaves 0.
        let at = DVec2::new(168.0, 60.0);
        assert!((in_wall(&wall(3.5), at, 2.375).room - 0.5625).abs() < 1e-9);
        assert!((in_wall(&wall(5.5), at, 3.5).room - 1.0).abs() < 1e-9);
        assert!(in_wall(&wall(3.5), at, 3.5).room.abs() < 1e-9);
        // The brick ledge house: 5 1/2 in west in a 2x4 stands 2.56 in clear of the stud.
        let narrow = wall(3.5);
        let off = in_wall(&narrow, at - DVec2::X * 5.5, 2.375);
        assert!((-off.room - 2.375 - 2.5625).abs() < 1e-9);
        assert_eq!(off.off, DVec2::new(-5.5, 0.0));
        assert!((in_wall(&wall(3.5), DVec2::new(168.0, 250.0), 2.375).past - 10.0).abs() < 1e-9);
    }

    #[test]
    fn the_turned_island_of_the_first_house() {
        // Sink 2'-3" toward one end and 6 in toward one face: 28'-2 3/8", 8'-8 5/16" (hand work).
        let cabinet = Cabinet {
            id: "island".into(),
            centre: DVec2::new(312.0, 96.0),
            size: DVec2::new(144.0, 42.0),
            turn_deg: 30.0,
            height: 36.0,
        };
        let right = in_cabinet(&cabinet, DVec2::new(28.198_56, 8.691_99) * 12.0, 2.375);
        assert!(
            right.local.distance(DVec2::new(27.0, -6.0)) < 0.01,
            "{}",
            right.local
        );
        assert!(right.room > 0.0);
        // Forgot to rotate: 1.558 ft off the long axis, 2 5/16 in inside the face.
        let forgot = in_cabinet(&cabinet, DVec2::new(28.25, 7.5) * 12.0, 2.375);
        assert!(
            (forgot.local.y + 1.558 * 12.0).abs() < 0.01,
            "{}",
            forgot.local
        );
        assert!(forgot.room < 0.0);
    }
}
