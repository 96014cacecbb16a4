//! Each sleeve as poured: whether the pipe as planned still passes, and what the new trunk must do.

use glam::DVec2;
use units::Id;

use super::{Judged, Said, Weight};
use crate::{
    book::{Reading, What},
    fixed::along_wall,
    plan::{Plan, Sleeve},
    say::{high_low, inches, moved},
};

/// A sleeve as poured.
#[derive(Clone, PartialEq, Debug)]
pub struct SleeveRead {
    /// Its drain.
    pub drain: Id,
    /// The reading of its level, if any.
    pub level_reading: Option<Id>,
    /// The reading of its place, if any.
    pub place_reading: Option<Id>,
    /// Level of its inside bottom, planned and measured.
    pub bottom: Option<(f64, f64)>,
    /// Its middle on the wall, planned and measured.
    pub at: Option<(DVec2, DVec2)>,
    /// Room between pipe and sleeve when the pipe is in its middle, inches, all round.
    pub room: f64,
    /// Room left above and below the pipe as planned: the lesser; negative when it does not pass.
    pub room_up_down: f64,
    /// Room left to the sides of the pipe as planned: the lesser; negative when it does not pass.
    pub room_aside: f64,
}

pub(super) fn judge(plan: Plan, judged: &mut Judged, said: &mut Vec<Said>) {
    for drain in &plan.layout().drains {
        if let Some((read, told)) = one(plan, &drain.id) {
            judged.sleeves.push(read);
            said.push(told);
        }
    }
}

fn one(plan: Plan, drain: &Id) -> Option<(SleeveRead, Said)> {
    let sleeve = plan.sleeve(drain)?;
    let has_level = |what: &What| matches!(what, What::Sleeve(Some(_), _));
    let has_place = |what: &What| matches!(what, What::Sleeve(_, Some(_)));
    let level = plan.book.latest(drain, has_level);
    let place = plan.book.latest(drain, has_place);
    let bottom = level.and_then(|reading| reading.what.level());
    let fix = place.and_then(|reading| along_wall(plan, reading.what.taken()?, sleeve.at).ok());
    if bottom.is_none() && fix.is_none() {
        return None;
    }
    let room = (sleeve.inside - sleeve.od) / 2.0;
    let low = bottom.map_or(0.0, |bottom| bottom - sleeve.bottom);
    let aside = fix.as_ref().map_or(0.0, |fix| fix.at.distance(sleeve.at));
    let read = SleeveRead {
        drain: drain.clone(),
        level_reading: level.map(id),
        place_reading: place.map(id),
        bottom: bottom.map(|measured| (sleeve.bottom, measured)),
        at: fix.as_ref().map(|fix| (sleeve.at, fix.at)),
        room,
        room_up_down: up_down(&sleeve, sleeve.bottom + low),
        room_aside: room - aside,
    };
    let told = told(&read);
    Some((read, told))
}

fn id(reading: &Reading) -> Id {
    reading.id.clone()
}

/// Room above and below the pipe at its planned level in a sleeve whose inside bottom is at `bottom`: the lesser.
fn up_down(sleeve: &Sleeve, bottom: f64) -> f64 {
    let under = sleeve.invert - sleeve.wall - bottom;
    let over = bottom + sleeve.inside - (sleeve.invert - sleeve.wall + sleeve.od);
    under.min(over)
}

fn told(read: &SleeveRead) -> Said {
    let mut parts = Vec::new();
    if let Some((planned, measured)) = read.bottom {
        let off = measured - planned;
        parts.push(if off.abs() < 1.0 / 32.0 {
            "at its level".into()
        } else {
            high_low(off)
        });
    }
    if let Some((planned, measured)) = read.at {
        let by = moved(measured - planned);
        parts.push(if by == "not at all" {
            "in its place along the wall".into()
        } else {
            by
        });
    }
    let room = read.room_up_down.min(read.room_aside);
    let poured = format!(
        "the sleeve of {} was poured {}",
        read.drain,
        parts.join(" and ")
    );
    let off_by = |pair: (f64, f64)| (pair.1 - pair.0).abs();
    let moved_at_all = read.bottom.is_some_and(|b| off_by(b) > 0.125)
        || read.at.is_some_and(|(a, b)| a.distance(b) > 0.125);
    let (weight, says, next) = if room < 0.0 {
        let side = if read.room_aside < read.room_up_down {
            "its side"
        } else {
            "its top or bottom"
        };
        (
            Weight::Stop,
            format!(
                "{poured}: the pipe as planned would meet {side} by {}",
                inches(room)
            ),
            "lay the trunk by the sleeve as it stands, not by the plan: solved again below".into(),
        )
    } else if moved_at_all {
        (
            Weight::Look,
            format!(
                "{poured}; the pipe as planned still passes, {} clear",
                inches(room)
            ),
            "the trunk by the sleeve as it stands: solved again below".into(),
        )
    } else {
        (
            Weight::Nothing,
            format!("{poured}; the pipe passes, {} clear", inches(room)),
            String::new(),
        )
    };
    let readings = read.level_reading.iter().chain(&read.place_reading);
    let mut readings: Vec<Id> = readings.cloned().collect();
    readings.dedup();
    Said {
        explained: false,
        weight,
        items: vec![read.drain.clone()],
        readings,
        says,
        next,
    }
}
