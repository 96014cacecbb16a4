//! One mistake that explains several stubs: all off by the same vector (a wrong face, a moved string), or all in their
//! places in a mirror (the plan turned over).

use glam::DVec2;
use units::Id;

use super::{
    Judged, Said, StubRead, Weight,
    benches::{self, DryJoint},
};
use crate::{
    plan::Plan,
    say::{inches, moved, names},
};

/// Offsets nearer to each other than this are one mistake, inches: what tape and glue play.
const SAME: f64 = 0.75;
/// Stubs off by less than this have no cause to look for, inches.
const LEAST: f64 = 0.75;
/// A figure this near an offset names it, inches.
const FIGURE: f64 = 0.25;
/// Mirrored places agree within this, inches: what a tape pulled across a house plays.
const MIRROR: f64 = 1.5;

/// A cause that several stubs share.
#[derive(Clone, PartialEq, Debug)]
pub struct Cause {
    /// The stubs.
    pub stubs: Vec<Id>,
    /// What it is.
    pub why: Why,
}

/// What moved them.
#[derive(Clone, PartialEq, Debug)]
pub enum Why {
    /// All by this much.
    Shifted {
        /// From where they should be to where they are, inches.
        by: DVec2,
        /// What in the layout measures as much: `the framing of bath wall`.
        figures: Vec<String>,
        /// Strings in the book that run across the shift: one that slid would do the same.
        strings: Vec<Id>,
        /// Every stub measured is off so.
        all: bool,
    },
    /// One assembly was set off as one.
    Assembly {
        /// Its number in the glue order, from 1.
        number: usize,
        /// From where it should be to where it is, the mean of its stubs, inches.
        by: DVec2,
        /// Degrees counter-clockwise about its joint, when it is turned rather than slid.
        degrees: Option<f64>,
        /// The joint it is set by; `None` for the first assembly.
        joint: Option<DryJoint>,
    },
    /// The plan was turned over.
    Mirrored {
        /// `east for west` or `north for south`.
        how: &'static str,
    },
}

pub(super) fn judge(plan: Plan, judged: &mut Judged, said: &mut Vec<Said>) {
    let causes = causes(plan, &judged.stubs);
    for cause in &causes {
        let told = told(&judged.stubs, cause);
        // What a cause explains has one next act: that of the cause, which stands in front.
        let explained = |one: &&mut Said| {
            one.readings.len() == 1
                && told.readings.contains(&one.readings[0])
                && !one.next.is_empty()
        };
        for one in said.iter_mut().filter(explained) {
            one.explained = true;
            "with the others: see what moved them all".clone_into(&mut one.next);
        }
        said.insert(0, told);
    }
    judged.causes = causes;
}

fn causes(plan: Plan, stubs: &[StubRead]) -> Vec<Cause> {
    let sure: Vec<&StubRead> = stubs.iter().filter(|read| !read.unsure).collect();
    let mut left: Vec<&StubRead> = sure
        .iter()
        .copied()
        .filter(|read| read.off().length() > LEAST.max(2.0 * read.doubt))
        .collect();
    let mut causes = mirrored(plan, &mut left);
    let assemblies = benches::causes(plan, stubs);
    while let Some(group) = largest(&left) {
        left.retain(|read| !group.iter().any(|one| one.id == read.id));
        let shift = shifted(plan, &group, group.len() == sure.len());
        // A string or a face that explains it is nearer at hand than an assembly set off.
        if is_explained(&shift) || !assemblies.iter().any(|one| holds(one, &shift)) {
            causes.push(shift);
        }
    }
    let told = |one: &Cause| {
        one.stubs
            .iter()
            .any(|id| causes.iter().any(|c| c.stubs.contains(id)))
    };
    let new: Vec<Cause> = assemblies.into_iter().filter(|one| !told(one)).collect();
    causes.extend(new);
    causes
}

fn is_explained(cause: &Cause) -> bool {
    match &cause.why {
        Why::Shifted {
            figures, strings, ..
        } => !(figures.is_empty() && strings.is_empty()),
        Why::Assembly { .. } | Why::Mirrored { .. } => true,
    }
}

fn holds(one: &Cause, other: &Cause) -> bool {
    other.stubs.iter().all(|id| one.stubs.contains(id))
}

type Turn = (&'static str, fn(DVec2, DVec2) -> DVec2);

fn mirrored(plan: Plan, left: &mut Vec<&StubRead>) -> Vec<Cause> {
    let Some(slab) = &plan.layout().slab else {
        return Vec::new();
    };
    let reach = slab.outline.iter().copied().fold(DVec2::ZERO, DVec2::max);
    let turns: [Turn; 2] = [
        ("east for west", |p, reach| DVec2::new(reach.x - p.x, p.y)),
        ("north for south", |p, reach| DVec2::new(p.x, reach.y - p.y)),
    ];
    let mut causes = Vec::new();
    for (how, turn) in turns {
        let lands = |read: &&StubRead| turn(read.planned, reach).distance(read.measured) < MIRROR;
        let stubs: Vec<Id> = left
            .iter()
            .filter(|r| lands(r))
            .map(|r| r.id.clone())
            .collect();
        if stubs.len() >= 2 {
            left.retain(|read| !lands(read));
            causes.push(Cause {
                stubs,
                why: Why::Mirrored { how },
            });
        }
    }
    causes
}

/// The largest group of at least two that are off by one vector.
fn largest<'a>(left: &[&'a StubRead]) -> Option<Vec<&'a StubRead>> {
    let with = |centre: &&StubRead| -> Vec<&'a StubRead> {
        left.iter()
            .copied()
            .filter(|read| read.off().distance(centre.off()) <= SAME)
            .collect()
    };
    let groups = left.iter().map(with);
    // The first of equal groups, so that the order of the layout decides.
    groups
        .rev()
        .max_by_key(Vec::len)
        .filter(|group| group.len() >= 2)
}

fn shifted(plan: Plan, group: &[&StubRead], all: bool) -> Cause {
    let by = group.iter().map(|read| read.off()).sum::<DVec2>() / group.len() as f64;
    Cause {
        stubs: group.iter().map(|read| read.id.clone()).collect(),
        why: Why::Shifted {
            by,
            figures: figures(plan, by, group),
            strings: strings(plan, by),
            all,
        },
    }
}

/// Widths in the layout that measure as much as the shift along the axis that has most of it; the walls these stubs stand
/// in or off first.
fn figures(plan: Plan, by: DVec2, group: &[&StubRead]) -> Vec<String> {
    let layout = plan.layout();
    let far = by.abs().max_element();
    let own = own_walls(plan, group);
    // (whether another wall than the stubs' own, how far from the figure, words)
    let mut found: Vec<(bool, f64, String)> = Vec::new();
    let mut add = |other: bool, width: f64, says: String| {
        if width > 0.0 && (far - width).abs() <= FIGURE && by.abs().min_element() <= SAME {
            found.push((other, (far - width).abs(), says));
        }
    };
    for wall in &layout.walls {
        let across = (wall.to - wall.from).normalize_or_zero().perp();
        if across.dot(by.normalize_or_zero()).abs() < 0.9 {
            continue;
        }
        let (framing, id) = (wall.framing, &wall.id);
        let (half, whole) = (
            framing / 2.0,
            framing + wall.finish_left + wall.finish_right,
        );
        let other = !own.contains(id);
        let face = |of: &str, width| format!("{of} {id}, {}", inches(width));
        let taken = "its other face was taken";
        add(
            other,
            framing,
            format!("{}: {taken}", face("the framing of", framing)),
        );
        add(
            other,
            whole,
            format!("{} with its board: {taken}", face("the whole of", whole)),
        );
        add(
            other,
            half,
            format!(
                "{}: a face for the centre line",
                face("half the framing of", half)
            ),
        );
    }
    if let Some(edge) = &layout.foundation.edge {
        let width = inches(edge.thickness);
        let says = format!("the foundation wall, {width}: its inside face was taken for the form");
        add(true, edge.thickness, says);
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let best = found.first().map(|first| first.0);
    // Other walls of the same framing say nothing that the stubs' own has not said.
    let kept = found.into_iter().filter(|one| Some(one.0) == best);
    kept.take(1).map(|(.., says)| says).collect()
}

/// The walls that stubs land in, or are roughed in from.
fn own_walls(plan: Plan, group: &[&StubRead]) -> Vec<Id> {
    let stubs = group.iter().filter_map(|read| plan.stub(&read.id));
    stubs
        .filter_map(|stub| match &stub.landing {
            layout::Landing::Wall(id) => Some(id.clone()),
            layout::Landing::Cabinet(_) | layout::Landing::BoxOut(_) | layout::Landing::Floor => {
                let fixtures = &plan.layout().fixtures;
                let own = fixtures.iter().find(|fixture| fixture.id == stub.id)?;
                own.back_wall.clone()
            }
        })
        .collect()
}

/// Strings that run across the shift.
fn strings(plan: Plan, by: DVec2) -> Vec<Id> {
    let across = |(_, from, to): &&(Id, DVec2, DVec2)| {
        (*to - *from)
            .normalize_or_zero()
            .dot(by.normalize_or_zero())
            .abs()
            < 0.1
    };
    let strings = plan.book.strings.iter().filter(across);
    strings.map(|(id, ..)| id.clone()).collect()
}

fn told(stubs: &[StubRead], cause: &Cause) -> Said {
    let readings = stubs
        .iter()
        .filter(|read| cause.stubs.contains(&read.id))
        .map(|read| read.reading.clone())
        .collect();
    let (says, next) = match &cause.why {
        Why::Mirrored { how } => (
            format!(
                "{} stand in the mirror of where they should: the plan was turned over, {how}",
                names(&cause.stubs)
            ),
            "lay them out again from the right side of the sheet; glue nothing".to_owned(),
        ),
        Why::Assembly {
            number,
            by,
            degrees,
            joint,
        } => benches::words(&cause.stubs, (*number, *by, *degrees), joint.as_ref()),
        Why::Shifted {
            by,
            figures,
            strings,
            all,
        } => shift_words(cause, *by, figures, strings, *all),
    };
    let out = |read: &StubRead| read.is_out() && cause.stubs.contains(&read.id);
    let weight = match &cause.why {
        Why::Assembly { .. } if !stubs.iter().any(out) => Weight::Look,
        Why::Assembly { .. } | Why::Shifted { .. } | Why::Mirrored { .. } => Weight::Stop,
    };
    Said {
        explained: false,
        weight,
        items: cause.stubs.clone(),
        readings,
        says,
        next,
    }
}

fn shift_words(
    cause: &Cause,
    by: DVec2,
    figures: &[String],
    strings: &[Id],
    all: bool,
) -> (String, String) {
    let who = names(&cause.stubs);
    let whole = if all { "everything measured: " } else { "" };
    let mut reasons: Vec<String> = figures.to_vec();
    reasons.extend((!strings.is_empty()).then(|| {
        let runs = if strings.len() == 1 { "runs" } else { "run" };
        format!(
            "{} {runs} across that way: a string that was moved does the same",
            names(strings)
        )
    }));
    if reasons.is_empty() {
        reasons.push("one string that was moved, or one wrong face taken as zero".into());
    }
    let says = format!(
        "{whole}{who} stand {} of where they should, all by the same, so one mistake moved them: {}",
        moved(by),
        reasons.join("; or ")
    );
    let first = match strings {
        [] => "check the face the tapes started from".into(),
        strings => format!("pull two tapes to each end of {}", names(strings)),
    };
    (
        says,
        format!(
            "{first}; then set them {} together, before any more is glued",
            moved(-by)
        ),
    )
}
