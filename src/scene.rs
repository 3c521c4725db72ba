//! What a photo shows of card and camera, and the poses that explain the card.

use nalgebra::Matrix2;
use serde::{Deserialize, Serialize};

use crate::camera::ippe::two_poses;
use crate::camera::refine::{CameraPrior, Refined, refine};
use crate::camera::{FocalFrom, Intrinsics, Lens, Pose};
use crate::card::{FoundCard, ID1_MM};
use crate::portable::Portable;
use crate::terms::{MarkedPoint, Placing};
use crate::units::{PhotoPoint, PhotoSize};

/// A point placed by hand with the magnifier, in px of the full-size photo, where nothing is known of the screen (common
/// practice); and how sharp the tooth itself is, in mm.
const HAND_U_PX: f64 = 1.5;
const HAND_U_MM: f64 = 0.35;
/// The chi-square difference up to which the card's second pose stays credible (measured flips of an ID-1
/// card: the wrong one has the smaller error in up to 40 % of near-frontal photos).
const OPEN_CHI_SQUARE: f64 = 9.0;
/// The ratio of the two errors up to which it stays credible.
const OPEN_RATIO: f64 = 2.0;
/// Share of belief an open twin keeps at least, so that it is never dropped silently.
const LEAST_TWIN_WEIGHT: f64 = 0.05;

/// What the photo shows of the card and the camera: enough to turn points into a width without the photo,
/// so that the page follows a dragged point without asking the worker.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Scene {
    /// Upright size.
    pub size: PhotoSize,
    /// The card.
    pub card: FoundCard,
    /// The credible poses of the card, the likelier first: one, or two while the flip is open.
    pub poses: Vec<ScenePose>,
    /// Where the focal length came from.
    pub focal_from: FocalFrom,
    /// Relative standard uncertainty of the focal length before the card was looked at.
    pub focal_relative_u: f64,
    /// The intrinsics believed before the card was looked at.
    pub prior_intrinsics: Intrinsics,
    /// Standard uncertainty of the principal point in px each way.
    pub principal_u_px: f64,
    /// Which lens took it, where the file tells: photos of one lens are off by the same.
    pub lens: Option<Lens>,
}

/// One pose that explains the card, with the camera refined for it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ScenePose {
    /// The camera.
    pub intrinsics: Intrinsics,
    /// `camera_from_card`.
    pub pose: Pose,
    /// Share of belief, 0 to 1; all add up to 1.
    pub weight: f64,
    /// Root mean square reprojection error of the corners in px.
    pub rms_px: f64,
}

impl Scene {
    /// Distance from the camera to the card's centre, of the likelier pose, in mm.
    pub fn distance_mm(&self) -> f64 {
        self.poses.first().map_or(f64::NAN, |pose| pose.pose.distance_mm())
    }

    /// Tilt of the likelier pose in degrees.
    pub fn tilt_deg(&self) -> f64 {
        self.poses.first().map_or(f64::NAN, |pose| pose.pose.tilt_deg())
    }

    /// Resolution on the card in px per cm (see [`px_per_cm`]).
    pub fn px_per_cm(&self) -> f64 {
        px_per_cm(&self.card.corners)
    }

    /// The camera's prior that belongs to this scene, for propagation.
    pub fn camera_prior(&self) -> CameraPrior {
        CameraPrior {
            intrinsics: self.prior_intrinsics,
            focal_relative_u: self.focal_relative_u,
            principal_u_px: self.principal_u_px,
        }
    }

    /// Covariance in px squared of where a marked point's spot is seen: placing it, and which spot is meant.
    pub fn spread_px2(&self, marked: &MarkedPoint) -> Matrix2<f64> {
        let spot_px = marked.spot_u_mm * self.px_per_cm() / 10.0;
        marked.covariance_px2 + Matrix2::identity() * spot_px * spot_px
    }

    /// A point that the person placed, with the uncertainty of doing so.
    pub fn hand_placed(&self, point: PhotoPoint) -> MarkedPoint {
        hand_placed(point)
    }

    /// The same where it is known how it was placed.
    pub fn placed_so(&self, point: PhotoPoint, placing: Placing) -> MarkedPoint {
        MarkedPoint { spot_u_mm: HAND_U_MM, ..MarkedPoint::round(point, placing.u_px()) }
    }
}

/// A point placed by hand with the magnifier.
pub fn hand_placed(point: PhotoPoint) -> MarkedPoint {
    MarkedPoint { spot_u_mm: HAND_U_MM, ..MarkedPoint::round(point, HAND_U_PX) }
}

/// Resolution on a card with these corners in px per cm: its shorter image side over its true length, the smaller
/// of the two directions.
pub fn px_per_cm(corners: &[PhotoPoint; 4]) -> f64 {
    let c = corners;
    let long = 0.5 * (c[0].distance_px(c[1]) + c[2].distance_px(c[3])) / (ID1_MM[0] / 10.0);
    let short = 0.5 * (c[1].distance_px(c[2]) + c[3].distance_px(c[0])) / (ID1_MM[1] / 10.0);
    long.min(short)
}

/// The pose, or both where neither can be told from the other.
pub(crate) fn credible_poses(card: &FoundCard, prior: &CameraPrior) -> Vec<ScenePose> {
    let Some(both) = two_poses(&card.corners, ID1_MM, &prior.intrinsics) else { return Vec::new() };
    let mut fits: Vec<Refined> = both
        .iter()
        .filter_map(|(pose, _)| refine(pose, &card.corners, &card.corner_u_px, ID1_MM, prior))
        .collect();
    fits.sort_by(|a, b| a.chi_square.total_cmp(&b.chi_square));
    let Some(best) = fits.first().copied() else { return Vec::new() };
    let apart = |a: &Refined, b: &Refined| {
        let normals = (a.pose.rotation.column(2), b.pose.rotation.column(2));
        normals.0.dot(&normals.1).clamp(-1.0, 1.0).portable_acos().to_degrees()
    };
    // A residual that is larger than the corners' own uncertainty says that they are worse than thought.
    let inflation = best.birge_ratio().powi(2);
    let mut poses: Vec<(Refined, f64)> = vec![(best, 1.0)];
    for twin in fits.iter().skip(1) {
        let difference = (twin.chi_square - best.chi_square) / inflation;
        let open = difference < OPEN_CHI_SQUARE || twin.rms_px < OPEN_RATIO * best.rms_px;
        // The refinement may bring both to the same place.
        if open && apart(&best, twin) > 1.0 {
            poses.push((*twin, (-0.5 * difference).portable_exp().max(LEAST_TWIN_WEIGHT)));
        }
    }
    let total: f64 = poses.iter().map(|pose| pose.1).sum();
    poses
        .into_iter()
        .map(|(fit, weight)| ScenePose {
            intrinsics: fit.intrinsics,
            pose: fit.pose,
            weight: weight / total,
            rms_px: fit.rms_px,
        })
        .collect()
}
