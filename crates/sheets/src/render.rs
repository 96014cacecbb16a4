//! Puts the content of a page of numbers on paper: blocks one under another, drawings fitted, labels moved apart.

use glam::DVec2;

use crate::canvas::Canvas;
use crate::fonts::width;
use crate::mark::{Ink, Page, Pen, Style};
use crate::pages::content::{self, Block, Figure, Stick};
use crate::place::Placer;
use crate::sheet::{Area, Heads, Set, Sheet};
use crate::table::{Column, Table, blank, main_numbers, numbers, words};
use crate::view::{View, north};

/// Room kept round a drawing for labels, points.
const ROUND: f64 = 34.0;

/// The pages of some content.
pub(crate) fn render(content: &content::Sheet, set: &Set) -> Vec<Page> {
    let heads = Heads {
        name: &content.name,
        title: &content.title,
        purpose: &content.purpose,
        caution: "",
    };
    let mut sheet = if content.lying {
        Sheet::lying(set, heads)
    } else {
        Sheet::standing(set, heads)
    };
    for (n, block) in content.blocks.iter().enumerate() {
        match block {
            Block::Heading(words) => {
                let room = kept_with(&sheet, &content.blocks[n + 1..]);
                sheet.need(room);
                sheet.heading(words);
            }
            Block::Text(words) => sheet.paragraph(words),
            Block::Caution(words) => sheet.caution(words),
            Block::Table(table) => sheet.table(&laid_out(table)),
            Block::Ticks(items) => sheet.tick_list(items),
            Block::Figure(figure) => draw(&mut sheet, std::slice::from_ref(figure)),
            Block::Beside(figures) => draw(&mut sheet, figures),
            Block::Stick(stick) => saw(&mut sheet, stick),
        }
    }
    sheet.finish()
}

/// The height a heading asks for: its own and the first rows of the table, or the stick, it stands over, so that neither stands alone.
fn kept_with(sheet: &Sheet, after: &[Block]) -> f64 {
    let size = sheet.size();
    let (text, table) = match after {
        [Block::Table(table), ..] => (0.0, table),
        [Block::Text(_), Block::Table(table), ..] => (size * 3.0, table),
        [Block::Stick(_), ..] => return size * 3.0 + stick_height(size),
        _ => return 0.0,
    };
    size * 3.0 + text + sheet.table_height(&laid_out(table)).min(size * 9.0)
}

/// Columns by what stands in them: blanks to write in, numbers to the right, the rest words.
fn laid_out(table: &content::Table) -> Table {
    let column = |(n, head): (usize, &String)| column(table, n, head);
    Table {
        columns: table.heads.iter().enumerate().map(column).collect(),
        rows: table.rows.clone(),
    }
}

fn column(table: &content::Table, n: usize, head: &str) -> Column {
    let cells = || table.rows.iter().filter_map(|row| row.get(n));
    if head.starts_with("Found") || cells().all(String::is_empty) {
        return blank(head);
    }
    let number = |cell: &String| cell.is_empty() || is_number(cell);
    let long = cells().any(|cell| cell.len() > 18);
    if n == 0 || long || !cells().all(number) {
        words(head)
    } else if cells().any(|cell| cell.contains(['\'', '"'])) {
        main_numbers(head)
    } else {
        numbers(head)
    }
}

/// Begins with a digit or a sign, and its only letters are those of units.
fn is_number(cell: &str) -> bool {
    const UNITS: [&str; 13] = [
        "in", "ft", "lb", "yd", "deg", "min", "s", "psi", "E", "N", "outside", "ton", "to",
    ];
    let mut words = cell
        .split(|c: char| !c.is_alphabetic())
        .filter(|w| !w.is_empty());
    cell.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '+')
        && words.all(|word| UNITS.contains(&word))
}

/// Drawings beside one another over the page's width; one without a stroke or word takes no room.
fn draw(sheet: &mut Sheet, figures: &[Figure]) {
    let seen: Vec<(&Figure, (DVec2, DVec2))> = figures
        .iter()
        .filter_map(|figure| Some((figure, bounds(figure)?)))
        .collect();
    if seen.is_empty() {
        return;
    }
    let size = sheet.size();
    let high = seen
        .iter()
        .map(|(figure, _)| figure.high)
        .fold(0.0, f64::max);
    let captions: Vec<&str> = seen
        .iter()
        .map(|(figure, _)| figure.caption.as_str())
        .collect();
    let height = (high * 72.0).min(drawing_room(sheet));
    sheet.labelled(height, &captions.join("; "), |canvas, area| {
        let wide = area.size.x / seen.len() as f64;
        let mut left_out = Vec::new();
        for (n, (figure, (low, high))) in seen.iter().enumerate() {
            let at = area.at + DVec2::new(wide * n as f64, 0.0);
            let area = Area {
                at,
                size: DVec2::new(wide, area.size.y),
            };
            let view = View::fitting(*low, *high, area.inset(ROUND));
            strokes(canvas, figure, &view);
            left_out.extend(named(canvas, figure, &view, area, size));
        }
        left_out
    });
}

/// The height a drawing may take: what is left of a page that has hardly begun, else a page.
fn drawing_room(sheet: &Sheet) -> f64 {
    let (left, whole) = (sheet.room() - sheet.size(), sheet.whole_room());
    if left > 0.7 * whole { left } else { whole }
}

/// The box round all of a drawing, in its own inches.
fn bounds(figure: &Figure) -> Option<(DVec2, DVec2)> {
    let strokes = figure.strokes.iter().flat_map(|stroke| &stroke.points);
    let points = strokes.chain(figure.words.iter().map(|word| &word.at));
    let none = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    let (low, high) = points.fold(none, |(low, high), p| (low.min(*p), high.max(*p)));
    (low.is_finite() && high.is_finite()).then_some((low, high))
}

/// What the page's width stands for, inches: 20 ft, the longest stick shops sell (common practice, no source), so that
/// all sizes are drawn to one scale.
const WIDEST_STICK: f64 = 240.0;

/// How high a stick is drawn, parts of the type's size.
const BAR: f64 = 1.6;

/// The height of a stick with a few lines of its words.
fn stick_height(size: f64) -> f64 {
    (BAR + 4.0) * size
}

/// A stick as a bar across the page with the labels of its pieces, what is left shaded, and all of it in words below.
fn saw(sheet: &mut Sheet, stick: &Stick) {
    let size = sheet.size();
    let high = BAR * size;
    sheet.need(stick_height(size));
    sheet.figure(high, &stick.name, |canvas, area| {
        let scale = area.size.x / WIDEST_STICK.max(stick.length);
        let corner = |along: f64| area.at + DVec2::new(along * scale, 0.0);
        let whole = DVec2::new(stick.length * scale, high);
        canvas.rect(
            area.at,
            whole,
            Some(Pen::new(0.5, Ink::PALE)),
            Some(Ink::TINT),
        );
        let mut at = 0.0;
        for (label, length) in &stick.pieces {
            let wide = length * scale;
            canvas.rect(
                corner(at),
                DVec2::new(wide, high),
                Some(Pen::new(0.8, Ink::BLACK)),
                Some(Ink::WHITE),
            );
            let style = Style::new(size * 0.85).middle();
            if width(style.face, style.size, label) < wide - 2.0 {
                let middle = corner(at) + DVec2::new(wide / 2.0, high / 2.0 + style.size * 0.35);
                canvas.text(middle, label.as_str(), style);
            }
            at += length;
        }
    });
    sheet.paragraph(&stick.words());
}

fn strokes(canvas: &mut Canvas, figure: &Figure, view: &View) {
    for stroke in &figure.strokes {
        let pen = match stroke.pen {
            content::Pen::Plain => Pen::new(0.8, Ink::BLACK),
            content::Pen::Bold => Pen::new(2.0, Ink::BLACK),
            content::Pen::Faint => Pen::new(0.5, Ink::PALE),
            content::Pen::Dashed => Pen::new(0.6, Ink::BLACK).dashed(4.0, 2.5),
        };
        canvas.path(view.all(&stroke.points), pen);
    }
}

/// Writes the words of a drawing; gives back those that found no room.
fn named(canvas: &mut Canvas, figure: &Figure, view: &View, area: Area, size: f64) -> Vec<String> {
    let mut placer = Placer::new(area);
    for stroke in &figure.strokes {
        let points = view.all(&stroke.points);
        match stroke.pen {
            content::Pen::Faint => placer.over(&points),
            content::Pen::Plain | content::Pen::Bold | content::Pen::Dashed => {
                placer.avoid(&points);
            }
        }
    }
    for word in figure.words.iter().filter(|word| word.dot) {
        let at = view.at(word.at);
        canvas.circle(at, 2.4, None, Some(Ink::BLACK));
        placer.take(at - 3.0, at + 3.0);
        if !word.text.is_empty() {
            placer.names(at);
        }
    }
    if figure.north {
        let foot = area.end() - DVec2::new(14.0, 4.0);
        north(canvas, foot, size);
        placer.take(foot - DVec2::new(10.0, 44.0), foot + DVec2::new(10.0, 4.0));
    }
    let bar = area.at + DVec2::new(0.0, area.size.y - 18.0);
    placer.take(bar - DVec2::new(8.0, 14.0), bar + DVec2::new(150.0, 20.0));
    view.scale_bar(canvas, bar, size * 0.85);
    let room = area.size.x - 160.0;
    let style = Style::new(size * 0.85).ink(Ink::GREY);
    let caption = crate::fonts::cut(style.face, style.size, &figure.caption, room);
    let at = bar + DVec2::new(120.0, 4.0);
    placer.take(
        at - DVec2::new(2.0, size),
        at + DVec2::new(width(style.face, style.size, &caption), 3.0),
    );
    canvas.text(at, caption, style);
    for word in &figure.words {
        placer.label(
            canvas,
            view.at(word.at),
            &[&word.text],
            Style::new(size * 0.85),
        );
    }
    placer.left_out()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_told_from_the_names_of_parts() {
        for cell in [
            "-1'-4 3/8\"",
            "+6\"",
            "3 in",
            "30 min",
            "10'-0\" E, 4'-0\" N",
            "5.22",
        ] {
            assert!(is_number(cell), "{cell}");
        }
        for cell in ["3 in eighth bend", "2x2x1-1/2 wye", "4 in coupling", "open"] {
            assert!(!is_number(cell), "{cell}");
        }
    }
}
