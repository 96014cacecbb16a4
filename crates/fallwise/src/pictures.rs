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
    /// How fast the window is here.
    pub(crate) speeds: bool,
}

#[cfg(feature = "viewer")]
mod with_viewer {
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};

    use anyhow::Context;
    use flow::Outcome;
    use viewer::{BookHooks, Hooks, House, Shot, ViewError, ViewOptions, Viewpoint};

    use super::{Path, PathBuf, Result, Status, Wanted};
    use crate::{field as trench, files, house::house, recent, say, unusable};

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
        let options = ViewOptions {
            plan,
            probe,
            pictures,
            hooks: Some(hooks(file)),
            shelf: Some(viewer::Shelf {
                open: Arc::new(|file| viewer::Opening {
                    load: loader(file),
                    hooks: hooks(file),
                }),
                recent: Arc::new(recent::list),
                remember: Arc::new(recent::remember),
            }),
            ..ViewOptions::default()
        };
        viewer::view(loader(file), file, options)?;
        Ok(Status::NothingFails)
    }

    /// Reads a layout for the window. A new house begins as an empty sheet; a file that goes missing later is told as missing.
    fn loader(file: &Path) -> viewer::Load {
        let again = PathBuf::from(file);
        let new = AtomicBool::new(!file.exists());
        Box::new(move || {
            if new.swap(false, Ordering::Relaxed) && !again.exists() {
                return of_text(&again, viewer::evening::BLANK);
            }
            load(&again)
        })
    }

    /// The flow for a text that is being changed, with the files that stand beside `file`.
    fn hooks(file: &Path) -> Hooks {
        let [run, mend, walk] = [0; 3].map(|_| PathBuf::from(file));
        Hooks {
            run: Arc::new(move |text| of_text(&run, text)),
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
        let [page, line, change, stamped] = [0; 4].map(|_| PathBuf::from(file));
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
            whose_page: Arc::new(move |stamp, old, new| {
                let (Ok(old), Ok(new)) = (run(&stamped, old), run(&stamped, new)) else {
                    return "the layout has mistakes, so no page can be told by it".into();
                };
                let names = [
                    ("the layout as it is now: it holds", &new.1),
                    ("the layout as the window opened it: it is stale", &old.1),
                ];
                ::field::whose_page(stamp, &names)
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

    /// The house of a text that stands in no file yet.
    fn of_text(file: &Path, text: &str) -> Result<House, String> {
        judged(files::read_as(file, text.to_owned(), None).map_err(|error| format!("{error:#}"))?)
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
        if wanted.speeds {
            say(&told(&viewer::speeds(&house, &hooks(file))?))?;
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

    fn told(speeds: &viewer::Speeds) -> String {
        let ms = |time: std::time::Duration| time.as_secs_f64() * 1e3;
        format!(
            "an edit to new triangles     {:8.2} ms (flow {:.2}, bodies {:.2})\n\
             first picture, from nothing  {:8.0} ms\n\
             going round the house        {:8.1} frames a second, {}\n",
            ms(speeds.flow + speeds.bodies),
            ms(speeds.flow),
            ms(speeds.bodies),
            ms(speeds.first),
            speeds.moving,
            if speeds.software {
                "drawn by the processor"
            } else {
                "drawn by a graphics card"
            },
        )
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

    #[cfg(test)]
    mod tests {
        use std::collections::BTreeMap;

        use glam::DVec2;
        use viewer::desk::{Action, Desk};
        use viewer::evening::{BLANK, EveningAsk, Question, Sentence};

        use super::*;

        fn ask(desk: &mut Desk, what: EveningAsk) {
            desk.take(Action::Evening(what));
        }

        /// Answers one question by clicks and typing, as the panel does.
        fn tell(
            desk: &mut Desk,
            question: Question,
            clicks: &[(f64, f64)],
            typed: &[(&str, &str)],
        ) {
            ask(desk, EveningAsk::Go(question));
            for (x, y) in clicks {
                desk.evening.click(DVec2::new(*x, *y));
            }
            let typed = typed
                .iter()
                .map(|(key, text)| ((*key).into(), (*text).into()));
            ask(
                desk,
                EveningAsk::Typing(typed.collect::<BTreeMap<String, String>>()),
            );
            ask(desk, EveningAsk::Write);
            assert_eq!(desk.evening.wrong, None, "{question:?}");
        }

        #[test]
        #[allow(clippy::too_many_lines, reason = "one evening, told in one go")]
        fn a_house_is_told_from_an_empty_sheet_by_clicks_and_typing() {
            let file = Path::new("new house.ron");
            let mut desk = Desk::new(of_text(file, BLANK).unwrap(), "new house.ron".into());
            desk.flight_seconds = 0.0;
            desk.make_changeable(hooks(file));
            desk.open_evening_if_blank();
            assert_eq!(desk.evening.at, Some(Question::Picture));
            let at_first = desk.house.to_tell.len();
            tell(&mut desk, Question::Code, &[], &[("code", "irc")]);
            assert_eq!(desk.house.layout.code, Some(layout::PermitCode::Irc));
            assert_eq!(desk.evening.at, Some(Question::Outline));
            let corners = [(3.0, 2.0), (484.0, 8.0), (480.0, 339.0), (1.0, 333.0)];
            tell(
                &mut desk,
                Question::Outline,
                &corners,
                &[("side 0", "40'"), ("side 1", "28'")],
            );
            assert_eq!(desk.evening.at, Some(Question::Build));
            let build = [
                ("concrete", "4"),
                ("foam", "2"),
                ("gravel", "4"),
                ("edge", "stem_wall"),
                ("thick", "8"),
                ("bottom", "32"),
                ("wide", "16"),
                ("high", "8"),
            ];
            tell(&mut desk, Question::Build, &[], &build);
            let receiver = [("below", "4'-6"), ("far", "30'"), ("known", "told")];
            tell(&mut desk, Question::Receiver, &[], &receiver);
            tell(
                &mut desk,
                Question::Ground,
                &[],
                &[("near", "8"), ("out", "12"), ("frost", "10")],
            );
            tell(&mut desk, Question::WallsRound, &[], &[("board", "1/2")]);
            let wall = [
                ("name", "bath wall"),
                ("framing", "\"2x6\""),
                ("board", "1/2"),
                ("side 0", "16'"),
            ];
            tell(
                &mut desk,
                Question::Wall,
                &[(360.0, 100.0), (362.0, 290.0)],
                &wall,
            );
            tell(
                &mut desk,
                Question::Closet,
                &[(340.0, 150.0)],
                &[("along", "4'")],
            );
            let shower = [
                ("kind", "shower"),
                ("east", "27'"),
                ("north", "18'"),
                ("drop", "2 1/2"),
            ];
            tell(&mut desk, Question::Bathing, &[(324.0, 216.0)], &shower);
            tell(
                &mut desk,
                Question::Sink,
                &[(358.0, 250.0)],
                &[("along", "12'-6")],
            );
            let island = [
                ("name", "island"),
                ("long", "6'"),
                ("deep", "3'"),
                ("turn", "30"),
            ];
            tell(&mut desk, Question::Cabinet, &[(150.0, 200.0)], &island);
            let sink = [("kind", "kitchen_sink")];
            tell(&mut desk, Question::Sink, &[(155.0, 204.0)], &sink);
            tell(&mut desk, Question::Room, &[], &[("kind", "bath")]);
            tell(
                &mut desk,
                Question::Exit,
                &[(204.0, 5.0)],
                &[("along", "17'")],
            );
            tell(
                &mut desk,
                Question::Main,
                &[(360.0, 250.0), (210.0, 106.0)],
                &[],
            );
            tell(&mut desk, Question::Join, &[], &[]);
            tell(&mut desk, Question::Cleanout, &[(210.0, -40.0)], &[]);
            tell(
                &mut desk,
                Question::Vent,
                &[],
                &[("which", "basin"), ("how", "riser")],
            );
            for which in ["toilet", "shower"] {
                let wet = [("which", which), ("how", "wet"), ("by", "basin")];
                tell(&mut desk, Question::Vent, &[], &wet);
            }

            let layout = &desk.house.layout;
            let slab = layout.slab.as_ref().unwrap();
            let wanted = [(0.0, 0.0), (480.0, 0.0), (480.0, 336.0), (0.0, 336.0)];
            assert_eq!(slab.outline, wanted.map(|(x, y)| DVec2::new(x, y)));
            assert_eq!((slab.layers.len(), slab.zones.len()), (3, 1));
            assert_eq!(layout.walls.iter().filter(|wall| wall.on_edge).count(), 4);
            assert_eq!((layout.fixtures.len(), layout.runs.len()), (4, 4));
            let closet = &layout.fixtures[0];
            // Half a 2x6, half an inch of board and the rough-in west of the wall's middle line.
            assert_eq!(closet.at, DVec2::new(360.0 - 2.75 - 0.5 - 12.0, 148.0));
            // The last bend is drawn to where the leg out meets the edge square.
            assert_eq!(layout.runs[0].via[0].x, 204.0);
            assert_eq!(desk.house.lines.len(), 4, "all of it drains");
            // Six inches aside of the line outside it was meant for that line, and stands on it.
            let cleanout = &layout.cleanouts[0];
            assert_eq!(cleanout.at, DVec2::new(204.0, -40.0));
            assert_eq!(
                (cleanout.outside.as_ref(), cleanout.cleans),
                (Some(&layout.drains[0].id), layout::Cleans::Both)
            );
            let open: Vec<Sentence> = Sentence::ALL
                .into_iter()
                .filter(|one| !one.is_told(&desk.house, true))
                .collect();
            assert_eq!(open, [Sentence::Vents], "the kitchen's vent is not told");
            assert!(
                desk.house.to_tell.len() < at_first + 8,
                "{:?}",
                desk.house.to_tell
            );
            // The shower's drain drawn anew, on to the run it joins: no second one, and it joins where it was clicked.
            let clicked = [(324.0, 216.0), (324.0, 180.0), (290.0, 146.0)];
            tell(&mut desk, Question::Main, &clicked, &[]);
            let runs = &desk.house.layout.runs;
            let showers = runs
                .iter()
                .filter(|run| run.from == layout::RunStart::Fixture("shower".into()));
            let [run] = showers.collect::<Vec<_>>()[..] else {
                panic!("{runs:?}");
            };
            let layout::RunEnd::Run { at: Some(at), .. } = &run.to else {
                panic!("{run:?}");
            };
            assert!(at.distance(DVec2::new(290.0, 146.0)) < 12.0, "{at}");
            desk.take(viewer::desk::Action::Asked(viewer::keys::Asked::Undo));
            // The main line drawn anew: it does not run into itself, and keeps what else was told of it.
            let size = layout::Edit::set(["runs", "main line", "grades"], "[\"1/4\"]");
            ask(&mut desk, EveningAsk::Change(size));
            let clicked = [(360.0, 250.0), (204.0, 94.0)];
            tell(&mut desk, Question::Main, &clicked, &[]);
            let main = desk
                .house
                .layout
                .runs
                .iter()
                .find(|run| run.id.as_str() == "main line");
            let main = main.unwrap();
            assert!(matches!(main.to, layout::RunEnd::Drain(_)), "{main:?}");
            assert_eq!(main.menu, [units::Grade::QUARTER]);
            desk.take(viewer::desk::Action::Asked(viewer::keys::Asked::Undo));
            // The island's loop: its wall, then where it goes up; where it comes down stands in the blanks already.
            let wall = [
                ("name", "kitchen wall"),
                ("framing", "\"2x6\""),
                ("side 0", "12'"),
            ];
            let clicked = [(100.0, 280.0), (240.0, 282.0)];
            tell(&mut desk, Question::Wall, &clicked, &wall);
            let sink = "kitchen sink";
            let looped = [("which", sink), ("how", "island_loop")];
            tell(&mut desk, Question::Vent, &[(190.0, 281.0)], &looped);
            let layout = &desk.house.layout;
            let fixture = layout.fixtures.iter().find(|one| one.id.as_str() == sink);
            let layout::Vent::IslandLoop { down, .. } = fixture.unwrap().vent else {
                panic!("{fixture:?}");
            };
            // Five inches down its drain and thirteen aside of it, written to the inch each way.
            let away = down.distance(fixture.unwrap().at);
            assert!((away - 5.0_f64.hypot(13.0)).abs() < 1.0, "{away}");
            let open = Sentence::ALL
                .iter()
                .filter(|one| !one.is_told(&desk.house, true));
            assert_eq!(open.count(), 0, "all is told");
            let text = desk.edit.draft.text();
            assert!(text.starts_with("// Lengths are text"), "{text}");
            // And all of it can be undone.
            for _ in 0..40 {
                desk.take(Action::Asked(viewer::keys::Asked::Undo));
            }
            assert_eq!(desk.edit.draft.text(), BLANK);
        }

        #[test]
        fn what_is_missing_is_asked_for_and_nothing_is_written() {
            let file = Path::new("new house.ron");
            let mut desk = Desk::new(of_text(file, BLANK).unwrap(), "new house.ron".into());
            desk.make_changeable(hooks(file));
            for (question, wanted) in [
                (Question::Outline, "three corners"),
                (Question::Build, "nothing is typed"),
                (Question::WallsRound, "slab's shape"),
                (Question::Wall, "click where"),
                (Question::Closet, "click on the plan"),
                (Question::Main, "way out"),
                (Question::Join, "every fixture has its drain"),
            ] {
                ask(&mut desk, EveningAsk::Go(question));
                ask(&mut desk, EveningAsk::Write);
                let wrong = desk.evening.wrong.clone().unwrap_or_default();
                assert!(wrong.contains(wanted), "{question:?}: {wrong}");
            }
            assert_eq!(desk.edit.draft.text(), BLANK);
        }
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
