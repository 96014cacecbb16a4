//! What a vertical surface over a plan line meets. Plane geometry; knows nothing of drawing.

use glam::DVec2;
use scene::{Flow, Part, Scene, SolidKind};
use units::feet_inches;

use crate::house::{House, RunLine};

/// Lengths below this are nothing, inches.
const NOTHING: f64 = 1e-6;

/// Where the cut runs.
#[derive(Clone, PartialEq, Debug)]
pub enum CutAlong {
    /// East to west, so far north.
    North(
        /// Inches.
        f64,
    ),
    /// South to north, so far east.
    East(
        /// Inches.
        f64,
    ),
    /// Along a run and what it flows into, to the exit.
    Run(
        /// The run.
        String,
    ),
}

/// Something the cut meets. Stations are inches along the cut, levels inches from finished floor.
#[derive(Clone, PartialEq, Debug)]
pub enum Piece {
    /// A solid between two stations and two levels.
    Solid {
        /// What it is.
        kind: SolidKind,
        /// From and to, stations.
        along: (f64, f64),
        /// Bottom and top.
        levels: (f64, f64),
    },
    /// A pipe crossed.
    Crossed {
        /// Its run.
        id: String,
        /// What it carries.
        flow: Flow,
        /// Station and level of its centre.
        at: DVec2,
        /// Its outside radius.
        radius: f64,
    },
    /// The run followed: its invert from one corner to the next.
    Followed {
        /// The run.
        id: String,
        /// Station and invert of both ends.
        ends: [DVec2; 2],
        /// Its outside diameter.
        size: f64,
        /// Inches a foot.
        grade_in_per_ft: f64,
    },
}

/// A cut.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Cut {
    /// Its plan line.
    pub line: Vec<DVec2>,
    /// What it meets: solids first, then what is crossed, then what is followed.
    pub pieces: Vec<Piece>,
    /// What it is called.
    pub says: String,
}

impl Cut {
    /// Length of the cut.
    pub fn length(&self) -> f64 {
        self.line
            .windows(2)
            .map(|leg| leg[0].distance(leg[1]))
            .sum()
    }

    /// The lowest and the highest level worth showing.
    pub fn levels(&self) -> (f64, f64) {
        let levels = self.pieces.iter().flat_map(|piece| match piece {
            Piece::Solid { kind, levels, .. } if is_built(*kind) => {
                vec![levels.0, levels.1.min(8.0)]
            }
            Piece::Solid { .. } => vec![],
            Piece::Crossed { at, radius, .. } => vec![at.y - radius],
            Piece::Followed { ends, .. } => ends.iter().map(|end| end.y).collect(),
        });
        levels.fold((-12.0, 8.0), |(low, high), level| {
            (low.min(level - 3.0), high.max(level))
        })
    }
}

fn is_built(kind: SolidKind) -> bool {
    !matches!(kind, SolidKind::Ground | SolidKind::Receiver)
}

/// The trunk that most of the house hangs on: the first run that joins nothing.
pub fn trunk_path(house: &House) -> Option<CutAlong> {
    let trunk = house.lines.iter().find(|line| line.into.is_empty())?;
    Some(CutAlong::Run(trunk.id.clone()))
}

/// The cut of a house.
pub fn cut(house: &House, along: &CutAlong) -> Cut {
    match along {
        CutAlong::North(y) => straight(house, *y, false),
        CutAlong::East(x) => straight(house, *x, true),
        CutAlong::Run(id) => followed(house, id),
    }
}

fn straight(house: &House, at: f64, east: bool) -> Cut {
    let Some((low, high)) = reach(&house.scene) else {
        return Cut::default();
    };
    let line = if east {
        vec![DVec2::new(at, low.y - 24.0), DVec2::new(at, high.y + 24.0)]
    } else {
        vec![DVec2::new(low.x - 24.0, at), DVec2::new(high.x + 24.0, at)]
    };
    let side = if east {
        "east, north on the right"
    } else {
        "north, east on the right"
    };
    Cut {
        pieces: met(&house.scene, &line, &[]),
        line,
        says: format!("Cut {} {side}", feet_inches(at, 8)),
    }
}

/// The least and the greatest plan corner of what is built.
pub fn reach(scene: &Scene) -> Option<(DVec2, DVec2)> {
    let solids = scene.solids.iter().filter(|solid| is_built(solid.kind));
    let corners = solids.flat_map(|solid| &solid.outline);
    corners.fold(None, |bounds, at| match bounds {
        None => Some((*at, *at)),
        Some((low, high)) => Some((low.min(*at), high.max(*at))),
    })
}

/// The runs from one to the exit, each with the stations of its own line where the cut follows it.
fn followed(house: &House, id: &str) -> Cut {
    let mut line: Vec<DVec2> = Vec::new();
    let mut follows = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    let mut station = 0.0;
    let mut next = house.lines.iter().find(|line| line.id == id);
    let mut enters: Option<DVec2> = None;
    while let Some(run) = next {
        // Each run is met once, also in a document whose runs go round.
        if names.contains(&run.id.as_str()) {
            break;
        }
        names.push(&run.id);
        let points = from_point(run, enters);
        for leg in points.windows(2) {
            let length = leg[0].truncate().distance(leg[1].truncate());
            if length < NOTHING {
                continue;
            }
            follows.push(Piece::Followed {
                id: run.id.clone(),
                ends: [
                    DVec2::new(station, leg[0].z),
                    DVec2::new(station + length, leg[1].z),
                ],
                size: outside(
                    house,
                    &run.id,
                    leg[0].truncate().midpoint(leg[1].truncate()),
                ),
                grade_in_per_ft: run.grade_in_per_ft,
            });
            station += length;
        }
        line.extend(points.iter().map(|at| at.truncate()));
        enters = run.points.last().map(|at| at.truncate());
        next = house.lines.iter().find(|line| line.id == run.into);
    }
    line.dedup_by(|a, b| a.distance(*b) < NOTHING);
    if let [.., a, b] = line.as_slice() {
        // On through the wall and a little way into the ground outside.
        line.push(*b + (*b - *a).normalize_or_zero() * 30.0);
    }
    let mut pieces = met(&house.scene, &line, &names);
    pieces.extend(follows);
    Cut {
        line,
        pieces,
        says: format!("Along {} to the exit", names.join(", then ")),
    }
}

/// A run's corners from where a branch enters it.
fn from_point(run: &RunLine, enters: Option<DVec2>) -> Vec<glam::DVec3> {
    let Some(enters) = enters else {
        return run.points.clone();
    };
    let mut best = (f64::INFINITY, 0, 0.0);
    for (n, leg) in run.points.windows(2).enumerate() {
        let (a, b) = (leg[0].truncate(), leg[1].truncate());
        let along = b - a;
        let part = ((enters - a).dot(along) / along.length_squared().max(1e-12)).clamp(0.0, 1.0);
        let off = enters.distance(a + along * part);
        if off < best.0 - NOTHING {
            best = (off, n, part);
        }
    }
    let Some(leg) = run.points.get(best.1..best.1 + 2) else {
        return run.points.clone();
    };
    let mut points = vec![leg[0].lerp(leg[1], best.2)];
    points.extend(&run.points[best.1 + 1..]);
    points
}

/// Outside diameter of a run near a plan point.
fn outside(house: &House, id: &str, at: DVec2) -> f64 {
    let pipes = house
        .scene
        .pipes
        .iter()
        .filter(|pipe| pipe.id.as_str() == id && pipe.part == Part::Pipe);
    let tubes = pipes.flat_map(|pipe| &pipe.tubes);
    let off = |tube: &&scene::Tube| tube.a.truncate().midpoint(tube.b.truncate()).distance(at);
    tubes
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .map_or(2.0, |tube| tube.radius * 2.0)
}

/// Solids and crossed pipes over a plan line; pipes of the runs in `but` are left out.
fn met(scene: &Scene, line: &[DVec2], but: &[&str]) -> Vec<Piece> {
    let (mut solids, mut crossed) = (Vec::new(), Vec::new());
    let mut station = 0.0;
    for leg in line.windows(2) {
        let (a, b) = (leg[0], leg[1]);
        let length = a.distance(b);
        if length < NOTHING {
            continue;
        }
        for solid in &scene.solids {
            for (from, to) in inside(&solid.outline, &solid.holes, a, b) {
                solids.push(Piece::Solid {
                    kind: solid.kind,
                    along: (station + from * length, station + to * length),
                    levels: (solid.bottom, solid.top),
                });
            }
        }
        let pipes = scene
            .pipes
            .iter()
            .filter(|pipe| !but.contains(&pipe.id.as_str()) && pipe.part != Part::Sleeve);
        for pipe in pipes {
            for tube in &pipe.tubes {
                let (p, q) = (tube.a.truncate(), tube.b.truncate());
                if let Some((along, part)) = cross(a, b, p, q) {
                    let z = tube.a.z + (tube.b.z - tube.a.z) * part;
                    crossed.push(Piece::Crossed {
                        id: pipe.id.to_string(),
                        flow: pipe.flow,
                        at: DVec2::new(station + along * length, z),
                        radius: tube.radius,
                    });
                }
            }
        }
        station += length;
    }
    solids.extend(crossed);
    solids
}

/// Where the segment `ab` crosses `pq`: parts of both.
fn cross(a: DVec2, b: DVec2, p: DVec2, q: DVec2) -> Option<(f64, f64)> {
    let (along, other) = (b - a, q - p);
    let lean = along.perp_dot(other);
    if lean.abs() < NOTHING {
        return None;
    }
    let part = (p - a).perp_dot(other) / lean;
    let of_other = (p - a).perp_dot(along) / lean;
    let whole = 0.0..=1.0;
    (whole.contains(&part) && whole.contains(&of_other)).then_some((part, of_other))
}

/// The parts of the segment `ab` inside an outline with holes.
fn inside(outline: &[DVec2], holes: &[Vec<DVec2>], a: DVec2, b: DVec2) -> Vec<(f64, f64)> {
    let edges = |ring: &[DVec2]| -> Vec<(DVec2, DVec2)> {
        (0..ring.len())
            .map(|n| (ring[n], ring[(n + 1) % ring.len()]))
            .collect()
    };
    let rings = std::iter::once(outline).chain(holes.iter().map(Vec::as_slice));
    let all: Vec<(DVec2, DVec2)> = rings.flat_map(edges).collect();
    let mut parts: Vec<f64> = all
        .iter()
        .filter_map(|(p, q)| cross(a, b, *p, *q).map(|(part, _)| part))
        .chain([0.0, 1.0])
        .collect();
    parts.sort_by(f64::total_cmp);
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for pair in parts.windows(2) {
        let middle = a.lerp(b, f64::midpoint(pair[0], pair[1]));
        if pair[1] - pair[0] < 1e-9 || !holds(&all, middle) {
            continue;
        }
        match spans.last_mut() {
            Some(last) if (last.1 - pair[0]).abs() < 1e-9 => last.1 = pair[1],
            _ => spans.push((pair[0], pair[1])),
        }
    }
    spans
}

/// Even-odd: whether a point is inside rings.
fn holds(edges: &[(DVec2, DVec2)], at: DVec2) -> bool {
    let crossings = edges.iter().filter(|(p, q)| {
        (p.y > at.y) != (q.y > at.y) && at.x < p.x + (at.y - p.y) / (q.y - p.y) * (q.x - p.x)
    });
    crossings.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::DVec3;
    use scene::{PipeBody, Solid, Tube};
    use units::Size;

    fn square(kind: SolidKind, side: f64, bottom: f64, top: f64, hole: Option<f64>) -> Solid {
        let ring = |r: f64| {
            let corners = [(-r, -r), (r, -r), (r, r), (-r, r)];
            corners
                .map(|(x, y)| DVec2::new(x + 100.0, y + 100.0))
                .to_vec()
        };
        Solid {
            id: "s".into(),
            kind,
            outline: ring(side),
            holes: hole.map(ring).into_iter().collect(),
            bottom,
            top,
        }
    }

    fn house() -> House {
        let pipe = |id: &str, a: DVec3, b: DVec3| PipeBody {
            id: id.into(),
            part: Part::Pipe,
            flow: Flow::Drain,
            size: Size::In2,
            tubes: vec![Tube { a, b, radius: 1.2 }],
            joined: vec![],
        };
        let line = |id: &str, into: &str, points: &[(f64, f64, f64)]| RunLine {
            id: id.into(),
            drain: "d".into(),
            into: into.into(),
            points: points
                .iter()
                .map(|(x, y, z)| DVec3::new(*x, *y, *z))
                .collect(),
            size: "2".into(),
            grade_in_per_ft: 0.25,
        };
        House {
            scene: Scene {
                solids: vec![
                    square(SolidKind::Concrete, 100.0, -4.0, 0.0, None),
                    square(SolidKind::StemWall, 100.0, -32.0, 0.0, Some(92.0)),
                ],
                pipes: vec![
                    pipe(
                        "trunk",
                        DVec3::new(50.0, 20.0, -12.0),
                        DVec3::new(50.0, 200.0, -16.0),
                    ),
                    pipe(
                        "arm",
                        DVec3::new(20.0, 100.0, -10.0),
                        DVec3::new(50.0, 100.0, -11.0),
                    ),
                ],
                marks: vec![],
            },
            lines: vec![
                line("trunk", "", &[(50.0, 20.0, -12.0), (50.0, 200.0, -16.0)]),
                line(
                    "arm",
                    "trunk",
                    &[(20.0, 100.0, -10.0), (50.0, 100.0, -11.0)],
                ),
            ],
            ..House::default()
        }
    }

    #[test]
    fn a_straight_cut_meets_slab_both_walls_and_a_pipe() {
        let cut = cut(&house(), &CutAlong::North(60.0));
        let along = |kind: SolidKind| -> Vec<(f64, f64)> {
            let of = cut.pieces.iter().filter_map(|piece| match piece {
                Piece::Solid {
                    kind: of, along, ..
                } if *of == kind => Some(*along),
                _ => None,
            });
            of.map(|(a, b)| (a.round(), b.round())).collect()
        };
        assert_eq!(along(SolidKind::Concrete), [(24.0, 224.0)]);
        assert_eq!(along(SolidKind::StemWall), [(24.0, 32.0), (216.0, 224.0)]);
        // The trunk at 40 of its 180 in: 4 in of fall over its length.
        let crossed = cut.pieces.iter().find_map(|piece| match piece {
            Piece::Crossed { id, at, .. } => Some((id.as_str(), *at)),
            _ => None,
        });
        let (id, at) = crossed.unwrap();
        assert_eq!(id, "trunk");
        assert!(
            at.distance(DVec2::new(74.0, -12.0 - 4.0 * 40.0 / 180.0)) < 1e-9,
            "{at}"
        );
    }

    #[test]
    fn a_run_is_followed_into_the_trunk_to_the_exit() {
        let cut = cut(&house(), &CutAlong::Run("arm".into()));
        let ends: Vec<(&str, DVec2, DVec2)> = cut
            .pieces
            .iter()
            .filter_map(|piece| match piece {
                Piece::Followed { id, ends, .. } => Some((id.as_str(), ends[0], ends[1])),
                _ => None,
            })
            .collect();
        assert_eq!(ends.len(), 2);
        assert_eq!((ends[0].0, ends[0].2), ("arm", DVec2::new(30.0, -11.0)));
        assert_eq!(ends[1].0, "trunk");
        assert!((ends[1].1.x - 30.0).abs() < 1e-9 && (ends[1].2.x - 130.0).abs() < 1e-9);
        assert!((ends[1].1.y - (-12.0 - 4.0 * 80.0 / 180.0)).abs() < 1e-9);
        assert_eq!(cut.says, "Along arm, then trunk to the exit");
        // On through the wall.
        assert!((cut.length() - 160.0).abs() < 1e-6);
        assert_eq!(trunk_path(&house()), Some(CutAlong::Run("trunk".into())));
    }

    #[test]
    fn an_empty_house_and_an_unknown_run_cut_nothing() {
        assert_eq!(
            cut(&House::default(), &CutAlong::North(3.0)),
            Cut::default()
        );
        assert!(
            cut(&house(), &CutAlong::Run("nobody".into()))
                .pieces
                .is_empty()
        );
    }
}
