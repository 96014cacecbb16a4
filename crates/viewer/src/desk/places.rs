//! Places that are gone to by keys: stubs, inverts, the exit, runs, or what can be moved; and the click without a pointer.

use bevy::math::Vec2;
use scene::MarkKind;

use super::state::Desk;
use crate::camera::Pose;
use crate::evening::{Clicks, EveningAsk, Question};
use crate::picking::{Pick, Snap, of_mark};

/// From this near a place gone to is looked at, or nearer, feet.
const NEAR: f32 = 30.0;

impl Desk {
    /// The places in turn: what can be moved while things are moved, else what has a label; inverts for the tape alone.
    pub fn places(&self) -> Vec<Pick> {
        if self.edit.on {
            let pick = |grip: &crate::edit::Grip| Pick {
                id: grip.id.clone(),
                snap: Snap::Mark,
                at: grip.at,
                words: format!("{} {}", grip.hold.word(), grip.id),
            };
            return self.edit.grips.iter().map(pick).collect();
        }
        let tape = self.measure.active;
        let marks = self.house.scene.marks.iter();
        let mut marks: Vec<_> = marks
            .filter(|mark| tape || mark.kind != MarkKind::Invert)
            .collect();
        marks.sort_by_key(|mark| mark.kind);
        marks.into_iter().map(of_mark).collect()
    }

    /// Goes to the place `by` after (or before) the one gone to last, and names it.
    pub(super) fn step_place(&mut self, by: isize) {
        let places = self.places();
        let Ok(count) = isize::try_from(places.len()) else {
            return;
        };
        if count == 0 {
            return;
        }
        let here = self.stood.as_ref();
        let here = here.and_then(|stood| places.iter().position(|place| place == stood));
        let next = match here.and_then(|here| isize::try_from(here).ok()) {
            Some(here) => here + by,
            None if by > 0 => 0,
            None => -1,
        };
        let Ok(next) = usize::try_from(next.rem_euclid(count)) else {
            return;
        };
        self.stand_at(places[next].clone());
    }

    fn stand_at(&mut self, place: Pick) {
        let target = self.axis.point(place.at);
        let distance = self.pose.distance.min(NEAR);
        self.fly_to(Pose {
            target,
            distance,
            ..self.pose
        });
        self.by_keys = true;
        if self.measure.active {
            self.shown = None;
            self.measure.hover = Some(place.clone());
        } else {
            self.shown = Some(place.clone());
        }
        self.stood = Some(place);
    }

    /// Clicks without a pointer: on the place gone to, or in the middle of the picture.
    ///
    /// Where the first evening has all the places its question wants, it is answered.
    pub(super) fn click_here(&mut self) {
        if self.is_answered() {
            self.answer_evening(EveningAsk::Write);
            return;
        }
        let picture = self.edit.placing.is_some() || self.asks_place();
        match self.stood.clone().filter(|_| !picture) {
            Some(place) if self.measure.active => self.measure.click(place),
            Some(place) if self.edit.on => self.pick_item(Some(place.id)),
            Some(place) => self.shown = Some(place),
            None => self.click(Vec2::ZERO),
        }
        self.by_keys = true;
    }

    /// Whether a click in the picture would do something now.
    pub(super) fn wants_place(&self) -> bool {
        self.measure.active || self.edit.on || self.edit.placing.is_some() || self.asks_place()
    }

    /// Whether the open question of the evening has the places it wants. An outline has as many as it gets: with a pointer it ends
    /// by this key, by keys alone in its form.
    fn is_answered(&self) -> bool {
        let fitting = self.paper.as_ref().is_some_and(|paper| paper.fitting);
        let Some(question) = self.evening.at.filter(|_| !(fitting && self.fits_paper())) else {
            return false;
        };
        let clicked = self.evening.clicks.len();
        match question.clicks() {
            Clicks::None => question != Question::Picture,
            Clicks::One => clicked >= 1,
            Clicks::Two => clicked >= 2,
            Clicks::Many => clicked >= 2 && !self.by_keys,
        }
    }

    /// Whether the first evening or the plan picture asks for a place.
    fn asks_place(&self) -> bool {
        let paper = self.paper.as_ref().is_some_and(|paper| paper.fitting);
        let question = self.evening.at;
        paper && self.fits_paper() || question.is_some_and(|one| one.clicks() != Clicks::None)
    }
}
