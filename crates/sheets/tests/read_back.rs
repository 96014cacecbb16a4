//! The packet read back from its PDF by a general library: what was printed, where, and which words can be selected.

mod houses;

use std::collections::BTreeMap;

use flow::Outcome;
use glam::{DAffine2, DVec2};
use hayro_syntax::Pdf;
use hayro_syntax::content::ops::TypedInstruction;
use hayro_syntax::object::{Dict, Name, Number, Object, Stream};
use hayro_syntax::page::Page as Printed;
use houses::{composed, row_of, scenes};
use sheets::{Mark, Options, Page, Paper};

/// What stands on one page, in points from its upper left corner, x to the right and y down.
#[derive(Default)]
struct Read {
    /// Every line and outline, in the order they were drawn.
    paths: Vec<Vec<DVec2>>,
    /// Words, each with the place its first letter begins on the base line.
    words: Vec<(DVec2, String)>,
}

/// On tabloid, where a plan is printed larger than on letter.
fn house(text: &str) -> (Outcome, Vec<Page>) {
    let options = Options {
        paper: Paper::Tabloid,
        large: false,
    };
    composed(text, options)
}

fn read(pages: &[Page]) -> Vec<Read> {
    let pdf = Pdf::new(sheets::pdf(pages, "house").expect("a PDF")).expect("readable");
    pdf.pages().iter().map(page).collect()
}

fn page(printed: &Printed) -> Read {
    let (_, high) = printed.base_dimensions();
    let flip = DAffine2::from_cols_array(&[1.0, 0.0, 0.0, -1.0, 0.0, f64::from(high)]);
    let mut read = Read::default();
    let (mut now, mut kept, mut text) = (flip, Vec::new(), DAffine2::IDENTITY);
    let mut letters = BTreeMap::new();
    let mut operations = printed.typed_operations();
    while let Some(operation) = operations.next() {
        let line = |read: &mut Read, x: Number, y: Number| {
            let path = read.paths.last_mut().expect("a path is begun");
            path.push(now.transform_point2(point(x, y)));
        };
        match operation {
            TypedInstruction::SaveState(_) => kept.push(now),
            TypedInstruction::RestoreState(_) => now = kept.pop().expect("as many as were saved"),
            TypedInstruction::Transform(m) => now *= affine([m.0, m.1, m.2, m.3, m.4, m.5]),
            TypedInstruction::MoveTo(to) => {
                read.paths
                    .push(vec![now.transform_point2(point(to.0, to.1))]);
            }
            TypedInstruction::LineTo(to) => line(&mut read, to.0, to.1),
            TypedInstruction::CubicTo(to) => line(&mut read, to.4, to.5),
            TypedInstruction::TextFont(font) => {
                let font = printed
                    .resources()
                    .get_font(font.0)
                    .expect("the font is there");
                let map: Stream = font.get("ToUnicode").expect("its letters can be read");
                letters = unicode(&map.decoded().expect("whole"));
            }
            TypedInstruction::SetTextMatrix(m) => {
                text = affine([m.0, m.1, m.2, m.3, m.4, m.5]);
            }
            TypedInstruction::ShowText(shown) => {
                let words = spelled(shown.0.as_bytes(), &letters);
                read.words
                    .push(((now * text).transform_point2(DVec2::ZERO), words));
            }
            TypedInstruction::ShowTexts(shown) => {
                let strings = shown.0.iter::<Object>().filter_map(|object| match object {
                    Object::String(glyphs) => Some(spelled(glyphs.as_bytes(), &letters)),
                    _ => None,
                });
                let words = strings.collect();
                read.words
                    .push(((now * text).transform_point2(DVec2::ZERO), words));
            }
            TypedInstruction::XObject(_) | TypedInstruction::RectPath(_) => {
                panic!("not read: {operation}")
            }
            _ => {}
        }
    }
    read
}

fn point(x: Number, y: Number) -> DVec2 {
    DVec2::new(x.as_f64(), y.as_f64())
}

fn affine(numbers: [Number; 6]) -> DAffine2 {
    DAffine2::from_cols_array(&numbers.map(|n| n.as_f64()))
}

/// Glyph to letters, from a font's ToUnicode map (PDF 32000-1:2008, 9.10.3): two bytes a glyph, UTF-16 for the letters.
fn unicode(map: &[u8]) -> BTreeMap<u16, String> {
    let text = String::from_utf8_lossy(map);
    let mut letters = BTreeMap::new();
    let mut ranges = false;
    for line in text.lines() {
        ranges = (ranges || line.ends_with("beginbfrange")) && !line.starts_with("endbfrange");
        let cells: Vec<Vec<u16>> = line.split('<').skip(1).map(units).collect();
        match cells.as_slice() {
            [glyph, says] if glyph.len() == 1 && !ranges => {
                letters.insert(glyph[0], String::from_utf16_lossy(says));
            }
            [from, to, says] if ranges => {
                for (n, glyph) in (from[0]..=to[0]).enumerate() {
                    let mut says = says.clone();
                    *says.last_mut().expect("a letter") += u16::try_from(n).expect("a short range");
                    letters.insert(glyph, String::from_utf16_lossy(&says));
                }
            }
            _ => {}
        }
    }
    letters
}

fn units(cell: &str) -> Vec<u16> {
    let digits = cell.split('>').next().unwrap_or_default().trim();
    let unit = |n: usize| u16::from_str_radix(&digits[n..n + 4], 16).expect("hexadecimal");
    (0..digits.len() / 4).map(|n| unit(n * 4)).collect()
}

fn spelled(glyphs: &[u8], letters: &BTreeMap<u16, String>) -> String {
    let letter = |pair: &[u8]| {
        letters
            .get(&u16::from_be_bytes([pair[0], pair[1]]))
            .cloned()
    };
    let pairs = glyphs.chunks(2);
    pairs
        .map(|pair| letter(pair).unwrap_or_else(|| "?".into()))
        .collect()
}

/// Inches of house to an inch of paper, from the words printed over a scale bar: `3/32" = 1'-0"`.
fn ratio(words: &str) -> Option<f64> {
    let (paper, house) = words.split_once(" = ")?;
    let whole = |text: &str| match text.split_once('/') {
        Some((over, under)) => Some(over.parse::<f64>().ok()? / under.parse::<f64>().ok()?),
        None => text.parse().ok(),
    };
    let paper: Option<f64> = paper.trim_end_matches('"').split(' ').map(whole).sum();
    let feet: f64 = house.split_once('\'')?.0.parse().ok()?;
    Some(feet * 12.0 / paper?)
}

/// A closed path of four arcs: its middle.
fn circle(path: &[DVec2]) -> Option<DVec2> {
    let [a, b, c, d, e] = path else { return None };
    let (one, other) = (a.midpoint(*c), b.midpoint(*d));
    (a.distance(*e) < 1e-3 && one.distance(other) < 1e-2).then_some(one)
}

#[test]
fn a_stub_printed_on_the_plan_stands_where_the_layout_has_it() {
    for (name, text) in scenes() {
        let (outcome, pages) = house(&text);
        let read = &read(&pages)[pages
            .iter()
            .position(|page| page.name == "plan")
            .expect("a plan")];
        let scale = read
            .words
            .iter()
            .find_map(|(_, words)| ratio(words))
            .expect("a scale");
        let slab = &outcome.layout.slab.as_ref().expect("a slab").outline;
        // The first path on the plan that has as many corners as the slab is the form: all is measured from its corner.
        let form = read
            .paths
            .iter()
            .find(|path| path.len() == slab.len())
            .expect("the form");
        let circles: Vec<DVec2> = read.paths.iter().filter_map(|path| circle(path)).collect();
        for stub in &outcome.assembly.stubs {
            let off = (stub.at - slab[0]) / scale * 72.0;
            let wanted = form[0] + DVec2::new(off.x, -off.y);
            let near = circles
                .iter()
                .map(|at| at.distance(wanted))
                .fold(f64::INFINITY, f64::min);
            let inches = near / 72.0 * scale;
            assert!(
                inches < 1.0 / 16.0,
                "{name}: {} is printed {inches} in off",
                stub.id
            );
        }
    }
}

#[test]
fn every_word_of_every_page_is_printed_where_it_was_set_and_can_be_selected() {
    let row = ("a row".to_owned(), row_of(59, 200));
    for (name, text) in scenes().into_iter().chain([row]) {
        let (_, pages) = house(&text);
        let read = read(&pages);
        assert_eq!(pages.len(), read.len());
        for (page, read) in pages.iter().zip(&read) {
            let set = page.marks().filter_map(|mark| match mark {
                Mark::Text { at, words, style } if !words.is_empty() => Some((at, words, style)),
                Mark::Text { .. } | Mark::Path { .. } | Mark::Circle { .. } => None,
            });
            let set: Vec<_> = set.collect();
            assert_eq!(set.len(), read.words.len(), "{name} {}", page.name);
            for ((at, words, style), (found, says)) in set.into_iter().zip(&read.words) {
                assert_eq!(words, says, "{name} {}", page.name);
                let along = style.along * sheets::width(style.face, style.size, words);
                let turn = DVec2::from_angle(-style.turn.to_radians());
                let begins = *at - turn * along;
                assert!(
                    found.distance(begins) < 0.02,
                    "{name} {}: {words}",
                    page.name
                );
            }
        }
    }
}

/// Every element of the document's structure tree by its type, depth first (PDF 32000-1:2008, 14.7).
fn structure(pdf: &Pdf) -> Vec<(String, usize)> {
    let catalog: Dict = pdf.xref().get(pdf.xref().root_id()).expect("a catalog");
    let root: Dict = catalog.get("StructTreeRoot").expect("it is tagged");
    let mut found = Vec::new();
    walk(&root, &mut found);
    found
}

fn walk(element: &Dict, found: &mut Vec<(String, usize)>) {
    let kids: Vec<Dict> = match element.get::<Object>("K") {
        Some(Object::Array(kids)) => kids
            .iter::<Object>()
            .filter_map(Object::into_dict)
            .collect(),
        Some(Object::Dict(kid)) => vec![kid],
        _ => Vec::new(),
    };
    if let Some(kind) = element.get::<Name>("S") {
        found.push((String::from_utf8_lossy(&kind).into_owned(), kids.len()));
    }
    kids.iter().for_each(|kid| walk(kid, found));
}

#[test]
fn tables_are_tagged_by_row_and_cell_for_readers_that_cannot_see_them() {
    let (_, text) = &scenes()[0];
    let (_, pages) = house(text);
    let plan = pages
        .iter()
        .find(|page| page.name.starts_with("control"))
        .expect("a page");
    let one = std::slice::from_ref(plan);
    let pdf = Pdf::new(sheets::pdf(one, "house").expect("a PDF")).expect("readable");
    let found = structure(&pdf);
    let count = |kind: &str| found.iter().filter(|(of, _)| of == kind).count();
    assert!(count("Table") > 0 && count("TH") > 0, "{found:?}");
    let cells: usize = found
        .iter()
        .filter(|(of, _)| of == "TR")
        .map(|(_, kids)| kids)
        .sum();
    assert_eq!(cells, count("TH") + count("TD"));
    assert!(count("TR") > count("Table"), "a table has heads and rows");
}
