//! The few states of a picture, from change to rest.

use std::time::Duration;

/// How far the picture has come.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub(crate) enum Stage {
    /// Something changed in the last frame.
    #[default]
    Moving,
    /// Nothing changed since; not yet drawn fine.
    Waiting,
    /// Drawn fine in this frame.
    Fine,
    /// Drawn fine, and shown.
    Rest,
}

/// What is drawn in a frame.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Draw {
    /// The house as it was.
    Nothing,
    /// Quick and coarse.
    Coarse,
    /// Fine.
    Fine,
}

impl Stage {
    /// The next stage and what to draw, when `changed` says whether anything did and `still` how long nothing has.
    pub(crate) fn next(self, changed: bool, still: Duration, patience: Duration) -> (Self, Draw) {
        if changed {
            return if patience.is_zero() {
                (Self::Fine, Draw::Fine)
            } else {
                (Self::Moving, Draw::Coarse)
            };
        }
        match self {
            Self::Moving | Self::Waiting if still >= patience => (Self::Fine, Draw::Fine),
            Self::Moving | Self::Waiting => (Self::Waiting, Draw::Nothing),
            Self::Fine | Self::Rest => (Self::Rest, Draw::Nothing),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PATIENCE: Duration = Duration::from_millis(100);

    #[test]
    fn a_change_is_drawn_at_once_and_fine_when_it_rests() {
        let short = Duration::from_millis(20);
        let (stage, draw) = Stage::Rest.next(true, Duration::ZERO, PATIENCE);
        assert_eq!((stage, draw), (Stage::Moving, Draw::Coarse));
        let (stage, draw) = stage.next(false, short, PATIENCE);
        assert_eq!((stage, draw), (Stage::Waiting, Draw::Nothing));
        let (stage, draw) = stage.next(false, PATIENCE, PATIENCE);
        assert_eq!((stage, draw), (Stage::Fine, Draw::Fine));
        let (stage, draw) = stage.next(false, PATIENCE, PATIENCE);
        assert_eq!((stage, draw), (Stage::Rest, Draw::Nothing));
        assert_eq!(
            stage.next(false, PATIENCE, PATIENCE),
            (Stage::Rest, Draw::Nothing)
        );
    }

    #[test]
    fn without_patience_every_change_is_drawn_fine() {
        assert_eq!(
            Stage::Rest.next(true, Duration::ZERO, Duration::ZERO),
            (Stage::Fine, Draw::Fine)
        );
    }
}
