//! The pages: one PDF, or each page by itself; where this build has none, one line that says so.

use std::path::Path;

use anyhow::Result;

use crate::{
    Status,
    args::{Form, PaperSize},
};

#[cfg(feature = "packet")]
mod with_pages {
    use std::time::{Duration, Instant};

    use anyhow::Context;
    use codes::Code;
    use sheets::{Options, Page, Paper};

    use super::{Form, PaperSize, Path, Result, Status};
    use crate::{field as trench, files, say, unusable};

    /// Dots an inch of a page written as PNG: readable on a phone when drawn larger.
    const DOTS: u32 = 150;
    /// What takes longer than this says that it goes on.
    const SILENCE: Duration = Duration::from_millis(500);

    pub(crate) fn packet(
        file: &Path,
        output: &Path,
        paper: PaperSize,
        large: bool,
    ) -> Result<Status> {
        let (pages, title) = match pages(file, paper, large)? {
            Ok(pages) => pages,
            Err(status) => return Ok(status),
        };
        let bytes = sheets::pdf(&pages, &title)?;
        std::fs::write(output, bytes)
            .with_context(|| format!("can't write {}", output.display()))?;
        say(&format!(
            "wrote {}, {}\n",
            output.display(),
            counted(pages.len())
        ))?;
        Ok(Status::NothingFails)
    }

    pub(crate) fn sheets(
        file: &Path,
        folder: &Path,
        form: Form,
        paper: PaperSize,
        large: bool,
    ) -> Result<Status> {
        let (pages, title) = match pages(file, paper, large)? {
            Ok(pages) => pages,
            Err(status) => return Ok(status),
        };
        std::fs::create_dir_all(folder)
            .with_context(|| format!("can't make the folder {}", folder.display()))?;
        let start = Instant::now();
        for (n, page) in pages.iter().enumerate() {
            if start.elapsed() > SILENCE {
                tell_progress(&format!(
                    "page {} of {}: {}",
                    n + 1,
                    pages.len(),
                    page.title
                ));
            }
            let name = format!("{:02}-{}.{}", n + 1, page.name, form.ending());
            let at = folder.join(name);
            std::fs::write(&at, written(page, form, &title)?)
                .with_context(|| format!("can't write {}", at.display()))?;
        }
        say(&format!(
            "wrote {} into {}\n",
            counted(pages.len()),
            folder.display()
        ))?;
        Ok(Status::NothingFails)
    }

    /// Writes the demo's packet into its folder and says so.
    pub(crate) fn of_demo(file: &Path, folder: &Path) -> Result<String> {
        let Ok((pages, title)) = pages(file, PaperSize::Letter, false)? else {
            return Ok(String::new());
        };
        let at = folder.join("packet.pdf");
        std::fs::write(&at, sheets::pdf(&pages, &title)?)
            .with_context(|| format!("can't write {}", at.display()))?;
        Ok(format!(
            "wrote {}, {}\n",
            at.display(),
            counted(pages.len())
        ))
    }

    fn written(page: &Page, form: Form, title: &str) -> Result<Vec<u8>> {
        Ok(match form {
            Form::Pdf => sheets::pdf(std::slice::from_ref(page), title)?,
            Form::Svg => sheets::svg(page).into_bytes(),
            Form::Png => sheets::png(page, DOTS)?,
        })
    }

    /// The composed pages and the layout's title; or how it ended when the document cannot be used.
    fn pages(
        file: &Path,
        paper: PaperSize,
        large: bool,
    ) -> Result<Result<(Vec<Page>, String), Status>> {
        let read = files::read(file, None)?;
        let mut problems = read.problems;
        let mut shop = files::shop(file, None, &mut problems)?;
        let outcome = flow::run(&read.inputs);
        if let Some(status) = unusable(&outcome, &problems)? {
            return Ok(Err(status));
        }
        if let Some(head) = outcome.rules.pressure_test().head {
            shop.test_head = head.value * 12.0;
        }
        let measured = match measured(file, &outcome)? {
            Ok(measured) => measured,
            Err(status) => return Ok(Err(status)),
        };
        let takeoff = takeoff::take(&outcome.layout, &outcome.assembly, &outcome.catalog, &shop);
        let rules = Code::ALL.map(|code| codes::rules(code, &read.inputs.amendments).0);
        let found = flow::judge_each(&outcome, &rules);
        let judged: Vec<_> = Code::ALL.into_iter().zip(found).collect();
        let questions = checks::questions(&judged, &rules);
        let options = Options {
            paper: match paper {
                PaperSize::Letter => Paper::Letter,
                PaperSize::Tabloid => Paper::Tabloid,
                PaperSize::A4 => Paper::A4,
                PaperSize::A3 => Paper::A3,
            },
            large,
        };
        let pages = sheets::compose(&outcome, &takeoff, &questions, &measured, &options);
        Ok(Ok((pages, outcome.layout.title.clone())))
    }

    /// What the field book beside the layout says; nothing when there is none.
    fn measured(file: &Path, outcome: &flow::Outcome) -> Result<Result<field::Judged, Status>> {
        let book = trench::book_of(file);
        if !book.exists() {
            return Ok(Ok(field::Judged::default()));
        }
        let name = book.display().to_string();
        let (book, problems) = trench::in_order(outcome, &layout::load(&book)?, &name);
        if problems.is_empty() {
            Ok(Ok(field::judge(outcome, &book)))
        } else {
            trench::told(&problems).map(Err)
        }
    }

    fn counted(pages: usize) -> String {
        format!("{pages} {}", if pages == 1 { "page" } else { "pages" })
    }

    /// To where errors go, so that a pipe carries only what was asked for.
    fn tell_progress(words: &str) {
        use std::io::Write;
        // A closed terminal leaves nobody to tell.
        let _ = writeln!(anstream::stderr(), "{words}");
    }
}

#[cfg(feature = "packet")]
pub(crate) use with_pages::{of_demo, packet, sheets};

#[cfg(not(feature = "packet"))]
mod without {
    use anyhow::bail;

    use super::{Form, PaperSize, Path, Result, Status};

    const WHY: &str = "this build has no pages; build it with its usual features";

    #[allow(clippy::unnecessary_wraps)] // as the one with pages
    pub(crate) fn of_demo(_: &Path, _: &Path) -> Result<String> {
        Ok(String::new())
    }

    pub(crate) fn packet(_: &Path, _: &Path, _: PaperSize, _: bool) -> Result<Status> {
        bail!(WHY)
    }

    pub(crate) fn sheets(_: &Path, _: &Path, _: Form, _: PaperSize, _: bool) -> Result<Status> {
        bail!(WHY)
    }
}

#[cfg(not(feature = "packet"))]
pub(crate) use without::{of_demo, packet, sheets};
