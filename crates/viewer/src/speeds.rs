//! How fast the window is on this machine: an edit, the first picture, and going round the house. Measured without a window,
//! with the window's own ways of drawing less while it moves.

use std::time::{Duration, Instant};

use bevy::app::App;
use bevy::math::{UVec2, Vec2};
use bevy::render::RenderApp;
use bevy::render::render_resource::PollType;
use bevy::render::renderer::RenderDevice;

use crate::app::{self, OnDesk, Outlets, Paper};
use crate::axis::Axis;
use crate::bodies::pieces;
use crate::camera::Drive;
use crate::desk::{Action, Desk};
use crate::edit::Hooks;
use crate::error::ViewError;
use crate::house::House;
use crate::ready::{self, one_line};

/// The window's size, pixels.
const SIZE: UVec2 = UVec2::new(1280, 720);
/// Frames left out before counting, and counted.
const FRAMES: (u32, u32) = (5, 60);
/// Frames the first picture may take to come to rest.
const MOST_FRAMES: u32 = 200;
/// An edit is timed so often at the most, for so long, and the least told.
const TIMES: (u32, Duration) = (20, Duration::from_secs(3));

/// See the module.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Speeds {
    /// From a changed text to a checked house.
    pub flow: Duration,
    /// From the house to the triangles of its picture.
    pub bodies: Duration,
    /// From nothing to the first finished picture: driver, shaders, house.
    pub first: Duration,
    /// Frames a second while going round.
    pub moving: f64,
    /// Drawn by the processor, without a graphics card.
    pub software: bool,
}

/// Times a house. Each frame is waited for.
///
/// # Errors
/// As [`crate::picture`].
pub fn speeds(house: &House, hooks: &Hooks) -> Result<Speeds, ViewError> {
    let flow = least(|| (hooks.run)(&house.text).is_ok());
    let bodies = least(|| pieces(&house.scene, Axis::default()).len());
    let began = Instant::now();
    let driver = ready::driver()?;
    let software = driver.software;
    let desk = Desk::new(house.clone(), "house.ron".into());
    let drawn = ready::quietly(move || {
        let paper = Paper::Image {
            size: SIZE,
            panels: true,
            key: false,
            as_window: true,
        };
        let mut app = app::build(desk, paper, driver, Outlets::default(), began);
        app::start(&mut app);
        if !app::settle(&mut app, MOST_FRAMES) {
            return Err(ViewError::NoPicture("it does not come to rest".into()));
        }
        waited_for(&app);
        Ok((began.elapsed(), moving(&mut app)))
    });
    let (first, moving) = drawn.map_err(|why| ViewError::NoPicture(one_line(&why)))??;
    Ok(Speeds {
        flow,
        bodies,
        first,
        moving,
        software,
    })
}

fn least<T>(mut work: impl FnMut() -> T) -> Duration {
    let began = Instant::now();
    let due = (0..TIMES.0).take_while(|_| began.elapsed() < TIMES.1);
    let times = due.map(|_| {
        let start = Instant::now();
        std::hint::black_box(work());
        start.elapsed()
    });
    times.min().unwrap_or_default()
}

/// Goes round the house and counts frames a second.
fn moving(app: &mut App) -> f64 {
    let mut turn = |frames: u32| {
        let start = Instant::now();
        for _ in 0..frames {
            let drive = Drive {
                turn: Vec2::new(0.02, 0.0),
                ..Drive::default()
            };
            let desk = &mut app.world_mut().resource_mut::<OnDesk>().0;
            desk.take(Action::Drive(drive));
            app.update();
            waited_for(app);
        }
        start.elapsed()
    };
    turn(FRAMES.0);
    f64::from(FRAMES.1) / turn(FRAMES.1).as_secs_f64().max(1e-9)
}

/// Waits until the driver has drawn what it was given.
fn waited_for(app: &App) {
    let device = app
        .get_sub_app(RenderApp)
        .and_then(|render| render.world().get_resource::<RenderDevice>());
    if let Some(device) = device {
        // A driver that gives up is told by the next frame.
        let _ = device.poll(PollType::wait_indefinitely());
    }
}
