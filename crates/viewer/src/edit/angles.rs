//! Draws a dragged corner to the angles that fittings turn. Plane geometry; knows no documents.

use glam::DVec2;

/// Turns that drainage fittings are made for, degrees: sixteenth, eighth, sixth and quarter bend; straight on.
const TURNS: [f64; 5] = [0.0, 22.5, 45.0, 60.0, 90.0];
/// Lengths below this have no direction worth following, inches.
const SHORT: f64 = 0.5;

/// A line through a point.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Ray {
    at: DVec2,
    along: DVec2,
    turn: f64,
}

impl Ray {
    fn nearest(&self, to: DVec2) -> DVec2 {
        self.at + self.along * (to - self.at).dot(self.along)
    }

    fn cross(&self, other: &Self) -> Option<DVec2> {
        let lean = self.along.perp_dot(other.along);
        (lean.abs() > 0.05).then(|| {
            let part = (other.at - self.at).perp_dot(other.along) / lean;
            self.at + self.along * part
        })
    }
}

/// A leg of a run beside a dragged corner: its fixed end, and the leg beyond that end if there is one.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Leg {
    /// The end that stays.
    pub end: DVec2,
    /// The point beyond it.
    pub beyond: Option<DVec2>,
}

impl Leg {
    /// Lines through the fixed end on which the turn there is one that a fitting makes. Without a leg beyond, the axes of
    /// the house and their eighths.
    fn rays(&self) -> Vec<Ray> {
        let base = self
            .beyond
            .map(|beyond| self.end - beyond)
            .filter(|leg| leg.length() > SHORT)
            .map_or(DVec2::X, DVec2::normalize);
        let turns = TURNS
            .iter()
            .flat_map(|turn| [*turn, -*turn])
            .chain(self.beyond.is_none().then_some(135.0));
        turns
            .map(|turn| Ray {
                at: self.end,
                along: DVec2::from_angle(turn.to_radians()).rotate(base),
                turn: turn.abs(),
            })
            .collect()
    }
}

/// Where a dragged point comes to lie, and what drew it there.
#[derive(Clone, PartialEq, Debug)]
pub struct Drawn {
    /// The place.
    pub at: DVec2,
    /// In words, empty when nothing drew it.
    pub says: String,
}

/// Draws `to` onto a place within `reach` inches at which the legs beside it turn as fittings do: where two such lines
/// cross, if one is near, else onto the nearest line; else it is left where it is, on whole quarters of an inch.
pub fn drawn(to: DVec2, legs: &[Leg], reach: f64) -> Drawn {
    let rays: Vec<Vec<Ray>> = legs.iter().map(Leg::rays).collect();
    let crossings = rays
        .split_first()
        .into_iter()
        .flat_map(|(first, rest)| {
            rest.iter().flatten().flat_map(move |b| {
                first.iter().filter_map(move |a| {
                    Some((
                        a.cross(b)?,
                        format!("{} and {}", turn_words(a.turn), turn_words(b.turn)),
                    ))
                })
            })
        })
        .filter(|(at, _)| corner_is_made(*at, legs));
    let lines = rays
        .iter()
        .flatten()
        .map(|ray| (ray.nearest(to), turn_words(ray.turn)));
    let near = |found: &(DVec2, String)| found.0.distance(to) <= reach;
    let nearer =
        |a: &(DVec2, String), b: &(DVec2, String)| a.0.distance(to).total_cmp(&b.0.distance(to));
    let found = crossings
        .filter(near)
        .min_by(nearer)
        .or_else(|| lines.filter(near).min_by(nearer));
    match found {
        Some((at, says)) => Drawn { at, says },
        None => Drawn {
            at: quarters(to),
            says: String::new(),
        },
    }
}

/// Whether the turn at the corner itself is one that a fitting makes.
fn corner_is_made(at: DVec2, legs: &[Leg]) -> bool {
    let [before, after] = legs else { return true };
    let (a, b) = (at - before.end, after.end - at);
    if a.length() < SHORT || b.length() < SHORT {
        return false;
    }
    let turn = a.angle_to(b).to_degrees().abs();
    TURNS.iter().any(|made| (made - turn).abs() < 0.5)
}

fn turn_words(turn: f64) -> String {
    if turn < 0.1 {
        "straight on".into()
    } else {
        format!("turns {turn}\u{b0}")
    }
}

/// On whole quarters of an inch.
pub fn quarters(at: DVec2) -> DVec2 {
    (at * 4.0).round() / 4.0
}

/// On whole sixteenths of an inch, as a tape has them.
pub fn sixteenths(at: DVec2) -> DVec2 {
    (at * 16.0).round() / 16.0
}

/// Where the line through `a` along `along` crosses the line through `b` along `other`.
pub(super) fn crossing(a: DVec2, along: DVec2, b: DVec2, other: DVec2) -> Option<DVec2> {
    let (first, second) = (along.try_normalize()?, other.try_normalize()?);
    let ray = |at, along| Ray {
        at,
        along,
        turn: 0.0,
    };
    ray(a, first).cross(&ray(b, second))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: f64, y: f64) -> DVec2 {
        DVec2::new(x, y)
    }

    #[test]
    fn a_corner_is_drawn_to_where_both_neighbours_turn_as_fittings_do() {
        // A run going west, then north: at (0, 0) the square corner.
        let legs = [
            Leg {
                end: p(100.0, 0.0),
                beyond: Some(p(200.0, 0.0)),
            },
            Leg {
                end: p(0.0, 100.0),
                beyond: Some(p(0.0, 200.0)),
            },
        ];
        let found = drawn(p(1.5, -2.0), &legs, 4.0);
        assert!(found.at.distance(p(0.0, 0.0)) < 1e-9, "{found:?}");
        assert_eq!(found.says, "straight on and straight on");
    }

    #[test]
    fn alone_near_a_line_it_slides_on_it_and_far_from_all_it_stays() {
        let legs = [Leg {
            end: p(0.0, 0.0),
            beyond: Some(p(-10.0, 0.0)),
        }];
        let on = drawn(p(50.0, 47.0), &legs, 3.0);
        assert_eq!(on.says, "turns 45\u{b0}");
        assert!((on.at.x - on.at.y).abs() < 1e-9 && (on.at.x - 48.5).abs() < 1e-9);
        let free = drawn(p(50.1, 15.3), &legs, 1.0);
        assert_eq!((free.at, free.says.as_str()), (p(50.0, 15.25), ""));
    }

    #[test]
    fn a_corner_that_no_fitting_makes_is_not_offered() {
        // Crossing lines at 60 from one and 22.5 from the other give a turn of 97.5 or 37.5 at the corner.
        let legs = [
            Leg {
                end: p(0.0, 0.0),
                beyond: Some(p(-10.0, 0.0)),
            },
            Leg {
                end: p(100.0, 0.0),
                beyond: Some(p(110.0, 0.0)),
            },
        ];
        for to in [p(50.0, 30.0), p(20.0, 33.0), p(70.0, 12.0)] {
            let found = drawn(to, &legs, 40.0);
            let (a, b) = (found.at, p(100.0, 0.0) - found.at);
            let turn = a.angle_to(b).to_degrees().abs();
            assert!(
                TURNS.iter().any(|made| (made - turn).abs() < 0.5),
                "{turn} at {found:?}"
            );
        }
    }

    #[test]
    fn lines_cross_or_are_level() {
        assert_eq!(
            crossing(p(0.0, 0.0), p(2.0, 0.0), p(5.0, 5.0), p(0.0, 1.0)),
            Some(p(5.0, 0.0))
        );
        assert_eq!(
            crossing(p(0.0, 0.0), p(1.0, 0.0), p(0.0, 5.0), p(1.0, 0.0)),
            None
        );
    }
}
