//! A profile as resolved: the published rows with the town's changes laid over them.

use std::{
    collections::BTreeMap,
    sync::{Arc, LazyLock},
};

use units::Size;

use crate::{
    amend::{self, Amendment, Problem},
    code::{Body, Code},
    row::{Figure, Key, Row},
    rule_list::{RuleId, Scope},
    tables::{self, Entry, Part},
    value::Value,
};

/// The rows of one code, rule by rule.
type Rows = BTreeMap<RuleId, Vec<Row>>;

/// What one code says, with local amendments laid over it.
#[derive(Clone, PartialEq, Debug)]
pub struct Rules {
    code: Code,
    /// Shared until an amendment changes a row.
    rows: Arc<Rows>,
}

/// The profile of `code` with `amendments` laid over it, in their order. An amendment that fits no rule, or whose value
/// cannot be read, becomes a problem and changes nothing.
pub fn rules(code: Code, amendments: &[Amendment]) -> (Rules, Vec<Problem>) {
    let mut rows = Arc::clone(published(code));
    let problems = if amendments.is_empty() {
        Vec::new()
    } else {
        amend::apply(Arc::make_mut(&mut rows), amendments)
    };
    (Rules { code, rows }, problems)
}

/// The rows of a code as published, gathered once.
fn published(code: Code) -> &'static Arc<Rows> {
    static PROFILES: LazyLock<[Arc<Rows>; 3]> =
        LazyLock::new(|| Code::ALL.map(|code| Arc::new(gathered(code))));
    let [irc, ipc, upc] = &*PROFILES;
    match code {
        Code::Irc => irc,
        Code::Ipc => ipc,
        Code::Upc => upc,
    }
}

fn gathered(code: Code) -> Rows {
    let mut rows = Rows::new();
    for entry in tables::entries()
        .iter()
        .filter(|entry| entry.part == Part::Governs && belongs(entry, code))
    {
        rows.entry(entry.row.cite.rule)
            .or_default()
            .push(entry.row.clone());
    }
    rows
}

fn belongs(entry: &Entry, code: Code) -> bool {
    match entry.row.cite.rule.scope() {
        Scope::Each => entry.row.cite.body == Body::Code(code),
        Scope::Shared => true,
    }
}

impl Rules {
    /// Whose profile this is.
    pub fn code(&self) -> Code {
        self.code
    }

    /// The rows of a rule: one for a plain rule, several for a table. Never missing for a plain rule.
    pub fn rows(&self, rule: RuleId) -> &[Row] {
        self.rows.get(&rule).map_or(&[], Vec::as_slice)
    }

    /// Every row of the profile, rules in the order of [`RuleId::ALL`].
    pub fn all(&self) -> impl Iterator<Item = &Row> {
        self.rows.values().flatten()
    }

    /// The row of a plain rule, or the first of a table.
    pub fn row(&self, rule: RuleId) -> Option<&Row> {
        self.rows(rule).first()
    }

    /// The figure of a plain rule, in the unit its row names. `None`: no limit, left to the town, or nothing seen;
    /// [`Rules::row`] tells which.
    pub fn number(&self, rule: RuleId) -> Option<Figure<'_>> {
        self.row(rule)?.figure()
    }

    /// Whether a yes-or-no rule says yes. `None` where it says neither.
    pub fn yes(&self, rule: RuleId) -> Option<bool> {
        match self.row(rule)?.value {
            Value::Yes => Some(true),
            Value::No => Some(false),
            Value::Number(_)
            | Value::Range(..)
            | Value::NoLimit
            | Value::Limited(_)
            | Value::Local
            | Value::Silent
            | Value::Words(_)
            | Value::Said
            | Value::Unseen => None,
        }
    }

    /// The row of a rule that speaks of this size.
    pub fn row_for(&self, rule: RuleId, size: Size) -> Option<&Row> {
        self.rows(rule)
            .iter()
            .find(|row| row.key.takes_size(size.nominal()))
    }

    /// The figure of a rule for this size.
    pub fn number_for(&self, rule: RuleId, size: Size) -> Option<Figure<'_>> {
        self.row_for(rule, size)?.figure()
    }

    /// What else was seen on a rule: second witnesses, older editions, one town's figure. They decide nothing, but an
    /// inspector may go by them.
    pub fn also(&self, rule: RuleId) -> Vec<&'static Row> {
        let on_rule = |entry: &&Entry| entry.row.cite.rule == rule && entry.part != Part::Governs;
        tables::entries()
            .iter()
            .filter(on_rule)
            .filter(|entry| belongs(entry, self.code))
            .map(|entry| &entry.row)
            .collect()
    }

    /// The rows a local amendment changed.
    pub fn amended(&self) -> Vec<&Row> {
        self.all()
            .filter(|row| row.cite.amended.is_some())
            .collect()
    }

    /// The least fall of a horizontal drain of this size, in/ft.
    pub fn least_grade(&self, size: Size) -> Option<Figure<'_>> {
        self.number_for(RuleId::GradeLeast, size)
    }

    /// A flatter fall the authority may approve beforehand for this size, in/ft.
    pub fn grade_with_approval(&self, size: Size) -> Option<Figure<'_>> {
        self.number_for(RuleId::GradeApproved, size)
    }

    pub(crate) fn keyed(&self, rule: RuleId, key: Key) -> Option<&Row> {
        self.rows(rule).iter().find(|row| row.key == key)
    }
}
