//! The card of the piece that comes in, and the arrow that pushes it home.

use bevy_egui::egui::{self, Color32, Pos2, RichText, Stroke};
use glam::DVec3;

use super::state::{WalkState, WalkStep};
use crate::theme;

/// What the card asks for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum WalkAsk {
    /// So many pieces on, or back.
    Step(
        /// How many.
        isize,
    ),
    /// So many assemblies on, or back.
    Bench(
        /// How many.
        isize,
    ),
    /// Enough.
    Done,
}

/// The card. `scale` is the text size; `buttons` are left out of pictures.
pub fn walk_ui(
    ui: &mut egui::Ui,
    state: WalkState,
    steps: &[WalkStep],
    scale: f32,
    buttons: bool,
) -> Option<WalkAsk> {
    let step = steps.get(state.at?)?;
    ui.label(
        RichText::new(format!(
            "Assembly {} of {},  piece {} of {}",
            step.bench.0, step.bench.1, step.place.0, step.place.1
        ))
        .size(17.0 * scale)
        .color(theme::QUIET.egui()),
    );
    ui.horizontal_wrapped(|ui| {
        ui.label(
            RichText::new(&step.label)
                .size(40.0 * scale)
                .strong()
                .color(theme::DRAIN.egui()),
        );
        ui.label(RichText::new(&step.what).size(27.0 * scale).strong());
    });
    if !step.clock.is_empty() {
        ui.label(RichText::new(&step.clock).size(21.0 * scale));
    }
    for joint in &step.joints {
        ui.label(RichText::new(joint).size(17.0 * scale));
    }
    if !step.wait.is_empty() {
        ui.label(
            RichText::new(&step.wait)
                .size(17.0 * scale)
                .color(theme::MEASURE.egui()),
        );
    }
    if !buttons {
        return None;
    }
    ui.add_space(4.0);
    let mut ask = None;
    ui.horizontal(|ui| {
        for (words, what) in [
            ("Back ( , )", WalkAsk::Step(-1)),
            ("Next ( . )", WalkAsk::Step(1)),
            ("Assembly before", WalkAsk::Bench(-1)),
            ("Next assembly", WalkAsk::Bench(1)),
            ("Done (W)", WalkAsk::Done),
        ] {
            if ui.button(words).clicked() {
                ask = Some(what);
            }
        }
    });
    ask
}

/// An arrow to where the piece is pushed home.
pub fn walk_paint(
    painter: &egui::Painter,
    state: WalkState,
    steps: &[WalkStep],
    project: &dyn Fn(DVec3) -> Option<Pos2>,
) {
    let Some(step) = state.at.and_then(|at| steps.get(at)) else {
        return;
    };
    let Some((home, from)) = step.home else {
        return;
    };
    let radius = step.body.tubes.first().map_or(2.0, |tube| tube.radius);
    let beside = if from.z.abs() > 0.7 {
        DVec3::X
    } else {
        DVec3::Z
    };
    let aside = beside * (radius + 4.0);
    let (Some(tail), Some(tip)) = (
        project(home + from * 16.0 + aside),
        project(home + from * 2.0 + aside),
    ) else {
        return;
    };
    let way = tip - tail;
    if way.length() < 4.0 {
        return;
    }
    let colour = theme::MEASURE.egui();
    painter.arrow(tail, way, Stroke::new(8.0, Color32::WHITE));
    painter.arrow(tail, way, Stroke::new(4.0, colour));
}
