//! `dry-vent-flat`: a dry vent that must lie flatter than it may to reach its wall under the slab.
//!
//! It leaves above the drain's centreline and rises at least 45 degrees until it stands upright. The rise there is, from the
//! drain up to the gap under the slab at the wall, is as far as it can go sideways. An island's foot vent is piped as a
//! drain and not judged here. Source: codes rows `dry-vent-angle`, `dry-vent-takeoff`. Mend: move the drain under the wall.

use codes::RuleId;
use layout::Vent;

use crate::{Case, Finding, Source, reach, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "dry-vent-flat",
    about: "A dry vent under the slab has the rise to reach its wall at the angle the code asks.",
    check,
};

/// A vent that comes up this near to its take-off, inches, stands over it: its bends take that up. Our choice.
const OVER_IT: f64 = 3.0;

fn check(case: &Case) -> Vec<Finding> {
    let Some(least) = case.rules.number(RuleId::DryVentAngle) else { return Vec::new() };
    let vents = case.network.vents.iter().filter(|vent| {
        matches!(case.layout.fixtures[vent.fixture].vent, Vent::TakeOff { .. })
    });
    vents.filter_map(|vent| {
        let (t, r) = vent.run;
        let run = &case.network.trees[t].runs[r];
        let size = run.size_at(vent.take_off);
        let centre = case.grades[t].lines[r].level_at(vent.take_off) + case.catalog.pipe(size).id() / 2.0;
        let across = run.path.point_at(vent.take_off).distance(vent.up);
        let slab = case.layout.slab.as_ref()?;
        let roof = fittings::cover_over(slab, vent.up) - slab.gap - case.catalog.pipe(vent.size).od / 2.0;
        let rise = (roof - centre).max(0.0);
        let needed = across * least.value.to_radians().tan();
        if across <= OVER_IT || rise >= needed - 0.01 {
            return None;
        }
        let angle = rise.atan2(across).to_degrees();
        let fixture = &case.layout.fixtures[vent.fixture];
        let says = format!(
            "the vent of {} has {} of rise under the slab to go {} to {}: {angle:.0} degrees, and flatter than {} counts as \
             flat; move the drain under the wall", fixture.id, words::inches(rise), words::inches(across), vent.wall,
            least.value,
        );
        let source = Source::row(least.row);
        let members = vec![fixture.id.clone(), vent.wall.clone()];
        let at = vent.up.extend(centre);
        let mut finding = Finding::new(RULE.id, source.breach(), members, at, source, says);
        (finding.measured, finding.limit, finding.unit) = (Some(angle), Some(least.value), "deg");
        finding.between = Some([reach::place(case, t, r, vent.take_off), at]);
        Some(finding)
    }).collect()
}
