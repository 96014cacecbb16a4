//! Layouts opened in the window before: a list of paths, a line each, where this system keeps what a program remembers.
//! Nothing depends on it: where it cannot be read or written, the list is empty.

use std::fs;
use std::path::{Path, PathBuf};

/// So many are remembered.
const KEPT: usize = 12;

/// The latest first.
pub(crate) fn list() -> Vec<PathBuf> {
    file().map(|file| read(&file)).unwrap_or_default()
}

/// Puts a layout first.
pub(crate) fn remember(layout: &Path) {
    if let Some(file) = file() {
        put_first(&file, layout);
    }
}

fn read(file: &Path) -> Vec<PathBuf> {
    let text = fs::read_to_string(file).unwrap_or_default();
    text.lines().map(PathBuf::from).collect()
}

fn put_first(file: &Path, layout: &Path) {
    // A layout that is not there yet is remembered the next time it is opened.
    let Ok(whole) = fs::canonicalize(layout) else {
        return;
    };
    let mut list = read(file);
    list.retain(|path| *path != whole);
    list.insert(0, whole);
    list.truncate(KEPT);
    let lines: Vec<String> = list.iter().map(|path| path.display().to_string()).collect();
    let folder = file.parent().unwrap_or(Path::new("."));
    // What cannot be remembered is not worth a word: the layout is open.
    let _ = fs::create_dir_all(folder).and_then(|()| fs::write(file, lines.join("\n") + "\n"));
}

/// `fallwise/opened.txt` in the folder of state: `XDG_STATE_HOME`, else `.local/state` at home, on Windows `LOCALAPPDATA`.
fn file() -> Option<PathBuf> {
    let set = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty());
    let state = set("XDG_STATE_HOME").or_else(|| set("LOCALAPPDATA"));
    let folder = state.map(PathBuf::from).or_else(|| {
        let home = set("HOME").map(PathBuf::from)?;
        Some(home.join(".local").join("state"))
    })?;
    Some(folder.join("fallwise").join("opened.txt"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_latest_is_first_and_none_stands_twice() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("state").join("opened.txt");
        let layouts: Vec<PathBuf> = (0..15)
            .map(|n| folder.path().join(format!("{n}.ron")))
            .collect();
        for layout in &layouts {
            fs::write(layout, "()").expect("a layout");
            put_first(&file, layout);
        }
        put_first(&file, &layouts[10]);
        put_first(&file, &folder.path().join("not there.ron"));
        let names: Vec<String> = read(&file)
            .iter()
            .filter_map(|path| Some(path.file_stem()?.to_string_lossy().into_owned()))
            .collect();
        assert_eq!(
            names,
            [
                "10", "14", "13", "12", "11", "9", "8", "7", "6", "5", "4", "3"
            ]
        );
    }
}
