//! Figures inside the words of findings, worked by hand.

use std::path::Path;

use flow::{Inputs, Outcome, run};

fn judged(scene: &str) -> Outcome {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../scenes")
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
    let outcome = judged("checks/cover-outside/asks-about-a-crown-above-frost.ron");
    let says = &outcome.findings[0].says;
    assert!(
        says.contains("; the whole drain could lie 12 7/16 in deeper"),
        "{says}"
    );
}

/// The kitchen sink stands 12 in along and 2 in across a peninsula whose middle is 336, 108 and which is turned 22 1/2 degrees:
/// 12 cos - 2 sin = 10.32 east of the middle and 12 sin + 2 cos = 6.44 north of it. The trunk ends in the wall at 120, 528.
/// Marks stand where the levels they tell are, past the fittings at the ends.
#[test]
fn inverts_are_marked_where_the_line_has_them() {
    let outcome = judged("demo.ron");
    let ends = |id: &str| -> Vec<glam::DVec3> {
        let marks = outcome.scene.marks.iter();
        let of =
            marks.filter(|mark| mark.id.as_str() == id && mark.kind == scene::MarkKind::Invert);
        of.map(|mark| mark.at).collect()
    };
    let line = |id: &str| {
        let lines = outcome.assembly.runs.iter().flatten();
        lines
            .into_iter()
            .find(|line| line.id.as_str() == id)
            .expect("it is there")
    };
    let sink = glam::DVec3::new(346.32, 114.44, line("kitchen drain").inlet);
    assert!(ends("kitchen drain")[0].distance(sink) < 0.02);
    let wall = glam::DVec3::new(120.0, 528.0, line("trunk").outlet);
    assert!(ends("trunk")[1].distance(wall) < 0.02);
}

/// The way out's mark tells the invert that the text tells: `leaves`.
#[test]
fn the_way_out_is_marked_by_its_invert() {
    let outcome = judged("demo.ron");
    let exit = outcome
        .scene
        .marks
        .iter()
        .find(|mark| mark.kind == scene::MarkKind::Exit);
    let exit = exit.expect("it leaves");
    assert!((exit.at.z - outcome.grades[0].exit.level).abs() < 1e-6);
    assert_eq!(exit.text, "house drain leaves  4 in  invert -1'-11 7/16\"");
}
