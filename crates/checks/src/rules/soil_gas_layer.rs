//! `soil-gas-layer`: a soil-gas riser without the layers that it works by.
//!
//! It draws from a gravel layer under a sheet, and one riser serves so much floor. Whether the sheet lies over the foam or
//! under it is told by the town (`sheet-place`). The appendix counts where it is adopted (`radon-appendix`): until that is told
//! an ask, and a note where it is not. Garages and porches with layers of their own are not looked at. Source: codes rows
//! `radon-appendix`, `radon-layer`, `radon-sheet`, `radon-sheet-lap`, `radon-area`, `sheet-place` (no published case). Mend: the layers told, in the order the town takes.

use codes::{Row, RuleId, Value};
use glam::DVec2;
use layout::{Layer, Material, ServiceKind, Slab};
use units::Id;

use crate::{Case, Finding, Source, Verdict, rules::Rule, sizes, soil_gas, words};

pub(super) const RULE: Rule = Rule {
    id: "soil-gas-layer",
    about: "A soil-gas riser has its gravel and its sheet, in the order the town takes, and no more floor than it serves.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let Some(slab) = &case.layout.slab else { return Vec::new() };
    let risers = case.layout.services.iter().filter(|service| service.kind == ServiceKind::SoilGas);
    let members: Vec<Id> = risers.map(|service| service.id.clone()).collect();
    if members.is_empty() {
        return Vec::new();
    }
    let by_appendix = [gravel(case, slab), sheet(case, slab), area(case, slab, members.len())];
    let by_appendix = by_appendix.into_iter().flatten().map(|(row, says)| soil_gas::weighed(case, row, says));
    let by_town = order(case, slab).map(|(row, says)| (Verdict::Ask, Source::row(row), says));
    let at = middle(slab).extend(0.0);
    let finding = |(verdict, source, says)| Finding::new(RULE.id, verdict, members.clone(), at, source, says);
    by_appendix.chain(by_town).map(finding).collect()
}

fn position(slab: &Slab, material: Material) -> Option<usize> {
    slab.layers.iter().position(|layer| layer.material == material)
}

/// Gravel or sand to draw from; sand wants a mat in it.
fn gravel<'a>(case: &Case<'a>, slab: &Slab) -> Option<(&'a Row, String)> {
    let asked = case.rules.number(RuleId::RadonLayer)?;
    let draws = |layer: &&Layer| matches!(layer.material, Material::Gravel | Material::Sand);
    let Some(layer) = slab.layers.iter().find(draws) else {
        let says = format!(
            "no layer of the slab is gravel, and a soil-gas riser draws from one: {} of clean stone is asked for",
            words::inches(asked.value),
        );
        return Some((asked.row, says));
    };
    (layer.thickness < asked.value - 1e-6).then(|| {
        let (has, least) = (words::inches(layer.thickness), words::inches(asked.value));
        (asked.row, format!("the layer that the soil-gas riser draws from is {has} thick; {least} is asked for"))
    })
}

fn sheet<'a>(case: &Case<'a>, slab: &Slab) -> Option<(&'a Row, String)> {
    let asked = case.rules.number(RuleId::RadonSheet)?;
    let lap = case.rules.number(RuleId::RadonSheetLap).map_or(String::new(), |lap| {
        format!(", lapped {} and sealed round each pipe", words::inches(lap.value))
    });
    let (sheet, gravel) = (position(slab, Material::Sheet), position(slab, Material::Gravel));
    let over = sheet.is_some_and(|sheet| gravel.is_none_or(|gravel| sheet < gravel));
    let says = format!("no sheet lies over the gravel; one of {} mil is asked for{lap}", sizes::units(asked.value));
    (!over).then_some((asked.row, says))
}

/// Sheet and foam in the order that the town takes.
fn order<'a>(case: &Case<'a>, slab: &Slab) -> Option<(&'a Row, String)> {
    let (sheet, foam) = (position(slab, Material::Sheet)?, position(slab, Material::Foam)?);
    let row = case.rules.row(RuleId::SheetPlace)?;
    let (lies, other) = if sheet < foam { ("over", "under") } else { ("under", "over") };
    let says = match &row.value {
        Value::Words(wanted) if wanted.contains(lies) => return None,
        Value::Words(wanted) if wanted.contains(other) => {
            format!("the sheet lies {lies} the foam, and here it is wanted {other} it")
        }
        _not_told => format!("the sheet lies {lies} the foam: inspectors differ, so ask which way it is taken here"),
    };
    Some((row, says))
}

fn area<'a>(case: &Case<'a>, slab: &Slab, risers: usize) -> Option<(&'a Row, String)> {
    let each = case.rules.number(RuleId::RadonArea)?;
    let feet = area_of(&slab.outline) / 144.0;
    // A house has few risers.
    #[allow(clippy::cast_precision_loss)]
    let serves = each.value * risers as f64;
    (feet > serves).then(|| {
        let risers = if risers == 1 { "one soil-gas riser serves".into() } else { format!("{risers} soil-gas risers serve") };
        let says = format!(
            "{risers} {feet:.0} sq ft of slab; one for each {} sq ft is asked for",
            sizes::units(each.value),
        );
        (each.row, says)
    })
}

fn area_of(outline: &[DVec2]) -> f64 {
    let sides = outline.iter().zip(outline.iter().cycle().skip(1));
    sides.map(|(a, b)| a.perp_dot(*b)).sum::<f64>() / 2.0
}

fn middle(slab: &Slab) -> DVec2 {
    let corners = slab.outline.len().max(1);
    // Few corners.
    #[allow(clippy::cast_precision_loss)]
    let share = 1.0 / corners as f64;
    slab.outline.iter().copied().sum::<DVec2>() * share
}
