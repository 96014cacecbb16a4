//! From how a point was taken to where it is: tapes by `trench`, offsets from a string, one tape along a wall.

use glam::DVec2;
use trench::fix::{self, Pull};
use units::Id;

use crate::{
    book::Taken,
    plan::Plan,
    say::{feet, inches},
};

/// A third tape off by more than this warns, inches: a proposal of the job's own, no source.
pub(crate) const TIES_AGREE: f64 = 0.25;

/// A measured point.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Fixed {
    /// Where, inches from the form's south-west corner.
    pub(crate) at: DVec2,
    /// How far off it can be, nineteen in twenty, inches.
    pub(crate) doubt: f64,
    /// The tapes do not agree.
    pub(crate) odd: Option<Odd>,
}

/// Three or more tapes that do not meet.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Odd {
    /// The most that one is off the point that fits best, inches.
    pub(crate) worst: f64,
    /// The tape that explains it: its corner, what it reads and what it would read.
    pub(crate) tape: Option<(Id, f64, f64)>,
}

/// Where a point is. `near`: where it should be.
///
/// # Errors
/// Says what is wrong and what would be right, parted by a semicolon.
pub(crate) fn fixed(plan: Plan, taken: &Taken, near: DVec2) -> Result<Fixed, String> {
    match taken {
        Taken::Tapes(pulls) => by_tapes(plan, pulls, near),
        Taken::Off(string, along, left) => off_string(plan, string, *along, *left),
    }
}

fn off_string(plan: Plan, string: &Id, along: f64, left: f64) -> Result<Fixed, String> {
    let (from, to) = plan
        .string(string)
        .ok_or_else(|| format!("there is no string {string}; add it to strings"))?;
    let way = (to - from).normalize_or_zero();
    let tape = plan.book.tape;
    Ok(Fixed {
        at: from + way * along + way.perp() * left,
        doubt: tape * std::f64::consts::SQRT_2,
        odd: None,
    })
}

fn by_tapes(plan: Plan, pulls: &[(Id, f64)], near: DVec2) -> Result<Fixed, String> {
    let hooked: Vec<Pull> = pulls
        .iter()
        .map(|(corner, length)| {
            let from = plan
                .point(corner)
                .ok_or_else(|| format!("there is no corner {corner}; add it to points"))?;
            Ok(Pull {
                from,
                inches: *length,
            })
        })
        .collect::<Result<_, String>>()?;
    match hooked.as_slice() {
        [a, b] => by_two(plan, [*a, *b], near),
        _ => by_many(plan, pulls, &hooked, near),
    }
}

/// Of the two places the one inside the form; where both are, the one nearer to the plan.
fn by_two(plan: Plan, [a, b]: [Pull; 2], near: DVec2) -> Result<Fixed, String> {
    let tape = plan.book.tape;
    let two = fix::from_two(a, b, near, 2.0 * tape).map_err(|error| error.to_string())?;
    let at = if !inside(plan, two.at) && inside(plan, two.mirror) {
        two.mirror
    } else {
        two.at
    };
    Ok(Fixed {
        at,
        doubt: play(plan, &[a, b], at),
        odd: None,
    })
}

fn by_many(plan: Plan, named: &[(Id, f64)], pulls: &[Pull], near: DVec2) -> Result<Fixed, String> {
    let mut best = fix::from_many(pulls, near, TIES_AGREE).map_err(|error| error.to_string())?;
    // A plan turned over lies far from `near`, where the best fit near it may be no fit at all.
    let other_starts = pulls.windows(2).filter_map(|pair| {
        let two = fix::from_two(pair[0], pair[1], near, 0.0).ok()?;
        fix::from_many(pulls, two.mirror, TIES_AGREE).ok()
    });
    for other in other_starts {
        if other.worst < best.worst - TIES_AGREE {
            best = other;
        }
    }
    let blamed = best.suspect.and_then(|i| {
        let without = best.without.get(i)?;
        Some((i, without.at?, without.error?))
    });
    let at = blamed.map_or(best.at, |(_, at, _)| at);
    // A tape with too little over to be told from the others' doubt is no quarrel.
    let odd =
        (best.worst > TIES_AGREE / 2.0 && blamed.is_some() || best.worst > TIES_AGREE).then(|| {
            Odd {
                worst: best.worst,
                tape: blamed
                    .map(|(i, _, error)| (named[i].0.clone(), named[i].1, named[i].1 - error)),
            }
        });
    let kept: Vec<Pull> = pulls
        .iter()
        .enumerate()
        .filter(|(i, _)| blamed.is_none_or(|(bad, ..)| bad != *i))
        .map(|(_, pull)| *pull)
        .collect();
    Ok(Fixed {
        at,
        doubt: play(plan, &kept, at),
        odd,
    })
}

/// The play of the best pair; more tapes share it.
fn play(plan: Plan, pulls: &[Pull], at: DVec2) -> f64 {
    let tape = plan.book.tape;
    let pairs = pulls
        .iter()
        .enumerate()
        .flat_map(|(i, a)| pulls[i + 1..].iter().map(move |b| (a, b)));
    let best = pairs
        .map(|(a, b)| fix::play(fix::crossing(at, a.from, b.from), tape, tape))
        .fold(f64::INFINITY, f64::min);
    best * (2.0 / pulls.len().max(2) as f64).sqrt()
}

fn inside(plan: Plan, at: DVec2) -> bool {
    let Some(slab) = &plan.layout().slab else {
        return true;
    };
    let outline = &slab.outline;
    let ends = outline.iter().zip(outline.iter().cycle().skip(1));
    let crossed = ends.filter(|(a, b)| {
        (a.y > at.y) != (b.y > at.y) && at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    crossed.count() % 2 == 1
}

/// Where a sleeve's middle is along the wall at `near`, by tapes along that wall, or by an ordinary fix.
///
/// # Errors
/// As [`fixed`].
pub(crate) fn along_wall(plan: Plan, taken: &Taken, near: DVec2) -> Result<Fixed, String> {
    let Taken::Tapes(pulls) = taken else {
        return fixed(plan, taken, near);
    };
    let (a, b) = plan
        .side(near)
        .ok_or_else(|| "the slab has no outline; tell it first".to_owned())?;
    let way = (b - a).normalize_or_zero();
    let mut places = Vec::new();
    for (corner, length) in pulls {
        let hook = plan
            .point(corner)
            .ok_or_else(|| format!("there is no corner {corner}; add it to points"))?;
        if way.perp_dot(hook - a).abs() > 1.0 {
            return Err(format!(
                "{corner} does not stand on the wall the drain leaves by; pull from a corner of that wall, along it"
            ));
        }
        let toward = (near - hook).dot(way).signum();
        places.push((hook + way * toward * *length).dot(way));
    }
    let n = places.len() as f64;
    let mean = places.iter().sum::<f64>() / n;
    let worst = places.iter().map(|p| (p - mean).abs()).fold(0.0, f64::max);
    let base = a - way * a.dot(way);
    Ok(Fixed {
        at: base + way * mean,
        doubt: plan.book.tape / n.sqrt(),
        odd: (worst > TIES_AGREE).then_some(Odd { worst, tape: None }),
    })
}

impl Odd {
    /// In words, with the next act.
    pub(crate) fn says(&self) -> (String, String) {
        match &self.tape {
            Some((corner, reads, should)) => (
                format!(
                    "the tape from {corner} reads {} and does not agree with the others, which say {}: {} off",
                    feet(*reads),
                    feet(*should),
                    inches(reads - should)
                ),
                format!("pull the tape from {corner} again before anything is moved"),
            ),
            None => (
                format!(
                    "the tapes miss each other by up to {} and do not tell which is wrong",
                    inches(self.worst)
                ),
                "pull all of them again, and one from a fourth corner".into(),
            ),
        }
    }
}
