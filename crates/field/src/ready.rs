//! What is due: the readings each stage of the work wants, and the four stop points at which they must be there. Before
//! the dig, the glue, the cover and the pour a mistake is still cheap.

use flow::Outcome;
use units::Id;

use crate::{
    book::{Book, Reading, STAGES, Spot, Stage, What},
    judge::{Judged, Weight},
    plan::{Plan, corners},
    say::feet,
    suit::MARKS,
};

/// A reading that is due.
#[derive(Clone, PartialEq, Debug)]
pub struct Due {
    /// What it is of.
    pub of: Id,
    /// The word for what is measured, as in the file.
    pub what: &'static str,
    /// Where on a run.
    pub spot: Option<Spot>,
    /// The other corner of a diagonal.
    pub to: Option<Id>,
    /// The stage it belongs to.
    pub stage: Stage,
    /// What to measure, in words.
    pub asks: String,
    /// What the plan has, in words; empty where it has nothing.
    pub plan: String,
    /// How to answer, as typed.
    pub like: String,
}

/// A place in the job to stop and look.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Stop {
    /// Before the trench is dug.
    Dig,
    /// Before the first joint is glued.
    Glue,
    /// Before anything is covered.
    Cover,
    /// Before the concrete comes.
    Pour,
}

impl Stop {
    /// The four, in order.
    pub const ALL: [Self; 4] = [Self::Dig, Self::Glue, Self::Cover, Self::Pour];

    /// As it is said.
    pub fn says(self) -> &'static str {
        match self {
            Self::Dig => "before the dig",
            Self::Glue => "before the glue",
            Self::Cover => "before the cover",
            Self::Pour => "before the pour",
        }
    }

    /// The stages whose readings must be there.
    fn stages(self) -> &'static [Stage] {
        match self {
            Self::Dig => &[Stage::Strings, Stage::Sleeve],
            Self::Glue => &[Stage::Dug, Stage::DryFit],
            Self::Cover => &[Stage::Glued],
            Self::Pour => &[Stage::Backfilled, Stage::Pour],
        }
    }
}

/// Whether a stop point is passed.
#[derive(Clone, PartialEq, Debug)]
pub struct StopPoint {
    /// Which.
    pub stop: Stop,
    /// What stands against it whatever is measured, a line each: the layout fails, a reading says stop.
    pub against: Vec<String>,
    /// What is missing, a line for all of a kind.
    pub missing: Vec<String>,
}

impl StopPoint {
    /// Whether nothing is missing and nothing stands against it.
    pub fn is_ready(&self) -> bool {
        self.against.is_empty() && self.missing.is_empty()
    }
}

/// Every reading that is still due, in the order of the job. A reading at a later stage answers for the same thing at an
/// earlier one.
pub fn due(outcome: &Outcome, book: &Book) -> Vec<Due> {
    let plan = Plan { outcome, book };
    let stages = STAGES.iter().flat_map(|(_, stage)| wanted(plan, *stage));
    stages.filter(|due| !answered(plan, due)).collect()
}

/// The four stop points, in order.
pub fn stop_points(outcome: &Outcome, book: &Book, judged: &Judged) -> Vec<StopPoint> {
    let due = due(outcome, book);
    let of_stop = |stop: Stop| {
        let against = standing(outcome, judged, stop);
        let of_stages = due.iter().filter(|due| stop.stages().contains(&due.stage));
        StopPoint {
            stop,
            against,
            missing: in_kinds(of_stages),
        }
    };
    Stop::ALL.into_iter().map(of_stop).collect()
}

/// What is due, one line for all of a kind at a stage; a run of which both ends are due stands there once.
pub fn in_kinds<'d>(due: impl Iterator<Item = &'d Due>) -> Vec<String> {
    let mut lines: Vec<(Stage, &str, Vec<String>)> = Vec::new();
    for one in due {
        let name = match (one.spot, &one.to) {
            (Some(Spot::Lower), _) => format!("{} lower end", one.of),
            (Some(Spot::Upper), _) => format!("{} upper end", one.of),
            (_, Some(to)) => format!("{} to {to}", one.of),
            (Some(Spot::At(_)) | None, None) => one.of.to_string(),
        };
        let at = lines
            .iter()
            .position(|line| (line.0, line.1) == (one.stage, one.what));
        let at = at.unwrap_or_else(|| {
            lines.push((one.stage, one.what, Vec::new()));
            lines.len() - 1
        });
        let names = &mut lines[at].2;
        let lower = format!("{} lower end", one.of);
        if one.spot == Some(Spot::Upper) && names.last() == Some(&lower) {
            names.pop();
            names.push(one.of.to_string());
        } else {
            names.push(name);
        }
    }
    let told = |(stage, what, names): (Stage, &str, Vec<String>)| {
        let (what, stage) = (plural(what), stage.says());
        if what == stage {
            format!("{what}: {}", names.join(", "))
        } else {
            format!("{what} ({stage}): {}", names.join(", "))
        }
    };
    lines.into_iter().map(told).collect()
}

fn plural(what: &str) -> &str {
    match what {
        "stub" => "places of stubs",
        "top" => "tops of stubs",
        "invert" => "inverts",
        "trench" => "trench bottoms",
        "diagonal" => "diagonals of the form",
        "string" => "strings",
        "sleeve" => "sleeves",
        "heat" => "warmth of the pipe",
        _ => "to be done",
    }
}

/// What stands against a stop point whatever is measured: findings that fail, what is still to tell, readings that say
/// stop.
fn standing(outcome: &Outcome, judged: &Judged, stop: Stop) -> Vec<String> {
    let mut missing = Vec::new();
    let fails = |finding: &&checks::Finding| finding.verdict == checks::Verdict::Fails;
    let n_fail = outcome.findings.iter().filter(fails).count();
    let feasible = outcome.grades.iter().all(grades::Grades::is_feasible);
    if n_fail > 0 || !feasible {
        missing.push("the layout fails as drawn: `fallwise check` tells where".into());
    }
    if stop == Stop::Dig && !outcome.to_tell.is_empty() {
        let n = outcome.to_tell.len();
        missing.push(format!(
            "{n} things of the layout are still to tell: `fallwise check` lists them"
        ));
    }
    let stops = judged
        .said
        .iter()
        .filter(|said| said.weight == Weight::Stop && !said.explained);
    missing.extend(stops.map(|said| said.says.clone()));
    missing
}

fn answered(plan: Plan, due: &Due) -> bool {
    answering(plan, due).is_some()
}

/// The reading that answers a due: of its own stage where there is one, else of the next; the last in the file.
pub(crate) fn answering<'a>(plan: Plan<'a>, due: &Due) -> Option<&'a Reading> {
    let readings = plan.book.readings.iter().rev();
    let fit = readings.filter(|reading| answers(plan, due, reading));
    fit.min_by_key(|reading| reading.stage)
}

fn answers(plan: Plan, due: &Due, reading: &Reading) -> bool {
    let later = reading.stage >= due.stage;
    let same = match &reading.what {
        What::Diagonal(to, _) => {
            let (a, b) = (&reading.of, due.to.as_ref());
            due.what == "diagonal"
                && (a == &due.of && Some(to) == b || Some(a) == b && *to == due.of)
        }
        What::Invert(spot, _) | What::Crown(spot, _) => {
            due.what == "invert" && reading.of == due.of && same_spot(plan, due, *spot)
        }
        What::Trench(spot, _) => {
            due.what == "trench" && reading.of == due.of && same_spot(plan, due, *spot)
        }
        // Heat is of its own stage: that of the gluing does not tell the pour's.
        What::Heat(_) => {
            return due.what == "heat" && reading.of == due.of && reading.stage == due.stage;
        }
        What::Sleeve(level, taken) => {
            due.what == "sleeve" && reading.of == due.of && (level.is_some() || taken.is_some())
        }
        What::Stub(_) | What::Top(_) | What::String(..) | What::Done => {
            reading.what.word() == due.what && reading.of == due.of
        }
    };
    same && later
}

fn same_spot(plan: Plan, due: &Due, spot: Spot) -> bool {
    let Some((planned, wanted)) = plan.run(&due.of).zip(due.spot) else {
        return false;
    };
    // Whoever cannot reach the very end reads a foot beside it.
    (planned.station(wanted) - planned.station(spot)).abs() <= 12.0
}

fn wanted(plan: Plan, stage: Stage) -> Vec<Due> {
    match stage {
        Stage::Strings => [diagonals(plan), strings(plan)].concat(),
        Stage::Sleeve => [sleeves(plan), marks(stage, &["lines marked"])].concat(),
        Stage::Dug => levels(plan, stage, "trench"),
        Stage::DryFit => [stubs(plan, stage), levels(plan, stage, "invert")].concat(),
        Stage::Glued => [
            stubs(plan, stage),
            levels(plan, stage, "invert"),
            heat(plan, stage),
            marks(stage, &["test", "inspection"]),
        ]
        .concat(),
        Stage::Backfilled => levels(plan, stage, "invert"),
        Stage::Pour => [
            stubs(plan, stage),
            tops(plan),
            heat(plan, stage),
            marks(stage, &["caps"]),
        ]
        .concat(),
    }
}

fn diagonals(plan: Plan) -> Vec<Due> {
    let named = corners(plan.layout());
    let at = |name: &str| {
        named
            .iter()
            .find(|(id, _)| id.as_str() == name)
            .map(|(_, at)| *at)
    };
    let pairs = [("sw", "ne"), ("se", "nw")];
    let due = |(a, b): (&str, &str)| {
        let planned = at(a)?.distance(at(b)?);
        Some(Due {
            of: a.into(),
            what: "diagonal",
            spot: None,
            to: Some(b.into()),
            stage: Stage::Strings,
            asks: format!("pull the diagonal of the form from {a} to {b}"),
            plan: feet(planned),
            like: feet(planned),
        })
    };
    pairs.into_iter().filter_map(due).collect()
}

fn strings(plan: Plan) -> Vec<Due> {
    let strings = plan.book.strings.iter();
    strings
        .map(|(id, from, to)| Due {
            of: id.clone(),
            what: "string",
            spot: None,
            to: None,
            stage: Stage::Strings,
            asks: format!("pull two tapes from corners to a mark on {id}, and tell how far the mark is from its first end"),
            plan: format!("{} long", feet(from.distance(*to))),
            like: "at 10', sw 12'-6, se 30'-2".into(),
        })
        .collect()
}

fn sleeves(plan: Plan) -> Vec<Due> {
    let due = |drain: &layout::Drain| {
        let sleeve = plan.sleeve(&drain.id)?;
        let (a, b) = plan.side(sleeve.at)?;
        let points = corners(plan.layout());
        let corner = points.iter().find(|(_, at)| *at == a || *at == b)?;
        let along = corner.1.distance(sleeve.at);
        Some(Due {
            of: drain.id.clone(),
            what: "sleeve",
            spot: None,
            to: None,
            stage: Stage::Sleeve,
            asks: format!(
                "measure the sleeve of {}: inside bottom below the finished floor, and along the wall from {} to its middle",
                drain.id, corner.0
            ),
            plan: format!("{}, {} {}", feet(sleeve.bottom), corner.0, feet(along)),
            like: format!("{}, {} {}", feet(sleeve.bottom), corner.0, feet(along)),
        })
    };
    plan.layout().drains.iter().filter_map(due).collect()
}

fn marks(stage: Stage, names: &[&str]) -> Vec<Due> {
    let due = |name: &&str| {
        let (name, says) = MARKS.iter().find(|(mark, _)| mark == name)?;
        Some(Due {
            of: (*name).into(),
            what: "done",
            spot: None,
            to: None,
            stage,
            asks: (*says).into(),
            plan: String::new(),
            like: "done".into(),
        })
    };
    names.iter().filter_map(due).collect()
}

fn levels(plan: Plan, stage: Stage, what: &'static str) -> Vec<Due> {
    let mut dues = Vec::new();
    for planned in plan.runs() {
        let long = planned.run.path.length() > 24.0;
        let spots = [Spot::Lower, Spot::Upper];
        for spot in spots.into_iter().skip(usize::from(!long)) {
            let invert = planned.invert(spot);
            let pipe = plan
                .outcome
                .catalog
                .pipe(planned.run.size_at(planned.station(spot)));
            let id = &planned.run.id;
            let end = match spot {
                Spot::Lower => "lower",
                Spot::Upper | Spot::At(_) => "upper",
            };
            let (asks, level) = match what {
                "trench" => (
                    format!("read the trench bottom at the {end} end of {id}"),
                    trench::level::trench_bottom(invert, pipe.wall, plan.book.bedding),
                ),
                _ => (
                    format!("read the invert at the {end} end of {id}, {}", stage.says()),
                    invert,
                ),
            };
            dues.push(Due {
                of: id.clone(),
                what,
                spot: Some(spot),
                to: None,
                stage,
                asks,
                plan: feet(level),
                like: feet(level),
            });
        }
    }
    dues
}

fn stubs(plan: Plan, stage: Stage) -> Vec<Due> {
    let inside = plan
        .stubs()
        .iter()
        .filter(|stub| !stub.stands_outside(plan.layout()));
    inside
        .map(|stub| {
            let name = stub.name();
            let ties = nearest(plan, stub.at);
            let glued = if stage == Stage::Glued {
                "; done notes that it is glued, without a measure"
            } else {
                ""
            };
            Due {
                asks: format!(
                    "pull two tapes or three to the middle of {name}, {}{glued}",
                    stage.says()
                ),
                of: name,
                what: "stub",
                spot: None,
                to: None,
                stage,
                plan: ties.clone(),
                like: ties,
            }
        })
        .collect()
}

/// The three named corners nearest to a point with their tape lengths.
fn nearest(plan: Plan, at: glam::DVec2) -> String {
    let mut named: Vec<(Id, f64)> = corners(plan.layout())
        .into_iter()
        .take(4)
        .map(|(id, corner)| (id, corner.distance(at)))
        .collect();
    named.sort_by(|a, b| a.1.total_cmp(&b.1));
    let ties: Vec<String> = named
        .iter()
        .take(3)
        .map(|(id, far)| format!("{id} {}", feet(*far)))
        .collect();
    ties.join(", ")
}

fn tops(plan: Plan) -> Vec<Due> {
    let inside = plan
        .stubs()
        .iter()
        .filter(|stub| !stub.stands_outside(plan.layout()));
    inside
        .map(|stub| {
            let name = stub.name();
            Due {
                asks: format!("measure the top of {name} above the finished floor"),
                of: name,
                what: "top",
                spot: None,
                to: None,
                stage: Stage::Pour,
                plan: feet(stub.top),
                like: feet(stub.top),
            }
        })
        .collect()
}

fn heat(plan: Plan, stage: Stage) -> Vec<Due> {
    let drains = plan.layout().drains.iter();
    drains
        .map(|drain| Due {
            of: drain.id.clone(),
            what: "heat",
            spot: None,
            to: None,
            stage,
            asks: format!("how warm is the pipe of {}, {}", drain.id, stage.says()),
            plan: String::new(),
            like: "68 F".into(),
        })
        .collect()
}
