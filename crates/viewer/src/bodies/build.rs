//! From a scene to the piles that are drawn: one opaque, one glass and one line pile a layer at most.

use std::collections::BTreeMap;

use scene::{Flow, PipeBody, Scene, Solid, SolidKind, Tube};

use super::prism::{self, Dress};
use super::soup::{Look, Soup};
use super::tube::{self, Pattern, Round};
use crate::axis::Axis;
use crate::layers::Layer;
use crate::theme::{self, Tint};

/// Framed walls fade out at this height above their foot, inches: a whole wall would hide the house.
pub const WALL_FADE: f64 = 40.0;
/// Pipes above this height are cut in the picture, for the same reason.
pub const RISER_SHOWN: f64 = 44.0;

/// A pile of triangles, the layer it is on and how it is drawn.
#[derive(Clone, PartialEq, Debug)]
pub struct Piece {
    /// The layer that shows or hides it.
    pub layer: Layer,
    /// How it is blended.
    pub look: Look,
    /// Its triangles.
    pub soup: Soup,
}

#[derive(Default)]
struct Piles(BTreeMap<(Layer, i16), (Option<Look>, Soup)>);

impl Piles {
    fn of(&mut self, layer: Layer, look: Look) -> &mut Soup {
        let order = match look {
            Look::Opaque => -200,
            Look::Glass(rank) => i16::from(rank),
            Look::Over => 200,
        };
        let pile = self.0.entry((layer, order)).or_default();
        pile.0 = Some(look);
        &mut pile.1
    }

    fn pieces(self) -> Vec<Piece> {
        let kept = self.0.into_iter().filter(|(_, (_, soup))| !soup.is_empty());
        kept.filter_map(|((layer, _), (look, soup))| look.map(|look| Piece { layer, look, soup }))
            .collect()
    }
}

/// Everything of `scene` that can be drawn.
pub fn pieces(scene: &Scene, axis: Axis) -> Vec<Piece> {
    let mut piles = Piles::default();
    for solid in &scene.solids {
        add_solid(&mut piles, axis, solid);
    }
    let round = Round::of(scene.pipes.iter().map(|pipe| pipe.tubes.len()).sum());
    for pipe in &scene.pipes {
        add_pipe(&mut piles, (axis, round), pipe);
    }
    piles.pieces()
}

/// A glow round the pipes and solids named in `members`.
pub fn halo(scene: &Scene, axis: Axis, members: &[String], tint: Tint) -> Soup {
    let mut soup = Soup::default();
    let named = |id: &units::Id| members.iter().any(|member| member == id.as_str());
    for pipe in scene.pipes.iter().filter(|pipe| named(&pipe.id)) {
        let fat: Vec<Tube> = shown_tubes(pipe)
            .iter()
            .map(|tube| Tube {
                radius: tube.radius + 0.9,
                ..*tube
            })
            .collect();
        tube::add(
            &mut soup,
            (axis, Round::FINE),
            &fat,
            tint.linear(0.36),
            None,
            Pattern::Plain,
        );
    }
    for solid in scene.solids.iter().filter(|solid| named(&solid.id)) {
        let mut edges = Soup::default();
        let dress = Dress {
            edge_foot: 0.9,
            edge_head: 0.9,
            width: 2.2,
            ..glass(tint, 0.0, 0.14)
        };
        prism::add(
            &mut soup,
            &mut edges,
            axis,
            solid,
            (solid.bottom, shown_top(solid)),
            dress,
        );
        merge(&mut soup, edges);
    }
    soup
}

fn merge(into: &mut Soup, from: Soup) {
    let start = u32::try_from(into.positions.len()).unwrap_or(u32::MAX);
    into.positions.extend(from.positions);
    into.normals.extend(from.normals);
    into.codes.extend(from.codes);
    into.colours.extend(from.colours);
    into.indices
        .extend(from.indices.into_iter().map(|index| index + start));
}

fn glass(tint: Tint, top: f32, side: f32) -> Dress {
    Dress {
        tint,
        top,
        side_foot: side,
        side_head: side,
        edge_foot: 0.35,
        edge_head: 0.55,
        width: 1.0,
    }
}

/// How a solid is dressed and where it stands in the order of glass.
fn dress(kind: SolidKind) -> (i8, Dress) {
    match kind {
        SolidKind::Ground => (
            -9,
            Dress {
                edge_foot: 0.0,
                ..glass(theme::GROUND, 0.22, 0.10)
            },
        ),
        SolidKind::Footing => (-8, glass(theme::FOUNDATION, 0.26, 0.26)),
        SolidKind::StemWall => (-7, glass(theme::FOUNDATION, 0.20, 0.24)),
        SolidKind::TurnedDownEdge | SolidKind::GradeBeam | SolidKind::Strip | SolidKind::Pier => {
            (-6, glass(theme::FOUNDATION, 0.16, 0.22))
        }
        SolidKind::Gravel => (
            -5,
            Dress {
                edge_foot: 0.15,
                edge_head: 0.25,
                ..glass(theme::GRAVEL, 0.10, 0.36)
            },
        ),
        SolidKind::Sand => (
            -4,
            Dress {
                edge_foot: 0.15,
                edge_head: 0.25,
                ..glass(theme::SAND, 0.08, 0.36)
            },
        ),
        SolidKind::Foam => (
            -3,
            Dress {
                edge_foot: 0.15,
                edge_head: 0.25,
                ..glass(theme::FOAM, 0.05, 0.50)
            },
        ),
        SolidKind::Sheet => (
            -2,
            Dress {
                edge_foot: 0.2,
                edge_head: 0.2,
                ..glass(theme::SHEET, 0.03, 0.6)
            },
        ),
        SolidKind::Concrete => (-1, glass(theme::CONCRETE, 0.13, 0.32)),
        SolidKind::BoxOut => (
            1,
            Dress {
                width: 1.4,
                ..glass(theme::BOX_OUT, 0.10, 0.10)
            },
        ),
        SolidKind::Finish => (
            2,
            Dress {
                edge_foot: 0.0,
                edge_head: 0.0,
                ..fading(theme::FINISH, 0.10)
            },
        ),
        SolidKind::Framing => (3, fading(theme::FRAMING, 0.20)),
        SolidKind::Cabinet => (
            4,
            Dress {
                edge_foot: 0.5,
                ..glass(theme::CABINET, 0.07, 0.09)
            },
        ),
        SolidKind::Receiver => (-6, glass(theme::RECEIVER, 0.35, 0.35)),
    }
}

fn fading(tint: Tint, foot: f32) -> Dress {
    Dress {
        tint,
        top: 0.0,
        side_foot: foot,
        side_head: 0.0,
        edge_foot: 0.6,
        edge_head: 0.0,
        width: 1.0,
    }
}

fn shown_top(solid: &Solid) -> f64 {
    let walls = Layer::of_solid(solid.kind) == Layer::Walls;
    if walls {
        solid.top.min(solid.bottom + WALL_FADE)
    } else {
        solid.top
    }
}

fn add_solid(piles: &mut Piles, axis: Axis, solid: &Solid) {
    let layer = Layer::of_solid(solid.kind);
    let (rank, dress) = dress(solid.kind);
    let (mut faces, mut edges) = (Soup::default(), Soup::default());
    prism::add(
        &mut faces,
        &mut edges,
        axis,
        solid,
        (solid.bottom, shown_top(solid)),
        dress,
    );
    if layer == Layer::Walls {
        // The footprint is what a stub must come up in.
        prism::cap(
            &mut faces,
            axis,
            solid,
            solid.bottom,
            dress.tint.linear(dress.side_foot * 1.6),
        );
    }
    merge(piles.of(layer, Look::Glass(rank)), faces);
    merge(piles.of(layer, Look::Glass(20)), edges);
}

/// The tubes of a pipe below the cut height.
fn shown_tubes(pipe: &PipeBody) -> Vec<Tube> {
    pipe.tubes.iter().filter_map(cut_above).collect()
}

fn cut_above(tube: &Tube) -> Option<Tube> {
    let (low, high) = (tube.a.z.min(tube.b.z), tube.a.z.max(tube.b.z));
    if low >= RISER_SHOWN {
        return None;
    }
    if high <= RISER_SHOWN {
        return Some(*tube);
    }
    let part = (RISER_SHOWN - tube.a.z) / (tube.b.z - tube.a.z);
    let at = tube.a.lerp(tube.b, part);
    Some(if tube.a.z > tube.b.z {
        Tube { a: at, ..*tube }
    } else {
        Tube { b: at, ..*tube }
    })
}

fn add_pipe(piles: &mut Piles, (axis, round): (Axis, Round), pipe: &PipeBody) {
    let layer = Layer::of_pipe(pipe.flow, pipe.part);
    if layer == Layer::Sleeves {
        for one in &pipe.tubes {
            tube::cage(
                piles.of(layer, Look::Glass(20)),
                axis,
                one,
                theme::SLEEVE.linear(0.95),
                1.4,
            );
            let skin = theme::SLEEVE.linear(0.12);
            tube::add(
                piles.of(layer, Look::Glass(5)),
                (axis, round),
                &[*one],
                skin,
                None,
                Pattern::Plain,
            );
        }
        return;
    }
    let (tint, pattern) = match pipe.flow {
        Flow::Drain | Flow::Empty => (theme::DRAIN, Pattern::Plain),
        Flow::Vent => (theme::VENT, Pattern::Dashed),
        Flow::Water => (theme::WATER, Pattern::Plain),
        Flow::SoilGas => (
            theme::SOIL_GAS,
            Pattern::Banded(theme::SOIL_GAS_BAND.linear(1.0)),
        ),
    };
    let bore = Some(theme::BORE.linear(1.0));
    tube::add(
        piles.of(layer, Look::Opaque),
        (axis, round),
        &shown_tubes(pipe),
        tint.linear(1.0),
        bore,
        pattern,
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::DVec3;

    #[test]
    fn a_tall_riser_is_cut_where_the_walls_fade_whichever_way_it_runs() {
        let up = Tube {
            a: DVec3::new(0.0, 0.0, -20.0),
            b: DVec3::new(0.0, 0.0, 100.0),
            radius: 1.0,
        };
        let down = Tube {
            a: up.b,
            b: up.a,
            radius: 1.0,
        };
        assert!((cut_above(&up).unwrap().b.z - RISER_SHOWN).abs() < 1e-9);
        assert!((cut_above(&down).unwrap().a.z - RISER_SHOWN).abs() < 1e-9);
        let high = Tube {
            a: DVec3::new(0.0, 0.0, 60.0),
            ..up
        };
        assert!(cut_above(&high).is_none());
    }

    #[test]
    fn an_empty_scene_has_no_pieces() {
        assert!(pieces(&Scene::default(), Axis::default()).is_empty());
    }
}
