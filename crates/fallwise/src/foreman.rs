//! The outcome as a foreman would tell it: the verdict first, then each drain, what to change first, what was found, and
//! what is still to tell. Feet and inches, colours by the Okabe-Ito palette with a mark beside them.

use std::fmt::Write;

use anstyle::{Color, RgbColor, Style};
use checks::{Finding, Source, Verdict};
use codes::Rules;
use flow::{Budget, Outcome, Share, Tried};
use layout::{Known, Receiver, ReceiverKind};
use units::{feet_inches, figure, inches_text};

use crate::{
    report::{self, Judged},
    three,
    wrap::wrap,
};

/// A terminal's usual width, with room to spare.
pub(crate) const WIDTH: usize = 96;

/// Levels and lengths are told to the sixteenth.
const SIXTEENTHS: u32 = 16;

const BOLD: Style = Style::new().bold();

/// The report as text.
pub(crate) fn tell(outcome: &Outcome, mends: &[Tried], all: Option<&[Judged]>) -> String {
    let mut out = String::new();
    head(&mut out, outcome, all);
    for budget in flow::budget(outcome) {
        drain(&mut out, &budget);
        what_to_change(
            &mut out,
            mends.iter().filter(|mend| mend.drain == budget.drain),
        );
    }
    match all {
        None => out.push_str(&findings(&outcome.findings)),
        Some(all) => out.push_str(&three::tell(all)),
    }
    before_cover(&mut out, outcome, all);
    to_tell(&mut out, outcome);
    out
}

/// Adds a line; a String takes every line.
macro_rules! line {
    ($out:expr, $($what:tt)*) => {{ let _ = writeln!($out, $($what)*); }};
}

fn head(out: &mut String, outcome: &Outcome, all: Option<&[Judged]>) {
    match all {
        None => verdict_line(out, outcome, &outcome.findings),
        Some(all) => {
            for judged in all {
                let _ = write!(out, "{}: ", judged.code.name());
                verdict_line(out, outcome, &judged.findings);
            }
        }
    }
    let title = if outcome.layout.title.is_empty() {
        "untitled layout"
    } else {
        &outcome.layout.title
    };
    line!(
        out,
        "{title}, layout {}, {}",
        outcome.hash,
        outcome.rules.code().profile()
    );
    for row in outcome.rules.amended() {
        let says = row.local_change().unwrap_or_default();
        line!(out, "{}", wrap(&says, WIDTH, "Local: ", "       "));
    }
    match all {
        None => leans(out, "These answers rest", outcome, &outcome.rules),
        Some(all) => all.iter().for_each(|judged| {
            leans(
                out,
                &format!("{} rests", judged.code),
                outcome,
                &judged.rules,
            );
        }),
    }
}

fn leans(out: &mut String, who: &str, outcome: &Outcome, rules: &Rules) {
    let (all, unread) = report::rests_on(outcome, rules);
    line!(
        out,
        "{who} on {all} figures; {unread} of them nobody has read in a published copy, so those can only ask"
    );
}

fn verdict_line(out: &mut String, outcome: &Outcome, findings: &[Finding]) {
    let verdict = report::verdict(outcome, findings);
    let count = |wanted| {
        findings
            .iter()
            .filter(|finding| finding.verdict == wanted)
            .count()
    };
    let untold = match outcome.to_tell.len() {
        0 => String::new(),
        open => format!(", {open} still to tell"),
    };
    let counts = format!(
        "{} fail, {} to ask, {} to note{untold}",
        count(Verdict::Fails),
        count(Verdict::Ask),
        count(Verdict::Note)
    );
    let style = match verdict {
        "fails" => style(Verdict::Fails),
        "ask" => style(Verdict::Ask),
        _ => BOLD,
    };
    line!(out, "{style}{}{style:#} ({counts})", verdict.to_uppercase());
}

fn drain(out: &mut String, budget: &Budget) {
    line!(out, "\n{BOLD}Drain {}{BOLD:#}", budget.drain);
    line!(
        out,
        "  starts    {}  invert, at the upper end of {}",
        level(budget.start_invert),
        budget.start
    );
    line!(
        out,
        "  leaves    {}  invert, at the outside face of the foundation",
        level(budget.exit_invert)
    );
    line!(out, "  receiver  {}", receiver(budget.receiver.as_ref()));
    line!(out, "  {}", room(budget));
    line!(out, "  controls  {}", names(&budget.controls));
    if !budget.chain.is_empty() {
        line!(out, "  at odds   {}", names(&budget.chain));
    }
    line!(out, "  budget    {}", spends(&budget.spends));
}

fn level(inches: f64) -> String {
    format!("{:>12}", feet_inches(inches, SIXTEENTHS))
}

fn receiver(receiver: Option<&Receiver>) -> String {
    let Some(receiver) = receiver else {
        return "not told".into();
    };
    let kind = match receiver.kind {
        ReceiverKind::Tank => "tank inlet",
        ReceiverKind::Sewer => "sewer",
    };
    let known = match receiver.known {
        Known::Measured => "measured",
        Known::Told => "told, not measured: measure it before anything is dug",
        Known::Unknown => "nobody said how this is known: measure it before anything is dug",
    };
    let at = receiver.invert.map_or("level not told".into(), level);
    format!("{at}  {kind}, {known}")
}

fn room(budget: &Budget) -> String {
    let style = style(Verdict::Fails);
    match (budget.short, budget.spare) {
        (Some(short), _) => format!(
            "{style}short     {:>12}{style:#}  it cannot fall as drawn",
            inches_text(sixteenth_up(short), SIXTEENTHS)
        ),
        (None, Some(spare)) => {
            let to = budget
                .held_by
                .as_ref()
                .map_or(String::new(), |held| format!("  down to {}", held.says));
            format!("spare     {:>12}{to}", inches_text(spare, SIXTEENTHS))
        }
        (None, None) => "spare     not known: nothing outside is told".into(),
    }
}

/// To the next sixteenth up, as the finding tells it: what is found by this sum must do.
fn sixteenth_up(short: f64) -> f64 {
    (short * 16.0 - 1e-6).ceil() / 16.0
}

fn spends(spends: &[Share]) -> String {
    let each = spends.iter().map(|share| {
        format!(
            "{} {} ({})",
            inches_text(share.inches, SIXTEENTHS),
            share.who,
            share.says
        )
    });
    each.collect::<Vec<_>>().join("\n            ")
}

fn names(ids: &[units::Id]) -> String {
    let names: Vec<&str> = ids.iter().map(units::Id::as_str).collect();
    if names.is_empty() {
        "nothing told".into()
    } else {
        names.join(", ")
    }
}

fn what_to_change<'a>(out: &mut String, mends: impl Iterator<Item = &'a Tried>) {
    for (index, mend) in mends.enumerate() {
        if index == 0 {
            line!(out, "  {BOLD}What to change first{BOLD:#} (each was tried)");
        }
        let spare = mend.spare.map_or(String::new(), |spare| {
            format!(", {} spare", inches_text(spare, SIXTEENTHS))
        });
        line!(out, "  {}. {}", index + 1, mend.says);
        // What is pumped as a whole falls nowhere, and has nothing to spare.
        if mend.spare.is_some() {
            line!(
                out,
                "     then it leaves at {}{spare}",
                feet_inches(mend.exit_invert, SIXTEENTHS)
            );
        }
    }
}

/// Findings by weight, each with its figures and who says so.
pub(crate) fn findings(findings: &[Finding]) -> String {
    let mut out = String::new();
    for heading in ["Fails", INSPECTOR, "Find out first", "Note"] {
        let group: Vec<&Finding> = findings
            .iter()
            .filter(|finding| heading_of(finding) == heading)
            .collect();
        let Some(verdict) = group.first().map(|first| first.verdict) else {
            continue;
        };
        let style = style(verdict);
        line!(
            out,
            "\n{style}{} {heading} ({}){style:#}",
            mark(verdict),
            group.len()
        );
        for one in group {
            finding(&mut out, one);
        }
    }
    out
}

const INSPECTOR: &str = "Ask your inspector";

/// What a finding stands under. What no code speaks of is no question for an inspector: how a fitting is made, what the
/// engineer wants.
fn heading_of(finding: &Finding) -> &'static str {
    match finding.verdict {
        Verdict::Fails => "Fails",
        Verdict::Ask if checks::by_a_code(finding.rule) => INSPECTOR,
        Verdict::Ask => "Find out first",
        Verdict::Note => "Note",
    }
}

fn finding(out: &mut String, finding: &Finding) {
    line!(out, "{}", wrap(&sentence(finding), WIDTH, "  ", "    "));
    let figures = match (finding.measured, finding.limit) {
        (Some(measured), Some(limit)) => format!(
            "measured {}, limit {}; ",
            figure(measured, finding.unit),
            figure(limit, finding.unit)
        ),
        (Some(measured), None) => format!("measured {}; ", figure(measured, finding.unit)),
        (None, _) => String::new(),
    };
    let says = format!("{figures}{} [{}]", cited(&finding.source), finding.rule);
    line!(out, "{}", wrap(&says, WIDTH, "      ", "      "));
}

/// Code, section and edition, and whether somebody read it; where it was seen is in the JSON and on the rules page.
fn cited(source: &Source) -> String {
    match source.says.split_once(" (read: ") {
        Some((place, _)) => format!("{place} (read)"),
        None => place(source),
    }
}

/// Code, section and edition alone; where it was seen is in the JSON.
fn place(source: &Source) -> String {
    let says = source.says.as_str();
    let place = says
        .split_once(" (read: ")
        .or_else(|| says.split_once(" (from memory: "));
    let place = place.map_or(says, |(place, _)| place);
    let told = ["(from memory)", "from memory", "was seen"];
    let told = source.read || told.iter().any(|end| place.ends_with(end));
    let memory = if told { "" } else { ", from memory" };
    format!("{place}{memory}")
}

/// What is wrong, with the item in front where the sentence does not name it itself.
fn sentence(finding: &Finding) -> String {
    let named = |id: &units::Id| finding.says.contains(id.as_str());
    match finding.members.first() {
        Some(first) if !named(first) => format!("{}: {}", names(&finding.members), finding.says),
        Some(_) | None => finding.says.clone(),
    }
}

/// The tests before anything is covered; by three codes only how high the water stands.
fn before_cover(out: &mut String, outcome: &Outcome, all: Option<&[Judged]>) {
    let notes = flow::before_cover(outcome, &outcome.rules);
    if notes.is_empty() {
        return;
    }
    line!(out, "\n{BOLD}Before anything is covered{BOLD:#}");
    for note in &notes {
        let says = format!("{} [{}]", note.says, place(&note.source));
        line!(out, "{}", wrap(&says, WIDTH, "  ", "    "));
    }
    let head = |judged: &Judged| {
        let feet = judged.rules.pressure_test().head?.value;
        Some(format!("{} {feet} ft", judged.code))
    };
    if let Some(all) = all {
        let heads: Vec<String> = all.iter().filter_map(head).collect();
        line!(
            out,
            "  Water stands by {}: the highest answers all three",
            heads.join(", ")
        );
    }
}

fn to_tell(out: &mut String, outcome: &Outcome) {
    if outcome.to_tell.is_empty() {
        return;
    }
    line!(
        out,
        "\n{BOLD}Still to tell ({}){BOLD:#}",
        outcome.to_tell.len()
    );
    for tell in &outcome.to_tell {
        let says = format!("{}: {}", tell.item, tell.what);
        line!(out, "{}", wrap(&says, WIDTH, "  ", "    "));
    }
}

pub(crate) fn mark(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fails => "x",
        Verdict::Ask => "?",
        Verdict::Note => "-",
    }
}

/// Okabe-Ito (2008): vermillion, orange, sky blue.
pub(crate) fn style(verdict: Verdict) -> Style {
    let (r, g, b) = match verdict {
        Verdict::Fails => (213, 94, 0),
        Verdict::Ask => (230, 159, 0),
        Verdict::Note => (86, 180, 233),
    };
    Style::new()
        .bold()
        .fg_color(Some(Color::Rgb(RgbColor(r, g, b))))
}
