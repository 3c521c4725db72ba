//! What a photo shows round a marked point, small enough to be kept while another photo is looked at.

use serde::{Deserialize, Serialize};

use crate::camera::{Intrinsics, Pose};
use crate::photo::Photo;
use crate::scene::Scene;
use crate::units::PhotoPoint;

/// Half the side of a patch on the shell, in mm: the compared window, turned, at half again its scale.
const HALF_SIDE_MM: f64 = 11.0;
/// No patch has more pixels a side.
const MOST_SIDE_PX: usize = 400;

/// The luma round a marked point, with the camera that saw it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Patch {
    /// The marked point, in px of the whole photo.
    pub point: PhotoPoint,
    /// The camera.
    pub intrinsics: Intrinsics,
    /// `camera_from_card`.
    pub pose: Pose,
    /// First column and row of the patch in the photo.
    origin: [i64; 2],
    side_px: usize,
    luma: Vec<u8>,
}

impl Patch {
    /// Cuts the patch round `point`. `None` without a pose.
    pub fn cut(photo: &Photo, scene: &Scene, point: PhotoPoint) -> Option<Self> {
        let pose = scene.poses.first()?;
        let half = (HALF_SIDE_MM * scene.px_per_cm() / 10.0).ceil();
        let side_px = (2 * half as usize + 1).min(MOST_SIDE_PX);
        let origin = [point.x, point.y].map(|at| at.round() as i64 - side_px as i64 / 2);
        let luma = (0..side_px as i64)
            .flat_map(|row| (0..side_px as i64).map(move |column| (column, row)))
            .map(|(column, row)| photo.ycbcr(origin[0] + column, origin[1] + row)[0])
            .collect();
        Some(Self { point, intrinsics: pose.intrinsics, pose: pose.pose, origin, side_px, luma })
    }

    /// Luma at a place of the photo; `None` outside the patch.
    pub(super) fn luma_at(&self, at: PhotoPoint) -> Option<f32> {
        let (x, y) = (at.x - self.origin[0] as f64, at.y - self.origin[1] as f64);
        let last = (self.side_px as f64 - 1.001).max(0.0);
        if !((0.0..=last).contains(&x) && (0.0..=last).contains(&y)) {
            return None;
        }
        let ([column, row], [right, down]) = PhotoPoint::new(x, y).whole_and_part();
        let first = row as usize * self.side_px + column as usize;
        let value = |offset: usize| self.luma.get(first + offset).map(|&value| f32::from(value));
        let upper = value(0)? * (1.0 - right) + value(1)? * right;
        let lower = value(self.side_px)? * (1.0 - right) + value(self.side_px + 1)? * right;
        Some(upper * (1.0 - down) + lower * down)
    }
}
