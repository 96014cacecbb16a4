//! Random houses built with random tape, level and glue errors: where the error passes the tolerance by a quarter the
//! verdict is right in at least 99 of 100; where it is within, a false alarm comes in fewer than 1 of 100. Causes too.
#![allow(clippy::unwrap_used)]

mod common;

use common::{DEMO, House};
use field::Stage;
use glam::DVec2;

/// Numbers that look random and are the same every time (splitmix64).
struct Dice(u64);

impl Dice {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A normal error of one standard deviation `sd`, by Box and Muller.
    fn normal(&mut self, sd: f64) -> f64 {
        let (u, v) = (1.0 - self.unit(), self.unit());
        sd * (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }
}

/// One standard deviation of a tape pull and of a level, inches: half of what the book says nineteen in twenty keep.
const TAPE: f64 = field::TAPE_DOUBT / 2.0;
const LEVEL: f64 = field::LEVEL_DOUBT / 2.0;

/// The demo with its fixtures moved along their walls and about their rooms.
fn house(dice: &mut Dice) -> House {
    let mut text = DEMO.to_owned();
    for (was, low, high, wrap) in [
        (
            "(in: \"hall bath wall\", along: \"12'\")",
            138.0,
            150.0,
            "hall bath wall",
        ),
        ("(in: \"mud wall\", along: \"8'\")", 90.0, 102.0, "mud wall"),
        ("(in: \"mud wall\", along: \"3'\")", 32.0, 42.0, "mud wall"),
    ] {
        let along = dice.between(low, high).round();
        let now = format!("(in: {wrap:?}, along: \"{along} in\")");
        assert!(text.contains(was));
        text = text.replace(was, &now);
    }
    let (x, y) = (
        dice.between(486.0, 498.0).round(),
        dice.between(210.0, 222.0).round(),
    );
    text = text.replace(
        "at: (\"41'\", \"18'\")",
        &format!("at: (\"{x} in\", \"{y} in\")"),
    );
    House::new(&text, "random.ron")
}

#[derive(Default, Debug)]
struct Tally {
    bad: usize,
    bad_missed: usize,
    good: usize,
    false_alarms: usize,
}

impl Tally {
    fn count(&mut self, passes: f64, alarm: bool) {
        if passes >= 1.25 {
            self.bad += 1;
            self.bad_missed += usize::from(!alarm);
        } else if passes <= 1.0 {
            self.good += 1;
            self.false_alarms += usize::from(alarm);
        }
    }

    #[track_caller]
    fn holds(&self) {
        assert!(
            self.bad > 200 && self.good > 200,
            "enough of both: {self:?}"
        );
        assert!(self.bad_missed * 100 <= self.bad, "{self:?}");
        assert!(self.false_alarms * 100 < self.good, "{self:?}");
    }
}

/// Stubs in walls: all of the demo's wet walls run north, so what counts is how far off in x.
#[test]
fn stubs_are_judged_right() {
    let mut dice = Dice(7);
    let mut tally = Tally::default();
    for _ in 0..40 {
        let house = house(&mut dice);
        for _ in 0..14 {
            let mut site = house.site();
            let mut truth = Vec::new();
            for name in ["main lavatory", "hall lavatory", "utility sink", "washer"] {
                let closures = &house.outcome.assembly.closures;
                let glue = closures
                    .iter()
                    .find(|c| c.id.as_str() == name)
                    .map_or(0.25, |c| c.likely);
                // One in three was knocked or glued aside.
                let rough = if dice.unit() < 0.33 {
                    dice.between(-3.5, 3.5)
                } else {
                    0.0
                };
                let off = DVec2::new(dice.normal(glue.min(0.5)) + rough, dice.normal(0.25));
                let errors = [dice.normal(TAPE), dice.normal(TAPE), dice.normal(TAPE)];
                site.tapes(name, house.stub(name) + off, errors, Stage::Glued);
                // (5.5 - 2.375) / 2: what a 2 in pipe has in a 2x6.
                truth.push((name, off.x.abs() / 1.5625));
            }
            let judged = field::judge(&house.outcome, &site.book());
            for (name, passes) in truth {
                let read = judged
                    .stubs
                    .iter()
                    .find(|read| read.id.as_str() == name)
                    .unwrap();
                tally.count(passes, read.is_out());
            }
        }
    }
    tally.holds();
}

/// Grades between the ends of runs: bad when a quarter of the fall asked is missing.
#[test]
fn grades_are_judged_right() {
    let mut dice = Dice(11);
    let (mut bad, mut missed, mut good, mut alarms) = (0, 0, 0, 0);
    for _ in 0..40 {
        let house = house(&mut dice);
        for _ in 0..10 {
            let mut site = house.site();
            let mut truth = Vec::new();
            for line in house.outcome.grades.iter().flat_map(|g| &g.lines) {
                let steps: f64 = line.steps.iter().map(|(_, drop)| drop).sum();
                // The closets' drains are 3 in: 1/8 in/ft by the code (2018 IRC P3005.3), the rest 1/4. A quarter of what
                // is asked must be a quarter inch at least: less is nothing that a rod tells.
                let asked = line.length
                    / if line.id.as_str().contains("closet") {
                        96.0
                    } else {
                        48.0
                    };
                if asked < 1.0 {
                    continue;
                }
                let part = if dice.unit() < 0.5 {
                    1.0 + dice.between(0.0, 0.2)
                } else {
                    dice.between(-0.5, 0.75)
                };
                let fall = asked * part;
                site.level(
                    line.id.as_str(),
                    "lower",
                    line.outlet + dice.normal(LEVEL),
                    Stage::Glued,
                );
                site.level(
                    line.id.as_str(),
                    "upper",
                    line.outlet + fall + steps + dice.normal(LEVEL),
                    Stage::Glued,
                );
                truth.push((line.id.clone(), part));
            }
            let judged = field::judge(&house.outcome, &site.book());
            for (run, part) in truth {
                let fall = judged.falls.iter().find(|fall| fall.run == run).unwrap();
                let alarm = fall.is_short() || fall.is_flat();
                if part <= 0.75 {
                    bad += 1;
                    missed += usize::from(!alarm);
                } else {
                    good += 1;
                    alarms += usize::from(alarm);
                }
            }
        }
    }
    assert!(bad > 500 && good > 500, "enough of both: {bad} {good}");
    assert!(missed * 100 <= bad, "missed {missed} of {bad}");
    assert!(alarms * 100 < good, "{alarms} false alarms of {good}");
}

/// An assembly set off as one, by half an inch or more, is named as one; still ones are not.
#[test]
fn assemblies_set_off_are_judged_right() {
    let mut dice = Dice(17);
    let (mut moved, mut missed, mut still, mut alarms) = (0, 0, 0, 0);
    for _ in 0..40 {
        let house = house(&mut dice);
        let of = &house.outcome;
        let shop = takeoff::Shop::default();
        let take = takeoff::take(&of.layout, &of.assembly, &of.catalog, &shop);
        let stubs_of = |bench: &takeoff::Bench| -> Vec<String> {
            let closures = of.assembly.closures.iter();
            let fixtures = closures.filter(|c| {
                matches!(c.of, fittings::StubOf::Fixture(_)) && bench.pieces.contains(&c.piece)
            });
            fixtures.map(|c| c.id.to_string()).collect()
        };
        let Some(own) = take
            .order
            .iter()
            .map(stubs_of)
            .find(|stubs| stubs.len() >= 2)
        else {
            continue;
        };
        for _ in 0..5 {
            let set_off = dice.unit() < 0.5;
            let by = if set_off {
                DVec2::from_angle(dice.between(0.0, std::f64::consts::TAU)) * dice.between(0.5, 3.0)
            } else {
                DVec2::ZERO
            };
            let mut site = house.site();
            for name in [
                "main lavatory",
                "main closet",
                "main shower",
                "hall lavatory",
                "hall closet",
                "washer",
                "utility sink",
            ] {
                let own = own.iter().any(|stub| stub == name);
                let off = if own { by } else { DVec2::ZERO }
                    + DVec2::new(dice.normal(1.0 / 16.0), dice.normal(1.0 / 16.0));
                let errors = [dice.normal(TAPE), dice.normal(TAPE), dice.normal(TAPE)];
                site.tapes(name, house.stub(name) + off, errors, Stage::DryFit);
            }
            let judged = field::judge(&house.outcome, &site.book());
            let named = judged.causes.iter().any(|cause| {
                cause.stubs.len() == own.len()
                    && cause.stubs.iter().all(|id| own.contains(&id.to_string()))
            });
            if set_off {
                moved += 1;
                missed += usize::from(!named);
            } else {
                still += 1;
                alarms += usize::from(!judged.causes.is_empty());
            }
        }
    }
    assert!(moved > 50 && still > 50, "{moved} {still}");
    assert!(missed * 100 <= moved, "missed {missed} of {moved}");
    assert!(alarms * 100 < still, "{alarms} false alarms of {still}");
}

/// A string moved an inch and a quarter or more is named; without one nothing is.
#[test]
fn causes_are_judged_right() {
    let mut dice = Dice(13);
    let (mut moved, mut missed, mut still, mut alarms) = (0, 0, 0, 0);
    for _ in 0..100 {
        let house = house(&mut dice);
        for _ in 0..2 {
            let string = dice.unit() < 0.5;
            let by = if string {
                DVec2::from_angle(dice.between(0.0, std::f64::consts::TAU))
                    * dice.between(1.25, 8.0)
            } else {
                DVec2::ZERO
            };
            let mut site = house.site();
            for name in [
                "main lavatory",
                "main closet",
                "main shower",
                "washer",
                "utility sink",
            ] {
                let shifted = if name.starts_with("main") {
                    by
                } else {
                    DVec2::ZERO
                };
                let off = shifted + DVec2::new(dice.normal(0.125), dice.normal(0.125));
                let errors = [dice.normal(TAPE), dice.normal(TAPE), dice.normal(TAPE)];
                site.tapes(name, house.stub(name) + off, errors, Stage::DryFit);
            }
            let judged = field::judge(&house.outcome, &site.book());
            let named = judged.causes.iter().any(|cause| cause.stubs.len() == 3);
            if string {
                moved += 1;
                missed += usize::from(!named);
            } else {
                still += 1;
                alarms += usize::from(!judged.causes.is_empty());
            }
        }
    }
    assert!(moved > 50 && still > 50);
    assert!(missed * 100 <= moved, "missed {missed} of {moved}");
    assert!(alarms * 100 < still, "{alarms} false alarms of {still}");
}
