//! Levels on runs: each against its plan, the grade between any two at least 4 ft apart, and the fall that remains from
//! the lowest reading of a run to the exit.

use units::Id;

use super::{Judged, Said, Weight};
use crate::{
    book::{Level, Reading, Spot, Stage, What},
    plan::{Plan, Planned},
    say::{feet, grade, high_low, inches},
};

/// Levels nearer than this say nothing about a grade, inches: 4 ft, a proposal of the job's own, no source.
const APART: f64 = 48.0;
/// A level may be off its line by this, inches: a proposal of the job's own, no source.
const LINE: f64 = 0.125;
/// How many of a fall's own doubts (each nineteen in twenty) it must come short by before it is called too flat.
const SURE: f64 = 1.25;

/// A level on a run, as an invert.
#[derive(Clone, PartialEq, Debug)]
pub struct LevelRead {
    /// The run.
    pub run: Id,
    /// Inches up the run from its lower end.
    pub station: f64,
    /// The reading.
    pub reading: Id,
    /// How far the work was.
    pub stage: Stage,
    /// Invert planned.
    pub planned: f64,
    /// Invert measured.
    pub measured: f64,
}

/// The fall between two levels on one run.
#[derive(Clone, PartialEq, Debug)]
pub struct Fall {
    /// The run.
    pub run: Id,
    /// Stations up the run: the lower reading, the upper.
    pub between: (f64, f64),
    /// The two readings, lower and upper.
    pub readings: (Id, Id),
    /// Inches the invert falls between them, what increasers drop taken out.
    pub fall: f64,
    /// How far the fall may be off, inches.
    pub doubt: f64,
    /// The grade planned, in/ft.
    pub planned: f64,
    /// The least grade asked for, in/ft: the code's for the smallest pipe there, or the plan's where that is flatter.
    pub least: f64,
}

impl Fall {
    /// The grade measured, in/ft.
    pub fn grade(&self) -> f64 {
        self.fall * 12.0 / (self.between.1 - self.between.0)
    }

    /// Whether it is flat or falls back.
    pub fn is_flat(&self) -> bool {
        self.fall <= 0.0
    }

    /// Whether it is flatter than asked by more than the level can be off.
    pub fn is_short(&self) -> bool {
        self.is_under(self.least)
    }

    /// Whether it is flatter than planned by more than the level can be off.
    pub fn is_under_plan(&self) -> bool {
        self.is_under(self.planned)
    }

    fn is_under(&self, in_per_ft: f64) -> bool {
        let asked = in_per_ft * (self.between.1 - self.between.0) / 12.0;
        self.fall < asked - SURE * self.doubt
    }
}

pub(super) fn judge(plan: Plan, judged: &mut Judged, said: &mut Vec<Said>) {
    for planned in plan.runs() {
        let levels = levels(plan, planned);
        for level in &levels {
            said.push(off_line(plan, planned, level));
        }
        let falls = falls(plan, planned, &levels);
        let glued = levels.iter().any(|level| level.stage.is_glued());
        said.extend(falls.iter().map(|fall| fall_words(fall, glued)));
        said.extend(
            levels
                .first()
                .and_then(|level| remains(plan, planned, level)),
        );
        judged.levels.extend(levels);
        judged.falls.extend(falls);
    }
}

/// The latest level at each place of a run, from its lower end up.
fn levels(plan: Plan, planned: Planned) -> Vec<LevelRead> {
    let mut levels: Vec<LevelRead> = Vec::new();
    let of_run = plan.book.readings.iter().filter(|r| r.of == planned.run.id);
    for reading in of_run {
        let Some(level) = level(plan, planned, reading) else {
            continue;
        };
        // A place measured again: within half a foot it is the same place.
        let again = levels
            .iter()
            .position(|old| (old.station - level.station).abs() < 6.0);
        match again {
            Some(i) if levels[i].stage <= level.stage => levels[i] = level,
            Some(_) => {}
            None => levels.push(level),
        }
    }
    levels.sort_by(|a, b| a.station.total_cmp(&b.station));
    levels
}

fn level(plan: Plan, planned: Planned, reading: &Reading) -> Option<LevelRead> {
    let (spot, measured) = match &reading.what {
        What::Invert(spot, level) => (*spot, level.z()),
        What::Crown(spot, level) => (*spot, below_crown(plan, planned, *spot, *level)),
        _ => return None,
    };
    Some(LevelRead {
        run: planned.run.id.clone(),
        station: planned.station(spot),
        reading: reading.id.clone(),
        stage: reading.stage,
        planned: planned.invert(spot),
        measured,
    })
}

fn below_crown(plan: Plan, planned: Planned, spot: Spot, level: Level) -> f64 {
    let size = planned.run.size_at(planned.station(spot));
    let pipe = plan.outcome.catalog.pipe(size);
    level.z() - (pipe.od - pipe.wall)
}

fn off_line(plan: Plan, planned: Planned, level: &LevelRead) -> Said {
    let off = level.measured - level.planned;
    let far = off.abs() > LINE + plan.book.level;
    let place = format!("{}, {}", level.run, place(planned, level.station));
    let says = if off.abs() < 1.0 / 32.0 {
        format!(
            "the invert of {place}: at its level, {}",
            feet(level.measured)
        )
    } else {
        format!(
            "the invert of {place}: {}, {}",
            feet(level.measured),
            high_low(off)
        )
    };
    let act = if off > 0.0 { "lower" } else { "raise" };
    let next = match (far, level.stage.is_glued()) {
        (false, _) => String::new(),
        (true, true) => "it is glued: go by what that does to the fall".into(),
        (true, false) => format!(
            "{act} it {}, or go by what that does to the fall",
            inches(off)
        ),
    };
    Said {
        explained: false,
        weight: if far { Weight::Look } else { Weight::Nothing },
        items: vec![level.run.clone()],
        readings: vec![level.reading.clone()],
        says,
        next,
    }
}

/// A place on a run in words.
fn place(planned: Planned, station: f64) -> String {
    if station < 1.0 {
        "at its lower end".into()
    } else if station > planned.run.path.length() - 1.0 {
        "at its upper end".into()
    } else {
        format!("{} up from its lower end", feet(station))
    }
}

fn falls(plan: Plan, planned: Planned, levels: &[LevelRead]) -> Vec<Fall> {
    let next = |(i, low): (usize, &LevelRead)| {
        let high = levels[i + 1..]
            .iter()
            .find(|high| high.station - low.station >= APART)?;
        Some(fall(plan, planned, low, high))
    };
    levels.iter().enumerate().filter_map(next).collect()
}

fn fall(plan: Plan, planned: Planned, low: &LevelRead, high: &LevelRead) -> Fall {
    let steps = planned.line.steps.iter();
    let dropped: f64 = steps
        .filter(|(at, _)| *at >= low.station && *at < high.station)
        .map(|(_, drop)| drop)
        .sum();
    let grade = planned.line.grade.in_per_ft();
    let code = |station| {
        let size = planned.run.size_at(station);
        let figure = plan.outcome.rules.least_grade(size);
        figure.map_or(grade, |figure| figure.value)
    };
    Fall {
        run: planned.run.id.clone(),
        between: (low.station, high.station),
        readings: (low.reading.clone(), high.reading.clone()),
        fall: high.measured - low.measured - dropped,
        doubt: plan.book.level * std::f64::consts::SQRT_2,
        planned: grade,
        least: code(low.station).max(code(high.station)).min(grade),
    }
}

fn fall_words(fall: &Fall, glued: bool) -> Said {
    let length = fall.between.1 - fall.between.0;
    let between = format!(
        "{}, from {} to {} up",
        fall.run,
        feet(fall.between.0),
        feet(fall.between.1)
    );
    let lies = format!(
        "falls {} in {}, give or take {}",
        inches(fall.fall),
        feet(length),
        inches(fall.doubt.max(1.0 / 16.0))
    );
    let over = |in_per_ft: f64| {
        let wants = in_per_ft * length / 12.0;
        format!("{} ({})", inches(wants), grade(in_per_ft))
    };
    let lift = fall.least * length / 12.0 - fall.fall;
    let mend = format!(
        "{}raise its upper end or lower its lower end by {}, then read both again",
        if glued {
            "it is glued: dig it free, saw it where you must and "
        } else {
            ""
        },
        inches(lift)
    );
    let (weight, says, next) = if fall.is_flat() {
        let how = if fall.fall < -fall.doubt {
            format!("falls back {}", inches(fall.fall))
        } else {
            "is flat".into()
        };
        (Weight::Stop, format!("{between}: the pipe {how}"), mend)
    } else if fall.is_short() {
        (
            Weight::Stop,
            format!("{between}: {lies}, and must fall {}", over(fall.least)),
            mend,
        )
    } else if fall.is_under_plan() {
        (
            Weight::Look,
            format!(
                "{between}: {lies}, less than planned, {}, though no less than the least of the code, {}",
                over(fall.planned),
                over(fall.least)
            ),
            if glued {
                "what is above it has that much less to fall: solve the rest from it".into()
            } else {
                "set it to its grade while it is loose; what is above it has that much less to fall"
                    .into()
            },
        )
    } else {
        (
            Weight::Nothing,
            format!("{between}: {lies}, planned {}", over(fall.planned)),
            String::new(),
        )
    };
    Said {
        explained: false,
        weight,
        items: vec![fall.run.clone()],
        readings: vec![fall.readings.0.clone(), fall.readings.1.clone()],
        says,
        next,
    }
}

/// The fall that is left from a level to the exit, over the pipe that is left.
fn remains(plan: Plan, planned: Planned, level: &LevelRead) -> Option<Said> {
    let (length, spent, end) = way_down(plan, planned, level.station)?;
    if length < APART {
        return None;
    }
    let left = level.measured - spent - end;
    let per_foot = left * 12.0 / length;
    let least = planned.run.menu.iter().map(|g| g.in_per_ft());
    let least = least.fold(f64::INFINITY, f64::min);
    let doubt = plan.book.level * std::f64::consts::SQRT_2;
    let short = least * length / 12.0 - left;
    let says = format!(
        "from {} up {} to the exit remain {} of pipe and {} of fall, {}",
        feet(level.station),
        level.run,
        feet(length),
        inches(left),
        grade(per_foot)
    );
    let too_flat = short > SURE * doubt;
    Some(Said {
        explained: false,
        weight: if too_flat {
            Weight::Stop
        } else {
            Weight::Nothing
        },
        items: vec![level.run.clone()],
        readings: vec![level.reading.clone()],
        says: if left < 0.0 {
            format!("{} stands {} below the exit", level.run, inches(left))
        } else {
            says
        },
        next: if too_flat {
            format!(
                "it wants {} more at {}: raise it there, or solve again from what stands",
                inches(short),
                grade(least)
            )
        } else {
            String::new()
        },
    })
}

/// Pipe from a station down to the exit, inches spent in joins and steps on the way, and the level of the exit.
fn way_down(plan: Plan, planned: Planned, station: f64) -> Option<(f64, f64, f64)> {
    let outcome = plan.outcome;
    let (grades, tree) = (
        outcome.grades.get(planned.tree)?,
        outcome.network.trees.get(planned.tree)?,
    );
    let (mut length, mut spent) = (0.0, 0.0);
    let (mut index, mut station) = (planned.index, station);
    loop {
        let line = grades.lines.get(index)?;
        length += station;
        spent += line
            .steps
            .iter()
            .filter(|(at, _)| *at < station)
            .map(|(_, drop)| drop)
            .sum::<f64>();
        let Some(join) = tree.runs.get(index)?.join else {
            break;
        };
        spent += line.join.map_or(0.0, |made| made.above);
        (index, station) = (join.parent, join.at);
    }
    spent += grades.exit.drop;
    Some((length, spent, grades.exit.level))
}
