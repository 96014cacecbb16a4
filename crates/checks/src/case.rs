//! What the checks look at.

use catalog::Catalog;
use codes::Rules;
use fittings::{Assembly, Joints};
use grades::Grades;
use layout::Layout;
use network::Network;
use scene::Scene;

use crate::look_up::LookUps;

/// Everything one run of the flow brought out. All indices agree: `grades[tree]`, `assembly.runs[tree][run]`.
#[derive(Clone, Debug)]
pub struct Case<'a> {
    /// The resolved layout.
    pub layout: &'a Layout,
    /// Pipe and fittings.
    pub catalog: &'a Catalog,
    /// The code to judge by.
    pub rules: &'a Rules,
    /// How the runs hang together.
    pub network: &'a Network,
    /// What was chosen at the joins.
    pub joints: &'a Joints,
    /// The grade problems, one a tree.
    pub problems: &'a [grades::Problem],
    /// Their solutions.
    pub grades: &'a [Grades],
    /// Bodies and stubs.
    pub assembly: &'a Assembly,
    /// Solids and pipes in space.
    pub scene: &'a Scene,
    /// What the rules look up; begin with the default.
    pub look_ups: LookUps,
}
