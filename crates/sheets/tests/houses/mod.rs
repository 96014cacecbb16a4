//! The houses that every page must be right for: the demo and those of `scenes/houses`.

use std::path::PathBuf;

/// Each file's name and text.
pub(crate) fn scenes() -> Vec<(String, String)> {
    let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenes"));
    let mut files = vec![folder.join("demo.ron")];
    let houses = std::fs::read_dir(folder.join("houses")).expect("the houses are there");
    files.extend(houses.map(|entry| entry.expect("a file").path()));
    files.retain(|file| {
        file.extension().is_some_and(|ending| ending == "ron") && {
            let name = file
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned();
            !name.ends_with(".local.ron")
                && !name.ends_with(".bench.ron")
                && !name.ends_with(".field.ron")
        }
    });
    files.sort();
    assert!(files.len() > 5, "too few houses: {files:?}");
    files
        .into_iter()
        .map(|file| {
            let text = std::fs::read_to_string(&file).expect("readable");
            (file.display().to_string(), text)
        })
        .collect()
}
