//! Refinement of a pose together with what is not exactly known of the camera.

use nalgebra::{Matrix3, SMatrix, SVector, Vector3};
use serde::{Deserialize, Serialize};

use super::ippe::card_corners_mm;
use super::projection::{PARAMETERS, Projection};
use super::{Intrinsics, Pose};
use crate::portable::Portable;
use crate::units::PhotoPoint;

/// Residuals: four corners.
const RESIDUALS: usize = 8;

/// What is believed of the camera before the card is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct CameraPrior {
    /// The most likely intrinsics.
    pub intrinsics: Intrinsics,
    /// Relative standard uncertainty of the focal length.
    pub focal_relative_u: f64,
    /// Standard uncertainty of the principal point, in px each way.
    pub principal_u_px: f64,
}

/// A pose and intrinsics at the least squares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Refined {
    /// Refined intrinsics.
    pub intrinsics: Intrinsics,
    /// Refined `camera_from_card`.
    pub pose: Pose,
    /// Weighted sum of squares at the minimum, priors included.
    pub chi_square: f64,
    /// Root mean square distance of the corners in px.
    pub rms_px: f64,
}

/// What four corners say of a pose more than it needs: eight readings, six parameters; the camera is held by its prior.
const DEGREES_OF_FREEDOM: f64 = 2.0;

impl Refined {
    /// How many times worse than their stated uncertainty the corners fit one rigid card, at least 1: what their
    /// uncertainty is to be multiplied by. Source: R. T. Birge, Phys. Rev. 40 (1932), 207, from memory; the same as the
    /// Birge ratio of key comparisons.
    pub fn birge_ratio(&self) -> f64 {
        (self.chi_square / DEGREES_OF_FREEDOM).max(1.0).sqrt()
    }
}

/// Least squares on the reprojection error of the four corners with the camera held by its prior
/// (Gauss-Newton with damping).
///
/// `corner_u_px`: standard uncertainty of each corner, each way. Assumes independent noise of the corners;
/// when two corners share a wrong edge, the residual shows it ([`Refined::birge_ratio`]) and [`crate::measure`] widens.
///
/// `None` when the card leaves the camera's front or the system is singular.
pub fn refine(
    start: &Pose,
    corners: &[PhotoPoint; 4],
    corner_u_px: &[f64; 4],
    size_mm: [f64; 2],
    prior: &CameraPrior,
) -> Option<Refined> {
    let (mut intrinsics, mut pose) = (prior.intrinsics, *start);
    let mut cost = Cost::at(&intrinsics, &pose, corners, corner_u_px, size_mm, prior)?;
    let mut damping = 1e-6;
    for _ in 0..40 {
        let (normal, gradient) = cost.normal_equations();
        let mut damped = normal;
        for i in 0..PARAMETERS {
            damped[(i, i)] *= 1.0 + damping;
        }
        let step = -(damped.cholesky()?.solve(&gradient));
        let (next_intrinsics, next_pose) = moved(&intrinsics, &pose, &step);
        match Cost::at(&next_intrinsics, &next_pose, corners, corner_u_px, size_mm, prior) {
            Some(next) if next.chi_square <= cost.chi_square => {
                let gained = cost.chi_square - next.chi_square;
                (intrinsics, pose, cost) = (next_intrinsics, next_pose, next);
                damping = (damping * 0.1).max(1e-12);
                if gained <= 1e-12 * (1.0 + cost.chi_square) && step.norm() < 1e-9 {
                    break;
                }
            }
            _ => {
                damping *= 10.0;
                if damping > 1e6 {
                    break;
                }
            }
        }
    }
    Some(Refined {
        intrinsics,
        pose,
        chi_square: cost.chi_square,
        rms_px: (cost.residuals.norm_squared() / 4.0).sqrt(),
    })
}

struct Cost {
    residuals: SVector<f64, RESIDUALS>,
    corner_jacobian: SMatrix<f64, RESIDUALS, PARAMETERS>,
    corner_u_px: [f64; 4],
    prior_offsets: [f64; 3],
    prior_weights: [f64; 3],
    chi_square: f64,
}

impl Cost {
    fn at(
        intrinsics: &Intrinsics,
        pose: &Pose,
        corners: &[PhotoPoint; 4],
        corner_u_px: &[f64; 4],
        size_mm: [f64; 2],
        prior: &CameraPrior,
    ) -> Option<Self> {
        let mut residuals = SVector::zeros();
        let mut corner_jacobian = SMatrix::<f64, RESIDUALS, PARAMETERS>::zeros();
        let mut chi_square = 0.0;
        for (i, (corner, plane)) in corners.iter().zip(card_corners_mm(size_mm)).enumerate() {
            let seen = Projection::of(intrinsics, pose, &Vector3::new(plane.x, plane.y, 0.0))?;
            for (row, off) in [seen.at.x - corner.x, seen.at.y - corner.y].into_iter().enumerate() {
                let at = 2 * i + row;
                residuals[at] = off;
                corner_jacobian.set_row(at, &seen.by_camera.row(row));
                chi_square += (off / corner_u_px[i]).powi(2);
            }
        }
        let prior_offsets = [
            (intrinsics.focal_px / prior.intrinsics.focal_px).portable_ln(),
            intrinsics.principal_point.x - prior.intrinsics.principal_point.x,
            intrinsics.principal_point.y - prior.intrinsics.principal_point.y,
        ];
        let prior_weights = [prior.focal_relative_u, prior.principal_u_px, prior.principal_u_px]
            .map(|u| 1.0 / u.max(1e-9).powi(2));
        for (offset, weight) in prior_offsets.iter().zip(prior_weights) {
            chi_square += offset * offset * weight;
        }
        chi_square.is_finite().then_some(Self {
            residuals,
            corner_jacobian,
            corner_u_px: *corner_u_px,
            prior_offsets,
            prior_weights,
            chi_square,
        })
    }

    fn corner_weights(&self) -> SMatrix<f64, RESIDUALS, RESIDUALS> {
        SMatrix::from_diagonal(&SVector::from_fn(|i, _| 1.0 / self.corner_u_px[i / 2].powi(2)))
    }

    fn normal_equations(&self) -> (SMatrix<f64, PARAMETERS, PARAMETERS>, SVector<f64, PARAMETERS>) {
        let weighted = self.corner_jacobian.transpose() * self.corner_weights();
        let mut normal = weighted * self.corner_jacobian;
        let mut gradient = weighted * self.residuals;
        for (i, (offset, weight)) in self.prior_offsets.iter().zip(self.prior_weights).enumerate() {
            normal[(6 + i, 6 + i)] += weight;
            gradient[6 + i] += offset * weight;
        }
        (normal, gradient)
    }
}

/// A pose and intrinsics moved by `step` in the parameters (see [`PARAMETERS`]).
pub fn moved(intrinsics: &Intrinsics, pose: &Pose, step: &SVector<f64, PARAMETERS>) -> (Intrinsics, Pose) {
    let turn = Vector3::new(step[0], step[1], step[2]);
    let pose = Pose {
        rotation: rotation_of(&turn) * pose.rotation,
        translation_mm: pose.translation_mm + Vector3::new(step[3], step[4], step[5]),
    };
    let centre = intrinsics.principal_point;
    let intrinsics = Intrinsics {
        // A bound on one step keeps a wide prior from leaping to nonsense.
        focal_px: intrinsics.focal_px * step[6].clamp(-0.7, 0.7).portable_exp(),
        principal_point: PhotoPoint::new(centre.x + step[7], centre.y + step[8]),
    };
    (intrinsics, pose)
}

/// The rotation about `turn` by its length in radians (Rodrigues).
pub fn rotation_of(turn: &Vector3<f64>) -> Matrix3<f64> {
    let angle = turn.norm();
    if angle < 1e-12 {
        return Matrix3::identity() + turn.cross_matrix();
    }
    let k = (turn / angle).cross_matrix();
    Matrix3::identity() + k * angle.portable_sin() + k * k * (1.0 - angle.portable_cos())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::ippe::two_poses;
    use crate::units::PhotoSize;

    const ID1_MM: [f64; 2] = crate::card::ID1_MM;

    fn fit(shift_px: f64, u_px: f64) -> Refined {
        let intrinsics = Intrinsics::centred(3000.0, PhotoSize { width: 4032, height: 3024 });
        let pose = Pose {
            rotation: rotation_of(&Vector3::new(0.3, 0.1, 0.0))
                * Matrix3::from_diagonal(&Vector3::new(1.0, -1.0, -1.0)),
            translation_mm: Vector3::new(20.0, -10.0, 500.0),
        };
        let seen = |k: usize| {
            let corner = card_corners_mm(ID1_MM)[k];
            let at = intrinsics
                .project(&pose.transform(&Vector3::new(corner.x, corner.y, 0.0)))
                .expect("in front");
            // One corner in, the next out: no pose of a rigid card does that.
            PhotoPoint::new(at.x + if k.is_multiple_of(2) { shift_px } else { -shift_px }, at.y)
        };
        let corners = std::array::from_fn(seen);
        let prior = CameraPrior { intrinsics, focal_relative_u: 0.02, principal_u_px: 20.0 };
        let (start, _) = two_poses(&corners, ID1_MM, &intrinsics).expect("two poses")[0];
        refine(&start, &corners, &[u_px; 4], ID1_MM, &prior).expect("a fit")
    }

    #[test]
    fn corners_that_fit_no_rigid_card_are_worse_than_they_say() {
        assert_eq!(fit(0.0, 0.5).birge_ratio(), 1.0);
        assert_eq!(fit(0.2, 0.5).birge_ratio(), 1.0, "within what was said");
        let (sure, unsure) = (fit(3.0, 0.5).birge_ratio(), fit(3.0, 1.0).birge_ratio());
        // Half as sure, half as bad; a little less, since the camera gives way too.
        assert!(sure > 3.0 && (1.5..=2.0).contains(&(sure / unsure)), "{sure} {unsure}");
    }
}
