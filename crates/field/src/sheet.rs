//! The field book as a page to fill in: what a stage wants, the plan beside what was measured, the answers; and one typed
//! answer put into the book. What does not belong here: asking and drawing (fallwise, viewer), the disk.

use flow::{Inputs, Outcome};
use glam::DVec3;
use layout::EditError;
use units::Id;

use crate::{
    Book, Due, Judged, Level, Reading, Said, Session, Spot, Stage, StopPoint, Suspicion, Taken,
    Weight, What, append, entry,
    judge::judge,
    misfits,
    plan::Plan,
    read,
    ready::{answering, due, stop_points},
    say::{feet, inches, moved},
    solve_back, suspect,
    tell::again,
};

/// A reading that a stage wants.
#[derive(Clone, PartialEq, Debug)]
pub struct Row {
    /// What is wanted, with the plan's figure.
    pub due: Due,
    /// Its name on the page: `trunk: invert, lower end`.
    pub name: String,
    /// What was measured, as it was typed; `None` when it was not.
    pub measured: Option<String>,
    /// What the readings say of it, the causes with it; empty when it was not measured.
    pub answers: Vec<Said>,
}

impl Row {
    /// The heaviest of its answers; `None` when it was not measured.
    pub fn weight(&self) -> Option<Weight> {
        self.measured.as_ref()?;
        let heaviest = self.answers.iter().map(|said| said.weight).min();
        Some(heaviest.unwrap_or(Weight::Nothing))
    }
}

/// A measured place beside the planned one, for the picture.
#[derive(Clone, PartialEq, Debug)]
pub struct Beside {
    /// The stub or drain.
    pub id: Id,
    /// Where it should be, inches from the form's south-west corner and finished floor.
    pub planned: DVec3,
    /// Where it is.
    pub measured: DVec3,
    /// How that weighs.
    pub weight: Weight,
    /// From the one to the other: `5 1/2 in west`; empty under a sixteenth.
    pub says: String,
}

/// The page of one stage.
#[derive(Clone, PartialEq, Debug)]
pub struct Sheet {
    /// The stage.
    pub stage: Stage,
    /// What it wants, in the order of the job.
    pub rows: Vec<Row>,
    /// How many readings the book has.
    pub n_readings: usize,
    /// Stubs and sleeves measured at any stage.
    pub beside: Vec<Beside>,
    /// What the rest of the drain does by what stands, a line each.
    pub again: Vec<String>,
    /// The four stop points.
    pub stops: Vec<StopPoint>,
}

/// The page of a stage.
///
/// # Errors
/// When the layout's document cannot be edited: it is torn, say.
pub fn sheet(
    inputs: &Inputs,
    outcome: &Outcome,
    book: &Book,
    stage: Stage,
) -> Result<Sheet, EditError> {
    let plan = Plan { outcome, book };
    let judged = judge(outcome, book);
    let solved = solve_back(inputs, outcome, book)?;
    let wanted = wanted(outcome, book);
    let of_stage = wanted.into_iter().filter(|due| due.stage == stage);
    Ok(Sheet {
        stage,
        rows: of_stage.map(|due| row(plan, &judged, due)).collect(),
        n_readings: book.readings.len(),
        beside: beside(plan, &judged),
        again: again(outcome, book, &solved),
        stops: stop_points(outcome, book, &judged),
    })
}

/// Everything that was ever due, measured or not.
pub fn wanted(outcome: &Outcome, book: &Book) -> Vec<Due> {
    let mut unread = book.clone();
    unread.readings.clear();
    due(outcome, &unread)
}

fn row(plan: Plan, judged: &Judged, due: Due) -> Row {
    let reading = answering(plan, &due);
    let answers = reading.map(|reading| judged.about(&reading.id));
    Row {
        name: name(&due),
        measured: reading.map(|reading| measured(reading, due.stage)),
        answers: answers.unwrap_or_default().into_iter().cloned().collect(),
        due,
    }
}

/// What a wanted reading is called: `washer`, `trunk: invert, lower end`.
fn name(due: &Due) -> String {
    let of = &due.of;
    let end = match due.spot {
        Some(Spot::Upper) => ", upper end",
        Some(Spot::Lower) => ", lower end",
        Some(Spot::At(_)) | None => "",
    };
    match (due.what, &due.to) {
        ("diagonal", Some(to)) => format!("diagonal {of} to {to}"),
        ("stub", _) => format!("{of}: place"),
        ("trench", _) => format!("{of}: trench bottom{end}"),
        ("heat", _) => format!("{of}: warmth of the pipe"),
        ("done", _) => of.to_string(),
        (what, _) => format!("{of}: {what}{end}"),
    }
}

/// A reading as it was typed; with its stage where that is a later one.
fn measured(reading: &Reading, stage: Stage) -> String {
    let says = figures(&reading.what);
    if reading.stage == stage {
        says
    } else {
        format!("{says} ({})", reading.stage.says())
    }
}

fn figures(what: &What) -> String {
    match what {
        What::Stub(taken) => by(taken),
        What::String(at, taken) => format!("at {}, {}", feet(*at), by(taken)),
        What::Sleeve(level, taken) => {
            let level = level.as_ref().map(leveled);
            let parts: Vec<String> = level.into_iter().chain(taken.as_ref().map(by)).collect();
            parts.join(", ")
        }
        What::Top(level) | What::Invert(_, level) | What::Trench(_, level) => leveled(level),
        What::Crown(_, level) => format!("crown {}", leveled(level)),
        What::Diagonal(_, length) => feet(*length),
        What::Heat(degrees) => format!("{} F", degrees.round()),
        What::Done => "done".into(),
    }
}

fn leveled(level: &Level) -> String {
    match level {
        Level::Told(z) => feet(*z),
        Level::Rod { rod, instrument } => format!(
            "{} (rod {} under {})",
            feet(level.z()),
            feet(*rod),
            feet(*instrument)
        ),
    }
}

fn by(taken: &Taken) -> String {
    match taken {
        Taken::Tapes(pulls) => {
            let pull = |(corner, length): &(Id, f64)| format!("{corner} {}", feet(*length));
            pulls.iter().map(pull).collect::<Vec<_>>().join(", ")
        }
        Taken::Off(string, along, left) => format!(
            "{} along {string}, {} {} of it",
            feet(*along),
            inches(*left),
            if *left < 0.0 { "right" } else { "left" }
        ),
    }
}

fn beside(plan: Plan, judged: &Judged) -> Vec<Beside> {
    let weight = |reading: &Id| {
        let about = judged.about(reading);
        let heaviest = about.iter().map(|said| said.weight).min();
        heaviest.unwrap_or(Weight::Nothing)
    };
    let stubs = judged.stubs.iter().map(|read| {
        let planned_top = plan.stub(&read.id).map_or(0.0, |stub| stub.top);
        let (planned, measured) = read.top.unwrap_or((planned_top, planned_top));
        Beside {
            id: read.id.clone(),
            planned: read.planned.extend(planned),
            measured: read.measured.extend(measured),
            weight: weight(&read.reading),
            says: off(read.off()),
        }
    });
    let sleeves = judged.sleeves.iter().filter_map(|read| {
        let sleeve = plan.sleeve(&read.drain)?;
        let reading = read
            .place_reading
            .as_ref()
            .or(read.level_reading.as_ref())?;
        let (planned, measured) = read.at.unwrap_or((sleeve.at, sleeve.at));
        let (low, poured) = read.bottom.unwrap_or((sleeve.bottom, sleeve.bottom));
        let low_by = poured - low;
        let parts = [off(measured - planned), up_down(low_by)];
        let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        Some(Beside {
            id: read.drain.clone(),
            planned: planned.extend(low + sleeve.inside / 2.0),
            measured: measured.extend(poured + sleeve.inside / 2.0),
            weight: weight(reading),
            says: parts.join(", "),
        })
    });
    stubs.chain(sleeves).collect()
}

fn off(by: glam::DVec2) -> String {
    let says = moved(by);
    if says == "not at all" {
        String::new()
    } else {
        says
    }
}

fn up_down(by: f64) -> String {
    if by.abs() < 1.0 / 32.0 {
        String::new()
    } else {
        crate::say::high_low(by)
    }
}

/// What came of a typed answer.
#[derive(Clone, PartialEq, Debug)]
pub enum Noted {
    /// It is in the book.
    Taken {
        /// The book's text with it.
        text: String,
        /// The book.
        book: Box<Book>,
        /// The reading's name.
        id: Id,
    },
    /// A figure looks misread; noted only when it was read twice.
    Odd(Suspicion),
    /// It was not noted: what is wrong, and what would be right.
    Wrong(String),
}

/// Puts what was typed for a wanted reading into the book's text, when the whole book then holds; the text given is never
/// changed. `sure`: the figure was read twice.
pub fn note(
    outcome: &Outcome,
    (text, name): (&str, &str),
    due: &Due,
    typed: &str,
    session: &mut Session,
    sure: bool,
) -> Noted {
    let (book, _) = read(text, name);
    let made = entry(outcome, &book, due, typed, session, sure).and_then(|entry| {
        append(text, name, &entry).map_err(|error| format!("the field book is torn: {error}"))
    });
    let (text, id) = match made {
        Ok(made) => made,
        Err(wrong) => return Noted::Wrong(wrong),
    };
    let (book, mut problems) = read(&text, name);
    let reading = book.readings.iter().find(|reading| reading.id == id);
    let odd = reading.and_then(|reading| suspect(outcome, &book, reading));
    if let Some(odd) = odd.filter(|_| problems.is_empty()) {
        return Noted::Odd(odd);
    }
    problems.extend(misfits(outcome, &book));
    match problems.first() {
        Some(problem) => Noted::Wrong(format!("{}; {}", problem.wrong, problem.right)),
        None => Noted::Taken {
            text,
            book: Box::new(book),
            id,
        },
    }
}

/// Whether a reading fixes something that the rest must follow: a sleeve that is poured, pipe that is glued.
pub fn changes_the_rest(book: &Book, id: &Id) -> bool {
    let reading = book.readings.iter().find(|reading| reading.id == *id);
    reading.is_some_and(|reading| match reading.what {
        What::Sleeve(..) => true,
        What::Invert(..) | What::Crown(..) | What::Stub(_) => reading.stage >= Stage::Glued,
        What::Top(_)
        | What::Trench(..)
        | What::Diagonal(..)
        | What::String(..)
        | What::Heat(_)
        | What::Done => false,
    })
}

/// The stage the book has come to: that of its latest reading; the first of all without one.
pub fn stage_at_hand(book: &Book) -> Stage {
    let stages = book.readings.iter().map(|reading| reading.stage);
    stages.max().unwrap_or(Stage::Strings)
}
