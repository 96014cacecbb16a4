//! The two images, the two cameras that draw into them, and the switch between.

use std::time::{Duration, Instant};

use bevy::camera::{ImageRenderTarget, RenderTarget};
use bevy::core_pipeline::tonemapping::{DebandDither, Tonemapping};
use bevy::image::Image;
use bevy::prelude::*;
use bevy::render::render_resource::{Extent3d, TextureFormat};
use bevy_egui::{EguiTextureHandle, EguiUserTextures, egui};

use super::stage::{Draw, Stage};
use crate::camera::{FIELD, NEAR, Pose};

/// Image pixels to screen pixels.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Quality {
    /// While moving.
    pub(crate) coarse: f32,
    /// At rest.
    pub(crate) fine: f32,
    /// Stillness before the fine drawing; none for a picture that never moves.
    pub(crate) patience: Duration,
    /// Longest side of an image the driver takes.
    pub(crate) longest: u32,
}

impl Quality {
    /// For a window: a processor that draws alone draws a sixth of the pixels while moving.
    pub(crate) fn window(software: bool, longest: u32) -> Self {
        let coarse = if software { 0.4 } else { 1.0 };
        Self {
            coarse,
            fine: 2.0,
            patience: Duration::from_millis(160),
            longest,
        }
    }

    /// For a picture: fine at once.
    pub(crate) fn picture(longest: u32) -> Self {
        Self {
            coarse: 2.0,
            fine: 2.0,
            patience: Duration::ZERO,
            longest,
        }
    }

    /// An image's size for a picture of `size` screen pixels.
    fn image_size(&self, size: UVec2, factor: f32) -> UVec2 {
        let limit = self.longest as f32 / size.max_element().max(1) as f32;
        (size.as_vec2() * factor.min(limit))
            .round()
            .as_uvec2()
            .max(UVec2::ONE)
    }
}

struct Canvas {
    camera: Entity,
    image: Handle<Image>,
    texture: egui::TextureId,
}

/// See the module.
#[derive(Resource)]
pub(crate) struct Easel {
    pub(crate) quality: Quality,
    coarse: Canvas,
    fine: Canvas,
    size: UVec2,
    shown: Option<egui::TextureId>,
    pub(crate) stage: Stage,
    changed_at: Instant,
    soak: u8,
}

/// Frames until new bodies have reached the driver: meshes, materials and shaders are handed over one after another.
const SOAK: u8 = 4;

impl Easel {
    /// What the interface shows now.
    pub(crate) fn shown(&self) -> Option<egui::TextureId> {
        self.shown
    }

    /// Whether new bodies are still on their way to the driver, so that more frames must be drawn.
    pub(crate) fn soaks(&self) -> bool {
        self.soak > 0
    }

    /// One step: what to draw in this frame; `new` bodies or images take some frames to arrive.
    pub(crate) fn step(&mut self, changed: bool, new: bool) -> Draw {
        let now = Instant::now();
        let changed = changed || self.soak > 0;
        self.soak = if new {
            SOAK
        } else {
            self.soak.saturating_sub(1)
        };
        if changed {
            self.changed_at = now;
        }
        let still = now.duration_since(self.changed_at);
        let (stage, draw) = self.stage.next(changed, still, self.quality.patience);
        self.stage = stage;
        match draw {
            Draw::Nothing => {}
            Draw::Coarse => self.shown = Some(self.coarse.texture),
            Draw::Fine => self.shown = Some(self.fine.texture),
        }
        draw
    }
}

/// Makes images and cameras.
pub(crate) fn set_up(world: &mut World, quality: Quality) {
    let coarse = canvas(world, -2);
    let fine = canvas(world, -1);
    world.insert_resource(Easel {
        quality,
        coarse,
        fine,
        size: UVec2::ZERO,
        shown: None,
        stage: Stage::Moving,
        changed_at: Instant::now(),
        soak: 0,
    });
}

fn canvas(world: &mut World, order: isize) -> Canvas {
    let image = Image::new_target_texture(4, 4, TextureFormat::Rgba8UnormSrgb, None);
    let image = world.resource_mut::<Assets<Image>>().add(image);
    let texture = world
        .resource_mut::<EguiUserTextures>()
        .add_image(EguiTextureHandle::Strong(image.clone()));
    let projection = PerspectiveProjection {
        fov: FIELD,
        near: NEAR,
        ..PerspectiveProjection::default()
    };
    let camera = world.spawn((
        Camera3d::default(),
        Camera {
            order,
            is_active: false,
            clear_color: ClearColorConfig::Custom(Color::BLACK),
            ..Camera::default()
        },
        RenderTarget::Image(ImageRenderTarget {
            handle: image.clone(),
            scale_factor: 1.0,
        }),
        Projection::Perspective(projection),
        Msaa::Off,
        Tonemapping::None,
        DebandDither::Disabled,
    ));
    Canvas {
        camera: camera.id(),
        image,
        texture,
    }
}

/// Fits the images to the picture's size, screen pixels. Whether that changed.
pub(crate) fn size_images(easel: &mut Easel, images: &mut Assets<Image>, size: UVec2) -> bool {
    if easel.size == size || size.min_element() == 0 {
        return false;
    }
    easel.size = size;
    let quality = easel.quality;
    for (canvas, factor) in [(&easel.coarse, quality.coarse), (&easel.fine, quality.fine)] {
        let size = quality.image_size(size, factor);
        if let Some(mut image) = images.get_mut(&canvas.image) {
            image.resize(Extent3d {
                width: size.x,
                height: size.y,
                depth_or_array_layers: 1,
            });
        }
    }
    true
}

/// Points the cameras and turns on the one that draws.
pub(crate) fn hang(
    easel: &Easel,
    draw: Draw,
    pose: &Pose,
    cameras: &mut Query<(&mut Camera, &mut Transform)>,
) {
    for (canvas, active) in [
        (&easel.coarse, draw == Draw::Coarse),
        (&easel.fine, draw == Draw::Fine),
    ] {
        let Ok((mut camera, mut transform)) = cameras.get_mut(canvas.camera) else {
            continue;
        };
        if camera.is_active != active {
            camera.is_active = active;
        }
        if active {
            *transform = Transform::from_translation(pose.eye()).looking_at(pose.target, Vec3::Y);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn images_stay_within_what_the_driver_takes() {
        let quality = Quality::window(true, 4096);
        assert_eq!(
            quality.image_size(UVec2::new(1280, 720), quality.coarse),
            UVec2::new(512, 288)
        );
        assert_eq!(
            quality.image_size(UVec2::new(1280, 720), quality.fine),
            UVec2::new(2560, 1440)
        );
        assert_eq!(
            quality.image_size(UVec2::new(4000, 1000), quality.fine),
            UVec2::new(4096, 1024)
        );
        assert_eq!(
            quality.image_size(UVec2::new(1, 1), quality.coarse),
            UVec2::new(1, 1)
        );
    }
}
