//! Vent sizes, and what a wet vent carries.

use units::Size;

use crate::{
    capacity::Carried,
    row::{Figure, Key, Row},
    rule_list::RuleId,
    rules::Rules,
};

/// The grade at which the drain table is read where a wet vent's own table sends the reader there, in/ft.
const USUAL_GRADE: f64 = 0.25;

impl Rules {
    /// What a wet-vented pipe of this size carries. `None`: the size is not in the table, so too small or too large for it.
    pub fn wet_vent_capacity(&self, size: Size) -> Option<Carried<'_>> {
        let row = self.keyed(RuleId::WetVentCapacity, Key::Size(size.nominal()))?;
        if let Some(dfu) = row.value.number() {
            return Some(Carried {
                dfu: Some(dfu),
                needs_approval: false,
                rows: vec![row],
            });
        }
        // The UPC's row for 3 in has no upper figure of its own: the drain table limits it.
        let mut carried = self.capacity(size, USUAL_GRADE)?;
        carried.rows.insert(0, row);
        Some(carried)
    }

    /// The least size of a wet vent for this load.
    pub fn wet_vent_least_size(&self, dfu: f64) -> Option<(Size, Carried<'_>)> {
        let sized = |size| self.wet_vent_capacity(size).map(|carried| (size, carried));
        let fits = |(_, carried): &(Size, Carried)| carried.dfu.is_some_and(|most| dfu <= most);
        Size::ALL.into_iter().filter_map(sized).find(fits)
    }

    /// The least size of a dry vent for a drain of this size, nominal inches, with every row that has a say; the
    /// deciding one first. `run_ft` is the vent's developed length; a longer run is one size larger in the I-codes.
    pub fn vent_least_size(
        &self,
        drain: Size,
        closet: bool,
        run_ft: f64,
    ) -> Option<(Size, Vec<&Row>)> {
        let floor = self.number(RuleId::VentLeastSize)?;
        let share = self
            .number(RuleId::VentShare)
            .map(|share| (share.value * drain.nominal(), share.row));
        let for_closet = self
            .number(RuleId::VentClosetSize)
            .filter(|_| closet)
            .map(|size| (size.value, size.row));
        let mut asked: Vec<(f64, &Row)> = [Some((floor.value, floor.row)), share, for_closet]
            .into_iter()
            .flatten()
            .collect();
        asked.sort_by(|a, b| b.0.total_cmp(&a.0));
        let size = Size::ALL
            .into_iter()
            .find(|size| size.nominal() >= asked[0].0)?;
        let mut rows: Vec<&Row> = asked.into_iter().map(|(_, row)| row).collect();
        let Some(long) = self.larger_when_long(run_ft) else {
            return Some((size, rows));
        };
        rows.insert(0, long.row);
        Some((Size::ALL.into_iter().find(|next| *next > size)?, rows))
    }

    /// The UPC limits lengths by size in a table that was not seen, instead of asking for a larger pipe.
    fn larger_when_long(&self, run_ft: f64) -> Option<Figure<'_>> {
        match self.code() {
            crate::Code::Upc => None,
            crate::Code::Irc | crate::Code::Ipc => self
                .number(RuleId::VentLongRun)
                .filter(|most| run_ft > most.value),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Code, rules};

    #[test]
    fn half_the_drain_and_one_larger_when_long() {
        // IRC P3113.1 (2006, forum quotation): half of 3 in is 1-1/2 in; over 40 ft one size larger.
        let irc = rules(Code::Irc, &[]).0;
        assert_eq!(
            irc.vent_least_size(Size::In3, true, 20.0).unwrap().0,
            Size::In1_5
        );
        assert_eq!(
            irc.vent_least_size(Size::In3, true, 41.0).unwrap().0,
            Size::In2
        );
        assert_eq!(
            irc.vent_least_size(Size::In1_5, false, 10.0).unwrap().0,
            Size::In1_25
        );
        // UPC 908.1.2 (2024 manual): 2 in for a closet.
        let upc = rules(Code::Upc, &[]).0;
        let (size, rows) = upc.vent_least_size(Size::In3, true, 20.0).unwrap();
        assert_eq!(
            (size, rows[0].cite.rule),
            (Size::In2, RuleId::VentClosetSize)
        );
    }

    #[test]
    fn wet_vents_by_load() {
        // IPC Table 912.3 (from memory): 2 in to 4, 3 in to 12. UPC 908.2: 2 in to 4, 3 in from 5 up to the drain table's 35.
        let ipc = rules(Code::Ipc, &[]).0;
        assert_eq!(ipc.wet_vent_least_size(3.0).unwrap().0, Size::In2);
        assert_eq!(ipc.wet_vent_least_size(5.0).unwrap().0, Size::In3);
        let upc = rules(Code::Upc, &[]).0;
        let (size, carried) = upc.wet_vent_least_size(5.0).unwrap();
        assert_eq!(
            (size, carried.dfu, carried.rows.len()),
            (Size::In3, Some(35.0), 2)
        );
    }
}
