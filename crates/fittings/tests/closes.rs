//! Every scene's pieces, glued one after the other, arrive at every stub.

mod laid;

use fittings::{TroubleKind, What, walk};
use laid::{House, ONE_BRANCH, house, house_of, houses};

/// A piece of a sixteenth: what the promise allows between a stub and the walked end of its chain.
const SIXTEENTH: f64 = 1.0 / 16.0;

#[test]
fn every_chain_arrives_at_its_stub() {
    let mut stubs = 0;
    for (name, house) in houses() {
        let walked = walk(&house.assembly, &house.catalog);
        assert!(
            walked.iter().all(Option::is_some),
            "{name}: a piece hangs on nothing"
        );
        for closure in &house.assembly.closures {
            assert!(closure.error.length() < SIXTEENTH, "{name}: {closure:?}");
            assert!(
                closure.worst > closure.likely && closure.likely > 0.0,
                "{name}: {closure:?}"
            );
            stubs += 1;
        }
        // Every drain and vent that comes up is the end of a chain; services are not glued by us.
        let wanted = house
            .assembly
            .stubs
            .iter()
            .filter(|stub| stub.size.is_some())
            .count();
        // A vent for which no fittings were found is told as such, and has no chain; nor has the loop that comes down to it.
        let not_laid = house.assembly.troubles.iter();
        let not_laid =
            not_laid.filter(|trouble| trouble.kind == fittings::TroubleKind::VentNotLaid);
        let ends = |id: &units::Id| {
            let loops = |f: &layout::Fixture| {
                f.id == *id && matches!(f.vent, layout::Vent::IslandLoop { .. })
            };
            1 + usize::from(house.layout.fixtures.iter().any(loops))
        };
        let glued = wanted - not_laid.map(|trouble| ends(&trouble.run)).sum::<usize>();
        assert_eq!(house.assembly.closures.len(), glued, "{name}");
    }
    assert!(stubs >= 16, "only {stubs} stubs were walked to");
}

#[test]
fn the_walk_starts_at_the_exit() {
    for (name, house) in houses() {
        let mut far = vec![false; house.assembly.pieces.len()];
        house
            .assembly
            .joints
            .iter()
            .for_each(|joint| far[joint.far.0] = true);
        let roots: Vec<_> = house
            .assembly
            .pieces
            .iter()
            .zip(&far)
            .filter(|(_, far)| !**far)
            .map(|(p, _)| p)
            .collect();
        assert_eq!(roots.len(), house.layout.drains.len(), "{name}");
        for (root, drain) in roots.iter().zip(&house.layout.drains) {
            // The pipe through the wall ends 6 in outside the exit.
            let off = root.frame.at.truncate().distance(drain.exit.at);
            assert!((off - 6.0).abs() < 0.05, "{name}: {off}");
        }
    }
}

/// No hub is asked to lean more than a grade leans, but where a trouble says so.
#[test]
fn what_leans_is_told() {
    for (name, house) in houses() {
        let lines = house.assembly.runs.iter().flatten();
        let steepest = lines.map(|line| line.grade.in_per_ft()).fold(0.0, f64::max);
        // A quarter more than a steep run's own slope: at a skew corner two of them add up.
        let most = f64::max(2.5, 1.25 * (steepest / 12.0).atan().to_degrees());
        for joint in &house.assembly.joints {
            let (near, far) = (
                &house.assembly.pieces[joint.near.0],
                &house.assembly.pieces[joint.far.0],
            );
            let told = |id: &units::Id| {
                house
                    .assembly
                    .troubles
                    .iter()
                    .any(|trouble| trouble.run == *id)
            };
            let drains: Vec<_> = house.layout.drains.iter().map(|drain| &drain.id).collect();
            let outside = drains.contains(&&near.id) || drains.contains(&&far.id);
            let ok = told(&near.id) || told(&far.id) || outside && drains.iter().any(|id| told(id));
            let lean = joint.seat.lean.to_degrees();
            assert!(
                lean <= most || ok,
                "{name}: {lean:.2} degrees between {} and {}",
                near.id,
                far.id
            );
        }
    }
}

#[test]
fn a_short_or_negative_pipe_is_told() {
    for (name, house) in houses() {
        for piece in &house.assembly.pieces {
            let Some(cut) = piece.cut() else { continue };
            let least = house.catalog.pipe(piece.size).shortest_piece() - 1.0 / 32.0;
            let told = house.assembly.troubles.iter().any(|t| {
                t.run == piece.id
                    && matches!(t.kind, TroubleKind::ShortPiece | TroubleKind::OnePlace)
            });
            assert!(
                cut.value >= least || told || piece.riser,
                "{name}: {} of {} is {}",
                piece.size,
                piece.id,
                cut.value
            );
            let stick = house
                .catalog
                .pipe(piece.size)
                .stock
                .last()
                .copied()
                .unwrap();
            assert!(
                cut.value <= stick + 1e-6,
                "{name}: {} is longer than a stick",
                piece.id
            );
        }
    }
}

/// One leg worked by hand: a 3 in branch of 60 in from the foot of a riser, square into a 3 in trunk.
#[test]
fn a_cut_is_the_distance_less_both_take_offs() {
    let text = ONE_BRANCH;
    let house = house(text);
    assert_eq!(house.assembly.troubles, []);
    let parts: Vec<String> = house
        .assembly
        .pieces
        .iter()
        .filter(|p| p.id.as_str() == "branch")
        .map(|piece| match &piece.what {
            What::Pipe(_) => "pipe".to_owned(),
            What::Fitting(part) => part.to_string(),
        })
        .collect();
    assert_eq!(
        parts,
        [
            "3 in street eighth bend",
            "pipe",
            "3 in long-turn quarter bend"
        ]
    );
    let cut = house
        .assembly
        .pieces
        .iter()
        .find(|p| p.id.as_str() == "branch")
        .map(|_| ())
        .and_then(|()| {
            house
                .assembly
                .pieces
                .iter()
                .filter(|p| p.id.as_str() == "branch")
                .find_map(fittings::Piece::cut)
        });
    let cut = cut.expect("a pipe");
    // The bend behind the wye stands 0.7071 (5-1/16 + 1-3/4 + 1/16 + 1-1/2) = 5.9220 from the trunk; 60 in to the riser;
    // less 1-3/4 of that bend and 4-1/16 of the riser's: 48.2655 in plan. Along the grade (1/4 in/ft) it is longer by
    // 1/4608 of the 54 in between the centres, 0.0117.
    assert!(
        (cut.value - 48.2655 - 0.0117).abs() < 0.003,
        "{}",
        cut.value
    );
    let [closure] = &house.assembly.closures[..] else {
        panic!("{:?}", house.assembly.closures)
    };
    // Five joints from the exit: wye, street bend, pipe, long turn, riser: 5/16 along the line. The branch's pipe is over
    // 48 in and staked, the riser is plumbed; so only the long turn swings, by half a degree over the 4-1/16 x 1.4142 =
    // 5.7452 in between its stops: 0.0501.
    assert_eq!(closure.joints, 5);
    assert!(
        (closure.worst - (0.3125 + 0.0501)).abs() < 0.0002,
        "{closure:?}"
    );
    let likely = (5.0 * 0.0625_f64.powi(2) + 0.0501_f64.powi(2)).sqrt();
    assert!((closure.likely - likely).abs() < 0.0002, "{closure:?}");
    assert!(cut.is_provisional());
    // 1/8 in each, the catalogue's doubt of the plain ends.
    assert!((cut.doubt - 0.25).abs() < 1e-9, "{}", cut.doubt);
}

/// 37 degrees is no fitting's turn: told, with the nearest and the shift.
#[test]
fn a_turn_no_fitting_makes_is_told() {
    let (s, c) = 37.0_f64.to_radians().sin_cos();
    let (x, y) = (240.0 - 100.0 * s, 160.0 - 100.0 * c);
    let text = format!(
        r#"(
        title: "37 degrees", code: irc,
        slab: (outline: [("0", "0"), ("40'", "0"), ("40'", "20'"), ("0", "20'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
        drains: {{ "d": (exit: (at: ("240 in", "20'"), way: through, size: "3 in")) }},
        runs: {{ "trunk": (from: ("{x} in", "{y} in"), via: [("240 in", "160 in")], to: "d", size: "3 in") }},
    )"#
    );
    let house = house(&text);
    let [trouble] = &house.assembly.troubles[..] else {
        panic!("{:?}", house.assembly.troubles)
    };
    assert_eq!(trouble.kind, TroubleKind::NoSuchTurn);
    assert!((trouble.measured - 37.0).abs() < 0.05 && (trouble.limit - 45.0).abs() < 1e-9);
    assert!(
        trouble.would_do.contains("turn 45 degrees"),
        "{}",
        trouble.would_do
    );
}

/// A combination in one piece is a guess in our table, so two pieces make the join; measured on the bench it is the better
/// known way.
#[test]
fn a_measured_combination_takes_the_place_of_wye_and_bend() {
    let text = ONE_BRANCH;
    let (bench, problems) = catalog::parse(
        r#"[
            (fitting: "3 in combination", end: "outlet", takes_off: "6 1/2 in"),
            (fitting: "3 in combination", end: "inlet", takes_off: "-1/4 in"),
            (fitting: "3 in combination", end: "branch", takes_off: "5 1/4 in"),
        ]"#,
    );
    assert_eq!(problems, []);
    let house = house_of(text, &bench);
    assert_eq!(house.assembly.troubles, []);
    let parts = |house: &House| -> Vec<String> {
        let fittings = house
            .assembly
            .pieces
            .iter()
            .filter_map(fittings::Piece::part);
        fittings.map(|part| part.to_string()).collect()
    };
    let one = "3 in combination".to_owned();
    assert!(parts(&house).contains(&one) && !parts(&self::house(text)).contains(&one));
    let cut = house
        .assembly
        .pieces
        .iter()
        .find(|piece| piece.id.as_str() == "branch" && piece.cut().is_some());
    // 60 in from the trunk to the riser, less 5-1/4 of the combination and 4-1/16 of the long turn; a hair longer along the
    // grade.
    let cut = cut.and_then(fittings::Piece::cut).expect("a pipe").value;
    assert!((cut - (60.0 - 5.25 - 4.0625)).abs() < 0.02, "{cut}");
    let [closure] = &house.assembly.closures[..] else {
        panic!("{:?}", house.assembly.closures)
    };
    assert!(closure.error.length() < SIXTEENTH, "{closure:?}");
}

/// Two eighth bends 5-1/16 in apart leave 1-9/16 in between their stops: too short for two 1-1/2 in sockets, and what a
/// street end takes (a socket and 1/16).
#[test]
fn a_street_end_where_the_pipe_would_be_too_short() {
    let offset = |apart: f64| {
        let step = apart * std::f64::consts::FRAC_1_SQRT_2;
        let (x, y) = (240.0 - step, 160.0 - step);
        format!(
            r#"(
        title: "an offset", code: irc,
        slab: (outline: [("0", "0"), ("40'", "0"), ("40'", "20'"), ("0", "20'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
        drains: {{ "d": (exit: (at: ("240 in", "20'"), way: through, size: "3 in")) }},
        runs: {{ "trunk": (from: ("{x} in", "40 in"), via: [("{x} in", "{y} in"), ("240 in", "160 in")], to: "d", size: "3 in") }},
    )"#
        )
    };
    let bends = |house: &House| {
        let fittings = house
            .assembly
            .pieces
            .iter()
            .filter_map(fittings::Piece::part);
        let bends = fittings.filter(|part| part.pattern.turn_degrees() == Some(45.0));
        bends.map(|part| part.to_string()).collect::<Vec<_>>()
    };
    let home = house(&offset(5.0625));
    assert_eq!(home.assembly.troubles, []);
    assert_eq!(
        bends(&home),
        ["3 in eighth bend", "3 in street eighth bend"]
    );
    // A quarter more: neither pipe nor street end, and that is told.
    let between = house(&offset(5.3125));
    assert_eq!(bends(&between), ["3 in eighth bend", "3 in eighth bend"]);
    let [trouble] = &between.assembly.troubles[..] else {
        panic!("{:?}", between.assembly.troubles)
    };
    assert_eq!(trouble.kind, TroubleKind::ShortPiece);
    assert!(
        trouble.would_do.contains("street end"),
        "{}",
        trouble.would_do
    );
    // And far enough apart it is a pipe between two hubs.
    assert_eq!(house(&offset(7.0)).assembly.troubles, []);
}

/// A line outside of a menu comes down to its receiver by two eighth bends: the way between their centres lies 45 degrees under
/// the line, and the walked end of the last piece stands at the receiver.
#[test]
fn a_line_outside_drops_to_its_receiver() {
    let drops = houses()
        .iter()
        .map(|(name, house)| drops_of(name, house))
        .sum::<usize>();
    assert!(drops >= 10, "only {drops} lines dropped");
}

fn drops_of(name: &str, house: &House) -> usize {
    let walked = walk(&house.assembly, &house.catalog);
    let mut drops = 0;
    for drain in &house.layout.drains {
        let pieces = || house.assembly.pieces.iter().zip(&walked);
        let of_drain = || pieces().filter(|(piece, _)| piece.id == drain.id);
        let eighth = |piece: &fittings::Piece| {
            let part = piece.part();
            part.is_some_and(|part| part.pattern == catalog::Pattern::EighthBend)
        };
        let bends: Vec<_> = of_drain()
            .filter_map(|(piece, frame)| frame.filter(|_| eighth(piece)))
            .collect();
        let [upper, lower] = bends[..] else {
            assert!(bends.len() < 2, "{name}: {} bends", bends.len());
            continue;
        };
        let last = of_drain().next_back().expect("a last piece");
        let end = last.1.expect("walked").at;
        let line = (end - lower.at).normalize();
        let leg = (lower.at - upper.at).normalize();
        let turn = line.angle_between(leg).to_degrees();
        assert!((turn - 45.0).abs() < 0.01, "{name}: {turn}");
        let receiver = drain.receiver.as_ref().and_then(|r| r.invert);
        let radius = house.catalog.pipe(last.0.size).id() / 2.0;
        let want = receiver.expect("a drop goes to a level") + radius;
        assert!((end.z - want).abs() < SIXTEENTH, "{name}: {end} {want}");
        drops += 1;
    }
    drops
}
