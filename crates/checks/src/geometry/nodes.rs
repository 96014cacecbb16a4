//! Where bodies are joined, and how far from there they may touch.
//!
//! Bodies that share a joint must touch there; farther off they must not. Which bodies share one is told by the graph of
//! joints (`Body::joined`), never by how near they happen to be:
//!
//! - A fitting and what is glued into it are one: never compared.
//! - Two bodies glued into the same fitting are compared outside the fitting and one hub beyond it.
//! - Two pipes joined to each other meet where their axes come nearest. They are compared outside a ball of both hubs'
//!   diameters about that place: axes that part by 29 degrees or more (`2 asin(1/4)`) are clear of each other's hubs
//!   there, and no drainage fitting joins at less than 45.
//! - Two bodies joined to one and the same third share a node when their joints on it are no farther apart than their
//!   hubs reach (two branches of a double wye; a bend's hub beside a wye's). They are compared outside that node.
//!   Joints farther apart on the same pipe are two nodes, and everything is compared.

use catalog::Catalog;
use glam::DVec3;
use scene::{Part, PipeBody, Tube};
use units::SAME_LENGTH;

use super::tube_tube::nearest_on_axes;

/// A ball in which two bodies may touch.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Ball {
    /// Its middle.
    pub centre: DVec3,
    /// Its radius; infinite for a fitting and what is glued into it.
    pub radius: f64,
}

/// The joints of a list of bodies.
#[derive(Clone, Debug)]
pub struct Nodes {
    /// Per body, whether it is a fitting.
    fitting: Vec<bool>,
    reach: Vec<f64>,
    /// The bodies that each body is joined to, and where; those of one body stand together.
    joints: Vec<(usize, DVec3)>,
    /// Where each body's joints begin among them, and where the last's end.
    begin: Vec<usize>,
}

impl Nodes {
    /// The joints of `bodies`; indices out of the list are passed over.
    pub fn new(bodies: &[PipeBody], catalog: &Catalog) -> Self {
        let middles: Vec<DVec3> = bodies.iter().map(middle).collect();
        let reach = bodies.iter().zip(&middles);
        let reach = reach.map(|(body, middle)| reach_of(body, *middle, catalog));
        let mut joints = Vec::new();
        let mut begin = Vec::with_capacity(bodies.len() + 1);
        for (a, body) in bodies.iter().enumerate() {
            begin.push(joints.len());
            let others = body.joined.iter().copied();
            let others = others.filter(|b| *b < bodies.len() && *b != a);
            joints.extend(others.map(|b| (b, joint(bodies, &middles, (a, b)))));
        }
        begin.push(joints.len());
        let fitting = bodies.iter().map(|body| body.part == Part::Fitting);
        Self {
            fitting: fitting.collect(),
            reach: reach.collect(),
            joints,
            begin,
        }
    }

    fn of(&self, body: usize) -> &[(usize, DVec3)] {
        &self.joints[self.begin[body]..self.begin[body + 1]]
    }

    /// Whether one of the two is a fitting and the other is glued into it: they are never compared.
    pub fn one(&self, a: usize, b: usize) -> bool {
        let (few, other) = if self.of(a).len() <= self.of(b).len() {
            (a, b)
        } else {
            (b, a)
        };
        (self.fitting[a] || self.fitting[b]) && self.joint(few, other).is_some()
    }

    /// The balls in which bodies `a` and `b` may touch; empty for two that share no node.
    pub fn shared(&self, a: usize, b: usize) -> Vec<Ball> {
        let direct = self.joint(a, b).map(|at| self.direct(a, b, at));
        let through = self.of(a).iter().filter_map(|(c, p)| {
            let q = self.joint(b, *c)?;
            self.through(a, b, *c, *p, q)
        });
        direct.into_iter().chain(through).collect()
    }

    /// Where a body is joined to another. A body has a handful of joints: a list beats a map.
    fn joint(&self, body: usize, other: usize) -> Option<DVec3> {
        let mut joints = self.of(body).iter();
        joints.find(|(b, _)| *b == other).map(|(_, at)| *at)
    }

    fn direct(&self, a: usize, b: usize, centre: DVec3) -> Ball {
        let radius = if self.fitting[a] || self.fitting[b] {
            f64::INFINITY
        } else {
            self.reach[a] + self.reach[b]
        };
        Ball { centre, radius }
    }

    fn through(&self, a: usize, b: usize, c: usize, p: DVec3, q: DVec3) -> Option<Ball> {
        if self.fitting[c] {
            let hub = self.reach[a].max(self.reach[b]);
            return Some(Ball {
                centre: p,
                radius: self.reach[c] + hub,
            });
        }
        let (apart, hubs) = (p.distance(q), self.reach[a] + self.reach[b]);
        (apart <= hubs).then(|| Ball {
            centre: p.midpoint(q),
            radius: hubs + apart / 2.0,
        })
    }
}

/// How far a body's own hub reaches from a joint: a hub's diameter, or the whole of a fitting from its middle.
fn reach_of(body: &PipeBody, centre: DVec3, catalog: &Catalog) -> f64 {
    match body.part {
        Part::Fitting => {
            let far =
                |tube: &Tube| tube.a.distance(centre).max(tube.b.distance(centre)) + tube.radius;
            body.tubes.iter().map(far).fold(0.0, f64::max)
        }
        Part::Pipe | Part::Riser | Part::Trap | Part::Sleeve | Part::Cleanout => {
            catalog.pipe(body.size).hub_od.value
        }
    }
}

fn joint(bodies: &[PipeBody], middles: &[DVec3], (a, b): (usize, usize)) -> DVec3 {
    match (bodies[a].part, bodies[b].part) {
        (Part::Fitting, _) => middles[a],
        (_, Part::Fitting) => middles[b],
        (Part::Pipe | Part::Riser | Part::Trap | Part::Sleeve | Part::Cleanout, _) => {
            meeting(&bodies[a], &bodies[b])
        }
    }
}

/// Where the axes of two bodies come nearest.
fn meeting(a: &PipeBody, b: &PipeBody) -> DVec3 {
    let pairs = a
        .tubes
        .iter()
        .flat_map(|s| b.tubes.iter().map(move |t| (s, t)));
    let nearest = pairs.map(|(s, t)| nearest_on_axes((s.a, s.b), (t.a, t.b)));
    let best = nearest.min_by(|x, y| x[0].distance(x[1]).total_cmp(&y[0].distance(y[1])));
    best.map_or(DVec3::ZERO, |ends| ends[0].midpoint(ends[1]))
}

fn middle(body: &PipeBody) -> DVec3 {
    let (lo, hi) = body
        .tubes
        .iter()
        .flat_map(|tube| [tube.a, tube.b])
        .fold((DVec3::INFINITY, DVec3::NEG_INFINITY), |(lo, hi), p| {
            (lo.min(p), hi.max(p))
        });
    lo.midpoint(hi)
}

/// The stretches of a tube outside every ball, in order along it.
pub fn outside(tube: &Tube, balls: &[Ball]) -> Vec<Tube> {
    let mut kept = vec![(0.0, 1.0)];
    for (from, to) in balls.iter().filter_map(|ball| inside(tube, ball)) {
        let parts = kept
            .into_iter()
            .flat_map(|(a, b): (f64, f64)| [(a, b.min(from)), (a.max(to), b)]);
        kept = parts.filter(|(a, b)| a < b).collect();
    }
    let at = |t: f64| tube.a.lerp(tube.b, t);
    kept.into_iter()
        .map(|(from, to)| Tube {
            a: at(from),
            b: at(to),
            radius: tube.radius,
        })
        .collect()
}

/// The fractions of a tube's axis between which it is inside a ball.
fn inside(tube: &Tube, ball: &Ball) -> Option<(f64, f64)> {
    if ball.radius.is_infinite() {
        return Some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let (run, from) = (tube.b - tube.a, tube.a - ball.centre);
    let length = run.length();
    if length < SAME_LENGTH {
        return (from.length() < ball.radius).then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let middle = -from.dot(run) / length;
    let off = from.length_squared() - middle * middle;
    let half = ball.radius * ball.radius - off;
    (half > 0.0).then(|| {
        (
            (middle - half.sqrt()) / length,
            (middle + half.sqrt()) / length,
        )
    })
}

#[cfg(test)]
mod tests {
    use catalog::BenchSheet;
    use scene::Flow;
    use units::{Id, Size};

    use super::*;

    fn pipe(a: [f64; 3], b: [f64; 3], joined: &[usize]) -> PipeBody {
        PipeBody {
            id: Id::from("pipe"),
            part: Part::Pipe,
            flow: Flow::Drain,
            size: Size::In3,
            tubes: vec![Tube {
                a: a.into(),
                b: b.into(),
                radius: 1.75,
            }],
            joined: joined.to_vec(),
        }
    }

    fn catalog() -> Catalog {
        catalog::catalog(&BenchSheet::default()).0
    }

    fn trunk(joined: &[usize]) -> PipeBody {
        pipe([0.0, 0.0, -12.0], [0.0, 200.0, -16.0], joined)
    }

    #[test]
    fn a_branch_touches_its_trunk_only_at_the_joint() {
        let wye = pipe([50.0, 50.0, -13.0], [0.0, 100.0, -14.0], &[0]);
        let bodies = [trunk(&[1]), wye];
        let nodes = Nodes::new(&bodies, &catalog());
        let balls = nodes.shared(0, 1);
        assert_eq!(balls.len(), 1);
        assert!(balls[0].centre.distance(DVec3::new(0.0, 100.0, -14.0)) < 0.1);
        let rest = outside(&bodies[1].tubes[0], &balls);
        assert_eq!(rest.len(), 1);
        let trunk = outside(&bodies[0].tubes[0], &balls);
        let gaps = trunk
            .iter()
            .map(|t| crate::geometry::tube_to_tube(t, &rest[0]).unwrap().inches);
        let least = gaps.fold(f64::INFINITY, f64::min);
        assert!(least > 0.0, "a wye's own arms do not clash: {least}");
    }

    #[test]
    fn two_branches_share_a_node_only_where_they_join_together() {
        let near = pipe([50.0, 55.0, -13.0], [0.0, 105.0, -14.0], &[0]);
        let there = pipe([-50.0, 50.0, -13.0], [0.0, 100.0, -14.0], &[0]);
        let far = pipe([50.0, 20.0, -13.0], [0.0, 70.0, -14.0], &[0]);
        let bodies = [trunk(&[1, 2, 3]), near, there, far];
        let nodes = Nodes::new(&bodies, &catalog());
        assert_eq!(nodes.shared(1, 2).len(), 1);
        assert!(nodes.shared(1, 3).is_empty() && nodes.shared(2, 3).is_empty());
        assert!(nodes.shared(1, 1).len() <= 1);
    }

    #[test]
    fn a_fitting_is_one_with_what_is_glued_into_it() {
        let wye = pipe([50.0, 50.0, -13.0], [0.0, 100.0, -14.0], &[0, 2]);
        let mut hub = pipe([0.0, 96.0, -14.0], [0.0, 104.0, -14.0], &[0, 1]);
        hub.part = Part::Fitting;
        let bodies = [trunk(&[1, 2]), wye, hub];
        let nodes = Nodes::new(&bodies, &catalog());
        assert!(
            nodes
                .shared(0, 2)
                .iter()
                .any(|ball| ball.radius.is_infinite())
        );
        assert!(outside(&bodies[2].tubes[0], &nodes.shared(0, 2)).is_empty());
        assert_eq!(nodes.shared(0, 1).len(), 2);
    }

    #[test]
    fn what_is_left_of_a_tube_outside_a_ball() {
        let tube = Tube {
            a: DVec3::ZERO,
            b: DVec3::X * 100.0,
            radius: 1.0,
        };
        let ball = Ball {
            centre: DVec3::X * 50.0,
            radius: 10.0,
        };
        let rest = outside(&tube, &[ball]);
        let ends: Vec<(f64, f64)> = rest.iter().map(|t| (t.a.x, t.b.x)).collect();
        assert_eq!(ends, [(0.0, 40.0), (60.0, 100.0)]);
        assert_eq!(outside(&tube, &[]), [tube]);
        let off = Ball {
            centre: DVec3::new(50.0, 11.0, 0.0),
            radius: 10.0,
        };
        assert_eq!(outside(&tube, &[off]), [tube]);
    }
}
