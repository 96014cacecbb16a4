//! From what was clicked and typed to the change of the document that says it.

use glam::DVec2;
use layout::{Edit, Layout, Material, Node, RunStart, Step, length_text};

use super::blanks::{Asked, Blank, in_wall, numbered};
use super::outline::{chain, corners, heading, squared};
use super::question::Question;
use crate::edit::{
    CLEANOUT, Trap, add, branches, cabinet_over, called, fresh, nearest_on, sixteenths, stands_at,
    stands_on, void, with_unit,
};
use crate::house::House;

/// How far from square to the edge a last bend may be clicked and still be drawn square to it, inches.
const SQUARE_OUT: f64 = 48.0;

/// How near a run the last click of a branch must be to join it, inches: by eye on a plan. Our choice.
const ENDS_ON: f64 = 12.0;

/// A change, and what comes with it.
#[derive(Clone, PartialEq, Debug)]
pub struct Written {
    /// The change.
    pub edit: Edit,
    /// What was written, in words.
    pub says: String,
    /// How far the house's zero moves against what was clicked on: a plan picture goes with it.
    pub shift: DVec2,
}

impl Written {
    fn new(edit: Edit, says: impl Into<String>) -> Self {
        Self {
            edit,
            says: says.into(),
            shift: DVec2::ZERO,
        }
    }
}

/// Inches of a length as it is typed; bare figures are inches.
pub(super) fn length(text: &str) -> Result<f64, String> {
    units::Length::parse(&with_unit(text.trim()))
        .map(units::Length::inches)
        .map_err(|why| why.to_string())
}

/// Fixtures that no run starts at.
pub fn without_run(layout: &Layout) -> Vec<String> {
    let drained = |id: &units::Id| drain_of(layout, id).is_some();
    let fixtures = layout.fixtures.iter().map(|one| &one.id);
    fixtures
        .filter(|id| !drained(id))
        .map(ToString::to_string)
        .collect()
}

/// The drain that is told of: the first there is.
pub(super) fn drain_id(house: &House) -> String {
    let tree = layout::parse(&house.text, "").ok();
    let drains = tree.as_ref().and_then(|tree| tree.entry("drains"));
    let first = drains.and_then(|drains| drains.value.entries().first());
    first.map_or_else(|| "house drain".into(), |entry| entry.name.clone())
}

/// What a question needs to be written.
struct Pen<'a> {
    asked: &'a Asked<'a>,
    blanks: Vec<Blank>,
    tree: Node,
    file: layout::File,
}

impl Asked<'_> {
    /// The change that writes the answer.
    ///
    /// # Errors
    /// One line, when something is missing or cannot be read.
    pub fn write(&self) -> Result<Written, String> {
        let text = &self.house.text;
        let pen = Pen {
            asked: self,
            blanks: self.blanks(),
            tree: layout::parse(text, "").map_err(|why| why.to_string())?,
            file: layout::read(text, "")
                .file
                .ok_or("the layout can't be read")?,
        };
        match self.question {
            Question::Picture => Err("drop the picture on the window, or type its path".into()),
            Question::Code => pen.code(),
            Question::Outline => pen.outline(),
            Question::Build => pen.build(),
            Question::Receiver => pen.receiver(),
            Question::Ground => pen.ground(),
            Question::WallsRound => pen.walls_round(),
            Question::Wall => pen.wall(),
            Question::Closet | Question::Bathing | Question::Sink | Question::Other => {
                pen.fixture()
            }
            Question::Cabinet => pen.cabinet(),
            Question::Room => Ok(pen.room()),
            Question::Exit => pen.exit(),
            Question::Main => pen.main_line(),
            Question::Join => pen.join(),
            Question::Cleanout => pen.cleanout(),
            Question::Vent => pen.vent(),
        }
    }
}

fn set(path: &[&str], value: impl Into<String>) -> Edit {
    Edit::Set {
        path: path.iter().map(|step| Step::from(*step)).collect(),
        value: value.into(),
    }
}

fn pair(x: f64, y: f64) -> String {
    format!("({}, {})", length_text(x), length_text(y))
}

impl Pen<'_> {
    fn text(&self, key: &str) -> &str {
        let blank = self.blanks.iter().find(|blank| blank.key == key);
        blank.map_or("", |blank| blank.value.trim())
    }

    fn may(&self, key: &str) -> Result<Option<f64>, String> {
        match self.text(key) {
            "" => Ok(None),
            text => length(text).map(Some),
        }
    }

    fn must(&self, key: &str) -> Result<f64, String> {
        let label = || {
            let blank = self.blanks.iter().find(|blank| blank.key == key);
            blank
                .map_or(key, |blank| blank.label.as_str())
                .to_lowercase()
        };
        self.may(key)?
            .ok_or_else(|| format!("how much is it: {}", label()))
    }

    /// A name of its own: as typed, or by its kind.
    fn name(&self, usual: &str) -> String {
        let typed = self.text("name");
        fresh(&self.tree, if typed.is_empty() { usual } else { typed })
    }

    fn clicked(&self, what: &str) -> Result<DVec2, String> {
        let first = self.asked.clicks.first().copied();
        first.ok_or_else(|| format!("click on the plan first: {what}"))
    }

    fn code(&self) -> Result<Written, String> {
        match self.text("code") {
            "" => Err("nothing to write yet: ask the permit desk, and go on".into()),
            code => Ok(Written::new(set(&["code"], code), "the code on the permit")),
        }
    }

    fn outline(&self) -> Result<Written, String> {
        self.sides_are_read()?;
        let corners = corners(self.asked.clicks, &numbered(self.asked.typed, "side "));
        if corners.len() < 3 {
            return Err("a slab has three corners at least; click them on the plan".into());
        }
        // Its south-west corner becomes the house's zero, unless things stand in the house already.
        let layout = &self.asked.house.layout;
        let empty =
            layout.walls.is_empty() && layout.fixtures.is_empty() && layout.cabinets.is_empty();
        let low = corners.iter().copied().reduce(DVec2::min);
        let low = low.filter(|_| empty).unwrap_or_default();
        let points: Vec<String> = corners
            .iter()
            .map(|at| *at - low)
            .map(|at| pair(at.x, at.y))
            .collect();
        let stud = self.text("face") == "stud";
        let ledge = if stud { self.may("ledge")? } else { None };
        let mut edits = vec![set(
            &["slab", "outline"],
            format!("[{}]", points.join(", ")),
        )];
        let measured = self.tree.entry("measured_from").is_some();
        if stud || measured {
            edits.push(set(&["measured_from"], self.text("face")));
        }
        edits.extend(ledge.map(|ledge| set(&["ledge"], length_text(ledge))));
        let mut written = Written::new(Edit::All(edits), "the slab");
        if empty {
            // The studs' corner stands inside the form's, which is the house's zero.
            written.shift = DVec2::splat(ledge.unwrap_or_default()) - low;
        }
        Ok(written)
    }

    /// A side that was typed and cannot be read is told; taken by eye it would stand in the house as if it were told.
    fn sides_are_read(&self) -> Result<(), String> {
        let sides = self.asked.typed.iter();
        let mut sides =
            sides.filter(|(key, text)| key.starts_with("side ") && !text.trim().is_empty());
        sides.try_for_each(|(key, text)| {
            length(text)
                .map(|_| ())
                .map_err(|why| format!("{key}: {why}"))
        })
    }

    fn build(&self) -> Result<Written, String> {
        let mut edits = Vec::new();
        let mut layers = Vec::new();
        for material in ["concrete", "foam", "gravel"] {
            if let Some(thick) = self.may(material)?.filter(|thick| *thick > 0.0) {
                layers.push(format!("({material}, {})", length_text(thick)));
            }
        }
        let typed = |key: &&str| self.asked.typed.contains_key(*key);
        if !layers.is_empty() && ["concrete", "foam", "gravel"].iter().any(typed) {
            self.only_plain_layers()?;
            edits.push(set(&["slab", "layers"], format!("[{}]", layers.join(", "))));
        }
        let edge = ["foundation", "edge"];
        if !self.text("edge").is_empty() {
            edits.push(set(&[edge[0], edge[1], "kind"], self.text("edge")));
        }
        for (key, path, sign) in [
            ("thick", &["thickness"][..], 1.0),
            ("bottom", &["bottom"], -1.0),
            ("wide", &["footing", "width"], 1.0),
            ("high", &["footing", "thickness"], 1.0),
        ] {
            let Some(inches) = self.may(key)?.filter(|_| typed(&key)) else {
                continue;
            };
            let path = [&edge[..], path].concat();
            edits.push(set(&path, length_text(sign * inches)));
        }
        something(edits, "layers and edge")
    }

    /// Layers that the blanks can't say must not be lost by what they write.
    fn only_plain_layers(&self) -> Result<(), String> {
        let slab = self.asked.house.layout.slab.as_ref();
        let told = slab.map_or(&[][..], |slab| &slab.layers);
        let plain = [Material::Concrete, Material::Foam, Material::Gravel];
        let place = |layer: &layout::Layer| plain.iter().position(|one| *one == layer.material);
        let places: Vec<Option<usize>> = told.iter().map(place).collect();
        let sayable =
            places.iter().all(Option::is_some) && places.windows(2).all(|two| two[0] < two[1]);
        if sayable {
            Ok(())
        } else {
            Err(
                "its layers are told in the file with more than these can say; change them there"
                    .into(),
            )
        }
    }

    fn receiver(&self) -> Result<Written, String> {
        let id = drain_id(self.asked.house);
        let to = |field| ["drains", id.as_str(), "receiver", field];
        let told = self
            .tree
            .entry("drains")
            .and_then(|drains| drains.value.entry(&id))
            .and_then(|drain| drain.value.entry("receiver"));
        let has = |name| told.is_some_and(|told| told.value.entry(name).is_some());
        let mut edits = vec![
            set(&to("kind"), self.text("kind")),
            set(&to("known"), self.text("known")),
        ];
        if let Some(below) = self.may("below")? {
            if has("elevation") {
                return Err("its level is told by elevation in the file; change it there".into());
            }
            edits.push(if has("invert") {
                set(&to("invert"), length_text(-below))
            } else {
                set(&to("below_floor"), length_text(below))
            });
        }
        if let Some(far) = self.may("far")? {
            edits.push(set(&["drains", &id, "line", "length"], length_text(far)));
        }
        something(edits, "where it drains to")
    }

    fn ground(&self) -> Result<Written, String> {
        let mut edits = Vec::new();
        let typed = |key: &str| self.asked.typed.contains_key(key);
        let told = self.asked.house.layout.outside.ground.len();
        if told > 2 && (typed("near") || typed("out")) {
            return Err(format!(
                "the ground is told at {told} places in the file; change it there"
            ));
        }
        let levels = (self.may("near")?, self.may("out")?);
        let ground = match levels {
            (Some(near), Some(out)) => {
                let (near, out) = (length_text(-near), length_text(-out));
                Some(format!("[(\"0\", {near}), (\"10'\", {out})]"))
            }
            (Some(near), None) => Some(length_text(-near)),
            (None, _) => None,
        };
        edits.extend(
            ground
                .filter(|_| told <= 2)
                .map(|ground| set(&["outside", "ground"], ground)),
        );
        for key in ["frost", "cover"] {
            let told = self.may(key)?;
            edits.extend(told.map(|deep| set(&["outside", key], length_text(deep))));
        }
        something(edits, "the ground outside")
    }

    fn framing(&self) -> Result<f64, String> {
        let studs = self.text("framing").trim_matches('"');
        layout::stud_depth(studs).ok_or_else(|| format!("{studs} is no stud: 2x4, 2x6"))
    }

    fn walls_round(&self) -> Result<Written, String> {
        let layout = &self.asked.house.layout;
        let outline = &layout
            .slab
            .as_ref()
            .ok_or("tell the slab's shape first")?
            .outline;
        if layout.walls.iter().any(|wall| wall.on_edge) {
            return Err("there are walls on the slab's edge already; pick one to change it".into());
        }
        let n = outline.len();
        let area: f64 = (0..n)
            .map(|i| outline[i].perp_dot(outline[(i + 1) % n]))
            .sum();
        let board = self.may("board")?;
        let mut edits: Vec<Edit> = Vec::new();
        let mut names: Vec<String> = Vec::new();
        for i in 0..n {
            // Walked so that the house lies on the left.
            let ends = [outline[i], outline[(i + 1) % n]];
            let [from, to] = if area > 0.0 { ends } else { [ends[1], ends[0]] };
            let Some(along) = (to - from).try_normalize() else {
                continue;
            };
            let inward = along.perp() * self.framing()? / 2.0;
            let side = format!("{} wall", heading(-along.perp()));
            let taken = |name: &String| names.contains(name) || fresh(&self.tree, name) != *name;
            let numbered = (2..).map(|n| format!("{side} {n}"));
            let name = std::iter::once(side.clone())
                .chain(numbered)
                .find(|name| !taken(name))
                .unwrap_or_default();
            let board = board.map_or(String::new(), |thick| {
                format!(", board_left: {}", length_text(thick))
            });
            let wall = format!(
                "(from: {}, to: {}, framing: {}{board}, on_edge: true)",
                self.file.point_text(from + inward),
                self.file.point_text(to + inward),
                self.text("framing")
            );
            edits.push(self.first(edits.is_empty(), "walls", &name, wall));
            names.push(name);
        }
        something(edits, "the walls round the house")
    }

    /// An item of a section; only the first of several makes the section.
    fn first(&self, first: bool, section: &str, id: &str, value: String) -> Edit {
        if first {
            add(&self.tree, section, id, value)
        } else {
            Edit::add(section, id, value)
        }
    }

    fn wall(&self) -> Result<Written, String> {
        let [from, to] = self.asked.clicks else {
            return Err("click where the wall starts and where it ends".into());
        };
        let start = DVec2::new(self.must("east")?, self.must("north")?);
        self.sides_are_read()?;
        let ends = chain(&[*from, *to], &numbered(self.asked.typed, "side "));
        let by = ends.last().map_or(DVec2::ZERO, |end| *end - ends[0]);
        if squared(*from, *to).is_none() || by.length() < 1.0 {
            return Err("the wall's two ends are one; click them apart".into());
        }
        let mut says = format!(
            "(from: {}, to: {}, framing: {}",
            self.file.point_text(start),
            self.file.point_text(start + by),
            self.text("framing")
        );
        for (key, field) in [
            ("board", "board"),
            ("left", "tile_left"),
            ("right", "tile_right"),
        ] {
            if let Some(thick) = self.may(key)? {
                says.push_str(&format!(", {field}: {}", length_text(thick)));
            }
        }
        says.push_str(&format!(", on_edge: {})", self.text("edge")));
        let name = self.name("wall");
        Ok(Written::new(add(&self.tree, "walls", &name, says), name))
    }

    fn fixture(&self) -> Result<Written, String> {
        let at = self.clicked("where it drains")?;
        let kind = self.asked.kind();
        let name = self.name(&called(&kind));
        let (point, landing, more) = self.place(at, &kind)?;
        let mut edits = Vec::new();
        let landing = match self.may("box")?.filter(|wide| *wide > 0.0) {
            Some(wide) => {
                let (void, landing) = void(&self.tree, &name, &point, wide);
                edits.push(void);
                landing
            }
            None => landing,
        };
        let under = matches!(
            kind.as_str(),
            "tub" | "shower" | "floor_drain" | "heater_pan"
        );
        let trap = match (under, in_wall(&kind)) {
            (true, _) => Trap::UnderSlab,
            (false, true) => Trap::InWall,
            (false, false) => Trap::InFixture,
        };
        let trap = trap.told();
        let later = if self.text("later") == "true" {
            ", later: true"
        } else {
            ""
        };
        let says = format!("(kind: {kind}, at: {point}, landing: {landing}{trap}{more}{later})");
        edits.push(add(&self.tree, "fixtures", &name, says));
        if let Some(drop) = self.may("drop")?.filter(|drop| *drop > 0.0) {
            edits.push(self.lower(&name, drop)?);
        }
        if !self.asked.house.layout.runs.is_empty() {
            let house = self.asked.house;
            let stands = stands_at(&house.text, &edits, &name).unwrap_or(at);
            for branch in branches(house, &[stands]).unwrap_or_default() {
                let run = fresh(&self.tree, &format!("{name} drain"));
                edits.push(add(
                    &self.tree,
                    "runs",
                    &run,
                    branch.told(&name, &self.file),
                ));
            }
        }
        Ok(Written::new(Edit::All(edits), name))
    }

    /// The lower floor of a shower, round its drain.
    fn lower(&self, name: &str, drop: f64) -> Result<Edit, String> {
        let middle = DVec2::new(self.must("east")?, self.must("north")?);
        let half = DVec2::new(
            self.may("wide")?.unwrap_or(36.0),
            self.may("deep")?.unwrap_or(36.0),
        ) / 2.0;
        let corner = |x: f64, y: f64| self.file.point_text(middle + half * DVec2::new(x, y));
        let outline = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
        let outline: Vec<String> = outline.into_iter().map(|(x, y)| corner(x, y)).collect();
        let id = fresh(&self.tree, &format!("{name} floor"));
        let says = format!(
            "(outline: [{}], drop: {})",
            outline.join(", "),
            length_text(drop)
        );
        Ok(set(&["slab", "zones", &id], says))
    }

    /// How a fixture's place is told, what it lands in, and what else goes with that.
    fn place(&self, at: DVec2, kind: &str) -> Result<(String, String, String), String> {
        let has = |key: &str| self.blanks.iter().any(|blank| blank.key == key);
        if has("by")
            && let Some((wall, _)) = self.asked.back_wall(at)
        {
            let side = (wall.to - wall.from).perp_dot(at - wall.from);
            let face = if side >= 0.0 { "left" } else { "right" };
            let (by, along) = (self.must("by")?, self.must("along")?);
            let id = wall.id.as_str();
            return Ok((
                format!(
                    "(off: {id:?}, face: {face}, by: {}, along: {})",
                    length_text(by),
                    length_text(along)
                ),
                "floor".into(),
                format!(", back_wall: {id:?}, rough_in: {}", length_text(by)),
            ));
        }
        if has("x")
            && let Some((cabinet, _)) = self.asked.cabinet_at(at)
        {
            let (x, y) = (self.must("x")?, self.must("y")?);
            let id = cabinet.id.as_str();
            return Ok((
                format!("(in: {id:?}, x: {}, y: {})", length_text(x), length_text(y)),
                format!("(cabinet: {id:?})"),
                String::new(),
            ));
        }
        if has("along")
            && let Some((wall, _)) = self.asked.wall_at(at, f64::INFINITY)
        {
            let id = wall.id.as_str();
            let along = length_text(self.must("along")?);
            return Ok((
                format!("(in: {id:?}, along: {along})"),
                format!("(wall: {id:?})"),
                String::new(),
            ));
        }
        if in_wall(kind) {
            let wanted = "click nearer to the wall inside, or into the cabinet, that it stands at";
            return Err(wanted.into());
        }
        let at = DVec2::new(self.must("east")?, self.must("north")?);
        Ok((self.file.point_text(at), "floor".into(), String::new()))
    }

    fn cabinet(&self) -> Result<Written, String> {
        self.clicked("its middle")?;
        let middle = DVec2::new(self.must("east")?, self.must("north")?);
        let size = pair(self.must("long")?, self.must("deep")?);
        let turn = match self.text("turn") {
            "" => String::new(),
            turn => format!(", turn: {turn}"),
        };
        let name = self.name("cabinet");
        let says = format!(
            "(centre: {}, size: {size}{turn})",
            self.file.point_text(middle)
        );
        Ok(Written::new(add(&self.tree, "cabinets", &name, says), name))
    }

    fn room(&self) -> Written {
        let kind = self.text("kind");
        let name = self.name(kind);
        let says = format!("(kind: {kind})");
        Written::new(add(&self.tree, "rooms", &name, says), name)
    }

    fn exit(&self) -> Result<Written, String> {
        let at = self.clicked("where the drain leaves")?;
        let side = self.asked.side_at(at);
        let (from, along, _) = side.ok_or("tell the slab's shape first")?;
        let at = from + along * self.must("along")?;
        let id = drain_id(self.asked.house);
        let path = |field| ["drains", id.as_str(), "exit", field];
        let edits = vec![
            set(&path("at"), self.file.point_text(at)),
            set(&path("way"), self.text("way")),
        ];
        something(edits, "the way out")
    }

    fn main_line(&self) -> Result<Written, String> {
        let layout = &self.asked.house.layout;
        let drain = layout.drains.first().ok_or("tell the way out first")?;
        let first = self.clicked("the fixture farthest from the way out")?;
        let fixture = self.asked.start_at(first);
        let start = layout
            .fixtures
            .iter()
            .find(|one| Some(one.id.as_str()) == fixture.as_deref());
        let mut clicks = self.asked.clicks.to_vec();
        clicks[0] = start.map_or(first, |one| one.at);
        let mut line = chain(&clicks, &std::collections::BTreeMap::new());
        let drawn = start.and_then(|one| drain_of(layout, &one.id));
        let own = drawn.map_or(Vec::new(), |run| flows_into(layout, run.id.as_str()));
        let joins = clicks[1..]
            .iter()
            .last()
            .and_then(|_| run_at(self.asked.house, *line.last()?, &own));
        let to = if let Some((run, at)) = &joins {
            line.pop();
            format!("(run: {run:?}, at: {})", self.file.point_text(*at))
        } else {
            self.square_out(&mut line, drain.exit.at);
            format!("{:?}", drain.id.as_str())
        };
        let via: Vec<String> = line[1..]
            .iter()
            .map(|at| self.file.point_text(*at))
            .collect();
        let from = match &fixture {
            Some(fixture) => format!("{fixture:?}"),
            None => self.file.point_text(first),
        };
        // A fixture has one drain: told again, it is drawn anew.
        if let Some(run) = drawn {
            let edit = self.drawn_anew(run, &via, to);
            return Ok(Written::new(edit, format!("{}, drawn anew", run.id)));
        }
        let via = if via.is_empty() {
            String::new()
        } else {
            format!(", via: [{}]", via.join(", "))
        };
        let says = format!("(from: {from}{via}, to: {to})");
        let usual = match (&joins, &fixture) {
            (Some(_), Some(fixture)) => format!("{fixture} drain"),
            (Some(_), None) => "branch".into(),
            (None, _) => "main line".into(),
        };
        let name = fresh(&self.tree, &usual);
        Ok(Written::new(add(&self.tree, "runs", &name, says), name))
    }

    /// Another way for a run; all else that is told of it stays, but for increasers, which lay on the old way.
    fn drawn_anew(&self, run: &layout::Run, via: &[String], to: String) -> Edit {
        let path = |field| ["runs", run.id.as_str(), field];
        let runs = self.tree.entry("runs");
        let told = runs.and_then(|runs| runs.value.entry(run.id.as_str()));
        let has = |field| told.is_some_and(|told| told.value.entry(field).is_some());
        let mut edits = vec![set(&path("to"), to)];
        match (via.is_empty(), has("via")) {
            (false, _) => edits.push(set(&path("via"), format!("[{}]", via.join(", ")))),
            (true, true) => edits.push(Edit::remove(path("via"))),
            (true, false) => {}
        }
        if has("increasers") {
            edits.push(Edit::remove(path("increasers")));
        }
        Edit::All(edits)
    }

    /// Draws the last bend so that the last leg meets the edge square, where it was clicked near that.
    fn square_out(&self, line: &mut [DVec2], exit: DVec2) {
        let Some((_, edge, _)) = self.asked.side_at(exit) else {
            return;
        };
        let [.., before, last] = line else { return };
        let leg = (*last - *before).try_normalize().unwrap_or(edge);
        let off = (exit - *last).dot(edge);
        let lean = leg.dot(edge);
        if off.abs() < SQUARE_OUT && lean.abs() > 0.3 {
            *last += leg * (off / lean);
        }
    }

    fn join(&self) -> Result<Written, String> {
        let house = self.asked.house;
        let left = without_run(&house.layout);
        if left.is_empty() {
            return Err("every fixture has its drain".into());
        }
        let of = |id: &String| {
            house
                .layout
                .fixtures
                .iter()
                .find(|one| one.id.as_str() == id)
        };
        let places: Vec<DVec2> = left.iter().filter_map(of).map(|one| one.at).collect();
        let branches = branches(house, &places).ok_or("tell the way out first")?;
        let mut edits = Vec::new();
        for (id, branch) in left.iter().zip(branches) {
            let run = fresh(&self.tree, &format!("{id} drain"));
            let says = branch.told(id, &self.file);
            edits.push(self.first(edits.is_empty(), "runs", &run, says));
        }
        something(edits, "the other drains")
    }

    fn cleanout(&self) -> Result<Written, String> {
        let house = self.asked.house;
        let at = self.clicked("the pipe it stands on")?;
        let mut stands =
            stands_on(house, at).ok_or("there is no pipe within two feet of the click")?;
        if let Some(from) = self.may("from")? {
            stands = stands
                .moved(house, from)
                .ok_or("the line outside has no such place")?;
        }
        let name = self.name(CLEANOUT);
        let says = stands.told(house, Some(self.text("cleans")));
        let says = says.ok_or("the layout can't be read")?;
        Ok(Written::new(
            add(&self.tree, "cleanouts", &name, says),
            name,
        ))
    }

    fn vent(&self) -> Result<Written, String> {
        let which = self.text("which");
        let how = self.text("how");
        let says = match how {
            "riser" | "combination" | "admittance" | "unknown" => how.to_owned(),
            "wet" | "common" => format!("({how}: {:?})", self.text("by")),
            "other" => {
                let words = self.text("says");
                if words.is_empty() {
                    return Err("write down what was said of it".into());
                }
                format!("(other: {words:?})")
            }
            _ => self.up_a_wall(which, how)?,
        };
        Ok(Written::new(
            set(&["fixtures", which, "vent"], says),
            format!("the vent of {which}"),
        ))
    }

    fn up_a_wall(&self, which: &str, how: &str) -> Result<String, String> {
        let at = self.clicked("the wall it goes up")?;
        let along = self
            .must("along")
            .map_err(|_| "click nearer to a wall inside")?;
        let found = self.asked.wall_at(at, f64::INFINITY);
        let (wall, _) = found.ok_or("there is no wall inside yet")?;
        let id = wall.id.as_str();
        let up = format!("(in: {id:?}, along: {})", length_text(along));
        if how == "island_loop" {
            let down = self.comes_down(which)?;
            return Ok(format!(
                "(island_loop: (down: {down}, up: {up}, wall: {id:?}))"
            ));
        }
        let direction = (wall.to - wall.from).try_normalize().unwrap_or(DVec2::X);
        let point = wall.from + direction * along;
        let at = self.leaves(which, point);
        let at = at.map_or(String::new(), |at| {
            format!("at: {}, ", self.file.point_text(at))
        });
        Ok(format!("(take_off: ({at}up: {up}, wall: {id:?}))"))
    }

    /// Where an island's loop comes down, in the frame of the cabinet its sink stands in.
    fn comes_down(&self, which: &str) -> Result<String, String> {
        let layout = &self.asked.house.layout;
        let fixture = layout.fixtures.iter().find(|one| one.id.as_str() == which);
        let cabinet = fixture.and_then(|one| cabinet_over(layout, one.at));
        let (cabinet, _) = cabinet
            .ok_or("a loop comes down beside its sink, in a cabinet; this one stands in none")?;
        let (x, y) = (self.must("down x")?, self.must("down y")?);
        let id = cabinet.id.as_str();
        Ok(format!(
            "(in: {id:?}, x: {}, y: {})",
            length_text(x),
            length_text(y)
        ))
    }

    /// Where a fixture's drain passes nearest to a vent's foot.
    fn leaves(&self, fixture: &str, foot: DVec2) -> Option<DVec2> {
        let house = self.asked.house;
        let from = |run: &&layout::Run| matches!(&run.from, RunStart::Fixture(id) if id.as_str() == fixture);
        let run = house.layout.runs.iter().find(from)?;
        let line = house.lines.iter().find(|line| line.id == run.id.as_str())?;
        let on = nearest_on(&line.plan(), foot)?;
        Some(sixteenths(on))
    }
}

/// The run that starts at a fixture.
fn drain_of<'l>(layout: &'l Layout, fixture: &units::Id) -> Option<&'l layout::Run> {
    let from = RunStart::Fixture(fixture.clone());
    layout.runs.iter().find(|run| run.from == from)
}

/// A run and all that flows into it.
fn flows_into(layout: &Layout, run: &str) -> Vec<String> {
    let mut all = vec![run.to_owned()];
    let mut next = 0;
    while let Some(here) = all.get(next).cloned() {
        let joins = |one: &&layout::Run| match &one.to {
            layout::RunEnd::Run { run, .. } => run.as_str() == here,
            layout::RunEnd::Drain(_) => false,
        };
        let more = layout.runs.iter().filter(joins);
        let more: Vec<String> = more.map(|one| one.id.to_string()).collect();
        all.extend(more);
        next += 1;
    }
    all
}

/// The run that a branch's last place lies on, but for `own` ones, and the place on it, to a sixteenth.
fn run_at(house: &House, at: DVec2, own: &[String]) -> Option<(String, DVec2)> {
    let on = |line: &crate::RunLine| nearest_on(&line.plan(), at).map(|on| (line.id.clone(), on));
    let lines = house.lines.iter().filter(|line| !own.contains(&line.id));
    let near = lines.filter_map(on);
    let near = near.filter(|(_, on)| on.distance(at) < ENDS_ON);
    let (run, on) = near.min_by(|a, b| a.1.distance(at).total_cmp(&b.1.distance(at)))?;
    Some((run, sixteenths(on)))
}

fn something(edits: Vec<Edit>, says: &str) -> Result<Written, String> {
    if edits.is_empty() {
        return Err("nothing is typed yet".into());
    }
    Ok(Written::new(Edit::All(edits), says))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    fn refused(text: &str, question: Question, typed: &[(&str, &str)]) -> String {
        let house = House {
            text: text.into(),
            layout: layout::resolve(&layout::read(text, "").file.unwrap()).0,
            ..House::default()
        };
        let typed: BTreeMap<String, String> = typed
            .iter()
            .map(|(key, says)| ((*key).to_owned(), (*says).to_owned()))
            .collect();
        let asked = Asked {
            house: &house,
            question,
            clicks: &[],
            typed: &typed,
        };
        asked.write().map_or_else(|why| why, |written| written.says)
    }

    #[test]
    fn a_side_that_cannot_be_read_is_told() {
        let says = refused(
            "()",
            Question::Outline,
            &[("side 1", "a28'"), ("side 2", "")],
        );
        assert!(says.starts_with("side 1: "), "{says}");
        let says = refused(
            "()",
            Question::Outline,
            &[("side 1", "28'"), ("side 2", "")],
        );
        assert!(says.starts_with("a slab has three corners"), "{says}");
    }

    #[test]
    fn what_the_blanks_cannot_say_is_not_written_over() {
        let slab = |layers: &str| {
            format!(
                "(slab: (outline: [(\"0\", \"0\"), (\"9'\", \"0\"), (\"9'\", \"9'\")], layers: [{layers}]))"
            )
        };
        let four = [("concrete", "5")];
        let sheet = slab("(concrete, \"4 in\"), (sheet, \"0\"), (gravel, \"4 in\")");
        let says = refused(&sheet, Question::Build, &four);
        assert!(says.starts_with("its layers are told"), "{says}");
        let plain = slab("(concrete, \"4 in\"), (gravel, \"4 in\")");
        assert_eq!(refused(&plain, Question::Build, &four), "layers and edge");

        let ground =
            "(outside: (ground: [(\"0\", \"-8 in\"), (\"5'\", \"-9 in\"), (\"20'\", \"-20 in\")]))";
        let says = refused(ground, Question::Ground, &[("near", "9")]);
        assert!(says.starts_with("the ground is told at 3 places"), "{says}");
        let frost = [("frost", "12")];
        assert_eq!(
            refused(ground, Question::Ground, &frost),
            "the ground outside"
        );

        let walled = plain.replace(
            "(slab",
            "(walls: {\"south\": (from: (\"0\", \"3 in\"), to: (\"9'\", \"3 in\"), framing: \"2x6\", on_edge: true)}, slab",
        );
        let says = refused(&walled, Question::WallsRound, &[]);
        assert!(says.starts_with("there are walls on"), "{says}");
    }
}
