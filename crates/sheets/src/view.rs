//! From the house to the paper at a true scale.

use glam::DVec2;
use units::feet_inches;

use crate::canvas::Canvas;
use crate::mark::{Ink, Pen, Style};
use crate::paper::Scale;
use crate::sheet::Area;

/// A drawing's place on its page: inches of house (first axis right, second up) to points of paper.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct View {
    /// Its scale.
    pub(crate) scale: Scale,
    /// What its second axis is stretched by; 1 unless told on the drawing.
    pub(crate) stretch: f64,
    middle: DVec2,
    centre: DVec2,
}

impl View {
    /// The box from `low` to `high` (house) in the middle of an area, at the largest scale that fits.
    pub(crate) fn fitting(low: DVec2, high: DVec2, area: Area) -> Self {
        Self::stretched(low, high, area, 1.0)
    }

    /// The same, the second axis stretched.
    pub(crate) fn stretched(low: DVec2, high: DVec2, area: Area, stretch: f64) -> Self {
        let size = (high - low) * DVec2::new(1.0, stretch);
        Self {
            scale: Scale::fitting(size, area.size),
            stretch,
            middle: (low + high) / 2.0,
            centre: area.at + area.size / 2.0,
        }
    }

    /// Where a point of the house lies on the page.
    pub(crate) fn at(&self, point: DVec2) -> DVec2 {
        let off = point - self.middle;
        self.centre
            + DVec2::new(
                self.scale.points(off.x),
                -self.scale.points(off.y * self.stretch),
            )
    }

    /// Several points.
    pub(crate) fn all(&self, points: &[DVec2]) -> Vec<DVec2> {
        points.iter().map(|p| self.at(*p)).collect()
    }

    /// A bar to measure a copy by, its left end at `at`, about an inch and a half long, with the scale's name over it.
    pub(crate) fn scale_bar(&self, canvas: &mut Canvas, at: DVec2, size: f64) {
        let step = self.bar_step();
        let wide = self.scale.points(step);
        for n in [0.0, 1.0] {
            let fill = if n == 0.0 { Ink::BLACK } else { Ink::WHITE };
            let corner = at + DVec2::new(n * wide, 0.0);
            canvas.rect(corner, DVec2::new(wide, 4.0), Some(Pen::hair()), Some(fill));
        }
        let style = Style::new(size);
        canvas.text(at + DVec2::new(0.0, -3.0), self.scale.name, style);
        let below = DVec2::new(0.0, 5.0 + size);
        canvas.text(at + below, "0", style.middle());
        let end = at + below + DVec2::new(2.0 * wide, 0.0);
        canvas.text(end, feet_inches(2.0 * step, 16), style.middle());
    }

    fn bar_step(&self) -> f64 {
        let wanted = self.scale.ratio * 0.8;
        let steps = [
            1.0, 3.0, 6.0, 12.0, 24.0, 48.0, 60.0, 120.0, 240.0, 600.0, 1200.0, 6000.0,
        ];
        let under = steps.iter().rev().find(|step| **step <= wanted);
        under.copied().unwrap_or(1.0)
    }
}

/// An arrow to the north (the layout's y axis), its foot at `foot`.
pub(crate) fn north(canvas: &mut Canvas, foot: DVec2, size: f64) {
    let tip = foot - DVec2::new(0.0, 26.0);
    canvas.line(foot, tip, Pen::new(0.9, Ink::BLACK));
    canvas.arrow(tip - DVec2::new(0.0, 2.0), DVec2::NEG_Y, 8.0, Ink::BLACK);
    canvas.text(
        tip - DVec2::new(0.0, 5.0),
        "N",
        Style::new(size).bold().middle(),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_times_the_scale_is_its_place_in_the_house() {
        let area = Area {
            at: DVec2::new(36.0, 90.0),
            size: DVec2::new(720.0, 432.0),
        };
        let view = View::fitting(DVec2::ZERO, DVec2::new(576.0, 528.0), area);
        let (a, b) = (view.at(DVec2::ZERO), view.at(DVec2::new(144.0, 96.0)));
        let off = (b - a) / 72.0 * view.scale.ratio;
        assert!((off - DVec2::new(144.0, -96.0)).length() < 1e-9);
    }
}
