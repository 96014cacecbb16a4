//! Asks for a display and a graphics driver before anything is built, for bevy and winit panic where there is none.

use std::panic::{self, AssertUnwindSafe};
use std::sync::{Arc, Mutex};

use bevy::render::renderer::initialize_renderer;
use bevy::render::settings::{Backends, RenderResources, WgpuSettings};

use crate::error::ViewError;

/// A driver that was found and opened.
pub(crate) struct Driver {
    pub(crate) resources: RenderResources,
    /// Drawn by the processor, so: draw less while moving.
    pub(crate) software: bool,
    /// Longest side of an image.
    pub(crate) longest: u32,
}

/// Opens the best driver there is.
///
/// # Errors
/// [`ViewError::NoDriver`] when there is none.
pub(crate) fn driver() -> Result<Driver, ViewError> {
    let backends = Backends::from_env().unwrap_or(Backends::PRIMARY | Backends::SECONDARY);
    let settings = WgpuSettings::default();
    let open = || bevy::tasks::block_on(initialize_renderer(backends, None, &settings));
    let resources = quietly(open).map_err(|why| ViewError::NoDriver(one_line(&why)))?;
    let info = &resources.2;
    // The type is wgpu's, which this crate does not name: its word is enough.
    let software = format!("{:?}", info.device_type) == "Cpu";
    let longest = resources.0.limits().max_texture_dimension_2d;
    Ok(Driver {
        resources,
        software,
        longest,
    })
}

/// Whether a window could be opened at all.
///
/// # Errors
/// [`ViewError::NoDisplay`] when no display is named, or the one named does not answer.
pub(crate) fn display() -> Result<(), ViewError> {
    if !cfg!(target_os = "linux") {
        return Ok(());
    }
    let wayland = named("WAYLAND_DISPLAY").or_else(|| named("WAYLAND_SOCKET"));
    match (wayland, named("DISPLAY")) {
        (None, None) => Err(ViewError::NoDisplay(
            "neither DISPLAY nor WAYLAND_DISPLAY is set".into(),
        )),
        (Some(_), _) => Ok(()),
        (None, Some(display)) => answers(&display),
    }
}

fn named(variable: &str) -> Option<String> {
    std::env::var(variable)
        .ok()
        .filter(|value| !value.is_empty())
}

/// A local X display has a socket; one on another host is believed.
#[cfg(unix)]
fn answers(display: &str) -> Result<(), ViewError> {
    let Some(number) = local_number(display) else {
        return Ok(());
    };
    let socket = format!("/tmp/.X11-unix/X{number}");
    let opened = std::os::unix::net::UnixStream::connect(&socket).map(drop);
    opened.map_err(|why| {
        ViewError::NoDisplay(format!(
            "DISPLAY is {display:?}, which does not answer: {why}"
        ))
    })
}

#[cfg(not(unix))]
fn answers(_display: &str) -> Result<(), ViewError> {
    Ok(())
}

/// The number of a display on this machine: `:1` and `:1.0` are 1; `host:0` is elsewhere.
fn local_number(display: &str) -> Option<u32> {
    display.strip_prefix(':')?.split('.').next()?.parse().ok()
}

static ONE_AT_A_TIME: Mutex<()> = Mutex::new(());

/// Runs what may panic inside other people's code, without a word on the terminal; the panic's text is the error.
pub(crate) fn quietly<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    let guard = ONE_AT_A_TIME
        .lock()
        .unwrap_or_else(std::sync::PoisonError::into_inner);
    let before = Arc::new(panic::take_hook());
    let (others, here) = (Arc::clone(&before), std::thread::current().id());
    panic::set_hook(Box::new(move |info| {
        if std::thread::current().id() != here {
            others(info);
        }
    }));
    let result = panic::catch_unwind(AssertUnwindSafe(work));
    panic::set_hook(Box::new(move |info| before(info)));
    drop(guard);
    result.map_err(|thrown| {
        let text = thrown.downcast_ref::<String>().cloned();
        text.or_else(|| thrown.downcast_ref::<&str>().map(ToString::to_string))
            .unwrap_or_else(|| "no reason given".into())
    })
}

/// Text of someone else's error, fit for one line.
pub(crate) fn one_line(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    line.chars().take(160).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn displays_here_and_elsewhere() {
        assert_eq!(local_number(":99"), Some(99));
        assert_eq!(local_number(":1.0"), Some(1));
        assert_eq!(local_number("host:0"), None);
    }

    #[test]
    fn a_panic_becomes_its_text() {
        assert_eq!(quietly(|| 3), Ok(3));
        let number = 7;
        assert_eq!(
            quietly(|| -> () { panic!("lost {number}") }),
            Err("lost 7".into())
        );
    }

    #[test]
    fn a_display_that_is_not_there_does_not_answer() {
        if cfg!(unix) {
            let text = answers(":64123").unwrap_err().to_string();
            assert!(text.contains(":64123") && !text.contains('\n'), "{text}");
        }
    }
}
