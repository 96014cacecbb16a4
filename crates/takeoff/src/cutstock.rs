//! Which pieces are sawn from which stick, at the least cost. What does not belong here: what the pieces are for.
//!
//! `k` pieces from one stick need `k - 1` saw cuts where they use it up, so they fit when their lengths and a kerf each
//! come to no more than the stick and one kerf.
//!
//! # How
//! Best-fit-decreasing and a filler (each stick as full as a bounded search finds it) give a plan; what no plan can beat
//! gives a lower bound. Where they differ, branch and bound over the pieces, longest first, closes the gap: an empty stick of
//! each kind is tried once, sticks with equal room once. After [`MOST_NODES`] steps the best plan so far stands and
//! [`Plan::optimal`] is false; a house has been far below that.

use std::cmp::Ordering;

/// Steps of the exact search before it gives up.
pub const MOST_NODES: u32 = 400_000;

/// A step looks at every piece: so many looks are what [`MOST_NODES`] steps take for 250 pieces, more than a house has of
/// one size. Of more pieces fewer steps are taken, so that the search does not grow with the order.
const MOST_LOOKS: usize = MOST_NODES as usize * 250;

/// Steps of the filler for one stick.
const MOST_FILLS: u32 = 4_000;

/// A hair of rounding, inches.
const HAIR: f64 = 1e-6;

/// A stick that can be bought.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Stock {
    /// Its length, in the unit of the pieces.
    pub length: f64,
    /// What it costs, in any unit; not negative. With equal costs the plan has the fewest sticks.
    pub cost: f64,
}

/// One stick and what is sawn from it.
#[derive(Clone, PartialEq, Debug)]
pub struct Stick {
    /// Its length.
    pub length: f64,
    /// Indices of the pieces, longest first.
    pub pieces: Vec<usize>,
    /// What is left over, saw cuts taken off.
    pub left: f64,
}

/// A plan of cuts.
#[derive(Clone, PartialEq, Debug)]
pub struct Plan {
    /// The sticks, those of the longest pieces first.
    pub sticks: Vec<Stick>,
    /// Their cost.
    pub cost: f64,
    /// No plan costs less than this.
    pub bound: f64,
    /// No plan costs less than this one.
    pub optimal: bool,
}

/// A piece longer than every stick, by its index; or no stock at all.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct TooLong(
    /// Index of the piece.
    pub usize,
);

impl std::fmt::Display for TooLong {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "piece {} is longer than any stick; join two with a coupling",
            self.0 + 1
        )
    }
}

impl std::error::Error for TooLong {}

/// The cheapest way to saw `pieces` from `stock` with a saw of width `kerf`.
///
/// # Errors
/// When a piece is longer than every stick.
pub fn plan(pieces: &[f64], stock: &[Stock], kerf: f64) -> Result<Plan, TooLong> {
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by(|a, b| pieces[*b].total_cmp(&pieces[*a]).then(a.cmp(b)));
    let longest = stock.iter().map(|s| s.length).fold(0.0, f64::max);
    if let Some(&first) = order.first().filter(|i| pieces[**i] > longest + HAIR) {
        return Err(TooLong(first));
    }
    let mut kinds: Vec<Stock> = stock.to_vec();
    kinds.sort_by(|a, b| {
        b.length
            .total_cmp(&a.length)
            .then(a.cost.total_cmp(&b.cost))
    });
    let sizes: Vec<f64> = order.iter().map(|i| pieces[*i] + kerf).collect();
    let mut search = Search {
        sizes: &sizes,
        kinds: &kinds,
        kerf,
        bound: bound(&sizes, &kinds, kerf),
        best: None,
        nodes: 0,
        most: most_nodes(sizes.len()),
    };
    search.offer(&search.best_fit());
    search.offer(&search.filled(false));
    search.offer(&search.filled(true));
    if !search.done() {
        search.branch(&mut Vec::new(), 0, 0.0);
    }
    Ok(search.told(&order, pieces))
}

/// A stick being filled: its kind, the room left (kerfs counted), and the places of its pieces in the sorted list.
#[derive(Clone, Debug)]
struct Bin {
    kind: usize,
    room: f64,
    holds: Vec<usize>,
}

struct Search<'a> {
    sizes: &'a [f64],
    kinds: &'a [Stock],
    kerf: f64,
    bound: f64,
    best: Option<(f64, Vec<Bin>)>,
    nodes: u32,
    most: u32,
}

/// How many steps are taken for so many pieces.
fn most_nodes(pieces: usize) -> u32 {
    let steps = MOST_LOOKS / pieces.max(1);
    u32::try_from(steps).map_or(MOST_NODES, |steps| steps.min(MOST_NODES))
}

impl Search<'_> {
    fn empty(&self, kind: usize) -> Bin {
        Bin {
            kind,
            room: self.kinds[kind].length + self.kerf,
            holds: Vec::new(),
        }
    }

    fn cost(&self, bins: &[Bin]) -> f64 {
        bins.iter().map(|bin| self.kinds[bin.kind].cost).sum()
    }

    fn offer(&mut self, bins: &[Bin]) {
        let cost = self.cost(bins);
        if self
            .best
            .as_ref()
            .is_none_or(|(best, _)| cost < best - HAIR)
        {
            self.best = Some((cost, bins.to_vec()));
        }
    }

    fn done(&self) -> bool {
        self.best
            .as_ref()
            .is_some_and(|(cost, _)| *cost <= self.bound + HAIR)
    }

    /// The kind of stick that costs least by length of those a piece fits.
    fn cheapest(&self, size: f64) -> usize {
        let fits =
            (0..self.kinds.len()).filter(|k| self.kinds[*k].length + self.kerf >= size - HAIR);
        let rate = |k: &usize| self.kinds[*k].cost / self.kinds[*k].length.max(HAIR);
        fits.min_by(|a, b| rate(a).total_cmp(&rate(b))).unwrap_or(0)
    }

    fn best_fit(&self) -> Vec<Bin> {
        let mut bins: Vec<Bin> = Vec::new();
        for (i, size) in self.sizes.iter().enumerate() {
            let fits = bins.iter_mut().filter(|bin| bin.room >= size - HAIR);
            let tight = fits.min_by(|a, b| a.room.total_cmp(&b.room));
            if let Some(bin) = tight {
                bin.room -= size;
                bin.holds.push(i);
            } else {
                let mut bin = self.empty(self.cheapest(*size));
                bin.room -= size;
                bin.holds.push(i);
                bins.push(bin);
            }
        }
        bins
    }

    /// Each stick begins with the longest piece left and is then filled as full as a bounded search can, trying long
    /// pieces first or short ones.
    fn filled(&self, short_first: bool) -> Vec<Bin> {
        let mut left: Vec<usize> = (0..self.sizes.len()).collect();
        let mut bins = Vec::new();
        while !left.is_empty() {
            let first = left.remove(0);
            let mut bin = self.empty(self.cheapest(self.sizes[first]));
            bin.room -= self.sizes[first];
            let mut ways = left.clone();
            if short_first {
                ways.reverse();
            }
            let mut fill = Fill {
                sizes: self.sizes,
                left: &ways,
                best: (bin.room, Vec::new()),
                steps: 0,
            };
            fill.go(0, bin.room, &mut Vec::new());
            let (room, more) = fill.best;
            bin.room = room;
            bin.holds.push(first);
            bin.holds.extend(&more);
            left.retain(|i| !more.contains(i));
            bins.push(bin);
        }
        bins
    }

    fn branch(&mut self, bins: &mut Vec<Bin>, next: usize, cost: f64) {
        self.nodes += 1;
        if self.nodes > self.most || self.done() {
            return;
        }
        if next == self.sizes.len() {
            self.offer(bins);
            return;
        }
        if self.hopeless(bins, next, cost) {
            return;
        }
        self.put_open(bins, next, cost);
        self.put_new(bins, next, cost);
    }

    /// What is left cannot be had for less than the best plan: its length beyond the open room, at the cheapest rate.
    fn hopeless(&self, bins: &[Bin], next: usize, cost: f64) -> bool {
        let Some((best, _)) = &self.best else {
            return false;
        };
        let smallest = self.sizes.last().copied().unwrap_or(0.0);
        let open: f64 = bins
            .iter()
            .map(|bin| bin.room)
            .filter(|room| *room >= smallest - HAIR)
            .sum();
        let beyond = (self.sizes[next..].iter().sum::<f64>() - open).max(0.0);
        cost + at_least(beyond, self.kinds, self.kerf) >= best - HAIR
    }

    fn put_open(&mut self, bins: &mut Vec<Bin>, next: usize, cost: f64) {
        let size = self.sizes[next];
        let mut tried: Vec<f64> = Vec::new();
        for b in 0..bins.len() {
            let room = bins[b].room;
            if room < size - HAIR || tried.iter().any(|r| (r - room).abs() < HAIR) {
                continue;
            }
            tried.push(room);
            bins[b].room -= size;
            bins[b].holds.push(next);
            self.branch(bins, next + 1, cost);
            bins[b].holds.pop();
            bins[b].room = room;
            if (room - size).abs() < HAIR {
                // A piece that fills a stick to the end can be nowhere better.
                return;
            }
        }
    }

    fn put_new(&mut self, bins: &mut Vec<Bin>, next: usize, cost: f64) {
        for kind in 0..self.kinds.len() {
            let mut bin = self.empty(kind);
            if bin.room < self.sizes[next] - HAIR {
                continue;
            }
            bin.room -= self.sizes[next];
            bin.holds.push(next);
            bins.push(bin);
            self.branch(bins, next + 1, cost + self.kinds[kind].cost);
            bins.pop();
        }
    }

    fn told(self, order: &[usize], pieces: &[f64]) -> Plan {
        let optimal = self.done() || self.nodes <= self.most;
        let (cost, mut bins) = self.best.clone().unwrap_or_default();
        bins.sort_by(|a, b| a.holds.cmp(&b.holds));
        let stick = |bin: &Bin| Stick {
            length: self.kinds[bin.kind].length,
            pieces: bin.holds.iter().map(|i| order[*i]).collect(),
            left: left(
                self.kinds[bin.kind].length,
                bin.holds.iter().map(|i| pieces[order[*i]]),
                self.kerf,
            ),
        };
        let sticks = bins.iter().map(stick).collect();
        let bound = if optimal { cost } else { self.bound };
        Plan {
            sticks,
            cost,
            bound,
            optimal,
        }
    }
}

/// What a stick leaves: its length less the pieces and a saw cut after each, not below nothing.
fn left(length: f64, pieces: impl Iterator<Item = f64>, kerf: f64) -> f64 {
    (length - pieces.map(|piece| piece + kerf).sum::<f64>()).max(0.0)
}

/// The least cost of so much length (kerfs counted): at the cheapest rate, and where every cost is a whole number of the
/// least one, in whole numbers of that.
fn at_least(length: f64, kinds: &[Stock], kerf: f64) -> f64 {
    let rate = kinds
        .iter()
        .map(|k| k.cost / (k.length + kerf))
        .fold(f64::INFINITY, f64::min);
    if length <= HAIR || !rate.is_finite() {
        return 0.0;
    }
    let unit = kinds.iter().map(|k| k.cost).fold(f64::INFINITY, f64::min);
    let whole = |k: &Stock| (k.cost / unit - (k.cost / unit).round()).abs() < HAIR;
    if unit > HAIR && kinds.iter().all(whole) {
        (length * rate / unit - 1e-9).ceil() * unit
    } else {
        length * rate
    }
}

/// A bound on the whole: the length of it, and of one stock the pieces that cannot share a stick (Martello and Toth's
/// second bound).
fn bound(sizes: &[f64], kinds: &[Stock], kerf: f64) -> f64 {
    let by_length = at_least(sizes.iter().sum(), kinds, kerf);
    let [one] = kinds else { return by_length };
    let room = one.length + kerf;
    let least = sizes.iter().filter(|s| **s <= room / 2.0).copied();
    let pairs = least
        .chain([0.0])
        .map(|small| second_bound(sizes, room, small));
    by_length.max(pairs.fold(0.0, f64::max) * one.cost)
}

fn second_bound(sizes: &[f64], room: f64, small: f64) -> f64 {
    let alone = sizes.iter().filter(|s| **s > room - small + HAIR).count();
    let half: Vec<f64> = sizes
        .iter()
        .copied()
        .filter(|s| *s > room / 2.0 + HAIR && *s <= room - small + HAIR)
        .collect();
    let rest: f64 = sizes
        .iter()
        .filter(|s| **s >= small - HAIR && **s <= room / 2.0 + HAIR)
        .sum();
    let spare = half.len() as f64 * room - half.iter().sum::<f64>();
    let more = ((rest - spare) / room - 1e-9).ceil().max(0.0);
    (alone + half.len()) as f64 + more
}

/// Search for the fullest filling of one stick.
struct Fill<'a> {
    sizes: &'a [f64],
    left: &'a [usize],
    best: (f64, Vec<usize>),
    steps: u32,
}

impl Fill<'_> {
    fn go(&mut self, from: usize, room: f64, held: &mut Vec<usize>) {
        self.steps += 1;
        if room.total_cmp(&(self.best.0 - HAIR)) == Ordering::Less {
            self.best = (room, held.clone());
        }
        let mut last = f64::NAN;
        for at in from..self.left.len() {
            if self.steps > MOST_FILLS || self.best.0 < HAIR {
                return;
            }
            let size = self.sizes[self.left[at]];
            if size > room + HAIR || (size - last).abs() < HAIR {
                continue;
            }
            last = size;
            held.push(self.left[at]);
            self.go(at + 1, room - size, held);
            held.pop();
        }
    }
}
