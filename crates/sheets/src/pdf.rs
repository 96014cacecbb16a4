//! Pages as PDF: fonts embedded as far as they are used, text that can be selected, parts tagged for readers. The same
//! pages give the same bytes: no date and no random name goes in.

use glam::DVec2;
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Node, TableHeaderScope, Tag, TagGroup, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document, SerializeSettings};
use thiserror::Error;

use crate::fonts::{self, Face, advance, glyph, width};
use crate::mark::{Ink, Mark, Page, Part, Pen, Role, Style};

/// What kept the PDF from being written.
#[derive(Debug, Error)]
pub enum PdfError {
    /// The library refused, in its own words.
    #[error("the PDF could not be written: {0}")]
    Written(String),
}

/// All pages as one document.
///
/// # Errors
/// When the library that writes PDF refuses; none is known that our pages could cause.
pub fn pdf(pages: &[Page], title: &str) -> Result<Vec<u8>, PdfError> {
    let mut document = Document::new_with(SerializeSettings {
        enable_tagging: true,
        ..SerializeSettings::default()
    });
    let title = if title.is_empty() {
        "drains under the slab"
    } else {
        title
    };
    document.set_metadata(
        Metadata::new()
            .title(title.to_owned())
            .language("en-US".to_owned()),
    );
    let faces = [face(fonts::REGULAR)?, face(fonts::BOLD)?];
    let mut tree = TagTree::new();
    for page in pages {
        tree.push(write_page(&mut document, page, &faces)?);
    }
    document.set_tag_tree(tree);
    document
        .finish()
        .map_err(|error| PdfError::Written(format!("{error:?}")))
}

fn face(bytes: &'static [u8]) -> Result<Font, PdfError> {
    Font::new(bytes.to_vec().into(), 0)
        .ok_or_else(|| PdfError::Written("a font in assets is broken".to_owned()))
}

fn write_page(document: &mut Document, page: &Page, faces: &[Font; 2]) -> Result<Node, PdfError> {
    let size = page.paper.size();
    let settings = PageSettings::from_wh(single(size.x), single(size.y))
        .ok_or_else(|| PdfError::Written("the paper has no size".to_owned()))?;
    let mut sheet = document.start_page_with(settings);
    let mut surface = sheet.surface();
    let mut section = Section::new();
    for part in &page.parts {
        write_part(&mut surface, part, faces, &mut section);
    }
    surface.finish();
    sheet.finish();
    Ok(section.closed().into())
}

/// A page's tags in the making: what is whole, and the table whose cells are still coming.
struct Section {
    group: TagGroup,
    table: Option<(TagGroup, Option<(usize, TagGroup)>)>,
}

impl Section {
    fn new() -> Self {
        Self {
            group: TagGroup::new(Tag::Section),
            table: None,
        }
    }

    fn push(&mut self, group: TagGroup) {
        self.close_table();
        self.group.push(group);
    }

    fn begin_table(&mut self) {
        self.close_table();
        self.table = Some((TagGroup::new(Tag::Table), None));
    }

    fn cell(&mut self, at: usize, cell: TagGroup) {
        let (table, row) = self
            .table
            .get_or_insert_with(|| (TagGroup::new(Tag::Table), None));
        if let Some((_, whole)) = row.take_if(|(of, _)| *of != at) {
            table.push(whole);
        }
        let (_, cells) = row.get_or_insert_with(|| (at, TagGroup::new(Tag::TR)));
        cells.push(cell);
    }

    fn close_table(&mut self) {
        if let Some((mut table, row)) = self.table.take() {
            row.into_iter().for_each(|(_, row)| table.push(row));
            self.group.push(table);
        }
    }

    fn closed(mut self) -> TagGroup {
        self.close_table();
        self.group
    }
}

fn write_part(surface: &mut Surface, part: &Part, faces: &[Font; 2], section: &mut Section) {
    let artifact = || ContentTag::Artifact(Artifact::with_kind(ArtifactType::Other));
    let mut write = |tag: ContentTag| {
        let leaf = surface.start_tagged(tag);
        for mark in &part.marks {
            draw(surface, mark, faces);
        }
        surface.end_tagged();
        leaf
    };
    let first = std::num::NonZeroU16::MIN;
    let mut group = match &part.role {
        Role::Furniture => {
            write(artifact());
            return;
        }
        Role::Table => {
            section.begin_table();
            write(artifact());
            return;
        }
        Role::Cell { row, head } => {
            let mut cell = if *head {
                TagGroup::new(Tag::TH(TableHeaderScope::Column))
            } else {
                TagGroup::new(Tag::TD)
            };
            if !part.marks.is_empty() {
                cell.push(write(ContentTag::Other));
            }
            section.cell(*row, cell);
            return;
        }
        Role::Title => TagGroup::new(Tag::Hn(first, None)),
        Role::Heading => TagGroup::new(Tag::Hn(first.saturating_add(1), None)),
        Role::Figure(alt) => TagGroup::new(Tag::Figure(Some(alt.clone()))),
        Role::Paragraph => TagGroup::new(Tag::P),
    };
    group.push(write(ContentTag::Other));
    section.push(group);
}

fn draw(surface: &mut Surface, mark: &Mark, faces: &[Font; 2]) {
    match mark {
        Mark::Path {
            points,
            closed,
            pen,
            fill,
        } => {
            if let Some(path) = path(points, *closed) {
                lay(surface, &path, *pen, *fill);
            }
        }
        Mark::Circle {
            centre,
            radius,
            pen,
            fill,
        } => {
            if let Some(path) = circle(*centre, *radius) {
                lay(surface, &path, *pen, *fill);
            }
        }
        Mark::Text { at, words, style } => letters(surface, *at, words, *style, faces),
    }
}

fn lay(surface: &mut Surface, path: &Path, pen: Option<Pen>, fill: Option<Ink>) {
    surface.set_fill(fill.map(filled));
    surface.set_stroke(pen.map(stroked));
    surface.draw_path(path);
}

fn letters(surface: &mut Surface, at: DVec2, words: &str, style: Style, faces: &[Font; 2]) {
    if words.is_empty() {
        return;
    }
    let wide = width(style.face, style.size, words);
    surface.set_fill(Some(filled(style.ink)));
    surface.set_stroke(None);
    let turned = style.turn != 0.0;
    if turned {
        surface.push_transform(&Transform::from_rotate_at(
            single(-style.turn),
            single(at.x),
            single(at.y),
        ));
    }
    let font = match style.face {
        Face::Regular => &faces[0],
        Face::Bold => &faces[1],
    };
    let start = Point::from_xy(single(at.x - style.along * wide), single(at.y));
    let glyphs = glyphs(words, style.face);
    surface.draw_glyphs(
        start,
        &glyphs,
        font.clone(),
        words,
        single(style.size),
        false,
    );
    if turned {
        surface.pop();
    }
}

fn glyphs(words: &str, face: Face) -> Vec<KrillaGlyph> {
    words
        .char_indices()
        .map(|(at, character)| KrillaGlyph {
            glyph_id: GlyphId::new(u32::from(glyph(face, character).0)),
            text_range: at..at + character.len_utf8(),
            x_advance: single(advance(face, character)),
            x_offset: 0.0,
            y_offset: 0.0,
            y_advance: 0.0,
            location: None,
        })
        .collect()
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

/// Four arcs; the handle's length puts a cubic within 0.03 % of the circle (Goldapp 1991, from memory).
fn circle(centre: DVec2, radius: f64) -> Option<Path> {
    const HANDLE: f64 = 0.552_284_75;
    let on = |x: f64, y: f64| {
        let p = centre + DVec2::new(x, y) * radius;
        (single(p.x), single(p.y))
    };
    let mut path = PathBuilder::new();
    let start = on(1.0, 0.0);
    path.move_to(start.0, start.1);
    for quarter in [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)] {
        let (x, y): (f64, f64) = quarter;
        let (a, b) = (
            on(x - y * HANDLE, y + x * HANDLE),
            on(x * HANDLE - y, y * HANDLE + x),
        );
        let end = on(-y, x);
        path.cubic_to(a.0, a.1, b.0, b.1, end.0, end.1);
    }
    path.close();
    path.finish()
}

fn filled(ink: Ink) -> Fill {
    Fill {
        paint: colour(ink).into(),
        opacity: NormalizedF32::ONE,
        rule: FillRule::EvenOdd,
    }
}

fn stroked(pen: Pen) -> Stroke {
    Stroke {
        paint: colour(pen.ink).into(),
        width: single(pen.width),
        line_cap: if pen.dash.is_some() {
            LineCap::Butt
        } else {
            LineCap::Round
        },
        line_join: LineJoin::Round,
        dash: pen.dash.map(|(dash, gap)| StrokeDash {
            array: vec![single(dash), single(gap)],
            offset: 0.0,
        }),
        ..Stroke::default()
    }
}

fn colour(Ink(red, green, blue): Ink) -> rgb::Color {
    rgb::Color::new(red, green, blue)
}

/// Pages are small; a dot is far above what f32 cannot tell apart.
#[allow(clippy::cast_possible_truncation)]
fn single(value: f64) -> f32 {
    value as f32
}
