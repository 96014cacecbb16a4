//! `vent-outdoors`: no vent of the drain's own reaches the open air at the size one must have, or all together are too small.
//!
//! Admittance valves and island vents do not count. As long as a vent of the drain is untold or told in other words, or a
//! run starts at a capped end whose fixtures are yet to come, nothing is said. The program pipes a vent under the slab at
//! the least its own drain asks, so one that is merely too small is a note. One code wants the section of the building
//! sewer in all vents through the roof together: an ask, since how they are gathered up there is not in a layout. Source: codes
//! rows `vent-outdoors`, `vent-outdoors-share`, `vent-area`. Mend: carry one riser up through the roof, larger where told.

use std::collections::BTreeMap;

use codes::{Need, RuleId, Value};
use layout::Vent;
use network::{Start, Tree};
use units::Size;

use crate::{Case, Finding, Source, Verdict, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "vent-outdoors",
    about: "At least one vent of the building drain reaches the open air, large enough; in one code all together are.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let vents = case.network.vents.iter();
    let piped: BTreeMap<usize, Size> = vents.map(|vent| (vent.fixture, vent.size)).collect();
    let judged = |t: usize| {
        let vents = outdoor(case, &piped, &case.network.trees[t])?;
        let required = required(case, t);
        one(case, t, &vents, required).or_else(|| together(case, t, &vents, required))
    };
    (0..case.network.trees.len()).filter_map(judged).collect()
}

/// The size that the building drain must have for what is on it.
fn required(case: &Case, t: usize) -> Size {
    let trunk = &case.network.trees[t].runs[0];
    let grade = case.grades[t].lines[0].grade.in_per_ft();
    let need = Need { dfu: trunk.dfu, ..network::need(case.layout, trunk, grade) };
    case.rules.least_size(&need).map_or(trunk.outlet_size(), |fit| fit.size)
}

/// All of them together, in the code that adds up their sections.
fn together(case: &Case, t: usize, vents: &[Size], required: Size) -> Option<Finding> {
    let row = case.rules.row(RuleId::VentArea).filter(|row| row.value == Value::Yes)?;
    let section = |size: Size| std::f64::consts::FRAC_PI_4 * size.nominal().powi(2);
    let (sum, least) = (vents.iter().copied().map(section).sum::<f64>(), section(required));
    if sum >= least - 1e-9 {
        return None;
    }
    let tree = &case.network.trees[t];
    let says = format!(
        "the vents of {} have {sum:.1} sq in of section together, and the {required} drain it needs has {least:.1}: carry one up \
         larger, or ask", tree.id,
    );
    let at = reach::place(case, t, 0, 0.0);
    let mut finding = Finding::new(RULE.id, Verdict::Ask, vec![tree.id.clone()], at, Source::row(row), says);
    (finding.measured, finding.limit, finding.unit) = (Some(sum), Some(least), "sq in");
    Some(finding)
}

/// One at least, and half as large as the drain.
fn one(case: &Case, t: usize, vents: &[Size], required: Size) -> Option<Finding> {
    let tree = &case.network.trees[t];
    let one = case.rules.number(RuleId::VentOutdoors)?;
    let share = case.rules.number(RuleId::VentOutdoorsShare);
    let least = share.map_or(0.0, |share| share.value * required.nominal());
    let largest = vents.iter().copied().max();
    let (row, merely_small, says) = match largest {
        None => (one.row, false, format!("no vent of {} reaches the open air: carry one up through the roof", tree.id)),
        Some(size) if size.nominal() < least => (
            share.map_or(one.row, |share| share.row),
            true,
            format!(
                "the largest vent of {} to the open air is {size}; carry one up at {}, half of the {required} drain it needs",
                tree.id, words::inches(least),
            ),
        ),
        Some(_) => return None,
    };
    let source = Source::row(row);
    let at = reach::place(case, t, 0, 0.0);
    let verdict = if merely_small { Verdict::Note } else { source.breach() };
    let finding = Finding::new(RULE.id, verdict, vec![tree.id.clone()], at, source, says);
    Some(finding.inches(largest.map_or(0.0, Size::nominal), least))
}

/// Sizes of the dry vents that go up; `None` as long as there is no trap, a vent is not told plainly, or more is to come.
fn outdoor(case: &Case, piped: &BTreeMap<usize, Size>, tree: &Tree) -> Option<Vec<Size>> {
    let mut sizes = Vec::new();
    let mut traps = 0;
    for run in &tree.runs {
        let f = match run.start {
            Start::Fixture(f) => f,
            Start::Cleanout(_) => continue,
            Start::Bare => return None,
        };
        traps += 1;
        let fixture = &case.layout.fixtures[f];
        match &fixture.vent {
            Vent::Riser => sizes.push(fixture.size.unwrap_or(run.inlet_size())),
            Vent::TakeOff { .. } => sizes.extend(piped.get(&f)),
            Vent::Common(_) | Vent::Wet(_) | Vent::IslandLoop { .. } | Vent::Admittance | Vent::Combination => {}
            Vent::Other(_) | Vent::Unknown => return None,
        }
    }
    (traps > 0).then_some(sizes)
}
