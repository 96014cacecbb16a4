//! Laws that hold for every drain, fixed or broken, small or very long.

use grades::{Exit, Grades, Malformed, Place, Problem, Side, SpentOn, solve};
use proptest::prelude::*;
use units::Grade;

use crate::{
    build::{EIGHTH, QUARTER, cap, flat, floor, grade, joined, problem, run, step, tail},
    random::{Dice, Taste, drain},
};

/// A hair that is still a length.
const HAIR: f64 = 1e-6;

fn shove(problem: &mut Problem, place: Place, down: f64) {
    let outside = || "the place of a conflict exists";
    let level = match place {
        Place::Receiver => {
            &mut problem
                .tail
                .as_mut()
                .and_then(|t| t.receiver.as_mut())
                .unwrap_or_else(|| panic!("{}", outside()))
                .level
        }
        Place::Tail(k) => &mut problem.tail.as_mut().expect("a tail").bounds[k].level,
        Place::Way(k) => &mut problem.exit.ways[k].low.as_mut().expect("a low").level,
        Place::Run { run, bound } => &mut problem.runs[run].bounds[bound].level,
    };
    *level -= down;
}

fn relaxed(problem: &Problem, grades: &Grades, but: Option<usize>) -> Problem {
    let mut eased = problem.clone();
    for (index, conflict) in grades.conflicts.iter().enumerate() {
        let less = if Some(index) == but { HAIR } else { 0.0 };
        shove(&mut eased, conflict.place, conflict.short - less);
    }
    eased
}

fn broken() -> impl Iterator<Item = (u64, Problem, Grades)> {
    (0..800).filter_map(|start| {
        let problem = drain(
            &mut Dice::new(90_000 + start),
            Taste {
                runs: 8,
                plain: start % 4 == 0,
                floors: 6,
            },
        );
        let grades = solve(&problem).expect("well formed");
        (!grades.is_feasible()).then_some((start, problem, grades))
    })
}

#[test]
fn a_conflicts_chain_sums_to_what_is_short() {
    let mut kinds = std::collections::BTreeSet::new();
    for (start, problem, grades) in broken() {
        for conflict in &grades.conflicts {
            let sum: f64 = conflict.chain.iter().map(|s| s.inches).sum();
            assert!(
                (sum - conflict.short).abs() < 1e-7,
                "drain {start}: {sum} for {conflict:#?} in {problem:#?}"
            );
            assert!(conflict.short > 0.0, "drain {start}");
            kinds.insert(std::mem::discriminant(&conflict.place).clone_as_text());
        }
    }
    assert_eq!(
        kinds.len(),
        4,
        "receiver, tail, way and run must each have given way somewhere"
    );
}

trait CloneAsText {
    fn clone_as_text(&self) -> String;
}

impl<T> CloneAsText for std::mem::Discriminant<T> {
    fn clone_as_text(&self) -> String {
        format!("{self:?}")
    }
}

#[test]
fn a_conflicts_chain_passes_each_line_and_junction_once() {
    for (start, problem, grades) in broken() {
        for conflict in &grades.conflicts {
            let passes =
                |s: &&grades::Spend| matches!(s.on, SpentOn::Fall { .. } | SpentOn::Join { .. });
            let mut ids: Vec<&str> = conflict
                .chain
                .iter()
                .filter(passes)
                .map(|s| s.who.id.as_str())
                .collect();
            let all = ids.len();
            ids.sort_unstable();
            ids.dedup();
            assert_eq!(
                ids.len(),
                all,
                "drain {start}: {conflict:#?} in {problem:#?}"
            );
        }
    }
}

#[test]
fn giving_way_by_what_is_short_helps_and_by_a_hair_less_does_not() {
    let mut tried = 0;
    for (start, problem, grades) in broken() {
        let eased = solve(&relaxed(&problem, &grades, None)).expect("well formed");
        assert!(
            eased.is_feasible(),
            "drain {start}: {:#?}\n{problem:#?}\nstill {:#?}",
            grades.conflicts,
            eased.conflicts
        );
        for index in 0..grades.conflicts.len() {
            let tight = solve(&relaxed(&problem, &grades, Some(index))).expect("well formed");
            assert!(
                !tight.is_feasible(),
                "drain {start}, conflict {index}: {:#?}\n{problem:#?}",
                grades.conflicts
            );
            tried += 1;
        }
        // The levels told for the broken drain are those of the eased one.
        assert!(
            (eased.exit.level - grades.exit.level).abs() < HAIR,
            "drain {start}"
        );
    }
    assert!(tried > 300, "only {tried} conflicts tried");
}

#[test]
fn bounds_hold_but_for_the_floors_that_gave_way() {
    for start in 0..600 {
        let problem = drain(
            &mut Dice::new(40_000 + start),
            Taste {
                runs: 9,
                plain: false,
                floors: 4,
            },
        );
        let grades = solve(&problem).expect("well formed");
        for met in &grades.bounds {
            let gave = grades
                .conflicts
                .iter()
                .any(|c| c.place == met.place && met.side == Side::NotBelow);
            // The ways are one item: another way's low may have given instead.
            assert!(
                gave || met.room() > -HAIR,
                "drain {start}: {met:?}\n{problem:#?}\n{:#?}",
                grades.conflicts
            );
        }
        for (run, line) in problem.runs.iter().zip(&grades.lines) {
            assert!(run.menu.contains(&line.grade));
            let Some((join, made)) = run.join.as_ref().zip(line.join) else {
                continue;
            };
            let window = &join.windows[made.window];
            assert!(
                made.above > window.low - HAIR && made.above < window.high + HAIR,
                "drain {start}"
            );
            let fits =
                |w: &&grades::Window| made.above > w.low - 1e-8 && made.above < w.high + 1e-8;
            let first = join.windows.iter().filter(fits).map(|w| w.kind).min();
            assert_eq!(
                first,
                Some(made.kind),
                "drain {start}: flat before rolled before dropped"
            );
        }
    }
}

#[test]
fn why_sums_to_the_depth_of_every_outlet() {
    for start in 0..200 {
        let problem = drain(
            &mut Dice::new(60_000 + start),
            Taste {
                runs: 9,
                plain: false,
                floors: 2,
            },
        );
        let grades = solve(&problem).expect("well formed");
        for (run, line) in grades.lines.iter().enumerate() {
            let sum: f64 = grades.why(&problem, run).iter().map(|s| s.inches).sum();
            assert!(
                (sum + line.outlet).abs() < 1e-6,
                "drain {start}, run {run}: {sum} for {}",
                line.outlet
            );
        }
        let sum: f64 = grades.exit.why.iter().map(|s| s.inches).sum();
        assert!((sum + grades.exit.level).abs() < 1e-6, "drain {start}");
    }
}

#[test]
fn paths_alone_never_leave_lower_than_all_together() {
    for start in 0..200 {
        let problem = drain(
            &mut Dice::new(20_000 + start),
            Taste {
                runs: 9,
                plain: false,
                floors: 0,
            },
        );
        let grades = solve(&problem).expect("well formed");
        for path in grades.paths(&problem) {
            assert!(
                path.exit > grades.exit.level - HAIR,
                "drain {start}: {path:#?}"
            );
            let to_exit: f64 = path.need()
                - grades
                    .outside
                    .as_ref()
                    .map_or(0.0, |_| path.spends[path.spends.len() - 1].inches);
            assert!(
                (to_exit + path.exit).abs() < 1e-6,
                "drain {start}: {path:#?}"
            );
        }
    }
}

fn moved(problem: &Problem, by: f64) -> Problem {
    let mut up = problem.clone();
    let mut all: Vec<&mut f64> = up
        .runs
        .iter_mut()
        .flat_map(|r| r.bounds.iter_mut())
        .map(|b| &mut b.level)
        .collect();
    if let Some(tail) = &mut up.tail {
        all.extend(tail.bounds.iter_mut().map(|b| &mut b.level));
        all.extend(tail.receiver.iter_mut().map(|r| &mut r.level));
    }
    for way in &mut up.exit.ways {
        all.extend(
            [&mut way.low, &mut way.high]
                .into_iter()
                .flatten()
                .map(|l| &mut l.level),
        );
    }
    for level in all {
        *level += by;
    }
    up
}

proptest! {
    #[test]
    fn moving_every_level_moves_the_answer(start in 0_u64..1_000_000, by in -100.0..100.0_f64) {
        let problem = drain(&mut Dice::new(start), Taste { runs: 7, plain: false, floors: 2 });
        let (here, there) = (solve(&problem).expect("well formed"), solve(&moved(&problem, by)).expect("well formed"));
        prop_assert!((here.exit.level + by - there.exit.level).abs() < HAIR);
        for (a, b) in here.lines.iter().zip(&there.lines) {
            prop_assert!((a.outlet + by - b.outlet).abs() < HAIR, "{:?}", problem);
            prop_assert_eq!(a.grade, b.grade);
        }
        prop_assert_eq!(here.conflicts.len(), there.conflicts.len());
    }

    #[test]
    fn solving_twice_is_solving_once(start in 0_u64..1_000_000) {
        let problem = drain(&mut Dice::new(start), Taste { runs: 7, plain: false, floors: 3 });
        prop_assert_eq!(solve(&problem), solve(&problem));
    }

    #[test]
    fn odd_numbers_never_panic(start in 0_u64..1_000_000, spot in 0_usize..12, odd in prop::num::f64::ANY) {
        let mut problem = drain(&mut Dice::new(start), Taste { runs: 4, plain: false, floors: 4 });
        let last = problem.runs.len() - 1;
        let run = &mut problem.runs[last];
        match spot {
            0 => run.length = odd,
            1 => run.bounds[0].level = odd,
            2 => run.bounds[0].at = odd,
            3 => run.steps.push(step(odd, 1.0, "step")),
            4 => run.steps.push(step(0.0, odd, "step")),
            5 => run.menu.extend(Grade::from_in_per_ft(odd)),
            6 => run.join = Some(joined(0, odd, &[(grades::JoinKind::Flat, 0.0, 0.0)])),
            7 => run.join = Some(joined(last, 0.0, &[(grades::JoinKind::Flat, odd, odd)])),
            8 => problem.tail = Some(tail(odd, grades::Lie::Straight(EIGHTH), -30.0)),
            9 => problem.tail = Some(tail(60.0, grades::Lie::Straight(EIGHTH), odd)),
            10 => problem.tail.iter_mut().for_each(|t| t.bounds.push(cap(odd, -20.0, "ground"))),
            _ => problem.exit.ways.iter_mut().for_each(|w| w.drop_most = odd),
        }
        if let Ok(grades) = solve(&problem) {
            prop_assert!(grades.lines.iter().all(|l| l.outlet.is_finite() && l.inlet.is_finite()));
        }
    }
}

/// A way to make a good drain malformed.
type Spoil = fn(&mut Problem);

#[test]
fn what_is_malformed_is_said() {
    let good = || {
        let mut trunk = run("trunk", 120.0, &[QUARTER]);
        trunk.bounds = vec![cap(120.0, -9.0, "slab")];
        let mut branch = run("branch", 60.0, &[QUARTER]);
        branch.bounds = vec![cap(60.0, -8.0, "slab")];
        branch.join = Some(flat(0, 100.0));
        problem(vec![trunk, branch], None)
    };
    assert!(good().check().is_ok());
    let said = |spoil: Spoil| {
        let mut bad = good();
        spoil(&mut bad);
        solve(&bad).expect_err("malformed").to_string()
    };
    let table: [(Spoil, &str); 12] = [
        (
            |p| p.runs.clear(),
            "the drain has no run; it needs at least its trunk",
        ),
        (
            |p| p.runs[0].length = f64::NAN,
            "the length of trunk is not a usable number of inches",
        ),
        (
            |p| p.runs[1].length = -1.0,
            "the length of branch must not be negative, nor zero for a straight line outside",
        ),
        (
            |p| p.runs[1].menu.clear(),
            "branch has no grade to choose from; name at least one",
        ),
        (
            |p| p.runs[1].join = Some(flat(1, 0.0)),
            "branch must join a run listed before it, and only the first run joins none",
        ),
        (
            |p| p.runs[1].join = None,
            "branch must join a run listed before it, and only the first run joins none",
        ),
        (
            |p| p.runs[1].join = Some(flat(0, 121.0)),
            "a join stands at 121 in along branch, which is 120 in long (a step must lie before the inlet)",
        ),
        (
            |p| p.runs[1].join = Some(joined(0, 1.0, &[])),
            "branch has no way to join its parent; name at least one",
        ),
        (
            |p| p.runs[1].join = Some(joined(0, 1.0, &[(grades::JoinKind::Flat, 1.0, 0.0)])),
            "the join window of branch has its low above its high",
        ),
        (
            |p| p.runs[0].steps = vec![step(120.0, 1.0, "late")],
            "a step stands at 120 in along trunk, which is 120 in long (a step must lie before the inlet)",
        ),
        (
            |p| {
                p.tail = Some(grades::Tail {
                    receiver: None,
                    ..tail(9.0, grades::Lie::Straight(EIGHTH), 0.0)
                });
            },
            "sewer lies straight to a receiver, but no receiver level is given",
        ),
        (
            |p| p.runs.iter_mut().for_each(|r| r.bounds.clear()),
            "nothing holds exit down; it needs a cap such as the underside of the slab",
        ),
    ];
    for (spoil, message) in table {
        assert_eq!(said(spoil), message);
    }
    let mut far = good();
    far.runs[0].bounds[0].level = 1e12;
    assert!(matches!(solve(&far), Err(Malformed::Number { .. })));
}

/// A chain of `count` short runs, each at its parent's inlet.
fn chain(count: usize) -> Problem {
    let one = |index: usize| {
        let mut line = run("link", 12.0, &[EIGHTH, QUARTER, grade(0.5)]);
        line.bounds = vec![cap(12.0, -8.0, "slab")];
        line.join = if index == 0 {
            None
        } else {
            Some(flat(index - 1, 12.0))
        };
        line
    };
    problem((0..count).map(one).collect(), None)
}

#[test]
fn a_hundred_thousand_runs_in_a_chain() {
    let count = 100_000;
    let mut asked = chain(count);
    let grades = solve(&asked).expect("well formed");
    let by_hand = -8.0 - count as f64 * 0.125;
    assert!((grades.exit.level - by_hand).abs() < 1e-4);
    assert_eq!(grades.lines[count - 1].grade, EIGHTH);
    // And when the receiver is too high by an inch, the chain is told from end to end.
    asked.tail = Some(tail(0.0, grades::Lie::Menu(vec![QUARTER]), by_hand + 1.0));
    let short = &solve(&asked).expect("well formed").conflicts[0];
    assert!((short.short - 1.0).abs() < 1e-4);
    assert_eq!(short.chain.len(), 2 * count + 1);
}

#[test]
fn a_hundred_thousand_branches_on_one_trunk() {
    let count = 100_000;
    let mut trunk = run("trunk", f64::from(count), &[EIGHTH, QUARTER]);
    trunk.bounds = vec![cap(0.0, -20_000.0, "exit"), floor(0.0, -1e6, "footing")];
    let mut runs = vec![trunk];
    runs.extend((0..count).map(|at| {
        let mut line = run("branch", 24.0, &[QUARTER]);
        line.bounds = vec![cap(24.0, -8.0, "slab"), floor(0.0, -1e6, "pipe below")];
        line.join = Some(joined(
            0,
            f64::from(at),
            &[
                (grades::JoinKind::Flat, 0.0, 0.0),
                (grades::JoinKind::Dropped, 2.0, 9e5),
            ],
        ));
        line
    }));
    let asked = Problem {
        exit: Exit {
            id: "exit".into(),
            ways: vec![],
        },
        ..problem(runs, None)
    };
    let grades = solve(&asked).expect("well formed");
    assert!(grades.is_feasible());
    assert!((grades.lines[1].outlet - -8.5).abs() < 1e-9);
}

#[test]
fn floors_past_counting_are_let_go_and_levels_still_told() {
    let mut trunk = run("trunk", 1200.0, &[QUARTER]);
    trunk.bounds = vec![cap(0.0, -40.0, "exit")];
    let mut runs = vec![trunk];
    runs.extend((0..100_u32).map(|at| {
        let mut line = run("branch", 24.0, &[QUARTER]);
        line.bounds = vec![cap(24.0, -9.0, "slab"), floor(24.0, -8.0, "typed wrong")];
        line.join = Some(joined(
            0,
            f64::from(at),
            &[(grades::JoinKind::Dropped, 2.0, f64::INFINITY)],
        ));
        line
    }));
    let asked = problem(runs, None);
    let grades = solve(&asked).expect("well formed");
    assert_eq!((grades.conflicts.len(), grades.left_out), (64, 36));
    assert!(!grades.is_feasible());
    assert!(
        grades
            .conflicts
            .iter()
            .all(|c| (c.short - 1.0).abs() < HAIR)
    );
    assert!(
        grades.lines[1..]
            .iter()
            .all(|line| (line.inlet + 9.0).abs() < HAIR)
    );
}

#[test]
fn too_many_measured_levels_are_refused_by_name() {
    // Lengths that share no measure: three grades give three times as many outlets at each run.
    let mut asked = chain(12);
    for (index, line) in asked.runs.iter_mut().enumerate() {
        line.length = 40.0 + ((index + 2) as f64).sqrt();
    }
    for index in 1..12 {
        asked.runs[index].join = Some(flat(index - 1, asked.runs[index - 1].length));
    }
    for line in &mut asked.runs {
        line.bounds = vec![cap(0.0, 0.0, "slab")];
    }
    let far = asked.runs[11].length;
    asked.runs[11].bounds = grades::Bound::pin(far, -8.0, crate::build::who("measured")).into();
    let refused = solve(&asked).expect_err("3 to the 8th is more than 4096");
    assert!(
        matches!(refused, Malformed::TooManyChoices { .. }),
        "{refused}"
    );
}
