//! Earth: what comes out of a trench, what goes back in, and in what state it is measured (bank, loose, compacted).
//!
//! Cuts are measured in place, fills compacted (NAVEDTRA 14080 table 4-1, read; case E014). Volumes are in the cube of
//! whatever unit the lengths have, unless a name says otherwise.

use std::f64::consts::FRAC_PI_4;

/// Cubic feet in a cubic yard.
pub const CUBIC_FEET_A_YARD: f64 = 27.0;
/// Cubic inches in a cubic yard.
pub const CUBIC_INCHES_A_YARD: f64 = 46_656.0;
/// Loose earth over bank earth (swell factor note on a public page, read: 13 from 10; common earth 1.25 by memory).
pub const SWELL: f64 = 1.30;
/// Short tons in a cubic yard of loose crushed stone (aggregate suppliers' conversion tables, read: 2700 lb).
pub const STONE_TONS: f64 = 1.35;
/// What to order over what it fills compacted, clean stone (common practice, no source).
pub const STONE_SETTLES: f64 = 1.10;
/// Spill and uneven bottom (common practice, no source).
pub const STONE_WASTE: f64 = 1.10;

/// A trench cut across at a station.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Section {
    /// Along the trench.
    pub at: f64,
    /// Depth from the ground, not negative.
    pub depth: f64,
}

/// The shape of a trench, the same all along it.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Shape {
    /// Width of the bottom.
    pub bottom: f64,
    /// How far each side leans out for each unit up; 0 is upright.
    pub lean: f64,
}

impl Shape {
    /// Area of the cut at a depth.
    pub fn area(self, depth: f64) -> f64 {
        (self.bottom + self.lean * depth) * depth
    }
}

/// The volume between sections in order of station whose depth changes evenly between them: prismoidal, which is exact
/// for such a trench. Fewer than two sections hold nothing.
pub fn trench(sections: &[Section], shape: Shape) -> f64 {
    pairs(sections, |a, b| {
        let middle = shape.area(f64::midpoint(a.depth, b.depth));
        (shape.area(a.depth) + 4.0 * middle + shape.area(b.depth)) / 6.0
    })
}

/// The same by average end area, the quick way that overstates a tapering trench.
pub fn trench_by_end_areas(sections: &[Section], shape: Shape) -> f64 {
    pairs(sections, |a, b| {
        f64::midpoint(shape.area(a.depth), shape.area(b.depth))
    })
}

fn pairs(sections: &[Section], mean_area: impl Fn(&Section, &Section) -> f64) -> f64 {
    sections
        .windows(2)
        .map(|w| (w[1].at - w[0].at) * mean_area(&w[0], &w[1]))
        .sum()
}

/// Volume between two end areas; a pyramid where one of them is nothing.
pub fn end_areas(length: f64, first: f64, second: f64) -> f64 {
    let parts = if first == 0.0 || second == 0.0 {
        3.0
    } else {
        2.0
    };
    (first + second) * length / parts
}

/// Volume over an area from the mean of the depths at its corners; none without corners.
pub fn by_corners(area: f64, depths: &[f64]) -> Option<f64> {
    (!depths.is_empty()).then(|| area * depths.iter().sum::<f64>() / depths.len() as f64)
}

/// The area of stone in a trench cross-section: the rectangle from `bedding` under the pipe to `fill` over its bottom,
/// less what the pipe takes up of it.
pub fn embedment(width: f64, bedding: f64, fill: f64, outside: f64) -> f64 {
    width * (bedding + fill) - below(outside, fill)
}

/// The part of a pipe's cross-section that lies below `height` over its outside bottom.
fn below(outside: f64, height: f64) -> f64 {
    let radius = outside / 2.0;
    let height = height.clamp(0.0, outside);
    let angle = 2.0 * ((radius - height) / radius).clamp(-1.0, 1.0).acos();
    radius * radius / 2.0 * (angle - angle.sin())
}

/// What a length of pipe pushes aside.
pub fn displaced(outside: f64, length: f64) -> f64 {
    FRAC_PI_4 * outside * outside * length
}

/// Loose volume from bank volume.
pub fn loose(bank: f64, swell: f64) -> f64 {
    bank * swell
}

/// The bank volume that makes a compacted one, when it shrinks by so much (0.1 is a tenth).
pub fn bank_for(compacted: f64, shrink: f64) -> f64 {
    compacted / (1.0 - shrink)
}

/// Stone to order.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Order {
    /// Cubic yards to ask for, settling and waste in it.
    pub yards: f64,
    /// The same in short tons.
    pub tons: f64,
}

/// What to order to fill `cubic_inches` compacted.
pub fn order(cubic_inches: f64) -> Order {
    let yards = cubic_inches / CUBIC_INCHES_A_YARD * STONE_SETTLES * STONE_WASTE;
    Order {
        yards,
        tons: yards * STONE_TONS,
    }
}

/// Layers from `bottom` to `top`, none thicker than `most` and all equally thick: how many, and how thick each is.
/// Nothing to fill gives none.
pub fn lifts(bottom: f64, top: f64, most: f64) -> (usize, f64) {
    let fill = top - bottom;
    if fill <= units::SAME_LENGTH || most <= 0.0 {
        return (0, 0.0);
    }
    let count = (fill / most - 1e-9).ceil().clamp(1.0, 1e6);
    // Bounded just above, and whole.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    (count as usize, fill / count)
}

/// The deepest a trench may go whose near edge is `gap` off a footing's edge, without passing under the plane that
/// falls 45 degrees from its bottom edge (2018 IRC P2604.4, read): an elevation, in the unit of the arguments.
pub fn deepest_beside(footing_bottom: f64, gap: f64) -> f64 {
    footing_bottom - gap.max(0.0)
}

/// The width a machine needs to compact beside a pipe, inches: outside diameter and 16 in, or 1.25 of it and 12
/// (a drain-pipe maker's guide after ASTM D2321, read).
pub fn machine_width(outside: f64) -> f64 {
    (outside + 16.0).max(1.25 * outside + 12.0)
}

/// What lies between the pipe and the trench's bottom, inches: Tolono, Illinois, trench ordinance 5.16 (read); the same in
/// ASTM D2321, from memory.
pub const BEDDING: f64 = 4.0;

/// The usual least width of a trench dug by hand under a house slab, inches (common practice, no source).
pub const HAND_WIDTH: f64 = 12.0;

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got} is not {want}");
    }

    fn taper(d1: f64, d2: f64, length: f64) -> [Section; 2] {
        [
            Section { at: 0.0, depth: d1 },
            Section {
                at: length,
                depth: d2,
            },
        ]
    }

    #[test]
    fn end_areas_with_pyramids() {
        // Fundamentals of Transportation, earthwork (case E001, read), metres.
        let stations = [0.0, 50.0, 75.0, 100.0, 115.0, 150.0];
        let total = |areas: [f64; 6]| -> f64 {
            (0..5)
                .map(|i| end_areas(stations[i + 1] - stations[i], areas[i], areas[i + 1]))
                .sum()
        };
        close(total([60.0, 50.0, 25.0, 5.0, 0.0, 0.0]), 4087.5, 0.06);
        close(total([0.0, 0.0, 0.0, 10.0, 15.0, 30.0]), 1058.3, 0.06);
        // Surveying study guide (case E002): 100 ft between 80 and 140 sq ft.
        close(end_areas(100.0, 80.0, 140.0), 11_000.0, 1e-9);
        close(
            end_areas(100.0, 80.0, 140.0) / CUBIC_FEET_A_YARD,
            407.41,
            0.01,
        );
        // NAVEDTRA 14080 (case E015; numbers computed): 250 ft between 28 and 36 sq ft.
        close(
            end_areas(250.0, 28.0, 36.0) / CUBIC_FEET_A_YARD,
            296.3,
            0.05,
        );
    }

    #[test]
    fn tapering_trenches() {
        // Prismoidal formula (cases E019 and E020, derived), feet, sides 1 to 1.
        let shape = Shape {
            bottom: 3.0,
            lean: 1.0,
        };
        for (d1, d2, length, quick, exact) in [
            (4.0, 12.0, 100.0, 10_400.0, 9333.33),
            (1.5, 2.4, 40.0, 394.2, 388.8),
        ] {
            close(
                trench_by_end_areas(&taper(d1, d2, length), shape),
                quick,
                0.001 * quick,
            );
            close(trench(&taper(d1, d2, length), shape), exact, 0.001 * exact);
        }
        // Case E022 (exact): upright sides, 1.5 ft wide.
        let upright = Shape {
            bottom: 1.5,
            lean: 0.0,
        };
        close(trench(&taper(1.5, 2.4, 40.0), upright), 117.0, 1e-9);
        close(
            trench(&taper(1.5, 2.4, 40.0), upright) / CUBIC_FEET_A_YARD,
            4.3333,
            1e-4,
        );
        close(trench(&[], upright), 0.0, 0.0);
    }

    #[test]
    fn a_sloped_pit() {
        // Public article on sloped excavation (case E018, volumes computed), feet: 20 by 15 at the bottom, 10 deep, 1 to 1.
        let area = |up: f64| (20.0 + 2.0 * up) * (15.0 + 2.0 * up);
        close(end_areas(10.0, area(0.0), area(10.0)), 8500.0, 1e-9);
        close(
            10.0 / 6.0 * (area(0.0) + 4.0 * area(5.0) + area(10.0)),
            7833.33,
            0.01,
        );
    }

    #[test]
    fn depths_at_corners() {
        // Surveying notes (case E005), an estimating text (case E007, read), a PE-type question (case E008, read), and case E035.
        close(
            by_corners(100.0, &[1.2, 1.5, 1.1, 1.8]).unwrap(),
            140.0,
            0.01,
        );
        close(
            by_corners(2500.0, &[1.4, 1.4, 1.2, 1.3]).unwrap(),
            3312.5,
            1e-6,
        );
        let fill: Vec<f64> = [87.6, 87.6, 87.6, 88.6].iter().map(|e| 90.0 - e).collect();
        close(
            by_corners(2500.0, &fill).unwrap() / CUBIC_FEET_A_YARD,
            199.0,
            0.6,
        );
        let pad: Vec<f64> = [99.2, 100.1, 100.6, 99.5]
            .iter()
            .map(|e| 100.0 - e)
            .collect();
        close(by_corners(1200.0, &pad).unwrap(), 180.0, 0.01);
        assert_eq!(by_corners(1.0, &[]), None);
    }

    #[test]
    fn stone_around_a_pipe() {
        // Cases E026, E027, E029 (rectangle minus circle segment, derived), inches; 40 ft of it in yards.
        for (width, fill, area, yards) in [
            (18.0, 2.25, 104.548, 1.0756),
            (18.0, 4.5, 137.096, 1.4104),
            (12.0, 4.5, 86.096, 0.8858),
        ] {
            close(embedment(width, 4.0, fill, 4.5), area, 0.0005 * area);
            close(
                embedment(width, 4.0, fill, 4.5) * 480.0 / CUBIC_INCHES_A_YARD,
                yards,
                0.0005 * yards,
            );
        }
    }

    #[test]
    fn what_a_pipe_pushes_aside() {
        // Cases E031 and E032 (outside diameters from memory, derived): 100 ft.
        close(displaced(3.5 / 12.0, 100.0), 6.6813, 0.003);
        close(displaced(4.5 / 12.0, 100.0), 11.0447, 0.006);
        // Trench question with a worked answer (case E016, recomputed): 2000 ft of 3 in, sides 1 in clear, 3 in under.
        close(displaced(0.25, 2000.0) / CUBIC_FEET_A_YARD, 3.636, 0.01);
        let width = 5.0 / 12.0;
        let dug = trench(
            &taper(4.5, 4.5, 2000.0),
            Shape {
                bottom: width,
                lean: 0.0,
            },
        ) / CUBIC_FEET_A_YARD;
        close(dug, 138.89, 0.01);
        close(width * 0.25 * 2000.0 / CUBIC_FEET_A_YARD, 7.72, 0.01);
        close(bank_for(7.72, 0.2), 9.65, 0.01);
    }

    #[test]
    fn bank_loose_and_compacted() {
        // Notes (cases E004 and E006; answers computed) and a PE-type question (case E009, read).
        close(bank_for(5000.0, 0.12), 5681.8, 0.1);
        close(loose(10_000.0, 1.25), 12_500.0, 1e-9);
        close(loose(2000.0 / 3400.0, 3400.0 / 2700.0), 0.74, 0.005);
        // Swell factor note on a public page (read): 13 loose from 10 in the bank.
        close(loose(10.0, SWELL), 13.0, 1e-9);
        // Case E036 (synthetic, derived).
        let backfill = 6.0 - 1.4 - 0.16;
        close(bank_for(backfill, 0.1), 4.9333, 5e-4);
        close(loose(6.0 - bank_for(backfill, 0.1), 1.25), 1.3333, 5e-4);
    }

    #[test]
    fn stone_to_order() {
        // Aggregate suppliers' rule (case WE51, read): 2700 lb a yard. Case WE52 (computed): 40 ft by 1 ft, 3 in pipe, 4 in
        // under and 6 in over, 1.57 yards, 2.12 tons before factors.
        close(STONE_TONS, 2700.0 / 2000.0, 1e-9);
        let stone = embedment(12.0, 4.0, 9.5, 3.5) * 480.0;
        close(stone / CUBIC_INCHES_A_YARD, 1.57, 0.02);
        close(stone / CUBIC_INCHES_A_YARD * STONE_TONS, 2.12, 0.02);
        close(order(stone).tons, 2.12 * 1.21, 0.025);
    }

    #[test]
    fn lifts_are_even_and_never_thicker() {
        assert_eq!(lifts(-20.0, -8.0, 6.0), (2, 6.0));
        assert_eq!(lifts(-21.0, -8.0, 6.0).0, 3);
        assert_eq!(lifts(0.0, 0.0, 6.0), (0, 0.0));
    }

    #[test]
    fn beside_a_footing() {
        // The 45-degree rule (cases Q038 to Q041, derived), feet.
        for (gap, deepest) in [(2.0, -3.5), (1.2, -2.7), (0.2, -1.7)] {
            close(deepest_beside(-1.5, gap), deepest, 1e-9);
        }
        close(deepest_beside(-2.0, 2.25), -4.25, 1e-9);
    }

    #[test]
    fn widths_for_a_machine() {
        // Bedding table (computed): 2, 3, 4 and 6 in.
        for (outside, width) in [(2.375, 18.38), (3.5, 19.5), (4.5, 20.5), (6.625, 22.62)] {
            close(machine_width(outside), width, 0.006);
        }
    }
}
