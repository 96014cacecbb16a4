//! What to buy, what to cut, and in which order to glue it. What does not belong here: which fittings stand where
//! (`fittings`), how a list is printed.
#![forbid(unsafe_code)]

mod buy;
mod cutstock;
mod list;
mod order;
mod shop;
mod shop_sheet;
mod ways;

pub use buy::{Buy, Change, Group, changes};
pub use cutstock::{MOST_NODES, Plan, Stick, Stock, TooLong, plan};
pub use list::{
    Collar, Cut, FittingLine, JointLine, PipeLine, STRAP_EVERY, Sleeve, Takeoff, TestRiser, Wrap,
    take,
};
pub use order::{Bench, ClockMark, benches, clock_marks};
pub use shop::{Per, Price, Shop, stick_name};
pub use shop_sheet::{MOST_PRICES, parse_shop};
pub use ways::{Ways, two_ways};
