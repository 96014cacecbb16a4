//! Draws the bodies: one material and one shader for all of them, glass in a fixed order that turns round when the
//! house is seen from below.
//!
//! Not here: which triangles there are (`bodies`), which layers are shown (`layers`).

mod material;
mod systems;

pub(crate) use material::Paint;
pub(crate) use systems::{
    Bodies, GlassPlugin, Makers, dress_backdrop, dress_halo, dress_house, dress_layers, turn_glass,
};
