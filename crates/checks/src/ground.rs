//! The ground outside as a profile, and the floor's layers zone by zone. Closed forms: straight between breaks.

use fittings::cover_over;
use glam::DVec3;
use layout::{Slab, ground_level};
use scene::Tube;

use crate::geometry::{cuts, inside};

/// Ground less crown over a straight tube that starts `from` inches along the profile: where it is least, as (cover, the
/// crown there). Both are straight between breaks, so the least stands at one.
pub(crate) fn least_cover(profile: &[(f64, f64)], tube: &Tube, from: f64) -> Option<(f64, DVec3)> {
    let length = tube.a.truncate().distance(tube.b.truncate());
    let places = breaks(profile, tube, from);
    let cover = |t: f64| {
        let crown = tube.a.lerp(tube.b, t) + DVec3::Z * tube.radius;
        ground_level(profile, from + t * length).map(|ground| (ground - crown.z, crown))
    };
    places.filter_map(cover).min_by(|a, b| a.0.total_cmp(&b.0))
}

/// Ground less a tube's underside over the same: where it is most, as (depth, the underside there).
pub(crate) fn deepest(profile: &[(f64, f64)], tube: &Tube, from: f64) -> Option<(f64, DVec3)> {
    let depth = |t: f64| {
        let under = tube.a.lerp(tube.b, t) - DVec3::Z * tube.radius;
        let length = tube.a.truncate().distance(tube.b.truncate());
        ground_level(profile, from + t * length).map(|ground| (ground - under.z, under))
    };
    let places = breaks(profile, tube, from);
    places.filter_map(depth).max_by(|a, b| a.0.total_cmp(&b.0))
}

/// The fractions along a tube at which the ground over it or the tube breaks.
fn breaks(profile: &[(f64, f64)], tube: &Tube, from: f64) -> impl Iterator<Item = f64> {
    let length = tube.a.truncate().distance(tube.b.truncate());
    let breaks = profile
        .iter()
        .map(move |(at, _)| (at - from) / length.max(f64::MIN_POSITIVE));
    breaks.filter(|t| *t > 0.0 && *t < 1.0).chain([0.0, 1.0])
}

/// Underside of the lowest covering layer less crown, over the part of a tube under the slab, zone by zone: where it
/// is least, as (room, the crown there). `None` for a tube that is nowhere under the slab.
pub(crate) fn least_under_floor(slab: &Slab, tube: &Tube) -> Option<(f64, DVec3)> {
    let (a, b) = (tube.a.truncate(), tube.b.truncate());
    let zones = slab.zones.iter().map(|zone| &zone.outline);
    let outlines = std::iter::once(&slab.outline).chain(zones);
    let mut breaks: Vec<f64> = outlines.flat_map(|outline| cuts(outline, a, b)).collect();
    breaks.sort_by(f64::total_cmp);
    let mut from = 0.0;
    let pieces = breaks.into_iter().chain([1.0]).filter_map(|to| {
        let piece = (to > from).then_some([from, to]);
        from = to;
        piece
    });
    pieces
        .filter_map(|ends| room_under(slab, tube, ends))
        .min_by(|x, y| x.0.total_cmp(&y.0))
}

/// The room over a piece of a tube, between two fractions along it, that lies under one zone.
fn room_under(slab: &Slab, tube: &Tube, ends: [f64; 2]) -> Option<(f64, DVec3)> {
    let middle = tube.a.lerp(tube.b, f64::midpoint(ends[0], ends[1]));
    let middle = middle.truncate();
    let under = inside(&slab.outline, middle).then(|| cover_over(slab, middle))?;
    let crowns = ends.map(|t| tube.a.lerp(tube.b, t) + DVec3::Z * tube.radius);
    let highest = if crowns[0].z >= crowns[1].z {
        crowns[0]
    } else {
        crowns[1]
    };
    Some((under - highest.z, highest))
}

#[cfg(test)]
mod tests {
    use glam::DVec2;
    use layout::{Layer, Material, Zone};

    use super::*;

    fn tube(a: [f64; 3], b: [f64; 3], radius: f64) -> Tube {
        Tube {
            a: a.into(),
            b: b.into(),
            radius,
        }
    }

    #[test]
    fn the_worked_covers() {
        // Cases Q053 and Q054: 4 in pipe, ground at 100 ft; ground minus outside top, derived. Inches here, centre
        // from invert.
        for (invert_ft, cover) in [(98.5, 13.737), (97.0, 31.737)] {
            let centre = (invert_ft - 100.0) * 12.0 + 4.026 / 2.0;
            let level = tube([0.0, 0.0, centre], [240.0, 0.0, centre], 2.25);
            let (got, crown) = least_cover(&[(0.0, 0.0)], &level, 0.0).unwrap();
            assert!((got - cover).abs() < 0.0005 * 12.0, "{got}");
            assert!((crown.z + cover).abs() < 0.0005 * 12.0);
        }
    }

    #[test]
    fn ground_that_falls_away_is_least_at_its_break() {
        // The first worked house with ground falling 6 in over the first 10 ft: crown -12.10 at the wall and -14.60
        // ten feet out, ground -12 there: 2.60 in (hand work).
        let crown = -16.36 + 4.263;
        let line = tube(
            [0.0, 0.0, crown - 2.25],
            [552.0, 0.0, crown - 2.25 - 11.5],
            2.25,
        );
        let profile = [(0.0, -6.0), (120.0, -12.0)];
        let (cover, at) = least_cover(&profile, &line, 0.0).unwrap();
        assert!((cover - 2.60).abs() < 0.01, "{cover}");
        assert!((at.x - 120.0).abs() < 1e-9);
        assert_eq!(least_cover(&[], &line, 0.0), None);
    }

    #[test]
    fn a_recess_has_its_own_underside() {
        let square = |lo: f64, hi: f64| {
            vec![
                DVec2::new(lo, lo),
                DVec2::new(hi, lo),
                DVec2::new(hi, hi),
                DVec2::new(lo, hi),
            ]
        };
        let layers = vec![Layer {
            material: Material::Concrete,
            thickness: 4.0,
        }];
        let recess = Zone {
            id: "shower".into(),
            outline: square(40.0, 80.0),
            drop: 2.5,
            layers: layers.clone(),
        };
        let slab = Slab {
            outline: square(0.0, 200.0),
            layers,
            gap: 2.0,
            hubs_below: false,
            post_tensioned: false,
            zones: vec![recess],
        };
        let level = tube([10.0, 60.0, -10.0], [150.0, 60.0, -10.0], 1.0);
        let (room, at) = least_under_floor(&slab, &level).unwrap();
        assert!(
            (room - 2.5).abs() < 1e-9 && (39.99..=80.01).contains(&at.x),
            "{room} {at}"
        );
        let beyond = tube([300.0, 0.0, -10.0], [400.0, 0.0, -10.0], 1.0);
        assert_eq!(least_under_floor(&slab, &beyond), None);
    }
}
