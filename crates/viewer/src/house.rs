//! What the viewer is given: one checked house, as plain values. Nothing here is computed; the flow before it did that.

use glam::{DVec2, DVec3};
use layout::{Edit, Layout};
use scene::Scene;

/// One layout after the whole flow: bodies, findings, budget.
#[derive(Clone, Debug, Default)]
pub struct House {
    /// The layout's own title.
    pub title: String,
    /// Bodies and marks, house inches.
    pub scene: Scene,
    /// Findings in the order they are to be dealt with.
    pub findings: Vec<FindingRow>,
    /// One row per drain: who spends its inches of fall.
    pub budget: Vec<BudgetRow>,
    /// What is unknown and matters, one sentence each.
    pub to_tell: Vec<String>,
    /// Short hash of the layout, shown on every output.
    pub hash: String,
    /// The document it came from.
    pub text: String,
    /// The document resolved.
    pub layout: Layout,
    /// The runs with their levels, trunk before branch.
    pub lines: Vec<RunLine>,
    /// What was tried and would help a drain that cannot fall.
    pub mends: Vec<MendRow>,
}

/// A run with its levels.
#[derive(Clone, PartialEq, Debug)]
pub struct RunLine {
    /// The run.
    pub id: String,
    /// The drain it belongs to.
    pub drain: String,
    /// The run it joins; empty for a trunk.
    pub into: String,
    /// Its plan corners with the invert at each, upstream to downstream, house inches.
    pub points: Vec<DVec3>,
    /// Nominal size at each end, as the trade writes it.
    pub size: String,
    /// Its grade, inches a foot.
    pub grade_in_per_ft: f64,
}

impl RunLine {
    /// Its corners in plan, upstream to downstream.
    pub fn plan(&self) -> Vec<DVec2> {
        self.points.iter().map(|point| point.truncate()).collect()
    }
}

/// A mend: a change that was tried.
#[derive(Clone, PartialEq, Debug)]
pub struct MendRow {
    /// The drain it helps.
    pub drain: String,
    /// What to do, one sentence.
    pub says: String,
    /// The change, where it can be made in the document.
    pub edit: Option<Edit>,
}

/// How a finding is judged.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Verdict {
    /// It does not do what the published rule says.
    Fails,
    /// Ask the inspector.
    Ask,
    /// Worth knowing.
    Note,
}

/// One finding, ready to show.
#[derive(Clone, Debug)]
pub struct FindingRow {
    /// The rule's id.
    pub rule: String,
    /// How it is judged.
    pub verdict: Verdict,
    /// One plain sentence.
    pub says: String,
    /// Where, house inches.
    pub at: [f64; 3],
    /// What was measured, in the rule's unit.
    pub measured: Option<f64>,
    /// What the rule wants, in the same unit.
    pub limit: Option<f64>,
    /// The unit of both: `in`, `in/ft`, `ft`, `deg`; empty without figures.
    pub unit: String,
    /// Where the rule stands.
    pub source: String,
    /// Ids of the layout items concerned.
    pub members: Vec<String>,
    /// The two nearest points, if a distance was measured, house inches.
    pub ends: Option<[[f64; 3]; 2]>,
}

/// Some inches of fall, spent.
#[derive(Clone, PartialEq, Debug)]
pub struct Spend {
    /// The run or the drain that spends them, by its id.
    pub who: String,
    /// What on, in words with the name.
    pub says: String,
    /// How many.
    pub inches: f64,
}

/// The fall budget of one drain, from its highest start to its exit.
#[derive(Clone, Debug)]
pub struct BudgetRow {
    /// The drain's id.
    pub drain: String,
    /// One sentence about it.
    pub says: String,
    /// The run whose cover is least under the floor, and that in words.
    pub least_cover: Option<(String, String)>,
    /// Who spends how many inches, upstream to downstream.
    pub spends: Vec<Spend>,
    /// Inches left over; negative when it is short.
    pub spare: f64,
}
