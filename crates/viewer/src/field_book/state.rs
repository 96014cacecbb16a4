//! The open book: which stage, which reading, what is typed, what came of it.

use std::sync::Arc;

use field::{Due, Noted, Said, Section, Session, Sheet, Stage, Suspicion};

/// The field book's sums, as the viewer needs them; pure but for the clock, called between two frames. Texts are of the
/// layout and of the book.
#[derive(Clone)]
pub struct BookHooks {
    /// The page of a stage (`None`: the one the book has come to), or everything that is wrong with the book, a mistake a
    /// line.
    pub sheet: Arc<dyn Fn(&str, &str, Option<Stage>) -> Result<Sheet, String> + Send + Sync>,
    /// One typed answer put into the book's text; `true` when its figure was read twice.
    pub note: Arc<dyn Fn(&str, &str, &Due, &str, &mut Session, bool) -> Noted + Send + Sync>,
    /// What a new layout does to what was built by an old one: old, new, book.
    pub changes: Arc<dyn Fn(&str, &str, &str) -> Vec<Section> + Send + Sync>,
    /// Which layout the stamp of a printed page names: the stamp, the layout as the window opened it, and as it is now.
    pub whose_page: Arc<dyn Fn(&str, &str, &str) -> String + Send + Sync>,
}

impl std::fmt::Debug for BookHooks {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("BookHooks").finish_non_exhaustive()
    }
}

/// What the panel asks for.
#[derive(Clone, PartialEq, Debug)]
pub enum BookAsk {
    /// Another stage.
    Stage(
        /// Which.
        Stage,
    ),
    /// Another reading.
    Pick(
        /// Its row.
        usize,
    ),
    /// What is typed of it, not noted yet.
    Typing(
        /// The line.
        String,
    ),
    /// Who measures.
    Who(
        /// Name or initials.
        String,
    ),
    /// The stamp of a printed page.
    Stamp(
        /// As typed so far.
        String,
    ),
    /// Note what is typed.
    Note,
    /// Note it as it was typed though it looks misread: it was read twice.
    AsTyped,
}

/// A reading on its way to the disk.
#[derive(Clone, PartialEq, Debug)]
pub struct Pending {
    /// The book's text with it.
    pub text: String,
    /// The reading's name in the book.
    pub id: String,
    /// What it is called on the page.
    pub name: String,
}

/// See the module.
#[derive(Clone, Debug, Default)]
pub struct BookState {
    /// Whether it is open.
    pub open: bool,
    /// The book's text as it is on the disk; `None` before it was read.
    pub text: Option<String>,
    /// The page, or what is wrong with the book.
    pub sheet: Option<Result<Sheet, String>>,
    /// The row that is asked for.
    pub picked: Option<usize>,
    /// What is typed for it.
    pub typed: String,
    /// Who measures, and the instrument that stands.
    pub session: Session,
    /// A figure that looks misread and waits for an answer.
    pub odd: Option<Suspicion>,
    /// Why the last answer was not noted.
    pub wrong: Option<String>,
    /// What was noted last, and what the readings say of it.
    pub told: Option<(String, Vec<Said>)>,
    /// What waits for the disk.
    pub pending: Option<Pending>,
    /// The layout as it was when the window opened.
    pub opened: String,
    /// What the changes since then do to what is built.
    pub changed: Vec<Section>,
    /// The stamp of a printed page that is asked about, and which layout it names once it is whole.
    pub stamp: String,
    /// The answer.
    pub stamped: Option<String>,
}

impl BookState {
    /// The page, when the book can be read.
    pub fn page(&self) -> Option<&Sheet> {
        self.sheet.as_ref()?.as_ref().ok()
    }

    /// The row after `from` that nothing was measured for yet; from the first again after the last.
    pub fn next_open(&self, from: usize) -> Option<usize> {
        let rows = &self.page()?.rows;
        let open = |row: &usize| rows.get(*row).is_some_and(|row| row.measured.is_none());
        (from..rows.len()).chain(0..from).find(open)
    }
}
