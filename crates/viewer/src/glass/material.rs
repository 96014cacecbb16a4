//! The one material. All colours are in the vertices; the material only says how they are blended and when.
//!
//! What hides things goes through the blended phase too, first and with its depth written: with bevy 0.19.1 piles in the
//! opaque phase were not drawn by cameras that are switched off and on, as ours are at every rest.

use bevy::asset::{Asset, Handle, uuid_handle};
use bevy::mesh::MeshVertexBufferLayoutRef;
use bevy::pbr::{Material, MaterialPipeline, MaterialPipelineKey};
use bevy::prelude::{AlphaMode, TypePath};
use bevy::render::render_resource::{
    AsBindGroup, RenderPipelineDescriptor, SpecializedMeshPipelineError,
};
use bevy::shader::{Shader, ShaderRef};

use crate::bodies::Look;

/// The shader's handle: it is compiled in, so no asset folder is needed.
pub(crate) const SHADER: Handle<Shader> = uuid_handle!("6f1c1d52-5f1e-4a5b-9a52-3a6f4f1f3c11");

/// Further apart than any two points of a picture, so that the order never depends on distance.
const APART: f32 = 1e6;

/// How a pile of triangles is blended.
#[derive(Asset, TypePath, AsBindGroup, Clone, Debug)]
#[bind_group_data(Hides)]
pub(crate) struct Paint {
    /// How it is drawn.
    pub look: LookTag,
    /// Whether the house is seen from below.
    pub below: bool,
}

/// [`Look`] as a field that needs no binding.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct LookTag(pub Look);

/// Whether a material hides what is behind it: the one thing two pipelines differ in.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) struct Hides(bool);

impl From<&Paint> for Hides {
    fn from(paint: &Paint) -> Self {
        Self(paint.look.0 == Look::Opaque)
    }
}

impl Material for Paint {
    fn vertex_shader() -> ShaderRef {
        ShaderRef::Handle(SHADER)
    }

    fn fragment_shader() -> ShaderRef {
        ShaderRef::Handle(SHADER)
    }

    fn alpha_mode(&self) -> AlphaMode {
        AlphaMode::Blend
    }

    fn depth_bias(&self) -> f32 {
        match self.look.0 {
            Look::Opaque => -APART * 200.0,
            Look::Glass(rank) if self.below => -APART * f32::from(rank),
            Look::Glass(rank) => APART * f32::from(rank),
            Look::Over => APART * 200.0,
        }
    }

    fn enable_prepass() -> bool {
        false
    }

    fn enable_shadows() -> bool {
        false
    }

    fn specialize(
        _pipeline: &MaterialPipeline,
        descriptor: &mut RenderPipelineDescriptor,
        layout: &MeshVertexBufferLayoutRef,
        key: MaterialPipelineKey<Self>,
    ) -> Result<(), SpecializedMeshPipelineError> {
        use bevy::mesh::Mesh;
        // Glass is seen from both sides, and lines have no right side.
        descriptor.primitive.cull_mode = None;
        if key.bind_group_data == Hides(true) {
            if let Some(depth) = &mut descriptor.depth_stencil {
                depth.depth_write_enabled = Some(true);
            }
            for target in descriptor
                .fragment
                .iter_mut()
                .flat_map(|fragment| fragment.targets.iter_mut().flatten())
            {
                target.blend = None;
            }
        }
        let corners = layout.0.get_layout(&[
            Mesh::ATTRIBUTE_POSITION.at_shader_location(0),
            Mesh::ATTRIBUTE_NORMAL.at_shader_location(1),
            Mesh::ATTRIBUTE_UV_0.at_shader_location(2),
            Mesh::ATTRIBUTE_COLOR.at_shader_location(5),
        ])?;
        descriptor.vertex.buffers = vec![corners];
        Ok(())
    }
}
