//! The readings as JSON: measured beside planned. Inches with at most four decimals; the same input gives the same bytes.

use field::{Book, Judged, Said, Solved};
use flow::Outcome;
use serde_json::{Value, json};

/// The report, with a newline at its end.
pub(crate) fn json(outcome: &Outcome, book: &Book, judged: &Judged, solved: &Solved) -> String {
    let stop_points: Vec<Value> = field::stop_points(outcome, book, judged)
        .iter()
        .map(|point| {
            json!({ "stop": point.stop.says(), "ready": point.is_ready(), "against": point.against, "missing": point.missing })
        })
        .collect();
    let report = json!({
        "format": 1,
        "layout": outcome.layout.title,
        "hash": outcome.hash,
        "readings": book.readings.iter().map(reading).collect::<Vec<_>>(),
        "stubs": judged.stubs.iter().map(stub).collect::<Vec<_>>(),
        "sleeves": judged.sleeves.iter().map(sleeve).collect::<Vec<_>>(),
        "levels": judged.levels.iter().map(level).collect::<Vec<_>>(),
        "falls": judged.falls.iter().map(fall).collect::<Vec<_>>(),
        "heat": judged.heat.iter().map(heat).collect::<Vec<_>>(),
        "causes": judged.causes.iter().map(cause).collect::<Vec<_>>(),
        "answers": judged.said.iter().map(said).collect::<Vec<_>>(),
        "solved": again(outcome, book, solved),
        "stop_points": stop_points,
    });
    format!("{report:#}\n")
}

fn num(value: f64) -> Value {
    // Adding 0.0 turns -0.0 into 0.0.
    let rounded = (value * 1e4).round() / 1e4 + 0.0;
    if rounded.is_finite() {
        json!(rounded)
    } else {
        Value::Null
    }
}

fn pair((planned, measured): (f64, f64)) -> Value {
    json!({ "planned": num(planned), "measured": num(measured), "off": num(measured - planned) })
}

fn place(at: glam::DVec2) -> Value {
    json!([num(at.x), num(at.y)])
}

fn reading(reading: &field::Reading) -> Value {
    json!({
        "id": reading.id.as_str(),
        "of": reading.of.as_str(),
        "what": reading.what.word(),
        "who": reading.who,
        "when": reading.when.map(|when| when.to_string()),
        "stage": reading.stage.word(),
    })
}

fn stub(read: &field::StubRead) -> Value {
    json!({
        "id": read.id.as_str(),
        "reading": read.reading.as_str(),
        "stage": read.stage.word(),
        "planned": place(read.planned),
        "measured": place(read.measured),
        "off": num(read.off().length()),
        "doubt": num(read.doubt),
        "play": num(read.play),
        "tolerance": num(read.tolerance),
        "top": read.top.map(pair),
    })
}

fn sleeve(read: &field::SleeveRead) -> Value {
    json!({
        "drain": read.drain.as_str(),
        "bottom": read.bottom.map(pair),
        "planned": read.at.map(|(planned, _)| place(planned)),
        "measured": read.at.map(|(_, measured)| place(measured)),
        "room_up_down": num(read.room_up_down),
        "room_aside": num(read.room_aside),
    })
}

fn level(read: &field::LevelRead) -> Value {
    json!({
        "run": read.run.as_str(),
        "station": num(read.station),
        "reading": read.reading.as_str(),
        "stage": read.stage.word(),
        "invert": pair((read.planned, read.measured)),
    })
}

fn fall(fall: &field::Fall) -> Value {
    json!({
        "run": fall.run.as_str(),
        "from": num(fall.between.0),
        "to": num(fall.between.1),
        "fall": num(fall.fall),
        "doubt": num(fall.doubt),
        "grade_planned": num(fall.planned),
        "grade_measured": num(fall.grade()),
        "grade_least": num(fall.least),
    })
}

fn heat(heat: &field::Heat) -> Value {
    json!({
        "stub": heat.stub.as_str(),
        "glued_f": num(heat.degrees_f.0),
        "pour_f": num(heat.degrees_f.1),
        "shortens": num(heat.shortens),
    })
}

fn cause(cause: &field::Cause) -> Value {
    let stubs: Vec<&str> = cause.stubs.iter().map(units::Id::as_str).collect();
    match &cause.why {
        field::Why::Mirrored { how } => json!({ "stubs": stubs, "mirrored": how }),
        field::Why::Assembly {
            number,
            by,
            degrees,
            joint,
        } => json!({
            "stubs": stubs,
            "assembly": number,
            "shifted": place(*by),
            "degrees": degrees.map(num),
            "joint": joint.as_ref().map(|joint| json!({
                "into": joint.into.as_str(),
                "glued": joint.glued,
                "play": num(joint.play),
                "wants": num(joint.wants),
            })),
        }),
        field::Why::Shifted {
            by,
            figures,
            strings,
            all,
        } => json!({
            "stubs": stubs,
            "shifted": place(*by),
            "figures": figures,
            "strings": strings.iter().map(units::Id::as_str).collect::<Vec<_>>(),
            "all": all,
        }),
    }
}

fn said(said: &Said) -> Value {
    let names = |ids: &[units::Id]| ids.iter().map(ToString::to_string).collect::<Vec<_>>();
    json!({
        "weight": said.weight.word(),
        "items": names(&said.items),
        "readings": names(&said.readings),
        "says": said.says,
        "next": said.next,
    })
}

fn again(outcome: &Outcome, book: &Book, solved: &Solved) -> Value {
    let before = flow::budget(outcome);
    let drains: Vec<Value> = flow::budget(&solved.outcome)
        .iter()
        .map(|now| {
            let was = before.iter().find(|was| was.drain == now.drain);
            json!({
                "id": now.drain.as_str(),
                "feasible": now.feasible,
                "exit_invert": num(now.exit_invert),
                "exit_invert_planned": was.map(|was| num(was.exit_invert)),
                "spare": now.spare.map(num),
                "short": now.short.map(num),
                "chain": now.chain.iter().map(units::Id::as_str).collect::<Vec<_>>(),
            })
        })
        .collect();
    let cuts: Vec<Value> = field::next_cuts(outcome, &solved.outcome, book)
        .iter()
        .map(|cut| {
            json!({
                "label": cut.label,
                "id": cut.id.as_str(),
                "size": num(cut.size.nominal()),
                "planned": cut.planned.map(num),
                "now": num(cut.now),
            })
        })
        .collect();
    json!({ "says": solved.says, "hash": solved.outcome.hash, "drains": drains, "cuts": cuts })
}
