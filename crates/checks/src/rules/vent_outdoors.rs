//! `vent-outdoors`: no vent of the drain's own reaches the open air at the size one must have.
//!
//! Admittance valves and island vents do not count. As long as a vent of the drain is untold or told in other words, or a
//! run starts at a capped end whose fixtures are yet to come, nothing is said. The program pipes a vent under the slab at
//! the least its own drain asks, so one that is merely too small is a note. Source: codes rows `vent-outdoors`, `vent-outdoors-share`. Mend: carry one riser up through the roof.

use std::collections::BTreeMap;

use codes::{Need, RuleId};
use layout::Vent;
use network::{Start, Tree};
use units::Size;

use crate::{Case, Finding, Source, Verdict, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "vent-outdoors",
    about: "At least one vent of the building drain reaches the open air, large enough.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let vents = case.network.vents.iter();
    let piped: BTreeMap<usize, Size> = vents.map(|vent| (vent.fixture, vent.size)).collect();
    (0..case.network.trees.len()).filter_map(|t| judged(case, &piped, t)).collect()
}

fn judged(case: &Case, piped: &BTreeMap<usize, Size>, t: usize) -> Option<Finding> {
    let tree = &case.network.trees[t];
    let one = case.rules.number(RuleId::VentOutdoors)?;
    let vents = outdoor(case, piped, tree)?;
    let trunk = &tree.runs[0];
    let grade = case.grades[t].lines[0].grade.in_per_ft();
    let need = Need { dfu: trunk.dfu, ..network::need(case.layout, trunk, grade) };
    let required = case.rules.least_size(&need).map_or(trunk.outlet_size(), |fit| fit.size);
    let share = case.rules.number(RuleId::VentOutdoorsShare);
    let least = share.map_or(0.0, |share| share.value * required.nominal());
    let largest = vents.into_iter().max();
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
