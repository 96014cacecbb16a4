//! A tour of the window's features on any house: what each picture shows, as steps of a script. For looking at all of them
//! again after a change.

use glam::DVec2;
use layout::Edit;

use crate::desk::{Action, Desk, Viewpoint};
use crate::edit::{EditAsk, Hooks};
use crate::error::ViewError;
use crate::evening::{EveningAsk, Question};
use crate::house::House;
use crate::keys::Asked;
use crate::measure::{self, Measured, Reading};
use crate::picking::{Pick, Snap};
use crate::picture::Picture;
use crate::script::{self, Step};
use crate::section_cut::{CutAlong, CutAsk};

/// The window's size, pixels.
const SIZE: [u32; 2] = [1280, 720];

/// Takes the tour; every picture with its name, in order.
///
/// # Errors
/// As [`crate::picture`].
pub fn tour(house: House, hooks: Hooks) -> Result<Vec<(&'static str, Picture)>, ViewError> {
    let mut steps = Vec::new();
    let mut names = Vec::new();
    for (name, mut before) in stops(&house) {
        names.push(name);
        steps.append(&mut before);
        steps.push(Step::Picture);
    }
    let mut desk = Desk::new(house, "house.ron".into());
    desk.make_changeable(hooks);
    desk.measure.kept = measures(&desk);
    let seen = script::run_on(desk, SIZE, steps)?;
    let pictures = seen.into_iter().filter_map(|one| one.picture);
    Ok(names.into_iter().zip(pictures).collect())
}

fn asked(what: Asked) -> Step {
    Step::Do(Action::Asked(what))
}

fn edit(what: EditAsk) -> Step {
    Step::Do(Action::Edit(what))
}

fn stops(house: &House) -> Vec<(&'static str, Vec<Step>)> {
    let middle = |lines: &[crate::RunLine]| {
        let at = lines.first().and_then(|line| line.points.first());
        at.map_or(0.0, |at| at.y)
    };
    let cut = |along| Step::Do(Action::Cut(CutAsk::Along(along)));
    let view = |view| Step::Do(Action::View(view));
    let away = |n: usize| vec![asked(Asked::PutAway); n];
    let kept = measures_of(house).len();
    let mut stops = vec![
        ("measures", vec![]),
        ("house", away(kept)),
        ("plan", vec![view(Viewpoint::Plan)]),
        ("below", vec![view(Viewpoint::Below)]),
        (
            "on-the-slab",
            vec![view(Viewpoint::House), view(Viewpoint::Afoot)],
        ),
        (
            "heights",
            vec![
                view(Viewpoint::House),
                asked(Asked::Heights),
                asked(Asked::Heights),
            ],
        ),
        (
            "keys",
            vec![
                asked(Asked::Heights),
                asked(Asked::Heights),
                asked(Asked::Keys),
            ],
        ),
        (
            "cut-along-the-trunk",
            vec![asked(Asked::Keys), asked(Asked::Cut)],
        ),
        (
            "cut-across",
            vec![cut(CutAlong::North(middle(&house.lines)))],
        ),
        ("rings", vec![asked(Asked::Cut), asked(Asked::Move)]),
    ];
    let fixture = house
        .layout
        .fixtures
        .iter()
        .find(|one| one.landing == layout::Landing::Floor);
    if let Some(fixture) = fixture {
        let id = fixture.id.to_string();
        let far = fixture.at + DVec2::new(-60.0, -60.0);
        let point = format!(
            "({}, {})",
            layout::length_text(far.x),
            layout::length_text(far.y)
        );
        let change = Edit::set(["fixtures", id.as_str(), "at"], point);
        stops.push(("figures", vec![edit(EditAsk::Item(id))]));
        stops.push(("moved", vec![edit(EditAsk::Change(change))]));
        stops.push(("finding", vec![asked(Asked::NextFinding)]));
        stops.push(("undone", vec![asked(Asked::Undo), view(Viewpoint::House)]));
    }
    let open = |question| Step::Do(Action::Evening(EveningAsk::Go(question)));
    stops.push((
        "evening-a-wall",
        vec![
            asked(Asked::Evening),
            open(Question::Wall),
            view(Viewpoint::Plan),
            Step::Click([560.0, 330.0]),
            Step::Click([560.0, 430.0]),
        ],
    ));
    stops.push(("evening-rooms", vec![open(Question::Room)]));
    let vent = vec![open(Question::Vent)];
    stops.push(("evening-a-vent", vent));
    stops.push((
        "evening-over",
        vec![asked(Asked::Evening), view(Viewpoint::House)],
    ));
    let light = || vec![asked(Asked::Light)];
    stops.push(("dark", light()));
    stops.push(("sharp", light()));
    let next = || vec![asked(Asked::NextPiece); 6];
    stops.push((
        "glue-up-first",
        vec![asked(Asked::Light), asked(Asked::Walk)],
    ));
    stops.push(("glue-up-seventh", next()));
    stops
}

fn measures(desk: &Desk) -> Vec<Measured> {
    measures_of(&desk.house)
}

/// One measure of each kind that the house has things for.
fn measures_of(house: &House) -> Vec<Measured> {
    let stub = house
        .scene
        .marks
        .iter()
        .find(|mark| mark.kind == scene::MarkKind::Stub);
    let trunk = house.lines.iter().find(|line| line.into.is_empty());
    let branch = house.lines.iter().rev().find(|line| !line.into.is_empty());
    let corners = house
        .layout
        .slab
        .as_ref()
        .map_or(&[][..], |slab| &slab.outline);
    let mut kept = Vec::new();
    if let Some(stub) = stub {
        let from = Pick {
            id: stub.id.to_string(),
            snap: Snap::Mark,
            at: stub.at,
            words: format!("top of {}", stub.id),
        };
        let ties = measure::pulls(corners, stub.at.truncate()).map(Reading::Ties);
        kept.extend(ties.map(|to| Measured { from, to }));
    }
    if let Some((trunk, points)) = trunk.and_then(|trunk| Some((trunk, trunk.points.get(..2)?))) {
        let from = Pick {
            id: trunk.id.clone(),
            snap: Snap::Axis,
            at: points[0].midpoint(points[1]),
            words: format!("centre of {}", trunk.id),
        };
        let cover = measure::cover(&house.scene, &house.layout, &trunk.id, from.at);
        kept.extend(cover.ok().map(Reading::Cover).map(|to| Measured {
            from: from.clone(),
            to,
        }));
        let near = branch.and_then(|branch| {
            let nearest = measure::nearest(&house.scene, &trunk.id, &branch.id)?;
            Some(Reading::Pipe(branch.id.clone(), nearest))
        });
        kept.extend(near.map(|to| Measured { from, to }));
    }
    kept
}
