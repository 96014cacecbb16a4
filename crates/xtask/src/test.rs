//! The README's test command: the steps, fast ones first, each with its command and with what to do when it fails.
//!
//! All steps share one build of the dependencies: the dev profile, the features of the whole workspace (`tidy` proves
//! that `cargo run` asks for the same), and no RUSTFLAGS. Lints and pages need the dependencies' metadata, which cargo
//! makes in a second, shorter pass; tests, doc tests and the window test use the code that `cargo run` uses.

use std::path::Path;
use std::time::Instant;

use anyhow::{Result, bail};

use crate::call::Call;
use crate::setup::{self, Tools};
use crate::tidy;

/// The window test, from the workspace's root.
const WINDOW_TEST: &str = "crates/fallwise/tests/window.rs";

/// True from the day the window test stands in the project: from then on its absence is a failure.
const WINDOW_TEST_IS_WRITTEN: bool = true;

/// Every test that needs a display stands in a module of this name, so that the step without one can leave it out.
pub(crate) const ON_A_DISPLAY: &str = "on_a_display";

struct Step {
    name: &'static str,
    action: Action,
    /// What to do when it fails.
    remedy: &'static str,
}

enum Action {
    Setup,
    Tidy,
    Call(Call),
    Window(Call),
}

enum Outcome {
    Passed,
    Skipped(String),
}

/// Runs every step until one fails; tells at the end what was skipped.
///
/// # Errors
/// The first step that failed and what to do about it.
pub(crate) fn run(root: &Path) -> Result<()> {
    let steps = steps();
    let mut tools = Tools::Ready;
    let mut skipped = Vec::new();
    for (idx, step) in steps.iter().enumerate() {
        println!(
            "\n[{}/{}] {}: {}",
            idx + 1,
            steps.len(),
            step.name,
            step.action.shown()
        );
        let start = Instant::now();
        match step.action.run(root, &mut tools) {
            Ok(Outcome::Passed) => println!(
                "[{}/{}] {} passed in {} s",
                idx + 1,
                steps.len(),
                step.name,
                start.elapsed().as_secs()
            ),
            Ok(Outcome::Skipped(why)) => {
                println!("[{}/{}] {} SKIPPED: {why}", idx + 1, steps.len(), step.name);
                skipped.push(format!("{}: {why}", step.name));
            }
            Err(error) => bail!("step {} failed: {error:#}\n{}", step.name, step.remedy),
        }
    }
    println!("\n{}", summary(steps.len(), &skipped));
    Ok(())
}

/// Prints the steps and runs none.
pub(crate) fn list() {
    let steps = steps();
    for (idx, step) in steps.iter().enumerate() {
        println!(
            "[{}/{}] {}: {}",
            idx + 1,
            steps.len(),
            step.name,
            step.action.shown()
        );
    }
}

fn steps() -> Vec<Step> {
    let skip = format!("-- --skip {ON_A_DISPLAY}::");
    let tests = if Call::cargo("nextest --version").succeeds(Path::new(".")) {
        "nextest run"
    } else {
        "test --lib --bins --tests"
    };
    let call = |line: &str| Action::Call(Call::cargo(line));
    vec![
        Step {
            name: "set-up",
            action: Action::Setup,
            remedy: "install what it names, then run this again",
        },
        Step {
            name: "format",
            action: call("fmt --all --check"),
            remedy: "run `cargo fmt --all`",
        },
        Step {
            name: "tidy",
            action: Action::Tidy,
            remedy: "each line above says what would be right; `cargo xtask tidy` looks again",
        },
        Step {
            name: "lints",
            action: call("clippy --workspace --all-targets -- -D warnings"),
            remedy: "mend each warning; an exception says #[expect(lint, reason = \"...\")]",
        },
        Step {
            name: "docs",
            // RUSTDOCFLAGS reaches only rustdoc: no dependency is built again for it, as RUSTFLAGS would.
            action: Action::Call(
                Call::cargo("doc --workspace --no-deps").set("RUSTDOCFLAGS", "-D warnings"),
            ),
            remedy: "mend the doc comments it names",
        },
        Step {
            name: "tests",
            action: call(&format!("{tests} --workspace {skip}")),
            remedy: "run one test again with `cargo test --workspace NAME`",
        },
        Step {
            name: "doc tests",
            action: call("test --doc --workspace"),
            remedy: "mend the examples in the doc comments it names",
        },
        Step {
            name: "window test",
            action: Action::Window(window_call()),
            remedy: "run the command above by itself; a driver or display that is missing is named by `cargo xtask setup`",
        },
    ]
}

/// `--workspace` and not `-p fallwise`: the selection decides the features, and those must be the tests' own.
fn window_call() -> Call {
    let filter = format!("{ON_A_DISPLAY}::");
    let cargo = [
        "cargo",
        "test",
        "--workspace",
        "--test",
        "window",
        "--",
        &filter,
        "--test-threads",
        "1",
    ];
    let display = ["-a", "-s", "-screen 0 1280x720x24"];
    // On a Wayland desktop the window would open in front of the developer instead.
    Call::new("xvfb-run", &[&display[..], &cargo[..]].concat()).clear("WAYLAND_DISPLAY")
}

impl Action {
    fn shown(&self) -> String {
        match self {
            Self::Setup => "what the window test needs of the system".to_owned(),
            Self::Tidy => "the project's own text".to_owned(),
            Self::Call(call) | Self::Window(call) => call.to_string(),
        }
    }

    fn run(&self, root: &Path, tools: &mut Tools) -> Result<Outcome> {
        match self {
            Self::Setup => {
                *tools = setup::prepare()?;
                Ok(match tools {
                    Tools::Ready => Outcome::Passed,
                    Tools::Missing(what) => Outcome::Skipped(what.clone()),
                })
            }
            Self::Tidy => tidy::run(root).map(|()| Outcome::Passed),
            Self::Call(call) => call.run(root).map(|()| Outcome::Passed),
            Self::Window(call) => window(root, call, tools),
        }
    }
}

fn window(root: &Path, call: &Call, tools: &Tools) -> Result<Outcome> {
    if !root.join(WINDOW_TEST).is_file() {
        if WINDOW_TEST_IS_WRITTEN {
            bail!("{WINDOW_TEST} is gone; the window must be tested");
        }
        return Ok(Outcome::Skipped(format!(
            "{WINDOW_TEST} is not written yet"
        )));
    }
    match tools {
        Tools::Ready => call.run(root).map(|()| Outcome::Passed),
        Tools::Missing(what) => Ok(Outcome::Skipped(what.clone())),
    }
}

fn summary(n_steps: usize, skipped: &[String]) -> String {
    if skipped.is_empty() {
        return format!("all {n_steps} steps passed");
    }
    let bar = "=".repeat(100);
    let lines: Vec<String> = skipped
        .iter()
        .map(|why| format!("SKIPPED  {why}"))
        .collect();
    format!(
        "{bar}\n{}\nNot everything was tested; the other {} steps passed\n{bar}",
        lines.join("\n"),
        n_steps - skipped.len()
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_called_passed_that_was_skipped() {
        let text = summary(8, &["window test: no display".to_owned()]);
        assert!(
            text.contains("SKIPPED  window test: no display") && text.contains("the other 7 steps"),
            "{text}"
        );
        assert!(!text.contains("all 8"), "{text}");
    }

    #[test]
    fn no_step_sets_rustflags() {
        for step in steps() {
            assert!(
                !step.action.shown().contains("RUSTFLAGS"),
                "{} sets RUSTFLAGS: a second build",
                step.name
            );
        }
    }

    #[test]
    fn every_compiling_step_selects_the_whole_workspace() {
        for step in steps().iter().filter(|step| {
            matches!(
                step.name,
                "lints" | "docs" | "tests" | "doc tests" | "window test"
            )
        }) {
            assert!(
                step.action.shown().contains("--workspace"),
                "{} selects other features",
                step.name
            );
        }
    }

    #[test]
    fn the_window_test_is_asked_for_by_the_file_it_stands_in() {
        assert!(
            WINDOW_TEST.ends_with("tests/window.rs")
                && window_call().to_string().contains("--test window ")
        );
    }
}
