//! Points placed by hand: moved to the corner of the margin that was meant, and told apart.

use nalgebra::{Vector2, Vector3};

use super::ShellQuery;
use super::along::Along;
use super::corner::{Near, Reach};
use super::first::{Found, Guess, look_round};
use super::plane::{marked_point, plane_at};
use super::sight::Eyes;
use crate::camera::{Intrinsics, Pose};
use crate::photo::Photo;
use crate::portable::Portable;
use crate::terms::{Dimension, MarkedPoint, Placement, PointsHint};
use crate::units::PhotoPoint;

/// How far a placed point may move, in mm on the shell.
pub const SNAP_REACH_MM: f64 = 6.0;

// Chosen on held-out renderings.
const LEAST_CHANCE: f64 = 0.3;
const MOST_RIVAL: f64 = 0.5;
/// Standard uncertainty of a snapped point, in mm in each direction.
const SIGMA_MM: f64 = 1.0;
/// By how much, as a logarithm, both points together must look like tips to be told so: chosen on held-out
/// renderings.
const LIKE_TIPS: f64 = 1.0;
/// The same for notches.
const LIKE_NOTCHES: f64 = 1.0;

/// Moves a placed `point` to the nearest corner of the margin of the right kind: the notch or the tip within
/// about 6 mm on the shell. `None` when none is clearly seen: then the point stays where the person put it.
pub fn snap(
    photo: &Photo,
    intrinsics: &Intrinsics,
    pose: &Pose,
    placement: Placement,
    dimension: Dimension,
    point: PhotoPoint,
) -> Option<MarkedPoint> {
    if !point.is_finite() || !photo.size().contains(point) {
        return None;
    }
    let eyes = Eyes::built_in()?;
    let query = query(photo, intrinsics, pose, placement, dimension)?;
    let (found, guess) = look_round(eyes, &query, point)?;
    let along = Along::follow(eyes, &query, &found, &guess)?;
    let at_mm = along.plane.height.plane_of(point)?;
    let outward = along.outward(at_mm);
    let near = Near::look(eyes, photo, &along.plane.height, at_mm, outward, along.front)?;
    let corner = near.find(dimension, at_mm, Reach { far_mm: SNAP_REACH_MM, spread_mm: 3.5 })?;
    let sure = corner.chance >= LEAST_CHANCE && corner.rival <= MOST_RIVAL;
    sure.then(|| marked_point(&along.plane.height, corner.at_mm, SIGMA_MM)).flatten()
}

/// Whether two points placed by hand look like tips or like notches; `None` where neither is plain.
pub fn points_look_like(
    photo: &Photo,
    intrinsics: &Intrinsics,
    pose: &Pose,
    placement: Placement,
    points: &[PhotoPoint; 2],
) -> Option<PointsHint> {
    let odds = tip_odds(photo, intrinsics, pose, placement, points)?;
    if odds > LIKE_TIPS {
        Some(PointsHint::NearTips)
    } else if odds < -LIKE_NOTCHES {
        Some(PointsHint::NearNotches)
    } else {
        None
    }
}

/// Logarithm of how much more both points look like tips than like notches.
pub fn tip_odds(
    photo: &Photo,
    intrinsics: &Intrinsics,
    pose: &Pose,
    placement: Placement,
    points: &[PhotoPoint; 2],
) -> Option<f64> {
    let eyes = Eyes::built_in()?;
    let query = query(photo, intrinsics, pose, placement, Dimension::Tips)?;
    // The points themselves tell axis, middle and size.
    let rough = plane_at(&query, 140.0)?;
    let ends = [rough.height.plane_of(points[0])?, rough.height.plane_of(points[1])?];
    let across = ends[1] - ends[0];
    let width_mm = across.norm();
    if !width_mm.is_finite() || width_mm < 1.0 {
        return None;
    }
    let middle_mm = (ends[0] + ends[1]) / 2.0;
    let guess = Guess { middle_mm, width_mm, axis: across / width_mm, certainty: 1.0 };
    let found = Found { plane: rough, starts: Vec::new(), below_over_above: 0.0 };
    let along = Along::follow(eyes, &query, &found, &guess)?;
    let mut odds = 0.0;
    for &point in points {
        let at_mm = along.plane.height.plane_of(point)?;
        let near = Near::look(eyes, photo, &along.plane.height, at_mm, along.outward(at_mm), along.front)?;
        let belief = |dimension| (near.belief_at(dimension, at_mm) + 0.01).portable_ln();
        odds += belief(Dimension::Tips) - belief(Dimension::Notch);
    }
    Some(odds)
}

/// A query with the card's corners where the pose has them.
fn query<'a>(
    photo: &'a Photo,
    intrinsics: &Intrinsics,
    pose: &Pose,
    placement: Placement,
    dimension: Dimension,
) -> Option<ShellQuery<'a>> {
    let corner =
        |x: f64, y: f64| intrinsics.project(&pose.transform(&Vector3::new(x * 42.8, y * 26.99, 0.0)));
    let card_corners = [corner(-1.0, 1.0)?, corner(1.0, 1.0)?, corner(1.0, -1.0)?, corner(-1.0, -1.0)?];
    Some(ShellQuery {
        photo,
        intrinsics: *intrinsics,
        pose: *pose,
        card_corners,
        placement,
        dimension,
        species: None,
        shell_near: None,
    })
}

impl Along {
    /// The end of the axis that `at_mm` is nearer to.
    fn outward(&self, at_mm: Vector2<f64>) -> Vector2<f64> {
        let side = (at_mm - self.middle_mm).dot(&self.axis);
        if side < 0.0 { -self.axis } else { self.axis }
    }
}
