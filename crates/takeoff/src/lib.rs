//! What to buy, what to cut, and in which order to glue it. What does not belong here: which fittings stand where
//! (`fittings`), how a list is printed.
#![forbid(unsafe_code)]

mod cutstock;
mod list;
mod order;
mod shop;

pub use cutstock::{MOST_NODES, Plan, Stick, Stock, TooLong, plan};
pub use list::{
    Buy, Change, Cut, FittingLine, JointLine, PipeLine, STRAP_EVERY, Sleeve, Takeoff, Wrap,
    changes, take,
};
pub use order::{Bench, ClockMark, benches, clock_marks};
pub use shop::Shop;
