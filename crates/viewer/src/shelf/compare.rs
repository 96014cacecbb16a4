//! How two houses differ: runs by length, size, grade and depth; stubs by place; fittings by count; findings by sentence.
//! "Here" is the house on the desk, "there" the other.

use std::collections::BTreeMap;

use scene::MarkKind;
use units::{feet_inches, inches_text};

use crate::house::{House, RunLine};

/// What a difference is about, in the order they are told.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Kind {
    /// What fails, is asked or noted in one and not in the other.
    Finding,
    /// The fall that is left.
    Fall,
    /// A run: length, size, grade, depth.
    Run,
    /// Where a stub comes up.
    Stub,
    /// How many fittings.
    Fitting,
}

impl Kind {
    /// Its heading.
    pub fn words(self) -> &'static str {
        match self {
            Self::Finding => "Findings",
            Self::Fall => "Fall left",
            Self::Run => "Runs",
            Self::Stub => "Stubs",
            Self::Fitting => "Fittings",
        }
    }
}

/// One difference.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Difference {
    /// What it is about.
    pub kind: Kind,
    /// The item, to fly to; empty where there is none.
    pub id: String,
    /// One sentence.
    pub says: String,
}

/// What is no difference on paper or in the trench, inches.
const SAME: f64 = 1.0 / 32.0;

/// How `here` differs from `there`; each with the names of its fittings, one a fitting.
pub fn differences(
    (here, here_fittings): (&House, &[String]),
    (there, there_fittings): (&House, &[String]),
) -> Vec<Difference> {
    let mut all = findings(here, there);
    all.extend(fall(here, there));
    all.extend(runs(here, there));
    all.extend(stubs(here, there));
    all.extend(fittings(here_fittings, there_fittings));
    all
}

fn findings(here: &House, there: &House) -> Vec<Difference> {
    let told = |house: &House, says: &str| house.findings.iter().any(|row| row.says == says);
    let only = |one: &House, other: &House, place: &str| -> Vec<Difference> {
        let rows = one.findings.iter().filter(|row| !told(other, &row.says));
        rows.map(|row| Difference {
            kind: Kind::Finding,
            id: row.members.first().cloned().unwrap_or_default(),
            says: format!(
                "only {place}, {}: {}",
                crate::theme::verdict_word(row.verdict).to_lowercase(),
                row.says
            ),
        })
        .collect()
    };
    [only(here, there, "here"), only(there, here, "there")].concat()
}

fn fall(here: &House, there: &House) -> Vec<Difference> {
    let left = |spare: f64| {
        if spare < 0.0 {
            format!("{} short", inches_text(-spare, 16))
        } else {
            format!("{} to spare", inches_text(spare, 16))
        }
    };
    let rows = here.budget.iter().filter_map(|row| {
        let other = there.budget.iter().find(|other| other.drain == row.drain)?;
        ((row.spare - other.spare).abs() > SAME).then(|| Difference {
            kind: Kind::Fall,
            id: row.drain.clone(),
            says: format!(
                "{}: {} here, {} there",
                row.drain,
                left(row.spare),
                left(other.spare)
            ),
        })
    });
    rows.collect()
}

fn runs(here: &House, there: &House) -> Vec<Difference> {
    let difference = |id: &str, says: String| Difference {
        kind: Kind::Run,
        id: id.to_owned(),
        says: format!("{id}: {says}"),
    };
    let mut all = Vec::new();
    for line in &here.lines {
        match there.lines.iter().find(|other| other.id == line.id) {
            None => all.push(difference(&line.id, "only here".into())),
            Some(other) => {
                let says = changed(line, other);
                if !says.is_empty() {
                    all.push(difference(&line.id, says.join("; ")));
                }
            }
        }
    }
    let gone = there.lines.iter();
    let gone = gone.filter(|other| here.lines.iter().all(|line| line.id != other.id));
    all.extend(gone.map(|other| difference(&other.id, "only there".into())));
    all
}

/// How a run differs, a phrase a difference.
fn changed(here: &RunLine, there: &RunLine) -> Vec<String> {
    let mut says = Vec::new();
    let (long, other) = (length(here), length(there));
    if (long - other).abs() > SAME {
        let (long, other) = (feet_inches(long, 16), feet_inches(other, 16));
        says.push(format!("{long} long here, {other} there"));
    }
    if here.size != there.size {
        says.push(format!("{} here, {} there", here.size, there.size));
    }
    if (here.grade_in_per_ft - there.grade_in_per_ft).abs() > 1e-4 {
        let (grade, other) = (here.grade_in_per_ft, there.grade_in_per_ft);
        says.push(format!("falls {grade:.3} in/ft here, {other:.3} there"));
    }
    says.extend(aside(here, there));
    let ends = [
        ("upper", here.points.first(), there.points.first()),
        ("lower", here.points.last(), there.points.last()),
    ];
    for (end, here, there) in ends {
        if let Some((here, there)) = here.zip(there) {
            let by = here.z - there.z;
            if by.abs() > SAME {
                let way = if by > 0.0 { "higher" } else { "lower" };
                let by = inches_text(by.abs(), 16);
                says.push(format!("its {end} end lies {by} {way} here"));
            }
        }
    }
    says
}

/// How far its corners lie off in plan.
fn aside(here: &RunLine, there: &RunLine) -> Option<String> {
    let (corners, others) = (here.points.len(), there.points.len());
    if corners != others {
        return Some(format!("{corners} corners here, {others} there"));
    }
    let pairs = here.points.iter().zip(&there.points);
    let off = pairs.map(|(a, b)| a.truncate().distance(b.truncate()));
    let most = off.fold(0.0, f64::max);
    (most > SAME).then(|| format!("lies up to {} aside", inches_text(most, 16)))
}

fn length(line: &RunLine) -> f64 {
    let legs = line.points.windows(2);
    legs.map(|leg| leg[0].truncate().distance(leg[1].truncate()))
        .sum()
}

fn stubs(here: &House, there: &House) -> Vec<Difference> {
    let (ours, theirs) = (tops(here), tops(there));
    let tell = |top: &Top, says: &str| Difference {
        kind: Kind::Stub,
        id: top.id.clone(),
        says: format!("{}: {says}", top.name),
    };
    let mut all = Vec::new();
    for top in &ours {
        match theirs.iter().find(|other| other.name == top.name) {
            None => all.push(tell(top, "only here")),
            Some(other) if other.at.distance(top.at) > SAME => {
                all.push(tell(top, &moved(top.at - other.at)));
            }
            Some(_) => {}
        }
    }
    let gone = theirs.iter();
    let gone = gone.filter(|other| ours.iter().all(|top| top.name != other.name));
    all.extend(gone.map(|top| tell(top, "only there")));
    all
}

/// The top of a stub.
struct Top {
    id: String,
    /// As its label has it: a fixture's vent is called otherwise than the fixture.
    name: String,
    at: glam::DVec3,
}

fn tops(house: &House) -> Vec<Top> {
    let marks = house.scene.marks.iter();
    let stubs = marks.filter(|mark| matches!(mark.kind, MarkKind::Stub | MarkKind::Cleanout));
    let top = |mark: &scene::Mark| Top {
        id: mark.id.to_string(),
        name: name(mark).to_owned(),
        at: mark.at,
    };
    stubs.map(top).collect()
}

/// What a mark's label calls its stub: the words before its size.
pub(super) fn name(mark: &scene::Mark) -> &str {
    let name = mark.text.split("  ").next().unwrap_or_default();
    if name.is_empty() {
        mark.id.as_str()
    } else {
        name
    }
}

/// How far something stands off, in words: `3 in north, 1/2 in higher here`.
fn moved(by: glam::DVec3) -> String {
    let ways = [
        (by.x, "east", "west"),
        (by.y, "north", "south"),
        (by.z, "higher", "lower"),
    ];
    let told = ways.iter().filter(|(by, ..)| by.abs() > SAME);
    let words = told.map(|(by, more, less)| {
        let way = if *by > 0.0 { more } else { less };
        format!("{} {way}", inches_text(by.abs(), 16))
    });
    format!("{} here", words.collect::<Vec<_>>().join(", "))
}

fn fittings(here: &[String], there: &[String]) -> Vec<Difference> {
    let mut counts: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    here.iter()
        .for_each(|name| counts.entry(name).or_default().0 += 1);
    there
        .iter()
        .for_each(|name| counts.entry(name).or_default().1 += 1);
    let other = counts.iter().filter(|(_, (here, there))| here != there);
    other
        .map(|(name, (here, there))| Difference {
            kind: Kind::Fitting,
            id: String::new(),
            says: format!("{name}: {here} here, {there} there"),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use glam::DVec3;
    use scene::Mark;

    use super::*;
    use crate::house::BudgetRow;

    fn house(closet: f64, long: f64, spare: f64) -> House {
        let mut house = House::default();
        house.lines.push(RunLine {
            id: "branch".into(),
            drain: "d".into(),
            into: "trunk".into(),
            points: vec![DVec3::new(0.0, 0.0, -8.0), DVec3::new(long, 0.0, -10.0)],
            size: "3".into(),
            grade_in_per_ft: 0.25,
        });
        house.scene.marks.push(Mark {
            id: "wc".into(),
            kind: MarkKind::Stub,
            at: DVec3::new(closet, 24.0, 6.0),
            text: String::new(),
        });
        house.budget.push(BudgetRow {
            drain: "d".into(),
            says: String::new(),
            least_cover: None,
            spends: Vec::new(),
            spare,
        });
        house
    }

    fn says(here: (&House, &[String]), there: (&House, &[String])) -> Vec<String> {
        let all = differences(here, there).into_iter();
        all.map(|difference| difference.says).collect()
    }

    #[test]
    fn a_house_does_not_differ_from_itself() {
        let (one, names) = (house(12.0, 96.0, 1.0), ["3 in wye".to_owned()]);
        assert_eq!(says((&one, &names), (&one, &names)), Vec::<String>::new());
    }

    #[test]
    fn what_differs_is_told_with_both_figures() {
        let names = |list: &[&str]| {
            list.iter()
                .map(|name| (*name).to_owned())
                .collect::<Vec<_>>()
        };
        let (here, there) = (house(15.0, 99.0, -0.5), house(12.0, 96.0, 1.0));
        let here_names = names(&["3 in wye", "3 in wye"]);
        let there_names = names(&["3 in wye", "3 in eighth bend"]);
        assert_eq!(
            says((&here, &here_names), (&there, &there_names)),
            [
                "d: 1/2\" short here, 1\" to spare there",
                "branch: 8'-3\" long here, 8'-0\" there; lies up to 3\" aside",
                "wc: 3\" east here",
                "3 in eighth bend: 0 here, 1 there",
                "3 in wye: 2 here, 1 there",
            ]
        );
    }
}
