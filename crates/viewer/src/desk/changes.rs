//! The desk's answers to changes: grips dragged, figures typed, undo, save, and files that changed meanwhile.

use bevy::math::Vec2;
use bevy_egui::egui::{Pos2, vec2};
use glam::{DVec2, DVec3};
use layout::Edit;

use super::state::{Changed, Desk};
use crate::edit::{self, Chore, Draft, EditAsk, Held, Hooks};
use crate::evening::Question;
use crate::house::House;

/// How near a press must come to a grip, points.
const REACH: f32 = 11.0;
/// How far angles and junctions draw a dragged place, points.
const PULL: f32 = 9.0;
/// The least and most of that, inches.
const PULLS: (f64, f64) = (0.5, 12.0);

impl Desk {
    /// Gives the desk the flow, so that its house can be changed.
    pub fn make_changeable(&mut self, hooks: Hooks) {
        self.edit.hooks = Some(hooks);
        self.edit.draft = Draft::new(self.house.text.clone());
        self.book.opened.clone_from(&self.house.text);
        self.find_mends();
        self.edit.grips = edit::grips(&self.house);
    }

    /// Unsaved work was found beside the file.
    pub fn found_unsaved(&mut self, text: String) {
        if text != self.edit.draft.text() {
            self.edit.found = Some(text);
        }
    }

    /// What came of a save.
    pub fn saved(&mut self, text: &str, result: Result<(), String>) {
        match result {
            Ok(()) => {
                self.edit.draft.is_saved(text);
                self.edit.told = Some("Saved".into());
                self.edit.refused = None;
                self.edit.chores.push(Chore::Forget);
            }
            Err(why) => self.edit.refused = Some(why),
        }
    }

    /// A house read from the file: taken, unless there is unsaved work, which asks first.
    pub(super) fn read_again(&mut self, house: House) {
        let draft = &self.edit.draft;
        if self.edit.hooks.is_some() && house.text == draft.saved() {
            self.error = None;
            return;
        }
        let same = house.text == draft.text();
        if draft.is_unsaved() && !same {
            self.edit.theirs = Some(Box::new(house));
            return;
        }
        self.edit.draft.go_on(&house.text);
        self.edit.draft.is_saved(&house.text);
        self.edit.chores.push(Chore::Forget);
        self.let_go();
        self.show(house);
        self.find_mends();
        self.tell_changes();
    }

    /// Shows a house in place of the one before; what was picked is picked again where it is still there.
    fn show(&mut self, house: House) {
        let rule = self
            .findings
            .picked
            .and_then(|picked| self.house.findings.get(picked))
            .map(|row| (row.rule.clone(), row.members.clone()));
        let mends = std::mem::take(&mut self.house.mends);
        self.house = house;
        self.house.mends = mends;
        self.error = None;
        self.findings.picked = rule.and_then(|(rule, members)| {
            let same = |row: &crate::FindingRow| row.rule == rule && row.members == members;
            self.house.findings.iter().position(same)
        });
        self.shown = None;
        self.stood = None;
        self.walk.at = None;
        self.glued = None;
        self.changed = Changed::ALL;
        self.edit.grips = edit::grips(&self.house);
        self.edit.hover = None;
        self.go_home_if_there();
        self.turn_page(None);
        self.compare_again();
    }

    fn find_mends(&mut self) {
        let short = self.house.budget.iter().any(|row| row.spare < 0.0);
        self.house.mends = match &self.edit.hooks {
            Some(hooks) if short => (hooks.mends)(&self.house.text),
            _ => Vec::new(),
        };
    }

    /// Runs the flow on a text and shows what comes out. Whether it could be used.
    fn try_text(&mut self, text: &str) -> bool {
        let Some(hooks) = self.edit.hooks.clone() else {
            return false;
        };
        match (hooks.run)(text) {
            Ok(house) => {
                self.edit.refused = None;
                self.show(house);
                true
            }
            Err(why) => {
                self.edit.refused = Some(why);
                false
            }
        }
    }

    /// A text that was run becomes the text: it can be undone, and is kept beside the file until it is saved.
    fn keep_text(&mut self, text: &str) {
        self.edit.draft.go_on(text);
        self.edit.told = None;
        self.keep_beside();
        self.find_mends();
    }

    fn keep_beside(&mut self) {
        self.tell_changes();
        let draft = &self.edit.draft;
        let chore = if draft.is_unsaved() {
            Chore::Recover(draft.text().to_owned())
        } else {
            Chore::Forget
        };
        self.edit.chores.push(chore);
    }

    /// Makes a change of the document, if what comes of it can be used.
    pub fn change(&mut self, edit: &Edit) {
        self.let_go();
        match layout::apply(self.edit.draft.text(), &self.file, edit) {
            Ok(applied) => {
                if self.try_text(&applied.text) {
                    self.keep_text(&applied.text);
                    if !applied.comments_kept {
                        self.edit.told = Some("This change cost the file's comments".into());
                    }
                }
            }
            Err(why) => self.edit.refused = Some(why.to_string()),
        }
    }

    pub(super) fn answer(&mut self, ask: EditAsk) {
        match ask {
            EditAsk::Change(edit) => {
                // What was typed is in the house now, or refused: either way the figures are the house's again.
                self.edit.typing.clear();
                self.change(&edit::along_its_run(&self.house, &edit).unwrap_or(edit));
            }
            EditAsk::Typing(typing) => self.edit.typing = typing,
            EditAsk::Placing(kind) => self.edit.placing = kind,
            EditAsk::Bend => self.add_bend(),
            EditAsk::Vent => self.ask_vent(),
            EditAsk::Remove => self.remove_item(),
            EditAsk::Undo => self.step_back(true),
            EditAsk::Redo => self.step_back(false),
            EditAsk::Save => self.save(),
            EditAsk::Item(id) => self.pick_item(Some(id)),
            EditAsk::KeepMine => {
                // The file is what it is; saving will write over it, and says so by being unsaved.
                if let Some(theirs) = self.edit.theirs.take() {
                    self.edit.draft.is_saved(&theirs.text);
                    self.keep_beside();
                }
            }
            EditAsk::TakeTheirs => {
                if let Some(theirs) = self.edit.theirs.take() {
                    self.let_go();
                    self.edit.draft.go_on(&theirs.text);
                    self.edit.draft.is_saved(&theirs.text);
                    self.keep_beside();
                    self.show(*theirs);
                    self.find_mends();
                }
            }
            EditAsk::TakeUp => {
                if let Some(text) = self.edit.found.take()
                    && self.try_text(&text)
                {
                    self.keep_text(&text);
                }
            }
            EditAsk::ThrowAway => {
                self.edit.found = None;
                self.edit.chores.push(Chore::Forget);
            }
        }
    }

    pub(super) fn save(&mut self) {
        self.let_go();
        if self.edit.hooks.is_some() && self.edit.draft.is_unsaved() {
            let text = self.edit.draft.text().to_owned();
            self.edit.chores.push(Chore::Save(text));
        }
    }

    pub(super) fn step_back(&mut self, back: bool) {
        self.let_go();
        let draft = &mut self.edit.draft;
        let text = if back { draft.undo() } else { draft.redo() };
        let Some(text) = text.map(ToOwned::to_owned) else {
            return;
        };
        self.edit.typing.clear();
        self.edit.told = None;
        self.try_text(&text);
        self.keep_beside();
        self.find_mends();
    }

    pub(super) fn pick_item(&mut self, id: Option<String>) {
        if self.edit.item != id {
            self.edit.typing.clear();
            self.edit.refused = None;
            self.edit.item = id;
        }
    }

    fn add_bend(&mut self) {
        let item = self.edit.item.clone().unwrap_or_default();
        if let Some(edit) = edit::bent(&self.house, &item) {
            self.change(&edit);
        }
    }

    /// The evening's question of the picked fixture's vent.
    fn ask_vent(&mut self) {
        let Some(id) = self.edit.item.clone() else {
            return;
        };
        if self.evening.at.is_none() {
            self.turn_evening();
        }
        self.edit.on = false;
        self.evening.go(Question::Vent);
        self.evening.typed.insert("which".into(), id);
    }

    /// Places what waits to be placed at a place of the picture, on the finished floor. Whether anything waited.
    pub(super) fn place(&mut self, clip: Vec2) -> bool {
        let Some(kind) = self.edit.placing.take() else {
            return false;
        };
        // A cleanout is put on the pipe that is seen, which lies below the floor.
        let at = match (kind, self.pick(clip)) {
            (edit::CLEANOUT, Some(pick)) => Some(pick.at.truncate()),
            _ => self.plan_at(clip, 0.0),
        };
        match at.and_then(|at| edit::placed(&self.house, kind, at)) {
            Some((id, edit)) => {
                self.change(&edit);
                if self.edit.refused.is_none() {
                    self.edit.item = Some(id);
                }
            }
            None if kind == edit::CLEANOUT => {
                self.edit.refused = Some("there is no pipe within two feet of the click".into());
            }
            None => self.edit.refused = Some("that is no place on the floor".into()),
        }
        true
    }

    /// Takes the picked item away, with the runs that start at it.
    fn remove_item(&mut self) {
        let Some(id) = self.edit.item.clone() else {
            return;
        };
        let Ok(tree) = layout::parse(self.edit.draft.text(), &self.file) else {
            return;
        };
        let Some((_, path)) = edit::item_path(&tree, &id) else {
            return;
        };
        let starts = |run: &&layout::Run| match &run.from {
            layout::RunStart::Fixture(of) | layout::RunStart::Cleanout(of) => of.as_str() == id,
            layout::RunStart::Point(_) => false,
        };
        let runs = self.house.layout.runs.iter().filter(starts);
        let mut edits: Vec<Edit> = runs
            .map(|run| Edit::remove(["runs", run.id.as_str()]))
            .collect();
        edits.push(Edit::Remove { path });
        self.change(&Edit::All(edits));
        if self.edit.refused.is_none() {
            self.edit.item = None;
        }
    }

    /// The grip nearest to a place of the screen.
    pub fn grip_at(&self, at: Pos2) -> Option<usize> {
        if !self.edit.on || self.edit.hooks.is_none() {
            return None;
        }
        let off = |index: &usize| {
            let place = self.project(self.edit.grips[*index].at);
            place.map_or(f32::INFINITY, |(place, _)| place.distance(at))
        };
        (0..self.edit.grips.len())
            .filter(|index| off(index) < REACH)
            .min_by(|a, b| off(a).total_cmp(&off(b)))
    }

    fn screen(&self, clip: Vec2) -> Pos2 {
        let canvas = self.canvas.unwrap_or(bevy_egui::egui::Rect::ZERO);
        let half = canvas.size() / 2.0;
        canvas.center() + vec2(clip.x * half.x, -clip.y * half.y)
    }

    /// The plan point under a place of the picture, at a level.
    pub(super) fn plan_at(&self, clip: Vec2, z: f64) -> Option<DVec2> {
        let (from, way) = self.sight().ray(clip);
        let level = self.axis.point(DVec3::new(0.0, 0.0, z)).y;
        let along = (level - from.y) / way.y;
        (along.is_finite() && along > 0.0).then(|| self.axis.house(from + way * along).truncate())
    }

    pub(super) fn hover_grip(&mut self, clip: Option<Vec2>) {
        self.edit.hover = clip.and_then(|clip| self.grip_at(self.screen(clip)));
    }

    pub(super) fn take_up(&mut self, clip: Vec2) {
        let grip = self
            .grip_at(self.screen(clip))
            .and_then(|index| self.edit.grips.get(index).cloned());
        let Some(grip) = grip else { return };
        let under = self.plan_at(clip, grip.at.z);
        self.pick_item(Some(grip.id.clone()));
        self.flight = None;
        self.edit.held = Some(Held {
            at: grip.at.truncate(),
            off: under.map_or(DVec2::ZERO, |under| grip.at.truncate() - under),
            before: self.house.clone(),
            text: self.edit.draft.text().to_owned(),
            says: String::new(),
            grip,
        });
    }

    pub(super) fn drag_to(&mut self, clip: Vec2) {
        let Some((at, off)) = self.edit.held.as_ref().map(|held| (held.grip.at, held.off)) else {
            return;
        };
        let Some(under) = self.plan_at(clip, at.z) else {
            return;
        };
        let depth = self.sight().depth(self.axis.point(at));
        let height = self.canvas.map_or(1.0, |canvas| canvas.height().max(1.0));
        let point = crate::axis::Axis::inches(self.sight().span(depth) / height);
        let reach = (point * f64::from(PULL)).clamp(PULLS.0, PULLS.1);
        self.drag_to_plan(under + off, reach);
    }

    /// Brings the held grip to a plan point; angles within `reach` inches draw it.
    pub fn drag_to_plan(&mut self, to: DVec2, reach: f64) {
        // Taken out while it is worked on: it holds a whole house, which is not copied for every step of the hand.
        if let Some(mut held) = self.edit.held.take() {
            if let Err(why) = self.drag_held(&mut held, to, reach) {
                self.edit.refused = Some(why);
            }
            self.edit.held = Some(held);
        }
    }

    fn drag_held(&mut self, held: &mut Held, to: DVec2, reach: f64) -> Result<(), String> {
        let moved = edit::moved(&held.before, &held.grip, to, reach)
            .ok_or("its place is told in a way that can't be moved here")?;
        let applied = layout::apply(&held.before.text, &self.file, &moved.edit);
        let text = applied.map_err(|why| why.to_string())?.text;
        held.at = moved.drawn.at;
        held.says = moved.drawn.says;
        if text == held.text {
            self.edit.refused = None;
        } else if self.try_text(&text) {
            held.text = text;
        }
        Ok(())
    }

    /// Lets the held grip go where it lies.
    pub(super) fn let_go(&mut self) {
        let Some(held) = self.edit.held.take() else {
            return;
        };
        self.edit.typing.clear();
        if held.text != self.edit.draft.text() {
            self.keep_text(&held.text);
        }
    }

    /// Puts the held grip back where it was. Whether one was held.
    pub(super) fn put_back(&mut self) -> bool {
        let Some(held) = self.edit.held.take() else {
            return false;
        };
        self.edit.refused = None;
        self.show(held.before);
        true
    }
}

#[cfg(test)]
pub(super) mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::desk::Action;
    use crate::edit::Hold;
    use crate::house::{MendRow, RunLine};
    use crate::keys::Asked;

    const TEXT: &str = r#"(
    slab: (outline: [("0", "0"), ("40'", "0"), ("40'", "30'"), ("0", "30'")], layers: [(concrete, "4 in")]),
    walls: {
        "wet": (from: ("20'", "4'"), to: ("20'", "24'"), framing: "2x6"),
        "dry": (from: ("24'", "4'"), to: ("24'", "24'"), framing: "2x6"),
    },
    cabinets: { "island": (centre: ("10'", "10'"), size: ("6'", "3'"), turn: 30) },
    fixtures: {
        "basin": (kind: lavatory, at: (in: "wet", along: "6'"), landing: (wall: "wet"), vent: riser), // by the door
        "closet": (kind: closet, at: (off: "wet", face: west, by: "12 in", along: "10'"), landing: floor),
        "sink": (kind: kitchen_sink, at: (in: "island", x: "1'", y: "0"), landing: (cabinet: "island")),
    },
    drains: { "out": (exit: (at: ("30'", "0"))) },
    runs: {
        "trunk": (from: "basin", via: [("20'", "5'"), ("25'", "5'"), ("30'", "5'")], to: "out", increasers: [(("22'", "5'"), "3 in")]),
        "arm": (from: "closet", via: [("12'", "9'")], to: (run: "trunk", at: ("23'", "5'"))),
    },
)"#;

    /// Reads and resolves alone; runs are level lines.
    fn run(text: &str) -> Result<House, String> {
        let reading = layout::read(text, "t.ron");
        let (layout, more) = reading
            .file
            .as_ref()
            .map(layout::resolve)
            .unwrap_or_default();
        let problems: Vec<String> = reading
            .problems
            .iter()
            .chain(&more)
            .map(ToString::to_string)
            .collect();
        if !problems.is_empty() {
            return Err(problems.join("\n"));
        }
        let start = |run: &layout::Run| match &run.from {
            layout::RunStart::Fixture(id) => {
                layout.fixtures.iter().find(|f| f.id == *id).map(|f| f.at)
            }
            layout::RunStart::Cleanout(_) => None,
            layout::RunStart::Point(at) => Some(*at),
        };
        let end = |run: &layout::Run| match &run.to {
            layout::RunEnd::Run { at, .. } => *at,
            layout::RunEnd::Drain(id) => layout
                .drains
                .iter()
                .find(|d| d.id == *id)
                .map(|d| d.exit.at),
        };
        let line = |run: &layout::Run| RunLine {
            id: run.id.to_string(),
            drain: "out".into(),
            into: match &run.to {
                layout::RunEnd::Run { run, .. } => run.to_string(),
                layout::RunEnd::Drain(_) => String::new(),
            },
            points: start(run)
                .into_iter()
                .chain(run.via.iter().copied())
                .chain(end(run))
                .map(|at| at.extend(-20.0))
                .collect(),
            size: "2".into(),
            grade_in_per_ft: 0.25,
        };
        let lines = layout.runs.iter().map(line).collect();
        Ok(House {
            text: text.into(),
            lines,
            layout,
            ..House::default()
        })
    }

    /// A desk whose house can be changed, with what can be moved to be taken hold of.
    pub(in crate::desk) fn desk() -> Desk {
        let mut desk = Desk::new(run(TEXT).unwrap(), "t.ron".into());
        desk.flight_seconds = 0.0;
        desk.make_changeable(Hooks {
            run: Arc::new(run),
            mends: Arc::new(|_| {
                vec![MendRow {
                    drain: "out".into(),
                    says: "try".into(),
                    edit: None,
                }]
            }),
            walk: Arc::new(|_| Vec::new()),
            book: crate::desk::book::tests::no_book(),
        });
        desk.take(Action::Asked(Asked::Move));
        desk
    }

    fn hold(desk: &mut Desk, id: &str, hold: Hold) {
        let grip = desk
            .edit
            .grips
            .iter()
            .find(|grip| grip.id == id && grip.hold == hold);
        let grip = grip
            .unwrap_or_else(|| panic!("no {hold:?} of {id}"))
            .clone();
        desk.edit.held = Some(Held {
            at: grip.at.truncate(),
            off: DVec2::ZERO,
            before: desk.house.clone(),
            text: desk.edit.draft.text().to_owned(),
            says: String::new(),
            grip,
        });
    }

    fn drag(desk: &mut Desk, id: &str, what: Hold, to: (f64, f64), reach: f64) {
        hold(desk, id, what);
        desk.drag_to_plan(DVec2::new(to.0, to.1), reach);
        desk.take(Action::LetGo);
        assert_eq!(desk.edit.refused, None);
    }

    #[test]
    fn a_stub_slides_in_its_wall_and_its_comment_stays() {
        let mut desk = desk();
        drag(&mut desk, "basin", Hold::Fixture, (243.0, 140.1), 3.0);
        let text = desk.edit.draft.text();
        assert!(text.contains(r#"at: (in: "wet", along: "7'-8"), landing: (wall: "wet"), vent: riser), // by the door"#), "{text}");
        assert_eq!(desk.house.layout.fixtures[0].at, DVec2::new(240.0, 140.0));
    }

    #[test]
    fn a_stub_brought_to_another_wall_lands_there() {
        let mut desk = desk();
        drag(&mut desk, "basin", Hold::Fixture, (286.0, 120.0), 3.0);
        assert_eq!(desk.house.layout.fixtures[0].at, DVec2::new(288.0, 120.0));
        assert_eq!(
            desk.house.layout.fixtures[0].landing,
            layout::Landing::Wall("dry".into())
        );
    }

    #[test]
    fn points_keep_the_way_they_were_told() {
        let mut desk = desk();
        drag(&mut desk, "closet", Hold::Fixture, (222.0, 170.0), 0.0);
        // From the board: half a stud, half an inch, 12 in were 224 3/4 in east; 2 3/4 in more.
        let text = desk.edit.draft.text();
        let told = r#"(off: "wet", face: west, by: "1'-2 3/4", along: "10'-2")"#;
        assert!(text.contains(told), "{text}");
        assert!(
            desk.house.layout.fixtures[1]
                .at
                .distance(DVec2::new(222.0, 170.0))
                < 0.2
        );
        // A foot along the island's own axis.
        let to = DVec2::new(120.0, 120.0) + DVec2::from_angle(30_f64.to_radians()) * 24.0;
        drag(&mut desk, "sink", Hold::Fixture, (to.x, to.y), 0.0);
        assert!(
            desk.edit
                .draft
                .text()
                .contains(r#"(in: "island", x: "2'-0", y: "0""#),
            "{}",
            desk.edit.draft.text()
        );
    }

    #[test]
    fn a_bend_takes_what_lies_on_the_run_with_it() {
        let mut desk = desk();
        drag(&mut desk, "trunk", Hold::Bend(0), (240.0, 66.0), 0.0);
        let trunk = &desk.house.layout.runs[0];
        assert_eq!(trunk.via[0], DVec2::new(240.0, 66.0));
        let on = nearest(&desk, trunk.increasers[0].0);
        assert!(on < 0.1, "{on}");
        let layout::RunEnd::Run { at: Some(at), .. } = desk.house.layout.runs[1].to else {
            panic!("the junction is told");
        };
        assert!(nearest(&desk, at) < 0.1);
    }

    fn nearest(desk: &Desk, at: DVec2) -> f64 {
        let line: Vec<DVec2> = desk.house.lines[0]
            .points
            .iter()
            .map(|p| p.truncate())
            .collect();
        edit::nearest_on(&line, at).unwrap().distance(at)
    }

    #[test]
    fn an_exit_slides_on_the_form_and_the_last_legs_keep_their_angles() {
        let mut desk = desk();
        drag(&mut desk, "out", Hold::Exit, (336.2, -8.0), 0.0);
        let layout = &desk.house.layout;
        assert_eq!(layout.drains[0].exit.at, DVec2::new(336.25, 0.0));
        assert_eq!(layout.runs[0].via[2], DVec2::new(336.25, 60.0));
    }

    #[test]
    fn a_bend_is_drawn_to_the_angles_that_fittings_make() {
        let mut desk = desk();
        drag(&mut desk, "trunk", Hold::Bend(0), (238.0, 61.5), 4.0);
        assert_eq!(desk.house.layout.runs[0].via[0], DVec2::new(240.0, 60.0));
    }

    #[test]
    fn a_drag_put_back_leaves_no_trace_and_one_let_go_is_one_undo() {
        let mut desk = desk();
        hold(&mut desk, "basin", Hold::Fixture);
        desk.drag_to_plan(DVec2::new(240.0, 200.0), 0.0);
        assert_eq!(desk.house.layout.fixtures[0].at.y, 200.0);
        desk.take(Action::Asked(Asked::PutAway));
        assert_eq!(
            (desk.edit.draft.text(), desk.house.text.as_str()),
            (TEXT, TEXT)
        );
        hold(&mut desk, "basin", Hold::Fixture);
        for y in [130.0, 150.0, 170.0] {
            desk.drag_to_plan(DVec2::new(240.0, y), 0.0);
        }
        desk.take(Action::LetGo);
        desk.take(Action::Asked(Asked::Undo));
        assert_eq!(
            (desk.edit.draft.text(), desk.house.text.as_str()),
            (TEXT, TEXT)
        );
        desk.take(Action::Asked(Asked::Redo));
        assert_eq!(desk.house.layout.fixtures[0].at.y, 170.0);
    }

    #[test]
    fn what_cannot_be_is_not_done_and_told() {
        let mut desk = desk();
        desk.change(&Edit::set(["runs", "trunk", "size"], "\"5 in\""));
        assert!(
            desk.edit
                .refused
                .as_deref()
                .is_some_and(|why| why.contains("is not a pipe size"))
        );
        assert_eq!(desk.edit.draft.text(), TEXT);
        desk.change(&Edit::set(["runs", "trunk", "size"], "\"2 in\""));
        assert_eq!(desk.edit.refused, None);
        assert!(desk.edit.draft.is_unsaved());
    }

    #[test]
    fn unsaved_work_is_kept_and_forgotten_and_saving_asks_the_disk() {
        let mut desk = desk();
        drag(&mut desk, "basin", Hold::Fixture, (240.0, 200.0), 0.0);
        let text = desk.edit.draft.text().to_owned();
        assert_eq!(desk.edit.chores, [Chore::Recover(text.clone())]);
        desk.edit.chores.clear();
        desk.take(Action::Asked(Asked::Undo));
        assert_eq!(desk.edit.chores, [Chore::Forget]);
        desk.take(Action::Asked(Asked::Redo));
        desk.edit.chores.clear();
        desk.take(Action::Asked(Asked::Save));
        assert_eq!(desk.edit.chores, [Chore::Save(text.clone())]);
        desk.saved(&text, Ok(()));
        assert!(!desk.edit.draft.is_unsaved());
        // Its own save, seen by the watch, changes nothing.
        desk.changed = Changed::NONE;
        desk.news(run(&text));
        assert_eq!(desk.changed, Changed::NONE);
    }

    #[test]
    fn a_file_changed_under_unsaved_work_asks_and_nothing_is_lost() {
        let mut desk = desk();
        let theirs = TEXT.replace("40'", "41'");
        desk.news(run(&theirs));
        assert_eq!(
            (desk.edit.draft.text(), desk.edit.draft.is_unsaved()),
            (theirs.as_str(), false)
        );
        drag(&mut desk, "basin", Hold::Fixture, (240.0, 200.0), 0.0);
        let mine = desk.edit.draft.text().to_owned();
        desk.news(run(TEXT));
        assert!(desk.edit.theirs.is_some() && desk.edit.draft.text() == mine);
        desk.take(Action::Edit(EditAsk::TakeTheirs));
        assert_eq!(
            (desk.edit.draft.text(), desk.edit.draft.is_unsaved()),
            (TEXT, false)
        );
        desk.take(Action::Asked(Asked::Undo));
        assert_eq!(
            (desk.edit.draft.text(), desk.edit.draft.is_unsaved()),
            (mine.as_str(), true)
        );
        desk.news(run(&theirs));
        desk.take(Action::Edit(EditAsk::KeepMine));
        assert_eq!(
            (desk.edit.draft.text(), desk.edit.draft.is_unsaved()),
            (mine.as_str(), true)
        );
    }

    #[test]
    fn work_from_last_time_is_offered_and_taken_up() {
        let mut desk = desk();
        let found = TEXT.replace("6'\"), landing", "9'\"), landing");
        desk.found_unsaved(found.clone());
        desk.take(Action::Edit(EditAsk::TakeUp));
        assert_eq!(
            (desk.edit.draft.text(), desk.edit.draft.is_unsaved()),
            (found.as_str(), true)
        );
        assert_eq!(desk.house.layout.fixtures[0].at.y, 156.0);
    }

    #[test]
    fn a_thing_is_placed_by_one_click_and_shown() {
        let mut desk = desk();
        let canvas = bevy_egui::egui::Rect::from_min_size(Pos2::ZERO, vec2(800.0, 600.0));
        desk.put_canvas(canvas);
        desk.take(Action::View(crate::Viewpoint::Free {
            target: [100.0, 280.0, 0.0],
            yaw: 0.0,
            pitch: 89.0,
            distance: 40.0,
        }));
        desk.take(Action::Edit(EditAsk::Placing(Some("floor_drain"))));
        desk.take(Action::Click(Vec2::ZERO));
        assert_eq!(desk.edit.refused, None);
        let fixture = desk.house.layout.fixtures.last().unwrap();
        assert!(
            fixture.at.distance(DVec2::new(100.0, 280.0)) < 0.5,
            "{}",
            fixture.at
        );
        assert_eq!(
            (desk.edit.item.as_deref(), desk.edit.placing),
            (Some("floor drain"), None)
        );
        desk.take(Action::Asked(Asked::Undo));
        assert_eq!(desk.house.text, TEXT);
    }

    #[test]
    fn a_cleanout_is_placed_on_the_pipe_that_is_clicked_and_nowhere_else() {
        let mut desk = desk();
        let canvas = bevy_egui::egui::Rect::from_min_size(Pos2::ZERO, vec2(800.0, 600.0));
        desk.put_canvas(canvas);
        let run = desk.house.lines[0].clone();
        let middle = run.points[0].midpoint(run.points[1]);
        let over = |at: DVec3| {
            Action::View(crate::Viewpoint::Free {
                target: [at.x, at.y, 0.0],
                yaw: 0.0,
                pitch: 89.9,
                distance: 40.0,
            })
        };
        desk.take(over(middle + DVec3::X * 60.0));
        desk.take(Action::Edit(EditAsk::Placing(Some(edit::CLEANOUT))));
        desk.take(Action::Click(Vec2::ZERO));
        assert!(desk.edit.refused.is_some() && desk.house.layout.cleanouts.is_empty());
        desk.take(over(middle));
        desk.take(Action::Edit(EditAsk::Placing(Some(edit::CLEANOUT))));
        desk.take(Action::Click(Vec2::ZERO));
        let cleanout = &desk.house.layout.cleanouts[0];
        assert_eq!(
            cleanout.on.as_ref().map(units::Id::as_str),
            Some(run.id.as_str())
        );
        assert!(
            cleanout.at.distance(middle.truncate()) < 1.0,
            "{}",
            cleanout.at
        );
        desk.take(Action::Asked(Asked::Undo));
        assert_eq!(desk.house.text, TEXT);
    }

    #[test]
    fn one_figure_of_a_joint_typed_slides_it_along_its_run() {
        let mut desk = desk();
        let path = ["runs", "arm", "to", "at"].map(layout::Step::from);
        let typed = |axis: usize, text: &str| {
            let mut path = path.to_vec();
            path.push(axis.into());
            Action::Edit(EditAsk::Change(Edit::Set {
                path,
                value: format!("{text:?}"),
            }))
        };
        // Four feet north the trunk is on its last leg, 30 ft east.
        desk.take(typed(1, "4'"));
        assert_eq!(desk.edit.refused, None);
        let joint = |desk: &Desk| match desk.house.layout.runs[1].to {
            layout::RunEnd::Run { at: Some(at), .. } => at,
            _ => panic!("the junction is told"),
        };
        assert_eq!(joint(&desk), DVec2::new(360.0, 48.0));
        desk.take(typed(0, "22'"));
        assert_eq!(joint(&desk), DVec2::new(264.0, 60.0));
    }

    #[test]
    fn a_picked_fixture_leads_to_the_question_of_its_vent() {
        let mut desk = desk();
        desk.take(Action::Edit(EditAsk::Item("closet".into())));
        desk.take(Action::Edit(EditAsk::Vent));
        assert_eq!(desk.evening.at, Some(Question::Vent));
        let asked = desk.evening.asked(&desk.house).unwrap();
        assert_eq!(asked.blanks()[0].value, "closet");
    }

    #[test]
    fn a_stub_taken_away_takes_its_run_and_one_that_others_need_stays() {
        let mut desk = desk();
        desk.take(Action::Edit(EditAsk::Item("closet".into())));
        desk.take(Action::Edit(EditAsk::Remove));
        assert_eq!(
            (
                desk.house.layout.fixtures.len(),
                desk.house.layout.runs.len()
            ),
            (2, 1)
        );
        desk.take(Action::Asked(Asked::Undo));
        desk.take(Action::Edit(EditAsk::Item("wet".into())));
        desk.take(Action::Edit(EditAsk::Remove));
        assert!(desk.edit.refused.is_some());
        assert_eq!(desk.edit.draft.text(), TEXT);
    }
}
