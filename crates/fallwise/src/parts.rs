//! The parts of a house: first what to buy, as a list to take to the shop, then what to saw, then what to glue in which
//! order. As text, CSV and JSON. What does not belong here: the counting (`takeoff`).

use std::{collections::BTreeMap, fmt::Write, path::Path};

use anstyle::Style;
use anyhow::{Context, Result, bail};
use catalog::{Dim, End, EndName, Part, Weather};
use fittings::{DRY_OPEN, StubReach, What};
use flow::Outcome;
use serde_json::{Value, json};
use takeoff::{Bench, Buy, Change, Cut, Group, Shop, Takeoff};
use units::{feet_inches, inches_text};

use crate::{Status, args::Format, files, say, unusable, wrap::wrap};

const BOLD: Style = Style::new().bold();
const WIDTH: usize = 100;
/// Cuts and marks are told to the sixteenth.
const SIXTEENTHS: u32 = 16;
/// Glued on a hot day and covered by cold concrete, degrees F: our choice of a swing to warn by.
const HOT_TO_COLD_F: f64 = 40.0;
/// Shrinkage told from this on, inches. Our choice.
const TELL_SHRINK: f64 = 0.25;

/// Adds a line; a String takes every line.
macro_rules! line {
    ($out:expr, $($what:tt)*) => {{ let _ = writeln!($out, $($what)*); }};
}

/// A house with its takeoff.
struct House {
    /// What its bench sheet is called, beside the layout.
    bench: String,
    outcome: Outcome,
    takeoff: Takeoff,
    shop: Shop,
}

/// The command.
pub(crate) fn parts(
    file: &Path,
    format: Format,
    prices: Option<&Path>,
    since: Option<&Path>,
) -> Result<Status> {
    let (house, flaws) = house(file, prices)?;
    if let Some(status) = unusable(&house.outcome, &flaws)? {
        return Ok(status);
    }
    let changes = since.map(|old| since_old(old, &house)).transpose()?;
    let text = match format {
        Format::Text => tell(&house, changes.as_deref()),
        Format::Csv => csv(&house, changes.as_deref()),
        Format::Json => to_json(&house, changes.as_deref())?,
    };
    say(&text)?;
    Ok(if house.outcome.assembly.troubles.is_empty() {
        Status::NothingFails
    } else {
        Status::Fails
    })
}

fn house(file: &Path, prices: Option<&Path>) -> Result<(House, Vec<String>)> {
    let read = files::read(file, None)?;
    let mut flaws = read.problems;
    let mut shop = files::shop(file, prices, &mut flaws)?;
    let outcome = flow::run(&read.inputs);
    if let Some(head) = outcome.rules.pressure_test().head {
        shop.test_head = head.value * 12.0;
    }
    let takeoff = takeoff::take(&outcome.layout, &outcome.assembly, &outcome.catalog, &shop);
    let bench = file.with_extension("bench.ron");
    let house = House {
        bench: bench.file_name().unwrap_or_default().display().to_string(),
        outcome,
        takeoff,
        shop,
    };
    Ok((house, flaws))
}

fn since_old(old: &Path, now: &House) -> Result<Vec<Change>> {
    let read = files::read(old, None).context("the earlier layout")?;
    let before = flow::run(&read.inputs);
    if !before.problems.is_empty() {
        bail!(
            "the earlier layout {0} has mistakes; `fallwise check {0}` tells them",
            old.display()
        );
    }
    let takeoff = takeoff::take(&before.layout, &before.assembly, &before.catalog, &now.shop);
    Ok(takeoff::changes(&takeoff.buy, &now.takeoff.buy))
}

fn tell(house: &House, changes: Option<&[Change]>) -> String {
    let mut out = String::new();
    let title = &house.outcome.layout.title;
    line!(
        out,
        "{BOLD}Parts for {title}{BOLD:#}, layout {}",
        house.outcome.hash
    );
    troubles(&mut out, house);
    if let Some(changes) = changes {
        told_changes(&mut out, changes);
    }
    shop_list(&mut out, house);
    sticks(&mut out, house);
    let sources = cuts(&mut out, house);
    told_take_offs(&mut out, house, &sources);
    glue(&mut out, house);
    closures(&mut out, house);
    out
}

fn troubles(out: &mut String, house: &House) {
    for trouble in &house.outcome.assembly.troubles {
        let says = format!("{}: {}; {}", trouble.run, trouble.says, trouble.would_do);
        line!(out, "{}", wrap(&says, WIDTH, "  x ", "    "));
    }
    if !house.outcome.assembly.troubles.is_empty() {
        line!(
            out,
            "  buy nothing before these are put right: the list changes with them"
        );
    }
}

fn told_changes(out: &mut String, changes: &[Change]) {
    line!(out, "\n{BOLD}Since the earlier layout{BOLD:#}");
    if changes.is_empty() {
        line!(out, "  the same list");
    }
    for change in changes {
        let (verb, n) = if change.now > change.before {
            ("buy", change.now - change.before)
        } else {
            ("return", change.before - change.now)
        };
        line!(out, "  {verb:<7}{n:>4}  {}", change.name);
    }
    let says = "one whole buying list against the other, as if nothing was cut or glued yet; what can be used again and what is \
                lost in the ground: `fallwise changes OLD NEW`";
    line!(out, "{}", wrap(says, WIDTH, "  ", "  "));
}

fn shop_list(out: &mut String, house: &House) {
    let takeoff = &house.takeoff;
    for group in Group::ALL {
        let lines: Vec<&Buy> = takeoff.buy.iter().filter(|b| b.group == group).collect();
        if lines.is_empty() {
            continue;
        }
        line!(out, "\n{BOLD}{}{BOLD:#}", group.words());
        for buy in lines {
            let cost = buy.cost().map_or(String::new(), |cost| money(house, cost));
            let row = format!("{:>4} {:<38}{cost:>9}  ", buy.count, buy.name);
            let next = " ".repeat(row.chars().count());
            line!(out, "{}", wrap(&buy.note, WIDTH, &row, &next).trim_end());
        }
    }
    if let Some(total) = takeoff.total {
        line!(
            out,
            "\n{:<43}{:>9}",
            "Total of what has a price",
            money(house, total)
        );
        if !takeoff.unpriced.is_empty() {
            let names = takeoff.unpriced.join(", ");
            line!(out, "{}", wrap(&names, WIDTH, "without a price: ", "  "));
        }
    }
    let spare = house.shop.spare;
    if spare > 0.0 {
        let one_in = 1.0 / spare;
        line!(
            out,
            "spare fittings: one in {one_in:.0} of each kind, at least one; return what is left"
        );
    }
    line!(
        out,
        "drain (DWV) fittings only: a pressure fitting has deeper sockets and no sweep"
    );
    let not_bought = takeoff.not_bought();
    if !not_bought.is_empty() {
        line!(out, "{}", wrap(&not_bought, WIDTH, "", "  "));
    }
}

fn money(house: &House, amount: f64) -> String {
    format!("{}{amount:.2}", house.shop.currency)
}

fn sticks(out: &mut String, house: &House) {
    line!(
        out,
        "\n{BOLD}How to saw the sticks{BOLD:#} (a saw cut of {} counted)",
        inches_text(house.shop.kerf, 32)
    );
    for line in &house.takeoff.pipe {
        let word = if line.plan.optimal {
            "no plan takes less"
        } else {
            "the best plan found"
        };
        line!(
            out,
            "  {} pipe: {} ({word})",
            line.size,
            count(line.plan.sticks.len(), "stick")
        );
        for (n, stick) in line.plan.sticks.iter().enumerate() {
            let pieces: Vec<String> = stick
                .pieces
                .iter()
                .map(|c| cut_words(&house.takeoff.cuts[*c]))
                .collect();
            let first = format!(
                "    {}. of {}: ",
                n + 1,
                feet_inches(stick.length, SIXTEENTHS)
            );
            let riser = house.takeoff.test_riser.as_ref();
            let riser = riser.filter(|riser| riser.size == line.size && riser.stick == Some(n));
            let test = riser.map_or(String::new(), |riser| {
                format!(
                    ", of it the test's {}",
                    feet_inches(riser.length, SIXTEENTHS)
                )
            });
            let says = format!(
                "{}; left {}{test}",
                pieces.join(", "),
                inches_text(stick.left, SIXTEENTHS)
            );
            line!(out, "{}", wrap(&says, WIDTH, &first, "       "));
        }
        for cut in &line.too_long {
            let cut = &house.takeoff.cuts[*cut];
            line!(
                out,
                "    {} is longer than any stick: join two with a coupling",
                cut_words(cut)
            );
        }
    }
}

fn cut_words(cut: &Cut) -> String {
    format!(
        "{} {}",
        cut.label,
        feet_inches(cut.length.value, SIXTEENTHS)
    )
}

/// The cuts, and the sources they rest on as numbered under them.
fn cuts<'a>(out: &mut String, house: &'a House) -> Vec<&'a str> {
    let mut sources: Vec<&str> = Vec::new();
    line!(
        out,
        "\n{BOLD}Cuts{BOLD:#} (final length, sockets in; a number in brackets says what it rests on)"
    );
    for cut in &house.takeoff.cuts {
        let marks: Vec<String> = if cut.provisional {
            cut.length
                .sources()
                .map(|source| format!("[{}]", number_of(&mut sources, source)))
                .collect()
        } else {
            Vec::new()
        };
        let end = |end: &Option<String>| end.clone().unwrap_or_else(|| "open".into());
        let state = match (cut.provisional, cut.check) {
            (true, true) => "provisional, check against the fittings in hand",
            (true, false) => "provisional",
            (false, _) => "measured",
        };
        line!(
            out,
            "  {:<5}{:>7} {:>13} +-{:<7}{:>5} to {:<5} {:<22} {state} {}",
            cut.label,
            cut.size.to_string(),
            feet_inches(cut.length.value, SIXTEENTHS),
            inches_text(cut.length.doubt, SIXTEENTHS),
            end(&cut.down),
            end(&cut.up),
            cut.id.as_str(),
            marks.concat()
        );
    }
    for (n, source) in sources.iter().enumerate() {
        line!(
            out,
            "{}",
            wrap(source, WIDTH, &format!("  [{}] ", n + 1), "      ")
        );
    }
    if house.takeoff.cuts.iter().any(|cut| cut.provisional) {
        bench_note(out, house);
    }
    sources
}

/// How to measure a fitting and write it down, with a line for the first one of this house that needs it.
fn bench_note(out: &mut String, house: &House) {
    let says = format!(
        "a provisional cut rests on dimensions that nobody measured on your fittings: lay each fitting on the bench, write \
         what it takes off into {} beside the layout, and print this again before you saw",
        house.bench
    );
    line!(out, "{}", wrap(&says, WIDTH, "  ", "  "));
    let cuts = house.takeoff.cuts.iter().filter(|cut| cut.provisional);
    let Some(first) = cuts.flat_map(|cut| ends_of(house, cut.piece)).next() else {
        return;
    };
    let measure = inches_in_words(first.end.take_off.value);
    line!(
        out,
        "  the whole file, when only the {} of {} is measured (a line for each end, between the brackets):",
        first.end.name.word(),
        house.takeoff.labels[first.piece]
    );
    line!(
        out,
        "    [\n      (fitting: \"{}\", end: \"{}\", takes_off: \"{measure}\"),\n    ]",
        first.part,
        first.end.name.word()
    );
    let says = format!(
        "{measure} is what is used now: put your own measure in its place. takes_off is from where the middle lines cross (of \
         a coupling, from the middle of its stop) to the stop that the pipe meets, to_face to the mouth of the hub; one of \
         them will do"
    );
    line!(out, "{}", wrap(&says, WIDTH, "  ", "  "));
}

/// Inches as a sheet takes them inside quotation marks: `4 3/8 in`.
fn inches_in_words(inches: f64) -> String {
    inches_text(inches, SIXTEENTHS).replace('"', " in")
}

/// An end of a fitting that a cut ends at.
struct CutEnd<'a> {
    piece: usize,
    part: Part,
    end: &'a End,
}

/// The fitting ends that a piece of pipe ends at, in the order of its joints.
fn ends_of(house: &House, pipe: usize) -> Vec<CutEnd<'_>> {
    let assembly = &house.outcome.assembly;
    let both = assembly
        .joints
        .iter()
        .flat_map(|joint| [(joint.near, joint.far), (joint.far, joint.near)]);
    let met = both.filter(|(own, _)| own.0 == pipe);
    met.filter_map(|(_, (piece, name))| {
        let part = assembly.pieces[piece].part()?;
        let end = house
            .outcome
            .catalog
            .get(part.pattern, part.sizes)?
            .end(name)?;
        Some(CutEnd { piece, part, end })
    })
    .collect()
}

/// Each end of each kind of fitting that a cut ends at, once, in the order of the buying list.
fn take_offs(house: &House) -> BTreeMap<(Part, EndName), &End> {
    let cuts = house.takeoff.cuts.iter();
    cuts.flat_map(|cut| ends_of(house, cut.piece))
        .map(|met| ((met.part, met.end.name), met.end))
        .collect()
}

/// Each with its source: by its number under the cuts, in words where it has none there.
fn told_take_offs(out: &mut String, house: &House, numbered: &[&str]) {
    let all = take_offs(house);
    if all.is_empty() {
        return;
    }
    line!(out, "\n{BOLD}Take-offs used{BOLD:#}");
    let says = "from where the middle lines cross to the stop that the pipe meets, with a minus where that lies past the crossing; \
                compare them with the fittings in hand; numbers in brackets as above";
    line!(out, "{}", wrap(says, WIDTH, "  ", "  "));
    for ((part, name), end) in all {
        let row = format!(
            "  {:<30} {:<12} {:>9} +-{:<8} ",
            part.to_string(),
            name.word(),
            inches_text(end.take_off.value, SIXTEENTHS),
            inches_text(end.take_off.doubt, SIXTEENTHS),
        );
        let marks: Vec<String> = end
            .take_off
            .sources()
            .map(|source| {
                let at = numbered.iter().position(|told| *told == source);
                at.map_or_else(|| source.to_owned(), |n| format!("[{}]", n + 1))
            })
            .collect();
        line!(out, "{row}{}", marks.join(" "));
    }
}

fn number_of<'a>(sources: &mut Vec<&'a str>, source: &'a str) -> usize {
    if let Some(at) = sources.iter().position(|told| *told == source) {
        return at + 1;
    }
    sources.push(source);
    sources.len()
}

fn glue(out: &mut String, house: &House) {
    line!(out, "\n{BOLD}Glue-up, in this order{BOLD:#}");
    for (n, bench) in house.takeoff.order.iter().enumerate() {
        assembly(out, house, n, bench);
    }
    for ways in &house.takeoff.ways {
        let says = ways.says(&house.takeoff.labels);
        line!(out, "{}", wrap(&says, WIDTH, "  ", "    "));
    }
    for line in &house.takeoff.joints {
        let cement = house.outcome.catalog.pipe(line.size).socket_depth.value;
        let waits: Vec<String> = line
            .waits
            .iter()
            .map(|(weather, set, cure)| {
                format!(
                    "{}: {} before it is moved, {} before the test",
                    weather_word(*weather),
                    minutes(*set),
                    minutes(*cure)
                )
            })
            .collect();
        let says = format!(
            "{}: {}, {} each, held {:.0} seconds; {}; damp weather half as long again; a dry joint stands {} to {} farther out than a glued one",
            line.size,
            count(line.count, "joint"),
            if line.people > 1.0 {
                format!("{:.0} people", line.people)
            } else {
                "one person".into()
            },
            line.hold_seconds,
            waits.join("; "),
            inches_text(cement * DRY_OPEN.0, SIXTEENTHS),
            inches_text(cement * DRY_OPEN.1, SIXTEENTHS),
        );
        line!(out, "{}", wrap(&says, WIDTH, "  ", "    "));
    }
    line!(
        out,
        "  the label on the can governs; fresh air in the trench, no flame"
    );
}

fn assembly(out: &mut String, house: &House, n: usize, bench: &Bench) {
    let labels = &house.takeoff.labels;
    let home = bench.home.map_or("goes in first".to_owned(), |j| {
        let joint = &house.outcome.assembly.joints[j];
        let how = if bench.last {
            "STAYS DRY until all else is glued: the adjuster; last of all"
        } else {
            "push"
        };
        format!(
            "{how} {} into {} of {}",
            labels[joint.far.0],
            joint.near.1.word(),
            labels[joint.near.0]
        )
    });
    // From stop to stop a coupling by itself is no length to speak of.
    let long = if bench.length >= 1.0 {
        format!("{} long, ", feet_inches(bench.length, 4))
    } else {
        String::new()
    };
    let people = if bench.people > 1 {
        format!(", {} people", bench.people)
    } else {
        String::new()
    };
    line!(
        out,
        "  A{}. {}, {long}{:.0} lb; {home}{people}",
        n + 1,
        count(bench.pieces.len(), "piece"),
        bench.weight
    );
    for &p in &bench.pieces {
        let piece = &house.outcome.assembly.pieces[p];
        let what = match &piece.what {
            What::Pipe(cut) => format!(
                "{} pipe, {}",
                piece.size,
                feet_inches(cut.value, SIXTEENTHS)
            ),
            What::Fitting(part) => part.to_string(),
        };
        let clock = house.takeoff.clocks.iter().find(|mark| mark.piece == p);
        let clock = clock.map_or(String::new(), |mark| format!(": {}", mark.says()));
        let into = into(house, bench, p);
        line!(
            out,
            "      {:<5} {what}{into}{clock} ({})",
            labels[p],
            piece.id
        );
    }
}

/// On which end of which piece a piece is joined on the bench; empty for the one that the assembly begins with.
fn into(house: &House, bench: &Bench, piece: usize) -> String {
    let joints = &house.outcome.assembly.joints;
    let mut here = bench.bench_joints.iter().map(|j| &joints[*j]);
    let joint = here.find(|joint| joint.far.0 == piece);
    joint.map_or_else(String::new, |joint| {
        let how = if joint.glued {
            "on"
        } else {
            "screwed, not glued, into"
        };
        let (end, near) = (joint.near.1.word(), &house.takeoff.labels[joint.near.0]);
        format!(", {how} the {end} of {near}")
    })
}

fn weather_word(weather: Weather) -> &'static str {
    match weather {
        Weather::Warm => "60 to 100 F",
        Weather::Cool => "40 to 60 F",
        Weather::Cold => "0 to 40 F",
    }
}

fn minutes(minutes: f64) -> String {
    if minutes >= 120.0 {
        format!("{:.0} h", (minutes / 60.0).ceil())
    } else {
        format!("{minutes:.0} min")
    }
}

fn count(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

fn closures(out: &mut String, house: &House) {
    line!(
        out,
        "\n{BOLD}How near each stub comes{BOLD:#} (1/16 in and half a degree a joint; lying pipe staked on its string, risers plumbed)"
    );
    for closure in &house.outcome.assembly.closures {
        let shrink = closure.shrink_per_10f * HOT_TO_COLD_F / 10.0;
        let shrinks = if shrink > TELL_SHRINK {
            format!(
                "; glued hot and covered {HOT_TO_COLD_F:.0} F colder its chain shortens {}: cover in the cool of the day",
                inches_text(shrink, SIXTEENTHS)
            )
        } else {
            String::new()
        };
        let says = format!(
            "{}: {} from the exit; likely within {}, at the very worst {}; dry-fitted the chain is {} to {} longer{shrinks}",
            closure.of.name(&closure.id),
            count(closure.joints, "joint"),
            inches_text(closure.likely, SIXTEENTHS),
            inches_text(closure.worst, SIXTEENTHS),
            inches_text(closure.dry_longer.0, SIXTEENTHS),
            inches_text(closure.dry_longer.1, SIXTEENTHS),
        );
        line!(out, "{}", wrap(&says, WIDTH, "  ", "    "));
    }
}

/// One table: what to buy, what to saw, and what changed.
fn csv(house: &House, changes: Option<&[Change]>) -> String {
    let mut out = String::from("list,shelf,item,count,unit,price,cost,length_in,note\n");
    let number = |value: Option<f64>| value.map_or(String::new(), |v| format!("{v:.2}"));
    for buy in &house.takeoff.buy {
        let cells = [
            "buy",
            buy.group.words(),
            &buy.name,
            &buy.count.to_string(),
            buy.unit.word(),
            &number(buy.price),
            &number(buy.cost()),
            "",
            &buy.note,
        ];
        row(&mut out, &cells);
    }
    for cut in &house.takeoff.cuts {
        let name = format!("{} pipe", cut.size);
        let length = format!("{:.4}", cut.length.value);
        let note = if cut.provisional {
            "provisional"
        } else {
            "measured"
        };
        row(
            &mut out,
            &["cut", &cut.label, &name, "1", "each", "", "", &length, note],
        );
    }
    for change in changes.unwrap_or_default() {
        let n = change.now.abs_diff(change.before).to_string();
        let verb = if change.now > change.before {
            "buy more"
        } else {
            "return"
        };
        row(
            &mut out,
            &["change", verb, &change.name, &n, "", "", "", "", ""],
        );
    }
    out
}

fn row(out: &mut String, cells: &[&str]) {
    let quoted = cells.iter().map(|cell| {
        if cell.contains([',', '"', '\n']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            (*cell).to_owned()
        }
    });
    line!(out, "{}", quoted.collect::<Vec<_>>().join(","));
}

/// At most four decimals; null when not finite.
fn number(value: f64) -> Value {
    json!((value * 1e4).round() / 1e4 + 0.0)
}

fn to_json(house: &House, changes: Option<&[Change]>) -> Result<String> {
    let takeoff = &house.takeoff;
    let value = json!({
        "format": 1,
        "layout": house.outcome.layout.title,
        "hash": house.outcome.hash,
        "pieces": pieces(house),
        "joints": joints(house),
        "assemblies": takeoff.order.iter().enumerate().map(|(n, bench)| json!({
            "id": format!("A{}", n + 1),
            "pieces": bench.pieces.iter().map(|p| &takeoff.labels[*p]).collect::<Vec<_>>(),
            "length": number(bench.length),
            "weight_lb": number(bench.weight),
            "bench_joints": bench.bench_joints,
        })).collect::<Vec<_>>(),
        "order": takeoff.order.iter().enumerate().map(|(n, bench)| json!({
            "assembly": format!("A{}", n + 1),
            "joint": bench.home,
            "people": bench.people,
            "adjuster": bench.last,
        })).collect::<Vec<_>>(),
        "takeoffs": take_offs(house).into_iter().map(|((part, name), end)| json!({
            "fitting": part.to_string(), "end": name.word(), "takes_off": number(end.take_off.value),
            "doubt": number(end.take_off.doubt), "known": end.take_off.how.word(),
            "source": end.take_off.sources().collect::<Vec<_>>().join("; "),
        })).collect::<Vec<_>>(),
        "other_ways": takeoff.ways.iter().map(|ways| json!({
            "of": ways.branch.as_str(), "wye": takeoff.labels[ways.wye], "bend": takeoff.labels[ways.bend],
            "rise": number(ways.rise), "travel": number(ways.travel), "pipe": number(ways.cut),
            "behind": ways.behind.iter().map(ToString::to_string).collect::<Vec<_>>(), "says": ways.says(&takeoff.labels),
        })).collect::<Vec<_>>(),
        "buy": takeoff.buy.iter().map(|buy| json!({
            "shelf": buy.group.words(), "item": buy.name, "count": buy.count, "unit": buy.unit.word(),
            "price": buy.price.map(number), "cost": buy.cost().map(number), "note": buy.note,
        })).collect::<Vec<_>>(),
        "total": takeoff.total.map(number),
        "unpriced": takeoff.unpriced,
        "wall_tees": takeoff.wall_tees.iter().map(wall_tee).collect::<Vec<_>>(),
        "roughed_in": takeoff.roughed_in.iter().map(units::Id::as_str).collect::<Vec<_>>(),
        "changes": changes.map(|changes| changes.iter().map(|change| json!({
            "item": change.name, "before": change.before, "now": change.now,
        })).collect::<Vec<_>>()),
        "troubles": house.outcome.assembly.troubles.iter().map(|trouble| json!({
            "run": trouble.run.as_str(), "says": trouble.says, "would_do": trouble.would_do,
        })).collect::<Vec<_>>(),
    });
    Ok(serde_json::to_string_pretty(&value)? + "\n")
}

/// A sanitary tee that goes on its stub when the walls stand.
fn wall_tee(tee: &fittings::WallTee) -> Value {
    let (sawn, coupling, cut, leave) = match &tee.stub {
        StubReach::Sawn(at) => (Some(at), None, None, None),
        StubReach::Lengthened { coupling, cut } => (None, Some(coupling), Some(cut), None),
        StubReach::TooShort(at) => (None, None, None, Some(at)),
    };
    let inches = |dim: Option<&Dim>| dim.map(|dim| number(dim.value));
    json!({
        "fixture": tee.fixture.as_str(), "tee": tee.part.to_string(),
        "height": number(tee.height), "sawn_at": inches(sawn), "coupling": coupling.map(ToString::to_string),
        "cut": inches(cut), "leave_at": inches(leave),
    })
}

fn pieces(house: &House) -> Vec<Value> {
    let takeoff = &house.takeoff;
    let clocks: BTreeMap<usize, String> =
        takeoff.clocks.iter().map(|m| (m.piece, m.says())).collect();
    let all = house.outcome.assembly.pieces.iter().enumerate();
    all.map(|(p, piece)| {
        let (what, cut) = match &piece.what {
            What::Pipe(cut) => (format!("{} pipe", piece.size), Some(cut)),
            What::Fitting(part) => (part.to_string(), None),
        };
        json!({
            "id": takeoff.labels[p],
            "of": piece.id.as_str(),
            "what": what,
            "size": piece.size.nominal(),
            "at": [number(piece.frame.at.x), number(piece.frame.at.y), number(piece.frame.at.z)],
            "length": cut.map(|cut| number(cut.value)),
            "doubt": cut.map(|cut| number(cut.doubt)),
            "provisional": cut.map(catalog::Dim::is_provisional),
            "rests_on": cut.map(|cut| cut.source.to_string()),
            "mark": clocks.get(&p),
        })
    })
    .collect()
}

fn joints(house: &House) -> Vec<Value> {
    let takeoff = &house.takeoff;
    let all = house.outcome.assembly.joints.iter();
    all.map(|joint| {
        let socket = house.outcome.catalog.pipe(joint.size).socket_depth.value;
        let dry = if joint.glued { socket } else { 0.0 };
        json!({
            "near": takeoff.labels[joint.near.0], "near_end": joint.near.1.word(),
            "far": takeoff.labels[joint.far.0], "far_end": joint.far.1.word(),
            "size": joint.size.nominal(),
            "glued": joint.glued,
            "roll_deg": number(joint.seat.roll.to_degrees()),
            "lean_deg": number(joint.seat.lean.to_degrees()),
            "dry_sticks_out": [number(dry * DRY_OPEN.0), number(dry * DRY_OPEN.1)],
        })
    })
    .collect()
}
