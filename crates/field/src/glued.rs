//! Which pieces are cut and which are glued, from the stages of the readings: pipe is fitted and glued from the exit up, so
//! what is glued at its far end is glued all the way down.

use std::collections::BTreeSet;

use flow::Outcome;
use units::Id;

use crate::book::{Book, Stage};

/// Indices of the pieces that are glued.
pub(crate) fn glued_pieces(outcome: &Outcome, book: &Book) -> BTreeSet<usize> {
    pieces_at(outcome, book, Stage::Glued)
}

/// Indices of the pieces that are cut: fitted dry at least.
pub(crate) fn cut_pieces(outcome: &Outcome, book: &Book) -> BTreeSet<usize> {
    pieces_at(outcome, book, Stage::DryFit)
}

/// Those of every item with a reading at a stage or later, and all between them and the exit.
fn pieces_at(outcome: &Outcome, book: &Book, stage: Stage) -> BTreeSet<usize> {
    let assembly = &outcome.assembly;
    let ids: BTreeSet<&Id> = book
        .readings
        .iter()
        .map(|reading| &reading.of)
        .filter(|of| book.stage_of(of).is_some_and(|of| of >= stage))
        .collect();
    // A drain's heat is taken when the first joint is made: it tells of no piece.
    let own = (0..assembly.pieces.len()).filter(|p| {
        let id = &assembly.pieces[*p].id;
        ids.contains(id) && !outcome.layout.drains.iter().any(|drain| drain.id == *id)
    });
    let of_stubs = assembly
        .closures
        .iter()
        .filter(|closure| ids.contains(&closure.of.name(&closure.id)))
        .map(|closure| closure.piece);
    let mut nearer = vec![None; assembly.pieces.len()];
    for joint in &assembly.joints {
        nearer[joint.far.0] = Some(joint.near.0);
    }
    let mut glued = BTreeSet::new();
    for piece in own.chain(of_stubs) {
        let mut next = Some(piece);
        while let Some(piece) = next.filter(|piece| glued.insert(*piece)) {
            next = nearer[piece];
        }
    }
    glued
}
