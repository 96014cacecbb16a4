// One shader for everything in the picture: bodies, lines of constant width, the backdrop.
// The first texture coordinate says which (0 lit, 1 flat, 2 line, 3 backdrop).
#import bevy_pbr::mesh_view_bindings::view

struct Corner {
    @location(0) position: vec3<f32>,
    @location(1) normal: vec3<f32>,
    @location(2) code: vec2<f32>,
    @location(5) color: vec4<f32>,
}

struct Seen {
    @builtin(position) clip: vec4<f32>,
    @location(0) normal: vec3<f32>,
    @location(1) world: vec3<f32>,
    @location(2) color: vec4<f32>,
    @location(3) kind: f32,
}

// Keeps a line over the face it borders. Depth is reversed: nearer is greater.
const LIFT: f32 = 1.0004;
// Thinnest line, in pixels.
const THINNEST: f32 = 0.55;

fn clip_of(world: vec3<f32>) -> vec4<f32> {
    return view.clip_from_world * vec4<f32>(world, 1.0);
}

fn line_corner(corner: Corner) -> vec4<f32> {
    let here = clip_of(corner.position);
    let there = clip_of(corner.position + corner.normal * max(here.w * 0.01, 0.01));
    let size = view.viewport.zw;
    var along = (there.xy / there.w - here.xy / here.w) * size;
    let length = max(length(along), 1e-6);
    along = along / length;
    let half_width = max(abs(corner.code.y) * 0.001 * size.y, THINNEST) * sign(corner.code.y);
    let across = vec2<f32>(-along.y, along.x) * half_width / size * here.w;
    return vec4<f32>(here.xy + across, here.z * LIFT, here.w);
}

@vertex
fn vertex(corner: Corner) -> Seen {
    var seen: Seen;
    seen.normal = corner.normal;
    seen.world = corner.position;
    seen.color = corner.color;
    seen.kind = corner.code.x;
    if corner.code.x > 2.5 {
        seen.clip = vec4<f32>(corner.position.xy, 0.0, 1.0);
    } else if corner.code.x > 1.5 {
        seen.clip = line_corner(corner);
    } else {
        seen.clip = clip_of(corner.position);
    }
    return seen;
}

@fragment
fn fragment(seen: Seen) -> @location(0) vec4<f32> {
    if seen.kind > 0.5 {
        return seen.color;
    }
    let toward = normalize(view.world_position - seen.world);
    var normal = normalize(seen.normal);
    if dot(normal, toward) < 0.0 {
        normal = -normal;
    }
    let sky = 0.72 + 0.20 * normal.y;
    let sun = 0.30 * max(dot(normal, normalize(vec3<f32>(-0.45, 0.75, 0.50))), 0.0);
    let rim = 1.0 - 0.38 * pow(1.0 - abs(dot(normal, toward)), 3.0) * step(0.99, seen.color.a);
    return vec4<f32>(seen.color.rgb * (sky + sun) * rim, seen.color.a);
}
