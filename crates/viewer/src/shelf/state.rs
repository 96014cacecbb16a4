//! What lies on the shelf, and what was asked of it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::compare::Difference;
use crate::edit::Hooks;
use crate::file_watch::Load;
use crate::house::House;

/// How one layout is read, and the flow on its text.
pub struct Opening {
    /// Reads it.
    pub load: Load,
    /// The flow.
    pub hooks: Hooks,
}

/// How the caller opens other layouts, and remembers them.
#[derive(Clone)]
pub struct Shelf {
    /// How a layout is opened; it need not be there yet.
    pub open: Arc<dyn Fn(&Path) -> Opening + Send + Sync>,
    /// Layouts opened before, the latest first.
    pub recent: Arc<dyn Fn() -> Vec<PathBuf> + Send + Sync>,
    /// Remembers that this one was opened.
    pub remember: Arc<dyn Fn(&Path) + Send + Sync>,
}

impl std::fmt::Debug for Shelf {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Shelf").finish_non_exhaustive()
    }
}

/// The disk's work of the shelf, done after a frame.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum ShelfChore {
    /// See what is at hand.
    Look,
    /// Open this layout in place of the one on the desk.
    Open(
        /// Its file.
        PathBuf,
    ),
    /// Read this layout to compare with.
    Compare(
        /// Its file.
        PathBuf,
    ),
}

/// Another house beside the one on the desk.
#[derive(Clone, Debug)]
pub struct Compared {
    /// Its file's name.
    pub name: String,
    /// It.
    pub house: House,
    /// How many fittings of each kind it is made of.
    pub fittings: Vec<String>,
    /// How the house on the desk differs from it.
    pub differences: Vec<Difference>,
}

/// See the module.
#[derive(Clone, Debug, Default)]
pub struct ShelfState {
    /// Whether the card is shown.
    pub open: bool,
    /// Whether there is a shelf at all.
    pub there: bool,
    /// A file's name as typed so far.
    pub typed: String,
    /// Layouts at hand: opened before, then those of the same folder.
    pub at_hand: Vec<PathBuf>,
    /// Why a layout could not be opened.
    pub wrong: Option<String>,
    /// What the house is compared with.
    pub compared: Option<Compared>,
    /// What the disk is asked to do.
    pub chores: Vec<ShelfChore>,
}

/// The most layouts listed.
const LISTED: usize = 12;

/// Layouts at hand for the one in `file`: those opened before that are still there, then those of its folder; itself left
/// out.
pub fn at_hand(file: &Path, recent: &[PathBuf]) -> Vec<PathBuf> {
    let folder = file.parent().filter(|folder| *folder != Path::new(""));
    let folder = folder.unwrap_or(Path::new("."));
    let entries = std::fs::read_dir(folder).into_iter().flatten();
    let mut beside: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    beside.sort();
    let mut known = vec![whole(file)];
    let mut list = Vec::new();
    for path in recent.iter().chain(&beside) {
        let is = whole(path);
        if is_layout(path) && path.is_file() && !known.contains(&is) {
            known.push(is);
            list.push(path.clone());
        }
    }
    list.truncate(LISTED);
    list
}

fn whole(path: &Path) -> PathBuf {
    std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}

/// Whether a file is called as a layout is, `house.ron`, and not as what stands beside one, `house.field.ron`.
pub fn is_layout(path: &Path) -> bool {
    let ending = path.extension().is_some_and(|ending| ending == "ron");
    let stem = path.file_stem().map(|stem| stem.to_string_lossy());
    ending && stem.is_some_and(|stem| !stem.contains('.'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layouts_at_hand_are_those_opened_before_and_those_beside() {
        let folder = std::env::temp_dir().join(format!("viewer-shelf-{}", std::process::id()));
        let away = folder.join("away");
        std::fs::create_dir_all(&away).unwrap();
        for name in [
            "house.ron",
            "house.field.ron",
            "shop.ron",
            "notes.txt",
            "away/old.ron",
        ] {
            std::fs::write(folder.join(name), "()").unwrap();
        }
        let recent = [
            away.join("old.ron"),
            away.join("gone.ron"),
            folder.join("shop.ron"),
        ];
        let found = at_hand(&folder.join("house.ron"), &recent);
        assert_eq!(found, [away.join("old.ron"), folder.join("shop.ron")]);
        std::fs::remove_dir_all(folder).unwrap();
    }
}
