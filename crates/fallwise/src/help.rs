//! Completions and the man page, both from the definition of the arguments.

use anyhow::Result;
use clap::CommandFactory;

use crate::{Args, Status, say};

pub(crate) fn completions(shell: clap_complete::Shell) -> Result<Status> {
    let mut out = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "fallwise", &mut out);
    say(&String::from_utf8_lossy(&out))?;
    Ok(Status::NothingFails)
}

pub(crate) fn manual() -> Result<Status> {
    let mut out = Vec::new();
    clap_mangen::Man::new(Args::command()).render(&mut out)?;
    say(&String::from_utf8_lossy(&out))?;
    Ok(Status::NothingFails)
}
