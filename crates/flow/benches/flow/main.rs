//! How long each stage takes, from 10 to 100,000 runs; beside our own algorithms their plain rivals: a general solver for
//! the levels, a clash search without a broad phase.
//!
//! `cargo bench -p flow` prints the tables that stand in DEVELOPERS.md; `cargo bench -p flow -- 1000` only the stages of
//! that many runs, `-- joints` only what a shop needs, `-- rules` what each check of the demo takes. Times are the least of several runs, on one core: what a machine can
//! do, not what it did while something else ran.

#![allow(clippy::print_stdout, reason = "a program for a terminal")]

mod lots;
mod rivals;

use std::hint::black_box;
use std::time::Instant;

use flow::{Inputs, run};

/// As the program has it.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Runs in the generated layouts.
const SIZES: [usize; 5] = [10, 100, 1_000, 10_000, 100_000];

fn main() {
    if std::env::args().any(|arg| arg == "joints") {
        return joints();
    }
    if std::env::args().any(|arg| arg == "rules") {
        demo();
        return slowest_rules();
    }
    let asked: Vec<usize> = std::env::args()
        .filter_map(|arg| arg.parse().ok())
        .collect();
    if std::env::args().any(|arg| arg == "write") {
        // For the window's speeds: the layout itself instead of its times.
        return asked
            .iter()
            .for_each(|&runs| print!("{}", lots::row_of_houses(runs)));
    }
    if asked.is_empty() {
        demo();
    }
    let sizes = if asked.is_empty() { &SIZES[..] } else { &asked };
    println!(
        "| runs | read | resolve | connect, choose, pose | solve | fit, scene | checks | whole | a run |"
    );
    println!("|---|---|---|---|---|---|---|---|---|");
    sizes.iter().for_each(|&runs| stages(runs));
    if !asked.is_empty() {
        return;
    }
    joints();
    println!("\n| runs of one drain | our solve | general solver | ratio |");
    println!("|---|---|---|---|");
    [10, 100, 1_000]
        .iter()
        .for_each(|&runs| beside_general_solver(runs));
    println!("\n| runs | clash search | all pairs | ratio |");
    println!("|---|---|---|---|");
    [10, 100, 1_000]
        .iter()
        .for_each(|&runs| beside_all_pairs(runs));
}

/// The demo's edit loop: everything that must happen between an edit and the next frame.
fn demo() {
    let text = include_str!("../../../../scenes/demo.ron");
    let inputs = Inputs {
        text: text.into(),
        name: "demo.ron".into(),
        ..Inputs::default()
    };
    println!(
        "demo, whole flow from text: {}\n",
        shown(least(20, || run(&inputs)))
    );
    let outcome = run(&inputs);
    let profiles = codes::Code::ALL.map(|code| codes::rules(code, &[]).0);
    let one = least(50, || flow::judge_by(&outcome, &profiles[0]));
    let three = least(50, || flow::judge_each(&outcome, &profiles));
    println!(
        "demo, judged by one code: {}; by three: {}\n",
        shown(one),
        shown(three)
    );
}

/// What each rule takes on the demo, its look-ups made, slowest first.
fn slowest_rules() {
    let inputs = Inputs {
        text: include_str!("../../../../scenes/demo.ron").into(),
        ..Inputs::default()
    };
    let outcome = run(&inputs);
    let case = flow::case(&outcome, &outcome.rules);
    let rules = checks::rules::ALL.iter();
    let timed = rules.map(|rule| (least(300, || (rule.check)(&case)), rule.id));
    let mut timed: Vec<(f64, &str)> = timed.collect();
    timed.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (time, id) in timed.iter().take(25) {
        println!("{id}: {}", shown(*time));
    }
    println!("all: {}", shown(timed.iter().map(|one| one.0).sum()));
}

fn joints() {
    println!("\n| glued joints | choose | lay, bodies | list, cut plan, order | a joint |");
    println!("|---|---|---|---|---|");
    [10, 100, 1_000, 3_000]
        .iter()
        .for_each(|&runs| glueing(runs));
}

/// What a shop needs: fittings chosen and laid, every cut, the sticks, the order of glueing.
fn glueing(runs: usize) {
    let inputs = Inputs {
        text: lots::row_of_houses(runs),
        ..Inputs::default()
    };
    let outcome = run(&inputs);
    let joints = outcome.assembly.joints.len();
    let times = if joints > 1_000 { 3 } else { 10 };
    let (network, catalog, rules) = (&outcome.network, &outcome.catalog, &outcome.rules);
    let choose = least(times, || fittings::choose(network, catalog, rules));
    let lay = least(times, || {
        fittings::fit(network, &outcome.grades, &outcome.layout, catalog, rules)
    });
    let shop = takeoff::Shop::default();
    let take = least(times, || {
        takeoff::take(&outcome.layout, &outcome.assembly, catalog, &shop)
    });
    println!(
        "| {joints} | {} | {} | {} | {} |",
        shown(choose),
        shown(lay),
        shown(take),
        shown((choose + lay + take) / joints as f64),
    );
}

fn stages(runs: usize) {
    let text = lots::row_of_houses(runs);
    let times = if runs > 10_000 {
        1
    } else if runs > 1_000 {
        3
    } else {
        10
    };
    let inputs = Inputs {
        text: text.clone(),
        name: "row.ron".into(),
        ..Inputs::default()
    };
    let reading = layout::read(&text, "row.ron");
    let file = reading.file.expect("the generated document is whole");
    let outcome = run(&inputs);
    assert!(outcome.problems.is_empty(), "{}", outcome.problems[0]);
    let rules = &outcome.rules;
    let read = least(times, || layout::read(&text, "row.ron"));
    let resolve = least(times, || layout::resolve(&file));
    let connect = least(times, || {
        let network = network::connect(&outcome.layout, rules);
        let joints = fittings::choose(&network, &outcome.catalog, rules);
        fittings::pose(
            &network,
            &joints,
            &outcome.layout,
            &outcome.catalog,
            rules,
            &Vec::new(),
        )
    });
    let solve = least(times, || {
        outcome.posed.iter().map(grades::solve).collect::<Vec<_>>()
    });
    let fit = least(times, || {
        let assembly = fittings::fit(
            &outcome.network,
            &outcome.grades,
            &outcome.layout,
            &outcome.catalog,
            rules,
        );
        scene::build(&outcome.layout, &assembly, &outcome.catalog)
    });
    let checks = least(times, || flow::judge_by(&outcome, rules));
    let whole = least(times, || run(&inputs));
    let each = whole / runs as f64;
    let row = [read, resolve, connect, solve, fit, checks, whole, each]
        .map(shown)
        .join(" | ");
    println!("| {runs} | {row} |");
}

fn beside_general_solver(runs: usize) {
    let outcome = run(&Inputs {
        text: lots::one_drain(runs),
        name: "comb.ron".into(),
        ..Inputs::default()
    });
    assert!(outcome.problems.is_empty(), "{}", outcome.problems[0]);
    let problem = &outcome.posed[0];
    let ours = &outcome.grades[0].exit;
    let way = &problem.exit.ways[ours.way.expect("the generated drain can leave")];
    let theirs = rivals::general_solver(problem, way);
    assert!(
        (theirs - ours.level).abs() < 1e-6,
        "exit at {} by us, {theirs} by the general solver",
        ours.level
    );
    let solve = least(10, || grades::solve(problem));
    let general = least(3, || rivals::general_solver(problem, way));
    println!(
        "| {runs} | {} | {} | {:.1} |",
        shown(solve),
        shown(general),
        general / solve
    );
}

fn beside_all_pairs(runs: usize) {
    let outcome = run(&Inputs {
        text: lots::row_of_houses(runs),
        name: "row.ron".into(),
        ..Inputs::default()
    });
    let tubes = rivals::tubes(&outcome.scene);
    let broad = least(3, || rivals::near_pairs_by_tree(&tubes));
    let all = least(1, || rivals::near_pairs_by_trying_all(&tubes));
    assert_eq!(
        rivals::near_pairs_by_tree(&tubes),
        rivals::near_pairs_by_trying_all(&tubes)
    );
    println!(
        "| {runs} | {} | {} | {:.1} |",
        shown(broad),
        shown(all),
        all / broad
    );
}

/// The least of `times` runs, in seconds.
fn least<T>(times: usize, mut work: impl FnMut() -> T) -> f64 {
    let once = |_| {
        let start = Instant::now();
        black_box(work());
        start.elapsed().as_secs_f64()
    };
    (0..times).map(once).fold(f64::INFINITY, f64::min)
}

fn shown(seconds: f64) -> String {
    match seconds {
        s if s >= 1.0 => format!("{s:.2} s"),
        s if s >= 1e-3 => format!("{:.2} ms", s * 1e3),
        s => format!("{:.1} us", s * 1e6),
    }
}
