//! The window: opens, shows, follows the file, closes.

use std::path::{Path, PathBuf};
use std::time::Instant;

use bevy::math::UVec2;
use bevy::prelude::{AppExit, World};
use bevy::winit::{EventLoopProxyWrapper, WinitUserEvent};

use crate::app::{self, OnDisk, OnNews, OnShelf, Outlets, Paper, Told};
use crate::desk::{Action, Desk, Viewpoint};
use crate::edit::Hooks;
use crate::error::ViewError;
use crate::file_watch::{Load, stamp, watch};
use crate::house::House;
use crate::keepsake;
use crate::ready::{self, one_line};
use crate::recovery;
use crate::shelf::Shelf;

/// How the window opens.
#[derive(Clone)]
pub struct ViewOptions {
    /// Window size, pixels.
    pub size: [u32; 2],
    /// Factor on heights below the finished floor at the start.
    pub exaggeration: f64,
    /// First viewpoint.
    pub viewpoint: Viewpoint,
    /// A file that tells, each time the picture comes to rest, where everything is on screen; see [`crate::Probe`].
    pub probe: Option<PathBuf>,
    /// A folder for a picture of the window each time it comes to rest.
    pub pictures: Option<PathBuf>,
    /// A plan picture to lay on the slab.
    pub plan: Option<PathBuf>,
    /// The flow on a text, so that the house can be changed and saved; without it the window only shows.
    pub hooks: Option<Hooks>,
    /// How other layouts are opened; without it this window keeps to its own.
    pub shelf: Option<Shelf>,
    /// Called each time the picture comes to rest (first frame and frames a second are in it).
    pub told: Option<Told>,
}

impl Default for ViewOptions {
    fn default() -> Self {
        Self {
            size: [1280, 720],
            exaggeration: 1.0,
            viewpoint: Viewpoint::House,
            probe: None,
            pictures: None,
            plan: None,
            hooks: None,
            shelf: None,
            told: None,
        }
    }
}

impl std::fmt::Debug for ViewOptions {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("ViewOptions")
            .field("size", &self.size)
            .field("probe", &self.probe)
            .finish_non_exhaustive()
    }
}

/// Why the window is gone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ExitReason {
    /// It was closed.
    Closed,
    /// The window system or the driver ended it.
    Lost,
}

/// Opens a window on the house that `load` reads, and shows it again whenever `file` changes on disk.
///
/// Returns when the window is closed. One window a process: the window system allows no second.
///
/// # Errors
/// [`ViewError::Unreadable`] when the first reading fails, [`ViewError::NoDisplay`], [`ViewError::NoDriver`] or
/// [`ViewError::NoWindow`] where no window can be opened; each is one line.
pub fn view(load: Load, file: &Path, options: ViewOptions) -> Result<ExitReason, ViewError> {
    let began = Instant::now();
    ready::display()?;
    let driver = ready::driver()?;
    let read = stamp(file);
    let house = load().map_err(ViewError::Unreadable)?;
    let mut desk = laid_out(house, file, options.hooks);
    desk.set_exaggeration(options.exaggeration);
    if options.viewpoint != Viewpoint::House {
        desk.take(Action::View(options.viewpoint));
    }
    if let Some(plan) = &options.plan
        && !keepsake::lies_there(&desk, plan)
    {
        desk.lay_paper(plan);
    }
    desk.open_evening_if_blank();
    desk.shelf.there = options.shelf.is_some();
    let paper = Paper::Window {
        size: UVec2::from_array(options.size).max(UVec2::splat(64)),
    };
    let outlets = Outlets {
        probe: options.probe,
        pictures: options.pictures,
        told: options.told,
    };
    let built = ready::quietly(|| app::build(desk, paper, driver, outlets, began));
    let mut app = built.map_err(|why| ViewError::NoWindow(one_line(&why)))?;
    let news = watch(file, read, load, waker(app.world()));
    if let Some(shelf) = options.shelf {
        (shelf.remember)(file);
        app.insert_resource(OnShelf(shelf));
    }
    app.insert_resource(OnNews(news));
    app.insert_resource(OnDisk(file.to_owned()));
    Ok(match app.run() {
        AppExit::Success => ExitReason::Closed,
        AppExit::Error(_) => ExitReason::Lost,
    })
}

/// A desk with the house of a file on it, and what stands beside that file: unsaved work, plan picture, viewpoints.
pub(crate) fn laid_out(house: House, file: &Path, hooks: Option<Hooks>) -> Desk {
    let mut desk = Desk::new(house, name_of(file));
    if let Some(hooks) = hooks {
        desk.make_changeable(hooks);
        if let Some(text) = recovery::found(file) {
            desk.found_unsaved(text);
        }
    }
    keepsake::take_up(&mut desk, file);
    desk
}

/// A file's own name.
pub(crate) fn name_of(file: &Path) -> String {
    file.file_name().map_or_else(
        || file.display().to_string(),
        |name| name.to_string_lossy().into(),
    )
}

/// Wakes the window's loop from another thread.
pub(crate) fn waker(world: &World) -> impl Fn() + Send + use<> + 'static {
    let proxy = world
        .get_resource::<EventLoopProxyWrapper>()
        .map(|proxy| (**proxy).clone());
    move || {
        if let Some(proxy) = &proxy {
            // A loop that has ended needs no waking.
            let _ = proxy.send_event(WinitUserEvent::WakeUp);
        }
    }
}
