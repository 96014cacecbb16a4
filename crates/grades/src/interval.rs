//! Sets of levels: unions of closed intervals whose ends remember why they are where they are.

use crate::trace::{Traces, What, Why};

/// Two levels closer than this (inches) are one level: far above what sums of `f64` lose, far below
/// [`units::SAME_LENGTH`], so that many of them together still are no length.
pub(crate) const HAIR: f64 = 1e-9;

/// One end of an interval.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct End {
    /// Level, inches from finished floor; may be infinite.
    pub(crate) level: f64,
    /// What puts it there; nothing when infinite.
    pub(crate) why: Why,
}

/// A closed interval; `low.level <= high.level`.
#[derive(Clone, Copy, PartialEq, Debug)]
pub(crate) struct Interval {
    pub(crate) low: End,
    pub(crate) high: End,
}

impl Interval {
    /// Every level.
    pub(crate) const ALL: Self = Self {
        low: End {
            level: f64::NEG_INFINITY,
            why: Why::NONE,
        },
        high: End {
            level: f64::INFINITY,
            why: Why::NONE,
        },
    };

    /// Inches from `level` to the nearest level inside; 0 inside.
    pub(crate) fn distance(&self, level: f64) -> f64 {
        (self.low.level - level)
            .max(level - self.high.level)
            .max(0.0)
    }

    /// What both hold. Ends that miss each other by a hair meet at the upper interval's cap side: caps are exact.
    pub(crate) fn meet(&self, other: &Self) -> Option<Self> {
        let high = if other.high.level < self.high.level {
            other.high
        } else {
            self.high
        };
        let mut low = if other.low.level > self.low.level {
            other.low
        } else {
            self.low
        };
        if low.level > high.level + HAIR {
            return None;
        }
        low.level = low.level.min(high.level);
        Some(Self { low, high })
    }
}

/// A change of level and what makes it, for one end of every interval.
#[derive(Clone, Copy)]
pub(crate) struct Move {
    pub(crate) adds: f64,
    pub(crate) what: What,
}

/// A sorted list of intervals that do not touch.
#[derive(Clone, PartialEq, Debug, Default)]
pub(crate) struct Levels(pub(crate) Vec<Interval>);

impl Levels {
    /// The set of one interval; empty if there is none.
    pub(crate) fn one(interval: Option<Interval>) -> Self {
        Self(interval.into_iter().collect())
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The greatest level and its reason.
    pub(crate) fn top(&self) -> Option<End> {
        self.0.last().map(|interval| interval.high)
    }

    /// Inches from `level` to the nearest level held; infinite for the empty set.
    pub(crate) fn distance(&self, level: f64) -> f64 {
        let distances = self.0.iter().map(|interval| interval.distance(level));
        distances.fold(f64::INFINITY, f64::min)
    }

    /// The levels both hold. Linear in both lengths.
    pub(crate) fn meet(&self, other: &Self) -> Self {
        let (mut a, mut b, mut held) = (0, 0, Vec::new());
        while let (Some(x), Some(y)) = (self.0.get(a), other.0.get(b)) {
            held.extend(x.meet(y));
            if x.high.level < y.high.level {
                a += 1;
            } else {
                b += 1;
            }
        }
        Self(held)
    }

    /// The levels inside `window`.
    pub(crate) fn within(&self, window: &Interval) -> Self {
        Self(
            self.0
                .iter()
                .filter_map(|interval| interval.meet(window))
                .collect(),
        )
    }

    /// Every level moved; low and high ends may move by different amounts (a window widens the set).
    pub(crate) fn moved(&self, low: Move, high: Move, traces: &mut Traces) -> Self {
        let shift = |interval: &Interval| Interval {
            low: traces.moved(interval.low, low),
            high: traces.moved(interval.high, high),
        };
        Self(self.0.iter().map(shift).collect())
    }

    /// The levels in any of `intervals`, which come in any order.
    pub(crate) fn union(mut intervals: Vec<Interval>) -> Self {
        intervals.sort_by(|x, y| x.low.level.total_cmp(&y.low.level));
        let mut held: Vec<Interval> = Vec::with_capacity(intervals.len());
        for next in intervals {
            match held.last_mut() {
                Some(last) if next.low.level <= last.high.level + HAIR => {
                    if next.high.level > last.high.level {
                        last.high = next.high;
                    }
                }
                Some(_) | None => held.push(next),
            }
        }
        Self(held)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn levels(spans: &[(f64, f64)]) -> Levels {
        let end = |level| End {
            level,
            why: Why::NONE,
        };
        Levels::union(
            spans
                .iter()
                .map(|&(low, high)| Interval {
                    low: end(low),
                    high: end(high),
                })
                .collect(),
        )
    }

    #[test]
    fn union_sorts_and_joins_what_touches() {
        assert_eq!(
            levels(&[(4.0, 5.0), (0.0, 1.0), (1.0, 2.0)]),
            levels(&[(0.0, 2.0), (4.0, 5.0)])
        );
        assert_eq!(levels(&[(0.0, 9.0), (1.0, 2.0)]), levels(&[(0.0, 9.0)]));
    }

    #[test]
    fn meet_keeps_every_overlap() {
        let a = levels(&[(0.0, 2.0), (4.0, 8.0)]);
        let b = levels(&[(1.0, 5.0), (7.0, 7.0), (9.0, 10.0)]);
        assert_eq!(a.meet(&b), levels(&[(1.0, 2.0), (4.0, 5.0), (7.0, 7.0)]));
        assert_eq!(a.meet(&b), b.meet(&a));
    }

    #[test]
    fn a_hair_does_not_part_two_levels_but_a_length_does() {
        let (a, b) = (levels(&[(0.0, 1.0)]), levels(&[(1.0 + HAIR / 2.0, 2.0)]));
        assert_eq!(a.meet(&b), levels(&[(1.0, 1.0)]));
        assert!(
            a.meet(&levels(&[(1.0 + units::SAME_LENGTH, 2.0)]))
                .is_empty()
        );
    }

    #[test]
    fn distance_is_zero_inside() {
        let a = levels(&[(0.0, 2.0), (4.0, 8.0)]);
        assert!(a.distance(1.0).abs() < HAIR);
        assert!((a.distance(3.5) - 0.5).abs() < HAIR);
        assert!(Levels::default().distance(0.0).is_infinite());
    }
}
