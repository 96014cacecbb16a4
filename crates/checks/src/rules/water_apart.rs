//! `water-apart`: a water service nearer the building sewer outside than the code has it.
//!
//! The codes ask a distance, or the water so far above, but not where the sewer is of building-drain pipe, as schedule 40
//! PVC is; then a note says so where the row was read, and an ask where it was not. Source: codes rows
//! `water-sewer-exempt`, `-distance`, `-above`. Mend: farther apart, or higher.

use codes::{Figure, Value};
use glam::DVec3;
use layout::ServiceKind;
use scene::PipeBody;

use crate::{Case, Finding, Source, Verdict, geometry::tube_to_tube, rules::Rule, words};

pub(super) const RULE: Rule = Rule {
    id: "water-apart",
    about: "Water service and building sewer lie apart, unless the code exempts the sewer's pipe.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let water = case.layout.services.iter().filter(|service| service.kind == ServiceKind::Water);
    let bodies = water.flat_map(|service| case.scene.pipes.iter().filter(|body| body.id == service.id));
    let drains = || case.layout.drains.iter().filter_map(|drain| case.outside_line(&drain.id));
    bodies.flat_map(|water| drains().filter_map(move |sewer| judged(case, water, sewer))).collect()
}

fn judged(case: &Case, water: &PipeBody, sewer: &PipeBody) -> Option<Finding> {
    let rules = case.rules.water_apart();
    let distance = rules.distance?;
    let (apart, above, at) = nearest(water, sewer)?;
    let want = distance.value * 12.0;
    let high = rules.above.is_some_and(|figure| above >= figure.value - 1e-6);
    if apart >= want - 1e-6 || high {
        return None;
    }
    let facts = format!(
        "{} lies {} from the sewer {}, and {} is asked for",
        water.id, words::inches(apart), sewer.id, words::feet(want),
    );
    let (verdict, source, why) = weighed(rules.exempt, &distance);
    let members = vec![water.id.clone(), sewer.id.clone()];
    let says = format!("{facts}; {why}");
    Some(Finding::new(RULE.id, verdict, members, at, source, says).inches(apart, want))
}

fn weighed(exempt: Option<&codes::Row>, distance: &Figure) -> (Verdict, Source, &'static str) {
    match exempt {
        Some(row) if row.value == Value::Yes => {
            let source = Source::row(row);
            let verdict = if source.read { Verdict::Note } else { Verdict::Ask };
            (verdict, source, "but not where the sewer is of building-drain pipe, as schedule 40 PVC is")
        }
        Some(_) | None => {
            let source = Source::row(distance.row);
            (source.breach(), source, "lay it farther off, or well above")
        }
    }
}

/// The nearest place of two bodies: the gap in inches, how far the water's underside is above the sewer's crown there,
/// and where. Only where the water lies in the ground, not where it rises.
fn nearest(water: &PipeBody, sewer: &PipeBody) -> Option<(f64, f64, DVec3)> {
    let pairs = water.tubes.iter().flat_map(|w| sewer.tubes.iter().map(move |s| (w, s)));
    let measured = pairs.filter_map(|(w, s)| {
        let gap = tube_to_tube(w, s).ok()?;
        let [on_water, on_sewer] = gap.between;
        let above = (on_water.z - w.radius) - (on_sewer.z + s.radius);
        Some((gap.inches, above, on_water))
    });
    measured.min_by(|a, b| a.0.total_cmp(&b.0))
}
