//! An invented house for pictures and tests: an L of 44 by 32 ft, two baths, a laundry, a kitchen, one of every kind of body.

use glam::{DVec2, DVec3};
use scene::{Flow, Mark, MarkKind, Part, PipeBody, Scene, Solid, SolidKind, Tube};
use units::{Size, feet_inches};
use viewer::{BudgetRow, FindingRow, House, Spend, Verdict};

const ELL: [(f64, f64); 6] = [
    (0.0, 0.0),
    (528.0, 0.0),
    (528.0, 384.0),
    (240.0, 384.0),
    (240.0, 240.0),
    (0.0, 240.0),
];

/// The house.
pub(crate) fn house() -> House {
    let mut scene = Scene {
        solids: solids(),
        ..Scene::default()
    };
    pipes(&mut scene);
    House {
        title: "Made-up house on a corner lot".into(),
        findings: findings(),
        budget: vec![BudgetRow {
            drain: "house drain".into(),
            says: "start 5 1/2 in below the floor, exit 19 1/4 in below".into(),
            least_cover: None,
            spends: vec![
                spend("wc1", 3.5),
                spend("trunk", 8.75),
                spend("under the footing", 1.5),
            ],
            spare: 2.125,
        }],
        to_tell: vec![
            "how the level of the sewer is known".into(),
            "whether a future bath is wanted".into(),
        ],
        hash: "5e1f00d5".into(),
        scene,
        ..House::default()
    }
}

fn spend(who: &str, inches: f64) -> Spend {
    Spend {
        who: who.into(),
        says: who.into(),
        inches,
    }
}

fn solid(id: &str, kind: SolidKind, outline: &[(f64, f64)], bottom: f64, top: f64) -> Solid {
    let outline = outline.iter().map(|(x, y)| DVec2::new(*x, *y)).collect();
    Solid {
        id: id.into(),
        kind,
        outline,
        holes: vec![],
        bottom,
        top,
    }
}

/// The ring between the outline moved out by `out` and in by `inward`.
fn ring(id: &str, kind: SolidKind, out: f64, inward: f64, bottom: f64, top: f64) -> Solid {
    let moved = |by: f64| -> Vec<DVec2> {
        let way = [
            (-1.0, -1.0),
            (1.0, -1.0),
            (1.0, 1.0),
            (-1.0, 1.0),
            (-1.0, 1.0),
            (-1.0, 1.0),
        ];
        ELL.iter()
            .zip(way)
            .map(|((x, y), (dx, dy))| DVec2::new(x + dx * by, y + dy * by))
            .collect()
    };
    let mut hole = moved(-inward);
    hole.reverse();
    Solid {
        id: id.into(),
        kind,
        outline: moved(out),
        holes: vec![hole],
        bottom,
        top,
    }
}

fn block(
    id: &str,
    kind: SolidKind,
    low: (f64, f64),
    high: (f64, f64),
    bottom: f64,
    top: f64,
) -> Solid {
    solid(
        id,
        kind,
        &[low, (high.0, low.1), high, (low.0, high.1)],
        bottom,
        top,
    )
}

fn solids() -> Vec<Solid> {
    let inner: Vec<(f64, f64)> = vec![
        (8.0, 8.0),
        (520.0, 8.0),
        (520.0, 376.0),
        (248.0, 376.0),
        (248.0, 232.0),
        (8.0, 232.0),
    ];
    let turned = |x: f64, y: f64| {
        let (sin, cos) = 22.5f64.to_radians().sin_cos();
        [(-36.0, -12.0), (36.0, -12.0), (36.0, 12.0), (-36.0, 12.0)]
            .map(|(dx, dy)| (x + dx * cos - dy * sin, y + dx * sin + dy * cos))
    };
    let mut solids = vec![
        ring("footing", SolidKind::Footing, 6.0, 14.0, -40.0, -30.0),
        ring("stem wall", SolidKind::StemWall, 0.0, 8.0, -30.0, -4.0),
        solid("gravel", SolidKind::Gravel, &inner, -10.0, -6.0),
        solid("foam", SolidKind::Foam, &inner, -6.0, -4.0),
        solid("slab", SolidKind::Concrete, &ELL, -4.0, 0.0),
        solid(
            "peninsula",
            SolidKind::Cabinet,
            &turned(430.0, 90.0),
            0.0,
            34.5,
        ),
        block(
            "vanity",
            SolidKind::Cabinet,
            (262.0, 330.0),
            (310.0, 351.0),
            0.0,
            32.0,
        ),
        block(
            "tub",
            SolidKind::BoxOut,
            (392.0, 352.0),
            (404.0, 364.0),
            -4.0,
            0.0,
        ),
        block(
            "tank",
            SolidKind::Receiver,
            (120.0, -420.0),
            (180.0, -330.0),
            -90.0,
            -28.0,
        ),
    ];
    for (id, low, high) in [
        ("W1", (246.0, 200.0), (251.5, 378.0)),
        ("W2", (251.5, 260.0), (522.0, 263.5)),
        ("W3", (340.0, 263.5), (343.5, 378.0)),
        ("W4", (120.0, 6.0), (125.5, 234.0)),
        ("W5", (6.0, 130.0), (120.0, 133.5)),
        ("south", (0.0, 0.0), (528.0, 5.5)),
        ("east", (522.5, 5.5), (528.0, 378.5)),
        ("north", (240.0, 378.5), (528.0, 384.0)),
    ] {
        solids.push(block(id, SolidKind::Framing, low, high, 0.0, 97.0));
    }
    solids.push(block(
        "W2 board",
        SolidKind::Finish,
        (251.5, 263.5),
        (522.0, 264.0),
        0.0,
        97.0,
    ));
    solids
}

struct Laid<'a> {
    scene: &'a mut Scene,
}

impl Laid<'_> {
    fn pipe(
        &mut self,
        id: &str,
        part: Part,
        flow: Flow,
        size: Size,
        radius: f64,
        points: &[[f64; 3]],
    ) {
        let tubes = points
            .windows(2)
            .map(|pair| Tube {
                a: pair[0].into(),
                b: pair[1].into(),
                radius,
            })
            .collect();
        self.scene.pipes.push(PipeBody {
            id: id.into(),
            part,
            flow,
            size,
            tubes,
            joined: vec![],
        });
    }

    fn mark(&mut self, id: &str, kind: MarkKind, at: [f64; 3], text: String) {
        self.scene.marks.push(Mark {
            id: id.into(),
            kind,
            at: DVec3::from(at),
            text,
        });
    }

    /// A stub at a plan place, its branch to the trunk's line at y = 180, and a label.
    fn stub(&mut self, id: &str, (size, radius): (Size, f64), (x, y): (f64, f64), top: f64) {
        let join = trunk_level(x);
        let start = join + (y - 180.0).abs() / 48.0;
        self.pipe(
            id,
            Part::Pipe,
            Flow::Drain,
            size,
            radius,
            &[[x, y, start], [x, 180.0, join]],
        );
        self.pipe(
            id,
            Part::Riser,
            Flow::Drain,
            size,
            radius,
            &[[x, y, top], [x, y, start]],
        );
        self.mark(
            id,
            MarkKind::Stub,
            [x, y, top],
            format!("{id}  {size}  {} above floor", feet_inches(top, 8)),
        );
        for at in [[x, y, start], [x, 180.0, join]] {
            let (a, b) = (
                DVec3::from(at) - DVec3::Z * radius,
                DVec3::from(at) + DVec3::Z * radius,
            );
            let tubes = vec![Tube {
                a,
                b,
                radius: radius * 1.22,
            }];
            self.scene.pipes.push(PipeBody {
                id: id.into(),
                part: Part::Fitting,
                flow: Flow::Drain,
                size,
                tubes,
                joined: vec![],
            });
        }
    }
}

/// A quarter inch a foot from 13 in below at the east to the exit.
fn trunk_level(x: f64) -> f64 {
    -13.0 - (500.0 - x) / 48.0
}

#[allow(clippy::too_many_lines)] // a list of places
fn pipes(scene: &mut Scene) {
    let mut laid = Laid { scene };
    let (two, three) = ((Size::In2, 1.1875), (Size::In3, 1.75));
    laid.stub("wc1", three, (310.0, 300.0), 6.0);
    laid.stub("lav1", two, (286.0, 376.0), 18.0);
    laid.stub("tub1", two, (398.0, 358.0), -1.0);
    laid.stub("wc2", three, (60.0, 90.0), 6.0);
    laid.stub("washer", two, (122.0, 60.0), 36.0);
    laid.stub("kitchen", two, (430.0, 90.0), 12.0);
    laid.pipe(
        "trunk",
        Part::Pipe,
        Flow::Drain,
        three.0,
        three.1,
        &[
            [470.0, 180.0, trunk_level(470.0)],
            [160.0, 180.0, trunk_level(160.0)],
            [150.0, 170.0, trunk_level(146.0)],
            [150.0, -8.0, -24.0],
            [150.0, -330.0, -31.0],
        ],
    );
    laid.pipe(
        "wc1 vent",
        Part::Riser,
        Flow::Vent,
        Size::In2,
        1.1875,
        &[[286.0, 376.0, 18.0], [286.0, 376.0, 110.0]],
    );
    laid.pipe(
        "washer vent",
        Part::Riser,
        Flow::Vent,
        Size::In2,
        1.1875,
        &[[122.0, 60.0, 36.0], [122.0, 60.0, 110.0]],
    );
    laid.pipe(
        "island vent",
        Part::Pipe,
        Flow::Vent,
        Size::In2,
        1.1875,
        &[
            [442.0, 96.0, 20.0],
            [442.0, 96.0, -9.0],
            [470.0, 150.0, -8.0],
            [520.0, 150.0, -8.0],
            [520.0, 150.0, 100.0],
        ],
    );
    laid.pipe(
        "water",
        Part::Pipe,
        Flow::Water,
        Size::In1_25,
        0.8,
        &[
            [40.0, -200.0, -36.0],
            [40.0, 20.0, -36.0],
            [30.0, 30.0, -34.0],
            [30.0, 30.0, 20.0],
        ],
    );
    laid.pipe(
        "soil gas",
        Part::Pipe,
        Flow::SoilGas,
        Size::In3,
        1.75,
        &[
            [200.0, 120.0, -8.0],
            [260.0, 120.0, -8.0],
            [260.0, 120.0, 100.0],
        ],
    );
    laid.pipe(
        "sleeve",
        Part::Sleeve,
        Flow::Empty,
        Size::In6,
        3.3,
        &[[150.0, 12.0, -23.7], [150.0, -4.0, -24.2]],
    );
    laid.mark(
        "trunk",
        MarkKind::Exit,
        [150.0, 0.0, -24.0],
        "drain leaves here  2'-0\" below floor".into(),
    );
    laid.mark(
        "tank",
        MarkKind::Receiver,
        [150.0, -330.0, -31.0],
        "tank inlet  2'-7\" below floor".into(),
    );
    laid.mark(
        "trunk",
        MarkKind::Run,
        [300.0, 180.0, trunk_level(300.0)],
        "trunk  3 in  1/4 in/ft".into(),
    );
    laid.mark(
        "cleanout",
        MarkKind::Cleanout,
        [470.0, 180.0, trunk_level(470.0)],
        "cleanout".into(),
    );
}

fn findings() -> Vec<FindingRow> {
    let row = |rule: &str, verdict, says: &str, at, members: &[&str]| FindingRow {
        rule: rule.into(),
        verdict,
        says: says.into(),
        at,
        measured: Some(1.125),
        limit: Some(2.0),
        unit: "in".into(),
        source: "common practice, no source".into(),
        members: members.iter().map(ToString::to_string).collect(),
        ends: None,
    };
    vec![
        FindingRow {
            ends: Some([[260.0, 178.4, -17.5], [260.0, 140.0, -9.0]]),
            ..row(
                "clash",
                Verdict::Fails,
                "wc2's branch lies 1 1/8 in from the water service; make it 2",
                [60.0, 130.0, -21.0],
                &["wc2"],
            )
        },
        row(
            "crossing",
            Verdict::Ask,
            "the trunk crosses the footing in a sleeve: ask how it shall be sealed",
            [150.0, -2.0, -24.0],
            &["trunk"],
        ),
        row(
            "stud",
            Verdict::Note,
            "the washer's riser lands on a stud: move the stud",
            [122.0, 60.0, 0.0],
            &["washer"],
        ),
    ]
}
