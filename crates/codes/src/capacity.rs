//! How much a drain carries, and the least size that will do.
//!
//! Under a slab nearly every branch is a branch of the building drain, so [`Rules::capacity`] is the figure that
//! decides in the IPC and the IRC; [`Rules::branch_capacity`] is the smaller one some inspectors use all the same.

use units::Size;

use crate::{
    row::{Figure, Key, Row},
    rule_list::RuleId,
    rules::Rules,
};

/// The fall the UPC's one horizontal column is taken at, in/ft (UPC Table 703.2; basis recalled).
const USUAL_GRADE: f64 = 0.25;
/// The flatter fall its note speaks of, in/ft (UPC 708.1; footnote recalled).
const FLATTER_GRADE: f64 = 0.125;
/// A buried 1-1/2 in branch takes this many waste fixtures where the table gives it no units (IRC Table P3005.4.2, from memory).
const FIXTURES_WITHOUT_FIGURE: usize = 2;
/// Grades closer than this, in/ft, are the same column.
const SAME_GRADE: f64 = 1e-9;

/// What a drain of some size carries at some grade.
#[derive(Clone, PartialEq, Debug)]
pub struct Carried<'a> {
    /// Fixture units. `None`: the table has the size without a figure; its note tells the limit in fixtures.
    pub dfu: Option<f64>,
    /// Whether the authority must have approved the flat grade beforehand.
    pub needs_approval: bool,
    /// The rows this rests on, the table's first.
    pub rows: Vec<&'a Row>,
}

/// What a run must carry.
#[derive(Clone, Copy, PartialEq, Debug)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is one plain question of a table, independent of the others"
)]
pub struct Need {
    /// Fixture units.
    pub dfu: f64,
    /// Grade of the run, in/ft.
    pub grade_in_per_ft: f64,
    /// Water closets on it.
    pub closets: usize,
    /// Other fixtures on it.
    pub waste_fixtures: usize,
    /// Whether it takes a sink, laundry tub or dishwasher beyond the trap arm.
    pub sink: bool,
    /// Whether it is a clothes washer's own drain or carries one.
    pub washer: bool,
    /// Whether a clothes washer's own drain joins it from the side.
    pub washer_joins: bool,
    /// Whether it lies underground.
    pub buried: bool,
}

/// The least size that will do, and why not the next one down.
#[derive(Clone, PartialEq, Debug)]
pub struct Fit<'a> {
    /// The size.
    pub size: Size,
    /// What it carries.
    pub carried: Carried<'a>,
    /// Rows that bar the next smaller size; empty at the smallest.
    pub because: Vec<&'a Row>,
}

impl Rules {
    /// What a building drain or a branch of it carries at this grade (in/ft), by the steepest column not steeper than
    /// the grade. `None`: the table has no row for a grade so flat in this size.
    pub fn capacity(&self, size: Size, grade_in_per_ft: f64) -> Option<Carried<'_>> {
        match self.drain_row(size, grade_in_per_ft) {
            Some(row) => Some(Carried {
                dfu: row.value.number(),
                needs_approval: false,
                rows: vec![row],
            }),
            None => self.capacity_with_approval(size, grade_in_per_ft),
        }
    }

    /// The other figure, told beside the first: a horizontal branch of a stack.
    pub fn branch_capacity(&self, size: Size) -> Option<Figure<'_>> {
        self.keyed(RuleId::BranchCapacity, Key::Size(size.nominal()))?
            .figure()
    }

    /// What a stack of up to three storeys carries.
    pub fn stack_capacity(&self, size: Size) -> Option<Figure<'_>> {
        self.keyed(RuleId::StackCapacity, Key::Size(size.nominal()))?
            .figure()
    }

    /// The rows that bar a run of this size from what it must carry. Empty: nothing found against it.
    pub fn bars(&self, size: Size, need: &Need) -> Vec<&Row> {
        let mut bars: Vec<&Row> = size_rules(need)
            .into_iter()
            .filter_map(|rule| self.at_least(rule, size))
            .collect();
        bars.extend(self.too_many_closets(size, need.closets));
        match self.too_flat(size, need.grade_in_per_ft) {
            Some(row) => bars.push(row),
            None => bars.extend(self.overloaded(size, need)),
        }
        bars
    }

    /// The least size that nothing found bars. `None`: no size that is made will do.
    pub fn least_size(&self, need: &Need) -> Option<Fit<'_>> {
        let mut because = Vec::new();
        for size in Size::ALL {
            let bars = self.bars(size, need);
            match self.capacity(size, need.grade_in_per_ft) {
                Some(carried) if bars.is_empty() => {
                    return Some(Fit {
                        size,
                        carried,
                        because,
                    });
                }
                Some(_) | None => because = bars,
            }
        }
        None
    }

    fn drain_row(&self, size: Size, grade: f64) -> Option<&Row> {
        let column = |row: &&Row| match row.key {
            Key::SizeAt(nominal, at) if crate::row::same(nominal, size.nominal()) => Some(at),
            _ => None,
        };
        let reached = self
            .rows(RuleId::DrainCapacity)
            .iter()
            .filter(|row| column(row).is_some_and(|at| at <= grade + SAME_GRADE));
        reached.max_by(|a, b| {
            column(a)
                .partial_cmp(&column(b))
                .unwrap_or(std::cmp::Ordering::Equal)
        })
    }

    fn capacity_with_approval(&self, size: Size, grade: f64) -> Option<Carried<'_>> {
        let flatter = self.grade_with_approval(size)?;
        let factor = self.number(RuleId::GradeApprovedLoad)?;
        let steep_enough = grade >= flatter.value.max(FLATTER_GRADE) - SAME_GRADE;
        if !steep_enough {
            return None;
        }
        let row = self.drain_row(size, USUAL_GRADE)?;
        let dfu = row.value.number().map(|full| full * factor.value);
        Some(Carried {
            dfu,
            needs_approval: true,
            rows: vec![row, flatter.row, factor.row],
        })
    }

    fn at_least(&self, rule: RuleId, size: Size) -> Option<&Row> {
        self.number(rule)
            .filter(|least| size.nominal() < least.value)
            .map(|least| least.row)
    }

    fn too_many_closets(&self, size: Size, closets: usize) -> Option<&Row> {
        self.number_for(RuleId::ClosetCount, size)
            .filter(|most| closets as f64 > most.value)
            .map(|most| most.row)
    }

    fn too_flat(&self, size: Size, grade: f64) -> Option<&Row> {
        let least = self.least_grade(size)?;
        let allowed = self
            .grade_with_approval(size)
            .map_or(least.value, |flatter| flatter.value.min(least.value));
        (grade < allowed - SAME_GRADE).then_some(least.row)
    }

    fn overloaded(&self, size: Size, need: &Need) -> Vec<&Row> {
        let Some(carried) = self.capacity(size, need.grade_in_per_ft) else {
            // The table has no row for the size; its first row leads the reader to the table.
            return self.row(RuleId::DrainCapacity).into_iter().collect();
        };
        let fits = match carried.dfu {
            Some(most) => need.dfu <= most,
            None => need.closets == 0 && need.waste_fixtures <= FIXTURES_WITHOUT_FIGURE,
        };
        if fits { Vec::new() } else { carried.rows }
    }
}

fn size_rules(need: &Need) -> Vec<RuleId> {
    let asked = [
        (need.buried, RuleId::UndergroundLeastSize),
        (need.closets > 0, RuleId::ClosetLeastSize),
        (need.sink, RuleId::SinkBranchSize),
        (need.washer, RuleId::WasherDrainSize),
        (need.washer_joins, RuleId::WasherBranchSize),
    ];
    asked
        .into_iter()
        .filter(|(applies, _)| *applies)
        .map(|(_, rule)| rule)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Code, rules};

    fn need(dfu: f64, closets: usize) -> Need {
        Need {
            dfu,
            grade_in_per_ft: 0.25,
            closets,
            waste_fixtures: 3,
            sink: false,
            washer: false,
            washer_joins: false,
            buried: true,
        }
    }

    #[test]
    fn nine_units_take_2_in_in_the_ipc_and_3_in_in_the_upc() {
        // IPC 2018 Table 710.1(1): 2 in at 1/4 carries 21. UPC Table 703.2: 2 in carries 8, 2-1/2 in is not made, 3 in 35.
        let (ipc, upc) = (rules(Code::Ipc, &[]).0, rules(Code::Upc, &[]).0);
        assert_eq!(ipc.least_size(&need(9.0, 0)).unwrap().size, Size::In2);
        let fit = upc.least_size(&need(9.0, 0)).unwrap();
        assert_eq!(fit.size, Size::In3);
        assert_eq!(fit.because[0].cite.section, "Table 703.2");
    }

    #[test]
    fn a_fourth_closet_takes_4_in_in_the_upc_only() {
        // UPC Table 703.2 note: three closets on 3 in. IPC: no count (from memory).
        let (ipc, upc) = (rules(Code::Ipc, &[]).0, rules(Code::Upc, &[]).0);
        assert_eq!(ipc.least_size(&need(20.0, 4)).unwrap().size, Size::In3);
        let fit = upc.least_size(&need(20.0, 4)).unwrap();
        assert_eq!(fit.size, Size::In4);
        assert_eq!(fit.because[0].cite.rule, RuleId::ClosetCount);
    }

    #[test]
    fn a_grade_between_columns_takes_the_flatter_one() {
        // IPC 2018 Table 710.1(1): 3 in, 36 at 1/8, 42 at 1/4.
        let ipc = rules(Code::Ipc, &[]).0;
        assert_eq!(ipc.capacity(Size::In3, 0.2).unwrap().dfu, Some(36.0));
        assert_eq!(ipc.capacity(Size::In3, 0.3).unwrap().dfu, Some(42.0));
        assert_eq!(ipc.capacity(Size::In2, 0.2), None);
    }

    #[test]
    fn the_other_figure_for_a_branch() {
        // IPC Table 710.1(2), 2006 and 2003 readings: 6 on 2 in, 20 on 3 in.
        let ipc = rules(Code::Ipc, &[]).0;
        assert_eq!(ipc.branch_capacity(Size::In2).map(|f| f.value), Some(6.0));
        assert_eq!(ipc.branch_capacity(Size::In3).map(|f| f.value), Some(20.0));
        assert_eq!(ipc.stack_capacity(Size::In3).map(|f| f.value), Some(48.0));
    }

    #[test]
    fn nothing_made_is_large_enough() {
        assert_eq!(rules(Code::Ipc, &[]).0.least_size(&need(5000.0, 0)), None);
    }

    #[test]
    fn an_irc_branch_without_a_figure_takes_two_fixtures() {
        // IRC Table P3005.4.2, from memory: 1-1/2 in, at most two waste fixtures.
        let irc = rules(Code::Irc, &[]).0;
        let two = Need {
            waste_fixtures: 2,
            ..need(2.0, 0)
        };
        assert_eq!(irc.least_size(&two).unwrap().size, Size::In1_5);
        assert_eq!(irc.least_size(&need(3.0, 0)).unwrap().size, Size::In2);
    }
}
