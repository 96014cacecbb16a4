//! The rules, one file each. To add one: write its file with `pub(super) const RULE: Rule`, and add a line to the list.
//!
//! A rule's header says its id, what it checks, by whose word, and how to mend. Each has a scene that triggers only it
//! and one that just doesn't in `scenes/checks/<id>/`.

use crate::{Case, Finding, page};

/// One rule.
#[derive(Clone, Copy, Debug)]
pub struct Rule {
    /// Its id, words with hyphens; stable, findings and scenes use it.
    pub id: &'static str,
    /// One line on what it checks.
    pub about: &'static str,
    /// The check: findings in any order, each with this id.
    pub check: fn(&Case) -> Vec<Finding>,
}

macro_rules! rules {
    ($($file:ident,)*) => {
        $(mod $file;)*
        /// Every rule, in the order findings of equal weight are told.
        pub const ALL: &[Rule] = &[$($file::RULE,)*];
        /// The text of each rule's file, with its name, in the same order: its header is what a page says of it.
        pub(crate) const HEADERS: &[(&str, &str)] =
            &[$((stringify!($file), include_str!(concat!(stringify!($file), ".rs"))),)*];
    };
}

pub(crate) use change_of_direction::{Turned, turned, turns};

rules! {
    not_connected,
    not_enough_fall,
    not_made,
    change_of_direction,
    window_nearly_shut,
    line_ends_above,
    pipe_against_pipe,
    pipe_in_concrete,
    wall_passage,
    footing_trench,
    crown_in_slab,
    cover_outside,
    stubs_share_a_cause,
    stub_misses_landing,
    stub_too_fat,
    stub_in_edge_wall,
    stub_near_edge,
    stubs_too_near,
    stub_top,
    closet_rough_in,
    closet_side,
    closet_front,
    tub_box_out,
    water_apart,
    hub_in_slab,
    pipe_crossing,
    post_tensioned,
    expansive_soil,
    backwater_valve,
    run_too_small,
    no_reduction,
    closet_least_size,
    closet_count,
    underground_least_size,
    sink_branch_size,
    washer_size,
    branch_figure,
    continuous_load,
    grade_too_flat,
    s_trap,
    trap_arm,
    trap_outlet,
    trap_size,
    standpipe_trap,
    floor_drain_seal,
    garage_drain,
    riser_vent_wall,
    dry_vent_flat,
    vent_too_small,
    vent_outdoors,
    admittance_valve,
    combination_vent,
    wet_vent_order,
    wet_vent_others,
    wet_vent_size,
    common_vent,
    island_vent,
    cleanout_spacing,
    cleanout_turns,
    cleanout_junction,
    cleanout_upper_end,
    cleanout_size,
    cleanout_room,
    cleanout_direction,
    sleeve_size,
    slow_flow,
    soil_gas_pipe,
    soil_gas_layer,
    deep_trench,
}

/// Whether a rule's findings are the same by every code.
pub(crate) fn reads_no_code(id: &str) -> bool {
    page::rows_of(id).is_empty()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn what_reads_no_code_does_not_touch_one() {
        for (rule, (file, text)) in ALL.iter().zip(HEADERS) {
            let touches = text.contains("case.rules");
            assert!(!(touches && reads_no_code(rule.id)), "{file} reads a code");
        }
    }

    #[test]
    fn ids_are_unique_words_with_a_line_each() {
        let ids: BTreeSet<&str> = ALL.iter().map(|rule| rule.id).collect();
        assert_eq!(ids.len(), ALL.len());
        for rule in ALL {
            assert!(
                rule.id.chars().all(|c| c.is_ascii_lowercase() || c == '-'),
                "{}",
                rule.id
            );
            assert!(
                rule.about.ends_with('.') && rule.about.len() > 20,
                "{}",
                rule.id
            );
        }
    }
}
