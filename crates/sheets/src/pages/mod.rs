//! One module a page, and the packet in its order.

mod bath;
pub mod content;
pub mod control;
mod cover;
pub mod dig;
mod house;
mod numbers;
mod plan;
pub mod pour;
mod profile;
pub mod proof;
pub mod record;
mod riser;
mod schedule;
pub mod shop;
mod stem_wall;
mod window;

use checks::Question;
use field::Judged;
use flow::Outcome;
use takeoff::Takeoff;

pub use numbers::numbers;

use crate::furniture::feet;
use crate::mark::Page;
use crate::paper::Paper;
use crate::render::render;
use crate::sheet::Set;

/// How the packet is printed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Options {
    /// The paper.
    pub paper: Paper,
    /// Larger type, for a trench and tired eyes.
    pub large: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            paper: Paper::Letter,
            large: false,
        }
    }
}

/// What every drawn page is made of.
#[derive(Clone, Copy)]
pub(crate) struct Job<'a> {
    pub(crate) outcome: &'a Outcome,
    pub(crate) set: &'a Set,
}

fn fails(outcome: &Outcome) -> usize {
    let findings = outcome.findings.iter();
    findings
        .filter(|finding| finding.verdict == checks::Verdict::Fails)
        .count()
}

/// All pages of the packet, in its order. `questions` are those for the inspector, where codes differ; `found` is what was
/// measured in the ground, for the record. A layout with nothing in it still gives pages that say so.
pub fn compose(
    outcome: &Outcome,
    takeoff: &Takeoff,
    questions: &[Question],
    found: &Judged,
    options: &Options,
) -> Vec<Page> {
    let set = Set {
        paper: options.paper,
        type_size: if options.large { 12.0 } else { 9.5 },
        house: outcome.layout.title.clone(),
        dated: outcome.layout.dated.clone().unwrap_or_default(),
        hash: outcome.hash.clone(),
        fails: fails(outcome),
    };
    let job = Job { outcome, set: &set };
    let drawn: [fn(Job) -> Vec<Page>; 6] = [
        plan::pages,
        schedule::pages,
        profile::pages,
        riser::pages,
        stem_wall::pages,
        bath::pages,
    ];
    let mut pages: Vec<Page> = drawn.iter().flat_map(|make| make(job)).collect();
    let sheets = numbers(outcome, takeoff, questions, found);
    pages.extend(sheets.iter().flat_map(|sheet| render(sheet, &set)));
    let mut pages = [cover::pages(job, &pages), pages].concat();
    feet(&mut pages, &set);
    pages
}
