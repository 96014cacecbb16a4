//! `continuous-load`: a machine whose discharge keeps on, which the sums of units leave out.
//!
//! A fixture unit stands for a short gush; what a softener or a condensate pump gives keeps on as long as it runs, and two
//! codes count it by the gallon a minute. How much it gives is not in a layout, so it is told and not added. Source: codes row
//! `continuous-load`. Mend: add the machine's figure to the units of its drain, and see whether the size still carries them.

use codes::RuleId;
use layout::FixtureKind;
use units::Id;

use crate::{Case, Finding, Source, Verdict, rules::Rule, sizes, words};

pub(super) const RULE: Rule = Rule {
    id: "continuous-load",
    about: "A discharge that keeps on is counted by the gallon a minute, which the sums here leave out.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(each) = case.rules.number(RuleId::ContinuousLoad) else { return Vec::new() };
    let machines = || case.layout.fixtures.iter().filter(|f| keeps_on(f.kind));
    let Some(first) = machines().next() else { return Vec::new() };
    let members: Vec<Id> = machines().map(|fixture| fixture.id.clone()).collect();
    let says = format!(
        "what {} gives keeps on while it runs and is in no sum here: count {} units for each gallon a minute its maker tells",
        words::names(&members), sizes::units(each.value),
    );
    vec![Finding::new(RULE.id, Verdict::Note, members, first.at.extend(0.0), Source::row(each.row), says)]
}

fn keeps_on(kind: FixtureKind) -> bool {
    match kind {
        FixtureKind::Softener | FixtureKind::Condensate => true,
        FixtureKind::Closet | FixtureKind::Lavatory | FixtureKind::Tub | FixtureKind::Shower | FixtureKind::KitchenSink
        | FixtureKind::BarSink | FixtureKind::UtilitySink | FixtureKind::Washer | FixtureKind::Bidet | FixtureKind::FloorDrain
        | FixtureKind::HeaterPan | FixtureKind::HoseSink => false,
    }
}
