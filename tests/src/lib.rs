//! Runs a scene and compares what came out with what the scene's own comments say must come out.
//!
//! Expectations are comments in the layout file, beside their cause, one a line:
//!
//! ```text
//! // finds: fails not-enough-fall tank, shower drain, trunk     verdict, rule, members in the order told
//! // says: 1 1/4 in short                                       some finding's sentence has this
//! // tells: lav: how its trap is vented                         something still to tell has this after its item
//! // drain tank exit -23.20 +-0.03                              exit, spare, headroom or short, in inches
//! // drain tank controls shower drain, trunk                    the controlling path
//! // run trunk invert_down -16.36 +-0.03                        invert_up or invert_down
//! // stub island sink 338.383 104.304 +-0.03                    a fixture's stub in plan
//! ```
//!
//! A scene's findings must be exactly its `finds` lines. What a scene says nothing of must not be found.

pub mod rules_page;

use std::collections::BTreeMap;

use flow::{Inputs, Outcome, run};

/// Runs a scene's text and lists every way in which it is not as its comments say. Empty: all is as said.
pub fn differences(text: &str, name: &str) -> Vec<String> {
    let outcome = run(&Inputs {
        text: text.into(),
        name: name.into(),
        ..Inputs::default()
    });
    let mut wrong: Vec<String> = outcome.problems.iter().map(ToString::to_string).collect();
    let lines = || {
        text.lines()
            .filter_map(|line| line.split_once("// ").map(|(_, says)| says.trim()))
    };
    wrong.extend(findings(
        &outcome,
        lines().filter_map(|line| line.strip_prefix("finds: ")),
    ));
    for line in lines() {
        wrong.extend(fact(&outcome, line).err());
    }
    wrong
}

/// How many facts a scene states: a scene that states none proves only that nothing was found.
pub fn facts(text: &str) -> usize {
    let kinds = ["finds: ", "says: ", "tells: ", "drain ", "run ", "stub "];
    let says = |line: &str| {
        line.split_once("// ")
            .is_some_and(|(_, says)| kinds.iter().any(|k| says.trim().starts_with(k)))
    };
    text.lines().filter(|line| says(line)).count()
}

fn findings<'t>(outcome: &Outcome, told: impl Iterator<Item = &'t str>) -> Vec<String> {
    let mut counts: BTreeMap<String, i32> = BTreeMap::new();
    for line in told {
        *counts
            .entry(line.split_whitespace().collect::<Vec<_>>().join(" "))
            .or_default() -= 1;
    }
    for finding in &outcome.findings {
        let members: Vec<&str> = finding.members.iter().map(units::Id::as_str).collect();
        let line = format!(
            "{} {} {}",
            finding.verdict,
            finding.rule,
            members.join(", ")
        );
        *counts.entry(line).or_default() += 1;
    }
    let differ = counts.into_iter().filter(|(_, count)| *count != 0);
    differ
        .map(|(line, count)| {
            if count > 0 {
                format!("found, not told: {line}")
            } else {
                format!("told, not found: {line}")
            }
        })
        .collect()
}

/// Whether one line of comment holds. Lines that state nothing hold.
fn fact(outcome: &Outcome, line: &str) -> Result<(), String> {
    let not = |got: String| Err(format!("{line}: got {got}"));
    if let Some(says) = line.strip_prefix("says: ") {
        return if outcome.findings.iter().any(|f| f.says.contains(says)) {
            Ok(())
        } else {
            not("no such sentence".into())
        };
    }
    if let Some(tells) = line.strip_prefix("tells: ") {
        let open = outcome.to_tell.iter();
        let mut open = open.map(|tell| format!("{}: {}", tell.item, tell.what));
        return if open.any(|open| open.contains(tells)) {
            Ok(())
        } else {
            not("nothing like it is still to tell".into())
        };
    }
    if let Some((before, path)) = line.split_once(" controls ") {
        let Some(t) = before
            .strip_prefix("drain ")
            .and_then(|id| tree(outcome, id))
        else {
            return Ok(());
        };
        let got: Vec<String> = outcome.grades[t]
            .controls()
            .iter()
            .map(ToString::to_string)
            .collect();
        return if got.join(", ") == path {
            Ok(())
        } else {
            not(got.join(", "))
        };
    }
    let Some((stated, play)) = line.rsplit_once(" +-") else {
        return Ok(());
    };
    let play: f64 = play
        .parse()
        .map_err(|_| format!("{line}: the play is no number"))?;
    let near = |got: Option<f64>, want: f64| match got {
        Some(got) if (got - want).abs() <= play => Ok(()),
        got => Err(format!("{line}: got {got:?}")),
    };
    let (words, want) = stated
        .rsplit_once(' ')
        .ok_or_else(|| format!("{line}: no figure"))?;
    let want: f64 = want
        .parse()
        .map_err(|_| format!("{line}: {want} is no number"))?;
    match words.split_once(' ') {
        Some(("drain", rest)) => near(of_drain(outcome, rest)?, want),
        Some(("run", rest)) => near(of_run(outcome, rest), want),
        Some(("stub", rest)) => {
            let (id, x) = rest
                .rsplit_once(' ')
                .ok_or_else(|| format!("{line}: a stub has two figures"))?;
            let x: f64 = x.parse().map_err(|_| format!("{line}: {x} is no number"))?;
            let stub = outcome
                .assembly
                .stubs
                .iter()
                .find(|stub| stub.id.as_str() == id);
            near(stub.map(|s| s.at.x), x).and(near(stub.map(|s| s.at.y), want))
        }
        _ => Ok(()),
    }
}

fn tree(outcome: &Outcome, id: &str) -> Option<usize> {
    outcome
        .network
        .trees
        .iter()
        .position(|tree| tree.id.as_str() == id)
}

fn of_drain(outcome: &Outcome, says: &str) -> Result<Option<f64>, String> {
    let (id, what) = says
        .rsplit_once(' ')
        .ok_or_else(|| format!("{says}: no such figure"))?;
    let t = tree(outcome, id).ok_or_else(|| format!("there is no drain {id}"))?;
    let grades = &outcome.grades[t];
    match what {
        "exit" => Ok(Some(grades.exit.level)),
        "spare" => Ok(grades.exit.spare()),
        "headroom" => Ok(grades.exit.headroom()),
        "short" => Ok(grades.conflicts.first().map(|conflict| conflict.short)),
        _ => Err(format!("a drain has no {what}")),
    }
}

fn of_run(outcome: &Outcome, says: &str) -> Option<f64> {
    let (id, what) = says.rsplit_once(' ')?;
    let line = outcome
        .assembly
        .runs
        .iter()
        .flatten()
        .find(|line| line.id.as_str() == id)?;
    match what {
        "invert_up" => Some(line.inlet),
        "invert_down" => Some(line.outlet),
        _ => None,
    }
}
