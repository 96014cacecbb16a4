//! The whole interface worked by keys alone, without a window: what Tab reaches and how it is called, where Escape leads,
//! and each job done without a pointer. Tests.

use std::collections::BTreeSet;

use bevy_egui::egui::accesskit::{Action as Wants, NodeId, Role};
use bevy_egui::egui::{self, Event, Id, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{AccessKitNode, NodeT};
use glam::{DVec2, DVec3};
use scene::{Mark, MarkKind};

use super::changes::tests::desk;
use super::{Action, Desk, desk_ui};
use crate::evening::{Clicks, EveningAsk, Question, Sentence};
use crate::house::{BudgetRow, FindingRow, House, Spend, Verdict};
use crate::keys::Asked;
use crate::measure::Reading;
use crate::paper_plan::{Fit, PaperPlan};
use crate::shelf::ShelfChore;

/// A desk and a keyboard.
struct Typist {
    harness: Harness<'static, Desk>,
}

/// One frame of the window.
fn frame(ui: &egui::Ui, desk: &mut Desk) {
    let room = egui::UiBuilder::new()
        .layer_id(egui::LayerId::background())
        .max_rect(ui.ctx().viewport_rect());
    let mut ui = egui::Ui::new(ui.ctx().clone(), Id::new("desk"), room);
    let pass = desk_ui(&mut ui, desk, None);
    pass.actions.into_iter().for_each(|one| desk.take(one));
    if let Some(canvas) = pass.canvas {
        desk.put_canvas(canvas);
    }
}

impl Typist {
    fn new(desk: Desk) -> Self {
        let harness = Harness::builder()
            .with_size([1280.0, 720.0])
            .with_step_dt(0.1)
            .build_ui_state(|ui, desk| frame(ui, desk), desk);
        let mut typist = Self { harness };
        typist.rest();
        typist
    }

    fn desk(&self) -> &Desk {
        self.harness.state()
    }

    fn desk_mut(&mut self) -> &mut Desk {
        self.harness.state_mut()
    }

    fn ctx(&self) -> &egui::Context {
        &self.harness.ctx
    }

    fn rest(&mut self) {
        self.harness.run_steps(3);
    }

    fn press_with(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.harness.step();
        self.rest();
    }

    fn press(&mut self, key: Key) {
        self.press_with(Modifiers::NONE, key);
    }

    /// Letters come as a key and as text, as from a real keyboard.
    fn letters(&mut self, text: &str) {
        self.harness.event(Event::Text(text.into()));
        self.rest();
    }

    /// Frames drawn round something.
    fn painted(&self) -> Vec<egui::Rect> {
        let shapes = self.harness.output().shapes.iter();
        let stroked = |shape: &egui::epaint::ClippedShape| match &shape.shape {
            egui::Shape::Rect(rect) if rect.stroke.width > 2.0 => Some(rect.rect),
            _ => None,
        };
        shapes.filter_map(stroked).collect()
    }

    /// All that a screen reader is told of.
    fn nodes(&self) -> Vec<AccessKitNode<'_>> {
        let all = self.harness.root().children_recursive();
        all.map(|node| node.accesskit_node()).collect()
    }

    /// What a screen reader would say of a control.
    fn name_of(&self, id: NodeId) -> String {
        let nodes = self.nodes();
        let node = nodes.iter().find(|node| node.locate().0 == id);
        node.and_then(AccessKitNode::label).unwrap_or_default()
    }

    fn focused(&self) -> Option<Id> {
        self.ctx().memory(egui::Memory::focused)
    }

    fn focused_name(&self) -> String {
        self.focused()
            .map_or_else(String::new, |id| self.name_of(id.accesskit_id()))
    }

    /// Every control that can have the focus, as Tab comes to them; once round.
    fn round(&mut self, modifiers: Modifiers) -> Vec<Id> {
        let mut round: Vec<Id> = Vec::new();
        for _ in 0..400 {
            self.press_with(modifiers, Key::Tab);
            let Some(id) = self.focused() else {
                panic!("the focus was lost after {:?}", round.len());
            };
            if round.first() == Some(&id) {
                return round;
            }
            assert!(!round.contains(&id), "trapped at {}", self.focused_name());
            round.push(id);
        }
        panic!("no end of controls");
    }

    /// Presses Tab until a control of that name has the focus.
    fn tab_to(&mut self, name: &str) {
        for _ in 0..400 {
            if self.focused_name().contains(name) {
                return;
            }
            self.press(Key::Tab);
        }
        panic!("Tab does not come to {name}");
    }
}

fn mark(id: &str, kind: MarkKind, at: [f64; 3]) -> Mark {
    Mark {
        id: id.into(),
        kind,
        at: DVec3::from_array(at),
        text: id.into(),
    }
}

fn spend(who: &str, inches: f64) -> Spend {
    Spend {
        who: who.into(),
        says: format!("{who}: fall"),
        inches,
    }
}

/// With something on every panel.
fn full(house: &mut House) {
    let row = |verdict, says: &str| FindingRow {
        rule: "r".into(),
        verdict,
        says: says.into(),
        at: [100.0, 50.0, -20.0],
        measured: None,
        limit: None,
        unit: "in".into(),
        source: "common practice".into(),
        members: Vec::new(),
        ends: None,
    };
    house.findings = vec![
        row(Verdict::Fails, "too near"),
        row(Verdict::Note, "as it is"),
    ];
    house.budget = vec![BudgetRow {
        drain: "out".into(),
        says: "spends".into(),
        least_cover: Some(("trunk".into(), "least cover 2\", over trunk".into())),
        spends: vec![spend("start", 4.0), spend("trunk", 6.0)],
        spare: 2.0,
    }];
    house.scene.marks = vec![
        mark("trunk", MarkKind::Run, [240.0, 60.0, -20.0]),
        mark("basin", MarkKind::Stub, [240.0, 120.0, 6.0]),
        mark("closet", MarkKind::Stub, [200.0, 160.0, 6.0]),
    ];
}

fn typist() -> Typist {
    let mut desk = desk();
    full(&mut desk.house);
    desk.take(Action::Asked(Asked::Move));
    desk.shelf.there = true;
    Typist::new(desk)
}

/// What can have the focus now, but for the edges of panels, which are for the pointer.
fn reachable(typist: &Typist) -> BTreeSet<NodeId> {
    let edge = |id: &NodeId| {
        ["findings", "field book", "evening", "cut"]
            .iter()
            .any(|name| Id::new(*name).with("__resize").accesskit_id() == *id)
    };
    let nodes = typist.nodes().into_iter();
    nodes
        .filter(|node| node.data().supports_action(Wants::Focus) && !node.is_disabled())
        .map(|node| node.locate().0)
        .filter(|id| !edge(id))
        .collect()
}

#[test]
fn tab_reaches_every_control_of_every_panel_and_each_has_a_name() {
    let openings: [&[Asked]; 8] = [
        &[],
        &[Asked::Evening],
        &[Asked::Move, Asked::NextPlace, Asked::Here],
        &[
            Asked::Measure,
            Asked::NextPlace,
            Asked::Here,
            Asked::NextPlace,
            Asked::Here,
        ],
        &[Asked::Cut],
        &[Asked::Shelf],
        &[Asked::FieldBook],
        &[Asked::Keys],
    ];
    for opening in openings {
        let mut typist = typist();
        for asked in opening {
            typist.desk_mut().take(Action::Asked(*asked));
        }
        typist.rest();
        all_is_reached(&mut typist, &format!("{opening:?}"));
    }
}

#[test]
fn tab_reaches_every_control_of_every_question_of_the_evening() {
    for question in Sentence::ALL.iter().flat_map(|one| one.questions()) {
        let mut typist = typist();
        typist.press(Key::Q);
        typist
            .desk_mut()
            .take(Action::Evening(EveningAsk::Go(*question)));
        // With its places clicked, so that its blanks are there.
        let clicks = match question.clicks() {
            Clicks::None => 0,
            Clicks::One => 1,
            Clicks::Two | Clicks::Many => 2,
        };
        for n in 0..clicks {
            let at = DVec2::new(240.0, 60.0 + 60.0 * f64::from(n));
            typist.desk_mut().evening.clicks.push(at);
        }
        typist.rest();
        let round = all_is_reached(&mut typist, &format!("{question:?}"));
        if *question != Question::Picture {
            let writes = |id: &Id| typist.name_of(id.accesskit_id()) == "Write it (Enter)";
            assert!(round.iter().any(writes), "{question:?} is written by keys");
        }
        typist.press(Key::Escape);
        typist.press(Key::Period);
        let evening = &typist.desk().evening;
        let last = evening.next().is_none();
        let on = last || evening.at != Some(*question) || evening.wrong.is_some();
        assert!(on, "{question:?}: on by a key, or told why not");
    }
}

/// Goes once round and back by Tab: every control is a stop, and each has a name.
fn all_is_reached(typist: &mut Typist, opening: &str) -> Vec<Id> {
    let round = typist.round(Modifiers::NONE);
    let wanted = reachable(typist);
    let found: BTreeSet<NodeId> = round.iter().map(Id::accesskit_id).collect();
    let missed: Vec<String> = wanted
        .difference(&found)
        .map(|id| typist.name_of(*id))
        .collect();
    assert!(missed.is_empty(), "{opening}: Tab misses {missed:?}");
    let nameless = found.iter().filter(|id| typist.name_of(**id).is_empty());
    let nameless: Vec<Option<(Role, String)>> = nameless
        .map(|id| {
            let nodes = typist.nodes();
            let node = nodes.iter().find(|node| node.locate().0 == *id);
            node.map(|node| (node.role(), format!("{:?}", node.raw_bounds())))
        })
        .collect();
    assert!(nameless.is_empty(), "{opening}: no name: {nameless:?}");
    let mut back = typist.round(Modifiers::SHIFT);
    back.reverse();
    let at = round.iter().position(|id| *id == back[0]).unwrap_or(0);
    let mut there = round.clone();
    there.rotate_left(at);
    assert_eq!(there, back, "{opening}");
    round
}

#[test]
fn the_bar_is_gone_through_from_left_to_right() {
    let mut typist = typist();
    typist.press(Key::Tab);
    assert_eq!(typist.focused_name(), "House (Space)");
    typist.press(Key::Tab);
    assert_eq!(typist.focused_name(), "Below (U)");
}

#[test]
fn what_has_the_focus_is_framed() {
    let mut typist = typist();
    for name in ["Below (U)", "Fails: 1", "too near", "trunk: fall spends"] {
        typist.tab_to(name);
        let id = typist.focused().unwrap();
        let at = typist.ctx().read_response(id).unwrap().interact_rect;
        let framed = typist
            .painted()
            .into_iter()
            .filter(|rect| rect.contains_rect(at));
        assert!(framed.count() >= 2, "{name} is not framed");
    }
}

#[test]
fn letters_stay_the_pictures_while_a_button_has_the_focus_and_are_the_texts_while_one_is_typed() {
    let mut typist = typist();
    typist.tab_to("Below (U)");
    typist.press(Key::K);
    assert!(typist.desk().keys);
    let pose = typist.desk().pose;
    typist.press(Key::Space);
    assert_ne!(typist.desk().pose, pose, "Space works the button");
    typist.press(Key::H);
    typist.press(Key::Tab);
    assert_eq!(typist.focused_name(), "File");
    typist.press(Key::K);
    typist.letters("k");
    assert_eq!(
        (typist.desk().keys, typist.desk().shelf.typed.as_str()),
        (true, "k")
    );
}

#[test]
fn escape_leaves_the_field_then_the_panel() {
    let mut typist = typist();
    typist.press(Key::H);
    typist.press(Key::Tab);
    assert!(typist.ctx().text_edit_focused());
    typist.press(Key::Escape);
    assert!(typist.focused().is_none() && typist.desk().shelf.open);
    // Tab takes the field up again, where it was left.
    typist.press(Key::Tab);
    assert_eq!(typist.focused_name(), "File");
    typist.press(Key::Escape);
    typist.press(Key::Escape);
    assert!(!typist.desk().shelf.open);
    typist.press(Key::E);
    typist.press(Key::Escape);
    assert!(!typist.desk().edit.on);
}

#[test]
fn tab_goes_into_what_was_opened_and_f6_from_panel_to_panel() {
    let mut typist = typist();
    typist.press(Key::Q);
    typist.press(Key::Tab);
    let first = typist.focused().unwrap();
    let at = typist.ctx().read_response(first).unwrap().rect;
    assert!(at.right() < 330.0 && at.top() > 120.0, "{at}");
    let mut seen = BTreeSet::new();
    for _ in 0..8 {
        typist.press(Key::F6);
        seen.insert(typist.focused_name());
    }
    for name in ["House (Space)", "Fails: 1", "least cover 2\", over trunk"] {
        assert!(seen.contains(name), "{name} in {seen:?}");
    }
}

#[test]
fn a_list_left_by_escape_does_not_put_the_panel_away() {
    let mut typist = typist();
    typist.press(Key::Q);
    let open = EveningAsk::Go(Question::Receiver);
    typist.desk_mut().take(Action::Evening(open));
    typist.tab_to("It drains to");
    typist.press(Key::Enter);
    assert!(egui::Popup::is_any_open(typist.ctx()));
    typist.press(Key::Escape);
    assert!(!egui::Popup::is_any_open(typist.ctx()) && typist.desk().evening.at.is_some());
    // Chosen by a key the list closes, and the focus is where it was before.
    typist.tab_to("It drains to");
    typist.press(Key::Enter);
    typist.tab_to("a sewer");
    typist.press(Key::Enter);
    assert!(!egui::Popup::is_any_open(typist.ctx()));
    assert_eq!(typist.desk().evening.typed["kind"], "sewer");
    assert_eq!(typist.focused_name(), "It drains to");
}

#[test]
fn a_measure_is_taken_by_keys() {
    let mut typist = typist();
    typist.press(Key::M);
    for key in [Key::A, Key::Enter, Key::A, Key::Enter] {
        typist.press(key);
    }
    let kept = &typist.desk().measure.kept;
    assert_eq!((kept.len(), kept[0].from.id.as_str()), (1, "basin"));
    // 40 in west and 40 in north of one another.
    assert_eq!(kept[0].figure(typist.desk().measure.tape), "4'-8 9/16\"");
    typist.press(Key::Z);
    typist.press(Key::F);
    let floor = &typist.desk().measure.kept[1];
    assert_eq!(
        (floor.from.id.as_str(), &floor.to),
        ("basin", &Reading::Floor)
    );
    typist.tab_to("Put this measure away: top of basin: ");
    typist.press(Key::Space);
    assert_eq!(typist.desk().measure.kept.len(), 1);
}

#[test]
fn a_stub_is_chosen_moved_undone_and_saved_by_keys() {
    let mut typist = typist();
    typist.press(Key::E);
    typist.press(Key::A);
    typist.press(Key::Enter);
    let item = typist.desk().edit.item.clone().unwrap();
    assert_eq!(item, typist.desk().edit.grips[0].id);
    typist.tab_to("along");
    let before = typist.desk().edit.draft.text().to_owned();
    typist.press_with(Modifiers::COMMAND, Key::A);
    typist.letters("7'");
    typist.press(Key::Escape);
    assert_eq!(
        typist.desk().edit.draft.text(),
        before,
        "Escape writes nothing"
    );
    typist.press(Key::Tab);
    typist.press_with(Modifiers::COMMAND, Key::A);
    typist.letters("7'");
    // Saved from within the field: what was typed is saved with the rest.
    typist.press_with(Modifiers::COMMAND, Key::S);
    assert!(typist.desk().edit.draft.text().contains("along: \"7'\""));
    let saves = |chore: &crate::edit::Chore| match chore {
        crate::edit::Chore::Save(text) => text.contains("along: \"7'\""),
        _ => false,
    };
    assert!(typist.desk().edit.chores.iter().any(saves));
    typist.press_with(Modifiers::COMMAND, Key::Z);
    assert_eq!(typist.desk().edit.draft.text(), before);
}

#[test]
fn a_fixture_is_placed_in_the_middle_of_the_picture_by_keys() {
    let mut typist = typist();
    typist.press(Key::E);
    typist.tab_to("Add a");
    typist.press(Key::Enter);
    typist.tab_to("shower");
    typist.press(Key::Enter);
    assert_eq!(typist.desk().edit.placing, Some("shower"));
    // The list is gone, and the keys are the picture's again.
    assert_eq!(typist.focused_name(), "");
    typist.press(Key::T);
    let fixtures = typist.desk().house.layout.fixtures.len();
    typist.press(Key::Enter);
    let layout = &typist.desk().house.layout;
    assert_eq!(
        layout.fixtures.len(),
        fixtures + 1,
        "{:?}",
        typist.desk().edit.refused
    );
}

#[test]
fn a_question_that_wants_a_place_takes_it_by_keys() {
    let mut typist = typist();
    typist.press(Key::Q);
    let open = EveningAsk::Go(Question::Closet);
    typist.desk_mut().take(Action::Evening(open));
    typist.press(Key::A);
    typist.press(Key::Enter);
    // The place gone to stands in the middle of the picture, 6 in above the floor that is clicked on.
    let at = typist.desk().evening.clicks[0];
    assert!(at.distance(DVec2::new(240.0, 120.0)) < 12.0, "{at}");
    typist.press(Key::Escape);
    assert!(typist.desk().evening.clicks.is_empty() && typist.desk().evening.at.is_some());
}

/// A place is clicked and a list chosen from: Enter, with no field open, writes the answer and does not click again.
#[test]
fn enter_writes_an_answer_that_has_its_place() {
    let mut typist = typist();
    typist.press(Key::Q);
    let open = EveningAsk::Go(Question::Bathing);
    typist.desk_mut().take(Action::Evening(open));
    typist
        .desk_mut()
        .evening
        .clicks
        .push(DVec2::new(200.0, 100.0));
    typist.rest();
    let fixtures = typist.desk().house.layout.fixtures.len();
    typist.press(Key::Enter);
    assert_eq!(typist.desk().evening.wrong, None);
    let layout = &typist.desk().house.layout;
    assert_eq!(layout.fixtures.len(), fixtures + 1);
    let tub = layout.fixtures.last().unwrap();
    assert!(
        tub.at.distance(DVec2::new(200.0, 100.0)) < 1.0,
        "{}",
        tub.at
    );
    assert!(typist.desk().evening.clicks.is_empty());
}

#[test]
fn lines_that_are_only_read_come_by_the_page_keys() {
    let mut typist = typist();
    typist.desk_mut().house.to_tell = (0..90).map(|n| format!("line {n}")).collect();
    typist.tab_to("Fails: 1");
    let top = |typist: &Typist| {
        let nodes = typist.nodes();
        let line = nodes
            .iter()
            .find(|node| node.value().as_deref() == Some("line 3"));
        line.and_then(AccessKitNode::raw_bounds).unwrap().y0
    };
    let before = top(&typist);
    typist.press(Key::PageDown);
    (0..20).for_each(|_| typist.rest());
    assert!(top(&typist) < before - 100.0);
    typist.press(Key::PageUp);
    (0..20).for_each(|_| typist.rest());
    assert!((top(&typist) - before).abs() < 1.0);
}

#[test]
fn a_layer_a_spender_and_a_finding_answer_enter_and_space() {
    let mut typist = typist();
    for spender in ["trunk: fall spends", "least cover 2\""] {
        typist.press(Key::Escape);
        typist.press(Key::Space);
        let pose = typist.desk().pose;
        typist.tab_to(spender);
        typist.press(Key::Enter);
        assert_ne!(typist.desk().pose, pose, "{spender} leads there");
    }
    typist.tab_to("Labels");
    typist.press(Key::Space);
    assert!(!typist.desk().layers.shows(crate::layers::Layer::Labels));
    typist.tab_to("too near");
    typist.press(Key::Enter);
    assert_eq!(typist.desk().findings.picked, Some(0));
    typist.tab_to("Fails: 1");
    typist.press(Key::Space);
    assert!(!typist.desk().findings.lists(Verdict::Fails));
}

#[test]
fn the_question_of_two_changes_is_answered_by_keys() {
    let mut typist = typist();
    let theirs = typist.desk().house.clone();
    typist.desk_mut().edit.theirs = Some(Box::new(theirs));
    typist.rest();
    typist.press(Key::Tab);
    assert_eq!(typist.focused_name(), "Keep what is here");
    typist.press(Key::Enter);
    assert!(typist.desk().edit.theirs.is_none());
}

/// A photographed plan: four places of it gone to by the arrows, taken by Enter, told by typing.
#[test]
fn a_plan_picture_is_squared_and_straightened_by_keys() {
    let mut typist = typist();
    let (size, high) = (DVec2::new(200.0, 100.0), DVec2::new(480.0, 240.0));
    typist.desk_mut().paper = Some(PaperPlan {
        name: "plan.png".into(),
        file: "plan.png".into(),
        images: vec![egui::ColorImage::filled([200, 100], egui::Color32::WHITE)],
        dots: 0,
        fit: Fit::over(size, DVec2::ZERO, high),
        known: Vec::new(),
        asked: None,
        strength: 1.0,
        fitting: true,
    });
    typist.press(Key::T);
    let moves = [
        &[][..],
        &[Key::ArrowRight],
        &[Key::ArrowUp],
        &[Key::ArrowLeft],
    ];
    let told = [("0", "0"), ("30'", "0"), ("30'", "20'"), ("0", "20'")];
    for (n, (ways, (east, north))) in moves.into_iter().zip(told).enumerate() {
        if n == 2 {
            typist.tab_to("Tell two more points");
            typist.press(Key::Enter);
            typist.press(Key::Escape);
        }
        for way in ways {
            typist.harness.key_down(*way);
            typist.harness.run_steps(12);
            typist.harness.key_up(*way);
            typist.rest();
        }
        typist.press(Key::Enter);
        assert_eq!(typist.focused_name(), "east", "point {n} is asked for");
        typist.letters(east);
        typist.press(Key::Tab);
        typist.letters(north);
        typist.press(Key::Enter);
        let paper = typist.desk().paper.as_ref().unwrap();
        assert_eq!(
            (paper.known.len(), &typist.desk().paper_wrong),
            (n + 1, &None)
        );
    }
    let paper = typist.desk().paper.as_ref().unwrap();
    assert!(!paper.fitting);
    for (pixel, at) in &paper.known {
        assert!(paper.fit.house(*pixel).distance(*at) < 1e-6);
    }
}

#[test]
fn another_layout_is_compared_and_left_by_keys() {
    let mut typist = typist();
    typist.desk_mut().shelf.at_hand = vec!["there/b.ron".into()];
    typist.press(Key::H);
    typist.tab_to("Compare with b.ron");
    typist.press(Key::Enter);
    let asked = ShelfChore::Compare("there/b.ron".into());
    assert!(typist.desk().shelf.chores.contains(&asked));
    let other = typist.desk().house.clone();
    typist.desk_mut().compare_with("b.ron".into(), other);
    typist.rest();
    typist.tab_to("No longer");
    typist.press(Key::Enter);
    assert!(typist.desk().shelf.compared.is_none());
}
