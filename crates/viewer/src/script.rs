//! The window's whole interface without a window, step by step: for tests and for pictures of the interface.

use std::sync::{Arc, Mutex};
use std::time::Instant;

use bevy::app::App;
use bevy::math::UVec2;
use bevy_egui::input::EguiInputEvent;
use bevy_egui::{PrimaryEguiContext, egui};

use crate::app::{self, OnDesk, Outlets, Paper};
use crate::desk::{Action, Desk};
use crate::error::ViewError;
use crate::house::House;
use crate::picture::{self, Picture};
use crate::probe::Probe;
use crate::ready::{self, one_line};

/// Frames a step may take to come to rest.
const MOST_FRAMES: u32 = 200;

/// One step of a script.
#[derive(Clone, Debug)]
pub enum Step {
    /// Something asked for directly.
    Do(Action),
    /// A click, pixels.
    Click([f32; 2]),
    /// A drag with the main button, pixels.
    Drag([f32; 2], [f32; 2]),
    /// Notches of a wheel at a place, pixels; positive goes nearer.
    Wheel([f32; 2], f32),
    /// The pointer moved to a place, pixels.
    Point([f32; 2]),
    /// A key pressed and let go.
    Key(egui::Key),
    /// The file was read again.
    News(Box<Result<House, String>>),
    /// A picture of the interface is wanted with this step's observation.
    Picture,
}

/// What was seen once a step had come to rest.
#[derive(Clone, Debug)]
pub struct Observed {
    /// The state.
    pub probe: Probe,
    /// The picture, after [`Step::Picture`].
    pub picture: Option<Picture>,
}

/// Shows `house` on an image of `size` pixels and takes `steps`, observing the start and each step at rest.
///
/// # Errors
/// As [`crate::picture`].
pub fn run(house: House, size: [u32; 2], steps: Vec<Step>) -> Result<Vec<Observed>, ViewError> {
    run_on(Desk::new(house, "script".into()), size, steps)
}

/// As [`run`], on a desk that has been prepared: made changeable, say.
///
/// # Errors
/// As [`crate::picture`].
pub fn run_on(
    mut desk: Desk,
    size: [u32; 2],
    steps: Vec<Step>,
) -> Result<Vec<Observed>, ViewError> {
    let driver = ready::driver()?;
    desk.flight_seconds = 0.0;
    let size = UVec2::from_array(size);
    let drawn = ready::quietly(move || {
        let told: Arc<Mutex<Option<Probe>>> = Arc::default();
        let listener = Arc::clone(&told);
        let hear = move |probe: &Probe| {
            if let Ok(mut told) = listener.lock() {
                *told = Some(probe.clone());
            }
        };
        let outlets = Outlets {
            told: Some(Arc::new(hear)),
            ..Outlets::default()
        };
        let paper = Paper::Image {
            size,
            panels: true,
            key: false,
            as_window: false,
        };
        let mut app = app::build(desk, paper, driver, outlets, Instant::now());
        app::start(&mut app);
        let mut seen = vec![observe(&mut app, &told, false)?];
        for step in steps {
            let wants = matches!(step, Step::Picture);
            take(&mut app, step);
            seen.push(observe(&mut app, &told, wants)?);
        }
        Ok(seen)
    });
    drawn.map_err(|why| ViewError::NoPicture(one_line(&why)))?
}

fn observe(app: &mut App, told: &Mutex<Option<Probe>>, wants: bool) -> Result<Observed, ViewError> {
    // One frame takes the step in, one lays out what it changed.
    app.update();
    app.update();
    if !app::settle(app, MOST_FRAMES) {
        return Err(ViewError::NoPicture("it does not come to rest".into()));
    }
    app.update();
    let probe = told
        .lock()
        .ok()
        .and_then(|told| told.clone())
        .unwrap_or_default();
    let picture = if wants {
        Some(picture::shoot(app)?)
    } else {
        None
    };
    Ok(Observed { probe, picture })
}

fn take(app: &mut App, step: Step) {
    let at = |[x, y]: [f32; 2]| egui::pos2(x, y);
    match step {
        Step::Do(action) => app.world_mut().resource_mut::<OnDesk>().0.take(action),
        Step::News(news) => app.world_mut().resource_mut::<OnDesk>().0.news(*news),
        Step::Picture => {}
        Step::Point(place) => feed(app, vec![egui::Event::PointerMoved(at(place))]),
        Step::Click(place) => {
            feed(app, vec![egui::Event::PointerMoved(at(place))]);
            feed(app, vec![button(at(place), true)]);
            feed(app, vec![button(at(place), false)]);
        }
        Step::Drag(from, to) => {
            feed(app, vec![egui::Event::PointerMoved(at(from))]);
            feed(app, vec![button(at(from), true)]);
            let middle = at(from) + (at(to) - at(from)) / 2.0;
            feed(app, vec![egui::Event::PointerMoved(middle)]);
            feed(app, vec![egui::Event::PointerMoved(at(to))]);
            feed(app, vec![button(at(to), false)]);
        }
        Step::Wheel(place, notches) => {
            feed(app, vec![egui::Event::PointerMoved(at(place))]);
            feed(
                app,
                vec![egui::Event::MouseWheel {
                    unit: egui::MouseWheelUnit::Line,
                    delta: egui::vec2(0.0, notches),
                    phase: egui::TouchPhase::Move,
                    modifiers: egui::Modifiers::NONE,
                }],
            );
        }
        Step::Key(key) => {
            let press = |pressed| egui::Event::Key {
                key,
                physical_key: None,
                pressed,
                repeat: false,
                modifiers: egui::Modifiers::NONE,
            };
            feed(app, vec![press(true)]);
            feed(app, vec![press(false)]);
        }
    }
}

fn button(pos: egui::Pos2, pressed: bool) -> egui::Event {
    egui::Event::PointerButton {
        pos,
        button: egui::PointerButton::Primary,
        pressed,
        modifiers: egui::Modifiers::NONE,
    }
}

/// Gives events to the interface and lets one frame pass.
fn feed(app: &mut App, events: Vec<egui::Event>) {
    let world = app.world_mut();
    let mut contexts =
        world.query_filtered::<bevy::prelude::Entity, bevy::prelude::With<PrimaryEguiContext>>();
    let Some(context) = contexts.iter(world).next() else {
        return;
    };
    for event in events {
        world.write_message(EguiInputEvent { context, event });
    }
    app.update();
}
