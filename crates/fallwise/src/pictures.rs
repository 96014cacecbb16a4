//! The window and the pictures; where this build has none, one line that says so.

use std::path::{Path, PathBuf};

use anyhow::Result;

use crate::Status;

/// Which pictures.
#[cfg_attr(
    not(feature = "viewer"),
    allow(dead_code, reason = "a build without pictures only says so")
)]
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wanted<'a> {
    /// The whole house, as this file.
    pub(crate) output: Option<&'a Path>,
    /// The glue-up walk, into this folder.
    pub(crate) walk: Option<&'a Path>,
    /// Every feature of the window, into this folder.
    pub(crate) tour: Option<&'a Path>,
}

#[cfg(feature = "viewer")]
mod with_viewer {
    use std::sync::Arc;

    use anyhow::Context;
    use flow::Outcome;
    use viewer::{BookHooks, Hooks, House, Shot, ViewError, ViewOptions, Viewpoint};

    use super::{Path, PathBuf, Result, Status, Wanted};
    use crate::{field as trench, files, house::house, say, unusable};

    /// A picture of the walk: a phone held upright, pixels.
    const WALK_SIZE: (u32, u32) = (1080, 1440);
    /// Its text against the window's.
    const WALK_TEXT: f32 = 1.7;

    /// `told` is where tests read: the probe's file and the folder of pictures.
    pub(crate) fn view(
        file: &Path,
        plan: Option<PathBuf>,
        (probe, pictures): (Option<PathBuf>, Option<PathBuf>),
    ) -> Result<Status> {
        let again = PathBuf::from(file);
        let load = Box::new(move || load(&again));
        let options = ViewOptions {
            plan,
            probe,
            pictures,
            hooks: Some(hooks(file)),
            ..ViewOptions::default()
        };
        viewer::view(load, file, options)?;
        Ok(Status::NothingFails)
    }

    /// The flow for a text that is being changed, with the files that stand beside `file`.
    fn hooks(file: &Path) -> Hooks {
        let [run, mend, walk] = [0; 3].map(|_| PathBuf::from(file));
        Hooks {
            run: Arc::new(move |text| {
                judged(files::read_as(&run, text.to_owned(), None).map_err(|e| format!("{e:#}"))?)
            }),
            walk: Arc::new(move |text| {
                let read = files::read_as(&walk, text.to_owned(), None);
                read.map_or_else(
                    |_| Vec::new(),
                    |read| crate::walk::steps(&flow::run(&read.inputs)),
                )
            }),
            mends: Arc::new(move |text| {
                let Ok(read) = files::read_as(&mend, text.to_owned(), None) else {
                    return Vec::new();
                };
                crate::house::mends(&read.inputs)
            }),
            book: book_hooks(file),
        }
    }

    /// The field book of a text that may be changing, with the files that stand beside `file`.
    fn book_hooks(file: &Path) -> BookHooks {
        let [page, line, change] = [0; 3].map(|_| PathBuf::from(file));
        BookHooks {
            sheet: Arc::new(move |text, book, stage| {
                let (inputs, outcome) = run(&page, text)?;
                let (book, problems) = trench::in_order(&outcome, book, &book_name(&page));
                if !problems.is_empty() {
                    let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
                    return Err(lines.join("\n"));
                }
                let stage = stage.unwrap_or_else(|| ::field::stage_at_hand(&book));
                ::field::sheet(&inputs, &outcome, &book, stage).map_err(|e| e.to_string())
            }),
            note: Arc::new(move |text, book, due, typed, session, sure| {
                let outcome = match run(&line, text) {
                    Ok((_, outcome)) => outcome,
                    Err(wrong) => return ::field::Noted::Wrong(wrong),
                };
                session.when = trench::now();
                let name = book_name(&line);
                ::field::note(&outcome, (book, &name), due, typed, session, sure)
            }),
            changes: Arc::new(move |old, new, book| {
                let ran = run(&change, old).and_then(|old| Ok((old.1, run(&change, new)?.1)));
                let Ok((old, new)) = ran else {
                    return Vec::new();
                };
                let (book, _) = trench::in_order(&old, book, &book_name(&change));
                let shop = crate::changes::shop(&change, &change, None).unwrap_or_default();
                ::field::changes(&old, &new, &book, &shop).sections()
            }),
        }
    }

    fn book_name(file: &Path) -> String {
        trench::book_of(file).display().to_string()
    }

    fn run(file: &Path, text: &str) -> Result<(flow::Inputs, flow::Outcome), String> {
        let read = files::read_as(file, text.to_owned(), None).map_err(|e| format!("{e:#}"))?;
        let outcome = flow::run(&read.inputs);
        Ok((read.inputs, outcome))
    }

    /// Reads the house; all that is wrong as one text, a mistake a line, for the screen.
    fn load(file: &Path) -> Result<House, String> {
        judged(files::read(file, None).map_err(|error| format!("{error:#}"))?)
    }

    fn judged(read: files::Files) -> Result<House, String> {
        let outcome = flow::run(&read.inputs);
        let problems: Vec<String> = outcome
            .problems
            .iter()
            .map(ToString::to_string)
            .chain(read.problems)
            .collect();
        if problems.is_empty() {
            Ok(house(&outcome, &read.inputs.text))
        } else {
            Err(problems.join("\n"))
        }
    }

    pub(crate) fn picture(file: &Path, wanted: &Wanted<'_>) -> Result<Status> {
        let read = files::read(file, None)?;
        let outcome = flow::run(&read.inputs);
        if let Some(status) = unusable(&outcome, &read.problems)? {
            return Ok(status);
        }
        let house = house(&outcome, &read.inputs.text);
        if let Some(output) = wanted.output {
            draw(&house, Viewpoint::House, output)?;
            say(&format!("wrote {}\n", output.display()))?;
        }
        if let Some(folder) = wanted.walk {
            walk_pictures(&house, crate::walk::steps(&outcome), folder)?;
        }
        if let Some(folder) = wanted.tour {
            make(folder)?;
            for (name, picture) in viewer::tour(house, hooks(file))? {
                let output = folder.join(format!("{name}.png"));
                picture.save_png(&output)?;
                say(&format!("wrote {}\n", output.display()))?;
            }
        }
        Ok(Status::NothingFails)
    }

    fn make(folder: &Path) -> Result<()> {
        std::fs::create_dir_all(folder)
            .with_context(|| format!("can't make the folder {}", folder.display()))
    }

    /// A picture a piece, numbered in the order they are glued.
    fn walk_pictures(house: &House, steps: Vec<viewer::WalkStep>, folder: &Path) -> Result<()> {
        make(folder)?;
        let mut shot = Shot {
            width: WALK_SIZE.0,
            height: WALK_SIZE.1,
            text: WALK_TEXT,
            walk: Some((steps, 0)),
            ..Shot::default()
        };
        let n = shot.walk.as_ref().map_or(0, |(steps, _)| steps.len());
        for at in 0..n {
            if let Some(walk) = &mut shot.walk {
                walk.1 = at;
            }
            let output = folder.join(format!("{:03}.png", at + 1));
            viewer::picture(house, &shot)?.save_png(&output)?;
            say(&format!("wrote {}\n", output.display()))?;
        }
        Ok(())
    }

    fn draw(house: &House, viewpoint: Viewpoint, output: &Path) -> Result<(), ViewError> {
        viewer::picture(
            house,
            &Shot {
                viewpoint,
                ..Shot::default()
            },
        )?
        .save_png(output)
    }

    /// One line a picture, or why there are none.
    pub(crate) fn of_demo(outcome: &Outcome, folder: &Path) -> String {
        let house = house(outcome, "");
        let views = [
            ("house.png", Viewpoint::House),
            ("plan.png", Viewpoint::Plan),
            ("below.png", Viewpoint::Below),
            ("afoot.png", Viewpoint::Afoot),
        ];
        let mut said = String::new();
        for (name, viewpoint) in views {
            let output = folder.join(name);
            match draw(&house, viewpoint, &output).with_context(|| output.display().to_string()) {
                Ok(()) => said.push_str(&format!("wrote {}\n", output.display())),
                Err(error) => return format!("{said}{}\n", error.root_cause()),
            }
        }
        said
    }
}

#[cfg(feature = "viewer")]
pub(crate) use with_viewer::{of_demo, picture, view};

/// What a build without the viewer says.
#[cfg(not(feature = "viewer"))]
const NONE: &str = "this build has no pictures; install fallwise without --no-default-features";

#[cfg(not(feature = "viewer"))]
pub(crate) fn view(
    _file: &Path,
    _plan: Option<PathBuf>,
    _told: (Option<PathBuf>, Option<PathBuf>),
) -> Result<Status> {
    anyhow::bail!(NONE)
}

#[cfg(not(feature = "viewer"))]
pub(crate) fn picture(_file: &Path, _wanted: &Wanted<'_>) -> Result<Status> {
    anyhow::bail!(NONE)
}

#[cfg(not(feature = "viewer"))]
pub(crate) fn of_demo(_outcome: &flow::Outcome, _folder: &Path) -> String {
    format!("pictures were skipped: {NONE}\n")
}
