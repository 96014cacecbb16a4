//! The fitting tables as keyed values: `fitting.csv` and `made.csv`. What does not belong here: geometry, rules.

use crate::{
    Dim, Part, Pattern, Sizes,
    fitting::Fact,
    table::{Row, TableError, each_row},
};
use std::collections::BTreeMap;
use units::Size;

/// What a row of `fitting.csv` tells.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(crate) enum What {
    /// Take-off of all ends of the run alike.
    Both,
    Outlet,
    Inlet,
    Branch,
    Heel,
    /// Origin to the tip of the spigot outlet.
    Tip,
    /// Tip less the socket.
    Shoulder,
    /// Origin to the face of a thread.
    Face,
    Radius,
    Fact(Fact),
}

impl What {
    fn named(word: &str) -> Option<Self> {
        let what = match word {
            "both" => Self::Both,
            "outlet" => Self::Outlet,
            "inlet" => Self::Inlet,
            "branch" => Self::Branch,
            "heel" => Self::Heel,
            "tip" => Self::Tip,
            "shoulder" => Self::Shoulder,
            "face" => Self::Face,
            "radius" => Self::Radius,
            other => return fact(other).map(Self::Fact),
        };
        Some(what)
    }
}

fn fact(word: &str) -> Option<Fact> {
    let fact = match word {
        "stop_gap" => Fact::StopGap,
        "run_length" => Fact::RunLength,
        "length" => Fact::Length,
        "rise" => Fact::Rise,
        "engagement" => Fact::Engagement,
        "legs" => Fact::TrapLegs,
        "ell" => Fact::TrapElbow,
        "below_arm" => Fact::BelowArm,
        "ring_od" => Fact::RingOd,
        "bolt_circle" => Fact::BoltCircle,
        "thickness" => Fact::RingThickness,
        "height_above_floor" => Fact::AboveFloor,
        "hub_depth" => Fact::FlangeHub,
        "as_worked" => Fact::AsWorked,
        _ => return None,
    };
    Some(fact)
}

/// Every value the table gives, and what is made.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Rows {
    /// `None` for rows that hold for every size of the pattern.
    pub(crate) dims: BTreeMap<(Pattern, Option<Sizes>, What), Dim>,
    /// Thicknesses of the spacer rings that lift a low closet flange.
    pub(crate) rings: Vec<Dim>,
    /// Every part made, in the order of patterns and sizes.
    pub(crate) made: Vec<Part>,
}

impl Rows {
    pub(crate) fn read(fittings: &str, made: &str) -> Result<Self, TableError> {
        let mut rows = Self::default();
        each_row("fitting.csv", fittings, |row| rows.take(row))?;
        each_row("made.csv", made, |row| rows.take_made(row))?;
        Ok(rows)
    }

    /// The value of that exact row.
    pub(crate) fn get(&self, part: Part, what: What) -> Option<&Dim> {
        self.dims.get(&(part.pattern, Some(part.sizes), what))
    }

    /// The value of the row for this size, else of the row for every size.
    pub(crate) fn get_any(&self, part: Part, what: What) -> Option<&Dim> {
        self.get(part, what)
            .or_else(|| self.dims.get(&(part.pattern, None, what)))
    }

    /// Facts told for this part or for its whole pattern.
    pub(crate) fn facts(&self, part: Part) -> BTreeMap<Fact, Dim> {
        let ours = |(pattern, sizes, _): &&(Pattern, Option<Sizes>, What)| {
            *pattern == part.pattern && sizes.is_none_or(|s| s == part.sizes)
        };
        let told = self.dims.iter().filter(|(key, _)| ours(key));
        told.filter_map(|((_, _, what), dim)| match what {
            What::Fact(fact) => Some((*fact, dim.clone())),
            What::Both
            | What::Outlet
            | What::Inlet
            | What::Branch
            | What::Heel
            | What::Tip
            | What::Shoulder
            | What::Face
            | What::Radius => None,
        })
        .collect()
    }

    fn take(&mut self, row: &Row<'_>) -> Result<(), TableError> {
        let value = row.number("inches")?;
        let doubt = row.number("may_be_off_by")?;
        let dim = Dim::new(value, doubt, row.how()?, row.text("source")?);
        if row.text("pattern")? == "closet_ring" {
            self.rings.push(dim);
            return Ok(());
        }
        let word = row.text("what")?;
        let what =
            What::named(word).ok_or_else(|| row.wrong(format!("{word:?} is no dimension")))?;
        let key = (pattern(row)?, sizes(row)?, what);
        match self.dims.insert(key, dim) {
            None => Ok(()),
            Some(_) => Err(row.wrong(format!("a second row for {word}"))),
        }
    }

    fn take_made(&mut self, row: &Row<'_>) -> Result<(), TableError> {
        let pattern = pattern(row)?;
        for label in row.text("sizes")?.split(';') {
            let sizes: Result<Vec<Size>, _> = label.split('x').map(Size::parse).collect();
            let sizes = sizes.map_err(|error| row.wrong(error.to_string()))?;
            let sizes = Sizes::listed(pattern, &sizes);
            let sizes = sizes.ok_or_else(|| row.wrong(format!("{label:?} does not suit it")))?;
            self.made.push(Part { pattern, sizes });
        }
        Ok(())
    }
}

fn pattern(row: &Row<'_>) -> Result<Pattern, TableError> {
    let key = row.text("pattern")?;
    Pattern::of_key(key).ok_or_else(|| row.wrong(format!("{key:?} is no pattern")))
}

fn sizes(row: &Row<'_>) -> Result<Option<Sizes>, TableError> {
    let Some(run) = row.size("run")? else {
        return Ok(None);
    };
    let up = row.size("up")?.unwrap_or(run);
    Ok(Some(Sizes {
        run,
        up,
        branch: row.size("branch")?,
    }))
}
