//! The desk's answers to the field book: pages turned, readings noted, and what the disk said of it.

use field::{Noted, Stage};

use super::state::{Action, Desk};
use crate::edit::Chore;
use crate::field_book::{BookAsk, BookHooks, Pending};

/// How long the stamp of a page is.
const STAMP: usize = 8;

impl Desk {
    fn book_hooks(&self) -> Option<BookHooks> {
        self.edit.hooks.as_ref().map(|hooks| hooks.book.clone())
    }

    /// Opens the field book, reading it anew, or closes it.
    pub(super) fn turn_book(&mut self) {
        self.book.open = !self.book.open && self.edit.hooks.is_some();
        if self.book.open {
            self.evening.at = None;
            if self.walk.at.is_some() {
                self.take(Action::Asked(crate::keys::Asked::Walk));
            }
            self.edit.chores.push(Chore::ReadBook);
        }
    }

    /// What the disk has of the book; empty before there is one.
    pub fn book_read(&mut self, text: Result<String, String>) {
        match text {
            Ok(text) => {
                self.book.text = Some(text);
                self.turn_page(None);
                self.tell_changes();
            }
            Err(why) => self.book.sheet = Some(Err(why)),
        }
    }

    /// Makes the page anew: of another stage, or of the same after the book or the house changed.
    pub(super) fn turn_page(&mut self, stage: Option<Stage>) {
        let (Some(hooks), Some(text)) = (self.book_hooks(), self.book.text.clone()) else {
            return;
        };
        if !self.book.open {
            return;
        }
        let same = self.book.page().map(|page| page.stage);
        let page = (hooks.sheet)(&self.house.text, &text, stage.or(same));
        let turned = page.as_ref().ok().map(|page| page.stage) != same;
        self.book.sheet = Some(page);
        if turned {
            self.book.picked = self.book.next_open(0).or(Some(0));
            self.forget_typed();
        }
    }

    fn forget_typed(&mut self) {
        self.book.typed.clear();
        self.book.wrong = None;
        self.book.odd = None;
    }

    /// What the changes since the window opened do to what is built by the book.
    pub(super) fn tell_changes(&mut self) {
        let (Some(hooks), Some(text)) = (self.book_hooks(), self.book.text.as_deref()) else {
            return;
        };
        self.book.changed = if self.house.text == self.book.opened {
            Vec::new()
        } else {
            (hooks.changes)(&self.book.opened, &self.house.text, text)
        };
        self.name_page();
    }

    pub(super) fn answer_book(&mut self, ask: BookAsk) {
        match ask {
            BookAsk::Stage(stage) => self.turn_page(Some(stage)),
            BookAsk::Pick(row) => self.pick_reading(row),
            BookAsk::Typing(typed) => {
                self.book.typed = typed;
                self.book.odd = None;
                self.book.wrong = None;
            }
            BookAsk::Who(who) => self.book.session.who = who,
            BookAsk::Stamp(stamp) => {
                self.book.stamp = stamp;
                self.name_page();
            }
            BookAsk::Note => self.note(false),
            BookAsk::AsTyped => self.note(true),
        }
    }

    /// Which layout the typed stamp names; nothing before all of it is typed.
    fn name_page(&mut self) {
        let stamp = self.book.stamp.trim();
        self.book.stamped = self
            .book_hooks()
            .filter(|_| stamp.len() >= STAMP)
            .map(|hooks| (hooks.whose_page)(stamp, &self.book.opened, &self.house.text));
    }

    fn pick_reading(&mut self, row: usize) {
        let rows = self.book.page().map(|page| &page.rows);
        let Some(of) = rows
            .and_then(|rows| rows.get(row))
            .map(|row| row.due.of.to_string())
        else {
            return;
        };
        if self.book.picked != Some(row) {
            self.forget_typed();
            self.book.picked = Some(row);
        }
        self.take(Action::Item(of));
    }

    /// Puts what is typed into the book's text and gives that to the disk; shown as noted only once it is written.
    fn note(&mut self, sure: bool) {
        let (Some(hooks), Some(before)) = (self.book_hooks(), self.book.text.clone()) else {
            return;
        };
        (self.book.odd, self.book.wrong) = (None, None);
        let (row, typed) = match self.addressed() {
            Ok(Some(meant)) => meant,
            Ok(None) => return,
            Err(wrong) => {
                self.book.wrong = Some(wrong);
                return;
            }
        };
        let session = &mut self.book.session;
        let noted = (hooks.note)(&self.house.text, &before, &row.due, &typed, session, sure);
        match noted {
            Noted::Taken { text, id, .. } => {
                self.edit.chores.push(Chore::SaveBook {
                    before,
                    text: text.clone(),
                });
                self.book.pending = Some(Pending {
                    text,
                    id: id.to_string(),
                    name: row.name,
                });
            }
            Noted::Odd(odd) => self.book.odd = Some(odd),
            Noted::Wrong(wrong) => self.book.wrong = Some(wrong),
        }
    }

    /// The row that what is typed answers, and the answer: `washer: sw 12'` names another row than the picked one, as on the
    /// command line. `None` while there is nothing to note.
    fn addressed(&self) -> Result<Option<(field::Row, String)>, String> {
        let typed = self.book.typed.trim();
        let picked = self.book.picked.zip(self.book.page());
        let Some((row, page)) = picked.filter(|_| self.book.pending.is_none()) else {
            return Ok(None);
        };
        let Some(row) = page.rows.get(row).filter(|_| !typed.is_empty()) else {
            return Ok(None);
        };
        let dues: Vec<field::Due> = page.rows.iter().map(|row| row.due.clone()).collect();
        let (due, rest) = field::addressed(typed, &row.due, &dues)?;
        let meant = page.rows.iter().find(|row| row.due == *due);
        Ok(Some((meant.unwrap_or(row).clone(), rest.trim().to_owned())))
    }

    /// What came of writing the book. When it was refused, what is typed stays to be noted once more.
    pub fn book_saved(&mut self, result: Result<(), String>) {
        let Some(pending) = self.book.pending.take() else {
            return;
        };
        if let Err(why) = result {
            self.edit.chores.push(Chore::ReadBook);
            self.book.wrong = Some(why);
            return;
        }
        self.book.text = Some(pending.text);
        self.turn_page(None);
        self.tell_changes();
        self.forget_typed();
        let rows = self.book.page().map(|page| page.rows.as_slice());
        let about = rows.unwrap_or_default().iter().flat_map(|row| &row.answers);
        let mut said: Vec<field::Said> = Vec::new();
        for one in about {
            if one.readings.iter().any(|id| id.as_str() == pending.id) && !said.contains(one) {
                said.push(one.clone());
            }
        }
        said.sort_by_key(|one| one.weight);
        self.book.told = Some((pending.name, said));
        self.book.picked = self
            .book
            .picked
            .map(|row| self.book.next_open(row).unwrap_or(row));
    }
}

#[cfg(test)]
pub(super) mod tests {
    use std::sync::Arc;

    use bevy_egui::egui::{Rect, pos2, vec2};
    use field::{Due, Row, Sheet, Suspicion};

    use super::*;
    use crate::edit::Hooks;
    use crate::house::House;
    use crate::keys::Asked;
    use crate::recovery;

    /// Hooks of a house without a book.
    pub(in crate::desk) fn no_book() -> BookHooks {
        BookHooks {
            sheet: Arc::new(|_, _, _| Err("no book".into())),
            note: Arc::new(|_, _, _, _, _, _| Noted::Wrong("no book".into())),
            changes: Arc::new(|_, _, _| Vec::new()),
            whose_page: Arc::new(|_, _, _| String::new()),
        }
    }

    fn due(of: &str, stage: Stage) -> Due {
        Due {
            of: of.into(),
            what: "stub",
            spot: None,
            to: None,
            stage,
            asks: "pull two tapes".into(),
            plan: "sw 10'-0\"".into(),
            like: "sw 10'-0\"".into(),
        }
    }

    /// A book of lines `name=figure`: enough to see what the desk does with it.
    fn sheet(_: &str, text: &str, stage: Option<Stage>) -> Result<Sheet, String> {
        if text.contains('!') {
            return Err("line 1: torn".into());
        }
        let stage = stage.unwrap_or(Stage::DryFit);
        let measured = |of: &str| {
            let start = format!("{of}=");
            text.lines()
                .find_map(|line| Some(line.strip_prefix(&start)?.to_owned()))
        };
        let row = |of: &str| Row {
            due: due(of, stage),
            name: format!("{of}: place"),
            measured: measured(of),
            answers: Vec::new(),
        };
        Ok(Sheet {
            stage,
            rows: ["a", "b", "c"].map(row).to_vec(),
            n_readings: text.lines().count(),
            beside: Vec::new(),
            again: Vec::new(),
            stops: Vec::new(),
        })
    }

    fn hooks() -> BookHooks {
        BookHooks {
            sheet: Arc::new(sheet),
            note: Arc::new(|_, text, due, typed, session, sure| match typed {
                "bad" => Noted::Wrong("\"bad\" is not a length".into()),
                "10 ft" if !sure => Noted::Odd(Suspicion {
                    wrong: "10'-0\" is about twelve times the plan's".into(),
                    meant: "10 in".into(),
                }),
                _ => Noted::Taken {
                    text: format!("{text}{}={typed} by {}\n", due.of, session.who),
                    book: Box::default(),
                    id: "1".into(),
                },
            }),
            changes: Arc::new(|old, new, book| {
                vec![field::Section {
                    heading: "Moved",
                    lines: vec![format!("{old} to {new} with {}", book.lines().count())],
                }]
            }),
            whose_page: Arc::new(|stamp, old, new| format!("{stamp} of {old} or {new}")),
        }
    }

    fn desk() -> Desk {
        let house = House {
            text: "(a)".into(),
            ..House::default()
        };
        let mut desk = Desk::new(house, "t.ron".into());
        desk.flight_seconds = 0.0;
        desk.put_canvas(Rect::from_min_size(pos2(0.0, 0.0), vec2(800.0, 500.0)));
        desk.make_changeable(Hooks {
            run: Arc::new(|text| {
                Ok(House {
                    text: text.into(),
                    ..House::default()
                })
            }),
            mends: Arc::new(|_| Vec::new()),
            walk: Arc::new(|_| Vec::new()),
            book: hooks(),
        });
        desk
    }

    fn folder(name: &str) -> std::path::PathBuf {
        let folder =
            std::env::temp_dir().join(format!("viewer-book-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        folder
    }

    /// Does what the window does after each frame.
    fn disk(desk: &mut Desk, file: &std::path::Path) {
        while !desk.edit.chores.is_empty() {
            let chores = std::mem::take(&mut desk.edit.chores);
            recovery::keep(desk, file, chores);
        }
    }

    fn open(desk: &mut Desk, file: &std::path::Path) {
        desk.take(Action::Asked(Asked::FieldBook));
        disk(desk, file);
    }

    fn type_in(desk: &mut Desk, file: &std::path::Path, line: &str) {
        desk.take(Action::Book(BookAsk::Typing(line.into())));
        desk.take(Action::Book(BookAsk::Note));
        disk(desk, file);
    }

    #[test]
    fn a_pages_stamp_is_asked_about_once_it_is_whole() {
        let folder = folder("stamp");
        let mut desk = desk();
        open(&mut desk, &folder.join("t.ron"));
        desk.take(Action::Book(BookAsk::Stamp("35a0a4a".into())));
        assert_eq!(desk.book.stamped, None);
        desk.take(Action::Book(BookAsk::Stamp("35a0a4ac ".into())));
        assert_eq!(desk.book.stamped.as_deref(), Some("35a0a4ac of (a) or (a)"));
    }

    #[test]
    fn what_is_typed_is_in_the_file_before_it_is_called_noted() {
        let folder = folder("noted");
        let file = folder.join("t.ron");
        let mut desk = desk();
        open(&mut desk, &file);
        assert_eq!(desk.book.picked, Some(0));
        desk.take(Action::Book(BookAsk::Who("Ann".into())));
        desk.take(Action::Book(BookAsk::Typing("sw 10'".into())));
        desk.take(Action::Book(BookAsk::Note));
        assert_eq!(desk.book.told, None, "nothing is written yet");
        disk(&mut desk, &file);
        let book = recovery::book_beside(&file);
        assert_eq!(std::fs::read_to_string(&book).unwrap(), "a=sw 10' by Ann\n");
        assert_eq!(desk.book.told.as_ref().unwrap().0, "a: place");
        assert_eq!(
            (desk.book.typed.as_str(), desk.book.picked),
            ("", Some(1)),
            "on to the next"
        );
        // Closed and opened again, the page is as it was.
        open(&mut desk, &file);
        assert!(!desk.book.open);
        open(&mut desk, &file);
        let page = desk.book.page().unwrap();
        assert_eq!((page.n_readings, page.stage), (1, Stage::DryFit));
        std::fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn a_wrong_line_stays_to_be_put_right_and_writes_nothing() {
        let folder = folder("wrong");
        let file = folder.join("t.ron");
        let mut desk = desk();
        open(&mut desk, &file);
        type_in(&mut desk, &file, "bad");
        assert_eq!(desk.book.wrong.as_deref(), Some("\"bad\" is not a length"));
        assert_eq!(desk.book.typed, "bad");
        assert!(!recovery::book_beside(&file).exists());
        // A figure that looks misread is asked about, and noted when it was read twice.
        type_in(&mut desk, &file, "10 ft");
        assert_eq!(desk.book.odd.as_ref().unwrap().meant, "10 in");
        assert!(!recovery::book_beside(&file).exists());
        desk.take(Action::Book(BookAsk::AsTyped));
        disk(&mut desk, &file);
        assert!(recovery::book_beside(&file).exists());
        std::fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn a_book_that_something_else_wrote_meanwhile_is_not_written_over() {
        let folder = folder("meanwhile");
        let file = folder.join("t.ron");
        let mut desk = desk();
        open(&mut desk, &file);
        let book = recovery::book_beside(&file);
        std::fs::write(&book, "c=sw 3' by Bob\n").unwrap();
        type_in(&mut desk, &file, "sw 10'");
        assert_eq!(std::fs::read_to_string(&book).unwrap(), "c=sw 3' by Bob\n");
        assert!(
            desk.book
                .wrong
                .as_ref()
                .unwrap()
                .contains("note it once more")
        );
        assert_eq!(desk.book.typed, "sw 10'", "nothing typed is lost");
        assert_eq!(desk.book.page().unwrap().n_readings, 1, "it was read again");
        desk.take(Action::Book(BookAsk::Note));
        disk(&mut desk, &file);
        let both = std::fs::read_to_string(&book).unwrap();
        assert_eq!(both, "c=sw 3' by Bob\na=sw 10' by \n");
        std::fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn a_book_with_mistakes_is_told_and_left_alone() {
        let folder = folder("torn");
        let file = folder.join("t.ron");
        let book = recovery::book_beside(&file);
        std::fs::write(&book, "!\n").unwrap();
        let mut desk = desk();
        open(&mut desk, &file);
        assert_eq!(desk.book.sheet, Some(Err("line 1: torn".into())));
        type_in(&mut desk, &file, "sw 10'");
        assert_eq!(std::fs::read_to_string(&book).unwrap(), "!\n");
        std::fs::remove_dir_all(folder).unwrap();
    }

    #[test]
    fn another_stage_has_a_page_of_its_own_and_a_change_of_the_house_is_told() {
        let folder = folder("stage");
        let file = folder.join("t.ron");
        let mut desk = desk();
        open(&mut desk, &file);
        type_in(&mut desk, &file, "sw 10'");
        desk.take(Action::Book(BookAsk::Pick(2)));
        assert_eq!(desk.book.picked, Some(2));
        // A line that names another row answers that one.
        type_in(&mut desk, &file, "b: sw 11'");
        assert_eq!(
            desk.book.text.as_deref(),
            Some("a=sw 10' by \nb=sw 11' by \n")
        );
        type_in(&mut desk, &file, "d: sw 11'");
        assert!(
            desk.book
                .wrong
                .as_ref()
                .unwrap()
                .starts_with("nothing is called \"d\"")
        );
        desk.take(Action::Book(BookAsk::Pick(9)));
        assert_eq!(desk.book.picked, Some(2), "there is no such row");
        desk.take(Action::Book(BookAsk::Stage(Stage::Glued)));
        assert_eq!(desk.book.page().unwrap().stage, Stage::Glued);
        assert!(desk.book.changed.is_empty());
        desk.news(Ok(House {
            text: "(b)".into(),
            ..House::default()
        }));
        assert_eq!(desk.book.changed[0].lines, ["(a) to (b) with 2"]);
        std::fs::remove_dir_all(folder).unwrap();
    }
}
