//! How fast the window is on this machine: what the program times by itself, and what an open window takes of the processor
//! while nobody touches it.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use anyhow::{Context, Result};

use crate::call::Call;

/// The window has come to rest after this.
const OPENED: Duration = Duration::from_secs(12);
/// How long it is watched.
const WATCHED: Duration = Duration::from_secs(10);

/// Prints them for a layout.
///
/// # Errors
/// When the program cannot be built or draws nothing.
pub(crate) fn run(root: &Path, file: &str) -> Result<()> {
    Call::cargo(&format!("run -- picture {file} --speeds")).run(root)?;
    match at_rest(root, file)? {
        Some(part) => println!("a window at rest             {part:8.2} % of one processor"),
        None => println!("a window at rest             not watched: it wants Linux with xvfb-run"),
    }
    Ok(())
}

/// The part of one processor that an open window takes while nobody touches it, percent.
fn at_rest(root: &Path, file: &str) -> Result<Option<f64>> {
    if !Path::new("/proc/self/stat").exists() || !Call::new("xvfb-run", &["--help"]).succeeds(root)
    {
        return Ok(None);
    }
    let line = format!("run -- view {file}");
    let cargo = ["-a", "cargo"];
    let child = Command::new("xvfb-run")
        .args(cargo.into_iter().chain(line.split_whitespace()))
        .current_dir(root)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .context("cannot start `xvfb-run`")?;
    let window = Open(child);
    sleep(OPENED);
    let Some(pid) = named_under("fallwise", window.0.id()) else {
        return Ok(None);
    };
    let before = ticks(pid);
    sleep(WATCHED);
    let spent = before.zip(ticks(pid)).map(|(before, after)| after - before);
    let killed = Command::new("kill").arg(pid.to_string()).status();
    killed.context("cannot close the window")?;
    // Linux tells a hundred ticks a second to programs (from memory).
    Ok(spent.map(|ticks| ticks as f64 / WATCHED.as_secs_f64()))
}

/// A window that is closed when it is no longer watched.
struct Open(Child);

impl Drop for Open {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// Processor time of a process so far, ticks: the 14th and 15th field of its `stat` (from memory).
fn ticks(pid: u32) -> Option<u64> {
    let (_, after) = stat(pid)?;
    let field = |n: usize| after.split_whitespace().nth(n - 3)?.parse::<u64>().ok();
    Some(field(14)? + field(15)?)
}

/// A process's name, and the fields after it.
fn stat(pid: u32) -> Option<(String, String)> {
    let text = std::fs::read_to_string(format!("/proc/{pid}/stat")).ok()?;
    let (head, after) = text.rsplit_once(") ")?;
    let (_, name) = head.split_once('(')?;
    Some((name.to_owned(), after.to_owned()))
}

/// The process of that name among those that a process started, at any depth.
fn named_under(name: &str, above: u32) -> Option<u32> {
    let all = std::fs::read_dir("/proc").ok()?.flatten();
    let pids = all.filter_map(|entry| entry.file_name().to_str()?.parse::<u32>().ok());
    let mut named = pids.filter(|pid| stat(*pid).is_some_and(|(is, _)| is == name));
    named.find(|pid| is_under(*pid, above))
}

fn is_under(pid: u32, above: u32) -> bool {
    let mut at = pid;
    for _ in 0..8 {
        if at == above {
            return true;
        }
        let parent = stat(at).and_then(|(_, after)| after.split_whitespace().nth(1)?.parse().ok());
        let Some(parent) = parent else { return false };
        at = parent;
    }
    false
}
