//! A run's plan line, measured from its outlet.

use glam::DVec2;
use units::SAME_LENGTH;

/// A plan line, upstream to downstream: at least one point, no two neighbours alike.
///
/// One point alone is a run of no length: a riser that drops straight into the run it joins.
#[derive(Clone, PartialEq, Debug)]
pub struct Path {
    points: Vec<DVec2>,
    /// Station of each point.
    stations: Vec<f64>,
}

impl Path {
    /// A line through `points`, upstream to downstream; neighbours that coincide are merged.
    /// An empty list is read as one point at the origin.
    pub fn new(points: impl IntoIterator<Item = DVec2>) -> Self {
        let mut kept: Vec<DVec2> = Vec::new();
        for point in points {
            if kept
                .last()
                .is_none_or(|last| last.distance(point) > SAME_LENGTH)
            {
                kept.push(point);
            }
        }
        if kept.is_empty() {
            kept.push(DVec2::ZERO);
        }
        let stations = stations(&kept);
        Self {
            points: kept,
            stations,
        }
    }

    /// Its corners, upstream to downstream.
    pub fn points(&self) -> &[DVec2] {
        &self.points
    }

    /// Station of each corner, falling to 0.
    pub fn stations(&self) -> &[f64] {
        &self.stations
    }

    /// Developed plan length.
    pub fn length(&self) -> f64 {
        self.stations[0]
    }

    /// The outlet.
    pub fn outlet(&self) -> DVec2 {
        self.points[self.points.len() - 1]
    }

    /// The upstream end.
    pub fn inlet(&self) -> DVec2 {
        self.points[0]
    }

    /// The point at a station, clamped to the line.
    pub fn point_at(&self, station: f64) -> DVec2 {
        let i = self.leg_at(station);
        let Some(&end) = self.points.get(i + 1) else {
            return self.points[i];
        };
        let leg = self.stations[i] - self.stations[i + 1];
        let t = ((self.stations[i] - station) / leg).clamp(0.0, 1.0);
        self.points[i].lerp(end, t)
    }

    /// Unit direction of flow at a station; at a corner, downstream of it. Zero for a line of one point.
    pub fn direction_at(&self, station: f64) -> DVec2 {
        let i = self.leg_at(station);
        self.points.get(i + 1).map_or(DVec2::ZERO, |end| {
            (*end - self.points[i]).normalize_or_zero()
        })
    }

    /// The line's legs: (upstream point, downstream point, station of the upstream point).
    pub fn legs(&self) -> impl Iterator<Item = (DVec2, DVec2, f64)> + '_ {
        self.points
            .windows(2)
            .zip(&self.stations)
            .map(|(ends, station)| (ends[0], ends[1], *station))
    }

    /// Station and distance of the place on the line nearest to `point`; the upstream one of equals.
    pub fn nearest(&self, point: DVec2) -> (f64, f64) {
        let start = (self.length(), self.inlet().distance(point));
        self.legs().fold(start, |best, (a, b, station)| {
            let along = ((point - a).dot(b - a) / (b - a).length_squared()).clamp(0.0, 1.0);
            let place = a.lerp(b, along);
            let distance = place.distance(point);
            if distance < best.1 - SAME_LENGTH {
                (station - along * a.distance(b), distance)
            } else {
                best
            }
        })
    }

    /// The corners strictly between two stations (`upper` > `lower`), with both ends, upstream to downstream.
    pub fn between(&self, upper: f64, lower: f64) -> Vec<DVec2> {
        let inner = self.points.iter().zip(&self.stations);
        let inner = inner.filter(|(_, s)| **s < upper - SAME_LENGTH && **s > lower + SAME_LENGTH);
        let ends = (self.point_at(upper), self.point_at(lower));
        std::iter::once(ends.0)
            .chain(inner.map(|(p, _)| *p))
            .chain(std::iter::once(ends.1))
            .collect()
    }

    fn leg_at(&self, station: f64) -> usize {
        let last = self.points.len().saturating_sub(2);
        self.stations
            .iter()
            .skip(1)
            .position(|s| *s < station - SAME_LENGTH)
            .unwrap_or(last)
            .min(last)
    }
}

fn stations(points: &[DVec2]) -> Vec<f64> {
    let mut out = vec![0.0; points.len()];
    for i in (0..points.len().saturating_sub(1)).rev() {
        out[i] = out[i + 1] + points[i].distance(points[i + 1]);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corner() -> Path {
        Path::new([
            DVec2::new(0.0, 0.0),
            DVec2::new(30.0, 0.0),
            DVec2::new(30.0, 0.0),
            DVec2::new(30.0, 40.0),
        ])
    }

    #[test]
    fn stations_are_measured_from_the_outlet() {
        let path = corner();
        assert_eq!(path.stations(), [70.0, 40.0, 0.0]);
        assert_eq!(path.point_at(0.0), DVec2::new(30.0, 40.0));
        assert_eq!(path.point_at(55.0), DVec2::new(15.0, 0.0));
        assert_eq!(path.point_at(1e9), DVec2::new(0.0, 0.0));
        assert_eq!(path.direction_at(40.0), DVec2::Y);
        assert_eq!(path.direction_at(41.0), DVec2::X);
        assert_eq!(path.direction_at(0.0), DVec2::Y);
    }

    #[test]
    fn nearest_and_between() {
        let path = corner();
        assert_eq!(path.nearest(DVec2::new(33.0, 20.0)), (20.0, 3.0));
        assert_eq!(
            path.between(50.0, 10.0),
            [
                DVec2::new(20.0, 0.0),
                DVec2::new(30.0, 0.0),
                DVec2::new(30.0, 30.0)
            ]
        );
    }

    #[test]
    fn a_run_of_no_length() {
        let path = Path::new([DVec2::ONE, DVec2::ONE]);
        assert_eq!(
            (path.length(), path.point_at(5.0), path.direction_at(0.0)),
            (0.0, DVec2::ONE, DVec2::ZERO)
        );
        assert_eq!(path.nearest(DVec2::ZERO).0, 0.0);
    }
}
