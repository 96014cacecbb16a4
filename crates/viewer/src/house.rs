//! What the viewer is given: one checked house, as plain values. Nothing here is computed; the flow before it did that.

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
    /// Where the rule stands.
    pub source: String,
    /// Ids of the layout items concerned.
    pub members: Vec<String>,
    /// The two nearest points, if a distance was measured, house inches.
    pub ends: Option<[[f64; 3]; 2]>,
}

/// The fall budget of one drain, from its highest start to its exit.
#[derive(Clone, Debug)]
pub struct BudgetRow {
    /// The drain's id.
    pub drain: String,
    /// One sentence about it.
    pub says: String,
    /// Who spends how many inches, upstream to downstream.
    pub spends: Vec<(String, f64)>,
    /// Inches left over; negative when it is short.
    pub spare: f64,
}
