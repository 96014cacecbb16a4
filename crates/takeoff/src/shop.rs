//! How we buy and cut: the saw, the sticks, spare parts, prices, and what one person can carry.

use catalog::Catalog;
use std::{collections::BTreeMap, fmt};
use units::Size;

/// What the owner tells about shop and crew; every field has a usual value.
#[derive(Clone, PartialEq, Debug)]
pub struct Shop {
    /// Width of the saw cut, inches.
    pub kerf: f64,
    /// Lengths of the sticks the shop sells, inches; the catalogue's where a size is not here.
    pub sticks: BTreeMap<Size, Vec<f64>>,
    /// Spare fittings of each kind, as a part of its count, rounded up; 0 for none.
    pub spare: f64,
    /// Prices by the name on the buying list; pipe may be priced by the foot under `3 in pipe`.
    pub prices: BTreeMap<String, Price>,
    /// What the prices are in, as the owner writes it: `$`, `EUR`; empty when not told.
    pub currency: String,
    /// Longest assembly carried to the trench, inches.
    pub carry_length: f64,
    /// Heaviest assembly one person carries, lb.
    pub carry_weight: f64,
    /// Head of water the pressure test stands under, above the highest fitting, inches.
    pub test_head: f64,
}

impl Default for Shop {
    /// A 1/8 in saw, one spare in ten, 10 ft and 40 lb to carry: all our choice. A test under 10 ft of water: the greatest
    /// head of the codes read (the table `test-head` of the code rules).
    fn default() -> Self {
        Self {
            kerf: 0.125,
            sticks: BTreeMap::new(),
            spare: 0.1,
            prices: BTreeMap::new(),
            currency: String::new(),
            carry_length: 120.0,
            carry_weight: 40.0,
            test_head: 120.0,
        }
    }
}

/// What one unit costs.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Price {
    /// The money, not negative.
    pub amount: f64,
    /// For what.
    pub per: Per,
}

impl Price {
    /// A price for one piece.
    pub fn each(amount: f64) -> Self {
        Self {
            amount,
            per: Per::Each,
        }
    }
}

/// What something is counted and priced in.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Per {
    /// One piece: a fitting, a stick, a can.
    Each,
    /// A foot of length.
    Foot,
    /// A quart of cement or primer.
    Quart,
}

impl Per {
    /// The word lists and shop sheets use.
    pub fn word(self) -> &'static str {
        match self {
            Self::Each => "each",
            Self::Foot => "ft",
            Self::Quart => "quart",
        }
    }
}

impl fmt::Display for Per {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

impl Shop {
    /// The lengths of stick that pipe of a size is sold in, shortest first: as told, else the usual ones.
    pub fn sticks_of<'a>(&'a self, size: Size, catalog: &'a Catalog) -> &'a [f64] {
        self.sticks.get(&size).unwrap_or(&catalog.pipe(size).stock)
    }

    /// The shortest stick sold that a length can be cut of; the longest there is where none is long enough.
    pub fn stick_for(&self, size: Size, length: f64, catalog: &Catalog) -> f64 {
        let sold = self.sticks_of(size, catalog);
        let long = sold.iter().copied().find(|stick| *stick >= length);
        long.or_else(|| sold.last().copied()).unwrap_or(length)
    }

    /// The price of one unit of a line on the buying list: by its own name, or for a stick of pipe by the foot.
    pub fn price_of(&self, name: &str, per: Per) -> Option<f64> {
        let own = self.prices.get(name);
        let same = own.filter(|price| price.per == per);
        same.map(|price| price.amount)
    }

    /// What a stick of `length` inches costs: as a stick, or by the foot.
    pub fn stick_price(&self, size: Size, length: f64) -> Option<f64> {
        let whole = self.price_of(&stick_name(size, length), Per::Each);
        let by_foot = || {
            self.price_of(&format!("{size} pipe"), Per::Foot)
                .map(|foot| foot * length / 12.0)
        };
        whole.or_else(by_foot)
    }
}

/// The name of a stick on the buying list, its length in inches: `3 in pipe, 10'-0"`.
pub fn stick_name(size: Size, length: f64) -> String {
    format!("{size} pipe, {}", units::feet_inches(length, 16))
}
