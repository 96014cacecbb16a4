//! Networks made from small layouts: trees, junctions, sizes, loads, and what does not connect.

use codes::{Code, Rules};
use glam::DVec2;
use layout::{Layout, RunEnd};
use network::{Network, Side, Start, connect};
use units::Size;

fn rules() -> Rules {
    codes::rules(Code::Irc, &[]).0
}

fn layout_with(runs: &str) -> Layout {
    let text = format!(
        r#"(
        slab: (outline: [("0", "0"), ("40'", "0"), ("40'", "40'"), ("0", "40'")], layers: [(concrete, "4 in")]),
        foundation: (edge: (kind: stem_wall, thickness: "8 in", top: "0", bottom: "-24 in")),
        walls: {{ "w": (from: ("20'", "5'"), to: ("20'", "30'"), framing: "2x6", board: "1/2 in") }},
        fixtures: {{
            "wc": (kind: closet, at: ("16'", "10'"), landing: floor, vent: unknown),
            "lav": (kind: lavatory, at: (in: "w", along: "5'"), landing: (wall: "w"), trap: in_wall, vent: riser),
            "shower": (kind: shower, at: ("6'", "20'"), landing: floor, trap: (under_slab: "8 in"), vent: unknown),
        }},
        drains: {{ "d": (exit: (at: ("12'", "40'"), size: "4 in")) }},
        runs: {{ {runs} }},
    )"#
    );
    let reading = layout::read(&text, "test.ron");
    assert_eq!(reading.problems, []);
    // What does not connect is a problem of the layout too; here only what the network makes of it matters.
    let (layout, _) = layout::resolve(&reading.file.expect("the document is whole"));
    layout
}

fn network(runs: &str) -> Network {
    connect(&layout_with(runs), &rules())
}

const TRUNK: &str = r#""trunk": (from: ("12'", "2'"), to: "d", size: auto),"#;

#[test]
fn parents_come_before_their_branches_and_loads_add_up() {
    let net = network(&format!(
        r#""lav drain": (from: "lav", to: "wc drain", size: auto), "wc drain": (from: "wc", to: "trunk", size: auto), {TRUNK}"#
    ));
    let runs = &net.trees[0].runs;
    let names: Vec<&str> = runs.iter().map(|run| run.id.as_str()).collect();
    assert_eq!(names, ["trunk", "wc drain", "lav drain"]);
    // IRC Table P3004.1 as quoted on a home-advice page: closet 3, lavatory 1.
    assert_eq!((runs[0].dfu, runs[1].dfu, runs[2].dfu), (4.0, 4.0, 1.0));
    assert_eq!((runs[0].closets, runs[2].closets), (1, 0));
    assert_eq!(runs[0].fixtures.len(), 2);
}

#[test]
fn sizes_left_to_the_program_grow_downstream_and_at_the_exit() {
    let net = network(&format!(
        r#"{TRUNK} "wc drain": (from: "wc", to: "trunk", size: auto), "shower drain": (from: "shower", to: "trunk", size: auto)"#
    ));
    let sizes: Vec<Size> = net.trees[0]
        .runs
        .iter()
        .map(network::Run::inlet_size)
        .collect();
    // A closet asks for 3 in (code forum, IRC P3005.4.2), and no pipe downstream is smaller.
    assert_eq!(sizes, [Size::In3, Size::In3, Size::In2]);
    let trunk = &net.trees[0].runs[0];
    // The exit's own size begins the wall's thickness and 6 in before the outside face.
    assert_eq!(
        trunk.bores.last().map(|bore| (bore.size, bore.from)),
        Some((Size::In4, 14.0))
    );
    assert_eq!(
        (trunk.size_at(14.0), trunk.size_at(14.1)),
        (Size::In4, Size::In3)
    );
}

#[test]
fn a_run_left_to_the_program_starts_as_small_as_its_own_fixture_and_grows_above_the_branch_that_needs_more()
 {
    let net = network(
        r#""trunk": (from: "lav", via: [("12'", "18'")], to: "d"), "wc drain": (from: "wc", to: "trunk")"#,
    );
    let trunk = &net.trees[0].runs[0];
    // Two legs: 96 in each way under 45 degrees, then 264 in. The closet, 48 in west of the lavatory, meets the first one
    // 96 / sqrt(2) in down; the increaser stands 14 in above that.
    let length = 96.0 * 2.0_f64.sqrt() + 264.0;
    let join = length - 96.0 / 2.0_f64.sqrt();
    let bores: Vec<(Size, f64)> = trunk
        .bores
        .iter()
        .map(|bore| (bore.size, bore.from))
        .collect();
    let wanted = [
        (Size::In2, length),
        (Size::In3, join + 14.0),
        (Size::In4, 14.0),
    ];
    for (found, wanted) in bores.iter().zip(wanted) {
        assert_eq!(found.0, wanted.0, "{bores:?}");
        assert!((found.1 - wanted.1).abs() < 1e-6, "{bores:?}");
    }
    assert_eq!(bores.len(), 3);
    // A size that is told stands.
    let told = network(
        r#""trunk": (from: "lav", via: [("12'", "18'")], to: "d", size: "3 in"), "wc drain": (from: "wc", to: "trunk")"#,
    );
    assert_eq!(told.trees[0].runs[0].inlet_size(), Size::In3);
}

/// The trunk's sizes when one fixture of a closet that joins a lavatory's run is told otherwise.
fn inlet_with(name: &str, told: impl FnOnce(&mut layout::Fixture)) -> Size {
    let runs = r#""trunk": (from: "lav", via: [("12'", "18'")], to: "d"), "wc drain": (from: "wc", to: "trunk")"#;
    let mut layout = layout_with(runs);
    let mut fixtures = layout.fixtures.iter_mut();
    told(
        fixtures
            .find(|one| one.id.as_str() == name)
            .expect("it is there"),
    );
    connect(&layout, &rules()).trees[0].runs[0].inlet_size()
}

#[test]
fn a_run_whose_fixture_lends_a_wet_vent_is_not_made_smaller_above_those_that_borrow_it() {
    assert_eq!(
        inlet_with("wc", |closet| closet.vent = layout::Vent::Wet("lav".into())),
        Size::In3
    );
    assert_eq!(
        inlet_with("wc", |closet| closet.vent = layout::Vent::Unknown),
        Size::In2
    );
}

#[test]
fn a_run_is_no_smaller_than_its_own_fixture_is_told() {
    assert_eq!(
        inlet_with("lav", |lavatory| lavatory.size = Some(Size::In3)),
        Size::In3
    );
}

/// The IPC asks 3 in of a branch that a washer's drain shares (section 406.2, from memory): from where another comes in.
#[test]
fn a_washers_own_drain_grows_where_another_comes_in() {
    let runs = r#""trunk": (from: "lav", via: [("12'", "18'")], to: "d"), "shower drain": (from: "shower", to: "trunk")"#;
    let mut layout = layout_with(runs);
    let first = layout
        .fixtures
        .iter_mut()
        .find(|one| one.id.as_str() == "lav");
    first.expect("it is there").kind = layout::FixtureKind::Washer;
    let net = connect(&layout, &codes::rules(Code::Ipc, &[]).0);
    let [trunk, shower] = &net.trees[0].runs[..] else {
        panic!("{:?}", net.problems);
    };
    let at = shower.join.expect("it joins").at;
    assert_eq!(
        (trunk.inlet_size(), trunk.size_at(at)),
        (Size::In2, Size::In3)
    );
    assert_eq!(trunk.size_at(at + 20.0), Size::In2);
}

#[test]
fn a_branch_left_free_joins_where_a_wye_reaches() {
    let net = network(&format!(
        r#"{TRUNK} "wc drain": (from: "wc", to: "trunk", size: "3 in")"#
    ));
    let join = net.trees[0].runs[1].join.expect("it joins the trunk");
    // 48 in east of the trunk at y = 10 ft: meets it at 14 ft, 26 ft upstream of the exit.
    assert!((join.at - 26.0 * 12.0).abs() < 1e-9, "{join:?}");
    assert!((join.angle_deg - 45.0).abs() < 1e-9);
    assert_eq!(join.side, Side::Right);
}

#[test]
fn a_trap_under_the_slab_takes_the_first_inches() {
    let net = network(&format!(
        r#"{TRUNK} "shower drain": (from: "shower", to: (run: "trunk", at: ("12'", "20'")), size: "2 in")"#
    ));
    let run = &net.trees[0].runs[1];
    assert_eq!(run.start, Start::Fixture(2));
    assert!((run.path.length() - (72.0 - 8.0)).abs() < 1e-9);
}

#[test]
fn a_junction_off_the_line_says_the_nearest_point() {
    let mut layout = layout_with(&format!(
        r#"{TRUNK} "wc drain": (from: "wc", to: "trunk", size: "3 in")"#
    ));
    let at = Some(DVec2::new(156.0, 240.0));
    layout.runs[1].to = RunEnd::Run {
        run: "trunk".into(),
        at,
    };
    let net = connect(&layout, &rules());
    assert_eq!(net.trees[0].runs.len(), 1);
    assert_eq!(
        net.problems[0].what,
        "its junction is 1'-0\" off the line of trunk; the nearest point on it is 12'-0\" east, 20'-0\" north"
    );
}

#[test]
fn two_trunks_for_one_exit_are_told() {
    let net = network(&format!(
        r#"{TRUNK} "other": (from: "wc", to: "d", size: "3 in")"#
    ));
    assert_eq!(
        net.problems[0].what,
        "leaves by d beside trunk; join one to the other, or give it a drain of its own"
    );
}
