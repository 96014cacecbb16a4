//! The fall budget: who spends the inches between the highest a path may start and the lowest it may leave.

use units::{Grade, Id};

use crate::{
    answer::Grades,
    interval::{End, Move},
    problem::{Lie, Member, Place, Problem, Side},
    tail,
    trace::{Spend, SpentOn, Traces, What},
};

/// One path from a start to the receiver, judged by itself: as if it had the trunk alone.
#[derive(Clone, PartialEq, Debug)]
pub struct FallPath {
    /// Index of the run the path starts on.
    pub start: usize,
    /// Its name.
    pub id: Id,
    /// From the cap that binds this path, down through falls, steps, joins and the line outside.
    pub spends: Vec<Spend>,
    /// The highest exit this path allows by itself, at the grades and joins taken.
    pub exit: f64,
    /// The lowest exit the floors outside allow, as given; `None` when there are none.
    pub lowest: Option<f64>,
}

impl FallPath {
    /// Inches the path needs below finished floor, to the end of the line outside.
    pub fn need(&self) -> f64 {
        self.spends.iter().map(|spend| spend.inches).sum()
    }

    /// Inches to spare at the exit; negative when this path alone cannot leave high enough.
    pub fn spare(&self) -> Option<f64> {
        self.lowest.map(|lowest| self.exit - lowest)
    }
}

impl Grades {
    /// The runs where a path starts: those no branch joins at their inlet. `problem` is the one that was solved.
    pub fn starts(&self, problem: &Problem) -> Vec<usize> {
        let mut goes_on = vec![false; problem.runs.len()];
        for join in problem.runs.iter().filter_map(|run| run.join.as_ref()) {
            goes_on[join.parent] |=
                join.at >= problem.runs[join.parent].length - units::SAME_LENGTH;
        }
        (0..goes_on.len()).filter(|run| !goes_on[*run]).collect()
    }

    /// The budget of every path, in preorder of their starts. The work is the sum of the paths' lengths in runs.
    pub fn paths(&self, problem: &Problem) -> Vec<FallPath> {
        self.starts(problem)
            .into_iter()
            .filter_map(|start| self.path(problem, start))
            .collect()
    }

    /// The budget of the path that starts at the inlet of `start`; `None` when no cap bears on it. `problem` is the
    /// one that was solved.
    pub fn path(&self, problem: &Problem, start: usize) -> Option<FallPath> {
        let mut traces = Traces::default();
        let exit = self.alone(problem, start, &mut traces)?;
        let mut spends = traces.tell(exit.why, problem);
        spends.extend(self.fall_outside(problem));
        let (id, lowest) = (problem.runs[start].id.clone(), self.lowest_given(problem));
        Some(FallPath {
            start,
            id,
            spends,
            exit: exit.level,
            lowest,
        })
    }

    /// The highest exit that the caps along one path allow.
    fn alone(&self, problem: &Problem, start: usize, traces: &mut Traces) -> Option<End> {
        let (mut run, mut from) = (start, self.lines.get(start)?.length);
        let mut above = None;
        loop {
            let outlet = self.lowest_cap(problem, run, from, above, traces);
            let Some(join) = &problem.runs[run].join else {
                return outlet.map(|end| self.out(problem, end, traces));
            };
            let window = self.lines[run].join.map_or(0, |made| made.window);
            let what = What::Join {
                run,
                window,
                low: true,
            };
            above = outlet.map(|end| {
                traces.moved(
                    end,
                    Move {
                        adds: -join.windows[window].low,
                        what,
                    },
                )
            });
            (run, from) = (join.parent, join.at);
        }
    }

    /// The run's highest outlet by its caps no farther up than `from`, and by `above`, a level there.
    fn lowest_cap(
        &self,
        problem: &Problem,
        run: usize,
        from: f64,
        above: Option<End>,
        traces: &mut Traces,
    ) -> Option<End> {
        let (line, grade) = (&problem.runs[run], self.lines[run].grade);
        let down = |at| Move {
            adds: -line.rise(grade, at),
            what: What::Along {
                run,
                grade,
                from: at,
                to: 0.0,
            },
        };
        let mut lowest = above.map(|end| traces.moved(end, down(from)));
        let caps = line
            .bounds
            .iter()
            .enumerate()
            .filter(|(_, b)| b.side == Side::NotAbove && b.at <= from);
        for (bound, cap) in caps {
            if lowest.is_none_or(|end| cap.level - line.rise(grade, cap.at) < end.level) {
                let end = traces.begin(Place::Run { run, bound }, Side::NotAbove, cap.level);
                lowest = Some(traces.moved(end, down(cap.at)));
            }
        }
        lowest
    }

    fn out(&self, problem: &Problem, outlet: End, traces: &mut Traces) -> End {
        let Some(way) = self.exit.way else {
            return outlet;
        };
        let adds = -problem.exit.ways[way].drop_least;
        if adds < 0.0 {
            traces.moved(
                outlet,
                Move {
                    adds,
                    what: What::Drop { way },
                },
            )
        } else {
            outlet
        }
    }

    /// The grade the budget reckons outside: the one taken, or the least where the line is straight to its receiver.
    fn outside_grade(&self, problem: &Problem) -> Option<Grade> {
        match &problem.tail.as_ref()?.lie {
            Lie::Menu(_) => Grade::from_in_per_ft(self.outside.as_ref()?.in_per_ft),
            Lie::Straight(least) => Some(*least),
        }
    }

    fn fall_outside(&self, problem: &Problem) -> Option<Spend> {
        let (tail, grade) = (problem.tail.as_ref()?, self.outside_grade(problem)?);
        let who = Member::new(tail.id.clone(), "fall of the line outside");
        let on = SpentOn::Fall {
            grade,
            length: tail.length,
        };
        Some(Spend {
            who,
            on,
            inches: grade.fall_over(tail.length),
        })
    }

    fn lowest_given(&self, problem: &Problem) -> Option<f64> {
        let way = self
            .exit
            .way
            .and_then(|k| problem.exit.ways[k].low.as_ref())
            .map(|low| low.level);
        let grade = self.outside_grade(problem).map(Grade::in_per_ft);
        let outside = problem
            .tail
            .as_ref()
            .zip(grade)
            .and_then(|(tail, grade)| tail::lowest_exit(tail, grade));
        [way, outside].into_iter().flatten().max_by(f64::total_cmp)
    }
}
