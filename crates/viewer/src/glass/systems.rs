//! Entities for the piles of triangles, and what changes on them.

use bevy::asset::RenderAssetUsages;
use bevy::camera::visibility::NoFrustumCulling;
use bevy::mesh::{Indices, PrimitiveTopology};
use bevy::prelude::*;
use bevy::shader::Shader;

use super::material::{LookTag, Paint, SHADER};
use crate::axis::Axis;
use crate::bodies::{Look, Soup, pieces};
use crate::layers::{Layer, LayersState};
use crate::theme::{self, Light};

/// Registers the material and its shader.
pub(crate) struct GlassPlugin;

impl Plugin for GlassPlugin {
    fn build(&self, app: &mut App) {
        app.add_plugins(MaterialPlugin::<Paint>::default())
            .init_resource::<Bodies>();
        let shader = Shader::from_wgsl(include_str!("house.wgsl"), "viewer/glass/house.wgsl");
        // The handle is ours alone, so there is nothing it could clash with.
        let _ = app
            .world_mut()
            .resource_mut::<Assets<Shader>>()
            .insert(SHADER.id(), shader);
    }
}

/// The entities now in the picture.
#[derive(Resource, Default)]
pub(crate) struct Bodies {
    pieces: Vec<(Entity, Layer, Handle<Paint>)>,
    halo: Option<Entity>,
    backdrop: Option<Entity>,
    below: bool,
}

/// What is needed to make an entity of a pile.
pub(crate) struct Makers<'a, 'w, 's> {
    pub(crate) commands: &'a mut Commands<'w, 's>,
    pub(crate) meshes: &'a mut Assets<Mesh>,
    pub(crate) paints: &'a mut Assets<Paint>,
}

impl Makers<'_, '_, '_> {
    fn spawn(&mut self, soup: Soup, look: Look, below: bool) -> (Entity, Handle<Paint>) {
        let paint = self.paints.add(Paint {
            look: LookTag(look),
            below,
        });
        let parts = (
            Mesh3d(self.meshes.add(mesh(soup))),
            MeshMaterial3d(paint.clone()),
            NoFrustumCulling,
        );
        (self.commands.spawn(parts).id(), paint)
    }
}

fn mesh(soup: Soup) -> Mesh {
    Mesh::new(
        PrimitiveTopology::TriangleList,
        RenderAssetUsages::RENDER_WORLD,
    )
    .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, soup.positions)
    .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, soup.normals)
    .with_inserted_attribute(Mesh::ATTRIBUTE_UV_0, soup.codes)
    .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, soup.colours)
    .with_inserted_indices(Indices::U32(soup.indices))
}

/// The backdrop of a light, in place of the one before.
pub(crate) fn dress_backdrop(makers: &mut Makers<'_, '_, '_>, bodies: &mut Bodies, light: Light) {
    if let Some(entity) = bodies.backdrop.take() {
        makers.commands.entity(entity).despawn();
    }
    let soup = Soup::backdrop(theme::PAPER.of(light), theme::SKY.of(light));
    bodies.backdrop = Some(makers.spawn(soup, Look::Opaque, false).0);
}

/// Replaces all bodies by those of `scene`, and the glow by `halo`.
pub(crate) fn dress_house(
    makers: &mut Makers<'_, '_, '_>,
    bodies: &mut Bodies,
    scene: &scene::Scene,
    axis: Axis,
    layers: &LayersState,
) {
    for (entity, ..) in bodies.pieces.drain(..) {
        makers.commands.entity(entity).despawn();
    }
    for piece in pieces(scene, axis) {
        let (entity, paint) = makers.spawn(piece.soup, piece.look, bodies.below);
        makers
            .commands
            .entity(entity)
            .insert(visibility(layers.shows(piece.layer)));
        bodies.pieces.push((entity, piece.layer, paint));
    }
}

/// Replaces the glow round what is picked.
pub(crate) fn dress_halo(makers: &mut Makers<'_, '_, '_>, bodies: &mut Bodies, halo: Soup) {
    if let Some(entity) = bodies.halo.take() {
        makers.commands.entity(entity).despawn();
    }
    if !halo.is_empty() {
        bodies.halo = Some(makers.spawn(halo, Look::Over, false).0);
    }
}

/// Shows and hides.
pub(crate) fn dress_layers(commands: &mut Commands<'_, '_>, bodies: &Bodies, layers: &LayersState) {
    for (entity, layer, _) in &bodies.pieces {
        commands
            .entity(*entity)
            .insert(visibility(layers.shows(*layer)));
    }
}

/// Turns the order of the glass round when the eye goes below the floor.
pub(crate) fn turn_glass(paints: &mut Assets<Paint>, bodies: &mut Bodies, below: bool) {
    if bodies.below == below {
        return;
    }
    bodies.below = below;
    for (.., paint) in &bodies.pieces {
        if let Some(mut paint) = paints.get_mut(paint) {
            paint.below = below;
        }
    }
}

fn visibility(shown: bool) -> Visibility {
    if shown {
        Visibility::Inherited
    } else {
        Visibility::Hidden
    }
}
