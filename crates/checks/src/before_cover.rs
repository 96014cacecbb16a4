//! What is true of every house before the drains are covered: the test, air in plastic pipe, the inspector's look.

use codes::{Row, RuleId, Rules, Value};
use layout::{FixtureKind, Material, ServiceKind, TrapPlace};
use units::Id;

use crate::{Case, Finding, Source, Verdict, words};

/// The notes that stand on every page about testing: head and minutes, with the pressure at the lowest cap of this layout;
/// what may not be done with air; whether a vacuum will do; what may not be covered yet; how the trench is bedded and filled;
/// what each pipe through the slab gets. Rule ids `test-before-cover`, `air-in-plastic`, `vacuum-test`, `look-before-cover`,
/// `bed-and-fill`, `standpipe-heights`, `pipes-through-the-sheet`, `soil-gas-standard`, `termite-barrier`. Empty for a layout without drains.
pub fn before_cover(case: &Case) -> Vec<Finding> {
    let heads = (0..case.grades.len()).filter_map(|t| head(case, t));
    let mut notes: Vec<Finding> = heads.collect();
    if notes.is_empty() {
        return notes;
    }
    let all: Vec<Id> = case
        .network
        .trees
        .iter()
        .map(|tree| tree.id.clone())
        .collect();
    let at = notes[0].at;
    let mut note = |rule, row: Option<&Row>, says: String| {
        let Some(row) = row else { return };
        notes.push(Finding::new(
            rule,
            Verdict::Note,
            all.clone(),
            at,
            Source::row(row),
            says,
        ));
    };
    let air = case.rules.row(RuleId::TestAirPlastic);
    note("air-in-plastic", air, air.map_or(String::new(), air_says));
    let vacuum = case.rules.row(RuleId::TestVacuum);
    note(
        "vacuum-test",
        vacuum,
        vacuum.map_or(String::new(), vacuum_says),
    );
    let look = case.rules.row(RuleId::InspectBeforeCover);
    note(
        "look-before-cover",
        look,
        "cover nothing before it was tested and looked at, with the water standing in it".into(),
    );
    let lift = case.rules.number(RuleId::BackfillLift);
    let fill = lift.or_else(|| case.rules.number(RuleId::BackfillCover));
    note(
        "bed-and-fill",
        fill.map(|figure| figure.row),
        bed_and_fill(case.rules),
    );
    let washer = case.layout.fixtures.iter().find(|fixture| {
        fixture.kind == FixtureKind::Washer && matches!(fixture.trap, TrapPlace::InWall { .. })
    });
    let height = case.rules.row(RuleId::StandpipeHeight);
    note(
        "standpipe-heights",
        washer.and(height),
        washer.map_or(String::new(), |washer| standpipe(case.rules, &washer.id)),
    );
    let stubs = case.assembly.stubs.iter();
    let through = match stubs.filter(|stub| !case.stands_outside(stub)).count() {
        1 => "the pipe that comes up".to_owned(),
        many => format!("each of the {many} pipes that come up"),
    };
    let sealed = sheeted(case)
        .then(|| case.rules.row(RuleId::RadonSheetLap))
        .flatten();
    let stubs = || {
        case.assembly
            .stubs
            .iter()
            .filter(|stub| !case.stands_outside(stub))
    };
    let booted = stubs().filter(|stub| stub.booted).count();
    let with = match (booted, stubs().count() - booted) {
        (_, 0) => "a boot".to_owned(),
        (0, _) => "tape, cut close to the pipe".to_owned(),
        (booted, taped) => format!("a boot ({booted} of them) or tape ({taped})"),
    };
    note(
        "pipes-through-the-sheet",
        sealed,
        format!(
            "round {through} seal the sheet with {with}, and wrap the pipe where it passes the concrete"
        ),
    );
    note(
        "soil-gas-standard",
        draws_soil_gas(case)
            .then(|| case.rules.row(RuleId::RadonSuctionPipe))
            .flatten(),
        stricter_standard(case.rules),
    );
    let asked = |row: &&Row| row.value == Value::Yes;
    note(
        "termite-barrier",
        case.rules.row(RuleId::TermiteBarrier).filter(asked),
        format!("set a barrier against termites round {through} before the pour"),
    );
    notes
}

/// Whether a soil-gas riser comes up through the slab.
fn draws_soil_gas(case: &Case) -> bool {
    let mut services = case.layout.services.iter();
    services.any(|service| service.kind == ServiceKind::SoilGas)
}

/// What the stricter published standard adds to a tee in the gravel.
fn stricter_standard(rules: &Rules) -> String {
    let pipe = rules.number(RuleId::RadonSuctionPipe);
    let pipe = pipe.map_or(String::new(), |feet| {
        format!(
            ", with {} ft of perforated pipe from each of two openings of its tee",
            feet.value
        )
    });
    format!(
        "a stricter standard for soil gas wants more than a bare tee in the gravel{pipe}, the tee fastened so that the pour \
         cannot move it, and one in each part that interior footings cut off: ask whether it is followed here"
    )
}

/// Whether a sheet lies under the slab.
fn sheeted(case: &Case) -> bool {
    let slab = case.layout.slab.iter();
    let mut layers = slab.flat_map(|slab| &slab.layers);
    layers.any(|layer| layer.material == Material::Sheet)
}

/// How high a washer's trap and standpipe stand in their wall.
fn standpipe(rules: &Rules, washer: &Id) -> String {
    let range = |rule| match rules.row(rule).map(|row| &row.value) {
        Some(Value::Range(least, most)) => Some(format!("{least} to {most} in")),
        Some(_) | None => None,
    };
    let trap = range(RuleId::StandpipeTrap).map_or("in its wall".into(), |heights| {
        format!("{heights} over the floor")
    });
    let pipe = range(RuleId::StandpipeHeight).unwrap_or_else(|| "as high as the town asks".into());
    format!(
        "set the trap of {washer} {trap}, and end its standpipe {pipe} over the weir of that trap"
    )
}

/// Bedding, what was dug too deep, and the fill, in one breath.
fn bed_and_fill(rules: &Rules) -> String {
    let layers = |rule| {
        let figure = rules.number(rule);
        figure.map(|figure| format!("layers of at most {}", words::inches(figure.value)))
    };
    let refill = layers(RuleId::BeddingOverdigLift)
        .map_or("and pack it".into(), |layers| format!("in packed {layers}"));
    let fill = layers(RuleId::BackfillLift).unwrap_or_else(|| "thin layers (ask how thin)".into());
    let over = rules.number(RuleId::BackfillCover);
    let over = over.map_or(String::new(), |over| {
        format!(" until {} lie over it", words::inches(over.value))
    });
    format!(
        "bed each pipe along its whole length, with a hollow under each hub; where the trench was dug too deep, refill it \
         {refill} before the pipe goes in; then bring clean earth up on both sides alike, tamped in {fill}{over}"
    )
}

fn air_says(row: &Row) -> String {
    let danger = "air stored in plastic pipe can burst it and throw pieces";
    match row.value {
        Value::No => format!("do not test with air: {danger}"),
        Value::Yes => format!("air may be allowed here, but {danger}: test with water"),
        Value::Number(_)
        | Value::Range(..)
        | Value::NoLimit
        | Value::Limited(_)
        | Value::Local
        | Value::Silent
        | Value::Words(_)
        | Value::Said
        | Value::Unseen => format!("ask before any test with air; {danger}"),
    }
}

fn vacuum_says(row: &Row) -> String {
    match row.value {
        Value::Number(psi) => format!(
            "a vacuum of {} psi may be taken instead: ask first, and take it with a gauge, not by ear",
            -psi
        ),
        Value::NoLimit | Value::No => "no vacuum test is in this code: ask before one".into(),
        Value::Range(..)
        | Value::Yes
        | Value::Limited(_)
        | Value::Local
        | Value::Silent
        | Value::Words(_)
        | Value::Said
        | Value::Unseen => "whether a vacuum test is accepted is not known here: ask first".into(),
    }
}

/// The water test of one drain.
fn head(case: &Case, t: usize) -> Option<Finding> {
    let test = case.rules.pressure_test();
    let head = test.head?;
    let (tree, grades) = (&case.network.trees[t], &case.grades[t]);
    let inlets = || grades.lines.iter().map(|line| line.inlet).reduce(f64::max);
    let pieces = case.assembly.of_tree(tree, case.layout);
    let highest = fittings::highest_fitting(pieces, case.catalog).or_else(inlets)?;
    let lowest = grades
        .lines
        .iter()
        .map(|line| line.outlet)
        .chain([grades.exit.level])
        .reduce(f64::min)?;
    let column = head.value + (highest - lowest) / 12.0;
    let psi = trench::water_test::psi(column * 12.0);
    let minutes = test.minutes.map_or(String::new(), |minutes| {
        format!(" for {} minutes", minutes.value)
    });
    let others: Vec<String> = case
        .rules
        .also(RuleId::TestHead)
        .iter()
        .filter_map(|row| {
            let other = row
                .value
                .number()
                .filter(|other| (other - head.value).abs() > 0.01)?;
            Some(format!(
                "; other editions ask {other} ft ({})",
                row.cite.edition
            ))
        })
        .collect();
    let says = format!(
        "stand water {} ft over the highest fitting of {}{minutes}: {:.1} ft and {psi:.1} psi at the lowest cap, {} below \
         the floor{}",
        head.value,
        tree.id,
        column,
        words::inches(-lowest),
        others.concat(),
    );
    let at = case.drain(t).exit.at.extend(lowest);
    let mut note = Finding::new(
        "test-before-cover",
        Verdict::Note,
        vec![tree.id.clone()],
        at,
        Source::row(head.row),
        says,
    );
    (note.measured, note.limit, note.unit) = (Some(psi), None, "psi");
    Some(note)
}
