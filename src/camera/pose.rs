//! The pose of the card before the camera.

use crate::portable::Portable;
use nalgebra::{Matrix3, Vector3};
use serde::{Deserialize, Serialize};

/// `camera_from_card`: a point of the card frame (mm; origin at the card's centre on its printed face, x
/// along the long side, z up out of the face) to the camera frame (mm; x right, y down, z forward).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Pose {
    /// Rotation part.
    pub rotation: Matrix3<f64>,
    /// The card's centre in the camera frame, in mm.
    pub translation_mm: Vector3<f64>,
}

impl Pose {
    /// Card frame to camera frame.
    pub fn transform(&self, point_in_card_mm: &Vector3<f64>) -> Vector3<f64> {
        self.rotation * point_in_card_mm + self.translation_mm
    }

    /// Camera centre in the card frame, in mm.
    pub fn camera_in_card_mm(&self) -> Vector3<f64> {
        -(self.rotation.transpose() * self.translation_mm)
    }

    /// Distance from the camera to the card's centre in mm.
    pub fn distance_mm(&self) -> f64 {
        self.translation_mm.norm()
    }

    /// Angle between the card's normal and the line of sight to its centre, in degrees.
    pub fn tilt_deg(&self) -> f64 {
        let normal = self.rotation.column(2);
        let sight = self.translation_mm.normalize();
        normal.dot(&sight).abs().clamp(0.0, 1.0).portable_acos().to_degrees()
    }
}
