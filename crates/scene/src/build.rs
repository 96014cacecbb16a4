//! From a layout and its fitted piping to a scene.

use catalog::Catalog;
use fittings::{Assembly, lowest_cover};
use glam::DVec2;
use layout::{BlockKind, Edge, EdgeKind, Layer, Layout, Material, Slab, Wall};
use units::Id;

use crate::{
    Scene, Solid, SolidKind, marks,
    outline::{inset, rectangle},
};

/// Height to which framed walls are shown, inches: enough to see what comes up inside them, low enough to look over.
const WALL_SHOWN: f64 = 36.0;
/// How far the ground is shown beyond the house, inches.
const GROUND_SHOWN: f64 = 60.0;

/// All bodies of a layout: solids in the order slab, foundation, walls, cabinets, outside; pipes as assembled.
pub fn build(layout: &Layout, assembly: &Assembly, catalog: &Catalog) -> Scene {
    Scene {
        pipes: assembly.bodies.clone(),
        ..around(layout, assembly, catalog)
    }
}

/// What [`build`] makes round the pipes, without them: whoever has a second thread copies them meanwhile.
pub fn around(layout: &Layout, assembly: &Assembly, catalog: &Catalog) -> Scene {
    let mut solids = Vec::new();
    if let Some(slab) = &layout.slab {
        floors(layout, slab, &mut solids);
        if let Some(edge) = &layout.foundation.edge {
            perimeter(slab, edge, &mut solids);
        }
        ground(layout, slab, &mut solids);
    }
    blocks(layout, &mut solids);
    layout
        .walls
        .iter()
        .for_each(|wall| framed(layout, wall, &mut solids));
    furniture(layout, &mut solids);
    let pipes = marks::pipes_by_id(assembly);
    receivers(layout, &pipes, &mut solids);
    Scene {
        solids,
        pipes: Vec::new(),
        marks: marks::marks(layout, assembly, &pipes, catalog),
    }
}

fn solid(id: Id, kind: SolidKind, outline: Vec<DVec2>, bottom: f64, top: f64) -> Solid {
    Solid {
        id,
        kind,
        outline,
        holes: Vec::new(),
        bottom,
        top,
    }
}

fn floors(layout: &Layout, slab: &Slab, solids: &mut Vec<Solid>) {
    let boxes = layout
        .box_outs
        .iter()
        .map(|b| rectangle(b.centre, b.size, b.turn_deg));
    let zones = slab
        .zones
        .iter()
        .filter(|zone| within(slab, &zone.outline))
        .map(|zone| zone.outline.clone());
    let holes: Vec<Vec<DVec2>> = zones
        .chain(boxes)
        .map(|mut hole| {
            hole.reverse();
            hole
        })
        .collect();
    layers(
        &Id::from("slab"),
        &slab.outline,
        &holes,
        0.0,
        &slab.layers,
        solids,
    );
    for zone in &slab.zones {
        layers(
            &zone.id,
            &zone.outline,
            &[],
            -zone.drop,
            &zone.layers,
            solids,
        );
    }
    for made in &layout.box_outs {
        let outline = rectangle(made.centre, made.size, made.turn_deg);
        let surface = fittings::surface_at(slab, made.centre).0;
        solids.push(solid(
            made.id.clone(),
            SolidKind::BoxOut,
            outline,
            surface - made.depth,
            surface,
        ));
    }
}

/// A zone that touches the slab's edge cannot be a hole in it.
fn within(slab: &Slab, outline: &[DVec2]) -> bool {
    let n = slab.outline.len();
    let clear = |p: &DVec2| {
        (0..n).all(|i| {
            let (a, b) = (slab.outline[i], slab.outline[(i + 1) % n]);
            (b - a).normalize_or_zero().perp_dot(*p - a).abs() > 0.5
        })
    };
    outline.iter().all(clear)
}

fn layers(
    id: &Id,
    outline: &[DVec2],
    holes: &[Vec<DVec2>],
    surface: f64,
    layers: &[Layer],
    solids: &mut Vec<Solid>,
) {
    let mut top = surface;
    for layer in layers {
        let kind = match layer.material {
            Material::Concrete => SolidKind::Concrete,
            Material::Foam => SolidKind::Foam,
            Material::Sheet => SolidKind::Sheet,
            Material::Gravel => SolidKind::Gravel,
            Material::Sand => SolidKind::Sand,
        };
        let bottom = top - layer.thickness;
        solids.push(Solid {
            id: id.clone(),
            kind,
            outline: outline.to_vec(),
            holes: holes.to_vec(),
            bottom,
            top,
        });
        top = bottom;
    }
}

/// The wall and its footing, one convex block a side of the outline.
fn perimeter(slab: &Slab, edge: &Edge, solids: &mut Vec<Solid>) {
    let (kind, name) = match edge.kind {
        EdgeKind::StemWall | EdgeKind::FoamForm => (SolidKind::StemWall, "stem wall"),
        EdgeKind::TurnedDown => (SolidKind::TurnedDownEdge, "turned-down edge"),
        EdgeKind::GradeBeam => (SolidKind::GradeBeam, "grade beam"),
    };
    let bottom = |side: usize| edge.bottom_along(side);
    let inner = inset(&slab.outline, edge.thickness);
    for (side, outline) in ring(&slab.outline, &inner).into_iter().enumerate() {
        solids.push(solid(Id::from(name), kind, outline, bottom(side), edge.top));
    }
    let Some(footing) = &edge.footing else { return };
    let beyond = (footing.width - edge.thickness) / 2.0;
    let (outer, inner) = (
        inset(&slab.outline, -beyond),
        inset(&slab.outline, edge.thickness + beyond),
    );
    for (side, outline) in ring(&outer, &inner).into_iter().enumerate() {
        let top = bottom(side);
        solids.push(solid(
            Id::from("footing"),
            SolidKind::Footing,
            outline,
            top - footing.thickness,
            top,
        ));
    }
}

fn ring(outer: &[DVec2], inner: &[DVec2]) -> Vec<Vec<DVec2>> {
    let n = outer.len();
    (0..n)
        .map(|i| vec![outer[i], outer[(i + 1) % n], inner[(i + 1) % n], inner[i]])
        .collect()
}

fn blocks(layout: &Layout, solids: &mut Vec<Solid>) {
    for block in &layout.foundation.blocks {
        let kind = match block.kind {
            BlockKind::Pier => SolidKind::Pier,
            BlockKind::Footing => SolidKind::Footing,
            BlockKind::GradeBeam => SolidKind::GradeBeam,
            BlockKind::Strip => SolidKind::Strip,
        };
        solids.push(solid(
            block.id.clone(),
            kind,
            block.outline.clone(),
            block.bottom,
            block.top,
        ));
    }
}

fn framed(layout: &Layout, wall: &Wall, solids: &mut Vec<Solid>) {
    let along = (wall.to - wall.from).normalize_or_zero();
    let half = wall.framing / 2.0;
    let floor = |p: DVec2| {
        layout
            .slab
            .as_ref()
            .map_or(0.0, |slab| fittings::surface_at(slab, p).0)
    };
    let bottom = floor(wall.from.midpoint(wall.to));
    let strip = |right: f64, left: f64| {
        let left_of = along.perp();
        vec![
            wall.from + left_of * right,
            wall.to + left_of * right,
            wall.to + left_of * left,
            wall.from + left_of * left,
        ]
    };
    let mut push = |kind, outline| {
        solids.push(solid(
            wall.id.clone(),
            kind,
            outline,
            bottom,
            bottom + WALL_SHOWN,
        ));
    };
    push(SolidKind::Framing, strip(-half, half));
    if wall.finish_left > 0.0 {
        push(SolidKind::Finish, strip(half, half + wall.finish_left));
    }
    if wall.finish_right > 0.0 {
        push(SolidKind::Finish, strip(-half - wall.finish_right, -half));
    }
}

fn furniture(layout: &Layout, solids: &mut Vec<Solid>) {
    for cabinet in &layout.cabinets {
        let outline = rectangle(cabinet.centre, cabinet.size, cabinet.turn_deg);
        solids.push(solid(
            cabinet.id.clone(),
            SolidKind::Cabinet,
            outline,
            0.0,
            cabinet.height,
        ));
    }
}

fn ground(layout: &Layout, slab: &Slab, solids: &mut Vec<Solid>) {
    let Some((_, level)) = layout.outside.ground.first() else {
        return;
    };
    let mut hole = slab.outline.clone();
    hole.reverse();
    let outline = inset(&slab.outline, -GROUND_SHOWN);
    let below = lowest_cover(&slab.layers, 0.0).min(*level) - 1.0;
    solids.push(Solid {
        id: Id::from("ground"),
        kind: SolidKind::Ground,
        outline,
        holes: vec![hole],
        bottom: below,
        top: *level,
    });
}

/// A ghost where the drain arrives: a tank of usual size (8 by 5 ft, demo only), or a short piece of sewer.
fn receivers(layout: &Layout, pipes: &marks::Pipes, solids: &mut Vec<Solid>) {
    for drain in &layout.drains {
        let line = pipes.get(&drain.id).and_then(|bodies| bodies.first());
        let (Some(tube), Some(receiver)) =
            (line.and_then(|line| line.tubes.last()), &drain.receiver)
        else {
            continue;
        };
        let heading = (tube.b - tube.a).truncate().normalize_or_zero();
        let (size, below) = match receiver.kind {
            layout::ReceiverKind::Tank => (DVec2::new(96.0, 60.0), 48.0),
            layout::ReceiverKind::Sewer => (DVec2::new(12.0, 48.0), 6.0),
        };
        let level = receiver.invert.unwrap_or(tube.b.z);
        let outline = rectangle(
            tube.b.truncate() + heading * size.x / 2.0,
            size,
            heading.to_angle().to_degrees(),
        );
        solids.push(solid(
            drain.id.clone(),
            SolidKind::Receiver,
            outline,
            level - below,
            level + 10.0,
        ));
    }
}
