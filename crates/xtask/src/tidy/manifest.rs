//! As much of a Cargo.toml as the checks ask for: which dependencies it names, where, how. Read line by line; a TOML
//! reader would be this tool's second dependency and its slowest to compile.

/// One dependency as a manifest names it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Dependency {
    pub(super) name: String,
    /// From 1.
    pub(super) line: usize,
    /// Version, path and features come from the workspace's manifest.
    pub(super) is_inherited: bool,
    /// It is one of our own crates, told by its path.
    pub(super) is_ours: bool,
}

/// The dependencies of every kind and target, in order of appearance.
pub(super) fn dependencies(text: &str) -> Vec<Dependency> {
    let mut found: Vec<Dependency> = Vec::new();
    let mut section = Section::Other;
    for (idx, line) in text.lines().enumerate() {
        let line_no = idx + 1;
        let line = line.trim();
        if let Some(header) = header(line) {
            section = Section::of(header);
            if let Section::One(name) = &section {
                found.push(Dependency {
                    name: name.clone(),
                    line: line_no,
                    is_inherited: false,
                    is_ours: false,
                });
            }
            continue;
        }
        let Some((key, value)) = entry(line) else {
            continue;
        };
        match &section {
            Section::Other => {}
            Section::List => found.push(listed(key, value, line_no)),
            Section::One(_) => {
                if let Some(last) = found.last_mut() {
                    last.is_inherited |= key == "workspace" && value == "true";
                    last.is_ours |= key == "path";
                }
            }
        }
    }
    found
}

/// What the lines under a header say.
enum Section {
    /// A dependency a line.
    List,
    /// One dependency, an attribute a line.
    One(String),
    Other,
}

impl Section {
    fn of(header: &str) -> Self {
        let last = header.rsplit('.').next().unwrap_or(header);
        let before = header
            .strip_suffix(last)
            .unwrap_or_default()
            .trim_end_matches('.');
        if is_list(last) {
            Self::List
        } else if is_list(before.rsplit('.').next().unwrap_or_default()) {
            Self::One(unquoted(last).to_owned())
        } else {
            Self::Other
        }
    }
}

fn is_list(name: &str) -> bool {
    matches!(
        name,
        "dependencies" | "dev-dependencies" | "build-dependencies"
    )
}

fn header(line: &str) -> Option<&str> {
    let inner = line.strip_prefix('[')?.split_once(']')?.0;
    (!inner.is_empty() && !inner.starts_with(['[', '"'])).then_some(inner.trim())
}

fn entry(line: &str) -> Option<(&str, &str)> {
    let (key, value) = line.split_once('=')?;
    let key = key.trim();
    let is_key = !key.is_empty()
        && key
            .chars()
            .all(|c| c.is_alphanumeric() || "-_.\"".contains(c));
    let value = value.split(" #").next().unwrap_or(value);
    is_key.then_some((key, value.trim()))
}

fn listed(key: &str, value: &str, line: usize) -> Dependency {
    let (name, dotted) = key.split_once('.').unwrap_or((key, ""));
    let squeezed: String = value.chars().filter(|c| !c.is_whitespace()).collect();
    Dependency {
        name: unquoted(name).to_owned(),
        line,
        is_inherited: dotted == "workspace" || squeezed.contains("workspace=true"),
        is_ours: dotted == "path" || squeezed.contains("path="),
    }
}

fn unquoted(name: &str) -> &str {
    name.trim_matches('"')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<(String, usize, bool, bool)> {
        dependencies(text)
            .into_iter()
            .map(|d| (d.name, d.line, d.is_inherited, d.is_ours))
            .collect()
    }

    #[test]
    fn every_way_of_naming_a_dependency_is_read() {
        let text = "\
[package]
name = \"a\"
[dependencies]
b.workspace = true
c = { workspace = true, features = [\"x\"] } # why
d = \"1\"
e = { path = \"../e\" }
[target.'cfg(unix)'.dev-dependencies]
f = \"1\"
[dependencies.g]
workspace = true
features = [
    \"h\", \"i\",
]
[features]
j = [\"b/x\"]
";
        let expected = [
            ("b", 4, true, false),
            ("c", 5, true, false),
            ("d", 6, false, false),
            ("e", 7, false, true),
            ("f", 9, false, false),
            ("g", 10, true, false),
        ];
        assert_eq!(
            told(text),
            expected.map(|(name, line, a, b)| (name.to_owned(), line, a, b))
        );
    }

    #[test]
    fn the_workspace_manifest_is_read_the_same_way() {
        let text = "[workspace.dependencies]\nserde = { version = \"1\" }\nunits = { path = \"crates/units\" }\n[workspace.lints.rust]\nx = \"warn\"\n";
        assert_eq!(
            told(text),
            [
                ("serde".to_owned(), 2, false, false),
                ("units".to_owned(), 3, false, true)
            ]
        );
    }
}
