//! The same view without a window: one picture, its labels in it.

use std::path::Path;
use std::sync::mpsc::channel;
use std::time::Instant;

use bevy::image::Image;
use bevy::math::UVec2;

use crate::app::{self, Outlets, Paper};
use crate::desk::{Action, Desk, Viewpoint};
use crate::error::ViewError;
use crate::house::House;
use crate::layers::{Layer, LayersState};
use crate::ready::{self, one_line};
use crate::walk::WalkStep;

/// Frames a picture may take: the first few load and lay out.
const MOST_FRAMES: u32 = 60;
/// Sides of a picture, pixels.
const SIDES: std::ops::RangeInclusive<u32> = 16..=8192;

/// What a picture shall show.
#[derive(Clone, PartialEq, Debug)]
pub struct Shot {
    /// Pixels.
    pub width: u32,
    /// Pixels.
    pub height: u32,
    /// Where from.
    pub viewpoint: Viewpoint,
    /// Factor on heights below the finished floor, 1 for true.
    pub exaggeration: f64,
    /// Layers left out.
    pub hidden: Vec<Layer>,
    /// Title and key to the colours.
    pub key: bool,
    /// Text size, 1 for usual.
    pub text: f32,
    /// A piece of the glue-up walk coming in, instead of the whole house: all pieces, and which one.
    pub walk: Option<(Vec<WalkStep>, usize)>,
}

impl Default for Shot {
    fn default() -> Self {
        Self {
            width: 1600,
            height: 1000,
            viewpoint: Viewpoint::House,
            exaggeration: 1.0,
            hidden: Vec::new(),
            key: true,
            text: 1.0,
            walk: None,
        }
    }
}

/// A finished picture.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Picture {
    /// Pixels.
    pub width: u32,
    /// Pixels.
    pub height: u32,
    /// Red, green, blue, alpha a pixel, rows from the top; `width * height * 4` bytes.
    pub rgba: Vec<u8>,
}

impl Picture {
    /// Red, green and blue at a pixel; `None` outside.
    pub fn at(&self, x: u32, y: u32) -> Option<[u8; 3]> {
        let inside = x < self.width && y < self.height;
        let start = (y as usize * self.width as usize + x as usize) * 4;
        let pixel = self.rgba.get(start..start + 3).filter(|_| inside)?;
        Some([pixel[0], pixel[1], pixel[2]])
    }

    /// Writes it whole as PNG: a reader finds the old file or the new one.
    ///
    /// # Errors
    /// [`ViewError::Write`] when the folder does not take it.
    pub fn save_png(&self, file: &Path) -> Result<(), ViewError> {
        use bevy::asset::RenderAssetUsages;
        use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat};
        let fails = |why: String| ViewError::Write {
            path: file.display().to_string(),
            why,
        };
        let size = Extent3d {
            width: self.width,
            height: self.height,
            depth_or_array_layers: 1,
        };
        let format = TextureFormat::Rgba8UnormSrgb;
        let usage = RenderAssetUsages::MAIN_WORLD;
        let image = Image::new(size, TextureDimension::D2, self.rgba.clone(), format, usage);
        let image = image
            .try_into_dynamic()
            .map_err(|why| fails(why.to_string()))?;
        let beside = file.with_extension("part.png");
        image
            .to_rgb8()
            .save(&beside)
            .map_err(|why| fails(why.to_string()))?;
        std::fs::rename(&beside, file).map_err(|why| fails(why.to_string()))
    }
}

impl TryFrom<Image> for Picture {
    type Error = ViewError;

    fn try_from(image: Image) -> Result<Self, ViewError> {
        let (width, height) = (image.width(), image.height());
        let image = image
            .try_into_dynamic()
            .map_err(|why| ViewError::NoPicture(one_line(&why.to_string())))?;
        Ok(Self {
            width,
            height,
            rgba: image.to_rgba8().into_raw(),
        })
    }
}

/// Draws `house` without a window.
///
/// # Errors
/// [`ViewError::NoDriver`] without a graphics driver, [`ViewError::Size`] for an absurd size,
/// [`ViewError::NoPicture`] when the driver gives nothing back.
pub fn picture(house: &House, shot: &Shot) -> Result<Picture, ViewError> {
    pictures(house, std::slice::from_ref(shot))?
        .pop()
        .ok_or_else(|| ViewError::NoPicture("none was drawn".into()))
}

/// Draws several pictures of one house, opening the driver once.
///
/// # Errors
/// As [`picture`]; none is given if one fails.
pub fn pictures(house: &House, shots: &[Shot]) -> Result<Vec<Picture>, ViewError> {
    shots.iter().map(|shot| one(house, shot)).collect()
}

fn one(house: &House, shot: &Shot) -> Result<Picture, ViewError> {
    let (width, height) = (shot.width, shot.height);
    if !SIDES.contains(&width) || !SIDES.contains(&height) {
        return Err(ViewError::Size { width, height });
    }
    let driver = ready::driver()?;
    let mut desk = Desk::new(house.clone(), String::new());
    desk.flight_seconds = 0.0;
    desk.layers = LayersState::default().without(&shot.hidden);
    desk.text = shot.text;
    desk.set_exaggeration(shot.exaggeration);
    let size = UVec2::new(width, height);
    // The picture's size is known before the first frame, so the viewpoint can be taken at once.
    desk.put_canvas(canvas(size));
    desk.take(Action::View(shot.viewpoint));
    if let Some((steps, at)) = &shot.walk {
        desk.walk_at(steps.clone(), *at);
    }
    let paper = Paper::Image {
        size,
        panels: false,
        key: shot.key,
        as_window: false,
    };
    let drawn = ready::quietly(|| {
        let mut app = app::build(desk, paper, driver, Outlets::default(), Instant::now());
        app::start(&mut app);
        shoot(&mut app)
    });
    drawn.map_err(|why| ViewError::NoPicture(one_line(&why)))?
}

/// Screen room of an image of `size` pixels.
pub(crate) fn canvas(size: UVec2) -> bevy_egui::egui::Rect {
    let size = size.as_vec2();
    bevy_egui::egui::Rect::from_min_size(
        bevy_egui::egui::Pos2::ZERO,
        bevy_egui::egui::vec2(size.x, size.y),
    )
}

/// Steps to rest and takes the picture.
pub(crate) fn shoot(app: &mut bevy::app::App) -> Result<Picture, ViewError> {
    if !app::settle(app, MOST_FRAMES) {
        return Err(ViewError::NoPicture("it does not come to rest".into()));
    }
    // Cards take their places in the first frame they are shown, so labels know them in the next.
    app.update();
    let (sender, receiver) = channel();
    app::shoot(app, sender);
    for _ in 0..MOST_FRAMES {
        app.update();
        if let Ok(image) = receiver.try_recv() {
            return Picture::try_from(image);
        }
    }
    Err(ViewError::NoPicture(
        "it was drawn but did not come back".into(),
    ))
}
