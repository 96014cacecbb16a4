//! How deep a pipe must lie under the floor, zone by zone, and how deep the ground outside is.

use glam::DVec2;
use layout::{Layer, Material, Slab};

/// The level of the underside of the lowest layer that counts as cover (concrete, foam, sheet), for layers whose top
/// surface is at `surface`. Gravel and sand do not count: a pipe may lie in them.
pub fn lowest_cover(layers: &[Layer], surface: f64) -> f64 {
    let mut level = surface;
    let mut lowest = surface;
    for layer in layers {
        level -= layer.thickness;
        match layer.material {
            Material::Concrete | Material::Foam | Material::Sheet => lowest = level,
            Material::Gravel | Material::Sand => {}
        }
    }
    lowest
}

/// The surface level and the layers at a point of the floor; outside every zone, the slab's own. The last zone told
/// wins where zones overlap.
pub fn surface_at(slab: &Slab, point: DVec2) -> (f64, &[Layer]) {
    let zone = slab
        .zones
        .iter()
        .rev()
        .find(|zone| inside(&zone.outline, point));
    zone.map_or((0.0, slab.layers.as_slice()), |zone| {
        (-zone.drop, zone.layers.as_slice())
    })
}

/// The level of the underside of the lowest covering layer at a point of the floor.
pub fn cover_over(slab: &Slab, point: DVec2) -> f64 {
    let (surface, layers) = surface_at(slab, point);
    lowest_cover(layers, surface)
}

/// Whether a point lies inside a simple polygon; its edge counts by the half-open rule.
pub(crate) fn inside(outline: &[DVec2], point: DVec2) -> bool {
    let n = outline.len();
    (0..n)
        .filter(|&i| crosses(outline[i], outline[(i + 1) % n], point))
        .count()
        % 2
        == 1
}

fn crosses(a: DVec2, b: DVec2, p: DVec2) -> bool {
    (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
}

/// Fractions along a-b, rising within (0, 1), where the segment crosses an edge of the outline.
pub(crate) fn crossings(outline: &[DVec2], a: DVec2, b: DVec2) -> Vec<f64> {
    let n = outline.len();
    let mut out: Vec<f64> = (0..n)
        .filter_map(|i| meet(a, b, outline[i], outline[(i + 1) % n]))
        .collect();
    out.sort_by(f64::total_cmp);
    out
}

fn meet(a: DVec2, b: DVec2, c: DVec2, d: DVec2) -> Option<f64> {
    let (run, edge) = (b - a, d - c);
    let cross = run.perp_dot(edge);
    if cross.abs() < 1e-12 {
        return None;
    }
    let t = (c - a).perp_dot(edge) / cross;
    let u = (c - a).perp_dot(run) / cross;
    (t > 0.0 && t < 1.0 && (0.0..=1.0).contains(&u)).then_some(t)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn layer(material: Material, thickness: f64) -> Layer {
        Layer {
            material,
            thickness,
        }
    }

    #[test]
    fn foam_is_cover_and_gravel_is_not() {
        let layers = [
            layer(Material::Concrete, 4.0),
            layer(Material::Foam, 2.0),
            layer(Material::Gravel, 4.0),
        ];
        assert_eq!(lowest_cover(&layers, 0.0), -6.0);
        // Sheet under the gravel is cover: a pipe above it would pierce it.
        let sheet_below = [
            layer(Material::Concrete, 4.0),
            layer(Material::Gravel, 4.0),
            layer(Material::Sheet, 0.0),
        ];
        assert_eq!(lowest_cover(&sheet_below, -2.5), -10.5);
    }

    #[test]
    fn a_segment_finds_where_it_enters_and_leaves() {
        let square = [
            DVec2::ZERO,
            DVec2::X * 10.0,
            DVec2::splat(10.0),
            DVec2::Y * 10.0,
        ];
        assert_eq!(
            crossings(&square, DVec2::new(-5.0, 5.0), DVec2::new(15.0, 5.0)),
            [0.25, 0.75]
        );
        assert!(inside(&square, DVec2::splat(5.0)) && !inside(&square, DVec2::splat(11.0)));
    }
}
