//! The sanitary tee on a riser whose trap is in a wall or cabinet, where the layout tells how high it stands. It is glued when
//! the walls stand, above the stub that is capped for the test; what the pour buries never waits for it.

use catalog::{Catalog, Dim, EndName, How, Part, Pattern, Sizes};
use codes::{Answer, Rules, Turn, Use};
use layout::{Fixture, FixtureKind, Layout, TrapPlace};
use units::{Id, Size};

use crate::{Stub, StubOf, lay::HOME};

/// A sanitary tee with what it stands on.
#[derive(Clone, PartialEq, Debug)]
pub struct WallTee {
    /// The fixture whose trap it is.
    pub fixture: Id,
    /// The middle of its branch above finished floor, as told.
    pub height: f64,
    /// The tee: the riser's size, its branch the least trap of the fixture by the code, or larger.
    pub part: Part,
    /// Size of the riser.
    pub size: Size,
    /// How the stub reaches it.
    pub stub: StubReach,
}

/// How a stub reaches the tee that stands on it.
#[derive(Clone, PartialEq, Debug)]
pub enum StubReach {
    /// It is sawn off so high above finished floor, the tee's socket counted in.
    Sawn(Dim),
    /// A coupling goes on it, and so much pipe into the coupling and the tee.
    Lengthened {
        /// The coupling.
        coupling: Part,
        /// The pipe.
        cut: Dim,
    },
    /// It ends below the tee with no room for a coupling: it is to be left this high at the least.
    TooShort(Dim),
}

/// The tees of a layout, in the order of their stubs. There is none for a trap whose tee is not told, none that the code refuses,
/// and none where no tee is made of the riser's size.
pub(crate) fn wall_tees(
    layout: &Layout,
    stubs: &[Stub],
    catalog: &Catalog,
    rules: &Rules,
) -> Vec<WallTee> {
    let tee = |stub: &Stub| {
        let StubOf::Fixture(fixture) = stub.of else {
            return None;
        };
        let of = layout.fixtures.get(fixture)?;
        let (size, height) = (stub.size?, told_tee(of)?);
        let part = tee_of(catalog, rules, size, least_trap(rules, of.kind))?;
        Some(WallTee {
            fixture: of.id.clone(),
            height,
            part,
            size,
            stub: reach(catalog, part, height, stub.top)?,
        })
    };
    stubs.iter().filter_map(tee).collect()
}

/// How high the tee of a trap in a wall stands, where it is told.
pub(crate) fn told_tee(fixture: &Fixture) -> Option<f64> {
    match fixture.trap {
        TrapPlace::InWall { tee } => tee,
        TrapPlace::InFixture | TrapPlace::UnderSlab { .. } => None,
    }
}

fn least_trap(rules: &Rules, kind: FixtureKind) -> f64 {
    let load = network::fixture_load(kind);
    load.and_then(|load| rules.trap_size(load))
        .map_or(0.0, |least| least.value)
}

/// The sanitary tee with the smallest branch that is no less than the trap.
fn tee_of(catalog: &Catalog, rules: &Rules, size: Size, trap: f64) -> Option<Part> {
    let turn = Turn::HorizontalToVertical;
    let (answer, _) = rules.permitted(codes::Pattern::SanitaryTee, turn, &Use::plain(size));
    let mut branches = Size::ALL
        .into_iter()
        .filter(|branch| *branch <= size && branch.nominal() >= trap);
    let tee = |branch| Part::new(Pattern::SanitaryTee, Sizes::branched(size, branch));
    let made = |branch: &Size| {
        let part = tee(*branch);
        catalog.get(part.pattern, part.sizes).is_some()
    };
    let branch = branches.find(made);
    branch.map(tee).filter(|_| answer != Answer::Refused)
}

fn reach(catalog: &Catalog, tee: Part, height: f64, top: f64) -> Option<StubReach> {
    let exact = |value| Dim::new(value, 0.0, How::Measured, "");
    let outlet = catalog.get(tee.pattern, tee.sizes)?;
    let outlet = outlet.end(EndName::Outlet)?;
    let end = exact(height).minus(&outlet.take_off);
    if top >= end.value - HOME {
        return Some(StubReach::Sawn(end));
    }
    let coupling = catalog.get(Pattern::Coupling, Sizes::one(outlet.size))?;
    let (below, above) = (
        coupling.end(EndName::Outlet)?,
        coupling.end(EndName::Inlet)?,
    );
    let cut = end.minus(&exact(top)).minus(&below.take_off);
    let cut = cut.minus(&above.take_off);
    if cut.value < catalog.pipe(outlet.size).shortest_piece() {
        return Some(StubReach::TooShort(end));
    }
    let coupling = coupling.part;
    Some(StubReach::Lengthened { coupling, cut })
}
