//! From a text to what it says: one function a section, in the order of the first evening.

use units::Grade;

use crate::{
    file::{
        Along, BlockSays, BoxOutSays, CabinetSays, CleanoutSays, DrainSays, EdgeSays, EndSays,
        ExitSays, File, FixtureSays, FootingSays, LandingSays, Name, Outline, Point, PointForm,
        RoomSays, RunSays, Says, ServiceSays, SlabSays, StartSays, TrapSays, VentSays, WallFace,
        WallSays, ZoneSays,
    },
    limits::{
        DEPTH, ELEVATION, LAYER, LEVEL, LINE, MOST_BYTES, MOST_CORNERS, PLAN, SIZE, THICKNESS,
    },
    lower::{Fields, Reader},
    model::{Layer, Outside, OutsideLine, Receiver},
    node::{self, Entry, Kind, Node},
    problem::{Problem, Source},
    words,
};

/// What came of reading a text.
#[derive(Clone, PartialEq, Debug)]
pub struct Reading {
    /// What the file says, as far as it could be read; `None` when it is too large or its syntax is torn.
    pub file: Option<File>,
    /// What is wrong with it, in the order of the file.
    pub problems: Vec<Problem>,
}

/// Reads the text of a layout. `name` is what problems call it, usually the file's name.
///
/// All mistakes are told in one go; only torn syntax ends the reading where it stands. What is wrong is left out of
/// the file, the rest is kept.
///
/// ```
/// let reading = layout::read("(title: \"Shed\", slab: (outlin: []))", "shed.ron");
/// assert_eq!(
///     reading.problems[0].to_string(),
///     "shed.ron:1:24: slab outlin: there is no outlin here; did you mean outline? it may be outline, layers, gap, \
///      hubs_below, post_tensioned, zones"
/// );
/// ```
pub fn read(text: &str, name: &str) -> Reading {
    if let Some(problem) = too_large(text.len() as u64, name) {
        return Reading {
            file: None,
            problems: vec![problem],
        };
    }
    let source = Source::new(text, name);
    match node::tree(text) {
        Ok(tree) => said(source, tree),
        Err(torn) => Reading {
            file: None,
            problems: vec![source.torn(torn)],
        },
    }
}

/// The problem of a file of `bytes` bytes, when that is more than a layout may have.
pub(crate) fn too_large(bytes: u64, name: &str) -> Option<Problem> {
    (bytes > MOST_BYTES).then(|| Problem {
        file: name.into(),
        line: 1,
        column: 1,
        item: String::new(),
        wrong: format!("the file has {bytes} bytes"),
        right: format!("a layout has at most {MOST_BYTES}; is this the right file?"),
    })
}

fn said(source: Source, tree: Node) -> Reading {
    let mut reader = Reader::default();
    let says = reader.document(&tree);
    let problems = source.tell(&tree, reader.mistakes);
    Reading {
        file: Some(File { source, tree, says }),
        problems,
    }
}

const DOCUMENT: &[&str] = &[
    "title",
    "dated",
    "code",
    "floor_elevation",
    "measured_from",
    "ledge",
    "slab",
    "foundation",
    "outside",
    "walls",
    "cabinets",
    "box_outs",
    "rooms",
    "fixtures",
    "drains",
    "runs",
    "cleanouts",
    "services",
];

impl Reader {
    fn document(&mut self, tree: &Node) -> Says {
        let Some(f) = self.fields(Some(tree), DOCUMENT) else {
            return Says::default();
        };
        // These two first: points and levels are read by them.
        self.datum = self
            .word(f.get("measured_from"), "a face", words::DATUMS)
            .unwrap_or_default();
        self.floor = self.length(f.get("floor_elevation"), ELEVATION);
        let (edge, blocks) = self.foundation(f.get("foundation"));
        Says {
            title: self.text(f.get("title")).unwrap_or_default(),
            dated: self.date(f.get("dated")),
            code: self.word(f.get("code"), "a code", words::CODES),
            floor_elevation: self.floor,
            measured_from: self.datum,
            ledge: self.length(f.get("ledge"), DEPTH),
            slab: self.slab(f.get("slab")),
            edge,
            blocks,
            outside: self.outside(f.get("outside")),
            walls: self.each(f.get("walls"), Self::wall),
            cabinets: self.each(f.get("cabinets"), Self::cabinet),
            box_outs: self.each(f.get("box_outs"), Self::box_out),
            rooms: self.each(f.get("rooms"), Self::room),
            fixtures: self.each(f.get("fixtures"), Self::fixture),
            drains: self.each(f.get("drains"), Self::drain),
            runs: self.each(f.get("runs"), Self::run),
            cleanouts: self.each(f.get("cleanouts"), Self::cleanout),
            services: self.each(f.get("services"), Self::service),
        }
    }

    fn each<T>(&mut self, node: Option<&Node>, read: fn(&mut Self, &Entry) -> Option<T>) -> Vec<T> {
        let entries = self.items(node);
        entries
            .iter()
            .filter_map(|entry| read(self, entry))
            .collect()
    }

    fn slab(&mut self, node: Option<&Node>) -> Option<SlabSays> {
        let known = [
            "outline",
            "layers",
            "gap",
            "hubs_below",
            "post_tensioned",
            "zones",
        ];
        let f = self.fields(node, &known)?;
        Some(SlabSays {
            outline: self.outline(f.get("outline")),
            layers: self.layers(f.get("layers")),
            gap: self.length(f.get("gap"), DEPTH),
            hubs_below: self.yes_no(f.get("hubs_below")),
            post_tensioned: self.yes_no(f.get("post_tensioned")),
            zones: self.each(f.get("zones"), Self::zone),
        })
    }

    fn zone(&mut self, entry: &Entry) -> Option<ZoneSays> {
        let f = self.fields(Some(&entry.value), &["outline", "drop", "layers"])?;
        Some(ZoneSays {
            name: own(entry),
            outline: self.outline(f.get("outline")),
            drop: self.length(f.get("drop"), LEVEL),
            layers: self.layers(f.get("layers")),
        })
    }

    fn layers(&mut self, node: Option<&Node>) -> Option<Vec<Layer>> {
        let items = self.list(node, "layers from the top down")?;
        Some(items.iter().filter_map(|item| self.layer(item)).collect())
    }

    fn layer(&mut self, node: &Node) -> Option<Layer> {
        let (material, thickness) = self.pair(node, "(concrete, \"4 in\")")?;
        let material = self.word(Some(material), "a material", words::MATERIALS);
        let thickness = self.length(Some(thickness), LAYER);
        Some(Layer {
            material: material?,
            thickness: thickness?,
        })
    }

    fn outline(&mut self, node: Option<&Node>) -> Option<Outline> {
        let items = self.list(node, "corners")?;
        let span = node?.span.clone();
        if items.len() > MOST_CORNERS {
            let wrong = format!("the outline has {} corners", items.len());
            self.wrong(&span, wrong, format!("an outline may have {MOST_CORNERS}"));
            return None;
        }
        let corners: Vec<Point> = items
            .iter()
            .filter_map(|item| self.point(Some(item)))
            .collect();
        let whole = corners.len() == items.len();
        whole.then_some(Outline { span, corners })
    }

    fn foundation(&mut self, node: Option<&Node>) -> (Option<EdgeSays>, Vec<BlockSays>) {
        let Some(f) = self.fields(node, &["edge", "blocks"]) else {
            return (None, Vec::new());
        };
        (
            self.edge(f.get("edge")),
            self.each(f.get("blocks"), Self::block),
        )
    }

    fn edge(&mut self, node: Option<&Node>) -> Option<EdgeSays> {
        let f = self.fields(node, &["kind", "thickness", "top", "bottom", "footing"])?;
        let says = EdgeSays {
            span: f.span().clone(),
            kind: self.word(f.get("kind"), "a kind of edge", words::EDGES),
            thickness: self.length(f.get("thickness"), THICKNESS),
            top: self.length(f.get("top"), LEVEL),
            bottom: self.length(f.get("bottom"), LEVEL),
            footing: self.footing(f.get("footing")),
        };
        self.upright(f, Some(says.top.unwrap_or(0.0)), says.bottom);
        Some(says)
    }

    /// Notes a bottom that is not below its top.
    fn upright(&mut self, f: Fields, top: Option<f64>, bottom: Option<f64>) {
        if let (Some(top), Some(bottom), Some(node)) = (top, bottom, f.get("bottom"))
            && bottom >= top
        {
            let right = "write levels from the finished floor, downward negative";
            self.wrong(&node.span, "its bottom is not below its top", right);
        }
    }

    fn footing(&mut self, node: Option<&Node>) -> Option<FootingSays> {
        let f = self.fields(node, &["width", "thickness", "steps"])?;
        let steps = self.list(f.get("steps"), "steps").unwrap_or_default();
        Some(FootingSays {
            width: self.length(f.get("width"), THICKNESS),
            thickness: self.length(f.get("thickness"), THICKNESS),
            steps: steps.iter().filter_map(|step| self.step(step)).collect(),
        })
    }

    fn step(&mut self, node: &Node) -> Option<(node::Span, usize, f64)> {
        let f = self.fields(Some(node), &["side", "top"])?;
        let side = self.index(f.get("side"));
        let top = self.length(f.get("top"), LEVEL);
        Some((f.get("side")?.span.clone(), side?, top?))
    }

    fn block(&mut self, entry: &Entry) -> Option<BlockSays> {
        let f = self.fields(Some(&entry.value), &["kind", "outline", "top", "bottom"])?;
        let says = BlockSays {
            name: own(entry),
            kind: self.word(f.get("kind"), "a kind of block", words::BLOCKS),
            outline: self.outline(f.get("outline")),
            top: self.length(f.get("top"), LEVEL),
            bottom: self.length(f.get("bottom"), LEVEL),
        };
        self.upright(f, says.top, says.bottom);
        Some(says)
    }

    fn outside(&mut self, node: Option<&Node>) -> Outside {
        let Some(f) = self.fields(node, &["ground", "frost", "cover", "expansive_soil"]) else {
            return Outside::default();
        };
        Outside {
            ground: self.ground(f.get("ground")),
            frost: self.length(f.get("frost"), DEPTH),
            cover: self.length(f.get("cover"), DEPTH),
            expansive_soil: self.yes_no(f.get("expansive_soil")).unwrap_or_default(),
        }
    }

    /// A profile `[(distance, level), ...]`, or one level for level ground. Level from the face to the first distance.
    fn ground(&mut self, node: Option<&Node>) -> Vec<(f64, f64)> {
        if let Some(Node {
            kind: Kind::Text(_) | Kind::Number(_),
            ..
        }) = node
        {
            return self
                .length(node, LEVEL)
                .map(|level| (0.0, level))
                .into_iter()
                .collect();
        }
        let mut profile: Vec<(f64, f64)> = Vec::new();
        for item in self
            .list(node, "the ground, from the house outward,")
            .unwrap_or_default()
        {
            let Some((distance, level)) = self.profile_point(item) else {
                continue;
            };
            match profile.last() {
                Some((before, _)) if *before >= distance => {
                    let right = "write the ground from the house outward";
                    self.wrong(
                        &item.span,
                        "this distance is not more than the one before",
                        right,
                    );
                }
                Some(_) => profile.push((distance, level)),
                None if distance > 0.0 => profile.extend([(0.0, level), (distance, level)]),
                None => profile.push((distance, level)),
            }
        }
        profile
    }

    fn profile_point(&mut self, node: &Node) -> Option<(f64, f64)> {
        let (distance, level) = self.pair(node, "(distance, level), like (\"10'\", \"-12 in\")")?;
        let distance = self.length(Some(distance), LINE);
        let level = self.length(Some(level), LEVEL);
        distance.zip(level)
    }

    fn wall(&mut self, entry: &Entry) -> Option<WallSays> {
        let known = [
            "from",
            "to",
            "framing",
            "board",
            "board_left",
            "board_right",
            "tile_left",
            "tile_right",
            "on_edge",
        ];
        let f = self.fields(Some(&entry.value), &known)?;
        Some(WallSays {
            name: own(entry),
            from: self.point(f.get("from")),
            to: self.point(f.get("to")),
            framing: self.framing(f.get("framing")),
            board: self.length(f.get("board"), LAYER),
            board_left: self.length(f.get("board_left"), LAYER),
            board_right: self.length(f.get("board_right"), LAYER),
            tile_left: self.length(f.get("tile_left"), LAYER),
            tile_right: self.length(f.get("tile_right"), LAYER),
            on_edge: self.yes_no(f.get("on_edge")),
        })
    }

    /// The depth of studs: `"2x6"`, or a length.
    fn framing(&mut self, node: Option<&Node>) -> Option<f64> {
        let node = node?;
        match &node.kind {
            Kind::Text(text) if text.contains(['x', 'X']) => {
                self.word(Some(node), "a stud", words::STUDS)
            }
            _ => self.length(Some(node), THICKNESS),
        }
    }

    fn cabinet(&mut self, entry: &Entry) -> Option<CabinetSays> {
        let f = self.fields(Some(&entry.value), &["centre", "size", "turn", "height"])?;
        Some(CabinetSays {
            name: own(entry),
            centre: self.point(f.get("centre")),
            size: self.plan_size(f.get("size")),
            turn: self.degrees(f.get("turn")),
            height: self.length(f.get("height"), SIZE),
        })
    }

    fn box_out(&mut self, entry: &Entry) -> Option<BoxOutSays> {
        let f = self.fields(Some(&entry.value), &["centre", "size", "turn", "depth"])?;
        Some(BoxOutSays {
            name: own(entry),
            centre: self.point(f.get("centre")),
            size: self.plan_size(f.get("size")),
            turn: self.degrees(f.get("turn")),
            depth: self.length(f.get("depth"), DEPTH),
        })
    }

    fn plan_size(&mut self, node: Option<&Node>) -> Option<(f64, f64)> {
        let (long, deep) = self.pair(node?, "(\"12'\", \"3'-6\")")?;
        let long = self.length(Some(long), SIZE);
        let deep = self.length(Some(deep), SIZE);
        long.zip(deep)
    }

    fn room(&mut self, entry: &Entry) -> Option<RoomSays> {
        let f = self.fields(Some(&entry.value), &["kind", "drains"])?;
        let known: Vec<&str> = words::FIXTURES.iter().map(|(word, _)| *word).collect();
        let answers = self.fields(f.get("drains"), &known);
        let mut drains = Vec::new();
        for (word, kind) in words::FIXTURES {
            let given = answers.and_then(|a| a.get(word));
            drains.extend(
                self.word(given, "an answer", words::ANSWERS)
                    .map(|a| (*kind, a)),
            );
        }
        Some(RoomSays {
            name: own(entry),
            kind: self.word(f.get("kind"), "a kind of room", words::ROOMS),
            drains,
        })
    }

    fn fixture(&mut self, entry: &Entry) -> Option<FixtureSays> {
        let known = [
            "kind",
            "at",
            "landing",
            "trap",
            "size",
            "top",
            "vent",
            "back_wall",
            "rough_in",
            "boot",
            "later",
        ];
        let f = self.fields(Some(&entry.value), &known)?;
        Some(FixtureSays {
            name: own(entry),
            kind: self.word(f.get("kind"), "a kind of fixture", words::FIXTURES),
            at: self.point(f.get("at")),
            landing: self.landing(f.get("landing")),
            trap: self.trap(f.get("trap")),
            size: self.size(f.get("size")),
            top: self.length(f.get("top"), LEVEL),
            vent: self.vent(f.get("vent")),
            back_wall: self.name(f.get("back_wall")),
            rough_in: self.length(f.get("rough_in"), SIZE),
            boot: self.yes_no(f.get("boot")),
            later: self.yes_no(f.get("later")),
        })
    }

    fn landing(&mut self, node: Option<&Node>) -> Option<LandingSays> {
        let node = node?;
        if let Kind::Word(_) | Kind::Text(_) = node.kind {
            let words = [("floor", ())];
            return self
                .word(Some(node), "a landing by itself", &words)
                .map(|()| LandingSays::Floor);
        }
        let f = self.fields(Some(node), &["wall", "cabinet", "box_out"])?;
        let wall = self.name(f.get("wall")).map(LandingSays::Wall);
        let cabinet = self.name(f.get("cabinet")).map(LandingSays::Cabinet);
        wall.or(cabinet)
            .or_else(|| self.name(f.get("box_out")).map(LandingSays::BoxOut))
    }

    fn trap(&mut self, node: Option<&Node>) -> Option<TrapSays> {
        let node = node?;
        if let Kind::Fields(_) = node.kind {
            let f = self.fields(Some(node), &["under_slab", "in_wall"])?;
            if let (Some(_), Some(_)) = (f.get("in_wall"), f.get("under_slab")) {
                let wrong = "in_wall and under_slab say different things";
                self.wrong(&node.span, wrong, "keep one of them");
            }
            if let Some(tee) = f.get("in_wall") {
                return Some(TrapSays::InWall(self.length(Some(tee), SIZE)));
            }
            return Some(TrapSays::UnderSlab(self.length(f.get("under_slab"), DEPTH)));
        }
        self.word(Some(node), "a place for a trap", words::TRAPS)
    }

    fn vent(&mut self, node: Option<&Node>) -> Option<VentSays> {
        let node = node?;
        if let Kind::Word(_) | Kind::Text(_) = node.kind {
            let words = [
                ("riser", VentWord::Riser),
                ("admittance", VentWord::Admittance),
                ("combination", VentWord::Combination),
            ];
            let word = self.word(Some(node), "a way to vent by itself", &words)?;
            return Some(match word {
                VentWord::Riser => VentSays::Riser,
                VentWord::Admittance => VentSays::Admittance,
                VentWord::Combination => VentSays::Combination,
            });
        }
        let f = self.fields(
            Some(node),
            &["common", "wet", "take_off", "island_loop", "other"],
        )?;
        if let Some(name) = self.name(f.get("common")) {
            return Some(VentSays::Common(name));
        }
        if let Some(name) = self.name(f.get("wet")) {
            return Some(VentSays::Wet(name));
        }
        if let Some(words) = self.text(f.get("other")) {
            return Some(VentSays::Other(words));
        }
        if let Some(t) = self.fields(f.get("take_off"), &["at", "up", "wall"]) {
            return Some(VentSays::TakeOff {
                at: self.point(t.get("at")),
                up: self.point(t.get("up")),
                wall: self.name(t.get("wall")),
            });
        }
        let l = self.fields(f.get("island_loop"), &["down", "up", "wall"])?;
        Some(VentSays::IslandLoop {
            down: self.point(l.get("down")),
            up: self.point(l.get("up")),
            wall: self.name(l.get("wall")),
        })
    }

    fn drain(&mut self, entry: &Entry) -> Option<DrainSays> {
        let f = self.fields(Some(&entry.value), &["exit", "line", "receiver"])?;
        let (receiver, floor_needed) = self.receiver(f.get("receiver")).unzip();
        Some(DrainSays {
            name: own(entry),
            exit: self.exit(f.get("exit")).unwrap_or_default(),
            line: self.line(f.get("line")),
            receiver,
            floor_needed: floor_needed.unwrap_or_default(),
        })
    }

    fn exit(&mut self, node: Option<&Node>) -> Option<ExitSays> {
        let known = ["at", "way", "size", "sleeve", "sleeve_bottom", "cored"];
        let f = self.fields(node, &known)?;
        Some(ExitSays {
            at: self.point(f.get("at")),
            way: self.word(f.get("way"), "a way out", words::WAYS),
            size: self.size(f.get("size")),
            sleeve: self.size(f.get("sleeve")),
            sleeve_bottom: self.length(f.get("sleeve_bottom"), LEVEL),
            cored: self.yes_no(f.get("cored")),
        })
    }

    fn line(&mut self, node: Option<&Node>) -> OutsideLine {
        let known = ["length", "size", "grades", "straight", "heading", "ground"];
        let Some(f) = self.fields(node, &known) else {
            return OutsideLine {
                length: None,
                size: None,
                menu: vec![Grade::QUARTER],
                straight: false,
                heading_deg: None,
                ground: Vec::new(),
            };
        };
        OutsideLine {
            length: self.length(f.get("length"), LINE),
            size: self.size(f.get("size")),
            menu: or_quarter(self.menu(f.get("grades"))),
            straight: self.yes_no(f.get("straight")).unwrap_or_default(),
            heading_deg: self.degrees(f.get("heading")),
            ground: self.ground(f.get("ground")),
        }
    }

    /// The receiver, and whether its level waits for the floor's elevation.
    fn receiver(&mut self, node: Option<&Node>) -> Option<(Receiver, bool)> {
        let known = [
            "kind",
            "elevation",
            "invert",
            "below_floor",
            "known",
            "manhole",
        ];
        let f = self.fields(node, &known)?;
        let ways = ["elevation", "invert", "below_floor"];
        if ways.iter().filter(|way| f.get(way).is_some()).count() > 1 {
            let right = "write one of elevation, invert and below_floor";
            self.wrong(f.span(), "its level is said twice", right);
        }
        let elevation = self.length(f.get("elevation"), ELEVATION);
        let from_elevation = elevation
            .zip(self.floor)
            .map(|(inlet, floor)| inlet - floor);
        let invert = self.length(f.get("invert"), LEVEL);
        let below = self.length(f.get("below_floor"), LEVEL).map(|depth| -depth);
        let kind = self.word(f.get("kind"), "a kind of receiver", words::RECEIVERS);
        let known = self.word(f.get("known"), "a way to know a level", words::KNOWNS);
        let receiver = Receiver {
            kind: kind?,
            invert: from_elevation.or(invert).or(below),
            known: known.unwrap_or(crate::model::Known::Unknown),
            manhole: self.length(f.get("manhole"), LEVEL),
        };
        Some((receiver, elevation.is_some() && self.floor.is_none()))
    }

    fn run(&mut self, entry: &Entry) -> Option<RunSays> {
        let known = [
            "from",
            "via",
            "to",
            "size",
            "increasers",
            "grades",
            "start_invert",
            "joins",
        ];
        let f = self.fields(Some(&entry.value), &known)?;
        Some(RunSays {
            name: own(entry),
            from: self.start(f.get("from")),
            via: self.points(f.get("via")),
            to: self.end(f.get("to")),
            size: self.size(f.get("size")),
            increasers: self.increasers(f.get("increasers")),
            menu: or_quarter(self.menu(f.get("grades"))),
            start_invert: self.length(f.get("start_invert"), LEVEL),
            joins: self.word(f.get("joins"), "a way to join", words::JOINS),
        })
    }

    fn start(&mut self, node: Option<&Node>) -> Option<StartSays> {
        match &node?.kind {
            Kind::Text(_) | Kind::Word(_) => self.name(node).map(StartSays::Item),
            _ => self.point(node).map(StartSays::Point),
        }
    }

    fn end(&mut self, node: Option<&Node>) -> Option<EndSays> {
        let Kind::Fields(_) = &node?.kind else {
            return self.name(node).map(|item| EndSays { item, at: None });
        };
        let f = self.fields(node, &["run", "drain", "at"])?;
        let item = self.name(f.get("run").or_else(|| f.get("drain")))?;
        let at = self.point(f.get("at"));
        Some(EndSays { item, at })
    }

    fn increasers(&mut self, node: Option<&Node>) -> Vec<(Point, units::Size)> {
        let items = self.list(node, "increasers").unwrap_or_default();
        items
            .iter()
            .filter_map(|item| self.increaser(item))
            .collect()
    }

    fn increaser(&mut self, node: &Node) -> Option<(Point, units::Size)> {
        let (at, size) = self.pair(node, "((\"14'\", \"27'\"), \"4 in\")")?;
        let at = self.point(Some(at));
        let size = self.size(Some(size));
        at.zip(size)
    }

    fn cleanout(&mut self, entry: &Entry) -> Option<CleanoutSays> {
        let known = [
            "at", "on", "outside", "size", "two_way", "cleans", "boot", "top", "landing",
        ];
        let f = self.fields(Some(&entry.value), &known)?;
        Some(CleanoutSays {
            name: own(entry),
            at: self.point(f.get("at")),
            on: self.name(f.get("on")),
            outside: self.name(f.get("outside")),
            size: self.size(f.get("size")),
            two_way: self.yes_no(f.get("two_way")),
            boot: self.yes_no(f.get("boot")),
            cleans: self.word(f.get("cleans"), "a way a cleanout cleans", words::CLEANS),
            top: self.length(f.get("top"), LEVEL),
            landing: self.landing(f.get("landing")),
        })
    }

    fn service(&mut self, entry: &Entry) -> Option<ServiceSays> {
        let known = ["kind", "path", "level", "od", "boot", "top", "landing"];
        let f = self.fields(Some(&entry.value), &known)?;
        Some(ServiceSays {
            name: own(entry),
            boot: self.yes_no(f.get("boot")),
            kind: self.word(f.get("kind"), "a kind of service", words::SERVICES),
            path: self.points(f.get("path")),
            level: self.length(f.get("level"), LEVEL),
            od: self.length(f.get("od"), THICKNESS),
            top: self.length(f.get("top"), LEVEL),
            landing: self.landing(f.get("landing")),
        })
    }

    fn points(&mut self, node: Option<&Node>) -> Vec<Point> {
        let items = self.list(node, "points").unwrap_or_default();
        items
            .iter()
            .filter_map(|item| self.point(Some(item)))
            .collect()
    }

    fn point(&mut self, node: Option<&Node>) -> Option<Point> {
        let node = node?;
        let form = match &node.kind {
            Kind::Fields(_) if node.entry("off").is_some() => self.off_wall(node),
            Kind::Fields(_) if node.entry("in").is_some() => self.inside(node),
            Kind::Fields(_) if node.entry("from").is_some() => self.from(node),
            Kind::Fields(_) => self.absolute(node),
            _ => {
                let (x, y) = self.pair(node, "a point like (\"12'\", \"3'-6\")")?;
                let (x, y) = (self.length(Some(x), PLAN), self.length(Some(y), PLAN));
                let face = self.datum;
                x.zip(y).map(|(x, y)| PointForm::Absolute { x, y, face })
            }
        };
        let span = node.span.clone();
        form.map(|form| Point { span, form })
    }

    fn absolute(&mut self, node: &Node) -> Option<PointForm> {
        let f = self.fields(Some(node), &["x", "y", "face", "off", "in", "from"])?;
        let x = self.needed(f, "x");
        let y = self.needed(f, "y");
        let face = self.word(f.get("face"), "a face", words::DATUMS);
        Some(PointForm::Absolute {
            x: x?,
            y: y?,
            face: face.unwrap_or(self.datum),
        })
    }

    /// A plan length that the point is nothing without.
    fn needed(&mut self, f: Fields, name: &str) -> Option<f64> {
        if !f.has(name) {
            let right = format!("add {name}, or write unknown for the point");
            self.wrong(f.span(), format!("the point has no {name}"), right);
        }
        self.length(f.get(name), PLAN)
    }

    fn off_wall(&mut self, node: &Node) -> Option<PointForm> {
        let f = self.fields(
            Some(node),
            &["off", "face", "to", "by", "along", "from_end"],
        )?;
        let wall = self.name(f.get("off"));
        if !f.has("face") {
            let right = "add face: east, west, north, south, left or right";
            self.wrong(
                f.span(),
                "the point does not say which face of the wall",
                right,
            );
        }
        let face = self.word(f.get("face"), "a face of a wall", words::FACINGS);
        let to = self.word(f.get("to"), "a face", words::WALL_FACES);
        let by = self.needed(f, "by");
        let along = self.along(f);
        Some(PointForm::OffWall {
            wall: wall?,
            face: face?,
            face_span: f.get("face")?.span.clone(),
            to: to.unwrap_or(WallFace::Finish),
            by: by?,
            along: along?,
        })
    }

    fn along(&mut self, f: Fields) -> Option<Along> {
        if f.has("from_end") {
            return self.length(f.get("from_end"), PLAN).map(Along::End);
        }
        self.needed(f, "along").map(Along::Start)
    }

    fn inside(&mut self, node: &Node) -> Option<PointForm> {
        let f = self.fields(Some(node), &["in", "along", "from_end", "x", "y"])?;
        let item = self.name(f.get("in"));
        if f.has("x") || f.has("y") {
            let x = self.needed(f, "x");
            let y = self.needed(f, "y");
            return Some(PointForm::InFrame {
                item: item?,
                x: x?,
                y: y?,
            });
        }
        let along = self.along(f);
        Some(PointForm::InWall {
            wall: item?,
            along: along?,
        })
    }

    fn from(&mut self, node: &Node) -> Option<PointForm> {
        let f = self.fields(Some(node), &["from", "east", "north"])?;
        let item = self.name(f.get("from"));
        let mut side = |name| {
            if f.has(name) {
                self.length(f.get(name), PLAN)
            } else {
                Some(0.0)
            }
        };
        let (east, north) = (side("east"), side("north"));
        Some(PointForm::From {
            item: item?,
            east: east?,
            north: north?,
        })
    }
}

#[derive(Clone, Copy)]
enum VentWord {
    Riser,
    Admittance,
    Combination,
}

fn own(entry: &Entry) -> Name {
    Name {
        id: entry.name.as_str().into(),
        span: entry.name_span.clone(),
    }
}

fn or_quarter(menu: Vec<Grade>) -> Vec<Grade> {
    if menu.is_empty() {
        vec![Grade::QUARTER]
    } else {
        menu
    }
}
