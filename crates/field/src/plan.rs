//! What the layout plans for a thing that is measured: named corners, stubs, runs with their levels, sleeves. What does
//! not belong here: what was measured.

use fittings::{Part, Stub};
use flow::Outcome;
use glam::DVec2;
use layout::{Drain, Layout};
use network::Tree;
use units::Id;

use crate::book::{Book, Spot};

/// The corners of the form by the names a tape's hook is told by: `sw`, `se`, `ne`, `nw` for the four that reach
/// farthest that way, `corner 1` and so on counter-clockwise for every one. Empty without a slab.
///
/// Which corner reaches farthest north-east is the one with the greatest sum of east and north, and so on around.
pub fn corners(layout: &Layout) -> Vec<(Id, DVec2)> {
    let Some(slab) = &layout.slab else {
        return Vec::new();
    };
    let far = |toward: DVec2| {
        let most = |a: &&DVec2, b: &&DVec2| a.dot(toward).total_cmp(&b.dot(toward));
        slab.outline.iter().max_by(most).copied()
    };
    let compass = [
        ("sw", DVec2::new(-1.0, -1.0)),
        ("se", DVec2::new(1.0, -1.0)),
        ("ne", DVec2::new(1.0, 1.0)),
        ("nw", DVec2::new(-1.0, 1.0)),
    ];
    let named = compass
        .into_iter()
        .filter_map(|(name, toward)| Some((Id::from(name), far(toward)?)));
    let counted = slab
        .outline
        .iter()
        .enumerate()
        .map(|(i, at)| (Id::from(format!("corner {}", i + 1)), *at));
    named.chain(counted).collect()
}

/// An outcome and the book beside it, looked up by name.
#[derive(Clone, Copy)]
pub(crate) struct Plan<'a> {
    pub(crate) outcome: &'a Outcome,
    pub(crate) book: &'a Book,
}

/// A run as planned.
#[derive(Clone, Copy)]
pub(crate) struct Planned<'a> {
    pub(crate) tree: usize,
    pub(crate) index: usize,
    pub(crate) run: &'a network::Run,
    pub(crate) line: &'a grades::Line,
}

impl<'a> Plan<'a> {
    pub(crate) fn layout(&self) -> &'a Layout {
        &self.outcome.layout
    }

    /// Every point a tape may hook on.
    pub(crate) fn points(&self) -> Vec<(Id, DVec2)> {
        let own = self.book.points.iter().cloned();
        own.chain(corners(self.layout())).collect()
    }

    pub(crate) fn point(&self, name: &Id) -> Option<DVec2> {
        let found = self.points().into_iter().find(|(id, _)| id == name);
        found.map(|(_, at)| at)
    }

    pub(crate) fn string(&self, name: &Id) -> Option<(DVec2, DVec2)> {
        let found = self.book.strings.iter().find(|(id, ..)| id == name);
        found.map(|(_, from, to)| (*from, *to))
    }

    pub(crate) fn stubs(&self) -> &'a [Stub] {
        &self.outcome.assembly.stubs
    }

    pub(crate) fn stub(&self, name: &Id) -> Option<&'a Stub> {
        self.stubs().iter().find(|stub| stub.name() == *name)
    }

    pub(crate) fn trees(&self) -> &'a [Tree] {
        &self.outcome.network.trees
    }

    pub(crate) fn runs(&self) -> impl Iterator<Item = Planned<'a>> + use<'a> {
        let outcome = self.outcome;
        let trees = outcome.network.trees.iter().enumerate();
        trees.flat_map(move |(tree, of)| {
            let lines = &outcome.grades[tree].lines;
            of.runs
                .iter()
                .zip(lines)
                .enumerate()
                .map(move |(index, (run, line))| Planned {
                    tree,
                    index,
                    run,
                    line,
                })
        })
    }

    pub(crate) fn run(&self, name: &Id) -> Option<Planned<'a>> {
        self.runs().find(|planned| planned.run.id == *name)
    }

    pub(crate) fn drain(&self, name: &Id) -> Option<&'a Drain> {
        self.layout().drains.iter().find(|drain| drain.id == *name)
    }

    /// The sleeve of a drain, from its body; `None` where it is cored or passes without.
    pub(crate) fn sleeve(&self, drain: &Id) -> Option<Sleeve> {
        let is = |body: &&fittings::Body| body.part == Part::Sleeve && body.id == *drain;
        let body = self.outcome.assembly.bodies.iter().find(is)?;
        let tree = self.trees().iter().position(|tree| tree.id == *drain)?;
        let trunk = self.outcome.network.trees[tree].runs.first()?;
        let (inside, pipe) = (
            self.outcome.catalog.pipe(body.size).id(),
            self.outcome.catalog.pipe(trunk.outlet_size()),
        );
        let exit = self.drain(drain)?;
        let level = self.outcome.grades[tree].exit.level;
        let centred = level + pipe.id() / 2.0 - inside / 2.0;
        Some(Sleeve {
            at: exit.exit.at,
            bottom: exit.exit.sleeve_bottom.unwrap_or(centred),
            inside,
            invert: level,
            od: pipe.od,
            wall: pipe.wall,
        })
    }

    /// The two ends of the side of the form that a drain leaves by, the first end first along the outline.
    pub(crate) fn side(&self, at: DVec2) -> Option<(DVec2, DVec2)> {
        let outline = &self.layout().slab.as_ref()?.outline;
        let ends = outline.iter().zip(outline.iter().cycle().skip(1));
        ends.map(|(a, b)| (*a, *b)).min_by(|p, q| {
            let off = |(a, b): &(DVec2, DVec2)| {
                let t = ((at - *a).dot(*b - *a) / (*b - *a).length_squared()).clamp(0.0, 1.0);
                a.lerp(*b, t).distance(at)
            };
            off(p).total_cmp(&off(q))
        })
    }
}

/// A sleeve as planned.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Sleeve {
    /// Its middle on the outside face.
    pub(crate) at: DVec2,
    /// Level of its inside bottom.
    pub(crate) bottom: f64,
    /// Its inside diameter.
    pub(crate) inside: f64,
    /// Invert of the pipe in it.
    pub(crate) invert: f64,
    /// Outside diameter of the pipe in it.
    pub(crate) od: f64,
    /// Wall of the pipe in it.
    pub(crate) wall: f64,
}

impl Planned<'_> {
    /// Inches upstream of the run's outlet.
    pub(crate) fn station(&self, spot: Spot) -> f64 {
        match spot {
            Spot::Upper => self.run.path.length(),
            Spot::Lower => 0.0,
            Spot::At(station) => station,
        }
    }

    pub(crate) fn invert(&self, spot: Spot) -> f64 {
        self.line.level_at(self.station(spot))
    }
}
