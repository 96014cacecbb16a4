//! A page as SVG: the same marks, for a browser or a drawing program. Words stay words.

use std::fmt::Write as _;

use glam::DVec2;

use crate::fonts::{Face, width};
use crate::mark::{Ink, Mark, Page, Pen, Style};

/// One page as an SVG document.
pub fn svg(page: &Page) -> String {
    let size = page.paper.size();
    let mut out = String::new();
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}pt\" height=\"{1}pt\" viewBox=\"0 0 {0} {1}\">\n<title>{2}</title>\n<desc>{3}</desc>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n",
        number(size.x),
        number(size.y),
        escaped(&page.title),
        escaped(&page.purpose)
    );
    for mark in page.marks() {
        write_mark(&mut out, mark);
    }
    out.push_str("</svg>\n");
    out
}

fn write_mark(out: &mut String, mark: &Mark) {
    let _ = match mark {
        Mark::Path {
            points,
            closed,
            pen,
            fill,
        } => writeln!(
            out,
            "<path d=\"{}{}\"{}/>",
            path(points),
            if *closed { "Z" } else { "" },
            paint(*pen, *fill)
        ),
        Mark::Circle {
            centre,
            radius,
            pen,
            fill,
        } => writeln!(
            out,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>",
            number(centre.x),
            number(centre.y),
            number(*radius),
            paint(*pen, *fill)
        ),
        Mark::Text { at, words, style } => writeln!(out, "{}", text(*at, words, *style)),
    };
}

fn path(points: &[DVec2]) -> String {
    let step = |(n, p): (usize, &DVec2)| {
        format!(
            "{}{} {}",
            if n == 0 { "M" } else { "L" },
            number(p.x),
            number(p.y)
        )
    };
    points.iter().enumerate().map(step).collect()
}

fn paint(pen: Option<Pen>, fill: Option<Ink>) -> String {
    let fill = fill.map_or("none".to_owned(), colour);
    let stroke = pen.map_or(String::new(), |pen| {
        let dash = pen.dash.map_or(String::new(), |(dash, gap)| {
            format!(" stroke-dasharray=\"{} {}\"", number(dash), number(gap))
        });
        format!(
            " stroke=\"{}\" stroke-width=\"{}\"{dash}",
            colour(pen.ink),
            number(pen.width)
        )
    });
    format!(" fill=\"{fill}\"{stroke}")
}

/// The length of the words is told, so that another font of the same name cannot push them over their neighbours.
fn text(at: DVec2, words: &str, style: Style) -> String {
    let wide = width(style.face, style.size, words);
    let turn = if style.turn == 0.0 {
        String::new()
    } else {
        format!(
            " transform=\"rotate({} {} {})\"",
            number(-style.turn),
            number(at.x),
            number(at.y)
        )
    };
    format!(
        "<text x=\"{}\" y=\"{}\" font-family=\"DejaVu Sans Condensed, sans-serif\" font-size=\"{}\"{} fill=\"{}\" textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"{turn}>{}</text>",
        number(at.x - style.along * wide),
        number(at.y),
        number(style.size),
        match style.face {
            Face::Regular => "",
            Face::Bold => " font-weight=\"bold\"",
        },
        colour(style.ink),
        number(wide),
        escaped(words)
    )
}

fn colour(Ink(red, green, blue): Ink) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// Thousandths of a point are far below what any printer puts down.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for character in words.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mark::{Part, Role};
    use crate::paper::Paper;

    #[test]
    fn markup_in_a_name_stays_a_name() {
        let page = Page {
            name: "t".into(),
            title: "<b>&\"house\"".into(),
            purpose: String::new(),
            paper: Paper::Letter,
            parts: vec![Part {
                role: Role::Paragraph,
                marks: vec![Mark::Text {
                    at: DVec2::new(10.0, 20.0),
                    words: "</text><script>".into(),
                    style: Style::new(10.0),
                }],
            }],
        };
        let text = svg(&page);
        assert!(text.contains("<title>&lt;b&gt;&amp;&quot;house&quot;</title>"));
        assert!(text.contains(">&lt;/text&gt;&lt;script&gt;</text>"));
        assert_eq!(text.matches("<text").count(), 1);
    }
}
