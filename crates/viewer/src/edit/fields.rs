//! The figures of one item that can be typed: read from the document, written back as changes of it.

use layout::node::Kind;
use layout::{Edit, Node, Path, Step};

use super::moves::node_at;

/// Sections that hold items, in the order they are searched.
const SECTIONS: [&str; 10] = [
    "fixtures",
    "runs",
    "drains",
    "cleanouts",
    "cabinets",
    "box_outs",
    "walls",
    "services",
    "zones",
    "rooms",
];

/// How a value is typed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Typed {
    /// A length: `12'-6 1/2`, `3 in`.
    Length,
    /// A number without a unit.
    Number,
    /// One of these RON texts; the first means that nothing is written.
    Choice(&'static [&'static str]),
}

/// One figure.
#[derive(Clone, PartialEq, Debug)]
pub struct Field {
    /// What it says before the box.
    pub label: String,
    /// Where it stands in the document.
    pub path: Path,
    /// What stands there; empty when nothing does.
    pub value: String,
    /// How it is typed.
    pub typed: Typed,
}

impl Field {
    /// The change that writes `typed` here. Nothing typed takes the value away.
    pub fn write(&self, typed: &str) -> Option<Edit> {
        let typed = typed.trim();
        if typed == self.value {
            return None;
        }
        let path = self.path.clone();
        if typed.is_empty() {
            return (!self.value.is_empty()).then_some(Edit::Remove { path });
        }
        let value = match self.typed {
            Typed::Length => format!("{:?}", with_unit(typed)),
            Typed::Number | Typed::Choice(_) => typed.to_owned(),
        };
        Some(Edit::Set { path, value })
    }
}

/// A length as it was typed; bare figures are inches, as on a tape.
pub fn with_unit(typed: &str) -> String {
    let typed = typed.trim_end_matches('"').trim_end();
    let bare = typed
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, ' ' | '/' | '.' | '-' | '+'));
    // `12-6` is feet and inches, `-16` and `16 3/8` are inches.
    let feet = typed.trim_start_matches(['-', '+']).contains('-');
    if bare && !feet {
        format!("{typed} in")
    } else {
        typed.to_owned()
    }
}

const SIZES: &[&str] = &[
    "",
    "\"1-1/4 in\"",
    "\"1-1/2 in\"",
    "\"2 in\"",
    "\"3 in\"",
    "\"4 in\"",
    "\"6 in\"",
];
const MENUS: &[&str] = &[
    "",
    "[\"1/8\"]",
    "[\"1/4\"]",
    "[\"1/2\"]",
    "[\"1/8\", \"1/4\"]",
    "[\"1/4\", \"1/2\"]",
    "[\"1/8\", \"1/4\", \"1/2\"]",
];
/// The kinds of fixtures, as a layout writes them.
pub const KINDS: &[&str] = &[
    "closet",
    "lavatory",
    "tub",
    "shower",
    "kitchen_sink",
    "bar_sink",
    "utility_sink",
    "washer",
    "bidet",
    "floor_drain",
    "heater_pan",
    "softener",
    "condensate",
    "hose_sink",
];
const WAYS: &[&str] = &["", "through", "under", "either"];
const JOINS: &[&str] = &["", "flat", "rolled", "any"];
const LATER: &[&str] = &["", "true"];

/// The section and path of an item.
pub fn item_path(tree: &Node, id: &str) -> Option<(&'static str, Path)> {
    SECTIONS.into_iter().find_map(|section| {
        tree.entry(section)?.value.entry(id)?;
        Some((section, vec![Step::from(section), Step::from(id)]))
    })
}

/// The figures of an item; empty for what has none to type.
pub fn fields(tree: &Node, id: &str) -> Vec<Field> {
    let Some((section, item)) = item_path(tree, id) else {
        return Vec::new();
    };
    let form = Form { tree, item };
    match section {
        "fixtures" => form.fixture(),
        "runs" => form.run(),
        "drains" => form.drain(),
        "cleanouts" => [form.point(&["at"], ""), vec![form.length("Top", &["top"])]].concat(),
        "cabinets" | "box_outs" => form.framed(section),
        "walls" => [form.point(&["from"], "From"), form.point(&["to"], "To")].concat(),
        "services" => vec![
            form.length("Level", &["level"]),
            form.length("Top", &["top"]),
        ],
        "zones" => vec![form.length("Drop", &["drop"])],
        _ => Vec::new(),
    }
}

struct Form<'t> {
    tree: &'t Node,
    item: Path,
}

impl Form<'_> {
    fn path(&self, steps: &[&str]) -> Path {
        let mut path = self.item.clone();
        path.extend(steps.iter().map(|step| Step::from(*step)));
        path
    }

    fn one(&self, label: &str, path: Path, typed: Typed) -> Field {
        let value = node_at(self.tree, &path).map(shown).unwrap_or_default();
        Field {
            label: label.to_owned(),
            path,
            value,
            typed,
        }
    }

    fn length(&self, label: &str, steps: &[&str]) -> Field {
        self.one(label, self.path(steps), Typed::Length)
    }

    fn choice(&self, label: &str, steps: &[&str], of: &'static [&'static str]) -> Field {
        let path = self.path(steps);
        let value = node_at(self.tree, &path).map(ron).unwrap_or_default();
        Field {
            label: label.to_owned(),
            path,
            value,
            typed: Typed::Choice(of),
        }
    }

    /// The lengths a point is told by.
    fn point(&self, steps: &[&str], label: &str) -> Vec<Field> {
        self.point_at(self.path(steps), label)
    }

    fn point_at(&self, path: Path, label: &str) -> Vec<Field> {
        let Some(node) = node_at(self.tree, &path) else {
            return Vec::new();
        };
        let name = |what: &str| format!("{label} {what}").trim().to_owned();
        let inner = |step: Step| [path.as_slice(), &[step]].concat();
        if node.entries().is_empty() {
            let axes = ["east", "north"].into_iter().enumerate();
            return axes
                .map(|(n, axis)| self.one(&name(axis), inner(n.into()), Typed::Length))
                .collect();
        }
        let lengths = ["by", "along", "from_end", "x", "y", "east", "north"];
        let told = lengths
            .into_iter()
            .filter(|word| node.entry(word).is_some());
        told.map(|word| {
            self.one(
                &name(&word.replace('_', " ")),
                inner(word.into()),
                Typed::Length,
            )
        })
        .collect()
    }

    fn fixture(&self) -> Vec<Field> {
        let mut fields = vec![self.choice("Kind", &["kind"], KINDS)];
        fields.extend(self.point(&["at"], ""));
        fields.push(self.length("Top", &["top"]));
        fields.push(self.choice("Size", &["size"], SIZES));
        fields.push(self.choice("Later", &["later"], LATER));
        fields
    }

    fn run(&self) -> Vec<Field> {
        let mut fields = vec![
            self.choice("Size", &["size"], SIZES),
            self.choice("Grades", &["grades"], MENUS),
            self.choice("Joins", &["joins"], JOINS),
            self.length("Start invert", &["start_invert"]),
        ];
        let via = node_at(self.tree, &self.path(&["via"])).map_or(0, |via| via.items().len());
        for n in 0..via {
            let path = [self.path(&["via"]), vec![n.into()]].concat();
            fields.extend(self.point_at(path, &format!("Bend {}", n + 1)));
        }
        fields.extend(self.point(&["to", "at"], "Joins at"));
        fields
    }

    fn drain(&self) -> Vec<Field> {
        let mut fields = self.point(&["exit", "at"], "Exit");
        fields.push(self.choice("Way out", &["exit", "way"], WAYS));
        fields.push(self.choice("Exit size", &["exit", "size"], SIZES));
        fields.push(self.choice("Sleeve", &["exit", "sleeve"], SIZES));
        fields.push(self.length("Line outside", &["line", "length"]));
        fields.push(self.choice("Its grades", &["line", "grades"], MENUS));
        fields.push(self.length("Inlet level", &["receiver", "invert"]));
        fields
    }

    fn framed(&self, section: &str) -> Vec<Field> {
        let mut fields = self.point(&["centre"], "Middle");
        fields.extend(self.point(&["size"], "Size"));
        fields.push(self.one("Turn", self.path(&["turn"]), Typed::Number));
        let last = if section == "cabinets" {
            "height"
        } else {
            "depth"
        };
        let label = if section == "cabinets" {
            "Height"
        } else {
            "Depth"
        };
        fields.push(self.length(label, &[last]));
        fields
    }
}

/// A value as it is shown in its box: without the quotes of a text.
fn shown(node: &Node) -> String {
    match &node.kind {
        Kind::Text(text) | Kind::Word(text) | Kind::Number(text) => text.clone(),
        Kind::Fields(_) | Kind::Map(_) | Kind::List(_) | Kind::Tuple(_) => ron(node),
    }
}

/// A short value as RON text, in the spelling of the choices.
fn ron(node: &Node) -> String {
    match &node.kind {
        Kind::Text(text) => format!("{text:?}"),
        Kind::Word(text) | Kind::Number(text) => text.clone(),
        Kind::List(items) | Kind::Tuple(items) => {
            format!("[{}]", items.iter().map(ron).collect::<Vec<_>>().join(", "))
        }
        Kind::Fields(_) | Kind::Map(_) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = r#"(
        fixtures: { "sink": (kind: lavatory, at: (in: "wall", along: "6'"), /* by eye */ landing: floor) },
        runs: { "r": (from: "sink", via: [("1'", "2'"), ("3'", "4'")], to: "d", grades: ["1/4"]) },
    )"#;

    fn tree() -> Node {
        layout::parse(TEXT, "t").unwrap()
    }

    #[test]
    fn a_stub_shows_the_lengths_it_is_told_by() {
        let fields = fields(&tree(), "sink");
        let shown: Vec<(&str, &str)> = fields
            .iter()
            .map(|field| (field.label.as_str(), field.value.as_str()))
            .collect();
        assert_eq!(
            shown,
            [
                ("Kind", "lavatory"),
                ("along", "6'"),
                ("Top", ""),
                ("Size", ""),
                ("Later", "")
            ]
        );
    }

    #[test]
    fn what_is_typed_is_written_where_it_stands() {
        let tree = tree();
        let all = fields(&tree, "sink");
        let write = |label: &str, typed: &str| {
            let field = all.iter().find(|field| field.label == label).unwrap();
            let edit = field.write(typed)?;
            Some(layout::apply(TEXT, "t", &edit).unwrap().text)
        };
        assert!(
            write("along", "6' 4\"")
                .unwrap()
                .contains(r#"along: "6' 4"), /* by eye */"#)
        );
        assert!(write("Top", "24").unwrap().contains(r#"top: "24 in""#));
        assert!(write("Top", "2-6").unwrap().contains(r#"top: "2-6""#));
        assert_eq!(write("along", "6'"), None);
        assert_eq!(write("Top", ""), None);
    }

    #[test]
    fn a_run_shows_every_bend_and_its_grades() {
        let fields = fields(&tree(), "r");
        let labels: Vec<&str> = fields.iter().map(|field| field.label.as_str()).collect();
        assert_eq!(
            labels[4..],
            ["Bend 1 east", "Bend 1 north", "Bend 2 east", "Bend 2 north"]
        );
        assert_eq!(fields[1].value, "[\"1/4\"]");
        assert_eq!(super::fields(&tree(), "nobody"), []);
    }
}
