//! What the published codes say, as data: every figure with its source, and whether anyone read it there.
//!
//! # What belongs here
//! - The tables in `assets/codes/` (three profiles: IRC, IPC, UPC), kept row by row with edition, section and source.
//! - Local amendments, which change a row and stay visible in it.
//! - Typed look-ups: a figure always comes with the [`Row`] it stands in.
//!
//! What does not: geometry, a layout, a verdict on a layout. No complete copy of any of the three codes was seen, so
//! every profile is a first cut; a row that nobody has read ([`Row::is_read`]) can only make the program ask.
//!
//! # Order of use
//! [`amend::parse`] reads a town's changes, [`rules`] lays them over a profile, the methods of [`Rules`] answer.
//!
//! ```
//! use codes::{rules, Code, Load};
//! let (upc, problems) = rules(Code::Upc, &[]);
//! assert!(problems.is_empty());
//! let washer = upc.dfu(Load::Washer).unwrap();
//! assert_eq!(washer.value, 3.0); // UPC Table 702.1, Seattle and King County extract
//! assert!(washer.row.is_read());
//! ```
#![forbid(unsafe_code)]
#![cfg_attr(test, allow(clippy::unwrap_used, reason = "a test may panic"))]

pub mod amend;
mod capacity;
mod cleanout;
mod code;
mod fittings_allowed;
mod fixtures;
mod near;
mod norms;
mod row;
mod rule_list;
mod rules;
mod site;
mod sleeve;
mod tables;
mod trap_arm;
mod value;
mod vents;

pub use amend::{Amendment, Problem};
pub use capacity::{Carried, Fit, Need};
pub use cleanout::CleanoutRules;
pub use code::{Body, Code, CodeError, How, Tier};
pub use fittings_allowed::{Answer, Limit, Pattern, Turn, Use};
pub use fixtures::{Group, Load, Served, Total};
pub use norms::{Norm, norm, norms};
pub use row::{Amended, Cite, Figure, Key, Row};
pub use rule_list::{Keyed, RuleId, Scope, Takes, Topic};
pub use rules::{Rules, rules};
pub use site::{ClosetRoom, PressureTest, WaterApart};
pub use sleeve::Sleeve;
pub use trap_arm::ArmLimits;
pub use value::{Unit, Value};
