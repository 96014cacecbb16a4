//! Whole houses: what is counted once, what is carried, what is bought.

use catalog::{BenchSheet, Catalog, EndKind, EndName};
use fittings::{Assembly, Pins};
use layout::Layout;
use std::{collections::BTreeMap, path::Path};
use takeoff::{Group, Price, Shop, Takeoff, changes, take};
use units::Size;

struct House {
    layout: Layout,
    catalog: Catalog,
    assembly: Assembly,
    takeoff: Takeoff,
}

fn house(text: &str, shop: &Shop) -> House {
    let reading = layout::read(text, "house.ron");
    let (layout, problems) = layout::resolve(&reading.file.expect("a file"));
    assert_eq!(problems, [], "{problems:#?}");
    let (catalog, _) = catalog::catalog(&BenchSheet::default());
    let (rules, _) = codes::rules(codes::Code::Irc, &[]);
    let mut network = network::connect(&layout, &rules);
    fittings::pipe_vents(&mut network, &catalog);
    let joints = fittings::choose(&network, &catalog, &rules);
    let posed = fittings::pose(&network, &joints, &layout, &catalog, &rules, &Pins::new());
    let grades: Vec<_> = posed
        .iter()
        .map(|p| grades::solve(p).expect("well-formed"))
        .collect();
    let assembly = fittings::fit(&network, &grades, &layout, &catalog, &rules);
    let takeoff = take(&layout, &assembly, &catalog, shop);
    House {
        layout,
        catalog,
        assembly,
        takeoff,
    }
}

/// One closet into a trunk that is capped for later. Invented.
const ONE_BRANCH: &str = r#"(
    title: "one branch", code: irc,
    slab: (outline: [("0", "0"), ("30'", "0"), ("30'", "20'"), ("0", "20'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
    fixtures: { "wc": (kind: closet, at: ("180 in", "100 in"), landing: floor, trap: in_fixture, vent: unknown) },
    drains: { "d": (exit: (at: ("120 in", "20'"), way: through, size: "3 in")) },
    runs: {
        "trunk": (from: ("120 in", "20 in"), to: "d", size: "3 in"),
        "branch": (from: "wc", to: (run: "trunk", at: ("120 in", "100 in")), size: "3 in", joins: flat),
    },
)"#;

#[test]
fn one_branch_counted_by_hand() {
    let shop = Shop {
        spare: 0.0,
        ..Shop::default()
    };
    let house = house(ONE_BRANCH, &shop);
    let fittings: Vec<(String, usize)> = house
        .takeoff
        .fittings
        .iter()
        .map(|line| (line.part.to_string(), line.count))
        .collect();
    // The trunk: a wye for the branch, a cap at the bare end. The branch: a street eighth bend in the wye's hub turns the
    // 45 of the wye into the square; a long turn stands under the closet's riser.
    let by_hand = [
        ("3 in long-turn quarter bend", 1),
        ("3 in street eighth bend", 1),
        ("3 in wye", 1),
        ("3 in cap", 1),
    ];
    assert_eq!(fittings, by_hand.map(|(name, n)| (name.to_owned(), n)));
    // Pipe: through the wall to the wye, wye to cap, bend to long turn, riser.
    assert_eq!(house.takeoff.cuts.len(), 4);
    // Joints: pipe-wye, wye-pipe, pipe-cap, wye-street, street-pipe, pipe-long turn, long turn-riser.
    let joints: Vec<(Size, usize)> = house
        .takeoff
        .joints
        .iter()
        .map(|line| (line.size, line.count))
        .collect();
    assert_eq!(joints, [(Size::In3, 7)]);
    // Caps for the test: the closet's stub and the outlet.
    assert_eq!(house.takeoff.test_caps, [(Size::In3, 2)]);
    assert_eq!(house.takeoff.flanges, [(Size::In3, 1)]);
    // A 3 in flange goes over its riser, and wants a collar; one on 4 in pipe goes inside and wants none.
    let bought = |takeoff: &Takeoff, name: &str| {
        let line = takeoff.buy.iter().find(|line| line.name == name);
        line.map_or(0, |line| line.count)
    };
    assert_eq!(bought(&house.takeoff, "3 in closet flange"), 1);
    assert_eq!(bought(&house.takeoff, "closet collar"), 1);
    let wide = ONE_BRANCH
        .replace(r#"size: "3 in""#, r#"size: "4 in""#)
        .replace("trap: in_fixture", r#"trap: in_fixture, size: "4 in""#);
    let wide = self::house(&wide, &shop).takeoff;
    assert_eq!(bought(&wide, "4 in inside closet flange"), 1);
    assert_eq!(bought(&wide, "closet collar"), 0);
    // The branch's wye points to the east and the water runs north: looking upstream (south), east is to the left.
    let wye = house
        .takeoff
        .clocks
        .iter()
        .find(|mark| mark.end == EndName::Branch)
        .expect("a wye");
    assert!(
        (wye.hour - 9.0).abs() < 1e-9 && !wye.upright,
        "{}",
        wye.says()
    );
    assert_eq!(
        wye.says(),
        "branch at 9 o'clock, looking upstream, 12 is up"
    );
}

#[test]
fn a_cleanout_that_cleans_upstream_has_its_wye_turned_about_and_its_own_size() {
    let with = |says: &str| {
        let cleanout = format!(
            r#"cleanouts: {{ "co": (at: ("120 in", "60 in"), on: "trunk", {says} top: "6 in", landing: floor) }},
    runs: {{"#
        );
        let text = ONE_BRANCH.replacen("runs: {", &cleanout, 1);
        let house = house(&text, &Shop::default());
        assert_eq!(house.assembly.troubles, []);
        house.takeoff
    };
    let plug = |takeoff: &Takeoff, name: &str| takeoff.buy.iter().any(|line| line.name == name);
    let wyes = |takeoff: &Takeoff| {
        let of_wyes = takeoff
            .clocks
            .iter()
            .filter(|mark| mark.end == EndName::Branch);
        of_wyes.map(|mark| mark.about).collect::<Vec<_>>()
    };
    let plain = with("");
    assert!(plug(&plain, "3 in cleanout plug"));
    assert_eq!(wyes(&plain), [false, false]);
    let small = with(r#"size: "2 in","#);
    assert!(plug(&small, "2 in cleanout plug") && !plug(&small, "3 in cleanout plug"));
    let about = with("cleans: upstream,");
    assert_eq!(wyes(&about).iter().filter(|about| **about).count(), 1);
    let says: Vec<String> = about.clocks.iter().map(takeoff::ClockMark::says).collect();
    assert!(
        says.iter().any(|says| says.contains("turned about")),
        "{says:?}"
    );
}

#[test]
fn prices_and_changes() {
    let mut shop = Shop {
        spare: 0.0,
        ..Shop::default()
    };
    let before = house(ONE_BRANCH, &shop).takeoff;
    assert_eq!(before.total, None);
    shop.prices = BTreeMap::from([
        ("3 in wye".to_owned(), Price::each(9.5)),
        ("3 in cap".to_owned(), Price::each(4.0)),
    ]);
    let priced = house(ONE_BRANCH, &shop).takeoff;
    assert_eq!(priced.total, Some(13.5));
    assert!(priced.unpriced.contains(&"quart of cement".to_owned()));
    let flat = ONE_BRANCH.replace(r#""branch": (from: "wc", to: (run: "trunk", at: ("120 in", "100 in")), size: "3 in", joins: flat),"#,
        r#""branch": (from: "wc", via: [("160 in", "100 in")], to: (run: "trunk", at: ("120 in", "140 in")), size: "3 in", joins: flat),"#);
    let now = house(&flat, &shop).takeoff;
    let told: Vec<(String, usize, usize)> = changes(&priced.buy, &now.buy)
        .into_iter()
        .map(|c| (c.name, c.before, c.now))
        .collect();
    assert!(
        told.contains(&("3 in street eighth bend".to_owned(), 1, 0)),
        "{told:?}"
    );
    assert!(
        told.contains(&("3 in eighth bend".to_owned(), 0, 1)),
        "{told:?}"
    );
}

fn scenes() -> Vec<(String, House)> {
    scenes_with(&Shop::default())
}

fn scenes_with(shop: &Shop) -> Vec<(String, House)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenes");
    let mut paths: Vec<_> = [folder.clone(), folder.join("houses")]
        .iter()
        .flat_map(|dir| {
            std::fs::read_dir(dir)
                .expect("scenes")
                .map(|entry| entry.expect("entry").path())
        })
        .filter(|path| path.extension().is_some_and(|e| e == "ron"))
        .collect();
    paths.sort();
    assert!(paths.len() > 5, "no scene was found");
    let read = |path: std::path::PathBuf| {
        (
            path.display().to_string(),
            house(&std::fs::read_to_string(&path).expect("scene"), shop),
        )
    };
    paths.into_iter().map(read).collect()
}

#[test]
fn nothing_is_left_over_or_missing() {
    for (name, house) in scenes() {
        let (takeoff, assembly) = (&house.takeoff, &house.assembly);
        let fittings: usize = takeoff.fittings.iter().map(|line| line.count).sum();
        let negative = assembly
            .pieces
            .iter()
            .filter(|p| p.cut().is_some_and(|cut| cut.value <= 0.0))
            .count();
        assert_eq!(
            fittings + takeoff.cuts.len() + negative,
            assembly.pieces.len(),
            "{name}"
        );
        // Every cut is sawn from exactly one stick.
        let mut sawn: Vec<usize> = takeoff
            .pipe
            .iter()
            .flat_map(|line| &line.plan.sticks)
            .flat_map(|s| s.pieces.clone())
            .collect();
        sawn.sort_unstable();
        assert_eq!(sawn, (0..takeoff.cuts.len()).collect::<Vec<_>>(), "{name}");
        assert!(
            takeoff
                .pipe
                .iter()
                .all(|line| line.plan.optimal && line.too_long.is_empty()),
            "{name}"
        );
        // A tree has one joint less than it has pieces, one tree a drain.
        assert_eq!(
            assembly.joints.len() + house.layout.drains.len(),
            assembly.pieces.len(),
            "{name}"
        );
        assert!(takeoff.cement_quarts > 0.0 && takeoff.primer_quarts > 0.0);
    }
}

#[test]
fn assemblies_are_glued_downstream_first_and_can_be_carried() {
    for (name, house) in scenes() {
        let order = &house.takeoff.order;
        let mut glued = vec![false; house.assembly.pieces.len()];
        let mut dry_begun = false;
        for bench in order {
            dry_begun |= bench.last;
            if let Some(home) = bench.home {
                let near = house.assembly.joints[home].near.0;
                assert!(
                    glued[near] || dry_begun,
                    "{name}: {near} is not in the trench yet"
                );
            }
            // One stick with the fitting on its end may be longer and heavier than what is glued up to be carried.
            let is_pipe = |p: &&usize| house.assembly.pieces[**p].part().is_none();
            let sticks = bench.pieces.iter().filter(is_pipe).count();
            if bench.pieces.len() > 2 || sticks > 1 {
                assert!(
                    bench.length <= 120.0 + 1e-6 && bench.weight <= 40.0 + 1e-6,
                    "{name}: {bench:?}"
                );
            }
            assert_eq!(bench.bench_joints.len() + 1, bench.pieces.len(), "{name}");
            bench
                .pieces
                .iter()
                .for_each(|p| assert!(!std::mem::replace(&mut glued[*p], true), "{name}: twice"));
        }
        assert!(
            glued.iter().all(|g| *g),
            "{name}: a piece is in no assembly"
        );
        // The adjuster of each drain stays dry.
        assert_eq!(
            order.iter().filter(|bench| bench.last).count(),
            house.layout.drains.len(),
            "{name}"
        );
        let big = order
            .iter()
            .filter_map(|b| b.home.map(|j| (b, house.assembly.joints[j].size)));
        for (bench, size) in big {
            assert_eq!(
                f64::from(bench.people),
                house.catalog.cement().people(size).value,
                "{name}"
            );
        }
    }
}

/// The demo house counted from its layout, run by run. Whether a branch lies flat or is rolled its levels decide; the rest
/// follows from the plan.
#[test]
fn the_demo_house_counted_by_hand() {
    let shop = Shop {
        spare: 0.0,
        ..Shop::default()
    };
    let house = house(include_str!("../../../scenes/demo.ron"), &shop);
    let by_hand: BTreeMap<&str, usize> = BTreeMap::from([
        // Every branch comes into the trunk by a wye of its own size: the two closets are 3 in; shower, kitchen, tub,
        // hall lavatory, washer, dog wash and utility sink are 2 in.
        ("3 in wye", 2),
        ("3x3x2 wye", 7),
        // A riser in a wall or cabinet, or under a closet, stands on a long turn: lavatory (the trunk's own start), hall
        // lavatory, kitchen sink, washer and utility sink; and both closets.
        ("2 in long-turn quarter bend", 5),
        ("3 in long-turn quarter bend", 2),
        // Traps under the slab: shower, tub, dog wash.
        ("2 in p-trap", 3),
        // The trunk turns 45 degrees at (14', 21') and again at (10', 25'). The hall closet is led square to the trunk's
        // last leg, so it has one more behind its wye; the main closet comes in slanting, as its line is not told.
        ("3 in eighth bend", 3),
        // Behind their wyes, told or chosen square: hall lavatory, washer, dog wash, utility sink, tub; and the tub's
        // corner at (6', 22').
        ("2 in eighth bend", 6),
        // The kitchen's branch is rolled up to stay high: a sixteenth behind its wye. Shower and main closet slant in flat
        // at the 45 degrees of the wye and need none.
        ("2 in sixteenth bend", 1),
        // Four vents leave their drains: of tub, dog wash and kitchen on 2 in, of the hall closet on 3 in.
        ("2x2x1-1/2 wye", 3),
        ("3x3x1-1/2 wye", 1),
        // Three of them come up right over their drain, upright wye and street eighth. The island's loop comes down aside of
        // it: under 4 in of concrete a sixth bend behind a wye rolled 45 has no room, so the wye is rolled less and a street
        // eighth lays it level; an upright wye with a street eighth takes the return; the foot vent turns 45 degrees to the
        // kitchen wall, and goes up there by a quarter bend.
        ("1-1/2 in street eighth bend", 5),
        ("1-1/2 in wye", 1),
        ("1-1/2 in eighth bend", 1),
        ("1-1/2 in long-turn quarter bend", 1),
        // 2 in to 3 in where it is told, at (43', 21'); 3 in to the 4 in of the exit.
        ("3x2 reducing coupling", 1),
        ("4x3 reducing coupling", 1),
        // Outside: the two-way cleanout stands 30 in out, 17-5/8 in from stop to stop. One coupling to the wall's pipe; from
        // the cleanout on 40 ft - 30 in - 8-13/16 in = 36'-9" is two sticks: one between. On the cleanout's riser a third,
        // with the adapter in it and the plug. Inside, the 30 ft leg has over 20 ft without a fitting between the
        // kitchen's and the shower's.
        ("4 in coupling", 3),
        ("4 in two-way cleanout", 1),
        ("4 in cleanout adapter", 1),
        ("4 in cleanout plug", 1),
        ("3 in coupling", 1),
    ]);
    let counted: BTreeMap<String, usize> = house
        .takeoff
        .fittings
        .iter()
        .map(|line| (line.part.to_string(), line.count))
        .collect();
    let by_hand: BTreeMap<String, usize> = by_hand
        .into_iter()
        .map(|(name, n)| (name.to_owned(), n))
        .collect();
    assert_eq!(counted, by_hand);
    // Stubs: ten fixtures (two of 3 in), four vents and the loop's return of 1-1/2 in; and the 4 in outlet.
    let caps = [
        (Size::In1_5, 5),
        (Size::In2, 8),
        (Size::In3, 2),
        (Size::In4, 1),
    ];
    assert_eq!(house.takeoff.test_caps, caps);
    assert_eq!(house.takeoff.flanges, [(Size::In3, 2)]);
    // One tree: a joint less than the 50 fittings and their pipes. The plug's is not glued.
    let fittings: usize = by_hand.values().sum();
    assert_eq!(fittings, 50);
    let glued: usize = house.takeoff.joints.iter().map(|line| line.count).sum();
    assert_eq!(glued + 1 + 1, fittings + house.takeoff.cuts.len());
    // The sleeve is told: 6 in, the 8 in wall and an inch each side.
    // The water service's 1 1/8 in and half an inch all round is 2 1/8 in: too much for the 2.067 in inside a 2 in pipe.
    let sleeves = house.takeoff.sleeves.iter();
    let told: Vec<_> = sleeves.map(|s| (s.of.as_str(), s.size)).collect();
    assert_eq!(
        told,
        [("house drain", Size::In6), ("water service", Size::In3)]
    );
    let long = |sleeve: &takeoff::Sleeve| (sleeve.length - 10.0).abs() < 1e-9;
    assert!(house.takeoff.sleeves.iter().all(long));
}

/// A closet beside the lower end of a long trunk, so that its branch stays over a foot above it. Invented.
const HIGH_BRANCH: &str = r#"(
    title: "high branch", code: irc,
    slab: (outline: [("0", "0"), ("60'", "0"), ("60'", "30'"), ("0", "30'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
    fixtures: { "wc": (kind: closet, at: ("600 in", "60 in"), landing: floor, trap: in_fixture, vent: unknown) },
    drains: { "d": (exit: (at: ("720 in", "180 in"), way: through, size: "3 in")) },
    runs: {
        "trunk": (from: ("24 in", "180 in"), to: "d", size: "3 in", grades: ["1/4"]),
        "branch": (from: "wc", to: (run: "trunk", at: ("600 in", "180 in")), size: "3 in", grades: ["1/4"], joins: rolled),
    },
)"#;

#[test]
fn a_high_branch_is_told_both_ways() {
    let house = house(HIGH_BRANCH, &Shop::default());
    assert_eq!(house.assembly.troubles, []);
    let [ways] = &house.takeoff.ways[..] else {
        panic!("{:?}", house.takeoff.ways)
    };
    // Both start 2 in under the slab, so at the crossing the trunk lies 576 in of 1/4 in/ft lower, 12 in, and the branch
    // 120 in, 2-1/2 in: 9-1/2 in apart on their axes.
    assert!((ways.rise - 9.5).abs() < 0.01, "{}", ways.rise);
    // Two eighth bends: the travel times 0.7071 is the rise; the pipe is the travel less 1-3/4 at each.
    let back = ways.travel * std::f64::consts::FRAC_1_SQRT_2;
    assert!((back - ways.rise).abs() < 1e-9);
    assert!((ways.cut - (ways.travel - 3.5)).abs() < 1e-9);
    let behind: Vec<String> = ways.behind.iter().map(ToString::to_string).collect();
    assert_eq!(behind, ["3 in street eighth bend"]);
    // As laid: a wye rolled 45 degrees, whose sixth bend lands square.
    let bend = house.assembly.pieces[ways.bend].part();
    assert_eq!(
        bend.map(|part| part.to_string()).as_deref(),
        Some("3 in sixth bend")
    );
    // Its clock, across the joint, looking up the arm v = 0.7071 u + 0.5 s + 0.5 z (u up the trunk, s toward the branch):
    // s lies -0.289 of the way up the end's own twelve, (z - 0.5 v)/0.866, and 0.816 to its side: 109.5 degrees from twelve,
    // 3:39 or 8:21, so 3:45 or 8:15. Up the trunk is west, the branch comes from the south, on the left hand.
    let clock = house.takeoff.clocks.iter().find(|c| c.piece == ways.bend);
    assert_eq!(clock.map(|clock| clock.hour), Some(8.25));
    let wye = &house.assembly.pieces[ways.wye];
    assert!((wye.frame.y.z - std::f64::consts::FRAC_1_SQRT_2).abs() < 0.02);
    // A flat branch has only its own way.
    assert_eq!(self::house(ONE_BRANCH, &Shop::default()).takeoff.ways, []);
}

/// Whatever is not the same all round has a mark to turn it by, and every joint of such a piece names a labelled piece.
#[test]
fn every_turned_piece_has_its_mark() {
    for text in [
        include_str!("../../../scenes/demo.ron"),
        ONE_BRANCH,
        HIGH_BRANCH,
    ] {
        let house = house(text, &Shop::default());
        let marked: std::collections::BTreeSet<usize> =
            house.takeoff.clocks.iter().map(|mark| mark.piece).collect();
        let mut turned = 0;
        for (p, piece) in house.assembly.pieces.iter().enumerate() {
            let ends = EndName::ALL
                .into_iter()
                .filter_map(|end| piece.end(end, &house.catalog));
            // An end off the axis makes the piece look different when it is turned about its outlet.
            let off_axis = ends.filter(|(_, out)| out.y.hypot(out.z) > 0.01).count();
            assert_eq!(off_axis > 0, marked.contains(&p), "{:?}", piece.what);
            turned += usize::from(off_axis > 0);
        }
        assert!(turned >= 3, "{turned} turned pieces");
        for mark in &house.takeoff.clocks {
            assert!((1.0..13.0).contains(&mark.hour), "{mark:?}");
        }
    }
}

/// What an end of a piece is made like; `None` stands for the plain end of a pipe.
fn end_kind(house: &House, (p, name): fittings::PieceEnd) -> (Option<EndKind>, Size) {
    let piece = &house.assembly.pieces[p];
    let Some(part) = piece.part() else {
        return (None, piece.size);
    };
    let fitting = house.catalog.find(part.pattern, part.sizes).expect("sold");
    let end = fitting.end(name).expect("an end it has");
    (Some(end.kind), end.size)
}

/// Plain pipe and spigots go into hubs of their size, a thread into a thread; two hubs or two pipes do not join.
fn goes_together(house: &House, joint: &fittings::GlueJoint) -> bool {
    let ((a, size), (b, other)) = (end_kind(house, joint.near), end_kind(house, joint.far));
    let plain = |kind| matches!(kind, None | Some(EndKind::Spigot));
    let hub = |kind| kind == Some(EndKind::Hub);
    let glued = hub(a) && plain(b) || plain(a) && hub(b);
    let screwed = a == Some(EndKind::Thread) && b == Some(EndKind::Thread);
    size == other && if joint.glued { glued } else { screwed }
}

/// Each house bought once and glued in the order told: every piece is taken from what was bought, every joint has a hub and
/// what goes into it, no end is used twice, no hub stays open, the sticks are long enough for their cuts, and the caps for
/// the test close every pipe that is left open.
#[test]
fn every_house_is_glued_of_what_was_bought() {
    let shop = Shop {
        spare: 0.0,
        ..Shop::default()
    };
    let mut whole = 0;
    for (name, house) in scenes_with(&shop) {
        let (takeoff, pieces) = (&house.takeoff, &house.assembly.pieces);
        let fittings_bought = takeoff
            .buy
            .iter()
            .filter(|line| line.group == Group::Fittings);
        let mut pile: BTreeMap<String, usize> = fittings_bought
            .map(|line| (line.name.clone(), line.count))
            .collect();
        let mut used: BTreeMap<fittings::PieceEnd, usize> = BTreeMap::new();
        for bench in &takeoff.order {
            for &p in &bench.pieces {
                if let Some(part) = pieces[p].part() {
                    let left = pile.get_mut(&part.to_string()).expect("bought");
                    *left = left.checked_sub(1).expect("one more than was bought");
                }
            }
            for &j in bench.bench_joints.iter().chain(&bench.home) {
                let joint = &house.assembly.joints[j];
                assert!(goes_together(&house, joint), "{name}: {joint:?}");
                *used.entry(joint.near).or_default() += 1;
                *used.entry(joint.far).or_default() += 1;
            }
        }
        assert!(pile.values().all(|left| *left == 0), "{name}: {pile:?}");
        assert!(used.values().all(|n| *n == 1), "{name}: an end glued twice");
        for line in &takeoff.pipe {
            for stick in &line.plan.sticks {
                let cuts = stick.pieces.iter();
                let length: f64 = cuts.map(|cut| takeoff.cuts[*cut].length.value).sum();
                let saw = shop.kerf * (stick.pieces.len() as f64 - 1.0);
                assert!(length + saw <= stick.length + 1e-6, "{name}: {stick:?}");
            }
        }
        let mut open = 0;
        for (p, piece) in pieces.iter().enumerate() {
            for end in EndName::ALL {
                let there = piece.end(end, &house.catalog).is_some();
                if there && !used.contains_key(&(p, end)) {
                    assert!(
                        piece.part().is_none(),
                        "{name}: {:?} stays open",
                        piece.what
                    );
                    open += 1;
                }
            }
        }
        let caps: usize = takeoff.test_caps.iter().map(|(_, n)| n).sum();
        let laid = house.assembly.troubles.is_empty();
        assert!(
            open == caps || !laid,
            "{name}: {caps} caps for {open} pipes"
        );
        // A sleeve for each drain through a wall, a flange for each closet.
        let closets = house.layout.fixtures.iter();
        let closets = closets
            .filter(|f| f.kind == layout::FixtureKind::Closet)
            .count();
        let flanges: usize = takeoff.flanges.iter().map(|(_, n)| n).sum();
        assert_eq!(flanges, closets, "{name}");
        whole += usize::from(laid);
    }
    assert!(whole >= 6, "only {whole} houses without a trouble");
}
