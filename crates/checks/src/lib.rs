//! What is wrong with a layout, told as findings: each with what was measured, what the limit is, and who says so.
//!
//! Checks judge the outcome; they never read the rules a part was designed by from the design, but measure what came
//! out. One rule, one file under `rules/`; the list in `rules::ALL` is the display order and what help and tests walk.
#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::float_cmp))]

mod before_cover;
mod cable;
mod case;
mod cleanouts;
mod closets;
mod compare;
mod finding;
mod flow_speed;
pub mod geometry;
mod ground;
mod house;
mod landing;
mod leans;
mod look_up;
pub mod page;
mod pairs;
mod reach;
pub mod rules;
mod sizes;
mod soil_gas;
mod untold;
mod words;

use std::{cmp::Ordering, collections::BTreeMap};

use codes::Rules;

pub use before_cover::before_cover;
pub use case::Case;
pub use compare::{Difference, Question, Side, by_a_code, differences, questions};
pub use finding::{Finding, Source, Verdict};
pub use flow_speed::{Flow, at_depth, half_full, slope_for};
pub use landing::room_in;
pub use leans::leans_on;
pub use look_up::LookUps;
pub use untold::still_to_tell;
pub use words::names;

/// What each of several codes finds in one house, in their order, as [`judge`] tells it. What reads no code is looked for once.
pub fn judge_each(case: &Case, codes: &[Rules]) -> Vec<Vec<Finding>> {
    let of_no_code = rules::ALL
        .iter()
        .filter(|rule| rules::reads_no_code(rule.id));
    let alike: BTreeMap<&str, Vec<Finding>> = of_no_code
        .map(|rule| (rule.id, found(rule, case)))
        .collect();
    let judged = |rules: &Rules| {
        let case = Case {
            rules,
            ..case.clone()
        };
        let of_rule = |rule: &rules::Rule| {
            alike
                .get(rule.id)
                .cloned()
                .unwrap_or_else(|| found(rule, &case))
        };
        let mut findings: Vec<Finding> = rules::ALL.iter().flat_map(of_rule).collect();
        Finding::sort(&mut findings);
        findings
    };
    codes.iter().map(judged).collect()
}

/// Everything found, gravest first; equal weight in the order of the rules' list, then of members and place.
pub fn judge(case: &Case) -> Vec<Finding> {
    let mut findings: Vec<Finding> = rules::ALL
        .iter()
        .flat_map(|rule| found(rule, case))
        .collect();
    Finding::sort(&mut findings);
    findings
}

/// What one rule finds, by members, then place. [`judge`] is every rule's, put in order by [`Finding::sort`]; whoever has
/// several threads to judge by asks rule by rule.
pub fn found(rule: &rules::Rule, case: &Case) -> Vec<Finding> {
    let mut found = (rule.check)(case);
    found.sort_by(|a, b| {
        let place = |f: &Finding| [f.at.x, f.at.y, f.at.z];
        let (p, q) = (place(a), place(b));
        let mut by_place = p.iter().zip(&q).map(|(x, y)| x.total_cmp(y));
        let by_place = by_place.find(|o| o.is_ne());
        a.members
            .cmp(&b.members)
            .then(by_place.unwrap_or(Ordering::Equal))
    });
    found
}
