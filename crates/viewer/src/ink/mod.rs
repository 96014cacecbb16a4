//! The shader that panels, words and the finished picture are put on the window with.
//!
//! The interface library's own turns every pixel from linear light to sRGB and back: six powers a pixel, which a processor that
//! draws alone pays for the whole window in every frame. Here a corner's colour is made linear once. What does not belong here:
//! the house's own shader (`glass`).

use bevy::app::{App, Plugin};
use bevy::asset::Assets;
use bevy::shader::Shader;
use bevy_egui::render::EGUI_SHADER_HANDLE;

/// Puts the shader in the place of the library's, after its plugin.
pub(crate) struct InkPlugin;

impl Plugin for InkPlugin {
    fn build(&self, app: &mut App) {
        let ink = Shader::from_wgsl(include_str!("ink.wgsl"), "ink.wgsl");
        let mut shaders = app.world_mut().resource_mut::<Assets<Shader>>();
        // The library keeps its shader under a fixed name, which never dies.
        let put = shaders.insert(EGUI_SHADER_HANDLE.id(), ink);
        debug_assert!(put.is_ok(), "a fixed name takes any asset");
    }
}
