//! `soil-gas-pipe`: a soil-gas riser too small, or with its tee outside the gravel that it must draw from.
//!
//! The appendix applies where it is adopted, so an ask. A bare tee does not meet the stricter published standard. Source:
//! codes row `radon-tee` (no published case). Mend: 3 in, its tee in the gravel under the sheet, fastened so that the pour cannot move it.

use codes::RuleId;
use layout::{Material, ServiceKind};

use crate::{Case, Finding, Source, Verdict, rules::Rule, sizes, words};

pub(super) const RULE: Rule = Rule {
    id: "soil-gas-pipe",
    about: "A soil-gas riser is as large as the appendix says and draws from the gravel.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(tee) = case.rules.number(RuleId::RadonTee) else { return Vec::new() };
    let mut found = Vec::new();
    for service in case.layout.services.iter().filter(|service| service.kind == ServiceKind::SoilGas) {
        let at = service.path.first().copied().unwrap_or_default().extend(service.level);
        let members = vec![service.id.clone()];
        let ask = |says: String| Finding::new(RULE.id, Verdict::Ask, members.clone(), at, Source::row(tee.row), says);
        // Nominal sizes are less than the pipe's outside.
        if service.od < tee.value {
            let says = format!("{} is {} outside; a {} in pipe is asked for", service.id, words::inches(service.od), sizes::units(tee.value));
            found.push(ask(says).inches(service.od, tee.value));
        }
        if let Some((top, bottom)) = gravel(case).filter(|(top, bottom)| service.level > *top || service.level < *bottom) {
            let says = format!(
                "{} lies {} below the floor, and the gravel it must draw from {} to {}: set its tee in the gravel",
                service.id, words::inches(-service.level), words::inches(-top), words::inches(-bottom),
            );
            found.push(ask(says));
        }
    }
    found
}

/// Top and underside of the gravel under the slab.
fn gravel(case: &Case) -> Option<(f64, f64)> {
    let layers = &case.layout.slab.as_ref()?.layers;
    let at = layers.iter().position(|layer| layer.material == Material::Gravel)?;
    let above: f64 = layers[..at].iter().map(|layer| layer.thickness).sum();
    Some((-above, -above - layers[at].thickness))
}
