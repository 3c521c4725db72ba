//! Both poses of a plane from one homography.

use nalgebra::{Matrix2, Matrix3, Vector2, Vector3};

use super::homography::homography_of_four;
use super::{Intrinsics, Pose};
use crate::units::PhotoPoint;

/// The card's corners in its own frame in mm, in the order of [`crate::card::FoundCard::corners`] seen from
/// above: top left, top right, bottom right, bottom left, the origin in the middle, y up.
pub fn card_corners_mm(size_mm: [f64; 2]) -> [Vector2<f64>; 4] {
    let (x, y) = (size_mm[0] / 2.0, size_mm[1] / 2.0);
    [Vector2::new(-x, y), Vector2::new(x, y), Vector2::new(x, -y), Vector2::new(-x, -y)]
}

/// The two poses of a flat card whose `corners` are seen, the smaller reprojection error first, each with
/// its root mean square error in px. `None` when no pose puts the card before the camera.
///
/// Source: Collins and Bartoli 2014, Infinitesimal Plane-based Pose Estimation, Int. J. Computer Vision
/// 109(3):252-286: the rotation follows from the homography and its Jacobian at the plane's origin.
pub fn two_poses(
    corners: &[PhotoPoint; 4],
    size_mm: [f64; 2],
    intrinsics: &Intrinsics,
) -> Option<[(Pose, f64); 2]> {
    let plane = card_corners_mm(size_mm);
    // In normalised coordinates the camera is the identity.
    let seen = corners.map(|corner| {
        let ray = intrinsics.ray(corner);
        PhotoPoint::new(ray.x, ray.y)
    });
    let homography = homography_of_four(&plane, &seen)?;
    let rotations = rotations_of(&homography)?;
    let mut poses = rotations.map(|rotation| {
        let pose = Pose { rotation, translation_mm: translation_of(&rotation, &plane, &seen)? };
        Some((pose, rms_px(&pose, corners, size_mm, intrinsics)?))
    });
    if let [Some(first), Some(second)] = &mut poses
        && second.1 < first.1
    {
        std::mem::swap(first, second);
    }
    Some([poses[0]?, poses[1]?])
}

/// Root mean square distance in px between the seen corners and those that `pose` predicts.
pub fn rms_px(
    pose: &Pose,
    corners: &[PhotoPoint; 4],
    size_mm: [f64; 2],
    intrinsics: &Intrinsics,
) -> Option<f64> {
    let mut sum = 0.0;
    for (corner, plane) in corners.iter().zip(card_corners_mm(size_mm)) {
        let predicted = intrinsics.project(&pose.transform(&Vector3::new(plane.x, plane.y, 0.0)))?;
        sum += predicted.distance_px(*corner).powi(2);
    }
    Some((sum / 4.0).sqrt())
}

fn rotations_of(homography: &Matrix3<f64>) -> Option<[Matrix3<f64>; 2]> {
    let h = homography;
    let (p, q) = (h[(0, 2)], h[(1, 2)]);
    let jacobian = Matrix2::new(
        h[(0, 0)] - h[(2, 0)] * p,
        h[(0, 1)] - h[(2, 1)] * p,
        h[(1, 0)] - h[(2, 0)] * q,
        h[(1, 1)] - h[(2, 1)] * q,
    );
    let to_sight = rotation_to(p, q);
    // B maps the plane's first-order motion, turned to the line of sight, into the photo.
    let turned =
        |row: usize, value: f64, column: usize| to_sight[(row, column)] - value * to_sight[(2, column)];
    let b = Matrix2::new(turned(0, p, 0), turned(0, p, 1), turned(1, q, 0), turned(1, q, 1));
    let a = b.try_inverse()? * jacobian;
    // Largest singular value of the 2 x 2 matrix.
    let gram = a.transpose() * a;
    let (trace, det) = (gram.trace(), gram.determinant());
    let largest = (0.5 * (trace + (trace * trace - 4.0 * det).max(0.0).sqrt())).sqrt();
    if !(largest.is_finite() && largest > 1e-15) {
        return None;
    }
    let r22 = a / largest;
    let under = Matrix2::identity() - r22.transpose() * r22;
    let (b0, mut b1) = (under[(0, 0)].max(0.0).sqrt(), under[(1, 1)].max(0.0).sqrt());
    if under[(0, 1)] < 0.0 {
        b1 = -b1;
    }
    let rotation = |sign: f64| {
        let first = Vector3::new(r22[(0, 0)], r22[(1, 0)], sign * b0);
        let second = Vector3::new(r22[(0, 1)], r22[(1, 1)], sign * b1);
        to_sight * Matrix3::from_columns(&[first, second, first.cross(&second)])
    };
    Some([rotation(1.0), rotation(-1.0)])
}

/// The smallest rotation that takes the optical axis to the direction (p, q, 1).
fn rotation_to(p: f64, q: f64) -> Matrix3<f64> {
    let target = Vector3::new(p, q, 1.0).normalize();
    let axis = Vector3::z().cross(&target);
    let (sine, cosine) = (axis.norm(), target.z);
    if sine < 1e-15 {
        return Matrix3::identity();
    }
    let k = (axis / sine).cross_matrix();
    Matrix3::identity() + k * sine + k * k * (1.0 - cosine)
}

/// Least squares of the collinearity equations in the translation alone.
fn translation_of(
    rotation: &Matrix3<f64>,
    plane: &[Vector2<f64>; 4],
    seen: &[PhotoPoint; 4],
) -> Option<Vector3<f64>> {
    let mut normal = Matrix3::zeros();
    let mut right = Vector3::zeros();
    for (point, image) in plane.iter().zip(seen) {
        let turned = rotation * Vector3::new(point.x, point.y, 0.0);
        for (row, value) in [
            (Vector3::new(1.0, 0.0, -image.x), image.x * turned.z - turned.x),
            (Vector3::new(0.0, 1.0, -image.y), image.y * turned.z - turned.y),
        ] {
            normal += row * row.transpose();
            right += row * value;
        }
    }
    let translation = normal.try_inverse()? * right;
    (translation.z > 0.0).then_some(translation)
}
