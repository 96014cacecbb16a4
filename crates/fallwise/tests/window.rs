//! The window as its user has it: a real window on a display, moved and clicked from outside.
//!
//! The window tells where things are (`--probe`) each time it has come to rest; the test waits for that and never sleeps
//! for a guessed time. All of it is in `on_a_display`, which the steps without a display leave out.

#![allow(clippy::unwrap_used, reason = "a test stops where it fails")]

mod on_a_display {
    use std::{
        fs,
        path::{Path, PathBuf},
        process::{Child, Command, Stdio},
        time::{Duration, Instant},
    };

    use serde_json::Value;

    /// Longer than a loaded machine takes to open the window and draw by its processor.
    const PATIENCE: Duration = Duration::from_mins(3);

    struct Window {
        child: Child,
        probe: PathBuf,
        folder: tempfile::TempDir,
        layout: PathBuf,
    }

    impl Drop for Window {
        fn drop(&mut self) {
            // The test may have failed with the window open; it has nothing to save.
            let _ = self.child.kill();
            let _ = self.child.wait();
        }
    }

    impl Window {
        /// Opens the demo house and waits for its first picture at rest.
        fn open() -> (Self, Value) {
            let folder = tempfile::tempdir().unwrap();
            let layout = folder.path().join("demo.ron");
            fs::write(&layout, include_str!("../../../scenes/demo.ron")).unwrap();
            Self::open_in(folder)
        }

        /// Opens the house that lies in a folder.
        fn open_in(folder: tempfile::TempDir) -> (Self, Value) {
            let layout = folder.path().join("demo.ron");
            let probe = folder.path().join("probe.json");
            let child = Command::new(env!("CARGO_BIN_EXE_fallwise"))
                .arg("view")
                .arg(&layout)
                .arg("--probe")
                .arg(&probe)
                .arg("--pictures")
                .arg(folder.path())
                .env("XDG_STATE_HOME", folder.path().join("state"))
                .stdout(Stdio::null())
                .spawn()
                .unwrap();
            let mut window = Self {
                child,
                probe,
                folder,
                layout,
            };
            let first = window.until("the first picture", |state| settled(state) > 0);
            xdotool(&[
                "search",
                "--sync",
                "--onlyvisible",
                "--class",
                "fallwise",
                "windowfocus",
                "--sync",
            ]);
            (window, first)
        }

        /// Acts again and again, as a person does whose first try was not seen, until the window at rest is as wanted.
        fn until_doing(
            &mut self,
            what: &str,
            act: impl Fn(),
            wanted: impl Fn(&Value) -> bool,
        ) -> Value {
            for _ in 0..10 {
                act();
                if let Some(state) = self.within(Duration::from_secs(10), &wanted) {
                    return state;
                }
            }
            let last = fs::read_to_string(&self.probe).unwrap_or_default();
            panic!("tried in vain for {what}; the window's last word: {last}");
        }

        /// Waits until the window at rest is as wanted.
        fn until(&mut self, what: &str, wanted: impl Fn(&Value) -> bool) -> Value {
            self.within(PATIENCE, &wanted)
                .unwrap_or_else(|| panic!("waited in vain for {what}"))
        }

        fn within(&mut self, patience: Duration, wanted: impl Fn(&Value) -> bool) -> Option<Value> {
            let start = Instant::now();
            while start.elapsed() < patience {
                if let Some(status) = self.child.try_wait().unwrap() {
                    panic!("the window closed with {status}");
                }
                let text = fs::read_to_string(&self.probe).unwrap_or_default();
                if let Some(state) = serde_json::from_str(&text).ok().filter(&wanted) {
                    return Some(state);
                }
                std::thread::sleep(Duration::from_millis(50));
            }
            None
        }
    }

    /// Kills the window's process where it stands, as a power cut does, and gives its folder.
    fn killed(mut window: Window) -> tempfile::TempDir {
        window.child.kill().unwrap();
        window.child.wait().unwrap();
        // What it told last is not what the next window tells first.
        fs::remove_file(&window.probe).unwrap();
        let empty = tempfile::tempdir().unwrap();
        std::mem::replace(&mut window.folder, empty)
    }

    /// A key pressed while Control is held, at a hand's pace.
    fn control(key: &str) {
        let pause = ["sleep", "0.3"];
        let mut args = vec!["keydown", "ctrl"];
        args.extend(pause);
        args.extend(["key", key]);
        args.extend(pause);
        args.extend(["keyup", "ctrl"]);
        xdotool(&args);
    }

    /// Takes hold at one place and lets go at another.
    fn pull(from: (u32, u32), to: (u32, u32)) {
        let text = |n: u32| n.to_string();
        xdotool(&["mousemove", &text(from.0), &text(from.1), "sleep", "0.5"]);
        xdotool(&["mousedown", "1", "sleep", "0.5"]);
        for part in 1..=4 {
            let way = |a: u32, b: u32| text((a * (4 - part) + b * part) / 4);
            xdotool(&[
                "mousemove",
                &way(from.0, to.0),
                &way(from.1, to.1),
                "sleep",
                "0.3",
            ]);
        }
        xdotool(&["mouseup", "1"]);
    }

    /// A drag at a hand's pace: pressed and let go within one frame it is none.
    fn drag() {
        xdotool(&[
            "mousemove",
            "480",
            "420",
            "sleep",
            "0.4",
            "mousedown",
            "1",
            "sleep",
            "0.4",
        ]);
        xdotool(&[
            "mousemove",
            "500",
            "420",
            "sleep",
            "0.3",
            "mousemove",
            "560",
            "420",
            "sleep",
            "0.3",
            "mouseup",
            "1",
        ]);
    }

    fn xdotool(args: &[&str]) {
        let status = Command::new("xdotool")
            .args(args)
            .stdout(Stdio::null())
            .status();
        assert!(
            status.expect("xdotool is installed").success(),
            "xdotool {args:?}"
        );
    }

    fn settled(state: &Value) -> u64 {
        state["settled"].as_u64().unwrap_or(0)
    }

    /// Places of the pipes (or marks) of one id that stand free on screen.
    fn places(state: &Value, list: &str, id: &str) -> Vec<(u32, u32)> {
        let all = state[list].as_array().unwrap().iter();
        let free = all
            .filter(|seen| seen["id"] == id && seen["visible"] == true && seen["covered"] == false);
        let pixel = |value: &Value| {
            // Pixels of a window: small, and checked to be in it by `visible`.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let whole = value.as_f64().unwrap_or(0.0).max(0.0) as u32;
            whole
        };
        free.map(|seen| (pixel(&seen["x"]), pixel(&seen["y"])))
            .collect()
    }

    /// Whether the window's picture has a pixel near a place whose green is well above its red and blue, as the drains
    /// (APWA sewer green) have.
    fn green_near(picture: &Path, (x, y): (u32, u32)) -> bool {
        let text = Command::new("convert")
            .arg(picture)
            .args([
                "-crop",
                &format!("9x9+{}+{}", x.saturating_sub(4), y.saturating_sub(4)),
                "-depth",
                "8",
                "rgb:-",
            ])
            .output()
            .expect("imagemagick is installed");
        text.stdout.chunks_exact(3).any(|p| {
            i32::from(p[1]) > i32::from(p[0]) + 25 && i32::from(p[1]) > i32::from(p[2]) + 15
        })
    }

    #[test]
    fn opens_moves_picks_a_finding_and_follows_the_file() {
        let (mut window, first) = Window::open();

        // Known pipes have the drains' colour where the probe says they are.
        let picture = PathBuf::from(
            first["screenshot"]
                .as_str()
                .expect("pictures were asked for"),
        );
        let drains: Vec<(u32, u32)> = [
            "trunk",
            "kitchen drain",
            "main closet drain",
            "utility drain",
        ]
        .iter()
        .flat_map(|id| places(&first, "pipes", id))
        .collect();
        assert!(
            drains.len() >= 3,
            "the drains stand free in the first picture: {first}"
        );
        let green = drains
            .iter()
            .filter(|place| green_near(&picture, **place))
            .count();
        assert!(
            green * 3 >= drains.len() * 2,
            "{green} of {} drains are green",
            drains.len()
        );
        assert!(!green_near(&picture, (12, 60)), "the sky is not green");
        assert!(
            !places(&first, "marks", "kitchen sink").is_empty(),
            "the sink's stub is in the picture"
        );
        assert!(first["first_frame_ms"].as_u64().unwrap() > 0);

        // Going round by dragging moves the eye and keeps what it looks at.
        let turned = window.until_doing("the eye to move", drag, |state| {
            state["eye"] != first["eye"]
        });
        assert_eq!(turned["target"], first["target"]);

        // The next finding is picked and flown to.
        let flown = window.until_doing(
            "a finding to be picked",
            || xdotool(&["key", "n"]),
            |state| state["picked"].is_u64(),
        );
        assert_ne!(flown["target"], turned["target"]);
        window.until_doing(
            "the whole house again",
            || xdotool(&["key", "space"]),
            |state| state["target"] == first["target"],
        );

        // A broken file is told over the last good house; a mended one is shown.
        let text = fs::read_to_string(&window.layout).unwrap();
        fs::write(
            &window.layout,
            text.replace("size: \"4 in\", sleeve", "size: \"5 in\", sleeve"),
        )
        .unwrap();
        let told = window.until("the mistake on screen", |state| state["error"].is_string());
        assert!(
            told["error"]
                .as_str()
                .unwrap()
                .contains("\"5 in\" is not a pipe size"),
            "{}",
            told["error"]
        );
        assert_eq!(told["hash"], first["hash"]);
        fs::write(
            &window.layout,
            text.replace("Larkfield house", "Larkfield house, mended"),
        )
        .unwrap();
        window.until("the mended house", |state| {
            state["error"].is_null() && state["hash"] != first["hash"]
        });
    }

    #[test]
    fn a_stub_is_dragged_judged_undone_saved_and_found_again_after_a_crash() {
        let (mut window, first) = Window::open();
        let original = fs::read_to_string(&window.layout).unwrap();
        let moving = window.until_doing(
            "rings to take hold of",
            || xdotool(&["key", "e"]),
            |state| state["moving"] == true,
        );
        let count = |state: &Value| state["findings"].as_array().unwrap().len();
        let stub = |state: &Value| {
            let all = state["marks"].as_array().unwrap().clone();
            let one = all
                .into_iter()
                .find(|m| m["id"] == "main shower" && m["kind"] == "Stub");
            let one = one.expect("the shower's drain is marked");
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let whole = |value: &Value| value.as_f64().unwrap().max(0.0) as u32;
            (whole(&one["x"]), whole(&one["y"]))
        };

        // The shower's drain is brought far from its vent, and the window says so.
        let (x, y) = stub(&moving);
        pull((x, y), (x + 70, y - 20));
        let dragged = window.until("a finding", |state| count(state) > count(&first));
        assert_ne!(dragged["hash"], first["hash"]);
        assert_eq!(dragged["unsaved"], true);
        assert_ne!(stub(&dragged), (x, y));
        assert_eq!(fs::read_to_string(&window.layout).unwrap(), original);

        let undone = window.until_doing(
            "the house as it was",
            || control("z"),
            |state| state["hash"] == first["hash"],
        );
        assert_eq!(
            (count(&undone), &undone["unsaved"]),
            (count(&first), &Value::Bool(false))
        );
        window.until_doing(
            "it done again",
            || control("y"),
            |state| state["hash"] == dragged["hash"],
        );

        // Killed before it was saved: opened again, it offers the work.
        let folder = killed(window);
        let (mut window, again) = Window::open_in(folder);
        assert_eq!(again["question"], "found");
        assert_eq!(again["hash"], first["hash"]);
        let answer = again["answers"][0].as_array().unwrap();
        let (x, y) = (answer[0].to_string(), answer[1].to_string());
        let taken = window.until_doing(
            "the work taken up",
            || xdotool(&["mousemove", &x, &y, "sleep", "0.4", "click", "1"]),
            |state| state["hash"] == dragged["hash"],
        );
        assert_eq!(taken["unsaved"], true);

        let saved = window.until_doing(
            "it saved",
            || control("s"),
            |state| state["unsaved"] == false,
        );
        assert_eq!(saved["hash"], dragged["hash"]);
        let text = fs::read_to_string(&window.layout).unwrap();
        assert_ne!(text, original);
        assert_eq!(
            text.lines()
                .filter(|line| line.trim_start().starts_with("//"))
                .count(),
            original
                .lines()
                .filter(|line| line.trim_start().starts_with("//"))
                .count(),
            "comments stay"
        );
        let folder = killed(window);
        let (_window, last) = Window::open_in(folder);
        assert_eq!(
            (&last["hash"], &last["question"]),
            (&dragged["hash"], &Value::Null)
        );
    }

    /// A click at a hand's pace.
    fn click(x: u32, y: u32) {
        let (x, y) = (x.to_string(), y.to_string());
        xdotool(&["mousemove", &x, &y, "sleep", "0.5", "mousedown", "1"]);
        xdotool(&["sleep", "0.4", "mouseup", "1", "sleep", "1.5"]);
    }

    #[test]
    fn a_new_house_is_begun_on_an_empty_sheet_and_saved() {
        let folder = tempfile::tempdir().unwrap();
        let (mut window, first) = Window::open_in(folder);
        assert_eq!(first["evening"], "Picture");
        assert!(!window.layout.exists());
        window.until_doing(
            "the slab to be asked for",
            || xdotool(&["key", "period"]),
            |state| state["evening"] == "Outline",
        );
        // Corners by eye, in the middle part of the picture; going on writes them.
        let canvas: Vec<f64> = (0..4)
            .map(|n| first["canvas"][n].as_f64().unwrap())
            .collect();
        for (right, down) in [(0.2, 0.7), (0.8, 0.7), (0.8, 0.3), (0.2, 0.3)] {
            let x = canvas[0] + (canvas[2] - canvas[0]) * right;
            let y = canvas[1] + (canvas[3] - canvas[1]) * down;
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            click(x as u32, y as u32);
        }
        let told = window.until_doing(
            "the slab to be written",
            || xdotool(&["key", "period"]),
            |state| state["unsaved"] == true,
        );
        assert_eq!(told["evening_wrong"], Value::Null);
        window.until_doing(
            "it saved",
            || control("s"),
            |state| state["unsaved"] == false,
        );
        let text = fs::read_to_string(&window.layout).unwrap();
        let file = layout::read(&text, "demo.ron").file.unwrap();
        let slab = layout::resolve(&file).0.slab.unwrap();
        assert_eq!(slab.outline.len(), 4, "{text}");
    }

    /// Types a line into the field that has the keyboard.
    fn type_line(line: &str) {
        control("a");
        xdotool(&["type", "--delay", "80", line]);
        xdotool(&["sleep", "0.5", "key", "Return"]);
    }

    /// What the open book answers, and the stage it is open at.
    fn book(state: &Value) -> (&str, &str) {
        let text = |n: usize| state["book"][n].as_str().unwrap_or("");
        (text(0), text(2))
    }

    /// Types a reading until the book's answer holds all of these.
    fn read(window: &mut Window, line: &str, wanted: &[&str]) -> Value {
        window.until_doing(
            line,
            || type_line(line),
            |state| wanted.iter().all(|what| book(state).1.contains(what)),
        )
    }

    /// The story of the demo house: the sleeve poured 5/8 in low and 1 in west, a string moved 5 1/2 in, one stub 3/8 in off,
    /// then a closet moved 3 in after half is glued.
    #[test]
    fn the_story_of_the_demo_house_is_read_into_the_book_and_answered() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(
            folder.path().join("demo.ron"),
            include_str!("../../../scenes/demo.ron"),
        )
        .unwrap();
        fs::write(
            folder.path().join("demo.field.ron"),
            "(\n    // Set on the second of June.\n    strings: {\"bath string\": (from: (\"44'\", \"0\"), to: (\"44'\", \"28'\"))},\n    readings: {},\n)\n",
        )
        .unwrap();
        let (mut window, first) = Window::open_in(folder);
        let open = window.until_doing(
            "the book",
            || xdotool(&["key", "r"]),
            |state| state["book"].is_array(),
        );
        let turn = |window: &mut Window, stage: &str| {
            let key = || xdotool(&["key", "Next", "sleep", "0.5"]);
            window.until_doing(stage, key, |state| book(state).0 == stage);
        };
        assert_eq!(book(&open).0, "strings");
        turn(&mut window, "sleeve");
        read(
            &mut window,
            "house drain: -25 1/16 in, nw 9'-11",
            &[
                "the sleeve of house drain was poured 5/8 in low and 1 in west",
                "lay the trunk by the sleeve as it stands",
            ],
        );
        turn(&mut window, "dry_fit");
        for (line, answer) in [
            (
                "main lavatory: ne 8'-3 9/16, se 21'-5 5/8, sw 48'-4 1/8",
                "main lavatory stands 5 1/2 in west",
            ),
            (
                "main closet: ne 6'-11 7/8, se 24'-8 1/16, nw 46'-9 3/16",
                "main closet stands 5 1/2 in west",
            ),
        ] {
            read(&mut window, line, &[answer]);
        }
        read(
            &mut window,
            "main shower: ne 149 11/16 in, se 233 13/16 in, sw 532 5/16 in",
            &[
                "main lavatory, main closet and main shower stand 5 1/2 in west of where they should",
                "a string that was moved does the same",
                "pull two tapes to each end of bath string",
            ],
        );
        read(
            &mut window,
            "hall lavatory: nw 196 1/4 in, sw 374 9/16 in, ne 474 5/8 in",
            &[
                "hall lavatory stands 3/8 in north of where it should",
                "move it 3/8 in south while it is loose",
            ],
        );
        turn(&mut window, "glued");
        for line in ["trunk: done", "hall closet: done"] {
            let file = book_file(&window);
            let long = || fs::read_to_string(&file).unwrap().len();
            let before = long();
            window.until_doing(line, || type_line(line), |_| long() > before);
        }

        // The closet moves 3 in along its wall: what survives, what is cut, what is lost.
        let text = fs::read_to_string(&window.layout).unwrap();
        let moved = text.replace(
            "by: \"12 in\", along: \"8'\"), landing: floor",
            "by: \"12 in\", along: \"8'-3\"), landing: floor",
        );
        assert_ne!(text, moved);
        fs::write(&window.layout, moved).unwrap();
        let changed = window.until("what the move does", |state| {
            state["hash"] != first["hash"]
                && book(state).1.contains("hall closet: moved 3 in north")
        });
        for what in ["saw out what is lost", "stay as they are"] {
            assert!(book(&changed).1.contains(what), "{changed}");
        }
        let noted = fs::read_to_string(book_file(&window)).unwrap();
        assert!(noted.contains("// Set on the second of June."), "{noted}");
    }

    fn book_file(window: &Window) -> PathBuf {
        window.layout.with_file_name("demo.field.ron")
    }

    #[test]
    fn another_layout_is_compared_with_and_opened() {
        let folder = tempfile::tempdir().unwrap();
        let demo = include_str!("../../../scenes/demo.ron");
        let moved = demo.replace(
            "by: \"12 in\", along: \"8'\"), landing: floor",
            "by: \"12 in\", along: \"8'-3\"), landing: floor",
        );
        for (name, text) in [("demo.ron", demo), ("moved.ron", &moved)] {
            fs::write(folder.path().join(name), text).unwrap();
        }
        let (mut window, first) = Window::open_in(folder);
        let shelf = window.until_doing(
            "the other layouts",
            || xdotool(&["key", "h"]),
            |state| state["shelf"].is_array(),
        );
        assert_eq!(shelf["shelf"], serde_json::json!(["moved.ron"]));

        let other = window.layout.with_file_name("moved.ron");
        let compare = || xdotool(&["mousemove", "97", "107", "sleep", "0.5", "click", "1"]);
        let compared = window.until_doing("the comparison", compare, |state| {
            state["differences"].is_array()
        });
        let told: Vec<&str> = compared["differences"]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(Value::as_str)
            .collect();
        assert!(told.contains(&"hall closet: 3\" south here"), "{told:?}");
        assert!(
            told.contains(&"hall closet drain: lies up to 3\" aside"),
            "{told:?}"
        );
        let open = || xdotool(&["mousemove", "39", "107", "sleep", "0.5", "click", "1"]);
        let opened = window.until_doing("the other layout", open, |state| {
            state["file"] == "moved.ron"
        });
        assert_ne!(opened["hash"], first["hash"]);
        assert_eq!(opened["differences"], Value::Null);

        // It is followed on the disk now, and the one before is not.
        fs::write(
            &other,
            moved.replace("Larkfield house", "Larkfield house, moved"),
        )
        .unwrap();
        window.until("the change of the file that is open", |state| {
            state["hash"] != opened["hash"] && state["file"] == "moved.ron"
        });
    }
}
