//! The desk's answers to the first evening: clicks on the plan, answers written into the document, and where it looks.

use bevy::math::Vec2;
use glam::{DVec2, DVec3};

use super::state::Desk;
use super::views;
use crate::camera::Pose;
use crate::evening::{EveningAsk, EveningState, Question};
use crate::paper_plan::PaperAsk;

/// How near a known place a click must come to mean it, points on screen.
const SNAPS: f32 = 9.0;
/// An empty sheet shows so much ground, inches.
const SHEET: DVec2 = DVec2::new(720.0, 480.0);

impl Desk {
    /// Opens the first evening where it was left, or puts it away.
    pub(super) fn turn_evening(&mut self) {
        if self.evening.at.is_some() {
            self.evening = EveningState::default();
            return;
        }
        if self.edit.hooks.is_none() {
            return;
        }
        let fitted = self.paper.as_ref().is_some_and(|paper| !paper.fitting);
        let open = EveningState::first_open(&self.house, fitted);
        self.evening.go(open);
        self.let_go();
        self.book.open = false;
        self.edit.on = false;
        self.pick_item(None);
        if self.measure.active {
            self.measure.turn();
        }
        if self.walk.at.is_some() {
            self.turn_walk();
        }
        self.look_at_sheet();
    }

    /// Opens the path of itself on a house of which not even the slab is told.
    pub fn open_evening_if_blank(&mut self) {
        if self.house.layout.slab.is_none() && self.evening.at.is_none() {
            self.turn_evening();
        }
    }

    /// Straight down on the house, the plan picture, or an empty sheet.
    pub(super) fn look_at_sheet(&mut self) {
        let pose = self.sheet();
        self.fly_to(pose);
        self.at_sheet = true;
    }

    /// That view in the picture as large as it is now.
    pub(super) fn sheet(&self) -> Pose {
        if self.house.scene.solids.is_empty() {
            return self.over_sheet();
        }
        self.beside_key(|aspect| views::plan(&self.house.scene, self.axis, aspect))
    }

    /// The pose that shows the plan picture or the empty sheet whole.
    pub(super) fn over_sheet(&self) -> Pose {
        let sheet = [DVec2::ZERO, SHEET, SHEET.with_x(0.0), SHEET.with_y(0.0)];
        let corners = match (&self.house.layout.slab, &self.paper) {
            (Some(slab), _) => slab.outline.clone(),
            (None, Some(paper)) => paper.reach().to_vec(),
            (None, None) => sheet.to_vec(),
        };
        let point = |at: &DVec2| self.axis.point(at.extend(0.0));
        let points: Vec<bevy::math::Vec3> = corners.iter().map(point).collect();
        let mut pose = Pose {
            yaw: 0.0,
            ..Pose::default()
        };
        pose.orbit(0.0, std::f32::consts::FRAC_PI_2);
        pose.framing(&points, self.aspect(), 0.85)
    }

    /// A click while a question is open. Whether it was meant for it.
    pub(super) fn click_evening(&mut self, clip: Vec2) -> bool {
        // What was taken up last has the click.
        if self.evening.at.is_none() || self.edit.on {
            return false;
        }
        let Some(at) = self.plan_at(clip, 0.0) else {
            return false;
        };
        let at = self.known_place(at);
        self.evening.click(at)
    }

    /// A click at a place that is known already means that place; any other is read to the inch.
    fn known_place(&self, at: DVec2) -> DVec2 {
        let depth = self.sight().depth(self.axis.point(at.extend(0.0)));
        let height = self.canvas.map_or(1.0, |canvas| canvas.height().max(1.0));
        let point = crate::axis::Axis::inches(self.sight().span(depth) / height);
        let reach = point * f64::from(SNAPS);
        let paper = self.paper.iter().flat_map(|paper| &paper.known);
        let layout = &self.house.layout;
        let corners = layout.slab.iter().flat_map(|slab| &slab.outline).copied();
        let walls = layout.walls.iter().flat_map(|wall| [wall.from, wall.to]);
        let places = paper
            .map(|(_, at)| *at)
            .chain(corners)
            .chain(walls)
            .chain(self.evening.clicks.iter().copied());
        let near = places.filter(|place| place.distance(at) < reach);
        near.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))
            .unwrap_or(at.round())
    }

    pub(super) fn answer_evening(&mut self, ask: EveningAsk) {
        match ask {
            EveningAsk::Go(question) => {
                self.edit.on = false;
                self.evening.go(question);
            }
            EveningAsk::Step(by) => self.step_evening(by),
            EveningAsk::Typing(typed) => {
                self.edit.on = false;
                self.evening.typed = typed;
            }
            EveningAsk::TakeBack => {
                self.evening.take_back();
            }
            EveningAsk::Done => self.turn_evening(),
            EveningAsk::Write => self.write_answer(),
            EveningAsk::Change(edit) => {
                self.change(&edit);
                self.evening.wrong.clone_from(&self.edit.refused);
            }
            EveningAsk::Item(id) => {
                self.edit.on = true;
                self.pick_item(Some(id));
            }
            EveningAsk::Paper(ask) => self.answer_paper(ask),
            EveningAsk::Lay(path) => {
                self.lay_paper(std::path::Path::new(path.trim()));
            }
        }
    }

    /// Goes on or back. What was clicked for a question is written before the path goes on, and not lost.
    pub(super) fn step_evening(&mut self, by: isize) {
        self.edit.on = false;
        let here = self.evening.at;
        if by > 0 && !self.evening.clicks.is_empty() {
            self.write_answer();
            if self.evening.wrong.is_some() || self.evening.at != here {
                return;
            }
        }
        self.evening.step(by);
    }

    fn write_answer(&mut self) {
        let Some(asked) = self.evening.asked(&self.house) else {
            return;
        };
        let question = asked.question;
        let written = match asked.write() {
            Ok(written) => written,
            Err(why) => {
                self.evening.wrong = Some(why);
                return;
            }
        };
        self.change(&written.edit);
        if let Some(why) = &self.edit.refused {
            self.evening.wrong = Some(why.clone());
            return;
        }
        if let Some(paper) = &mut self.paper
            && written.shift != DVec2::ZERO
        {
            paper.shift(written.shift);
            self.keepsake = true;
        }
        self.evening.wrote = Some(written.says);
        if question.again() {
            self.evening.go(question);
        } else {
            self.evening.step(1);
        }
        if question == Question::Outline {
            self.look_at_sheet();
        }
    }

    /// Places the path's pending clicks stand at, as they would be written, on the finished floor.
    pub fn pending(&self) -> Vec<DVec3> {
        let Some(asked) = self.evening.asked(&self.house) else {
            return Vec::new();
        };
        asked.places().iter().map(|at| at.extend(0.0)).collect()
    }

    /// Whether the picture's two points are still to be told on the path.
    pub(super) fn fits_paper(&self) -> bool {
        match self.evening.at {
            Some(question) => question == Question::Picture,
            None => true,
        }
    }

    /// Takes a plan picture's answer on the path: told twice, the path goes on.
    pub(super) fn paper_told(&mut self, ask: &PaperAsk) {
        let fitted = self.paper.as_ref().is_some_and(|paper| !paper.fitting);
        if matches!(ask, PaperAsk::Tell(_)) && fitted && self.evening.at.is_some() {
            self.look_at_sheet();
        }
    }
}
