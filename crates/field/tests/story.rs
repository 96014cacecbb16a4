//! The demo house, built: the sleeve poured low and aside, a string moved, a stub off; each named with its cause and the
//! next act. Then a closet moves after half is glued.
#![allow(clippy::unwrap_used)]

mod common;

use common::{DEMO, House, at, demo};
use field::{Fate, Judged, Stage, Stop, Weight, Why};
use flow::Inputs;
use glam::DVec2;
use takeoff::Shop;

const WEST: DVec2 = DVec2::new(-1.0, 0.0);

fn said<'j>(judged: &'j Judged, start: &str) -> &'j field::Said {
    let found = judged.said.iter().find(|said| said.says.starts_with(start));
    found.unwrap_or_else(|| panic!("nothing starts with {start:?} in {:#?}", judged.said))
}

#[test]
fn the_sleeve_poured_low_and_aside_gives_the_new_trunk() {
    let house = demo();
    let mut site = house.site();
    site.sleeve("house drain", -0.625, WEST, Stage::Sleeve);
    let book = site.book();
    let judged = field::judge(&house.outcome, &book);
    // By hand: a 6 in sleeve is 6.065 in inside, the 4 in pipe 4.5 in outside: 0.7825 in all round, less 1 in aside.
    let sleeve = &judged.sleeves[0];
    assert!((sleeve.room - 0.7825).abs() < 1e-9);
    assert!((sleeve.room_aside + 0.2175).abs() < 1e-9, "{sleeve:?}");
    assert!(
        (sleeve.room_up_down - (0.7825 - 0.625)).abs() < 1.0 / 32.0,
        "{sleeve:?}"
    );
    let told = said(&judged, "the sleeve of house drain");
    assert_eq!(
        told.says,
        "the sleeve of house drain was poured 5/8 in low and 1 in west: the pipe as planned would meet its side by 3/16 in"
    );
    assert_eq!(
        told.next,
        "lay the trunk by the sleeve as it stands, not by the plan: solved again below"
    );
    let solved = field::solve_back(&house.inputs, &house.outcome, &book).unwrap();
    assert!(
        solved.outcome.problems.is_empty(),
        "{:?}",
        solved.outcome.problems
    );
    let exit = &solved.outcome.layout.drains[0].exit;
    assert_eq!(exit.at, at(119.0, 528.0));
    assert!((exit.sleeve_bottom.unwrap() - sleeve.bottom.unwrap().1).abs() < 1e-9);
    let trunk = &solved.outcome.network.trees[0].runs[0];
    let points = trunk.path.points();
    let last = points.len() - 1;
    assert!(
        (points[last].x - points[last - 1].x).abs() < 1e-9,
        "square to the wall: {points:?}"
    );
    assert!(solved.outcome.grades[0].is_feasible());
    assert!(
        solved.outcome.assembly.troubles.is_empty(),
        "{:?}",
        solved.outcome.assembly.troubles
    );
    let fails = solved
        .outcome
        .findings
        .iter()
        .filter(|f| f.verdict == checks::Verdict::Fails);
    assert_eq!(fails.count(), 0);
    // The trunk's first piece up from its first bend: the bend came 1 in nearer the wall.
    let cuts = field::next_cuts(&house.outcome, &solved.outcome, &book);
    let first = &cuts[0];
    assert_eq!(first.id.as_str(), "trunk");
    assert!(
        (first.planned.unwrap() - first.now - 1.0).abs() < 1e-3,
        "{first:?}"
    );
}

#[test]
fn a_moved_string_is_named_with_its_figure_and_its_string() {
    let house = demo();
    let mut site = house.site();
    site.string("bath string", at(528.0, 0.0), at(528.0, 336.0));
    for stub in ["main lavatory", "main closet", "main shower"] {
        site.stub(stub, WEST * 5.5, Stage::DryFit);
    }
    site.stub("washer", DVec2::ZERO, Stage::DryFit);
    let judged = field::judge(&house.outcome, &site.book());
    assert_eq!(judged.causes.len(), 1);
    let cause = &judged.causes[0];
    assert_eq!(cause.stubs.len(), 3);
    let Why::Shifted {
        by, strings, all, ..
    } = &cause.why
    else {
        panic!("{cause:?}");
    };
    assert!(by.distance(WEST * 5.5) < 0.06, "{by}");
    assert_eq!((strings.len(), *all), (1, false));
    let told = &judged.said[0];
    assert_eq!(told.weight, Weight::Stop);
    assert_eq!(
        told.says,
        "main lavatory, main closet and main shower stand 5 1/2 in west of where they should, all by the same, so one \
         mistake moved them: the framing of bath wall, 5 1/2 in: its other face was taken; or bath string runs across that \
         way: a string that was moved does the same"
    );
    assert_eq!(
        told.next,
        "pull two tapes to each end of bath string; then set them 5 1/2 in east together, before any more is glued"
    );
}

#[test]
fn a_string_checked_where_it_runs_is_told_by_itself() {
    let house = demo();
    let mut site = house.site();
    site.string("bath string", at(528.0, 0.0), at(528.0, 336.0));
    let stands = at(528.0 - 5.5, 120.0);
    site.taken(
        "bath string",
        "string",
        "at: \"10'\"",
        stands,
        [0.0; 3],
        Stage::Strings,
    );
    let judged = field::judge(&house.outcome, &site.book());
    let told = said(&judged, "bath string");
    assert_eq!(
        told.says,
        "bath string stands 5 1/2 in west of where it should, 10'-0\" from its first end"
    );
    assert_eq!(told.weight, Weight::Stop);
}

#[test]
fn one_stub_off_is_told_with_the_play_it_has_left() {
    let house = demo();
    let mut site = house.site();
    site.stub("hall lavatory", at(0.375, 0.0), Stage::DryFit);
    let judged = field::judge(&house.outcome, &site.book());
    // By hand: a 2 in pipe, 2.375 in outside, in a 2x6: (5.5 - 2.375) / 2 = 1.5625 in, less 3/8.
    let read = &judged.stubs[0];
    assert!((read.play - 1.1875).abs() < 0.05, "{read:?}");
    assert_eq!(read.tolerance, 1.5625);
    let told = said(&judged, "hall lavatory");
    assert_eq!(
        told.says,
        "hall lavatory stands 3/8 in east of where it should; hall bath wall has 1 3/16 in of play left"
    );
    assert_eq!(told.next, "move it 3/8 in west while it is loose");
    assert!(judged.causes.is_empty());
}

#[test]
fn of_three_tapes_the_wrong_one_is_named() {
    let house = demo();
    let mut site = house.site();
    let stands = house.stub("washer");
    site.tapes("washer", stands, [0.0, 1.0, 0.0], Stage::DryFit);
    let judged = field::judge(&house.outcome, &site.book());
    let told = said(&judged, "washer: the tape from ne");
    assert!(told.says.ends_with(": 1 in off"), "{}", told.says);
    assert_eq!(
        told.next,
        "pull the tape from ne again before anything is moved"
    );
    assert!(
        judged.stubs[0].off().length() < 0.1,
        "the other two tell its place"
    );
}

/// The first assembly of the demo by which at least two stubs come up, not the very first, and its stubs.
fn bench(house: &House) -> (usize, Vec<String>, DVec2) {
    let of = &house.outcome;
    let take = takeoff::take(&of.layout, &of.assembly, &of.catalog, &Shop::default());
    let benches = take.order.iter().enumerate();
    let found = benches
        .filter(|(_, bench)| bench.home.is_some())
        .find_map(|(i, bench)| {
            let ends = of
                .assembly
                .closures
                .iter()
                .filter(|c| bench.pieces.contains(&c.piece));
            let stubs: Vec<String> = ends
                .filter(|c| matches!(c.of, fittings::StubOf::Fixture(_)))
                .map(|c| c.id.to_string())
                .collect();
            (stubs.len() >= 2).then_some((i + 1, stubs, bench.home?))
        });
    let (number, stubs, home) = found.expect("an assembly with two stubs");
    let (near, end) = of.assembly.joints[home].near;
    let piece = &of.assembly.pieces[near];
    let (stop, _) = piece.end(end, &of.catalog).expect("an end");
    (
        number,
        stubs,
        (piece.frame.at + piece.frame.turned(stop.to_array())).truncate(),
    )
}

#[test]
fn an_assembly_set_off_as_one_has_one_cause_and_one_next_act() {
    let house = demo();
    let (number, stubs, _) = bench(&house);
    let off = at(0.0, 0.5);
    let mut site = house.site();
    for stub in &stubs {
        site.stub(stub, off, Stage::DryFit);
    }
    let others = ["main closet", "hall lavatory", "washer"];
    let other = others
        .iter()
        .find(|one| !stubs.contains(&(**one).to_owned()))
        .unwrap();
    site.stub(other, DVec2::ZERO, Stage::DryFit);
    let judged = field::judge(&house.outcome, &site.book());
    assert_eq!(judged.causes.len(), 1, "{:#?}", judged.causes);
    let Why::Assembly {
        number: told,
        by,
        degrees,
        joint,
    } = &judged.causes[0].why
    else {
        panic!("{:?}", judged.causes);
    };
    assert_eq!((*told, *degrees), (number, None));
    assert!(by.distance(off) < 0.06, "{by}");
    let joint = joint.as_ref().unwrap();
    assert!(!joint.glued && joint.play > 0.5, "{joint:?}");
    let first = &judged.said[0];
    assert!(
        first.says.starts_with(&format!(
            "assembly {number} stands 1/2 in north of where it should"
        )),
        "{}",
        first.says
    );
    assert!(
        first.next.starts_with("before its joint to"),
        "{}",
        first.next
    );
    assert!(first.next.contains("1/2 in south as one"), "{}", first.next);
    // One next act: the stubs' own are left to it.
    let acts = judged
        .said
        .iter()
        .filter(|said| !said.next.is_empty() && !said.explained);
    assert_eq!(acts.count(), 1, "{:#?}", judged.said);

    // Glued in, that joint has no play left.
    let mut site = house.site();
    for stub in &stubs {
        site.stub(stub, off, Stage::Glued);
    }
    let judged = field::judge(&house.outcome, &site.book());
    assert!(
        judged.said[0].next.contains("is glued and has no play"),
        "{}",
        judged.said[0].next
    );

    // Off by different vectors they have no one cause.
    let mut site = house.site();
    site.stub(&stubs[0], off, Stage::DryFit);
    site.stub(&stubs[1], -off, Stage::DryFit);
    let judged = field::judge(&house.outcome, &site.book());
    assert!(judged.causes.is_empty(), "{:#?}", judged.causes);
}

#[test]
fn an_assembly_turned_about_its_joint_is_named() {
    let house = demo();
    let (number, stubs, pivot) = bench(&house);
    let arm = |stub: &str| house.stub(stub) - pivot;
    let far = stubs
        .iter()
        .map(|stub| arm(stub).length())
        .fold(0.0, f64::max);
    let radians = 1.0 / far;
    let mut site = house.site();
    for stub in &stubs {
        site.stub(stub, arm(stub).perp() * radians, Stage::DryFit);
    }
    let judged = field::judge(&house.outcome, &site.book());
    let Why::Assembly {
        number: told,
        degrees: Some(degrees),
        ..
    } = &judged.causes[0].why
    else {
        panic!("{:?}", judged.causes);
    };
    assert_eq!(*told, number);
    assert!(
        (degrees - radians.to_degrees()).abs() < radians.to_degrees() * 0.2,
        "{degrees}"
    );
    let first = &judged.said[0];
    assert!(
        first
            .says
            .contains("is turned counter-clockwise about its joint"),
        "{}",
        first.says
    );
    assert!(
        first.next.contains("back clockwise as one"),
        "{}",
        first.next
    );
}

#[test]
fn a_plan_turned_over_is_named() {
    let house = demo();
    let mut site = house.site();
    for name in ["hall lavatory", "washer", "utility sink"] {
        let planned = house.stub(name);
        site.tapes(
            name,
            at(576.0 - planned.x, planned.y),
            [0.0; 3],
            Stage::DryFit,
        );
    }
    let judged = field::judge(&house.outcome, &site.book());
    assert_eq!(
        judged.said[0].says,
        "hall lavatory, washer and utility sink stand in the mirror of where they should: the plan was turned over, east for west"
    );
}

#[test]
fn back_fall_and_flat_pipe_stop_and_fall_that_is_left_is_told() {
    let house = demo();
    let mut site = house.site();
    site.invert("utility drain", "lower", 0.0, Stage::Glued);
    site.invert("utility drain", "upper", -1.25, Stage::Glued);
    let judged = field::judge(&house.outcome, &site.book());
    let fall = &judged.falls[0];
    assert!(fall.is_flat(), "{fall:?}");
    let told = judged
        .said
        .iter()
        .find(|said| said.says.contains("the pipe falls back"))
        .unwrap();
    assert_eq!(told.weight, Weight::Stop);
    assert!(
        told.next
            .contains("raise its upper end or lower its lower end by 1 1/4 in"),
        "{}",
        told.next
    );

    let mut site = house.site();
    site.invert("trunk", "lower", 0.0, Stage::Glued);
    site.invert("trunk", "upper", 0.0, Stage::Glued);
    let judged = field::judge(&house.outcome, &site.book());
    assert!(
        judged
            .falls
            .iter()
            .all(|fall| !fall.is_flat() && !fall.is_short()),
        "{:?}",
        judged.falls
    );
    assert!(
        (judged.falls[0].grade() - 0.25).abs() < 0.005,
        "{:?}",
        judged.falls
    );
    assert!(!judged.stops(), "{:#?}", judged.said);
}

#[test]
fn glued_levels_are_pins_and_what_cannot_fall_says_so() {
    let house = demo();
    let mut site = house.site();
    for run in ["trunk", "utility drain", "washer drain"] {
        site.invert(run, "lower", 0.03, Stage::Glued);
        site.invert(run, "upper", -0.03, Stage::Glued);
    }
    let solved = field::solve_back(&house.inputs, &house.outcome, &site.book()).unwrap();
    assert_eq!(solved.inputs.pins.len(), 3);
    assert!(
        solved.outcome.grades[0].is_feasible(),
        "what a level plays is no conflict"
    );

    // The trunk glued 3 in low all along cannot leave by the sleeve as it was poured.
    let mut site = house.site();
    site.sleeve("house drain", 0.0, DVec2::ZERO, Stage::Sleeve);
    site.invert("trunk", "lower", -3.0, Stage::Glued);
    site.invert("trunk", "upper", -3.0, Stage::Glued);
    let solved = field::solve_back(&house.inputs, &house.outcome, &site.book()).unwrap();
    assert!(!solved.outcome.grades[0].is_feasible());
}

#[test]
fn warm_pipe_and_a_cool_pour_move_the_farthest_stub() {
    let house = demo();
    let mut site = house.site();
    site.entry("of: \"house drain\", what: heat, degrees_f: 95, stage: glued");
    site.entry("of: \"house drain\", what: heat, degrees_f: 45, stage: pour");
    let judged = field::judge(&house.outcome, &site.book());
    let closure = house
        .outcome
        .assembly
        .closures
        .iter()
        .find(|c| c.id.as_str() == "main lavatory")
        .unwrap();
    let heat = judged
        .heat
        .iter()
        .find(|heat| heat.stub.as_str() == "main lavatory")
        .unwrap();
    assert!((heat.shortens - closure.shrink_per_10f * 5.0).abs() < 1e-12);
    assert!(
        heat.shortens > 0.5,
        "some fifty feet of PVC over 50 F: {}",
        heat.shortens
    );
    assert!(
        said(&judged, "house drain was glued at 95 F")
            .says
            .contains("its pipe has shortened")
    );
}

#[test]
fn stop_points_say_what_is_missing_and_then_nothing() {
    let house = demo();
    let book = house.site().book();
    let judged = field::judge(&house.outcome, &book);
    let points = field::stop_points(&house.outcome, &book, &judged);
    assert!(points.iter().all(|point| !point.is_ready()));
    assert_eq!(
        points[0].missing,
        [
            "diagonals of the form (strings): sw to ne, se to nw",
            "sleeves (sleeve poured): house drain",
            "to be done (sleeve poured): lines marked"
        ]
    );
    let mut site = house.site();
    site.everything(Stage::Pour);
    let book = site.book();
    let judged = field::judge(&house.outcome, &book);
    assert!(!judged.stops(), "{:#?}", judged.said);
    for point in field::stop_points(&house.outcome, &book, &judged) {
        assert!(point.is_ready(), "{point:#?}");
    }
    assert!(field::due(&house.outcome, &book).is_empty());
    // One stub found aside that morning and the pour waits.
    site.stub("washer", at(2.0, 0.0), Stage::Pour);
    let book = site.book();
    let judged = field::judge(&house.outcome, &book);
    let points = field::stop_points(&house.outcome, &book, &judged);
    let pour = points
        .iter()
        .find(|point| point.stop == Stop::Pour)
        .unwrap();
    assert_eq!(pour.against.len(), 1, "{pour:?}");
}

#[test]
fn the_as_built_layout_keeps_its_comments_and_reads_back() {
    let house = demo();
    let mut site = house.site();
    site.sleeve("house drain", -0.625, WEST, Stage::Sleeve);
    site.stub("hall lavatory", at(0.0, 1.0), Stage::Glued);
    site.stub("washer", at(0.0, 1.0), Stage::DryFit);
    let built = field::as_built(&house.inputs, &house.outcome, &site.book()).unwrap();
    assert!(built.comments_kept);
    assert!(
        built
            .text
            .contains("// West under the hall, two 45s, then north to the wall.")
    );
    let again = House::new(&built.text, "built.ron");
    assert!(
        (again.stub("hall lavatory") - house.stub("hall lavatory")).distance(at(0.0, 1.0)) < 0.1
    );
    assert_eq!(
        again.stub("washer"),
        house.stub("washer"),
        "dry pipe is not built yet"
    );
}

/// Vents and services that were found aside stand in the as-built layout where they are.
#[test]
fn the_as_built_layout_has_vents_and_services_where_they_stand() {
    let house = demo();
    let mut site = house.site();
    let off = [
        ("hall tub vent", at(0.0, 1.0)),
        ("kitchen sink vent", at(2.0, 0.0)),
        ("kitchen sink return", at(0.0, 1.0)),
        ("water service", at(1.0, -1.0)),
        ("soil gas pipe", at(1.5, 0.0)),
    ];
    for (stub, by) in off {
        site.stub(stub, by, Stage::Glued);
    }
    let built = field::as_built(&house.inputs, &house.outcome, &site.book()).unwrap();
    assert!(built.comments_kept);
    let again = House::new(&built.text, "built.ron");
    for (stub, by) in off {
        let moved = again.stub(stub) - house.stub(stub);
        assert!(
            moved.distance(by) < 0.15,
            "{stub} moved {moved}\n{:?}",
            built.says
        );
    }
    assert!(
        again.outcome.assembly.troubles.is_empty(),
        "{:?}",
        again.outcome.assembly.troubles
    );
    assert_eq!(built.says.len(), off.len(), "{:?}", built.says);
}

/// The closet of the hall bath moves 3 in north when the trunk and all west of it is glued.
#[test]
fn a_closet_moves_after_half_is_glued() {
    let house = demo();
    let mut site = house.site();
    site.invert("trunk", "lower", 0.0, Stage::Glued);
    site.stub("hall closet", DVec2::ZERO, Stage::Glued);
    site.stub("washer", DVec2::ZERO, Stage::Glued);
    let moved = DEMO.replace(
        "by: \"12 in\", along: \"8'\"), landing: floor",
        "by: \"12 in\", along: \"8'-3\"), landing: floor",
    );
    assert_ne!(moved, DEMO);
    let new = House::new(&moved, "new.ron");
    let shop = Shop::default();
    let changes = field::changes(&house.outcome, &new.outcome, &site.book(), &shop);
    assert_eq!(changes.moved.len(), 1, "{:?}", changes.moved);
    assert_eq!(changes.moved[0].says, "moved 3 in north");
    // What is glued below the closet and has to move is lost; what stands stays; what is loose is used again.
    assert!(!changes.lost.is_empty());
    let out: Vec<_> = changes
        .assemblies
        .iter()
        .filter(|a| a.fate == Fate::SawOut)
        .collect();
    assert!(!out.is_empty());
    assert!(out.iter().all(|a| {
        a.items
            .iter()
            .any(|id| id.as_str().starts_with("hall closet") || id.as_str() == "trunk")
    }));
    let stands = changes
        .assemblies
        .iter()
        .filter(|a| a.fate == Fate::Stands)
        .count();
    assert!(
        stands > changes.assemblies.len() / 2,
        "{:#?}",
        changes.assemblies
    );
    assert!(!changes.cuts.is_empty() && !changes.stale.is_empty());
    // The vent's take-off was left where it was, off the drain that moved: that is told before anything is cut.
    assert!(
        changes
            .fails
            .iter()
            .any(|says| says.starts_with("hall closet: its vent leaves")),
        "{:?}",
        changes.fails
    );
    assert!(
        changes.sections()[0]
            .heading
            .starts_with("The new layout fails")
    );

    // Nothing glued: nothing lost, and every fitting of the old house is used again.
    let dry = field::changes(&house.outcome, &new.outcome, &field::Book::default(), &shop);
    assert!(dry.lost.is_empty());
    assert!(dry.buy.len() <= changes.buy.len());
    for lost in &changes.lost {
        let spare_or_bought = changes.buy.iter().any(|bought| bought.name == lost.name)
            || house_spares(&house, &lost.name) >= lost.count;
        assert!(
            spare_or_bought,
            "{lost:?} is lost and nothing takes its place"
        );
    }
}

/// Nothing fitted yet: every stick is whole still, and what the change no longer wants goes back whole; all of it at the
/// prices of the shop sheet.
#[test]
fn a_change_is_told_in_money_and_sticks() {
    let house = demo();
    let moved = DEMO.replace(
        "by: \"12 in\", along: \"8'\"), landing: floor",
        "by: \"12 in\", along: \"8'-3\"), landing: floor",
    );
    let new = House::new(&moved, "new.ron");
    let mut shop = Shop::default();
    let take = |shop: &Shop| {
        let of = &house.outcome;
        takeoff::take(&of.layout, &of.assembly, &of.catalog, shop)
    };
    for (nth, line) in take(&shop).buy.iter().enumerate() {
        if line.unit == takeoff::Per::Each {
            let price = takeoff::Price::each(1.0 + nth as f64);
            shop.prices.insert(line.name.clone(), price);
        }
    }
    shop.currency = "$".into();
    let mut site = house.site();
    site.stub("hall closet", DVec2::ZERO, Stage::Glued);
    let changes = field::changes(&house.outcome, &new.outcome, &site.book(), &shop);
    let cost = changes.cost.as_ref().unwrap();
    let sum = |goods: &[field::Goods]| -> f64 {
        let priced = goods
            .iter()
            .filter_map(|one| Some((shop.prices.get(&one.name)?.amount, one.count)));
        priced.map(|(amount, n)| amount * n as f64).sum()
    };
    assert!(
        (cost.lost - sum(&changes.lost)).abs() < 1e-9 && cost.lost > 0.0,
        "{cost:?}"
    );
    assert!((cost.buy - sum(&changes.buy)).abs() < 1e-9, "{cost:?}");
    assert!(
        (cost.back - sum(&changes.give_back)).abs() < 1e-9,
        "{cost:?}"
    );
    let told: Vec<&str> = changes.sections().iter().map(|one| one.heading).collect();
    assert_eq!(told.last(), Some(&"What it costs"), "{told:?}");

    // Nothing cut: the sticks at hand serve, none is bought.
    let without = field::changes(&house.outcome, &new.outcome, &field::Book::default(), &shop);
    let sticks = |goods: &[field::Goods]| -> usize {
        let pipe = goods.iter().filter(|one| one.name.contains("pipe, "));
        pipe.map(|one| one.count).sum()
    };
    assert_eq!(sticks(&without.buy), 0, "{:?}", without.buy);
    assert!(without.lost.is_empty() && without.cost.unwrap().lost == 0.0);
}

/// With nothing glued, what to buy and return is what one buying list has more or less than the other, as
/// `fallwise parts --since` tells it, all but pipe: spares, couplings, wrap and stakes too.
#[test]
fn a_change_buys_the_difference_of_the_lists() {
    let cleanout = "\"outside cleanout\": (at: (\"10'\", \"46'-6\"), outside: \"house drain\", two_way: true, top: \"-8 in\", landing: floor),";
    let without = DEMO.replace(cleanout, "");
    assert_ne!(without, DEMO);
    let (old, new) = (House::new(&without, "old.ron"), demo());
    let shop = Shop::default();
    let list = |of: &House| {
        let of = &of.outcome;
        let taken = takeoff::take(&of.layout, &of.assembly, &of.catalog, &shop);
        taken
            .buy
            .into_iter()
            .filter(|line| line.group != takeoff::Group::Pipe)
            .collect::<Vec<_>>()
    };
    let lists = takeoff::changes(&list(&old), &list(&new));
    let more = lists.iter().filter(|one| one.now > one.before);
    let more: Vec<(&str, usize)> = more
        .map(|one| (one.name.as_str(), one.now - one.before))
        .collect();
    let less = lists.iter().filter(|one| one.now < one.before);
    let less: Vec<(&str, usize)> = less
        .map(|one| (one.name.as_str(), one.before - one.now))
        .collect();
    let changes = field::changes(&old.outcome, &new.outcome, &field::Book::default(), &shop);
    let goods = |goods: &[field::Goods]| -> Vec<(String, usize)> {
        let no_pipe = goods.iter().filter(|one| !one.name.contains("pipe, "));
        no_pipe.map(|one| (one.name.clone(), one.count)).collect()
    };
    let named = |of: &[(&str, usize)]| -> Vec<(String, usize)> {
        of.iter()
            .map(|(name, n)| ((*name).to_owned(), *n))
            .collect()
    };
    assert_eq!(goods(&changes.buy), named(&more));
    assert_eq!(goods(&changes.give_back), named(&less));
    // One for the drain and one spare.
    assert!(more.contains(&("4 in two-way cleanout", 2)), "{more:?}");
    // Whose number each is, is said.
    let sections = changes.sections();
    let lines = |heading: &str| {
        let one = sections.iter().find(|one| one.heading == heading);
        one.map(|one| one.lines.clone()).unwrap_or_default()
    };
    let cuts = lines("Cut");
    assert!(
        !cuts.is_empty() && cuts.iter().all(|line| line.contains(" of the new plan, ")),
        "{cuts:?}"
    );
    let again = lines("Assemblies");
    let again: Vec<&String> = again
        .iter()
        .filter(|line| line.contains("use again: "))
        .collect();
    assert!(
        !again.is_empty() && again.iter().all(|line| line.ends_with(" of the old plan")),
        "{again:?}"
    );
}

fn house_spares(house: &House, name: &str) -> usize {
    let of = &house.outcome;
    let take = takeoff::take(&of.layout, &of.assembly, &of.catalog, &Shop::default());
    let line = take
        .fittings
        .iter()
        .find(|line| line.part.to_string() == name);
    line.map_or(0, |line| line.spare)
}

#[test]
fn the_same_layout_changes_nothing() {
    let house = demo();
    let mut site = house.site();
    site.everything(Stage::Glued);
    let changes = field::changes(
        &house.outcome,
        &house.outcome,
        &site.book(),
        &Shop::default(),
    );
    assert!(changes.is_none() && changes.moved.is_empty() && changes.stale.is_empty());
    assert!(
        changes.cuts.is_empty()
            && changes.buy.is_empty()
            && changes.give_back.is_empty()
            && changes.lost.is_empty()
    );
    assert!(changes.assemblies.iter().all(|a| a.fate == Fate::Stands));
}

#[test]
fn a_stamp_says_whose_page_it_is() {
    let house = demo();
    let layouts = [("demo.ron", &house.outcome)];
    let hash = &house.outcome.hash;
    assert_eq!(
        field::whose_page(&format!(" {} ", hash.to_uppercase()), &layouts),
        "the page comes from demo.ron"
    );
    assert_eq!(
        field::whose_page("00000000", &layouts),
        format!("the page comes from neither demo.ron ({hash}): do not build by it")
    );
    assert_eq!(
        field::whose_page("page 7", &layouts),
        "\"page 7\" is not a layout's stamp; it is eight of 0-9 and a-f, printed on every page"
    );
}

#[test]
fn readings_without_a_book_change_nothing() {
    let house = demo();
    let book = field::Book::default();
    let solved = field::solve_back(&house.inputs, &house.outcome, &book).unwrap();
    assert_eq!(
        solved.inputs,
        Inputs {
            pins: Vec::new(),
            ..house.inputs.clone()
        }
    );
    assert!(field::next_cuts(&house.outcome, &solved.outcome, &book).is_empty());
}
