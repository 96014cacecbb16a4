//! A page as a PNG: marks and the outlines of letters drawn by a general rasteriser.

use glam::DVec2;
use thiserror::Error;
use tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, StrokeDash,
    Transform,
};

use crate::fonts::{advance, font, glyph};
use crate::mark::{Ink, Mark, Page, Pen, Style};
use crate::paper::POINTS;

/// What kept a picture from being made.
#[derive(Debug, Error)]
pub enum PngError {
    /// The picture would have no pixel, or more than memory holds.
    #[error("a page of {0} dots an inch cannot be made; 72 to 600 would do")]
    Dots(u32),
    /// The rasteriser could not write it out.
    #[error("the picture could not be written: {0}")]
    Written(String),
}

/// One page as a PNG of so many dots an inch, 72 to 600.
///
/// # Errors
/// When the picture would be empty or far too large.
pub fn png(page: &Page, dots: u32) -> Result<Vec<u8>, PngError> {
    if !(72..=600).contains(&dots) {
        return Err(PngError::Dots(dots));
    }
    let scale = f64::from(dots) / POINTS;
    let size = (page.paper.size() * scale).round();
    // Pages are a few thousand dots at most.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let mut picture = Pixmap::new(size.x as u32, size.y as u32).ok_or(PngError::Dots(dots))?;
    picture.fill(Color::WHITE);
    let onto = Transform::from_scale(single(scale), single(scale));
    for mark in page.marks() {
        draw(&mut picture, mark, onto);
    }
    written(&picture)
}

fn written(picture: &Pixmap) -> Result<Vec<u8>, PngError> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, picture.width(), picture.height());
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    let told = |error: png::EncodingError| PngError::Written(error.to_string());
    let mut writer = encoder.write_header().map_err(told)?;
    // The page is opaque: what is premultiplied equals what is not.
    writer.write_image_data(picture.data()).map_err(told)?;
    writer.finish().map_err(told)?;
    Ok(bytes)
}

fn draw(picture: &mut Pixmap, mark: &Mark, onto: Transform) {
    match mark {
        Mark::Path {
            points,
            closed,
            pen,
            fill,
        } => {
            if let Some(path) = path(points, *closed) {
                lay(picture, &path, *pen, *fill, onto);
            }
        }
        Mark::Circle {
            centre,
            radius,
            pen,
            fill,
        } => {
            let round =
                PathBuilder::from_circle(single(centre.x), single(centre.y), single(*radius));
            if let Some(path) = round {
                lay(picture, &path, *pen, *fill, onto);
            }
        }
        Mark::Text { at, words, style } => letters(picture, *at, words, *style, onto),
    }
}

fn lay(picture: &mut Pixmap, path: &Path, pen: Option<Pen>, fill: Option<Ink>, onto: Transform) {
    if let Some(ink) = fill {
        picture.fill_path(path, &paint(ink), FillRule::EvenOdd, onto, None);
    }
    if let Some(pen) = pen {
        let stroke = Stroke {
            width: single(pen.width),
            line_cap: if pen.dash.is_some() {
                LineCap::Butt
            } else {
                LineCap::Round
            },
            line_join: LineJoin::Round,
            dash: pen
                .dash
                .and_then(|(dash, gap)| StrokeDash::new(vec![single(dash), single(gap)], 0.0)),
            ..Stroke::default()
        };
        picture.stroke_path(path, &paint(pen.ink), &stroke, onto, None);
    }
}

fn letters(picture: &mut Pixmap, at: DVec2, words: &str, style: Style, onto: Transform) {
    let face = font(style.face);
    let em = style.size / f64::from(face.units_per_em());
    let mut pen = -style.along * crate::fonts::width(style.face, style.size, words);
    let turned = onto
        .pre_translate(single(at.x), single(at.y))
        .pre_rotate(single(-style.turn));
    for character in words.chars() {
        let mut outline = Outline(PathBuilder::new());
        face.outline_glyph(glyph(style.face, character), &mut outline);
        if let Some(path) = outline.0.finish() {
            let here = turned
                .pre_translate(single(pen), 0.0)
                .pre_scale(single(em), single(-em));
            picture.fill_path(&path, &paint(style.ink), FillRule::Winding, here, None);
        }
        pen += style.size * advance(style.face, character);
    }
}

struct Outline(PathBuilder);

impl ttf_parser::OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(x, y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(x, y);
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.quad_to(x1, y1, x, y);
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.0.cubic_to(x1, y1, x2, y2, x, y);
    }
    fn close(&mut self) {
        self.0.close();
    }
}

fn path(points: &[DVec2], closed: bool) -> Option<Path> {
    let (first, rest) = points.split_first()?;
    let mut path = PathBuilder::new();
    path.move_to(single(first.x), single(first.y));
    for point in rest {
        path.line_to(single(point.x), single(point.y));
    }
    if closed {
        path.close();
    }
    path.finish()
}

fn paint(Ink(red, green, blue): Ink) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color_rgba8(red, green, blue, 255);
    paint.anti_alias = true;
    paint
}

/// Pages are small; a dot is far above what f32 cannot tell apart.
#[allow(clippy::cast_possible_truncation)]
fn single(value: f64) -> f32 {
    value as f32
}
