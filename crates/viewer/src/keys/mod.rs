//! The keys, in one table: what each does and what the card on screen says of it.

use bevy_egui::egui::{self, Key, Modifiers};

use crate::focus::Keyboard;
use crate::layers::Layer;

/// What a key asks for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Asked {
    /// Bring the whole house back.
    WholeHouse,
    /// Look up from below.
    Below,
    /// Look straight down, as on a plan.
    Plan,
    /// Stand on the slab, or leave it.
    Afoot,
    /// The next exaggeration of heights.
    Heights,
    /// The next finding.
    NextFinding,
    /// The finding before.
    LastFinding,
    /// Take out the tape, or put it away.
    Measure,
    /// The other tape: feet or millimetres.
    Tape,
    /// Measure to the finished floor.
    ToFloor,
    /// Measure the cover at a pipe.
    Cover,
    /// Measure the pulls from two corners.
    Ties,
    /// Put away what is open.
    PutAway,
    /// The next place with a name.
    NextPlace,
    /// The place before.
    LastPlace,
    /// What a click would do at the place gone to, or in the middle of the picture.
    Here,
    /// Let things be moved, or not.
    Move,
    /// Undo the last change.
    Undo,
    /// Make the last undone change again.
    Redo,
    /// Save the layout.
    Save,
    /// Open the path of the first evening, or put it away.
    Evening,
    /// Begin or end the glue-up walk.
    Walk,
    /// The next piece of the walk.
    NextPiece,
    /// The piece before.
    LastPiece,
    /// Cut through the house, or not.
    Cut,
    /// Open or close the field book.
    FieldBook,
    /// Show or hide the other layouts.
    Shelf,
    /// Show or hide the panels.
    Panels,
    /// Show or hide the keys.
    Keys,
    /// Keep this viewpoint.
    Keep,
    /// Go to the next kept viewpoint.
    Kept,
    /// The next light: day, dark, sharp.
    Light,
    /// Larger text.
    Larger,
    /// Smaller text.
    Smaller,
    /// Show or hide a layer.
    Turn(
        /// Which.
        Layer,
    ),
}

/// Key, what it says on the card, what it asks.
const TABLE: [(Key, &str, &str, Asked); 31] = [
    (Key::Space, "Space", "whole house", Asked::WholeHouse),
    (Key::G, "G", "stand on the slab", Asked::Afoot),
    (Key::U, "U", "from under the slab", Asked::Below),
    (Key::T, "T", "from the top, as a plan", Asked::Plan),
    (Key::X, "X", "exaggerate heights", Asked::Heights),
    (Key::N, "N", "next finding", Asked::NextFinding),
    (Key::B, "B", "finding before", Asked::LastFinding),
    (Key::A, "A", "next place with a name", Asked::NextPlace),
    (Key::Z, "Z", "place before", Asked::LastPlace),
    (
        Key::Enter,
        "Enter",
        "click there, or at the cross",
        Asked::Here,
    ),
    (Key::M, "M", "measure", Asked::Measure),
    (Key::I, "I", "measure in feet or millimetres", Asked::Tape),
    (Key::F, "F", "measure to finished floor", Asked::ToFloor),
    (Key::O, "O", "measure the cover", Asked::Cover),
    (Key::Y, "Y", "measure the tape ties", Asked::Ties),
    (Key::E, "E", "move things", Asked::Move),
    (Key::Q, "Q", "first evening's questions", Asked::Evening),
    (Key::W, "W", "glue-up walk", Asked::Walk),
    (Key::Period, ".", "next piece or question", Asked::NextPiece),
    (Key::Comma, ",", "the one before", Asked::LastPiece),
    (Key::S, "S", "cut through", Asked::Cut),
    (Key::R, "R", "readings: the field book", Asked::FieldBook),
    (Key::H, "H", "other layouts: open, compare", Asked::Shelf),
    (Key::V, "V", "keep this viewpoint", Asked::Keep),
    (Key::C, "C", "kept viewpoints in turn", Asked::Kept),
    (Key::P, "P", "panels on and off", Asked::Panels),
    (Key::K, "K", "this card", Asked::Keys),
    (Key::Escape, "Esc", "put away", Asked::PutAway),
    (Key::D, "D", "day, dark, sharp contrast", Asked::Light),
    (Key::Plus, "+", "larger text", Asked::Larger),
    (Key::Minus, "-", "smaller text", Asked::Smaller),
];

/// Keys with the command key: the same in most programs that change files.
const COMMANDS: [(Modifiers, Key, Asked); 5] = [
    (
        Modifiers::COMMAND.plus(Modifiers::SHIFT),
        Key::Z,
        Asked::Redo,
    ),
    (Modifiers::COMMAND, Key::Z, Asked::Undo),
    (Modifiers::COMMAND, Key::Y, Asked::Redo),
    (Modifiers::COMMAND, Key::S, Asked::Save),
    (Modifiers::COMMAND, Key::O, Asked::Shelf),
];

/// What the hand does, for the card.
const HAND: [(&str, &str); 9] = [
    ("drag", "go round"),
    ("right drag, Shift drag", "slide"),
    ("wheel, pinch", "nearer, farther"),
    ("arrows, Page up/down", "fly"),
    ("Shift arrows", "turn"),
    ("Tab, Shift Tab", "next control, the one before"),
    ("F6, Shift F6", "next panel, the one before"),
    ("1 to 9, 0, L", "layers, in order"),
    ("Ctrl Z, Y, S", "undo, redo, save"),
];

const LAYER_KEYS: [Key; 11] = [
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
    Key::Num9,
    Key::Num0,
    Key::L,
];

/// What was asked by keys in this frame, in the order of the table: those that `keyboard` leaves, Escape unless it was
/// spent.
pub fn asked(input: &mut egui::InputState, keyboard: Keyboard, escape_spent: bool) -> Vec<Asked> {
    let mut found: Vec<Asked> = COMMANDS
        .into_iter()
        .filter(|(_, _, asked)| leaves_command(keyboard, *asked))
        .filter(|(modifiers, key, _)| input.consume_key(*modifiers, *key))
        .map(|(_, _, asked)| asked)
        .collect();
    let layers = LAYER_KEYS
        .into_iter()
        .zip(Layer::ALL)
        .map(|(key, layer)| (key, Asked::Turn(layer)));
    let table = TABLE.into_iter().map(|(key, _, _, asked)| (key, asked));
    let also = [(Key::Equals, Asked::Larger), (Key::Home, Asked::WholeHouse)];
    let pressed = |input: &mut egui::InputState, key| {
        input.consume_key(Modifiers::NONE, key)
            || (key == Key::Plus && input.consume_key(Modifiers::SHIFT, key))
    };
    found.extend(
        table
            .chain(layers)
            .chain(also)
            .filter(|(key, _)| leaves(keyboard, *key) && !(escape_spent && *key == Key::Escape))
            .filter(|(key, _)| pressed(input, *key))
            .map(|(_, asked)| asked),
    );
    found
}

/// Whether a key is still the picture's: what is typed is the text's, and a control is worked by its own keys.
fn leaves(keyboard: Keyboard, key: Key) -> bool {
    match keyboard {
        Keyboard::Free => true,
        Keyboard::Control => !matches!(key, Key::Space | Key::Enter | Key::Home),
        Keyboard::Typing => false,
    }
}

/// A text has its own undo and redo while it is typed; the layout is saved from anywhere.
fn leaves_command(keyboard: Keyboard, asked: Asked) -> bool {
    keyboard != Keyboard::Typing || asked == Asked::Save
}

/// The card: two columns beside one another, so that it fits a small window.
pub fn keys_ui(ui: &mut egui::Ui) {
    let table = TABLE.iter().map(|(_, key, says, _)| (*key, *says));
    let rows: Vec<(&str, &str)> = HAND.into_iter().chain(table).collect();
    let (left, right) = rows.split_at(rows.len().div_ceil(2));
    egui::Grid::new("keys")
        .num_columns(4)
        .spacing([12.0, 2.0])
        .show(ui, |ui| {
            for (n, (key, says)) in left.iter().enumerate() {
                ui.strong(*key);
                ui.label(*says);
                if let Some((key, says)) = right.get(n) {
                    ui.strong(*key);
                    ui.label(*says);
                }
                ui.end_row();
            }
        });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_is_given_twice() {
        let mut keys: Vec<Key> = TABLE.iter().map(|row| row.0).chain(LAYER_KEYS).collect();
        keys.sort_unstable();
        assert!(keys.windows(2).all(|pair| pair[0] != pair[1]));
    }
}
