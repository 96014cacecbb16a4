//! The desk's answers to the other layouts: the card turned, one asked for, one compared with.

use std::path::Path;

use super::state::{Action, Desk};
use crate::house::House;
use crate::shelf::{Compared, ShelfAsk, ShelfChore, differences};

impl Desk {
    /// Shows the card of other layouts, or puts it away.
    pub(super) fn turn_shelf(&mut self) {
        self.shelf.open = !self.shelf.open && self.shelf.there;
        self.shelf.wrong = None;
        if self.shelf.open {
            self.shelf.chores.push(ShelfChore::Look);
        }
    }

    pub(super) fn answer_shelf(&mut self, ask: ShelfAsk) {
        match ask {
            ShelfAsk::Typing(typed) => self.shelf.typed = typed,
            ShelfAsk::Open(path) => self.shelf.chores.push(ShelfChore::Open(path)),
            ShelfAsk::Compare(path) => self.shelf.chores.push(ShelfChore::Compare(path)),
            ShelfAsk::Item(id) => self.take(Action::Item(id)),
            ShelfAsk::Apart => self.shelf.compared = None,
            ShelfAsk::Done => self.turn_shelf(),
        }
    }

    /// A layout was dropped on the window.
    pub fn drop_layout(&mut self, path: &Path) {
        if self.shelf.there {
            self.shelf.chores.push(ShelfChore::Open(path.to_owned()));
        }
    }

    /// Another house to compare with, read from a file of this name, with the flow on its own text.
    pub fn compare_with(&mut self, name: String, house: House) {
        let fittings = self.fittings(&house.text);
        self.shelf.compared = Some(Compared {
            name,
            house,
            fittings,
            differences: Vec::new(),
        });
        self.compare_again();
    }

    /// Compares the house on the desk, which may have changed, once more.
    pub(super) fn compare_again(&mut self) {
        let Some(mut compared) = self.shelf.compared.take() else {
            return;
        };
        let own = self.fittings(&self.house.text);
        compared.differences =
            differences((&self.house, &own), (&compared.house, &compared.fittings));
        self.shelf.compared = Some(compared);
    }

    /// The fittings that a layout's text is made of, one name each.
    fn fittings(&self, text: &str) -> Vec<String> {
        let Some(hooks) = &self.edit.hooks else {
            return Vec::new();
        };
        let steps = (hooks.walk)(text).into_iter();
        let fittings = steps.filter(|step| step.label.starts_with('F'));
        fittings.map(|step| step.what).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys::Asked;

    #[test]
    fn the_card_looks_round_when_it_is_opened_and_asks_the_disk() {
        let mut desk = Desk::new(House::default(), "t.ron".into());
        desk.take(Action::Asked(Asked::Shelf));
        assert!(!desk.shelf.open, "without a shelf there is none to show");
        desk.shelf.there = true;
        desk.take(Action::Asked(Asked::Shelf));
        desk.take(Action::Shelf(ShelfAsk::Open("shop.ron".into())));
        assert_eq!(
            desk.shelf.chores,
            [ShelfChore::Look, ShelfChore::Open("shop.ron".into())]
        );
        desk.compare_with("t.ron".into(), House::default());
        assert!(desk.shelf.compared.as_ref().unwrap().differences.is_empty());
        desk.take(Action::Shelf(ShelfAsk::Apart));
        assert!(desk.shelf.compared.is_none());
    }
}
