//! Figures inside the words of findings, worked by hand.

use std::path::Path;

use flow::{Inputs, Outcome, run};

fn judged(scene: &str) -> Outcome {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../scenes/checks")
        .join(scene);
    run(&Inputs {
        text: std::fs::read_to_string(file).expect("the scene is there"),
        name: "scene.ron".into(),
        ..Inputs::default()
    })
}

/// The sleeve (6 in nominal, 6.625 outside) may come down on the footing at -30: its axis at -26.6875. The 4 in pipe in it
/// (4.026 inside) then has its invert at -28.7005. It leaves at -16.25 or so: 9 5/16 to the start's invert, 6 1/2 of fall, 1/2 of
/// increaser. 28.70 less 16.25 are 12 7/16.
#[test]
fn a_line_in_the_frost_is_told_how_much_deeper_it_could_lie() {
    let outcome = judged("cover-outside/asks-about-a-crown-above-frost.ron");
    let says = &outcome.findings[0].says;
    assert!(says.contains("; 12 7/16 in of fall is to spare"), "{says}");
}
