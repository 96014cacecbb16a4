//! How we buy and cut: the saw, the sticks, spare parts, prices, and what one person can carry.

use std::collections::BTreeMap;
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
    /// Prices by the name on the buying list, in any currency.
    pub prices: BTreeMap<String, f64>,
    /// Longest assembly carried to the trench, inches.
    pub carry_length: f64,
    /// Heaviest assembly one person carries, lb.
    pub carry_weight: f64,
}

impl Default for Shop {
    /// A 1/8 in saw, one spare in ten, 10 ft and 40 lb to carry. All our choice.
    fn default() -> Self {
        Self {
            kerf: 0.125,
            sticks: BTreeMap::new(),
            spare: 0.1,
            prices: BTreeMap::new(),
            carry_length: 120.0,
            carry_weight: 40.0,
        }
    }
}
