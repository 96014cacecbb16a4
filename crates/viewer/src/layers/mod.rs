//! Which parts of the house are shown: one switch per kind of thing, in an owner's words.

use bevy_egui::egui;
use scene::{Flow, Part, SolidKind};

use crate::focus;
use crate::theme::{self, Tint};

/// A group of bodies that is shown or hidden together.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Layer {
    /// Concrete, foam and sheet of the slab, box-outs.
    Slab,
    /// Stem wall, footings, beams, piers, ground outside.
    Ground,
    /// Gravel and sand under the slab.
    Gravel,
    /// Framed walls.
    Walls,
    /// Cabinets.
    Cabinets,
    /// Waste pipes, with the tank or sewer they run to.
    Drains,
    /// Vent pipes.
    Vents,
    /// Water service.
    Water,
    /// Soil gas pipe.
    SoilGas,
    /// Sleeves and arches.
    Sleeves,
    /// Labels over the picture.
    Labels,
}

impl Layer {
    /// Every layer, in the order of the switches and of keys 1 to 9, 0 and `L`.
    pub const ALL: [Self; 11] = [
        Self::Slab,
        Self::Ground,
        Self::Gravel,
        Self::Walls,
        Self::Cabinets,
        Self::Drains,
        Self::Vents,
        Self::Water,
        Self::SoilGas,
        Self::Sleeves,
        Self::Labels,
    ];

    /// What the switch says.
    pub fn word(self) -> &'static str {
        match self {
            Self::Slab => "Slab",
            Self::Ground => "Ground and footing",
            Self::Gravel => "Gravel",
            Self::Walls => "Walls",
            Self::Cabinets => "Cabinets",
            Self::Drains => "Drains",
            Self::Vents => "Vents",
            Self::Water => "Water",
            Self::SoilGas => "Soil gas",
            Self::Sleeves => "Sleeves",
            Self::Labels => "Labels",
        }
    }

    /// The colour of its swatch.
    pub fn tint(self) -> Tint {
        match self {
            Self::Slab => theme::CONCRETE,
            Self::Ground => theme::FOUNDATION,
            Self::Gravel => theme::GRAVEL,
            Self::Walls => theme::FRAMING,
            Self::Cabinets => theme::CABINET,
            Self::Drains => theme::DRAIN,
            Self::Vents => theme::VENT,
            Self::Water => theme::WATER,
            Self::SoilGas => theme::SOIL_GAS,
            Self::Sleeves => theme::SLEEVE,
            Self::Labels => theme::TAG,
        }
    }

    /// The layer a solid is on.
    pub fn of_solid(kind: SolidKind) -> Self {
        match kind {
            SolidKind::Concrete | SolidKind::Foam | SolidKind::Sheet | SolidKind::BoxOut => {
                Self::Slab
            }
            SolidKind::Gravel | SolidKind::Sand => Self::Gravel,
            SolidKind::StemWall
            | SolidKind::Footing
            | SolidKind::TurnedDownEdge
            | SolidKind::GradeBeam
            | SolidKind::Strip
            | SolidKind::Pier
            | SolidKind::Ground => Self::Ground,
            SolidKind::Framing | SolidKind::Finish => Self::Walls,
            SolidKind::Cabinet => Self::Cabinets,
            SolidKind::Receiver => Self::Drains,
        }
    }

    /// The layer a pipe is on.
    pub fn of_pipe(flow: Flow, part: Part) -> Self {
        match (flow, part) {
            (_, Part::Sleeve) | (Flow::Empty, _) => Self::Sleeves,
            (Flow::Drain, _) => Self::Drains,
            (Flow::Vent, _) => Self::Vents,
            (Flow::Water, _) => Self::Water,
            (Flow::SoilGas, _) => Self::SoilGas,
        }
    }

    fn index(self) -> usize {
        self as usize
    }
}

/// Which layers are shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct LayersState {
    shown: [bool; Layer::ALL.len()],
}

impl Default for LayersState {
    fn default() -> Self {
        Self {
            shown: [true; Layer::ALL.len()],
        }
    }
}

impl LayersState {
    /// Whether `layer` is shown.
    pub fn shows(&self, layer: Layer) -> bool {
        self.shown[layer.index()]
    }

    /// Shows it if hidden, hides it if shown.
    pub fn turn(&mut self, layer: Layer) {
        self.shown[layer.index()] = !self.shown[layer.index()];
    }

    /// These layers without `hidden`.
    pub fn without(mut self, hidden: &[Layer]) -> Self {
        for layer in hidden {
            self.shown[layer.index()] = false;
        }
        self
    }
}

/// The switches, with a swatch that doubles as the key to the colours. Gives the layer that was clicked.
pub fn layers_ui(ui: &mut egui::Ui, layers: &LayersState, present: &[Layer]) -> Option<Layer> {
    let mut turned = None;
    for layer in Layer::ALL
        .into_iter()
        .filter(|layer| present.contains(layer))
    {
        let shown = layers.shows(layer);
        let row = ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(egui::vec2(18.0, 14.0), egui::Sense::hover());
            swatch_paint(
                ui.painter(),
                rect.shrink2(egui::vec2(1.0, 2.5)),
                layer,
                shown,
            );
            let text = egui::RichText::new(layer.word());
            let text = if shown {
                text
            } else {
                text.color(theme::QUIET.egui()).strikethrough()
            };
            ui.add(egui::Label::new(text).selectable(false));
        });
        let row = focus::row(ui, &row.response);
        row.widget_info(|| {
            egui::WidgetInfo::selected(egui::WidgetType::Checkbox, true, shown, layer.word())
        });
        if row.clicked() {
            turned = Some(layer);
        }
    }
    turned
}

fn swatch_paint(painter: &egui::Painter, rect: egui::Rect, layer: Layer, shown: bool) {
    let colour = match layer {
        Layer::Labels => theme::INK.egui(),
        _ => layer.tint().egui(),
    };
    let stroke = egui::Stroke::new(1.5, colour);
    if !shown {
        painter.rect_stroke(
            rect,
            2.0,
            egui::Stroke::new(1.0, theme::QUIET.egui()),
            egui::StrokeKind::Inside,
        );
        return;
    }
    match layer {
        Layer::Vents => {
            for part in 0..3u8 {
                let from = rect.left() + f32::from(part) * rect.width() / 3.0;
                let dash = egui::Rect::from_min_size(
                    egui::pos2(from, rect.top()),
                    egui::vec2(rect.width() / 4.6, rect.height()),
                );
                painter.rect_filled(dash, 1.0, colour);
            }
        }
        Layer::SoilGas => {
            painter.rect_filled(rect, 2.0, colour);
            for part in [0.25, 0.6] {
                let from = rect.left() + part * rect.width();
                let band = egui::Rect::from_min_size(
                    egui::pos2(from, rect.top()),
                    egui::vec2(3.0, rect.height()),
                );
                painter.rect_filled(band, 0.0, theme::SOIL_GAS_BAND.egui());
            }
        }
        Layer::Sleeves => {
            painter.rect_stroke(rect, 2.0, stroke, egui::StrokeKind::Inside);
        }
        Layer::Labels => {
            painter.text(
                rect.center(),
                egui::Align2::CENTER_CENTER,
                "a",
                egui::FontId::proportional(12.0),
                colour,
            );
        }
        Layer::Slab | Layer::Ground | Layer::Gravel | Layer::Walls | Layer::Cabinets => {
            painter.rect_filled(rect, 2.0, colour.gamma_multiply(0.55));
            painter.rect_stroke(
                rect,
                2.0,
                egui::Stroke::new(1.0, colour),
                egui::StrokeKind::Inside,
            );
        }
        Layer::Drains | Layer::Water => {
            painter.rect_filled(rect, 2.0, colour);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn indices_follow_the_list() {
        for (index, layer) in Layer::ALL.into_iter().enumerate() {
            assert_eq!(layer.index(), index);
        }
    }

    #[test]
    fn a_switch_turns_only_its_layer() {
        let mut layers = LayersState::default();
        layers.turn(Layer::Vents);
        let hidden: Vec<_> = Layer::ALL
            .into_iter()
            .filter(|layer| !layers.shows(*layer))
            .collect();
        assert_eq!(hidden, [Layer::Vents]);
        layers.turn(Layer::Vents);
        assert_eq!(layers, LayersState::default());
    }

    #[test]
    fn a_sleeve_is_a_sleeve_whatever_runs_through() {
        assert_eq!(Layer::of_pipe(Flow::Drain, Part::Sleeve), Layer::Sleeves);
        assert_eq!(Layer::of_pipe(Flow::Drain, Part::Trap), Layer::Drains);
    }
}
