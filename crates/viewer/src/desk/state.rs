//! The desk and the actions it takes.

use bevy::math::Vec2;
use bevy_egui::egui::{Pos2, Rect};
use glam::DVec3;

use super::views::{self, Viewpoint};
use crate::axis::Axis;
use crate::bodies::{Soup, halo};
use crate::camera::{Drive, FIELD, Flight, Pose, Sight};
use crate::edit::{EditAsk, EditState};
use crate::evening::{EveningAsk, EveningState};
use crate::field_book::{BookAsk, BookState};
use crate::findings_list::FindingsState;
use crate::house::{House, Verdict};
use crate::keys::Asked;
use crate::labels::Label;
use crate::layers::LayersState;
use crate::measure::{self, MeasureState, Reading};
use crate::paper_plan::{PaperAsk, PaperPlan};
use crate::picking::{Pick, Picker};
use crate::section_cut::{CutAlong, CutAsk, reach, trunk_path};
use crate::shelf::{ShelfAsk, ShelfState};
use crate::theme;
use crate::walk::{WalkAsk, WalkState, WalkStep};
use scene::Scene;

/// Width of the key to the colours with its margins, points at plain text size.
const KEY: f32 = 116.0;
/// A picture of which the key takes more than this is not framed beside it: it would be too small.
const LEAST_ROOM: f32 = 0.25;

/// Exaggerations in turn.
const HEIGHTS: [f64; 4] = [1.0, 2.0, 4.0, 8.0];
/// Smallest and largest text.
const TEXT: (f32, f32) = (0.7, 2.2);

/// Something asked for by hand, key, list or script.
#[derive(Clone, PartialEq, Debug)]
pub enum Action {
    /// A key's work.
    Asked(Asked),
    /// Fly to a finding.
    Finding(usize),
    /// List or hide a verdict.
    Verdict(Verdict),
    /// Fly to a named item.
    Item(String),
    /// Fly to a viewpoint.
    View(Viewpoint),
    /// Move the camera.
    Drive(Drive),
    /// The pointer rests at a place of the picture, clip space.
    Hover(Option<Vec2>),
    /// A click in the picture, clip space.
    Click(Vec2),
    /// Put one measure away.
    Dismiss(usize),
    /// Put every measure away.
    DismissAll,
    /// Where the two pipes of a measure come nearest.
    Nearest(usize),
    /// Something asked of the document.
    Edit(EditAsk),
    /// The pointer moved over the grips, clip space.
    HoverGrip(Option<Vec2>),
    /// Take up the grip there, clip space.
    TakeUp(Vec2),
    /// Bring the held grip there, clip space.
    DragTo(Vec2),
    /// Let the held grip go.
    LetGo,
    /// Make a mend's change.
    Mend(usize),
    /// Something asked of the plan picture.
    Paper(PaperAsk),
    /// Something asked of the walk.
    Walk(WalkAsk),
    /// Something asked of the cut.
    Cut(CutAsk),
    /// Something asked of the field book.
    Book(BookAsk),
    /// Something asked on the path of the first evening.
    Evening(EveningAsk),
    /// Something asked of the other layouts.
    Shelf(ShelfAsk),
}

/// What must be drawn again.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[allow(clippy::struct_excessive_bools)] // four independent kinds of work, not a state
pub struct Changed {
    /// The bodies.
    pub bodies: bool,
    /// Which layers are shown.
    pub layers: bool,
    /// The glow round what is picked.
    pub halo: bool,
    /// Where it is seen from.
    pub sight: bool,
}

impl Changed {
    /// Everything.
    pub const ALL: Self = Self {
        bodies: true,
        layers: true,
        halo: true,
        sight: true,
    };
    /// Nothing.
    pub const NONE: Self = Self {
        bodies: false,
        layers: false,
        halo: false,
        sight: false,
    };
}

/// See the module.
#[derive(Clone, Debug)]
#[allow(clippy::struct_excessive_bools)] // each is a switch of its own
pub struct Desk {
    /// The last good house.
    pub house: House,
    /// The file's name, for the title.
    pub file: String,
    /// Why the file as it is now cannot be read.
    pub error: Option<String>,
    /// Heights.
    pub axis: Axis,
    /// Layers.
    pub layers: LayersState,
    /// Where it is seen from.
    pub pose: Pose,
    /// On the way to another pose.
    pub flight: Option<Flight>,
    /// Standing on the slab.
    pub afoot: bool,
    /// The findings list.
    pub findings: FindingsState,
    /// The tape.
    pub measure: MeasureState,
    /// What can be changed, and what was.
    pub edit: EditState,
    /// The pieces in the order they are glued, while somebody walks.
    pub steps: Vec<WalkStep>,
    /// How far the walk has come.
    pub walk: WalkState,
    /// The house as far as it is glued, while somebody walks.
    pub glued: Option<Scene>,
    /// Where the house is cut.
    pub cut: Option<CutAlong>,
    /// The field book.
    pub book: BookState,
    /// The path of the first evening.
    pub evening: EveningState,
    /// Other layouts.
    pub shelf: ShelfState,
    /// The plan picture on the slab.
    pub paper: Option<PaperPlan>,
    /// How a plan picture lay that was not there when the layout was opened.
    pub paper_lost: Option<crate::keepsake::Placing>,
    /// Whether the plan, its placing or the kept viewpoints are to be written beside the layout.
    pub keepsake: bool,
    /// Why a plan picture, or what was typed of its point, could not be used.
    pub paper_wrong: Option<String>,
    /// What was clicked last, when not measuring.
    pub shown: Option<Pick>,
    /// The place that keys went to last, until the pointer or the camera goes elsewhere.
    pub stood: Option<Pick>,
    /// Whether the keys moved last, and not the pointer: then the middle of the picture is marked where Enter clicks.
    pub by_keys: bool,
    /// Kept viewpoints, oldest first.
    pub kept: Vec<Pose>,
    /// Whether panels are shown.
    pub panels: bool,
    /// Whether the keys are shown.
    pub keys: bool,
    /// Text size, 1 for usual.
    pub text: f32,
    /// The light it is looked at in.
    pub light: theme::Light,
    /// How long a flight takes, seconds.
    pub flight_seconds: f32,
    /// Where the picture is on screen, points; none before the first frame.
    pub canvas: Option<Rect>,
    /// Labels and shapes that lie over the picture, points.
    pub covered: Vec<Rect>,
    /// The labels in the picture, points.
    pub labels: Vec<Label>,
    /// The buttons that answer the question that waits, points.
    pub answers: Vec<Rect>,
    /// What must be drawn again.
    pub changed: Changed,
    /// Whether the view is still the one the window opened with.
    home: bool,
    /// Whether it is still the one that shows the empty sheet, or the plan picture on it.
    pub(super) at_sheet: bool,
    kept_at: usize,
}

impl Desk {
    /// A desk with `house` on it.
    pub fn new(house: House, file: String) -> Self {
        Self {
            house,
            file,
            error: None,
            axis: Axis::default(),
            layers: LayersState::default(),
            pose: Pose::default(),
            flight: None,
            afoot: false,
            findings: FindingsState::default(),
            measure: MeasureState::default(),
            edit: EditState::default(),
            steps: Vec::new(),
            walk: WalkState::default(),
            glued: None,
            cut: None,
            book: BookState::default(),
            evening: EveningState::default(),
            shelf: ShelfState::default(),
            paper: None,
            paper_lost: None,
            keepsake: false,
            paper_wrong: None,
            shown: None,
            stood: None,
            by_keys: false,
            kept: Vec::new(),
            panels: true,
            keys: false,
            text: 1.0,
            light: theme::Light::Day,
            flight_seconds: 0.55,
            canvas: None,
            covered: Vec::new(),
            labels: Vec::new(),
            answers: Vec::new(),
            changed: Changed::ALL,
            home: true,
            at_sheet: false,
            kept_at: 0,
        }
    }

    /// Takes a newly read house, or why there is none. Pose, layers and measures stay.
    pub fn news(&mut self, news: Result<House, String>) {
        match news {
            Ok(house) => self.read_again(house),
            Err(why) => self.error = Some(why),
        }
    }

    /// Tells the desk where its picture is on screen.
    pub fn put_canvas(&mut self, canvas: Rect) {
        if self.canvas != Some(canvas) {
            self.canvas = Some(canvas);
            self.changed.sight = true;
            if self.at_sheet {
                self.flight = None;
                self.pose = self.sheet();
            }
            self.go_home_if_there();
        }
    }

    pub(super) fn go_home_if_there(&mut self) {
        if self.home {
            self.pose = self.beside_key(|aspect| views::home(&self.house.scene, self.axis, aspect));
        }
    }

    /// A view framed so that the key to the colours does not lie over it.
    pub(super) fn beside_key(&self, framed: impl Fn(f32) -> Pose) -> Pose {
        let (part, aspect) = (self.key_part(), self.aspect());
        let mut pose = framed(aspect * (1.0 - part));
        let aside = pose.distance * (FIELD / 2.0).tan() * aspect * part;
        pose.target += pose.right() * aside;
        pose
    }

    /// How much of the picture's width the key takes, where it is shown.
    fn key_part(&self) -> f32 {
        let canvas = self
            .canvas
            .filter(|_| self.panels && self.evening.at.is_none());
        let part = canvas.map_or(0.0, |canvas| KEY * self.text / canvas.width().max(1.0));
        if part < LEAST_ROOM { part } else { 0.0 }
    }

    /// Width over height of the picture.
    pub fn aspect(&self) -> f32 {
        self.canvas.map_or(1.6, |canvas| {
            (canvas.width().max(1.0) / canvas.height().max(1.0)).clamp(0.05, 20.0)
        })
    }

    /// Pose and shape together.
    pub fn sight(&self) -> Sight {
        Sight {
            pose: self.pose,
            aspect: self.aspect(),
        }
    }

    /// Whether the eye is under the floor.
    pub fn is_below(&self) -> bool {
        self.pose.eye().y < 0.0
    }

    /// A house point on screen, points, with its depth in feet.
    pub fn project(&self, at: DVec3) -> Option<(Pos2, f32)> {
        self.projector()(at)
    }

    /// The same for many points of one picture.
    pub fn projector(&self) -> impl Fn(DVec3) -> Option<(Pos2, f32)> + use<> {
        let (canvas, axis, lens) = (self.canvas, self.axis, self.sight().lens());
        move |at| {
            let (canvas, point) = (canvas?, axis.point(at));
            let clip = lens.clip(point)?;
            let half = canvas.size() / 2.0;
            let place = canvas.center() + bevy_egui::egui::vec2(clip.x * half.x, -clip.y * half.y);
            Some((place, lens.depth(point)))
        }
    }

    /// What is meant at a place of the picture.
    pub fn pick(&self, clip: Vec2) -> Option<Pick> {
        let height = self.canvas.map_or(1.0, |canvas| canvas.height());
        let picker = Picker {
            scene: self.staged(),
            axis: self.axis,
            layers: &self.layers,
            sight: self.sight(),
            height,
        };
        picker.pick(clip)
    }

    /// The bodies to draw: of the whole house, or of what is glued so far.
    pub fn staged(&self) -> &Scene {
        self.glued.as_ref().unwrap_or(&self.house.scene)
    }

    /// The glow to draw.
    pub fn halo(&self) -> Soup {
        if let Some(step) = self.walk.at.and_then(|at| self.steps.get(at)) {
            let alone = Scene {
                pipes: vec![step.body.clone()],
                ..Scene::default()
            };
            let members = [step.body.id.to_string()];
            return halo(&alone, self.axis, &members, theme::MEASURE);
        }
        let Some(row) = self
            .findings
            .picked
            .and_then(|picked| self.house.findings.get(picked))
        else {
            return Soup::default();
        };
        halo(
            &self.house.scene,
            self.axis,
            &row.members,
            theme::verdict_tint(row.verdict),
        )
    }

    /// Goes on with the flight under way for `seconds`. Whether there is one.
    pub fn fly(&mut self, seconds: f32) -> bool {
        let Some(flight) = &mut self.flight else {
            return false;
        };
        let (pose, over) = flight.step(seconds);
        self.pose = pose;
        self.changed.sight = true;
        if over {
            self.flight = None;
        }
        true
    }

    /// Takes an action.
    pub fn take(&mut self, action: Action) {
        match action {
            Action::Asked(asked) => self.ask(asked),
            Action::Finding(index) => self.pick_finding(index),
            Action::Verdict(verdict) => self.findings.turn(verdict),
            Action::Item(name) => {
                if let Some(pose) = views::item(
                    &self.house.scene,
                    &name,
                    self.axis,
                    self.pose,
                    self.aspect(),
                ) {
                    self.fly_to(pose);
                }
            }
            Action::View(view) => self.look_from(view),
            Action::Drive(drive) => self.drive(&drive),
            Action::Hover(clip) => {
                self.stood = None;
                self.measure.hover = clip.and_then(|clip| self.pick(clip));
            }
            Action::Click(clip) => {
                self.by_keys = false;
                self.stood = None;
                self.click(clip);
            }
            Action::Dismiss(index) => {
                if index < self.measure.kept.len() {
                    self.measure.kept.remove(index);
                }
            }
            Action::DismissAll => self.measure.kept.clear(),
            Action::Nearest(index) => self.read_nearest(index),
            Action::Edit(ask) => self.answer(ask),
            Action::HoverGrip(clip) => self.hover_grip(clip),
            Action::TakeUp(clip) => self.take_up(clip),
            Action::DragTo(clip) => self.drag_to(clip),
            Action::LetGo => self.let_go(),
            Action::Mend(index) => {
                let mend = self.house.mends.get(index);
                if let Some(edit) = mend.and_then(|mend| mend.edit.clone()) {
                    self.change(&edit);
                }
            }
            Action::Paper(ask) => self.answer_paper(ask),
            Action::Walk(ask) => self.walk_on(ask),
            Action::Cut(CutAsk::Along(along)) => self.cut = Some(along),
            Action::Cut(CutAsk::Done) => self.cut = None,
            Action::Book(ask) => self.answer_book(ask),
            Action::Evening(ask) => self.answer_evening(ask),
            Action::Shelf(ask) => self.answer_shelf(ask),
        }
    }

    fn ask(&mut self, asked: Asked) {
        match asked {
            Asked::WholeHouse => {
                self.shown = None;
                self.changed.halo |= self.findings.picked.take().is_some();
                self.look_from(Viewpoint::House);
            }
            Asked::Below => self.look_from(Viewpoint::Below),
            Asked::Plan => self.look_from(Viewpoint::Plan),
            Asked::Afoot if self.afoot => self.look_from(Viewpoint::House),
            Asked::Afoot => self.look_from(Viewpoint::Afoot),
            Asked::Heights => self.exaggerate(),
            Asked::NextFinding => self.step_finding(1),
            Asked::LastFinding => self.step_finding(-1),
            Asked::Measure => self.measure.turn(),
            Asked::Tape => self.measure.tape = self.measure.tape.other(),
            Asked::ToFloor => self.measure.to_floor(),
            Asked::Cover => self.read_cover(),
            Asked::Ties => self.read_ties(),
            Asked::PutAway => self.put_away(),
            Asked::NextPlace => self.step_place(1),
            Asked::LastPlace => self.step_place(-1),
            Asked::Here => self.click_here(),
            Asked::Move => self.turn_moving(),
            Asked::Undo => self.step_back(true),
            Asked::Redo => self.step_back(false),
            Asked::Save => self.save(),
            Asked::Walk => self.turn_walk(),
            Asked::Evening => self.turn_evening(),
            Asked::NextPiece if self.evening.at.is_some() => self.step_evening(1),
            Asked::LastPiece if self.evening.at.is_some() => self.step_evening(-1),
            Asked::NextPiece => self.walk_on(WalkAsk::Step(1)),
            Asked::LastPiece => self.walk_on(WalkAsk::Step(-1)),
            Asked::Cut => self.turn_cut(),
            Asked::FieldBook => self.turn_book(),
            Asked::Shelf => self.turn_shelf(),
            Asked::Panels => self.panels = !self.panels,
            Asked::Keys => self.keys = !self.keys,
            Asked::Keep => {
                self.kept.push(self.pose);
                self.keepsake = true;
            }
            Asked::Kept => self.next_kept(),
            Asked::Light => {
                self.light = self.light.next();
                self.changed = Changed::ALL;
            }
            Asked::Larger => self.text = (self.text * 1.15).min(TEXT.1),
            Asked::Smaller => self.text = (self.text / 1.15).max(TEXT.0),
            Asked::Turn(layer) => {
                self.layers.turn(layer);
                self.changed.layers = true;
            }
        }
    }

    fn exaggerate(&mut self) {
        let here = HEIGHTS
            .iter()
            .position(|heights| (heights - self.axis.exaggeration).abs() < 1e-9);
        self.set_exaggeration(HEIGHTS[here.map_or(0, |here| (here + 1) % HEIGHTS.len())]);
    }

    /// Sets the factor on heights below the floor; kept from 1 to 50.
    pub fn set_exaggeration(&mut self, exaggeration: f64) {
        let target = self.axis.house(self.pose.target);
        self.axis.exaggeration = if exaggeration.is_finite() {
            exaggeration.clamp(1.0, 50.0)
        } else {
            1.0
        };
        self.pose.target = self.axis.point(target);
        self.flight = None;
        self.changed = Changed::ALL;
        self.go_home_if_there();
    }

    fn read_cover(&mut self) {
        let House { scene, layout, .. } = &self.house;
        self.measure
            .read(|from| measure::cover(scene, layout, &from.id, from.at).map(Reading::Cover));
    }

    fn read_ties(&mut self) {
        let slab = self.house.layout.slab.as_ref();
        let corners = slab.map_or(&[][..], |slab| &slab.outline);
        let none = "no two corners of the form fix that place by tape";
        self.measure.read(|from| {
            let pulls = measure::pulls(corners, from.at.truncate());
            pulls.map(Reading::Ties).ok_or(none)
        });
    }

    fn read_nearest(&mut self, index: usize) {
        let Some(measured) = self.measure.kept.get_mut(index) else {
            return;
        };
        if let Reading::Place(to) = &measured.to
            && let Some(nearest) = measure::nearest(&self.house.scene, &measured.from.id, &to.id)
        {
            measured.to = Reading::Pipe(to.id.clone(), nearest);
        }
    }

    /// Lays a plan picture on the slab, or says why not.
    pub fn lay_paper(&mut self, file: &std::path::Path) {
        let (low, high) =
            reach(&self.house.scene).unwrap_or((glam::DVec2::ZERO, glam::DVec2::new(480.0, 360.0)));
        match PaperPlan::read(file, low, high) {
            Ok(paper) => {
                self.paper = Some(paper);
                self.paper_lost = None;
                self.paper_wrong = None;
                self.keepsake = true;
                self.look_at_sheet();
            }
            Err(why) => self.paper_wrong = Some(why),
        }
    }

    /// A click on the plan picture while its points are asked for. Whether it was one.
    fn point_on_paper(&mut self, clip: Vec2) -> bool {
        let at = self.plan_at(clip, 0.0);
        let on_path = self.fits_paper();
        let asked = self.evening.at == Some(crate::evening::Question::Picture);
        match (&mut self.paper, at) {
            (Some(paper), Some(at)) if on_path && paper.takes(asked) => {
                paper.click(at);
                true
            }
            _ => false,
        }
    }

    pub(super) fn answer_paper(&mut self, ask: PaperAsk) {
        self.tell_paper(ask.clone());
        self.paper_told(&ask);
    }

    fn tell_paper(&mut self, ask: PaperAsk) {
        if ask == PaperAsk::Away {
            self.paper_wrong = None;
            self.paper_lost = None;
        }
        self.keepsake |= !matches!(ask, PaperAsk::Typing(_));
        let Some(paper) = &mut self.paper else { return };
        match ask {
            PaperAsk::Typing(typed) => {
                if let Some((_, now)) = &mut paper.asked {
                    *now = typed;
                }
            }
            PaperAsk::Tell(typed) => self.paper_wrong = paper.tell(&typed).err(),
            PaperAsk::Strength(strength) => paper.strength = strength,
            PaperAsk::Straighten => paper.straighten(),
            PaperAsk::Back => paper.back(),
            PaperAsk::Again => paper.again(),
            PaperAsk::Away => self.paper = None,
        }
    }

    fn turn_cut(&mut self) {
        self.cut = match self.cut {
            Some(_) => None,
            None => self.cut_of_picked().or_else(|| trunk_path(&self.house)),
        };
    }

    /// Along the run that was clicked last.
    fn cut_of_picked(&self) -> Option<CutAlong> {
        let clicked = self.shown.as_ref().map(|pick| &pick.id);
        let id = clicked.or(self.edit.item.as_ref())?;
        let run = self.house.lines.iter().find(|line| line.id == *id)?;
        Some(CutAlong::Run(run.id.clone()))
    }

    pub(super) fn turn_walk(&mut self) {
        self.let_go();
        self.evening.at = None;
        if self.walk.at.is_none()
            && let Some(hooks) = &self.edit.hooks
        {
            self.steps = (hooks.walk)(&self.house.text);
        }
        self.walk.turn(&self.steps);
        self.stage_walk();
        if self.walk.at.is_none() {
            self.look_from(Viewpoint::House);
        }
    }

    fn walk_on(&mut self, ask: WalkAsk) {
        match ask {
            WalkAsk::Step(by) => self.walk.step(by, &self.steps),
            WalkAsk::Bench(by) => self.walk.bench(by, &self.steps),
            WalkAsk::Done => return self.turn_walk(),
        }
        if self.walk.at.is_some() {
            self.stage_walk();
        }
    }

    /// Begins the walk with these pieces at one of them, for pictures.
    pub fn walk_at(&mut self, steps: Vec<WalkStep>, at: usize) {
        self.steps = steps;
        self.walk.at = (at < self.steps.len()).then_some(at);
        self.stage_walk();
    }

    /// Shows what is glued so far and frames the piece that comes in.
    fn stage_walk(&mut self) {
        self.glued = self.walk.scene(&self.house.scene, &self.steps);
        self.changed = Changed::ALL;
        self.shown = None;
        let step = self.walk.at.and_then(|at| self.steps.get(at));
        if let Some(step) = step {
            self.edit.on = false;
            let pose = views::piece(step, self.axis, self.pose, self.aspect());
            self.fly_to(pose);
        }
    }

    fn turn_moving(&mut self) {
        self.let_go();
        self.edit.on = !self.edit.on && self.edit.hooks.is_some();
        self.edit.hover = None;
        if self.edit.on && self.measure.active {
            self.measure.turn();
        }
    }

    fn put_away(&mut self) {
        // The card of the keys lies over everything else.
        if self.put_back() || std::mem::take(&mut self.keys) || self.evening.take_back() {
            return;
        }
        if self.walk.at.is_some() {
            return self.turn_walk();
        }
        if self.cut.take().is_some() {
            return;
        }
        if self.edit.placing.take().is_some() {
            return;
        }
        if self.book.open {
            return self.turn_book();
        }
        if self.shelf.open {
            return self.turn_shelf();
        }
        if self.edit.item.is_some() {
            self.pick_item(None);
            return;
        }
        if self.edit.on {
            return self.turn_moving();
        }
        if self.measure.put_away() || self.shown.take().is_some() {
            return;
        }
        if self.findings.picked.take().is_some() {
            self.changed.halo = true;
            return;
        }
        self.evening.at = None;
    }

    pub(super) fn look_from(&mut self, view: Viewpoint) {
        let (scene, axis, aspect) = (&self.house.scene, self.axis, self.aspect());
        let pose = match view {
            Viewpoint::House => self.beside_key(|aspect| views::home(scene, axis, aspect)),
            Viewpoint::Plan => self.beside_key(|aspect| views::plan(scene, axis, aspect)),
            Viewpoint::Below => views::below(scene, axis, aspect, self.pose.yaw),
            Viewpoint::Afoot => views::afoot(self.pose, axis),
            Viewpoint::Finding(index) => return self.pick_finding(index),
            Viewpoint::Free {
                target,
                yaw,
                pitch,
                distance,
            } => {
                let mut pose = Pose {
                    target: axis.point(DVec3::from_array(target)),
                    yaw: 0.0,
                    pitch: 0.0,
                    distance,
                };
                pose.orbit(yaw.to_radians(), pitch.to_radians());
                pose
            }
        };
        self.fly_to(pose);
        self.afoot = view == Viewpoint::Afoot;
        self.home = view == Viewpoint::House;
    }

    pub(super) fn fly_to(&mut self, pose: Pose) {
        if !pose.is_sound() {
            return;
        }
        self.home = false;
        self.at_sheet = false;
        self.afoot = false;
        self.flight = Some(Flight::new(self.pose, pose, self.flight_seconds));
        if self.flight_seconds <= 0.0 {
            self.fly(0.0);
        }
    }

    fn pick_finding(&mut self, index: usize) {
        let Some(row) = self.house.findings.get(index) else {
            return;
        };
        let pose = views::finding(row, self.axis, self.pose);
        self.findings.picked = Some(index);
        self.changed.halo = true;
        self.fly_to(pose);
    }

    fn step_finding(&mut self, by: isize) {
        if let Some(index) = self.findings.neighbour(&self.house.findings, by) {
            self.pick_finding(index);
        }
    }

    fn next_kept(&mut self) {
        if let Some(pose) = self
            .kept
            .get(self.kept_at % self.kept.len().max(1))
            .copied()
        {
            self.kept_at += 1;
            self.fly_to(pose);
        }
    }

    fn drive(&mut self, drive: &Drive) {
        if drive.moves() {
            self.by_keys = drive.held;
            self.stood = None;
            self.flight = None;
            self.home = false;
            self.at_sheet = false;
            let farthest = if drive.zooms() {
                views::farthest(&self.house.scene, self.axis)
            } else {
                self.pose.distance
            };
            self.pose = drive.apply(self.pose, self.aspect(), self.afoot, farthest);
            self.changed.sight = true;
        }
    }

    pub(super) fn click(&mut self, clip: Vec2) {
        if self.point_on_paper(clip) || self.place(clip) || self.click_evening(clip) {
            return;
        }
        let pick = self.named_at(clip).or_else(|| self.pick(clip));
        if self.measure.active {
            if let Some(pick) = pick {
                self.measure.click(pick);
            }
            return;
        }
        if let Some(index) = self.finding_at(clip) {
            return self.pick_finding(index);
        }
        if self.edit.on {
            return self.pick_item(pick.map(|pick| pick.id));
        }
        self.shown = pick;
    }

    /// What the label under a click names.
    fn named_at(&self, clip: Vec2) -> Option<Pick> {
        let at = self.canvas_place(clip)?;
        let mut labels = self.labels.iter();
        let label = labels.find(|label| label.rect.contains(at))?;
        Some(label.names.clone())
    }

    /// A place of the picture as points on screen.
    fn canvas_place(&self, clip: Vec2) -> Option<bevy_egui::egui::Pos2> {
        let canvas = self.canvas?;
        let half = canvas.size() / 2.0;
        Some(canvas.center() + bevy_egui::egui::vec2(clip.x * half.x, -clip.y * half.y))
    }

    /// The listed finding whose shape is under a click.
    fn finding_at(&self, clip: Vec2) -> Option<usize> {
        let at = self.canvas_place(clip)?;
        let rows = &self.house.findings;
        let near = |index: &usize| {
            let place = self.project(DVec3::from_array(rows[*index].at));
            place.is_some_and(|(place, _)| place.distance(at) < 9.0)
        };
        self.findings.listed(rows).into_iter().find(near)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::house::FindingRow;
    use crate::layers::Layer;
    use bevy_egui::egui::{pos2, vec2};

    fn desk() -> Desk {
        let row = FindingRow {
            rule: "clash".into(),
            verdict: Verdict::Fails,
            says: "too near".into(),
            at: [100.0, 50.0, -20.0],
            measured: Some(1.0),
            limit: Some(2.0),
            unit: "in".into(),
            source: "common practice".into(),
            members: vec!["a".into()],
            ends: None,
        };
        let mut desk = Desk::new(
            House {
                findings: vec![row],
                ..House::default()
            },
            "x.ron".into(),
        );
        desk.flight_seconds = 0.0;
        desk.put_canvas(Rect::from_min_size(pos2(0.0, 0.0), vec2(800.0, 500.0)));
        desk
    }

    #[test]
    fn a_picked_finding_is_in_the_middle_of_the_picture() {
        let mut desk = desk();
        desk.take(Action::Asked(Asked::NextFinding));
        assert_eq!(desk.findings.picked, Some(0));
        let (at, _) = desk.project(DVec3::new(100.0, 50.0, -20.0)).unwrap();
        assert!(at.distance(pos2(400.0, 250.0)) < 1.0, "{at}");
    }

    #[test]
    fn exaggeration_keeps_the_place_looked_at() {
        let mut desk = desk();
        desk.take(Action::Finding(0));
        desk.take(Action::Asked(Asked::Heights));
        desk.take(Action::Asked(Asked::Heights));
        assert!((desk.axis.exaggeration - 4.0).abs() < 1e-9);
        let (at, _) = desk.project(DVec3::new(100.0, 50.0, -20.0)).unwrap();
        assert!(at.distance(pos2(400.0, 250.0)) < 1.0, "{at}");
    }

    #[test]
    fn a_broken_file_leaves_the_last_good_house() {
        let mut desk = desk();
        desk.news(Err("torn".into()));
        assert_eq!(
            (desk.house.findings.len(), desk.error.as_deref()),
            (1, Some("torn"))
        );
        desk.news(Ok(House {
            text: "()".into(),
            ..House::default()
        }));
        assert_eq!((desk.house.findings.len(), desk.error), (0, None));
    }

    #[test]
    fn what_is_not_there_is_not_gone_to() {
        let mut desk = desk();
        let pose = desk.pose;
        desk.take(Action::Finding(7));
        desk.take(Action::Item("nowhere".into()));
        desk.take(Action::Dismiss(3));
        desk.take(Action::Asked(Asked::Kept));
        desk.take(Action::Click(Vec2::new(5.0, 5.0)));
        assert_eq!((desk.pose, desk.findings.picked), (pose, None));
    }

    #[test]
    fn a_click_on_a_label_is_meant_for_what_it_names() {
        let mut desk = desk();
        let named = Pick {
            id: "hall closet".into(),
            snap: crate::picking::Snap::Mark,
            at: DVec3::new(10.0, 20.0, 6.0),
            words: "top of hall closet".into(),
        };
        let rect = Rect::from_min_max(pos2(500.0, 300.0), pos2(600.0, 320.0));
        desk.labels = vec![Label {
            rect,
            names: named.clone(),
        }];
        let canvas = desk.canvas.unwrap();
        let off = (rect.center() - canvas.center()) / (canvas.size() / 2.0);
        desk.take(Action::Click(Vec2::new(off.x, -off.y)));
        assert_eq!(desk.shown, Some(named));
        // The key that brings the house back puts it away.
        desk.take(Action::Asked(Asked::WholeHouse));
        assert_eq!(desk.shown, None);
    }

    #[test]
    fn layers_and_text_answer_their_keys() {
        let mut desk = desk();
        desk.changed = Changed::NONE;
        desk.take(Action::Asked(Asked::Turn(Layer::Slab)));
        assert!(desk.changed.layers && !desk.layers.shows(Layer::Slab));
        for _ in 0..40 {
            desk.take(Action::Asked(Asked::Larger));
        }
        assert!(desk.text <= TEXT.1);
    }

    #[test]
    fn a_resized_window_still_shows_the_whole_house_until_it_is_moved() {
        let mut desk = desk();
        let before = desk.pose;
        desk.put_canvas(Rect::from_min_size(pos2(0.0, 0.0), vec2(320.0, 240.0)));
        assert!(desk.home && desk.pose.is_sound());
        desk.take(Action::Drive(Drive {
            turn: Vec2::new(0.3, 0.0),
            ..Drive::default()
        }));
        let moved = desk.pose;
        desk.put_canvas(Rect::from_min_size(pos2(0.0, 0.0), vec2(640.0, 240.0)));
        assert_eq!(desk.pose, moved);
        assert_ne!(moved, before);
    }
}
