//! How the runs of a layout hang together: a forest of drains, one tree an exit, with loads and sizes.
//!
//! Here: plan lines, junctions, stations, loads, sizes, vents. Not here: levels (`grades`), fittings (`fittings`).
//!
//! # Stations
//! A station is developed plan length in inches **upstream of a run's outlet**: 0 at the outlet, `path.length()` at its
//! upstream end. Levels, bounds and joins are told by station everywhere.
//!
//! # Invariants
//! - In a tree a parent's index is less than its children's (preorder); run 0 is the trunk that leaves by the exit.
//! - `Run::bores` is not empty, is ordered upstream to downstream, and its last bore reaches station 0.
#![forbid(unsafe_code)]

mod baths;
mod connect;
mod grow;
mod join;
mod load;
mod path;
mod types;

pub use baths::{Baths, served};
pub use connect::connect;
pub use load::{fixture_load, need, washer_joins};
pub use path::Path;
pub use types::{Bore, Join, Network, Problem, Run, Side, Start, Tree, VentLine};
