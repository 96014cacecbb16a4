//! What a layout leaves open that a rule waits for. Told once each, beside what the document itself leaves unknown.

use codes::RuleId;
use layout::{Answer, Fixture, FixtureKind, Landing, Room, ToTell, TrapPlace, Vent};
use network::Start;
use units::Size;

use crate::{Case, cleanouts, words};

/// What is still to tell before every rule can judge: by room the things that usually need a drain, vents not told or told in
/// words no rule reads, drains without any cleanout, capped ends, sewers without their manhole. In that order, items in the layout's order.
pub fn still_to_tell(case: &Case) -> Vec<ToTell> {
    let mut tells: Vec<ToTell> = case.layout.rooms.iter().filter_map(unanswered).collect();
    tells.extend(promised(case));
    tells.extend(vents(case));
    tells.extend(in_other_words(case));
    tells.extend(without_cleanouts(case));
    tells.extend(capped_ends(case));
    tells.extend(manholes(case));
    tells
}

fn tell(item: &impl ToString, what: String) -> ToTell {
    ToTell {
        item: item.to_string(),
        what,
    }
}

/// A fixture in a sentence.
fn named(kind: FixtureKind) -> &'static str {
    match kind {
        FixtureKind::Closet => "a closet",
        FixtureKind::Lavatory => "a lavatory",
        FixtureKind::Tub => "a tub",
        FixtureKind::Shower => "a shower",
        FixtureKind::KitchenSink => "a kitchen sink",
        FixtureKind::BarSink => "a bar sink",
        FixtureKind::UtilitySink => "a utility sink",
        FixtureKind::Washer => "a washer",
        FixtureKind::Bidet => "a bidet",
        FixtureKind::FloorDrain => "a floor drain",
        FixtureKind::HeaterPan => "a heater pan",
        FixtureKind::Softener => "a softener",
        FixtureKind::Condensate => "condensate",
        FixtureKind::HoseSink => "a hose sink",
    }
}

fn unanswered(room: &Room) -> Option<ToTell> {
    let answered =
        |kinds: &&&[FixtureKind]| !room.drains.iter().any(|(kind, _)| kinds.contains(kind));
    let open: Vec<String> = room
        .kind
        .usual_drains()
        .iter()
        .filter(answered)
        .map(|kinds| {
            kinds
                .iter()
                .map(|kind| named(*kind))
                .collect::<Vec<_>>()
                .join(" or ")
        })
        .collect();
    (!open.is_empty()).then(|| {
        tell(
            &room.id,
            format!(
                "whether these drain here, yes, no or later: {}",
                open.join("; ")
            ),
        )
    })
}

/// Fixtures that rooms say they have and the layout has fewer of.
fn promised(case: &Case) -> Vec<ToTell> {
    let mut kinds: Vec<FixtureKind> = case
        .layout
        .rooms
        .iter()
        .flat_map(|room| &room.drains)
        .map(|(kind, _)| *kind)
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    let short = |kind: FixtureKind| {
        let has = case
            .layout
            .fixtures
            .iter()
            .filter(|fixture| fixture.kind == kind)
            .count();
        let says = |room: &&Room| room.drains.contains(&(kind, Answer::Yes));
        let rooms: Vec<&str> = case
            .layout
            .rooms
            .iter()
            .filter(says)
            .map(|room| room.id.as_str())
            .collect();
        // Where none stands at all the document's own reader asks.
        (has > 0 && rooms.len() > has).then(|| {
            let what = format!(
                "where {} stands: said yes to, and the layout has {has} for {}",
                named(kind),
                rooms.len()
            );
            tell(&rooms.join(", "), what)
        })
    };
    kinds.into_iter().filter_map(short).collect()
}

/// Traps whose vent is not told, each with what would work.
fn vents(case: &Case) -> impl Iterator<Item = ToTell> {
    let half_told = |id: &units::Id| {
        let of_its_vent =
            |tell: &&ToTell| tell.item == id.as_str() && tell.what.contains("its vent");
        case.layout.to_tell.iter().any(|tell| of_its_vent(&tell))
    };
    let unknown = case
        .layout
        .fixtures
        .iter()
        .filter(move |fixture| fixture.vent == Vent::Unknown && !half_told(&fixture.id));
    unknown.map(|fixture| {
        let what = format!("how its trap is vented: {}", would_vent(case, fixture));
        tell(&fixture.id, what)
    })
}

/// What would work, by where the trap is and how far its vent may stand.
fn would_vent(case: &Case, fixture: &Fixture) -> String {
    let closet = fixture.kind == FixtureKind::Closet;
    let size = fixture
        .size
        .unwrap_or(if closet { Size::In3 } else { Size::In2 });
    let length = if closet {
        case.rules.closet_arm_limits(size).length
    } else {
        case.rules.arm_limits(size).length
    };
    let within = length.map_or(String::new(), |most| {
        format!(
            " within {} ft of its trap ({})",
            most.value,
            most.row.cite.place()
        )
    });
    match (fixture.trap, &fixture.landing) {
        (TrapPlace::InWall { .. }, Landing::Wall(_)) => {
            "its riser going on up the wall would do".into()
        }
        (TrapPlace::InWall { .. }, _) => {
            "a riser that goes on up a wall would do, or for a sink an island loop".into()
        }
        (TrapPlace::UnderSlab { .. } | TrapPlace::InFixture, _) => {
            let or = match fixture.kind {
                FixtureKind::FloorDrain => {
                    "; or a combination waste and vent, where the code takes one"
                }
                kind if crate::reach::of_a_bath(kind) => {
                    "; or in a bath, joining the drain of a dry-vented lavatory"
                }
                _other => "",
            };
            format!("a dry vent up a wall{within} would do{or}")
        }
    }
}

fn in_other_words(case: &Case) -> impl Iterator<Item = ToTell> {
    let other = |fixture: &layout::Fixture| matches!(fixture.vent, Vent::Other(_));
    let all = case
        .layout
        .fixtures
        .iter()
        .filter(move |fixture| other(fixture));
    all.map(|fixture| {
        let what = "how its trap is vented, in words the checks know (riser, take_off, common, wet, island_loop, \
                    admittance, combination); it is not judged until then";
        tell(&fixture.id, what.into())
    })
}

/// Sewers whose next manhole up the line is not told, of drains with something to flood.
fn manholes(case: &Case) -> Vec<ToTell> {
    let open = |drain: &&layout::Drain| {
        let sewer =
            |r: &layout::Receiver| r.kind == layout::ReceiverKind::Sewer && r.manhole.is_none();
        drain.receiver.as_ref().is_some_and(sewer)
    };
    let what = "how high the cover of the next manhole up the sewer stands (manhole); whether the lowest fixtures want a \
                backwater valve is not judged until then";
    let drains = case.layout.drains.iter().filter(open);
    drains.map(|drain| tell(&drain.id, what.into())).collect()
}

fn without_cleanouts(case: &Case) -> impl Iterator<Item = ToTell> {
    (0..case.network.trees.len()).filter_map(|t| {
        let tree = &case.network.trees[t];
        let drains = tree
            .runs
            .iter()
            .any(|run| matches!(run.start, Start::Fixture(_)));
        (drains && cleanouts::of_tree(case, t).is_empty()).then(|| {
            tell(
                &tree.id,
                "where its cleanouts stand; they are not judged until one is told".into(),
            )
        })
    })
}

/// From this length on a pipe that nothing drains into counts as a dead end: from memory.
const DEAD_END: f64 = 24.0;

/// Capped ends that nothing drains into and that no cleanout stands on.
fn capped_ends(case: &Case) -> Vec<ToTell> {
    let said = case.rules.row(RuleId::DeadEnd).filter(|row| row.is_read());
    let by = said.map_or(String::new(), |row| format!(" ({})", row.cite.place()));
    let mut tells = Vec::new();
    for (t, tree) in case.network.trees.iter().enumerate() {
        let mut first: Vec<f64> = vec![0.0; tree.runs.len()];
        let drained = tree.runs.iter().filter(|run| !run.fixtures.is_empty());
        let joins = drained.filter_map(|run| run.join.map(|join| (join.parent, join.at)));
        let placed = cleanouts::of_tree(case, t);
        // One that cleans against the flow alone does not make the pipe below it the way of a cable into the drain.
        let into = |placed: &&cleanouts::Placed| {
            let one = &case.layout.cleanouts[placed.index];
            one.cleans.downstream()
        };
        let cleanouts = placed
            .iter()
            .filter(into)
            .map(|placed| (placed.run, placed.station));
        for (run, station) in joins.chain(cleanouts) {
            first[run] = first[run].max(station);
        }
        let capped = tree.runs.iter().zip(first);
        let capped = capped.filter(|(run, _)| run.start == Start::Bare && !run.fixtures.is_empty());
        tells.extend(capped.filter_map(|(run, first)| {
            let dead = run.path.length() - first;
            (dead >= DEAD_END).then(|| {
                let what = format!(
                    "what its capped end is for: {} of it drain nothing, a dead end{by}; set a fixture there with \
                     later: true, or start it where its first branch joins",
                    words::feet(dead)
                );
                tell(&run.id, what)
            })
        }));
    }
    tells
}
