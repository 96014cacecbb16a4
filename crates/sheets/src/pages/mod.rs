//! The pages of the packet, one module each.

pub mod content;
pub mod control;
pub mod dig;
mod house;
mod numbers;
pub mod pour;
pub mod proof;
pub mod record;
pub mod shop;

pub use numbers::numbers;
