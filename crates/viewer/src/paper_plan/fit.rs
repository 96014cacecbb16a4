//! Where a picture lies: turned, scaled and moved by two points; straightened by four, where it was photographed aslant.

use glam::{DMat3, DVec2, DVec3};

/// Least distance of two points to scale by, pixels and inches.
const APART: f64 = 2.0;
/// How small a part of the whole the triangle of three points may be before they count as lying in a line.
const IN_LINE: f64 = 0.02;
/// The far edge of a picture is at most so many times as far from the eye as its middle.
const SLANTED: f64 = 10.0;

/// From pixels (right and down from the upper left) to house inches (east and north), as a camera maps one plane on another.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Fit {
    /// Of a pixel with a third coordinate 1; the third coordinate of what comes out divides the other two.
    pub map: DMat3,
}

impl Fit {
    /// The whole picture of `size` pixels inside a rectangle, upright, as large as it goes.
    pub fn over(size: DVec2, low: DVec2, high: DVec2) -> Self {
        let room = (high - low).max(DVec2::splat(12.0));
        let scale = (room / size.max(DVec2::ONE)).min_element();
        let corner = low.midpoint(high) + DVec2::new(-size.x, size.y) * scale / 2.0;
        Self::turned(corner, DVec2::new(scale, 0.0))
    }

    /// The upper left corner at a place, and one pixel to the right so far east and north.
    pub(crate) fn turned(corner: DVec2, right: DVec2) -> Self {
        let down = -right.perp();
        Self {
            map: DMat3::from_cols(right.extend(0.0), down.extend(0.0), corner.extend(1.0)),
        }
    }

    /// Lays a picture of `size` pixels by points of it whose places are told: by the first two, or by four. `None` for less
    /// than two.
    ///
    /// # Errors
    /// One line, where no camera could have seen those places so.
    pub fn by(known: &[(DVec2, DVec2)], size: DVec2) -> Option<Result<Self, &'static str>> {
        match known {
            [] | [_] => None,
            [a, b, c, d, ..] => Some(Self::four([a.0, b.0, c.0, d.0], [a.1, b.1, c.1, d.1], size)),
            [a, b, ..] => Some(Self::two([a.0, b.0], [a.1, b.1])),
        }
    }

    fn two(pixels: [DVec2; 2], places: [DVec2; 2]) -> Result<Self, &'static str> {
        let flipped = pixels.map(|pixel| DVec2::new(pixel.x, -pixel.y));
        let (from, to) = (flipped[1] - flipped[0], places[1] - places[0]);
        if from.length() < APART || to.length() < APART {
            return Err("the two points are too near each other to scale by");
        }
        // The quotient of the two as complex numbers is turn and scale in one.
        let right = DVec2::new(from.dot(to), from.perp_dot(to)) / from.length_squared();
        Ok(Self::turned(places[0] - right.rotate(flipped[0]), right))
    }

    fn four(pixels: [DVec2; 4], places: [DVec2; 4], size: DVec2) -> Result<Self, &'static str> {
        let in_line = "three of the four points lie nearly in a line: tell four that make a large figure, best the corners";
        let from = frame(pixels).ok_or(in_line)?.inverse();
        let map = frame(places).ok_or(in_line)? * from;
        let depth = |x: f64, y: f64| (map * DVec3::new(x * size.x, y * size.y, 1.0)).z;
        let middle = depth(0.5, 0.5);
        let corners = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)];
        let seen = corners.map(|(x, y)| depth(x, y) / middle);
        // Pixels go down and the house north: the way round is turned over, and no other way is a picture of the ground.
        let turned_over = map.determinant() / middle.powi(3) < 0.0;
        if !turned_over || seen.iter().any(|depth| *depth * SLANTED < 1.0) {
            return Err(
                "the four places do not lie round as the four points of the picture do: one of them is told wrong",
            );
        }
        Ok(Self {
            map: map * middle.recip(),
        })
    }

    /// Moved by so much east and north.
    #[must_use]
    pub fn shifted(self, by: DVec2) -> Self {
        Self {
            map: DMat3::from_translation(by) * self.map,
        }
    }

    /// Where a pixel lies.
    pub fn house(&self, pixel: DVec2) -> DVec2 {
        flat(self.map * pixel.extend(1.0))
    }

    /// The pixel at a place.
    pub fn pixel(&self, at: DVec2) -> DVec2 {
        flat(self.map.inverse() * at.extend(1.0))
    }
}

/// The map that takes the three axes and their sum to four points: so four points are the frame of a plane.
fn frame(points: [DVec2; 4]) -> Option<DMat3> {
    let [a, b, c, d] = points.map(|point| point.extend(1.0));
    let corner = DMat3::from_cols(a, b, c);
    let weights = corner.inverse() * d;
    let apart = weights.is_finite() && weights.abs().min_element() > IN_LINE;
    let wide = weights.abs().max_element() < IN_LINE.recip();
    (apart && wide).then(|| corner * DMat3::from_diagonal(weights))
}

fn flat(point: DVec3) -> DVec2 {
    point.truncate() / point.z
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: DVec2 = DVec2::new(800.0, 600.0);

    #[test]
    fn there_and_back_turned_and_scaled() {
        let pixels = [DVec2::new(10.0, 20.0), DVec2::new(310.0, 120.0)];
        let places = [DVec2::new(5.0, 7.0), DVec2::new(40.0, 300.0)];
        let fit = Fit::two(pixels, places).unwrap();
        for (pixel, place) in pixels.into_iter().zip(places) {
            assert!(fit.house(pixel).distance(place) < 1e-9);
            assert!(fit.pixel(place).distance(pixel) < 1e-9);
        }
        Fit::two([DVec2::ZERO, DVec2::ZERO], places).unwrap_err();
    }

    #[test]
    fn at_first_it_lies_upright_over_the_slab() {
        let fit = Fit::over(
            DVec2::new(200.0, 100.0),
            DVec2::ZERO,
            DVec2::new(400.0, 400.0),
        );
        assert_eq!(fit.house(DVec2::ZERO), DVec2::new(0.0, 300.0));
        assert_eq!(
            fit.house(DVec2::new(200.0, 100.0)),
            DVec2::new(400.0, 100.0)
        );
    }

    /// A pinhole camera five feet over a sheet that looks down at it aslant, worked here by its own geometry.
    fn photographed(place: DVec2) -> DVec2 {
        let eye = DVec3::new(200.0, -60.0, 600.0);
        let look = (DVec3::new(240.0, 180.0, 0.0) - eye).normalize();
        let right = look.cross(DVec3::Z).normalize();
        let up = right.cross(look);
        let to = place.extend(0.0) - eye;
        let deep = to.dot(look);
        DVec2::new(
            400.0 + 900.0 * to.dot(right) / deep,
            300.0 - 900.0 * to.dot(up) / deep,
        )
    }

    #[test]
    fn four_corners_straighten_a_photograph_taken_aslant() {
        let corners = [(0.0, 0.0), (480.0, 0.0), (480.0, 360.0), (0.0, 360.0)];
        let known = corners.map(|(x, y)| (photographed(DVec2::new(x, y)), DVec2::new(x, y)));
        let fit = Fit::by(&known, SIZE).unwrap().unwrap();
        for place in [
            DVec2::new(120.0, 90.0),
            DVec2::new(333.0, 301.0),
            DVec2::new(-20.0, 12.0),
        ] {
            let found = fit.house(photographed(place));
            assert!(found.distance(place) < 1e-6, "{found} is not {place}");
            assert!(fit.pixel(place).distance(photographed(place)) < 1e-6);
        }
        // Two points alone are inches off across the sheet.
        let by_two = Fit::by(&known[..2], SIZE).unwrap().unwrap();
        let place = DVec2::new(120.0, 330.0);
        assert!(by_two.house(photographed(place)).distance(place) > 6.0);
    }

    #[test]
    fn four_points_that_no_camera_sees_so_are_refused() {
        let corners = [(0.0, 0.0), (480.0, 0.0), (480.0, 360.0), (0.0, 360.0)];
        let places = corners.map(|(x, y)| DVec2::new(x, y));
        let pixels = places.map(photographed);
        let refused = |pixels, places| Fit::four(pixels, places, SIZE).unwrap_err();
        let [a, b, c, d] = places;
        for crossed in [[b, a, c, d], [a, c, b, d], [d, c, b, a]] {
            assert!(refused(pixels, crossed).contains("told wrong"));
        }
        let in_line = [a, b, a.midpoint(b), d];
        assert!(refused(pixels, in_line).contains("in a line"));
        assert!(refused([pixels[0]; 4], places).contains("in a line"));
    }
}
