//! A layout large enough for two threads comes out as one thread has it.

#[path = "../benches/flow/lots.rs"]
#[expect(dead_code, reason = "made for the bench, which needs more of it")]
mod lots;

use flow::{Inputs, Outcome, case, run};

#[test]
fn two_threads_find_what_one_finds() {
    // The sewers of every third house lie too high, so that there is much to find.
    let text = lots::row_of_houses(1_200);
    let parts: Vec<&str> = text.split("\"-48 in\"").collect();
    let mut text = String::new();
    for (at, part) in parts.iter().enumerate() {
        let invert = if at % 3 == 0 {
            "\"-12 in\""
        } else {
            "\"-48 in\""
        };
        text.push_str(part);
        text.push_str(if at + 1 < parts.len() { invert } else { "" });
    }
    let outcome = run(&Inputs {
        text: text.clone(),
        ..Inputs::default()
    });
    assert_eq!(outcome.problems, []);
    // Laid by halves and put together, as all at once.
    let Outcome {
        network, grades, ..
    } = &outcome;
    let whole = fittings::fit(
        network,
        grades,
        &outcome.layout,
        &outcome.catalog,
        &outcome.rules,
    );
    assert!(whole.pieces.len() > 5_000 && !whole.closures.is_empty());
    assert!(whole == outcome.assembly);
    assert_eq!(outcome.hash, layout::hash(&text));
    let alone = checks::judge(&case(&outcome, &outcome.rules));
    assert!(alone.len() > 40, "{}", alone.len());
    for _ in 0..5 {
        let together = flow::judge_by(&outcome, &outcome.rules);
        assert!(together == alone);
    }
    assert!(outcome.findings == alone);
}
