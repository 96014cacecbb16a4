//! The program `fallwise`: what was typed, what it means, what it ends with. All else is in the library part.

use std::process::ExitCode;

use clap::Parser;
use fallwise::{Args, Status};

fn main() -> ExitCode {
    let status = fallwise::run(&Args::parse()).unwrap_or_else(|error| {
        fallwise::say_error(&error);
        Status::Unusable
    });
    status.into()
}
