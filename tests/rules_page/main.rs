//! Writes the rules page; `cargo xtask rules-page` runs this.

use std::{fs, io, path::Path};

use tests::rules_page::{PAGE, markdown, told};

fn main() -> io::Result<()> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    fs::write(root.join(PAGE), markdown(&told(&root)?))
}
