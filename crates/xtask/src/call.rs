//! One outside command: how it is shown, run and read. Nothing here knows which commands there are.

use std::ffi::OsString;
use std::fmt;
use std::path::Path;
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

/// A program, its arguments, and what it is told through the environment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Call {
    program: String,
    args: Vec<String>,
    sets: Vec<(&'static str, &'static str)>,
    clears: Vec<&'static str>,
}

impl Call {
    /// `program` with `args`, each one word.
    pub(crate) fn new(program: &str, args: &[&str]) -> Self {
        let args = args.iter().map(ToString::to_string).collect();
        Self {
            program: program.to_owned(),
            args,
            sets: Vec::new(),
            clears: Vec::new(),
        }
    }

    /// `cargo` with the words of `line`, split at blanks.
    pub(crate) fn cargo(line: &str) -> Self {
        Self::new("cargo", &line.split_whitespace().collect::<Vec<_>>())
    }

    /// With one variable of the environment set.
    pub(crate) fn set(mut self, name: &'static str, value: &'static str) -> Self {
        self.sets.push((name, value));
        self
    }

    /// With one variable of the environment taken away.
    pub(crate) fn clear(mut self, name: &'static str) -> Self {
        self.clears.push(name);
        self
    }

    /// Runs in `dir` with its output on ours.
    ///
    /// # Errors
    /// When the program cannot be started, or ends with anything but success.
    pub(crate) fn run(&self, dir: &Path) -> Result<()> {
        let status = self
            .command(dir)
            .status()
            .with_context(|| format!("cannot start `{}`", self.program))?;
        if !status.success() {
            bail!("`{self}` ended with {status}");
        }
        Ok(())
    }

    /// What it prints on standard output, run in `dir`; its complaints go to ours.
    ///
    /// # Errors
    /// When the program cannot be started, ends with anything but success, or prints what is not UTF-8.
    pub(crate) fn read(&self, dir: &Path) -> Result<String> {
        let output = self
            .command(dir)
            .stderr(Stdio::inherit())
            .output()
            .with_context(|| format!("cannot start `{}`", self.program))?;
        if !output.status.success() {
            bail!("`{self}` ended with {}", output.status);
        }
        String::from_utf8(output.stdout)
            .with_context(|| format!("`{self}` printed what is not UTF-8"))
    }

    /// Whether it starts and succeeds, nothing shown.
    pub(crate) fn succeeds(&self, dir: &Path) -> bool {
        let quiet = self
            .command(dir)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        quiet.is_ok_and(|status| status.success())
    }

    fn command(&self, dir: &Path) -> Command {
        let mut command = Command::new(&self.program);
        command.args(&self.args).current_dir(dir);
        // What `cargo run` told this program about itself would reach build scripts that watch it, and they would
        // run again on the next plain `cargo run`: two builds where one is promised.
        for name in std::env::vars_os()
            .map(|(name, _)| name)
            .filter(is_about_this_crate)
        {
            command.env_remove(name);
        }
        for name in &self.clears {
            command.env_remove(name);
        }
        command.envs(self.sets.iter().copied());
        command
    }
}

fn is_about_this_crate(name: &OsString) -> bool {
    let name = name.to_string_lossy();
    name.starts_with("CARGO_PKG_") || name.starts_with("CARGO_MANIFEST_") || name == "CARGO"
}

/// As one would type it in a shell.
impl fmt::Display for Call {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (name, value) in &self.sets {
            write!(f, "{name}={} ", quoted(value))?;
        }
        write!(f, "{}", self.program)?;
        self.args
            .iter()
            .try_for_each(|arg| write!(f, " {}", quoted(arg)))
    }
}

fn quoted(word: &str) -> String {
    if word.contains([' ', '"', '$', '*']) {
        format!("'{word}'")
    } else {
        word.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shown_as_one_would_type_it() {
        let call =
            Call::new("xvfb-run", &["-s", "-screen 0", "cargo"]).set("RUSTDOCFLAGS", "-D warnings");
        assert_eq!(
            call.to_string(),
            "RUSTDOCFLAGS='-D warnings' xvfb-run -s '-screen 0' cargo"
        );
    }

    #[test]
    fn a_program_that_fails_or_is_not_there_is_an_error() {
        let here = Path::new(".");
        assert!(Call::cargo("--version").run(here).is_ok());
        assert!(Call::cargo("no-such-command-here").read(here).is_err());
        let error = Call::new("no-such-program-here", &[])
            .run(here)
            .expect_err("it is not there");
        assert_eq!(error.to_string(), "cannot start `no-such-program-here`");
    }
}
