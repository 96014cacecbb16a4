//! Where a picture lies: turned, scaled and moved, never skewed.

use glam::DVec2;

/// Least distance of two points to scale by, pixels and inches.
const APART: f64 = 2.0;

/// From pixels (right and down from the upper left) to house inches (east and north).
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Fit {
    /// Where the upper left corner lies.
    pub corner: DVec2,
    /// One pixel to the right, inches east and north.
    pub right: DVec2,
}

impl Fit {
    /// The whole picture of `size` pixels inside a rectangle, upright, as large as it goes.
    pub fn over(size: DVec2, low: DVec2, high: DVec2) -> Self {
        let room = (high - low).max(DVec2::splat(12.0));
        let scale = (room / size.max(DVec2::ONE)).min_element();
        let corner = low.midpoint(high) + DVec2::new(-size.x, size.y) * scale / 2.0;
        Self {
            corner,
            right: DVec2::new(scale, 0.0),
        }
    }

    /// The one way to lay two pixels on two places; `None` where either two are too near each other.
    pub fn from_two(pixels: [DVec2; 2], places: [DVec2; 2]) -> Option<Self> {
        let flipped = pixels.map(|pixel| DVec2::new(pixel.x, -pixel.y));
        let (from, to) = (flipped[1] - flipped[0], places[1] - places[0]);
        if from.length() < APART || to.length() < APART {
            return None;
        }
        // The quotient of the two as complex numbers is turn and scale in one.
        let right = DVec2::new(from.dot(to), from.perp_dot(to)) / from.length_squared();
        Some(Self {
            corner: places[0] - right.rotate(flipped[0]),
            right,
        })
    }

    /// Where a pixel lies.
    pub fn house(&self, pixel: DVec2) -> DVec2 {
        self.corner + self.right.rotate(DVec2::new(pixel.x, -pixel.y))
    }

    /// The pixel at a place.
    pub fn pixel(&self, at: DVec2) -> DVec2 {
        let by = at - self.corner;
        let back = DVec2::new(self.right.dot(by), self.right.perp_dot(by))
            / self.right.length_squared().max(1e-12);
        DVec2::new(back.x, -back.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back_turned_and_scaled() {
        let pixels = [DVec2::new(10.0, 20.0), DVec2::new(310.0, 120.0)];
        let places = [DVec2::new(5.0, 7.0), DVec2::new(40.0, 300.0)];
        let fit = Fit::from_two(pixels, places).unwrap();
        for (pixel, place) in pixels.into_iter().zip(places) {
            assert!(fit.house(pixel).distance(place) < 1e-9);
            assert!(fit.pixel(place).distance(pixel) < 1e-9);
        }
        assert_eq!(Fit::from_two([DVec2::ZERO, DVec2::ZERO], places), None);
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
}
