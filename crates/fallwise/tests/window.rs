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
        _folder: tempfile::TempDir,
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
            let probe = folder.path().join("probe.json");
            let child = Command::new(env!("CARGO_BIN_EXE_fallwise"))
                .arg("view")
                .arg(&layout)
                .arg("--probe")
                .arg(&probe)
                .arg("--pictures")
                .arg(folder.path())
                .stdout(Stdio::null())
                .spawn()
                .unwrap();
            let mut window = Self {
                child,
                probe,
                _folder: folder,
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
            panic!("tried in vain for {what}");
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
}
