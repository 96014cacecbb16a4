//! `fallwise field`: asks for what is due at the trench, notes each answer whole or not at all, and tells what the readings
//! say. The sums are the field crate's.

use std::{
    fmt::Write as _,
    io::{BufRead, IsTerminal, Write},
    path::{Path, PathBuf},
    time::{SystemTime, UNIX_EPOCH},
};

use anyhow::{Context, Result, bail};
use field::{Book, Due, Judged, Noted, Said, Session, Solved, Stage, Weight};
use flow::{Inputs, Outcome};

use crate::{
    Status, field_json, files,
    foreman::{self, WIDTH},
    say, unusable,
    wrap::wrap,
};

/// What was asked of `fallwise field`.
pub(crate) struct Asked<'a> {
    pub(crate) file: &'a Path,
    pub(crate) judge: bool,
    pub(crate) json: bool,
    pub(crate) stage: Option<Stage>,
    pub(crate) who: Option<&'a str>,
    pub(crate) when: Option<&'a str>,
    pub(crate) as_built: Option<&'a Path>,
}

pub(crate) fn field(asked: &Asked) -> Result<Status> {
    let read = files::read(asked.file, None)?;
    let outcome = flow::run(&read.inputs);
    if let Some(status) = unusable(&outcome, &read.problems)? {
        return Ok(status);
    }
    let path = book_of(asked.file);
    let text = if path.exists() {
        layout::load(&path).with_context(|| format!("beside {}", asked.file.display()))?
    } else {
        String::new()
    };
    let name = path.display().to_string();
    let (book, problems) = in_order(&outcome, &text, &name);
    if !problems.is_empty() {
        return told(&problems);
    }
    if let Some(out) = asked.as_built {
        return as_built(&read.inputs, &outcome, &book, out);
    }
    let site = Site {
        inputs: &read.inputs,
        outcome: &outcome,
        path: &path,
        name: &name,
    };
    if asked.json {
        let (judged, solved) = site.judged(&book)?;
        say(&field_json::json(&outcome, &book, &judged, &solved))?;
        return Ok(status(&judged, &solved));
    }
    let mut book = book;
    if !asked.judge {
        let noted = site.ask(&mut book, text, asked)?;
        if noted.heard {
            return site.leave(&book, noted.count);
        }
    }
    let (judged, solved) = site.judged(&book)?;
    say(&report(&site, &book, &judged, &solved))?;
    Ok(status(&judged, &solved))
}

/// `house.field.ron` beside `house.ron`.
pub(crate) fn book_of(file: &Path) -> PathBuf {
    file.with_extension("field.ron")
}

/// A book with every mistake of its text and of its readings.
pub(crate) fn in_order(outcome: &Outcome, text: &str, name: &str) -> (Book, Vec<layout::Problem>) {
    let (book, mut problems) = field::read(text, name);
    problems.extend(field::misfits(outcome, &book));
    problems.sort_by_key(|problem| (problem.line, problem.column));
    (book, problems)
}

/// Tells every mistake of a field book.
pub(crate) fn told(problems: &[layout::Problem]) -> Result<Status> {
    let mut err = anstream::stderr().lock();
    for problem in problems {
        writeln!(err, "{problem}")?;
    }
    let n = problems.len();
    let things = if n == 1 { "thing" } else { "things" };
    writeln!(
        err,
        "fallwise: {n} {things} to put right in the field book; it is left as it is"
    )?;
    Ok(Status::Unusable)
}

fn status(judged: &Judged, solved: &Solved) -> Status {
    let falls = solved.outcome.grades.iter().all(grades_hold);
    if judged.stops() || !falls {
        Status::Fails
    } else {
        Status::NothingFails
    }
}

fn grades_hold(grades: &grades::Grades) -> bool {
    grades.is_feasible()
}

fn as_built(inputs: &Inputs, outcome: &Outcome, book: &Book, out: &Path) -> Result<Status> {
    let built = field::as_built(inputs, outcome, book)?;
    let made = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(out);
    if made
        .as_ref()
        .is_err_and(|error| error.kind() == std::io::ErrorKind::AlreadyExists)
    {
        bail!(
            "there is a file {} already and it is left as it is; name another",
            out.display()
        );
    }
    let mut made = made.with_context(|| format!("can't write {}", out.display()))?;
    made.write_all(built.text.as_bytes())
        .and_then(|()| made.sync_all())
        .with_context(|| format!("can't write {}", out.display()))?;
    let mut text = format!("wrote {}, the layout as it stands:\n", out.display());
    for line in &built.says {
        let _ = writeln!(text, "  {line}");
    }
    if built.says.is_empty() {
        text.push_str("  nothing measured differs from the plan\n");
    }
    if !built.comments_kept {
        text.push_str("its comments could not be kept\n");
    }
    say(&text)?;
    Ok(Status::NothingFails)
}

/// A layout and its book, at the trench.
struct Site<'a> {
    inputs: &'a Inputs,
    outcome: &'a Outcome,
    path: &'a Path,
    name: &'a str,
}

/// What came of asking.
struct Heard {
    /// Whether anybody answered at all: a line, or a terminal that was left.
    heard: bool,
    /// Readings noted.
    count: usize,
}

/// What one line did.
enum Took {
    /// It was noted, or told what is wrong.
    Line,
    /// It asks to skip the one that stands next.
    Skip,
    /// It asks to skip to the next stage.
    NextStage,
    /// Nobody is there any more.
    End,
}

impl Site<'_> {
    fn judged(&self, book: &Book) -> Result<(Judged, Solved)> {
        let judged = field::judge(self.outcome, book);
        let solved = field::solve_back(self.inputs, self.outcome, book)?;
        Ok((judged, solved))
    }

    /// Asks for what is due until it is all told or nobody answers.
    fn ask(&self, book: &mut Book, mut text: String, asked: &Asked) -> Result<Heard> {
        let terminal = std::io::stdin().is_terminal();
        let mut lines = std::io::stdin().lock().lines();
        let mut noted = Heard {
            heard: terminal,
            count: 0,
        };
        let mut session = Session {
            who: asked.who.unwrap_or_default().to_owned(),
            when: asked.when.map_or_else(now, ToOwned::to_owned),
            instrument: None,
        };
        if terminal {
            say(HOW)?;
            if session.who.is_empty() {
                say("who measures? ")?;
                let line = lines.next().transpose()?.unwrap_or_default();
                line.trim().clone_into(&mut session.who);
            }
        }
        let mut passed: Vec<Due> = Vec::new();
        loop {
            let due: Vec<Due> = field::due(self.outcome, book);
            let next = due.iter().find(|one| {
                asked.stage.is_none_or(|stage| one.stage == stage) && !passed.contains(one)
            });
            let Some(next) = next.cloned() else {
                break;
            };
            if terminal {
                say(&question(&next))?;
            }
            let Some(line) = lines.next().transpose()? else {
                break;
            };
            noted.heard = true;
            let all = field::wanted(self.outcome, book);
            match self.take(
                book,
                &mut text,
                &next,
                &all,
                line.trim(),
                &mut session,
                &mut lines,
            )? {
                Took::Line => noted.count = noted.count.max(book.readings.len()),
                Took::Skip => passed.push(next),
                Took::NextStage => {
                    passed.extend(due.iter().filter(|one| one.stage == next.stage).cloned());
                }
                Took::End => break,
            }
        }
        Ok(noted)
    }

    /// One line typed.
    #[expect(
        clippy::too_many_arguments,
        reason = "a line, what it may answer and where it goes"
    )]
    fn take(
        &self,
        book: &mut Book,
        text: &mut String,
        next: &Due,
        all: &[Due],
        line: &str,
        session: &mut Session,
        lines: &mut dyn Iterator<Item = std::io::Result<String>>,
    ) -> Result<Took> {
        match line {
            "" => return Ok(Took::Skip),
            "n" | "next" => return Ok(Took::NextStage),
            "q" | "quit" => return Ok(Took::End),
            "?" => {
                say(&list(self.outcome, book))?;
                return Ok(Took::Line);
            }
            _ => {}
        }
        let (due, value) = match field::addressed(line, next, all) {
            Ok(found) => found,
            Err(wrong) => {
                say(&format!("  {wrong}\n"))?;
                return Ok(Took::Line);
            }
        };
        let name = (text.as_str(), self.name);
        match field::note(self.outcome, name, due, value, session, false) {
            Noted::Odd(odd) => {
                say(&format!(
                    "  {}; did you mean {}?\n  type y to note it as it was typed, or type it again: ",
                    odd.wrong, odd.meant
                ))?;
                let answer = lines.next().transpose()?.unwrap_or_default();
                match answer.trim() {
                    "y" | "yes" => {
                        let noted = field::note(self.outcome, name, due, value, session, true);
                        self.keep(book, text, noted)
                    }
                    "" => {
                        say("  not noted\n")?;
                        Ok(Took::Line)
                    }
                    again => self.take(book, text, due, all, again, session, lines),
                }
            }
            noted @ (Noted::Taken { .. } | Noted::Wrong(_)) => self.keep(book, text, noted),
        }
    }

    /// Saves the book with a reading more and answers it; else tells why it was not noted.
    fn keep(&self, book: &mut Book, text: &mut String, noted: Noted) -> Result<Took> {
        let (new, with, id) = match noted {
            Noted::Taken { text, book, id } => (text, book, id),
            Noted::Wrong(wrong) => {
                say(&format!("  not noted: {wrong}\n"))?;
                return Ok(Took::Line);
            }
            Noted::Odd(odd) => {
                say(&format!("  not noted: {}\n", odd.wrong))?;
                return Ok(Took::Line);
            }
        };
        layout::save(self.path, &new)?;
        *text = new;
        *book = *with;
        let judged = field::judge(self.outcome, book);
        let mut out = format!("  noted as reading {id}\n");
        for one in judged.about(&id) {
            out.push_str(&answer(one));
        }
        if field::changes_the_rest(book, &id) {
            let solved = field::solve_back(self.inputs, self.outcome, book)?;
            out.push_str(&again(self, book, &solved));
        }
        say(&out)?;
        Ok(Took::Line)
    }

    /// What is told when the trench is left.
    fn leave(&self, book: &Book, count: usize) -> Result<Status> {
        let (judged, solved) = self.judged(book)?;
        let mut out = String::new();
        let n = book.readings.len().max(count);
        let readings = if n == 1 { "reading" } else { "readings" };
        let _ = writeln!(out, "\n{n} {readings} in {}", self.name);
        out.push_str(&stop_points(self.outcome, book, &judged));
        let _ = writeln!(
            out,
            "\n`fallwise field {} --judge` tells what all of them say together",
            self.inputs.name
        );
        say(&out)?;
        Ok(status(&judged, &solved))
    }
}

const HOW: &str = "\
Type what you measure as you read it: 12'-6 1/2, 150 1/2 in, 6.21 ft. A level below the finished floor is minus.
Return alone goes on, n to the next stage, q leaves, ? lists what is due; NAME: ... answers for another item.
Each answer is saved as you type it.

";

/// A question with what the plan has.
fn question(due: &Due) -> String {
    let mut out = format!("\n[{}] {}\n", due.stage.says(), due.asks);
    if !due.plan.is_empty() {
        let _ = writeln!(out, "  planned: {}", due.plan);
    }
    let _ = write!(out, "  like: {}\n> ", due.like);
    out
}

fn list(outcome: &Outcome, book: &Book) -> String {
    let due = field::due(outcome, book);
    let lines = field::in_kinds(due.iter());
    let told = |line: &String| format!("{}\n", wrap(line, WIDTH, "  ", "    "));
    lines.iter().map(told).collect()
}

/// An answer and its next act; one that another answer explains has no act of its own.
fn answer(said: &Said) -> String {
    let (mark, style) = mark(said.weight);
    let says = wrap(&said.says, WIDTH, "", "    ");
    let mut out = format!("  {style}{mark}{style:#} {says}\n");
    if !said.next.is_empty() && !said.explained {
        let next = wrap(&said.next, WIDTH, "      next: ", "        ");
        let _ = writeln!(out, "{next}");
    }
    out
}

fn mark(weight: Weight) -> (&'static str, anstyle::Style) {
    let verdict = match weight {
        Weight::Stop => checks::Verdict::Fails,
        Weight::Look => checks::Verdict::Ask,
        Weight::Nothing => checks::Verdict::Note,
    };
    (foreman::mark(verdict), foreman::style(verdict))
}

/// All the answers, what stands solved again, and the stop points.
fn report(site: &Site, book: &Book, judged: &Judged, solved: &Solved) -> String {
    let outcome = site.outcome;
    let n = book.readings.len();
    let mut out = format!(
        "{}, layout {}, field book {}: {n} {}\n",
        outcome.layout.title,
        outcome.hash,
        site.name,
        if n == 1 { "reading" } else { "readings" }
    );
    if n == 0 {
        out.push_str("nothing was measured yet\n");
    }
    for (weight, heading) in [
        (Weight::Stop, "Stop"),
        (Weight::Look, "Look again"),
        (Weight::Nothing, "Nothing found"),
    ] {
        let group: Vec<&Said> = judged.said.iter().filter(|s| s.weight == weight).collect();
        if group.is_empty() {
            continue;
        }
        let (_, style) = mark(weight);
        let _ = writeln!(out, "\n{style}{heading} ({}){style:#}", group.len());
        group.iter().for_each(|said| out.push_str(&answer(said)));
    }
    out.push_str(&again(site, book, solved));
    out.push_str(&stop_points(outcome, book, judged));
    out
}

/// What the flow makes of what stands.
fn again(site: &Site, book: &Book, solved: &Solved) -> String {
    let mut out = String::new();
    for (i, line) in field::again(site.outcome, book, solved).iter().enumerate() {
        if i == 0 {
            out.push_str("\nSolved again from what stands\n");
        }
        let deep = line.len() - line.trim_start().len() + 2;
        let (first, next) = (" ".repeat(deep), " ".repeat(deep + 2));
        let _ = writeln!(out, "{}", wrap(line, WIDTH, &first, &next));
    }
    out
}

fn stop_points(outcome: &Outcome, book: &Book, judged: &Judged) -> String {
    let mut out = String::from("\nStop points\n");
    let mut told: Vec<String> = Vec::new();
    for point in field::stop_points(outcome, book, judged) {
        if point.is_ready() {
            let _ = writeln!(out, "  {}: ready, nothing missing", point.stop.says());
            continue;
        }
        let _ = writeln!(out, "  {}: not ready", point.stop.says());
        // What stands against the first stop stands against all that follow.
        let (old, new): (Vec<String>, Vec<String>) = point
            .against
            .into_iter()
            .partition(|line| told.contains(line));
        for line in &new {
            let _ = writeln!(out, "{}", wrap(line, WIDTH, "    stop: ", "      "));
        }
        match old.len() {
            0 => {}
            1 => out.push_str("    stop: as above\n"),
            n => out.push_str(&format!("    stop: the {n} as above\n")),
        }
        told.extend(new);
        for line in &point.missing {
            let _ = writeln!(out, "{}", wrap(line, WIDTH, "    missing: ", "      "));
        }
    }
    out
}

/// The time as the book writes it, from the system's clock (UTC: the clock alone knows no time zone).
pub(crate) fn now() -> String {
    let seconds = SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |since| since.as_secs());
    let (days, minutes) = (seconds / 86_400, seconds % 86_400 / 60);
    let (year, month, day) = date(days);
    format!(
        "{year}-{month:02}-{day:02} {:02}:{:02}",
        minutes / 60,
        minutes % 60
    )
}

/// Year, month and day of a count of days since 1970-01-01, by the Gregorian rule of leap years.
fn date(mut days: u64) -> (u64, u64, u64) {
    let leap = |year: u64| {
        year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
    };
    let mut year = 1970;
    while days >= 365 + u64::from(leap(year)) {
        days -= 365 + u64::from(leap(year));
        year += 1;
    }
    let lengths = [
        31,
        28 + u64::from(leap(year)),
        31,
        30,
        31,
        30,
        31,
        31,
        30,
        31,
        30,
        31,
    ];
    let mut month = 1;
    for length in lengths {
        if days < length {
            break;
        }
        days -= length;
        month += 1;
    }
    (year, month, days + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_dates() {
        // Whole days: 2000-02-29 is 11,016 days after 1970-01-01 (30 years of 365, 7 leap days before it, 59 more).
        assert_eq!(date(0), (1970, 1, 1));
        assert_eq!(date(11_016), (2000, 2, 29));
        assert_eq!(date(11_017), (2000, 3, 1));
        assert_eq!(date(364), (1970, 12, 31));
        assert_eq!(date(365), (1971, 1, 1));
    }
}
