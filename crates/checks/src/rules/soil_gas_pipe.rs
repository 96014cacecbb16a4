//! `soil-gas-pipe`: a soil-gas riser too small, or with its tee outside the gravel that it must draw from, or in the
//! trench of a drain.
//!
//! The appendix counts where it is adopted (`radon-appendix`): until that is told an ask, and a note where it is not. A bare
//! tee does not meet the stricter published standard. Source: codes rows `radon-appendix`, `radon-tee` (no published case). Mend: 3 in, its tee in the gravel under the sheet, fastened so that the pour cannot move it.

use codes::RuleId;
use glam::DVec2;
use layout::{Material, ServiceKind};
use units::Id;

use crate::{Case, Finding, rules::Rule, soil_gas, words};

pub(super) const RULE: Rule = Rule {
    id: "soil-gas-pipe",
    about: "A soil-gas riser is as large as the appendix says and draws from gravel that no trench cuts.",
    check,
};

/// Half the width of a trench dug by hand.
const HALF_TRENCH: f64 = trench::earth::HAND_WIDTH / 2.0;

fn check(case: &Case) -> Vec<Finding> {
    let Some(tee) = case.rules.number(RuleId::RadonTee) else { return Vec::new() };
    let mut found = Vec::new();
    for service in case.layout.services.iter().filter(|service| service.kind == ServiceKind::SoilGas) {
        let at = service.path.first().copied().unwrap_or_default().extend(service.level);
        let members = vec![service.id.clone()];
        let ask = |says: String| {
            let (verdict, source, says) = soil_gas::weighed(case, tee.row, says);
            Finding::new(RULE.id, verdict, members.clone(), at, source, says)
        };
        // Nominal sizes are less than the pipe's outside.
        if service.od < tee.value {
            let says = format!("{} is {} outside; {} pipe is asked for", service.id, words::inches(service.od), words::inches(tee.value));
            found.push(ask(says).inches(service.od, tee.value));
        }
        if let Some((top, bottom)) = gravel(case).filter(|(top, bottom)| service.level > *top || service.level < *bottom) {
            let says = format!(
                "{} lies {} below the floor, and the gravel it must draw from {} to {}: set its tee in the gravel",
                service.id, words::inches(-service.level), words::inches(-top), words::inches(-bottom),
            );
            found.push(ask(says));
        }
        if let Some(run) = service.path.first().and_then(|tee| in_trench(case, *tee)) {
            let says = format!(
                "the tee of {} stands in the trench of {run}, whose fill chokes it: set it in gravel that is not dug, {} or more off",
                service.id, words::inches(2.0 * HALF_TRENCH),
            );
            found.push(ask(says));
        }
    }
    found
}

/// The run in whose trench a tee stands: dug through its gravel and filled with earth.
fn in_trench<'a>(case: &Case<'a>, tee: DVec2) -> Option<&'a Id> {
    let runs = case.network.trees.iter().flat_map(|tree| &tree.runs);
    let mut near = runs.filter(|run| run.path.length() > 0.0 && run.path.nearest(tee).1 < HALF_TRENCH);
    near.next().map(|run| &run.id)
}

/// Top and underside of the gravel under the slab.
fn gravel(case: &Case) -> Option<(f64, f64)> {
    let layers = &case.layout.slab.as_ref()?.layers;
    let at = layers.iter().position(|layer| layer.material == Material::Gravel)?;
    let above: f64 = layers[..at].iter().map(|layer| layer.thickness).sum();
    Some((-above, -above - layers[at].thickness))
}
