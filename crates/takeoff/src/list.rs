//! Counting: fittings, pipe, cement, and what goes with them.

use catalog::{CEMENT_SPARE, Catalog, Dim, Part, Pattern, Sizes, Wait, Weather, needs_check};
use fittings::{Assembly, StubOf, WallTee, What};
use glam::DVec2;
use layout::{FixtureKind, Layout, ServiceKind, TrapPlace};
use std::collections::{BTreeMap, BTreeSet};
use units::{Id, Size};

use crate::{
    Bench, Buy, ClockMark, Plan, Shop, Stock, Ways, benches, clock_marks, cutstock::plan, two_ways,
};

/// What to buy, cut and glue.
#[derive(Clone, PartialEq, Debug)]
pub struct Takeoff {
    /// A label for every piece, in the assembly's order: `P7` for pipe, `F12` for a fitting.
    pub labels: Vec<String>,
    /// Fittings by pattern and size.
    pub fittings: Vec<FittingLine>,
    /// Pipe by size, with the sticks to buy and how to saw them.
    pub pipe: Vec<PipeLine>,
    /// Every piece of pipe.
    pub cuts: Vec<Cut>,
    /// Glued joints by size, with how long they rest.
    pub joints: Vec<JointLine>,
    /// Quarts of cement, spare in.
    pub cement_quarts: f64,
    /// Quarts of primer, spare in.
    pub primer_quarts: f64,
    /// Caps for the pressure test: one a stub, and one for the outlet.
    pub test_caps: Vec<(Size, usize)>,
    /// Expanding plugs for the same, in sizes that no test cap is made for.
    pub test_plugs: Vec<(Size, usize)>,
    /// Sleeves to set in the form.
    pub sleeves: Vec<Sleeve>,
    /// Wrap round what comes up through concrete.
    pub wraps: Vec<Wrap>,
    /// Stakes to hold the pipe: one a riser and one every [`STRAP_EVERY`] inches of lying pipe.
    pub stakes: usize,
    /// Straps, one a stake.
    pub straps: usize,
    /// Box-outs to build: name, length, width, depth, inches.
    pub box_outs: Vec<(Id, f64, f64, f64)>,
    /// Soil-gas pipes: name, developed length in inches, outside diameter.
    pub soil_gas: Vec<(Id, f64, f64)>,
    /// Assemblies in the order they go into the trench.
    pub order: Vec<Bench>,
    /// How each fitting is turned.
    pub clocks: Vec<ClockMark>,
    /// Branches that can be made another way too.
    pub ways: Vec<Ways>,
    /// Closet flanges by the size of their riser, set when the floor is finished.
    pub flanges: Vec<(Size, usize)>,
    /// Closets whose flange goes over the riser, in a slab that must be kept open round it at the pour.
    pub collars: Vec<Collar>,
    /// The pipe that the pressure test's head of water stands in.
    pub test_riser: Option<TestRiser>,
    /// Boots that seal the sheet under the slab to each pipe that comes up through it, by outside diameter; none where no
    /// sheet is told.
    pub boots: Vec<(f64, usize)>,
    /// Fittings of the soil-gas pipes, not among the drain's.
    pub soil_gas_parts: Vec<(Part, usize)>,
    /// The whole buying list, by [`crate::Group`].
    pub buy: Vec<Buy>,
    /// What it costs, of what has a price; `None` without prices.
    pub total: Option<f64>,
    /// Names on the list that have no price, when any has one.
    pub unpriced: Vec<String>,
    /// Sanitary tees that go on stubs when the walls stand, where the layout tells how high.
    pub wall_tees: Vec<WallTee>,
    /// Fixtures that stand over a trap under the slab.
    pub over_traps: Vec<Id>,
    /// Drains whose line outside ends at a tank or a sewer.
    pub runs_on: Vec<Id>,
    /// Fixtures whose trap drains into a tee on its riser in a wall or cabinet, where nothing tells how high it stands, or no
    /// such tee is made: it is roughed in with the walls and is not on this list.
    pub roughed_in: Vec<Id>,
}

impl Takeoff {
    /// What belongs to these drains and is not on the list, in words; empty where nothing is.
    pub fn not_bought(&self) -> String {
        let names = |ids: &[Id]| {
            let names: Vec<&str> = ids.iter().map(Id::as_str).collect();
            names.join(", ")
        };
        let mut left: Vec<String> = Vec::new();
        if !self.roughed_in.is_empty() {
            left.push(format!(
                "the sanitary tee on each riser whose trap is in a wall or cabinet ({}), roughed in with the walls (tell \
                 `trap: (in_wall: \"18 in\")`, how high the middle of the tee stands, and it is listed)",
                names(&self.roughed_in)
            ));
        }
        if !(self.roughed_in.is_empty() && self.wall_tees.is_empty()) {
            left.push(
                "the traps in walls and cabinets, their arms, and all above the stubs".into(),
            );
        }
        if !self.over_traps.is_empty() {
            left.push(format!(
                "what joins the fixture to its stub over a trap under the slab ({}): it comes with the fixture's drain, ask with it",
                names(&self.over_traps)
            ));
        }
        if !self.runs_on.is_empty() {
            left.push(format!(
                "what joins the line outside to the tank or sewer ({}): ask there",
                names(&self.runs_on)
            ));
        }
        if left.is_empty() {
            return String::new();
        }
        format!("not on this list: {}", left.join("; "))
    }
}

/// One kind of fitting.
#[derive(Clone, PartialEq, Debug)]
pub struct FittingLine {
    /// What.
    pub part: Part,
    /// How many are glued in.
    pub count: usize,
    /// How many more to buy.
    pub spare: usize,
}

/// Pipe of one size.
#[derive(Clone, PartialEq, Debug)]
pub struct PipeLine {
    /// The size.
    pub size: Size,
    /// Sum of the cuts, inches.
    pub length: f64,
    /// The cut plan; its pieces are indices into [`Takeoff::cuts`].
    pub plan: Plan,
    /// Cuts longer than any stick the shop sells, left out of the plan: join two with a coupling.
    pub too_long: Vec<usize>,
}

/// One piece of pipe.
#[derive(Clone, PartialEq, Debug)]
pub struct Cut {
    /// Its label.
    pub label: String,
    /// Its piece in the assembly.
    pub piece: usize,
    /// The run or riser it belongs to.
    pub id: Id,
    /// Its size.
    pub size: Size,
    /// Its length, with doubt and sources.
    pub length: Dim,
    /// Not both ends measured yet.
    pub provisional: bool,
    /// To be checked against the fittings in hand before the cut.
    pub check: bool,
    /// The piece at its downstream end, if any.
    pub down: Option<String>,
    /// The piece at its upstream end, if any.
    pub up: Option<String>,
}

/// Glued joints of one size.
#[derive(Clone, PartialEq, Debug)]
pub struct JointLine {
    /// The size.
    pub size: Size,
    /// How many.
    pub count: usize,
    /// People each needs.
    pub people: f64,
    /// Seconds each is held.
    pub hold_seconds: f64,
    /// Minutes before it may be moved and before the line may be filled, in dry weather: warm, cool, cold.
    pub waits: [(Weather, f64, f64); 3],
}

/// A sleeve in the wall.
#[derive(Clone, PartialEq, Debug)]
pub struct Sleeve {
    /// The drain or service that passes.
    pub of: Id,
    /// Where it passes the outside face, in plan.
    pub at: DVec2,
    /// Size of the sleeve pipe.
    pub size: Size,
    /// Its length, inches: the wall and an inch each side (common practice, no source).
    pub length: f64,
}

/// A place kept open in the slab round a closet's riser.
#[derive(Clone, PartialEq, Debug)]
pub struct Collar {
    /// The closet.
    pub of: Id,
    /// Its riser's middle, in plan.
    pub at: DVec2,
    /// The riser's size.
    pub size: Size,
}

/// The standpipe of the pressure test.
#[derive(Clone, PartialEq, Debug)]
pub struct TestRiser {
    /// The stub it stands on, by an unglued flexible coupling.
    pub id: Id,
    /// What that stub belongs to.
    pub of: StubOf,
    /// Its size.
    pub size: Size,
    /// Its length, inches: the head wanted above the highest fitting, less what the stub itself stands above it.
    pub length: f64,
    /// The stick of its size, counted from 0 in [`PipeLine::plan`], of which enough is left for it; `None`: it is bought.
    pub stick: Option<usize>,
}

/// Wrap round one riser.
#[derive(Clone, PartialEq, Debug)]
pub struct Wrap {
    /// The stub.
    pub id: Id,
    /// Outside diameter of the pipe.
    pub od: f64,
    /// Height wrapped, inches: the concrete and an inch above and below it (common practice, no source).
    pub height: f64,
}

/// Pipe lying in the trench is staked this often, inches: the least hanger spacing read (4 ft, 2018 IRC Table P2605.1,
/// ABS row), since none was read for pipe in a trench.
pub const STRAP_EVERY: f64 = 48.0;

/// Everything to buy, cut and glue for an assembly.
///
/// Pieces that a trouble says cannot be cut (no length left) are left out of the cuts; the troubles stand in the assembly.
pub fn take(layout: &Layout, assembly: &Assembly, catalog: &Catalog, shop: &Shop) -> Takeoff {
    let labels = labels(assembly);
    let cuts = cuts(assembly, &labels);
    let fittings = fittings(assembly, shop);
    let pipe = pipe(catalog, &cuts, shop);
    let joints = joints(assembly, catalog);
    let count: Vec<(Size, u32)> = joints
        .iter()
        .map(|line| (line.size, u32::try_from(line.count).unwrap_or(u32::MAX)))
        .collect();
    let primer: f64 = count
        .iter()
        .map(|(size, n)| f64::from(*n) / catalog.cement().joints_per_quart_primer(*size).value)
        .sum();
    let lying: f64 = cuts
        .iter()
        .filter(|cut| !assembly.pieces[cut.piece].riser)
        .map(|cut| (cut.length.value / STRAP_EVERY).ceil())
        .sum();
    // A count of stakes, far below any limit.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let stakes = lying as usize + assembly.stubs.len();
    let open = open_pipes(assembly);
    let made = |open: &BTreeMap<Size, usize>, caps: bool| {
        let cap = |size: &Size| catalog.get(Pattern::TestCap, Sizes::one(*size)).is_some();
        let of = open.iter().filter(|(size, _)| cap(size) == caps);
        of.map(|(size, n)| (*size, *n)).collect()
    };
    let mut takeoff = Takeoff {
        cement_quarts: catalog.cement().quarts(&count) * CEMENT_SPARE,
        primer_quarts: primer * CEMENT_SPARE,
        test_caps: made(&open, true),
        test_plugs: made(&open, false),
        sleeves: sleeves(layout, assembly, catalog),
        wraps: wraps(layout, assembly),
        stakes,
        straps: stakes,
        box_outs: layout
            .box_outs
            .iter()
            .map(|b| (b.id.clone(), b.size.x, b.size.y, b.depth))
            .collect(),
        soil_gas: soil_gas(layout),
        flanges: flanges(layout, assembly),
        collars: collars(layout, assembly),
        test_riser: test_riser(assembly, catalog, shop, &pipe),
        boots: boots(assembly),
        soil_gas_parts: soil_gas_parts(layout, catalog),
        order: benches(assembly, catalog, shop),
        clocks: clock_marks(assembly, catalog),
        ways: two_ways(assembly, catalog),
        labels,
        fittings,
        pipe,
        cuts,
        joints,
        buy: Vec::new(),
        total: None,
        unpriced: Vec::new(),
        wall_tees: assembly.wall_tees.clone(),
        over_traps: layout
            .fixtures
            .iter()
            .filter(|fixture| matches!(fixture.trap, TrapPlace::UnderSlab { .. }))
            .map(|fixture| fixture.id.clone())
            .collect(),
        runs_on: layout
            .drains
            .iter()
            .filter(|drain| drain.line.length.is_some())
            .map(|drain| drain.id.clone())
            .collect(),
        roughed_in: roughed_in(layout, assembly),
    };
    crate::buy::fill(&mut takeoff, assembly, catalog, shop);
    takeoff
}

fn labels(assembly: &Assembly) -> Vec<String> {
    let (mut pipes, mut fittings) = (0, 0);
    let label = |piece: &fittings::Piece| match piece.what {
        What::Pipe(_) => {
            pipes += 1;
            format!("P{pipes}")
        }
        What::Fitting(_) => {
            fittings += 1;
            format!("F{fittings}")
        }
    };
    assembly.pieces.iter().map(label).collect()
}

fn cuts(assembly: &Assembly, labels: &[String]) -> Vec<Cut> {
    let mut down: Vec<Option<usize>> = vec![None; assembly.pieces.len()];
    let mut up = down.clone();
    for joint in &assembly.joints {
        for (a, b) in [(joint.near, joint.far), (joint.far, joint.near)] {
            match a.1 {
                catalog::EndName::Outlet => down[a.0] = Some(b.0),
                catalog::EndName::Inlet => up[a.0] = Some(b.0),
                catalog::EndName::Branch
                | catalog::EndName::OtherBranch
                | catalog::EndName::Heel => {}
            }
        }
    }
    let name = |at: Option<usize>| at.map(|p| labels[p].clone());
    let cut = |(p, piece): (usize, &fittings::Piece)| {
        let length = piece.cut().filter(|cut| cut.value > 0.0)?.clone();
        Some(Cut {
            label: labels[p].clone(),
            piece: p,
            id: piece.id.clone(),
            size: piece.size,
            provisional: length.is_provisional(),
            check: needs_check(&length),
            length,
            down: name(down[p]),
            up: name(up[p]),
        })
    };
    assembly.pieces.iter().enumerate().filter_map(cut).collect()
}

fn fittings(assembly: &Assembly, shop: &Shop) -> Vec<FittingLine> {
    let mut counts: BTreeMap<Part, usize> = BTreeMap::new();
    let closets = assembly.pieces.iter().filter_map(fittings::Piece::part);
    closets.for_each(|part| *counts.entry(part).or_default() += 1);
    let line = |(part, count): (Part, usize)| FittingLine {
        part,
        count,
        spare: part_of(count, shop.spare),
    };
    counts.into_iter().map(line).collect()
}

fn part_of(count: usize, part: f64) -> usize {
    // A part of a small count.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let spare = (count as f64 * part.clamp(0.0, 10.0)).ceil() as usize;
    spare
}

fn pipe(catalog: &Catalog, cuts: &[Cut], shop: &Shop) -> Vec<PipeLine> {
    let line = |size| pipe_of(catalog, cuts, shop, size);
    Size::ALL.into_iter().filter_map(line).collect()
}

fn pipe_of(catalog: &Catalog, cuts: &[Cut], shop: &Shop, size: Size) -> Option<PipeLine> {
    let all: Vec<usize> = (0..cuts.len()).filter(|c| cuts[*c].size == size).collect();
    if all.is_empty() {
        return None;
    }
    let sold = shop.sticks_of(size, catalog);
    let longest = sold.iter().copied().fold(0.0, f64::max) + units::SAME_LENGTH;
    let (of, too_long): (Vec<usize>, Vec<usize>) =
        all.iter().partition(|c| cuts[**c].length.value <= longest);
    let lengths: Vec<f64> = of.iter().map(|c| cuts[*c].length.value).collect();
    // All sticks by their price, or all by their length: mixing the two would compare money with inches.
    let priced = sold
        .iter()
        .all(|length| shop.stick_price(size, *length).is_some());
    let cost = |length: f64| {
        shop.stick_price(size, length)
            .filter(|_| priced)
            .unwrap_or(length)
    };
    let stock: Vec<Stock> = sold
        .iter()
        .map(|length| Stock {
            length: *length,
            cost: cost(*length),
        })
        .collect();
    let mut plan = plan(&lengths, &stock, shop.kerf).ok()?;
    for piece in plan.sticks.iter_mut().flat_map(|stick| &mut stick.pieces) {
        *piece = of[*piece];
    }
    let length = all.iter().map(|c| cuts[*c].length.value).sum();
    Some(PipeLine {
        size,
        length,
        plan,
        too_long,
    })
}

fn joints(assembly: &Assembly, catalog: &Catalog) -> Vec<JointLine> {
    let mut counts: BTreeMap<Size, usize> = BTreeMap::new();
    assembly
        .joints
        .iter()
        .filter(|joint| joint.glued)
        .for_each(|joint| *counts.entry(joint.size).or_default() += 1);
    let cement = catalog.cement();
    let line = |(size, count): (Size, usize)| JointLine {
        size,
        count,
        people: cement.people(size).value,
        hold_seconds: cement.hold_seconds(size).value,
        waits: [Weather::Warm, Weather::Cool, Weather::Cold].map(|weather| {
            (
                weather,
                cement.minutes(Wait::Set, size, weather, false),
                cement.minutes(Wait::Cure, size, weather, false),
            )
        }),
    };
    counts.into_iter().map(line).collect()
}

/// Every pipe that stays open for the test, by size: one a stub, one an outlet. A cleanout has its plug.
fn open_pipes(assembly: &Assembly) -> BTreeMap<Size, usize> {
    let mut counts: BTreeMap<Size, usize> = BTreeMap::new();
    let capped = assembly
        .stubs
        .iter()
        .filter(|stub| !matches!(stub.of, StubOf::Cleanout(_) | StubOf::Service(_)));
    capped
        .filter_map(|stub| stub.size)
        .for_each(|size| *counts.entry(size).or_default() += 1);
    let outlets = assembly.runs.iter().filter_map(|runs| runs.first());
    let mut first: BTreeMap<&Id, Size> = BTreeMap::new();
    for piece in &assembly.pieces {
        first.entry(&piece.id).or_insert(piece.size);
    }
    let root = |line: &grades::Line| first.get(&line.id).copied();
    outlets
        .filter_map(root)
        .for_each(|size| *counts.entry(size).or_default() += 1);
    counts
}

fn roughed_in(layout: &Layout, assembly: &Assembly) -> Vec<Id> {
    let has_tee = |id: &Id| assembly.wall_tees.iter().any(|tee| tee.fixture == *id);
    let fixture = |stub: &fittings::Stub| match stub.of {
        StubOf::Fixture(f) => layout.fixtures.get(f),
        StubOf::Vent(_) | StubOf::Return(_) | StubOf::Cleanout(_) | StubOf::Service(_) => None,
    };
    let risers = assembly.stubs.iter().filter_map(fixture);
    let in_wall = risers
        .filter(|fixture| matches!(fixture.trap, TrapPlace::InWall { .. }))
        .filter(|fixture| !has_tee(&fixture.id));
    in_wall.map(|fixture| fixture.id.clone()).collect()
}

fn sleeves(layout: &Layout, assembly: &Assembly, catalog: &Catalog) -> Vec<Sleeve> {
    let wall = layout
        .foundation
        .edge
        .as_ref()
        .map_or(0.0, |edge| edge.thickness);
    let drains = layout.drains.iter();
    let standing: BTreeSet<&Id> = drains
        .filter(|drain| drain.exit.sleeve_bottom.is_some())
        .map(|drain| &drain.id)
        .collect();
    let bodies = assembly
        .bodies
        .iter()
        .filter(|body| body.part == fittings::Part::Sleeve && !standing.contains(&body.id));
    let exit = |id: &Id| layout.drains.iter().find(|drain| drain.id == *id);
    let drains = bodies.map(|body| Sleeve {
        of: body.id.clone(),
        at: exit(&body.id).map_or(DVec2::ZERO, |drain| drain.exit.at),
        size: body.size,
        length: wall + 2.0,
    });
    let services = layout::passages(layout).into_iter().filter_map(|passage| {
        let service = &layout.services[passage.service];
        Some(Sleeve {
            of: service.id.clone(),
            at: passage.at,
            size: catalog.sleeve_round(service.od)?.size,
            length: passage.long + 2.0,
        })
    });
    drains.chain(services).collect()
}

fn wraps(layout: &Layout, assembly: &Assembly) -> Vec<Wrap> {
    let Some(slab) = &layout.slab else {
        return Vec::new();
    };
    let through = assembly
        .stubs
        .iter()
        .filter(|stub| !matches!(stub.landing, layout::Landing::BoxOut(_)))
        .filter(|stub| !stub.stands_outside(layout));
    let wrap = |stub: &fittings::Stub| {
        let (surface, _) = fittings::surface_at(slab, stub.at);
        let under = fittings::cover_over(slab, stub.at);
        let height = surface - under + 2.0;
        // One that ends at the floor, as a shower's, passes the concrete too.
        (stub.top > under).then(|| Wrap {
            id: stub.id.clone(),
            od: stub.od,
            height,
        })
    };
    through.filter_map(wrap).collect()
}

fn soil_gas(layout: &Layout) -> Vec<(Id, f64, f64)> {
    let pipes = layout
        .services
        .iter()
        .filter(|service| service.kind == ServiceKind::SoilGas);
    pipes
        .map(|service| {
            let lying: f64 = service
                .path
                .windows(2)
                .map(|leg| leg[0].distance(leg[1]))
                .sum();
            (
                service.id.clone(),
                lying + (service.top - service.level).max(0.0),
                service.od,
            )
        })
        .collect()
}

/// The risers of closets.
fn closets<'a>(
    layout: &'a Layout,
    assembly: &'a Assembly,
) -> impl Iterator<Item = (&'a fittings::Stub, Size)> {
    let closet = |stub: &fittings::Stub| match stub.of {
        StubOf::Fixture(f) => layout
            .fixtures
            .get(f)
            .is_some_and(|fixture| fixture.kind == FixtureKind::Closet),
        StubOf::Vent(_) | StubOf::Return(_) | StubOf::Cleanout(_) | StubOf::Service(_) => false,
    };
    let risers = assembly.stubs.iter().filter(move |stub| closet(stub));
    risers.filter_map(|stub| Some((stub, stub.size?)))
}

fn flanges(layout: &Layout, assembly: &Assembly) -> Vec<(Size, usize)> {
    let mut counts: BTreeMap<Size, usize> = BTreeMap::new();
    closets(layout, assembly).for_each(|(_, size)| *counts.entry(size).or_default() += 1);
    counts.into_iter().collect()
}

/// The flange for a closet's riser: inside 4 in pipe, which stays wide enough; over 3 in pipe, which would not. Read in
/// trade articles on closet flanges: one flange goes over a 3 in pipe or into a 4 in pipe.
pub(crate) fn flange(riser: Size) -> Part {
    let pattern = if riser >= Size::In4 {
        Pattern::ClosetFlangeInside
    } else {
        Pattern::ClosetFlange
    };
    Part::new(pattern, Sizes::one(riser))
}

fn collars(layout: &Layout, assembly: &Assembly) -> Vec<Collar> {
    let over = closets(layout, assembly).filter(|(stub, size)| {
        let in_slab = !matches!(stub.landing, layout::Landing::BoxOut(_));
        in_slab && flange(*size).pattern == Pattern::ClosetFlange
    });
    let collar = |(stub, size): (&fittings::Stub, Size)| Collar {
        of: stub.id.clone(),
        at: stub.at,
        size,
    };
    over.map(collar).collect()
}

fn test_riser(
    assembly: &Assembly,
    catalog: &Catalog,
    shop: &Shop,
    pipe: &[PipeLine],
) -> Option<TestRiser> {
    let highest = fittings::highest_fitting(assembly.pieces.iter(), catalog)?;
    let left = |size: Size, length: f64| {
        let line = pipe.iter().find(|line| line.size == size)?;
        let mut sticks = line.plan.sticks.iter();
        sticks.position(|stick| stick.left >= length + shop.kerf)
    };
    let stubs = assembly
        .stubs
        .iter()
        .filter(|stub| matches!(stub.of, StubOf::Fixture(_) | StubOf::Vent(_)));
    let risers = stubs.filter_map(|stub| {
        let (size, length) = (stub.size?, shop.test_head - (stub.top - highest));
        let riser = TestRiser {
            id: stub.id.clone(),
            of: stub.of,
            size,
            length,
            stick: left(size, length),
        };
        (length > 0.0).then_some(riser)
    });
    // Pipe that is left over need not be bought; then the shortest, which stands on the highest stub.
    risers.min_by(|a, b| {
        let bought = a.stick.is_none().cmp(&b.stick.is_none());
        bought
            .then(a.length.total_cmp(&b.length))
            .then(a.size.cmp(&b.size))
    })
}

fn boots(assembly: &Assembly) -> Vec<(f64, usize)> {
    let booted = assembly.stubs.iter().filter(|stub| stub.booted);
    let mut ods: Vec<f64> = booted.map(|stub| stub.od).collect();
    ods.sort_by(f64::total_cmp);
    ods.chunk_by(|a, b| (a - b).abs() < units::SAME_LENGTH)
        .map(|alike| (alike[0], alike.len()))
        .collect()
}

/// A soil-gas pipe's bends, its tee in the gravel and the cap on its top, as far as it is DWV pipe. Which fitting draws
/// from the gravel is from memory of radon practice; bends are short, for it carries air.
fn soil_gas_parts(layout: &Layout, catalog: &Catalog) -> Vec<(Part, usize)> {
    let mut counts: BTreeMap<Part, usize> = BTreeMap::new();
    let pipes = layout
        .services
        .iter()
        .filter(|s| s.kind == ServiceKind::SoilGas);
    for service in pipes {
        let Some(size) = size_of_od(catalog, service.od) else {
            continue;
        };
        let bends = service.path.len().saturating_sub(1);
        let wanted = [
            (
                Part::new(Pattern::QuarterBendShort, Sizes::one(size)),
                bends,
            ),
            (Part::new(Pattern::VentTee, Sizes::branched(size, size)), 1),
            (Part::new(Pattern::TestCap, Sizes::one(size)), 1),
        ];
        for (part, n) in wanted {
            if n > 0 && catalog.get(part.pattern, part.sizes).is_some() {
                *counts.entry(part).or_default() += n;
            }
        }
    }
    counts.into_iter().collect()
}

/// The DWV size of an outside diameter, to a sixteenth; `None` for other pipe.
pub(crate) fn size_of_od(catalog: &Catalog, od: f64) -> Option<Size> {
    Size::ALL
        .into_iter()
        .find(|size| (catalog.pipe(*size).od - od).abs() < 1.0 / 16.0)
}
