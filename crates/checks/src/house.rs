//! What the rules look up in a case again and again: items by name, the foundation's edge, stubs and their bodies.

use std::collections::BTreeMap;

use fittings::{Stub, StubOf};
use glam::DVec2;
use layout::{Block, Drain, Wall};
use scene::{PipeBody, Solid, SolidKind};
use units::Id;

use crate::{Case, geometry};

impl<'a> Case<'a> {
    /// Walls by name.
    pub(crate) fn walls(&self) -> BTreeMap<&'a str, &'a Wall> {
        self.layout
            .walls
            .iter()
            .map(|wall| (wall.id.as_str(), wall))
            .collect()
    }

    /// The walls, beams and turned-down edges all round the slab, a solid a side; not the footing under them.
    pub(crate) fn edge_solids(&self) -> impl Iterator<Item = &'a Solid> {
        let blocks = &self.layout.foundation.blocks;
        self.scene
            .solids
            .iter()
            .filter(move |solid| match solid.kind {
                SolidKind::StemWall | SolidKind::TurnedDownEdge => true,
                SolidKind::GradeBeam => !is_block(blocks, &solid.id),
                _other => false,
            })
    }

    /// The side of the edge that a round of this radius about a place in plan stands on, if any.
    pub(crate) fn over_edge(&self, at: DVec2, radius: f64) -> Option<&'a Solid> {
        self.edge_solids()
            .find(|solid| geometry::distance_to_outline(&solid.outline, at) < radius)
    }

    /// Whether a stub stands outside the house: a cleanout on the outside line.
    pub(crate) fn stands_outside(&self, stub: &Stub) -> bool {
        match stub.of {
            StubOf::Cleanout(c) => self.layout.cleanouts[c].outside.is_some(),
            StubOf::Fixture(_) | StubOf::Vent(_) | StubOf::Service(_) => false,
        }
    }

    /// The layout's drain of a tree.
    pub(crate) fn drain(&self, tree: usize) -> &'a Drain {
        &self.layout.drains[self.network.trees[tree].drain]
    }

    /// A drain's line outside, as a body.
    pub(crate) fn outside_line(&self, drain: &Id) -> Option<&'a PipeBody> {
        let is_line = |body: &&PipeBody| body.id == *drain && body.part == scene::Part::Pipe;
        self.scene.pipes.iter().find(is_line)
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

fn is_block(blocks: &[Block], id: &Id) -> bool {
    blocks.iter().any(|block| block.id == *id)
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
