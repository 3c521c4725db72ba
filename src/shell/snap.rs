//! A point placed by hand, moved to the corner of the margin that was meant.

use nalgebra::Vector2;

use super::finder::Finder;
use super::propose::{NearCorner, Reach, corner_near, marked_point};
use super::window::{HeightPlane, expected_edge_height_mm};
use crate::camera::{Intrinsics, Pose};
use crate::photo::Photo;
use crate::terms::{Dimension, MarkedPoint, Placement};
use crate::units::PhotoPoint;

/// How far a placed point may move, in mm on the shell.
pub const SNAP_REACH_MM: f64 = 6.0;

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
    snap_with(Finder::built_in()?, photo, intrinsics, pose, placement, dimension, point)
}

pub(super) fn snap_with(
    finder: &Finder,
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
    let (near, plane) = nearest_corner(finder, photo, intrinsics, pose, placement, dimension, point)?;
    let sure = near.height >= LEAST_HEIGHT
        && near.rival <= MOST_RIVAL
        && near.disagreement_mm <= MOST_DISAGREEMENT_MM;
    sure.then(|| marked_point(&plane, near.at_mm, near.sigma_mm)).flatten()
}

// Chosen on rendered crabs the network had not seen: a quarter of the taps moves; of those seven of eight
// land within 1.5 mm, and one of twelve farther off than it was.
const LEAST_HEIGHT: f64 = 0.45;
const MOST_RIVAL: f64 = 0.4;
const MOST_DISAGREEMENT_MM: f64 = 1.5;

/// The corner that a tap may have meant, sure or not.
pub(super) fn nearest_corner(
    finder: &Finder,
    photo: &Photo,
    intrinsics: &Intrinsics,
    pose: &Pose,
    placement: Placement,
    dimension: Dimension,
    point: PhotoPoint,
) -> Option<(NearCorner, HeightPlane)> {
    let plane = HeightPlane::new(intrinsics, pose, expected_edge_height_mm(placement, 140.0))?;
    let at_mm = plane.plane_of(point)?;
    let reach = Reach { far_mm: SNAP_REACH_MM, spread_mm: 3.5 };
    let near = corner_near(finder, photo, &plane, dimension, at_mm, Vector2::new(1.0, 0.0), reach)?;
    Some((near, plane))
}
