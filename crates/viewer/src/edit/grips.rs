//! What can be taken hold of and moved: stubs, bends, junctions, exits, cleanouts, cabinets, box-outs, walls.

use glam::{DVec2, DVec3};
use layout::{Layout, RunEnd, RunStart};

use crate::house::House;

/// What a grip moves.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Hold {
    /// A fixture's stub.
    Fixture,
    /// A run's own start, where no fixture or cleanout is.
    Start,
    /// A bend of a run.
    Bend(
        /// Which, from 0, upstream first.
        usize,
    ),
    /// Where a run joins another.
    Junction,
    /// Where a drain leaves the house.
    Exit,
    /// A cleanout.
    Cleanout,
    /// A cabinet, by its middle.
    Cabinet,
    /// A box-out, by its middle.
    BoxOut,
    /// A wall, by its middle.
    Wall,
}

impl Hold {
    /// What it is called on screen.
    pub fn word(self) -> &'static str {
        match self {
            Self::Fixture => "stub of",
            Self::Start => "start of",
            Self::Bend(_) => "bend of",
            Self::Junction => "junction of",
            Self::Exit => "exit of",
            Self::Cleanout => "cleanout",
            Self::Cabinet => "cabinet",
            Self::BoxOut => "box-out",
            Self::Wall => "wall",
        }
    }
}

/// One thing to take hold of.
#[derive(Clone, PartialEq, Debug)]
pub struct Grip {
    /// The item of the layout.
    pub id: String,
    /// What it moves.
    pub hold: Hold,
    /// Where it is, house inches.
    pub at: DVec3,
}

/// Every grip of a house, in the order of its layout.
pub fn grips(house: &House) -> Vec<Grip> {
    let layout = &house.layout;
    let mut grips = fixed(house, layout);
    for run in &layout.runs {
        let id = run.id.as_str();
        let grip = |hold, at: DVec2| Grip {
            id: id.to_owned(),
            hold,
            at: at.extend(level(house, id, at)),
        };
        if let RunStart::Point(at) = run.from {
            grips.push(grip(Hold::Start, at));
        }
        grips.extend(
            run.via
                .iter()
                .enumerate()
                .map(|(n, at)| grip(Hold::Bend(n), *at)),
        );
        let line = house.lines.iter().find(|line| line.id == id);
        if let (RunEnd::Run { .. }, Some(end)) = (&run.to, line.and_then(|line| line.points.last()))
        {
            grips.push(grip(Hold::Junction, end.truncate()));
        }
    }
    grips
}

fn fixed(house: &House, layout: &Layout) -> Vec<Grip> {
    let grip = |id: &units::Id, hold, at: DVec2, z: f64| Grip {
        id: id.to_string(),
        hold,
        at: at.extend(z),
    };
    let top = |id: &units::Id| {
        let stub = house.scene.marks.iter().find(|mark| {
            mark.id == *id && matches!(mark.kind, scene::MarkKind::Stub | scene::MarkKind::Cleanout)
        });
        stub.map_or(0.0, |mark| mark.at.z)
    };
    let fixtures = layout
        .fixtures
        .iter()
        .map(|one| grip(&one.id, Hold::Fixture, one.at, top(&one.id)));
    let cleanouts = layout
        .cleanouts
        .iter()
        .map(|one| grip(&one.id, Hold::Cleanout, one.at, one.top));
    let cabinets = layout
        .cabinets
        .iter()
        .map(|one| grip(&one.id, Hold::Cabinet, one.centre, one.height));
    let boxes = layout
        .box_outs
        .iter()
        .map(|one| grip(&one.id, Hold::BoxOut, one.centre, 0.0));
    let walls = layout
        .walls
        .iter()
        .filter(|wall| !wall.on_edge)
        .map(|one| grip(&one.id, Hold::Wall, one.from.midpoint(one.to), 0.0));
    let exits = layout.drains.iter().map(|one| {
        let z = level(house, one.id.as_str(), one.exit.at);
        grip(&one.id, Hold::Exit, one.exit.at, z)
    });
    fixtures
        .chain(cleanouts)
        .chain(cabinets)
        .chain(boxes)
        .chain(walls)
        .chain(exits)
        .collect()
}

/// The level of a run, or of the line a drain's trunk ends in, at a plan point: of its nearest corner.
fn level(house: &House, id: &str, at: DVec2) -> f64 {
    let lines = house
        .lines
        .iter()
        .filter(|line| line.id == id || line.drain == id);
    let points = lines.flat_map(|line| &line.points);
    points
        .min_by(|a, b| {
            let off = |point: &DVec3| point.truncate().distance(at);
            off(a).total_cmp(&off(b))
        })
        .map_or(0.0, |point| point.z)
}
