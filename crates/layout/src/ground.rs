//! The ground outside, as a profile of (distance from the wall, level), inches; levels from the finished floor.

/// Level of a profile at a distance: straight between its points, the first level before them and the last beyond; `None` for
/// an empty one.
pub fn ground_level(profile: &[(f64, f64)], at: f64) -> Option<f64> {
    let last = profile.last()?;
    let leg = profile.windows(2).find(|ends| at <= ends[1].0);
    Some(leg.map_or(last.1, |ends| {
        let along = (at - ends[0].0) / (ends[1].0 - ends[0].0).max(f64::MIN_POSITIVE);
        ends[0].1 + (ends[1].1 - ends[0].1) * along.clamp(0.0, 1.0)
    }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn straight_between_its_points_and_level_beyond() {
        // From -8 in at the wall to -13 in ten feet out: halfway -10 1/2.
        let profile = [(0.0, -8.0), (120.0, -13.0)];
        let level = |at| ground_level(&profile, at);
        assert_eq!(level(60.0), Some(-10.5));
        assert_eq!((level(-5.0), level(400.0)), (Some(-8.0), Some(-13.0)));
        assert_eq!(ground_level(&[], 3.0), None);
        // Told twice at one place: a step, the lower one beyond it.
        let step = [(0.0, -8.0), (60.0, -8.0), (60.0, -20.0)];
        assert_eq!(ground_level(&step, 60.0), Some(-8.0));
        assert_eq!(ground_level(&step, 60.1), Some(-20.0));
    }
}
