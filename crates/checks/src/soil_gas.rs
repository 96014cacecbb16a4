//! What the soil-gas appendix weighs here: it counts only where the town has adopted it.

use codes::{Row, RuleId, Value};

use crate::{Case, Source, Verdict};

/// Verdict, source and sentence of a finding that a row of the appendix makes. Adopted: as any other row. Not adopted: a
/// note by whoever said so. Not told: an ask that says what it hangs on.
pub(crate) fn weighed(case: &Case, row: &Row, says: String) -> (Verdict, Source, String) {
    let source = Source::row(row);
    let Some(appendix) = case.rules.row(RuleId::RadonAppendix) else {
        return (Verdict::Ask, source, says);
    };
    match &appendix.value {
        Value::Yes => (source.breach(), source, says),
        Value::No => {
            let says =
                format!("{says}; the soil-gas appendix is not adopted here, so this is advice");
            (Verdict::Note, Source::row(appendix), says)
        }
        _not_told => {
            let says = format!("{says}, where the soil-gas appendix is adopted: ask whether it is");
            (Verdict::Ask, source, says)
        }
    }
}
