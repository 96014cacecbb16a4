//! What a mend changes in the document, as edits of its text. Levels are lowered by what the text itself says, so that a
//! tank told by its elevation stays told by its elevation.

use layout::{Edit, Node, Path, Step, node::Kind};
use units::{Id, Length, Size};

/// The run nowhere smaller than `size`: increasers to what it has anyway go.
pub(super) fn larger(tree: &Node, run: &Id, size: Size) -> Vec<Edit> {
    let own = path(["runs", run.as_str()]);
    let told = at(tree, &own, "size").and_then(size_of);
    let mut edits = vec![Edit::run_size(
        run,
        Some(told.map_or(size, |told| told.max(size))),
    )];
    let increasers = at(tree, &own, "increasers").map_or(&[][..], Node::items);
    // The last first, so that the places of the others hold.
    for (index, increaser) in increasers.iter().enumerate().rev() {
        let to = increaser.items().get(1).and_then(size_of);
        if to.is_some_and(|to| to <= size) {
            let mut path = own.clone();
            path.extend(["increasers".into(), index.into()]);
            edits.push(Edit::Remove { path });
        }
    }
    edits
}

/// The finished floor and all that hangs on it higher above ground, foundation and receivers. Levels count from the
/// floor, so all that stays where it is gets lower by as much.
pub(super) fn floor_up(tree: &Node, inches: f64) -> Vec<Edit> {
    let mut edits = Vec::new();
    edits.extend(lowered(tree, path(["floor_elevation"]), -inches));
    edits.extend(lowered(
        tree,
        path(["foundation", "edge", "bottom"]),
        inches,
    ));
    let steps = path(["foundation", "edge", "footing", "steps"]);
    for index in 0..node_at(tree, &steps).map_or(0, |steps| steps.items().len()) {
        let mut step = steps.clone();
        step.extend([index.into(), "top".into()]);
        edits.extend(lowered(tree, step, inches));
    }
    edits.extend(ground(tree, path(["outside", "ground"]), inches));
    let drains = tree
        .entry("drains")
        .map_or(&[][..], |drains| drains.value.entries());
    for drain in drains {
        let of = |rest: [&str; 2]| path(["drains", &drain.name, rest[0], rest[1]]);
        edits.extend(ground(tree, of(["line", "ground"]), inches));
        edits.extend(lowered(tree, of(["receiver", "invert"]), inches));
        edits.extend(lowered(tree, of(["receiver", "below_floor"]), -inches));
        edits.extend(lowered(tree, of(["exit", "sleeve_bottom"]), inches));
    }
    edits
}

/// The receiver's inlet lower.
pub(super) fn receiver_down(tree: &Node, drain: &Id, inches: f64) -> Vec<Edit> {
    let told =
        |name: &str, by| lowered(tree, path(["drains", drain.as_str(), "receiver", name]), by);
    let ways = [
        told("invert", inches),
        told("elevation", inches),
        told("below_floor", -inches),
    ];
    ways.into_iter().flatten().collect()
}

fn ground(tree: &Node, profile: Path, inches: f64) -> Vec<Edit> {
    let points = node_at(tree, &profile).map_or(0, |profile| profile.items().len());
    let level = |index: usize| {
        let mut level = profile.clone();
        level.extend([index.into(), 1.into()]);
        lowered(tree, level, inches)
    };
    let level_ground = lowered(tree, profile.clone(), inches);
    level_ground
        .into_iter()
        .chain((0..points).filter_map(level))
        .collect()
}

/// The length told at a path, less so many inches; nothing where none is told.
fn lowered(tree: &Node, path: Path, inches: f64) -> Option<Edit> {
    let told = text_of(node_at(tree, &path)?)?;
    let level = Length::parse(told).ok()?.inches() - inches;
    Some(Edit::Set {
        path,
        value: layout::length_text(level),
    })
}

fn path<const N: usize>(names: [&str; N]) -> Path {
    names.into_iter().map(Step::from).collect()
}

fn at<'n>(tree: &'n Node, path: &[Step], name: &str) -> Option<&'n Node> {
    Some(&node_at(tree, path)?.entry(name)?.value)
}

fn node_at<'n>(tree: &'n Node, path: &[Step]) -> Option<&'n Node> {
    path.iter().try_fold(tree, |node, step| match step {
        Step::Name(name) => node.entry(name).map(|entry| &entry.value),
        Step::Index(index) => node.items().get(*index),
    })
}

fn size_of(node: &Node) -> Option<Size> {
    Size::parse(text_of(node)?).ok()
}

fn text_of(node: &Node) -> Option<&str> {
    match &node.kind {
        Kind::Text(text) => Some(text),
        Kind::Fields(_)
        | Kind::Map(_)
        | Kind::List(_)
        | Kind::Tuple(_)
        | Kind::Word(_)
        | Kind::Number(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn applied(text: &str, edits: fn(&Node) -> Vec<Edit>) -> String {
        let tree = layout::parse(text, "house.ron").expect("whole");
        let edit = Edit::All(edits(&tree));
        layout::apply(text, "house.ron", &edit)
            .expect("applied")
            .text
    }

    #[test]
    fn a_higher_floor_lowers_all_that_stays() {
        let text = r#"(floor_elevation: "100 ft", // surveyed
            foundation: (edge: (kind: stem_wall, top: "0", bottom: "-24 in", footing: (steps: [(side: 1, top: "-40 in")]))),
            outside: (ground: "-8 in"),
            drains: { "main": (exit: (sleeve_bottom: "-15 in"), line: (ground: [("0", "-8 in"), ("10'", "-10 in")]),
                receiver: (invert: "-17.4 in")), "other": (receiver: (elevation: "98 ft")), "third": (receiver: (below_floor: "2'")) })"#;
        let up = text
            .replace("\"100 ft\"", "\"100'-6\"")
            .replace("\"-24 in\"", "\"-2'-6\"")
            .replace("\"-40 in\"", "\"-3'-10\"")
            .replace("\"-8 in\"", "\"-1'-2\"")
            .replace("\"-10 in\"", "\"-1'-4\"")
            .replace("\"-15 in\"", "\"-1'-9\"")
            .replace("\"-17.4 in\"", "\"-23.4 in\"")
            .replace("\"2'\"", "\"2'-6\"");
        assert_eq!(applied(text, |tree| floor_up(tree, 6.0)), up);
    }

    #[test]
    fn a_larger_run_loses_the_increasers_it_has_outgrown() {
        let text = r#"(runs: { "trunk": (size: "2 in", increasers: [(("1'", "2'"), "3 in"), (("3'", "2'"), "4 in")]) })"#;
        let larger = r#"(runs: { "trunk": (size: "3 in", increasers: [(("3'", "2'"), "4 in")]) })"#;
        assert_eq!(
            applied(text, |tree| super::larger(tree, &"trunk".into(), Size::In3)),
            larger
        );
    }

    #[test]
    fn a_tank_stays_told_the_way_it_is_told() {
        let text = r#"(drains: { "a": (receiver: (elevation: "98 ft")), "b": (receiver: (below_floor: "20 in")) })"#;
        let down = |tree: &Node| {
            let mut edits = receiver_down(tree, &"a".into(), 3.0);
            edits.extend(receiver_down(tree, &"b".into(), 3.0));
            edits
        };
        let lower = r#"(drains: { "a": (receiver: (elevation: "97'-9")), "b": (receiver: (below_floor: "1'-11")) })"#;
        assert_eq!(applied(text, down), lower);
    }
}
