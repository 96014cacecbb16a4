//! Counts stand above any house and are told when they are passed, each with the number that may be.

/// What is wrong with a document, each told whole.
fn problems(text: &str) -> Vec<String> {
    let reading = layout::read(text, "house.ron");
    let file = reading.file.as_ref();
    let resolved = file.map(|file| layout::resolve(file).1).unwrap_or_default();
    let all = reading.problems.iter().chain(&resolved);
    all.map(ToString::to_string).collect()
}

/// An outline of so many corners, the upper half of a round.
fn outline(corners: usize) -> String {
    let corner = |i: usize| {
        let angle = std::f64::consts::PI * i as f64 / (corners - 1) as f64;
        let (x, y) = (480.0 - 480.0 * angle.cos(), 480.0 * angle.sin());
        format!("(\"{x:.4} in\", \"{y:.4} in\"),")
    };
    let corners: String = (0..corners).map(corner).collect();
    format!("(slab: (outline: [{corners}]))")
}

#[test]
fn an_outline_of_a_thousand_corners_is_read_and_one_more_is_told() {
    assert_eq!(problems(&outline(layout::limits::MOST_CORNERS)), [""; 0]);
    assert_eq!(
        problems(&outline(layout::limits::MOST_CORNERS + 1)),
        ["house.ron:1:18: slab outline: the outline has 1001 corners; an outline may have 1000"]
    );
}

#[test]
fn a_list_of_ten_thousand_is_read_and_one_more_is_told() {
    let ground = |points: usize| {
        let point = |i: usize| format!("(\"{i} in\", \"-8 in\"),");
        let points: String = (0..points).map(point).collect();
        problems(&format!("(outside: (ground: [{points}]))"))
    };
    assert_eq!(ground(layout::limits::MOST_LISTED), [""; 0]);
    assert_eq!(
        ground(layout::limits::MOST_LISTED + 1),
        [
            "house.ron:1:20: outside ground: there are 10001 values in this list; a list may hold 10000"
        ]
    );
}

#[test]
fn more_items_than_a_street_has_are_told() {
    let items: String = (0..=layout::limits::MOST_ITEMS)
        .map(|i| format!("\"{i}\":(),"))
        .collect();
    assert_eq!(
        problems(&format!("(rooms: {{{items}}})")),
        [
            "house.ron:1:9: rooms: there are 600001 named items up to here; a file may hold 600000; write the houses in files of their own"
        ]
    );
}

#[test]
fn a_hundred_fixtures_may_stand_on_one_another_and_one_more_is_told() {
    let row = |fixtures: usize| {
        let first = "\"f0\": (kind: lavatory, at: (\"1'\", \"1'\")),".to_owned();
        let next = |i: usize| {
            format!(
                "\"f{i}\": (kind: lavatory, at: (from: \"f{}\", east: \"1 in\", north: \"0\")),",
                i - 1
            )
        };
        // The last stands first, so that its whole chain is followed in one go.
        let items: String = (1..fixtures).rev().map(next).chain([first]).collect();
        problems(&format!("(fixtures: {{{items}}})"))
    };
    assert_eq!(row(layout::limits::DEEPEST_CHAIN), [""; 0]);
    let told = row(layout::limits::DEEPEST_CHAIN + 1);
    assert_eq!(told.len(), 1, "{told:#?}");
    assert!(
        told[0].ends_with(
            "more than 100 items stand on one another here; give one of them a place in plan"
        ),
        "{told:#?}"
    );
}
