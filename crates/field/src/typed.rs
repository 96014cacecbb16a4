//! From a line typed at the trench to an entry of the book. What does not belong here: asking, the clock, the disk.

use flow::Outcome;
use layout::{Edit, reader::near, reader::quoted};
use units::{Id, Length};

use crate::{
    book::{Book, Spot},
    plan::Plan,
    ready::Due,
};

/// Who stands at the trench.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Session {
    /// Who measures; empty when not told.
    pub who: String,
    /// When, as the book writes it; empty when not told.
    pub when: String,
    /// The instrument's line of sight above finished floor as last typed, so that it need not be typed again.
    pub instrument: Option<String>,
}

/// A book that nothing was written in yet.
pub const EMPTY: &str = "\
// What was measured in the ground. Each reading: what it is of, what was measured, who, when, how far the work was.
(
    readings: {
    },
)
";

/// The due that a line like `main lavatory: sw 12'-3` asks for by name, and the rest of the line; the line itself for the
/// one that stands next. A run is named with its end where that matters: `trunk upper`, `trunk trench lower`.
///
/// # Errors
/// When nothing is called so; a near name is offered.
pub fn addressed<'d, 'l>(
    line: &'l str,
    next: &'d Due,
    all: &'d [Due],
) -> Result<(&'d Due, &'l str), String> {
    let Some((name, rest)) = line.split_once(':') else {
        return Ok((next, line));
    };
    let name = name.trim();
    let called = || {
        all.iter()
            .filter(|due| keys(due).iter().any(|key| key == name))
    };
    // The same name is due at several stages: the one that is at hand is meant.
    let done = rest.trim().eq_ignore_ascii_case("done");
    let markable = |due: &&Due| due.what == "done" || due.stage.is_glued();
    let marked = called().find(|due| done && markable(due));
    let found = marked
        .or_else(|| called().find(|due| due.stage == next.stage))
        .or_else(|| called().find(|due| due.stage > next.stage))
        .or_else(|| called().next());
    if let Some(due) = found {
        return Ok((due, rest));
    }
    let known: Vec<&str> = all.iter().map(|due| due.of.as_str()).collect();
    let meant = near(name, known.iter().copied());
    Err(match meant {
        Some(meant) => format!("nothing is called {name:?}; did you mean {meant}?"),
        None => format!("nothing is called {name:?} that is due; type ? for the list"),
    })
}

fn keys(due: &Due) -> Vec<String> {
    let of = due.of.as_str();
    let mut keys = vec![of.to_owned(), format!("{of} {}", due.what)];
    if let Some(end) = end(due) {
        keys.push(format!("{of} {end}"));
        keys.push(format!("{of} {} {end}", due.what));
    }
    keys
}

fn end(due: &Due) -> Option<&'static str> {
    match due.spot? {
        Spot::Upper => Some("upper"),
        Spot::Lower => Some("lower"),
        Spot::At(_) => None,
    }
}

/// The entry of the book that a line answers a due with, as RON. `sure`: it was read twice.
///
/// # Errors
/// Says what is wrong with the line and what would be right.
pub fn entry(
    outcome: &Outcome,
    book: &Book,
    due: &Due,
    line: &str,
    session: &mut Session,
    sure: bool,
) -> Result<String, String> {
    let plan = Plan { outcome, book };
    let due = &said_done(due, line)?;
    let parts: Vec<&str> = line
        .split(',')
        .map(str::trim)
        .filter(|p| !p.is_empty())
        .collect();
    let mut line = Line::default();
    for part in &parts {
        line.part(plan, due, part)?;
    }
    line.fields(due, session).map(|fields| {
        let who = quoted(&session.who);
        let mut fields = fields;
        if !session.who.is_empty() {
            fields.push(format!("who: {who}"));
        }
        if !session.when.is_empty() {
            fields.push(format!("when: {}", quoted(&session.when)));
        }
        fields.push(format!("stage: {}", due.stage.word()));
        if sure {
            fields.push("sure: yes".into());
        }
        format!("({})", fields.join(", "))
    })
}

/// `done` answers whatever can be glued, measured or not: then that it is done is what is noted.
fn said_done(due: &Due, line: &str) -> Result<Due, String> {
    let done = line.trim().eq_ignore_ascii_case("done") && matches!(due.what, "stub" | "invert");
    if !done {
        return Ok(due.clone());
    }
    if !due.stage.is_glued() {
        return Err(format!(
            "done says nothing of it {}: it wants a measure; type it like: {}",
            due.stage.says(),
            due.like
        ));
    }
    Ok(Due {
        what: "done",
        spot: None,
        ..due.clone()
    })
}

/// The parts of a line.
#[derive(Default)]
struct Line {
    tapes: Vec<(Id, String)>,
    string: Option<(Id, String, String)>,
    level: Option<String>,
    rod: Option<String>,
    instrument: Option<String>,
    at: Option<String>,
    crown: bool,
    heat: Option<f64>,
    done: bool,
}

impl Line {
    fn part(&mut self, plan: Plan, due: &Due, part: &str) -> Result<(), String> {
        let after = |word: &str| {
            let rest = part.strip_prefix(word)?;
            rest.starts_with(' ').then(|| rest.trim())
        };
        if due.what == "heat" {
            self.heat = Some(degrees(part)?);
        } else if due.what == "done" {
            self.done = matches!(part.to_ascii_lowercase().as_str(), "done" | "yes" | "y");
            if !self.done {
                return Err("type done when it is done, or nothing to go on".into());
            }
        } else if let Some(rest) = after("rod") {
            self.rod = Some(length(rest)?);
        } else if let Some(rest) = after("hi").or_else(|| after("instrument")) {
            self.instrument = Some(length(rest)?);
        } else if let Some(rest) = after("at") {
            self.at = Some(length(rest)?);
        } else if let Some(rest) = after("crown") {
            self.crown = true;
            self.level = Some(length(rest)?);
        } else if let Some(rest) = after("string") {
            self.string = Some(off_string(plan, rest)?);
        } else if let Some(tape) = tape(plan, part)? {
            self.tapes.push(tape);
        } else {
            self.level = Some(length(part)?);
        }
        Ok(())
    }

    fn fields(self, due: &Due, session: &mut Session) -> Result<Vec<String>, String> {
        let what = if self.crown { "crown" } else { due.what };
        let mut fields = vec![
            format!("of: {}", quoted(due.of.as_str())),
            format!("what: {what}"),
        ];
        let nothing = || {
            Err(format!(
                "nothing in that to note; type it like: {}",
                due.like
            ))
        };
        match due.what {
            "done" if self.done => {}
            "heat" => match self.heat {
                Some(degrees) => fields.push(format!("degrees_f: {degrees}")),
                None => return nothing(),
            },
            "diagonal" => match (&due.to, &self.level) {
                (Some(to), Some(length)) => {
                    fields.push(format!("to: {}", quoted(to.as_str())));
                    fields.push(format!("length: {}", quoted(length)));
                }
                _ => return nothing(),
            },
            "stub" => fields.push(self.taken().ok_or_else(|| missing(due))?),
            "string" => {
                fields.push(self.taken().ok_or_else(|| missing(due))?);
                let at = self.at.as_ref().ok_or_else(|| missing(due))?;
                fields.push(format!("at: {}", quoted(at)));
            }
            "sleeve" => {
                let (level, taken) = (self.level_text(session)?, self.taken());
                if level.is_none() && taken.is_none() {
                    return nothing();
                }
                fields.extend(level);
                fields.extend(taken);
            }
            _ => {
                fields.extend(self.spot_text(due));
                fields.push(self.level_text(session)?.ok_or_else(|| missing(due))?);
            }
        }
        Ok(fields)
    }

    fn spot_text(&self, due: &Due) -> Option<String> {
        match &self.at {
            Some(at) => Some(format!("at: {}", quoted(at))),
            None => end(due).map(|end| format!("at: {end}")),
        }
    }

    fn taken(&self) -> Option<String> {
        if let Some((string, along, side)) = &self.string {
            return Some(format!(
                "string: {}, along: {}, {side}",
                quoted(string.as_str()),
                quoted(along)
            ));
        }
        let pull = |(corner, length): &(Id, String)| {
            format!("({}, {})", quoted(corner.as_str()), quoted(length))
        };
        let pulls: Vec<String> = self.tapes.iter().map(pull).collect();
        (!pulls.is_empty()).then(|| format!("tapes: [{}]", pulls.join(", ")))
    }

    fn level_text(&self, session: &mut Session) -> Result<Option<String>, String> {
        if self.instrument.is_some() {
            session.instrument.clone_from(&self.instrument);
        }
        if let Some(level) = &self.level {
            return Ok(Some(format!("level: {}", quoted(level))));
        }
        let Some(rod) = &self.rod else {
            return Ok(None);
        };
        let instrument = session.instrument.as_ref().ok_or_else(|| {
            "a rod says nothing without its instrument; add hi 5.00 ft, its line of sight above the finished floor".to_owned()
        })?;
        Ok(Some(format!(
            "rod: {}, instrument: {}",
            quoted(rod),
            quoted(instrument)
        )))
    }
}

fn missing(due: &Due) -> String {
    format!("something is missing; type it like: {}", due.like)
}

/// A length as it was typed, once it can be read.
fn length(text: &str) -> Result<String, String> {
    match Length::parse(text) {
        Ok(_) => Ok(text.trim().to_owned()),
        Err(error) => Err(error.to_string()),
    }
}

fn degrees(text: &str) -> Result<f64, String> {
    let lower = text.trim().to_ascii_lowercase();
    let number = lower.trim_end_matches(['f', 'c']).trim();
    let degrees: f64 = number
        .parse()
        .map_err(|_| format!("{text:?} is not a temperature; type it like 68 F or 20 C"))?;
    Ok(if lower.ends_with('c') {
        degrees * 1.8 + 32.0
    } else {
        degrees
    })
}

/// `sw 12'-3`: a known corner, then a length. `None` when no name stands in front.
fn tape(plan: Plan, part: &str) -> Result<Option<(Id, String)>, String> {
    let points = plan.points();
    let starts = |id: &Id| {
        let rest = part.strip_prefix(id.as_str())?;
        rest.starts_with(' ').then(|| (id.clone(), rest.trim()))
    };
    let named = points.iter().filter_map(|(id, _)| starts(id));
    let longest = named.max_by_key(|(id, _)| id.as_str().len());
    if let Some((id, rest)) = longest {
        return Ok(Some((id, length(rest)?)));
    }
    let word = part.split(' ').next().unwrap_or_default();
    let is_name = word.starts_with(char::is_alphabetic);
    if !is_name {
        return Ok(None);
    }
    let names: Vec<&str> = points.iter().map(|(id, _)| id.as_str()).collect();
    Err(format!(
        "there is no corner {word:?}; {}",
        layout::reader::suggestion(word, &names)
    ))
}

/// `bath string 12' left 3 in`.
fn off_string(plan: Plan, rest: &str) -> Result<(Id, String, String), String> {
    let like = "type it like: string bath string 12' left 3 in";
    let starts = |id: &Id| {
        rest.strip_prefix(id.as_str())
            .map(|rest| (id.clone(), rest.trim()))
    };
    let strings = plan.book.strings.iter();
    let (id, rest) = strings
        .filter_map(|(id, ..)| starts(id))
        .max_by_key(|(id, _)| id.as_str().len())
        .ok_or_else(|| format!("that string is not in the book; add it to strings, then {like}"))?;
    for side in ["left", "right"] {
        if let Some((along, off)) = rest.split_once(side) {
            return Ok((
                id,
                length(along)?,
                format!("{side}: {}", quoted(&length(off)?)),
            ));
        }
    }
    Err(format!("left or right of the string is not told; {like}"))
}

/// The book's text with an entry more, and the entry's name.
///
/// # Errors
/// When the book is torn; its text is what it was.
pub fn append(text: &str, name: &str, entry: &str) -> Result<(String, Id), layout::EditError> {
    let text = if text.trim().is_empty() { EMPTY } else { text };
    let tree =
        layout::parse(text, name).map_err(|problem| layout::EditError::Document(*problem))?;
    let has = tree.entry("readings");
    let numbers = has.map_or(&[][..], |entry| entry.value.entries()).iter();
    let most = numbers
        .filter_map(|entry| entry.name.parse::<u64>().ok())
        .max();
    let id = (most.unwrap_or(0) + 1).to_string();
    let add = Edit::add("readings", &id, entry);
    let edit = match has {
        Some(_) => add,
        None => Edit::All(vec![
            Edit::Insert {
                path: vec!["readings".into()],
                value: "{}".into(),
            },
            add,
        ]),
    };
    let applied = layout::apply(text, name, &edit)?;
    Ok((on_its_own_line(applied.text, &id), Id::from(id)))
}

/// A reading a line: the entry called `id`, the last of that name in the text, moved to a line of its own.
fn on_its_own_line(text: String, id: &str) -> String {
    let key = format!("{}: (", quoted(id));
    let Some(at) = text.rfind(&key) else {
        return text;
    };
    let before = text[..at].trim_end_matches(' ');
    if before.ends_with('\n') {
        return text;
    }
    format!("{before}\n        {}", &text[at..])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::Stage;

    fn due(stage: Stage) -> Due {
        Due {
            of: "washer".into(),
            what: "stub",
            spot: None,
            to: None,
            stage,
            asks: String::new(),
            plan: String::new(),
            like: "sw 10'-0\"".into(),
        }
    }

    #[test]
    fn done_is_said_of_what_is_glued_and_of_nothing_before() {
        assert_eq!(
            said_done(&due(Stage::Glued), " Done ").unwrap().what,
            "done"
        );
        assert_eq!(
            said_done(&due(Stage::Glued), "sw 10'").unwrap().what,
            "stub"
        );
        let refused = said_done(&due(Stage::DryFit), "done").unwrap_err();
        assert!(
            refused.ends_with("it wants a measure; type it like: sw 10'-0\""),
            "{refused}"
        );
    }

    #[test]
    fn done_by_name_means_the_stage_at_which_it_can_be() {
        let dues = [due(Stage::DryFit), due(Stage::Glued)];
        let stage = |line| addressed(line, &dues[0], &dues).unwrap().0.stage;
        assert_eq!(stage("washer: done"), Stage::Glued);
        assert_eq!(stage("washer: sw 10'"), Stage::DryFit);
    }
}
