//! Proves the arrows between the crates: each may use those before it; the data crates know only units; bevy and what
//! it brings is named by the viewer alone; versions are said once, in the root; no library holds unsafe code.

use super::manifest::{self, Dependency};
use super::source;
use super::{Files, Flaw, crate_of};

/// Low to high. A new crate takes its place here and in DEVELOPERS.md.
const ORDER: [&str; 17] = [
    "units", "trench", "layout", "codes", "catalog", "network", "grades", "fittings", "scene",
    "checks", "takeoff", "flow", "field", "sheets", "viewer", "fallwise", "xtask",
];

/// The first so many of [`ORDER`] are pure: values in, values out.
const N_PURE: usize = 14;

/// Tables and the solver must not learn what a layout is.
const KNOW_ONLY_UNITS: [&str; 4] = ["trench", "codes", "catalog", "grades"];

/// What only the viewer may name, with everything that starts so and goes on with an underscore.
const WINDOWED: [&str; 5] = ["bevy", "winit", "wgpu", "egui", "eframe"];

/// The crates that touch nothing outside themselves.
pub(super) fn pure_crates() -> &'static [&'static str] {
    &ORDER[..N_PURE]
}

pub(super) fn check(files: &Files) -> Vec<Flaw> {
    let mut flaws = Vec::new();
    for (path, text) in files {
        let Some(name) = crate_of(path) else { continue };
        if path.ends_with("/Cargo.toml") && path.matches('/').count() <= 2 {
            for dependency in manifest::dependencies(text) {
                flaws.extend(
                    wrong(name, &dependency).map(|says| Flaw::new(path, dependency.line, says)),
                );
            }
            if name != "tests" && place(name).is_none() {
                flaws.push(Flaw::new(path, 1, format!("crate {name} has no place in the order; give it one in tidy/arrows.rs and DEVELOPERS.md")));
            }
        }
        if is_rust(path) && name != "viewer" {
            flaws.extend(windowed_words(path, text));
        }
        if path.starts_with("crates/") && path.ends_with("/src/lib.rs") {
            flaws.extend(allows_unsafe(path, text));
        }
    }
    flaws
}

fn place(name: &str) -> Option<usize> {
    ORDER.iter().position(|each| *each == name)
}

fn is_rust(path: &str) -> bool {
    path.rsplit_once('.')
        .is_some_and(|(_, ending)| ending == "rs")
}

/// What is wrong with `of` naming `dependency`, if anything.
fn wrong(of: &str, dependency: &Dependency) -> Option<String> {
    let name = dependency.name.as_str();
    if !dependency.is_inherited {
        return Some(format!(
            "{name} does not say `workspace = true`; its version belongs in the root Cargo.toml"
        ));
    }
    if is_windowed(name) {
        return (of != "viewer")
            .then(|| format!("{of} names {name}; only viewer may know of a window"));
    }
    let needed = place(name)?;
    if of == "tests" {
        return None;
    }
    if KNOW_ONLY_UNITS.contains(&of) && name != "units" {
        return Some(format!(
            "{of} uses {name}; of our own crates it may use only units"
        ));
    }
    let own = place(of)?;
    (needed >= own).then(|| {
        format!(
            "{of} uses {name}, which does not stand before it; a crate may use {}",
            list(&ORDER[..own])
        )
    })
}

fn list(names: &[&str]) -> String {
    if names.is_empty() {
        "no other".to_owned()
    } else {
        names.join(", ")
    }
}

fn is_windowed(name: &str) -> bool {
    WINDOWED.iter().any(|each| {
        name.strip_prefix(each)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with(['_', '-']))
    })
}

fn windowed_words(path: &str, text: &str) -> Vec<Flaw> {
    let code = source::code_only(text);
    let named = source::words(&code)
        .into_iter()
        .filter(|word| is_windowed(word.text));
    named
        .map(|word| {
            Flaw::new(
                path,
                word.line,
                format!("names {}; only crates/viewer may", word.text),
            )
        })
        .collect()
}

fn allows_unsafe(path: &str, text: &str) -> Option<Flaw> {
    let squeezed: String = source::code_only(text).split_whitespace().collect();
    (!squeezed.contains("#![forbid(unsafe_code)]")).then(|| {
        Flaw::new(
            path,
            1,
            "does not forbid unsafe code; add #![forbid(unsafe_code)] under the header",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::{files, shown};
    use super::*;

    fn found(pairs: &[(&str, &str)]) -> Vec<String> {
        shown(&check(&files(pairs)))
    }

    #[test]
    fn a_crate_may_use_those_before_it() {
        let good = "[dependencies]\nunits.workspace = true\nnetwork.workspace = true\nserde.workspace = true\n";
        assert!(found(&[("crates/scene/Cargo.toml", good)]).is_empty());
    }

    #[test]
    fn an_arrow_upward_is_told_with_what_would_be_right() {
        let flaws = found(&[(
            "crates/layout/Cargo.toml",
            "[dev-dependencies]\nscene.workspace = true\n",
        )]);
        assert_eq!(
            flaws,
            [
                "crates/layout/Cargo.toml:2 layout uses scene, which does not stand before it; a crate may use units, trench"
            ]
        );
    }

    #[test]
    fn data_crates_know_only_units() {
        let flaws = found(&[(
            "crates/grades/Cargo.toml",
            "[dependencies]\nunits.workspace = true\nnetwork.workspace = true\n",
        )]);
        assert_eq!(
            flaws,
            [
                "crates/grades/Cargo.toml:3 grades uses network; of our own crates it may use only units"
            ]
        );
    }

    #[test]
    fn the_test_package_may_use_all_but_a_window() {
        let flaws = found(&[(
            "tests/Cargo.toml",
            "[dev-dependencies]\nflow.workspace = true\nbevy_egui.workspace = true\n",
        )]);
        assert_eq!(
            flaws,
            ["tests/Cargo.toml:3 tests names bevy_egui; only viewer may know of a window"]
        );
    }

    #[test]
    fn a_window_in_code_is_found_and_in_words_is_not() {
        let text = "//! No bevy here.\nuse bevy::prelude::*;\nconst A: &str = \"bevy\";\nfn egui_free() {}\n";
        let flaws = found(&[
            ("crates/flow/src/a.rs", text),
            ("crates/viewer/src/a.rs", text),
        ]);
        assert_eq!(
            flaws,
            [
                "crates/flow/src/a.rs:2 names bevy; only crates/viewer may",
                "crates/flow/src/a.rs:4 names egui_free; only crates/viewer may"
            ]
        );
    }

    #[test]
    fn versions_are_said_in_the_root() {
        let flaws = found(&[("crates/flow/Cargo.toml", "[dependencies]\nserde = \"1\"\n")]);
        assert_eq!(
            flaws,
            [
                "crates/flow/Cargo.toml:2 serde does not say `workspace = true`; its version belongs in the root Cargo.toml"
            ]
        );
    }

    #[test]
    fn a_crate_without_a_place_is_told() {
        assert!(
            found(&[("crates/pumps/Cargo.toml", "")])[0]
                .contains("crate pumps has no place in the order")
        );
    }

    #[test]
    fn unsafe_code_must_be_forbidden_in_code_not_in_a_comment() {
        assert!(
            found(&[(
                "crates/units/src/lib.rs",
                "//! A.\n#![forbid(unsafe_code)]\n"
            )])
            .is_empty()
        );
        assert_eq!(
            found(&[("crates/units/src/lib.rs", "//! #![forbid(unsafe_code)]\n")]).len(),
            1
        );
    }
}
