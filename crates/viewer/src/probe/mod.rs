//! What a test can ask of the window: where things are on screen, what is picked, what was measured. Written as a small
//! JSON file, whole, each time the picture has come to rest.

use std::path::Path;

use bevy_egui::egui::{Pos2, Rect};
use glam::DVec3;
use serde_json::{Value, json};

use crate::desk::Desk;
use crate::error::ViewError;
use crate::field_book::BookState;
use crate::layers::Layer;

/// A place of the picture.
#[derive(Clone, PartialEq, Debug)]
pub struct Seen {
    /// The layout item.
    pub id: String,
    /// What it is: `Stub`, `Exit`, ... for marks; `Drain`, `Vent`, ... for pipes.
    pub kind: String,
    /// Pixels from the left and the top of the window.
    pub at: [f64; 2],
    /// In the picture, on a layer that is shown.
    pub visible: bool,
    /// Under a label, a card or a finding's shape, so that its own colour is not seen.
    pub covered: bool,
}

/// The state of the window at rest.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Probe {
    /// How often the picture has come to rest, counting this time.
    pub settled: u64,
    /// Window, pixels.
    pub window: [u32; 2],
    /// The picture in it: left, top, right, bottom, pixels.
    pub canvas: [f64; 4],
    /// Eye and looked-at point, house inches.
    pub eye: [f64; 3],
    /// Looked-at point, house inches.
    pub target: [f64; 3],
    /// Factor on heights below the floor.
    pub exaggeration: f64,
    /// Marks.
    pub marks: Vec<Seen>,
    /// Pipes, at the middle of their longest tube.
    pub pipes: Vec<Seen>,
    /// Findings, at their places.
    pub findings: Vec<Seen>,
    /// The picked finding.
    pub picked: Option<usize>,
    /// What was clicked.
    pub shown: Option<String>,
    /// Whether the tape is out.
    pub measuring: bool,
    /// Whether things can be moved.
    pub moving: bool,
    /// Whether the text differs from the file's.
    pub unsaved: bool,
    /// The question that waits: `theirs` or `found`.
    pub question: Option<String>,
    /// The middles of its answers, pixels.
    pub answers: Vec<[f64; 2]>,
    /// The label of the piece that the walk shows.
    pub walk: Option<String>,
    /// The open question of the first evening.
    pub evening: Option<String>,
    /// Why its answer could not be written.
    pub evening_wrong: Option<String>,
    /// How much is still to tell.
    pub to_tell: usize,
    /// The plan picture, when one lies there squared and scaled.
    pub paper: Option<String>,
    /// What the cut is called.
    pub cut: Option<String>,
    /// The open field book: its stage, what is asked for, and the answers to what was typed last.
    pub book: Option<[String; 3]>,
    /// The layout's file name.
    pub file: String,
    /// The other layouts at hand while their card is open, by file name.
    pub shelf: Option<Vec<String>>,
    /// How the house differs from the one it is compared with.
    pub differences: Option<Vec<String>>,
    /// Every measure, as text.
    pub measured: Vec<String>,
    /// The error on screen.
    pub error: Option<String>,
    /// Hash of the house shown.
    pub hash: String,
    /// Layers that are hidden.
    pub hidden: Vec<String>,
    /// From the call to the first drawn frame, milliseconds.
    pub first_frame_ms: u64,
    /// Frames a second over the last stretch of moving; none before there was one.
    pub moving_fps: Option<f64>,
    /// A picture of the window at rest, if asked for.
    pub screenshot: Option<String>,
}

/// Reads the desk. `scale` is pixels a point.
pub(crate) fn probe(desk: &Desk, window: [u32; 2], scale: f32) -> Probe {
    let canvas = desk.canvas.unwrap_or(Rect::NOTHING);
    let pixel = |value: f32| f64::from(value) * f64::from(scale);
    let see = |id: &str, kind: String, at: DVec3, shown: bool| {
        let place = desk
            .project(at)
            .map_or(Pos2::new(-1.0, -1.0), |(place, _)| place);
        Seen {
            id: id.to_owned(),
            kind,
            at: [pixel(place.x), pixel(place.y)],
            visible: shown && canvas.contains(place),
            covered: desk
                .covered
                .iter()
                .any(|rect| rect.expand(2.0).contains(place)),
        }
    };
    let scene = &desk.house.scene;
    let marks = scene
        .marks
        .iter()
        .map(|mark| see(mark.id.as_str(), format!("{:?}", mark.kind), mark.at, true));
    let pipes = scene.pipes.iter().filter_map(|pipe| {
        let longest = pipe
            .tubes
            .iter()
            .max_by(|a, b| a.a.distance(a.b).total_cmp(&b.a.distance(b.b)))?;
        let shown = desk.layers.shows(Layer::of_pipe(pipe.flow, pipe.part));
        Some(see(
            pipe.id.as_str(),
            format!("{:?}", pipe.flow),
            (longest.a + longest.b) / 2.0,
            shown,
        ))
    });
    let findings = desk.house.findings.iter().map(|row| {
        let kind = format!("{:?}", row.verdict);
        see(
            &row.rule,
            kind,
            DVec3::from_array(row.at),
            desk.findings.lists(row.verdict),
        )
    });
    Probe {
        settled: 0,
        window,
        canvas: [canvas.left(), canvas.top(), canvas.right(), canvas.bottom()].map(pixel),
        eye: desk.axis.house(desk.pose.eye()).to_array(),
        target: desk.axis.house(desk.pose.target).to_array(),
        exaggeration: desk.axis.exaggeration,
        marks: marks.collect(),
        pipes: pipes.collect(),
        findings: findings.collect(),
        picked: desk.findings.picked,
        shown: desk.shown.as_ref().map(|pick| pick.words.clone()),
        measuring: desk.measure.active,
        moving: desk.edit.on,
        unsaved: desk.edit.draft.is_unsaved(),
        question: question(desk),
        answers: answers(desk, scale),
        walk: desk
            .walk
            .at
            .and_then(|at| desk.steps.get(at))
            .map(|step| step.label.clone()),
        evening: desk.evening.at.map(|question| format!("{question:?}")),
        evening_wrong: desk.evening.wrong.clone(),
        to_tell: desk.house.to_tell.len(),
        paper: fitted_paper(desk),
        cut: desk
            .cut
            .as_ref()
            .map(|along| crate::section_cut::cut(&desk.house, along).says),
        book: desk.book.open.then(|| book(&desk.book)),
        file: desk.file.clone(),
        shelf: desk.shelf.open.then(|| shelf(desk)),
        differences: differences(desk),
        measured: desk
            .measure
            .kept
            .iter()
            .map(|measured| measured.text(desk.measure.tape))
            .collect(),
        error: desk.error.clone(),
        hash: desk.house.hash.clone(),
        hidden: Layer::ALL
            .iter()
            .filter(|layer| !desk.layers.shows(**layer))
            .map(|l| l.word().to_owned())
            .collect(),
        first_frame_ms: 0,
        moving_fps: None,
        screenshot: None,
    }
}

fn shelf(desk: &Desk) -> Vec<String> {
    let names = desk.shelf.at_hand.iter();
    names.map(|path| crate::window::name_of(path)).collect()
}

fn differences(desk: &Desk) -> Option<Vec<String>> {
    let compared = desk.shelf.compared.as_ref()?;
    let all = compared.differences.iter();
    Some(all.map(|difference| difference.says.clone()).collect())
}

fn question(desk: &Desk) -> Option<String> {
    match (&desk.edit.theirs, &desk.edit.found) {
        (Some(_), _) => Some("theirs".into()),
        (None, Some(_)) => Some("found".into()),
        (None, None) => None,
    }
}

fn book(state: &BookState) -> [String; 3] {
    let page = state.page();
    let row = page.and_then(|page| page.rows.get(state.picked?));
    let mut answers: Vec<&str> = state.wrong.as_deref().into_iter().collect();
    answers.extend(state.odd.as_ref().map(|odd| odd.meant.as_str()));
    if let Some((_, said)) = &state.told {
        answers.extend(said.iter().flat_map(|one| [one.says.as_str(), &one.next]));
    }
    answers.extend(
        state
            .changed
            .iter()
            .flat_map(|section| &section.lines)
            .map(String::as_str),
    );
    answers.extend(state.stamped.as_deref());
    [
        page.map_or("", |page| page.stage.word()).to_owned(),
        row.map_or(String::new(), |row| row.name.clone()),
        answers.join("\n"),
    ]
}

/// The middles of the buttons that answer the question that waits, pixels.
fn answers(desk: &Desk, scale: f32) -> Vec<[f64; 2]> {
    let pixel = |value: f32| (f64::from(value) * f64::from(scale)).round();
    let middle = |rect: &Rect| [pixel(rect.center().x), pixel(rect.center().y)];
    desk.answers.iter().map(middle).collect()
}

/// The plan picture, once it is squared and scaled.
fn fitted_paper(desk: &Desk) -> Option<String> {
    let paper = desk.paper.as_ref().filter(|paper| !paper.fitting);
    paper.map(|paper| paper.name.clone())
}

impl Probe {
    /// As JSON.
    pub fn json(&self) -> Value {
        let seen = |list: &[Seen]| -> Vec<Value> {
            let one = |seen: &Seen| {
                json!({ "id": seen.id, "kind": seen.kind, "x": seen.at[0], "y": seen.at[1],
                    "visible": seen.visible, "covered": seen.covered })
            };
            list.iter().map(one).collect()
        };
        json!({
            "settled": self.settled, "window": self.window, "canvas": self.canvas,
            "eye": self.eye, "target": self.target, "exaggeration": self.exaggeration,
            "marks": seen(&self.marks), "pipes": seen(&self.pipes), "findings": seen(&self.findings),
            "picked": self.picked, "shown": self.shown, "measuring": self.measuring, "measured": self.measured,
            "moving": self.moving, "unsaved": self.unsaved, "walk": self.walk, "cut": self.cut, "question": self.question, "answers": self.answers,
            "book": self.book, "file": self.file, "shelf": self.shelf, "differences": self.differences,
            "evening": self.evening, "evening_wrong": self.evening_wrong, "to_tell": self.to_tell, "paper": self.paper,
            "error": self.error, "hash": self.hash, "hidden": self.hidden,
            "first_frame_ms": self.first_frame_ms, "moving_fps": self.moving_fps, "screenshot": self.screenshot,
        })
    }

    /// Writes it whole: a reader finds the old file or the new one.
    ///
    /// # Errors
    /// [`ViewError::Write`] when the folder does not take it.
    pub fn write(&self, file: &Path) -> Result<(), ViewError> {
        let beside = file.with_extension("part");
        let text = format!("{:#}\n", self.json());
        let wrote = std::fs::write(&beside, text).and_then(|()| std::fs::rename(&beside, file));
        wrote.map_err(|why| ViewError::Write {
            path: file.display().to_string(),
            why: why.to_string(),
        })
    }
}
