//! The pages of the packet: composed once into a list of marks, written as PDF, SVG or PNG. What does not belong
//! here: sums of the trade (trench, takeoff, checks).
#![forbid(unsafe_code)]

pub mod pages;
