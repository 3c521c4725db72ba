//! Rays through the photo's points, and the plane that holds both measuring points.

use nalgebra::{Matrix3, Vector3};

use super::HeightPrior;
use crate::camera::{Intrinsics, Pose};
use crate::units::PhotoPoint;

/// A ray closer to the height plane than this has no use: a pixel of noise would move the answer by more
/// than a shell's width. Sine of 8 degrees.
const LEAST_SINE: f64 = 0.14;

/// Intersects the ray through `point` with the plane `height_mm` above the card's face; card frame, mm.
///
/// `None` when the ray is nearly in the plane, or the plane lies behind the camera.
/// Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., section 8.1.
pub fn on_height_plane(
    intrinsics: &Intrinsics,
    pose: &Pose,
    point: PhotoPoint,
    height_mm: f64,
) -> Option<Vector3<f64>> {
    let camera = pose.camera_in_card_mm();
    let ray = ray_in_card(intrinsics, pose, point);
    if ray.z.abs() < LEAST_SINE {
        return None;
    }
    let distance = (height_mm - camera.z) / ray.z;
    (distance > 0.0).then(|| camera + ray * distance)
}

/// Where a point of the card frame is seen.
pub fn to_photo(intrinsics: &Intrinsics, pose: &Pose, point_mm: &Vector3<f64>) -> Option<PhotoPoint> {
    intrinsics.project(&pose.transform(point_mm))
}

/// Direction of the ray through `point` in the card frame, of length 1.
pub(super) fn ray_in_card(intrinsics: &Intrinsics, pose: &Pose, point: PhotoPoint) -> Vector3<f64> {
    (pose.rotation.transpose() * intrinsics.ray(point)).normalize()
}

/// Both points at the height that the prior expects, in the card frame: the height is a share of the width, so both
/// are solved together. `None` when a ray does not meet the plane.
pub(super) fn at_expected_height(
    intrinsics: &Intrinsics,
    pose: &Pose,
    points: [PhotoPoint; 2],
    height: &HeightPrior,
) -> Option<[Vector3<f64>; 2]> {
    let mut height_mm = 0.0;
    // Each round gains a factor of share * width / distance, a tenth or so.
    for _ in 0..30 {
        let left = on_height_plane(intrinsics, pose, points[0], height_mm)?;
        let right = on_height_plane(intrinsics, pose, points[1], height_mm)?;
        let next = height.height_mm((left - right).norm());
        if (next - height_mm).abs() < 1e-9 {
            return Some([left, right]);
        }
        height_mm = next;
        if !height_mm.is_finite() || height_mm.abs() > 1e4 {
            return None;
        }
    }
    None
}

/// How little the expected height counts against rays that meet, per ray: it only holds the point where all rays
/// are alike.
const EXPECTED_WEIGHT: f64 = 1e-3;

/// The point nearest to all rays (each from a camera's centre, of length 1), held weakly to `expected`'s height.
pub(super) fn nearest_to_rays(
    rays: &[(Vector3<f64>, Vector3<f64>)],
    expected: Vector3<f64>,
) -> Option<Vector3<f64>> {
    let mut normal = Matrix3::zeros();
    let mut right = Vector3::zeros();
    for (centre, direction) in rays {
        let across = Matrix3::identity() - direction * direction.transpose();
        normal += across;
        right += across * centre;
    }
    normal[(2, 2)] += EXPECTED_WEIGHT;
    right.z += EXPECTED_WEIGHT * expected.z;
    normal.cholesky().map(|factor| factor.solve(&right))
}
