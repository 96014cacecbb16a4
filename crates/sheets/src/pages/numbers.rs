//! The pages of numbers in the packet's order. What does not belong here: what stands on each.

use checks::Question;
use field::Judged;
use flow::Outcome;
use takeoff::Takeoff;

use super::{content::Sheet, control, dig, pour, proof, record, shop};

/// All pages of numbers in the packet's order. `questions` are those for the inspector, from comparing the codes; `found` is
/// what was measured in the ground.
pub fn numbers(
    outcome: &Outcome,
    takeoff: &Takeoff,
    questions: &[Question],
    found: &Judged,
) -> Vec<Sheet> {
    let mut sheets = vec![
        control::sheet(outcome),
        dig::sheet(outcome),
        shop::sheet(outcome, takeoff),
    ];
    sheets.extend(shop::cards(outcome, takeoff));
    sheets.extend([
        proof::sheet(outcome, takeoff, questions),
        pour::sheet(outcome, takeoff),
        record::sheet(outcome, found),
    ]);
    sheets
}
