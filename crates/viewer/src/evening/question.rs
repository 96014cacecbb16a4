//! The ten sentences of the first evening and the questions they are made of: what each asks, and where to click for it.

use layout::{FixtureKind, Layout, Vent};

use crate::house::House;

/// One sentence of the first evening; the paper plan comes before them all.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Sentence {
    /// A drawn plan to click on.
    Paper,
    /// The slab and what carries it.
    Slab,
    /// Where it drains to.
    Receiver,
    /// The ground outside.
    Ground,
    /// Walls.
    Walls,
    /// Toilets.
    Closets,
    /// Tubs and showers.
    Bathing,
    /// Basins, sinks, cabinets.
    Sinks,
    /// All that is easily forgotten.
    Others,
    /// The pipe.
    Runs,
    /// The air.
    Vents,
}

impl Sentence {
    /// In the order of the evening.
    pub const ALL: [Self; 11] = [
        Self::Paper,
        Self::Slab,
        Self::Receiver,
        Self::Ground,
        Self::Walls,
        Self::Closets,
        Self::Bathing,
        Self::Sinks,
        Self::Others,
        Self::Runs,
        Self::Vents,
    ];

    /// What stands on its disc: `P` or its number.
    pub fn mark(self) -> String {
        match Self::ALL.iter().position(|one| *one == self) {
            Some(n) if n > 0 => n.to_string(),
            _ => "P".into(),
        }
    }

    /// A few words.
    pub fn title(self) -> &'static str {
        match self {
            Self::Paper => "Your plan on paper",
            Self::Slab => "The slab",
            Self::Receiver => "Where it drains to",
            Self::Ground => "The ground outside",
            Self::Walls => "Walls",
            Self::Closets => "Toilets",
            Self::Bathing => "Tubs and showers",
            Self::Sinks => "Basins, sinks, cabinets",
            Self::Others => "What is easily forgotten",
            Self::Runs => "The pipe",
            Self::Vents => "The vents",
        }
    }

    /// Its questions, in order.
    pub fn questions(self) -> &'static [Question] {
        match self {
            Self::Paper => &[Question::Picture, Question::Code],
            Self::Slab => &[Question::Outline, Question::Build],
            Self::Receiver => &[Question::Receiver],
            Self::Ground => &[Question::Ground],
            Self::Walls => &[Question::WallsRound, Question::Wall],
            Self::Closets => &[Question::Closet],
            Self::Bathing => &[Question::Bathing],
            Self::Sinks => &[Question::Cabinet, Question::Sink],
            Self::Others => &[Question::Room, Question::Other],
            Self::Runs => &[
                Question::Exit,
                Question::Main,
                Question::Join,
                Question::Cleanout,
            ],
            Self::Vents => &[Question::Vent],
        }
    }

    /// The question to open it with: the first that is not told, else the last that may be told again.
    pub fn open(self, layout: &Layout) -> Question {
        let questions = self.questions();
        if self == Self::Paper {
            return Question::Picture;
        }
        let untold = questions.iter().find(|one| !one.is_told(layout));
        let again = || questions.iter().rfind(|one| one.again());
        *untold.or_else(again).unwrap_or(&questions[0])
    }

    /// Whether the house says it.
    pub fn is_told(self, house: &House, paper: bool) -> bool {
        let layout = &house.layout;
        match self {
            Self::Paper => paper,
            _ => self
                .questions()
                .iter()
                .all(|question| question.is_told(layout)),
        }
    }
}

/// How many clicks a question takes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Clicks {
    /// None.
    None,
    /// One place.
    One,
    /// A start and an end.
    Two,
    /// As many as it has corners.
    Many,
}

/// What questions of its own ask for.
const COMMON: [FixtureKind; 5] = [
    FixtureKind::Closet,
    FixtureKind::Tub,
    FixtureKind::Shower,
    FixtureKind::Lavatory,
    FixtureKind::KitchenSink,
];

/// One thing asked.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Question {
    /// The plan picture.
    Picture,
    /// The code on the permit.
    Code,
    /// The slab's outline.
    Outline,
    /// Its layers and its edge.
    Build,
    /// Tank or sewer.
    Receiver,
    /// Levels of the ground, frost.
    Ground,
    /// A wall on every side of the slab.
    WallsRound,
    /// One wall.
    Wall,
    /// A toilet.
    Closet,
    /// A tub or a shower.
    Bathing,
    /// A cabinet.
    Cabinet,
    /// A basin or a sink.
    Sink,
    /// A room and what needs a drain in it.
    Room,
    /// Anything else that drains.
    Other,
    /// Where the drain leaves.
    Exit,
    /// The main line.
    Main,
    /// Every other fixture's drain.
    Join,
    /// A cleanout.
    Cleanout,
    /// How a trap is vented.
    Vent,
}

impl Question {
    /// The sentence it belongs to.
    pub fn sentence(self) -> Sentence {
        let of = |sentence: &&Sentence| sentence.questions().contains(&self);
        *Sentence::ALL.iter().find(of).unwrap_or(&Sentence::Paper)
    }

    /// What its tab says.
    pub fn tab(self) -> &'static str {
        match self {
            Self::Picture => "Picture",
            Self::Code => "Code on the permit",
            Self::Outline => "Its shape",
            Self::Build => "Layers and edge",
            Self::Receiver => "Tank or sewer",
            Self::Ground => "Ground",
            Self::WallsRound => "Outside walls",
            Self::Wall => "A wall inside",
            Self::Closet => "A toilet",
            Self::Bathing => "A tub or shower",
            Self::Cabinet => "A cabinet",
            Self::Sink => "A basin or sink",
            Self::Room => "Rooms",
            Self::Other => "Place one",
            Self::Exit => "Way out",
            Self::Main => "Main line",
            Self::Join => "Join the rest",
            Self::Cleanout => "A cleanout",
            Self::Vent => "A vent",
        }
    }

    /// What is asked, and where to click or type. That a 3 in pipe wants 2x6 studs is geometry: its hub is wider than a 2x4 is
    /// deep, as `stub-too-fat` judges.
    pub fn asks(self) -> &'static str {
        match self {
            Self::Picture => {
                "Photograph your plan from above, or scan it. Drop the picture on this window, or type its path. Then click two corners of the slab on it and type where they are; of a photograph taken aslant, all four. Without a plan go on to 1."
            }
            Self::Code => {
                "Which code does your permit name? Codes differ, and towns amend them. Ask the permit desk if you don't know; until then the IRC is taken."
            }
            Self::Outline => {
                "Click the corners of the slab, one after the other, going round. By eye is near enough: then type what each side measures."
            }
            Self::Build => {
                "What is under your feet, from the top down, and what stands under the slab's edge? Leave empty what you don't know or don't have."
            }
            Self::Receiver => {
                "How far below your finished floor is the inlet of the tank or sewer, how far off, and how do you know?"
            }
            Self::Ground => {
                "How far below the floor does the ground lie at the wall, and ten feet out? How deep does frost go? Leave empty what you don't know."
            }
            Self::WallsRound => {
                "The walls round the house stand on its edge. Type their studs and boards; one is put on each side of the slab."
            }
            Self::Wall => {
                "Click where the wall starts and where it ends, along the middle of its studs. Then type how long it is. A 3 in pipe needs 2x6 studs. Left and right are as you look along it."
            }
            Self::Closet => {
                "Click where the toilet's flange is. It is told from the wall behind it: 12 in off the finished wall for most."
            }
            Self::Bathing => {
                "Click where the drain is, not the middle of the tub. A shower whose floor lies lower: by how much, and how large?"
            }
            Self::Cabinet => {
                "Click the middle of the cabinet or island. A turned one: how many degrees, counter-clockwise?"
            }
            Self::Sink => {
                "Click the wall or the cabinet that its drain comes up in, where it comes up."
            }
            Self::Room => {
                "Which rooms are there, and what needs a drain in each: yes, no, or later? Later is roughed in and capped, for after the pour it is too late."
            }
            Self::Other => {
                "Washer, heater pan, softener, floor drain, a future bath: click where it drains."
            }
            Self::Exit => "Click where the drain leaves the house, on the edge of the slab.",
            Self::Main => {
                "Click the fixture farthest from the way out, then each bend on the way. The last leg to the edge is drawn of itself. Without bends it goes straight. A branch of several fixtures is told the same way: end it with a click on the run it joins."
            }
            Self::Join => {
                "Every fixture that has no drain yet gets one to the run that passes nearest. Sizes are found; 1/4 in a foot is kept where it fits."
            }
            Self::Cleanout => {
                "Where can a cable be put in? Click the line just outside the house, then the upper end of any long run. The findings tell what your code asks for."
            }
            Self::Vent => {
                "How does air reach each trap? Pick a fixture, then how. Where a vent goes up a wall, click there. What you don't know stays to tell; what your inspector said goes in as words."
            }
        }
    }

    /// How many clicks it takes.
    pub fn clicks(self) -> Clicks {
        match self {
            Self::Outline | Self::Main => Clicks::Many,
            Self::Wall => Clicks::Two,
            Self::Closet | Self::Bathing | Self::Cabinet | Self::Sink | Self::Other => Clicks::One,
            Self::Exit | Self::Cleanout | Self::Vent => Clicks::One,
            Self::Picture | Self::Code | Self::Build => Clicks::None,
            Self::Receiver | Self::Ground => Clicks::None,
            Self::WallsRound | Self::Room | Self::Join => Clicks::None,
        }
    }

    /// Whether it is asked again once it was answered: there may be another wall, another toilet.
    pub fn again(self) -> bool {
        match self {
            Self::Wall | Self::Closet | Self::Bathing | Self::Cabinet | Self::Sink => true,
            Self::Room | Self::Other | Self::Cleanout | Self::Vent => true,
            Self::Picture | Self::Code | Self::Outline | Self::Build => false,
            Self::Receiver | Self::Ground => false,
            Self::WallsRound | Self::Exit | Self::Main | Self::Join => false,
        }
    }

    /// Whether the layout says anything of it: what a house may have none of is told without being said.
    pub fn is_said(self, layout: &Layout) -> bool {
        match self {
            Self::Cabinet => !layout.cabinets.is_empty(),
            Self::Other => {
                let mut fixtures = layout.fixtures.iter();
                fixtures.any(|one| !COMMON.contains(&one.kind))
            }
            _ => self.is_told(layout),
        }
    }

    /// Whether the layout says it. Of what may be there many times, one is enough.
    pub fn is_told(self, layout: &Layout) -> bool {
        let has = |kinds: &[FixtureKind]| {
            let mut fixtures = layout.fixtures.iter();
            fixtures.any(|fixture| kinds.contains(&fixture.kind))
        };
        let drain = layout.drains.first();
        match self {
            Self::Picture => true,
            Self::Code => layout.code.is_some(),
            Self::Outline => layout.slab.is_some(),
            Self::Build => {
                let layers = layout.slab.as_ref().is_some_and(|s| !s.layers.is_empty());
                layers && layout.foundation.edge.is_some()
            }
            Self::Receiver => !layout.to_tell.iter().any(|tell| {
                // The receiver is told in the document before its drain has a place.
                tell.item == "drains"
                    || tell.what.contains("tank or sewer")
                    || tell.what.contains("line outside")
            }),
            Self::Ground => !layout.outside.ground.is_empty(),
            Self::WallsRound => layout.walls.iter().any(|wall| wall.on_edge),
            Self::Wall => layout.walls.iter().any(|wall| !wall.on_edge),
            Self::Closet => has(&[FixtureKind::Closet]),
            Self::Bathing => has(&[FixtureKind::Tub, FixtureKind::Shower]),
            // A house may have none.
            Self::Cabinet | Self::Other => true,
            Self::Sink => has(&[FixtureKind::Lavatory, FixtureKind::KitchenSink]),
            Self::Room => !layout.rooms.is_empty(),
            Self::Exit => drain.is_some(),
            Self::Main => !layout.runs.is_empty(),
            Self::Join => !layout.runs.is_empty() && super::write::without_run(layout).is_empty(),
            Self::Cleanout => !layout.cleanouts.is_empty(),
            Self::Vent => {
                let open = |vent: &Vent| *vent == Vent::Unknown;
                !layout.fixtures.is_empty() && !layout.fixtures.iter().any(|one| open(&one.vent))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_question_belongs_to_one_sentence() {
        let mut seen: Vec<Question> = Vec::new();
        for sentence in Sentence::ALL {
            for question in sentence.questions() {
                assert_eq!(question.sentence(), sentence);
                seen.push(*question);
            }
        }
        let n = seen.len();
        seen.sort_unstable();
        seen.dedup();
        assert_eq!((seen.len(), n), (19, 19));
        assert_eq!(Sentence::Vents.mark(), "10");
    }

    #[test]
    fn an_empty_house_has_told_nothing() {
        let told = layout::resolve(&layout::read("()", "").file.unwrap()).0;
        let house = House {
            layout: told,
            ..House::default()
        };
        let open = Sentence::ALL
            .iter()
            .filter(|one| !one.is_told(&house, false));
        assert_eq!(open.count(), 11);
    }
}
