//! `fallwise changes`: what a new layout does to what was printed, bought and built by an old one.

use std::{fmt::Write as _, path::Path};

use anyhow::Result;
use field::{Book, Changes, Fate};
use flow::Outcome;
use units::feet_inches;

use crate::{Status, field as trench, files, say, unusable};

pub(crate) fn changes(old: &Path, new: &Path, page: Option<&str>) -> Result<Status> {
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
    let changes = field::changes(&first, &second, &book, &takeoff::Shop::default());
    say(&tell(&names, &changes, &book, whose.as_deref(), &second))?;
    Ok(Status::NothingFails)
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

fn tell(
    names: &(String, String),
    changes: &Changes,
    book: &Book,
    whose: Option<&str>,
    new: &Outcome,
) -> String {
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
    section(
        &mut out,
        "Moved",
        changes
            .moved
            .iter()
            .map(|one| format!("{}: {}", one.id, one.says)),
    );
    let stamp = format!(
        "every page stamped {} is out of date; gather them in and print them again",
        changes.old
    );
    let pages = changes
        .stale
        .iter()
        .map(|page| format!("other figures on {page}"));
    section(&mut out, "Pages", std::iter::once(stamp).chain(pages));
    section(
        &mut out,
        "Assemblies",
        changes.assemblies.iter().map(assembly),
    );
    section(&mut out, "Cut", changes.cuts.iter().map(cut));
    let count = |(name, n): &(String, usize)| format!("{n} x {name}");
    section(
        &mut out,
        "Lost, glued where it cannot stay",
        changes.lost.iter().map(count),
    );
    section(&mut out, "Buy", changes.buy.iter().map(count));
    section(&mut out, "Return", changes.give_back.iter().map(count));
    if changes.buy.is_empty() {
        out.push_str("\nnothing to buy\n");
    }
    if new.grades.iter().any(|grades| !grades.is_feasible()) {
        let _ = writeln!(
            out,
            "\nthe new layout cannot fall as drawn: `fallwise check {}`",
            names.1
        );
    }
    out
}

fn section(out: &mut String, heading: &str, lines: impl Iterator<Item = String>) {
    for (i, line) in lines.enumerate() {
        if i == 0 {
            let _ = writeln!(out, "\n{heading}");
        }
        let _ = writeln!(out, "  {line}");
    }
}

fn assembly(change: &field::AssemblyChange) -> String {
    let items: Vec<&str> = change.items.iter().map(units::Id::as_str).collect();
    let mut says = format!("{} ({})", change.number, items.join(", "));
    says.push_str(match change.fate {
        Fate::Stands => ": stands as it is",
        Fate::Refit => ": take apart and fit again",
        Fate::SawOut => ": saw out what is lost",
    });
    if change.fate == Fate::Stands {
        return says;
    }
    for (words, labels) in [
        ("stay", &change.stay),
        ("use again", &change.again),
        ("lost", &change.lost),
    ] {
        if !labels.is_empty() {
            let _ = write!(says, "; {words}: {}", labels.join(" "));
        }
    }
    says
}

fn cut(cut: &field::NewCut) -> String {
    let from = match &cut.from {
        None => "from a new stick".into(),
        Some((label, has)) if (has - cut.length).abs() <= 1.0 / 16.0 => {
            format!("{label} fits as it is")
        }
        Some((label, has)) => format!("from {label}, {}", feet_inches(*has, 16)),
    };
    format!(
        "{} {}, {}: {}, {from}",
        cut.label,
        cut.id,
        cut.size,
        feet_inches(cut.length, 16)
    )
}
