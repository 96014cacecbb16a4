//! A point fixed by tapes: two pulls give it, a third tells whether they agree and which one does not.
//!
//! Three tapes to one point leave one thing over to check, and any one of them could have made the whole misfit: the
//! pulls alone cannot say which. What tells is where the point should be: the culprit is the tape without which the
//! other two meet at the design. From four tapes on, the pulls tell it themselves.

use std::fmt;

use glam::DVec2;

/// One tape held level from a fixed point.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Pull {
    /// Where the hook is, inches in plan.
    pub from: DVec2,
    /// What the tape reads at the point, inches.
    pub inches: f64,
}

/// Why tapes give no point. `Display` says what would be right.
#[derive(Clone, PartialEq, Debug)]
pub enum FixError {
    /// Fewer than two pulls.
    TooFew,
    /// A length that is negative, zero or not a number. Holds the place in the list, from 0.
    NotALength(usize),
    /// Both hooks stand on the same spot.
    SameHook,
    /// The tapes end before they meet, by so many inches.
    TooShort(f64),
    /// One tape reaches past the circle of the other, by so many inches.
    TooLong(f64),
    /// All hooks stand on one line, and the point too: nothing holds it sideways.
    NoGrip,
}

impl fmt::Display for FixError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew => write!(f, "one tape gives no point; pull at least two"),
            Self::NotALength(n) => {
                write!(f, "tape {} has no length above zero; read it again", n + 1)
            }
            Self::SameHook => write!(
                f,
                "both tapes hook on the same spot; hook one on another corner"
            ),
            Self::TooShort(by) => write!(
                f,
                "the tapes end {} before they meet; one reads short or hooks on another corner",
                units::feet_inches(*by, 16)
            ),
            Self::TooLong(by) => write!(
                f,
                "one tape reaches {} past the circle of the other; one reads long or hooks on another corner",
                units::feet_inches(*by, 16)
            ),
            Self::NoGrip => write!(
                f,
                "the point lies in line with the corners; pull one tape from the side"
            ),
        }
    }
}

impl std::error::Error for FixError {}

/// What two tapes give.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct TwoTapes {
    /// The point nearer to where it should be.
    pub at: DVec2,
    /// Its mirror image across the line of the hooks, which the same two pulls also give.
    pub mirror: DVec2,
    /// The angle at which the tapes cross there, degrees, 0 to 180.
    pub crossing: f64,
}

/// What three or more tapes give together.
#[derive(Clone, PartialEq, Debug)]
pub struct Fixed {
    /// The point that fits all pulls best (least sum of squares).
    pub at: DVec2,
    /// For each pull, what the tape reads over the distance to `at`, inches: positive reads long.
    pub residuals: Vec<f64>,
    /// The greatest residual without its sign, inches.
    pub worst: f64,
    /// For each pull, what leaving it out would mean. Empty with two pulls.
    pub without: Vec<Without>,
    /// The pull that explains the misfit, by its place in the list, where one does.
    pub suspect: Option<usize>,
}

/// One pull left out.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Without {
    /// Where the other pulls meet; none where they do not.
    pub at: Option<DVec2>,
    /// What the left-out tape reads over the distance to that point, inches: its error, were the others right.
    pub error: Option<f64>,
    /// How well the others agree among themselves: their greatest residual, inches. 0 where two are left.
    pub rest: f64,
}

/// The point where two pulls meet, of the two possible the one nearer to `near` (where it should be, inches).
///
/// Circles that miss each other by no more than `slack` inches are taken as touching (a tape is read to a sixteenth).
///
/// # Errors
/// A length that is none, hooks on one spot, tapes that cannot meet.
pub fn from_two(a: Pull, b: Pull, near: DVec2, slack: f64) -> Result<TwoTapes, FixError> {
    usable(&[a, b])?;
    let base = b.from - a.from;
    let apart = base.length();
    if apart < units::SAME_LENGTH {
        return Err(FixError::SameHook);
    }
    let short = apart - a.inches - b.inches;
    let long = (a.inches - b.inches).abs() - apart;
    if short > slack {
        return Err(FixError::TooShort(short));
    }
    if long > slack {
        return Err(FixError::TooLong(long));
    }
    Ok(meet(a, b, base / apart, near))
}

/// The point that fits all `pulls` best, started from `near` (where it should be, inches), and which pull is to blame
/// when one reads wrong by more than `tolerance` inches.
///
/// # Errors
/// Fewer than two pulls, a length that is none, hooks on one spot, no two tapes that meet, no grip sideways.
pub fn from_many(pulls: &[Pull], near: DVec2, tolerance: f64) -> Result<Fixed, FixError> {
    usable(pulls)?;
    let at = least_squares(pulls, near)?;
    let residuals: Vec<f64> = pulls
        .iter()
        .map(|p| p.inches - p.from.distance(at))
        .collect();
    let worst = greatest(&residuals);
    let without = if pulls.len() > 2 {
        (0..pulls.len())
            .map(|i| leave_out(pulls, i, near))
            .collect()
    } else {
        Vec::new()
    };
    let suspect = suspect(&without, worst, near, tolerance);
    Ok(Fixed {
        at,
        residuals,
        worst,
        without,
        suspect,
    })
}

/// The angle at which tapes from `a` and `b` cross at `point`, degrees, 0 to 180; 0 where the point is on a hook.
pub fn crossing(point: DVec2, a: DVec2, b: DVec2) -> f64 {
    let (u, v) = (a - point, b - point);
    if u.length() < units::SAME_LENGTH || v.length() < units::SAME_LENGTH {
        return 0.0;
    }
    u.angle_to(v).abs().to_degrees()
}

/// How far off the point can be, inches, when two tapes that cross at `crossing` degrees may each read wrong by
/// `error_a` and `error_b` inches: the far corner of the little parallelogram they leave.
///
/// For equal errors this is `e / min(sin(g/2), cos(g/2))`. Infinite where the tapes lie in line.
pub fn play(crossing: f64, error_a: f64, error_b: f64) -> f64 {
    let (sin, cos) = crossing.to_radians().sin_cos();
    if sin < 1e-9 {
        return f64::INFINITY;
    }
    (error_a * error_a + error_b * error_b + 2.0 * error_a * error_b * cos.abs()).sqrt() / sin
}

fn usable(pulls: &[Pull]) -> Result<(), FixError> {
    if pulls.len() < 2 {
        return Err(FixError::TooFew);
    }
    match pulls
        .iter()
        .position(|p| !(p.inches.is_finite() && p.inches > 0.0 && p.from.is_finite()))
    {
        Some(bad) => Err(FixError::NotALength(bad)),
        None => Ok(()),
    }
}

fn meet(a: Pull, b: Pull, along: DVec2, near: DVec2) -> TwoTapes {
    let apart = a.from.distance(b.from);
    let foot = (a.inches * a.inches - b.inches * b.inches + apart * apart) / (2.0 * apart);
    let high = (a.inches * a.inches - foot * foot).max(0.0).sqrt();
    let (left, right) = (
        a.from + along * foot + along.perp() * high,
        a.from + along * foot - along.perp() * high,
    );
    let (at, mirror) = if left.distance(near) <= right.distance(near) {
        (left, right)
    } else {
        (right, left)
    };
    TwoTapes {
        at,
        mirror,
        crossing: crossing(at, a.from, b.from),
    }
}

/// Gauss-Newton from the best start there is; a tape's distance is so nearly straight that a few rounds settle it.
fn least_squares(pulls: &[Pull], near: DVec2) -> Result<DVec2, FixError> {
    let mut at = start(pulls, near)?;
    for _ in 0..100 {
        let step = step(pulls, at).ok_or(FixError::NoGrip)?;
        at += step;
        if step.length() < 1e-10 {
            break;
        }
    }
    Ok(at)
}

/// Of all pairs that meet, the meeting nearest to `near`; pairs that miss say why.
fn start(pulls: &[Pull], near: DVec2) -> Result<DVec2, FixError> {
    let mut best: Option<DVec2> = None;
    let mut why = FixError::TooFew;
    for (i, a) in pulls.iter().enumerate() {
        for b in &pulls[i + 1..] {
            match from_two(*a, *b, near, 0.0) {
                Ok(two) => {
                    if best.is_none_or(|old| two.at.distance(near) < old.distance(near)) {
                        best = Some(two.at);
                    }
                }
                Err(error) => why = error,
            }
        }
    }
    best.ok_or(why)
}

/// One step of the normal equations; none where they are singular.
fn step(pulls: &[Pull], at: DVec2) -> Option<DVec2> {
    let (mut xx, mut xy, mut yy, mut right) = (0.0, 0.0, 0.0, DVec2::ZERO);
    for pull in pulls {
        let away = at - pull.from;
        let distance = away.length();
        if distance < units::SAME_LENGTH {
            return None;
        }
        let u = away / distance;
        xx += u.x * u.x;
        xy += u.x * u.y;
        yy += u.y * u.y;
        right += u * (pull.inches - distance);
    }
    let det = xx * yy - xy * xy;
    (det > 1e-9).then(|| DVec2::new(yy * right.x - xy * right.y, xx * right.y - xy * right.x) / det)
}

fn leave_out(pulls: &[Pull], out: usize, near: DVec2) -> Without {
    let rest: Vec<Pull> = pulls
        .iter()
        .enumerate()
        .filter(|(i, _)| *i != out)
        .map(|(_, p)| *p)
        .collect();
    let at = least_squares(&rest, near).ok();
    let error = at.map(|at| pulls[out].inches - pulls[out].from.distance(at));
    let residuals: Vec<f64> = at
        .iter()
        .flat_map(|at| rest.iter().map(|p| p.inches - p.from.distance(*at)))
        .collect();
    Without {
        at,
        error,
        rest: greatest(&residuals),
    }
}

/// Whom to blame: the tape without which the rest agree among themselves and lie at the design, clearly better than
/// without any other.
fn suspect(without: &[Without], worst: f64, near: DVec2, tolerance: f64) -> Option<usize> {
    if worst <= tolerance / 2.0 {
        return None;
    }
    let mut blame: Vec<(f64, usize)> = without
        .iter()
        .enumerate()
        .filter_map(|(i, w)| {
            Some((
                if without.len() > 3 {
                    w.rest
                } else {
                    w.at?.distance(near)
                },
                i,
            ))
        })
        .collect();
    blame.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let (first, second) = (blame.first()?, blame.get(1)?);
    (first.0 <= tolerance && second.0 > 2.0 * first.0.max(tolerance / 2.0)).then_some(first.1)
}

fn greatest(residuals: &[f64]) -> f64 {
    residuals.iter().fold(0.0, |most, r| r.abs().max(most))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pull(x: f64, y: f64, inches: f64) -> Pull {
        Pull {
            from: DVec2::new(x, y),
            inches,
        }
    }

    fn near(got: DVec2, x: f64, y: f64, within: f64) {
        assert!(
            (got - DVec2::new(x, y)).length() <= within,
            "{got} is not ({x}, {y})"
        );
    }

    #[test]
    fn two_tapes_meet_where_the_carpenters_thread_says() {
        // A layout thread (case L018, coordinates computed): corners 8 ft apart, pulls of 11 ft and 7 ft.
        let fixed = from_two(
            pull(0.0, 0.0, 11.0),
            pull(8.0, 0.0, 7.0),
            DVec2::new(8.0, 7.0),
            0.0,
        )
        .unwrap();
        near(fixed.at, 8.5, 6.982_12, 1e-4);
        near(fixed.mirror, 8.5, -6.982_12, 1e-4);
        assert!((fixed.at.length() - 11.0).abs() < 1e-9);
    }

    #[test]
    fn a_three_four_five_by_two_tapes() {
        // Two-tape form of 3-4-5 (case L047, derived).
        let fixed = from_two(
            pull(0.0, 0.0, 3.0),
            pull(4.0, 0.0, 5.0),
            DVec2::new(0.0, 1.0),
            0.0,
        )
        .unwrap();
        near(fixed.at, 0.0, 3.0, 1e-12);
        assert!((fixed.crossing - 53.130_102).abs() < 1e-5);
    }

    #[test]
    fn ties_rounded_to_a_sixteenth_come_back_within_the_rounding() {
        // Cases L036 to L038 (synthetic, derived), in feet: rounded ties, recovered point, error in inches.
        for (a, b, x, y, error_in) in [
            (
                14.0 + 1.1875 / 12.0,
                29.0 + 11.75 / 12.0,
                11.25,
                8.5,
                0.0289,
            ),
            (
                27.0 + 0.6875 / 12.0,
                23.0 + 11.0 / 12.0,
                22.0,
                15.75,
                0.0147,
            ),
            (36.0 + 7.75 / 12.0, 4.0 + 9.3125 / 12.0, 36.5, 3.25, 0.021),
        ] {
            let want = DVec2::new(x, y);
            let fixed = from_two(pull(0.0, 0.0, a), pull(40.0, 0.0, b), want, 0.0).unwrap();
            assert!(
                (fixed.at.distance(want) * 12.0 - error_in).abs() < 5e-4,
                "{:?}",
                fixed.at
            );
        }
    }

    #[test]
    fn tapes_cross_at_the_angle_of_the_cases() {
        // Cases L036 to L038: angle at the point, degrees.
        for (x, y, degrees) in [
            (11.25, 8.5, 126.456),
            (22.0, 15.75, 103.215),
            (36.5, 3.25, 132.033),
        ] {
            let got = crossing(DVec2::new(x, y), DVec2::ZERO, DVec2::new(40.0, 0.0));
            assert!((got - degrees).abs() < 5e-4, "{got}");
        }
    }

    #[test]
    fn a_flat_crossing_leaves_more_play() {
        // Cases L041, L043, L045 (derived): 1/16 in a tape.
        for (degrees, play_in) in [(60.0, 0.125), (120.0, 0.125), (165.0, 0.4788)] {
            let got = play(degrees, 0.0625, 0.0625);
            assert!((got / play_in - 1.0).abs() < 0.002, "{got}");
        }
        assert!(play(0.0, 0.1, 0.1).is_infinite());
    }

    #[test]
    fn tapes_that_cannot_meet_say_by_how_much() {
        let near = DVec2::new(50.0, 10.0);
        let short = from_two(pull(0.0, 0.0, 40.0), pull(100.0, 0.0, 50.0), near, 0.0).unwrap_err();
        assert_eq!(short, FixError::TooShort(10.0));
        let long = from_two(pull(0.0, 0.0, 140.0), pull(100.0, 0.0, 30.0), near, 0.0).unwrap_err();
        assert_eq!(long, FixError::TooLong(10.0));
        let same = from_two(pull(1.0, 1.0, 4.0), pull(1.0, 1.0, 4.0), near, 0.0).unwrap_err();
        assert_eq!(same, FixError::SameHook);
        let none = from_two(pull(0.0, 0.0, f64::NAN), pull(1.0, 1.0, 4.0), near, 0.0).unwrap_err();
        assert_eq!(none, FixError::NotALength(0));
        assert_eq!(
            from_many(&[pull(0.0, 0.0, 4.0)], near, 0.25).unwrap_err(),
            FixError::TooFew
        );
    }

    #[test]
    fn a_miss_within_the_slack_is_a_touch() {
        let fixed = from_two(
            pull(0.0, 0.0, 50.0),
            pull(100.0, 0.0, 49.95),
            DVec2::new(50.0, 0.0),
            0.125,
        )
        .unwrap();
        assert!(fixed.at.distance(DVec2::new(50.0, 0.0)) < 0.1);
    }

    fn three(errors: [f64; 3]) -> Vec<Pull> {
        let at = DVec2::new(130.0, 95.0);
        [DVec2::ZERO, DVec2::new(480.0, 0.0), DVec2::new(0.0, 288.0)]
            .iter()
            .zip(errors)
            .map(|(from, error)| Pull {
                from: *from,
                inches: from.distance(at) + error,
            })
            .collect()
    }

    #[test]
    fn three_true_tapes_leave_nothing_over() {
        let fixed = from_many(&three([0.0; 3]), DVec2::new(130.0, 96.0), 0.25).unwrap();
        near(fixed.at, 130.0, 95.0, 1e-7);
        assert!(fixed.worst < 1e-7);
        assert_eq!(fixed.suspect, None);
    }

    #[test]
    fn of_three_tapes_the_one_that_misreads_is_named() {
        for bad in 0..3 {
            let mut errors = [0.0; 3];
            errors[bad] = 1.0;
            let fixed = from_many(&three(errors), DVec2::new(130.0, 95.1), 0.25).unwrap();
            assert_eq!(fixed.suspect, Some(bad), "{fixed:?}");
            assert!((fixed.without[bad].error.unwrap() - 1.0).abs() < 1e-6);
        }
    }

    #[test]
    fn a_point_really_moved_blames_no_tape() {
        let fixed = from_many(&three([0.0; 3]), DVec2::new(127.0, 95.0), 0.25).unwrap();
        assert_eq!(fixed.suspect, None);
        near(fixed.at, 130.0, 95.0, 1e-7);
    }

    #[test]
    fn four_tapes_tell_the_wrong_one_without_the_design() {
        let mut pulls = three([0.0, 0.0, 0.0]);
        let far = DVec2::new(480.0, 288.0);
        pulls.push(Pull {
            from: far,
            inches: far.distance(DVec2::new(130.0, 95.0)) - 2.0,
        });
        let fixed = from_many(&pulls, DVec2::new(118.0, 99.0), 0.25).unwrap();
        assert_eq!(fixed.suspect, Some(3));
        near(fixed.without[3].at.unwrap(), 130.0, 95.0, 1e-7);
    }

    #[test]
    fn least_squares_is_least() {
        // No other method within reach is as plain: walk a fine grid and find nothing better.
        let pulls = three([3.0, -2.0, -2.5]);
        let fixed = from_many(&pulls, DVec2::new(130.0, 95.0), 0.25).unwrap();
        let cost = |at: DVec2| {
            pulls
                .iter()
                .map(|p| (p.inches - p.from.distance(at)).powi(2))
                .sum::<f64>()
        };
        for i in -50..=50 {
            for j in -50..=50 {
                let at = fixed.at + DVec2::new(f64::from(i), f64::from(j)) * 0.01;
                assert!(cost(at) >= cost(fixed.at) - 1e-12);
            }
        }
        assert!(fixed.worst > 1.0, "{fixed:?}");
    }
}
