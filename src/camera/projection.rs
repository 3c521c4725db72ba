//! A projection together with how it moves with the camera and with the point.

use nalgebra::{SMatrix, Vector3};

use super::{Intrinsics, Pose};
use crate::units::PhotoPoint;

/// Parameters of one camera: turn (3), shift in mm (3), ln focal, principal point (2).
pub const PARAMETERS: usize = 9;

/// Where a point of the card frame is seen, with the derivatives in px.
#[derive(Debug, Clone, Copy)]
pub struct Projection {
    /// Where.
    pub at: PhotoPoint,
    /// By the camera's parameters (see [`PARAMETERS`]).
    pub by_camera: SMatrix<f64, 2, PARAMETERS>,
    /// By the point, per mm.
    pub by_point: SMatrix<f64, 2, 3>,
}

impl Projection {
    /// Projects `point_mm` (card frame). `None` when it is not in front of the camera.
    ///
    /// Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., section 6.1; a small turn w moves a turned point
    /// by their cross product.
    pub fn of(intrinsics: &Intrinsics, pose: &Pose, point_mm: &Vector3<f64>) -> Option<Self> {
        let turned = pose.rotation * point_mm;
        let in_camera = turned + pose.translation_mm;
        let at = intrinsics.project(&in_camera)?;
        let f = intrinsics.focal_px;
        let (x, y, z) = (in_camera.x, in_camera.y, in_camera.z);
        let by_place =
            [Vector3::new(f / z, 0.0, -f * x / (z * z)), Vector3::new(0.0, f / z, -f * y / (z * z))];
        let centre = intrinsics.principal_point;
        let from_centre = [at.x - centre.x, at.y - centre.y];
        let mut by_camera = SMatrix::zeros();
        let mut by_point = SMatrix::zeros();
        for (row, derivative) in by_place.iter().enumerate() {
            let by_turn = turned.cross(derivative);
            let by_own = pose.rotation.transpose() * derivative;
            for k in 0..3 {
                by_camera[(row, k)] = by_turn[k];
                by_camera[(row, 3 + k)] = derivative[k];
                by_point[(row, k)] = by_own[k];
            }
            by_camera[(row, 6)] = from_centre[row];
            by_camera[(row, 7 + row)] = 1.0;
        }
        Some(Self { at, by_camera, by_point })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::refine::{moved, rotation_of};
    use crate::units::PhotoSize;
    use nalgebra::SVector;

    /// Against differences of the projection itself.
    #[test]
    fn derivatives_are_those_of_the_projection() {
        let intrinsics = Intrinsics::centred(3000.0, PhotoSize { width: 4032, height: 3024 });
        let pose = Pose {
            rotation: rotation_of(&Vector3::new(2.9, 0.2, -0.1)),
            translation_mm: Vector3::new(15.0, -20.0, 550.0),
        };
        let place = Vector3::new(80.0, -60.0, 31.0);
        let told = Projection::of(&intrinsics, &pose, &place).expect("in front");
        let seen = |intrinsics: &Intrinsics, pose: &Pose, place: &Vector3<f64>| {
            let at = intrinsics.project(&pose.transform(place)).expect("in front");
            [at.x, at.y]
        };
        for k in 0..PARAMETERS + 3 {
            let shifted = |by: f64| {
                if k < PARAMETERS {
                    let mut step = SVector::<f64, PARAMETERS>::zeros();
                    step[k] = by;
                    let (intrinsics, pose) = moved(&intrinsics, &pose, &step);
                    seen(&intrinsics, &pose, &place)
                } else {
                    let mut place = place;
                    place[k - PARAMETERS] += by;
                    seen(&intrinsics, &pose, &place)
                }
            };
            let (up, down) = (shifted(1e-5), shifted(-1e-5));
            for row in 0..2 {
                let by_difference = (up[row] - down[row]) / 2e-5;
                let by_formula = if k < PARAMETERS {
                    told.by_camera[(row, k)]
                } else {
                    told.by_point[(row, k - PARAMETERS)]
                };
                assert!(
                    (by_difference - by_formula).abs() < 1e-4 * (1.0 + by_formula.abs()),
                    "{row} {k}: {by_difference} {by_formula}"
                );
            }
        }
    }
}
