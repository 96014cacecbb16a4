//! How to tell a helper where a point is: two tapes from two fixed points that cross well, a third to check, and a
//! string with an offset.

use glam::DVec2;

use crate::fix::{crossing, play};

/// What a tape held level may read wrong, inches: a sixteenth, and another for every 25 ft (common practice, no source).
pub fn tape_error(pull: f64) -> f64 {
    0.0625 + 0.0625 * pull / 300.0
}

/// A straight obstacle in plan that a tape cannot pass, inches.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Wall {
    /// One end.
    pub a: DVec2,
    /// The other end.
    pub b: DVec2,
}

/// What a good pair of tapes must keep.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Rules {
    /// The longest pull, inches.
    pub longest: f64,
    /// The shortest pull, inches: nearer, the hook is in the way.
    pub shortest: f64,
    /// The flattest crossing, degrees; its supplement bounds from above.
    pub flattest: f64,
    /// An obstacle that meets a tape nearer than this to the point is the wall the point stands in, inches.
    pub inside_wall: f64,
}

impl Default for Rules {
    /// 50 ft of tape, a foot at least, crossing 30 to 150 degrees, walls up to 8 in thick (common practice, no source).
    fn default() -> Self {
        Self {
            longest: 600.0,
            shortest: 12.0,
            flattest: 30.0,
            inside_wall: 8.0,
        }
    }
}

/// One tape: from which fixed point, and what it reads.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Tie {
    /// Place in the list of fixed points.
    pub from: usize,
    /// The pull, inches.
    pub inches: f64,
}

/// A third tie to check two others with: of the `fixed` points within reach that meet no wall, the one whose direction
/// differs most from both. None where there is no third.
pub fn third(
    point: DVec2,
    fixed: &[DVec2],
    walls: &[Wall],
    rules: &Rules,
    ties: &Ties,
) -> Option<Tie> {
    check(
        point,
        fixed,
        &within_reach(point, fixed, walls, rules),
        ties,
    )
}

/// Two ties, and a third to check.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Ties {
    /// The shorter pull.
    pub first: Tie,
    /// The longer pull.
    pub second: Tie,
    /// A third pull that would show either of them wrong; none where no third point is within reach.
    pub check: Option<Tie>,
    /// The angle at which the two cross, degrees.
    pub crossing: f64,
    /// How far off the point can be with both tapes as wrong as [`tape_error`] allows, inches.
    pub play: f64,
}

/// The best two ties to `point` from the `fixed` points: of all pairs within reach that cross well and meet no wall, the
/// one that leaves the least play. None where no pair will do.
pub fn best(point: DVec2, fixed: &[DVec2], walls: &[Wall], rules: &Rules) -> Option<Ties> {
    let reach = within_reach(point, fixed, walls, rules);
    let mut found: Option<Ties> = None;
    for (i, a) in reach.iter().enumerate() {
        for b in &reach[i + 1..] {
            let angle = crossing(point, fixed[a.from], fixed[b.from]);
            if angle < rules.flattest || angle > 180.0 - rules.flattest {
                continue;
            }
            let play = play(angle, tape_error(a.inches), tape_error(b.inches));
            if found.is_none_or(|old| play < old.play - units::SAME_LENGTH) {
                let (first, second) = if a.inches <= b.inches {
                    (*a, *b)
                } else {
                    (*b, *a)
                };
                found = Some(Ties {
                    first,
                    second,
                    check: None,
                    crossing: angle,
                    play,
                });
            }
        }
    }
    found.map(|ties| Ties {
        check: check(point, fixed, &reach, &ties),
        ..ties
    })
}

fn within_reach(point: DVec2, fixed: &[DVec2], walls: &[Wall], rules: &Rules) -> Vec<Tie> {
    (0..fixed.len())
        .map(|from| Tie {
            from,
            inches: fixed[from].distance(point),
        })
        .filter(|t| (rules.shortest..=rules.longest).contains(&t.inches))
        .filter(|t| {
            !walls
                .iter()
                .any(|w| blocks(*w, fixed[t.from], point, rules.inside_wall))
        })
        .collect()
}

/// The third tie whose direction differs most from both: a tape along one of them would show only that one wrong.
fn check(point: DVec2, fixed: &[DVec2], reach: &[Tie], ties: &Ties) -> Option<Tie> {
    let weight = |t: &Tie| {
        let to = |other: Tie| {
            crossing(point, fixed[t.from], fixed[other.from])
                .to_radians()
                .sin()
        };
        to(ties.first).min(to(ties.second))
    };
    let mut best: Option<(f64, Tie)> = None;
    for tie in reach
        .iter()
        .filter(|t| t.from != ties.first.from && t.from != ties.second.from)
    {
        let weight = weight(tie);
        if best.is_none_or(|(old, _)| weight > old + 1e-9) {
            best = Some((weight, *tie));
        }
    }
    best.map(|(_, tie)| tie)
}

/// Whether a tape from `hook` to `point` meets the wall farther than `inside` from the point, the hook's own wall aside.
pub fn blocks(wall: Wall, hook: DVec2, point: DVec2, inside: f64) -> bool {
    let (tape, along) = (point - hook, wall.b - wall.a);
    let cross = tape.perp_dot(along);
    if cross.abs() < 1e-6 * tape.length() * along.length() {
        return runs_inside(wall, hook, point, inside);
    }
    let from = wall.a - hook;
    let at_tape = from.perp_dot(along) / cross;
    let at_wall = from.perp_dot(tape) / cross;
    let length = tape.length();
    (0.0..=1.0).contains(&at_wall) && at_tape * length > 1.0 && (1.0 - at_tape) * length > inside
}

/// Whether a tape that is parallel to a wall lies in it for more than `inside`. One hooked on the wall itself runs along its
/// face.
fn runs_inside(wall: Wall, hook: DVec2, point: DVec2, inside: f64) -> bool {
    let length = point.distance(hook);
    let way = (point - hook) / length.max(1e-9);
    let along = |p: DVec2| (p - hook).dot(way);
    let off = (wall.a - hook).perp_dot(way).abs();
    let (near, far) = (
        along(wall.a).min(along(wall.b)),
        along(wall.a).max(along(wall.b)),
    );
    let lies = far.min(length) - near.max(0.0);
    off < inside / 2.0 && near > 1.0 && lies > inside
}

/// Where a point lies by a string.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct StringOffset {
    /// Along the string from its first end to the foot of the square, inches.
    pub along: f64,
    /// Square off the string, inches, positive to the left of whoever looks along it.
    pub offset: f64,
    /// The whole string, inches.
    pub string: f64,
}

/// Where `point` lies by the string from `a` to `b`; none where the string has no length.
pub fn by_string(a: DVec2, b: DVec2, point: DVec2) -> Option<StringOffset> {
    let string = a.distance(b);
    if string < units::SAME_LENGTH {
        return None;
    }
    let along = (b - a) / string;
    let to = point - a;
    Some(StringOffset {
        along: along.dot(to),
        offset: along.perp_dot(to),
        string,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corners() -> Vec<DVec2> {
        [(0.0, 0.0), (480.0, 0.0), (480.0, 288.0), (0.0, 288.0)]
            .map(|(x, y)| DVec2::new(x, y))
            .to_vec()
    }

    #[test]
    fn string_and_offset_of_the_synthetic_case() {
        // Case L046 (derived), in feet: string (2, 3) to (26, 10), point (13.2, 9.4).
        let by = by_string(
            DVec2::new(2.0, 3.0),
            DVec2::new(26.0, 10.0),
            DVec2::new(13.2, 9.4),
        )
        .unwrap();
        assert!((by.along - 12.544).abs() < 1e-9);
        assert!((by.offset - 3.008).abs() < 1e-9);
        assert!((by.string - 25.0).abs() < 1e-9);
        assert!(by_string(DVec2::ONE, DVec2::ONE, DVec2::ZERO).is_none());
    }

    #[test]
    fn the_pair_that_crosses_best_wins() {
        let ties = best(DVec2::new(120.0, 100.0), &corners(), &[], &Rules::default()).unwrap();
        // By hand: from the two west corners 156.2 and 223.0, crossing 39.8 + 57.4 = 97.2 degrees.
        assert_eq!((ties.first.from, ties.second.from), (0, 3));
        assert!((ties.first.inches - 156.205).abs() < 1e-3);
        assert!((ties.crossing - 97.2).abs() < 0.1);
        assert!(ties.check.is_some_and(|c| c.from == 1 || c.from == 2));
    }

    #[test]
    fn a_wall_that_stands_is_gone_around() {
        let wall = Wall {
            a: DVec2::new(60.0, 0.0),
            b: DVec2::new(60.0, 288.0),
        };
        let ties = best(
            DVec2::new(120.0, 100.0),
            &corners(),
            &[wall],
            &Rules::default(),
        )
        .unwrap();
        assert_eq!(
            (
                ties.first.from.min(ties.second.from),
                ties.first.from.max(ties.second.from)
            ),
            (1, 2)
        );
        assert_eq!(ties.check, None);
    }

    #[test]
    fn a_point_in_a_wall_is_reached_and_a_closed_room_is_not() {
        let own = Wall {
            a: DVec2::new(0.0, 102.0),
            b: DVec2::new(480.0, 102.0),
        };
        assert!(
            best(
                DVec2::new(120.0, 100.0),
                &corners(),
                &[own],
                &Rules::default()
            )
            .is_some()
        );
        let box_of = [(90.0, 70.0), (150.0, 70.0), (150.0, 130.0), (90.0, 130.0)]
            .map(|(x, y)| DVec2::new(x, y));
        let walls: Vec<Wall> = (0..4)
            .map(|i| Wall {
                a: box_of[i],
                b: box_of[(i + 1) % 4],
            })
            .collect();
        assert_eq!(
            best(
                DVec2::new(120.0, 100.0),
                &corners(),
                &walls,
                &Rules::default()
            ),
            None
        );
    }

    #[test]
    fn a_pull_is_bounded_and_a_flat_crossing_refused() {
        let short = Rules {
            longest: 100.0,
            ..Rules::default()
        };
        assert_eq!(
            best(DVec2::new(240.0, 144.0), &corners(), &[], &short),
            None
        );
        let two = &corners()[..2];
        assert_eq!(
            best(DVec2::new(240.0, 20.0), two, &[], &Rules::default()),
            None
        );
    }

    #[test]
    fn every_pair_chosen_keeps_the_rules_all_over_a_slab() {
        let rules = Rules::default();
        for i in 1..24 {
            for j in 1..14 {
                let point = DVec2::new(f64::from(i) * 20.0, f64::from(j) * 20.0);
                let Some(ties) = best(point, &corners(), &[], &rules) else {
                    continue;
                };
                assert!((30.0..=150.0).contains(&ties.crossing));
                assert!(ties.second.inches <= rules.longest && ties.first.inches >= rules.shortest);
                assert!(ties.play < 0.5, "{point} {ties:?}");
            }
        }
    }

    #[test]
    fn a_tape_does_not_run_inside_a_wall_that_stands() {
        let wall = Wall {
            a: DVec2::new(156.0, 360.0),
            b: DVec2::new(156.0, 516.0),
        };
        let nail = DVec2::new(156.0, 528.0);
        let at = |y: f64| DVec2::new(156.0, y);
        // From a nail a foot past its end: 60 in of wall lie between, then 6 in, which a tape passes over its plate.
        assert!(blocks(wall, nail, at(456.0), 8.0));
        assert!(!blocks(wall, nail, at(510.0), 8.0));
        // Along a side of the form, from its own corner.
        assert!(!blocks(wall, wall.b, at(400.0), 8.0));
        // Beside it.
        let beside = |p: DVec2| p + DVec2::new(12.0, 0.0);
        assert!(!blocks(wall, beside(nail), beside(at(456.0)), 8.0));
    }
}
