//! What a screen reader asks of the window: the window rests while nothing happens, and a reader's first question and what it
//! presses come from outside of it.

use std::sync::Arc;
use std::time::Duration;

use bevy::a11y::{AccessibilityRequested, ActionRequest};
use bevy::prelude::*;
use bevy::winit::accessibility::WinitActionRequestHandlers;
use bevy_egui::{EguiInput, PrimaryEguiContext, egui};

use crate::window::waker;

/// Between two looks: what a reader presses answers as soon as a key would seem to.
const EVERY: Duration = Duration::from_millis(100);

/// Hands on what a reader presses: the window's library takes it from the system and does not give it to the panels.
pub(crate) fn hand_on(
    mut asked: MessageReader<ActionRequest>,
    mut inputs: Query<&mut EguiInput, With<PrimaryEguiContext>>,
) {
    let asked: Vec<_> = asked.read().map(|request| request.0.clone()).collect();
    for mut input in &mut inputs {
        let events = asked.iter().cloned();
        let events = events.map(egui::Event::AccessKitActionRequest);
        input.0.events.extend(events);
    }
}

/// Wakes the window when a reader comes or presses something, for as long as the window lives. Begins once, with the window.
pub(crate) fn listen(world: &mut World, mut listens: Local<bool>) {
    let windows = world.get_resource::<WinitActionRequestHandlers>();
    let first = windows.and_then(|windows| windows.values().next());
    let Some(presses) = first.filter(|_| !*listens).map(Arc::downgrade) else {
        return;
    };
    let requested = world.resource::<AccessibilityRequested>().clone();
    let wake = waker(world);
    *listens = true;
    std::thread::spawn(move || {
        let mut before = (false, false);
        while let Some(presses) = presses.upgrade() {
            let waits = presses.lock().is_ok_and(|presses| !presses.is_empty());
            let now = (waits, requested.get());
            // What is pressed is taken up in one frame and reaches the panels in the next.
            if waits || now != before {
                wake();
            }
            before = now;
            drop(presses);
            std::thread::sleep(EVERY);
        }
    });
}
