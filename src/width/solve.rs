//! The width from two points, a pose and a height, and how it moves with each of them.

use nalgebra::{SMatrix, SVector, Vector3};

use super::height::HeightPrior;
use super::{Budget, Hump, Width, remedy};
use crate::camera::refine::{PARAMETERS, refine};
use crate::camera::{Intrinsics, Pose};
use crate::card::ID1_MM;
use crate::portable::Portable;
use crate::scene::{Scene, ScenePose};
use crate::terms::{MarkedPoint, Placement};
use crate::units::PhotoPoint;

/// Relative standard uncertainty of a card's size: width 85.47 to 85.72 mm, rectangular: 0.072 mm, 0.084 %.
/// Source: ISO/IEC 7810, limits of an unused card.
pub const CARD_RELATIVE_U: f64 = 0.000_84;
/// What one radial term of a phone's lens leaves between card and shell, relative (common practice).
const LENS_RELATIVE_U: f64 = 0.001;
/// The two points of one crab differ in height by this share of the width: it stands a little askew
/// (2 degrees, common practice).
const ASKEW_SHARE: f64 = 0.035;
/// A ray closer to the height plane than this has no use: a pixel of noise would move the answer by more
/// than a shell's width. Sine of 8 degrees.
const LEAST_SINE: f64 = 0.14;
/// Two-sided 95 % of the normal distribution. Source: JCGM 100 (GUM), table G.2, infinite degrees.
const NORMAL_95: f64 = 1.959_964;

/// Intersects the ray through `point` with the plane `height_mm` above the card's face; card frame, mm.
///
/// `None` when the ray is nearly in the plane, or the plane lies behind the camera.
/// Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., section 8.1.
pub fn on_height_plane(
    intrinsics: &Intrinsics,
    pose: &Pose,
    point: PhotoPoint,
    height_mm: f64,
) -> Option<Vector3<f64>> {
    let camera = pose.camera_in_card_mm();
    let ray = (pose.rotation.transpose() * intrinsics.ray(point)).normalize();
    if ray.z.abs() < LEAST_SINE {
        return None;
    }
    let distance = (height_mm - camera.z) / ray.z;
    (distance > 0.0).then(|| camera + ray * distance)
}

/// Where a point of the card frame is seen.
pub fn to_photo(intrinsics: &Intrinsics, pose: &Pose, point_mm: &Vector3<f64>) -> Option<PhotoPoint> {
    intrinsics.project(&pose.transform(point_mm))
}

/// Distance of the two points in mm when each lies at its height; `heights_mm` as shares may differ.
fn distance_mm(
    intrinsics: &Intrinsics,
    pose: &Pose,
    points: &[PhotoPoint; 2],
    heights_mm: [f64; 2],
) -> Option<f64> {
    let left = on_height_plane(intrinsics, pose, points[0], heights_mm[0])?;
    let right = on_height_plane(intrinsics, pose, points[1], heights_mm[1])?;
    Some((left - right).norm())
}

/// Width and height solved together, since the height is a share of the width.
fn solve(
    intrinsics: &Intrinsics,
    pose: &Pose,
    points: &[PhotoPoint; 2],
    share: f64,
    offset_mm: f64,
) -> Option<(f64, f64)> {
    let mut height = offset_mm;
    let mut width = 0.0;
    // Each round gains a factor of share * width / distance, a tenth or so.
    for _ in 0..30 {
        width = distance_mm(intrinsics, pose, points, [height, height])?;
        let next = share * width + offset_mm;
        if (next - height).abs() < 1e-9 {
            return Some((width, next));
        }
        height = next;
        if !height.is_finite() || height.abs() > 1e4 {
            return None;
        }
    }
    Some((width, height))
}

/// The width between two marked points, with its uncertainty by the law of propagation (JCGM 100, the GUM)
/// through the same solve, for each credible pose of the card.
///
/// Assumes independent noise of corners, points, height, focal length and card. `None` when a point's ray
/// does not meet the height plane.
pub fn measure_width(
    scene: &Scene,
    points: &[MarkedPoint; 2],
    placement: Placement,
    height: &HeightPrior,
) -> Option<Width> {
    let mut parts: Vec<(f64, OnePose)> = Vec::new();
    for pose in &scene.poses {
        // A twin that does not even put the points on the plane explains nothing.
        if let Some(part) = OnePose::of(scene, pose, points, height) {
            parts.push((pose.weight, part));
        }
    }
    let first = parts.first()?.1;
    let total: f64 = parts.iter().map(|part| part.0).sum();
    let humps: Vec<Hump> = parts
        .iter()
        .map(|(weight, part)| Hump { weight: weight / total, mean_mm: part.width_mm, u_mm: part.u_mm() })
        .collect();
    let (width_mm, u_mm) = moments(&humps);
    let interval_mm = interval(&humps);
    let budget_mm = first.budget;
    let remedy = remedy::remedy(scene, placement, &humps, &budget_mm, u_mm);
    Some(Width {
        width_mm,
        u_mm,
        interval_mm,
        budget_mm,
        height_mm: first.height_mm,
        height_u_mm: first.height_u_mm,
        humps,
        remedy,
    })
}

/// Mean and standard deviation of a mixture.
pub fn moments(humps: &[Hump]) -> (f64, f64) {
    let mean: f64 = humps.iter().map(|hump| hump.weight * hump.mean_mm).sum();
    let variance: f64 =
        humps.iter().map(|hump| hump.weight * (hump.u_mm.powi(2) + (hump.mean_mm - mean).powi(2))).sum();
    (mean, variance.sqrt())
}

/// 95 % interval that holds both humps while the flip is open.
pub fn interval(humps: &[Hump]) -> [f64; 2] {
    let low = humps.iter().map(|hump| hump.mean_mm - NORMAL_95 * hump.u_mm).fold(f64::MAX, f64::min);
    let high = humps.iter().map(|hump| hump.mean_mm + NORMAL_95 * hump.u_mm).fold(f64::MIN, f64::max);
    [low, high]
}

#[derive(Debug, Clone, Copy)]
struct OnePose {
    width_mm: f64,
    height_mm: f64,
    height_u_mm: f64,
    budget: Budget,
}

impl OnePose {
    fn u_mm(&self) -> f64 {
        let b = &self.budget;
        [b.corners, b.points, b.height, b.focal, b.card].iter().map(|u| u * u).sum::<f64>().sqrt()
    }

    fn of(scene: &Scene, pose: &ScenePose, points: &[MarkedPoint; 2], height: &HeightPrior) -> Option<Self> {
        let places = points.map(|marked| marked.point);
        let (intrinsics, seen) = (pose.intrinsics, pose.pose);
        let width =
            |intrinsics: &Intrinsics, pose: &Pose, places: &[PhotoPoint; 2], share: f64, offset: f64| {
                solve(intrinsics, pose, places, share, offset).map(|solved| solved.0)
            };
        let (width_mm, height_mm) = solve(&intrinsics, &seen, &places, height.share, 0.0)?;
        // Points: numeric derivative by px, with each point's own covariance.
        let mut by_points = 0.0;
        for i in 0..2 {
            let mut gradient = nalgebra::Vector2::zeros();
            for axis in 0..2 {
                let shifted = |by: f64| {
                    let mut moved = places;
                    if axis == 0 {
                        moved[i].x += by
                    } else {
                        moved[i].y += by
                    }
                    width(&intrinsics, &seen, &moved, height.share, 0.0)
                };
                gradient[axis] = (shifted(0.25)? - shifted(-0.25)?) / 0.5;
            }
            by_points += (gradient.transpose() * points[i].covariance_px2 * gradient)[(0, 0)];
        }
        // Height: the share and the offset move both points, standing askew moves them apart.
        let slope = |share: f64, offset: f64, du: f64| {
            let up = width(&intrinsics, &seen, &places, height.share + share * du, offset * du)?;
            let down = width(&intrinsics, &seen, &places, height.share - share * du, -offset * du)?;
            Some((up - down) / (2.0 * du))
        };
        let by_share = slope(1.0, 0.0, 1e-3)? * height.share_u;
        let by_offset = slope(0.0, 1.0, 0.1)? * height.offset_u_mm;
        let askew = {
            let half = ASKEW_SHARE * width_mm / 2.0;
            let up = distance_mm(&intrinsics, &seen, &places, [height_mm + half, height_mm - half])?;
            let down = distance_mm(&intrinsics, &seen, &places, [height_mm - half, height_mm + half])?;
            let bend = 0.5 * (up + down) - width_mm;
            (0.5 * (up - down)).portable_hypot(bend)
        };
        // Camera: the refined pose moves with the corners and with the prior of the focal length.
        let by_camera = camera_gradient(pose, &places, height, width_mm)?;
        let prior = scene.camera_prior();
        let refined = refine(&seen, &scene.card.corners, &scene.card.corner_u_px, ID1_MM, &prior)?;
        let by_corner = by_camera.transpose() * refined.by_corners;
        let corners: f64 = (0..8).map(|i| (by_corner[i] * scene.card.corner_u_px[i / 2]).powi(2)).sum();
        let by_prior = by_camera.transpose() * refined.by_prior;
        let focal = (by_prior[0] * prior.focal_relative_u).powi(2)
            + (by_prior[1] * prior.principal_u_px).powi(2)
            + (by_prior[2] * prior.principal_u_px).powi(2);
        let budget = Budget {
            corners: corners.sqrt(),
            points: by_points.sqrt(),
            height: by_share.portable_hypot(by_offset).portable_hypot(askew),
            focal: focal.sqrt().portable_hypot(LENS_RELATIVE_U * width_mm),
            card: CARD_RELATIVE_U * width_mm,
        };
        let finite = [budget.corners, budget.points, budget.height, budget.focal, budget.card, width_mm]
            .iter()
            .all(|value| value.is_finite());
        finite.then_some(Self { width_mm, height_mm, height_u_mm: height.u_mm(width_mm), budget })
    }
}

fn camera_gradient(
    pose: &ScenePose,
    places: &[PhotoPoint; 2],
    height: &HeightPrior,
    width_mm: f64,
) -> Option<SMatrix<f64, PARAMETERS, 1>> {
    let mut gradient = SMatrix::<f64, PARAMETERS, 1>::zeros();
    for i in 0..PARAMETERS {
        // Radians, millimetres, ln focal and pixels: small against each, large against rounding.
        let step = [1e-5, 1e-5, 1e-5, 1e-2, 1e-2, 1e-2, 1e-5, 1e-2, 1e-2][i];
        let shifted = |by: f64| {
            let mut along = SVector::<f64, PARAMETERS>::zeros();
            along[i] = by;
            let (intrinsics, moved) = crate::camera::refine::moved(&pose.intrinsics, &pose.pose, &along);
            solve(&intrinsics, &moved, places, height.share, 0.0).map(|solved| solved.0)
        };
        gradient[i] = (shifted(step)? - shifted(-step)?) / (2.0 * step);
    }
    gradient
        .iter()
        .all(|value| value.is_finite() && value.abs() < 1e3 * width_mm.max(1.0) * 1e6)
        .then_some(gradient)
}
