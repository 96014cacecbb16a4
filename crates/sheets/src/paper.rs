//! Sizes of paper, and the scales a rule can be laid on.

use glam::DVec2;

/// Points in an inch of paper.
pub(crate) const POINTS: f64 = 72.0;

/// A size of paper, lying or standing as its pages are read.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Paper {
    /// 8 1/2 by 11 in.
    Letter,
    /// 11 by 8 1/2 in.
    LetterLying,
    /// 17 by 11 in.
    Tabloid,
    /// 210 by 297 mm.
    A4,
    /// 297 by 210 mm.
    A4Lying,
    /// 420 by 297 mm.
    A3,
}

impl Paper {
    /// Width and height, points.
    pub fn size(self) -> DVec2 {
        let millimetres = |wide: f64, high: f64| DVec2::new(wide, high) / 25.4 * POINTS;
        match self {
            Self::Letter => DVec2::new(612.0, 792.0),
            Self::LetterLying => DVec2::new(792.0, 612.0),
            Self::Tabloid => DVec2::new(1224.0, 792.0),
            Self::A4 => millimetres(210.0, 297.0),
            Self::A4Lying => millimetres(297.0, 210.0),
            Self::A3 => millimetres(420.0, 297.0),
        }
    }

    /// The same paper lying, for drawings; what lies already stays so.
    pub fn lying(self) -> Self {
        match self {
            Self::Letter | Self::LetterLying => Self::LetterLying,
            Self::A4 | Self::A4Lying => Self::A4Lying,
            Self::Tabloid => Self::Tabloid,
            Self::A3 => Self::A3,
        }
    }
}

/// A drawing's scale: so many inches of house to one inch of paper.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Scale {
    /// Inches of house to an inch of paper.
    pub ratio: f64,
    /// As it is written on a drawing: `1/4" = 1'-0"`.
    pub name: &'static str,
}

/// The scales of an architect's rule, then of an engineer's, the largest drawing first.
const SCALES: [Scale; 20] = [
    Scale::new(1.0, "full size"),
    Scale::new(2.0, "half size"),
    Scale::new(4.0, "3\" = 1'-0\""),
    Scale::new(8.0, "1 1/2\" = 1'-0\""),
    Scale::new(12.0, "1\" = 1'-0\""),
    Scale::new(16.0, "3/4\" = 1'-0\""),
    Scale::new(24.0, "1/2\" = 1'-0\""),
    Scale::new(32.0, "3/8\" = 1'-0\""),
    Scale::new(48.0, "1/4\" = 1'-0\""),
    Scale::new(64.0, "3/16\" = 1'-0\""),
    Scale::new(96.0, "1/8\" = 1'-0\""),
    Scale::new(128.0, "3/32\" = 1'-0\""),
    Scale::new(192.0, "1/16\" = 1'-0\""),
    Scale::new(240.0, "1\" = 20'"),
    Scale::new(360.0, "1\" = 30'"),
    Scale::new(480.0, "1\" = 40'"),
    Scale::new(600.0, "1\" = 50'"),
    Scale::new(1200.0, "1\" = 100'"),
    Scale::new(2400.0, "1\" = 200'"),
    Scale::new(6000.0, "1\" = 500'"),
];

impl Scale {
    const fn new(ratio: f64, name: &'static str) -> Self {
        Self { ratio, name }
    }

    /// The largest scale at which `house` (inches, wide and high) fits into `room` (points); the smallest there is when
    /// none does.
    pub fn fitting(house: DVec2, room: DVec2) -> Self {
        let fits = |scale: &&Self| {
            let drawn = house / scale.ratio * POINTS;
            drawn.x <= room.x && drawn.y <= room.y
        };
        let last = SCALES[SCALES.len() - 1];
        SCALES.iter().find(fits).copied().unwrap_or(last)
    }

    /// Inches of house as points of paper.
    pub fn points(self, inches: f64) -> f64 {
        inches / self.ratio * POINTS
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_house_of_forty_eight_feet_fits_a_letter_at_an_eighth_and_a_half() {
        // 48 ft by 44 ft; 10 in by 6 in of room: 3/16 makes 9 in by 8 1/4, too high; 1/8 makes 6 in by 5 1/2.
        let scale = Scale::fitting(DVec2::new(576.0, 528.0), DVec2::new(720.0, 432.0));
        assert_eq!(scale.name, "1/8\" = 1'-0\"");
        assert!((scale.points(576.0) - 6.0 * 72.0).abs() < 1e-9);
    }
}
