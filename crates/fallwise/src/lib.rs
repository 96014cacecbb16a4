//! The command line: reads files, runs the flow, prints what came out. The only judgement made here is the exit status.
#![forbid(unsafe_code)]

mod args;
mod changes;
mod demo;
mod field;
mod field_json;
mod files;
mod foreman;
mod help;
#[cfg(feature = "viewer")]
mod house;
mod packet;
mod parts;
mod pictures;
#[cfg(feature = "viewer")]
mod recent;
mod report;
mod status;
mod three;
#[cfg(feature = "viewer")]
mod walk;
mod wrap;

use std::{io::Write, path::Path};

use anyhow::{Context, Result, bail};
use codes::Code;
use flow::Outcome;

pub use args::{Args, Command};
pub use status::Status;

use args::Judge;

/// Does what was asked.
///
/// # Errors
/// When a file cannot be read or written, or a document cannot be used; the text is fit to print.
pub fn run(args: &Args) -> Result<Status> {
    match &args.command {
        Command::Demo { folder } => demo::demo(folder),
        Command::New { file } => new(file),
        Command::Check { file, code, json } => check(file, *code, *json),
        Command::Parts {
            file,
            csv,
            json,
            prices,
            since,
        } => parts::parts(
            file,
            args::Format::of(*csv, *json),
            prices.as_deref(),
            since.as_deref(),
        ),
        Command::View {
            file,
            plan,
            probe,
            pictures,
        } => {
            let told = (probe.clone(), pictures.clone());
            pictures::view(file, plan.clone(), told)
        }
        Command::Picture {
            file,
            output,
            walk,
            tour,
            speeds,
        } => {
            let wanted = pictures::Wanted {
                output: output.as_deref(),
                walk: walk.as_deref(),
                tour: tour.as_deref(),
                speeds: *speeds,
            };
            pictures::picture(file, &wanted)
        }
        Command::Packet {
            file,
            output,
            paper,
            large,
        } => packet::packet(file, output, *paper, *large),
        Command::Sheets {
            file,
            output,
            form,
            paper,
            large,
        } => packet::sheets(file, output, *form, *paper, *large),
        Command::Field {
            file,
            judge,
            json,
            stage,
            who,
            when,
            as_built,
        } => field::field(&field::Asked {
            file,
            judge: *judge,
            json: *json,
            stage: stage.map(args::AtStage::stage),
            who: who.as_deref(),
            when: when.as_deref(),
            as_built: as_built.as_deref(),
        }),
        Command::Changes {
            old,
            new,
            page,
            prices,
        } => changes::changes(old, new, page.as_deref(), prices.as_deref()),
        Command::Completions { shell } => help::completions(*shell),
        Command::Manual => help::manual(),
    }
}

/// Prints an error with its causes as one line.
pub fn say_error(error: &anyhow::Error) {
    // A closed terminal leaves nobody to tell.
    let _ = writeln!(anstream::stderr(), "fallwise: {error:#}");
}

fn new(file: &Path) -> Result<Status> {
    let made = std::fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(file);
    if made
        .as_ref()
        .is_err_and(|error| error.kind() == std::io::ErrorKind::AlreadyExists)
    {
        bail!(
            "there is a file {0} already and it is left as it is; name another, or `fallwise check {0}`",
            file.display()
        );
    }
    let mut made = made.with_context(|| format!("can't write {}", file.display()))?;
    made.write_all(layout::template().as_bytes())
        .and_then(|()| made.sync_all())
        .with_context(|| format!("can't write {}", file.display()))?;
    say(&format!(
        "wrote {0}; write your own house over it, then `fallwise check {0}`\n",
        file.display()
    ))?;
    Ok(Status::NothingFails)
}

fn check(file: &Path, judge: Option<Judge>, as_json: bool) -> Result<Status> {
    let read = files::read(file, judge.and_then(Judge::one))?;
    let outcome = flow::run(&read.inputs);
    if let Some(status) = unusable(&outcome, &read.problems)? {
        return Ok(status);
    }
    let mends = flow::mends(&read.inputs, &outcome);
    let all = judge
        .is_some_and(Judge::all)
        .then(|| by_all(&outcome, &read.inputs));
    let text = if as_json {
        report::json(&outcome, &mends, all.as_deref())
    } else {
        foreman::tell(&outcome, &mends, all.as_deref())
    };
    say(&text)?;
    Ok(status_of(&outcome, all.as_deref()))
}

/// The same geometry judged by each code in turn.
fn by_all(outcome: &Outcome, inputs: &flow::Inputs) -> Vec<report::Judged> {
    let rules = Code::ALL.map(|code| codes::rules(code, &inputs.amendments).0);
    let found = flow::judge_each(outcome, &rules);
    let judged = rules
        .into_iter()
        .zip(found)
        .map(|(rules, findings)| report::Judged {
            code: rules.code(),
            findings,
            rules,
        });
    judged.collect()
}

fn status_of(outcome: &Outcome, all: Option<&[report::Judged]>) -> Status {
    let fails = match all {
        None => report::fails(outcome, &outcome.findings),
        Some(all) => all
            .iter()
            .any(|judged| report::fails(outcome, &judged.findings)),
    };
    if fails {
        Status::Fails
    } else {
        Status::NothingFails
    }
}

/// Tells every mistake of the document and of the files beside it. `None` when there is none.
fn unusable(outcome: &Outcome, beside: &[String]) -> Result<Option<Status>> {
    let own = outcome.problems.iter().map(ToString::to_string);
    let problems: Vec<String> = own.chain(beside.iter().cloned()).collect();
    if problems.is_empty() {
        return Ok(None);
    }
    let mut err = anstream::stderr().lock();
    for problem in &problems {
        writeln!(err, "{problem}")?;
    }
    let n = problems.len();
    writeln!(
        err,
        "fallwise: {n} {} to put right before this can be checked",
        if n == 1 { "thing" } else { "things" }
    )?;
    Ok(Some(Status::Unusable))
}

/// Writes to standard output; colours are dropped where it is not a terminal or NO_COLOR is set.
fn say(text: &str) -> Result<()> {
    let mut out = anstream::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        // `fallwise check x.ron | head` has seen enough.
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        result => result.context("can't write to standard output"),
    }
}
