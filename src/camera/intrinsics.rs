//! The intrinsics of a phone's camera, from EXIF or from a wide prior.

use nalgebra::Vector3;
use serde::{Deserialize, Serialize};

use crate::units::{PhotoPoint, PhotoSize};

/// Pinhole intrinsics with square pixels.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Intrinsics {
    /// Focal length in pixels of the upright photo.
    pub focal_px: f64,
    /// Where the optical axis meets the photo.
    pub principal_point: PhotoPoint,
}

impl Intrinsics {
    /// Principal point at the centre of the photo: `((W-1)/2, (H-1)/2)`.
    pub fn centred(focal_px: f64, size: PhotoSize) -> Self {
        let principal_point =
            PhotoPoint::new((f64::from(size.width) - 1.0) / 2.0, (f64::from(size.height) - 1.0) / 2.0);
        Self { focal_px, principal_point }
    }

    /// Direction of the ray through `point` in the camera frame (x right, y down, z forward), z = 1.
    pub fn ray(&self, point: PhotoPoint) -> Vector3<f64> {
        Vector3::new(
            (point.x - self.principal_point.x) / self.focal_px,
            (point.y - self.principal_point.y) / self.focal_px,
            1.0,
        )
    }

    /// Projects a point of the camera frame. `None` when it is not in front of the camera.
    pub fn project(&self, point_in_camera: &Vector3<f64>) -> Option<PhotoPoint> {
        (point_in_camera.z > 1e-9).then(|| {
            PhotoPoint::new(
                self.focal_px * point_in_camera.x / point_in_camera.z + self.principal_point.x,
                self.focal_px * point_in_camera.y / point_in_camera.z + self.principal_point.y,
            )
        })
    }
}

/// Where the focal length came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FocalFrom {
    /// EXIF FocalLengthIn35mmFilm.
    Exif,
    /// A calibration of this phone.
    Calibration,
    /// Nothing is known of the lens: the range of phones' main cameras.
    Prior,
}

/// What is known of the focal length before the card is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FocalPrior {
    /// Most likely focal length in pixels.
    pub focal_px: f64,
    /// Relative standard uncertainty (0.02 is 2 %).
    pub relative_u: f64,
    /// Where it came from.
    pub from: FocalFrom,
}
