//! What stands at the foot of every page, once all are counted: whose house, which layout, which page of how many.

use glam::DVec2;

use crate::canvas::Canvas;
use crate::fonts::cut;
use crate::mark::{Ink, Page, Pen, Role, Style};
use crate::sheet::{FOOT, MARGIN, Set};

/// Draws the feet.
pub(crate) fn feet(pages: &mut [Page], set: &Set) {
    let many = pages.len();
    for (n, page) in pages.iter_mut().enumerate() {
        let mut canvas = Canvas::default();
        foot(&mut canvas, page, set, n + 1, many);
        page.parts.append(&mut canvas.parts);
    }
}

fn foot(canvas: &mut Canvas, page: &Page, set: &Set, n: usize, many: usize) {
    let size = (set.type_size * 0.8).max(7.0);
    let paper = page.paper.size();
    let top = paper.y - MARGIN - FOOT + 6.0;
    let (left, right) = (MARGIN, paper.x - MARGIN);
    canvas.begin(Role::Furniture);
    canvas.line(
        DVec2::new(left, top),
        DVec2::new(right, top),
        Pen::new(0.8, Ink::BLACK),
    );
    let style = Style::new(size);
    let (first, second) = (top + size * 1.15, top + size * 2.4);
    let number = format!("page {n} of {many}");
    let layout = if set.dated.is_empty() {
        format!("layout {} of ____________", set.hash)
    } else {
        format!("layout {} of {}", set.hash, set.dated)
    };
    let house = cut(crate::Face::Bold, size, &set.house, (right - left) * 0.33);
    canvas.text(DVec2::new(left, first), house, style.bold());
    canvas.text(
        DVec2::new(f64::midpoint(left, right), first),
        layout,
        style.middle(),
    );
    canvas.text(DVec2::new(right, first), number, style.bold().end());
    let small = Style::new(size * 0.85);
    let (says, style) = match set.fails {
        0 => (
            "Plan dimensions from the outside of the form, levels from finished floor (F.F.). The local code, the inspector and licensed people have the last word.".to_owned(),
            small.ink(Ink::GREY),
        ),
        n => (
            format!(
                "STOP: this layout fails {n} {}, told on page 1. Dig, cut and glue nothing by this page before that is mended.",
                if n == 1 { "check" } else { "checks" }
            ),
            small.bold(),
        ),
    };
    canvas.text(DVec2::new(left, second), says, style);
}
