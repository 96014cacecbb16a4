//! A save that is killed at any moment leaves a whole file: all of the old text or all of the new.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

use std::{
    path::{Path, PathBuf},
    process::Command,
    time::Duration,
};

/// Set in the child process: the file it saves over and over.
const CHILD: &str = "FALLWISE_TEST_SAVES_HERE";

/// A document of some size whose every line names its version, so that a mixture shows.
fn version(n: usize) -> String {
    let lines: String = (0..4000).map(|i| format!("    // {n} {i}\n")).collect();
    format!("(\n{lines}    title: \"{n}\",\n)\n")
}

fn whole(text: &str) -> bool {
    let n = text.split_whitespace().nth(2).and_then(|n| n.parse().ok());
    n.is_some_and(|n| text == version(n))
}

/// Not a test by itself: the child of the test below, which saves until it is killed.
#[test]
fn child_that_saves_until_killed() {
    let Ok(path) = std::env::var(CHILD) else {
        return;
    };
    for n in 0.. {
        layout::save(Path::new(&path), &version(n)).unwrap();
    }
}

fn saving_child(path: &Path) -> std::process::Child {
    let program = std::env::current_exe().unwrap();
    let mut command = Command::new(program);
    command
        .args(["--exact", "child_that_saves_until_killed", "--nocapture"])
        .env(CHILD, path);
    command.stdout(std::process::Stdio::null()).spawn().unwrap()
}

#[test]
fn a_killed_save_leaves_a_whole_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("house.ron");
    layout::save(&path, &version(0)).unwrap();
    let mut versions = Vec::new();
    for kill in 0_u64..40 {
        let mut child = saving_child(&path);
        // Odd steps, so that the kills fall anywhere within a save.
        std::thread::sleep(Duration::from_micros(9_000 + kill * 1_337));
        child.kill().unwrap();
        child.wait().unwrap();
        let text = layout::load(&path).unwrap();
        assert!(
            whole(&text),
            "kill {kill} left a torn file of {} bytes",
            text.len()
        );
        versions.push(text.len());
        if let Ok(before) = layout::load(&layout::kept_beside(&path)) {
            assert!(whole(&before), "kill {kill} left a torn file beside it");
        }
    }
    assert_eq!(versions.len(), 40);
}

#[test]
fn the_text_before_is_kept_beside() {
    let folder = tempfile::tempdir().unwrap();
    let path: PathBuf = folder.path().join("house.ron");
    layout::save(&path, "(title: \"one\")").unwrap();
    assert!(!layout::kept_beside(&path).exists());
    layout::save(&path, "(title: \"two\")").unwrap();
    assert_eq!(layout::load(&path).unwrap(), "(title: \"two\")");
    assert_eq!(
        layout::load(&layout::kept_beside(&path)).unwrap(),
        "(title: \"one\")"
    );
    let names: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    assert_eq!(names.len(), 2, "nothing else is left: {names:?}");
}

#[test]
fn what_cannot_be_read_says_why() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("none.ron");
    assert_eq!(
        layout::load(&path).unwrap_err().to_string(),
        format!("can't read {}", path.display())
    );
    std::fs::write(&path, [0xff, 0xfe]).unwrap();
    assert_eq!(
        layout::load(&path).unwrap_err().to_string(),
        format!(
            "{} is not UTF-8 text; a layout is a text file",
            path.display()
        )
    );
    // A hundred megabytes that take no room on the disk.
    std::fs::File::create(&path)
        .unwrap()
        .set_len(100 << 20)
        .unwrap();
    let says = layout::load(&path).unwrap_err().to_string();
    let right =
        "the file has 104857600 bytes; a layout has at most 67108864; is this the right file?";
    assert_eq!(says, format!("{}:1:1: {right}", path.display()));
}
