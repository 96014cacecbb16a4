//! What the window test needs of the system: a display without a screen, a Vulkan driver without a graphics card, and
//! tools that press keys. Compiling and running everything else needs none of it.

use std::path::Path;

use anyhow::{Context, Result, bail};

use crate::call::Call;

/// Debian's names. `xauth` is what `xvfb-run` calls; a plain install of xvfb only recommends it.
const PACKAGES: [&str; 10] = [
    "mesa-vulkan-drivers",
    "xvfb",
    "xauth",
    "xdotool",
    "libxkbcommon-x11-0",
    "libxcursor1",
    "libxi6",
    "libxrandr2",
    "x11-utils",
    "imagemagick",
];

/// Programs to look for where packages cannot be asked.
const PROGRAMS: [&str; 3] = ["xvfb-run", "xdotool", "convert"];

/// Where Vulkan drivers announce themselves on Linux.
const DRIVERS: [&str; 3] = [
    "/usr/share/vulkan/icd.d",
    "/usr/local/share/vulkan/icd.d",
    "/etc/vulkan/icd.d",
];

/// Whether the window test can run here.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Tools {
    /// All there.
    Ready,
    /// Not all there; one line that says what to install.
    Missing(String),
}

/// The command `setup`.
///
/// # Errors
/// When something is missing and could not be installed.
pub(crate) fn run() -> Result<()> {
    match prepare()? {
        Tools::Ready => {
            println!("the window test has what it needs");
            Ok(())
        }
        Tools::Missing(what) => bail!("{what}"),
    }
}

/// Looks, installs what is missing where it may (Debian, as root), looks again.
///
/// # Errors
/// In CI (the variable `CI`), when something stays missing: there nothing may be skipped.
pub(crate) fn prepare() -> Result<Tools> {
    let tools = if has_program("apt-get") {
        debian()?
    } else {
        elsewhere()
    };
    match tools {
        Tools::Missing(what) if is_ci() => bail!("{what} (in CI the window test is not skipped)"),
        tools => Ok(tools),
    }
}

fn debian() -> Result<Tools> {
    let missing = missing_packages()?;
    if missing.is_empty() {
        return Ok(Tools::Ready);
    }
    let install = Call::new(
        "apt-get",
        &[&["install", "-y", "--no-install-recommends"][..], &missing].concat(),
    )
    .set("DEBIAN_FRONTEND", "noninteractive");
    if !is_root() {
        return Ok(Tools::Missing(format!(
            "for the window test run `sudo apt-get install {}`",
            missing.join(" ")
        )));
    }
    println!("installing {}", missing.join(", "));
    let here = Path::new(".");
    // A list that could not be renewed may still be good enough to install from.
    if let Err(error) = Call::new("apt-get", &["update"]).run(here) {
        println!("{error:#}");
    }
    let done = install.run(here);
    let still = missing_packages()?;
    match done {
        _ if still.is_empty() => Ok(Tools::Ready),
        Ok(()) => Ok(Tools::Missing(format!(
            "apt-get did not install {}",
            still.join(", ")
        ))),
        Err(error) => Ok(Tools::Missing(format!(
            "could not install {}: {error:#}",
            still.join(", ")
        ))),
    }
}

fn missing_packages() -> Result<Vec<&'static str>> {
    let mut words = vec![
        "-c",
        "dpkg-query -W -f '${Package} ${db:Status-Status}\\n' \"$@\" 2>&1 || true",
        "sh",
    ];
    words.extend(PACKAGES);
    let told = Call::new("sh", &words)
        .read(Path::new("."))
        .context("cannot ask dpkg what is installed")?;
    Ok(missing(&PACKAGES, &told))
}

/// Those of `wanted` that `told`, lines of "package status", does not call installed.
fn missing(wanted: &[&'static str], told: &str) -> Vec<&'static str> {
    let installed = |name: &str| {
        told.lines()
            .any(|line| line.split_once(' ') == Some((name, "installed")))
    };
    wanted
        .iter()
        .copied()
        .filter(|name| !installed(name))
        .collect()
}

fn elsewhere() -> Tools {
    let mut lacks: Vec<&str> = PROGRAMS
        .into_iter()
        .filter(|name| !has_program(name))
        .collect();
    if !DRIVERS
        .iter()
        .any(|dir| std::fs::read_dir(dir).is_ok_and(|mut entries| entries.next().is_some()))
    {
        lacks.push("a Vulkan driver (Mesa's lavapipe needs no graphics card)");
    }
    if lacks.is_empty() {
        return Tools::Ready;
    }
    Tools::Missing(format!(
        "for the window test install with your system's package manager: {}",
        lacks.join(", ")
    ))
}

fn has_program(name: &str) -> bool {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path).any(|dir| dir.join(name).is_file())
}

fn is_root() -> bool {
    Call::new("id", &["-u"])
        .read(Path::new("."))
        .is_ok_and(|id| id.trim() == "0")
}

fn is_ci() -> bool {
    std::env::var("CI").is_ok_and(|value| !value.is_empty() && value != "false")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_dpkg_calls_installed_counts() {
        let told =
            "xvfb installed\nxdotool config-files\ndpkg-query: no packages found matching xauth\n";
        assert_eq!(
            missing(&["xvfb", "xdotool", "xauth"], told),
            ["xdotool", "xauth"]
        );
    }

    #[test]
    fn a_name_inside_another_does_not_count() {
        assert_eq!(missing(&["libxi6"], "libxi6-dev installed\n"), ["libxi6"]);
    }
}
