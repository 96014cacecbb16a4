//! Throws broken and odd documents at the whole flow, from text to findings, until the time is up.
//!
//! `cargo run -p tests --bin fuzz -- MINUTES [SEED]`. Starts from every layout under `scenes/`, changes words, numbers and
//! pieces of them, and runs each through all three codes. A panic, a stall or a level that is not a number ends it with
//! exit status 1 and leaves the document beside it; what it finds becomes a scene or a test. Before each run the document
//! is written to `target/fuzz/last.ron`, so that even an abort leaves its cause.

#![allow(clippy::print_stdout, reason = "a program for a terminal")]

mod mutate;

use std::{
    fs,
    panic::{AssertUnwindSafe, catch_unwind},
    path::{Path, PathBuf},
    sync::Mutex,
    time::{Duration, Instant},
};

use codes::Code;
use flow::{Inputs, Outcome, run};

/// Longer than any house of the scenes takes by a hundredfold: a stall, not a slow day.
const STALL: Duration = Duration::from_secs(20);

/// Where the last panic was.
static PLACE: Mutex<String> = Mutex::new(String::new());

fn main() {
    let mut args = std::env::args().skip(1);
    let minutes: f64 = args
        .next()
        .and_then(|text| text.parse().ok())
        .unwrap_or(1.0);
    let seed: u64 = args.next().and_then(|text| text.parse().ok()).unwrap_or(1);
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let seeds = documents(&root.join("scenes"));
    assert!(!seeds.is_empty(), "no layout under scenes to start from");
    let folder = root.join("target/fuzz");
    fs::create_dir_all(&folder).expect("target can be written");
    std::panic::set_hook(Box::new(|panic| {
        if let (Ok(mut place), Some(at)) = (PLACE.lock(), panic.location()) {
            *place = format!("{}:{}", at.file(), at.line());
        }
    }));
    let end = Instant::now() + Duration::from_secs_f64(minutes * 60.0);
    let mut dice = mutate::Dice::new(seed);
    let (mut runs, mut resolved, mut solved) = (0_u64, 0_u64, 0_u64);
    while Instant::now() < end {
        let text = mutate::changed(&seeds, &mut dice);
        fs::write(folder.join("last.ron"), &text).expect("target can be written");
        match tried(&text) {
            Ok((clean, drains)) => {
                runs += 1;
                resolved += u64::from(clean);
                solved += u64::from(drains > 0);
            }
            Err(why) => {
                let kept = folder.join(format!("found-{seed}-{runs}.ron"));
                fs::write(&kept, &text).expect("target can be written");
                println!("after {runs} documents: {why}\nkept as {}", kept.display());
                std::process::exit(1);
            }
        }
        if runs.is_multiple_of(2000) {
            println!(
                "{runs} documents, {resolved} without a mistake, {solved} with a drain solved"
            );
        }
    }
    println!(
        "nothing found in {runs} documents ({resolved} without a mistake, {solved} with a drain solved)"
    );
}

/// Every layout under a folder, in the order of their names.
fn documents(folder: &Path) -> Vec<String> {
    let mut paths = Vec::new();
    collect(folder, &mut paths);
    paths.sort();
    paths
        .iter()
        .filter_map(|path| fs::read_to_string(path).ok())
        .collect()
}

fn collect(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            collect(&path, into);
        } else if path.extension().is_some_and(|ending| ending == "ron") {
            into.push(path);
        }
    }
}

/// Runs one document. Whether it had no mistake, and how many drains were solved; or what went wrong.
fn tried(text: &str) -> Result<(bool, usize), String> {
    let start = Instant::now();
    let outcome =
        catch_unwind(AssertUnwindSafe(|| all_codes(text))).map_err(|cause| said(&*cause))?;
    if start.elapsed() > STALL {
        return Err(format!("took {} s", start.elapsed().as_secs()));
    }
    sound(&outcome)?;
    Ok((outcome.problems.is_empty(), outcome.grades.len()))
}

fn all_codes(text: &str) -> Outcome {
    let inputs = |code| Inputs {
        text: text.into(),
        name: "fuzz.ron".into(),
        code,
        ..Inputs::default()
    };
    let outcome = run(&inputs(None));
    for code in Code::ALL {
        let (rules, _) = codes::rules(code, &[]);
        flow::judge_by(&outcome, &rules);
    }
    let inputs = inputs(Some(Code::Upc));
    let by_upc = run(&inputs);
    flow::mends(&inputs, &by_upc);
    flow::budget(&by_upc);
    outcome
}

/// Levels are numbers and findings name places that can be shown.
fn sound(outcome: &Outcome) -> Result<(), String> {
    for line in outcome.assembly.runs.iter().flatten() {
        if !(line.inlet.is_finite() && line.outlet.is_finite()) {
            return Err(format!(
                "{} has levels {} and {}",
                line.id, line.inlet, line.outlet
            ));
        }
    }
    match outcome
        .findings
        .iter()
        .find(|finding| !finding.at.is_finite())
    {
        Some(finding) => Err(format!("{} is at {}", finding.rule, finding.at)),
        None => Ok(()),
    }
}

fn said(cause: &(dyn std::any::Any + Send)) -> String {
    let text = cause.downcast_ref::<String>().cloned();
    let text = text
        .or_else(|| cause.downcast_ref::<&str>().map(|s| (*s).to_owned()))
        .unwrap_or_else(|| "a panic".into());
    format!(
        "{text}, at {}",
        PLACE
            .lock()
            .map_or_else(|_| String::new(), |place| place.clone())
    )
}
