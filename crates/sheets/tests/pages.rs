//! What must hold of every page of every house: no words over words, nothing off the paper, equal bytes from equal input,
//! and names of any kind.

mod houses;

use houses::{composed, row_of, scenes};
use sheets::{Mark, Options, Page, Paper};

fn pages(text: &str, options: Options) -> Vec<Page> {
    composed(text, options).1
}

#[test]
fn no_words_lie_over_words_or_leave_the_paper() {
    for (name, text) in scenes() {
        for options in [
            Options::default(),
            Options {
                paper: Paper::Tabloid,
                large: false,
            },
            Options {
                paper: Paper::A4,
                large: true,
            },
        ] {
            let flaws: Vec<String> = pages(&text, options)
                .iter()
                .flat_map(|page| page.crowded(0.6))
                .collect();
            assert_eq!(flaws, Vec::<String>::new(), "{name} {options:?}");
        }
    }
}

#[test]
fn the_same_house_gives_the_same_bytes() {
    let (_, text) = &scenes()[0];
    let bytes = || {
        let pages = pages(text, Options::default());
        let pdf = sheets::pdf(&pages, "house").expect("a PDF");
        let svg: Vec<String> = pages.iter().map(sheets::svg).collect();
        (pdf, svg)
    };
    assert_eq!(bytes(), bytes());
}

#[test]
fn names_of_any_kind_are_printed_and_do_not_break_a_page() {
    let (_, text) = &scenes()[0];
    let long = "w".repeat(200);
    for name in ["<b>&\u{202e}x</b>", "бойлер 便所 ½", long.as_str()] {
        let renamed = text.replace("Larkfield house", name);
        let pages = pages(&renamed, Options::default());
        let flaws: Vec<String> = pages.iter().flat_map(|page| page.crowded(0.6)).collect();
        assert_eq!(flaws, Vec::<String>::new(), "{name}");
        sheets::pdf(&pages, name).expect("a PDF");
        assert!(
            sheets::png(&pages[0], 72)
                .expect("a picture")
                .starts_with(b"\x89PNG")
        );
    }
}

#[test]
fn a_page_of_nothing_still_says_what_it_is() {
    let pages = pages("(title: \"Bare\")", Options::default());
    assert!(!pages.is_empty());
    for page in &pages {
        let titled = page
            .marks()
            .any(|mark| matches!(mark, Mark::Text { words, .. } if words.starts_with(&page.title)));
        assert!(titled, "{}", page.name);
    }
}

#[test]
fn sixty_stubs_on_a_trunk_of_two_hundred_feet_stay_on_their_pages() {
    let pages = pages(&row_of(59, 200), Options::default());
    let flaws: Vec<String> = pages.iter().flat_map(|page| page.crowded(0.6)).collect();
    assert_eq!(flaws, Vec::<String>::new());
    let says = |words: &str| {
        let text = |mark: &Mark| matches!(mark, Mark::Text { words: w, .. } if w.contains(words));
        pages.iter().any(|page| page.marks().any(text))
    };
    assert!(
        says("basin 58") && says("1+"),
        "the last stub and the far stations are printed"
    );
}
