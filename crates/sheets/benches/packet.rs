//! How long a packet takes: `cargo bench -p sheets`. From text to the bytes of the PDF, least of several times, one core.

#[path = "../tests/houses/mod.rs"]
mod houses;

use std::time::{Duration, Instant};

use sheets::Options;

/// How often each is made; the least counts.
const TIMES: usize = 5;

#[allow(clippy::print_stdout)]
fn main() {
    let (_, demo) = &houses::scenes()[0];
    println!("| packet | pages | compose | write the PDF | whole |");
    println!("|---|---|---|---|---|");
    for (name, text) in [
        ("demo", demo.clone()),
        ("60 stubs", houses::row_of(59, 200)),
    ] {
        let made = (0..TIMES).map(|_| make(&text));
        let (whole, composed, pages) = made.min().expect("made at least once");
        println!(
            "| {name} | {pages} | {composed:.1?} | {:.1?} | {whole:.1?} |",
            whole.saturating_sub(composed)
        );
    }
}

/// How long all of it took, how long until the pages were composed, and how many there are.
fn make(text: &str) -> (Duration, Duration, usize) {
    let start = Instant::now();
    let (_, pages) = houses::composed(text, Options::default());
    let composed = start.elapsed();
    sheets::pdf(&pages, "house").expect("a PDF");
    (start.elapsed(), composed, pages.len())
}
