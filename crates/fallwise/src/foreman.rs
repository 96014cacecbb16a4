//! The outcome as a foreman would tell it: the verdict first, then each drain, what to change first, what was found, and
//! what is still to tell. Feet and inches, colours by the Okabe-Ito palette with a mark beside them.

use std::fmt::Write;

use anstyle::{Color, RgbColor, Style};
use checks::{Finding, Verdict};
use flow::{Budget, Outcome, Share, Tried};
use layout::{Known, Receiver, ReceiverKind};
use units::{feet_inches, inches_text};

use crate::report::{self, Judged};

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
        None => findings(&mut out, &outcome.findings),
        Some(all) => all
            .iter()
            .for_each(|judged| by_code(&mut out, outcome, judged)),
    }
    to_tell(&mut out, outcome);
    out
}

/// Adds a line; a String takes every line.
macro_rules! line {
    ($out:expr, $($what:tt)*) => {{ let _ = writeln!($out, $($what)*); }};
}

fn head(out: &mut String, outcome: &Outcome, all: Option<&[Judged]>) {
    match all {
        None => verdict_line(
            out,
            report::verdict(outcome, &outcome.findings),
            &outcome.findings,
        ),
        Some(all) => {
            for judged in all {
                let _ = write!(out, "{}: ", judged.code.name());
                verdict_line(
                    out,
                    report::verdict(outcome, &judged.findings),
                    &judged.findings,
                );
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
    let unread = report::unread(&outcome.rules);
    line!(
        out,
        "{unread} figures behind these answers were never read in a published code: ask about what leans on them"
    );
}

fn verdict_line(out: &mut String, verdict: &str, findings: &[Finding]) {
    let count = |wanted| {
        findings
            .iter()
            .filter(|finding| finding.verdict == wanted)
            .count()
    };
    let counts = format!(
        "{} fail, {} to ask, {} to note",
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
            inches_text(short, SIXTEENTHS)
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
        line!(
            out,
            "     then it leaves at {}{spare}",
            feet_inches(mend.exit_invert, SIXTEENTHS)
        );
    }
}

fn by_code(out: &mut String, outcome: &Outcome, judged: &Judged) {
    line!(
        out,
        "\n{BOLD}By {}: {}{BOLD:#}",
        judged.code.profile(),
        report::verdict(outcome, &judged.findings)
    );
    findings(out, &judged.findings);
}

fn findings(out: &mut String, findings: &[Finding]) {
    for (verdict, heading) in [
        (Verdict::Fails, "Fails"),
        (Verdict::Ask, "Ask your inspector"),
        (Verdict::Note, "Note"),
    ] {
        let group: Vec<&Finding> = findings
            .iter()
            .filter(|finding| finding.verdict == verdict)
            .collect();
        if group.is_empty() {
            continue;
        }
        let style = style(verdict);
        line!(
            out,
            "\n{style}{} {heading} ({}){style:#}",
            mark(verdict),
            group.len()
        );
        for one in group {
            finding(out, one);
        }
    }
}

fn finding(out: &mut String, finding: &Finding) {
    line!(out, "  {}: {}", names(&finding.members), finding.says);
    let figures = match (finding.measured, finding.limit) {
        (Some(measured), Some(limit)) => format!(
            "measured {}, limit {}; ",
            figure(measured, finding.unit),
            figure(limit, finding.unit)
        ),
        (Some(measured), None) => format!("measured {}; ", figure(measured, finding.unit)),
        (None, _) => String::new(),
    };
    let read = if finding.source.read {
        ""
    } else {
        " (nobody has read this)"
    };
    line!(
        out,
        "    {figures}{}{read} [{}]",
        finding.source.says,
        finding.rule
    );
}

/// Inches as a tape tells them, feet and inches from a foot on; anything else as it is.
fn figure(value: f64, unit: &str) -> String {
    match unit {
        "in" if value.abs() >= 12.0 => feet_inches(value, SIXTEENTHS),
        "in" => inches_text(value, SIXTEENTHS),
        _ => format!("{} {unit}", (value * 1e3).round() / 1e3),
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
        line!(out, "  {}: {}", tell.item, tell.what);
    }
}

fn mark(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fails => "x",
        Verdict::Ask => "?",
        Verdict::Note => "-",
    }
}

/// Okabe-Ito (2008): vermillion, orange, sky blue.
fn style(verdict: Verdict) -> Style {
    let (r, g, b) = match verdict {
        Verdict::Fails => (213, 94, 0),
        Verdict::Ask => (230, 159, 0),
        Verdict::Note => (86, 180, 233),
    };
    Style::new()
        .bold()
        .fg_color(Some(Color::Rgb(RgbColor(r, g, b))))
}
