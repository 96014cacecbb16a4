//! What several rules ask about the house: the foundation's edge, which stubs stand outside, what things are called.

use fittings::Stub;
use glam::DVec2;
use layout::Drain;
use scene::Solid;
use units::Id;

use crate::{Case, geometry};

impl<'a> Case<'a> {
    /// The side of the edge that a round of this radius about a place in plan stands on, if any.
    pub(crate) fn over_edge(&self, at: DVec2, radius: f64) -> Option<&'a Solid> {
        self.edge_solids()
            .find(|solid| geometry::distance_to_outline(&solid.outline, at) < radius)
    }

    /// Whether a stub stands outside the house: a cleanout on the outside line.
    pub(crate) fn stands_outside(&self, stub: &Stub) -> bool {
        stub.stands_outside(self.layout)
    }

    /// The layout's drain of a tree.
    pub(crate) fn drain(&self, tree: usize) -> &'a Drain {
        &self.layout.drains[self.network.trees[tree].drain]
    }

    /// Runs that start at a stub standing on the foundation's edge: the stub is told, and moving it moves them.
    pub(crate) fn runs_off_the_edge(&self) -> Vec<&'a Id> {
        let astray = |at: DVec2| self.over_edge(at, 0.01).is_some();
        let runs = self.network.trees.iter().flat_map(|tree| &tree.runs);
        runs.filter(|run| astray(run.path.inlet()))
            .map(|run| &run.id)
            .collect()
    }
}

/// A solid's name in a sentence: `the stem wall`, `pier1`.
pub(crate) fn called(solid: &Solid) -> String {
    match solid.id.as_str() {
        name @ ("stem wall" | "turned-down edge" | "grade beam" | "footing") => {
            format!("the {name}")
        }
        name => name.to_owned(),
    }
}
