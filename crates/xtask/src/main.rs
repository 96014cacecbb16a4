//! The developer's commands, run as `cargo xtask COMMAND`.
//!
//! Here: what to run, in which order, and what to say when it fails; and the checks on the project's own text that
//! no compiler makes (`tidy`). Not here: anything the program does. Standard library and `anyhow` only, so that the
//! first `cargo xtask` on a fresh machine answers in seconds.
#![forbid(unsafe_code)]
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a command line tool speaks through them"
)]

mod call;
mod setup;
mod speeds;
mod test;
mod tidy;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Context, Result, bail};

use crate::call::Call;

const USAGE: &str = "\
cargo xtask COMMAND

  test [--list]   everything that must hold before a change is done; --list only prints the steps
  rules-page      writes assets/rules.md from the rules' headers and the code tables
  tidy            the checks on the project's own text: one build, crate order, purity, top level, tables
  shots DIR       a picture of every feature of the window on the demo house, for looking at after a change
  speeds [FILE]   how fast the window is on this machine: an edit, the first picture, going round, at rest; else the demo
  setup           what the window test needs of the system; installs it on Debian as root, else says what to install";

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    match run(&args.iter().map(String::as_str).collect::<Vec<_>>()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(args: &[&str]) -> Result<()> {
    match args {
        ["test"] => test::run(&root()?),
        ["test", "--list"] => {
            test::list();
            Ok(())
        }
        ["tidy"] => tidy::run(&root()?),
        ["rules-page"] => rules_page(&root()?),
        ["shots", folder] => shots(&root()?, folder),
        ["speeds"] => speeds::run(&root()?, "scenes/demo.ron"),
        ["speeds", file] => speeds::run(&root()?, file),
        ["setup"] => setup::run(),
        [] | ["help" | "--help" | "-h"] => {
            println!("{USAGE}");
            Ok(())
        }
        other => bail!("no command `{}`\n\n{USAGE}", other.join(" ")),
    }
}

/// Writes the page of the rules; a test tells when it is stale.
fn rules_page(root: &Path) -> Result<()> {
    Call::cargo("run --quiet --package tests --bin rules-page").run(root)
}

/// Draws every feature of the window on the demo house, without a display.
fn shots(root: &Path, folder: &str) -> Result<()> {
    Call::cargo(&format!("run -- picture scenes/demo.ron --tour {folder}")).run(root)
}

/// The folder of the workspace, two above this crate. Asked at run time: a build shared between two clones must not
/// remember the other one.
fn root() -> Result<PathBuf> {
    let here = std::env::var("CARGO_MANIFEST_DIR").context("run this as `cargo xtask COMMAND`")?;
    let root = Path::new(&here)
        .ancestors()
        .nth(2)
        .context("crates/xtask is not two folders below the workspace")?;
    Ok(root.to_path_buf())
}
