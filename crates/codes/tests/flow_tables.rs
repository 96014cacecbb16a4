//! Cases of the flow of drains that are look-ups: loads by size and grade, least grades. Ids begin with H as the tables they
//! were kept in name them.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use codes::{Code, Key, RuleId, Rules, rules};
use units::Size;

fn ipc() -> Rules {
    rules(Code::Ipc, &[]).0
}

/// What the building-drain table carries in a nominal size at a grade, sizes we do not sell as well.
fn carried(rules: &Rules, nominal: f64, in_per_ft: f64) -> Option<f64> {
    let at = |key: Key| key == Key::SizeAt(nominal, in_per_ft);
    let rows = rules.rows(RuleId::DrainCapacity);
    rows.iter().find(|row| at(row.key))?.value.number()
}

#[test]
fn loads_by_size_and_grade() {
    // H-DFU-IPC-mem: IPC 710.1(1), recalled; nominal size, in/ft, units.
    let recalled = [
        (2.0, 0.25, 21.0),
        (2.0, 0.5, 26.0),
        (2.5, 0.25, 24.0),
        (2.5, 0.5, 31.0),
        (3.0, 0.25, 42.0),
        (3.0, 0.5, 50.0),
        (4.0, 0.25, 216.0),
        (4.0, 0.5, 250.0),
        (3.0, 0.125, 36.0),
        (4.0, 0.125, 180.0),
    ];
    // H-DFU-OLD-2.5, H-DFU-OLD-6, H-DFU-OLD-8: an older national table of building drains and sewers (read in a calculations manual).
    // These sizes carry what the IPC's do.
    let older = [
        (2.5, 0.25, 24.0),
        (2.5, 0.5, 31.0),
        (6.0, 0.125, 700.0),
        (6.0, 0.25, 840.0),
        (6.0, 0.5, 1000.0),
        (8.0, 0.0625, 1400.0),
        (8.0, 0.125, 1600.0),
        (8.0, 0.25, 1920.0),
        (8.0, 0.5, 2300.0),
    ];
    for (nominal, in_per_ft, units) in recalled.into_iter().chain(older) {
        let got = carried(&ipc(), nominal, in_per_ft);
        assert_eq!(got, Some(units), "{nominal} in at {in_per_ft}");
    }
}

#[test]
fn eight_hundred_and_forty_units_at_an_eighth_want_eight_inch() {
    // H-DFU-840, an examination question: 6 in carries 700 at 1/8, 8 in is the least.
    let ipc = ipc();
    assert_eq!(ipc.capacity(Size::In6, 0.125).unwrap().dfu, Some(700.0));
    assert!(carried(&ipc, 8.0, 0.125).unwrap() >= 840.0);
    assert!(ipc.capacity(Size::In6, 0.25).unwrap().dfu >= Some(840.0));
}

#[test]
fn two_hundred_and_seventy_units_want_five_inch() {
    // H-NAVY-270: NAVEDTRA 14259 (read): closets, lavatories, showers, urinals, service sinks and floor drains of a barracks,
    // each number with its units; the sum asks for 5 in at 1/4. Of our tables the IPC's building drain agrees.
    let barracks = [(20, 6), (22, 1), (15, 2), (20, 4), (2, 3), (4, 3)];
    let sum: i32 = barracks.iter().map(|(many, units)| many * units).sum();
    assert_eq!(sum, 270);
    let ipc = ipc();
    let carries = |nominal: f64| carried(&ipc, nominal, 0.25).unwrap() >= f64::from(sum);
    let least = [2.0, 3.0, 4.0, 5.0, 6.0]
        .into_iter()
        .find(|nominal| carries(*nominal));
    assert_eq!(least, Some(5.0));
}

#[test]
fn ten_gallons_a_minute_that_keep_on() {
    // H-CONT: 2 units for each gallon a minute in the IPC and the UPC (read in an engineers' forum post), so 20 for 10 gpm;
    // Chicago counts 1, which a town's amendment would say.
    for code in [Code::Ipc, Code::Upc] {
        let each = rules(code, &[])
            .0
            .number(RuleId::ContinuousLoad)
            .unwrap()
            .value;
        assert_eq!(10.0 * each, 20.0, "{code}");
    }
    let chicago = codes::Amendment {
        rule: "continuous-load".into(),
        of: None,
        value: "1 dfu".into(),
        said_by: "city".into(),
    };
    let (amended, problems) = rules(Code::Ipc, &[chicago]);
    assert_eq!(problems, []);
    assert_eq!(
        10.0 * amended.number(RuleId::ContinuousLoad).unwrap().value,
        10.0
    );
}

#[test]
fn least_grades_by_size() {
    // H-SLOPE-IPC: Chicago's table 18-29-704.1, the same as IPC 704.1 (read).
    let ipc = ipc();
    let rows = ipc.rows(RuleId::GradeLeast);
    for (nominal, in_per_ft) in [(2.5, 0.25), (3.0, 0.125), (6.0, 0.125), (8.0, 0.0625)] {
        let speaks = |key: Key| match key {
            Key::Sizes(from, to) => {
                from.is_none_or(|from| from <= nominal) && to.is_none_or(|to| nominal <= to)
            }
            _other => false,
        };
        let row = rows.iter().find(|row| speaks(row.key)).unwrap();
        assert_eq!(row.value.number(), Some(in_per_ft), "{nominal} in");
    }
}
