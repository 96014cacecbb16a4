//! Closets in their own frame: x to the closet's left and right, y out from the wall behind, from the flange's middle.

use glam::DVec2;
use layout::{Fixture, FixtureKind, Wall};
use units::Id;

use crate::{Case, geometry};

/// A closet whose wall behind is told.
pub(crate) struct Closet<'a> {
    pub(crate) fixture: &'a Fixture,
    pub(crate) back: &'a Wall,
    /// From the flange's middle to the finished face behind.
    pub(crate) behind: f64,
    /// Out from the wall.
    out: DVec2,
}

impl Closet<'_> {
    /// A plan point in the closet's frame.
    pub(crate) fn local(&self, at: DVec2) -> DVec2 {
        let from = at - self.fixture.at;
        DVec2::new(self.out.perp_dot(from), self.out.dot(from))
    }
}

/// All closets with a wall behind, in the layout's order.
pub(crate) fn closets<'a>(case: &Case<'a>) -> Vec<Closet<'a>> {
    let closets = case
        .layout
        .fixtures
        .iter()
        .filter(|fixture| fixture.kind == FixtureKind::Closet);
    closets
        .filter_map(|fixture| {
            let back = case.wall(fixture.back_wall.as_ref()?)?;
            let left = (back.to - back.from).normalize_or_zero().perp();
            let off = (fixture.at - back.from).dot(left);
            let finish = if off >= 0.0 {
                back.finish_left
            } else {
                back.finish_right
            };
            let behind = off.abs() - back.framing / 2.0 - finish;
            Some(Closet {
                fixture,
                back,
                behind,
                out: if off >= 0.0 { left } else { -left },
            })
        })
        .collect()
}

/// Something that stands on the floor: a wall with its finish, a cabinet.
pub(crate) struct Obstacle<'a> {
    pub(crate) id: &'a Id,
    outline: Vec<DVec2>,
}

/// A bowl and tank reach this far out from the flange's middle: from memory, a long bowl.
const BOWL: f64 = 18.0;
/// Half the width of what must be clear in front: a bowl's own half width, from memory.
const HALF_BOWL: f64 = 9.0;

impl Obstacle<'_> {
    /// The distance sideways from the closet's middle, along its depth; `None` for what stands elsewhere.
    pub(crate) fn beside(&self, closet: &Closet) -> Option<f64> {
        // A hair out from the wall, so that what merely meets the wall behind counts, and the wall itself does not.
        let (low, high) = (0.5 - closet.behind, BOWL);
        least(
            &self.turned(closet, |p| DVec2::new(p.y, p.x)),
            low,
            high,
            f64::abs,
        )
    }

    /// The distance ahead of the flange's middle within the bowl's width; `None` for what is not in front.
    pub(crate) fn ahead(&self, closet: &Closet) -> Option<f64> {
        let ahead = least(&self.turned(closet, |p| p), -HALF_BOWL, HALF_BOWL, |y| y)?;
        (ahead > 0.0).then_some(ahead)
    }

    fn turned(&self, closet: &Closet, axes: fn(DVec2) -> DVec2) -> Vec<DVec2> {
        self.outline
            .iter()
            .map(|p| axes(closet.local(*p)))
            .collect()
    }
}

/// The least of `measure(y)` over the part of an outline whose x lies within `low..=high`; 0 across when it spans zero.
fn least(outline: &[DVec2], low: f64, high: f64, measure: fn(f64) -> f64) -> Option<f64> {
    let heights = heights(outline, low, high);
    let spans = heights.iter().any(|y| *y < 0.0) && heights.iter().any(|y| *y > 0.0);
    let nearest = heights.iter().map(|y| measure(*y)).min_by(f64::total_cmp)?;
    Some(if spans { nearest.min(0.0) } else { nearest })
}

/// The y of an outline's sides at their ends within `low..=high` of x; empty for what lies beside.
pub(crate) fn heights(outline: &[DVec2], low: f64, high: f64) -> Vec<f64> {
    let n = outline.len();
    let mut heights = Vec::new();
    for i in 0..n {
        let (a, b) = (outline[i], outline[(i + 1) % n]);
        let (from, to) = (a.x.min(b.x).max(low), a.x.max(b.x).min(high));
        if from > to {
            continue;
        }
        let at = |x: f64| {
            if (b.x - a.x).abs() < 1e-9 {
                [a.y, b.y]
            } else {
                [a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x); 2]
            }
        };
        heights.extend(at(from).into_iter().chain(at(to)));
    }
    heights
}

/// Walls but the one behind, and cabinets, near enough to matter.
pub(crate) fn obstacles<'a>(case: &Case<'a>, closet: &Closet) -> Vec<Obstacle<'a>> {
    let walls = case
        .layout
        .walls
        .iter()
        .filter(|wall| wall.id != closet.back.id);
    let walls = walls.map(|wall| Obstacle {
        id: &wall.id,
        outline: finished(wall),
    });
    let cabinets = case.layout.cabinets.iter().map(|cabinet| Obstacle {
        id: &cabinet.id,
        outline: scene::rectangle(cabinet.centre, cabinet.size, cabinet.turn_deg),
    });
    let near =
        |one: &Obstacle| geometry::distance_to_outline(&one.outline, closet.fixture.at) < 60.0;
    walls.chain(cabinets).filter(near).collect()
}

/// A wall's outline with its board and tile.
pub(crate) fn finished(wall: &Wall) -> Vec<DVec2> {
    let left = (wall.to - wall.from).normalize_or_zero().perp();
    let (l, r) = (
        left * (wall.framing / 2.0 + wall.finish_left),
        -left * (wall.framing / 2.0 + wall.finish_right),
    );
    vec![wall.from + r, wall.to + r, wall.to + l, wall.from + l]
}
