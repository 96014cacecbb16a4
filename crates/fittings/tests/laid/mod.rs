//! Houses laid as the flow lays them, for every test that asks what was laid.
// Each test uses some of it.
#![allow(dead_code)]

use std::path::{Path, PathBuf};

use catalog::{BenchSheet, Catalog};
use fittings::{Assembly, Pins};
use layout::Layout;

/// A house and its pieces.
pub(crate) struct House {
    pub(crate) layout: Layout,
    pub(crate) catalog: Catalog,
    pub(crate) assembly: Assembly,
}

/// A 3 in branch of 60 in from the foot of a closet's riser, square into a 3 in trunk. Invented.
pub(crate) const ONE_BRANCH: &str = r#"(
    title: "one branch", code: irc,
    slab: (outline: [("0", "0"), ("30'", "0"), ("30'", "20'"), ("0", "20'")], layers: [(concrete, "4 in"), (gravel, "4 in")]),
    fixtures: { "wc": (kind: closet, at: ("180 in", "100 in"), landing: floor, trap: in_fixture, vent: unknown) },
    drains: { "d": (exit: (at: ("120 in", "20'"), way: through, size: "3 in")) },
    runs: {
        "trunk": (from: ("120 in", "20 in"), to: "d", size: "3 in"),
        "branch": (from: "wc", to: (run: "trunk", at: ("120 in", "100 in")), size: "3 in", joins: flat),
    },
)"#;

/// A house by the catalogue as it comes.
pub(crate) fn house(text: &str) -> House {
    house_of(text, &BenchSheet::default())
}

/// A house by what was measured on the bench.
pub(crate) fn house_of(text: &str, bench: &BenchSheet) -> House {
    let reading = layout::read(text, "scene.ron");
    assert_eq!(reading.problems, [], "{:#?}", reading.problems);
    let (layout, problems) = layout::resolve(&reading.file.expect("a file"));
    assert_eq!(problems, [], "{problems:#?}");
    let (catalog, _) = catalog::catalog(bench);
    let (rules, _) = codes::rules(codes::Code::Irc, &[]);
    let mut network = network::connect(&layout, &rules);
    fittings::pipe_vents(&mut network, &catalog);
    let joints = fittings::choose(&network, &catalog, &rules);
    let posed = fittings::pose(&network, &joints, &layout, &catalog, &rules, &Pins::new());
    let grades: Vec<_> = posed
        .iter()
        .map(|p| grades::solve(p).expect("well-formed"))
        .collect();
    let assembly = fittings::fit(&network, &grades, &layout, &catalog, &rules);
    House {
        layout,
        catalog,
        assembly,
    }
}

fn scenes(folder: &Path) -> Vec<PathBuf> {
    let mut out = Vec::new();
    for entry in std::fs::read_dir(folder).expect("scenes") {
        let path = entry.expect("entry").path();
        if path.is_dir() {
            out.extend(scenes(&path));
        } else if path.extension().is_some_and(|e| e == "ron") {
            out.push(path);
        }
    }
    out.sort();
    out
}

/// Every scene, by its file.
pub(crate) fn houses() -> Vec<(String, House)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenes");
    let all: Vec<_> = scenes(&folder)
        .into_iter()
        .map(|path| {
            (
                path.display().to_string(),
                house(&std::fs::read_to_string(&path).expect("scene")),
            )
        })
        .collect();
    assert!(all.len() > 5, "no scene was found");
    all
}
