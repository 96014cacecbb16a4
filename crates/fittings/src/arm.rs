//! How a branch comes into a run: the wye, its roll, and the bend behind it.
//!
//! With `f` the run's flow, `y` the square of the branch's way to it, and `t` the roll above that plane, a wye's arm
//! points along `-f cos 45 + sin 45 (y cos t + z sin t)`. A bend of angle `b` behind it lands on a level branch that comes
//! in under `p` to the run where `cos b = cos 45 cos p + sin 45 sin p cos t`; for `b = 45` that is `p = 2 atan(cos t)`.

use catalog::{Catalog, EndName, How, Part, Pattern, Sizes};
use glam::{DMat3, DVec3};
use std::f64::consts::{FRAC_1_SQRT_2, FRAC_PI_4};
use units::Size;

use crate::turn;

/// Single bends behind a rolled wye, gentlest first.
pub(crate) const BEHIND: [(f64, Pattern); 4] = [
    (22.5, Pattern::SixteenthBend),
    (45.0, Pattern::EighthBend),
    (60.0, Pattern::SixthBend),
    (90.0, Pattern::QuarterBendLongTurn),
];

/// A wye and the way from it to the branch's own line.
#[derive(Clone, PartialEq, Debug)]
pub(crate) struct Arm {
    /// Inches the wye's centre lies downstream of the crossing in plan.
    pub(crate) shift: f64,
    /// The wye.
    pub(crate) wye: Part,
    /// Direction of its branch, away from the run.
    pub(crate) toward: DVec3,
    /// Where the branch's own line begins: the last bend's centre; `None` where the arm is that line.
    pub(crate) bend: Option<DVec3>,
    /// The bend there sits in the wye's hub by a street end.
    pub(crate) street: bool,
}

/// The roll at which a bend of `bend` degrees behind a wye lands under `plan` degrees, degrees; `None` where it never
/// does.
pub(crate) fn roll(plan: f64, bend: f64) -> Option<f64> {
    let (p, b) = (plan.to_radians(), bend.to_radians());
    let cos = (b.cos() - FRAC_1_SQRT_2 * p.cos()) / (FRAC_1_SQRT_2 * p.sin());
    (p.sin() > 0.05 && cos.abs() <= 1.0 + 1e-9).then(|| cos.clamp(-1.0, 1.0).acos().to_degrees())
}

/// The plan angle under which a bend of `bend` degrees lands level behind a wye rolled by `roll`, degrees: [`roll`] turned
/// round, the larger of its two answers.
pub(crate) fn lands(roll: f64, bend: f64) -> f64 {
    let (t, b) = (roll.to_radians(), bend.to_radians());
    // cos 45 cos p + sin 45 cos t sin p = cos b, as one cosine.
    let (cos, sin) = (FRAC_1_SQRT_2, FRAC_1_SQRT_2 * t.cos());
    let off = (b.cos() / cos.hypot(sin)).clamp(-1.0, 1.0).acos();
    (sin.atan2(cos) + off).to_degrees()
}

/// The smallest wye made that takes this branch; the branch may then need a bushing.
pub(crate) fn wye(catalog: &Catalog, run: Size, branch: Size) -> Option<Part> {
    let made = |b: &Size| {
        catalog
            .get(Pattern::Wye, Sizes::branched(run, *b))
            .is_some()
    };
    let branch = Size::ALL
        .into_iter()
        .filter(|b| *b >= branch && *b <= run)
        .find(made)?;
    Some(Part::new(Pattern::Wye, Sizes::branched(run, branch)))
}

/// The combination in one piece that makes a square join, where it has been measured on the bench and the wye and bend that
/// would do the same have not: of two ways, the one whose dimensions are known. (Those of our table are a guess.)
/// As an arm its branch looks square off the run, on the branch's own line.
pub(crate) fn one_piece(
    catalog: &Catalog,
    wye: Part,
    branch: Size,
    f: DVec3,
    up: DVec3,
) -> Option<Arm> {
    let measured = |part: Part| {
        let fitting = catalog.get(part.pattern, part.sizes);
        fitting.is_some_and(|f| f.ends.iter().all(|e| e.take_off.how == How::Measured))
    };
    let whole = Part::new(Pattern::Combination, Sizes::branched(wye.sizes.run, branch));
    let bend = Part::new(Pattern::EighthBendStreet, Sizes::one(branch));
    let plan = (-f).angle_between(up).to_degrees();
    let square = (plan - 90.0).abs() <= turn::TURN_PLAY_DEG;
    let better = measured(whole) && !(measured(wye) && measured(bend));
    (square && better).then(|| Arm {
        shift: 0.0,
        wye: whole,
        toward: (up - f * up.dot(f)).normalize_or_zero(),
        bend: None,
        street: false,
    })
}

/// From a wye's centre to the stop of its branch, a bushing in it included.
pub(crate) fn branch_leg(catalog: &Catalog, wye: Part, branch: Size) -> f64 {
    let leg = catalog
        .get(wye.pattern, wye.sizes)
        .and_then(|wye| wye.end(EndName::Branch));
    let bushed = wye.sizes.branch.filter(|hub| *hub > branch);
    let bushing = bushed.map_or(0.0, |hub| {
        catalog.pipe(hub).socket_depth.value - catalog.pipe(branch).socket_depth.value
    });
    leg.map_or(0.0, |leg| leg.take_off.value) + bushing
}

/// Least distance from the wye's centre to the centre of a bend behind it, with a pipe between.
pub(crate) fn least_arm(catalog: &Catalog, wye: Part, branch: Size, bend: Pattern) -> f64 {
    let out = turn::take_off(catalog, bend, branch, EndName::Outlet);
    branch_leg(catalog, wye, branch) + catalog.pipe(branch).shortest_piece() + out
}

/// The arm where both axes meet at `crossing`: `f` the run's flow, `up` the branch's way upstream.
/// `bend` is the first bend behind the wye, if any.
pub(crate) fn flat(
    catalog: &Catalog,
    wye: Part,
    branch: Size,
    f: DVec3,
    up: DVec3,
    crossing: DVec3,
    bend: Option<&[Pattern]>,
) -> Arm {
    let y = (up - f * up.dot(f)).normalize_or_zero();
    let toward = (y - f) * FRAC_1_SQRT_2;
    let Some(bends) = bend else {
        return Arm {
            shift: 0.0,
            wye,
            toward,
            bend: None,
            street: false,
        };
    };
    let plan = (-f).angle_between(up);
    let first = bends[0];
    let hub_takes_it = wye.sizes.branch == Some(branch) && bends.len() == 1;
    let street = turn::street(catalog, first, branch).filter(|_| hub_takes_it);
    let tip = street.map(|part| turn::take_off(catalog, part.pattern, branch, EndName::Outlet));
    let length = match (tip, bends.get(1)) {
        (Some(tip), _) => branch_leg(catalog, wye, branch) + tip,
        (None, None) => least_arm(catalog, wye, branch, first),
        (None, Some(second)) => {
            let apart = turn::pair_apart(catalog, first, *second, branch);
            let (a, b) = (degrees(first).to_radians(), degrees(*second).to_radians());
            least_arm(catalog, wye, branch, first) + apart * b.sin() / (a + b).sin().abs().max(0.1)
        }
    };
    let shift = length * (plan - FRAC_PI_4).sin() / plan.sin();
    let along = length * FRAC_PI_4.sin() / plan.sin();
    Arm {
        shift,
        wye,
        toward,
        bend: Some(crossing + up * along),
        street: tip.is_some(),
    }
}

/// A wye's arm at a roll of `t` degrees above the plane of the run and the branch.
pub(crate) fn rolled_toward(f: DVec3, up: DVec3, t: f64) -> DVec3 {
    let y = (up - f * up.dot(f)).normalize_or_zero();
    let z = f.cross(y);
    let z = if z.z < 0.0 { -z } else { z };
    (y * t.to_radians().cos() + z * t.to_radians().sin() - f) * FRAC_1_SQRT_2
}

/// Where an arm along `toward` from the run's axis (through `crossing`, along `f`) meets the line through `on` along `up`:
/// (how far downstream of the crossing, length of the arm, how far along the line).
pub(crate) fn meet(
    crossing: DVec3,
    f: DVec3,
    toward: DVec3,
    on: DVec3,
    up: DVec3,
) -> Option<(f64, f64, f64)> {
    let m = DMat3::from_cols(f, toward, -up);
    (m.determinant().abs() > 1e-6).then(|| {
        let v = m.inverse() * (on - crossing);
        (v.x, v.y, v.z)
    })
}

/// The angle of a bend, degrees.
pub(crate) fn degrees(bend: Pattern) -> f64 {
    bend.turn_degrees().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rolled_wye_does_not_land_square() {
        // Geometry: 2 atan(cos t) is 81.8 degrees at a roll of 30, 70.5 at 45.
        for (t, lands) in [(30.0_f64, 81.787), (45.0, 70.529), (0.0, 90.0)] {
            assert!((2.0 * t.to_radians().cos().atan().to_degrees() - lands).abs() < 1e-3);
            let t2 = roll(lands, 45.0).unwrap();
            assert!((t2 - t).abs() < 0.02, "{t2}");
        }
        // A sixth bend behind a wye rolled 45 lands square; an eighth never rolls for a square branch but flat.
        assert!((roll(90.0, 60.0).unwrap() - 45.0).abs() < 1e-9);
        assert!(roll(90.0, 45.0).unwrap() < 1e-6);
        assert_eq!(roll(90.0, 22.5), None);
    }

    #[test]
    fn where_a_bend_lands_is_the_roll_turned_round() {
        // For an eighth bend 2 atan(cos t); a sixth bend behind 45 degrees lands square.
        for (t, lands) in [(30.0, 81.786_789), (22.5, 85.468_419), (20.0, 86.438_358)] {
            assert!((super::lands(t, 45.0) - lands).abs() < 1e-5);
        }
        assert!((super::lands(45.0, 60.0) - 90.0).abs() < 1e-9);
        for (t, bend) in [(10.0, 45.0), (45.0, 60.0), (60.0, 60.0)] {
            let back = roll(super::lands(t, bend), bend).expect("it lands there");
            assert!((back - t).abs() < 1e-6, "{t} by {bend}: {back}");
        }
    }

    #[test]
    fn a_square_branch_by_wye_and_street_eighth_bend() {
        let catalog = catalog::catalog(&catalog::BenchSheet::default()).0;
        let part = wye(&catalog, Size::In3, Size::In2).unwrap();
        let arm = flat(
            &catalog,
            part,
            Size::In2,
            DVec3::X,
            DVec3::Y,
            DVec3::ZERO,
            Some(&[Pattern::EighthBend]),
        );
        // With the street end's tip home at the stop, T = branch leg 4-7/16 + bend 1-1/2 + 1/16 + socket 3/4; the square
        // axis meets the run at 0.7071 T upstream of the wye's centre (geometry).
        let t = 4.4375 + 1.5 + 0.0625 + 0.75;
        assert!((arm.shift - t * FRAC_1_SQRT_2).abs() < 1e-9);
        assert!((arm.bend.unwrap() - DVec3::new(0.0, t * FRAC_1_SQRT_2, 0.0)).length() < 1e-9);
    }
}
