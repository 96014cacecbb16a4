//! What a mend changes in a resolved layout. One small step each; a mend is a few of them.

use layout::{Drain, ExitWay, Layout};
use units::{Grade, Id, Size};

/// One change to a resolved layout.
#[derive(Clone, PartialEq, Debug)]
pub enum Change {
    /// The run lies at this grade and no other.
    Grade {
        /// The run.
        run: Id,
        /// Its grade.
        grade: Grade,
    },
    /// The line outside lies at this grade and no other.
    LineGrade {
        /// The drain.
        drain: Id,
        /// Its grade.
        grade: Grade,
    },
    /// The run is nowhere smaller than this.
    Size {
        /// The run.
        run: Id,
        /// The least size along it.
        size: Size,
    },
    /// The drain leaves this way.
    Way {
        /// The drain.
        drain: Id,
        /// The way out.
        way: ExitWay,
    },
    /// The finished floor and all that hangs on it stand higher above ground, foundation and receiver.
    FloorUp {
        /// Inches.
        inches: f64,
    },
    /// The line outside is this long.
    LineLength {
        /// The drain.
        drain: Id,
        /// Inches.
        inches: f64,
    },
    /// The receiver's inlet lies lower.
    ReceiverDown {
        /// The drain.
        drain: Id,
        /// Inches.
        inches: f64,
    },
}

/// The layout with the changes made, in their order. A change to an item it does not have changes nothing.
pub(super) fn changed(layout: &Layout, changes: &[Change]) -> Layout {
    let mut changed = layout.clone();
    for change in changes {
        make(&mut changed, change);
    }
    changed
}

fn make(layout: &mut Layout, change: &Change) {
    match change {
        Change::Grade { run, grade } => of_run(layout, run, |run| run.menu = vec![*grade]),
        Change::Size { run, size } => of_run(layout, run, |run| {
            run.size = run.size.map(|own| own.max(*size)).or(Some(*size));
            run.increasers.retain(|(_, larger)| larger > size);
        }),
        Change::LineGrade { drain, grade } => {
            of_drain(layout, drain, |drain| drain.line.menu = vec![*grade]);
        }
        Change::Way { drain, way } => of_drain(layout, drain, |drain| drain.exit.way = *way),
        Change::LineLength { drain, inches } => {
            of_drain(layout, drain, |drain| drain.line.length = Some(*inches));
        }
        Change::ReceiverDown { drain, inches } => {
            of_drain(layout, drain, |drain| lower_receiver(drain, *inches));
        }
        Change::FloorUp { inches } => lift_floor(layout, *inches),
    }
}

fn of_run(layout: &mut Layout, id: &Id, change: impl FnOnce(&mut layout::Run)) {
    if let Some(run) = layout.runs.iter_mut().find(|run| run.id == *id) {
        change(run);
    }
}

fn of_drain(layout: &mut Layout, id: &Id, change: impl FnOnce(&mut Drain)) {
    if let Some(drain) = layout.drains.iter_mut().find(|drain| drain.id == *id) {
        change(drain);
    }
}

fn lower_receiver(drain: &mut Drain, inches: f64) {
    if let Some(level) = drain
        .receiver
        .as_mut()
        .and_then(|receiver| receiver.invert.as_mut())
    {
        *level -= inches;
    }
}

/// Levels count from the floor, so all that stays where it is gets lower by as much. The slab, its edge's top and what
/// hangs on the slab go up with the floor.
fn lift_floor(layout: &mut Layout, inches: f64) {
    if let Some(elevation) = layout.floor_elevation.as_mut() {
        *elevation += inches;
    }
    if let Some(edge) = layout.foundation.edge.as_mut() {
        edge.bottom -= inches;
        let steps = edge
            .footing
            .iter_mut()
            .flat_map(|footing| &mut footing.steps);
        for step in steps {
            step.top -= inches;
        }
    }
    lower(&mut layout.outside.ground, inches);
    for drain in &mut layout.drains {
        lower(&mut drain.line.ground, inches);
        lower_receiver(drain, inches);
        if let Some(bottom) = drain.exit.sleeve_bottom.as_mut() {
            *bottom -= inches;
        }
    }
}

fn lower(profile: &mut [(f64, f64)], inches: f64) {
    for (_, level) in profile {
        *level -= inches;
    }
}

#[cfg(test)]
mod tests {
    use layout::{Known, Receiver, ReceiverKind};

    use super::*;

    #[test]
    fn a_higher_floor_lowers_all_that_stays() {
        let receiver = Receiver {
            kind: ReceiverKind::Tank,
            invert: Some(-17.4),
            known: Known::Measured,
        };
        let line = layout::OutsideLine {
            length: Some(120.0),
            size: None,
            menu: vec![Grade::QUARTER],
            straight: false,
            heading_deg: None,
            ground: vec![(0.0, -8.0)],
        };
        let exit = layout::Exit {
            at: glam::DVec2::ZERO,
            way: ExitWay::Through,
            size: None,
            sleeve: None,
            sleeve_bottom: Some(-15.0),
            cored: false,
        };
        let drain = Drain {
            id: "main".into(),
            exit,
            line,
            receiver: Some(receiver),
        };
        let layout = Layout {
            floor_elevation: Some(1215.0),
            drains: vec![drain],
            ..Layout::default()
        };
        let up = changed(&layout, &[Change::FloorUp { inches: 6.0 }]);
        let drain = &up.drains[0];
        assert_eq!(up.floor_elevation, Some(1221.0));
        assert_eq!(drain.receiver.as_ref().and_then(|r| r.invert), Some(-23.4));
        assert_eq!(
            (drain.line.ground[0], drain.exit.sleeve_bottom),
            ((0.0, -14.0), Some(-21.0))
        );
    }
}
