//! For the other files that stand beside a layout (a field book): the same way from a located tree to values, with the
//! same words when something is wrong. Made public here so that there is one copy; a layout's own sections are in `read`.

pub use crate::{
    limits::Bound,
    lower::{Fields, Reader, suggestion},
    print::quoted,
    problem::{Mistake, Source, near},
};
