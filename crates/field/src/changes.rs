//! What a new layout does to what was built by an old one: what moved, which pages no longer hold, which assemblies and
//! pieces survive, what to cut, buy and return.

use std::{
    cmp::Ordering,
    collections::{BTreeMap, BTreeSet},
};

use catalog::Part;
use fittings::{Piece, What};
use flow::Outcome;
use glam::DVec3;
use takeoff::{Buy, Group, Per, Shop, Takeoff, stick_name};
use units::{Id, Size};

use crate::{
    book::Book,
    glued::{cut_pieces, glued_pieces},
    say::{feet, high_low, moved},
};

/// A piece that stands within this of where the new layout wants it stays, inches: what tape and joint play anyway.
const IN_PLACE: f64 = 0.25;
/// And turned no more than this, degrees.
const TURNED: f64 = 2.5;
/// A cut this near its new length stays, inches: the finest a tape tells.
const SAME_CUT: f64 = 1.0 / 16.0;
/// Shorter ends of pipe are not kept, inches. Our choice.
const SCRAP: f64 = 12.0;

/// What became of an assembly of the old layout.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Fate {
    /// Every piece stays where it is.
    Stands,
    /// Not glued, and some pieces are cut or turned anew.
    Refit,
    /// Glued, and some of it must be sawn out.
    SawOut,
}

/// One assembly of the old layout.
#[derive(Clone, PartialEq, Debug)]
pub struct AssemblyChange {
    /// Its number in the old glue order, from 1.
    pub number: usize,
    /// The runs, drains and risers it is made of.
    pub items: Vec<Id>,
    /// What became of it.
    pub fate: Fate,
    /// Labels of its pieces that stay.
    pub stay: Vec<String>,
    /// Labels of its pieces that come off and can be used again.
    pub again: Vec<String>,
    /// Labels of its pieces that are lost: glued where they cannot stay.
    pub lost: Vec<String>,
}

/// A cut that the new layout wants.
#[derive(Clone, PartialEq, Debug)]
pub struct NewCut {
    /// Its label on the new cut list.
    pub label: String,
    /// The run or riser.
    pub id: Id,
    /// Pipe size.
    pub size: Size,
    /// Its length, inches.
    pub length: f64,
    /// What it is cut from, `P7 of the old plan` or an end of a stick, and how long that is; `None` for a new stick.
    pub from: Option<(String, f64)>,
}

/// Something that moved, changed or went.
#[derive(Clone, PartialEq, Debug)]
pub struct Moved {
    /// The item.
    pub id: Id,
    /// What about it.
    pub says: String,
}

/// Everything that changed from one layout to another.
#[derive(Clone, PartialEq, Debug)]
pub struct Changes {
    /// Short hash of the old layout.
    pub old: String,
    /// Short hash of the new one.
    pub new: String,
    /// What moved, in the order of the new layout; what went at the end.
    pub moved: Vec<Moved>,
    /// The old layout's assemblies.
    pub assemblies: Vec<AssemblyChange>,
    /// The cuts to make.
    pub cuts: Vec<NewCut>,
    /// What to buy beyond the old list, spares of the new one kept up; sticks only where no pipe at hand serves.
    pub buy: Vec<Goods>,
    /// What of the old list to return, spares of the new one kept; whole sticks when nothing is cut from them.
    pub give_back: Vec<Goods>,
    /// The kinds of pages whose figures changed; every page bears the old stamp and is out of date by it.
    pub stale: Vec<String>,
    /// Fittings that are lost because they are glued.
    pub lost: Vec<Goods>,
    /// What the change costs; `None` without a single price.
    pub cost: Option<Cost>,
    /// What fails in the new layout, so that nothing should be cut by it yet.
    pub fails: Vec<String>,
}

/// So many of one thing, as the buying list calls it.
#[derive(Clone, PartialEq, Debug)]
pub struct Goods {
    /// Its name.
    pub name: String,
    /// How many.
    pub count: usize,
    /// What one costs, when the shop sheet tells.
    pub price: Option<f64>,
}

impl Goods {
    /// What all of them cost.
    pub fn cost(&self) -> Option<f64> {
        self.price.map(|price| price * self.count as f64)
    }
}

/// What a change costs, in the shop sheet's currency.
#[derive(Clone, PartialEq, Debug)]
pub struct Cost {
    /// The sign or word put before amounts; empty when the shop sheet has none.
    pub currency: String,
    /// What is to be bought.
    pub buy: f64,
    /// What comes back for what is returned.
    pub back: f64,
    /// Bought once and lost in the ground.
    pub lost: f64,
    /// What has no price, so that it is in none of these.
    pub unpriced: Vec<String>,
}

impl Changes {
    /// Whether the two say the same.
    pub fn is_none(&self) -> bool {
        self.old == self.new
    }
}

/// What changed from `old` to `new`, when `book` tells how far `old` was built. Everything on the old buying list counts
/// as bought.
pub fn changes(old: &Outcome, new: &Outcome, book: &Book, shop: &Shop) -> Changes {
    let take = |of: &Outcome| takeoff::take(&of.layout, &of.assembly, &of.catalog, shop);
    let (before, now) = (take(old), take(new));
    let work = Work::new(old, new, book, &before);
    let (cuts, short, whole) = work.cuts(&before, &now, shop);
    let (mut buy, mut give_back) = work.goods(&before, &now, shop);
    buy.extend(sticks(&short, new, shop));
    give_back.extend(counted_sticks(whole.into_iter(), shop));
    let lost = work.lost_parts(shop);
    let assemblies = work.assemblies(&before);
    let moved = moved_items(old, new);
    Changes {
        stale: stale(old, new, &moved, &assemblies, &cuts),
        old: old.hash.clone(),
        new: new.hash.clone(),
        moved,
        assemblies,
        cuts,
        cost: cost(shop, &buy, &give_back, &lost),
        buy,
        give_back,
        lost,
        fails: fails(new),
    }
}

/// What fails in a layout, a sentence each.
fn fails(of: &Outcome) -> Vec<String> {
    let failing = of
        .findings
        .iter()
        .filter(|one| one.verdict == checks::Verdict::Fails);
    let mut fails: Vec<String> = failing.map(|one| one.says.clone()).collect();
    if fails.is_empty() && !of.grades.iter().all(grades::Grades::is_feasible) {
        fails.push("it cannot fall as drawn".into());
    }
    fails
}

fn cost(shop: &Shop, buy: &[Goods], back: &[Goods], lost: &[Goods]) -> Option<Cost> {
    let sum = |goods: &[Goods]| goods.iter().filter_map(Goods::cost).sum();
    let all = buy.iter().chain(back).chain(lost);
    let unpriced: BTreeSet<String> = all
        .filter(|one| one.price.is_none())
        .map(|one| one.name.clone())
        .collect();
    (!shop.prices.is_empty()).then(|| Cost {
        currency: shop.currency.clone(),
        buy: sum(buy),
        back: sum(back),
        lost: sum(lost),
        unpriced: unpriced.into_iter().collect(),
    })
}

/// Both sets of pieces, matched.
struct Work<'a> {
    old: &'a Outcome,
    new: &'a Outcome,
    glued: BTreeSet<usize>,
    cut: BTreeSet<usize>,
    /// For each old piece, the new piece it already is, in its place.
    stays: Vec<Option<usize>>,
}

impl<'a> Work<'a> {
    fn new(old: &'a Outcome, new: &'a Outcome, book: &Book, before: &Takeoff) -> Self {
        let (glued, cut) = (glued_pieces(old, book), cut_pieces(old, book));
        let mut stays = vec![None; old.assembly.pieces.len()];
        let mut taken = BTreeSet::new();
        let news = by_item(&new.assembly.pieces);
        for (p, piece) in old.assembly.pieces.iter().enumerate() {
            let same = news
                .get(&piece.id)
                .into_iter()
                .flatten()
                .find(|n| !taken.contains(*n) && in_place(piece, &new.assembly.pieces[**n]));
            if let Some(n) = same {
                taken.insert(*n);
                stays[p] = Some(*n);
            }
        }
        debug_assert_eq!(before.labels.len(), stays.len());
        Self {
            old,
            new,
            glued,
            cut,
            stays,
        }
    }

    /// Glued where it cannot stay: a glued fitting or a pipe with glue at its ends is not used again.
    fn is_lost(&self, piece: usize) -> bool {
        self.stays[piece].is_none() && self.glued.contains(&piece)
    }

    fn is_loose(&self, piece: usize) -> bool {
        self.stays[piece].is_none() && !self.glued.contains(&piece)
    }

    fn assemblies(&self, before: &Takeoff) -> Vec<AssemblyChange> {
        let benches = before.order.iter().enumerate();
        benches
            .map(|(i, bench)| {
                let labels = |is: &dyn Fn(usize) -> bool| -> Vec<String> {
                    let of = bench.pieces.iter().filter(|p| is(**p));
                    of.map(|p| before.labels[*p].clone()).collect()
                };
                let stay = labels(&|p| self.stays[p].is_some());
                let again = labels(&|p| self.is_loose(p));
                let lost = labels(&|p| self.is_lost(p));
                let mut items: Vec<Id> = Vec::new();
                for p in &bench.pieces {
                    let id = &self.old.assembly.pieces[*p].id;
                    if !items.contains(id) {
                        items.push(id.clone());
                    }
                }
                let fate = match (lost.is_empty(), again.is_empty()) {
                    (false, _) => Fate::SawOut,
                    (true, false) => Fate::Refit,
                    (true, true) => Fate::Stands,
                };
                AssemblyChange {
                    number: i + 1,
                    items,
                    fate,
                    stay,
                    again,
                    lost,
                }
            })
            .collect()
    }

    fn lost_parts(&self, shop: &Shop) -> Vec<Goods> {
        let pieces = self.old.assembly.pieces.iter().enumerate();
        let lost = pieces.filter(|(p, _)| self.is_lost(*p));
        let mut counts: BTreeMap<Part, usize> = BTreeMap::new();
        lost.filter_map(|(_, piece)| piece.part())
            .for_each(|part| *counts.entry(part).or_default() += 1);
        let of = |(part, n)| fitting(part, n, shop);
        counts.into_iter().map(of).collect()
    }

    /// New pieces that no old piece already is.
    fn wanted(&self) -> Vec<usize> {
        let there: BTreeSet<usize> = self.stays.iter().copied().flatten().collect();
        (0..self.new.assembly.pieces.len())
            .filter(|n| !there.contains(n))
            .collect()
    }

    /// What to buy and return of all but pipe: the new list less the old one, as `fallwise parts --since` counts it, and
    /// what is lost in the ground once more. Fittings that stand are on both lists.
    fn goods(&self, before: &Takeoff, now: &Takeoff, shop: &Shop) -> (Vec<Goods>, Vec<Goods>) {
        let lost = self.lost_parts(shop);
        let mut goods: BTreeMap<&str, Line> = BTreeMap::new();
        for line in listed(before) {
            goods.entry(&line.name).or_default().has(line);
        }
        for line in listed(now) {
            goods.entry(&line.name).or_default().wants(line);
        }
        // Bought and gone: it neither serves again nor goes back.
        for one in &lost {
            let line = goods.entry(&one.name).or_default();
            line.want += one.count;
            line.price = line.price.or(one.price);
        }
        let (mut buy, mut give) = (Vec::new(), Vec::new());
        for (name, line) in goods {
            let of = |count| Goods {
                name: name.to_owned(),
                count,
                price: line.price,
            };
            match line.want.cmp(&line.have) {
                Ordering::Greater => buy.push(of(line.want - line.have)),
                Ordering::Less => give.push(of(line.have - line.want)),
                Ordering::Equal => {}
            }
        }
        (buy, give)
    }

    /// The cuts to make, each from the shortest loose old piece or end of a stick that is long enough, whole sticks last;
    /// those for which there is none; and the whole sticks that are left.
    fn cuts(
        &self,
        before: &Takeoff,
        now: &Takeoff,
        shop: &Shop,
    ) -> (Vec<NewCut>, Lengths, Lengths) {
        let mut pool = self.pool(before, shop);
        let wanted: BTreeSet<usize> = self.wanted().into_iter().collect();
        let mut want: Vec<&takeoff::Cut> = now
            .cuts
            .iter()
            .filter(|cut| wanted.contains(&cut.piece))
            .collect();
        // The longest first, so that a long piece is not cut up for a short one.
        want.sort_by(|a, b| b.length.value.total_cmp(&a.length.value));
        let (mut cuts, mut short) = (Vec::new(), Vec::new());
        for cut in want {
            let length = cut.length.value;
            let fits = |pipe: &Pipe| pipe.size == cut.size && pipe.length >= length - SAME_CUT;
            let rank = |i: &usize| (pool[*i].whole, pool[*i].length);
            let best = (0..pool.len()).filter(|i| fits(&pool[*i])).min_by(|a, b| {
                let (a, b) = (rank(a), rank(b));
                a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
            });
            let from = best.map(|i| {
                let pipe = pool.swap_remove(i);
                let left = pipe.length - length - shop.kerf;
                if left >= SCRAP {
                    pool.push(Pipe {
                        label: rest_of(&pipe.label),
                        length: left,
                        whole: false,
                        ..pipe
                    });
                }
                (pipe.label, pipe.length)
            });
            if from.is_none() {
                short.push((cut.size, length));
            }
            cuts.push(NewCut {
                label: cut.label.clone(),
                id: cut.id.clone(),
                size: cut.size,
                length,
                from,
            });
        }
        cuts.sort_by_key(|cut| now.cuts.iter().position(|c| c.label == cut.label));
        let whole = pool.into_iter().filter(|pipe| pipe.whole);
        (
            cuts,
            short,
            whole.map(|pipe| (pipe.size, pipe.length)).collect(),
        )
    }

    /// Pipe at hand: loose cuts of the old layout, the ends left of its sticks, and the sticks that nothing is cut from
    /// and nothing that stays will be.
    fn pool(&self, before: &Takeoff, shop: &Shop) -> Vec<Pipe> {
        let is_cut = |cut: &takeoff::Cut| self.cut.contains(&cut.piece);
        let loose = before.cuts.iter().filter(|cut| self.is_loose(cut.piece));
        let mut pool: Vec<Pipe> = loose
            .filter(|cut| is_cut(cut))
            .map(|cut| Pipe {
                label: format!("{} of the old plan", cut.label),
                size: cut.size,
                length: cut.length.value,
                whole: false,
            })
            .collect();
        for line in &before.pipe {
            for stick in &line.plan.sticks {
                let cuts = stick.pieces.iter().map(|i| &before.cuts[*i]);
                let taken: Vec<f64> = cuts
                    .filter(|cut| is_cut(cut) || !self.is_loose(cut.piece))
                    .map(|cut| cut.length.value + shop.kerf)
                    .collect();
                let left = stick.length - taken.iter().sum::<f64>();
                let whole = taken.is_empty();
                if left >= SCRAP {
                    pool.push(Pipe {
                        label: if whole { "a whole stick" } else { END }.into(),
                        size: line.size,
                        length: left,
                        whole,
                    });
                }
            }
        }
        pool
    }
}

/// What a list has that is not pipe.
fn listed(takeoff: &Takeoff) -> impl Iterator<Item = &Buy> {
    let list = takeoff.buy.iter();
    list.filter(|line| line.group != Group::Pipe)
}

/// One name on two lists.
#[derive(Default)]
struct Line {
    have: usize,
    want: usize,
    price: Option<f64>,
}

impl Line {
    fn has(&mut self, line: &Buy) {
        self.have += line.count;
        self.price = line.price;
    }

    fn wants(&mut self, line: &Buy) {
        self.want += line.count;
        self.price = line.price;
    }
}

/// What is left of a stick.
const END: &str = "an end of a stick";

/// Pipe sizes with lengths, inches.
type Lengths = Vec<(Size, f64)>;

/// A length of pipe at hand.
struct Pipe {
    label: String,
    size: Size,
    length: f64,
    /// Nothing was cut from it.
    whole: bool,
}

fn rest_of(label: &str) -> String {
    match label {
        "a whole stick" => END.into(),
        END => END.into(),
        rest if rest.starts_with("the rest") => rest.into(),
        label => format!("the rest of {label}"),
    }
}

fn fitting(part: Part, count: usize, shop: &Shop) -> Goods {
    let name = part.to_string();
    Goods {
        price: shop.price_of(&name, Per::Each),
        name,
        count,
    }
}

fn by_item(pieces: &[Piece]) -> BTreeMap<Id, Vec<usize>> {
    let mut by: BTreeMap<Id, Vec<usize>> = BTreeMap::new();
    for (n, piece) in pieces.iter().enumerate() {
        by.entry(piece.id.clone()).or_default().push(n);
    }
    by
}

fn in_place(old: &Piece, new: &Piece) -> bool {
    let same = match (&old.what, &new.what) {
        (What::Pipe(a), What::Pipe(b)) => (a.value - b.value).abs() <= SAME_CUT,
        (What::Fitting(a), What::Fitting(b)) => a == b,
        (What::Pipe(_), What::Fitting(_)) | (What::Fitting(_), What::Pipe(_)) => false,
    };
    let turned = |a: DVec3, b: DVec3| a.angle_between(b).to_degrees();
    // A pipe is round: how it is turned about itself is no matter.
    let turned_alike = turned(old.frame.x, new.frame.x) <= TURNED
        && (old.cut().is_some() || turned(old.frame.y, new.frame.y) <= TURNED);
    same && old.size == new.size && turned_alike && old.frame.at.distance(new.frame.at) <= IN_PLACE
}

/// Sticks for the cuts nothing is left for.
fn sticks(short: &[(Size, f64)], new: &Outcome, shop: &Shop) -> Vec<Goods> {
    let mut buy = Vec::new();
    for size in Size::ALL {
        let lengths: Vec<f64> = short
            .iter()
            .filter(|(s, _)| *s == size)
            .map(|(_, l)| *l)
            .collect();
        if lengths.is_empty() {
            continue;
        }
        let sold = shop.sticks_of(size, &new.catalog);
        let stock: Vec<takeoff::Stock> = sold
            .iter()
            .map(|length| takeoff::Stock {
                length: *length,
                cost: *length,
            })
            .collect();
        let Ok(plan) = takeoff::plan(&lengths, &stock, shop.kerf) else {
            buy.push(Goods {
                name: format!("{size} pipe, longer than a stick: join two with a coupling"),
                count: 1,
                price: None,
            });
            continue;
        };
        let bought = plan.sticks.iter().map(|stick| (size, stick.length));
        buy.extend(counted_sticks(bought, shop));
    }
    buy
}

/// Sticks by size and length.
fn counted_sticks(sticks: impl Iterator<Item = (Size, f64)>, shop: &Shop) -> Vec<Goods> {
    let mut counts: BTreeMap<(Size, u64), usize> = BTreeMap::new();
    // Lengths of sticks are positive, so their bits order as they do.
    sticks.for_each(|(size, length)| *counts.entry((size, length.to_bits())).or_default() += 1);
    let named = |((size, bits), count): ((Size, u64), usize)| {
        let length = f64::from_bits(bits);
        Goods {
            name: stick_name(size, length),
            count,
            price: shop.stick_price(size, length),
        }
    };
    counts.into_iter().map(named).collect()
}

/// Pages by what they show, when that changed.
fn stale(
    old: &Outcome,
    new: &Outcome,
    moved: &[Moved],
    assemblies: &[AssemblyChange],
    cuts: &[NewCut],
) -> Vec<String> {
    let is_stub = |id: &Id| {
        let stubs = |of: &Outcome| of.assembly.stubs.iter().any(|stub| stub.name() == *id);
        stubs(old) || stubs(new)
    };
    let is_drain = |id: &Id| new.layout.drains.iter().any(|drain| drain.id == *id);
    let some = |is: &dyn Fn(&Id) -> bool| moved.iter().any(|one| is(&one.id));
    let mut pages = Vec::new();
    if some(&is_stub) {
        pages.push("the ties of the stubs and the list for the pour".to_owned());
    }
    if some(&is_drain) {
        pages.push("the sleeve sheet".into());
    }
    if some(&|id| !is_stub(id) && !is_drain(id)) {
        pages.push("the dig sheet and the levels".into());
    }
    let changed = assemblies.iter().filter(|one| one.fate != Fate::Stands);
    pages.extend(changed.map(|one| format!("the sheet of assembly {}", one.number)));
    if !cuts.is_empty() {
        pages.push("the cut list and the buying list".into());
    }
    pages
}

/// What moved: stubs in plan and top, runs in level, grade and size, exits; what is new and what went.
fn moved_items(old: &Outcome, new: &Outcome) -> Vec<Moved> {
    let mut out = Vec::new();
    stubs_moved(old, new, &mut out);
    runs_moved(old, new, &mut out);
    exits_moved(old, new, &mut out);
    out
}

fn stubs_moved(old: &Outcome, new: &Outcome, out: &mut Vec<Moved>) {
    let before: BTreeMap<Id, &fittings::Stub> =
        old.assembly.stubs.iter().map(|s| (s.name(), s)).collect();
    for stub in &new.assembly.stubs {
        let id = stub.name();
        let Some(was) = before.get(&id) else {
            out.push(Moved {
                id,
                says: "is new".into(),
            });
            continue;
        };
        let mut parts = Vec::new();
        if was.at.distance(stub.at) >= SAME_CUT {
            parts.push(format!("moved {}", moved(stub.at - was.at)));
        }
        if (was.top - stub.top).abs() >= SAME_CUT {
            parts.push(format!(
                "its top is {}",
                high_low(stub.top - was.top)
                    .replace("low", "lower")
                    .replace("high", "higher")
            ));
        }
        if was.size != stub.size {
            parts.push("has another size".into());
        }
        if !parts.is_empty() {
            out.push(Moved {
                id,
                says: parts.join(", "),
            });
        }
    }
    let now: BTreeSet<Id> = new
        .assembly
        .stubs
        .iter()
        .map(fittings::Stub::name)
        .collect();
    let gone = before.keys().filter(|id| !now.contains(*id));
    out.extend(gone.map(|id| Moved {
        id: id.clone(),
        says: "is gone".into(),
    }));
}

fn runs_moved(old: &Outcome, new: &Outcome, out: &mut Vec<Moved>) {
    let lines = |of: &Outcome| -> BTreeMap<Id, (f64, f64, f64, f64)> {
        let lines = of.grades.iter().flat_map(|grades| &grades.lines);
        lines
            .map(|line| {
                (
                    line.id.clone(),
                    (line.inlet, line.outlet, line.grade.in_per_ft(), line.length),
                )
            })
            .collect()
    };
    let (before, now) = (lines(old), lines(new));
    for (id, (inlet, outlet, grade, length)) in &now {
        let Some(was) = before.get(id) else {
            out.push(Moved {
                id: id.clone(),
                says: "is a new run".into(),
            });
            continue;
        };
        let mut parts = Vec::new();
        let lift = |by: f64| {
            high_low(by)
                .replace("low", "lower")
                .replace("high", "higher")
        };
        if (inlet - was.0).abs() >= SAME_CUT {
            parts.push(format!("upper end {}", lift(inlet - was.0)));
        }
        if (outlet - was.1).abs() >= SAME_CUT {
            parts.push(format!("lower end {}", lift(outlet - was.1)));
        }
        if (grade - was.2).abs() > 1e-6 {
            parts.push(format!(
                "lies at {} instead of {}",
                crate::say::grade(*grade),
                crate::say::grade(was.2)
            ));
        }
        if (length - was.3).abs() >= SAME_CUT {
            parts.push(format!("{} long instead of {}", feet(*length), feet(was.3)));
        }
        if !parts.is_empty() {
            out.push(Moved {
                id: id.clone(),
                says: parts.join(", "),
            });
        }
    }
    let gone = before.keys().filter(|id| !now.contains_key(*id));
    out.extend(gone.map(|id| Moved {
        id: id.clone(),
        says: "is gone".into(),
    }));
}

fn exits_moved(old: &Outcome, new: &Outcome, out: &mut Vec<Moved>) {
    for drain in &new.layout.drains {
        let Some(was) = old.layout.drains.iter().find(|d| d.id == drain.id) else {
            out.push(Moved {
                id: drain.id.clone(),
                says: "is a new drain".into(),
            });
            continue;
        };
        let by = drain.exit.at - was.exit.at;
        if by.length() >= SAME_CUT {
            out.push(Moved {
                id: drain.id.clone(),
                says: format!("its exit moved {}", moved(by)),
            });
        }
    }
}

/// Whose page a hash is on, told of some layouts by name.
pub fn whose_page(hash: &str, layouts: &[(&str, &Outcome)]) -> String {
    let typed = hash.trim().to_ascii_lowercase();
    let whole = typed.len() == 8 && typed.bytes().all(|b| b.is_ascii_hexdigit());
    if !whole {
        return format!(
            "{hash:?} is not a layout's stamp; it is eight of 0-9 and a-f, printed on every page"
        );
    }
    if let Some((name, _)) = layouts.iter().find(|(_, outcome)| outcome.hash == typed) {
        return format!("the page comes from {name}");
    }
    let known: Vec<String> = layouts
        .iter()
        .map(|(name, outcome)| format!("{name} ({})", outcome.hash))
        .collect();
    format!(
        "the page comes from neither {}: do not build by it",
        known.join(" nor ")
    )
}
