//! Draws the invented house of the tests, to look at: `cargo run -p viewer --example made_up -- FOLDER` makes pictures,
//! `... -- FOLDER window` opens the window and tells there, each time it rests, what is on screen.

#[path = "../tests/made_up/mod.rs"]
mod made_up;

use std::path::PathBuf;
use std::time::Instant;

use viewer::{Shot, ViewError, ViewOptions, Viewpoint, script};

fn main() {
    let mut arguments = std::env::args().skip(1);
    let folder = PathBuf::from(arguments.next().unwrap_or_else(|| ".".into()));
    let done = match arguments.next().as_deref() {
        Some("window") => window(&folder),
        _ => shots(&folder),
    };
    if let Err(error) = done {
        say(&error.to_string());
        std::process::exit(2);
    }
}

#[allow(clippy::print_stdout)] // an example talks to whoever runs it
fn say(line: &str) {
    println!("{line}");
}

fn shots(folder: &std::path::Path) -> Result<(), ViewError> {
    let house = made_up::house();
    let views = [
        ("house", Shot::default()),
        (
            "below",
            Shot {
                viewpoint: Viewpoint::Below,
                ..Shot::default()
            },
        ),
        (
            "plan",
            Shot {
                viewpoint: Viewpoint::Plan,
                ..Shot::default()
            },
        ),
        (
            "heights",
            Shot {
                exaggeration: 4.0,
                ..Shot::default()
            },
        ),
        (
            "finding",
            Shot {
                viewpoint: Viewpoint::Finding(1),
                ..Shot::default()
            },
        ),
        (
            "afoot",
            Shot {
                viewpoint: Viewpoint::Afoot,
                ..Shot::default()
            },
        ),
    ];
    for (name, shot) in views {
        let began = Instant::now();
        let picture = viewer::picture(&house, &shot)?;
        picture.save_png(&folder.join(format!("{name}.png")))?;
        say(&format!("{name}: {} ms", began.elapsed().as_millis()));
    }
    let steps = vec![
        script::Step::Key(bevy_egui::egui::Key::N),
        script::Step::Picture,
    ];
    for (n, seen) in script::run(house, [1280, 720], steps)?
        .into_iter()
        .enumerate()
    {
        if let Some(picture) = seen.picture {
            picture.save_png(&folder.join(format!("interface-{n}.png")))?;
        }
    }
    Ok(())
}

fn window(folder: &std::path::Path) -> Result<(), ViewError> {
    let options = ViewOptions {
        probe: Some(folder.join("probe.json")),
        pictures: Some(folder.to_owned()),
        told: Some(std::sync::Arc::new(|probe: &viewer::Probe| {
            say(&format!(
                "settled {}: first frame {} ms, moving {:?} fps",
                probe.settled, probe.first_frame_ms, probe.moving_fps
            ));
        })),
        ..ViewOptions::default()
    };
    let watched = folder.join("made-up.txt");
    let file = watched.clone();
    // The watched file's text is the title; one that says `broken` cannot be read.
    let load = move || match std::fs::read_to_string(&watched).unwrap_or_default().trim() {
        "broken" => Err("line 1: broken is not a house".into()),
        "" => Ok(made_up::house()),
        title => Ok(viewer::House {
            title: title.into(),
            ..made_up::house()
        }),
    };
    viewer::view(Box::new(load), &file, options).map(drop)
}
