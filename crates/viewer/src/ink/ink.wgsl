// Panels, words and the picture of the house, drawn with six powers a pixel less than the interface library's own shader: the
// colour of a vertex is made linear once, where it stands, and multiplied in linear light. Plain colours and pictures come out
// the same; the soft edge of a letter differs by less than anyone sees.

struct Transform {
    scale: vec2<f32>,
    translation: vec2<f32>,
}

struct VertexInput {
    @location(0) position: vec2<f32>,
    @location(1) uv: vec2<f32>,
    @location(2) color: vec4<f32>,
}

struct VertexOutput {
    @builtin(position) position: vec4<f32>,
    @location(0) color: vec4<f32>,
    @location(1) uv: vec2<f32>,
}

@group(0) @binding(0) var<uniform> transform: Transform;

#ifdef BINDLESS
@group(1) @binding(0) var image_texture: binding_array<texture_2d<f32>>;
@group(1) @binding(1) var image_sampler: binding_array<sampler>;
struct BindlessOffset {
    offset: u32,
};
var<immediate> offset: BindlessOffset;
#else //BINDLESS
@group(1) @binding(0) var image_texture: texture_2d<f32>;
@group(1) @binding(1) var image_sampler: sampler;
#endif // BINDLESS

// Linear light of an sRGB colour, 0 to 1 (IEC 61966-2-1, from memory).
fn linear(srgb: vec3<f32>) -> vec3<f32> {
    let low = srgb / vec3<f32>(12.92);
    let high = pow((srgb + vec3<f32>(0.055)) / vec3<f32>(1.055), vec3<f32>(2.4));
    return select(high, low, srgb < vec3<f32>(0.04045));
}

@vertex
fn vs_main(in: VertexInput) -> VertexOutput {
    let position = in.position * transform.scale + transform.translation;
    let color = vec4<f32>(linear(in.color.rgb), in.color.a);
    return VertexOutput(vec4<f32>(position, 0.0, 1.0), color, in.uv);
}

@fragment
fn fs_main(in: VertexOutput) -> @location(0) vec4<f32> {
    #ifdef BINDLESS
    let image_texture = image_texture[offset.offset];
    let image_sampler = image_sampler[offset.offset];
    #endif
    return textureSample(image_texture, image_sampler, in.uv) * in.color;
}
