//! The solver against hand work, published cases, brute force, a linear program and its own laws.

mod brute;
mod build;
mod cases;
mod house;
mod laws;
mod program;
mod random;
