//! Reads a layout with the files that may stand beside it.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use catalog::BenchSheet;
use codes::{Amendment, Code};
use flow::Inputs;

/// A layout's files, read.
pub(crate) struct Files {
    /// What the flow starts from.
    pub(crate) inputs: Inputs,
    /// What is wrong in the files beside the layout.
    pub(crate) problems: Vec<String>,
}

/// Reads the layout at `path`, its bench sheet and its local amendments.
pub(crate) fn read(path: &Path, code: Option<Code>) -> Result<Files> {
    if !path.exists() {
        bail!(
            "there is no file {0}; `fallwise new {0}` writes one to start from",
            path.display()
        );
    }
    read_as(path, layout::load(path)?, code)
}

/// A text as if it stood in the layout at `path`, with the files beside that.
pub(crate) fn read_as(path: &Path, text: String, code: Option<Code>) -> Result<Files> {
    let mut problems = Vec::new();
    let bench = bench(path, &mut problems)?;
    let judge = code.or_else(|| own_code(&text)).unwrap_or(Code::Irc);
    let amendments = amendments(path, judge, &mut problems)?;
    let inputs = Inputs {
        text,
        name: path.display().to_string(),
        code,
        bench,
        amendments,
        pins: Vec::new(),
    };
    Ok(Files { inputs, problems })
}

fn bench(path: &Path, problems: &mut Vec<String>) -> Result<BenchSheet> {
    let Some((file, text)) = beside(path, "bench.ron")? else {
        return Ok(BenchSheet::default());
    };
    let (sheet, flaws) = catalog::parse(&text);
    let (_, misfits) = catalog::catalog(&sheet);
    problems.extend(
        flaws
            .iter()
            .chain(&misfits)
            .map(|problem| format!("{}: {problem}", file.display())),
    );
    Ok(sheet)
}

/// The code the layout itself names.
fn own_code(text: &str) -> Option<Code> {
    let (layout, _) = layout::resolve(&layout::read(text, "").file?);
    layout.code.map(|code| match code {
        layout::PermitCode::Irc => Code::Irc,
        layout::PermitCode::Ipc => Code::Ipc,
        layout::PermitCode::Upc => Code::Upc,
    })
}

fn amendments(path: &Path, judge: Code, problems: &mut Vec<String>) -> Result<Vec<Amendment>> {
    let Some((file, text)) = beside(path, "local.ron")? else {
        return Ok(Vec::new());
    };
    let parsed = codes::amend::parse(&text, &file.display().to_string());
    let amendments = parsed.unwrap_or_else(|problem| {
        problems.push(problem.to_string());
        Vec::new()
    });
    // The rules are the same in every code, but their rows differ: judged by the one on the permit.
    let (_, misfits) = codes::rules(judge, &amendments);
    problems.extend(misfits.iter().map(|problem| {
        let line = problem.index.and_then(|index| line_of(&text, index));
        let line = line.map_or_else(String::new, |line| format!(":{line}"));
        format!("{}{line}: {problem}", file.display())
    }));
    Ok(amendments)
}

/// The line that an item of a list begins on, from 1.
fn line_of(text: &str, index: usize) -> Option<usize> {
    let tree = layout::parse(text, "").ok()?;
    let start = tree.items().get(index)?.span.start;
    let before = text.get(..start)?;
    Some(before.matches('\n').count() + 1)
}

/// The shop sheet: the one named, or `NAME.shop.ron` beside the layout; the usual values without either.
pub(crate) fn shop(
    path: &Path,
    named: Option<&Path>,
    problems: &mut Vec<String>,
) -> Result<takeoff::Shop> {
    let sheet = match named {
        Some(file) => Some((file.to_owned(), layout::load(file)?)),
        None => beside(path, "shop.ron")?,
    };
    let Some((file, text)) = sheet else {
        return Ok(takeoff::Shop::default());
    };
    let (shop, flaws) = takeoff::parse_shop(&text);
    problems.extend(
        flaws
            .iter()
            .map(|flaw| format!("{}: {flaw}", file.display())),
    );
    Ok(shop)
}

/// `house.bench.ron` beside `house.ron`, when it is there.
fn beside(path: &Path, ending: &str) -> Result<Option<(PathBuf, String)>> {
    let file = path.with_extension(ending);
    if !file.exists() {
        return Ok(None);
    }
    let text = layout::load(&file).with_context(|| format!("beside {}", path.display()))?;
    Ok(Some((file, text)))
}
