//! The homography from the card's plane to the photo.

use nalgebra::{Matrix3, SMatrix, SVector, Vector2, Vector3};

use crate::units::PhotoPoint;

/// The homography that takes four plane points (any unit) to four photo points, scaled to `h33 = 1`.
///
/// `None` when three of the points are in line (or so nearly that the system is singular), or when the
/// plane's origin would project to infinity.
///
/// Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., section 4.1, with their normalisation
/// (4.4): both sets are centred and scaled first.
pub fn homography_of_four(plane: &[Vector2<f64>; 4], photo: &[PhotoPoint; 4]) -> Option<Matrix3<f64>> {
    let image: [Vector2<f64>; 4] = photo.map(|point| Vector2::new(point.x, point.y));
    let (plane_normal, from) = normalised(plane)?;
    let (image_normal, to) = normalised(&image)?;
    let mut system = SMatrix::<f64, 8, 8>::zeros();
    let mut right = SVector::<f64, 8>::zeros();
    for i in 0..4 {
        let (x, y) = (plane_normal[i].x, plane_normal[i].y);
        let (u, v) = (image_normal[i].x, image_normal[i].y);
        let rows = [[x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y], [0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y]];
        for (j, row) in rows.iter().enumerate() {
            for (k, &value) in row.iter().enumerate() {
                system[(2 * i + j, k)] = value;
            }
        }
        right[2 * i] = u;
        right[2 * i + 1] = v;
    }
    let h = system.lu().solve(&right)?;
    let normal = Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1.0);
    let homography = to.try_inverse()? * normal * from;
    let scale = homography[(2, 2)];
    (scale.abs() > 1e-12 && homography.iter().all(|value| value.is_finite())).then(|| homography / scale)
}

/// Applies a homography. `None` when the point goes to infinity.
pub fn apply(homography: &Matrix3<f64>, x: f64, y: f64) -> Option<PhotoPoint> {
    let point = homography * Vector3::new(x, y, 1.0);
    (point.z.abs() > 1e-12).then(|| PhotoPoint::new(point.x / point.z, point.y / point.z))
}

fn normalised(points: &[Vector2<f64>; 4]) -> Option<([Vector2<f64>; 4], Matrix3<f64>)> {
    let centre = points.iter().sum::<Vector2<f64>>() / 4.0;
    let spread = points.iter().map(|point| (point - centre).norm()).sum::<f64>() / 4.0;
    if !(spread.is_finite() && spread > 0.0) {
        return None;
    }
    let scale = std::f64::consts::SQRT_2 / spread;
    let transform = Matrix3::new(scale, 0.0, -scale * centre.x, 0.0, scale, -scale * centre.y, 0.0, 0.0, 1.0);
    Some((points.map(|point| (point - centre) * scale), transform))
}
