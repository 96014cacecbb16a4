//! Why a view or a picture could not be made, each in one plain line.

/// Why there is no picture. The text is one line, fit to print as it is.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ViewError {
    /// No graphics driver that can draw.
    #[error(
        "no graphics driver was found, so 3D pictures were skipped; on Debian or Ubuntu install mesa-vulkan-drivers"
    )]
    NoDriver(String),
    /// No screen to open a window on.
    #[error(
        "no display was found to open a window on ({0}); `picture` draws the same view without one"
    )]
    NoDisplay(String),
    /// The display is there but a window could not be opened.
    #[error(
        "a window could not be opened ({0}); on Debian or Ubuntu install libxkbcommon-x11-0 libxcursor1 libxi6 libxrandr2"
    )]
    NoWindow(String),
    /// The layout could not be read the first time.
    #[error("{0}")]
    Unreadable(String),
    /// The drawing did not come back from the driver.
    #[error("the graphics driver gave no picture back ({0})")]
    NoPicture(String),
    /// A picture size that cannot be drawn.
    #[error(
        "a picture of {width} by {height} pixels cannot be drawn; each side must be from 16 to 8192"
    )]
    Size {
        /// Asked width, pixels.
        width: u32,
        /// Asked height, pixels.
        height: u32,
    },
    /// A file could not be written.
    #[error("{path} could not be written ({why})")]
    Write {
        /// The file.
        path: String,
        /// What the system said.
        why: String,
    },
}
