//! The arithmetic of a cut: what a tape measure between two marks leaves for the pipe.
//! What does not belong here: which fittings stand at the ends.

use crate::Dim;

/// A cut whose ends may be off by more than this in sum is to be checked against the fitting in hand, inches.
/// Our choice: two made-to-tolerance ends (1/16 in each, ASTM D3311 clause 3.1, read).
pub const CHECK_OVER: f64 = 0.125;

/// What one end of a measure was taken to.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Mark<'a> {
    /// The crossing of the axes; the take-off is centre to stop.
    Centre {
        /// Centre to the stop of the hub, or to the tip of a spigot. May be negative.
        take_off: &'a Dim,
    },
    /// The mouth of the hub; the pipe goes on into the socket.
    Face {
        /// Depth of the socket.
        socket: &'a Dim,
    },
    /// The crossing of the axes, for a fitting known by centre to **face**. The same pipe as by `Centre`; the two
    /// systems must not be mixed.
    CentreByFace {
        /// Centre to the mouth of the hub.
        to_face: &'a Dim,
        /// Depth of the socket.
        socket: &'a Dim,
    },
    /// The stop itself, or the end of the pipe.
    Stop,
}

/// Length of the pipe between two marks that are `measured` apart. Negative when the fittings do not fit between.
///
/// Centre measures lose a take-off, face measures gain a socket. Read: Modern Plumbing (trade textbook), and the US
/// Army Engineer School plumbing course for centre to face.
pub fn cut_length(measured: &Dim, a: Mark<'_>, b: Mark<'_>) -> Dim {
    at_end(&at_end(measured, a), b)
}

/// True when the cut's doubt asks for a check against the fittings in hand.
pub fn needs_check(cut: &Dim) -> bool {
    cut.doubt > CHECK_OVER + 1e-9
}

fn at_end(length: &Dim, mark: Mark<'_>) -> Dim {
    match mark {
        Mark::Centre { take_off } => length.minus(take_off),
        Mark::Face { socket } => length.plus(socket),
        Mark::CentreByFace { to_face, socket } => length.minus(to_face).plus(socket),
        Mark::Stop => length.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::How;

    fn exact(value: f64) -> Dim {
        Dim::new(value, 0.0, How::Measured, "test")
    }

    #[test]
    fn centre_of_an_elbow_to_the_face_of_a_tee() {
        // WE18, Modern Plumbing (trade textbook), closet branch, read: 16 in, laying length 3, socket 1-1/2.
        let (ell, socket) = (exact(3.0), exact(1.5));
        let ends = (
            Mark::Centre { take_off: &ell },
            Mark::Face { socket: &socket },
        );
        assert_eq!(cut_length(&exact(16.0), ends.0, ends.1).value, 14.5);
    }

    #[test]
    fn two_systems_of_measuring_give_one_pipe() {
        // WE20 and WE21: the rules as printed in Modern Plumbing and in the US Army Engineer School plumbing course;
        // numbers chosen for the pair: 60 in, 3 in bends of 3-1/16 to the stop, 4-9/16 to the face, sockets 1-1/2.
        let (g, face, socket) = (exact(3.0625), exact(4.5625), exact(1.5));
        let by_stop = Mark::Centre { take_off: &g };
        let by_face = Mark::CentreByFace {
            to_face: &face,
            socket: &socket,
        };
        assert_eq!(cut_length(&exact(60.0), by_stop, by_stop).value, 53.875);
        assert_eq!(cut_length(&exact(60.0), by_face, by_face).value, 53.875);
    }

    #[test]
    fn face_to_face_gains_two_sockets() {
        // A trade textbook's 2 in example: 4'-6" between faces, 3/4 in into each hub, is cut 4'-7 1/2".
        let socket = exact(0.75);
        let face = Mark::Face { socket: &socket };
        assert_eq!(cut_length(&exact(54.0), face, face).value, 55.5);
    }

    #[test]
    fn a_negative_take_off_lengthens_the_pipe() {
        let past = exact(-0.5);
        let cut = cut_length(&exact(10.0), Mark::Centre { take_off: &past }, Mark::Stop);
        assert_eq!(cut.value, 10.5);
    }

    #[test]
    fn doubt_over_an_eighth_asks_for_a_check() {
        let end = |doubt| Dim::new(3.0, doubt, How::Memory, "test");
        let cut = |d| {
            let (a, b) = (end(d), end(d));
            let marks = (Mark::Centre { take_off: &a }, Mark::Centre { take_off: &b });
            cut_length(&exact(40.0), marks.0, marks.1)
        };
        assert!(!needs_check(&cut(0.0625)));
        assert!(needs_check(&cut(0.07)));
    }
}
