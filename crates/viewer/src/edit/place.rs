//! New things: a stub with the run that drains it, or a cleanout, placed by a click; a bend put into a run.

use glam::DVec2;
use layout::{Edit, Layout, Step, length_text};

use super::angles::{quarters, sixteenths};
use super::branch::branches;
use super::moves::{nearest_on, off_segment};
use crate::house::House;

/// How near a wall a click must be to mean it, inches.
const LANDS: f64 = 9.0;
/// And how near a run, for a cleanout. Our choice.
const STANDS: f64 = 24.0;
/// What is placed on a run that is there, as the layout's word would be.
pub const CLEANOUT: &str = "cleanout";

/// What can be placed: the layout's word, and where its trap is when it does not stand in a wall.
pub const PLACED: [(&str, Trap); 12] = [
    ("closet", Trap::InFixture),
    ("lavatory", Trap::InWall),
    ("tub", Trap::UnderSlab),
    ("shower", Trap::UnderSlab),
    ("kitchen_sink", Trap::InWall),
    ("bar_sink", Trap::InWall),
    ("utility_sink", Trap::InWall),
    ("washer", Trap::InWall),
    ("bidet", Trap::InWall),
    ("floor_drain", Trap::UnderSlab),
    ("heater_pan", Trap::UnderSlab),
    ("softener", Trap::InWall),
];

/// What a fixture is called by the people who live with it.
pub fn called(kind: &str) -> String {
    match kind {
        "closet" => "toilet".into(),
        "lavatory" => "basin".into(),
        _ => kind.replace('_', " "),
    }
}

/// Where a trap usually is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Trap {
    /// In the fixture.
    InFixture,
    /// In the wall or the cabinet.
    InWall,
    /// Under the slab.
    UnderSlab,
}

impl Trap {
    /// The end of a fixture's fields that says it; under the slab 8 in across until it is told, our choice.
    pub fn told(self) -> &'static str {
        match self {
            Self::InFixture => "",
            Self::InWall => ", trap: in_wall",
            Self::UnderSlab => ", trap: (under_slab: \"8 in\")",
        }
    }
}

/// The change that puts a fixture of `kind` at a plan point, with a run to the nearest run, and its new id. Its vent is
/// left to tell. A cleanout goes on the run or the line outside that it was put at.
pub fn placed(house: &House, kind: &str, at: DVec2) -> Option<(String, Edit)> {
    if kind == CLEANOUT {
        let tree = layout::parse(&house.text, "").ok()?;
        let (id, stands) = (fresh(&tree, CLEANOUT), stands_on(house, at)?);
        let edit = add(&tree, "cleanouts", &id, stands.told(house, None)?);
        return Some((id, edit));
    }
    let (_, trap) = PLACED.into_iter().find(|(word, _)| *word == kind)?;
    let file = layout::read(&house.text, "").file?;
    let tree = layout::parse(&house.text, "").ok()?;
    let id = fresh(&tree, &called(kind));
    let (point, landing) =
        told(house, at).unwrap_or_else(|| (file.point_text(quarters(at)), "floor".into()));
    let trap = trap.told();
    let mut edits = Vec::new();
    let landing = if kind == "tub" {
        let (void, landing) = void(&tree, &id, &point, VOID);
        edits.push(void);
        landing
    } else {
        landing
    };
    let fixture = format!("(kind: {kind}, at: {point}, landing: {landing}{trap})");
    edits.push(add(&tree, "fixtures", &id, fixture));
    let stands = stands_at(&house.text, &edits, &id).unwrap_or(at);
    for branch in branches(house, &[stands]).unwrap_or_default() {
        let run = fresh(&tree, &format!("{id} drain"));
        edits.push(add(&tree, "runs", &run, branch.told(&id, &file)));
    }
    Some((id, Edit::All(edits)))
}

/// Where a cleanout stands.
#[derive(Clone, PartialEq, Debug)]
pub struct Stands {
    /// Its place, on the pipe.
    pub at: DVec2,
    /// The run, or the drain whose line outside it is.
    pub on: String,
    /// Inches from the house, along the line outside.
    pub from: f64,
    /// Level of the ground, where it is the line outside and the ground is told.
    pub outside: Option<Option<f64>>,
}

impl Stands {
    /// Moved along the line outside to so many inches from the house.
    #[must_use]
    pub fn moved(&self, house: &House, from: f64) -> Option<Self> {
        let drain = house
            .layout
            .drains
            .iter()
            .find(|drain| drain.id.as_str() == self.on)?;
        let away = (self.at - drain.exit.at).try_normalize()?;
        on_line(house, drain, drain.exit.at + away * from)
    }

    /// As the layout says it; `cleans` is the layout's word for the way a cable goes. Unsaid, one outside cleans both ways and
    /// one on a run downstream.
    pub fn told(&self, house: &House, cleans: Option<&str>) -> Option<String> {
        let file = layout::read(&house.text, "").file?;
        let (at, on) = (file.point_text(self.at), &self.on);
        let cleans = cleans.map_or(String::new(), |way| format!(", cleans: {way}"));
        Some(match self.outside {
            Some(ground) => {
                let both = if cleans.is_empty() {
                    ", two_way: true"
                } else {
                    &cleans
                };
                let top = ground.map_or(String::new(), |level| {
                    format!(", top: {}", length_text(level))
                });
                format!("(at: {at}, outside: {on:?}{both}{top}, landing: floor)")
            }
            None => format!("(at: {at}, on: {on:?}{cleans}, landing: floor)"),
        })
    }
}

/// On a drain's line outside, at its place nearest to a plan point.
fn on_line(house: &House, drain: &layout::Drain, at: DVec2) -> Option<Stands> {
    let bodies = house.scene.pipes.iter().filter(|pipe| pipe.id == drain.id);
    let tubes = bodies
        .filter(|pipe| pipe.part == scene::Part::Pipe)
        .flat_map(|pipe| &pipe.tubes);
    let places = tubes.filter_map(|tube| nearest_on(&[tube.a.truncate(), tube.b.truncate()], at));
    let place = places.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))?;
    let from = drain.exit.at.distance(place);
    let ground = layout::ground_level(house.layout.ground_along(drain), from);
    Some(Stands {
        at: sixteenths(place),
        on: drain.id.to_string(),
        from,
        outside: Some(ground.map(|level| (level * 4.0).round() / 4.0)),
    })
}

/// The run or the line outside that a click for a cleanout means, the nearest within two feet.
pub fn stands_on(house: &House, at: DVec2) -> Option<Stands> {
    let run = |line: &crate::RunLine| {
        let plan = line.plan();
        Some(Stands {
            at: sixteenths(nearest_on(&plan, at)?),
            on: line.id.clone(),
            from: 0.0,
            outside: None,
        })
    };
    let outside = |drain: &layout::Drain| on_line(house, drain, at);
    let runs = house.lines.iter().filter_map(run);
    let lines = house.layout.drains.iter().filter_map(outside);
    let near = runs.chain(lines).filter(|one| one.at.distance(at) < STANDS);
    near.min_by(|a, b| a.at.distance(at).total_cmp(&b.at.distance(at)))
}

/// Where a fixture stands once these changes are made.
pub fn stands_at(text: &str, edits: &[Edit], fixture: &str) -> Option<DVec2> {
    let written = layout::apply(text, "", &Edit::All(edits.to_vec())).ok()?;
    let file = layout::read(&written.text, "").file?;
    let (layout, _) = layout::resolve(&file);
    let found = layout
        .fixtures
        .iter()
        .find(|one| one.id.as_str() == fixture)?;
    Some(found.at)
}

/// The void usually left in the slab round a tub's drain, inches. Common practice, no source.
pub const VOID: f64 = 12.0;

/// The change that leaves a void so wide round a fixture's place, and the landing in it.
pub fn void(tree: &layout::Node, fixture: &str, point: &str, wide: f64) -> (Edit, String) {
    let id = fresh(tree, &format!("{fixture} box"));
    let wide = length_text(wide);
    let says = format!("(centre: {point}, size: ({wide}, {wide}), depth: \"8 in\")");
    (
        add(tree, "box_outs", &id, says),
        format!("(box_out: {id:?})"),
    )
}

/// A new item of a section that may not be there yet.
pub fn add(tree: &layout::Node, section: &str, id: &str, value: String) -> Edit {
    match tree.entry(section) {
        Some(_) => Edit::add(section, id, value),
        None => Edit::set([section, id], value),
    }
}

/// A name that nothing has yet: `name`, or `name 2` and so on.
pub fn fresh(tree: &layout::Node, name: &str) -> String {
    let taken = |name: &str| {
        tree.entries()
            .iter()
            .any(|section| section.value.entry(name).is_some())
    };
    let numbered = (2..).map(|n| format!("{name} {n}"));
    std::iter::once(name.to_owned())
        .chain(numbered)
        .find(|name| !taken(name))
        .unwrap_or_else(|| name.to_owned())
}

/// The place and the landing by the wall or cabinet at a plan point.
fn told(house: &House, at: DVec2) -> Option<(String, String)> {
    in_wall(&house.layout, at).or_else(|| in_cabinet(&house.layout, at))
}

/// The wall inside the house nearest to a plan point and nearer than `reach`, with the station along it.
pub fn wall_near(layout: &Layout, at: DVec2, reach: f64) -> Option<(&layout::Wall, f64)> {
    let walls = layout.walls.iter().filter(|wall| !wall.on_edge);
    let off = |wall: &layout::Wall| off_segment(at, wall.from, wall.to);
    let wall = walls
        .filter(|wall| off(wall) < reach)
        .min_by(|a, b| off(a).total_cmp(&off(b)))?;
    let along = (wall.to - wall.from).try_normalize()?;
    Some((wall, (at - wall.from).dot(along)))
}

/// The cabinet over a plan point, with the place in its own frame.
pub fn cabinet_over(layout: &Layout, at: DVec2) -> Option<(&layout::Cabinet, DVec2)> {
    let own = |cabinet: &layout::Cabinet| {
        DVec2::from_angle(-cabinet.turn_deg.to_radians()).rotate(at - cabinet.centre)
    };
    let over = |cabinet: &&layout::Cabinet| own(cabinet).abs().cmple(cabinet.size / 2.0).all();
    let cabinet = layout.cabinets.iter().find(over)?;
    Some((cabinet, own(cabinet)))
}

fn in_wall(layout: &Layout, at: DVec2) -> Option<(String, String)> {
    let (wall, station) = wall_near(layout, at, LANDS)?;
    let station = (station * 4.0).round() / 4.0;
    let id = wall.id.as_str();
    Some((
        format!("(in: {id:?}, along: {})", length_text(station)),
        format!("(wall: {id:?})"),
    ))
}

fn in_cabinet(layout: &Layout, at: DVec2) -> Option<(String, String)> {
    let (cabinet, own) = cabinet_over(layout, at)?;
    let local = quarters(own);
    let id = cabinet.id.as_str();
    Some((
        format!(
            "(in: {id:?}, x: {}, y: {})",
            length_text(local.x),
            length_text(local.y)
        ),
        format!("(cabinet: {id:?})"),
    ))
}

/// The run that passes nearest, else the first drain.
pub fn nearest_run(house: &House, at: DVec2) -> Option<String> {
    let off = |line: &crate::RunLine| {
        let plan = line.plan();
        nearest_on(&plan, at).map_or(f64::INFINITY, |on| on.distance(at))
    };
    let run = house.lines.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    let drain = house
        .layout
        .drains
        .first()
        .map(|drain| drain.id.to_string());
    run.map(|run| run.id.clone()).or(drain)
}

/// The change that puts a bend into the middle of a run's longest leg.
pub fn bent(house: &House, run: &str) -> Option<Edit> {
    let file = layout::read(&house.text, "").file?;
    let line = house.lines.iter().find(|line| line.id == run)?;
    let told = house
        .layout
        .runs
        .iter()
        .find(|one| one.id.as_str() == run)?;
    let mut points = vec![line.points.first()?.truncate()];
    points.extend(&told.via);
    points.push(line.points.last()?.truncate());
    let legs = points.windows(2).enumerate();
    let (leg, ends) = legs.max_by(|a, b| {
        let length = |leg: &[DVec2]| leg[0].distance(leg[1]);
        length(a.1).total_cmp(&length(b.1))
    })?;
    let middle = file.point_text(quarters(ends[0].midpoint(ends[1])));
    Some(if told.via.is_empty() {
        Edit::set(["runs", run, "via"], format!("[{middle}]"))
    } else {
        Edit::Insert {
            path: vec![Step::from("runs"), run.into(), "via".into(), leg.into()],
            value: middle,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use glam::DVec3;

    const TEXT: &str = r#"(
    slab: (outline: [("0", "0"), ("40'", "0"), ("40'", "30'"), ("0", "30'")], layers: [(concrete, "4 in")]),
    walls: { "wet": (from: ("20'", "4'"), to: ("20'", "24'"), framing: "2x6") },
    cabinets: { "island": (centre: ("10'", "10'"), size: ("6'", "3'"), turn: 90) },
    fixtures: { "shower": (kind: shower, at: ("30'", "20'"), landing: floor) }, // the only one
    drains: { "out": (exit: (at: ("30'", "0"))) },
    runs: { "trunk": (from: "shower", to: "out") },
)"#;

    fn house(text: &str) -> House {
        let reading = layout::read(text, "t.ron");
        let (layout, problems) = reading.file.as_ref().map(layout::resolve).unwrap();
        assert_eq!((reading.problems, problems), (vec![], vec![]));
        let line = |run: &layout::Run| crate::RunLine {
            id: run.id.to_string(),
            drain: "out".into(),
            into: String::new(),
            points: vec![
                DVec3::new(360.0, 240.0, -12.0),
                DVec3::new(360.0, 0.0, -17.0),
            ],
            size: "2".into(),
            grade_in_per_ft: 0.25,
        };
        House {
            text: text.into(),
            lines: layout.runs.iter().map(line).collect(),
            layout,
            ..House::default()
        }
    }

    fn place(kind: &str, at: (f64, f64)) -> (String, House) {
        let (id, edit) = placed(&house(TEXT), kind, DVec2::new(at.0, at.1)).unwrap();
        let text = layout::apply(TEXT, "t.ron", &edit).unwrap().text;
        assert!(text.contains("// the only one"), "{text}");
        (id, house(&text))
    }

    #[test]
    fn near_a_wall_it_lands_in_the_wall_with_a_run() {
        let (id, house) = place("lavatory", (245.0, 100.1));
        assert_eq!(id, "basin");
        let fixture = &house.layout.fixtures[1];
        assert_eq!(
            (fixture.at, &fixture.landing),
            (
                DVec2::new(240.0, 100.0),
                &layout::Landing::Wall("wet".into())
            )
        );
        assert_eq!(fixture.trap, layout::TrapPlace::InWall { tee: None });
        assert_eq!(
            house.layout.runs[1].from,
            layout::RunStart::Fixture("basin".into())
        );
    }

    #[test]
    fn in_a_turned_cabinet_it_is_told_in_its_frame_and_elsewhere_by_east_and_north() {
        let (_, house) = place("kitchen_sink", (120.0, 130.0));
        assert!(
            house.layout.fixtures[1]
                .at
                .distance(DVec2::new(120.0, 130.0))
                < 0.2
        );
        assert_eq!(
            house.layout.fixtures[1].landing,
            layout::Landing::Cabinet("island".into())
        );
        let (id, house) = place("shower", (400.1, 300.0));
        assert_eq!(
            (id.as_str(), house.layout.fixtures[1].at),
            ("shower 2", DVec2::new(400.0, 300.0))
        );
        assert_eq!(placed(&house, "piano", DVec2::ZERO), None);
    }

    #[test]
    fn a_bend_is_put_into_the_longest_leg() {
        let edit = bent(&house(TEXT), "trunk").unwrap();
        let text = layout::apply(TEXT, "t.ron", &edit).unwrap().text;
        let once = house(&text);
        assert_eq!(once.layout.runs[0].via, [DVec2::new(360.0, 120.0)]);
        let edit = bent(&once, "trunk").unwrap();
        let text = layout::apply(&text, "t.ron", &edit).unwrap().text;
        assert_eq!(house(&text).layout.runs[0].via.len(), 2);
        assert_eq!(bent(&once, "nobody"), None);
    }
}
