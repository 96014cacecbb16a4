//! The glue-up walk as the viewer wants it: every piece in its order, in words and as a body.

use std::collections::BTreeMap;

use catalog::{Wait, Weather};
use fittings::{Assembly, Body, Part, Piece, What};
use flow::Outcome;
use takeoff::{Bench, Shop};
use units::{feet_inches, inches_text};
use viewer::WalkStep;

/// Cuts are told to a sixteenth.
const SIXTEENTHS: u32 = 16;
/// Every piece, assembly by assembly.
pub(crate) fn steps(outcome: &Outcome) -> Vec<WalkStep> {
    let (assembly, catalog) = (&outcome.assembly, &outcome.catalog);
    let shop = Shop::default();
    let benches = takeoff::benches(assembly, catalog, &shop);
    let walk = Walk {
        outcome,
        labels: labels(assembly),
        clocks: takeoff::clock_marks(assembly, catalog)
            .into_iter()
            .map(|mark| (mark.piece, mark.says()))
            .collect(),
    };
    let count = benches.len();
    let numbered = benches.iter().enumerate();
    numbered
        .flat_map(|(n, bench)| {
            let places = bench.pieces.iter().enumerate();
            let walk = &walk;
            places.map(move |(place, piece)| walk.step((n + 1, count), bench, place, *piece))
        })
        .collect()
}

/// The labels of the cutting list: pipes and fittings numbered apart, in the assembly's order.
fn labels(assembly: &Assembly) -> Vec<String> {
    let (mut pipes, mut fittings) = (0, 0);
    let label = |piece: &Piece| match piece.what {
        What::Pipe(_) => {
            pipes += 1;
            format!("P{pipes}")
        }
        What::Fitting(_) => {
            fittings += 1;
            format!("F{fittings}")
        }
    };
    assembly.pieces.iter().map(label).collect()
}

struct Walk<'o> {
    outcome: &'o Outcome,
    labels: Vec<String>,
    clocks: BTreeMap<usize, String>,
}

impl Walk<'_> {
    fn step(&self, of: (usize, usize), bench: &Bench, place: usize, p: usize) -> WalkStep {
        let assembly = &self.outcome.assembly;
        let piece = &assembly.pieces[p];
        let home = assembly.joints.iter().find(|joint| joint.far.0 == p);
        let last = place + 1 == bench.pieces.len();
        WalkStep {
            bench: of,
            place: (place + 1, bench.pieces.len()),
            label: self.labels[p].clone(),
            what: what(piece),
            id: piece.id.to_string(),
            clock: self.clocks.get(&p).cloned().unwrap_or_default(),
            joints: home
                .map(|joint| self.joint(joint, bench))
                .into_iter()
                .collect(),
            wait: if last {
                self.wait(bench, piece)
            } else {
                String::new()
            },
            body: self.body(piece),
            home: home.and_then(|joint| {
                let near = &assembly.pieces[joint.near.0];
                let (stop, outward) = near.end(joint.near.1, &self.outcome.catalog)?;
                let at = near.frame.at + near.frame.turned(stop.to_array());
                Some((
                    at,
                    near.frame.turned(outward.to_array()).normalize_or_zero(),
                ))
            }),
        }
    }

    fn joint(&self, joint: &fittings::GlueJoint, bench: &Bench) -> String {
        let near = format!("{} of {}", joint.near.1.word(), self.labels[joint.near.0]);
        let trench = bench
            .home
            .is_some_and(|home| self.outcome.assembly.joints[home] == *joint);
        match (joint.glued, trench, bench.last) {
            (false, _, _) => format!("screw into the {near}; no cement"),
            (true, true, true) => {
                format!("into the {near} in the trench: fit dry now, glue when all else is glued")
            }
            (true, true, false) => format!(
                "push home into the {near} in the trench; {} to do it",
                people(bench.people)
            ),
            (true, false, _) => format!("glue into the {near}"),
        }
    }

    fn wait(&self, bench: &Bench, piece: &Piece) -> String {
        let sizes = bench
            .pieces
            .iter()
            .map(|p| self.outcome.assembly.pieces[*p].size);
        let size = sizes.max().unwrap_or(piece.size);
        let cement = self.outcome.catalog.cement();
        let minutes = cement.minutes(Wait::Set, size, Weather::Cool, false);
        if minutes <= 0.0 {
            return String::new();
        }
        format!(
            "Let it rest {minutes:.0} minutes before it is moved (40 to 60 F; the label on the can governs)"
        )
    }

    /// A piece by itself, as the whole house shows it.
    fn body(&self, piece: &Piece) -> Body {
        Body {
            id: piece.id.clone(),
            part: match piece.what {
                What::Pipe(_) => Part::Pipe,
                What::Fitting(_) => Part::Fitting,
            },
            flow: piece.flow,
            size: piece.size,
            tubes: fittings::piece_tubes(piece, &self.outcome.catalog),
            joined: Vec::new(),
        }
    }
}

fn people(n: u32) -> String {
    match n {
        0 | 1 => "one can".into(),
        n => format!("{n} people"),
    }
}

fn what(piece: &Piece) -> String {
    match &piece.what {
        What::Pipe(cut) if cut.value < 12.0 => {
            format!(
                "{} pipe, cut {}",
                piece.size,
                inches_text(cut.value, SIXTEENTHS)
            )
        }
        What::Pipe(cut) => format!(
            "{} pipe, cut {}",
            piece.size,
            feet_inches(cut.value, SIXTEENTHS)
        ),
        What::Fitting(part) => part.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_piece_of_the_demo_comes_in_once_after_what_it_is_glued_into() {
        let inputs = flow::Inputs {
            text: include_str!("../../../scenes/demo.ron").into(),
            ..flow::Inputs::default()
        };
        let outcome = flow::run(&inputs);
        let steps = steps(&outcome);
        assert_eq!(steps.len(), outcome.assembly.pieces.len());
        let mut labels: Vec<&str> = steps.iter().map(|step| step.label.as_str()).collect();
        labels.sort_unstable();
        labels.dedup();
        assert_eq!(labels.len(), steps.len());
        let place = |label: &str| steps.iter().position(|step| step.label == label);
        for (n, step) in steps.iter().enumerate() {
            assert!(!step.body.tubes.is_empty(), "{} has a body", step.label);
            for joint in &step.joints {
                let into = joint.split(" of ").nth(1).unwrap();
                let into: String = into
                    .chars()
                    .take_while(char::is_ascii_alphanumeric)
                    .collect();
                let before = place(&into).unwrap_or_else(|| panic!("{into} of {joint:?}"));
                assert!(
                    before < n || step.bench.0 != steps[before].bench.0,
                    "{joint}"
                );
            }
        }
        // The cut of a straight piece is as long as its body.
        let pipe = steps.iter().find(|step| step.label == "P1").unwrap();
        let tube = pipe.body.tubes[0];
        let told = feet_inches(tube.a.distance(tube.b), SIXTEENTHS);
        let short = inches_text(tube.a.distance(tube.b), SIXTEENTHS);
        assert!(
            pipe.what.ends_with(&told) || pipe.what.ends_with(&short),
            "{} {told}",
            pipe.what
        );
        assert!(steps.iter().any(|step| step.wait.contains("minutes")));
    }
}
