//! Quantities, and the conventions every crate agrees on.
//!
//! # Conventions
//! - Lengths are `f64` **inches** wherever a bare number stands for a length (sixteenths are exact in binary).
//! - Axes: x east, y north, z up. `z = 0` is the finished floor (F.F.); below is negative.
//! - Plan origin: the south-west corner of the outside of the form, after `layout::resolve`.
//! - An **invert** is the inside bottom of a pipe, a **centre** its axis, a **crown** its *outside* top.
//! - A grade is inches of fall per foot of developed plan length, positive downstream.
//! - Angles are degrees at a boundary (a document, a finding), radians inside a computation.
//!
//! What does not belong here: dimensions of pipe and fittings (`catalog`), anything that knows a house.
#![forbid(unsafe_code)]

mod feet;
mod figure;
mod grade;
mod id;
mod length;
mod size;

pub use feet::{feet_inches, inches_text, inches_up, whole_inches};
pub use figure::figure;
pub use grade::{Grade, GradeError};
pub use id::Id;
pub use length::{Length, LengthError};
pub use size::{Size, SizeError};

/// Two lengths closer than this (inches) are the same length. A millionth of an inch: far below a tape, far above
/// what sums of a few thousand `f64` lose.
pub const SAME_LENGTH: f64 = 1e-6;
