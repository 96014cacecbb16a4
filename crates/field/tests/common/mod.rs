//! A house and a site: writes field books as somebody would who measures what really stands there.
#![allow(dead_code, unreachable_pub, clippy::must_use_candidate, missing_docs)]

use field::{Book, Session, Stage, corners};
use flow::{Inputs, Outcome};
use glam::DVec2;

pub const DEMO: &str = include_str!("../../../../scenes/demo.ron");

pub fn demo() -> House {
    House::new(DEMO, "demo.ron")
}

pub fn at(x: f64, y: f64) -> DVec2 {
    DVec2::new(x, y)
}

pub struct House {
    pub inputs: Inputs,
    pub outcome: Outcome,
}

impl House {
    pub fn new(text: &str, name: &str) -> Self {
        let inputs = Inputs {
            text: text.into(),
            name: name.into(),
            ..Inputs::default()
        };
        let outcome = flow::run(&inputs);
        assert!(outcome.problems.is_empty(), "{:?}", outcome.problems);
        Self { inputs, outcome }
    }

    /// Where a stub is planned.
    pub fn stub(&self, name: &str) -> DVec2 {
        let stubs = &self.outcome.assembly.stubs;
        let stub = stubs.iter().find(|stub| stub.name().as_str() == name);
        stub.expect("a stub").at
    }

    pub fn site(&self) -> Site<'_> {
        Site {
            house: self,
            strings: Vec::new(),
            readings: Vec::new(),
        }
    }
}

/// What really stands, measured without error unless told.
pub struct Site<'a> {
    house: &'a House,
    strings: Vec<String>,
    readings: Vec<String>,
}

/// A length a tape tells: to the sixteenth.
pub fn tape(inches: f64) -> String {
    format!("{} in", (inches * 16.0).round() / 16.0)
}

impl Site<'_> {
    pub fn string(&mut self, name: &str, from: DVec2, to: DVec2) {
        let point = |p: DVec2| format!("(\"{} in\", \"{} in\")", p.x, p.y);
        self.strings.push(format!(
            "{name:?}: (from: {}, to: {})",
            point(from),
            point(to)
        ));
    }

    pub fn entry(&mut self, entry: &str) {
        let id = self.readings.len() + 1;
        self.readings.push(format!("\"{id}\": ({entry})"));
    }

    /// Three tapes from the nearest corners to a stub that stands off its plan.
    pub fn stub(&mut self, name: &str, off: DVec2, stage: Stage) {
        self.tapes(name, self.house.stub(name) + off, [0.0; 3], stage);
    }

    pub fn tapes(&mut self, name: &str, stands: DVec2, errors: [f64; 3], stage: Stage) {
        self.taken(name, "stub", "", stands, errors, stage);
    }

    /// Three tapes, each with its error.
    pub fn taken(
        &mut self,
        name: &str,
        what: &str,
        more: &str,
        stands: DVec2,
        errors: [f64; 3],
        stage: Stage,
    ) {
        let mut hooks: Vec<_> = corners(&self.house.outcome.layout)
            .into_iter()
            .take(4)
            .collect();
        hooks.sort_by(|a, b| a.1.distance(stands).total_cmp(&b.1.distance(stands)));
        let pulls: Vec<String> = hooks
            .iter()
            .zip(errors)
            .map(|((id, from), error)| {
                format!("(\"{id}\", \"{}\")", tape(from.distance(stands) + error))
            })
            .collect();
        let (stage, comma) = (stage.word(), if more.is_empty() { "" } else { ", " });
        self.entry(&format!(
            "of: {name:?}, what: {what}, tapes: [{}]{comma}{more}, stage: {stage}",
            pulls.join(", ")
        ));
    }

    /// Answers all that is due up to a stage as the plan has it.
    pub fn everything(&mut self, upto: Stage) {
        let outcome = &self.house.outcome;
        let mut session = Session::default();
        let book = self.book();
        for due in field::due(outcome, &book)
            .iter()
            .filter(|due| due.stage <= upto)
        {
            let entry = field::entry(outcome, &book, due, &due.like, &mut session, false)
                .expect("an answer");
            self.entry(entry.trim_start_matches('(').trim_end_matches(')'));
        }
    }

    pub fn sleeve(&mut self, drain: &str, up: f64, aside: DVec2, stage: Stage) {
        let outcome = &self.house.outcome;
        let body = outcome
            .assembly
            .bodies
            .iter()
            .find(|b| b.part == fittings::Part::Sleeve && b.id.as_str() == drain)
            .expect("a sleeve");
        let centre = body.tubes[0].a.z.midpoint(body.tubes[0].b.z);
        let bottom = centre - outcome.catalog.pipe(body.size).id() / 2.0 + up;
        let exit = outcome
            .layout
            .drains
            .iter()
            .find(|d| d.id.as_str() == drain)
            .expect("a drain");
        let nw = corners(&outcome.layout)
            .into_iter()
            .find(|(id, _)| id.as_str() == "nw")
            .expect("nw")
            .1;
        let along = tape(nw.distance(exit.exit.at + aside));
        let stage = stage.word();
        self.entry(&format!("of: {drain:?}, what: sleeve, level: \"{}\", tapes: [(\"nw\", \"{along}\")], stage: {stage}", tape(bottom)));
    }

    /// An invert at an end of a run, off its plan by `off`.
    pub fn invert(&mut self, run: &str, spot: &str, off: f64, stage: Stage) {
        let lines = self.house.outcome.grades.iter().flat_map(|g| &g.lines);
        let line = lines
            .into_iter()
            .find(|l| l.id.as_str() == run)
            .expect("a run");
        let z = if spot == "upper" {
            line.inlet
        } else {
            line.outlet
        };
        self.level(run, spot, (z * 16.0).round() / 16.0 + off, stage);
    }

    /// An invert read at an end of a run.
    pub fn level(&mut self, run: &str, spot: &str, z: f64, stage: Stage) {
        let (level, stage) = (format!("{z} in"), stage.word());
        self.entry(&format!(
            "of: {run:?}, what: invert, at: {spot}, level: {level:?}, stage: {stage}"
        ));
    }

    /// The book, which must be in order.
    pub fn book(&self) -> Book {
        let text = self.text();
        let (book, problems) = field::read(&text, "field.ron");
        assert!(problems.is_empty(), "{problems:?} in {text}");
        let misfits = field::misfits(&self.house.outcome, &book);
        assert!(misfits.is_empty(), "{misfits:?}");
        book
    }

    pub fn text(&self) -> String {
        format!(
            "(\n    strings: {{ {} }},\n    readings: {{\n        {}\n    }},\n)\n",
            self.strings.join(", "),
            self.readings.join(",\n        ") + if self.readings.is_empty() { "" } else { "," }
        )
    }
}
