//! Round tubes: chains of straight tubes with shared rings where they bend, open bores at their ends.

use bevy::math::Vec3;
use scene::Tube;

use super::soup::{Kind, Soup};
use crate::axis::Axis;

/// How round tubes are drawn.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Round {
    /// Sides of a tube.
    sides: u8,
    /// Rings stand so many radii apart at the least.
    apart: f32,
}

impl Round {
    /// Round to the eye at any size a pipe is seen in.
    pub(super) const FINE: Self = Self {
        sides: 16,
        apart: 0.0,
    };
    /// For a village of drains, of which a pipe is a few pixels wide.
    const COARSE: Self = Self {
        sides: 6,
        apart: 1.0,
    };
    /// More tubes than a few large houses have.
    const MANY: usize = 20_000;

    /// For so many tubes.
    pub(super) fn of(tubes: usize) -> Self {
        if tubes > Self::MANY {
            Self::COARSE
        } else {
            Self::FINE
        }
    }

    fn turn(self, step: u8) -> f32 {
        f32::from(step) / f32::from(self.sides) * std::f32::consts::TAU
    }
}

/// Dash and gap of a vent, inches.
const DASH: f64 = 5.0;
const GAP: f64 = 2.5;
/// Band of a soil gas pipe, inches.
const BAND: f64 = 3.0;
/// Chains longer than this are drawn without a pattern: nobody sees it from so far.
const LONGEST_PATTERN: f64 = 12.0 * 500.0;

/// How a tube's length is coloured.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) enum Pattern {
    /// One colour.
    Plain,
    /// Dashes with gaps between.
    Dashed,
    /// Bands of the second colour.
    Banded(
        /// The second colour, linear.
        [f32; 4],
    ),
}

/// A point on a pipe's axis, with the outside radius there.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Station {
    at: Vec3,
    radius: f32,
}

/// Adds the tubes of one pipe.
pub(super) fn add(
    soup: &mut Soup,
    (axis, round): (Axis, Round),
    tubes: &[Tube],
    colour: [f32; 4],
    bore: Option<[f32; 4]>,
    pattern: Pattern,
) {
    let whole: f64 = tubes.iter().map(|tube| tube.a.distance(tube.b)).sum();
    let pattern = if whole > LONGEST_PATTERN {
        Pattern::Plain
    } else {
        pattern
    };
    for chain in chains(tubes) {
        match pattern {
            Pattern::Plain => sweep(soup, round, &stations(axis, round, chain), colour, bore),
            Pattern::Dashed => {
                for part in cut(chain, DASH, GAP) {
                    sweep(soup, round, &stations(axis, round, &part), colour, None);
                }
            }
            Pattern::Banded(second) => {
                for (index, part) in cut(chain, BAND, 0.0).into_iter().enumerate() {
                    let tint = if index % 2 == 0 { colour } else { second };
                    sweep(soup, round, &stations(axis, round, &part), tint, bore);
                }
            }
        }
    }
}

/// Tubes that follow one another end to start with one radius, together.
fn chains(tubes: &[Tube]) -> impl Iterator<Item = &[Tube]> {
    tubes.chunk_by(|here, next| {
        here.b.distance_squared(next.a) < 1e-6 && (here.radius - next.radius).abs() < 1e-6
    })
}

fn stations(axis: Axis, round: Round, chain: &[Tube]) -> Vec<Station> {
    let first = chain.first().map(|tube| (tube.a, tube.radius));
    let rest = chain.iter().map(|tube| (tube.b, tube.radius));
    let mut stations: Vec<Station> = Vec::new();
    let ends = chain.len();
    for (n, (at, radius)) in first.into_iter().chain(rest).enumerate() {
        let station = Station {
            at: axis.point(at),
            radius: Axis::length(radius),
        };
        let apart = station.radius * round.apart;
        let last = stations.last().map(|last| last.at.distance(station.at));
        let far = last.is_none_or(|off| off > 1e-5 && off >= apart);
        let ends_here = n == ends && last.is_some_and(|off| off > 1e-5);
        if ends_here && !far && stations.len() > 1 {
            // The chain ends where it ends.
            stations.pop();
        }
        if far || ends_here {
            stations.push(station);
        }
    }
    stations
}

/// The chain in lengths of `keep` with `skip` left out between, each a chain of its own.
fn cut(chain: &[Tube], keep: f64, skip: f64) -> Vec<Vec<Tube>> {
    let mut parts: Vec<Vec<Tube>> = vec![Vec::new()];
    let mut left = keep;
    let mut keeping = true;
    for tube in chain {
        let length = tube.a.distance(tube.b);
        let mut from = 0.0;
        while length - from > 1e-9 {
            let step = left.min(length - from);
            let at = |along: f64| tube.a.lerp(tube.b, along / length);
            if keeping && let Some(part) = parts.last_mut() {
                part.push(Tube {
                    a: at(from),
                    b: at(from + step),
                    radius: tube.radius,
                });
            }
            from += step;
            left -= step;
            if left <= 1e-9 {
                (keeping, left) = if skip > 0.0 && keeping {
                    (false, skip)
                } else {
                    (true, keep)
                };
                if keeping {
                    parts.push(Vec::new());
                }
            }
        }
    }
    parts.retain(|part| !part.is_empty());
    parts
}

/// One skin along the stations, rings mitred at bends, discs at both ends.
fn sweep(
    soup: &mut Soup,
    round: Round,
    stations: &[Station],
    colour: [f32; 4],
    bore: Option<[f32; 4]>,
) {
    let (Some(first), Some(last)) = (stations.first(), stations.last()) else {
        return;
    };
    if stations.len() < 2 {
        return;
    }
    let mut side = any_side(stations[1].at - first.at);
    let mut rings: Vec<u32> = Vec::new();
    for (index, station) in stations.iter().enumerate() {
        let into = index
            .checked_sub(1)
            .map(|before| (station.at - stations[before].at).normalize_or_zero());
        let out = stations
            .get(index + 1)
            .map(|next| (next.at - station.at).normalize_or_zero());
        let along = (into.unwrap_or_default() + out.unwrap_or_default()).normalize_or_zero();
        let along = if along == Vec3::ZERO {
            out.or(into).unwrap_or(Vec3::Y)
        } else {
            along
        };
        side = (side - along * side.dot(along))
            .try_normalize()
            .unwrap_or_else(|| any_side(along));
        let half_turn = into
            .zip(out)
            .map_or(1.0, |(into, out)| into.dot(out).clamp(-0.5, 1.0));
        let stretch = (2.0 / (1.0 + half_turn)).sqrt();
        let bend = into
            .zip(out)
            .and_then(|(into, out)| (into - out).try_normalize());
        rings.push(ring(
            soup,
            round,
            *station,
            side,
            along,
            bend.map(|bend| (bend, stretch)),
            colour,
        ));
    }
    for pair in rings.windows(2) {
        skin(soup, round, pair[0], pair[1]);
    }
    disc(
        soup,
        round,
        *first,
        stations[1].at - first.at,
        -1.0,
        colour,
        bore,
    );
    disc(
        soup,
        round,
        *last,
        last.at - stations[stations.len() - 2].at,
        1.0,
        colour,
        bore,
    );
}

fn any_side(along: Vec3) -> Vec3 {
    along.normalize_or(Vec3::Y).any_orthonormal_vector()
}

/// Adds a ring of corners; `mitre` stretches it in the plane of a bend so that the pipe keeps its width.
fn ring(
    soup: &mut Soup,
    round: Round,
    station: Station,
    side: Vec3,
    along: Vec3,
    mitre: Option<(Vec3, f32)>,
    colour: [f32; 4],
) -> u32 {
    let other = along.cross(side);
    let mut start = 0;
    for step in 0..=round.sides {
        let turn = round.turn(step);
        let normal = side * turn.cos() + other * turn.sin();
        let mut arm = normal;
        if let Some((bend, stretch)) = mitre {
            arm += bend * (arm.dot(bend) * (stretch - 1.0));
        }
        let corner = soup.corner(
            station.at + arm * station.radius,
            normal,
            Kind::Lit,
            0.0,
            colour,
        );
        if step == 0 {
            start = corner;
        }
    }
    start
}

fn skin(soup: &mut Soup, round: Round, from: u32, to: u32) {
    for step in 0..u32::from(round.sides) {
        let (a, b, c, d) = (from + step, from + step + 1, to + step, to + step + 1);
        soup.triangle(a, b, c);
        soup.triangle(b, d, c);
    }
}

/// A pipe's end: a rim in the pipe's colour and, if it is open and fine enough to be seen, the dark of its bore.
fn disc(
    soup: &mut Soup,
    round: Round,
    station: Station,
    along: Vec3,
    way: f32,
    colour: [f32; 4],
    bore: Option<[f32; 4]>,
) {
    let out = along.normalize_or_zero() * way;
    let (side, other) = (any_side(out), out.cross(any_side(out)));
    let bore = bore.filter(|_| round == Round::FINE);
    let wall = bore.map_or(0.0, |_| 0.84);
    fan(
        soup,
        round,
        station.at,
        out,
        (side, other),
        station.radius,
        colour,
        Kind::Lit,
    );
    if let Some(bore) = bore {
        let lift = station.at + out * (station.radius * 0.02);
        fan(
            soup,
            round,
            lift,
            out,
            (side, other),
            station.radius * wall,
            bore,
            Kind::Flat,
        );
    }
}

fn fan(
    soup: &mut Soup,
    round: Round,
    at: Vec3,
    out: Vec3,
    (side, other): (Vec3, Vec3),
    radius: f32,
    colour: [f32; 4],
    kind: Kind,
) {
    let centre = soup.corner(at, out, kind, 0.0, colour);
    for step in 0..=round.sides {
        let turn = round.turn(step);
        let corner = soup.corner(
            at + (side * turn.cos() + other * turn.sin()) * radius,
            out,
            kind,
            0.0,
            colour,
        );
        if step > 0 {
            soup.triangle(centre, corner - 1, corner);
        }
    }
}

/// Adds a sleeve: two rims and four lines along it, so that the pipe inside is seen.
pub(super) fn cage(edges: &mut Soup, axis: Axis, tube: &Tube, colour: [f32; 4], width: f32) {
    let (a, b) = (axis.point(tube.a), axis.point(tube.b));
    let along = (b - a).normalize_or_zero();
    let side = any_side(along);
    let other = along.cross(side);
    let radius = Axis::length(tube.radius);
    let round = Round::FINE;
    let arm = |step: u8| {
        let turn = round.turn(step);
        (side * turn.cos() + other * turn.sin()) * radius
    };
    for step in 0..round.sides {
        for end in [a, b] {
            edges.line(end + arm(step), end + arm(step + 1), width, [colour; 2]);
        }
        if step % 5 == 0 {
            edges.line(a + arm(step), b + arm(step), width, [colour; 2]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::DVec3;

    fn tube(a: [f64; 3], b: [f64; 3]) -> Tube {
        Tube {
            a: DVec3::from(a),
            b: DVec3::from(b),
            radius: 1.75,
        }
    }

    #[test]
    fn dashes_keep_two_thirds_of_a_vent() {
        let parts = cut(&[tube([0.0; 3], [75.0, 0.0, 0.0])], DASH, GAP);
        assert_eq!(parts.len(), 10);
        let kept: f64 = parts
            .iter()
            .flatten()
            .map(|part| part.a.distance(part.b))
            .sum();
        assert!((kept - 50.0).abs() < 1e-9);
    }

    #[test]
    fn a_dash_goes_round_a_bend() {
        let bend = [
            tube([0.0; 3], [3.0, 0.0, 0.0]),
            tube([3.0, 0.0, 0.0], [3.0, 0.0, 4.0]),
        ];
        let parts = cut(&bend, DASH, GAP);
        assert_eq!(parts[0].len(), 2);
    }

    #[test]
    fn every_skin_corner_is_a_radius_from_the_axis_of_a_straight_pipe() {
        let mut soup = Soup::default();
        add(
            &mut soup,
            (Axis::default(), Round::FINE),
            &[tube([0.0; 3], [120.0, 0.0, 0.0])],
            [1.0; 4],
            None,
            Pattern::Plain,
        );
        for at in &soup.positions {
            let off = (at[1].powi(2) + at[2].powi(2)).sqrt();
            assert!(off < 1e-6 || (off - 1.75 / 12.0).abs() < 1e-5, "{off}");
        }
    }

    /// A bend of fine chords, told coarsely: fewer rings, the same two ends.
    #[test]
    fn a_coarse_bend_begins_and_ends_where_the_fine_one_does() {
        let point = |n: u8| {
            let turn = f64::from(n) / 16.0 * std::f64::consts::FRAC_PI_2;
            [4.0 * turn.sin(), 4.0 * (1.0 - turn.cos()), 0.0]
        };
        let bend: Vec<Tube> = (0..16).map(|n| tube(point(n), point(n + 1))).collect();
        let told = |round| stations(Axis::default(), round, &bend);
        let (fine, coarse) = (told(Round::FINE), told(Round::COARSE));
        assert_eq!(fine.len(), 17);
        assert!(coarse.len() > 3 && coarse.len() < 9, "{}", coarse.len());
        assert_eq!(fine.first(), coarse.first());
        assert_eq!(fine.last(), coarse.last());
        assert_eq!(Round::of(Round::MANY), Round::FINE);
        assert_eq!(Round::of(Round::MANY + 1), Round::COARSE);
    }

    #[test]
    fn a_mitred_bend_keeps_the_width_of_the_pipe() {
        let mut soup = Soup::default();
        let bend = [
            tube([0.0; 3], [24.0, 0.0, 0.0]),
            tube([24.0, 0.0, 0.0], [24.0, 24.0, 0.0]),
        ];
        add(
            &mut soup,
            (Axis::default(), Round::FINE),
            &bend,
            [1.0; 4],
            None,
            Pattern::Plain,
        );
        // The first leg runs along y = 0 with radius 1.75: no corner before the bend leaves it.
        for at in soup.positions.iter().filter(|at| at[0] < 1.8) {
            assert!(at[2].abs() < 1.75 / 12.0 + 1e-5, "{at:?}");
        }
    }

    #[test]
    fn a_tube_without_length_draws_nothing_and_does_not_panic() {
        let mut soup = Soup::default();
        for pattern in [Pattern::Plain, Pattern::Dashed, Pattern::Banded([0.0; 4])] {
            add(
                &mut soup,
                (Axis::default(), Round::FINE),
                &[tube([1.0; 3], [1.0; 3])],
                [1.0; 4],
                None,
                pattern,
            );
        }
        add(
            &mut soup,
            (Axis::default(), Round::FINE),
            &[],
            [1.0; 4],
            None,
            Pattern::Plain,
        );
        assert!(soup.is_empty());
    }
}
