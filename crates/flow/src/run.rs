//! One run of the flow.

use catalog::{BenchSheet, Catalog};
use checks::{Case, Finding};
use codes::{Amendment, Code, Rules};
use fittings::{Assembly, Joints, Pins};
use grades::Grades;
use layout::{Layout, PermitCode, Problem, ToTell};
use network::Network;
use scene::Scene;

use crate::side_by_side;

/// What a run of the flow starts from. Texts, not paths: reading files is the caller's.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct Inputs {
    /// The layout file's text.
    pub text: String,
    /// Its name, for problems.
    pub name: String,
    /// The code to design and judge by; the layout's own when `None`, the IRC when that is not told either.
    pub code: Option<Code>,
    /// What the bought fittings measure.
    pub bench: BenchSheet,
    /// Local amendments.
    pub amendments: Vec<Amendment>,
    /// Levels measured in the ground.
    pub pins: Pins,
}

/// What a run brought out. Indices agree throughout: `grades[tree].lines[run]` belongs to `network.trees[tree].runs[run]`.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// What is wrong with the document; when not empty the rest is what could be made of it.
    pub problems: Vec<Problem>,
    /// The resolved layout.
    pub layout: Layout,
    /// The rules it was designed and judged by.
    pub rules: Rules,
    /// Pipe and fittings, bench sheet in.
    pub catalog: Catalog,
    /// The forest of drains.
    pub network: Network,
    /// What was chosen at the joins.
    pub joints: Joints,
    /// The grade problems, one a tree.
    pub posed: Vec<grades::Problem>,
    /// Their solutions.
    pub grades: Vec<Grades>,
    /// Bodies and stubs.
    pub assembly: Assembly,
    /// Solids, pipes and marks in space.
    pub scene: Scene,
    /// What was found, gravest first.
    pub findings: Vec<Finding>,
    /// What is still to tell, in the order of the first evening.
    pub to_tell: Vec<ToTell>,
    /// Eight hex digits of the document, comments left out.
    pub hash: String,
}

/// Runs the whole flow on one document.
///
/// A document with mistakes still gives an outcome, of what could be read; [`Outcome::problems`] says what is wrong.
pub fn run(inputs: &Inputs) -> Outcome {
    let reading = layout::read(&inputs.text, &inputs.name);
    let mut problems = reading.problems;
    let (layout, more) = reading
        .file
        .as_ref()
        .map(layout::resolve)
        .unwrap_or_default();
    problems.extend(more);
    let hash = || match reading.file {
        Some(file) => file.hash(),
        None => layout::hash(&inputs.text),
    };
    let many = side_by_side::pays(layout.runs.len());
    let outcome = || designed(inputs, layout, problems);
    // What was read is put away by whoever hashes it.
    let (hash, outcome) = if many {
        side_by_side::both(hash, outcome)
    } else {
        (hash(), outcome())
    };
    Outcome { hash, ..outcome }
}

/// The flow from a layout already resolved, without the document's hash.
fn designed(inputs: &Inputs, layout: Layout, problems: Vec<Problem>) -> Outcome {
    let code = inputs
        .code
        .or_else(|| layout.code.map(code_of))
        .unwrap_or(Code::Irc);
    // What is wrong with a bench sheet or an amendment is told by whoever read its file.
    let (rules, _) = codes::rules(code, &inputs.amendments);
    let (catalog, _) = catalog::catalog(&inputs.bench);
    let to_tell = layout.to_tell.clone();
    let design = Design {
        layout,
        rules,
        catalog,
        pins: &inputs.pins,
    };
    design.outcome(problems, to_tell, String::new())
}

struct Design<'a> {
    layout: Layout,
    rules: Rules,
    catalog: Catalog,
    pins: &'a Pins,
}

impl Design<'_> {
    fn outcome(self, problems: Vec<Problem>, to_tell: Vec<ToTell>, hash: String) -> Outcome {
        let Self {
            layout,
            rules,
            catalog,
            pins,
        } = self;
        let mut network = network::connect(&layout, &rules);
        fittings::pipe_vents(&mut network, &catalog);
        let mut joints = fittings::choose(&network, &catalog, &rules);
        let posed = fittings::pose(&network, &joints, &layout, &catalog, &rules, pins);
        let (posed, grades) = solved(&mut network, &mut joints, posed);
        let (assembly, scene) = if side_by_side::pays(layout.runs.len()) {
            let assembly = side_by_side::fit(&network, &grades, &layout, &catalog, &rules);
            let scene = side_by_side::scene(&layout, &assembly, &catalog);
            (assembly, scene)
        } else {
            let assembly = fittings::fit(&network, &grades, &layout, &catalog, &rules);
            let scene = scene::build(&layout, &assembly, &catalog);
            (assembly, scene)
        };
        let mut outcome = Outcome {
            problems,
            layout,
            rules,
            catalog,
            network,
            joints,
            posed,
            grades,
            assembly,
            scene,
            findings: Vec::new(),
            to_tell,
            hash,
        };
        outcome.findings = judge_by(&outcome, &outcome.rules);
        let untold = checks::still_to_tell(&case(&outcome, &outcome.rules));
        outcome.to_tell.extend(untold);
        outcome
    }
}

/// The flow from a layout already resolved, under the rules and catalogue of another outcome.
pub(crate) fn outcome_of(layout: Layout, like: &Outcome, pins: &Pins) -> Outcome {
    let to_tell = layout.to_tell.clone();
    let design = Design {
        layout,
        rules: like.rules.clone(),
        catalog: like.catalog.clone(),
        pins,
    };
    design.outcome(Vec::new(), to_tell, like.hash.clone())
}

/// The levels of one drain of a layout, under the rules and catalogue of another outcome. `None` when it has none.
pub(crate) fn levels(
    layout: &Layout,
    like: &Outcome,
    pins: &Pins,
    drain: &units::Id,
) -> Option<(grades::Problem, Grades)> {
    let network = network::connect(layout, &like.rules);
    let joints = fittings::choose(&network, &like.catalog, &like.rules);
    let tree = network.trees.iter().position(|tree| tree.id == *drain)?;
    let mut posed = fittings::pose(&network, &joints, layout, &like.catalog, &like.rules, pins);
    let problem = posed.swap_remove(tree);
    let grades = grades::solve(&problem).ok()?;
    Some((problem, grades))
}

/// Solves every tree. A problem the solver cannot read (a drain that nothing holds down, say) has no levels to show: its
/// tree is told as a problem of the network and left out, with its vents.
fn solved(
    network: &mut Network,
    joints: &mut Joints,
    posed: Vec<grades::Problem>,
) -> (Vec<grades::Problem>, Vec<Grades>) {
    let runs = network.trees.iter().map(|tree| tree.runs.len()).sum();
    let answers = if side_by_side::pays(runs) {
        side_by_side::solve(&posed)
    } else {
        posed.iter().map(grades::solve).collect()
    };
    let mut kept = (Vec::new(), Vec::new());
    let trees = std::mem::take(&mut network.trees)
        .into_iter()
        .zip(std::mem::take(&mut joints.trees));
    let mut now_at = Vec::new();
    for (((tree, chosen), problem), answer) in trees.zip(posed).zip(answers) {
        match answer {
            Ok(grades) => {
                now_at.push(Some(network.trees.len()));
                kept.0.push(problem);
                kept.1.push(grades);
                network.trees.push(tree);
                joints.trees.push(chosen);
            }
            Err(malformed) => {
                now_at.push(None);
                let at = tree.runs[0].path.outlet();
                network.problems.push(network::Problem {
                    item: tree.id.clone(),
                    what: malformed.to_string(),
                    at,
                });
            }
        }
    }
    network.vents.retain_mut(|vent| {
        let tree = now_at[vent.run.0];
        vent.run.0 = tree.unwrap_or_default();
        tree.is_some()
    });
    kept
}

/// Judges an outcome's geometry by some rules, which need not be those it was designed by.
pub fn judge_by(outcome: &Outcome, rules: &Rules) -> Vec<Finding> {
    let case = case(outcome, rules);
    if side_by_side::pays(outcome.layout.runs.len()) {
        side_by_side::judge(&case)
    } else {
        checks::judge(&case)
    }
}

/// Judges an outcome's geometry by several codes, in their order: as [`judge_by`] each, in less time.
pub fn judge_each(outcome: &Outcome, rules: &[Rules]) -> Vec<Vec<Finding>> {
    checks::judge_each(&case(outcome, &outcome.rules), rules)
}

/// What is told of every house before its drains are covered: the test with its head and pressure, air, the inspector's
/// look. Notes by some rules, which need not be those the outcome was designed by.
pub fn before_cover(outcome: &Outcome, rules: &Rules) -> Vec<Finding> {
    checks::before_cover(&case(outcome, rules))
}

/// The figures of a code that the answers about this outcome rest on; see [`checks::leans_on`].
pub fn leans_on<'a>(outcome: &'a Outcome, rules: &'a Rules) -> Vec<&'a codes::Row> {
    checks::leans_on(&case(outcome, rules))
}

/// What the checks judge of an outcome, by some rules.
pub fn case<'a>(outcome: &'a Outcome, rules: &'a Rules) -> Case<'a> {
    Case {
        layout: &outcome.layout,
        catalog: &outcome.catalog,
        rules,
        network: &outcome.network,
        joints: &outcome.joints,
        problems: &outcome.posed,
        grades: &outcome.grades,
        assembly: &outcome.assembly,
        scene: &outcome.scene,
        look_ups: checks::LookUps::default(),
    }
}

/// The code of the permit.
pub(crate) fn code_of(permit: PermitCode) -> Code {
    match permit {
        PermitCode::Irc => Code::Irc,
        PermitCode::Ipc => Code::Ipc,
        PermitCode::Upc => Code::Upc,
    }
}
