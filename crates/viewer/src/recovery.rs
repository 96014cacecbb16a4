//! The disk side of changing a layout: saving it whole, and keeping unsaved work beside it so that a crash loses nothing.

use std::path::{Path, PathBuf};

use crate::desk::Desk;
use crate::edit::Chore;

/// Where unsaved work of a layout is kept: `house.ron.unsaved`.
pub fn beside(file: &Path) -> PathBuf {
    let mut name = file.file_name().unwrap_or_default().to_owned();
    name.push(".unsaved");
    file.with_file_name(name)
}

/// Unsaved work from last time, if there is any that says something else than the file.
pub fn found(file: &Path) -> Option<String> {
    let text = std::fs::read_to_string(beside(file)).ok()?;
    let saved = std::fs::read_to_string(file).unwrap_or_default();
    (text != saved).then_some(text)
}

/// Does the disk's work of a desk. Of several texts to keep only the newest is written.
pub fn keep(desk: &mut Desk, file: &Path, chores: Vec<Chore>) {
    let mut last = None;
    for chore in chores {
        match chore {
            Chore::Save(text) => {
                let result = layout::save(file, &text).map_err(|why| with_cause(&why));
                desk.saved(&text, result);
            }
            chore @ (Chore::Recover(_) | Chore::Forget) => last = Some(chore),
            Chore::ReadBook => desk.book_read(load_book(file)),
            Chore::SaveBook { before, text } => {
                let result = save_book(file, &before, &text);
                desk.book_saved(result);
            }
        }
    }
    // A save that worked asks to forget; a book that was refused is read again after the next frame.
    let after = std::mem::take(&mut desk.edit.chores);
    let (own, later): (Vec<Chore>, Vec<Chore>) = after
        .into_iter()
        .partition(|chore| matches!(chore, Chore::Recover(_) | Chore::Forget));
    desk.edit.chores = later;
    match own.into_iter().last().or(last) {
        Some(Chore::Recover(text)) => {
            if let Err(why) = write_whole(&beside(file), &text) {
                desk.edit.refused =
                    Some(format!("unsaved work can't be kept beside the file: {why}"));
            }
        }
        Some(Chore::Forget) => {
            // It may never have been there.
            let _ = std::fs::remove_file(beside(file));
        }
        Some(Chore::Save(_) | Chore::ReadBook | Chore::SaveBook { .. }) | None => {}
    }
}

/// The field book of a layout: `house.field.ron`.
pub fn book_beside(file: &Path) -> PathBuf {
    file.with_extension("field.ron")
}

/// The field book's text; empty before there is one.
fn load_book(file: &Path) -> Result<String, String> {
    let book = book_beside(file);
    if book.exists() {
        layout::load(&book).map_err(|why| with_cause(&why))
    } else {
        Ok(String::new())
    }
}

/// Writes the field book whole; refused when something else wrote it meanwhile, so that nothing of it is lost.
fn save_book(file: &Path, before: &str, text: &str) -> Result<(), String> {
    if load_book(file)? != before {
        return Err(
            "the field book was changed by something else meanwhile and was read again; note it once more".into(),
        );
    }
    layout::save(&book_beside(file), text).map_err(|why| with_cause(&why))
}

/// Written beside and renamed, so that a reader finds the old text or the new one.
fn write_whole(file: &Path, text: &str) -> std::io::Result<()> {
    let part = file.with_extension("unsaved-part");
    std::fs::write(&part, text)?;
    std::fs::rename(&part, file)
}

fn with_cause(why: &layout::DiskError) -> String {
    let cause = std::error::Error::source(why).map(|cause| format!(": {cause}"));
    format!("{why}{}", cause.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unsaved_work_stands_beside_the_file_until_it_is_saved() {
        let folder = std::env::temp_dir().join(format!("viewer-recovery-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join("house.ron");
        std::fs::write(&file, "(title: \"a\")").unwrap();
        let mut desk = Desk::new(crate::House::default(), "house.ron".into());
        assert_eq!(found(&file), None);
        keep(
            &mut desk,
            &file,
            vec![Chore::Recover("(title: \"b\")".into())],
        );
        assert_eq!(beside(&file), folder.join("house.ron.unsaved"));
        assert_eq!(found(&file).as_deref(), Some("(title: \"b\")"));
        keep(&mut desk, &file, vec![Chore::Save("(title: \"b\")".into())]);
        assert_eq!(found(&file), None);
        assert!(!beside(&file).exists());
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "(title: \"b\")");
        std::fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn a_save_that_is_refused_is_told_and_the_work_stays_unsaved() {
        let mut desk = Desk::new(crate::House::default(), "x".into());
        let nowhere = Path::new("/nowhere at all/house.ron");
        keep(
            &mut desk,
            nowhere,
            vec![Chore::Save("(title: \"b\")".into())],
        );
        assert!(desk.edit.refused.is_some());
        assert!(desk.edit.told.is_none());
    }
}
