//! From what a file says to what the house is: one datum, references followed, places found. Mistakes and what is still
//! to tell are collected on the way; what has neither a place nor an end is left out, so that a layout never points at
//! what it does not hold.
//!
//! # Where zero is
//! The file's zero is the corner its dimensions start from: of the form with `measured_from: form`, of the studs with
//! `measured_from: stud`. The form's zero lies `ledge` west and `ledge` south of the studs' zero. A slab outline given on
//! the studs grows by `ledge` all round. Then all is moved so that the south-west corner of the form's bounding box is
//! the origin; for an outline that starts at ("0", "0") nothing moves further.

use std::collections::{BTreeMap, BTreeSet};

use glam::DVec2;
use units::Id;

use crate::{
    edit::length_text,
    file::{
        Along, Datum, Facing, File, LandingSays, Name, Outline, Point, PointForm, Says, WallSays,
    },
    limits::{DEEPEST_CHAIN, WALL_LENGTH},
    lower::plain,
    model::{Landing, Layout, ToTell},
    outline::{self, Flaw},
    problem::{Mistake, Problem, near},
};

mod house;
mod runs;

/// The layout a file tells of, and the mistakes that only show once its references are followed.
///
/// Always gives the most it can: every id in the layout is unique and every id it refers to is in it, every run leads to
/// one of its drains, and no two runs join in a circle.
pub fn resolve(file: &File) -> (Layout, Vec<Problem>) {
    let mut resolver = Resolver::new(file);
    let mut layout = resolver.house();
    resolver.drains(&mut layout);
    let mut tells = std::mem::take(&mut resolver.tells);
    tells.sort_by_key(|(evening, _)| *evening);
    layout.to_tell = tells.into_iter().map(|(_, tell)| tell).collect();
    let problems = file.source.tell(&file.tree, resolver.mistakes);
    (layout, problems)
}

impl File {
    /// A point of the resolved layout as RON text that means it in this file, whatever face the file measures from.
    pub fn point_text(&self, at: DVec2) -> String {
        let mut resolver = Resolver::new(self);
        let slab = self
            .says
            .slab
            .as_ref()
            .and_then(|slab| slab.outline.as_ref());
        resolver.slab_outline(slab);
        let at = at + resolver.origin;
        let (x, y) = (length_text(at.x), length_text(at.y));
        match self.says.measured_from {
            Datum::Form => format!("({x}, {y})"),
            Datum::Stud => format!("(x: {x}, y: {y}, face: form)"),
        }
    }
}

/// The steps of the first evening, for the order of what is still to tell.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Evening {
    Slab,
    Receiver,
    Ground,
    Walls,
    Closets,
    Bathing,
    Sinks,
    Others,
    Runs,
    Vents,
    Code,
}

/// What an id names.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum What {
    Zone,
    Block,
    Wall,
    Cabinet,
    BoxOut,
    Room,
    Fixture,
    Drain,
    Run,
    Cleanout,
    Service,
}

impl What {
    fn a(self) -> &'static str {
        match self {
            Self::Zone => "a zone",
            Self::Block => "a block",
            Self::Wall => "a wall",
            Self::Cabinet => "a cabinet",
            Self::BoxOut => "a box-out",
            Self::Room => "a room",
            Self::Fixture => "a fixture",
            Self::Drain => "a drain",
            Self::Run => "a run",
            Self::Cleanout => "a cleanout",
            Self::Service => "a service",
        }
    }
}

/// Where an item stands.
#[derive(Clone, Copy, PartialEq, Debug)]
enum Place {
    Wall(DVec2, DVec2),
    Frame(DVec2, f64),
    Spot(DVec2),
}

#[derive(Clone, Copy, PartialEq, Debug)]
enum Slot {
    New,
    Busy,
    Done(Option<Place>),
}

#[derive(Clone, Copy)]
struct Item<'f> {
    what: What,
    /// Index in its own section.
    index: usize,
    name: &'f Name,
}

struct Resolver<'f> {
    file: &'f File,
    says: &'f Says,
    ledge: f64,
    origin: DVec2,
    items: Vec<Item<'f>>,
    index: BTreeMap<&'f Id, usize>,
    slots: Vec<Slot>,
    /// Names that a layout's item may point at: walls, cabinets and box-outs it holds; later its drains and runs.
    held: BTreeSet<Id>,
    /// Items whose places are being found, outermost first.
    asked: Vec<usize>,
    mistakes: Vec<Mistake>,
    tells: Vec<(Evening, ToTell)>,
    hints: usize,
}

/// Near names are looked for this often; past it a file has other troubles, and each look goes through every name.
const MOST_HINTS: usize = 50;

impl<'f> Resolver<'f> {
    fn new(file: &'f File) -> Self {
        let mut resolver = Self {
            file,
            says: &file.says,
            ledge: file.says.ledge.unwrap_or_default(),
            origin: DVec2::ZERO,
            items: Vec::new(),
            index: BTreeMap::new(),
            slots: Vec::new(),
            held: BTreeSet::new(),
            asked: Vec::new(),
            mistakes: Vec::new(),
            tells: Vec::new(),
            hints: 0,
        };
        resolver.name_all();
        resolver
    }

    fn name_all(&mut self) {
        let says = self.says;
        let zones = says.slab.as_ref().map_or(&[][..], |slab| &slab.zones);
        self.name_each(What::Zone, zones.iter().map(|i| &i.name));
        self.name_each(What::Block, says.blocks.iter().map(|i| &i.name));
        self.name_each(What::Wall, says.walls.iter().map(|i| &i.name));
        self.name_each(What::Cabinet, says.cabinets.iter().map(|i| &i.name));
        self.name_each(What::BoxOut, says.box_outs.iter().map(|i| &i.name));
        self.name_each(What::Room, says.rooms.iter().map(|i| &i.name));
        self.name_each(What::Fixture, says.fixtures.iter().map(|i| &i.name));
        self.name_each(What::Drain, says.drains.iter().map(|i| &i.name));
        self.name_each(What::Run, says.runs.iter().map(|i| &i.name));
        self.name_each(What::Cleanout, says.cleanouts.iter().map(|i| &i.name));
        self.name_each(What::Service, says.services.iter().map(|i| &i.name));
        self.slots = vec![Slot::New; self.items.len()];
    }

    fn name_each(&mut self, what: What, names: impl Iterator<Item = &'f Name>) {
        for (index, name) in names.enumerate() {
            let number = self.items.len();
            self.items.push(Item { what, index, name });
            if let Some(&first) = self.index.get(&name.id) {
                self.named_twice(name, first);
            } else {
                self.index.insert(&name.id, number);
            }
        }
    }

    fn named_twice(&mut self, name: &Name, first: usize) {
        let earlier = self.items[first];
        let (line, _) = self.file.source.place(earlier.name.span.start);
        let wrong = format!(
            "{:?} is already {} (line {line})",
            name.id.as_str(),
            earlier.what.a()
        );
        self.wrong(name, wrong, "write another name");
    }

    /// Whether this item is the one its name stands for: the first so called.
    fn holds(&self, name: &Name) -> bool {
        let number = self.index.get(&name.id);
        number.is_some_and(|n| self.items[*n].name.span == name.span)
    }

    fn wrong(&mut self, at: &Name, wrong: impl Into<String>, right: impl Into<String>) {
        self.wrong_at(&at.span, wrong, right);
    }

    fn wrong_at(
        &mut self,
        span: &crate::node::Span,
        wrong: impl Into<String>,
        right: impl Into<String>,
    ) {
        self.mistakes.push(Mistake {
            span: span.clone(),
            wrong: wrong.into(),
            right: right.into(),
        });
    }

    fn tell(&mut self, evening: Evening, item: impl ToString, what: impl Into<String>) {
        let tell = ToTell {
            item: item.to_string(),
            what: what.into(),
        };
        self.tells.push((evening, tell));
    }

    /// The item `name` stands for, when it is one of `wanted`.
    fn find(&mut self, name: &Name, wanted: &[What]) -> Option<(usize, Item<'f>)> {
        let Some(&number) = self.index.get(&name.id) else {
            self.nothing_called(name, wanted);
            return None;
        };
        let item = self.items[number];
        if wanted.contains(&item.what) {
            return Some((number, item));
        }
        let wrong = format!("{:?} is {}", name.id.as_str(), item.what.a());
        self.wrong(name, wrong, format!("name {}", one_of(wanted)));
        None
    }

    fn nothing_called(&mut self, name: &Name, wanted: &[What]) {
        self.hints += 1;
        let known = self.items.iter().filter(|item| wanted.contains(&item.what));
        let looked = known.take(if self.hints > MOST_HINTS {
            0
        } else {
            usize::MAX
        });
        let right = match near(name.id.as_str(), looked.map(|item| item.name.id.as_str())) {
            Some(meant) => format!("did you mean {meant:?}?"),
            None => format!("name {} of this file", one_of(wanted)),
        };
        let wrong = format!("there is nothing called {:?}", name.id.as_str());
        self.wrong(name, wrong, right);
    }

    /// The place of an item, `None` when it has none (told or found wrong elsewhere). `by` is who asks.
    fn place(&mut self, number: usize, by: &crate::node::Span) -> Option<Place> {
        match self.slots[number] {
            Slot::Done(place) => return place,
            Slot::Busy => return self.circle(number, by),
            Slot::New => {}
        }
        if self.asked.len() >= DEEPEST_CHAIN {
            let wrong = format!("more than {DEEPEST_CHAIN} items stand on one another here");
            self.wrong_at(by, wrong, "give one of them a place in plan");
            return None;
        }
        self.slots[number] = Slot::Busy;
        self.asked.push(number);
        let place = self.find_place(self.items[number]);
        self.asked.pop();
        self.slots[number] = Slot::Done(place);
        place
    }

    fn circle(&mut self, number: usize, by: &crate::node::Span) -> Option<Place> {
        let start = self.asked.iter().position(|n| *n == number).unwrap_or(0);
        let ring = self.asked[start..].iter().chain([&number]);
        let names: Vec<String> = ring
            .map(|n| format!("{:?}", self.items[*n].name.id.as_str()))
            .collect();
        let wrong = format!("the places go in a circle: {}", names.join(" stands on "));
        self.wrong_at(by, wrong, "give one of them a place in plan");
        None
    }

    fn find_place(&mut self, item: Item<'f>) -> Option<Place> {
        let says = self.says;
        let i = item.index;
        match item.what {
            What::Wall => self.wall_place(&says.walls[i]),
            What::Cabinet => {
                let cabinet = &says.cabinets[i];
                let turn = cabinet.turn.unwrap_or_default();
                self.frame(cabinet.centre.as_ref(), turn)
            }
            What::BoxOut => {
                let box_out = &says.box_outs[i];
                self.frame(box_out.centre.as_ref(), box_out.turn.unwrap_or_default())
            }
            What::Fixture => self.spot(says.fixtures[i].at.as_ref()),
            What::Cleanout => self.spot(says.cleanouts[i].at.as_ref()),
            What::Zone | What::Block | What::Room | What::Drain | What::Run | What::Service => None,
        }
    }

    fn wall_place(&mut self, wall: &WallSays) -> Option<Place> {
        let from = self.point_of(wall.from.as_ref());
        let to = self.point_of(wall.to.as_ref());
        let (from, to) = from.zip(to)?;
        let length = from.distance(to);
        if (WALL_LENGTH.least..=WALL_LENGTH.most).contains(&length) {
            return Some(Place::Wall(from, to));
        }
        let wrong = format!("the wall is {:.3} ft long", length / 12.0);
        let right = format!(
            "its ends may stand {} to {} apart",
            plain(WALL_LENGTH.least),
            plain(WALL_LENGTH.most)
        );
        self.wrong(&wall.name, wrong, right);
        None
    }

    fn frame(&mut self, centre: Option<&Point>, turn: f64) -> Option<Place> {
        self.point_of(centre)
            .map(|centre| Place::Frame(centre, turn))
    }

    fn spot(&mut self, at: Option<&Point>) -> Option<Place> {
        self.point_of(at).map(Place::Spot)
    }

    fn point_of(&mut self, point: Option<&Point>) -> Option<DVec2> {
        self.point(point?)
    }

    /// A point from the origin of the layout.
    fn point(&mut self, point: &Point) -> Option<DVec2> {
        match &point.form {
            PointForm::Absolute { x, y, face } => Some(self.absolute(*x, *y, *face) - self.origin),
            PointForm::InWall { wall, along } => {
                let (from, to) = self.wall_line(wall, &point.span)?;
                self.on_wall(from, to, *along, &point.span)
            }
            PointForm::OffWall { .. } => self.off_wall(point),
            PointForm::InFrame { item, x, y } => {
                let (number, _) = self.find(item, &[What::Cabinet, What::BoxOut])?;
                let Place::Frame(centre, turn) = self.place(number, &point.span)? else {
                    return None;
                };
                Some(centre + DVec2::from_angle(turn.to_radians()).rotate(DVec2::new(*x, *y)))
            }
            PointForm::From { item, east, north } => {
                let from = self.spot_of(item, &point.span)?;
                Some(from + DVec2::new(*east, *north))
            }
        }
    }

    /// From the form's zero.
    fn absolute(&self, x: f64, y: f64, face: Datum) -> DVec2 {
        let shift = match face {
            Datum::Form => 0.0,
            Datum::Stud => self.ledge,
        };
        DVec2::new(x, y) + shift
    }

    fn spot_of(&mut self, item: &Name, by: &crate::node::Span) -> Option<DVec2> {
        let wanted = [What::Fixture, What::Cleanout, What::Cabinet, What::BoxOut];
        let (number, _) = self.find(item, &wanted)?;
        match self.place(number, by)? {
            Place::Spot(at) | Place::Frame(at, _) => Some(at),
            Place::Wall(..) => None,
        }
    }

    fn wall_line(&mut self, wall: &Name, by: &crate::node::Span) -> Option<(DVec2, DVec2)> {
        let (number, _) = self.find(wall, &[What::Wall])?;
        match self.place(number, by)? {
            Place::Wall(from, to) => Some((from, to)),
            Place::Frame(..) | Place::Spot(_) => None,
        }
    }

    fn on_wall(
        &mut self,
        from: DVec2,
        to: DVec2,
        along: Along,
        span: &crate::node::Span,
    ) -> Option<DVec2> {
        let length = from.distance(to);
        let station = match along {
            Along::Start(from_start) => from_start,
            Along::End(from_end) => length - from_end,
        };
        // A closet may be told off the line of a wall that ends a little before it; a wall's length beyond is a slip.
        if station < -length || station > 2.0 * length {
            let wrong = format!(
                "the point lies far off the end of a wall of {:.3} ft",
                length / 12.0
            );
            self.wrong_at(
                span,
                wrong,
                "count along the wall from its own start or end",
            );
            return None;
        }
        Some(from + (to - from) / length * station)
    }

    fn off_wall(&mut self, point: &Point) -> Option<DVec2> {
        let PointForm::OffWall {
            wall,
            face,
            face_span,
            to: from_face,
            by,
            along,
        } = &point.form
        else {
            return None;
        };
        let (number, item) = self.find(wall, &[What::Wall])?;
        let Place::Wall(from, to) = self.place(number, &point.span)? else {
            return None;
        };
        let left = (to - from).normalize().perp();
        let Some(side) = side_facing(left, *face) else {
            let right = format!("write {}", faces_of(left));
            let wrong = format!("the wall {:?} has no face on that side", wall.id.as_str());
            self.wrong_at(face_span, wrong, right);
            return None;
        };
        let at = self.on_wall(from, to, *along, &point.span)?;
        let depth = house::face_off(&self.says.walls[item.index], side > 0.0, *from_face);
        Some(at + left * side * (depth + by))
    }

    /// An outline as the model wants it: simple, counter-clockwise, its last corner not repeated. Says also whether it
    /// had to be turned round.
    fn ring(&mut self, outline: &Outline, corners: Vec<DVec2>) -> Option<(Vec<DVec2>, bool)> {
        let mut corners = corners;
        if corners.len() > 3 && corners.first() == corners.last() {
            corners.pop();
        }
        if let Some(flaw) = outline::flaw(&corners) {
            let (wrong, right) = flaw_says(flaw);
            self.wrong_at(&outline.span, wrong, right);
            return None;
        }
        let clockwise = outline::doubled_area(&corners) < 0.0;
        if clockwise {
            corners.reverse();
        }
        Some((corners, clockwise))
    }

    fn outline(&mut self, outline: Option<&Outline>) -> Option<Vec<DVec2>> {
        let outline = outline?;
        let corners: Vec<DVec2> = outline
            .corners
            .iter()
            .filter_map(|c| self.point(c))
            .collect();
        let whole = corners.len() == outline.corners.len();
        whole
            .then(|| self.ring(outline, corners))?
            .map(|(ring, _)| ring)
    }

    fn wall_id(&mut self, name: Option<&Name>) -> Option<Id> {
        let name = name?;
        self.find(name, &[What::Wall]).map(|_| name.id.clone())
    }

    /// The landing a file names.
    fn named_landing(&mut self, says: &LandingSays) -> Option<Landing> {
        let (name, what, landing): (_, _, fn(Id) -> Landing) = match says {
            LandingSays::Floor => return Some(Landing::Floor),
            LandingSays::Wall(name) => (name, What::Wall, Landing::Wall),
            LandingSays::Cabinet(name) => (name, What::Cabinet, Landing::Cabinet),
            LandingSays::BoxOut(name) => (name, What::BoxOut, Landing::BoxOut),
        };
        self.find(name, &[what]).map(|_| landing(name.id.clone()))
    }
}

fn one_of(wanted: &[What]) -> String {
    let names: Vec<&str> = wanted.iter().map(|what| what.a()).collect();
    names.join(" or ")
}

fn flaw_says(flaw: Flaw) -> (String, &'static str) {
    let around = "write the corners in order around, each once";
    match flaw {
        Flaw::TooFew(n) => (
            format!("the outline has {n} corners"),
            "an outline needs three",
        ),
        Flaw::SameCorner(a, b) => (format!("its corners {a} and {b} are in one place"), around),
        Flaw::Crossing(a, b) => {
            let wrong = format!(
                "the outline crosses itself: the side from corner {a} meets the side from corner {b}"
            );
            (wrong, around)
        }
    }
}

/// 1 for a wall's left face, -1 for its right, when that is the face meant; `left` is its left, of length 1.
fn side_facing(left: DVec2, face: Facing) -> Option<f64> {
    let towards = match face {
        Facing::Left => return Some(1.0),
        Facing::Right => return Some(-1.0),
        Facing::East => DVec2::X,
        Facing::West => -DVec2::X,
        Facing::North => DVec2::Y,
        Facing::South => -DVec2::Y,
    };
    // Less than a degree off the wall's own line, neither face looks that way.
    let towards = left.dot(towards);
    (towards.abs() > 0.0175).then(|| towards.signum())
}

/// The compass names of a wall's two faces.
fn faces_of(left: DVec2) -> &'static str {
    if left.x.abs() > left.y.abs() {
        "east or west"
    } else {
        "north or south"
    }
}
