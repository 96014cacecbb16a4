//! The rules page: every check with its header, the rows of the codes it reads, its scenes and the worked cases of the same
//! sections. Made from the sources; nothing in it is written twice.

use std::{collections::BTreeSet, fmt::Write, fs, io, path::Path};

use checks::page::{Entry, Said, entries};

/// Where the page stands, from the workspace's root.
pub const PAGE: &str = "assets/rules.md";

/// A worked case of the code tables, as far as the page needs it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Worked {
    /// Its id: `C12`.
    pub id: String,
    /// The code, by its short name.
    pub code: String,
    /// The sections it was worked from.
    pub sections: BTreeSet<String>,
}

/// One rule, with what the repository has on it.
#[derive(Clone, PartialEq, Debug)]
pub struct Told {
    /// Header and rows.
    pub entry: Entry,
    /// File names in its folder of scenes, sorted.
    pub scenes: Vec<String>,
    /// Ids of worked cases of the sections it reads, sorted by file.
    pub cases: Vec<String>,
}

/// Everything the page tells, in the order of the rules. `root` is the workspace's.
///
/// # Errors
/// When a folder of scenes or a file of cases cannot be read.
pub fn told(root: &Path) -> io::Result<Vec<Told>> {
    let worked = worked(root)?;
    let of = |entry: Entry| {
        let scenes = scenes(&root.join("scenes/checks").join(entry.id))?;
        let cases = worked.iter().filter(|case| fits(case, &entry.by_code));
        let mut cases: Vec<String> = cases.map(|case| case.id.clone()).collect();
        cases.dedup();
        Ok(Told {
            entry,
            scenes,
            cases,
        })
    };
    entries().into_iter().map(of).collect()
}

fn scenes(folder: &Path) -> io::Result<Vec<String>> {
    let names = fs::read_dir(folder)?
        .map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned()))
        .collect::<io::Result<BTreeSet<String>>>()?;
    Ok(names.into_iter().collect())
}

fn worked(root: &Path) -> io::Result<Vec<Worked>> {
    let mut all = Vec::new();
    for file in ["code-cases.csv", "code-cases-2.csv"] {
        let text = fs::read_to_string(root.join("crates/codes/tests/data").join(file))?;
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let names = reader.headers()?.clone();
        let at = |name: &str| names.iter().position(|one| one == name);
        let missing = || io::Error::other(format!("{file} lacks case_id, profile or section"));
        let id = at("case_id").ok_or_else(missing)?;
        let code = at("profile").ok_or_else(missing)?;
        let section = at("section").ok_or_else(missing)?;
        for record in reader.records() {
            let record = record?;
            let cell = |column: usize| record.get(column).unwrap_or_default().to_owned();
            all.push(Worked {
                id: cell(id),
                code: cell(code),
                sections: sections(&cell(section)),
            });
        }
    }
    Ok(all)
}

/// The section numbers in a text: `Table 703.2 note 4/d` has `703.2`.
fn sections(text: &str) -> BTreeSet<String> {
    let apart = |c: char| !(c.is_alphanumeric() || c == '.');
    let number = |word: &&str| word.contains('.') && word.chars().any(|c| c.is_ascii_digit());
    let words = text.split(apart).map(|word| word.trim_matches('.'));
    words.filter(number).map(str::to_owned).collect()
}

fn fits(case: &Worked, rows: &[Said]) -> bool {
    let same = |said: &Said| {
        said.code.name() == case.code && !sections(&said.section).is_disjoint(&case.sections)
    };
    rows.iter().any(same)
}

/// The page, as Markdown.
pub fn markdown(all: &[Told]) -> String {
    let mut out = String::from(
        "# The rules\n\nMade by `cargo xtask rules-page` from the header of each rule's file and the tables in \
         `assets/codes`; not to be edited here.\nA finding carries its rule's id: it is the heading here, the file under it, and \
         the folder of its scenes. A row that\nnobody has read (\"from memory\") can only ask. No code was seen whole; your own and \
         your inspector decide.\n\n",
    );
    for told in all {
        let _ = writeln!(out, "- [`{0}`](#{0}) {1}", told.entry.id, told.entry.about);
    }
    for told in all {
        rule(&mut out, told);
    }
    out
}

fn rule(out: &mut String, told: &Told) {
    let entry = &told.entry;
    let _ = writeln!(out, "\n## {}\n\n{}\n", entry.id, entry.about);
    let header = entry
        .header
        .split_once("Mend: ")
        .map_or(entry.header.as_str(), |two| two.0);
    let words: Vec<&str> = header.split_whitespace().collect();
    let _ = writeln!(out, "{}\n\nMend: {}\n", words.join(" "), entry.mend);
    let _ = writeln!(out, "File: `{}`.", entry.file);
    let scenes: Vec<String> = told.scenes.iter().map(|name| format!("`{name}`")).collect();
    let _ = writeln!(
        out,
        "Scenes in `scenes/checks/{}`: {}.",
        entry.id,
        scenes.join(", ")
    );
    let cases = match (told.cases.is_empty(), entry.by_code.is_empty()) {
        (false, _) => format!("Worked cases: {}.", told.cases.join(", ")),
        (true, false) => "Worked cases: none; from memory where the table says so.".to_owned(),
        (true, true) => "No row of a code: geometry or practice, as the header says.".to_owned(),
    };
    let _ = writeln!(out, "{cases}");
    if !entry.tables.is_empty() {
        let files: Vec<String> = entry
            .tables
            .iter()
            .map(|file| format!("`assets/codes/{file}`"))
            .collect();
        let _ = writeln!(out, "Rows in {}.", files.join(", "));
    }
    if entry.by_code.is_empty() {
        return;
    }
    out.push_str("\n| code | row | for | says | section | how |\n|---|---|---|---|---|---|\n");
    for said in &entry.by_code {
        let _ = writeln!(
            out,
            "| {} | `{}` | {} | {} | {} | {} |",
            said.code, said.rule, said.key, said.value, said.section, said.how
        );
    }
}
