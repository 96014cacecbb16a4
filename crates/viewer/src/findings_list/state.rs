//! Which finding is picked and which verdicts are listed.

use crate::house::{FindingRow, Verdict};

/// The list's state.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct FindingsState {
    /// The picked finding, an index into the rows.
    pub picked: Option<usize>,
    fails: bool,
    asks: bool,
    notes: bool,
}

impl Default for FindingsState {
    fn default() -> Self {
        Self {
            picked: None,
            fails: true,
            asks: true,
            notes: true,
        }
    }
}

impl FindingsState {
    /// Whether rows of `verdict` are listed.
    pub fn lists(&self, verdict: Verdict) -> bool {
        match verdict {
            Verdict::Fails => self.fails,
            Verdict::Ask => self.asks,
            Verdict::Note => self.notes,
        }
    }

    /// Lists or hides rows of `verdict`.
    pub fn turn(&mut self, verdict: Verdict) {
        match verdict {
            Verdict::Fails => self.fails = !self.fails,
            Verdict::Ask => self.asks = !self.asks,
            Verdict::Note => self.notes = !self.notes,
        }
    }

    /// Rows that are listed: what fails first, then in the order given.
    pub fn listed(&self, rows: &[FindingRow]) -> Vec<usize> {
        let mut listed: Vec<usize> = (0..rows.len())
            .filter(|index| self.lists(rows[*index].verdict))
            .collect();
        listed.sort_by_key(|index| rows[*index].verdict);
        listed
    }

    /// The listed row `by` after (or before) the picked one, going round.
    pub fn neighbour(&self, rows: &[FindingRow], by: isize) -> Option<usize> {
        let listed = self.listed(rows);
        let count = isize::try_from(listed.len())
            .ok()
            .filter(|count| *count > 0)?;
        let here = self
            .picked
            .and_then(|picked| listed.iter().position(|index| *index == picked));
        let next = match here.and_then(|here| isize::try_from(here).ok()) {
            Some(here) => here + by,
            None if by > 0 => 0,
            None => -1,
        };
        usize::try_from(next.rem_euclid(count))
            .ok()
            .map(|next| listed[next])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(verdicts: &[Verdict]) -> Vec<FindingRow> {
        let row = |verdict: &Verdict| FindingRow {
            rule: "r".into(),
            verdict: *verdict,
            says: "s".into(),
            at: [0.0; 3],
            measured: None,
            limit: None,
            unit: "in".into(),
            source: "from memory".into(),
            members: vec![],
            ends: None,
        };
        verdicts.iter().map(row).collect()
    }

    #[test]
    fn what_fails_comes_first_and_the_round_goes_on() {
        let rows = rows(&[Verdict::Note, Verdict::Fails, Verdict::Ask, Verdict::Fails]);
        let mut state = FindingsState::default();
        assert_eq!(state.listed(&rows), [1, 3, 2, 0]);
        assert_eq!(state.neighbour(&rows, 1), Some(1));
        assert_eq!(state.neighbour(&rows, -1), Some(0));
        state.picked = Some(0);
        assert_eq!(state.neighbour(&rows, 1), Some(1));
        state.turn(Verdict::Fails);
        assert_eq!(state.listed(&rows), [2, 0]);
        assert_eq!(state.neighbour(&rows, 1), Some(2));
        assert_eq!(state.neighbour(&[], 1), None);
    }
}
