//! Solving back: the layout as it stands (sleeves where they were poured, glued stubs where they are), with what was
//! levelled as pins, run through the flow again; and what that does to the cuts still to be made.

use fittings::{Pin, Pins, StubOf};
use flow::{Inputs, Outcome};
use glam::DVec2;
use layout::{Edit, EditError, File, RunEnd, Step, Vent};
use network::Start;
use units::{Grade, Id};

use crate::{
    book::Book,
    glued::glued_pieces,
    judge::{Judged, LevelRead, judge},
    plan::{Plan, Planned},
    say::{feet, grade, high_low, moved},
};

/// Glued pipe may sit this much off a level read on it, inches, besides the level's own doubt: the play of its hubs.
const HUB_PLAY: f64 = 1.0 / 16.0;
/// Moves smaller than this are left to the joints, inches.
const MOVED: f64 = 1.0 / 16.0;

/// The layout as it stands in the ground.
#[derive(Clone, PartialEq, Debug)]
pub struct AsBuilt {
    /// The document's text with what was measured put in; comments survive.
    pub text: String,
    /// Whether comments and untouched lines are as they were.
    pub comments_kept: bool,
    /// Levels measured on glued pipe.
    pub pins: Pins,
    /// What was changed, a line each.
    pub says: Vec<String>,
}

/// What the flow makes of what stands.
#[derive(Clone, Debug)]
pub struct Solved {
    /// The inputs it was solved from.
    pub inputs: Inputs,
    /// The outcome, with the measured layout and pins.
    pub outcome: Outcome,
    /// What was changed in the layout, a line each.
    pub says: Vec<String>,
}

/// The layout as it stands: measured sleeves, glued stubs and the grades of glued runs in place of the planned ones, and
/// the levels of glued pipe as pins. Readings of dry fittings change nothing.
///
/// # Errors
/// When the document cannot be edited: it is torn, say.
pub fn as_built(inputs: &Inputs, outcome: &Outcome, book: &Book) -> Result<AsBuilt, EditError> {
    let judged = judge(outcome, book);
    let mut made = Made {
        plan: Plan { outcome, book },
        edits: Vec::new(),
        says: Vec::new(),
        pins: Vec::new(),
    };
    if let Some(file) = &layout::read(&inputs.text, &inputs.name).file {
        made.sleeves(file, &judged);
        made.stubs(file, &judged);
    }
    made.runs(&judged);
    let applied = layout::apply(&inputs.text, &inputs.name, &Edit::All(made.edits))?;
    Ok(AsBuilt {
        text: applied.text,
        comments_kept: applied.comments_kept,
        pins: made.pins,
        says: made.says,
    })
}

/// Runs the flow on the layout as it stands. Conflicts and mends are those of any outcome.
///
/// # Errors
/// As [`as_built`].
pub fn solve_back(inputs: &Inputs, outcome: &Outcome, book: &Book) -> Result<Solved, EditError> {
    let built = as_built(inputs, outcome, book)?;
    let inputs = Inputs {
        text: built.text,
        pins: inputs.pins.iter().cloned().chain(built.pins).collect(),
        ..inputs.clone()
    };
    let outcome = flow::run(&inputs);
    Ok(Solved {
        inputs,
        outcome,
        says: built.says,
    })
}

struct Made<'a> {
    plan: Plan<'a>,
    edits: Vec<Edit>,
    says: Vec<String>,
    pins: Pins,
}

impl Made<'_> {
    fn sleeves(&mut self, file: &File, judged: &Judged) {
        for sleeve in &judged.sleeves {
            let drain = &sleeve.drain;
            if let Some((planned, measured)) = sleeve.bottom {
                let path = ["drains", drain.as_str(), "exit", "sleeve_bottom"];
                self.edits
                    .push(Edit::set(path, layout::length_text(measured)));
                let off = measured - planned;
                if off.abs() >= MOVED {
                    self.says.push(format!(
                        "the sleeve of {drain}: inside bottom {}, {}",
                        feet(measured),
                        high_low(off)
                    ));
                }
            }
            if let Some((planned, measured)) = sleeve.at
                && planned.distance(measured) >= MOVED
            {
                self.exit(file, drain, measured - planned);
            }
        }
    }

    /// The exit moved along the wall, and the trunk's last leg with it, parallel to what it was.
    fn exit(&mut self, file: &File, drain: &Id, by: DVec2) {
        let trees = self.plan.trees();
        let Some(tree) = trees.iter().find(|tree| tree.id == *drain) else {
            return;
        };
        let Some(trunk) = tree.runs.first() else {
            return;
        };
        let at = trunk.path.outlet() + by;
        let exit = self
            .plan
            .drain(drain)
            .map_or(at, |drain| drain.exit.at + by);
        self.edits.push(Edit::move_exit(file, drain, exit));
        self.says
            .push(format!("the exit of {drain} moved {}", moved(by)));
        self.last_leg(file, trunk, by);
    }

    fn last_leg(&mut self, file: &File, trunk: &network::Run, by: DVec2) {
        let points = trunk.path.points();
        let [.., before, corner, outlet] = points else {
            return;
        };
        let way = (*outlet - *corner).normalize_or_zero();
        let Some(new) = crossing(*before, *corner - *before, *outlet + by, way) else {
            return;
        };
        let layout = self.plan.layout();
        let written = &layout.runs[trunk.index];
        if !written.via.is_empty() {
            let last = written.via.len() - 1;
            self.edits
                .push(Edit::move_corner(file, &trunk.id, last, new));
            self.says.push(format!(
                "the last bend of {} moved {}, so that its last leg stays square to the wall",
                trunk.id,
                moved(new - *corner)
            ));
        }
        let aside = by - way * by.dot(way);
        let on_leg = |p: DVec2| {
            let (station, _) = trunk.path.nearest(p);
            station < corner.distance(*outlet) - MOVED
        };
        for (i, (p, _)) in written.increasers.iter().enumerate() {
            if on_leg(*p) {
                let path = [
                    Step::from("runs"),
                    Step::from(trunk.id.as_str()),
                    Step::from("increasers"),
                    Step::from(i),
                    Step::from(0),
                ];
                self.edits
                    .push(Edit::set(path, file.point_text(*p + aside)));
            }
        }
        for branch in &layout.runs {
            let RunEnd::Run { run, at: Some(at) } = &branch.to else {
                continue;
            };
            if *run != trunk.id || !on_leg(*at) {
                continue;
            }
            let came = self.plan.run(&branch.id);
            let leg = came.and_then(|branch| {
                let [.., a, b] = branch.run.path.points() else {
                    return None;
                };
                crossing(*a, *b - *a, *at + aside, way)
            });
            let path = ["runs", branch.id.as_str(), "to", "at"];
            let new = leg.unwrap_or(*at + aside);
            self.edits.push(Edit::set(path, file.point_text(new)));
            self.says.push(format!(
                "{} meets {} {} of the plan's place",
                branch.id,
                trunk.id,
                moved(new - *at)
            ));
        }
    }

    fn stubs(&mut self, file: &File, judged: &Judged) {
        for read in &judged.stubs {
            let Some(stub) = self.plan.stub(&read.id) else {
                continue;
            };
            if !read.stage.is_glued() || read.unsure || read.off().length() < MOVED {
                continue;
            }
            match stub.of {
                StubOf::Fixture(_) => {
                    self.edits
                        .push(Edit::move_fixture(file, &stub.id, read.measured));
                }
                StubOf::Cleanout(_) => {
                    let path = ["cleanouts", stub.id.as_str(), "at"];
                    self.edits
                        .push(Edit::set(path, file.point_text(read.measured)));
                }
                StubOf::Vent(index) => self.vent(file, index, read.measured),
                StubOf::Return(index) => self.island_return(file, index, read.measured),
                StubOf::Service(index) => self.service(file, index, read.measured),
            }
            self.says
                .push(format!("{} is glued {}", read.id, moved(read.off())));
        }
    }

    /// Where a vent comes up. Its take-off goes with it where the plan has the one under the other, for then a plumb pipe
    /// stands on it; elsewhere the take-off stays and the vent's lying part turns.
    fn vent(&mut self, file: &File, index: usize, at: DVec2) {
        let fixture = &self.plan.layout().fixtures[index];
        let path = |kind, what| ["fixtures", fixture.id.as_str(), "vent", kind, what];
        match &fixture.vent {
            Vent::TakeOff { take_off, up, .. } => {
                let edit = Edit::set(path("take_off", "up"), file.point_text(at));
                self.edits.push(edit);
                if take_off.distance(*up) < MOVED {
                    let start = Start::Fixture(index);
                    let run = self.plan.runs().find(|planned| planned.run.start == start);
                    let on_run = run.map(|planned| {
                        let line = &planned.run.path;
                        line.point_at(line.nearest(at).0)
                    });
                    let at = file.point_text(on_run.unwrap_or(at));
                    self.edits.push(Edit::set(path("take_off", "at"), at));
                }
            }
            Vent::IslandLoop { .. } => {
                let edit = Edit::set(path("island_loop", "up"), file.point_text(at));
                self.edits.push(edit);
            }
            // These come up with their fixture's own riser, or not at all.
            Vent::Riser
            | Vent::Common(_)
            | Vent::Wet(_)
            | Vent::Admittance
            | Vent::Combination
            | Vent::Other(_)
            | Vent::Unknown => {}
        }
    }

    /// Where an island's loop comes down again.
    fn island_return(&mut self, file: &File, index: usize, at: DVec2) {
        let id = &self.plan.layout().fixtures[index].id;
        let path = ["fixtures", id.as_str(), "vent", "island_loop", "down"];
        self.edits.push(Edit::set(path, file.point_text(at)));
    }

    /// Where a service comes up: its last point; what lies before it is not measured by that.
    fn service(&mut self, file: &File, index: usize, at: DVec2) {
        let service = &self.plan.layout().services[index];
        let path = [
            Step::from("services"),
            Step::from(service.id.as_str()),
            Step::from("path"),
            Step::from(service.path.len() - 1),
        ];
        self.edits.push(Edit::set(path, file.point_text(at)));
    }

    fn runs(&mut self, judged: &Judged) {
        let plan = self.plan;
        for planned in plan.runs() {
            let glued: Vec<&LevelRead> = judged
                .levels
                .iter()
                .filter(|level| level.run == planned.run.id && level.stage.is_glued())
                .collect();
            self.run(planned, &glued);
        }
    }

    fn run(&mut self, planned: Planned, glued: &[&LevelRead]) {
        let Some(lowest) = glued.first() else {
            return;
        };
        let id = &planned.run.id;
        let (invert, lies) = match line(planned, glued) {
            Some((at_lowest, grade)) => (at_lowest, Some(grade)),
            None => (lowest.measured, None),
        };
        if let Some(lies) = lies.filter(|lies| lies.in_per_ft() > 0.0) {
            self.edits.push(Edit::run_grades(id, &[lies]));
            self.says
                .push(format!("{id} is glued at {}", grade(lies.in_per_ft())));
        }
        self.pins.push(Pin {
            run: id.clone(),
            station: lowest.station,
            invert,
            doubt: self.plan.book.level + HUB_PLAY,
            says: format!("glued, reading {}", lowest.reading),
        });
    }
}

/// The straight line that fits the levels of a glued run best: its invert at the lowest reading, and its grade. `None`
/// where they are nearer than 4 ft.
fn line(planned: Planned, glued: &[&LevelRead]) -> Option<(f64, Grade)> {
    let stepped = |station: f64| {
        let steps = planned.line.steps.iter();
        let below = steps.filter(|(at, _)| *at < station);
        below.map(|(_, drop)| drop).sum::<f64>()
    };
    let points: Vec<(f64, f64)> = glued
        .iter()
        .map(|level| (level.station, level.measured - stepped(level.station)))
        .collect();
    let (first, last) = (points.first()?, points.last()?);
    if last.0 - first.0 < 48.0 {
        return None;
    }
    let (level, slope) = fitted(&points)?;
    // To a ten thousandth of an inch a foot: a tape's width over any house.
    let in_per_ft = (slope * 12.0 * 1e4).round() / 1e4;
    let at_lowest = level + slope * first.0 + stepped(first.0);
    Grade::from_in_per_ft(in_per_ft).map(|grade| (at_lowest, grade))
}

/// Least squares: level at 0 and rise an inch of a line through points (station, level). `None` for points on one spot.
pub(crate) fn fitted(points: &[(f64, f64)]) -> Option<(f64, f64)> {
    let n = points.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / n;
    let (x, y) = (mean(|p| p.0), mean(|p| p.1));
    let xx: f64 = points.iter().map(|p| (p.0 - x).powi(2)).sum();
    let xy: f64 = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    let slope = (xx > units::SAME_LENGTH).then(|| xy / xx)?;
    Some((y - slope * x, slope))
}

/// Where the line through `p` along `along` crosses the one through `q` along `way`; `None` where they run the same way.
fn crossing(p: DVec2, along: DVec2, q: DVec2, way: DVec2) -> Option<DVec2> {
    let square = along.perp_dot(way);
    let t = (q - p).perp_dot(way) / square;
    (square.abs() > 1e-6 * along.length() && t.is_finite()).then(|| p + along * t)
}

/// A cut that what stands has changed.
#[derive(Clone, PartialEq, Debug)]
pub struct NextCut {
    /// Its label on the cut list of what stands.
    pub label: String,
    /// The run or riser.
    pub id: Id,
    /// Pipe size.
    pub size: units::Size,
    /// Length by the plan, inches; `None` for a piece the plan did not have.
    pub planned: Option<f64>,
    /// Length from what stands, inches.
    pub now: f64,
}

/// The cuts still to be made that differ from the plan's by a sixteenth or more, in the order they are glued.
pub fn next_cuts(planned: &Outcome, solved: &Outcome, book: &Book) -> Vec<NextCut> {
    let glued = glued_pieces(solved, book);
    let shop = takeoff::Shop::default();
    let take = |of: &Outcome| takeoff::take(&of.layout, &of.assembly, &of.catalog, &shop);
    let (before, now) = (take(planned), take(solved));
    let nth = |take: &takeoff::Takeoff, i: usize| {
        let cut = &take.cuts[i];
        let same = take.cuts[..i].iter();
        same.filter(|c| c.id == cut.id && c.size == cut.size)
            .count()
    };
    let as_planned = |i: usize| {
        let (cut, n) = (&now.cuts[i], nth(&now, i));
        let same = before.cuts.iter();
        same.filter(|c| c.id == cut.id && c.size == cut.size)
            .nth(n)
            .map(|c| c.length.value)
    };
    let order: Vec<usize> = now
        .order
        .iter()
        .flat_map(|bench| bench.pieces.clone())
        .collect();
    let cut_of = |piece: &usize| now.cuts.iter().position(|cut| cut.piece == *piece);
    order
        .iter()
        .filter(|piece| !glued.contains(piece))
        .filter_map(cut_of)
        .filter_map(|i| {
            let (cut, was) = (&now.cuts[i], as_planned(i));
            let same = was.is_some_and(|was| (was - cut.length.value).abs() < 1.0 / 16.0);
            (!same).then(|| NextCut {
                label: cut.label.clone(),
                id: cut.id.clone(),
                size: cut.size,
                planned: was,
                now: cut.length.value,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same line by a general library (Levenberg and Marquardt).
    struct Line(Vec<(f64, f64)>);

    impl rmpfit::MPFitter for Line {
        fn eval(&mut self, line: &[f64], off: &mut [f64]) -> rmpfit::MPResult<()> {
            for (off, (x, y)) in off.iter_mut().zip(&self.0) {
                *off = y - line[0] - line[1] * x;
            }
            Ok(())
        }

        fn number_of_points(&self) -> usize {
            self.0.len()
        }
    }

    #[test]
    fn a_line_through_levels_is_what_a_library_fits() {
        use rmpfit::MPFitter;
        for points in [
            vec![(0.0, -20.0), (48.0, -19.1), (100.0, -17.9), (240.0, -15.03)],
            vec![(12.0, -9.0), (72.0, -9.1), (300.0, -2.5)],
            vec![(0.0, 1.0), (60.0, 2.0)],
        ] {
            let mut by_library = [0.0, 0.0];
            Line(points.clone()).mpfit(&mut by_library).unwrap();
            let (level, slope) = fitted(&points).unwrap();
            assert!(
                (level - by_library[0]).abs() < 1e-6,
                "{level} {by_library:?}"
            );
            assert!(
                (slope - by_library[1]).abs() < 1e-8,
                "{slope} {by_library:?}"
            );
        }
        assert_eq!(fitted(&[(5.0, 1.0), (5.0, 2.0)]), None);
    }

    #[test]
    fn lines_cross_where_they_should() {
        let found = crossing(
            DVec2::ZERO,
            DVec2::new(1.0, 1.0),
            DVec2::new(5.0, 0.0),
            DVec2::Y,
        );
        assert_eq!(found, Some(DVec2::new(5.0, 5.0)));
        assert_eq!(crossing(DVec2::ZERO, DVec2::Y, DVec2::X, DVec2::Y), None);
    }
}
