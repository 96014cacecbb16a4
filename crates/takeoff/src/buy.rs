//! The buying list: everything counted, in the order of a walk through the shop, with prices. What does not belong here:
//! the counting.

use catalog::{Catalog, Part, Pattern, Sizes};
use fittings::{Assembly, StubReach, WallTee};
use std::collections::BTreeMap;
use units::{Size, feet_inches, inches_text};

use crate::{
    Shop, Takeoff, TestRiser,
    list::{flange, size_of_od},
    shop::{Per, stick_name},
};

/// One line of the buying list.
#[derive(Clone, PartialEq, Debug)]
pub struct Buy {
    /// What it is for.
    pub group: Group,
    /// Its name: `3 in eighth bend`, `3 in pipe, 20'-0"`, `quart of cement`, `foot of 3 in wrap`.
    pub name: String,
    /// How many units.
    pub count: usize,
    /// What is counted.
    pub unit: Per,
    /// Price of one unit, if told.
    pub price: Option<f64>,
    /// How the count came about, or what to look for in the shop; may be empty.
    pub note: String,
}

impl Buy {
    /// What the line costs, if its price is told.
    pub fn cost(&self) -> Option<f64> {
        self.price.map(|price| price * self.count as f64)
    }
}

/// Shelves of the buying list.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Group {
    /// Fittings that are glued in, and spares.
    Fittings,
    /// Sticks of pipe.
    Pipe,
    /// Cement and primer.
    Cement,
    /// For the pressure test.
    Test,
    /// Where pipes pass concrete.
    Concrete,
    /// What holds the pipe in its trench.
    Trench,
    /// The soil-gas pipe.
    SoilGas,
    /// Set when the floor is finished.
    Floor,
    /// Glued on the stubs when the walls stand.
    Walls,
}

impl Group {
    /// Every shelf in order.
    pub const ALL: [Self; 9] = [
        Self::Fittings,
        Self::Pipe,
        Self::Cement,
        Self::Test,
        Self::Concrete,
        Self::Trench,
        Self::SoilGas,
        Self::Floor,
        Self::Walls,
    ];

    /// Its heading.
    pub fn words(self) -> &'static str {
        match self {
            Self::Fittings => "Fittings",
            Self::Pipe => "Pipe",
            Self::Cement => "Primer and cement",
            Self::Test => "For the test",
            Self::Concrete => "Where pipes pass concrete",
            Self::Trench => "In the trench",
            Self::SoilGas => "Soil-gas pipe",
            Self::Floor => "When the floor is finished",
            Self::Walls => "When the walls stand",
        }
    }
}

/// Writes the buying list, its total and what has no price.
pub(crate) fn fill(takeoff: &mut Takeoff, assembly: &Assembly, catalog: &Catalog, shop: &Shop) {
    let mut list = List {
        shop,
        out: Vec::new(),
    };
    list.fittings(takeoff);
    list.pipe(takeoff);
    list.cement(takeoff);
    list.test(takeoff, catalog);
    list.concrete(takeoff, catalog);
    list.trench(takeoff, assembly);
    list.soil_gas(takeoff, catalog);
    list.floor(takeoff);
    list.walls(takeoff, catalog);
    list.out.retain(|line| line.count > 0);
    takeoff.buy = list.out;
    if !shop.prices.is_empty() {
        takeoff.total = Some(takeoff.buy.iter().filter_map(Buy::cost).sum());
        let unpriced = takeoff.buy.iter().filter(|line| line.price.is_none());
        takeoff.unpriced = unpriced.map(|line| line.name.clone()).collect();
    }
}

struct List<'a> {
    shop: &'a Shop,
    out: Vec<Buy>,
}

impl List<'_> {
    fn put(&mut self, group: Group, name: String, count: usize, unit: Per, note: String) {
        let price = self.shop.price_of(&name, unit);
        self.out.push(Buy {
            group,
            name,
            count,
            unit,
            price,
            note,
        });
    }

    fn each(&mut self, group: Group, part: Part, count: usize, note: &str) {
        self.put(group, part.to_string(), count, Per::Each, note.to_owned());
    }

    fn stick(&mut self, group: Group, size: Size, length: f64, count: usize, note: String) {
        self.put(group, stick_name(size, length), count, Per::Each, note);
        if let Some(last) = self.out.last_mut() {
            last.price = self.shop.stick_price(size, length);
        }
    }

    fn fittings(&mut self, takeoff: &Takeoff) {
        for line in &takeoff.fittings {
            let spare = match line.spare {
                0 => String::new(),
                n => format!("{} and {n} spare", line.count),
            };
            self.each(Group::Fittings, line.part, line.count + line.spare, &spare);
        }
    }

    fn pipe(&mut self, takeoff: &Takeoff) {
        for line in &takeoff.pipe {
            // Lengths of sticks are positive, so their bits order as they do.
            let mut sticks: BTreeMap<u64, usize> = BTreeMap::new();
            line.plan
                .sticks
                .iter()
                .for_each(|stick| *sticks.entry(stick.length.to_bits()).or_default() += 1);
            for (bits, n) in sticks {
                let note = format!("{} of pipe in all", feet_inches(line.length, 16));
                self.stick(Group::Pipe, line.size, f64::from_bits(bits), n, note);
            }
        }
    }

    fn cement(&mut self, takeoff: &Takeoff) {
        let joints: usize = takeoff.joints.iter().map(|line| line.count).sum();
        for (name, quarts) in [
            ("quart of primer", takeoff.primer_quarts),
            ("quart of cement", takeoff.cement_quarts),
        ] {
            let note = match joints {
                1 => format!("1 joint takes {quarts:.2}, a quarter more counted in"),
                n => format!("{n} joints take {quarts:.2}, a quarter more counted in"),
            };
            self.put(
                Group::Cement,
                name.to_owned(),
                whole(quarts),
                Per::Quart,
                note,
            );
        }
    }

    fn test(&mut self, takeoff: &Takeoff, catalog: &Catalog) {
        for (size, n) in &takeoff.test_caps {
            let part = Part::new(Pattern::TestCap, Sizes::one(*size));
            self.each(
                Group::Test,
                part,
                *n,
                "one a stub, left on until the fixtures are set; one at the outlet, off when the test has passed",
            );
        }
        for (size, n) in &takeoff.test_plugs {
            let note = "an expanding plug in the open end: no test cap is made in this size";
            self.put(
                Group::Test,
                format!("{size} test plug"),
                *n,
                Per::Each,
                note.into(),
            );
        }
        if let Some(riser) = &takeoff.test_riser {
            self.test_riser(riser, catalog);
        }
    }

    fn test_riser(&mut self, riser: &TestRiser, catalog: &Catalog) {
        let stick = self.shop.stick_for(riser.size, riser.length, catalog);
        let n = whole(riser.length / stick);
        let stands = format!(
            "{} to stand on the stub of {} and fill; not glued",
            feet_inches(riser.length, 16),
            riser.of.name(&riser.id)
        );
        let name = format!("{} flexible coupling", riser.size);
        let Some(left) = riser.stick else {
            self.stick(Group::Test, riser.size, stick, n, stands);
            let note = "holds the pipe on the stub".into();
            return self.put(Group::Test, name, n, Per::Each, note);
        };
        let note = format!(
            "holds the test pipe on the stub; the pipe is what is left of stick {} of {}: {stands}",
            left + 1,
            riser.size
        );
        self.put(Group::Test, name, 1, Per::Each, note);
    }

    fn concrete(&mut self, takeoff: &Takeoff, catalog: &Catalog) {
        for sleeve in &takeoff.sleeves {
            let note = format!(
                "{} long, in the form where {} passes",
                inches_text(sleeve.length, 16),
                sleeve.of
            );
            self.put(
                Group::Concrete,
                format!("{} sleeve", sleeve.size),
                1,
                Per::Each,
                note,
            );
        }
        let mut wraps: Vec<(f64, f64, usize)> = Vec::new();
        for wrap in &takeoff.wraps {
            match wraps
                .iter_mut()
                .find(|(od, ..)| (od - wrap.od).abs() < units::SAME_LENGTH)
            {
                Some((_, height, n)) => {
                    *height += wrap.height;
                    *n += 1;
                }
                None => wraps.push((wrap.od, wrap.height, 1)),
            }
        }
        wraps.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (od, height, n) in wraps {
            let note = format!(
                "round {n} {} in the concrete",
                if n == 1 { "pipe" } else { "pipes" }
            );
            self.put(
                Group::Concrete,
                format!("foot of {} wrap", of_od(catalog, od)),
                whole(height / 12.0),
                Per::Foot,
                note,
            );
        }
        for (od, n) in &takeoff.boots {
            let name = format!("{} boot", of_od(catalog, *od));
            self.put(
                Group::Concrete,
                name,
                *n,
                Per::Each,
                "seals the sheet to the pipe".into(),
            );
        }
        self.put(
            Group::Concrete,
            "closet collar".into(),
            takeoff.collars.len(),
            Per::Each,
            "foam or a short wide sleeve round each closet's riser at the pour: room for its flange's hub".into(),
        );
        for (id, length, width, depth) in &takeoff.box_outs {
            let note = format!(
                "{id}: {} by {}, {} deep inside",
                inches_text(*length, 16),
                inches_text(*width, 16),
                inches_text(*depth, 16)
            );
            self.put(Group::Concrete, "box-out form".into(), 1, Per::Each, note);
        }
    }

    fn trench(&mut self, takeoff: &Takeoff, assembly: &Assembly) {
        let note = format!(
            "one at each of {} risers, one every 4 ft of lying pipe",
            assembly.stubs.len()
        );
        self.put(
            Group::Trench,
            "stake".into(),
            takeoff.stakes,
            Per::Each,
            note,
        );
        self.put(
            Group::Trench,
            "strap".into(),
            takeoff.straps,
            Per::Each,
            "one a stake, loose enough for the pipe to slide".into(),
        );
    }

    fn soil_gas(&mut self, takeoff: &Takeoff, catalog: &Catalog) {
        for (id, length, od) in &takeoff.soil_gas {
            let Some(size) = size_of_od(catalog, *od) else {
                let name = format!("foot of {} pipe", inches_text(*od, 16));
                let note = format!("{id}: not drain pipe; its own fittings go with it");
                self.put(Group::SoilGas, name, whole(length / 12.0), Per::Foot, note);
                continue;
            };
            let stick = self.shop.stick_for(size, *length, catalog);
            let note = format!("{id}: {} of pipe", feet_inches(*length, 16));
            self.stick(Group::SoilGas, size, stick, whole(length / stick), note);
        }
        for (part, n) in &takeoff.soil_gas_parts {
            let note = if part.pattern == Pattern::VentTee {
                "open to the gravel at its lower end"
            } else if part.pattern == Pattern::TestCap {
                "on its top until it goes on through the roof"
            } else {
                "at its turns"
            };
            self.each(Group::SoilGas, *part, *n, note);
        }
    }

    fn floor(&mut self, takeoff: &Takeoff) {
        let mut all = 0;
        for (size, n) in &takeoff.flanges {
            all += n;
            let part = flange(*size);
            let note = if part.pattern == Pattern::ClosetFlangeInside {
                "inside the riser once it is cut to the floor: needs no collar"
            } else {
                "over the riser once it is cut to the floor, in the collar left open round it"
            };
            self.each(Group::Floor, part, *n, note);
        }
        self.put(
            Group::Floor,
            "set of closet bolts".into(),
            all,
            Per::Each,
            String::new(),
        );
    }
}

impl List<'_> {
    /// What goes on the stubs when the walls stand.
    fn walls(&mut self, takeoff: &Takeoff, catalog: &Catalog) {
        let mut tees: BTreeMap<Part, Vec<String>> = BTreeMap::new();
        let mut couplings: BTreeMap<Part, usize> = BTreeMap::new();
        let mut pipe: BTreeMap<Size, f64> = BTreeMap::new();
        for tee in &takeoff.wall_tees {
            tees.entry(tee.part).or_default().push(stands(tee));
            if let StubReach::Lengthened { coupling, cut } = &tee.stub {
                *couplings.entry(*coupling).or_default() += 1;
                *pipe.entry(tee.size).or_default() += cut.value + self.shop.kerf;
            }
        }
        for (part, notes) in tees {
            self.each(Group::Walls, part, notes.len(), &notes.join("; "));
        }
        for (part, n) in couplings {
            self.each(Group::Walls, part, n, "on stubs that end lower");
        }
        for (size, length) in pipe {
            self.riser_pipe(takeoff, catalog, size, length);
        }
    }

    /// Pipe for stubs that are lengthened: from what the cut plan leaves, else the shortest stick sold that does.
    fn riser_pipe(&mut self, takeoff: &Takeoff, catalog: &Catalog, size: Size, length: f64) {
        let line = takeoff.pipe.iter().find(|line| line.size == size);
        let test = takeoff
            .test_riser
            .as_ref()
            .filter(|riser| riser.size == size);
        let taken = test.and_then(|riser| riser.stick);
        let mut sticks = line
            .into_iter()
            .flat_map(|line| line.plan.sticks.iter().enumerate());
        if sticks.any(|(n, stick)| Some(n) != taken && stick.left >= length) {
            return;
        }
        let stick = self.shop.stick_for(size, length, catalog);
        let note = format!("{} to lengthen stubs", feet_inches(length, 16));
        self.stick(Group::Walls, size, stick, whole(length / stick), note);
    }
}

/// How a tee stands on its stub, in words.
fn stands(tee: &WallTee) -> String {
    let up = |inches: f64| inches_text(inches, 16);
    let how = match &tee.stub {
        StubReach::Sawn(at) => format!("saw the stub off {} up", up(at.value)),
        StubReach::Lengthened { cut, .. } => {
            format!("with a coupling and {} of pipe", up(cut.value))
        }
        StubReach::TooShort(at) => format!(
            "the stub ends too near below: leave it {} up at the least",
            up(at.value)
        ),
    };
    format!(
        "{}: its branch {} over the finished floor, {how}",
        tee.fixture,
        up(tee.height)
    )
}

/// Whole units, a hair forgiven.
fn whole(units: f64) -> usize {
    // A few cans or feet.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let whole = (units.max(0.0) - 1e-9).ceil().max(0.0) as usize;
    whole
}

fn of_od(catalog: &Catalog, od: f64) -> String {
    size_of_od(catalog, od).map_or_else(
        || format!("{} pipe", inches_text(od, 16)),
        |s| s.to_string(),
    )
}

/// One line that differs between two buying lists.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Change {
    /// The name.
    pub name: String,
    /// How many before.
    pub before: usize,
    /// How many now; more is to buy, fewer is to return.
    pub now: usize,
}

/// What to buy or return when a list has changed, by name.
pub fn changes(before: &[Buy], now: &[Buy]) -> Vec<Change> {
    let mut both: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    before
        .iter()
        .for_each(|line| both.entry(&line.name).or_default().0 += line.count);
    now.iter()
        .for_each(|line| both.entry(&line.name).or_default().1 += line.count);
    let differs = both.into_iter().filter(|(_, (a, b))| a != b);
    differs
        .map(|(name, (before, now))| Change {
            name: name.to_owned(),
            before,
            now,
        })
        .collect()
}
