//! What is being measured and what was.

use glam::{DVec2, DVec3};
use units::{feet_inches, inches_text};

use super::readings::{Cover, Nearest, Pulls};
use crate::picking::{Pick, Snap};

/// Denominator of measured lengths: a tape's sixteenths.
const SIXTEENTHS: u32 = 16;

/// Which tape lengths are told by.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Tape {
    /// Feet, inches and sixteenths.
    #[default]
    Feet,
    /// Whole millimetres.
    Metric,
}

impl Tape {
    /// The other one.
    pub fn other(self) -> Self {
        match self {
            Self::Feet => Self::Metric,
            Self::Metric => Self::Feet,
        }
    }

    /// A length that may be many feet.
    pub fn long(self, inches: f64) -> String {
        match self {
            Self::Feet => feet_inches(inches, SIXTEENTHS),
            Self::Metric => millimetres(inches),
        }
    }

    /// A length of some inches.
    pub fn short(self, inches: f64) -> String {
        match self {
            Self::Feet => inches_text(inches, SIXTEENTHS),
            Self::Metric => millimetres(inches),
        }
    }

    fn grade(self, in_per_ft: f64) -> String {
        match self {
            Self::Feet => format!("{in_per_ft:.3} in/ft"),
            Self::Metric => format!("{:.1} mm/m", in_per_ft / 12.0 * 1000.0),
        }
    }
}

fn millimetres(inches: f64) -> String {
    format!("{:.0} mm", inches * 25.4)
}

/// The tape: off, or waiting for its first or second point, and what it measured so far.
#[derive(Clone, PartialEq, Debug, Default)]
pub struct MeasureState {
    /// Whether clicks pick points.
    pub active: bool,
    /// The first point, once picked.
    pub first: Option<Pick>,
    /// What the pointer is drawn to now.
    pub hover: Option<Pick>,
    /// Finished measures, oldest first.
    pub kept: Vec<Measured>,
    /// What they are told by.
    pub tape: Tape,
    /// Why the reading asked for last could not be taken.
    pub wrong: Option<&'static str>,
}

/// What a measure is taken to.
#[derive(Clone, PartialEq, Debug)]
pub enum Reading {
    /// Another place.
    Place(
        /// Where.
        Pick,
    ),
    /// The finished floor straight above or below.
    Floor,
    /// What lies over a pipe.
    Cover(
        /// The reading.
        Cover,
    ),
    /// Two corners of the form.
    Ties(
        /// The pulls.
        Pulls,
    ),
    /// Another pipe, where the two come nearest.
    Pipe(
        /// The other pipe.
        String,
        /// Where and how far.
        Nearest,
    ),
}

/// One finished measure.
#[derive(Clone, PartialEq, Debug)]
pub struct Measured {
    /// From.
    pub from: Pick,
    /// To.
    pub to: Reading,
}

impl Measured {
    /// The one figure: the straight distance, the height above the finished floor, the cover, the gap, both pulls.
    pub fn figure(&self, tape: Tape) -> String {
        match &self.to {
            Reading::Place(to) => tape.long(self.from.at.distance(to.at)),
            Reading::Floor => floor_words(self.from.at.z, tape),
            Reading::Cover(cover) => tape.short(cover.under - cover.crown.z),
            Reading::Ties(pulls) => {
                let [first, second] = pulls.inches.map(|inches| tape.long(inches));
                format!("{first} and {second}")
            }
            Reading::Pipe(_, nearest) => tape.short(nearest.gap),
        }
    }

    /// The lines to draw, each from a place to a place.
    pub fn lines(&self) -> Vec<[DVec3; 2]> {
        let from = self.from.at;
        match &self.to {
            Reading::Place(to) => vec![[from, to.at]],
            Reading::Floor => vec![[from, from.with_z(0.0)]],
            Reading::Cover(cover) => vec![[cover.crown, cover.crown.with_z(cover.under)]],
            Reading::Ties(pulls) => pulls
                .corners
                .map(|corner| [from.with_z(0.0), corner.extend(0.0)])
                .to_vec(),
            Reading::Pipe(_, nearest) => vec![nearest.ends],
        }
    }

    /// Everything a tape and a level would tell, in one line.
    pub fn text(&self, tape: Tape) -> String {
        let (from, figure) = (&self.from.words, self.figure(tape));
        match &self.to {
            Reading::Place(to) => self.to_place(to, tape),
            Reading::Floor => format!("{from}: {figure}"),
            Reading::Cover(cover) if cover.ground => {
                format!("{from}: {figure} from its crown to the ground")
            }
            Reading::Cover(_) => {
                format!("{from}: {figure} from its crown to the lowest of concrete, foam and sheet")
            }
            Reading::Ties(pulls) => {
                let [first, second] = pulls.inches.map(|inches| tape.long(inches));
                let [a, b] = pulls.corners.map(|corner| corner_words(corner, tape));
                format!("{from}: {first} from the corner {a}, {second} from the corner {b}")
            }
            Reading::Pipe(other, nearest) if nearest.gap < 0.0 => {
                format!(
                    "{} and {other} meet by {}",
                    self.from.id,
                    tape.short(-nearest.gap)
                )
            }
            Reading::Pipe(other, _) => {
                format!(
                    "{} to {other}: {figure} apart where they are nearest",
                    self.from.id
                )
            }
        }
    }

    fn to_place(&self, to: &Pick, tape: Tape) -> String {
        let level = self.from.at.truncate().distance(to.at.truncate());
        let drop = self.from.at.z - to.at.z;
        let fall = match drop {
            drop if drop > 0.0 => format!("falls {}", tape.short(drop)),
            drop if drop < 0.0 => format!("rises {}", tape.short(-drop)),
            _ => "level".to_owned(),
        };
        let grade = if self.other_line(to) {
            // From a pipe's centre to its top is no fall of the pipe.
            "; not one line of the pipe, so no grade: take its centre, top or underside twice"
                .to_owned()
        } else if level > 12.0 {
            format!(", {}", tape.grade(drop.abs() / level * 12.0))
        } else {
            String::new()
        };
        let plan = tape.long(level);
        format!(
            "{} to {}: {}, in plan {plan}, {fall}{grade}",
            self.from.words,
            to.words,
            self.figure(tape)
        )
    }
}

impl Measured {
    /// Whether two places on pipes are on different lines of theirs: centre, top, underside.
    fn other_line(&self, to: &Pick) -> bool {
        let line = |snap: Snap| match snap {
            Snap::Axis | Snap::Crown | Snap::Underside => Some(snap),
            Snap::Mark | Snap::Corner | Snap::Face => None,
        };
        let lines = line(self.from.snap).zip(line(to.snap));
        lines.is_some_and(|(from, to)| from != to)
    }
}

/// A corner of the form by its place.
fn corner_words(corner: DVec2, tape: Tape) -> String {
    format!(
        "{} east, {} north",
        tape.long(corner.x),
        tape.long(corner.y)
    )
}

/// A level against the finished floor: `1'-4 3/8" below floor`.
pub fn floor_words(z: f64, tape: Tape) -> String {
    let height = tape.long(z.abs());
    match z {
        z if z > 0.0 => format!("{height} above floor"),
        z if z < 0.0 => format!("{height} below floor"),
        _ => "at finished floor".to_owned(),
    }
}

impl MeasureState {
    /// Takes the tape out or puts it away; what was measured stays.
    pub fn turn(&mut self) {
        *self = Self {
            active: !self.active,
            kept: std::mem::take(&mut self.kept),
            tape: self.tape,
            ..Self::default()
        };
    }

    /// A click: the first point, or the second, which finishes a measure.
    pub fn click(&mut self, pick: Pick) {
        self.wrong = None;
        match self.first.take() {
            None => self.first = Some(pick),
            Some(from) => self.kept.push(Measured {
                from,
                to: Reading::Place(pick),
            }),
        }
    }

    /// Measures the first point (or what the pointer is on) to the finished floor.
    pub fn to_floor(&mut self) {
        self.read(|_| Ok(Reading::Floor));
    }

    /// Takes a reading at the first point (or what the pointer is on), or says why there is none.
    pub fn read(&mut self, reading: impl FnOnce(&Pick) -> Result<Reading, &'static str>) {
        let Some(from) = self.first.clone().or_else(|| self.hover.clone()) else {
            return;
        };
        match reading(&from) {
            Ok(to) => {
                self.first = None;
                self.wrong = None;
                self.kept.push(Measured { from, to });
            }
            Err(why) => self.wrong = Some(why),
        }
    }

    /// Steps back: the first point, then the tape, then the last measure. Whether there was anything to undo.
    pub fn put_away(&mut self) -> bool {
        if self.first.take().is_some() {
            return true;
        }
        if self.active {
            self.turn();
            return true;
        }
        self.kept.pop().is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pick(x: f64, y: f64, z: f64) -> Pick {
        Pick {
            id: "a".into(),
            snap: Snap::Axis,
            at: DVec3::new(x, y, z),
            words: "centre of a".into(),
        }
    }

    #[test]
    fn two_clicks_make_a_measure() {
        let mut tape = MeasureState::default();
        tape.turn();
        tape.click(pick(0.0, 0.0, -16.0));
        assert!(tape.kept.is_empty());
        tape.click(pick(120.0, 0.0, -18.5));
        // 10 ft level, 2 1/2 in down: a quarter inch a foot; the straight line is 120.026 in.
        assert_eq!(tape.kept[0].figure(Tape::Feet), "10'-0\"");
        assert_eq!(
            tape.kept[0].text(Tape::Feet),
            "centre of a to centre of a: 10'-0\", in plan 10'-0\", falls 2 1/2\", 0.250 in/ft"
        );
    }

    #[test]
    fn from_a_pipes_centre_to_its_top_there_is_no_grade() {
        let mut tape = MeasureState::default();
        tape.turn();
        tape.click(pick(0.0, 0.0, -16.0));
        let crown = Pick {
            snap: Snap::Crown,
            words: "crown of a".into(),
            ..pick(120.0, 0.0, -16.75)
        };
        tape.click(crown);
        let told = tape.kept[0].text(Tape::Feet);
        assert!(
            told.contains("falls 3/4\"; not one line of the pipe"),
            "{told}"
        );
        assert!(!told.contains("in/ft"), "{told}");
    }

    #[test]
    fn to_the_floor_from_below_and_above() {
        let mut tape = MeasureState {
            active: true,
            hover: Some(pick(1.0, 1.0, -16.375)),
            ..MeasureState::default()
        };
        tape.to_floor();
        assert_eq!(tape.kept[0].figure(Tape::Feet), "1'-4 3/8\" below floor");
        assert_eq!(floor_words(6.0, Tape::Feet), "0'-6\" above floor");
    }

    #[test]
    fn a_metric_tape_tells_millimetres() {
        // 1 in is 25.4 mm; 1/4 in a foot is 20.8 mm a metre.
        let measured = Measured {
            from: pick(0.0, 0.0, -8.0),
            to: Reading::Place(pick(120.0, 0.0, -10.5)),
        };
        let told = measured.text(Tape::Metric);
        assert!(
            told.ends_with("3049 mm, in plan 3048 mm, falls 64 mm, 20.8 mm/m"),
            "{told}"
        );
        assert_eq!(floor_words(-2.0, Tape::Metric), "51 mm below floor");
    }

    #[test]
    fn putting_away_goes_back_step_by_step() {
        let mut tape = MeasureState::default();
        tape.turn();
        tape.click(pick(0.0, 0.0, 0.0));
        tape.click(pick(1.0, 0.0, 0.0));
        tape.click(pick(2.0, 0.0, 0.0));
        assert!(tape.put_away() && tape.first.is_none() && tape.active);
        assert!(tape.put_away() && !tape.active && tape.kept.len() == 1);
        assert!(tape.put_away() && tape.kept.is_empty());
        assert!(!tape.put_away());
    }
}
