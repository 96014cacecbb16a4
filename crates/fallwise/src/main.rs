//! The program `fallwise`: what was typed, what it means, what it ends with. All else is in the library part.

use std::process::ExitCode;

use clap::Parser;
use fallwise::{Args, Status};

/// A house is very many small values: a third of the time went into asking the system's own for memory.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let status = fallwise::run(&Args::parse()).unwrap_or_else(|error| {
        fallwise::say_error(&error);
        Status::Unusable
    });
    status.into()
}
