//! The truth beside a photo, as `samples/README.md` explains it.

use nalgebra::Vector3;
use serde::Deserialize;
use shellspan::camera::{CameraPrior, Intrinsics};
use shellspan::terms::{Dimension, Placement};
use shellspan::units::PhotoPoint;

#[derive(Deserialize)]
pub struct Truth {
    pub camera: TrueCamera,
    pub card: TrueCard,
    pub shell: TrueShell,
    #[serde(default)]
    pub scene: TrueScene,
    #[serde(default)]
    pub exif: TrueExif,
}

impl Truth {
    /// The true camera, where a crop that the file does not tell of hides it.
    pub fn hidden_camera(&self) -> Option<CameraPrior> {
        self.exif.state.starts_with("cropped").then_some(CameraPrior {
            intrinsics: Intrinsics {
                focal_px: self.camera.focal_px,
                principal_point: PhotoPoint::new(self.camera.cx, self.camera.cy),
            },
            focal_relative_u: CALIBRATED_U,
            principal_u_px: CALIBRATED_U * self.camera.focal_px,
        })
    }

    /// Where the true camera sees a point of the card frame, its lens included.
    pub fn to_photo(&self, point_mm: Vector3<f64>) -> PhotoPoint {
        let TruePose { rotation, t_mm } = &self.card.pose_card_to_camera;
        let at: [f64; 3] = std::array::from_fn(|row| {
            (0..3).map(|k| rotation[row][k] * point_mm[k]).sum::<f64>() + t_mm[row]
        });
        let (x, y) = (at[0] / at[2], at[1] / at[2]);
        let stretched = self.camera.focal_px * (1.0 + self.camera.k1 * (x * x + y * y));
        PhotoPoint::new(stretched * x + self.camera.cx, stretched * y + self.camera.cy)
    }

    /// Centre of the true camera in the card frame, in mm.
    pub fn camera_in_card_mm(&self) -> Vector3<f64> {
        let TruePose { rotation, t_mm } = &self.card.pose_card_to_camera;
        Vector3::from_fn(|k, _| -(0..3).map(|row| rotation[row][k] * t_mm[row]).sum::<f64>())
    }
}

/// A calibrated phone's camera is known to this, relative (common practice).
const CALIBRATED_U: f64 = 0.002;

#[derive(Deserialize, Default)]
pub struct TrueExif {
    #[serde(default)]
    pub state: String,
}

#[derive(Deserialize, Clone, Copy)]
pub struct TrueCamera {
    pub focal_px: f64,
    pub cx: f64,
    pub cy: f64,
    #[serde(default)]
    pub k1: f64,
}

#[derive(Deserialize)]
pub struct TruePose {
    #[serde(rename = "R")]
    pub rotation: [[f64; 3]; 3],
    pub t_mm: [f64; 3],
}

#[derive(Deserialize)]
pub struct TrueCard {
    pub pose_card_to_camera: TruePose,
    pub corners_px: [[f64; 2]; 4],
    pub placement: Placement,
}

#[derive(Deserialize)]
pub struct TrueShell {
    pub species: String,
    pub dimension: Dimension,
    pub left_px: [f64; 2],
    pub right_px: [f64; 2],
    pub width_mm: f64,
    /// Between the notches, and where these and the tips are seen.
    pub notch_width_mm: Option<f64>,
    pub notchs_px: Option<[[f64; 2]; 2]>,
    pub tips_px: Option<[[f64; 2]; 2]>,
    pub mean_height_above_card_mm: f64,
    pub left_card_mm: [f64; 3],
    pub right_card_mm: [f64; 3],
}

#[derive(Deserialize, Default)]
pub struct TrueScene {
    #[serde(default)]
    pub upside_down: Option<bool>,
    #[serde(default)]
    pub motion_blur_px: f64,
}
