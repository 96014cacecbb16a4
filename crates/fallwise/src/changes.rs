//! `fallwise changes`: what a new layout does to what was printed, bought and built by an old one.

use std::{fmt::Write as _, path::Path};

use anyhow::{Result, bail};
use field::{Book, Changes};
use flow::Outcome;

use crate::{Status, field as trench, files, foreman::WIDTH, say, unusable, wrap::wrap};

pub(crate) fn changes(
    old: &Path,
    new: &Path,
    page: Option<&str>,
    prices: Option<&Path>,
) -> Result<Status> {
    let (before, now) = (files::read(old, None)?, files::read(new, None)?);
    let (first, second) = (flow::run(&before.inputs), flow::run(&now.inputs));
    for (outcome, problems) in [(&first, &before.problems), (&second, &now.problems)] {
        if let Some(status) = unusable(outcome, problems)? {
            return Ok(status);
        }
    }
    let names = (old.display().to_string(), new.display().to_string());
    if let Some(page) = page {
        let layouts = [(names.0.as_str(), &first), (names.1.as_str(), &second)];
        let whose = field::whose_page(page, &layouts);
        let current = page.trim().eq_ignore_ascii_case(&second.hash);
        let more = match (current, page.trim().eq_ignore_ascii_case(&first.hash)) {
            (true, _) => ", the newer layout",
            (false, true) => ", the older layout: it is stale",
            (false, false) => "",
        };
        say(&format!("{whose}{more}\n"))?;
        return Ok(if current {
            Status::NothingFails
        } else {
            Status::Fails
        });
    }
    let (book, whose, problems) = book(old, new, &first)?;
    if !problems.is_empty() {
        return trench::told(&problems);
    }
    let shop = shop(old, new, prices)?;
    let changes = field::changes(&first, &second, &book, &shop);
    say(&tell(&names, &changes, &book, whose.as_deref()))?;
    Ok(Status::NothingFails)
}

/// The shop sheet named, else the new layout's, else the old one's.
pub(crate) fn shop(old: &Path, new: &Path, prices: Option<&Path>) -> Result<takeoff::Shop> {
    let mut flaws = Vec::new();
    let of = if new.with_extension("shop.ron").exists() {
        new
    } else {
        old
    };
    let shop = files::shop(of, prices, &mut flaws)?;
    match flaws.as_slice() {
        [] => Ok(shop),
        flaws => bail!("{}", flaws.join("\n")),
    }
}

/// How far the old layout was built: its own field book, else the new one's.
fn book(
    old: &Path,
    new: &Path,
    outcome: &Outcome,
) -> Result<(Book, Option<String>, Vec<layout::Problem>)> {
    let beside = [old, new].map(trench::book_of);
    let Some(path) = beside.iter().find(|path| path.exists()) else {
        return Ok((Book::default(), None, Vec::new()));
    };
    let name = path.display().to_string();
    let (book, problems) = trench::in_order(outcome, &layout::load(path)?, &name);
    Ok((book, Some(name), problems))
}

fn tell(names: &(String, String), changes: &Changes, book: &Book, whose: Option<&str>) -> String {
    let mut out = format!(
        "{} ({}) to {} ({})\n",
        names.0, changes.old, names.1, changes.new
    );
    match whose {
        Some(name) => {
            let _ = writeln!(
                out,
                "built as far as {name} tells: {} readings",
                book.readings.len()
            );
        }
        None => out.push_str("no field book beside them: nothing counts as glued\n"),
    }
    if changes.is_none() {
        out.push_str("both say the same: nothing moved, every page holds\n");
        return out;
    }
    for section in changes.sections() {
        let _ = writeln!(out, "\n{}", section.heading);
        for line in &section.lines {
            let _ = writeln!(out, "{}", wrap(line, WIDTH, "  ", "      "));
        }
    }
    let counts = format!(
        "Buy and Return start from the whole buying list of the old layout, spares too, as if all of it was bought, and keep \
         the spares of the new one; what is lost is bought again; pipe is counted by what is left at hand. All that the new \
         layout needs: `fallwise parts {}`",
        names.1
    );
    let _ = writeln!(out, "\n{}", wrap(&counts, WIDTH, "", "  "));
    if changes.cost.is_none() {
        out.push_str("\nno prices: put them into a shop sheet beside the layout and the change is told in money too\n");
    }
    if !changes.fails.is_empty() {
        let _ = writeln!(out, "\nmore of what fails: `fallwise check {}`", names.1);
    }
    out
}
