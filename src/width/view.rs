//! One photo as the estimator takes it, and the ways in which the card and the points of two photos may correspond.

use nalgebra::{Matrix3, Vector3};

use super::HeightPrior;
use super::rays::at_expected_height;
use crate::camera::{CameraPrior, Intrinsics, Lens, Pose};
use crate::scene::{Scene, ScenePose};
use crate::terms::MarkedPoint;
use crate::units::PhotoPoint;

/// A photo that was understood, with both measuring points marked on it, in no particular order.
#[derive(Debug, Clone, Copy)]
pub struct View<'a> {
    /// Card and camera.
    pub scene: &'a Scene,
    /// The two points.
    pub points: [MarkedPoint; 2],
}

/// A view in the frame that all views share: its corners and points in the order of the first view.
#[derive(Debug, Clone)]
pub(super) struct Aligned {
    pub corners: [PhotoPoint; 4],
    pub corner_u_px: [f64; 4],
    pub points: [MarkedPoint; 2],
    pub poses: Vec<ScenePose>,
    pub prior: CameraPrior,
    pub lens: Option<Lens>,
}

impl Aligned {
    pub fn first(view: &View<'_>) -> Self {
        let scene = view.scene;
        Self {
            corners: scene.card.corners,
            corner_u_px: scene.card.corner_u_px,
            points: view.points,
            poses: scene.poses.clone(),
            prior: scene.camera_prior(),
            lens: scene.lens.clone(),
        }
    }

    /// The same view with the card's other end first: which end of a card is up cannot be told from its outline.
    fn turned(&self) -> Self {
        let half_turn = Matrix3::from_diagonal(&Vector3::new(-1.0, -1.0, 1.0));
        let mut turned = self.clone();
        turned.corners.rotate_left(2);
        turned.corner_u_px.rotate_left(2);
        for pose in &mut turned.poses {
            pose.pose.rotation *= half_turn;
        }
        turned
    }

    fn swapped(&self) -> Self {
        let mut swapped = self.clone();
        swapped.points.swap(0, 1);
        swapped
    }

    /// The points at the height to expect, by the likeliest pose that puts them there.
    pub fn expected_points(&self, height: &HeightPrior) -> Option<[Vector3<f64>; 2]> {
        (0..self.poses.len()).find_map(|pose| self.expected_by(pose, height))
    }

    /// The points at the height to expect, by one of the poses.
    pub fn expected_by(&self, pose: usize, height: &HeightPrior) -> Option<[Vector3<f64>; 2]> {
        let ScenePose { intrinsics, pose, .. } = self.poses.get(pose)?;
        at_expected_height(intrinsics, pose, self.points.map(|marked| marked.point), height)
    }

    /// The ways in which this view may correspond to points at `places`, the nearest first: only one of the four
    /// unless the crab lies so that others come as near.
    pub fn like(&self, places: &[Vector3<f64>; 2], height: &HeightPrior) -> Vec<Self> {
        let turned = self.turned();
        let mut ways: Vec<(f64, Self)> = [self.swapped(), turned.swapped(), turned, self.clone()]
            .into_iter()
            .filter_map(|way| {
                let points = way.expected_points(height)?;
                Some(((points[0] - places[0]).norm() + (points[1] - places[1]).norm(), way))
            })
            .collect();
        ways.sort_by(|a, b| a.0.total_cmp(&b.0));
        let near = ways.first().map_or(0.0, |way| 2.0 * way.0 + SAME_PLACE_MM);
        ways.retain(|way| way.0 <= near);
        ways.into_iter().map(|way| way.1).collect()
    }

    /// Centre of the camera and direction to the point, card frame, by one of the poses.
    pub fn ray(&self, pose: usize, which: usize) -> Option<(Vector3<f64>, Vector3<f64>)> {
        let ScenePose { intrinsics, pose, .. } = self.poses.get(pose)?;
        let direction = super::rays::ray_in_card(intrinsics, pose, self.points[which].point);
        Some((pose.camera_in_card_mm(), direction))
    }

    pub fn camera(&self, pose: usize) -> Option<(Intrinsics, Pose)> {
        self.poses.get(pose).map(|pose| (pose.intrinsics, pose.pose))
    }
}

/// By so much may the same two points differ between photos while their height is only expected: 30 mm of height
/// seen from 45 degrees, for each of the two.
const SAME_PLACE_MM: f64 = 60.0;
