//! The sleeve of a pipe through a foundation wall.

use units::Size;

use crate::{row::Row, rule_list::RuleId, rules::Rules, value::Unit};

/// Nominal sizes that count when a sleeve is "two sizes larger". 5 in counts, as in the ICC's own example (a 4 in pipe
/// takes 6 in); 3-1/2 in does not, being rare in drainage, so that 3 in takes 5 in.
const LADDER: [f64; 11] = [1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0];

/// How large a sleeve must be.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Sleeve<'a> {
    /// At least this nominal size.
    Nominal {
        /// The size the rule asks for, nominal inches.
        nominal: f64,
        /// The smallest DWV size that is at least that; `None` beyond 6 in.
        buy: Option<Size>,
        /// The row.
        row: &'a Row,
    },
    /// This much room all round, inches, between the pipe's outside and the sleeve's inside.
    Clear {
        /// Room in inches.
        inches: f64,
        /// The row.
        row: &'a Row,
    },
}

impl Rules {
    /// The sleeve for a pipe of this size through a foundation wall. `None`: no figure, or beyond the sizes made.
    pub fn sleeve(&self, pipe: Size) -> Option<Sleeve<'_>> {
        let figure = self.number(RuleId::SleeveSize)?;
        if figure.row.unit == Unit::InClear {
            return Some(Sleeve::Clear {
                inches: figure.value,
                row: figure.row,
            });
        }
        let at = LADDER
            .iter()
            .position(|size| crate::row::same(*size, pipe.nominal()))?;
        let nominal = *LADDER
            .iter()
            .skip(at)
            .enumerate()
            .find(|(steps, _)| *steps as f64 >= figure.value)?
            .1;
        let buy = Size::ALL.into_iter().find(|size| size.nominal() >= nominal);
        Some(Sleeve::Nominal {
            nominal,
            buy,
            row: figure.row,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Code, rules};

    #[test]
    fn two_sizes_larger() {
        let ipc = rules(Code::Ipc, &[]).0;
        let of = |pipe| match ipc.sleeve(pipe) {
            Some(Sleeve::Nominal { nominal, buy, .. }) => Some((nominal, buy)),
            Some(Sleeve::Clear { .. }) | None => None,
        };
        // WE57. ICC Building Safety Journal on 2024 IPC 305.3: 4 in takes 6 in.
        assert_eq!(of(Size::In4), Some((6.0, Some(Size::In6))));
        assert_eq!(of(Size::In3), Some((5.0, Some(Size::In6))));
        assert_eq!(of(Size::In2), Some((3.0, Some(Size::In3))));
        assert_eq!(of(Size::In6), Some((10.0, None)));
    }

    #[test]
    fn room_all_round_in_the_upc() {
        // UPC numbering 312.10, study cards: 1/2 in clear.
        let upc = rules(Code::Upc, &[]).0;
        assert!(
            matches!(upc.sleeve(Size::In3), Some(Sleeve::Clear { inches, .. }) if (inches - 0.5).abs() < 1e-9)
        );
    }
}
