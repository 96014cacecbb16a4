//! Colours, sizes and words of the picture and the panels.
//!
//! Utilities follow the APWA/ANSI Z535.1 colours (sewer green, potable water blue); verdicts follow the palette of Okabe
//! and Ito (2008), which most colour-blind people can tell apart, and each verdict has a shape as well.

use bevy_egui::egui::{self, Color32};

use crate::house::Verdict;

/// An sRGB colour, 0 to 255 a channel.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Tint(
    /// Red, green, blue.
    pub [u8; 3],
);

impl Tint {
    /// In linear light, with `alpha` from 0 to 1: what a mesh carries.
    pub fn linear(self, alpha: f32) -> [f32; 4] {
        let [r, g, b] = self.0.map(|channel| to_linear(f32::from(channel) / 255.0));
        [r, g, b, alpha]
    }

    /// For panels.
    pub fn egui(self) -> Color32 {
        let [r, g, b] = self.0;
        Color32::from_rgb(r, g, b)
    }
}

/// The light the window is looked at in.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Light {
    /// Ink on paper.
    #[default]
    Day,
    /// Pale on dark, for the evening.
    Dark,
    /// Black on white and nothing seen through, for sun on the screen and for tired eyes.
    Sharp,
}

impl Light {
    /// The next in turn.
    pub fn next(self) -> Self {
        match self {
            Self::Day => Self::Dark,
            Self::Dark => Self::Sharp,
            Self::Sharp => Self::Day,
        }
    }
}

thread_local! {
    /// The light that panels and pictures are painted in now; set by `dress`, on the thread that paints.
    static NOW: std::cell::Cell<Light> = const { std::cell::Cell::new(Light::Day) };
}

/// A colour that goes with the light.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Role {
    day: Tint,
    dark: Tint,
    sharp: Tint,
}

impl Role {
    const fn new(day: [u8; 3], dark: [u8; 3], sharp: [u8; 3]) -> Self {
        Self {
            day: Tint(day),
            dark: Tint(dark),
            sharp: Tint(sharp),
        }
    }

    /// In a given light.
    pub fn of(self, light: Light) -> Tint {
        match light {
            Light::Day => self.day,
            Light::Dark => self.dark,
            Light::Sharp => self.sharp,
        }
    }

    /// For panels, in the light of now.
    pub fn egui(self) -> Color32 {
        self.of(NOW.get()).egui()
    }

    /// The same, seen through: `alpha` of 255, all of it in sharp light.
    pub fn glass(self, alpha: u8) -> Color32 {
        let [r, g, b] = self.of(NOW.get()).0;
        let alpha = if NOW.get() == Light::Sharp {
            255
        } else {
            alpha
        };
        Color32::from_rgba_unmultiplied(r, g, b, alpha)
    }
}

fn to_linear(srgb: f32) -> f32 {
    if srgb <= 0.04045 {
        srgb / 12.92
    } else {
        ((srgb + 0.055) / 1.055).powf(2.4)
    }
}

/// Waste pipe: sewer green.
pub const DRAIN: Tint = Tint([0, 135, 62]);
/// Vent pipe: the same green, lighter; drawn dashed.
pub const VENT: Tint = Tint([110, 184, 128]);
/// Potable water: blue.
pub const WATER: Tint = Tint([0, 92, 185]);
/// Soil gas pipe: purple-grey, in bands.
pub const SOIL_GAS: Tint = Tint([116, 100, 138]);
/// The lighter band of soil gas pipe.
pub const SOIL_GAS_BAND: Tint = Tint([186, 176, 200]);
/// Sleeves: an orange outline.
pub const SLEEVE: Tint = Tint([214, 120, 24]);
/// The open bore seen at a pipe's end.
pub const BORE: Tint = Tint([38, 44, 42]);

/// Concrete of the slab.
pub const CONCRETE: Tint = Tint([150, 160, 168]);
/// Foam.
pub const FOAM: Tint = Tint([222, 178, 196]);
/// Vapour sheet.
pub const SHEET: Tint = Tint([96, 104, 112]);
/// Gravel.
pub const GRAVEL: Tint = Tint([168, 146, 112]);
/// Sand.
pub const SAND: Tint = Tint([214, 192, 140]);
/// Stem wall, footing, beams and piers.
pub const FOUNDATION: Tint = Tint([124, 128, 132]);
/// Ground outside.
pub const GROUND: Tint = Tint([142, 134, 96]);
/// Studs.
pub const FRAMING: Tint = Tint([176, 134, 84]);
/// Board and tile.
pub const FINISH: Tint = Tint([186, 190, 192]);
/// Cabinets.
pub const CABINET: Tint = Tint([150, 108, 70]);
/// Box-outs in the concrete.
pub const BOX_OUT: Tint = Tint([170, 84, 20]);
/// Tank or sewer.
pub const RECEIVER: Tint = Tint([84, 96, 90]);

/// Top of the backdrop.
pub const SKY: Role = Role::new([222, 232, 238], [52, 62, 68], [255, 255, 255]);
/// Foot of the backdrop: paper.
pub const PAPER: Role = Role::new([247, 245, 239], [34, 39, 42], [255, 255, 255]);
/// Text and lines.
pub const INK: Role = Role::new([34, 44, 50], [230, 234, 234], [0, 0, 0]);
/// Quieter text.
pub const QUIET: Role = Role::new([84, 95, 101], [180, 190, 194], [40, 40, 40]);
/// Panels.
pub const PANEL: Role = Role::new([252, 251, 247], [26, 30, 32], [255, 255, 255]);
/// Cards and labels over the picture.
pub const CARD: Role = Role::new([255, 255, 255], [38, 44, 47], [255, 255, 255]);
/// Behind what is wrong.
pub const ALARM: Role = Role::new([255, 246, 240], [74, 38, 22], [255, 255, 255]);
/// Behind white words that name a place, in any light.
pub const TAG: Tint = Tint([34, 44, 50]);
/// Measured lines: Okabe-Ito reddish purple, used for nothing else.
pub const MEASURE: Tint = Tint([170, 60, 130]);
/// Fall still to spend, and the row that is picked.
pub const SPARE: Role = Role::new([214, 226, 216], [48, 74, 56], [200, 232, 206]);

/// A verdict's colour: vermillion, orange, sky blue.
pub fn verdict_tint(verdict: Verdict) -> Tint {
    match verdict {
        Verdict::Fails => Tint([213, 94, 0]),
        Verdict::Ask => Tint([230, 159, 0]),
        Verdict::Note => Tint([86, 180, 233]),
    }
}

/// A verdict's word.
pub fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fails => "Fails",
        Verdict::Ask => "Ask your inspector",
        Verdict::Note => "Note",
    }
}

/// Draws a verdict's shape around `at`: a triangle fails, a diamond asks, a disc notes. `size` is the half width.
pub fn verdict_shape(painter: &egui::Painter, at: egui::Pos2, size: f32, verdict: Verdict) {
    let fill = verdict_tint(verdict).egui();
    let edge = egui::Stroke::new(1.5, Color32::WHITE);
    let corner = |x: f32, y: f32| at + egui::vec2(x, y) * size;
    match verdict {
        Verdict::Fails => {
            let points = vec![corner(0.0, -1.1), corner(1.05, 0.8), corner(-1.05, 0.8)];
            painter.add(egui::Shape::convex_polygon(points, fill, edge));
        }
        Verdict::Ask => {
            let points = vec![
                corner(0.0, -1.15),
                corner(1.15, 0.0),
                corner(0.0, 1.15),
                corner(-1.15, 0.0),
            ];
            painter.add(egui::Shape::convex_polygon(points, fill, edge));
        }
        Verdict::Note => {
            painter.circle(at, size * 0.95, fill, edge);
        }
    }
}

/// Dresses egui in paper and ink, as they are in that light; `scale` is the text size, 1 for usual.
pub fn dress(ctx: &egui::Context, scale: f32, light: Light) {
    NOW.set(light);
    ctx.set_theme(match light {
        Light::Day | Light::Sharp => egui::Theme::Light,
        Light::Dark => egui::Theme::Dark,
    });
    // A software driver may take most of a second for a frame: a click over two of them is still a click.
    ctx.options_mut(|options| options.input_options.max_click_duration = 3.0);
    ctx.all_styles_mut(|style| {
        for (text, size) in [
            (egui::TextStyle::Small, 11.0),
            (egui::TextStyle::Body, 13.5),
            (egui::TextStyle::Button, 13.5),
            (egui::TextStyle::Heading, 17.0),
            (egui::TextStyle::Monospace, 13.0),
        ] {
            if let Some(font) = style.text_styles.get_mut(&text) {
                font.size = size * scale;
            }
        }
        style.visuals.panel_fill = PANEL.egui();
        style.visuals.window_fill = PANEL.egui();
        style.visuals.override_text_color = Some(INK.egui());
        style.spacing.item_spacing = egui::vec2(6.0, 4.0);
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_and_black_are_the_same_in_linear_light() {
        assert_eq!(Tint([255, 255, 255]).linear(1.0), [1.0, 1.0, 1.0, 1.0]);
        assert_eq!(Tint([0, 0, 0]).linear(0.5), [0.0, 0.0, 0.0, 0.5]);
    }

    #[test]
    fn words_stand_out_from_what_is_behind_them_in_every_light() {
        // Contrast as WCAG 2 has it, with its 4.5 for text and its stricter 7 for the sharp light (from memory).
        let light_of = |tint: Tint| {
            let [r, g, b, _] = tint.linear(1.0);
            0.2126 * r + 0.7152 * g + 0.0722 * b
        };
        let contrast = |a: Tint, b: Tint| {
            let (a, b) = (light_of(a), light_of(b));
            (a.max(b) + 0.05) / (a.min(b) + 0.05)
        };
        for light in [Light::Day, Light::Dark, Light::Sharp] {
            let least = if light == Light::Sharp { 7.0 } else { 4.5 };
            for behind in [PANEL, CARD, PAPER, SPARE, ALARM] {
                for words in [INK, QUIET] {
                    let found = contrast(words.of(light), behind.of(light));
                    assert!(found >= least, "{light:?} {words:?} on {behind:?}: {found}");
                }
            }
        }
    }

    #[test]
    fn verdicts_are_told_apart_by_lightness_too() {
        let light = |verdict| {
            let [r, g, b, _] = verdict_tint(verdict).linear(1.0);
            0.2126 * r + 0.7152 * g + 0.0722 * b
        };
        assert!((light(Verdict::Fails) - light(Verdict::Ask)).abs() > 0.1);
    }
}
