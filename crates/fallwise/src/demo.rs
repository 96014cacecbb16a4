//! The demo house: written, checked, and drawn where there is a graphics driver.

use std::path::Path;

use anyhow::{Context, Result, bail};

use crate::{Status, files, foreman, packet, pictures, report, say, status_of, unusable};

/// The house everyone sees first.
const HOUSE: &str = include_str!("../../../scenes/demo.ron");

pub(crate) fn demo(folder: &Path) -> Result<Status> {
    std::fs::create_dir_all(folder)
        .with_context(|| format!("can't make the folder {}", folder.display()))?;
    let file = folder.join("demo.ron");
    write_house(&file)?;
    let read = files::read(&file, None)?;
    let outcome = flow::run(&read.inputs);
    if let Some(status) = unusable(&outcome, &read.problems)? {
        return Ok(status);
    }
    let mends = flow::mends(&read.inputs, &outcome);
    say(&foreman::tell(&outcome, &mends, None))?;
    let json = folder.join("check.json");
    std::fs::write(&json, report::json(&outcome, &mends, None))
        .with_context(|| format!("can't write {}", json.display()))?;
    say(&format!(
        "\nwrote {} and {}\n",
        file.display(),
        json.display()
    ))?;
    say(&packet::of_demo(&file, folder)?)?;
    say(&pictures::of_demo(&outcome, folder))?;
    Ok(status_of(&outcome, None))
}

/// A demo house that somebody has made their own is not written over.
fn write_house(file: &Path) -> Result<()> {
    match std::fs::read_to_string(file) {
        Ok(text) if text == HOUSE => Ok(()),
        Ok(_) => bail!(
            "{0} was changed and is left as it is; `fallwise check {0}`, or name another folder",
            file.display()
        ),
        Err(_) => {
            std::fs::write(file, HOUSE).with_context(|| format!("can't write {}", file.display()))
        }
    }
}
