//! The candidates for one drain, in the order to think of them, and the trying of each.

use std::collections::BTreeSet;

use checks::Verdict;
use grades::{Grades, Problem, SpentOn};
use layout::{Drain, Edit, ExitWay, Layout, Node, ReceiverKind};
use network::{Start, Tree};
use units::{Grade, Id, Size, feet_inches, inches_text};

use super::{
    Tried, edits,
    lawful::{self, Lawful, Leave},
    pump, short_by,
};
use crate::{Inputs, Outcome, run};

/// Floors and tanks are moved in sixteenths: the finest a tape tells.
const SIXTEENTHS: u32 = 16;
/// Raising the floor moves caps outside too, so the shortage is asked for again a few times.
const MOST_LIFTS: usize = 4;
/// Larger pipe than this is not what a house drain is made of.
const LARGEST: Size = Size::In4;

pub(super) struct Trials<'a> {
    inputs: &'a Inputs,
    outcome: &'a Outcome,
    tree: &'a Tree,
    drain: &'a Drain,
    problem: &'a Problem,
    grades: &'a Grades,
    /// Runs whose fall is spent in the conflict, upstream first.
    runs: Vec<usize>,
    /// Whether the line outside spends fall in it.
    outside: bool,
    /// The document as a tree; `None` when its syntax is torn, and then no mend can be written into it.
    paper: Option<Node>,
}

/// Something to try.
#[derive(Clone, Default)]
struct Candidate {
    says: String,
    figure: Option<f64>,
    edits: Vec<Edit>,
}

impl Candidate {
    fn new(says: String, edits: Vec<Edit>) -> Self {
        Self {
            says,
            figure: None,
            edits,
        }
    }

    fn all(of: &[Self]) -> Self {
        let says: Vec<&str> = of.iter().map(|one| one.says.as_str()).collect();
        Self::new(
            says.join(", and "),
            of.iter().flat_map(|one| one.edits.clone()).collect(),
        )
    }

    fn after(self, base: &Self) -> Self {
        let says = if base.says.is_empty() {
            self.says
        } else {
            format!("{}, and {}", base.says, self.says)
        };
        let edits = base.edits.iter().cloned().chain(self.edits).collect();
        Self {
            says,
            edits,
            figure: self.figure,
        }
    }
}

impl<'a> Trials<'a> {
    pub(super) fn new(inputs: &'a Inputs, outcome: &'a Outcome, index: usize) -> Self {
        let (tree, grades) = (&outcome.network.trees[index], &outcome.grades[index]);
        let spends = || grades.conflicts.iter().flat_map(|conflict| &conflict.chain);
        let falls =
            |id: &Id| spends().any(|s| s.who.id == *id && matches!(s.on, SpentOn::Fall { .. }));
        // A trunk comes first in the tree and last on the way down.
        let runs = (0..tree.runs.len())
            .rev()
            .filter(|r| falls(&tree.runs[*r].id))
            .collect();
        let drain = &outcome.layout.drains[tree.drain];
        Self {
            inputs,
            outcome,
            tree,
            drain,
            problem: &outcome.posed[index],
            grades,
            runs,
            outside: falls(&drain.id),
            paper: layout::parse(&inputs.text, &inputs.name).ok(),
        }
    }

    pub(super) fn tried(&self) -> Vec<Tried> {
        let mut tried = self.flatter();
        tried.extend(self.larger());
        let base = self.base();
        let under = self.under(&base);
        let by_gravity = !tried.is_empty() || under.is_some();
        tried.extend(self.floor_up(&base));
        tried.extend(under);
        tried.extend(self.line_shorter(&base));
        tried.extend(self.tank_lower(&base));
        if !by_gravity {
            tried.extend(self.pump(&base));
        }
        tried
    }

    /// Each line at the flattest grade the code has for it; all together only when none does alone.
    fn flatter(&self) -> Vec<Tried> {
        for leave in [Leave::Code, Leave::Approved] {
            let mut moves = self.runs_flatter(leave);
            let n_runs = moves.len();
            moves.extend(self.line_flatter(leave));
            let alone: Vec<Tried> = moves.iter().filter_map(|one| self.attempt(one)).collect();
            if !alone.is_empty() {
                return alone;
            }
            let together = [&moves[..n_runs], &moves[..]];
            let works = together
                .iter()
                .filter(|set| set.len() > 1)
                .find_map(|set| self.attempt(&Candidate::all(set)));
            if let Some(works) = works {
                return vec![works];
            }
        }
        Vec::new()
    }

    fn runs_flatter(&self, leave: Leave) -> Vec<Candidate> {
        let of_run = |r: &usize| {
            let run = &self.tree.runs[*r];
            let lawful = lawful::flattest_run(&self.outcome.rules, run, leave)?;
            let edit = Edit::run_grades(&run.id, &[lawful.grade]);
            is_flatter(&lawful, &run.menu)
                .then(|| Candidate::new(lay(run.id.as_str(), &lawful), vec![edit]))
        };
        self.runs.iter().filter_map(of_run).collect()
    }

    fn line_flatter(&self, leave: Leave) -> Option<Candidate> {
        let lawful = lawful::flattest(&self.outcome.rules, self.line_size(), leave)?;
        let works = self.outside && is_flatter(&lawful, &self.drain.line.menu);
        let edit = Edit::line_grades(&self.drain.id, &[lawful.grade]);
        let mut says = lay("the line outside", &lawful);
        if lawful.grade < Grade::QUARTER {
            // Invented houses S5: not every town takes an eighth on a 4 in building sewer.
            says.push_str(", which not every town accepts");
        }
        works.then(|| Candidate::new(says, vec![edit]))
    }

    fn line_size(&self) -> Size {
        let exit = || {
            self.drain
                .exit
                .size
                .unwrap_or_else(|| self.tree.runs[0].outlet_size())
        };
        self.drain.line.size.unwrap_or_else(exit)
    }

    /// All lines of the conflict at their flattest by the code, when that gains anything: what is told with figures
    /// (floor, tank) starts from there.
    fn base(&self) -> Candidate {
        let mut moves = self.runs_flatter(Leave::Code);
        moves.extend(self.line_flatter(Leave::Code));
        let base = Candidate::all(&moves);
        let gains = self
            .levels(&base.edits)
            .is_some_and(|(_, g)| short_by(&g) < short_by(self.grades) - units::SAME_LENGTH);
        if gains { base } else { Candidate::default() }
    }

    /// A larger pipe, where it may lie flatter than the pipe it replaces.
    fn larger(&self) -> Vec<Tried> {
        for leave in [Leave::Code, Leave::Approved] {
            let sizes: Vec<Candidate> = self
                .runs
                .iter()
                .filter_map(|r| self.run_larger(*r, leave))
                .collect();
            let alone: Vec<Tried> = sizes.iter().filter_map(|one| self.attempt(one)).collect();
            if !alone.is_empty() {
                return alone;
            }
            let together = (sizes.len() > 1)
                .then(|| self.attempt(&Candidate::all(&sizes)))
                .flatten();
            if let Some(works) = together {
                return vec![works];
            }
        }
        Vec::new()
    }

    fn run_larger(&self, r: usize, leave: Leave) -> Option<Candidate> {
        let (run, rules) = (&self.tree.runs[r], &self.outcome.rules);
        let paper = self.paper.as_ref()?;
        let larger = Size::ALL
            .into_iter()
            .find(|size| *size > run.inlet_size() && *size >= run.outlet_size())
            .filter(|size| *size <= LARGEST)?;
        let now = lawful::flattest_run(rules, run, leave)?;
        let then = lawful::flattest(rules, larger, leave)?;
        if then.grade >= now.grade
            || self.drain.exit.size.is_some_and(|exit| exit < larger)
            || self.line_size() < larger
        {
            return None;
        }
        let mut edits: Vec<Edit> = self
            .down_from(r)
            .filter(|below| below.inlet_size() < larger || below.id == run.id)
            .filter(|below| below.outlet_size() <= larger)
            .flat_map(|below| edits::larger(paper, &below.id, larger))
            .collect();
        edits.push(Edit::run_grades(&run.id, &[then.grade]));
        let says = format!(
            "make {} {} in throughout and lay it at {} in/ft ({})",
            run.id,
            larger.nominal(),
            then.grade,
            then.says
        );
        Some(Candidate::new(says, edits))
    }

    /// The run and all it flows through.
    fn down_from(&self, r: usize) -> impl Iterator<Item = &'a network::Run> {
        let tree = self.tree;
        std::iter::successors(Some(r), move |r| tree.runs[*r].join.map(|join| join.parent))
            .map(move |r| &tree.runs[r])
    }

    fn under(&self, base: &Candidate) -> Option<Tried> {
        if self.drain.exit.way != ExitWay::Through || self.outcome.layout.foundation.edge.is_none()
        {
            return None;
        }
        let says = "drop inside with two 45s and leave under the footing, in a sleeve or arch the engineer agrees to";
        let edit = Edit::exit_way(&self.drain.id, ExitWay::Under);
        let under = Candidate::new(says.into(), vec![edit]);
        self.attempt(&under)
            .or_else(|| self.attempt(&under.after(base)))
    }

    /// A higher floor, as drawn and at the flattest lawful grades.
    fn floor_up(&self, base: &Candidate) -> Vec<Tried> {
        let flattest = (!base.edits.is_empty()).then_some(base);
        let drawn = Candidate::default();
        flattest
            .into_iter()
            .chain([&drawn])
            .filter_map(|base| self.floor_up_from(base))
            .collect()
    }

    fn floor_up_from(&self, base: &Candidate) -> Option<Tried> {
        let paper = self.paper.as_ref()?;
        let mut needed = 0.0;
        for _ in 0..MOST_LIFTS {
            let lift = edits::floor_up(paper, needed);
            let edits: Vec<Edit> = base.edits.iter().cloned().chain(lift).collect();
            match short_by(&self.levels(&edits)?.1) {
                short if short > units::SAME_LENGTH => needed += short,
                _ => break,
            }
        }
        let bought = up_to_a_sixteenth(needed);
        let says = format!(
            "raise the finished floor {}",
            inches_text(bought, SIXTEENTHS)
        );
        let candidate = Candidate {
            figure: Some(needed),
            ..Candidate::new(says, edits::floor_up(paper, bought))
        };
        (needed > 0.0)
            .then(|| self.attempt(&candidate.after(base)))
            .flatten()
    }

    fn is_tank(&self) -> bool {
        self.drain
            .receiver
            .as_ref()
            .is_some_and(|receiver| match receiver.kind {
                ReceiverKind::Tank => true,
                ReceiverKind::Sewer => false,
            })
    }

    fn line_shorter(&self, base: &Candidate) -> Option<Tried> {
        let lawful = lawful::flattest(&self.outcome.rules, self.line_size(), Leave::Code);
        let told = lawful::flattest_of(&self.drain.line.menu)?;
        // The base has the line at its flattest, where the line spends fall and may lie flatter than told.
        let grade = lawful
            .filter(|lawful| self.outside && !base.edits.is_empty() && lawful.grade < told)
            .map_or(told, |lawful| lawful.grade);
        let length = self.drain.line.length?;
        let short = short_by(&self.levels(&base.edits)?.1);
        let most = length - short * 12.0 / grade.in_per_ft();
        if !self.is_tank() || short <= 0.0 || most < 12.0 {
            return None;
        }
        let path = ["drains", self.drain.id.as_str(), "line", "length"];
        let edit = Edit::set(path, layout::length_text(most.floor()));
        let says = format!(
            "have no more than {} of line to the tank",
            feet_inches(most.floor(), 1)
        );
        self.attempt(
            &Candidate {
                figure: Some(most),
                ..Candidate::new(says, vec![edit])
            }
            .after(base),
        )
    }

    fn tank_lower(&self, base: &Candidate) -> Option<Tried> {
        let short = short_by(&self.levels(&base.edits)?.1);
        if !self.is_tank() || short <= 0.0 {
            return None;
        }
        let bought = up_to_a_sixteenth(short);
        let edits = edits::receiver_down(self.paper.as_ref()?, &self.drain.id, bought);
        let says = format!(
            "set the tank {} lower, if its field permits",
            inches_text(bought, SIXTEENTHS)
        );
        self.attempt(
            &Candidate {
                figure: Some(short),
                ..Candidate::new(says, edits)
            }
            .after(base),
        )
    }

    /// Only for what cannot fall at any lawful grade; the rest must fall by itself.
    fn pump(&self, base: &Candidate) -> Option<Tried> {
        let (problem, grades) = self.levels(&base.edits)?;
        let rest = pump::rest(&problem, &grades)?;
        let names: Vec<String> = rest.pumped.iter().map(|r| self.starts_at(*r)).collect();
        let Some(problem) = rest.problem else {
            let says = "pump the whole drain: none of its fixtures can fall at any lawful grade";
            return Some(self.told(says.into(), None, None, self.grades)).map(|told| Tried {
                spare: None,
                ..told
            });
        };
        let grades = grades::solve(&problem).ok().filter(Grades::is_feasible)?;
        let says = format!(
            "pump {}, which cannot fall at any lawful grade; the rest falls by itself",
            list(&names)
        );
        let told = self.told(says, None, None, &grades);
        Some(if base.edits.is_empty() {
            told
        } else {
            Tried {
                says: format!("{}, and {}", base.says, told.says),
                ..told
            }
        })
    }

    fn starts_at(&self, r: usize) -> String {
        let run = &self.tree.runs[r];
        match run.start {
            Start::Fixture(fixture) => self.outcome.layout.fixtures[fixture].id.to_string(),
            Start::Cleanout(_) | Start::Bare => run.id.to_string(),
        }
    }

    /// Tries a candidate: the drain must be met, and nothing may fail that did not fail before.
    fn attempt(&self, candidate: &Candidate) -> Option<Tried> {
        let (edit, layout) = self.edited(&candidate.edits)?;
        let (_, grades) = self
            .levels_of(&layout)
            .filter(|(_, grades)| grades.is_feasible())?;
        let after = run::outcome_of(layout, self.outcome, &self.inputs.pins);
        let before = fails(self.outcome);
        if !fails(&after).is_subset(&before) {
            return None;
        }
        Some(self.told(
            candidate.says.clone(),
            candidate.figure,
            Some(edit),
            &grades,
        ))
    }

    fn told(
        &self,
        says: String,
        figure: Option<f64>,
        edit: Option<Edit>,
        grades: &Grades,
    ) -> Tried {
        let (spare, exit_invert) = (grades.exit.spare(), grades.exit.level);
        Tried {
            drain: self.drain.id.clone(),
            says,
            figure,
            edit,
            spare,
            exit_invert,
        }
    }

    fn levels(&self, edits: &[Edit]) -> Option<(Problem, Grades)> {
        if edits.is_empty() {
            return Some((self.problem.clone(), self.grades.clone()));
        }
        self.levels_of(&self.edited(edits)?.1)
    }

    /// The edits as one, and the layout the document tells of after it. `None` where they cannot be made, or where the
    /// document then has more mistakes than before.
    fn edited(&self, edits: &[Edit]) -> Option<(Edit, Layout)> {
        let edit = Edit::All(edits.to_vec());
        let (text, name) = (&self.inputs.text, &self.inputs.name);
        let applied = layout::apply(text, name, &edit).ok()?;
        let reading = layout::read(&applied.text, name);
        let (layout, problems) = layout::resolve(reading.file.as_ref()?);
        let mistakes = reading.problems.len() + problems.len();
        (mistakes <= self.outcome.problems.len()).then_some((edit, layout))
    }

    fn levels_of(&self, layout: &Layout) -> Option<(Problem, Grades)> {
        run::levels(layout, self.outcome, &self.inputs.pins, &self.drain.id)
    }
}

fn is_flatter(lawful: &Lawful, menu: &[Grade]) -> bool {
    lawful::flattest_of(menu).is_some_and(|now| lawful.grade < now)
}

fn lay(what: &str, lawful: &Lawful) -> String {
    format!("lay {what} at {} in/ft ({})", lawful.grade, lawful.says)
}

fn up_to_a_sixteenth(inches: f64) -> f64 {
    let parts = f64::from(SIXTEENTHS);
    (inches * parts - units::SAME_LENGTH).ceil() / parts
}

fn fails(outcome: &Outcome) -> BTreeSet<(&'static str, Vec<Id>)> {
    let fails = outcome
        .findings
        .iter()
        .filter(|finding| finding.verdict == Verdict::Fails);
    fails
        .map(|finding| (finding.rule, finding.members.clone()))
        .collect()
}

fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
