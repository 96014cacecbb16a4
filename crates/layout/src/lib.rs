//! The document: what a layout file may say, what a layout is, and how one becomes the other.
#![forbid(unsafe_code)]

mod disk;
mod edit;
mod file;
mod ground;
pub mod limits;
mod lower;
pub mod model;
pub mod node;
mod outline;
mod passage;
mod print;
mod problem;
mod read;
pub mod reader;
mod resolve;
mod template;
mod words;

pub use disk::{DiskError, kept_beside, load, save};
pub use edit::{Applied, Edit, EditError, Path, Step, apply, length_text, parse};
pub use file::File;
pub use ground::ground_level;
pub use model::*;
pub use node::Node;
pub use outline::compass;
pub use passage::{Passage, passages};
pub use print::{hash, print};
pub use problem::Problem;
pub use read::{Reading, read};
pub use resolve::resolve;
pub use template::template;
pub use words::stud_depth;
