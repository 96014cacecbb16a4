//! Every word a layout may use, with what it means. Messages list them, so their order is the order to show.

use crate::{
    file::{Datum, Facing, TrapSays, WallFace},
    model::{
        Answer, BlockKind, Cleans, EdgeKind, ExitWay, FixtureKind, JoinChoice, Known, Material,
        PermitCode, ReceiverKind, RoomKind, ServiceKind,
    },
};

type Words<T> = &'static [(&'static str, T)];

pub(crate) const DATUMS: Words<Datum> = &[("form", Datum::Form), ("stud", Datum::Stud)];

pub(crate) const CODES: Words<PermitCode> = &[
    ("irc", PermitCode::Irc),
    ("ipc", PermitCode::Ipc),
    ("upc", PermitCode::Upc),
];

pub(crate) const CLEANS: Words<Cleans> = &[
    ("downstream", Cleans::Downstream),
    ("upstream", Cleans::Upstream),
    ("both", Cleans::Both),
];

pub(crate) const MATERIALS: Words<Material> = &[
    ("concrete", Material::Concrete),
    ("foam", Material::Foam),
    ("sheet", Material::Sheet),
    ("gravel", Material::Gravel),
    ("sand", Material::Sand),
];

pub(crate) const EDGES: Words<EdgeKind> = &[
    ("stem_wall", EdgeKind::StemWall),
    ("foam_form", EdgeKind::FoamForm),
    ("turned_down", EdgeKind::TurnedDown),
    ("grade_beam", EdgeKind::GradeBeam),
];

pub(crate) const BLOCKS: Words<BlockKind> = &[
    ("pier", BlockKind::Pier),
    ("footing", BlockKind::Footing),
    ("grade_beam", BlockKind::GradeBeam),
    ("strip", BlockKind::Strip),
];

/// Actual depths of dressed lumber: 2 by 3 to 2 by 12 (from memory; the 2x4 and 2x6 also in the worked houses).
pub(crate) const STUDS: Words<f64> = &[
    ("2x3", 2.5),
    ("2x4", 3.5),
    ("2x6", 5.5),
    ("2x8", 7.25),
    ("2x10", 9.25),
    ("2x12", 11.25),
];

/// The depth of studs by their name: `2x6` is 5 1/2 in.
pub fn stud_depth(name: &str) -> Option<f64> {
    let studs = STUDS.iter();
    studs
        .copied()
        .find_map(|(word, depth)| (word == name).then_some(depth))
}

pub(crate) const ROOMS: Words<RoomKind> = &[
    ("bath", RoomKind::Bath),
    ("kitchen", RoomKind::Kitchen),
    ("laundry", RoomKind::Laundry),
    ("mechanical", RoomKind::Mechanical),
    ("mudroom", RoomKind::Mudroom),
    ("garage", RoomKind::Garage),
    ("other", RoomKind::Other),
];

pub(crate) const ANSWERS: Words<Answer> = &[
    ("yes", Answer::Yes),
    ("no", Answer::No),
    ("later", Answer::Later),
];

pub(crate) const FIXTURES: Words<FixtureKind> = &[
    ("closet", FixtureKind::Closet),
    ("lavatory", FixtureKind::Lavatory),
    ("tub", FixtureKind::Tub),
    ("shower", FixtureKind::Shower),
    ("kitchen_sink", FixtureKind::KitchenSink),
    ("bar_sink", FixtureKind::BarSink),
    ("utility_sink", FixtureKind::UtilitySink),
    ("washer", FixtureKind::Washer),
    ("bidet", FixtureKind::Bidet),
    ("floor_drain", FixtureKind::FloorDrain),
    ("heater_pan", FixtureKind::HeaterPan),
    ("softener", FixtureKind::Softener),
    ("condensate", FixtureKind::Condensate),
    ("hose_sink", FixtureKind::HoseSink),
];

/// The word a file uses for a kind of fixture.
pub(crate) fn fixture_word(kind: FixtureKind) -> &'static str {
    let found = FIXTURES.iter().find(|(_, of)| *of == kind);
    found.map_or("fixture", |(word, _)| word)
}

pub(crate) const FACINGS: Words<Facing> = &[
    ("east", Facing::East),
    ("west", Facing::West),
    ("north", Facing::North),
    ("south", Facing::South),
    ("left", Facing::Left),
    ("right", Facing::Right),
];

pub(crate) const WALL_FACES: Words<WallFace> =
    &[("finish", WallFace::Finish), ("stud", WallFace::Stud)];

pub(crate) const TRAPS: Words<TrapSays> = &[
    ("in_fixture", TrapSays::InFixture),
    ("in_wall", TrapSays::InWall(None)),
    ("under_slab", TrapSays::UnderSlab(None)),
];

pub(crate) const WAYS: Words<ExitWay> = &[
    ("through", ExitWay::Through),
    ("under", ExitWay::Under),
    ("either", ExitWay::Either),
];

pub(crate) const RECEIVERS: Words<ReceiverKind> =
    &[("tank", ReceiverKind::Tank), ("sewer", ReceiverKind::Sewer)];

pub(crate) const KNOWNS: Words<Known> = &[
    ("measured", Known::Measured),
    ("told", Known::Told),
    ("unknown", Known::Unknown),
];

pub(crate) const JOINS: Words<JoinChoice> = &[
    ("flat", JoinChoice::Flat),
    ("rolled", JoinChoice::Rolled),
    ("any", JoinChoice::Any),
];

pub(crate) const SERVICES: Words<ServiceKind> = &[
    ("water", ServiceKind::Water),
    ("soil_gas", ServiceKind::SoilGas),
    ("conduit", ServiceKind::Conduit),
    ("gas", ServiceKind::Gas),
];
