//! The steps of a walk and how far it has come.

use glam::DVec3;
use scene::{PipeBody, Scene, SolidKind};

/// One piece coming in.
#[derive(Clone, PartialEq, Debug)]
pub struct WalkStep {
    /// The assembly it belongs to, from 1, and how many there are.
    pub bench: (usize, usize),
    /// Its place in the assembly, from 1, and how many it has.
    pub place: (usize, usize),
    /// The label on the piece: `P7`, `F3`.
    pub label: String,
    /// What it is: `2 in pipe, 3'-4 1/8"`.
    pub what: String,
    /// The run or riser it belongs to.
    pub id: String,
    /// How it is turned, in words; empty for what looks the same all round.
    pub clock: String,
    /// What it is joined to and how; a sentence a joint.
    pub joints: Vec<String>,
    /// What to wait for; empty for nothing.
    pub wait: String,
    /// It, where it stands.
    pub body: PipeBody,
    /// Where it is pushed home, and from which side it comes (unit, away from what it is pushed into).
    pub home: Option<(DVec3, DVec3)>,
}

/// How far the walk has come.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct WalkState {
    /// The step shown; `None` while nobody walks.
    pub at: Option<usize>,
}

impl WalkState {
    /// Begins at the first piece, or ends.
    pub fn turn(&mut self, steps: &[WalkStep]) {
        self.at = match self.at {
            None if !steps.is_empty() => Some(0),
            None | Some(_) => None,
        };
    }

    /// Goes `by` pieces on or back, and stays within the walk.
    pub fn step(&mut self, by: isize, steps: &[WalkStep]) {
        let Some(at) = self.at else { return };
        self.at = steps
            .len()
            .checked_sub(1)
            .map(|last| at.saturating_add_signed(by).min(last));
    }

    /// Goes to the first piece of the next assembly, or of the one before.
    pub fn bench(&mut self, by: isize, steps: &[WalkStep]) {
        let Some(here) = self.at.and_then(|at| steps.get(at)) else {
            return;
        };
        let wanted = here.bench.0.saturating_add_signed(by);
        if let Some(at) = steps.iter().position(|step| step.bench.0 == wanted) {
            self.at = Some(at);
        }
    }

    /// The foundation with what is glued so far; `None` while nobody walks. The slab is not poured yet.
    pub fn scene(&self, whole: &Scene, steps: &[WalkStep]) -> Option<Scene> {
        let at = self.at?;
        let glued = steps.get(..=at)?.iter().map(|step| step.body.clone());
        let others = whole.pipes.iter().filter(|pipe| !is_glued(pipe)).cloned();
        Some(Scene {
            solids: whole
                .solids
                .iter()
                .filter(|solid| stands_already(solid.kind))
                .cloned()
                .collect(),
            pipes: others.chain(glued).collect(),
            marks: Vec::new(),
        })
    }
}

/// What stands when pipe is glued: no slab, no walls, no cabinets.
fn stands_already(kind: SolidKind) -> bool {
    match kind {
        SolidKind::StemWall
        | SolidKind::Footing
        | SolidKind::TurnedDownEdge
        | SolidKind::GradeBeam
        | SolidKind::Strip
        | SolidKind::Pier => true,
        SolidKind::Concrete
        | SolidKind::Foam
        | SolidKind::Sheet
        | SolidKind::Gravel
        | SolidKind::Sand
        | SolidKind::Framing
        | SolidKind::Finish
        | SolidKind::Cabinet
        | SolidKind::BoxOut
        | SolidKind::Ground
        | SolidKind::Receiver => false,
    }
}

/// Drains and vents are glued; sleeves, water and soil gas pipe stand already.
fn is_glued(pipe: &PipeBody) -> bool {
    match (pipe.flow, pipe.part) {
        (_, scene::Part::Sleeve) => false,
        (scene::Flow::Drain | scene::Flow::Vent, _) => true,
        (scene::Flow::Water | scene::Flow::SoilGas | scene::Flow::Empty, _) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use scene::{Flow, Part};
    use units::Size;

    fn body(id: &str, flow: Flow) -> PipeBody {
        PipeBody {
            id: id.into(),
            part: Part::Pipe,
            flow,
            size: Size::In2,
            tubes: vec![],
            joined: vec![],
        }
    }

    fn steps() -> Vec<WalkStep> {
        [(1, 1), (1, 2), (2, 1)]
            .map(|(bench, place)| WalkStep {
                bench: (bench, 2),
                place: (place, 2),
                label: format!("P{bench}{place}"),
                what: String::new(),
                id: "trunk".into(),
                clock: String::new(),
                joints: vec![],
                wait: String::new(),
                body: body(&format!("{bench}{place}"), Flow::Drain),
                home: None,
            })
            .to_vec()
    }

    #[test]
    fn it_goes_on_and_back_and_stays_within() {
        let steps = steps();
        let mut walk = WalkState::default();
        walk.step(1, &steps);
        assert_eq!(walk.at, None);
        walk.turn(&steps);
        walk.step(-1, &steps);
        assert_eq!(walk.at, Some(0));
        walk.step(9, &steps);
        assert_eq!(walk.at, Some(2));
        walk.bench(-1, &steps);
        assert_eq!(walk.at, Some(0));
        walk.bench(-1, &steps);
        assert_eq!(walk.at, Some(0));
        walk.turn(&steps);
        assert_eq!(walk.at, None);
        walk.turn(&[]);
        assert_eq!(walk.at, None);
    }

    #[test]
    fn only_what_is_glued_so_far_is_there() {
        let whole = Scene {
            pipes: vec![body("water", Flow::Water), body("trunk", Flow::Drain)],
            ..Scene::default()
        };
        let mut walk = WalkState { at: Some(1) };
        let names = |walk: &WalkState| -> Vec<String> {
            let scene = walk.scene(&whole, &steps()).unwrap();
            scene.pipes.iter().map(|pipe| pipe.id.to_string()).collect()
        };
        assert_eq!(names(&walk), ["water", "11", "12"]);
        walk.step(1, &steps());
        assert_eq!(names(&walk).len(), 4);
        walk.at = Some(7);
        assert_eq!(walk.scene(&whole, &steps()), None);
    }
}
