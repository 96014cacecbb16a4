//! `run-too-small`: a drain that carries more fixture units than its table has for its size at the grade it lies at.
//!
//! Each stretch of one size is judged by what drains through its lower end, bathroom groups reduced where the code does.
//! On a slab nearly every branch is a branch of the building drain, so that table decides. Source: codes row
//! `drain-capacity`. Mend: the size that is told, from there down; or a steeper grade where the table has a column for it.

use codes::{Need, RuleId};

use crate::{Case, Finding, Source, Verdict, rules::Rule, sizes::{self, Stretch}};

pub(super) const RULE: Rule = Rule {
    id: "run-too-small",
    about: "Every drain is large enough for the fixture units on it at the grade it lies at.",
    check,
};

fn check(case: &Case) -> Vec<Finding> {
    let figure = |f: &layout::Fixture| {
        let load = network::fixture_load(f.kind)?;
        case.rules.dfu(load).map(|figure| figure.value)
    };
    let plain: Vec<f64> = case.layout.fixtures.iter().map(|f| figure(f).unwrap_or(0.0)).collect();
    let baths = network::Baths::of(case.layout);
    // What is carried even without any group needs no closer look.
    let heavy = |stretch: &Stretch| {
        let sum: f64 = stretch.fixtures.iter().map(|f| plain[*f]).sum();
        let carried = case.rules.capacity(stretch.size, grade(case, stretch));
        sum > 0.0 && carried.and_then(|carried| carried.dfu).is_none_or(|most| sum > most)
    };
    sizes::stretches(case).filter(heavy).filter_map(|stretch| judged(case, &baths, &stretch)).collect()
}

fn grade(case: &Case, stretch: &Stretch) -> f64 {
    case.grades[stretch.tree].lines[stretch.index].grade.in_per_ft()
}

fn judged(case: &Case, baths: &network::Baths, stretch: &Stretch) -> Option<Finding> {
    let served = network::served(case.layout, baths, &stretch.fixtures);
    let total = case.rules.total(&served);
    let whole = network::need(case.layout, stretch.run, grade(case, stretch));
    let closets = stretch.count(case, |kind| kind == layout::FixtureKind::Closet);
    let need = Need { dfu: total.dfu, closets, waste_fixtures: stretch.fixtures.len() - closets, ..whole };
    let bars = case.rules.bars(stretch.size, &need);
    let row = *bars.iter().find(|row| row.cite.rule == RuleId::DrainCapacity)?;
    let most = case.rules.capacity(stretch.size, need.grade_in_per_ft).and_then(|carried| carried.dfu);
    let would = case.rules.least_size(&need).map_or_else(
        || "no size that is made will do; split the load".into(),
        |fit| format!("{} would do", fit.size),
    );
    let says = format!(
        "{} carries {} {}{} in {} pipe at {} in/ft; the table has {}: {would}",
        stretch.run.id, sizes::units(total.dfu), if total.dfu == 1.0 { "unit" } else { "units" },
        if total.plain > total.dfu { format!(" ({} without groups)", sizes::units(total.plain)) } else { String::new() },
        stretch.size, units::inches_text(need.grade_in_per_ft, 32).trim_end_matches('"'),
        most.map_or("no row for that".into(), |most| format!("{} for it", sizes::units(most))),
    );
    let source = Source::row(row);
    let loads_read = total.rows.iter().all(|row| row.is_read());
    let verdict = if loads_read { source.breach() } else { Verdict::Ask };
    let mut finding = Finding::new(RULE.id, verdict, vec![stretch.run.id.clone()], stretch.at(case), source, says);
    (finding.measured, finding.limit, finding.unit) = (Some(total.dfu), most, "DFU");
    Some(finding)
}
