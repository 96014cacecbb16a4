//! The pages of the packet: composed once into lists of marks, then written as PDF, SVG or PNG.
//!
//! ```text
//! (Outcome, Takeoff, Options) --compose--> [Page] --pdf | svg | png--> bytes
//! ```
//!
//! A page is measured in points (1/72 in) from its upper left corner, x to the right and y down. The same marks go to all
//! three writers, so what is tested on marks holds on paper. What does not belong here: sums of the trade (`trench`,
//! `takeoff`, `checks`), reading and writing of files.
#![forbid(unsafe_code)]

mod canvas;
mod fonts;
mod furniture;
mod mark;
pub mod pages;
mod paper;
mod pdf;
mod place;
mod png;
mod render;
mod sheet;
mod svg;
mod table;
mod view;

pub use fonts::{Face, width};
pub use mark::{Ink, Mark, Page, Part, Pen, Role, Style};
pub use pages::{Options, compose};
pub use paper::{Paper, Scale};
pub use pdf::{PdfError, pdf};
pub use png::{PngError, png};
pub use svg::svg;
