//! How much a file may hold and how large a thing may be, each with its reason. All stand above the bench's largest.

/// Bytes of a file. 100,000 runs with their fixtures and comments take some 30 MB; a 100 MB file is not a layout.
pub const MOST_BYTES: u64 = 64 << 20;

/// Named items in a file: 100,000 runs, as many fixtures, and walls, cleanouts and services to spare.
pub const MOST_ITEMS: usize = 600_000;

/// Corners of an outline: every pair of sides is tried for a crossing, and no drawn house comes near.
pub const MOST_CORNERS: usize = 1_000;

/// Values in any other list of a file (corners of one run, profile points, layers).
pub const MOST_LISTED: usize = 10_000;

/// How many items may stand on one another in a row before the file must name a nearer one.
pub const DEEPEST_CHAIN: usize = 100;

/// A junction told this far (inches) beside its run is taken onto it; farther off it is a mistake. A reading from a
/// paper plan at 1/4 in to the foot is good to about an inch.
pub const BESIDE: f64 = 1.0;

const FOOT: f64 = 12.0;
const MILE: f64 = 5280.0 * FOOT;

/// What a length may be.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Bound {
    /// What it is, with its article, as a message says it.
    pub what: &'static str,
    /// The least, inches.
    pub least: f64,
    /// The most, inches.
    pub most: f64,
}

const fn bound(what: &'static str, least: f64, most: f64) -> Bound {
    Bound { what, least, most }
}

/// A hundred miles: a row of the bench's houses is some way under it, a 400 mile wall is not.
pub const PLAN: Bound = bound("a place in plan", -100.0 * MILE, 100.0 * MILE);
/// The longest wall of one house; a stadium's is shorter.
pub(crate) const WALL_LENGTH: Bound = bound("a wall", 1.0, 1000.0 * FOOT);
/// Deeper than any drain, higher than any house.
pub const LEVEL: Bound = bound(
    "a level from the finished floor",
    -1000.0 * FOOT,
    1000.0 * FOOT,
);
/// From below the lowest dry land to above the highest (both from memory).
pub(crate) const ELEVATION: Bound = bound("a survey elevation", -1500.0 * FOOT, 30000.0 * FOOT);
/// Anything that must be there at all: a sixteenth is the finest a tape tells.
pub(crate) const SIZE: Bound = bound("a size", 1.0 / 16.0, 1000.0 * FOOT);
/// Concrete, framing and footings of a house.
pub(crate) const THICKNESS: Bound = bound("a thickness", 1.0 / 16.0, 20.0 * FOOT);
/// Layers and finishes, which may be a mere sheet.
pub(crate) const LAYER: Bound = bound("a thickness", 0.0, 20.0 * FOOT);
/// Depths and gaps.
pub(crate) const DEPTH: Bound = bound("a depth", 0.0, 100.0 * FOOT);
/// A line outside: farther than any building drain is led.
pub const LINE: Bound = bound("a length", 0.0, 10.0 * MILE);
