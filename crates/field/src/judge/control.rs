//! What everything is measured from: strings, diagonals of the form; and the trench bottom.

use glam::DVec2;
use units::Id;

use super::{Said, Weight};
use crate::{
    book::{Reading, What},
    fixed::{TIES_AGREE, fixed},
    plan::Plan,
    say::{feet, inches, moved, names},
};

/// A trench bottom may be off by this, inches; bedding takes it up. Our choice.
const TRENCH: f64 = 0.5;

/// The readings of control and trench, of each place the latest.
fn latest(plan: Plan<'_>) -> impl Iterator<Item = &Reading> {
    let readings = plan.book.readings.iter();
    readings.filter(move |reading| {
        let again = |other: &&Reading| {
            let same = other.of == reading.of && place(plan, other) == place(plan, reading);
            same && std::mem::discriminant(&other.what) == std::mem::discriminant(&reading.what)
        };
        let last = plan
            .book
            .readings
            .iter()
            .filter(again)
            .max_by_key(|r| r.stage);
        last.is_some_and(|last| last.id == reading.id)
    })
}

/// Whole feet up a run or a string, or the corner a diagonal goes to.
fn place(plan: Plan, reading: &Reading) -> Option<(i64, Option<Id>)> {
    // Far below any limit.
    #[allow(clippy::cast_possible_truncation)]
    let feet = |inches: f64| (inches / 12.0).round() as i64;
    match &reading.what {
        What::Trench(spot, _) => {
            let planned = plan.run(&reading.of)?;
            Some((feet(planned.station(*spot)), None))
        }
        What::String(at, _) => Some((feet(*at), None)),
        What::Diagonal(to, _) => Some((0, Some(to.clone()))),
        _ => None,
    }
}

/// Each string where it was checked.
pub(super) fn strings(plan: Plan) -> Vec<Said> {
    let readings = latest(plan);
    readings
        .filter_map(|reading| {
            let What::String(at, taken) = &reading.what else {
                return None;
            };
            let (from, to) = plan.string(&reading.of)?;
            let way = (to - from).normalize_or_zero();
            let fix = fixed(plan, taken, from + way * *at).ok()?;
            let off: DVec2 = way.perp() * way.perp_dot(fix.at - from);
            let far = off.length() > TIES_AGREE.max(fix.doubt);
            let (says, next) = if far {
                (
                    format!(
                        "{} stands {} of where it should, {} from its first end",
                        reading.of,
                        moved(off),
                        feet(*at)
                    ),
                    format!(
                        "set it {} and measure again whatever was laid out by it",
                        moved(-off)
                    ),
                )
            } else {
                (
                    format!("{} stands where it should", reading.of),
                    String::new(),
                )
            };
            Some(Said {
                explained: false,
                weight: if far { Weight::Stop } else { Weight::Nothing },
                items: vec![reading.of.clone()],
                readings: vec![reading.id.clone()],
                says,
                next,
            })
        })
        .collect()
}

/// Each diagonal against the plan; where both of the form were pulled, which side to push, and how far.
pub(super) fn diagonals(plan: Plan) -> Vec<Said> {
    let readings = latest(plan);
    let rack = rack(plan);
    readings
        .filter_map(|reading| {
            let What::Diagonal(to, length) = &reading.what else {
                return None;
            };
            let planned = plan.point(&reading.of)?.distance(plan.point(to)?);
            let off = length - planned;
            let far = off.abs() > TIES_AGREE;
            let ends = [reading.of.clone(), to.clone()];
            let says = if far {
                format!(
                    "{} are {} apart and should be {}: {} {}",
                    names(&ends),
                    feet(*length),
                    feet(planned),
                    inches(off),
                    if off > 0.0 { "long" } else { "short" }
                )
            } else {
                format!(
                    "{} are {} apart, as they should be",
                    names(&ends),
                    feet(*length)
                )
            };
            Some(Said {
                explained: false,
                weight: if far { Weight::Stop } else { Weight::Nothing },
                items: ends.to_vec(),
                readings: vec![reading.id.clone()],
                says,
                next: if far {
                    squaring(rack, plan.book.tape)
                } else {
                    String::new()
                },
            })
        })
        .collect()
}

/// Inches the form's north side stands too far east by its two diagonals; `None` until both are pulled, or where the form is
/// no rectangle.
fn rack(plan: Plan) -> Option<f64> {
    let corner = |name: &str| plan.point(&Id::from(name));
    let [sw, se, ne, nw] = [corner("sw")?, corner("se")?, corner("ne")?, corner("nw")?];
    let rectangle = (sw.distance(ne) - se.distance(nw)).abs() < units::SAME_LENGTH;
    let pulled = |a: &str, b: &str| {
        latest(plan).find_map(|reading| match &reading.what {
            What::Diagonal(to, length) => {
                let ends = [reading.of.as_str(), to.as_str()];
                (ends == [a, b] || ends == [b, a]).then_some(*length)
            }
            _other => None,
        })
    };
    let (first, second) = (pulled("sw", "ne")?, pulled("se", "nw")?);
    let square = trench::square::by_diagonals(sw.distance(se), sw.distance(nw), first, second);
    square.filter(|_| rectangle).map(|square| square.shift)
}

/// What to do about a diagonal that is off. A shift within what a tape may be off is none.
fn squaring(rack: Option<f64>, tape: f64) -> String {
    match rack {
        Some(shift) if shift.abs() > tape => {
            let way = if shift > 0.0 { "west" } else { "east" };
            format!("rack the form: push its north side {} {way}, then pull both diagonals again", inches(shift))
        }
        Some(_) => "both diagonals are off alike, so its corners are square: check the lengths of its sides".into(),
        None => "pull the other diagonal too; when they differ rack the form until they agree, when both are off alike check the sides".into(),
    }
}

/// Each trench bottom under its pipe.
pub(super) fn trenches(plan: Plan) -> Vec<Said> {
    let readings = latest(plan);
    readings
        .filter_map(|reading| {
        let (What::Trench(spot, _), Some(z)) = (&reading.what, reading.what.level()) else {
            return None;
        };
        let planned = plan.run(&reading.of)?;
        let pipe = plan.outcome.catalog.pipe(planned.run.size_at(planned.station(*spot)));
        let wanted = trench::level::trench_bottom(planned.invert(*spot), pipe.wall, plan.book.bedding);
        let off = z - wanted;
        let at = feet(planned.station(*spot));
        let of = &reading.of;
        let (weight, says, next) = if off > TRENCH {
            (Weight::Stop, format!("the trench under {of}, {at} up, is {} too high for {} of bedding", inches(off), inches(plan.book.bedding)), format!("dig {} deeper there", inches(off)))
        } else if off < -TRENCH {
            (Weight::Look, format!("the trench under {of}, {at} up, is {} too deep", inches(off)), "fill it with sand or gravel in thin lifts and tamp each; loose fill settles and the pipe with it".into())
        } else {
            (Weight::Nothing, format!("the trench under {of}, {at} up, is as deep as it should be"), String::new())
        };
        Some(Said {
            explained: false, weight, items: vec![of.clone()], readings: vec![reading.id.clone()], says, next })
    }).collect()
}
