//! The document: what a layout file may say, what a layout is, and how one becomes the other.
#![forbid(unsafe_code)]

pub mod model;

pub use model::*;
