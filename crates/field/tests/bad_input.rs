//! Wrong books: every mistake told in whole sentences with its line, and nothing lost.
#![allow(clippy::unwrap_used)]

mod common;

use common::demo;

fn problems(readings: &str) -> Vec<String> {
    let house = demo();
    let text = format!("(\n    readings: {{\n{readings}\n    }},\n)\n");
    let (book, mut problems) = field::read(&text, "demo.field.ron");
    problems.extend(field::misfits(&house.outcome, &book));
    problems.iter().map(ToString::to_string).collect()
}

#[track_caller]
fn says(reading: &str, whole: &str) {
    assert_eq!(problems(&format!("\"1\": ({reading}),")), [whole]);
}

#[test]
fn a_stub_that_is_not_there_gets_a_near_name() {
    says(
        "of: \"main lavatry\", what: stub, tapes: [(\"sw\", \"48'\"), (\"se\", \"21'\")], stage: dry_fit",
        "demo.field.ron:3:6: readings \"1\": there is no stub \"main lavatry\"; did you mean main lavatory? it may be main \
         lavatory, main closet, main shower, kitchen sink, hall tub, hall closet, hall lavatory, washer, dog wash, utility \
         sink, kitchen sink vent, kitchen sink return, hall tub vent, hall closet vent, dog wash vent, outside cleanout, water service, soil gas \
         pipe",
    );
    says(
        "of: \"washer\", what: stub, tapes: [(\"sv\", \"48'\"), (\"se\", \"21'\")], stage: dry_fit",
        "demo.field.ron:3:6: readings \"1\": there is no corner \"sv\"; did you mean se? it may be sw, se, ne, nw, corner 1, \
         corner 2, corner 3, corner 4, corner 5, corner 6",
    );
}

#[test]
fn feet_for_inches_are_asked_about() {
    says(
        "of: \"washer\", what: stub, tapes: [(\"nw\", \"204 3/8'\"), (\"sw\", \"35'-5 5/8\")], stage: dry_fit",
        "demo.field.ron:3:6: readings \"1\": from nw 204'-4 1/2\" is about twelve times the plan's 17'-0 3/8\"; did you mean \
         17'-0 3/8\"? write that, or add sure: yes if it was read twice",
    );
    says(
        "of: \"trunk\", what: invert, at: lower, level: \"-23.4 ft\", stage: glued",
        "demo.field.ron:3:6: readings \"1\": -23'-4 13/16\" is about twelve times the plan's -1'-11 7/16\"; did you mean \
         -1'-11 3/8\"? write that, or add sure: yes if it was read twice",
    );
    says(
        "of: \"trunk\", what: invert, at: lower, level: \"23 7/16 in\", stage: glued",
        "demo.field.ron:3:6: readings \"1\": 1'-11 7/16\" is on the other side of the floor from the plan's -1'-11 7/16\"; \
         did you mean -1'-11 7/16\"? write that, or add sure: yes if it was read twice",
    );
    says(
        "of: \"trunk\", what: invert, at: lower, rod: \"6.95 in\", instrument: \"5.00 ft\", stage: glued",
        "demo.field.ron:3:6: readings \"1\": a rod of 6 15/16 in under an instrument at 5'-0\" is 4'-5 1/16\", and the plan \
         has -1'-11 7/16\"; did you mean a rod of 6'-11 3/8\" under an instrument at 5'-0\"? write that, or add sure: yes if \
         it was read twice",
    );
    let sure = "\"1\": (of: \"trunk\", what: invert, at: lower, level: \"-23.4 ft\", stage: glued, sure: yes),";
    assert_eq!(problems(sure), [""; 0]);
}

#[test]
fn tapes_that_cannot_meet() {
    says(
        "of: \"washer\", what: stub, tapes: [(\"nw\", \"10'\"), (\"sw\", \"30'\")], stage: dry_fit",
        "demo.field.ron:3:6: readings \"1\": the tapes end 4'-0\" before they meet; one reads short or hooks on another \
         corner",
    );
    says(
        "of: \"washer\", what: stub, tapes: [(\"nw\", \"17'\")], stage: dry_fit",
        "demo.field.ron:3:6: readings \"1\": one tape gives no point; pull at least two",
    );
    says(
        "of: \"house drain\", what: sleeve, tapes: [(\"se\", \"10'\")], stage: sleeve",
        "demo.field.ron:3:6: readings \"1\": se does not stand on the wall the drain leaves by; pull from a corner of that \
         wall, along it",
    );
}

#[test]
fn a_time_before_the_last_stage() {
    let readings = "\"1\": (of: \"washer\", what: stub, tapes: [(\"nw\", \"17'-0 3/8\"), (\"sw\", \"35'-5 5/8\")], when: \"2026-06-03 \
                    08:10\", stage: dry_fit),\n\"2\": (of: \"washer\", what: done, when: \"2026-06-02\", stage: glued),";
    assert_eq!(
        problems(readings),
        [
            "demo.field.ron:4:6: readings \"2\": washer (glued) is at 2026-06-02, before its reading 1 (dry fit) at 2026-06-03 \
             08:10; put the time or the stage right"
        ]
    );
}

#[test]
fn bare_numbers_and_missing_words() {
    says(
        "of: \"trunk\", what: invert, at: lower, level: -23, stage: glued",
        "demo.field.ron:3:52: readings \"1\" level: -23 is a bare number; write it in quotes with its unit: \"-23 in\", \
         \"-23'\" or \"-23 m\", for plans mix feet and inches",
    );
    says(
        "of: \"trunk\", what: invrt, at: lower, level: \"-23 in\", stage: glued",
        "demo.field.ron:3:26: readings \"1\" what: invrt is not something to measure; did you mean invert? it may be stub, \
         top, sleeve, invert, crown, trench, diagonal, string, heat, done",
    );
    says(
        "of: \"trunk\", what: invert, at: lower, rod: \"6.95 ft\", stage: glued",
        "demo.field.ron:3:6: readings \"1\": the rod has no instrument; add instrument: \"5.00 ft\", its line of sight above \
         the finished floor",
    );
    says(
        "of: \"trunk\", what: invert, at: \"90'\", level: \"-23 in\", stage: glued",
        "demo.field.ron:3:6: readings \"1\": 90'-0\" up trunk is past its upper end; write at most 54'-7 7/8\", or upper",
    );
    says(
        "of: \"trunk\", what: done, when: \"yesterday\", stage: glued",
        "demo.field.ron:3:38: readings \"1\" when: \"yesterday\" is not a time; write it like \"2026-06-03 08:10\" or \
         \"2026-06-03\"",
    );
}

#[test]
fn a_torn_book_loses_nothing_and_gets_nothing() {
    let text = "(readings: { \"1\": (of: ";
    let (book, problems) = field::read(text, "f.ron");
    assert!(book.readings.is_empty());
    assert_eq!(problems.len(), 1);
    assert!(field::append(text, "f.ron", "(of: \"a\", what: done, stage: dug)").is_err());
}

#[test]
fn every_entry_stands_on_a_line_and_comments_stay() {
    let (one, id) = field::append("", "f.ron", "(of: \"trunk\", what: done, stage: dug)").unwrap();
    assert_eq!(id.as_str(), "1");
    let one = one.replace("readings: {", "readings: { // mud to the knee");
    let (two, id) =
        field::append(&one, "f.ron", "(of: \"trunk\", what: done, stage: glued)").unwrap();
    assert_eq!(id.as_str(), "2");
    assert_eq!(
        two,
        "// What was measured in the ground. Each reading: what it is of, what was measured, who, when, how far the work \
         was.\n(\n    readings: { // mud to the knee\n        \"1\": (of: \"trunk\", what: done, stage: dug),\n        \"2\": \
         (of: \"trunk\", what: done, stage: glued),\n    },\n)\n"
    );
    let (book, problems) = field::read(&two, "f.ron");
    assert_eq!((book.readings.len(), problems.len()), (2, 0));
}

#[test]
fn no_text_panics() {
    let whole = "(tape: \"1/16 in\", points: {\"a\": (\"1'\", \"2'\")}, strings: {\"s\": (from: (\"0\", \"0\"), to: (\"9'\", \"0\"))}, \
                 readings: {\"1\": (of: \"washer\", what: stub, string: \"s\", along: \"3'\", left: \"2 in\", stage: dry_fit)})";
    let house = demo();
    for end in 0..=whole.len() {
        for broken in [
            whole[..end].to_owned(),
            whole[end..].to_owned(),
            whole.replacen('(', "[", end % 7),
        ] {
            let (book, _) = field::read(&broken, "f.ron");
            let _ = (
                field::misfits(&house.outcome, &book),
                field::judge(&house.outcome, &book),
            );
        }
    }
}
