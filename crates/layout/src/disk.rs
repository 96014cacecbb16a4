//! Reading and writing layout files: the one part of this crate that touches the world.
//!
//! A save is whole or not at all. The new text is written beside the old file and synced, the old file gets a second name,
//! and then one rename puts the new one in its place; whenever the machine stops, the file's own name leads to all of the
//! old text or all of the new.

use std::{
    fs::{self, File},
    io::{self, Read, Write},
    path::{Path, PathBuf},
    sync::atomic::{AtomicU64, Ordering},
};

use crate::{limits::MOST_BYTES, read};

/// Why a file could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum DiskError {
    /// The operating system refused.
    #[error("can't {doing} {}", path.display())]
    Io {
        /// What was tried: `read`, `write`, ...
        doing: &'static str,
        /// The file.
        path: PathBuf,
        /// Its reason.
        #[source]
        source: io::Error,
    },
    /// The file is larger than any layout.
    #[error("{0}")]
    TooLarge(crate::Problem),
    /// The file is not text.
    #[error("{} is not UTF-8 text; a layout is a text file", .0.display())]
    NotText(PathBuf),
}

/// The text of the layout file at `path`.
///
/// # Errors
/// When it can't be read, is larger than a layout may be, or is not text.
pub fn load(path: &Path) -> Result<String, DiskError> {
    let file = File::open(path).map_err(|e| failed("read", path, e))?;
    let size = file.metadata().map_err(|e| failed("read", path, e))?.len();
    if let Some(problem) = read::too_large(size, &path.display().to_string()) {
        return Err(DiskError::TooLarge(problem));
    }
    let mut bytes = Vec::new();
    // A pipe has no size, so the limit holds while reading too.
    let limited = file.take(MOST_BYTES + 1).read_to_end(&mut bytes);
    limited.map_err(|e| failed("read", path, e))?;
    if let Some(problem) = read::too_large(bytes.len() as u64, &path.display().to_string()) {
        return Err(DiskError::TooLarge(problem));
    }
    String::from_utf8(bytes).map_err(|_| DiskError::NotText(path.into()))
}

/// Writes `text` as the file at `path`, whole or not at all. What stood there before stays beside it as
/// [`kept_beside`]. A save that is cut off may leave a `.writing-...` file behind, never half a layout.
///
/// # Errors
/// When a step is refused; then the file at `path` is what it was.
pub fn save(path: &Path, text: &str) -> Result<(), DiskError> {
    let path = &fs::canonicalize(path).unwrap_or_else(|_| path.into());
    let new = beside(path, &format!("writing-{}", fresh()));
    let result = write_whole(&new, path, text)
        .and_then(|()| keep_old(path))
        .and_then(|()| fs::rename(&new, path).map_err(|e| failed("replace", path, e)))
        .and_then(|()| sync_folder(path));
    if result.is_err() {
        // The error that is told is the first one; what is left over may fail to go away as well.
        let _ = fs::remove_file(&new);
    }
    result
}

/// Where the text that stood in `path` before the last save is kept: `house.ron.before`.
pub fn kept_beside(path: &Path) -> PathBuf {
    beside(path, "before")
}

fn write_whole(new: &Path, old: &Path, text: &str) -> Result<(), DiskError> {
    let write = || -> io::Result<()> {
        let mut file = File::options().write(true).create_new(true).open(new)?;
        if let Ok(before) = fs::metadata(old) {
            file.set_permissions(before.permissions())?;
        }
        file.write_all(text.as_bytes())?;
        file.sync_all()
    };
    write().map_err(|e| failed("write", new, e))
}

/// Gives the old text its second name, by way of a third so that this is whole or not at all too.
fn keep_old(path: &Path) -> Result<(), DiskError> {
    if !path.exists() {
        return Ok(());
    }
    let kept = kept_beside(path);
    let passing = beside(path, &format!("writing-{}", fresh()));
    let keep = || -> io::Result<()> {
        // Some file systems know no second names.
        if fs::hard_link(path, &passing).is_err() {
            fs::copy(path, &passing)?;
            File::open(&passing)?.sync_all()?;
        }
        fs::rename(&passing, &kept)?;
        // Renaming one name of a file onto another does nothing, and leaves both.
        match fs::remove_file(&passing) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => Err(e),
            _ => Ok(()),
        }
    };
    keep().map_err(|e| failed("keep the old text as", &kept, e))
}

#[cfg(unix)]
fn sync_folder(path: &Path) -> Result<(), DiskError> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let sync = File::open(folder).and_then(|folder| folder.sync_all());
    sync.map_err(|e| failed("sync the folder of", path, e))
}

#[cfg(not(unix))]
fn sync_folder(_: &Path) -> Result<(), DiskError> {
    // Folders can't be opened as files here; the rename itself is still whole or not at all.
    Ok(())
}

/// A part of a name that no other save uses at the same time.
fn fresh() -> String {
    static COUNT: AtomicU64 = AtomicU64::new(0);
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    format!("{}-{count}", std::process::id())
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".");
    name.push(ending);
    name.into()
}

fn failed(doing: &'static str, path: &Path, source: io::Error) -> DiskError {
    DiskError::Io {
        doing,
        path: path.into(),
        source,
    }
}
