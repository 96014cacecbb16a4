//! What the rules look up again and again by name, as indices, found once a case.

use std::{
    collections::BTreeMap,
    sync::{Arc, Mutex, OnceLock, PoisonError},
};

use layout::{Block, BoxOut, Cabinet, Cleanout, Wall};
use network::Start;
use scene::{Part, PipeBody, Solid, SolidKind, Tube};
use units::Id;

use crate::{
    Case, Finding,
    geometry::{Nodes, near_in_plan},
    rules::{Turned, turned},
};

/// A case's look-ups, made when the first rule asks for one. A case begins with the default, which holds none; a clone
/// shares what was made. Several threads may look up at once.
#[derive(Clone, Debug, Default)]
pub struct LookUps(Arc<Cells>);

#[derive(Debug, Default)]
struct Cells {
    found: OnceLock<Found>,
    /// Pairs of the scene's tubes, by their place among them all, that lie over one another in plan and are not one.
    over: OnceLock<Vec<(usize, usize)>>,
    /// The joints of the scene's pipes.
    nodes: OnceLock<Nodes>,
    /// The turns that fittings make, with the piece that makes each.
    turned: OnceLock<Vec<(usize, Turned)>>,
    /// What a rule finds before it reads a code, by its id.
    alike: Mutex<BTreeMap<&'static str, Vec<Finding>>>,
}

/// Indices by name. A name that stands twice means the first.
#[derive(Clone, Debug, Default)]
struct Found {
    walls: BTreeMap<Id, usize>,
    cabinets: BTreeMap<Id, usize>,
    box_outs: BTreeMap<Id, usize>,
    /// Trees by their drain.
    trees: BTreeMap<Id, usize>,
    /// Tree and place in it of every run.
    runs: BTreeMap<Id, (usize, usize)>,
    /// Bodies of sleeves and of lines outside, by their drain.
    sleeves: BTreeMap<Id, usize>,
    lines: BTreeMap<Id, usize>,
    /// Solids of the edge all round the slab.
    edge: Vec<usize>,
    /// Cleanouts of each tree, in the layout's order.
    cleanouts: Vec<Vec<usize>>,
}

impl Found {
    fn of(case: &Case) -> Self {
        let (layout, network) = (case.layout, case.network);
        let trees = by_name(network.trees.iter().map(|tree| &tree.id));
        let mut found = Self {
            walls: by_name(layout.walls.iter().map(|wall| &wall.id)),
            cabinets: by_name(layout.cabinets.iter().map(|cabinet| &cabinet.id)),
            box_outs: by_name(layout.box_outs.iter().map(|made| &made.id)),
            edge: edge(&case.scene.solids, &layout.foundation.blocks),
            cleanouts: vec![Vec::new(); network.trees.len()],
            trees,
            ..Self::default()
        };
        for (t, tree) in network.trees.iter().enumerate() {
            let runs = tree.runs.iter().enumerate();
            found
                .runs
                .extend(runs.map(|(r, run)| (run.id.clone(), (t, r))));
        }
        found.drains_bodies(&case.scene.pipes);
        found.sort_cleanouts(case);
        found
    }

    fn drains_bodies(&mut self, pipes: &[PipeBody]) {
        for (b, body) in pipes.iter().enumerate() {
            let of_drain = match body.part {
                Part::Sleeve => &mut self.sleeves,
                Part::Pipe if self.trees.contains_key(&body.id) => &mut self.lines,
                Part::Pipe | Part::Fitting | Part::Riser | Part::Trap | Part::Cleanout => continue,
            };
            of_drain.entry(body.id.clone()).or_insert(b);
        }
    }

    fn sort_cleanouts(&mut self, case: &Case) {
        let mut starts: BTreeMap<usize, usize> = BTreeMap::new();
        for (t, tree) in case.network.trees.iter().enumerate() {
            for run in &tree.runs {
                if let Start::Cleanout(c) = run.start {
                    starts.entry(c).or_insert(t);
                }
            }
        }
        for (c, cleanout) in case.layout.cleanouts.iter().enumerate() {
            let tree = match (&cleanout.outside, &cleanout.on) {
                (Some(drain), _) => self.trees.get(drain).copied(),
                (None, Some(run)) => self.runs.get(run).map(|(t, _)| *t),
                (None, None) => starts.get(&c).copied(),
            };
            if let Some(t) = tree {
                self.cleanouts[t].push(c);
            }
        }
    }
}

fn by_name<'a>(ids: impl Iterator<Item = &'a Id>) -> BTreeMap<Id, usize> {
    let mut map = BTreeMap::new();
    for (index, id) in ids.enumerate() {
        map.entry(id.clone()).or_insert(index);
    }
    map
}

fn edge(solids: &[Solid], blocks: &[Block]) -> Vec<usize> {
    let own = by_name(blocks.iter().map(|block| &block.id));
    let of_edge = |solid: &Solid| match solid.kind {
        SolidKind::StemWall | SolidKind::TurnedDownEdge => true,
        SolidKind::GradeBeam => !own.contains_key(&solid.id),
        _other => false,
    };
    let all = solids.iter().enumerate();
    all.filter(|(_, solid)| of_edge(solid))
        .map(|(s, _)| s)
        .collect()
}

impl<'a> Case<'a> {
    fn found(&self) -> &Found {
        self.look_ups.0.found.get_or_init(|| Found::of(self))
    }

    /// Pairs of the scene's tubes (counted through all bodies) whose boxes lie over one another in plan, sorted. Tubes of
    /// one body, or of a fitting and what is glued into it, are one and no pair.
    pub(crate) fn over_one_another(&self) -> &[(usize, usize)] {
        let pairs = || {
            let bodies = self.scene.pipes.iter();
            let tubes: Vec<&[Tube]> = bodies.map(|body| &body.tubes[..]).collect();
            near_in_plan(&tubes, |a, b| !self.nodes().one(a, b))
        };
        self.look_ups.0.over.get_or_init(pairs)
    }

    /// The joints of the scene's pipes.
    pub(crate) fn nodes(&self) -> &Nodes {
        let nodes = || Nodes::new(&self.scene.pipes, self.catalog);
        self.look_ups.0.nodes.get_or_init(nodes)
    }

    /// Every turn of water in a drain, by piece.
    pub(crate) fn turned(&self) -> &[(usize, Turned)] {
        self.look_ups.0.turned.get_or_init(|| turned(self))
    }

    /// What the part of a rule that reads no code finds: looked for once, the same by every code.
    pub(crate) fn alike(
        &self,
        rule: &'static str,
        find: impl FnOnce() -> Vec<Finding>,
    ) -> Vec<Finding> {
        // What a panic left is whole: findings go in when they are all found.
        let alike = || {
            self.look_ups
                .0
                .alike
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
        };
        let held = alike().get(rule).cloned();
        held.unwrap_or_else(|| {
            let found = find();
            alike().insert(rule, found.clone());
            found
        })
    }

    /// The wall of this name.
    pub(crate) fn wall(&self, id: &Id) -> Option<&'a Wall> {
        self.found().walls.get(id).map(|w| &self.layout.walls[*w])
    }

    /// The cabinet of this name.
    pub(crate) fn cabinet(&self, id: &Id) -> Option<&'a Cabinet> {
        let cabinets = &self.found().cabinets;
        cabinets.get(id).map(|c| &self.layout.cabinets[*c])
    }

    /// The box-out of this name.
    pub(crate) fn box_out(&self, id: &Id) -> Option<&'a BoxOut> {
        let box_outs = &self.found().box_outs;
        box_outs.get(id).map(|b| &self.layout.box_outs[*b])
    }

    /// The tree of this drain.
    pub(crate) fn tree(&self, drain: &Id) -> Option<usize> {
        self.found().trees.get(drain).copied()
    }

    /// The tree of this run, and where it is in it.
    pub(crate) fn run(&self, run: &Id) -> Option<(usize, usize)> {
        self.found().runs.get(run).copied()
    }

    /// The walls, beams and turned-down edges all round the slab, a solid a side; not the footing under them.
    pub(crate) fn edge_solids(&self) -> impl Iterator<Item = &'a Solid> {
        let edge = self.found().edge.iter();
        edge.map(|s| &self.scene.solids[*s])
    }

    /// A drain's sleeve, as a body.
    pub(crate) fn sleeve(&self, drain: &Id) -> Option<&'a PipeBody> {
        let sleeves = &self.found().sleeves;
        sleeves.get(drain).map(|b| &self.scene.pipes[*b])
    }

    /// A drain's line outside, as a body.
    pub(crate) fn outside_line(&self, drain: &Id) -> Option<&'a PipeBody> {
        let lines = &self.found().lines;
        lines.get(drain).map(|b| &self.scene.pipes[*b])
    }

    /// The cleanouts of a tree with their indices, in the layout's order.
    pub(crate) fn cleanouts(&self, tree: usize) -> impl Iterator<Item = (usize, &'a Cleanout)> {
        let of_tree = self.found().cleanouts[tree].iter();
        of_tree.map(|c| (*c, &self.layout.cleanouts[*c]))
    }
}
