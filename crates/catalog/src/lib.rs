//! What pipe, fittings and cement measure, and how far each number may be trusted. Data only: what stands where in a
//! house belongs to the crates above.
//!
//! Tables are in `assets/catalog`, each row with its source and how it is known. Most laying lengths are remembered or
//! derived; measure the piece in hand before a cut. A bench sheet ([`parse`]) puts such measures in their place.
//!
//! ```
//! use catalog::{BenchSheet, EndName, Pattern, Sizes, catalog};
//! use units::Size;
//! let (catalog, problems) = catalog(&BenchSheet::default());
//! assert!(problems.is_empty());
//! let wye = catalog.find(Pattern::Wye, Sizes::branched(Size::In3, Size::In2)).unwrap();
//! assert_eq!(wye.part.to_string(), "3x3x2 wye");
//! let branch = wye.end(EndName::Branch).unwrap();
//! assert!(branch.take_off.is_provisional());
//! ```
#![forbid(unsafe_code)]
// In tests a panic is the report, and sixteenths of an inch are exact.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::float_cmp))]

mod bench;
mod cement;
mod cut;
mod derive;
mod dim;
mod fitting;
mod make;
mod measured;
mod name;
mod pattern;
mod pipe;
mod rows;
mod table;
mod torn;

pub use bench::{BENCH_DOUBT, BenchSheet, Ends, Entry, MOST_ENTRIES, Problem, parse};
pub use cement::{
    CEMENT_SPARE, COLD_BELOW_F, Cement, DAMP_FACTOR, HOT_ABOVE_F, Known, Published, Wait, Weather,
};
pub use cut::{CHECK_OVER, Mark, cut_length, needs_check};
pub use dim::{Dim, How};
pub use fitting::{Body, DEEPEST_SEAL_MORE, End, EndKind, EndName, Fact, Fitting, Vec3};
pub use name::NameError;
pub use pattern::{Part, Pattern, Sizes};
pub use pipe::{EXPANSION_PER_F, PVC_DENSITY, Pipe};
pub use torn::Form;

use rows::Rows;
use std::{
    collections::BTreeMap,
    fmt,
    sync::{Arc, LazyLock},
};
use table::TableError;
use units::Size;

/// Everything that can be bought, with its dimensions.
#[derive(Clone, PartialEq, Debug)]
pub struct Catalog {
    pipes: [Pipe; 6],
    /// Shared until a bench sheet puts a measure in.
    /// By [`Part::code`]: compared as one number, for parts are looked up a hundred times a run.
    fittings: Arc<BTreeMap<u32, Fitting>>,
    rings: Vec<Dim>,
    cement: Cement,
}

/// The catalogue has no such fitting.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Missing {
    /// What was asked for.
    pub part: Part,
    /// The sizes that the catalogue has of the pattern.
    pub made: Vec<Sizes>,
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let made: Vec<String> = self.made.iter().map(|sizes| sizes.label()).collect();
        let pattern = self.part.pattern;
        write!(
            f,
            "no {} in the catalogue; it has the {pattern} in {}",
            self.part,
            made.join(", ")
        )
    }
}

impl std::error::Error for Missing {}

/// The tables with the bench sheet's measures in place of what they say, and what on the sheet cannot be true.
/// A measure with a problem is left out.
pub fn catalog(bench: &BenchSheet) -> (Catalog, Vec<Problem>) {
    let mut catalog = SHIPPED.clone();
    let problems = measured::apply(&mut catalog, bench);
    (catalog, problems)
}

impl Catalog {
    /// Pipe of that size, and its hub.
    pub fn pipe(&self, size: Size) -> &Pipe {
        // `pipe::read` fills the array in the order of `Size::ALL`, which is the order of the variants.
        &self.pipes[size as usize]
    }

    /// The smallest pipe that goes round another of this outside diameter as its sleeve: half an inch clear all round (a
    /// state code with UPC numbering, 312.10, from study cards). `None` when even the largest does not.
    pub fn sleeve_round(&self, od: f64) -> Option<&Pipe> {
        self.pipes.iter().find(|pipe| pipe.id() >= od + 1.0)
    }

    /// The fitting of that pattern in those sizes.
    ///
    /// # Errors
    /// When it is not made (as far as the catalogue knows): the error names the sizes that are.
    pub fn find(&self, pattern: Pattern, sizes: Sizes) -> Result<&Fitting, Missing> {
        self.get(pattern, sizes).ok_or_else(|| Missing {
            part: Part { pattern, sizes },
            made: self.made(pattern),
        })
    }

    /// The fitting of that pattern in those sizes; `None` when it is not made. As [`Catalog::find`] for whoever does not
    /// tell what is made instead.
    pub fn get(&self, pattern: Pattern, sizes: Sizes) -> Option<&Fitting> {
        self.fittings.get(&Part { pattern, sizes }.code())
    }

    /// Every fitting, ordered by pattern and size.
    pub fn fittings(&self) -> impl Iterator<Item = &Fitting> {
        self.fittings.values()
    }

    /// The sizes a pattern is made in, smallest first.
    pub fn made(&self, pattern: Pattern) -> Vec<Sizes> {
        let parts = self.fittings().map(|fitting| fitting.part);
        let ours = parts.filter(|part| part.pattern == pattern);
        ours.map(|part| part.sizes).collect()
    }

    /// Thicknesses of the spacer rings that lift a low closet flange, thinnest first.
    pub fn closet_rings(&self) -> &[Dim] {
        &self.rings
    }

    /// Set and cure times, joints a can makes, people a joint needs.
    pub fn cement(&self) -> &Cement {
        &self.cement
    }

    /// How far the invert of a concentric reducer steps, inches: up going into the smaller pipe.
    pub fn invert_step(&self, large: Size, small: Size) -> f64 {
        derive::bore_step(self.pipe(large), self.pipe(small))
    }

    /// From a trap arm's axis to the lowest outside point of a trap with a water `seal` of 2 to 4 in, inches.
    pub fn trap_below_arm(&self, size: Size, seal: f64) -> f64 {
        derive::below_arm(self.pipe(size), seal)
    }

    pub(crate) fn put(&mut self, fitting: Fitting) {
        Arc::make_mut(&mut self.fittings).insert(fitting.part.code(), fitting);
    }
}

/// The texts of the tables.
struct Tables<'a> {
    pipe: &'a str,
    socket: &'a str,
    fitting: &'a str,
    made: &'a str,
    waits: &'a str,
    joints: &'a str,
}

const TABLES: Tables<'static> = Tables {
    pipe: include_str!("../../../assets/catalog/pipe.csv"),
    socket: include_str!("../../../assets/catalog/socket.csv"),
    fitting: include_str!("../../../assets/catalog/fitting.csv"),
    made: include_str!("../../../assets/catalog/made.csv"),
    waits: include_str!("../../../assets/catalog/set_and_cure.csv"),
    joints: include_str!("../../../assets/catalog/joints.csv"),
};

static SHIPPED: LazyLock<Catalog> = LazyLock::new(|| {
    read(&TABLES).expect("the shipped tables are complete; a test reads them all")
});

fn read(tables: &Tables<'_>) -> Result<Catalog, TableError> {
    let pipes = pipe::read(tables.pipe, tables.socket)?;
    let rows = Rows::read(tables.fitting, tables.made)?;
    let fittings = make::all(&rows, &pipes)?;
    let cement = cement::read(tables.waits, tables.joints)?;
    Ok(Catalog {
        pipes,
        fittings: Arc::new(fittings),
        rings: rows.rings,
        cement,
    })
}

#[cfg(test)]
mod tests;
