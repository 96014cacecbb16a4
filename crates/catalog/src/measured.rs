//! What a measured fitting changes in the catalogue, and measures that cannot be true.
//! What does not belong here: reading the bench sheet.

use crate::{
    Catalog, Dim, End, EndKind, EndName, Fitting, How, Pipe,
    bench::{BenchSheet, Ends, Entry, Problem},
    make::direction,
};
use std::collections::BTreeMap;
use units::inches_text;

/// A hub measured deeper or shallower than its size's by more than this is a slip of the tape, inches.
const HUB_SLIP: f64 = 0.25;
/// No drain fitting for a house reaches farther than this, inches.
const LONGEST_LEG: f64 = 36.0;
/// The same end measured twice may differ by this much before it is a contradiction, inches.
const SAME_PIECE: f64 = 0.125;

/// Sets every end that the sheet measured; what contradicts itself or the body is told and left as the table has it.
pub(crate) fn apply(catalog: &mut Catalog, sheet: &BenchSheet) -> Vec<Problem> {
    let mut told = Told::new();
    let mut problems = Vec::new();
    for entry in &sheet.entries {
        let problem = |says| Problem {
            line: entry.line,
            item: entry.part.to_string(),
            says,
        };
        if let Err(says) = apply_one(catalog, entry, &mut told) {
            problems.push(problem(says));
        }
    }
    problems
}

/// What earlier lines gave for an end: value and line.
type Told = BTreeMap<(crate::Part, EndName), (f64, usize)>;

fn apply_one(catalog: &mut Catalog, entry: &Entry, told: &mut Told) -> Result<(), String> {
    let fitting = catalog.find(entry.part.pattern, entry.part.sizes);
    let mut fitting = fitting.map_err(|missing| missing.to_string())?.clone();
    if let Some(pitch) = entry.pitch {
        set_pitch(&mut fitting, pitch, entry)?;
    }
    if entry.takes_off.is_some() || entry.to_face.is_some() {
        set_ends(catalog, &mut fitting, entry, told)?;
    }
    catalog.put(fitting);
    Ok(())
}

fn set_ends(
    catalog: &Catalog,
    fitting: &mut Fitting,
    entry: &Entry,
    told: &mut Told,
) -> Result<(), String> {
    let ends = picked(fitting, entry.ends)?;
    let mut set = Vec::new();
    for at in ends {
        let end = &fitting.ends[at];
        let pipe = catalog.pipe(end.size);
        let value = measured(end, pipe, entry)?;
        possible(fitting, end, catalog, value)?;
        agrees(end.name, value, told.get(&(entry.part, end.name)))?;
        set.push((at, value));
    }
    for (at, value) in set {
        let end = &mut fitting.ends[at];
        told.insert((entry.part, end.name), (value, entry.line));
        let source = format!("bench sheet, line {}", entry.line);
        end.take_off = Dim::new(value, entry.doubt, How::Measured, &source);
    }
    Ok(())
}

/// Indexes of the ends an entry tells of.
fn picked(fitting: &Fitting, ends: Ends) -> Result<Vec<usize>, String> {
    let wanted = |end: &End| match ends {
        Ends::Named(name) => end.name == name,
        Ends::Hubs => end.kind == EndKind::Hub,
        Ends::Spigot => end.kind == EndKind::Spigot,
        Ends::All => true,
    };
    let all = fitting.ends.iter().enumerate();
    let found: Vec<usize> = all
        .filter(|(_, end)| wanted(end))
        .map(|(at, _)| at)
        .collect();
    if found.is_empty() {
        let has: Vec<&str> = fitting.ends.iter().map(|end| end.name.word()).collect();
        return Err(format!(
            "it has no such end; its ends are {}",
            has.join(", ")
        ));
    }
    Ok(found)
}

/// Origin to stop or tip as measured either way; both ways must leave the socket its depth.
fn measured(end: &End, pipe: &Pipe, entry: &Entry) -> Result<f64, String> {
    let depth = match end.kind {
        EndKind::Hub | EndKind::Insert => end.socket.value,
        EndKind::Spigot | EndKind::Thread | EndKind::Ring => 0.0,
    };
    match (entry.takes_off, entry.to_face) {
        (Some(stop), Some(face)) if ((face - stop) - depth).abs() > HUB_SLIP => Err(format!(
            "{} to the stop and {} to the face leave a hub {} deep; a {} hub is {}",
            inches_text(stop, 16),
            inches_text(face, 16),
            inches_text(face - stop, 16),
            pipe.size,
            inches_text(depth, 16),
        )),
        (Some(stop), _) => Ok(stop),
        (None, Some(face)) => Ok(face - depth),
        (None, None) => Err("nothing is measured".into()),
    }
}

/// What no piece can measure.
fn possible(fitting: &Fitting, end: &End, catalog: &Catalog, value: f64) -> Result<(), String> {
    let says = inches_text(value, 16);
    if value.abs() > LONGEST_LEG {
        return Err(format!(
            "{says} is longer than any such fitting; check the unit"
        ));
    }
    if end.kind == EndKind::Spigot && value < end.socket.value {
        return Err(format!(
            "the street end reaches only {says} from the centre, but a {} hub is {} deep; measure to its tip",
            end.size,
            inches_text(end.socket.value, 16),
        ));
    }
    let least = least_leg(fitting, end, catalog);
    match least {
        Some(least) if value < least => Err(format!(
            "{says} would put the {} stop inside the waterway; it can be no less than {}",
            end.name.word(),
            inches_text(least, 16),
        )),
        Some(_) | None => Ok(()),
    }
}

/// Where a stop would stand in another leg's bore; `None` where the pattern sets no such limit (the run of a
/// combination may have a negative take-off).
fn least_leg(fitting: &Fitting, end: &End, catalog: &Catalog) -> Option<f64> {
    let run_bore = catalog.pipe(fitting.part.sizes.run).id();
    if let Some(degrees) = fitting.part.pattern.turn_degrees() {
        let least = run_bore / 2.0 * (degrees.to_radians() / 2.0).tan();
        return (end.name != EndName::Heel).then_some(least);
    }
    // A branch leg at an angle: its stop must be outside the run's bore.
    let rise = end.direction[1].abs();
    (matches!(end.name, EndName::Branch | EndName::OtherBranch) && rise > 0.0)
        .then(|| run_bore / 2.0 / rise)
}

fn agrees(name: EndName, value: f64, earlier: Option<&(f64, usize)>) -> Result<(), String> {
    match earlier {
        Some((before, line)) if (before - value).abs() > SAME_PIECE => Err(format!(
            "the {} measures {} here but {} on line {line}; keep one",
            name.word(),
            inches_text(value, 16),
            inches_text(*before, 16),
        )),
        Some(_) | None => Ok(()),
    }
}

fn set_pitch(fitting: &mut Fitting, pitch: f64, entry: &Entry) -> Result<(), String> {
    let pattern = fitting.part.pattern;
    if !pattern.may_be_pitched() {
        return Err(format!(
            "a {pattern} has no square branch or inlet that could be pitched"
        ));
    }
    if pitch > 1.0 {
        return Err(format!(
            "a pitch of {pitch} in/ft is no moulded pitch; 0 or 1/4 in/ft are made"
        ));
    }
    for end in &mut fitting.ends {
        end.direction = direction(pattern, end.name, pitch);
    }
    let source = format!("bench sheet, line {}", entry.line);
    fitting.pitch = Dim::new(pitch, 1.0 / 32.0, How::Measured, &source);
    Ok(())
}
