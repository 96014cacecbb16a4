//! Where a new fixture's drain joins a run so that a wye can be made of it: under 45 degrees, clear of the run's bends and of
//! what joins it already; by one more bend where the straight way would not be. Plane geometry over the house's lines.

use glam::DVec2;
use layout::node::Kind;
use layout::{Edit, File, Step};

use super::angles::sixteenths;
use super::moves::{nearest_on, node_at};
use super::place::nearest_run;
use crate::house::{House, RunLine};

/// A joint is kept so far from a bend of the run and from the next joint, inches: two fittings of 3 in with pipe between, and what
/// a rolled wye moves along the run. Our choice, tight where there is no way with more room; what cannot be made is found by
/// the check.
const CLEAR: [f64; 2] = [24.0, 14.0];
/// Least length of a leg before the bend, inches: a trap under the slab takes the first 8. Our choice.
const LEG: f64 = 18.0;
/// A bend more is worth so much pipe, inches. Our choice.
const BEND: f64 = 24.0;
/// A fixture nearer to a run's line than this stands on it, inches. Our choice.
const ON_IT: f64 = 1.0;

/// How a drain comes to a run.
#[derive(Clone, PartialEq, Debug)]
pub struct Branch {
    /// The run, or the drain where there is no run yet.
    pub to: String,
    /// The bend on the way and the joint, where the straight way to the run is none a wye could take.
    pub bend: Option<(DVec2, DVec2)>,
}

impl Branch {
    /// The run's value in the layout.
    pub fn told(&self, from: &str, file: &File) -> String {
        let to = &self.to;
        self.bend.map_or_else(
            || format!("(from: {from:?}, to: {to:?})"),
            |(via, at)| {
                let [via, at] = [via, at].map(|place| file.point_text(sixteenths(place)));
                format!("(from: {from:?}, via: [{via}], to: (run: {to:?}, at: {at}))")
            },
        )
    }
}

/// The branches of several places, in the order of their distance from the runs; each leaves room for those before it.
/// `None` where there is neither a run nor a drain.
pub fn branches(house: &House, places: &[DVec2]) -> Option<Vec<Branch>> {
    let layout = &house.layout;
    let feet = layout
        .fixtures
        .iter()
        .filter_map(|fixture| match fixture.vent {
            layout::Vent::TakeOff { take_off, .. } => Some(take_off),
            _ => None,
        });
    let cleanouts = layout.cleanouts.iter().map(|cleanout| cleanout.at);
    let joints = house.lines.iter().filter_map(joint);
    let mut taken: Vec<DVec2> = joints.chain(feet).chain(cleanouts).collect();
    let off = |n: &usize| {
        let lines = house
            .lines
            .iter()
            .filter_map(|line| nearest_on(&line.plan(), places[*n]));
        lines
            .map(|on| on.distance(places[*n]))
            .fold(f64::INFINITY, f64::min)
    };
    let mut order: Vec<usize> = (0..places.len()).collect();
    order.sort_by(|a, b| off(a).total_cmp(&off(b)));
    let mut found: Vec<Option<Branch>> = vec![None; places.len()];
    for n in order {
        let best = |clear: f64| {
            let lines = house.lines.iter();
            let ways = lines.filter_map(|line| Some((line, way(line, places[n], clear, &taken)?)));
            ways.min_by(|a, b| a.1.length.total_cmp(&b.1.length))
        };
        found[n] = match CLEAR.into_iter().find_map(best) {
            Some((line, way)) => {
                taken.push(way.joint);
                Some(Branch {
                    to: line.id.clone(),
                    bend: way.via.map(|via| (via, way.joint)),
                })
            }
            None => Some(Branch {
                to: nearest_run(house, places[n])?,
                bend: None,
            }),
        };
    }
    found.into_iter().collect()
}

/// Where a line joins another.
fn joint(line: &RunLine) -> Option<DVec2> {
    let last = line.points.last()?;
    (!line.into.is_empty()).then(|| last.truncate())
}

/// A way to a run.
#[derive(Clone, Copy, Debug)]
struct Way {
    via: Option<DVec2>,
    joint: DVec2,
    /// Inches of pipe, and what its bend is worth.
    length: f64,
}

/// The shortest way to a run that a wye can take, `clear` of bends and of joints that are there.
fn way(line: &RunLine, from: DVec2, clear: f64, taken: &[DVec2]) -> Option<Way> {
    let taken = &Taken {
        clear,
        joints: taken,
    };
    let corners = line.plan();
    let legs = || corners.windows(2).map(|leg| Leg::new(leg[0], leg[1], from));
    // Untold, a branch goes straight to the leg whose line it is nearest to, of those it meets under 45 degrees.
    let straight = legs()
        .filter(Leg::meets)
        .min_by(|a, b| a.off.total_cmp(&b.off));
    let straight = straight.and_then(|leg| leg.straight(taken));
    let bent = legs().flat_map(|leg| [leg.along_first(taken), leg.across_first(taken)]);
    let ways = straight.into_iter().chain(bent.flatten());
    ways.min_by(|a, b| a.length.total_cmp(&b.length))
}

/// What a new joint must keep clear of.
struct Taken<'a> {
    clear: f64,
    joints: &'a [DVec2],
}

/// A leg of a run as seen from a place beside it.
struct Leg {
    start: DVec2,
    flow: DVec2,
    length: f64,
    /// Of the place, down the leg from its start.
    along: f64,
    /// Of the place, off the leg.
    off: f64,
    /// Toward the place.
    side: DVec2,
}

impl Leg {
    fn new(start: DVec2, end: DVec2, from: DVec2) -> Self {
        let flow = (end - start).normalize_or_zero();
        let along = (from - start).dot(flow);
        let aside = from - start - flow * along;
        Self {
            start,
            flow,
            length: start.distance(end),
            along,
            off: aside.length(),
            side: aside.normalize_or_zero(),
        }
    }

    /// Where the straight way under 45 degrees meets it.
    fn met(&self) -> f64 {
        self.along + self.off
    }

    fn meets(&self) -> bool {
        (0.0..=self.length).contains(&self.met()) && self.off > ON_IT
    }

    fn at(&self, along: f64, off: f64) -> DVec2 {
        self.start + self.flow * along + self.side * off
    }

    /// Whether a joint there has room.
    fn is_free(&self, along: f64, taken: &Taken) -> bool {
        let Taken { clear, joints } = taken;
        let off_bends = along >= *clear && along <= self.length - clear;
        let at = self.at(along, 0.0);
        off_bends && joints.iter().all(|other| other.distance(at) >= *clear)
    }

    fn straight(&self, taken: &Taken) -> Option<Way> {
        self.is_free(self.met(), taken).then(|| Way {
            via: None,
            joint: self.at(self.met(), 0.0),
            length: self.off * std::f64::consts::SQRT_2,
        })
    }

    /// Beside the run as it flows, then in.
    fn along_first(&self, taken: &Taken) -> Option<Way> {
        let mut joint = (self.met() + LEG).max(taken.clear);
        while joint <= self.length && !self.is_free(joint, taken) {
            joint += 1.0;
        }
        (self.off > LEG && self.is_free(joint, taken)).then(|| Way {
            via: Some(self.at(joint - self.off, self.off)),
            joint: self.at(joint, 0.0),
            length: BEND + joint - self.met() + self.off * std::f64::consts::SQRT_2,
        })
    }

    /// Square to the run, then in.
    fn across_first(&self, taken: &Taken) -> Option<Way> {
        let mut joint = (self.met() - LEG).min(self.length - taken.clear);
        while joint >= 0.0 && !self.is_free(joint, taken) {
            joint -= 1.0;
        }
        let in_by = joint - self.along;
        (in_by >= LEG && self.is_free(joint, taken)).then(|| Way {
            via: Some(self.at(self.along, in_by)),
            joint: self.at(joint, 0.0),
            length: BEND + self.off - in_by + in_by * std::f64::consts::SQRT_2,
        })
    }
}

/// One figure of a joint, typed: the joint slides along the run it lies on until it has that figure, and so has the other one.
/// `None` for any other change, and where the run has no such place.
pub fn along_its_run(house: &House, edit: &Edit) -> Option<Edit> {
    let Edit::Set { path, value } = edit else {
        return None;
    };
    let [
        Step::Name(section),
        Step::Name(run),
        Step::Name(to),
        Step::Name(at),
        Step::Index(axis),
    ] = path.as_slice()
    else {
        return None;
    };
    if (section.as_str(), to.as_str(), at.as_str()) != ("runs", "to", "at") || *axis > 1 {
        return None;
    }
    let file = layout::read(&house.text, "").file?;
    let tree = layout::parse(&house.text, "").ok()?;
    let inches = |text: &str| Some(units::Length::parse(text.trim_matches('"')).ok()?.inches());
    let told = match &node_at(&tree, path)?.kind {
        Kind::Text(text) => inches(text)?,
        _ => return None,
    };
    let line = house.lines.iter().find(|line| line.id == *run)?;
    let now = line.points.last()?.truncate();
    let into = house.lines.iter().find(|other| other.id == line.into)?;
    // Figures in the file may count from another zero than the house's.
    let wanted = now[*axis] + inches(value)? - told;
    let corners = into.plan();
    let places = corners.windows(2).filter_map(|leg| {
        let (from, to) = (leg[0][*axis], leg[1][*axis]);
        let part = (wanted - from) / (to - from);
        (0.0..=1.0)
            .contains(&part)
            .then(|| leg[0].lerp(leg[1], part))
    });
    let place = places.min_by(|a, b| a.distance(now).total_cmp(&b.distance(now)))?;
    let (_, path) = path.split_last()?;
    Some(Edit::Set {
        path: path.to_vec(),
        value: file.point_text(place),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::DVec3;

    /// From the upper right under 45 degrees to a bend, then 8 ft south.
    fn house() -> House {
        let line = |id: &str, into: &str, points: &[(f64, f64)]| RunLine {
            id: id.into(),
            drain: "out".into(),
            into: into.into(),
            points: points
                .iter()
                .map(|(x, y)| DVec3::new(*x, *y, -12.0))
                .collect(),
            size: "3".into(),
            grade_in_per_ft: 0.25,
        };
        House {
            lines: vec![
                line("trunk", "", &[(480.0, 264.0), (312.0, 96.0), (312.0, 0.0)]),
                line("closet drain", "trunk", &[(420.0, 100.0), (400.0, 184.0)]),
            ],
            ..House::default()
        }
    }

    fn branch(at: (f64, f64)) -> Branch {
        branches(&house(), &[DVec2::new(at.0, at.1)])
            .unwrap()
            .remove(0)
    }

    /// The turn at the bend and the angle at the joint, degrees.
    fn angles(from: (f64, f64), branch: &Branch, flow: DVec2) -> (f64, f64) {
        let (via, joint) = branch.bend.unwrap();
        let first = via - DVec2::new(from.0, from.1);
        let last = joint - via;
        (
            first.angle_to(last).to_degrees().abs(),
            last.angle_to(flow).to_degrees().abs(),
        )
    }

    #[test]
    fn one_that_can_go_straight_does() {
        // 60 in west of the lower leg at 90 north: it would meet at 30 north, 66 down the leg.
        let found = branch((252.0, 90.0));
        assert_eq!(
            found,
            Branch {
                to: "trunk".into(),
                bend: None
            }
        );
    }

    #[test]
    fn one_too_far_off_for_a_straight_wye_bends_first() {
        let from = (156.0, 144.0);
        let found = branch(from);
        let (turn, into) = angles(from, &found, DVec2::NEG_Y);
        assert!(
            (turn - 45.0).abs() < 1e-6 && (into - 45.0).abs() < 1e-6,
            "{found:?}"
        );
        let (_, joint) = found.bend.unwrap();
        assert!(
            joint.x == 312.0 && (CLEAR[0]..=96.0 - CLEAR[0]).contains(&joint.y),
            "{joint}"
        );
    }

    #[test]
    fn joints_keep_clear_of_one_another_and_of_bends() {
        let places = [(252.0, 90.0), (252.0, 88.0)].map(|(x, y)| DVec2::new(x, y));
        let found = branches(&house(), &places).unwrap();
        // The first goes straight in, at 30 north; the second must leave it room.
        assert_eq!(found[0].bend, None);
        let (_, joint) = found[1].bend.unwrap();
        assert!((joint.y - 30.0).abs() >= CLEAR[0] - 1e-9, "{joint}");
        let text = found[1].told("basin", &layout::read("()", "").file.unwrap());
        assert!(text.starts_with("(from: \"basin\""), "{text}");
    }

    #[test]
    fn without_a_run_it_goes_to_the_drain_and_without_both_nowhere() {
        assert_eq!(branches(&House::default(), &[DVec2::ZERO]), None);
        let text = r#"(drains: {"out": (exit: (at: ("10'", "0")))})"#;
        let house = House {
            layout: layout::resolve(&layout::read(text, "").file.unwrap()).0,
            ..House::default()
        };
        let found = branches(&house, &[DVec2::ZERO]).unwrap();
        assert_eq!((found[0].to.as_str(), found[0].bend), ("out", None));
    }
}
