//! Vertical prisms: top faces by ear cutting (concave outlines and holes), sides, edge lines.

use bevy::math::Vec3;
use earcut::Earcut;
use glam::{DVec2, DVec3};
use scene::Solid;

use super::soup::{Kind, Soup};
use crate::axis::Axis;
use crate::theme::Tint;

/// How much of each part of a prism is seen: alphas from 0 (left out) to 1.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(super) struct Dress {
    /// Colour of faces.
    pub(super) tint: Tint,
    /// Top face.
    pub(super) top: f32,
    /// Foot of the sides.
    pub(super) side_foot: f32,
    /// Head of the sides.
    pub(super) side_head: f32,
    /// Outline of the foot.
    pub(super) edge_foot: f32,
    /// Outline of the head, and of the corners between.
    pub(super) edge_head: f32,
    /// Line width, thousandths of the picture's height.
    pub(super) width: f32,
}

/// Adds `solid` between `bottom` and `top` (house inches) to `faces` and `edges`.
pub(super) fn add(
    faces: &mut Soup,
    edges: &mut Soup,
    axis: Axis,
    solid: &Solid,
    levels: (f64, f64),
    dress: Dress,
) {
    let (bottom, top) = levels;
    if dress.top > 0.0 {
        cap(faces, axis, solid, top, dress.tint.linear(dress.top));
    }
    for ring in rings(solid) {
        for (here, next) in pairs(ring) {
            side(faces, axis, (here, next), (bottom, top), dress);
            edge(edges, axis, (here, next), (bottom, top), dress);
        }
    }
}

/// Adds the outline filled at one level.
pub(super) fn cap(faces: &mut Soup, axis: Axis, solid: &Solid, level: f64, colour: [f32; 4]) {
    let plan: Vec<[f64; 2]> = rings(solid).flatten().map(DVec2::to_array).collect();
    let holes: Vec<u32> = solid
        .holes
        .iter()
        .scan(solid.outline.len(), |start, hole| {
            let here = *start;
            *start += hole.len();
            u32::try_from(here).ok()
        })
        .collect();
    if plan.len() < 3 || plan.iter().flatten().any(|value| !value.is_finite()) {
        return;
    }
    let mut triangles: Vec<u32> = Vec::new();
    Earcut::new().earcut(plan.iter().copied(), &holes, &mut triangles);
    let corners: Vec<u32> = plan
        .iter()
        .map(|[x, y]| {
            faces.corner(
                axis.point(DVec3::new(*x, *y, level)),
                Vec3::Y,
                Kind::Lit,
                0.0,
                colour,
            )
        })
        .collect();
    for corner in triangles {
        faces.indices.push(corners[corner as usize]);
    }
}

fn rings(solid: &Solid) -> impl Iterator<Item = &Vec<DVec2>> {
    std::iter::once(&solid.outline).chain(&solid.holes)
}

fn pairs(ring: &[DVec2]) -> impl Iterator<Item = (DVec2, DVec2)> + '_ {
    ring.iter()
        .copied()
        .zip(ring.iter().copied().cycle().skip(1))
}

fn side(faces: &mut Soup, axis: Axis, ends: (DVec2, DVec2), levels: (f64, f64), dress: Dress) {
    if dress.side_foot <= 0.0 && dress.side_head <= 0.0 {
        return;
    }
    let [a, b, c, d] = wall(axis, ends, levels);
    let Some(normal) = (b - a).cross(d - a).try_normalize() else {
        return;
    };
    let foot = dress.tint.linear(dress.side_foot);
    let head = dress.tint.linear(dress.side_head);
    faces.quad([a, b, c, d], normal, [foot, foot, head, head]);
}

fn edge(edges: &mut Soup, axis: Axis, ends: (DVec2, DVec2), levels: (f64, f64), dress: Dress) {
    let [a, b, c, d] = wall(axis, ends, levels);
    let dark = Tint(dress.tint.0.map(|channel| channel / 2));
    let (foot, head) = (dark.linear(dress.edge_foot), dark.linear(dress.edge_head));
    if dress.edge_foot > 0.0 {
        edges.line(a, b, dress.width, [foot, foot]);
    }
    if dress.edge_head > 0.0 {
        edges.line(c, d, dress.width, [head, head]);
    }
    if dress.edge_foot > 0.0 || dress.edge_head > 0.0 {
        edges.line(a, d, dress.width, [foot, head]);
    }
}

/// Foot here, foot next, head next, head here.
fn wall(axis: Axis, (here, next): (DVec2, DVec2), (bottom, top): (f64, f64)) -> [Vec3; 4] {
    [
        here.extend(bottom),
        next.extend(bottom),
        next.extend(top),
        here.extend(top),
    ]
    .map(|at| axis.point(at))
}

#[cfg(test)]
mod tests {
    use super::*;
    use scene::SolidKind;

    fn area(soup: &Soup) -> f32 {
        soup.indices
            .chunks(3)
            .map(|corners| {
                let [a, b, c] = [0, 1, 2]
                    .map(|index| Vec3::from_array(soup.positions[corners[index] as usize]));
                (b - a).cross(c - a).length() / 2.0
            })
            .sum()
    }

    fn solid(outline: &[(f64, f64)], holes: Vec<Vec<DVec2>>) -> Solid {
        Solid {
            id: "slab".into(),
            kind: SolidKind::Concrete,
            outline: outline.iter().map(|(x, y)| DVec2::new(*x, *y)).collect(),
            holes,
            bottom: -4.0,
            top: 0.0,
        }
    }

    #[test]
    fn an_l_with_a_hole_has_the_area_it_has() {
        // An L of 20 x 10 ft less 10 x 5 ft, less a hole of 1 x 1 ft: 149 square feet.
        let ell = [
            (0.0, 0.0),
            (240.0, 0.0),
            (240.0, 60.0),
            (120.0, 60.0),
            (120.0, 120.0),
            (0.0, 120.0),
        ];
        let hole = vec![
            DVec2::new(12.0, 12.0),
            DVec2::new(12.0, 24.0),
            DVec2::new(24.0, 24.0),
            DVec2::new(24.0, 12.0),
        ];
        let mut faces = Soup::default();
        cap(
            &mut faces,
            Axis::default(),
            &solid(&ell, vec![hole]),
            0.0,
            [1.0; 4],
        );
        assert!((area(&faces) - 149.0).abs() < 1e-3, "{}", area(&faces));
    }

    #[test]
    fn an_outline_of_nothing_draws_nothing() {
        let mut faces = Soup::default();
        cap(
            &mut faces,
            Axis::default(),
            &solid(&[], vec![]),
            0.0,
            [1.0; 4],
        );
        cap(
            &mut faces,
            Axis::default(),
            &solid(&[(0.0, f64::NAN), (1.0, 0.0), (1.0, 1.0)], vec![]),
            0.0,
            [1.0; 4],
        );
        assert!(faces.is_empty());
    }

    #[test]
    fn sides_face_outward() {
        let square = [(0.0, 0.0), (12.0, 0.0), (12.0, 12.0), (0.0, 12.0)];
        let (mut faces, mut edges) = (Soup::default(), Soup::default());
        let dress = Dress {
            tint: Tint([9, 9, 9]),
            top: 0.0,
            side_foot: 1.0,
            side_head: 1.0,
            edge_foot: 1.0,
            edge_head: 1.0,
            width: 1.0,
        };
        add(
            &mut faces,
            &mut edges,
            Axis::default(),
            &solid(&square, vec![]),
            (-12.0, 0.0),
            dress,
        );
        let middle = Vec3::new(0.5, -0.5, -0.5);
        for (at, normal) in faces.positions.iter().zip(&faces.normals) {
            let outward = Vec3::from_array(*at) - middle;
            assert!(outward.dot(Vec3::from_array(*normal)) > 0.0);
        }
        assert!(!edges.is_empty());
    }
}
