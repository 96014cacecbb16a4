//! From a grip let go at another place to the change of the document that puts it there.
//!
//! A point keeps the way it was told: along its wall, off its face, in its cabinet's frame, from another point. What lies
//! on a run that is moved (junctions, increasers) goes with it.

use glam::DVec2;
use layout::{Edit, File, Landing, Layout, Node, Path, RunEnd, RunStart, Step, length_text};
use units::Length;

use super::angles::{Drawn, Leg, crossing, drawn, quarters};
use super::grips::{Grip, Hold};
use crate::house::House;

/// How near another wall must be for a stub to land in it instead, inches.
const LANDS: f64 = 9.0;
/// A told length that would change by less stays as it is, inches.
const LEAST: f64 = 0.125;
/// What moves with a run is written to this part of an inch.
const FINE: f64 = 64.0;

/// A move worked out: the change, where the grip comes to lie, and what drew it there.
#[derive(Clone, PartialEq, Debug)]
pub struct Moved {
    /// The change.
    pub edit: Edit,
    /// The new place in plan, and what drew it there.
    pub drawn: Drawn,
}

/// The move of `grip` of `house` to the plan point `to`. `reach` is how far the pull of angles goes, inches; 0 for an
/// exact place. `None` where the document does not tell the place in a way that can be moved.
pub fn moved(house: &House, grip: &Grip, to: DVec2, reach: f64) -> Option<Moved> {
    let document = Document::new(house)?;
    match grip.hold {
        Hold::Fixture => document.fixture(grip, to, reach),
        Hold::Start => document.simple(
            &["runs", &grip.id, "from"],
            grip,
            document.end_leg(grip, to, reach),
        ),
        Hold::Bend(n) => document.bend(grip, n, to, reach),
        Hold::Junction => document.junction(grip, to, reach),
        Hold::Exit => document.exit(grip, to),
        Hold::Cleanout => document.simple(&["cleanouts", &grip.id, "at"], grip, free(to)),
        Hold::Cabinet => document.simple(&["cabinets", &grip.id, "centre"], grip, free(to)),
        Hold::BoxOut => document.simple(&["box_outs", &grip.id, "centre"], grip, free(to)),
        Hold::Wall => document.wall(grip, to),
    }
}

fn free(to: DVec2) -> Drawn {
    Drawn {
        at: quarters(to),
        says: String::new(),
    }
}

struct Document<'h> {
    house: &'h House,
    layout: &'h Layout,
    tree: Node,
    file: File,
}

impl<'h> Document<'h> {
    fn new(house: &'h House) -> Option<Self> {
        Some(Self {
            house,
            layout: &house.layout,
            tree: layout::parse(&house.text, "").ok()?,
            file: layout::read(&house.text, "").file?,
        })
    }

    fn node(&self, path: &[Step]) -> Option<&Node> {
        node_at(&self.tree, path)
    }

    fn simple(&self, path: &[&str], grip: &Grip, drawn: Drawn) -> Option<Moved> {
        let path: Path = path.iter().map(|step| Step::from(*step)).collect();
        let edit = self.put(&path, grip.at.truncate(), drawn.at)?;
        Some(Moved { edit, drawn })
    }

    /// Puts the point at `path` from `old` to `new`, told the way it was.
    fn put(&self, path: &[Step], old: DVec2, new: DVec2) -> Option<Edit> {
        let told = self.node(path)?;
        let by = new - old;
        let parts = match (
            name_of(told, "in"),
            name_of(told, "off"),
            name_of(told, "from"),
        ) {
            (Some(item), _, _) => self.inside(told, item, by),
            (_, Some(wall), _) => self.off_wall(told, wall, old, by),
            (_, _, Some(_)) => Some(vec![("east", by.x), ("north", by.y)]),
            (None, None, None) => None,
        };
        let shift = |(name, by): &(&str, f64)| {
            let mut path = path.to_vec();
            path.push((*name).into());
            let was = length_of(told, name)?;
            Some(Edit::Set {
                path,
                value: length_text(quarter(was + by)),
            })
        };
        let shifted: Option<Vec<Edit>> = parts.and_then(|parts| {
            parts
                .iter()
                .filter(|(_, by)| by.abs() > LEAST)
                .map(shift)
                .collect()
        });
        Some(match shifted {
            Some(edits) => Edit::All(edits),
            None => Edit::Set {
                path: path.to_vec(),
                value: self.file.point_text(new),
            },
        })
    }

    fn inside(&self, told: &Node, item: &str, by: DVec2) -> Option<Vec<(&'static str, f64)>> {
        if let Some(wall) = self.wall_line(item) {
            let along = by.dot(wall.1);
            return Some(vec![if told.entry("from_end").is_some() {
                ("from_end", -along)
            } else {
                ("along", along)
            }]);
        }
        let cabinets = self
            .layout
            .cabinets
            .iter()
            .map(|one| (&one.id, one.turn_deg));
        let boxes = self
            .layout
            .box_outs
            .iter()
            .map(|one| (&one.id, one.turn_deg));
        let (_, turn) = cabinets.chain(boxes).find(|(id, _)| id.as_str() == item)?;
        let by = DVec2::from_angle(-turn.to_radians()).rotate(by);
        Some(vec![("x", by.x), ("y", by.y)])
    }

    fn off_wall(
        &self,
        told: &Node,
        wall: &str,
        old: DVec2,
        by: DVec2,
    ) -> Option<Vec<(&'static str, f64)>> {
        let (from, along) = self.wall_line(wall)?;
        let side = along.perp_dot(old - from).signum();
        let along_by = by.dot(along);
        let off = along.perp().dot(by) * side;
        Some(vec![
            ("by", off),
            if told.entry("from_end").is_some() {
                ("from_end", -along_by)
            } else {
                ("along", along_by)
            },
        ])
    }

    /// A wall's start and direction.
    fn wall_line(&self, id: &str) -> Option<(DVec2, DVec2)> {
        let wall = self
            .layout
            .walls
            .iter()
            .find(|wall| wall.id.as_str() == id)?;
        Some((wall.from, (wall.to - wall.from).try_normalize()?))
    }

    /// A stub stays in the wall it lands in, or goes over to another wall that it is brought near.
    fn fixture(&self, grip: &Grip, to: DVec2, reach: f64) -> Option<Moved> {
        let fixture = self
            .layout
            .fixtures
            .iter()
            .find(|one| one.id.as_str() == grip.id)?;
        let path: Path = vec!["fixtures".into(), grip.id.as_str().into(), "at".into()];
        let Landing::Wall(own) = &fixture.landing else {
            let drawn = self.end_leg(grip, to, reach);
            let edit = self.put(&path, fixture.at, drawn.at)?;
            return Some(Moved { edit, drawn });
        };
        let wall = self.nearest_wall(to).filter(|(_, off)| *off < LANDS);
        let wall = wall.map_or(own.as_str(), |(wall, _)| wall);
        let (from, along) = self.wall_line(wall)?;
        let station = quarter((to - from).dot(along));
        let at = from + along * station;
        let drawn = Drawn {
            at,
            says: format!("in {wall}, {} along", units::feet_inches(station, 8)),
        };
        let told_in = self.node(&path).and_then(|told| name_of(told, "in"));
        let edit = if wall == own.as_str() && told_in.is_some() {
            self.put(&path, fixture.at, at)?
        } else {
            let point = format!("(in: {wall:?}, along: {})", length_text(station));
            let landing = ["fixtures", grip.id.as_str(), "landing"];
            Edit::All(vec![
                Edit::Set { path, value: point },
                Edit::set(landing, format!("(wall: {wall:?})")),
            ])
        };
        Some(Moved { edit, drawn })
    }

    fn nearest_wall(&self, to: DVec2) -> Option<(&'h str, f64)> {
        let inside = self.layout.walls.iter().filter(|wall| !wall.on_edge);
        let off = |wall: &'h layout::Wall| (wall.id.as_str(), off_segment(to, wall.from, wall.to));
        inside.map(off).min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The start of a run drawn to the angles at its next point.
    fn end_leg(&self, grip: &Grip, to: DVec2, reach: f64) -> Drawn {
        let starts = |run: &&layout::Run| match &run.from {
            RunStart::Fixture(id) => id.as_str() == grip.id,
            RunStart::Cleanout(_) => false,
            RunStart::Point(_) => run.id.as_str() == grip.id,
        };
        let run = self.layout.runs.iter().find(starts);
        let leg = run.and_then(|run| {
            let points = self.points(run)?;
            let given = !run.via.is_empty() || explicit_end(run);
            (given && points.len() > 1).then(|| Leg {
                end: points[1],
                beyond: points.get(2).copied(),
            })
        });
        match leg {
            Some(leg) => drawn(to, &[leg], reach),
            None => free(to),
        }
    }

    /// Every plan point of a run, start to end.
    fn points(&self, run: &layout::Run) -> Option<Vec<DVec2>> {
        let line = self
            .house
            .lines
            .iter()
            .find(|line| line.id == run.id.as_str())?;
        let mut points = vec![line.points.first()?.truncate()];
        points.extend(&run.via);
        points.push(line.points.last()?.truncate());
        Some(points)
    }

    fn run(&self, id: &str) -> Option<&'h layout::Run> {
        self.layout.runs.iter().find(|run| run.id.as_str() == id)
    }

    fn bend(&self, grip: &Grip, n: usize, to: DVec2, reach: f64) -> Option<Moved> {
        let run = self.run(&grip.id)?;
        let points = self.points(run)?;
        // Where the run joins of itself, its last leg follows the bend and has no angle of its own to keep.
        let after = (n + 1 < run.via.len() || explicit_end(run)).then(|| Leg {
            end: points[n + 2],
            beyond: points.get(n + 3).copied(),
        });
        let before = Leg {
            end: points[n],
            beyond: n.checked_sub(1).map(|before| points[before]),
        };
        let legs: Vec<Leg> = [Some(before), after].into_iter().flatten().collect();
        let found = drawn(to, &legs, reach);
        let mut line = points.clone();
        line[n + 1] = found.at;
        let path: Path = vec![
            "runs".into(),
            grip.id.as_str().into(),
            "via".into(),
            n.into(),
        ];
        let mut edits = vec![self.put(&path, points[n + 1], found.at)?];
        edits.extend(self.carry(run, &line));
        Some(Moved {
            edit: Edit::All(edits),
            drawn: found,
        })
    }

    fn junction(&self, grip: &Grip, to: DVec2, reach: f64) -> Option<Moved> {
        let run = self.run(&grip.id)?;
        let RunEnd::Run { run: into, .. } = &run.to else {
            return None;
        };
        let trunk = self.points(self.run(into.as_str())?)?;
        let on = nearest_on(&trunk, to)?;
        let points = self.points(run)?;
        let [.., beyond, _] = points.as_slice() else {
            return None;
        };
        let at = made_join(&trunk, on, *beyond, reach);
        let told = vec![Step::from("runs"), grip.id.as_str().into(), "to".into()];
        let edit = match self.node(&[told.as_slice(), &["at".into()]].concat()) {
            Some(_) => self.put(
                &[told.as_slice(), &["at".into()]].concat(),
                points[points.len() - 1],
                at.at,
            )?,
            None => Edit::Set {
                path: told,
                value: format!(
                    "(run: {:?}, at: {})",
                    into.as_str(),
                    self.file.point_text(at.at)
                ),
            },
        };
        Some(Moved { edit, drawn: at })
    }

    /// An exit slides along the outside of the form; the leg that leads to it keeps its direction, and so does the leg
    /// before that one.
    fn exit(&self, grip: &Grip, to: DVec2) -> Option<Moved> {
        let slab = self.layout.slab.as_ref()?;
        let mut ring = slab.outline.clone();
        ring.extend(slab.outline.first());
        let drain = self
            .layout
            .drains
            .iter()
            .find(|one| one.id.as_str() == grip.id)?;
        let at = nearest_on(&ring, quarters(to))?;
        let path: Path = vec![
            "drains".into(),
            grip.id.as_str().into(),
            "exit".into(),
            "at".into(),
        ];
        let mut edits = vec![self.put(&path, drain.exit.at, at)?];
        let trunk = self
            .layout
            .runs
            .iter()
            .find(|run| matches!(&run.to, RunEnd::Drain(id) if id.as_str() == grip.id));
        if let Some((run, mut line)) = trunk.and_then(|run| Some((run, self.points(run)?))) {
            let last = line.len() - 1;
            let follows = (last >= 2)
                .then(|| {
                    crossing(
                        line[last - 2],
                        line[last - 1] - line[last - 2],
                        at,
                        line[last] - line[last - 1],
                    )
                })
                .flatten();
            line[last] = at;
            if let Some(bend) = follows {
                let path: Path = vec![
                    "runs".into(),
                    run.id.as_str().into(),
                    "via".into(),
                    (last - 2).into(),
                ];
                edits.push(self.put(&path, line[last - 1], fine(bend))?);
                line[last - 1] = fine(bend);
            }
            edits.extend(self.carry(run, &line));
        }
        Some(Moved {
            edit: Edit::All(edits),
            drawn: Drawn {
                at,
                says: "on the outside of the form".into(),
            },
        })
    }

    fn wall(&self, grip: &Grip, to: DVec2) -> Option<Moved> {
        let wall = self
            .layout
            .walls
            .iter()
            .find(|one| one.id.as_str() == grip.id)?;
        let across = (wall.to - wall.from).try_normalize()?.perp();
        let by = across * quarter((to - wall.from.midpoint(wall.to)).dot(across));
        let end = |name: &str, at: DVec2| {
            let path: Path = vec!["walls".into(), grip.id.as_str().into(), name.into()];
            self.put(&path, at, at + by)
        };
        let edits = vec![end("from", wall.from)?, end("to", wall.to)?];
        Some(Moved {
            edit: Edit::All(edits),
            drawn: Drawn {
                at: wall.from.midpoint(wall.to) + by,
                says: String::new(),
            },
        })
    }

    /// What must go with a run whose line becomes `line`: its increasers, and the junctions told on it. A branch keeps
    /// the direction of its last leg.
    fn carry(&self, run: &layout::Run, line: &[DVec2]) -> Vec<Edit> {
        let mut edits = Vec::new();
        for (n, (at, _)) in run.increasers.iter().enumerate() {
            let path: Path = vec![
                "runs".into(),
                run.id.as_str().into(),
                "increasers".into(),
                n.into(),
                0.into(),
            ];
            edits.extend(self.carried(&path, *at, nearest_on(line, *at)));
        }
        for branch in &self.layout.runs {
            let RunEnd::Run {
                run: into,
                at: Some(at),
            } = &branch.to
            else {
                continue;
            };
            if *into != run.id {
                continue;
            }
            let path: Path = vec![
                "runs".into(),
                branch.id.as_str().into(),
                "to".into(),
                "at".into(),
            ];
            let kept = self.points(branch).and_then(|points| {
                let [.., beyond, end] = points.as_slice() else {
                    return None;
                };
                let direction = *end - *beyond;
                line.windows(2).find_map(|leg| {
                    let at = crossing(leg[0], leg[1] - leg[0], *beyond, direction)?;
                    let on = off_segment(at, leg[0], leg[1]) < 0.01;
                    (on && (at - *beyond).dot(direction) > 0.0).then_some(at)
                })
            });
            edits.extend(self.carried(&path, *at, kept.or_else(|| nearest_on(line, *at))));
        }
        edits
    }

    fn carried(&self, path: &[Step], old: DVec2, new: Option<DVec2>) -> Option<Edit> {
        let new = new?;
        (new.distance(old) > 0.01)
            .then(|| self.put(path, old, fine(new)))
            .flatten()
    }
}

/// A junction near `on` where the branch from `beyond` meets the trunk at 45 degrees, as a wye does, or square.
fn made_join(trunk: &[DVec2], on: DVec2, beyond: DVec2, reach: f64) -> Drawn {
    let legs = trunk
        .windows(2)
        .filter_map(|leg| Some((leg[0], leg[1], (leg[1] - leg[0]).try_normalize()?)));
    let joins = legs.flat_map(|(a, b, along)| {
        [45.0_f64, -45.0].into_iter().filter_map(move |turn| {
            let branch = DVec2::from_angle(turn.to_radians()).rotate(along);
            let at = crossing(a, along, beyond, branch)?;
            (off_segment(at, a, b) < 0.01).then_some(at)
        })
    });
    let near = joins
        .filter(|at| at.distance(on) <= reach)
        .min_by(|a, b| a.distance(on).total_cmp(&b.distance(on)));
    match near {
        Some(at) => Drawn {
            at: fine(at),
            says: "joins at 45\u{b0}".into(),
        },
        None => Drawn {
            at: fine(on),
            says: String::new(),
        },
    }
}

fn explicit_end(run: &layout::Run) -> bool {
    match &run.to {
        RunEnd::Run { at, .. } => at.is_some(),
        RunEnd::Drain(_) => true,
    }
}

/// The value at a path.
pub(super) fn node_at<'n>(tree: &'n Node, path: &[Step]) -> Option<&'n Node> {
    path.iter().try_fold(tree, |node, step| match step {
        Step::Name(name) => node.entry(name).map(|entry| &entry.value),
        Step::Index(index) => node.items().get(*index),
    })
}

fn name_of<'n>(node: &'n Node, field: &str) -> Option<&'n str> {
    match &node.entry(field)?.value.kind {
        layout::node::Kind::Text(name) => Some(name),
        _ => None,
    }
}

fn length_of(node: &Node, field: &str) -> Option<f64> {
    match node.entry(field) {
        None => Some(0.0),
        Some(entry) => match &entry.value.kind {
            layout::node::Kind::Text(text) => Some(Length::parse(text).ok()?.inches()),
            _ => None,
        },
    }
}

fn quarter(inches: f64) -> f64 {
    (inches * 4.0).round() / 4.0
}

fn fine(at: DVec2) -> DVec2 {
    (at * FINE).round() / FINE
}

/// How far a place lies off a segment.
pub fn off_segment(at: DVec2, a: DVec2, b: DVec2) -> f64 {
    at.distance(on_segment(at, a, b))
}

fn on_segment(at: DVec2, a: DVec2, b: DVec2) -> DVec2 {
    let along = b - a;
    let part = (at - a).dot(along) / along.length_squared().max(1e-12);
    a + along * part.clamp(0.0, 1.0)
}

/// The nearest point of a chain of segments.
pub fn nearest_on(line: &[DVec2], to: DVec2) -> Option<DVec2> {
    line.windows(2)
        .map(|leg| on_segment(to, leg[0], leg[1]))
        .min_by(|a, b| a.distance(to).total_cmp(&b.distance(to)))
}
