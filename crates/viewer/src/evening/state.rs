//! How far the evening has come: the question that is open, and what was clicked and typed for it.

use std::collections::BTreeMap;

use glam::DVec2;

use super::blanks::Asked;
use super::question::{Clicks, Question, Sentence};
use crate::house::House;

/// See the module.
#[derive(Clone, Debug, Default)]
pub struct EveningState {
    /// The open question; none while the path is put away.
    pub at: Option<Question>,
    /// Places clicked for it, house inches.
    pub clicks: Vec<DVec2>,
    /// What was typed for it, by the blank's name.
    pub typed: BTreeMap<String, String>,
    /// Why it could not be written.
    pub wrong: Option<String>,
    /// What was written last, in words.
    pub wrote: Option<String>,
}

impl EveningState {
    /// The open question with all that was said to it.
    pub fn asked<'a>(&'a self, house: &'a House) -> Option<Asked<'a>> {
        Some(Asked {
            house,
            question: self.at?,
            clicks: &self.clicks,
            typed: &self.typed,
        })
    }

    /// Opens a question afresh.
    pub fn go(&mut self, question: Question) {
        *self = Self {
            at: Some(question),
            wrote: self.wrote.take(),
            ..Self::default()
        };
    }

    /// The first question that is not answered.
    pub fn first_open(house: &House, paper: bool) -> Question {
        // With the slab told, a house does without its paper.
        let paper = paper || house.layout.slab.is_some();
        let open = |one: &Sentence| !one.is_told(house, paper);
        let sentence = Sentence::ALL.into_iter().find(open);
        let sentence = sentence.unwrap_or(Sentence::Slab);
        let questions = sentence.questions();
        let asked = questions
            .iter()
            .find(|question| sentence == Sentence::Paper || !question.is_told(&house.layout));
        *asked.unwrap_or(&questions[0])
    }

    /// Goes to the question after or before.
    pub fn step(&mut self, by: isize) {
        let all: Vec<Question> = Sentence::ALL
            .iter()
            .flat_map(|sentence| sentence.questions())
            .copied()
            .collect();
        let here = all.iter().position(|one| Some(*one) == self.at);
        let next = here.and_then(|here| here.checked_add_signed(by));
        if let Some(question) = next.and_then(|next| all.get(next)) {
            self.go(*question);
        }
    }

    /// The question that comes after this one, in words.
    pub fn next(&self) -> Option<Question> {
        let mut after = Self {
            at: self.at,
            ..Self::default()
        };
        after.step(1);
        after.at.filter(|next| Some(*next) != self.at)
    }

    /// Takes a click at a plan place. Whether the open question wanted one.
    pub fn click(&mut self, at: DVec2) -> bool {
        let Some(question) = self.at else {
            return false;
        };
        let closes = self.clicks.len() > 2 && self.clicks[0].distance(at) < 1.0;
        if question == Question::Outline && closes {
            // The last side is drawn of itself.
            return true;
        }
        match question.clicks() {
            Clicks::None => return false,
            Clicks::One => self.clicks = vec![at],
            Clicks::Two if self.clicks.len() > 1 => self.clicks = vec![at],
            Clicks::Two | Clicks::Many => self.clicks.push(at),
        }
        if question.clicks() == Clicks::One || self.clicks.len() == 1 {
            // A new place: what was typed of the one before does not hold for it.
            let place = ["east", "north", "along", "by", "x", "y", "side 0", "from"];
            self.typed.retain(|key, _| !place.contains(&key.as_str()));
        }
        self.wrong = None;
        true
    }

    /// Takes the last click back. Whether there was one.
    pub fn take_back(&mut self) -> bool {
        let legs = self.clicks.len().saturating_sub(2);
        self.typed.remove(&format!("side {legs}"));
        self.clicks.pop().is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_path_goes_through_every_question_and_back() {
        let mut state = EveningState::default();
        state.go(Question::Picture);
        let mut seen = 1;
        while let Some(next) = state.next() {
            state.step(1);
            assert_eq!(state.at, Some(next));
            seen += 1;
        }
        assert_eq!(seen, 19);
        state.step(-18);
        assert_eq!(state.at, Some(Question::Picture));
    }

    #[test]
    fn a_click_too_many_starts_a_wall_anew_and_a_corner_can_be_taken_back() {
        let mut state = EveningState::default();
        assert!(!state.click(DVec2::ZERO));
        state.go(Question::Wall);
        for x in [0.0, 60.0, 90.0] {
            assert!(state.click(DVec2::new(x, 0.0)));
        }
        assert_eq!(state.clicks, [DVec2::new(90.0, 0.0)]);
        state.go(Question::Outline);
        state.click(DVec2::ZERO);
        state.click(DVec2::X * 60.0);
        state.click(DVec2::splat(60.0));
        assert!(
            state.click(DVec2::ZERO) && state.clicks.len() == 3,
            "closed"
        );
        state.take_back();
        state.typed.insert("side 0".into(), "5'".into());
        assert!(state.take_back() && state.typed.is_empty());
        assert!(state.take_back() && !state.take_back());
    }
}
