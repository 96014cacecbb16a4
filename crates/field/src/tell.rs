//! Answers as lines for whoever prints or draws them: what stands solved again, and what a new layout changes. What does
//! not belong here: the sums (`back`, `changes`).

use flow::{Budget, Outcome};
use units::feet_inches;

use crate::{AssemblyChange, Book, Changes, Cost, Fate, Goods, NewCut, Solved, back::next_cuts};

/// What the flow makes of what stands, a line each, deeper ones indented; empty when what stands changes nothing.
pub fn again(planned: &Outcome, book: &Book, solved: &Solved) -> Vec<String> {
    if solved.says.is_empty() {
        return Vec::new();
    }
    let mut lines = solved.says.clone();
    lines.extend(solved.outcome.problems.iter().map(ToString::to_string));
    let before = flow::budget(planned);
    let budgets = flow::budget(&solved.outcome);
    lines.extend(budgets.iter().map(|now| drain(&before, now)));
    if budgets.iter().any(|budget| !budget.feasible) {
        let mends = flow::mends(&solved.inputs, &solved.outcome);
        lines.extend(mends.into_iter().map(|mend| {
            let leaves = feet_inches(mend.exit_invert, 16);
            format!("  would do: {}; then it leaves at {leaves}", mend.says)
        }));
    }
    let troubles = solved.outcome.assembly.troubles.iter();
    lines.extend(troubles.map(|one| format!("{}: {}; {}", one.run, one.says, one.would_do)));
    lines.extend(cuts(planned, book, solved));
    lines
}

fn drain(before: &[Budget], now: &Budget) -> String {
    let feet = |z| feet_inches(z, 16);
    let was = before.iter().find(|one| one.drain == now.drain);
    let planned = was.map_or(String::new(), |was| {
        format!(" (planned {})", feet(was.exit_invert))
    });
    let room = match (now.short, now.spare) {
        (Some(short), _) => format!(
            "{} short: it cannot fall from what stands",
            units::inches_text(short, 16)
        ),
        (None, Some(spare)) => format!("{} spare", units::inches_text(spare, 16)),
        (None, None) => "nothing outside is told".into(),
    };
    let chain: Vec<&str> = now.chain.iter().map(units::Id::as_str).collect();
    let odds = if chain.is_empty() {
        String::new()
    } else {
        format!("; at odds: {}", chain.join(", "))
    };
    format!(
        "{} leaves at {}{planned}, {room}{odds}",
        now.drain,
        feet(now.exit_invert)
    )
}

fn cuts(planned: &Outcome, book: &Book, solved: &Solved) -> Vec<String> {
    let next = next_cuts(planned, &solved.outcome, book);
    let mut lines = Vec::new();
    if !next.is_empty() {
        lines.push("cuts by what stands, in the order they are glued:".to_owned());
    }
    lines.extend(next.iter().map(|cut| {
        let planned = cut.planned.map_or("not planned".into(), |was| {
            format!("planned {}", feet_inches(was, 16))
        });
        format!(
            "  {} {}, {}: {}, {planned}",
            cut.label,
            cut.id,
            cut.size,
            feet_inches(cut.now, 16)
        )
    }));
    lines
}

/// Lines under a heading.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Section {
    /// The heading.
    pub heading: &'static str,
    /// The lines.
    pub lines: Vec<String>,
}

impl Changes {
    /// All of it under headings; those with nothing under them are left out.
    pub fn sections(&self) -> Vec<Section> {
        if self.is_none() {
            return Vec::new();
        }
        let stamp = format!(
            "every page stamped {} is out of date; gather them in and print them again",
            self.old
        );
        let pages = self
            .stale
            .iter()
            .map(|page| format!("other figures on {page}"));
        let (stand, other): (Vec<_>, Vec<_>) = self
            .assemblies
            .iter()
            .partition(|one| one.fate == Fate::Stands);
        let mut assemblies: Vec<String> = other.into_iter().map(assembly).collect();
        assemblies.extend(standing(&stand));
        let each = |goods: &[Goods]| goods.iter().map(|one| self.goods(one)).collect();
        let sections = [
            (
                "The new layout fails as drawn: cut nothing by it yet",
                self.fails.clone(),
            ),
            (
                "Moved",
                self.moved
                    .iter()
                    .map(|one| format!("{}: {}", one.id, one.says))
                    .collect(),
            ),
            ("Pages", std::iter::once(stamp).chain(pages).collect()),
            ("Assemblies", assemblies),
            ("Cut", self.cuts.iter().map(cut).collect()),
            ("Lost, glued where it cannot stay", each(&self.lost)),
            ("Buy", or_nothing(each(&self.buy), "nothing")),
            ("Return", or_nothing(each(&self.give_back), "nothing")),
            ("What it costs", self.costs()),
        ];
        let told = sections
            .into_iter()
            .map(|(heading, lines)| Section { heading, lines });
        told.filter(|section| !section.lines.is_empty()).collect()
    }

    fn goods(&self, goods: &Goods) -> String {
        let counted = format!("{} x {}", goods.count, goods.name);
        match (goods.price, goods.cost(), &self.cost) {
            (Some(_), Some(all), Some(cost)) if goods.count == 1 => {
                format!("{counted}, {}", cost.money(all))
            }
            (Some(one), Some(all), Some(cost)) => {
                format!("{counted}, {} each, {}", cost.money(one), cost.money(all))
            }
            _ => counted,
        }
    }

    fn costs(&self) -> Vec<String> {
        let Some(cost) = &self.cost else {
            return Vec::new();
        };
        let net = cost.buy - cost.back;
        let sum = if net < 0.0 {
            format!("{} comes back", cost.money(-net))
        } else {
            format!("{} to pay", cost.money(net))
        };
        let mut lines = vec![format!(
            "to buy {}, back for what is returned {}: {sum}",
            cost.money(cost.buy),
            cost.money(cost.back)
        )];
        if cost.lost > 0.0 {
            lines.push(format!("lost in the ground: {}", cost.money(cost.lost)));
        }
        if !cost.unpriced.is_empty() {
            lines.push(format!(
                "not counted, without a price: {}",
                cost.unpriced.join(", ")
            ));
        }
        lines
    }
}

impl Cost {
    /// An amount as the shop sheet's owner writes it.
    fn money(&self, amount: f64) -> String {
        format!("{}{amount:.2}", self.currency)
    }
}

fn or_nothing(lines: Vec<String>, nothing: &str) -> Vec<String> {
    if lines.is_empty() {
        vec![nothing.to_owned()]
    } else {
        lines
    }
}

/// Those that stand, on one line: there is nothing to do about them.
fn standing(stand: &[&AssemblyChange]) -> Option<String> {
    let numbers: Vec<String> = stand.iter().map(|one| one.number.to_string()).collect();
    match numbers.as_slice() {
        [] => None,
        [one] => Some(format!("assembly {one} of the old plan stays as it is")),
        many => Some(format!(
            "assemblies {} of the old plan stay as they are",
            many.join(", ")
        )),
    }
}

fn assembly(change: &AssemblyChange) -> String {
    let items: Vec<&str> = change.items.iter().map(units::Id::as_str).collect();
    let act = match change.fate {
        Fate::Stands => "stays as it is",
        Fate::Refit => "take apart and fit again",
        Fate::SawOut => "saw out what is lost",
    };
    let mut says = format!(
        "{} of the old plan ({}): {act}",
        change.number,
        items.join(", ")
    );
    for (words, labels) in [
        ("stay", &change.stay),
        ("use again", &change.again),
        ("lost", &change.lost),
    ] {
        if !labels.is_empty() {
            says.push_str(&format!("; {words}: {} of the old plan", labels.join(" ")));
        }
    }
    says
}

fn cut(cut: &NewCut) -> String {
    let from = match &cut.from {
        None => "from a new stick".into(),
        Some((label, has)) if (has - cut.length).abs() <= 1.0 / 16.0 => {
            format!("{label} fits as it is")
        }
        Some((label, has)) => format!("from {label}, {}", feet_inches(*has, 16)),
    };
    format!(
        "{} of the new plan, {}, {}: {}, {from}",
        cut.label,
        cut.id,
        cut.size,
        feet_inches(cut.length, 16)
    )
}
