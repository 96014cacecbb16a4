//! What the program ends with.

use std::process::ExitCode;

/// Exit status.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Status {
    /// 0: nothing fails. There may be things to ask.
    NothingFails,
    /// 1: something fails.
    Fails,
    /// 2: the document can't be used, or a file can't be read or written.
    Unusable,
}

impl From<Status> for ExitCode {
    fn from(status: Status) -> Self {
        Self::from(match status {
            Status::NothingFails => 0,
            Status::Fails => 1,
            Status::Unusable => 2,
        })
    }
}
