//! Each stub against its landing: where it stands, the play it has left, and its top.

use fittings::{Stub, StubOf};
use glam::DVec2;
use layout::FixtureKind;
use units::Id;

use super::{Judged, Said, Weight};
use crate::{
    book::{Reading, Stage, What},
    fixed::{Odd, fixed},
    plan::Plan,
    say::{high_low, inches, moved},
};

/// A closet may stand this much nearer its finished wall than its rough-in, and this much farther, inches; half an inch is
/// what a stub on open floor may wander: proposals of the job's own, no source.
const CLOSET: (f64, f64) = (0.5, 1.0);
const OPEN_FLOOR: f64 = 0.5;
/// A top may be off by this, inches: a proposal of the job's own, no source.
const TOP: f64 = 0.5;

/// A stub as measured.
#[derive(Clone, PartialEq, Debug)]
pub struct StubRead {
    /// Its name.
    pub id: Id,
    /// The reading of its place.
    pub reading: Id,
    /// How far the work was.
    pub stage: Stage,
    /// Where it should stand.
    pub planned: DVec2,
    /// Where it stands.
    pub measured: DVec2,
    /// How far the measured place may be off, inches.
    pub doubt: f64,
    /// Inches it may still move before it is out of its landing; negative when it is out.
    pub play: f64,
    /// Inches it could have moved from where it should stand.
    pub tolerance: f64,
    /// Whether the tapes left a quarrel that none of them explains: then its place is not to be trusted.
    pub unsure: bool,
    /// Level of its top, planned and measured, when it was measured.
    pub top: Option<(f64, f64)>,
}

impl StubRead {
    /// From where it should stand to where it stands.
    pub fn off(&self) -> DVec2 {
        self.measured - self.planned
    }

    /// Whether it is out of its landing.
    pub fn is_out(&self) -> bool {
        self.play < 0.0
    }
}

pub(super) fn judge(plan: Plan, judged: &mut Judged, said: &mut Vec<Said>) {
    for stub in plan.stubs() {
        let name = stub.name();
        let book = plan.book;
        if let Some(reading) = book.latest(&name, |what| matches!(what, What::Stub(_))) {
            place(plan, stub, reading, judged, said);
        }
        if let Some(reading) = book.latest(&name, |what| matches!(what, What::Top(_))) {
            said.extend(top(stub, reading));
        }
    }
}

fn place(
    plan: Plan,
    stub: &Stub,
    reading: &Reading,
    judged: &mut Judged,
    said: &mut Vec<Said>,
) -> Option<()> {
    let What::Stub(taken) = &reading.what else {
        return None;
    };
    let fix = fixed(plan, taken, stub.at).ok()?;
    let name = stub.name();
    let top = plan.book.latest(&name, |what| matches!(what, What::Top(_)));
    let read = StubRead {
        id: name,
        reading: reading.id.clone(),
        stage: reading.stage,
        planned: stub.at,
        measured: fix.at,
        doubt: fix.doubt,
        play: play(plan, stub, fix.at),
        tolerance: play(plan, stub, stub.at),
        unsure: fix.odd.as_ref().is_some_and(|odd| odd.tape.is_none()),
        top: top
            .and_then(|reading| reading.what.level())
            .map(|z| (stub.top, z)),
    };
    if let Some(odd) = &fix.odd {
        said.push(quarrel(&read, odd));
    }
    said.push(answer(stub, &read));
    judged.stubs.push(read);
    Some(())
}

/// Inches a stub may still move at `at` before it is out of its landing.
fn play(plan: Plan, stub: &Stub, at: DVec2) -> f64 {
    if let Some(room) = checks::room_in(plan.layout(), &stub.landing, stub.od, at) {
        return room;
    }
    let off = at - stub.at;
    match back(plan, stub) {
        Some(away) => {
            let along = off.dot(away);
            let across = off.dot(away.perp()).abs();
            let square = if along < 0.0 {
                CLOSET.0 + along
            } else {
                CLOSET.1 - along
            };
            square.min(OPEN_FLOOR - across)
        }
        None => OPEN_FLOOR - off.length(),
    }
}

/// The direction away from a closet's back wall.
fn back(plan: Plan, stub: &Stub) -> Option<DVec2> {
    let StubOf::Fixture(index) = stub.of else {
        return None;
    };
    let fixture = plan.layout().fixtures.get(index)?;
    let id = fixture.back_wall.as_ref()?;
    let wall = plan.layout().walls.iter().find(|wall| wall.id == *id)?;
    let across = (wall.to - wall.from).normalize_or_zero().perp();
    let side = across.dot(stub.at - wall.from).signum();
    (fixture.kind == FixtureKind::Closet).then_some(across * side)
}

fn quarrel(read: &StubRead, odd: &Odd) -> Said {
    let (says, next) = odd.says();
    Said {
        explained: false,
        weight: Weight::Look,
        items: vec![read.id.clone()],
        readings: vec![read.reading.clone()],
        says: format!("{}: {says}", read.id),
        next,
    }
}

fn answer(stub: &Stub, read: &StubRead) -> Said {
    let landing = landing(stub);
    let off = moved(read.off());
    let stands = if off == "not at all" {
        format!("{} stands where it should", read.id)
    } else {
        format!("{} stands {off} of where it should", read.id)
    };
    let doubt = inches(read.doubt.max(1.0 / 16.0));
    let (weight, says, next) = if read.is_out() {
        (
            Weight::Stop,
            format!(
                "{stands}, {} more than {landing} allows (the measure may be {doubt} off)",
                inches(read.play)
            ),
            move_it(read),
        )
    } else if read.play < read.doubt {
        (
            Weight::Look,
            format!(
                "{stands}; {landing} has {} left, less than the measure may be off ({doubt})",
                inches(read.play)
            ),
            move_it(read),
        )
    } else if read.off().length() > read.doubt.max(0.25) {
        (
            Weight::Look,
            format!("{stands}; {landing} has {} of play left", inches(read.play)),
            move_if_loose(read),
        )
    } else {
        (
            Weight::Nothing,
            format!("{stands}; {landing} has {} of play left", inches(read.play)),
            String::new(),
        )
    };
    Said {
        explained: false,
        weight,
        items: vec![read.id.clone()],
        readings: vec![read.reading.clone()],
        says,
        next,
    }
}

fn landing(stub: &Stub) -> String {
    match &stub.landing {
        layout::Landing::Wall(id) | layout::Landing::Cabinet(id) | layout::Landing::BoxOut(id) => {
            id.to_string()
        }
        layout::Landing::Floor => "its place on the open floor".into(),
    }
}

fn move_it(read: &StubRead) -> String {
    let back = moved(-read.off());
    if read.stage.is_glued() {
        format!("it is glued: saw its arm through and set it {back}, with a coupling")
    } else {
        format!("move it {back} before it is glued")
    }
}

fn move_if_loose(read: &StubRead) -> String {
    if read.stage.is_glued() {
        "leave it, and tell whoever frames the wall".into()
    } else {
        format!("move it {} while it is loose", moved(-read.off()))
    }
}

fn top(stub: &Stub, reading: &Reading) -> Option<Said> {
    let z = reading.what.level()?;
    let off = z - stub.top;
    let name = stub.name();
    let out = off.abs() > TOP;
    let low = off < 0.0;
    let says = if off.abs() < 1.0 / 32.0 {
        format!("the top of {name} is where it should be")
    } else {
        format!("the top of {name} is {}", high_low(off))
    };
    Some(Said {
        explained: false,
        weight: if out { Weight::Look } else { Weight::Nothing },
        items: vec![name],
        readings: vec![reading.id.clone()],
        says,
        next: match (out, low) {
            (false, _) => String::new(),
            (true, true) => format!("add {} before the pour", inches(off)),
            (true, false) => "leave it long until the floor is in".into(),
        },
    })
}
