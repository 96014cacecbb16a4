//! Solvent cement: how long a joint must rest, how many joints a can makes, how many hands a joint needs.
//! Tables: `set_and_cure.csv`, `joints.csv`. What does not belong here: the order of gluing.

use crate::{
    How,
    table::{TableError, each_row, missing},
};
use std::{collections::BTreeMap, sync::Arc};
use units::Size;

/// Below this, degrees F, solvents leave slowly; keep cement and parts warm. Read: a maker's plastics catalogue,
/// cold-weather page.
pub const COLD_BELOW_F: f64 = 40.0;

/// Above this, degrees F, shade the parts and work early. Read: a maker's plastics catalogue, hot-weather page.
pub const HOT_ABOVE_F: f64 = 90.0;

/// More cement and primer to buy than the joints ask for (evaporation, spills, a fresh can for the last day).
/// Common practice, no source.
pub const CEMENT_SPARE: f64 = 1.25;

/// Set and cure times are half as long again in damp weather (above 60 percent humidity). Read: both schedules.
pub const DAMP_FACTOR: f64 = 1.5;

/// What a wait is for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Wait {
    /// Before the joint may be moved.
    Set,
    /// Before the line may be filled for its test (schedules for low pressure; a 10 ft head is 4.3 psi).
    Cure,
}

/// The temperature bands of the published schedules.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Weather {
    /// 60 to 100 F.
    Warm,
    /// 40 to 60 F.
    Cool,
    /// 0 to 40 F.
    Cold,
}

impl Weather {
    /// The band of a temperature; `None` outside 0 to 100 F, for which nothing is published. A temperature on the
    /// border of two bands takes the colder, which waits longer.
    pub fn at(fahrenheit: f64) -> Option<Self> {
        if !(0.0..=100.0).contains(&fahrenheit) {
            None
        } else if fahrenheit <= 40.0 {
            Some(Self::Cold)
        } else if fahrenheit <= 60.0 {
            Some(Self::Cool)
        } else {
            Some(Self::Warm)
        }
    }

    fn over_f(self) -> f64 {
        match self {
            Self::Warm => 60.0,
            Self::Cool => 40.0,
            Self::Cold => 0.0,
        }
    }
}

/// One published waiting time.
#[derive(Clone, PartialEq, Debug)]
pub struct Published {
    /// Which of the two schedules, `A` or `B`.
    pub schedule: Arc<str>,
    /// Minutes, in dry weather.
    pub minutes: f64,
    /// The publication.
    pub source: Arc<str>,
}

/// What cans and labels say, by size.
#[derive(Clone, PartialEq, Debug)]
pub struct Cement {
    waits: Vec<WaitRow>,
    joints: BTreeMap<(String, Size), Known>,
}

/// A number that is not a length, with how it is known.
#[derive(Clone, PartialEq, Debug)]
pub struct Known {
    /// The number.
    pub value: f64,
    /// How it is known.
    pub how: How,
    /// The publication or rule.
    pub source: Arc<str>,
}

#[derive(Clone, PartialEq, Debug)]
struct WaitRow {
    wait: Wait,
    over_f: f64,
    sizes: (f64, f64),
    published: Published,
}

impl Cement {
    /// Every published time for a joint, the longest first. Never empty for the sizes and bands there are.
    pub fn published(&self, wait: Wait, size: Size, weather: Weather) -> Vec<&Published> {
        let nominal = size.nominal();
        let fits = |row: &&WaitRow| {
            row.wait == wait
                && (row.over_f - weather.over_f()).abs() < 0.5
                && row.sizes.0 <= nominal
                && nominal <= row.sizes.1
        };
        let mut found: Vec<&Published> = self
            .waits
            .iter()
            .filter(fits)
            .map(|row| &row.published)
            .collect();
        found.sort_by(|a, b| b.minutes.total_cmp(&a.minutes));
        found
    }

    /// Minutes to wait: the longer of the two schedules, half as long again when `damp`. The label on the can governs.
    pub fn minutes(&self, wait: Wait, size: Size, weather: Weather, damp: bool) -> f64 {
        let longest = self
            .published(wait, size, weather)
            .first()
            .map_or(0.0, |p| p.minutes);
        if damp { longest * DAMP_FACTOR } else { longest }
    }

    /// Joints (one pipe end in one hub) that a quart of cement makes.
    pub fn joints_per_quart(&self, size: Size) -> &Known {
        self.known("joints_per_quart_cement", size)
    }

    /// Joints that a quart of primer makes.
    pub fn joints_per_quart_primer(&self, size: Size) -> &Known {
        self.known("joints_per_quart_primer", size)
    }

    /// People that a joint needs: 1 up to 2 in, 2 at 3 and 4 in, 3 at 6 in.
    pub fn people(&self, size: Size) -> &Known {
        self.known("people", size)
    }

    /// Seconds to hold the joint until the pipe does not back out.
    pub fn hold_seconds(&self, size: Size) -> &Known {
        self.known("hold_seconds", size)
    }

    /// Quarts of cement for so many joints of each size, before [`CEMENT_SPARE`].
    pub fn quarts(&self, joints: &[(Size, u32)]) -> f64 {
        let one = |&(size, n): &(Size, u32)| f64::from(n) / self.joints_per_quart(size).value;
        joints.iter().map(one).sum()
    }

    fn known(&self, topic: &str, size: Size) -> &Known {
        let found = self.joints.get(&(topic.to_owned(), size));
        found.expect("`read` refuses tables without every topic and size")
    }
}

const TOPICS: [&str; 4] = [
    "joints_per_quart_cement",
    "joints_per_quart_primer",
    "people",
    "hold_seconds",
];

pub(crate) fn read(waits: &str, joints: &str) -> Result<Cement, TableError> {
    let cement = Cement {
        waits: read_waits(waits)?,
        joints: read_joints(joints)?,
    };
    for size in Size::ALL {
        complete(&cement, size)?;
    }
    Ok(cement)
}

fn complete(cement: &Cement, size: Size) -> Result<(), TableError> {
    for topic in TOPICS {
        if !cement.joints.contains_key(&(topic.to_owned(), size)) {
            return Err(missing("joints.csv", format!("no {topic} for {size}")));
        }
    }
    for wait in [Wait::Set, Wait::Cure] {
        for weather in [Weather::Warm, Weather::Cool, Weather::Cold] {
            if cement.published(wait, size, weather).len() < 2 {
                let says = format!("{wait:?} of {size} in {weather:?} weather lacks a schedule");
                return Err(missing("set_and_cure.csv", says));
            }
        }
    }
    Ok(())
}

fn read_waits(text: &str) -> Result<Vec<WaitRow>, TableError> {
    let mut out = Vec::new();
    each_row("set_and_cure.csv", text, |row| {
        let wait = match row.text("topic")? {
            "set" => Wait::Set,
            "cure" => Wait::Cure,
            other => return Err(row.wrong(format!("{other:?} is neither set nor cure"))),
        };
        out.push(WaitRow {
            wait,
            over_f: row.number("over_f")?,
            sizes: (row.number("from_size")?, row.number("to_size")?),
            published: Published {
                schedule: row.text("schedule")?.into(),
                minutes: row.number("minutes")?,
                source: row.text("source")?.into(),
            },
        });
        Ok(())
    })?;
    Ok(out)
}

fn read_joints(text: &str) -> Result<BTreeMap<(String, Size), Known>, TableError> {
    let mut out = BTreeMap::new();
    each_row("joints.csv", text, |row| {
        let Some(size) = row.size("size")? else {
            return Err(row.wrong("no size".into()));
        };
        let known = Known {
            value: row.number("value")?,
            how: row.how()?,
            source: row.text("source")?.into(),
        };
        out.insert((row.text("topic")?.to_owned(), size), known);
        Ok(())
    })?;
    Ok(out)
}
