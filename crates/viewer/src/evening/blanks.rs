//! The blanks of each question: what is typed, picked and prefilled. What is known already stands in them.

use std::collections::BTreeMap;

use glam::DVec2;
use layout::node::Kind;
use layout::{Layout, Material, Wall};

use super::outline::{chain, corners, heading, squared};
use super::question::Question;
use super::write::{drain_id, without_run};
use crate::edit::{KINDS, VOID, cabinet_over, nearest_on, off_segment, stands_on, wall_near};
use crate::house::House;

/// How a blank is filled.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Typed {
    /// A length.
    Length,
    /// A number without a unit.
    Number,
    /// Words.
    Words,
    /// One of these: what is written, and what is read.
    Choice(Vec<(String, String)>),
}

/// One blank.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Blank {
    /// Its name among what is typed.
    pub key: String,
    /// What stands before it.
    pub label: String,
    /// How it is filled.
    pub typed: Typed,
    /// What stands in it.
    pub value: String,
    /// What may stand in it, shown while it is empty.
    pub hint: &'static str,
}

/// A question with what was clicked and typed for it.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The house as far as it is told.
    pub house: &'a House,
    /// What is asked.
    pub question: Question,
    /// Places clicked, house inches.
    pub clicks: &'a [DVec2],
    /// What was typed, by the blank's name.
    pub typed: &'a BTreeMap<String, String>,
}

const STUDS: [&str; 4] = ["\"2x4\"", "\"2x6\"", "\"2x3\"", "\"2x8\""];
const SINKS: [&str; 4] = ["lavatory", "kitchen_sink", "bar_sink", "utility_sink"];
const ROOMS: [&str; 7] = [
    "bath",
    "kitchen",
    "laundry",
    "mechanical",
    "mudroom",
    "garage",
    "other",
];

/// A loop of 1-1/2 in on a 2 in drain has room for its fittings so far down the drain and aside of it, inches: from the
/// catalogue's laying lengths, rounded up. Our choice; told otherwise, the check says whether it can be made.
const LOOP_ALONG: f64 = 5.0;
const LOOP_ASIDE: f64 = 13.0;
/// A pipe is kept so far inside a cabinet's edge, inches. Our choice.
const IN_CABINET: f64 = 2.0;
/// Lengths under this are said in inches.
const IN_INCHES: f64 = 24.0;
/// A cleanout outside stands at least so far from the house, inches: nearer there is no room for its fittings. Our choice.
const OFF_HOUSE: f64 = 24.0;
/// A sink so near a wall inside, inches, stands in a cabinet along it: a counter's depth and a hand. Our choice.
const BY_A_WALL: f64 = 30.0;
/// How far from a wall a click may be and still mean it, inches: a click by eye on a photographed plan.
const BY_EYE: f64 = 18.0;

/// A length as it stands in a blank: what is said in inches in inches.
pub(super) fn shown(inches: f64) -> String {
    if inches.abs() < IN_INCHES {
        units::inches_text(inches, 16)
    } else {
        units::feet_inches(inches, 16)
    }
}

fn words(ron: &str) -> String {
    crate::edit::called(ron.trim_matches('"'))
}

fn plain(options: &[&str]) -> Typed {
    Typed::Choice(
        options
            .iter()
            .map(|one| ((*one).to_owned(), words(one)))
            .collect(),
    )
}

fn pairs(options: &[(&str, &str)]) -> Typed {
    let owned = |(ron, says): &(&str, &str)| ((*ron).to_owned(), (*says).to_owned());
    Typed::Choice(options.iter().map(owned).collect())
}

/// A place along a wall, with what it is measured from, the end the wall was begun at: `Along B, from its south end`.
fn along(what: &str, wall: &Wall) -> String {
    let end = layout::compass(wall.from - wall.to);
    format!("{what}, from its {end} end")
}

fn named(ids: impl Iterator<Item = String>) -> Typed {
    Typed::Choice(ids.map(|id| (id.clone(), id)).collect())
}

/// Lengths in order, by the number at the end of their name: `side 2` is 2.
pub(super) fn numbered(typed: &BTreeMap<String, String>, name: &str) -> BTreeMap<usize, f64> {
    let one = |(key, text): (&String, &String)| {
        let n = key.strip_prefix(name)?.trim().parse().ok()?;
        Some((n, super::write::length(text).ok()?))
    };
    typed.iter().filter_map(one).collect()
}

impl Asked<'_> {
    fn layout(&self) -> &Layout {
        &self.house.layout
    }

    fn blank(
        &self,
        key: &str,
        label: &str,
        typed: Typed,
        value: &str,
        hint: &'static str,
    ) -> Blank {
        let now = self.typed.get(key).map_or(value, String::as_str);
        Blank {
            key: key.to_owned(),
            label: label.to_owned(),
            value: now.to_owned(),
            typed,
            hint,
        }
    }

    fn length(&self, key: &str, label: &str, value: Option<f64>, hint: &'static str) -> Blank {
        let value = value.map(shown).unwrap_or_default();
        self.blank(key, label, Typed::Length, &value, hint)
    }

    fn choice(&self, key: &str, label: &str, typed: Typed, value: &str) -> Blank {
        self.blank(key, label, typed, value, "")
    }

    pub(super) fn picked(&self, key: &str, usual: &str) -> String {
        let typed = self.typed.get(key);
        typed.map_or(usual, String::as_str).to_owned()
    }

    /// The blanks, in the order to fill them.
    pub fn blanks(&self) -> Vec<Blank> {
        match self.question {
            Question::Picture => vec![self.blank("path", "Its path", Typed::Words, "", "plan.jpg")],
            Question::Code => vec![self.code()],
            Question::Outline => self.outline(),
            Question::Build => self.build(),
            Question::Receiver => self.receiver(),
            Question::Ground => self.ground(),
            Question::WallsRound => vec![
                self.choice("framing", "Studs", plain(&STUDS), "\"2x6\""),
                self.length("board", "Board inside", None, "1/2"),
            ],
            Question::Wall => self.wall(),
            Question::Closet | Question::Bathing | Question::Sink | Question::Other => {
                self.fixture()
            }
            Question::Cabinet => self.cabinet(),
            Question::Room => vec![
                self.choice("kind", "A room more", plain(&ROOMS), "bath"),
                self.blank("name", "Called", Typed::Words, "", "as its kind"),
            ],
            Question::Exit => self.exit(),
            Question::Main => Vec::new(),
            Question::Join => Vec::new(),
            Question::Cleanout => self.cleanout(),
            Question::Vent => self.vent(),
        }
    }

    fn code(&self) -> Blank {
        let codes = [
            ("irc", "IRC, houses"),
            ("ipc", "IPC, plumbing"),
            ("upc", "UPC, uniform plumbing"),
            ("", "don't know yet"),
        ];
        let told = match self.layout().code {
            Some(layout::PermitCode::Irc) => "irc",
            Some(layout::PermitCode::Ipc) => "ipc",
            Some(layout::PermitCode::Upc) => "upc",
            None => "",
        };
        self.choice("code", "It names the", pairs(&codes), told)
    }

    fn outline(&self) -> Vec<Blank> {
        let faces = [
            ("form", "the outside of the form"),
            ("stud", "the outside of the studs"),
        ];
        let mut blanks = vec![self.choice("face", "Measured to", pairs(&faces), "form")];
        if self.picked("face", "form") == "stud" {
            let label = "Form stands out by";
            blanks.push(self.length("ledge", label, None, "3/4"));
        }
        let corners = corners(self.clicks, &numbered(self.typed, "side "));
        for (n, two) in corners.windows(2).enumerate() {
            let by = two[1] - two[0];
            let label = format!("Side {}, {}", n + 1, heading(by));
            blanks.push(self.length(&format!("side {n}"), &label, Some(by.length()), ""));
        }
        blanks
    }

    fn build(&self) -> Vec<Blank> {
        let layers = self.layout().slab.as_ref().map_or(&[][..], |s| &s.layers);
        let thick = |material| {
            let of = layers.iter().filter(|layer| layer.material == material);
            let sum: f64 = of.map(|layer| layer.thickness).sum();
            (sum > 0.0).then_some(sum)
        };
        let edge = self.layout().foundation.edge.as_ref();
        let footing = edge.and_then(|edge| edge.footing.as_ref());
        let kinds = [
            ("", "don't know yet"),
            ("stem_wall", "a stem wall"),
            ("turned_down", "the slab turned down"),
            ("foam_form", "foam forms, filled"),
            ("grade_beam", "a grade beam"),
        ];
        let kind = edge.map_or("", |edge| match edge.kind {
            layout::EdgeKind::StemWall => "stem_wall",
            layout::EdgeKind::TurnedDown => "turned_down",
            layout::EdgeKind::FoamForm => "foam_form",
            layout::EdgeKind::GradeBeam => "grade_beam",
        });
        vec![
            self.length("concrete", "Concrete", thick(Material::Concrete), "4"),
            self.length("foam", "Foam", thick(Material::Foam), "2"),
            self.length("gravel", "Gravel", thick(Material::Gravel), "4"),
            self.choice("edge", "Its edge", pairs(&kinds), kind),
            self.length("thick", "Thick", edge.map(|edge| edge.thickness), "8"),
            self.length(
                "bottom",
                "Bottom of the wall (not its footing), below the floor",
                edge.map(|edge| -edge.bottom),
                "32",
            ),
            self.length("wide", "Footing, wide", footing.map(|f| f.width), "16"),
            self.length("high", "Footing, high", footing.map(|f| f.thickness), "8"),
        ]
    }

    fn receiver(&self) -> Vec<Blank> {
        // Read in the document: a drain without its way out is not in the layout yet.
        let tree = layout::parse(&self.house.text, "").ok();
        let id = drain_id(self.house);
        let told = |steps: [&str; 2]| {
            let steps = ["drains", id.as_str(), steps[0], steps[1]];
            let mut node = tree.as_ref()?;
            for step in steps {
                node = &node.entry(step)?.value;
            }
            match &node.kind {
                Kind::Text(text) | Kind::Word(text) => Some(text.clone()),
                Kind::Number(_) | Kind::Fields(_) | Kind::Map(_) => None,
                Kind::List(_) | Kind::Tuple(_) => None,
            }
        };
        let length = |steps| super::write::length(&told(steps)?).ok();
        let kinds = [("tank", "a septic tank"), ("sewer", "a sewer")];
        let kind = told(["receiver", "kind"]).unwrap_or_else(|| "tank".into());
        let knowns = [
            ("unknown", "I don't know"),
            ("told", "I was told"),
            ("measured", "I measured it"),
        ];
        let known = told(["receiver", "known"]).unwrap_or_else(|| "unknown".into());
        let invert = length(["receiver", "invert"]).map(|invert| -invert);
        let below = length(["receiver", "below_floor"]).or(invert);
        let far = length(["line", "length"]);
        vec![
            self.choice("kind", "It drains to", pairs(&kinds), &kind),
            self.length("below", "Inlet below my floor by", below, "3-6"),
            self.length("far", "So far off", far, "40'"),
            self.choice("known", "How I know", pairs(&knowns), &known),
        ]
    }

    fn ground(&self) -> Vec<Blank> {
        let outside = &self.layout().outside;
        let level = |n: usize| outside.ground.get(n).map(|(_, level)| -level);
        vec![
            self.length("near", "Below the floor, at the wall", level(0), "8"),
            self.length("out", "Ten feet out", level(1), "12"),
            self.length("frost", "Frost goes down", outside.frost, "12"),
            self.length("cover", "Cover the town asks", outside.cover, "12"),
        ]
    }

    fn wall(&self) -> Vec<Blank> {
        let [from, to] = self.clicks else {
            return Vec::new();
        };
        let ends = chain(&[*from, *to], &numbered(self.typed, "side "));
        let along = squared(*from, *to).unwrap_or(DVec2::X);
        let label = format!("Long, {}", heading(along));
        let length = ends.last().map(|end| end.distance(ends[0]));
        let no = [("false", "no"), ("true", "yes")];
        vec![
            self.blank("name", "Called", Typed::Words, "", "wall"),
            self.length("east", "Starts east", Some(from.x), ""),
            self.length("north", "Starts north", Some(from.y), ""),
            self.length("side 0", &label, length, ""),
            self.choice("framing", "Studs", plain(&STUDS), "\"2x4\""),
            self.length("board", "Board, both sides", None, "1/2"),
            self.length("left", "Tile on its left", None, "none"),
            self.length("right", "Tile on its right", None, "none"),
            self.choice("edge", "On the slab's edge", pairs(&no), "false"),
        ]
    }

    /// The wall inside the house that a click means, with the station along it, to the inch.
    pub(super) fn wall_at(&self, at: DVec2, reach: f64) -> Option<(&Wall, f64)> {
        let (wall, station) = wall_near(self.layout(), at, reach)?;
        Some((wall, station.round()))
    }

    /// The walls a closet clicked there may have its back to, nearest first: outside walls too, for nothing comes up in them.
    fn behind(&self, at: DVec2) -> Vec<&Wall> {
        let walls = self.layout().walls.iter();
        let walls = walls.map(|wall| (off_segment(at, wall.from, wall.to), wall));
        let mut near: Vec<(f64, &Wall)> = walls.filter(|(off, _)| *off < 4.0 * BY_EYE).collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        near.into_iter().map(|(_, wall)| wall).collect()
    }

    /// The wall chosen behind a closet, else the nearest, with the station along it, to the inch.
    pub(super) fn back_wall(&self, at: DVec2) -> Option<(&Wall, f64)> {
        let behind = self.behind(at);
        let chosen = self.picked("behind", "");
        let chosen = behind.iter().find(|wall| wall.id.as_str() == chosen);
        let wall = *chosen.or_else(|| behind.first())?;
        let along = (wall.to - wall.from).try_normalize()?;
        Some((wall, (at - wall.from).dot(along).round()))
    }

    /// The cabinet a click is in, with the place in its own frame, to the inch.
    pub(super) fn cabinet_at(&self, at: DVec2) -> Option<(&layout::Cabinet, DVec2)> {
        let (cabinet, own) = cabinet_over(self.layout(), at)?;
        Some((cabinet, own.round()))
    }

    pub(super) fn kind(&self) -> String {
        let usual = match self.question {
            Question::Bathing => "tub",
            Question::Sink => "lavatory",
            Question::Other => "washer",
            _ => return "closet".into(),
        };
        self.picked("kind", usual)
    }

    fn fixture(&self) -> Vec<Blank> {
        let Some(at) = self.clicks.first().copied() else {
            return Vec::new();
        };
        let kind = self.kind();
        let mut blanks = Vec::new();
        match self.question {
            Question::Bathing => {
                blanks.push(self.choice("kind", "It is a", plain(&["tub", "shower"]), &kind));
            }
            Question::Sink => blanks.push(self.choice("kind", "It is a", plain(&SINKS), &kind)),
            Question::Other => blanks.push(self.choice("kind", "It is a", plain(KINDS), &kind)),
            _ => {}
        }
        blanks.push(self.blank("name", "Called", Typed::Words, "", "as its kind"));
        blanks.extend(self.place(at, &kind));
        if self.question == Question::Bathing && kind == "tub" {
            blanks.push(self.length("box", "Void left in the slab round it", Some(VOID), "none"));
        }
        if self.question == Question::Bathing && kind == "shower" {
            blanks.push(self.length("drop", "Its floor lies lower by", None, "not at all"));
            blanks.push(self.length("wide", "That floor, east-west", None, "36"));
            blanks.push(self.length("deep", "That floor, north-south", None, "36"));
        }
        if self.question == Question::Other {
            let later = [("false", "now"), ("true", "later: capped")];
            blanks.push(self.choice("later", "Wanted", pairs(&later), "false"));
        }
        blanks
    }

    fn place(&self, at: DVec2, kind: &str) -> Vec<Blank> {
        if kind == "closet" {
            let behind = self.behind(at);
            if let Some((wall, station)) = self.back_wall(at) {
                let along = along("Along it", wall);
                let first = behind
                    .first()
                    .map_or(String::new(), |wall| wall.id.to_string());
                let names = behind.iter().map(|wall| wall.id.to_string());
                return vec![
                    self.choice("behind", "Its back to", named(names), &first),
                    self.length("by", "Off its finished face", Some(12.0), ""),
                    self.length("along", &along, Some(station), ""),
                ];
            }
        } else if in_wall(kind) {
            if let Some((cabinet, own)) = self.cabinet_at(at) {
                let label = |side: &str| format!("From {}'s middle, {side}", cabinet.id);
                return vec![
                    self.length("x", &label("along"), Some(own.x), ""),
                    self.length("y", &label("across"), Some(own.y), ""),
                ];
            }
            if let Some((wall, station)) = self.wall_at(at, BY_EYE) {
                let label = along(&format!("Along {}", wall.id), wall);
                return vec![self.length("along", &label, Some(station), "")];
            }
        }
        vec![
            self.length("east", "East", Some(at.x), ""),
            self.length("north", "North", Some(at.y), ""),
        ]
    }

    fn cabinet(&self) -> Vec<Blank> {
        let Some(at) = self.clicks.first() else {
            return Vec::new();
        };
        vec![
            self.blank("name", "Called", Typed::Words, "", "cabinet"),
            self.length("east", "Middle, east", Some(at.x), ""),
            self.length("north", "Middle, north", Some(at.y), ""),
            self.length("long", "Long", None, "6'"),
            self.length("deep", "Deep", None, "2'"),
            self.blank("turn", "Turned, degrees", Typed::Number, "", "0"),
        ]
    }

    /// The side of the slab a click is nearest to: its western or southern end, the direction from there, the station.
    pub(super) fn side_at(&self, at: DVec2) -> Option<(DVec2, DVec2, f64)> {
        let slab = self.layout().slab.as_ref()?;
        let mut ring = slab.outline.clone();
        ring.extend(slab.outline.first());
        let off =
            |side: &&[DVec2]| nearest_on(side, at).map_or(f64::INFINITY, |on| on.distance(at));
        let side = ring.windows(2).min_by(|a, b| off(a).total_cmp(&off(b)))?;
        let forward = side[0].x < side[1].x - 0.01
            || (side[0].x - side[1].x).abs() <= 0.01 && side[0].y < side[1].y;
        let (from, to) = if forward {
            (side[0], side[1])
        } else {
            (side[1], side[0])
        };
        let along = (to - from).try_normalize()?;
        let station = (at - from).dot(along).clamp(0.0, from.distance(to));
        Some((from, along, station.round()))
    }

    fn exit(&self) -> Vec<Blank> {
        let Some((_, along, station)) = self.clicks.first().and_then(|at| self.side_at(*at)) else {
            return Vec::new();
        };
        let ways = [
            ("either", "whichever fits"),
            ("through", "through the stem wall"),
            ("under", "under the footing"),
        ];
        let label = format!("From the side's {} end", heading(-along));
        vec![
            self.length("along", &label, Some(station), ""),
            self.choice("way", "It leaves", pairs(&ways), "either"),
        ]
    }

    fn cleanout(&self) -> Vec<Blank> {
        let Some(stands) = self
            .clicks
            .first()
            .and_then(|at| stands_on(self.house, *at))
        else {
            return Vec::new();
        };
        let ways = [
            ("both", "both ways"),
            ("downstream", "with the flow"),
            ("upstream", "against the flow"),
        ];
        let usual = if stands.outside.is_some() {
            "both"
        } else {
            "downstream"
        };
        let mut blanks = vec![
            self.blank("name", "Called", Typed::Words, "", "cleanout"),
            self.choice("cleans", "A cable goes", pairs(&ways), usual),
        ];
        if stands.outside.is_some() {
            let from = stands.from.max(OFF_HOUSE).round();
            blanks.push(self.length("from", "From the house", Some(from), ""));
        }
        blanks
    }

    fn vent(&self) -> Vec<Blank> {
        let fixtures = &self.layout().fixtures;
        let open = fixtures
            .iter()
            .find(|one| one.vent == layout::Vent::Unknown)
            .or(fixtures.first());
        let Some(open) = open else {
            return Vec::new();
        };
        let all = fixtures.iter().map(|one| one.id.to_string());
        let ways = [
            ("riser", "up the wall it stands in"),
            ("take_off", "off its drain, up the wall I click"),
            (
                "island_loop",
                "a loop in the cabinet, then up the wall I click",
            ),
            ("wet", "wet, by another's vented drain"),
            ("common", "shares another's vent"),
            ("combination", "drain and vent in one"),
            ("admittance", "an air admittance valve"),
            ("other", "in other words"),
            ("unknown", "not known yet"),
        ];
        let which = self.picked("which", open.id.as_str());
        let fixture = fixtures.iter().find(|one| one.id.as_str() == which);
        let usual = match fixture.map(|one| &one.landing) {
            Some(layout::Landing::Wall(_)) => "riser",
            Some(layout::Landing::Cabinet(_)) if !self.by_a_wall(fixture) => "island_loop",
            _ => "take_off",
        };
        let how = self.picked("how", usual);
        let mut blanks = vec![
            self.choice("which", "The trap of", named(all.clone()), &which),
            self.choice("how", "Its air comes", pairs(&ways), &how),
        ];
        if matches!(how.as_str(), "wet" | "common") {
            let others: Vec<String> = all.filter(|id| *id != which).collect();
            let dry = |id: &&String| {
                fixtures
                    .iter()
                    .any(|one| one.id.as_str() == **id && is_dry(&one.vent))
            };
            let first = others.iter().find(dry).or(others.first());
            let first = first.cloned().unwrap_or_default();
            let label = "By that of";
            blanks.push(self.choice("by", label, named(others.into_iter()), &first));
        }
        if how == "other" {
            blanks.push(self.blank(
                "says",
                "In words",
                Typed::Words,
                "",
                "my inspector says ...",
            ));
        }
        if let Some((wall, station)) = self.clicks.first().and_then(|at| self.wall_at(*at, BY_EYE))
            && matches!(how.as_str(), "take_off" | "island_loop")
        {
            let label = along(&format!("Up {}", wall.id), wall);
            blanks.push(self.length("along", &label, Some(station), ""));
        }
        let clicked = !self.clicks.is_empty();
        if let Some(fixture) = fixture.filter(|_| how == "island_loop" && clicked) {
            blanks.extend(self.comes_down(fixture));
        }
        blanks
    }

    /// Whether the vent that is told goes up a wall that is to be clicked.
    fn wants_wall(&self) -> bool {
        let blanks = self.vent();
        let how = blanks.iter().find(|blank| blank.key == "how");
        how.is_some_and(|how| matches!(how.value.as_str(), "take_off" | "island_loop"))
    }

    /// Whether a fixture stands so near a wall inside that its vent can go up there: no island.
    fn by_a_wall(&self, fixture: Option<&layout::Fixture>) -> bool {
        fixture.is_some_and(|one| wall_near(self.layout(), one.at, BY_A_WALL).is_some())
    }

    /// Where an island's loop comes down again: in its own cabinet.
    fn comes_down(&self, fixture: &layout::Fixture) -> Vec<Blank> {
        let Some((cabinet, _)) = cabinet_over(self.layout(), fixture.at) else {
            return Vec::new();
        };
        let beside = self
            .beside(fixture)
            .map(|at| DVec2::from_angle(-cabinet.turn_deg.to_radians()).rotate(at - cabinet.centre))
            .filter(|at| at.abs().cmple(cabinet.size / 2.0 - IN_CABINET).all())
            .map(DVec2::round);
        let label = |way: &str| format!("Down again, from {}'s middle {way}", cabinet.id);
        vec![
            self.length("down x", &label("along"), beside.map(|at| at.x), ""),
            self.length("down y", &label("across"), beside.map(|at| at.y), ""),
        ]
    }

    /// Beside the first inches of a fixture's drain, on the side of the wall that was clicked: where a loop's fittings have
    /// room.
    fn beside(&self, fixture: &layout::Fixture) -> Option<DVec2> {
        let wall = *self.clicks.first()?;
        let runs = &self.layout().runs;
        let from = layout::RunStart::Fixture(fixture.id.clone());
        let run = runs.iter().find(|run| run.from == from)?;
        let line = self
            .house
            .lines
            .iter()
            .find(|line| line.id == run.id.as_str())?;
        let [first, second, ..] = line.points.as_slice() else {
            return None;
        };
        let flow = (second.truncate() - first.truncate()).try_normalize()?;
        let side = if flow.perp().dot(wall - fixture.at) < 0.0 {
            -flow.perp()
        } else {
            flow.perp()
        };
        Some(fixture.at + flow * LOOP_ALONG + side * LOOP_ASIDE)
    }

    /// One line under the blanks: what closes an outline, what waits for a click, what would be joined.
    pub fn note(&self) -> String {
        match self.question {
            Question::Outline => {
                let corners = corners(self.clicks, &numbered(self.typed, "side "));
                let ends = corners.first().zip(corners.last());
                match ends {
                    Some((first, last)) if corners.len() > 2 => {
                        let by = *first - *last;
                        let long = units::feet_inches(by.length(), 16);
                        format!("The last side closes it: {long}, {}.", heading(by))
                    }
                    _ => String::new(),
                }
            }
            Question::Join => {
                let left = without_run(self.layout());
                match left.as_slice() {
                    [] => "Every fixture has its drain.".into(),
                    left => format!("Without a drain: {}.", left.join(", ")),
                }
            }
            Question::Main => match (self.layout().drains.first(), self.clicks.first()) {
                (None, _) => "Tell the way out first.".into(),
                (Some(_), None) => String::new(),
                (Some(_), Some(at)) => match self.start_at(*at) {
                    Some(fixture) => format!("It starts at {fixture}."),
                    None => "It starts where you clicked, with a capped end.".into(),
                },
            },
            Question::Cleanout => match self.clicks.first() {
                Some(at) => match stands_on(self.house, *at) {
                    Some(stands) => format!("It stands on {}.", stands.on),
                    None => "There is no pipe within two feet of the click.".into(),
                },
                None => String::new(),
            },
            Question::Vent if self.clicks.is_empty() && self.wants_wall() => {
                "Now click the wall it goes up.".into()
            }
            Question::Exit if self.layout().slab.is_none() => "Tell the slab's shape first.".into(),
            Question::WallsRound if self.layout().slab.is_none() => {
                "Tell the slab's shape first.".into()
            }
            _ => String::new(),
        }
    }

    /// The places clicked as they would be written: sides squared and as long as typed.
    pub fn places(&self) -> Vec<DVec2> {
        let typed = numbered(self.typed, "side ");
        match self.question {
            Question::Outline => corners(self.clicks, &typed),
            Question::Wall | Question::Main => chain(self.clicks, &typed),
            _ => self.clicks.to_vec(),
        }
    }

    /// The fixture that a click on the plan means.
    pub(super) fn start_at(&self, at: DVec2) -> Option<String> {
        let fixtures = self.layout().fixtures.iter();
        let near = fixtures.filter(|one| one.at.distance(at) < BY_EYE);
        let nearest = near.min_by(|a, b| a.at.distance(at).total_cmp(&b.at.distance(at)));
        nearest.map(|one| one.id.to_string())
    }
}

/// Whether a vent brings air of its own.
fn is_dry(vent: &layout::Vent) -> bool {
    matches!(
        vent,
        layout::Vent::Riser | layout::Vent::TakeOff { .. } | layout::Vent::IslandLoop { .. }
    )
}

/// Whether a kind's drain comes up in a wall or a cabinet.
pub(super) fn in_wall(kind: &str) -> bool {
    crate::edit::PLACED
        .iter()
        .any(|(word, trap)| *word == kind && *trap == crate::edit::Trap::InWall)
        || matches!(kind, "condensate" | "hose_sink")
}
