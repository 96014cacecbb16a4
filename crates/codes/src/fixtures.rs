//! Fixtures as the load tables name them: fixture units, trap sizes, groups, and sums.

use crate::{
    row::{Figure, Key, Row},
    rule_list::RuleId,
    rules::Rules,
};

macro_rules! named {
    ($(#[$doc:meta])* $name:ident { $(#[$about:meta] $variant:ident $text:literal,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub enum $name { $(#[$about] $variant,)* }

        impl $name {
            /// All of them, in table order.
            pub const ALL: &[Self] = &[$(Self::$variant,)*];

            /// The name used in tables and amendments.
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $text,)* }
            }

            /// The one with this name.
            pub fn parse(text: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.name() == text)
            }
        }
    };
}
pub(crate) use named;

named! {
    /// A fixture of the load tables.
    Load {
        /// Water closet, 1.6 gallons a flush, private use.
        Closet "closet",
        /// Water closet of more than 1.6 gallons a flush.
        ClosetHighFlow "closet-high-flow",
        /// Lavatory.
        Lavatory "lavatory",
        /// Bathtub, with or without a shower head.
        Tub "tub",
        /// Shower up to 5.7 gpm in all.
        Shower "shower",
        /// Shower over 5.7 and up to 12.3 gpm.
        Shower12 "shower-12",
        /// Shower over 12.3 and up to 25.8 gpm.
        Shower26 "shower-26",
        /// Shower over 25.8 and up to 55.6 gpm.
        Shower56 "shower-56",
        /// Each further head of a shower, where the code counts heads.
        ShowerHead "shower-head",
        /// Kitchen sink.
        KitchenSink "kitchen-sink",
        /// Kitchen sink with a disposer or dishwasher on its trap.
        KitchenSinkDishwasher "kitchen-sink-dishwasher",
        /// Dishwasher on its own trap.
        Dishwasher "dishwasher",
        /// Clothes washer standpipe.
        Washer "washer",
        /// Laundry tub of one or two compartments.
        LaundryTub "laundry-tub",
        /// Bar sink.
        BarSink "bar-sink",
        /// Bidet.
        Bidet "bidet",
        /// Floor drain.
        FloorDrain "floor-drain",
    }
}

named! {
    /// A group of fixtures some codes count at less than their sum.
    Group {
        /// Closet and lavatory.
        HalfBath "bath-0.5",
        /// Closet, lavatory, tub or shower.
        Bath "bath-1",
        /// The same with a closet of more than 1.6 gallons a flush.
        BathHighFlow "bath-1-high-flow",
        /// One and a half baths.
        Baths1Half "bath-1.5",
        /// Two baths.
        Baths2 "bath-2",
        /// Two and a half baths.
        Baths2Half "bath-2.5",
        /// Three baths.
        Baths3 "bath-3",
        /// Three and a half baths.
        Baths3Half "bath-3.5",
        /// Washer standpipe and laundry tub.
        Laundry "laundry",
    }
}

impl Load {
    /// A shower by the total flow of its heads and sprays, gallons a minute. Beyond the tables' last flow it stays there.
    pub fn shower(gpm: f64) -> Self {
        match gpm {
            to if to <= 5.7 => Self::Shower,
            to if to <= 12.3 => Self::Shower12,
            to if to <= 25.8 => Self::Shower26,
            _ => Self::Shower56,
        }
    }

    /// Whether it is a water closet.
    pub fn is_closet(self) -> bool {
        matches!(self, Self::Closet | Self::ClosetHighFlow)
    }

    /// Whether it is a sink, laundry tub or dishwasher.
    pub fn is_sink(self) -> bool {
        matches!(
            self,
            Self::KitchenSink
                | Self::KitchenSinkDishwasher
                | Self::Dishwasher
                | Self::LaundryTub
                | Self::BarSink
        )
    }

    /// Whether it belongs in a bathroom group.
    pub fn is_bathroom(self) -> bool {
        self.is_closet()
            || self.is_bather()
            || matches!(self, Self::Lavatory | Self::Bidet | Self::ShowerHead)
    }

    fn is_bather(self) -> bool {
        matches!(
            self,
            Self::Tub | Self::Shower | Self::Shower12 | Self::Shower26 | Self::Shower56
        )
    }
}

/// What a drain serves: the fixtures of each bathroom, and the rest.
#[derive(Clone, PartialEq, Eq, Default, Debug)]
pub struct Served {
    /// One list for each bathroom on one floor, whatever it holds.
    pub bathrooms: Vec<Vec<Load>>,
    /// All other fixtures.
    pub others: Vec<Load>,
}

/// A sum of fixture units and the rows it rests on.
#[derive(Clone, PartialEq, Debug)]
pub struct Total<'a> {
    /// The sum, groups reduced where the code reduces them.
    pub dfu: f64,
    /// The sum without any group.
    pub plain: f64,
    /// The rows that were added, one for each addend.
    pub rows: Vec<&'a Row>,
    /// Fixtures for which no figure was seen; they count nothing in the sums.
    pub unseen: Vec<Load>,
}

impl Rules {
    /// Fixture units of one fixture.
    pub fn dfu(&self, load: Load) -> Option<Figure<'_>> {
        self.keyed(RuleId::FixtureLoad, Key::Load(load))?.figure()
    }

    /// Least trap size of a fixture, nominal inches. `None`: the trap is in the fixture, or no figure was seen.
    pub fn trap_size(&self, load: Load) -> Option<Figure<'_>> {
        self.keyed(RuleId::TrapSize, Key::Load(load))?.figure()
    }

    /// Reduced fixture units of a group. `None`: the code has no such group, add its fixtures.
    pub fn group_dfu(&self, group: Group) -> Option<Figure<'_>> {
        self.keyed(RuleId::GroupLoad, Key::Group(group))?.figure()
    }

    /// The load of all that a drain serves. A group never counts more than its fixtures would.
    pub fn total(&self, served: &Served) -> Total<'_> {
        let mut sum = Sum::new(self);
        let (mut full, mut half) = (Vec::new(), Vec::new());
        for bathroom in &served.bathrooms {
            let (bath, grouped, rest) = split(bathroom);
            match bath {
                Bath::HighFlow => sum.group(Group::BathHighFlow, &grouped),
                Bath::Full => full.push(grouped),
                Bath::Half => half.push(grouped),
                Bath::Neither => sum.each(&grouped),
            }
            sum.each(&rest);
        }
        sum.baths(full, half);
        sum.laundry(&served.others);
        sum.done(served)
    }
}

/// Groups with their full and half baths, largest first.
const BY_BATHS: [(Group, usize, usize); 7] = [
    (Group::Baths3Half, 3, 1),
    (Group::Baths3, 3, 0),
    (Group::Baths2Half, 2, 1),
    (Group::Baths2, 2, 0),
    (Group::Baths1Half, 1, 1),
    (Group::Bath, 1, 0),
    (Group::HalfBath, 0, 1),
];

enum Bath {
    Full,
    HighFlow,
    Half,
    Neither,
}

/// The bath a room makes, its fixtures, and those beyond it. A bidet belongs to the group (IPC and IRC definition).
fn split(bathroom: &[Load]) -> (Bath, Vec<Load>, Vec<Load>) {
    let mut rest = bathroom.to_vec();
    let mut grouped = Vec::new();
    let mut take = |wanted: fn(&Load) -> bool| {
        let found = rest.iter().position(wanted).map(|at| rest.remove(at));
        grouped.extend(found);
        found
    };
    let (closet, lavatory) = (
        take(|load| load.is_closet()),
        take(|load| *load == Load::Lavatory),
    );
    let bather = take(|load| load.is_bather());
    take(|load| *load == Load::Bidet);
    let bath = match (closet, lavatory, bather) {
        (Some(Load::ClosetHighFlow), Some(_), Some(_)) => Bath::HighFlow,
        (Some(_), Some(_), Some(_)) => Bath::Full,
        (Some(Load::Closet), Some(_), None) if !grouped.contains(&Load::Bidet) => Bath::Half,
        _ => Bath::Neither,
    };
    (bath, grouped, rest)
}

struct Sum<'a> {
    rules: &'a Rules,
    dfu: f64,
    rows: Vec<&'a Row>,
}

impl<'a> Sum<'a> {
    fn new(rules: &'a Rules) -> Self {
        Self {
            rules,
            dfu: 0.0,
            rows: Vec::new(),
        }
    }

    fn add(&mut self, figure: Figure<'a>) {
        self.dfu += figure.value;
        self.rows.push(figure.row);
    }

    fn each(&mut self, loads: &[Load]) {
        for load in loads {
            if let Some(figure) = self.rules.dfu(*load) {
                self.add(figure);
            }
        }
    }

    /// The group's figure if the code has one and it is no more than its fixtures; else the fixtures.
    fn group(&mut self, group: Group, fixtures: &[Load]) {
        let plain: f64 = fixtures
            .iter()
            .filter_map(|load| self.rules.dfu(*load))
            .map(|figure| figure.value)
            .sum();
        match self.rules.group_dfu(group) {
            Some(figure) if figure.value <= plain => self.add(figure),
            Some(_) | None => self.each(fixtures),
        }
    }

    /// Full and half baths by the largest groups the code has, the rest by their fixtures.
    fn baths(&mut self, mut full: Vec<Vec<Load>>, mut half: Vec<Vec<Load>>) {
        if full.is_empty() && half.is_empty() {
            return;
        }
        for (group, fulls, halves) in BY_BATHS {
            if self.rules.group_dfu(group).is_none() {
                continue;
            }
            while full.len() >= fulls && half.len() >= halves {
                let mut grouped: Vec<Load> = full.drain(..fulls).flatten().collect();
                grouped.extend(half.drain(..halves).flatten());
                self.group(group, &grouped);
            }
        }
        full.iter()
            .chain(&half)
            .for_each(|fixtures| self.each(fixtures));
    }

    fn laundry(&mut self, others: &[Load]) {
        let count = |wanted: Load| others.iter().filter(|load| **load == wanted).count();
        let pairs = count(Load::Washer).min(count(Load::LaundryTub));
        let mut rest = others.to_vec();
        for _ in 0..pairs {
            self.group(Group::Laundry, &[Load::Washer, Load::LaundryTub]);
            for wanted in [Load::Washer, Load::LaundryTub] {
                if let Some(at) = rest.iter().position(|load| *load == wanted) {
                    rest.remove(at);
                }
            }
        }
        self.each(&rest);
    }

    fn done(self, served: &Served) -> Total<'a> {
        let all: Vec<Load> = served
            .bathrooms
            .iter()
            .flatten()
            .chain(&served.others)
            .copied()
            .collect();
        let plain = all
            .iter()
            .filter_map(|load| self.rules.dfu(*load))
            .map(|figure| figure.value)
            .sum();
        let unseen = all
            .into_iter()
            .filter(|load| self.rules.dfu(*load).is_none())
            .collect();
        Total {
            dfu: self.dfu,
            plain,
            rows: self.rows,
            unseen,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Code, rules};

    fn profile(code: Code) -> Rules {
        rules(code, &[]).0
    }

    #[test]
    fn an_extra_lavatory_is_added_to_the_group() {
        let served = Served {
            bathrooms: vec![vec![
                Load::Closet,
                Load::Lavatory,
                Load::Lavatory,
                Load::Tub,
                Load::Bidet,
            ]],
            others: Vec::new(),
        };
        // IPC Table 709.1: group 5 (home-advice page), lavatory 1 (2006 summary).
        let ipc = profile(Code::Ipc);
        let total = ipc.total(&served);
        assert!((total.dfu - 6.0).abs() < 1e-9, "{total:?}");
        assert_eq!(total.rows.len(), 2);
    }

    #[test]
    fn two_and_a_half_baths_by_group_and_by_fixture() {
        let full = vec![Load::Closet, Load::Lavatory, Load::Shower];
        let served = Served {
            bathrooms: vec![full.clone(), full, vec![Load::Closet, Load::Lavatory]],
            others: vec![],
        };
        // IRC Table P3004.1: 2.5 baths 9 (from memory). UPC adds the fixtures: 6 + 6 + 4.
        assert!((profile(Code::Irc).total(&served).dfu - 9.0).abs() < 1e-9);
        let upc = profile(Code::Upc);
        assert!((upc.total(&served).dfu - 16.0).abs() < 1e-9);
        assert!((upc.total(&served).plain - 16.0).abs() < 1e-9);
    }

    #[test]
    fn a_fixture_nobody_saw_a_figure_for_is_named() {
        let served = Served {
            bathrooms: Vec::new(),
            others: vec![Load::ClosetHighFlow],
        };
        assert_eq!(
            profile(Code::Upc).total(&served).unseen,
            [Load::ClosetHighFlow]
        );
    }

    #[test]
    fn showers_by_flow() {
        assert_eq!(Load::shower(2.5), Load::Shower);
        assert_eq!(Load::shower(12.3), Load::Shower12);
        assert_eq!(Load::shower(13.0), Load::Shower26);
        assert_eq!(Load::shower(40.0), Load::Shower56);
    }
}
