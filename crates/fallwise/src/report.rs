//! The outcome as JSON: fields in a fixed order, lengths in inches with at most four decimals, null where nothing is
//! known. The same input gives the same bytes.

use std::collections::BTreeMap;

use checks::{Finding, Verdict};
use codes::{Code, Rules};
use fittings::{Stub, StubOf};
use flow::{Budget, Outcome, Tried};
use glam::DVec2;
use layout::{Landing, Layout};
use serde::{Serialize, Serializer};
use units::Id;

use crate::three;

/// One geometry judged by one code.
pub(crate) struct Judged {
    pub(crate) code: Code,
    pub(crate) rules: Rules,
    pub(crate) findings: Vec<Finding>,
}

/// The gravest word on an outcome: `fails`, `ask` or `nothing found`. Notes alone are nothing found.
pub(crate) fn verdict(outcome: &Outcome, findings: &[Finding]) -> &'static str {
    if fails(outcome, findings) {
        "fails"
    } else if findings
        .iter()
        .any(|finding| finding.verdict == Verdict::Ask)
    {
        "ask"
    } else {
        "nothing found"
    }
}

/// Whether something fails: a finding, or a drain that cannot fall or does not connect.
pub(crate) fn fails(outcome: &Outcome, findings: &[Finding]) -> bool {
    let short = outcome.grades.iter().any(|grades| !grades.is_feasible());
    short
        || !outcome.network.problems.is_empty()
        || findings
            .iter()
            .any(|finding| finding.verdict == Verdict::Fails)
}

/// How many figures the answers rest on, and how many of those nobody has read in a published code: remembered, practice
/// or worked out.
pub(crate) fn rests_on(outcome: &Outcome, rules: &Rules) -> (usize, usize) {
    let rows = flow::leans_on(outcome, rules);
    let unread = rows.iter().filter(|row| !row.is_read()).count();
    (rows.len(), unread)
}

/// A number with at most four decimals; null when it is not finite.
#[derive(Clone, Copy)]
struct Num(f64);

impl Serialize for Num {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        // Adding 0.0 turns -0.0 into 0.0.
        let rounded = (self.0 * 1e4).round() / 1e4 + 0.0;
        if rounded.is_finite() {
            serializer.serialize_f64(rounded)
        } else {
            serializer.serialize_none()
        }
    }
}

#[derive(Serialize)]
struct Report<'a> {
    format: u32,
    layout: &'a str,
    hash: &'a str,
    #[serde(flatten)]
    judged: Judgement<'a>,
    unread: usize,
    drains: Vec<DrainRow<'a>>,
    runs: Vec<RunRow<'a>>,
    stubs: Vec<StubRow<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    findings: Option<Vec<FindingRow<'a>>>,
    to_tell: Vec<TellRow<'a>>,
    before_cover: Vec<FindingRow<'a>>,
    amended: Vec<AmendedRow<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    differences: Option<Vec<DifferenceRow<'a>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    questions: Option<Vec<QuestionRow<'a>>>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Judgement<'a> {
    One {
        code: &'static str,
        verdict: &'static str,
    },
    All {
        codes: BTreeMap<CodeName, CodeRow<'a>>,
    },
}

/// Sorted as the codes are shown.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct CodeName(Code);

impl Serialize for CodeName {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0.name())
    }
}

#[derive(Serialize)]
struct CodeRow<'a> {
    verdict: &'static str,
    findings: Vec<FindingRow<'a>>,
    unread: usize,
}

/// A row that a town changed.
#[derive(Serialize)]
struct AmendedRow<'a> {
    rule: &'static str,
    of: String,
    value: String,
    published: &'a str,
    said_by: &'a str,
}

/// Where verdicts differ: a verdict by code, `nothing found` among them.
#[derive(Serialize)]
struct DifferenceRow<'a> {
    rule: &'static str,
    members: &'a [Id],
    verdicts: BTreeMap<CodeName, &'static str>,
}

#[derive(Serialize)]
struct QuestionRow<'a> {
    rule: &'static str,
    members: &'a [Id],
    says: &'a str,
    sides: Vec<SideRow<'a>>,
}

#[derive(Serialize)]
struct SideRow<'a> {
    code: &'static str,
    verdict: &'static str,
    sections: &'a [String],
}

#[derive(Serialize)]
struct DrainRow<'a> {
    id: Id,
    feasible: bool,
    start_invert: Num,
    exit_invert: Num,
    receiver_invert: Option<Num>,
    spare: Option<Num>,
    short: Option<Num>,
    controls: Vec<Id>,
    chain: Vec<Id>,
    mends: Vec<MendRow<'a>>,
}

#[derive(Serialize)]
struct MendRow<'a> {
    says: &'a str,
    spare: Option<Num>,
    exit_invert: Num,
}

#[derive(Serialize)]
struct RunRow<'a> {
    id: &'a Id,
    drain: &'a Id,
    sizes: Vec<Num>,
    length: Num,
    grade_in_per_ft: Num,
    invert_up: Num,
    invert_down: Num,
    dfu: Num,
    cover_min: Option<Num>,
}

#[derive(Serialize)]
struct StubRow<'a> {
    id: Id,
    fixture: Option<&'a Id>,
    size: Option<Num>,
    x: Num,
    y: Num,
    top: Num,
    landing: &'a str,
    off: Option<Num>,
}

#[derive(Serialize)]
struct FindingRow<'a> {
    rule: &'static str,
    verdict: String,
    members: &'a [Id],
    at: [Num; 3],
    measured: Option<Num>,
    limit: Option<Num>,
    unit: &'static str,
    says: &'a str,
    source: &'a str,
    read: bool,
}

#[derive(Serialize)]
struct TellRow<'a> {
    item: &'a str,
    what: &'a str,
}

/// The report, with a newline at its end. `all`: the findings by each code, in place of the outcome's own.
pub(crate) fn json(outcome: &Outcome, mends: &[Tried], all: Option<&[Judged]>) -> String {
    let before = flow::before_cover(outcome, &outcome.rules);
    let pairs = all.map(three::pairs).unwrap_or_default();
    let rules: Vec<Rules> = all
        .unwrap_or_default()
        .iter()
        .map(|one| one.rules.clone())
        .collect();
    let differ = checks::differences(&pairs);
    let asked = checks::questions(&pairs, &rules);
    let judged = match all {
        None => Judgement::One {
            code: outcome.rules.code().profile(),
            verdict: verdict(outcome, &outcome.findings),
        },
        Some(all) => Judgement::All {
            codes: all.iter().map(|judged| code_row(outcome, judged)).collect(),
        },
    };
    let report = Report {
        format: 1,
        layout: &outcome.layout.title,
        hash: &outcome.hash,
        judged,
        unread: rests_on(outcome, &outcome.rules).1,
        drains: flow::budget(outcome)
            .into_iter()
            .map(|budget| drain_row(budget, mends))
            .collect(),
        runs: run_rows(outcome),
        stubs: outcome
            .assembly
            .stubs
            .iter()
            .map(|stub| stub_row(&outcome.layout, stub))
            .collect(),
        findings: all
            .is_none()
            .then(|| outcome.findings.iter().map(finding_row).collect()),
        to_tell: outcome
            .to_tell
            .iter()
            .map(|tell| TellRow {
                item: &tell.item,
                what: &tell.what,
            })
            .collect(),
        before_cover: before.iter().map(finding_row).collect(),
        amended: outcome
            .rules
            .amended()
            .into_iter()
            .filter_map(amended_row)
            .collect(),
        differences: all.map(|_| differ.iter().map(difference_row).collect()),
        questions: all.map(|_| asked.iter().map(question_row).collect()),
    };
    // Every key is a string and every number finite, so there is nothing serde_json could refuse.
    let mut text = serde_json::to_string_pretty(&report).expect("a report is plain JSON");
    text.push('\n');
    text
}

fn code_row<'a>(outcome: &Outcome, judged: &'a Judged) -> (CodeName, CodeRow<'a>) {
    let verdict = verdict(outcome, &judged.findings);
    let row = CodeRow {
        verdict,
        findings: judged.findings.iter().map(finding_row).collect(),
        unread: rests_on(outcome, &judged.rules).1,
    };
    (CodeName(judged.code), row)
}

fn amended_row(row: &codes::Row) -> Option<AmendedRow<'_>> {
    let amended = row.cite.amended.as_ref()?;
    Some(AmendedRow {
        rule: row.cite.rule.id(),
        of: row.key.to_string(),
        value: row.says(),
        published: &amended.published,
        said_by: &amended.said_by,
    })
}

fn difference_row(one: &checks::Difference) -> DifferenceRow<'_> {
    let verdict = |finding: &Finding| match finding.verdict {
        Verdict::Fails => "fails",
        Verdict::Ask => "ask",
        Verdict::Note => "note",
    };
    let by = one.by.iter().map(|(code, found)| {
        let word = found.as_ref().map_or("nothing found", verdict);
        (CodeName(*code), word)
    });
    DifferenceRow {
        rule: one.rule,
        members: &one.members,
        verdicts: by.collect(),
    }
}

fn question_row(question: &checks::Question) -> QuestionRow<'_> {
    let sides = question.sides.iter().map(|side| SideRow {
        code: side.code.name(),
        verdict: side.verdict,
        sections: &side.sections,
    });
    QuestionRow {
        rule: question.rule,
        members: &question.members,
        says: &question.says,
        sides: sides.collect(),
    }
}

fn drain_row(budget: Budget, mends: &[Tried]) -> DrainRow<'_> {
    let own = mends.iter().filter(|mend| mend.drain == budget.drain);
    let mends = own.map(|mend| MendRow {
        says: &mend.says,
        spare: mend.spare.map(Num),
        exit_invert: Num(mend.exit_invert),
    });
    DrainRow {
        mends: mends.collect(),
        id: budget.drain,
        feasible: budget.feasible,
        start_invert: Num(budget.start_invert),
        exit_invert: Num(budget.exit_invert),
        receiver_invert: budget
            .receiver
            .and_then(|receiver| receiver.invert)
            .map(Num),
        spare: budget.spare.map(Num),
        short: budget.short.map(Num),
        controls: budget.controls,
        chain: budget.chain,
    }
}

fn run_rows(outcome: &Outcome) -> Vec<RunRow<'_>> {
    let mut rows = Vec::new();
    for (t, (tree, grades)) in outcome
        .network
        .trees
        .iter()
        .zip(&outcome.grades)
        .enumerate()
    {
        for (r, (run, line)) in tree.runs.iter().zip(&grades.lines).enumerate() {
            rows.push(RunRow {
                id: &run.id,
                drain: &tree.id,
                sizes: run
                    .bores
                    .iter()
                    .map(|bore| Num(bore.size.nominal()))
                    .collect(),
                length: Num(line.length),
                grade_in_per_ft: Num(line.grade.in_per_ft()),
                invert_up: Num(line.inlet),
                invert_down: Num(line.outlet),
                dfu: Num(run.dfu),
                cover_min: flow::cover_min(outcome, t, r).map(Num),
            });
        }
    }
    rows
}

fn stub_row<'a>(layout: &'a Layout, stub: &'a Stub) -> StubRow<'a> {
    let fixture = match stub.of {
        StubOf::Fixture(index) | StubOf::Vent(index) | StubOf::Return(index) => {
            layout.fixtures.get(index).map(|fixture| &fixture.id)
        }
        StubOf::Cleanout(_) | StubOf::Service(_) => None,
    };
    StubRow {
        id: stub.name(),
        fixture,
        size: stub.size.map(|size| Num(size.nominal())),
        x: Num(stub.at.x),
        y: Num(stub.at.y),
        top: Num(stub.top),
        landing: landing_name(&stub.landing),
        off: off_landing(layout, stub).map(Num),
    }
}

fn landing_name(landing: &Landing) -> &str {
    match landing {
        Landing::Wall(id) | Landing::Cabinet(id) | Landing::BoxOut(id) => id.as_str(),
        Landing::Floor => "floor",
    }
}

/// From the stub's centre to the centre of its landing: a wall's centre line, a cabinet's or box-out's middle. Open floor
/// has no centre.
fn off_landing(layout: &Layout, stub: &Stub) -> Option<f64> {
    match &stub.landing {
        Landing::Wall(id) => {
            let wall = layout.walls.iter().find(|wall| wall.id == *id)?;
            Some(off_line(stub.at, wall.from, wall.to))
        }
        Landing::Cabinet(id) => layout
            .cabinets
            .iter()
            .find(|cabinet| cabinet.id == *id)
            .map(|cabinet| cabinet.centre.distance(stub.at)),
        Landing::BoxOut(id) => layout
            .box_outs
            .iter()
            .find(|box_out| box_out.id == *id)
            .map(|box_out| box_out.centre.distance(stub.at)),
        Landing::Floor => None,
    }
}

fn off_line(point: DVec2, from: DVec2, to: DVec2) -> f64 {
    let along = (to - from).normalize_or_zero();
    let t = (point - from).dot(along).clamp(0.0, from.distance(to));
    point.distance(from + along * t)
}

fn finding_row(finding: &Finding) -> FindingRow<'_> {
    FindingRow {
        rule: finding.rule,
        verdict: finding.verdict.to_string(),
        members: &finding.members,
        at: finding.at.to_array().map(Num),
        measured: finding.measured.map(Num),
        limit: finding.limit.map(Num),
        unit: finding.unit,
        says: &finding.says,
        source: &finding.source.says,
        read: finding.source.read,
    }
}
