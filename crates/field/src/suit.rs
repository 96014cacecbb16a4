//! Whether a book suits its layout: readings of things that are not there, figures that look like feet for inches, tapes
//! that cannot meet, times out of order. Each told with its line; nothing is lost.

use std::collections::BTreeMap;

use flow::Outcome;
use layout::{
    Problem,
    reader::{Mistake, near},
};
use units::Id;

use crate::{
    book::{Book, Level, Reading, Spot, Taken, What},
    fixed::{along_wall, fixed},
    plan::Plan,
    read::of_reading,
    say::feet,
};

/// Things that are done rather than measured, under the name their reading is of.
pub const MARKS: [(&str, &str); 4] = [
    ("lines marked", "buried lines marked (call before you dig)"),
    ("test", "the test held with every joint in sight"),
    (
        "inspection",
        "the inspector looked before anything was covered",
    ),
    ("caps", "every stub capped, braced and marked"),
];

/// What in a book does not suit the layout it stands beside, in the order of the file.
pub fn misfits(outcome: &Outcome, book: &Book) -> Vec<Problem> {
    let plan = Plan { outcome, book };
    let mut mistakes: Vec<Mistake> = Vec::new();
    for reading in &book.readings {
        mistakes.extend(misfit(plan, reading));
    }
    mistakes.extend(out_of_order(book));
    book.tell(mistakes)
}

fn misfit(plan: Plan, reading: &Reading) -> Option<Mistake> {
    let told = |(wrong, right)| of_reading(reading, wrong, right);
    if let Some(unknown) = unknown(plan, reading) {
        return Some(told(unknown));
    }
    if let Some(Suspicion { wrong, meant }) = suspicion(plan, reading) {
        let right =
            format!("did you mean {meant}? write that, or add sure: yes if it was read twice");
        return Some(told((wrong, right)));
    }
    cannot_be(plan, reading).map(told)
}

/// Names that the layout and the book do not have, and places off the end of a run.
fn unknown(plan: Plan, reading: &Reading) -> Option<(String, String)> {
    let of = &reading.of;
    match &reading.what {
        What::Stub(taken) => {
            not_among("stub", of, &stub_names(plan)).or_else(|| hooks(plan, taken))
        }
        What::Top(_) => not_among("stub", of, &stub_names(plan)),
        What::Sleeve(_, taken) => not_among("drain", of, &drain_names(plan))
            .or_else(|| taken.as_ref().and_then(|taken| hooks(plan, taken))),
        What::Invert(spot, _) | What::Crown(spot, _) | What::Trench(spot, _) => {
            not_among("run", of, &run_names(plan)).or_else(|| off_the_end(plan, of, *spot))
        }
        What::Diagonal(to, _) => {
            let points = point_names(plan);
            not_among("corner", of, &points).or_else(|| not_among("corner", to, &points))
        }
        What::String(_, taken) => {
            let strings: Vec<Id> = plan.book.strings.iter().map(|s| s.0.clone()).collect();
            not_among("string", of, &strings).or_else(|| hooks(plan, taken))
        }
        What::Heat(_) => not_among("drain", of, &drain_names(plan)),
        What::Done => {
            let marks = MARKS.iter().map(|(name, _)| Id::from(*name));
            let all: Vec<Id> = marks
                .chain(drain_names(plan))
                .chain(run_names(plan))
                .chain(stub_names(plan))
                .collect();
            not_among("item", of, &all)
        }
    }
}

fn stub_names(plan: Plan) -> Vec<Id> {
    plan.stubs().iter().map(fittings::Stub::name).collect()
}

fn drain_names(plan: Plan) -> Vec<Id> {
    plan.layout().drains.iter().map(|d| d.id.clone()).collect()
}

fn run_names(plan: Plan) -> Vec<Id> {
    plan.runs().map(|planned| planned.run.id.clone()).collect()
}

fn point_names(plan: Plan) -> Vec<Id> {
    plan.points().into_iter().map(|(id, _)| id).collect()
}

fn not_among(what: &str, name: &Id, known: &[Id]) -> Option<(String, String)> {
    if known.contains(name) {
        return None;
    }
    let names: Vec<&str> = known.iter().map(Id::as_str).collect();
    let all = names.join(", ");
    let right = match near(name.as_str(), names.iter().copied()) {
        _ if known.is_empty() => format!("the layout has no {what} yet"),
        Some(meant) => format!("did you mean {meant}? it may be {all}"),
        None => format!("it may be {all}"),
    };
    Some((format!("there is no {what} {:?}", name.as_str()), right))
}

fn hooks(plan: Plan, taken: &Taken) -> Option<(String, String)> {
    match taken {
        Taken::Tapes(pulls) => {
            let points = point_names(plan);
            pulls
                .iter()
                .find_map(|(corner, _)| not_among("corner", corner, &points))
        }
        Taken::Off(string, ..) => {
            let strings: Vec<Id> = plan.book.strings.iter().map(|s| s.0.clone()).collect();
            not_among("string", string, &strings)
        }
    }
}

fn off_the_end(plan: Plan, run: &Id, spot: Spot) -> Option<(String, String)> {
    let length = plan.run(run)?.run.path.length();
    match spot {
        Spot::At(station) if station > length + 1.0 => Some((
            format!("{} up {run} is past its upper end", feet(station)),
            format!("write at most {}, or upper", feet(length)),
        )),
        Spot::Upper | Spot::Lower | Spot::At(_) => None,
    }
}

/// A figure that looks like another one misread.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Suspicion {
    /// What looks wrong.
    pub wrong: String,
    /// What may be meant.
    pub meant: String,
}

/// The figure in a reading that would be right if feet were inches, inches feet, or up down. `None` when nothing looks so,
/// or the reading was taken twice.
pub fn suspect(outcome: &Outcome, book: &Book, reading: &Reading) -> Option<Suspicion> {
    let plan = Plan { outcome, book };
    if unknown(plan, reading).is_some() {
        return None;
    }
    suspicion(plan, reading)
}

fn suspicion(plan: Plan, reading: &Reading) -> Option<Suspicion> {
    if reading.sure {
        return None;
    }
    let z = planned_z(plan, reading);
    let by_level = z
        .zip(level(&reading.what))
        .and_then(|(z, level)| odd_level(level, z));
    by_level.or_else(|| odd_length(plan, reading))
}

fn level(what: &What) -> Option<Level> {
    match what {
        What::Top(level)
        | What::Invert(_, level)
        | What::Crown(_, level)
        | What::Trench(_, level)
        | What::Sleeve(Some(level), _) => Some(*level),
        What::Sleeve(None, _)
        | What::Stub(_)
        | What::Diagonal(..)
        | What::String(..)
        | What::Heat(_)
        | What::Done => None,
    }
}

/// The level planned for what a reading is of.
pub(crate) fn planned_z(plan: Plan, reading: &Reading) -> Option<f64> {
    let on_run = |spot: Spot| {
        let planned = plan.run(&reading.of)?;
        let pipe = plan
            .outcome
            .catalog
            .pipe(planned.run.size_at(planned.station(spot)));
        Some((planned.invert(spot), pipe.od, pipe.wall))
    };
    match &reading.what {
        What::Top(_) => plan.stub(&reading.of).map(|stub| stub.top),
        What::Sleeve(..) => plan.sleeve(&reading.of).map(|sleeve| sleeve.bottom),
        What::Invert(spot, _) => on_run(*spot).map(|(invert, ..)| invert),
        What::Crown(spot, _) => on_run(*spot).map(|(invert, od, wall)| invert + od - wall),
        What::Trench(spot, _) => on_run(*spot)
            .map(|(invert, _, wall)| trench::level::trench_bottom(invert, wall, plan.book.bedding)),
        What::Stub(_) | What::Diagonal(..) | What::String(..) | What::Heat(_) | What::Done => None,
    }
}

/// Twelve times, a twelfth or the other sign, when that would be right and this is far off.
fn meant(read: f64, planned: f64) -> Option<f64> {
    let far = (read - planned).abs() > (planned.abs() / 4.0).max(12.0);
    let close = |guess: &f64| (guess - planned).abs() <= (planned.abs() / 4.0).max(2.0);
    let turned = read * planned < 0.0 && planned.abs() > 2.0;
    // A level below the floor that is told as above it, or the other way.
    let upside = turned && (-read - planned).abs() <= (planned.abs() / 3.0).max(6.0);
    if upside {
        return Some(-read);
    }
    let guesses = [read * 12.0, read / 12.0];
    guesses.into_iter().find(close).filter(|_| far)
}

fn odd_level(level: Level, planned: f64) -> Option<Suspicion> {
    match level {
        Level::Told(z) => {
            let guess = meant(z, planned)?;
            Some(Suspicion {
                wrong: format!("{} is {}", feet(z), against(z, planned)),
                meant: feet(guess),
            })
        }
        Level::Rod { rod, instrument } => {
            let far = (instrument - rod - planned).abs() > (planned.abs() / 4.0).max(12.0);
            let guesses = [
                (rod * 12.0, instrument),
                (rod / 12.0, instrument),
                (rod, instrument * 12.0),
                (rod, instrument / 12.0),
                (rod * 12.0, instrument * 12.0),
            ];
            let close = |(rod, instrument): &(f64, f64)| (instrument - rod - planned).abs() <= 6.0;
            let (r, i) = guesses.into_iter().find(close).filter(|_| far)?;
            Some(Suspicion {
                wrong: format!(
                    "a rod of {} under an instrument at {} is {}, and the plan has {}",
                    feet(rod),
                    feet(instrument),
                    feet(instrument - rod),
                    feet(planned)
                ),
                meant: format!("a rod of {} under an instrument at {}", feet(r), feet(i)),
            })
        }
    }
}

fn against(read: f64, planned: f64) -> String {
    let ratio = read / planned;
    let how = if ratio < 0.0 {
        "on the other side of the floor from the plan's"
    } else if ratio > 1.0 {
        "about twelve times the plan's"
    } else {
        "about a twelfth of the plan's"
    };
    format!("{how} {}", feet(planned))
}

fn odd_length(plan: Plan, reading: &Reading) -> Option<Suspicion> {
    let odd = |read: f64, planned: f64, whose: String| {
        let guess = meant(read, planned).filter(|guess| *guess > 0.0)?;
        Some(Suspicion {
            wrong: format!("{whose}{} is {}", feet(read), against(read, planned)),
            meant: feet(guess),
        })
    };
    match &reading.what {
        What::Diagonal(to, length) => {
            let (a, b) = (plan.point(&reading.of)?, plan.point(to)?);
            odd(*length, a.distance(b), String::new())
        }
        What::Stub(Taken::Tapes(pulls)) => {
            let at = plan.stub(&reading.of)?.at;
            pulls.iter().find_map(|(corner, length)| {
                let planned = plan.point(corner)?.distance(at);
                odd(*length, planned, format!("from {corner} "))
            })
        }
        What::Sleeve(_, Some(Taken::Tapes(pulls))) => {
            let at = plan.sleeve(&reading.of)?.at;
            pulls.iter().find_map(|(corner, length)| {
                let planned = plan.point(corner)?.distance(at);
                odd(*length, planned, format!("from {corner} "))
            })
        }
        What::Stub(Taken::Off(string, along, _)) => {
            let (from, to) = plan.string(string)?;
            let at = plan.stub(&reading.of)?.at;
            let planned = (at - from).dot((to - from).normalize_or_zero());
            odd(*along, planned, format!("along {string} "))
        }
        What::Sleeve(..)
        | What::Top(_)
        | What::Invert(..)
        | What::Crown(..)
        | What::Trench(..)
        | What::String(..)
        | What::Heat(_)
        | What::Done => None,
    }
}

/// Tapes that give no point.
fn cannot_be(plan: Plan, reading: &Reading) -> Option<(String, String)> {
    let error = match &reading.what {
        What::Stub(taken) => fixed(plan, taken, plan.stub(&reading.of)?.at).err(),
        What::Sleeve(_, Some(taken)) => {
            along_wall(plan, taken, plan.drain(&reading.of)?.exit.at).err()
        }
        What::String(at, taken) => {
            let (from, to) = plan.string(&reading.of)?;
            let near = from + (to - from).normalize_or_zero() * *at;
            fixed(plan, taken, near).err()
        }
        What::Diagonal(to, _) if *to == reading.of => Some(format!(
            "a diagonal from {to} to itself; name the corner across"
        )),
        What::Sleeve(_, None)
        | What::Top(_)
        | What::Invert(..)
        | What::Crown(..)
        | What::Trench(..)
        | What::Diagonal(..)
        | What::Heat(_)
        | What::Done => None,
    };
    error.map(|error| match error.rsplit_once("; ") {
        Some((wrong, right)) => (wrong.into(), right.into()),
        None => (error, "measure it again".into()),
    })
}

/// A reading at a later stage than another of the same item, but at an earlier time.
fn out_of_order(book: &Book) -> Vec<Mistake> {
    let mut by_item: BTreeMap<&Id, Vec<&Reading>> = BTreeMap::new();
    for reading in &book.readings {
        by_item.entry(&reading.of).or_default().push(reading);
    }
    let mut mistakes = Vec::new();
    for readings in by_item.values() {
        for reading in readings {
            let earlier = readings.iter().find(|other| {
                let times = reading.when.zip(other.when);
                other.stage < reading.stage && times.is_some_and(|(own, its)| own.is_before(&its))
            });
            if let (Some(earlier), Some(when)) = (earlier, reading.when) {
                mistakes.push(late(reading, when, earlier));
            }
        }
    }
    mistakes
}

fn late(reading: &Reading, when: crate::book::When, earlier: &Reading) -> Mistake {
    let its = earlier.when.map_or(String::new(), |when| when.to_string());
    let wrong = format!(
        "{} ({}) is at {when}, before its reading {} ({}) at {its}",
        reading.of,
        reading.stage.says(),
        earlier.id,
        earlier.stage.says(),
    );
    of_reading(reading, wrong, "put the time or the stage right".into())
}
